//! What is learnt of simulated printers.

use super::common::{PRINTERS, Printer, colours, errors, left_out, long};
use shadecard::correction::{Form, Learnt, Reading, Spot};

const FORMS: [Form; 6] =
    [Form::None, Form::Shift, Form::Affine, Form::Quadratic, Form::Cubic, Form::Process];

fn case(printer: &Printer, count: usize, sigma: f64) -> (Vec<Spot>, Vec<Reading>, Vec<Spot>) {
    let mut rng = fastrand::Rng::with_seed(31);
    let spots = colours(count, &mut rng);
    let readings = printer.read(&spots, sigma, &mut rng);
    (spots, readings, colours(200, &mut rng))
}

#[test]
fn the_process_learns_printers() {
    // Noise of each axis, and the mean CIEDE2000 allowed on colours read and on others.
    for (sigma, read, other) in [(0.3, 0.25, 0.32), (1.0, 0.5, 0.55), (2.0, 0.85, 0.9)] {
        for printer in &PRINTERS {
            let (spots, readings, others) = case(printer, 119, sigma);
            let learnt = Learnt::in_form(&readings, Form::Process);
            let (here, there) =
                (errors(&learnt, printer, &spots), errors(&learnt, printer, &others));
            assert!(here[1] < read && there[1] < other, "{sigma} {here:?} {there:?} {printer:?}");
        }
    }
}

#[test]
fn what_is_chosen_is_hardly_worse_than_the_best() {
    for sigma in [0.3, 1.0, 2.0] {
        for printer in &PRINTERS {
            let (spots, readings, _) = case(printer, 119, sigma);
            let error = |learnt: &Learnt| errors(learnt, printer, &spots)[0];
            let forms = FORMS.map(|form| error(&Learnt::in_form(&readings, form)));
            let best = forms.iter().fold(f64::INFINITY, |a, b| a.min(*b));
            let learnt = Learnt::from(&readings);
            assert!(error(&learnt) < 1.25 * best, "{sigma} {:?} {forms:?}", learnt.form());
        }
    }
}

#[test]
fn stated_errors_are_true() {
    for sigma in [0.3, 1.0, 2.0] {
        for form in FORMS {
            for printer in &PRINTERS {
                let (_, readings, others) = case(printer, 119, sigma);
                let learnt = Learnt::in_form(&readings, form);
                let (found, stated) = left_out(&learnt, &readings);
                let ratio = stated / found;
                assert!((ratio - 1.0).abs() < 0.2, "{sigma} {form:?} {found} {stated}");
                let error = errors(&learnt, printer, &others);
                let ratio = error[2] / error[3];
                assert!((0.7..1.5).contains(&ratio), "{sigma} {form:?} {error:?} {printer:?}");
            }
        }
    }
}

#[test]
fn noise_that_is_stated_wrongly_is_found() {
    let (_, mut readings, _) = case(&PRINTERS[1], 119, 1.0);
    for (i, reading) in readings.iter_mut().enumerate() {
        (reading.kind, reading.sigma) = if i % 2 == 0 { (3, 2.0) } else { (7, 0.5) };
    }
    // One reading alone tells nothing of its kind.
    readings[5].kind = 9;
    let learnt = Learnt::from(&readings);
    let noise = learnt.noise();
    assert_eq!(noise.iter().map(|n| n.0).collect::<Vec<_>>(), [3, 7, 9]);
    assert!((noise[0].1 / 0.5 - 1.0).abs() < 0.2, "{noise:?}");
    assert!((noise[1].1 / 2.0 - 1.0).abs() < 0.2, "{noise:?}");
    assert_eq!(noise[2].1, 1.0);
}

#[test]
fn a_wrong_reading_does_little_and_is_reported() {
    for sigma in [0.3, 1.0, 2.0] {
        for form in [Form::Cubic, Form::Process] {
            let (spots, mut readings, _) = case(&PRINTERS[0], 119, sigma);
            let before = Learnt::in_form(&readings, form);
            // One that was read once.
            let wrong = 40;
            readings[wrong].off[0] += 10.0;
            readings[wrong].off[2] -= 11.2;
            let after = Learnt::in_form(&readings, form);
            let moved = |spot: &Spot| {
                let (a, b) = (before.at(spot).0, after.at(spot).0);
                long([0, 1, 2].map(|i| a[i] - b[i]))
            };
            let most = spots.iter().map(moved).fold(0.0, f64::max);
            assert!(most < 0.3 + 0.4 * sigma, "{sigma} {form:?} {most}");
            let found = after.outliers();
            assert!(found.contains(&wrong) && found.len() <= 3, "{sigma} {form:?} {found:?}");
            assert!(!before.outliers().contains(&wrong));
        }
    }
}

