//! Spares: a count of each line, or a share of it, rounded up to whole pieces.

use crate::diag::Diagnostic;

/// The most spares a line, and the largest share in percent.
pub const MOST: u64 = 10_000;
const MOST_PERCENT: u64 = 1_000;
/// Decimals of a share: nobody needs a hundred-thousandth of a percent.
const DECIMALS: usize = 4;
const UNIT: u64 = 10u64.pow(DECIMALS as u32);

/// How many pieces more than needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spares {
    Count(u64),
    /// In ten-thousandths of a percent, so that no share is rounded before it is used.
    Share(u64),
}

impl Spares {
    /// None at all.
    pub const NONE: Spares = Spares::Count(0);

    /// Reads `2` or `5%`; a share may have four decimals, after a point or a comma.
    ///
    /// # Errors
    /// Anything else; `option` is named in the message.
    pub fn parse(text: &str, option: &str) -> Result<Spares, Diagnostic> {
        let wrong = || {
            Diagnostic::error("bad-spares", format!("{option} must be a count or a share, not '{}'", text.trim()))
                .help(format!(
                    "write a count up to {MOST}, for example 2, or a share up to {MOST_PERCENT} %, for example 5%"
                ))
        };
        let text = text.trim();
        let Some(share) = text.strip_suffix('%') else {
            let count = whole(text).filter(|n| *n <= MOST).ok_or_else(wrong)?;
            return Ok(Spares::Count(count));
        };
        let share = share.trim_end();
        let (percent, decimals) = share.split_once(['.', ',']).unwrap_or((share, "0"));
        let percent = whole(percent).filter(|n| *n <= MOST_PERCENT).ok_or_else(wrong)?;
        if decimals.len() > DECIMALS {
            return Err(wrong());
        }
        let decimals = whole(&format!("{decimals:0<DECIMALS$}"))
            .filter(|d| percent < MOST_PERCENT || *d == 0)
            .ok_or_else(wrong)?;
        Ok(Spares::Share(percent * UNIT + decimals))
    }

    /// Spares of a line of `needed` pieces; none where nothing is needed.
    pub fn of(self, needed: u64) -> u64 {
        match self {
            _ if needed == 0 => 0,
            Spares::Count(n) => n,
            Spares::Share(share) => {
                let pieces = u128::from(needed) * u128::from(share);
                let up = pieces.div_ceil(u128::from(100 * UNIT));
                u64::try_from(up).unwrap_or(u64::MAX)
            }
        }
    }

    /// For machines: `{"count": 2}` or `{"percent": 5.0}`.
    pub fn json(self) -> serde_json::Value {
        match self {
            Spares::Count(n) => serde_json::json!({ "count": n }),
            Spares::Share(share) => serde_json::json!({ "percent": share as f64 / UNIT as f64 }),
        }
    }

    /// In words: '5 % of each line, rounded up', '2 of each line', 'none'.
    pub fn words(self) -> String {
        match self {
            Spares::Count(0) | Spares::Share(0) => "none".into(),
            Spares::Count(n) => format!("{n} of each line"),
            Spares::Share(share) => {
                let text = format!("{}.{:04}", share / UNIT, share % UNIT);
                let text = text.trim_end_matches('0').trim_end_matches('.');
                format!("{text} % of each line, rounded up")
            }
        }
    }
}

/// Digits only: no sign, no blank, not endless.
fn whole(text: &str) -> Option<u64> {
    let digits = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    text.parse().ok().filter(|_| digits)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str) -> Option<Spares> {
        Spares::parse(text, "--spares").ok()
    }

    #[test]
    fn counts_and_shares() {
        assert_eq!(parse("2"), Some(Spares::Count(2)));
        assert_eq!(parse("5%"), Some(Spares::Share(50_000)));
        assert_eq!(parse(" 2,5 %"), Some(Spares::Share(25_000)));
        assert_eq!(parse("0.0001%"), Some(Spares::Share(1)));
        assert_eq!(parse("1000%"), Some(Spares::Share(10_000_000)));
        for text in
            ["", "%", "-1", "+1", "1.5", "1e3", "10001", "1000.1%", "1.00001%", "5 percent", "٣"]
        {
            assert_eq!(parse(text), None, "{text}");
        }
    }

    #[test]
    fn a_share_is_rounded_up_and_only_where_it_must() {
        let share = |text: &str, needed| parse(text).expect("a share").of(needed);
        // 5 % of 1 is 0.05, of 20 exactly 1, of 21 is 1.05.
        assert_eq!([1, 20, 21].map(|n| share("5%", n)), [1, 1, 2]);
        // Exact tenths stay exact: 10 % of 30 is 3, 0.1 % of 3000 is 3.
        assert_eq!((share("10%", 30), share("0.1%", 3000)), (3, 3));
        assert_eq!((share("0%", 30), share("100%", 7), share("5%", 0)), (0, 7, 0));
        assert_eq!((Spares::Count(2).of(1), Spares::Count(2).of(0)), (2, 0));
    }

    #[test]
    fn said_in_words() {
        let words = |text: &str| parse(text).expect("spares").words();
        assert_eq!(words("2.50%"), "2.5 % of each line, rounded up");
        assert_eq!(words("100%"), "100 % of each line, rounded up");
        assert_eq!(
            (words("0"), words("0%"), words("3")),
            ("none".into(), "none".into(), "3 of each line".into())
        );
    }
}
