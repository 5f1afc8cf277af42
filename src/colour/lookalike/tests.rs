use super::pairs::Pair;
use super::terms::{Terms, at_least, share_of_25};
use super::*;
use crate::colour::{Lab50, difference};
use crate::work::Work;

/// Colours all over CIELAB, by a fixed generator (Knuth's MMIX multiplier).
fn scattered(count: usize, seed: u64, size: [f64; 3]) -> Vec<Lab50> {
    let mut state = seed;
    let mut next = || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    (0..count)
        .map(|_| {
            let [l, a, b] = size.map(|s| (next() - 0.5) * s);
            Lab50::new(50.0 + l, a, b)
        })
        .collect()
}

/// Every pair, each with its CIEDE2000.
fn all(colours: &[Lab50], limit: f64) -> Vec<Pair> {
    let mut found = Vec::new();
    for first in 0..colours.len() {
        for second in first + 1..colours.len() {
            let distance = difference(colours[first], colours[second]);
            if distance <= limit {
                found.push(Pair { first, second, distance });
            }
        }
    }
    found.sort_by(Pair::order);
    found
}

#[test]
fn no_pair_is_missed() {
    for (seed, size) in
        [(1, [100.0, 200.0, 200.0]), (2, [100.0, 10.0, 10.0]), (3, [20.0, 30.0, 30.0])]
    {
        let mut colours = scattered(700, seed, size);
        colours.extend(colours[..20].to_vec());
        for limit in [0.0, 2.0, 10.0] {
            let want = all(&colours, limit);
            assert!(want.len() >= 20);
            assert_eq!(
                pairs(&colours, limit, &Work::default()),
                want,
                "seed {seed}, limit {limit}"
            );
            assert_eq!(
                nearest(&colours, limit, 13, &Work::default()),
                want[..13],
                "seed {seed}, limit {limit}"
            );
            assert_eq!(nearest(&colours, limit, usize::MAX, &Work::default()), want);
        }
    }
    assert!(nearest(&[Lab50::new(1.0, 2.0, 3.0); 3], 1.0, 0, &Work::default()).is_empty());
}

/// Many equal ones, in classes that lie among each other.
#[test]
fn equal_colours_are_paired_in_their_order() {
    let three = scattered(3, 5, [3.0, 3.0, 3.0]);
    let colours: Vec<Lab50> = (0..90).map(|i| three[i * i % 7 % 3]).collect();
    let want = all(&colours, 10.0);
    for most in [1, 2, 50, 800, 3_000, 10_000] {
        let found = nearest(&colours, 10.0, most, &Work::default());
        assert_eq!(found, want[..most.min(want.len())], "{most}");
    }
    let started = std::time::Instant::now();
    let equal = vec![three[0]; 20_000];
    let found = nearest(&equal, 10.0, 100_000, &Work::default());
    assert_eq!((found.len(), found[19_999].first, found[19_999].second), (100_000, 1, 2));
    // Comparing all took minutes.
    assert!(started.elapsed().as_secs() < 20);
}

/// Blues too, where the rotation term pulls chroma and hue together.
#[test]
fn the_bound_is_below_and_the_parts_make_the_distance() {
    let mut tight = 0.0f64;
    for size in [[100.0, 240.0, 240.0], [100.0, 20.0, 20.0]] {
        let colours = scattered(900, 7, size);
        for (k, first) in colours.iter().enumerate() {
            for second in &colours[k + 1..] {
                let distance = difference(*first, *second);
                let bound = at_least(*first, *second);
                assert!(bound <= distance, "{first:?} {second:?}: {bound} > {distance}");
                tight = tight.max(bound / distance);
                let parts = Terms::of(*first, *second);
                let (h, turn) = (parts.h(), parts.mean_hue() - 275.0);
                let theta = 30.0 * (-(turn / 25.0).powi(2)).exp();
                let r =
                    -2.0 * share_of_25(parts.mean_chroma).sqrt() * (2.0 * theta).to_radians().sin();
                let sum = parts.l.powi(2) + parts.c.powi(2) + h * h + r * parts.c * h;
                // palette takes a mean hue just over 0 as one over 360: 1e-5 of a turn.
                assert!((sum.sqrt() - distance).abs() < 1e-3, "{first:?} {second:?}");
            }
        }
    }
    assert!(tight > 0.99, "of no use: {tight}");
}

