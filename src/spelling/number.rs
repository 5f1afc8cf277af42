//! Whole numbers in words.

use crate::read::raw::Numbers;

use super::fill::fill_in;

/// The number in words up to 9,999; none where a word is missing.
pub(super) fn words(table: &Numbers, n: usize) -> Option<String> {
    match n {
        0..20 => table.units.as_ref()?.get(n).cloned(),
        20..100 => {
            let tens = table.tens.as_ref()?.get(n / 10 - 2)?;
            match n % 10 {
                0 => Some(tens.clone()),
                rest => {
                    let units = words(table, rest)?;
                    Some(fill_in(table.between.as_ref()?, &[("tens", tens), ("units", &units)]))
                }
            }
        }
        100..1000 => over(table, n, 100, table.hundred.as_ref()?),
        1000..10_000 => over(table, n, 1000, table.thousand.as_ref()?),
        _ => None,
    }
}

fn over(table: &Numbers, n: usize, unit: usize, template: &str) -> Option<String> {
    let count = words(table, n / unit)?;
    let big = fill_in(template, &[("n", &count)]);
    match n % unit {
        0 => Some(big),
        rest => {
            let small = words(table, rest)?;
            // 'one thousand two hundred', but 'one thousand and two'.
            let joined = match rest {
                1..100 => table.joined.as_ref()?.as_str(),
                _ => "{big} {small}",
            };
            Some(fill_in(joined, &[("big", &big), ("small", &small)]))
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::spelling::Spelling;

    #[test]
    fn both_spellings() {
        for (n, gb, us) in [
            (0, "nought", "zero"),
            (13, "thirteen", "thirteen"),
            (40, "forty", "forty"),
            (118, "one hundred and eighteen", "one hundred eighteen"),
            (128, "one hundred and twenty-eight", "one hundred twenty-eight"),
            (1002, "one thousand and two", "one thousand two"),
            (
                9999,
                "nine thousand nine hundred and ninety-nine",
                "nine thousand nine hundred ninety-nine",
            ),
            (10_000, "10000", "10000"),
        ] {
            assert_eq!(Spelling::shipped("en-GB").unwrap().number_words(n), gb);
            assert_eq!(Spelling::shipped("en-US").unwrap().number_words(n), us);
        }
    }
}
