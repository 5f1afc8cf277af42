//! The blade's way, against the shortest there is.

use kurbo::{Point, Rect, Shape as _};
use shadecard::labels::ring::Ring;
use shadecard::labels::travel::way;
use shadecard::labels::{Contour, Cut, CutSheet};
use shadecard::work::{Work, WorkKind};

use super::{Chance, grid, with_holes};

/// Moves that may be tried on 2,000 labels: 81 million were.
const MOST_MOVES: u64 = 200_000_000;

/// The shortest way through one node of every contour, by dynamic programming
/// over sets (Held and Karp 1962; a state is a set and the node it ends at).
fn shortest(nodes: &[Vec<Point>], from: Point) -> f64 {
    let all: Vec<(usize, Point)> =
        nodes.iter().enumerate().flat_map(|(i, l)| l.iter().map(move |p| (i, *p))).collect();
    let count = nodes.len();
    let mut best = vec![vec![f64::INFINITY; all.len()]; 1 << count];
    for (k, (i, p)) in all.iter().enumerate() {
        best[1 << i][k] = from.distance(*p);
    }
    for set in 1..1usize << count {
        for k in 0..all.len() {
            let so_far = best[set][k];
            if so_far.is_infinite() {
                continue;
            }
            for (next, (i, p)) in all.iter().enumerate() {
                if set >> i & 1 == 0 {
                    let there = so_far + all[k].1.distance(*p);
                    let place = &mut best[set | 1 << i][next];
                    *place = place.min(there);
                }
            }
        }
    }
    best[(1 << count) - 1].iter().copied().fold(f64::INFINITY, f64::min)
}

/// The way with the blade up, added up anew.
fn travelled(rings: &[Ring], from: Point) -> f64 {
    let mut at = from;
    let steps =
        rings.iter().map(|r| std::mem::replace(&mut at, r.nodes()[0]).distance(r.nodes()[0]));
    steps.sum()
}

#[test]
fn small_grids_against_the_shortest_way() {
    let mut told = Vec::new();
    for (columns, rows) in [(1, 1), (1, 6), (6, 1), (2, 2), (2, 3), (3, 3), (2, 5), (3, 4)] {
        let sheet = grid(columns, rows);
        for from in [Point::ORIGIN, Point::new(sheet.width, sheet.height)] {
            let nodes: Vec<Vec<Point>> = Ring::all(&sheet).iter().map(Ring::nodes).collect();
            assert_eq!(nodes[0].len(), 12);
            let way = way(&sheet, from, &Work::default());
            let least = shortest(&nodes, from);
            assert!((travelled(&way.rings, from) - way.travel).abs() < 1e-9);
            assert!(way.travel > least - 1e-6, "{columns} x {rows}: shorter than the shortest");
            assert!(
                way.travel <= least * 1.02 + 1e-9,
                "{columns} x {rows}: {:.2} mm, shortest {least:.2} mm",
                way.travel
            );
            told.push(format!(
                "{columns} x {rows}: {:.2} mm, shortest {least:.2}, of the grid {:.2}",
                way.travel, way.of_grid
            ));
        }
    }
    println!("{}", told.join("\n"));
}

/// Any handful of contours, anywhere: at most a tenth over the shortest way, and mostly on it.
#[test]
fn scattered_contours_against_the_shortest_way() {
    let mut chance = Chance(7);
    let mut over = Vec::new();
    for _ in 0..40 {
        let mut places: Vec<(usize, usize)> = (0..36).map(|i| (i % 6, i / 6)).collect();
        let contours = (0..8)
            .map(|i| {
                let (x, y) = places.remove((chance.even() * places.len() as f64) as usize);
                let size = (5.0 + 20.0 * chance.even(), 5.0 + 20.0 * chance.even());
                let at = (x as f64 * 30.0, y as f64 * 30.0);
                let path = Rect::from_origin_size(at, size).to_path(1e-4);
                Contour { label: Some(i), cut: Cut::Kiss, path }
            })
            .collect();
        let sheet =
            CutSheet { width: 180.0, height: 180.0, contours, marks: vec![], mark_radius: 0.0 };
        let nodes: Vec<Vec<Point>> = Ring::all(&sheet).iter().map(Ring::nodes).collect();
        let (way, least) =
            (way(&sheet, Point::ORIGIN, &Work::default()), shortest(&nodes, Point::ORIGIN));
        assert!(way.travel <= way.of_grid && way.travel > least - 1e-6);
        over.push(way.travel / least - 1.0);
    }
    over.sort_by(f64::total_cmp);
    println!("median {:.4}, worst {:.4} over the shortest", over[20], over[39]);
    assert!(over[20] < 1e-9 && over[39] < 0.1, "{over:?}");
}

#[test]
fn every_contour_once_and_never_longer_than_the_grid() {
    for sheet in [grid(5, 13), with_holes(4, 6), grid(1, 1)] {
        for from in [Point::ORIGIN, Point::new(sheet.width, 0.0), Point::new(50.0, 60.0)] {
            let way = way(&sheet, from, &Work::default());
            assert!(way.travel <= way.of_grid, "{} > {}", way.travel, way.of_grid);
            assert!((travelled(&way.rings, from) - way.travel).abs() < 1e-6);
            assert_eq!(way.rings.len(), sheet.contours.len());
            for (ring, contour) in way.rings.iter().flat_map(|r| {
                let own = sheet.contours.iter().filter(|c| (c.label, c.cut) == (r.label, r.cut));
                let near = own.min_by(|a, b| {
                    let off = |c: &Contour| (c.path.area() - r.path().area()).abs();
                    off(a).total_cmp(&off(b))
                });
                near.map(|c| (r, c))
            }) {
                assert!((ring.path().area() - contour.path.area()).abs() < 1e-6);
            }
        }
    }
    let empty = CutSheet { contours: vec![], ..grid(1, 1) };
    assert_eq!(way(&empty, Point::ORIGIN, &Work::default()).travel, 0.0);
}

/// In the order of the grid every step costs a pitch, and every row a way back.
/// Up and down the columns it would be 10 pitches a column and 4 across; where four
/// labels meet, each can begin at the corner next to the others, which saves a third more.
#[test]
fn a_full_sheet_costs_a_quarter_of_the_grids_order() {
    let sheet = grid(5, 11);
    let way = way(&sheet, Point::ORIGIN, &Work::default());
    let first = Ring::all(&sheet)[0].nodes()[0].to_vec2().hypot();
    let of_grid = first + 44.0 * 40.6 + 10.0 * f64::hypot(4.0 * 40.6, 23.3);
    assert!((way.of_grid - of_grid).abs() < 1e-6, "{} {of_grid}", way.of_grid);
    let columns = 50.0 * 23.3 + 4.0 * 40.6;
    assert!(way.travel < columns * 2.0 / 3.0, "{} {columns}", way.travel);
    println!("55 labels: {:.0} mm, of the grid {:.0} mm", way.travel, way.of_grid);
}

#[test]
fn the_work_for_two_thousand_labels_is_bounded() {
    let sheet = grid(20, 100);
    let work = Work::default();
    let way = way(&sheet, Point::ORIGIN, &work);
    let moves = work.done(WorkKind::Moves);
    println!(
        "2,000 on one sheet: {moves} moves, {:.0} mm, of the grid {:.0} mm",
        way.travel, way.of_grid
    );
    assert!(way.travel < way.of_grid / 2.0);
    assert!((1..=MOST_MOVES).contains(&moves), "{moves}");
}
