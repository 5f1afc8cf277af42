//! A small case for the solver, made from bytes, held against exhaustive search.

use super::dice::Dice;
use super::exhaustive::{Case, Way, exhaustive, solved};

/// Rows of all families: exhaustive search cuts them everywhere.
const MOST_ROWS: usize = 12;

pub fn entry(bytes: &[u8]) -> String {
    let mut dice = Dice::new(bytes);
    let case = case(&mut dice);
    let (ours, theirs) = (solved(&case), exhaustive(&case));
    match (ours, theirs) {
        (None, None) => "nothing".to_owned(),
        (Some((a, splits)), Some(b)) => {
            assert!((a - b).abs() < 1e-9, "solver {a}, search {b}: {case:?}");
            format!("{a} {splits}")
        }
        _ => panic!("solver {ours:?}, search {theirs:?}: {case:?}"),
    }
}

fn case(dice: &mut Dice<'_>) -> Case {
    let count = 1 + dice.below(3);
    let mut families = Vec::new();
    let mut steps = Vec::new();
    for _ in 0..count {
        let rows = 1 + dice.below(MOST_ROWS / count);
        let ways: Vec<Way> = (0..1 + dice.below(2)).map(|_| way(dice)).collect();
        families.push((rows, ways));
        let step = |dice: &mut Dice<'_>| if dice.chance(4) { 0.0 } else { dice.number(0.0, 40.0) };
        steps.push((1..rows).map(|_| step(dice)).collect());
    }
    Case {
        families,
        steps,
        head: 2 + dice.below(6) as u32,
        room: 8 + dice.below(60) as u32,
        columns: 1 + dice.below(3),
        width: dice.number(20.0, 160.0),
        furniture: dice.chance(2).then(|| 4 + dice.below(26) as u32),
    }
}

fn way(dice: &mut Dice<'_>) -> Way {
    let wide = |dice: &mut Dice<'_>| dice.number(5.0, 30.0);
    (wide(dice), wide(dice), 3 + dice.below(3) as u32, dice.number(0.0, 0.05))
}
