//! Readings and places that make no sense.

use super::common::{PRINTERS, colours, long, spot};
use shadecard::correction::{Form, Learnt, Reading, Spot};

const ODD: [f64; 9] =
    [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300, 0.0, -1.0, 1e-300, 149.0];

/// Everything that comes out is a number, wherever one asks.
fn all_finite(readings: &[Reading]) -> Learnt {
    let learnt = Learnt::from(readings);
    assert_eq!(learnt.left_out().len(), readings.len());
    for left in learnt.left_out() {
        assert!(left.off.iter().chain([&left.sigma]).all(|v| v.is_finite()), "{left:?}");
        assert!(left.sigma > 0.0);
    }
    assert!(learnt.noise().iter().all(|n| n.1.is_finite() && n.1 > 0.0));
    for odd in ODD {
        for lab in [[odd; 3], [50.0, odd, 0.0]] {
            for value in [[odd; 4], [0.0, 10.0, odd, 0.0]] {
                let (off, sigma) = learnt.at(&Spot { lab, value });
                assert!(off.iter().chain([&sigma]).all(|v| v.is_finite()), "{off:?} {sigma}");
                // Nothing is known there better than what was read.
                assert!(sigma > 0.005, "{odd} {sigma}");
            }
        }
    }
    learnt
}

#[test]
fn none_and_one() {
    let none = all_finite(&[]);
    assert_eq!((none.form(), none.at(&spot([9.0; 3])).0), (Form::None, [0.0; 3]));
    // What a printer usually is off.
    let usual = none.at(&spot([9.0; 3])).1;
    assert!((2.0..6.0).contains(&usual), "{usual}");
    let one = Reading { at: spot([200.0, 90.0, 30.0]), off: [3.0, 0.0, 1.0], sigma: 0.3, kind: 0 };
    assert_eq!(all_finite(&[one]).form(), Form::None);
    assert_eq!(all_finite(&vec![one; 3000]).form(), Form::None);
}

#[test]
fn two_places_and_all_the_same() {
    let at = [spot([200.0, 90.0, 30.0]), spot([20.0, 90.0, 130.0])];
    let reading = |at: Spot, off| Reading { at, off: [off, 0.0, 0.0], sigma: 0.2, kind: 4 };
    let two = [reading(at[0], 2.0), reading(at[1], 2.2), reading(at[0], 2.1)];
    let learnt = all_finite(&two);
    assert!((learnt.at(&at[0]).0[0] - 2.05).abs() < 0.3, "{learnt:?}");
    let mut rng = fastrand::Rng::with_seed(2);
    let same: Vec<Reading> = colours(60, &mut rng).iter().map(|at| reading(*at, 2.5)).collect();
    let learnt = all_finite(&same);
    let off = learnt.at(&spot([7.0, 200.0, 100.0])).0;
    assert!(long([off[0] - 2.5, off[1], off[2]]) < 0.2, "{off:?}");
    let zero: Vec<Reading> = colours(60, &mut rng).iter().map(|at| reading(*at, 0.0)).collect();
    assert_eq!(all_finite(&zero).at(&at[0]).0, [0.0; 3]);
}

#[test]
fn odd_numbers_everywhere() {
    let mut rng = fastrand::Rng::with_seed(3);
    let good = PRINTERS[0].read(&colours(60, &mut rng), 0.5, &mut rng);
    let mut readings = good.clone();
    for odd in ODD {
        let base = readings[7];
        readings.push(Reading { off: [odd, 1.0, 0.0], ..base });
        readings.push(Reading { sigma: odd, ..base });
        readings.push(Reading { at: Spot { lab: [odd; 3], ..base.at }, ..base });
        readings.push(Reading { at: Spot { value: [odd; 4], ..base.at }, kind: 200, ..base });
        all_finite(&readings[readings.len() - 4..]);
    }
    let learnt = all_finite(&readings);
    // Those that cannot be used are reported; 1e300 too.
    assert!(learnt.outliers().contains(&good.len()));
    assert!(learnt.outliers().contains(&(good.len() + 12)));
    // The good ones still have their say.
    let clean = Learnt::from(&good);
    let apart = |r: &Reading| {
        let (a, b) = (clean.at(&r.at).0, learnt.at(&r.at).0);
        long([0, 1, 2].map(|i| a[i] - b[i]))
    };
    let mean = good.iter().map(apart).sum::<f64>() / good.len() as f64;
    assert!(mean < 0.6, "{mean}");
}

#[test]
fn many_readings_are_bounded_in_work() {
    let mut rng = fastrand::Rng::with_seed(5);
    let spots = colours(3000, &mut rng);
    let readings = PRINTERS[0].read(&spots, 1.0, &mut rng);
    let learnt = all_finite(&readings);
    let error = super::common::errors(&learnt, &PRINTERS[0], &spots);
    assert!(error[1] < 0.3, "{error:?}");
}
