//! Every search that could go on for long counts what it does: never more than its bound, whatever it is given.
//!
//! Fits of curves have a test of their own beside them (`finish/tests.rs`).

use crate::gallery::outlines::Outline;
use crate::gallery::{Case, Chance};
use kurbo::{Affine, BezPath, Point};
use shadecard::colour::Lab50;
use shadecard::colour::lookalike::{nearest, pairs};
use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::graphic::FillRule;

use shadecard::press::{Paper, PaperModel, tune};
use shadecard::range::{ColourMode, RenderingIntent, load};
use shadecard::read::region::Region;
use shadecard::tour::{self, Steps, shorten};
use shadecard::work::{Work, WorkKind};

/// A star of so many points, its lines crossing where `step` is not 1.
fn star(points: usize, step: usize) -> BezPath {
    let mut path = BezPath::new();
    for k in 0..points {
        let turn = (k * step % points) as f64 / points as f64 * std::f64::consts::TAU;
        let far = if step == 1 && k % 2 == 1 { 3.0 } else { 9.0 };
        let p = Point::new(far * turn.cos(), far * turn.sin());
        if k == 0 { path.move_to(p) } else { path.line_to(p) }
    }
    path.close_path();
    path
}

/// Of n corners an offset makes some for every round corner, a boolean one for every crossing.
#[test]
fn offsets_and_booleans_are_in_proportion_to_their_corners() {
    for points in [20, 200, 2000, 10_000] {
        let of = |path: &BezPath, work: &Work| Region::of(path, FillRule::NonZero, work);
        for by in [0.5, -0.06, 0.01] {
            let work = Work::default();
            let region = of(&star(points, 1), &work);
            let (grown, done) = work.counted(|| region.grown(by));
            let corners = done(WorkKind::Corners);
            let at_once = region.corners() + grown.corners();
            // Of many corners an offset is made in steps.
            match points {
                ..=200 => assert_eq!(corners as usize, at_once),
                _ => assert!(corners as usize > at_once, "{points} by {by}: {corners}"),
            }
            assert!(corners <= 80 * points as u64, "{points} by {by}: {corners}");
        }
        let work = Work::default();
        let region = of(&star(points, 1), &work);
        let other = of(&(Affine::rotate(0.01) * star(points, 1)), &work);
        let (_, done) = work.counted(|| region.without(&other));
        assert!(
            done(WorkKind::Corners) <= 8 * points as u64,
            "{points}: {}",
            done(WorkKind::Corners)
        );
    }
}

/// The widest place is looked for until so many distances were measured. An outline may have 2,000 points, and
/// cross itself 5,000 times.
#[test]
fn the_widest_place_is_found_in_bounded_work() {
    for (points, step) in [(8, 1), (60, 29), (2000, 1)] {
        let work = Work::default();
        let region = Region::of(&star(points, step), FillRule::EvenOdd, &work);
        let corners = region.corners() as u64;
        let (_, done) = work.counted(|| region.inradius());
        let edges = done(WorkKind::Edges);
        assert!(edges <= 500_000 + corners, "{points} points: {edges} of {corners} corners");
        assert!(edges > 0, "{points} points: nothing was counted");
    }
}

/// Sheets that take the exact search to its end, and larger ones: the bounded one goes on from there.
#[test]
fn planning_walks_over_so_many_rows_and_no_more() {
    let case = |colours: usize, families: usize, parts: usize, layout: &'static str| Case {
        name: "hard".into(),
        families: vec![(colours / families, "opaque"); families],
        parts: (0..parts).map(|p| (Outline::Disc, 5.0 + (p % 7) as f64, 6.0)).collect(),
        listings: 2,
        letters: (5, 20),
        numbers: true,
        made: 0.5,
        style: "plate",
        layout,
        seed: 7,
    };
    const WIDE: &str = "Layout(title: \"wide\", page: Mm(600, 60), scale: Fit)";
    const PAGES: &str = "Layout(title: \"pages\", page: Mm(300, 300), scale: True, pages: 20)";
    let cases = [
        case(200, 1, 64, WIDE),
        case(390, 13, 20, PAGES),
        case(380, 38, 3, "poster-610x914"),
        case(1500, 10, 6, "a4-pages"),
    ];
    for case in cases {
        let dir = tempfile::tempdir().expect("a folder");
        case.write(dir.path()).expect("written");
        let mut sources = Sources::default();
        let loaded = load(&dir.path().join("sheet.ron"), &mut sources).expect("faultless");
        let editions =
            Editions::resolve(loaded, &Filter::default(), &mut sources).expect("resolved");
        let _ =
            editions.plan(editions.variants().next().expect("an edition")).map(|p| p.plan.scale);
        let rows = sources.session.work.done(WorkKind::Rows);
        // The exact search; the bounded one, once for every rung of larger rows and wider margins; and what
        // would fit instead, where nothing does.
        let bounded = 8_000_000 + 2_500 * case.colours() as u64;
        let most = 500_000_000 + 60 * bounded;
        assert!(rows <= most, "{} colours: {rows} rows of {most}", case.colours());
        assert!(rows > 0, "{} colours: nothing was counted", case.colours());
    }
}

