//! The machine's error: least squares against numpy, and machines that are known because they are made up.

use kurbo::{Affine, Point, Shape as _, Vec2};
use shadecard::diag::{Findings, Severity};
use shadecard::labels::CutSheet;
use shadecard::labels::offset::{Machine, Mark, Model, Reading, Tolerances, fit, outside};

use super::{Chance, grid};

pub const A4: Tolerances = Tolerances { width: 210.0, height: 297.0, bleed: 1.0 };

/// Marks and distances that were made up for these tests: x, y, dx, dy.
const FIXED: [[f64; 4]; 9] = [
    [20.0, 25.0, 0.61, -0.32],
    [105.0, 25.0, 0.83, 0.27],
    [190.0, 25.0, 1.12, 0.94],
    [20.0, 148.0, -0.24, -0.05],
    [105.0, 148.0, 0.02, 0.61],
    [190.0, 148.0, 0.31, 1.18],
    [20.0, 272.0, -1.09, 0.33],
    [105.0, 272.0, -0.87, 0.88],
    [190.0, 272.0, -0.52, 1.57],
];

pub fn reading(number: usize, at: (f64, f64), off: (f64, f64)) -> Reading {
    Reading { mark: Mark { number, at: at.into() }, off: off.into(), place: None }
}

fn fixed(chosen: &[usize]) -> Vec<Reading> {
    let of = |i: &usize| {
        let [x, y, dx, dy] = FIXED[*i];
        reading(i + 1, (x, y), (dx, dy))
    };
    chosen.iter().map(of).collect()
}

fn fitted(readings: &[Reading]) -> (Machine, Vec<&'static str>) {
    let (machine, findings) = fit(readings, A4).expect("a machine");
    (machine, codes(findings))
}

fn codes(findings: Findings) -> Vec<&'static str> {
    findings.sorted().iter().map(|d| d.code).collect()
}

/// Source: numpy 2.4.6, `numpy.linalg.lstsq` on the same numbers, rcond=None, without moving
/// or scaling them: rows [1, 0, x, y, 0, 0] and [0, 1, 0, 0, x, y] for six numbers,
/// [1, 0, x, -y] and [0, 1, y, x] for four; residual: sqrt(sum of squares / marks).
#[test]
fn least_squares_against_numpy() {
    let all: Vec<usize> = (0..9).collect();
    let six = [
        0.6922290385656196,
        -0.5452194071238339,
        0.0031960784313725945,
        -0.006801764393061929,
        0.007313725490196168,
        0.002550939382681019,
    ];
    let line = [0.7282687894748376, -0.541422296042141, 0.002632165570295333, 0.006882553489083663];
    let two =
        [0.7158364568619505, -0.5299506167346841, 0.0030556451523205967, 0.0066779743963341015];
    let similar = |n: [f64; 4]| [n[0], n[1], n[2], -n[3], n[3], n[2]];
    for (chosen, numbers, model, rms) in [
        (&all[..], six, Model::Affine, 0.03776029),
        (&[0, 3, 6], similar(line), Model::Similar, 0.02535885),
        (&[0, 8], similar(two), Model::Similar, 0.0),
    ] {
        let (machine, _) = fitted(&fixed(chosen));
        assert_eq!(machine.model(), model);
        assert!((machine.rms() - rms).abs() < 1e-8, "{} {rms}", machine.rms());
        let [tx, ty, a, c, b, d] = numbers;
        for (x, y) in [(0.0, 0.0), (210.0, 0.0), (0.0, 297.0), (77.7, 123.4)] {
            let want = Point::new(x + tx + a * x + c * y, y + ty + b * x + d * y);
            let found = machine.falls(Point::new(x, y));
            assert!(found.distance(want) < 1e-9, "{chosen:?} at {x}, {y}: {found:?} {want:?}");
        }
    }
}

