//! Outlines of parts: as they are cut out, and as they are traced where there is no drawing.

use std::collections::BTreeMap;

use shadecard::capture::cut::{CutOut, Order, Outline, Point, Sight, cut, together};
use shadecard::capture::{Limits, Picture, Scene, SeenPage, StagePage, decode, find_code, see};
use shadecard::parallel::in_parallel;

use crate::render::{self, LaidPart, Params, Photograph};
use crate::{photographs, staged};

/// How many photographs: a tenth of what is asked for.
fn count() -> u64 {
    (photographs(40) / 10).max(3)
}

const SEED: u64 = 80_000;
/// How far outlines may be from where they are, mm.
const OUTLINE: f64 = 0.1;

/// Parts whose pieces come from one mould: larger or smaller than drawn by up to 2 %, each piece by up to 0.2 % more
/// or less (common practice, no source).
fn laid(page: &StagePage, values: &[[f64; 3]], seed: u64) -> Vec<LaidPart> {
    let drawn = staged::for_renderer(page);
    let mut laid = render::lay(&drawn, values, 0.0, seed);
    let mut moulds: BTreeMap<&str, f64> = BTreeMap::new();
    let mut rng = fastrand::Rng::with_seed(seed);
    for part in &mut laid {
        let key = page.places[part.place].part.as_str();
        let mould = *moulds.entry(key).or_insert_with(|| 0.98 + 0.04 * rng.f64());
        part.scale = mould * (0.998 + 0.004 * rng.f64());
    }
    laid
}

/// A photograph of a page, decoded and found.
struct Taken {
    photograph: Photograph,
    laid: Vec<LaidPart>,
    picture: Picture,
    seen: SeenPage,
}

fn taken(page: &StagePage, values: &[[f64; 3]], seed: u64) -> Taken {
    let laid = laid(page, values, seed);
    let drawn = staged::for_renderer(page);
    let photograph = render::render(&drawn, &laid, &Params::usual(seed));
    let picture = decode(&photograph.bytes, &Limits::default()).expect("a picture");
    let code = find_code(&picture).expect("a code");
    let seen = see(&picture, &code, page).unwrap_or_else(|fault| panic!("seed {seed}: {fault}"));
    Taken { photograph, laid, picture, seen }
}

/// Everything on the page, cut out; none where it cannot be.
fn cut_all(taken: &Taken, page: &StagePage, values: &[[f64; 3]]) -> Vec<Option<CutOut>> {
    let Taken { picture, seen, .. } = taken;
    let sight = Sight::of(Scene { picture, lens: seen.lens(), light: seen.light() }, page);
    let places = page.places.iter().zip(values);
    places
        .map(|(place, value)| {
            cut(&sight, &Order { place, value: *value, thick: None, clear: false }).ok()
        })
        .collect()
}

fn extent(outline: &[Vec<Point>]) -> (f64, f64) {
    let side = |of: fn(&Point) -> f64| {
        let all = outline.iter().flatten().map(of);
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
        high - low
    };
    (side(|p| p.0), side(|p| p.1))
}

/// The distance of a point from the lines of an outline.
fn away(p: Point, outline: &[Vec<Point>]) -> f64 {
    let mut best = f64::MAX;
    for ring in outline {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let length = (dx * dx + dy * dy).max(1e-12);
            let t = (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / length).clamp(0.0, 1.0);
            best = best.min((a.0 + t * dx - p.0).hypot(a.1 + t * dy - p.1));
        }
    }
    best
}

/// What a share of values is below.
fn below(values: &[f64], share: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted[((sorted.len() - 1) as f64 * share) as usize]
}

#[test]
fn cut_outs_lie_on_their_outlines_at_their_size() {
    let pages = staged::pages();
    let seeds: Vec<u64> = (0..count()).collect();
    let off = in_parallel(&seeds, |i| {
        let (page, values) = &pages[*i as usize % pages.len()];
        let taken = taken(page, values, SEED + i);
        let cuts = cut_all(&taken, page, values);
        let drawn = staged::for_renderer(page);
        let (mut edges, mut sizes) = (Vec::new(), Vec::new());
        for (i, cut) in cuts.iter().enumerate() {
            let Some(cut) = cut else { continue };
            let truth = &taken.photograph.truth.places[i];
            let far: Vec<f64> = cut.seen.iter().flatten().map(|p| away(*p, &truth.face)).collect();
            edges.push(below(&far, 0.9));
            let (w, h) = extent(&cut.outline);
            let (tw, th) = extent(&taken.laid[i].outline(&drawn));
            // Half of what is wrong with the size is at either edge.
            sizes.push(((w - tw).abs() / 2.0).max((h - th).abs() / 2.0));
        }
        (cuts.len(), edges, sizes)
    });
    let all: usize = off.iter().map(|(n, ..)| n).sum();
    let edges: Vec<f64> = off.iter().flat_map(|(_, edges, _)| edges.clone()).collect();
    let sizes: Vec<f64> = off.iter().flat_map(|(.., sizes)| sizes.clone()).collect();
    println!(
        "{} of {all} cut out; edges: median {:.3}, 95 % {:.3} mm; sizes: median {:.3}, 95 % {:.3} mm",
        edges.len(),
        below(&edges, 0.5),
        below(&edges, 0.95),
        below(&sizes, 0.5),
        below(&sizes, 0.95)
    );
    assert!(edges.len() * 100 >= all * 97, "{} of {all}", edges.len());
    assert!(below(&edges, 0.95) <= OUTLINE, "{:.3}", below(&edges, 0.95));
    assert!(below(&sizes, 0.95) <= OUTLINE, "{:.3}", below(&sizes, 0.95));
}

