//! Print values on papers: what is promised of them, on a set of colours that
//! anyone can make again.
//!
//! The set: named colours of the web (W3C, CSS Color Module Level 4) and for
//! each a neighbour a few units of CIELAB away.
//!
//! Papers: the shipped coated profile and the matte model; and, where the
//! environment variable `UNCOATED_PROFILE` names one, a measured uncoated
//! profile. `cargo test --release --test colour on_paper -- --nocapture` prints the
//! table in docs/papers.md.

use crate::colour_sets::swapped;
use shadecard::colour::lookalike::pairs;
use shadecard::colour::{Lab50, difference, from_rgb, to_rgb};
use shadecard::graphic::Rgb;
use shadecard::press::tune::APART;
use shadecard::press::{Bytes, ColourMode, Paper, PaperModel, RenderingIntent, tune};
use shadecard::work::Work;

/// Colours of the set, pairs of it up to 10 CIEDE2000 apart.
const COLOURS: usize = 116;
const PAIRS: usize = 168;

/// The named colours of the web, the strongest first.
fn web() -> Vec<Rgb> {
    let text = std::fs::read_to_string("demo/css-colours/range.ron").expect("the colours");
    let values = text.split("value: \"").skip(1).map(|part| Rgb::parse(&part[..7]));
    let mut all: Vec<Rgb> = values.map(|c| c.expect("a colour")).collect();
    all.sort_by_key(|c| c.hex());
    all.dedup();
    assert_eq!(all.len(), 139, "names share some of the 148 values");
    let chroma = |c: &Rgb| from_rgb(*c).a.hypot(from_rgb(*c).b);
    all.sort_by(|a, b| chroma(b).total_cmp(&chroma(a)));
    all.truncate(99);
    all
}

/// Each colour that is at least 3 from all before it, with a neighbour 4.2
/// lighter or darker, or 7.2 along a* or b*, that is so too and inside sRGB.
fn set() -> Vec<Rgb> {
    let web = web();
    let mut out: Vec<Rgb> = Vec::new();
    let near =
        |out: &[Rgb], c: Rgb| out.iter().any(|o| difference(from_rgb(*o), from_rgb(c)) < 3.0);
    for i in 0..web.len() {
        let own = web[i * 7 % web.len()];
        if out.len() == COLOURS || near(&out, own) {
            continue;
        }
        out.push(own);
        let lab = from_rgb(own);
        let steps = [
            (4.2, 0.0, 0.0),
            (0.0, 7.2, 0.0),
            (0.0, 0.0, 7.2),
            (-4.2, 0.0, 0.0),
            (0.0, -7.2, 0.0),
            (0.0, 0.0, -7.2),
        ];
        let neighbour = (0..6).map(|k| steps[(i + k) % 6]).find_map(|(l, a, b)| {
            let (rgb, excess) = to_rgb(Lab50::new(lab.l + l, lab.a + a, lab.b + b));
            (excess < 1e-3 && !near(&out, rgb)).then_some(rgb)
        });
        match neighbour {
            Some(rgb) => out.push(rgb),
            None => drop(out.pop()),
        }
    }
    out
}

/// Colours all over sRGB, from a generator with these constants (Knuth's MMIX; from memory).
fn strewn(count: usize, seed: u64) -> Vec<Rgb> {
    let mut x = seed;
    let mut byte = || {
        x = x.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (x >> 56) as u8
    };
    (0..count).map(|_| Rgb(byte(), byte(), byte())).collect()
}

fn coated(colour_mode: ColourMode, intent: RenderingIntent) -> Paper {
    Paper::model(PaperModel::Coated, colour_mode, intent).unwrap_or_else(|e| panic!("{e:?}"))
}

fn matte(colour_mode: ColourMode, intent: RenderingIntent) -> Paper {
    Paper::model(PaperModel::Matte, colour_mode, intent).unwrap_or_else(|e| panic!("{e:?}"))
}

/// Every paper and device, with its name.
fn papers() -> Vec<(String, Paper)> {
    let mut out = Vec::new();
    let ways = [
        ("press", ColourMode::Cmyk, RenderingIntent::Relative),
        ("sRGB, relative", ColourMode::Srgb, RenderingIntent::Relative),
        ("sRGB, perceptual", ColourMode::Srgb, RenderingIntent::Perceptual),
    ];
    for (way, colour_mode, intent) in ways {
        out.push((format!("coated: {way}"), coated(colour_mode, intent)));
        out.push((format!("matte: {way}"), matte(colour_mode, intent)));
    }
    match std::env::var("UNCOATED_PROFILE") {
        Ok(file) => {
            let bytes = std::fs::read(&file).unwrap_or_else(|e| panic!("{file}: {e}"));
            for (way, colour_mode, intent) in ways {
                let paper = Paper::profile(&bytes, Some(colour_mode), intent);
                let paper = paper.unwrap_or_else(|e| panic!("{e:?}"));
                out.push((format!("uncoated: {way}"), paper));
            }
        }
        Err(_) => eprintln!("NOT CHECKED on uncoated paper: UNCOATED_PROFILE names no profile"),
    }
    out
}