/// A machine without noise is found whole, and reported in its parts.
#[test]
fn shift_turn_scale_and_skew_come_back() {
    let (turn, skew) = (0.4_f64.to_radians(), 0.1_f64.to_radians());
    // Scaled and skewed about the middle of the sheet, then turned, then shifted.
    let middle = Vec2::new(105.0, 148.5);
    let falls = Affine::translate(middle + Vec2::new(0.7, -0.3))
        * Affine::new([turn.cos(), turn.sin(), -turn.sin(), turn.cos(), 0.0, 0.0])
        * Affine::new([1.003, 0.0, 0.998 * skew.tan(), 0.998, 0.0, 0.0])
        * Affine::translate(-middle);
    let exact = |i: usize| {
        let at = Point::new(FIXED[i][0], FIXED[i][1]);
        let off = falls * at - at;
        reading(i + 1, at.into(), off.into())
    };
    let (machine, codes) = fitted(&(0..9).map(exact).collect::<Vec<_>>());
    assert!(codes.is_empty(), "{codes:?}");
    assert!((machine.shift() - Vec2::new(0.7, -0.3)).hypot() < 1e-9);
    assert!((machine.turn() - 0.4).abs() < 1e-9, "{}", machine.turn());
    assert!((machine.scale() - Vec2::new(1.003, 0.998)).hypot() < 1e-9, "{:?}", machine.scale());
    assert!((machine.skew() - 0.1).abs() < 1e-9, "{}", machine.skew());
    assert!(machine.rms() < 1e-9);
    let told = machine.parts().csv();
    let want = "error,size,unit\nshift to the right,0.700,mm\nshift down,-0.300,mm\n\
        turn clockwise,0.400,degrees\ntoo long in x,0.300,%\ntoo long in y,-0.200,%\n\
        skew,0.100,degrees\nresidual (rms),0.000,mm\n";
    assert_eq!(told, want);
    // What is sent falls where it was meant.
    let point = Point::new(33.0, 222.0);
    assert!((falls * machine.sent(point)).distance(point) < 1e-9);
    let sheet = grid(5, 11);
    let fallen =
        |c: &CutSheet| c.contours.iter().map(|c| falls * c.path.clone()).collect::<Vec<_>>();
    for (is, meant) in fallen(&machine.correct(&sheet)).iter().zip(&sheet.contours) {
        let (a, b) = (is.bounding_box(), meant.path.bounding_box());
        assert!((a.origin() - b.origin()).hypot() < 1e-9 && (a.area() - b.area()).abs() < 1e-6);
    }
    assert_eq!(machine.correct(&sheet).marks, sheet.marks);
}

