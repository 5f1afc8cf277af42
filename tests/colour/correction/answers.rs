//! What is learnt from answers: which patch is nearest to a part.

use super::common::{PRINTERS, Printer, colours, long, normal};
use shadecard::correction::{Answered, Answers, Form, Looked, Spot};

/// Differences as these tests count them: in CIELAB.
fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
    long([0, 1, 2].map(|k| a[k] - b[k]))
}

/// Parts of about what the model shows, each among patches a step away in value; what is seen is off by `sigma`.
fn look(printer: &Printer, spots: &[Spot], sigma: f64, rng: &mut fastrand::Rng) -> Vec<Looked> {
    let one = |spot: &Spot| {
        let mut patches = vec![*spot];
        for axis in 0..8 {
            let mut value = [spot.value[0], spot.value[1], spot.value[2]];
            let by = if axis % 2 == 0 { 14.0 } else { -14.0 };
            for (k, v) in value.iter_mut().enumerate() {
                let moves = axis / 2 == 3 || axis / 2 == k;
                *v = if moves { (*v + by).clamp(0.0, 255.0) } else { *v };
            }
            patches.push(super::common::spot(value));
        }
        let seen = |p: &Spot| {
            let off = printer.off(p);
            apart(spot.lab, [0, 1, 2].map(|k| p.lab[k] + off[k] + sigma * normal(rng)))
        };
        let far: Vec<f64> = patches.iter().map(seen).collect();
        let nearest = (0..9).min_by(|a, b| far[*a].total_cmp(&far[*b])).expect("nine");
        Looked { aim: spot.lab, patches, nearest: vec![nearest], like: far[nearest] < 4.0 }
    };
    spots.iter().map(one).collect()
}

fn learnt(looked: &[Looked]) -> Answered {
    let bare = super::common::spot([255.0; 3]);
    Answered::from(&Answers { looked, bare, channels: 3, distance: apart })
}

fn error(of: impl Fn(&Spot) -> [f64; 3], printer: &Printer, spots: &[Spot]) -> f64 {
    let each = spots.iter().map(|s| apart(of(s), printer.off(s)));
    each.sum::<f64>() / spots.len() as f64
}

#[test]
fn answers_teach_printers_and_say_how_well() {
    for printer in &PRINTERS {
        let mut rng = fastrand::Rng::with_seed(8);
        let looked = look(printer, &colours(120, &mut rng), 0.6, &mut rng);
        let others = colours(150, &mut rng);
        let answered = learnt(&looked);
        let before = error(|_| [0.0; 3], printer, &others);
        let after = error(|s| answered.at(s), printer, &others);
        println!("{:?}: {before:.2} -> {after:.2}", answered.form());
        assert!(after < 0.6 * before, "{before:.2} -> {after:.2} {printer:?}");
        let square = |v: [f64; 3]| v.iter().map(|v| v * v).sum::<f64>();
        let found: f64 = answered.left_out().iter().map(|e| square(e.off)).sum();
        let stated: f64 = answered.left_out().iter().map(|e| e.sigma * e.sigma).sum();
        let ratio = (stated / found).sqrt();
        assert!((0.8..1.25).contains(&ratio), "{ratio:.2} {printer:?}");
    }
}

#[test]
fn a_part_unlike_all_patches_still_says_which_way() {
    // All colours are printed much darker: no patch is like its part.
    let dark = Printer { gain: [0.2; 3], cross: 0.0, turn: 0.0, veil: 0.0, bump: 0.0 };
    let mut rng = fastrand::Rng::with_seed(5);
    let looked = look(&dark, &colours(120, &mut rng), 0.6, &mut rng);
    let unlike = looked.iter().filter(|l| !l.like).count();
    let others = colours(150, &mut rng);
    let before = error(|_| [0.0; 3], &dark, &others);
    let all = learnt(&looked);
    let whole = error(|s| all.at(s), &dark, &others);
    // Thrown away, little is left to learn from.
    let like: Vec<Looked> = looked.iter().filter(|l| l.like).cloned().collect();
    let rest = learnt(&like);
    let some = error(|s| rest.at(s), &dark, &others);
    println!("{unlike} unlike: {before:.2} -> {whole:.2}; of the rest {some:.2}");
    assert!(unlike > 40 && before > 5.0, "{unlike} {before:.2}");
    assert!(whole < before / 3.0 && whole < some, "{before:.2} {whole:.2} {some:.2}");
}

#[test]
fn a_wrong_answer_does_little_and_is_reported() {
    let printer = &PRINTERS[1];
    let mut rng = fastrand::Rng::with_seed(6);
    let mut looked = look(printer, &colours(120, &mut rng), 0.4, &mut rng);
    let before = learnt(&looked);
    let spots = colours(80, &mut rng);
    // The lightest of all was seen, and the darkest is written.
    let wrong = (0..120).find(|i| looked[*i].nearest[0] == 7).expect("one");
    looked[wrong].nearest = vec![8];
    let after = learnt(&looked);
    let moved = spots.iter().map(|s| apart(before.at(s), after.at(s))).fold(0.0, f64::max);
    assert!(moved < 1.5, "{moved:.2}");
    assert!(after.outliers().contains(&wrong) && !before.outliers().contains(&wrong));
    assert!(after.outliers().len() <= 3, "{:?}", after.outliers());
}

#[test]
fn chance_and_nonsense_teach_nothing() {
    let mut rng = fastrand::Rng::with_seed(7);
    let true_to_model = Printer { gain: [0.0; 3], cross: 0.0, turn: 0.0, veil: 0.0, bump: 0.0 };
    let spots = colours(60, &mut rng);
    let mut looked = look(&true_to_model, &spots, 0.6, &mut rng);
    // Of a printer that is as its model says, next to nothing is learnt.
    let small = learnt(&looked);
    let off = error(|s| small.at(s), &true_to_model, &spots);
    assert!(off < 0.6, "{off}");
    assert_eq!(learnt(&[]).form(), Form::None);
    assert_eq!(learnt(&looked[..3]).form(), Form::None);
    // Nothing is known then of how far it is off.
    assert!(learnt(&[]).sigma(&spots[0]) > 2.0);
    // Nothing named, numbers of no patch, no patches: no fault, and numbers come out.
    looked[0].nearest = vec![];
    looked[1].nearest = vec![77];
    looked[2].nearest = vec![1, 2, 3];
    looked[3].aim = [1e9, -1e9, 0.0];
    looked[4].like = false;
    let answered = learnt(&looked);
    assert_eq!(answered.left_out().len(), 60);
    for spot in &spots {
        assert!(answered.at(spot).iter().all(|v| v.is_finite()));
        assert!(answered.sigma(spot).is_finite());
    }
}

#[test]
fn the_same_answers_give_the_same() {
    let mut rng = fastrand::Rng::with_seed(9);
    let spots = colours(50, &mut rng);
    let looked = look(&PRINTERS[0], &spots, 0.6, &mut rng);
    let (a, b) = (learnt(&looked), learnt(&looked));
    assert_eq!(a.left_out(), b.left_out());
    assert!(spots.iter().all(|s| a.at(s) == b.at(s)));
}