/// The part of a page that is there most often, with its places.
fn commonest(page: &StagePage) -> String {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    page.places.iter().for_each(|p| *counts.entry(&p.part).or_default() += 1);
    counts.into_iter().max_by_key(|(_, n)| *n).expect("a part").0.to_owned()
}

#[test]
fn a_part_without_a_drawing_is_traced() {
    let pages = staged::pages();
    let seeds: Vec<u64> = (0..count()).collect();
    let off = in_parallel(&seeds, |i| {
        let (page, values) = &pages[*i as usize % pages.len()];
        let taken = taken(page, values, SEED + 500 + i);
        let mut boxed = page.clone();
        for place in &mut boxed.places {
            let (low, high) = place
                .outline
                .iter()
                .flatten()
                .fold(((f64::MAX, f64::MAX), (f64::MIN, f64::MIN)), |(l, h), p| {
                    ((l.0.min(p.0), l.1.min(p.1)), (h.0.max(p.0), h.1.max(p.1)))
                });
            place.outline = vec![vec![low, (high.0, low.1), high, (low.0, high.1)]];
            place.boxed = true;
        }
        let cuts = cut_all(&taken, &boxed, values);
        let part = commonest(page);
        let of_part = |i: &usize| page.places[*i].part == part;
        let sure = |cut: &CutOut| {
            !cut.doubts.iter().any(|d| matches!(d, shadecard::capture::cut::Doubt::LowContrast(_)))
        };
        let each: Vec<Outline> = (0..cuts.len())
            .filter(of_part)
            .filter_map(|i| cuts[i].as_ref().filter(|c| sure(c)).map(|c| c.outline.clone()))
            .collect();
        let (outline, apart) = together(&each).expect("an outline");
        // Of its size: the mean of what was laid.
        let drawn = staged::for_renderer(page);
        let sizes = taken.laid.iter().filter(|l| page.places[l.place].part == part);
        let scales: Vec<f64> = sizes.map(|l| l.scale).collect();
        let mut one =
            taken.laid[page.places.iter().position(|p| p.part == part).expect("it")].clone();
        one.scale = scales.iter().sum::<f64>() / scales.len() as f64;
        (one.turn, one.shift) = (0.0, (0.0, 0.0));
        let truth = one.outline(&drawn);
        let (mine, its) = (middle_of(&outline), middle_of(&truth));
        let moved: Outline = outline
            .iter()
            .map(|r| r.iter().map(|p| (p.0 - mine.0 + its.0, p.1 - mine.1 + its.1)).collect())
            .collect();
        let far = turned_best(&moved, &truth, its);
        let thick = cuts.iter().flatten().find_map(|c| c.thick);
        println!("thick {thick:?} of {:.2}", taken.laid[0].height);
        (part, each.len(), apart, far)
    });
    for (part, pieces, apart, far) in &off {
        println!("{part}: {pieces} pieces, {apart:.3} mm apart, {far:.3} mm off");
    }
    let far: Vec<f64> = off.iter().map(|(.., far)| *far).collect();
    assert!(below(&far, 0.95) <= OUTLINE, "{far:?}");
}

fn middle_of(outline: &[Vec<Point>]) -> Point {
    let all = outline.iter().flatten();
    let (low, high) = all.fold(((f64::MAX, f64::MAX), (f64::MIN, f64::MIN)), |(l, h), p| {
        ((l.0.min(p.0), l.1.min(p.1)), (h.0.max(p.0), h.1.max(p.1)))
    });
    ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0)
}

/// The outer line against its truth, however it is turned: what 95 % of its points are within.
fn turned_best(outline: &Outline, truth: &[Vec<Point>], about: Point) -> f64 {
    let ring = &outline[0];
    let tries = (-16..=16).map(|i| f64::from(i) * 0.5_f64.to_radians());
    let off = tries.map(|turn| {
        let (sin, cos) = turn.sin_cos();
        let far: Vec<f64> = ring
            .iter()
            .step_by(3)
            .map(|p| {
                let (x, y) = (p.0 - about.0, p.1 - about.1);
                away((about.0 + x * cos - y * sin, about.1 + x * sin + y * cos), truth)
            })
            .collect();
        below(&far, 0.95)
    });
    off.fold(f64::MAX, f64::min)
}