struct Figures {
    mean: f64,
    together: usize,
    lightness: usize,
    hue: usize,
}

fn figures(aims: &[Lab50], shown: &[Lab50]) -> Figures {
    let mut out = Figures { mean: 0.0, together: 0, lightness: 0, hue: 0 };
    for pair in pairs(aims, 10.0, &Work::default()) {
        let aim = (aims[pair.first], aims[pair.second]);
        let seen = (shown[pair.first], shown[pair.second]);
        out.together += usize::from(difference(seen.0, seen.1) < APART);
        let [lightness, hue, _] = swapped(aim, seen);
        out.lightness += usize::from(lightness);
        out.hue += usize::from(hue);
    }
    let off = aims.iter().zip(shown).map(|(a, s)| difference(*a, *s));
    out.mean = off.sum::<f64>() / aims.len() as f64;
    out
}

fn shows(paper: &Paper, values: &[Bytes]) -> Vec<Lab50> {
    values.iter().map(|v| paper.shows(*v)).collect()
}

fn plain(paper: &Paper, aims: &[Lab50], rgbs: &[Rgb]) -> Vec<Bytes> {
    aims.iter().zip(rgbs).map(|(a, c)| paper.plain(*a, *c)).collect()
}

/// The whole promise: on every paper and for every device no pair falls
/// together, none changes its order, after rounding to bytes, and colours are
/// no farther from their aims on average than when printed plainly.
#[test]
fn pairs_stay_apart_and_in_order() {
    let rgbs = set();
    let aims: Vec<Lab50> = rgbs.iter().map(|c| from_rgb(*c)).collect();
    assert_eq!((aims.len(), pairs(&aims, 10.0, &Work::default()).len()), (COLOURS, PAIRS));
    let mut troubled = 0;
    let (plainly, tuned, each) = ("printed plainly", "tuned", "mean  <2  light  hue");
    println!("{:28} {plainly:>20}  {tuned:>20}", "");
    println!("{:28} {each}  {each}", "");
    for (name, paper) in papers() {
        let values = plain(&paper, &aims, &rgbs);
        let start = std::time::Instant::now();
        let tuned = tune(&paper, &aims, &values, &Work::default());
        let took = start.elapsed();
        assert_eq!(
            tuned.shown,
            shows(&paper, &tuned.values),
            "{name}: shown is what the bytes show"
        );
        let (before, after) =
            (figures(&aims, &shows(&paper, &values)), figures(&aims, &tuned.shown));
        println!(
            "{name:28} {:4.2} {:3}  {:5}  {:3}  {:4.2} {:3}  {:5}  {:3}   {took:.2?}",
            before.mean,
            before.together,
            before.lightness,
            before.hue,
            after.mean,
            after.together,
            after.lightness,
            after.hue
        );
        assert_eq!((after.together, after.lightness, after.hue), (0, 0, 0), "{name}");
        assert!(after.mean <= before.mean, "{name}: {} over {}", after.mean, before.mean);
        assert!(tuned.values.iter().all(|v| paper.ink(*v) <= paper.ink_limit()), "{name}");
        troubled += before.together + before.lightness + before.hue;
    }
    // Else there was nothing to mend.
    assert!(troubled > 60, "{troubled}");
}

/// Of colours strewn at random, whatever can be lost: a pair that plain
/// printing keeps apart is never given up.
#[test]
fn no_pair_that_was_apart_falls_together() {
    for seed in 0..12 {
        let rgbs = strewn(60, seed);
        let aims: Vec<Lab50> = rgbs.iter().map(|c| from_rgb(*c)).collect();
        let (colour_mode, intent) = match seed % 3 {
            0 => (ColourMode::Cmyk, RenderingIntent::Relative),
            1 => (ColourMode::Srgb, RenderingIntent::Relative),
            _ => (ColourMode::Srgb, RenderingIntent::Perceptual),
        };
        let paper = matte(colour_mode, intent);
        let values = plain(&paper, &aims, &rgbs);
        let before = shows(&paper, &values);
        let after = tune(&paper, &aims, &values, &Work::default()).shown;
        for i in 0..aims.len() {
            for j in i + 1..aims.len() {
                let was_apart = difference(before[i], before[j]) >= APART;
                assert!(
                    !was_apart || difference(after[i], after[j]) >= APART,
                    "seed {seed}: {} and {}",
                    rgbs[i].hex(),
                    rgbs[j].hex()
                );
            }
        }
    }
}

#[test]
fn the_same_input_gives_the_same_values() {
    let rgbs = strewn(40, 7);
    let aims: Vec<Lab50> = rgbs.iter().map(|c| from_rgb(*c)).collect();
    let paper = coated(ColourMode::Cmyk, RenderingIntent::Relative);
    let values = plain(&paper, &aims, &rgbs);
    assert_eq!(
        tune(&paper, &aims, &values, &Work::default()),
        tune(&paper, &aims, &values, &Work::default())
    );
    // Equal aims get equal values.
    let twice: Vec<Lab50> = aims.iter().chain(&aims).copied().collect();
    let plain_twice: Vec<Bytes> = values.iter().chain(&values).copied().collect();
    let tuned = tune(&paper, &twice, &plain_twice, &Work::default()).values;
    assert_eq!(tuned[..40], tuned[40..]);
}