/// A machine that is off by 0.7 mm (0.6 and 0.36), turned by 0.4 degrees, stretched
/// by 0.3 %, and at every reading by a normal error of sigma in x and in y.
///
/// What can be expected: after correction the cut for p is off by what the map
/// that was found differs from the true one at p. Each of its two coordinates is
/// a fit of three numbers to n readings, of variance sigma^2 h(p), where
/// h(p) = 1/n + (x - mean x)^2 / Sxx + (y - mean y)^2 / Syy for marks on a grid.
/// * At the marks h sums to 3 (the trace of the hat matrix), so that the mean
///   square distance is 2 sigma^2 3/9: rms 0.82 sigma.
/// * Over the rectangle of the marks, 2a by 2b: Sxx = 6 a^2 and the mean of x^2 is
///   a^2/3, so that h is 1/9 + 1/18 + 1/18 = 2/9 on average: rms 0.67 sigma.
///
/// There a sheet's mean square is sigma^2 (A/9 + B/18) with A chi-squared of 2 and
/// B of 4 degrees of freedom. With t = 18 r^2 / sigma^2 its rms is beyond r for the share
/// 4 e^(-t/4) (1 - e^(-t/4) (1 + t/4)) + e^(-t/2) (1 + t/2) of all sheets.
///
/// With 0.05 mm as the length of the error (sigma = 0.05/sqrt 2) the rms is 0.024 mm, and
/// beyond 0.05 mm on 0.05 % of sheets. With 0.05 mm in x and in y each it is 0.033 mm,
/// and beyond 0.05 mm on 4.3 %: that noise cannot do better with nine marks.
#[test]
fn a_simulated_machine_as_exactly_as_its_noise_allows() {
    const SHEETS: usize = 4000;
    let turn = 0.4_f64.to_radians();
    let falls = Affine::translate((0.6, 0.36))
        * Affine::new([turn.cos(), turn.sin(), -turn.sin(), turn.cos(), 0.0, 0.0])
        * Affine::scale(1.003);
    let marks: Vec<Point> = (0..9)
        .map(|i| Point::new(20.0 + 85.0 * (i % 3) as f64, 25.0 + 123.5 * (i / 3) as f64))
        .collect();
    let over: Vec<Point> = (0..40 * 40)
        .map(|i| {
            let part = |i: usize| (i as f64 + 0.5) / 40.0;
            Point::new(20.0 + 170.0 * part(i % 40), 25.0 + 247.0 * part(i / 40))
        })
        .collect();
    let uncorrected = mean_square(&over, |p| falls * p - p).sqrt();
    assert!(uncorrected > 0.5, "{uncorrected}");
    let mut chance = Chance(2);
    for (sigma, at_marks, over_all, beyond) in
        [(0.05 / 2f64.sqrt(), 0.0289, 0.0236, 0.0005), (0.05, 0.0408, 0.0333, 0.04296)]
    {
        // The derivation in numbers.
        let t = 18.0 * (0.05 / sigma).powi(2);
        let tail = 4.0 * (-t / 4.0).exp() * (1.0 - (-t / 4.0).exp() * (1.0 + t / 4.0))
            + (-t / 2.0).exp() * (1.0 + t / 2.0);
        assert!((tail - beyond).abs() < 5e-5, "{tail}");
        let (mut marks_sum, mut all_sum, mut too_far) = (0.0, 0.0, 0);
        for _ in 0..SHEETS {
            let readings: Vec<Reading> = marks
                .iter()
                .enumerate()
                .map(|(i, at)| {
                    let noise = Vec2::new(chance.normal(), chance.normal()) * sigma;
                    reading(i + 1, (*at).into(), (falls * *at - *at + noise).into())
                })
                .collect();
            let (machine, _) = fit(&readings, A4).expect("no mark is far");
            let off = |p: Point| falls * machine.sent(p) - p;
            marks_sum += mean_square(&marks, off);
            let square = mean_square(&over, off);
            all_sum += square;
            too_far += usize::from(square.sqrt() > 0.05);
        }
        let rms = |sum: f64| (sum / SHEETS as f64).sqrt();
        let share = too_far as f64 / SHEETS as f64;
        println!(
            "sigma {sigma:.4}: at marks {:.4}, over all {:.4}, beyond 0.05 mm {share:.4}",
            rms(marks_sum),
            rms(all_sum)
        );
        // The mean of 4,000 squares is exact to 1.3 % or so, their root to half that; five times that is allowed.
        assert!((rms(marks_sum) / at_marks - 1.0).abs() < 0.03, "{}", rms(marks_sum));
        assert!((rms(all_sum) / over_all - 1.0).abs() < 0.03, "{}", rms(all_sum));
        assert!(rms(all_sum) < 0.05);
        let scatter = (beyond * (1.0 - beyond) / SHEETS as f64).sqrt();
        assert!((share - beyond).abs() < 5.0 * scatter + 1e-4, "{share}");
    }
}

fn mean_square(points: &[Point], off: impl Fn(Point) -> Vec2) -> f64 {
    points.iter().map(|p| off(*p).hypot2()).sum::<f64>() / points.len() as f64
}

