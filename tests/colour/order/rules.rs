//! The orders by lightness and by hue.

use shadecard::colour::Lab50;
use shadecard::colour::order::{hue, lightness};

/// Lightness, chroma and hue in degrees.
fn lch(l: f64, c: f64, h: f64) -> Lab50 {
    Lab50::new(l, c * h.to_radians().cos(), c * h.to_radians().sin())
}

#[test]
fn from_light_to_dark() {
    let colours = [
        lch(20.0, 50.0, 30.0),
        lch(90.0, 2.0, 200.0),
        lch(55.0, 30.0, 300.0),
        lch(90.1, 60.0, 90.0),
    ];
    assert_eq!(lightness(&colours), [3, 1, 2, 0]);
    // One lightness: neutrals, then by hue, then as listed.
    let level = [
        lch(50.0, 40.0, 200.0),
        lch(50.0, 40.0, 20.0),
        lch(50.0, 5.0, 350.0),
        lch(50.0, 40.0, 200.0),
        lch(50.0, 0.0, 0.0),
    ];
    assert_eq!(lightness(&level), [2, 4, 1, 0, 3]);
}

#[test]
fn neutrals_from_light_to_dark_then_round_the_circle() {
    let colours = [
        lch(50.0, 60.0, 130.0),
        lch(30.0, 7.9, 250.0),
        lch(50.0, 60.0, 30.0),
        lch(95.0, 3.0, 100.0),
        lch(50.0, 60.0, 270.0),
        lch(60.0, 8.1, 80.0),
        lch(70.0, 60.0, 130.0),
        lch(50.0, 60.0, 190.0),
    ];
    // The widest arc without colours goes from 270 over 0 to 30 degrees.
    assert_eq!(hue(&colours), [3, 1, 2, 5, 6, 0, 7, 4]);
}

#[test]
fn the_circle_is_opened_where_nothing_lies() {
    let order = |hues: &[f64]| {
        let colours: Vec<Lab50> = hues.iter().map(|h| lch(50.0, 40.0, *h)).collect();
        hue(&colours).into_iter().map(|i| hues[i]).collect::<Vec<_>>()
    };
    // Pinks and reds stay together over 0 degrees.
    assert_eq!(order(&[10.0, 350.0, 40.0, 320.0]), [320.0, 350.0, 10.0, 40.0]);
    assert_eq!(order(&[120.0, 200.0, 300.0, 0.5, 359.0]), [120.0, 200.0, 300.0, 359.0, 0.5]);
    // Arcs of one width: the first from 0 degrees on.
    assert_eq!(order(&[300.0, 180.0, 60.0]), [60.0, 180.0, 300.0]);
    assert_eq!(order(&[77.0]), [77.0]);
    assert!(order(&[]).is_empty());
}

/// No step in hue inside the order is wider than the arc at which the circle is opened.
#[test]
fn no_jump_at_the_cut() {
    let colours = super::css();
    let hues: Vec<f64> = hue(&colours)
        .into_iter()
        .filter(|i| colours[*i].a.hypot(colours[*i].b) >= 8.0)
        .map(|i| colours[i].b.atan2(colours[i].a).to_degrees())
        .collect();
    // Between equal hues rounding may give a hair under 360.
    let arc = |from: f64, to: f64| match (to - from).rem_euclid(360.0) {
        arc if arc > 360.0 - 1e-9 => 0.0,
        arc => arc,
    };
    let widest = hues.windows(2).map(|w| arc(w[0], w[1])).fold(0.0, f64::max);
    let opened = arc(hues[hues.len() - 1], hues[0]);
    assert!(hues.len() > 100 && widest <= opened, "{widest} inside, {opened} at the cut");
    let once_round: f64 = hues.windows(2).map(|w| arc(w[0], w[1])).sum();
    assert!((once_round + opened - 360.0).abs() < 1e-6, "{once_round}");
}