/// What is lost in all, as the search counts it: own differences and those of pairs, squared.
fn total(aims: &[Lab50], shown: &[Lab50]) -> f64 {
    let own: f64 = aims.iter().zip(shown).map(|(a, s)| difference(*a, *s).powi(2)).sum();
    let pair = |p: &shadecard::colour::lookalike::Pair| {
        (difference(shown[p.first], shown[p.second]) - p.distance).powi(2)
    };
    own * 0.2 + pairs(aims, 10.0, &Work::default()).iter().map(pair).sum::<f64>()
}

/// More ink reaches all colours that less ink reaches. The search is local, so
/// it may miss the best by a little: 3 % of the total, measured, no source.
#[test]
fn a_larger_gamut_never_raises_the_total() {
    for seed in 20..26 {
        let rgbs = strewn(50, seed);
        let aims: Vec<Lab50> = rgbs.iter().map(|c| from_rgb(*c)).collect();
        let mut last: Option<(f64, f64)> = None;
        for limit in [160.0, 200.0, 240.0, 300.0] {
            let paper = coated(ColourMode::Cmyk, RenderingIntent::Relative).with_ink_limit(limit);
            let values = plain(&paper, &aims, &rgbs);
            let tuned = tune(&paper, &aims, &values, &Work::default());
            let least: f64 = tuned.least.iter().sum();
            let now = total(&aims, &tuned.shown);
            if let Some((before, least_before)) = last {
                assert!(now <= before * 1.03, "seed {seed}, {limit} %: {now} over {before}");
                assert!(least <= least_before * 1.03, "seed {seed}, {limit} %");
            }
            last = Some((now, least));
        }
    }
}

/// Too many colours for a paper: most pairs are saved, and values stay inside the limits.
#[test]
fn a_thousand_colours() {
    let rgbs = strewn(1000, 12345);
    let aims: Vec<Lab50> = rgbs.iter().map(|c| from_rgb(*c)).collect();
    let paper = matte(ColourMode::Cmyk, RenderingIntent::Relative);
    let values = plain(&paper, &aims, &rgbs);
    let start = std::time::Instant::now();
    let tuned = tune(&paper, &aims, &values, &Work::default());
    println!("1,000 colours: {:.1?}", start.elapsed());
    let (before, after) = (figures(&aims, &shows(&paper, &values)), figures(&aims, &tuned.shown));
    println!("{} pairs under 2 before, {} after", before.together, after.together);
    assert!(after.together * 2 < before.together);
    assert!(after.lightness + after.hue < before.lightness + before.hue);
    assert!(tuned.values.iter().all(|v| paper.ink(*v) <= paper.ink_limit()));
}

/// Y of L* (ISO/CIE 11664-4), relative to white.
fn luminance(lab: Lab50) -> f64 {
    if lab.l > 8.0 { ((lab.l + 16.0) / 116.0).powi(3) } else { lab.l / 903.3 }
}

/// The formula at the head of `press/paper.rs`, by luminance.
#[test]
fn matte_is_coated_under_a_veil() {
    let (base, matte) = (
        coated(ColourMode::Cmyk, RenderingIntent::Relative),
        matte(ColourMode::Cmyk, RenderingIntent::Relative),
    );
    for ink in [[0, 0, 0, 0], [0, 0, 0, 255], [200, 150, 30, 10], [20, 240, 200, 0]] {
        let (plain, dulled) = (luminance(base.shows(ink)), luminance(matte.shows(ink)));
        assert!((dulled - (0.055 + 0.945 * plain)).abs() < 1e-4, "{ink:?}: {plain} {dulled}");
    }
}

/// Two aims apart: printed alike they fall together, exchanged they swap.
#[test]
fn a_report_tells_what_is_lost() {
    use shadecard::press::{Print, Report};
    let paper = coated(ColourMode::Srgb, RenderingIntent::Relative);
    let rgbs = [Rgb(120, 120, 120), Rgb(135, 135, 135)];
    let aims = rgbs.map(from_rgb).to_vec();
    let own = rgbs.map(|Rgb(r, g, b)| [r, g, b, 0]);
    let report = |values: [Bytes; 2]| {
        let print = Print {
            colours: vec![shadecard::range::ColourId(0), shadecard::range::ColourId(1)],
            aims: aims.clone(),
            plain: own.to_vec(),
            shown: shows(&paper, &values),
            values: values.to_vec(),
            least: vec![0.0; 2],
        };
        let totals = Report::new(&paper, &print, 10.0, &Work::default()).totals;
        (totals.pairs, totals.together, totals.lightness_swapped)
    };
    assert_eq!(report(own), (1, 0, 0));
    assert_eq!(report([own[0], own[0]]), (1, 1, 0));
    assert_eq!(report([own[1], own[0]]), (1, 0, 1));
}