#[test]
fn one_wrong_of_two_is_told_by_the_neighbours() {
    let (_, mut readings, _) = case(&PRINTERS[2], 119, 0.5);
    let double = 119 + 12;
    assert_eq!(readings[double].at, readings[36].at);
    readings[double].off[1] += 15.0;
    let learnt = Learnt::from(&readings);
    assert!(learnt.outliers().contains(&double) && !learnt.outliers().contains(&36));
}

#[test]
fn few_noisy_readings_give_a_polynomial() {
    let (mut polynomials, mut helped, mut best, mut runs) = (0, 0.0, 0.0, 0.0);
    for printer in &PRINTERS {
        for seed in 0..4 {
            let mut rng = fastrand::Rng::with_seed(seed);
            let readings = printer.read(&colours(9, &mut rng), 2.0, &mut rng);
            let others = colours(100, &mut rng);
            let error = |learnt: &Learnt| errors(learnt, printer, &others)[1];
            let learnt = Learnt::from(&readings);
            polynomials += usize::from(learnt.form() != Form::Process);
            helped += error(&learnt) - error(&Learnt::from(&[]));
            let forms = FORMS.map(|form| error(&Learnt::in_form(&readings, form)));
            best += error(&learnt) - forms.iter().fold(f64::INFINITY, |a, b| a.min(*b));
            runs += 1.0;
        }
        let (_, readings, _) = case(printer, 119, 0.3);
        assert_eq!(Learnt::from(&readings).form(), Form::Process);
    }
    assert!(polynomials >= 12, "{polynomials}");
    // Even these help, by CIEDE2000 of 2.8.
    assert!(helped / runs < -0.6, "{}", helped / runs);
    assert!(best / runs < 0.4, "{}", best / runs);
}

#[test]
fn the_same_readings_give_the_same() {
    let (spots, readings, _) = case(&PRINTERS[3], 60, 1.0);
    let (a, b) = (Learnt::from(&readings), Learnt::from(&readings));
    assert_eq!((a.form(), a.left_out()), (b.form(), b.left_out()));
    assert!(spots.iter().all(|s| a.at(s) == b.at(s)));
    // The order in which they come matters hardly.
    let turned: Vec<Reading> = readings.iter().rev().copied().collect();
    let c = Learnt::from(&turned);
    let apart = |s: &Spot| long([0, 1, 2].map(|i| a.at(s).0[i] - c.at(s).0[i]));
    assert!(spots.iter().all(|s| apart(s) < 1e-6));
}

#[test]
fn far_from_readings_it_stays_small() {
    // Read on light colours alone, then asked everywhere.
    let printer = &PRINTERS[1];
    let (_, readings, _) = case(printer, 119, 0.5);
    let light = readings.iter().filter(|r| r.at.lab[0] > 70.0).copied();
    let light: Vec<Reading> = light.collect();
    let largest = light.iter().map(|r| long(r.off)).fold(0.0, f64::max);
    for form in FORMS {
        let learnt = Learnt::in_form(&light, form);
        for l in [-1e9, 0.0, 30.0, 100.0, 1e9] {
            for a in [-1e9, -120.0, 0.0, 120.0] {
                let spot = Spot { lab: [l, a, -a], value: [0.0, 255.0, 0.0, 255.0] };
                let (off, sigma) = learnt.at(&spot);
                assert!(long(off) < 1.5 * largest + 1e-9, "{form:?} {off:?} {largest}");
                assert!(sigma.is_finite() && sigma < 50.0, "{form:?} {sigma}");
            }
        }
        // What is far from all readings is less certain than what is near.
        let dark = learnt.at(&super::common::spot([20.0, 10.0, 60.0])).1;
        let near = learnt.at(&light[3].at).1;
        let more = match form {
            Form::None | Form::Shift => 0.99,
            Form::Affine => 1.05,
            _ => 1.3,
        };
        assert!(dark > more * near, "{form:?} {dark} {near}");
    }
}