fn said(first: (f64, f64, f64), second: (f64, f64, f64)) -> String {
    let lab = |c: (f64, f64, f64)| Lab50::new(c.0, c.1, c.2);
    let words: Vec<&str> = words(lab(first), lab(second)).into_iter().map(Word::text).collect();
    words.join(", ")
}

#[test]
fn one_part_one_word() {
    let navy = (30.0, 5.0, -30.0);
    assert_eq!(said(navy, navy), "the same");
    assert_eq!(said(navy, (30.001, 5.0, -30.0)), "the same");
    assert_eq!(said(navy, (34.0, 5.0, -30.0)), "lighter");
    assert_eq!(said((34.0, 5.0, -30.0), navy), "darker");
    assert_eq!(said((50.0, 40.0, 20.0), (50.0, 44.0, 22.0)), "stronger");
    assert_eq!(said((50.0, 44.0, 22.0), (50.0, 40.0, 20.0)), "greyer");
}

/// One step round the circle from each eighth, both ways.
#[test]
fn hues_turn_towards_an_axis() {
    let at = |hue: f64| (50.0, 40.0 * hue.to_radians().cos(), 40.0 * hue.to_radians().sin());
    for (hue, more, less) in [
        (0.0, "yellower", "bluer"),
        (50.0, "yellower", "redder"),
        (90.0, "greener", "redder"),
        (135.0, "greener", "yellower"),
        (180.0, "bluer", "yellower"),
        (225.0, "bluer", "greener"),
        (270.0, "redder", "greener"),
        (315.0, "redder", "bluer"),
    ] {
        assert_eq!(said(at(hue - 4.0), at(hue + 4.0)), more, "{hue}");
        assert_eq!(said(at(hue + 4.0), at(hue - 4.0)), less, "{hue}");
    }
}

#[test]
fn two_parts_two_words_the_biggest_first() {
    // dL 4 at L 52: about 3.9; dC 4 at C 47: about 1.3.
    assert_eq!(said((50.0, 40.0, 20.0), (54.0, 44.0, 22.0)), "lighter");
    assert_eq!(said((50.0, 40.0, 20.0), (52.0, 44.0, 22.0)), "lighter, stronger");
    assert_eq!(said((50.0, 40.0, 20.0), (51.0, 50.0, 25.0)), "stronger");
    assert_eq!(said((50.0, 40.0, 20.0), (48.0, 48.0, 24.0)), "stronger, darker");
}

#[test]
fn greys_have_no_hue() {
    assert_eq!(said((60.0, 0.0, 0.0), (60.0, 0.3, 4.0)), "yellower");
    assert_eq!(said((60.0, 0.3, 4.0), (60.0, 0.0, 0.0)), "bluer");
    assert_eq!(said((60.0, 1.0, 0.0), (60.0, -2.0, 0.5)), "greener");
    assert_eq!(said((60.0, 0.0, 0.0), (60.0, 8.0, 2.0)), "redder");
    assert_eq!(said((60.0, 12.0, 4.0), (60.0, 1.0, 0.0)), "greyer");
}

/// Seen from the other side it is the other word.
#[test]
fn words_are_turned_round() {
    use Word::*;
    let opposite = |word: Word| match word {
        Lighter => Darker,
        Darker => Lighter,
        Stronger => Greyer,
        Greyer => Stronger,
        word => word,
    };
    let colours = scattered(300, 11, [60.0, 120.0, 120.0]);
    let mut met = std::collections::BTreeSet::new();
    for pair in pairs(&colours, 20.0, &Work::default()) {
        let (first, second) = (colours[pair.first], colours[pair.second]);
        if first.a.hypot(first.b) < 8.0 || second.a.hypot(second.b) < 8.0 {
            continue;
        }
        let (there, back) = (words(first, second), words(second, first));
        assert_eq!(there.len(), back.len());
        for (there, back) in there.iter().zip(&back) {
            met.insert(*there);
            let hue = matches!(there, Redder | Greener | Yellower | Bluer);
            assert!(if hue { there != back } else { opposite(*there) == *back });
        }
    }
    assert_eq!(met.len(), 8, "{met:?}");
}

#[test]
fn odd_numbers_do_no_harm() {
    let odd = [f64::NAN, f64::INFINITY, 0.0].map(|v| Lab50::new(v, v, v));
    assert!(pairs(&odd, 10.0, &Work::default()).len() <= 3 && !words(odd[0], odd[2]).is_empty());
}