/// A path is gone through some ten times until no move helps.
#[test]
fn tours_end() {
    let mut chance = Chance::new(3);
    for n in [10, 60, 250] {
        let points: Vec<Point> =
            (0..n).map(|_| Point::new(chance.share(), chance.share())).collect();
        for equal in [false, true] {
            let apart =
                |a: usize, b: usize| if equal { 1.0 } else { points[a].distance(points[b]) };
            let steps = Steps::new(n, apart);
            let mut path: Vec<usize> = (0..n).collect();
            let work = Work::default();
            shorten(&steps, &mut path, 0..n, &work);
            // Every place with every other, turned round and as a run of one to three.
            let round = 4 * (n * n) as u64;
            let (moves, most) = (work.done(WorkKind::Moves), tour::MOST_ROUNDS as u64 * round);
            assert!(moves <= 30 * round && 30 * round < most, "{n}: {moves}");
            assert!(moves >= round / 4, "{n}: nothing was counted");
        }
    }
}

/// Colours that are far apart are not compared one with each other.
#[test]
fn look_alikes_are_looked_for_among_neighbours() {
    let mut chance = Chance::new(5);
    let count = 3000;
    let colour =
        |chance: &mut Chance| Lab50::new(100.0 * chance.share(), 0.0, 60.0 * chance.share());
    let colours: Vec<Lab50> = (0..count).map(|_| colour(&mut chance)).collect();
    let all = (count * (count - 1) / 2) as u64;
    for limit in [0.5, 2.0] {
        let work = Work::default();
        let found = pairs(&colours, limit, &work);
        assert!(
            work.done(WorkKind::Pairs) <= all / 8,
            "{} of {all} at {limit}",
            work.done(WorkKind::Pairs)
        );
        assert!(found.len() as u64 <= work.done(WorkKind::Pairs));
    }
    let equal = vec![colours[0]; count];
    let work = Work::default();
    let _ = nearest(&equal, 10.0, 20, &work);
    assert!(work.done(WorkKind::Pairs) <= all, "{} of {all}", work.done(WorkKind::Pairs));
}

/// What one paper may take for so many colours, and for thousands.
#[test]
fn tuning_tries_so_many_values_and_no_more() {
    let model = PaperModel::ALL[0];
    let paper = Paper::model(model, ColourMode::Srgb, RenderingIntent::default()).expect("a paper");
    let mut chance = Chance::new(11);
    for count in [5, 60, 300] {
        // Dark and strong: what no paper shows.
        let aims: Vec<Lab50> = (0..count)
            .map(|_| {
                let ab = [0, 1].map(|_| 80.0 * chance.share() - 40.0);
                Lab50::new(10.0 + 20.0 * chance.share(), ab[0], ab[1])
            })
            .collect();
        let plain: Vec<_> =
            aims.iter().map(|aim| paper.plain(*aim, shadecard::graphic::Rgb(40, 20, 60))).collect();
        let work = Work::default();
        let tuned = tune::tune(&paper, &aims, &plain, &work);
        assert_eq!(tuned.values.len(), count);
        let most = 250_000_000;
        assert!(
            (1..=most).contains(&work.done(WorkKind::Values)),
            "{count}: {}",
            work.done(WorkKind::Values)
        );
    }
}