#[test]
fn what_is_found_goes_by_the_marks() {
    let at = |places: &[(f64, f64)]| -> Vec<Reading> {
        let of = |(i, p): (usize, &(f64, f64))| reading(i + 1, *p, (0.5, 0.2));
        places.iter().enumerate().map(of).collect()
    };
    let (shift, similar, affine) = (Model::Shift, Model::Similar, Model::Affine);
    type Case<'a> = (&'a [(f64, f64)], Model, &'a [&'a str]);
    let cases: [Case<'_>; 9] = [
        (&[(100.0, 100.0)], shift, &["one-mark"]),
        (&[(20.0, 20.0), (190.0, 270.0)], similar, &["no-check"]),
        (&[(20.0, 20.0), (60.0, 50.0)], shift, &["marks-together"]),
        (&[(20.0, 20.0), (25.0, 50.0), (50.0, 20.0)], shift, &["marks-together"]),
        (&[(20.0, 20.0), (190.0, 20.0), (20.0, 270.0)], affine, &["no-check"]),
        (&[(20.0, 20.0), (190.0, 20.0), (20.0, 270.0), (190.0, 270.0)], affine, &[]),
        (&[(20.0, 20.0), (105.0, 145.0), (190.0, 270.0)], similar, &["marks-in-line"]),
        (&[(20.0, 20.0), (110.0, 20.0), (150.0, 22.0), (190.0, 20.0)], similar, &["marks-in-line"]),
        (&[(20.0, 20.0), (20.0, 270.0), (80.0, 140.0)], affine, &["no-check"]),
    ];
    for (places, model, want) in cases {
        let (machine, codes) = fitted(&at(places));
        assert_eq!(machine.model(), model, "{places:?}");
        assert_eq!(codes, want, "{places:?}");
        assert!((machine.shift() - Vec2::new(0.5, 0.2)).hypot() < 1e-9);
        assert!(machine.turn().abs() < 1e-9 && (machine.scale().x - 1.0).abs() < 1e-9);
    }
    let none = fit(&[], A4).expect_err("no marks");
    assert_eq!(codes(none), ["no-marks"]);
}

#[test]
fn a_mark_that_speaks_against_the_others_is_named() {
    for wrong in 0..9 {
        let mut readings = fixed(&(0..9).collect::<Vec<_>>());
        readings[wrong].off.x += 1.4;
        let findings = fit(&readings, A4).expect_err("one mark is wrong").sorted();
        assert_eq!(findings.len(), 1);
        assert_eq!((findings[0].code, findings[0].severity), ("far-mark", Severity::Error));
        let start = format!("mark {} disagrees with the others by", wrong + 1);
        assert!(findings[0].message.starts_with(&start), "{}", findings[0].message);
    }
}

#[test]
fn more_left_than_the_bleed_is_told() {
    let mut readings = fixed(&(0..9).collect::<Vec<_>>());
    // What no map of straight lines can follow: every other mark up, the others down.
    readings
        .iter_mut()
        .enumerate()
        .for_each(|(i, r)| r.off.y += if i % 2 == 0 { 0.6 } else { -0.6 });
    let with = |bleed| fit(&readings, Tolerances { bleed, ..A4 }).expect("a machine");
    let (machine, findings) = with(0.5);
    assert_eq!(codes(findings), ["beyond-bleed"]);
    assert!(machine.rms() > 0.5 && machine.rms() < 0.7, "{}", machine.rms());
    assert!(with(0.7).1.is_empty());
}

#[test]
fn odd_machines_and_impossible_ones() {
    let corners = [(20.0, 20.0), (190.0, 20.0), (20.0, 270.0), (190.0, 270.0)];
    // 8 mm over 170 mm.
    let turned = corners.map(|(x, y)| (-(y - 145.0) * 0.06, (x - 105.0) * 0.06));
    let readings: Vec<Reading> = (0..4).map(|i| reading(i + 1, corners[i], turned[i])).collect();
    let (machine, codes_of) = fitted(&readings);
    assert!((machine.turn() - 3.434).abs() < 0.01, "{}", machine.turn());
    assert_eq!(codes_of, ["odd-machine"]);
    let mirrored: Vec<Reading> =
        (0..4).map(|i| reading(i + 1, corners[i], (-2.0 * corners[i].0, 0.0))).collect();
    assert_eq!(codes(fit(&mirrored, A4).expect_err("folded")), ["no-such-machine"]);
}

#[test]
fn cuts_that_leave_the_sheet_are_told() {
    let (machine, _) = fitted(&[reading(1, (100.0, 100.0), (5.0, 0.0))]);
    let sheet = grid(2, 3);
    assert!(outside(&sheet).is_empty());
    let told = outside(&machine.correct(&sheet)).sorted();
    // 4.7 mm from the edge, sent 5 mm to the left: the three labels of the first column.
    assert_eq!(told.len(), 3);
    assert!(told[0].message.starts_with("the cut of label 1 is partly off"), "{}", told[0].message);
}
