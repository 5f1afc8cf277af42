//! The one way in which painters write numbers: fixed decimals, as short as can be.

/// Powers of ten for the decimals that painters ask for.
const POW10: [f64; 7] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];

/// Decimals of lengths in millimetres and in points: under a hundredth of a
/// 300 dpi pixel.
pub const LENGTH: usize = 3;
/// Decimals of factors: scales and the parts of a matrix.
pub const FACTOR: usize = 6;

/// Appends `value`, rounded to `decimals` places (at most 6), without
/// trailing zeros and never as `-0`. What is not finite is written as 0.
pub fn push(out: &mut String, value: f64, decimals: usize) {
    let decimals = decimals.min(POW10.len() - 1);
    let scaled = (value * POW10[decimals]).round();
    // Beyond 2^53 a double has no decimals to write.
    if !scaled.is_finite() || scaled.abs() > 9e15 {
        out.push_str(&format!("{:.0}", if value.is_finite() { value } else { 0.0 }));
        return;
    }
    // From the last digit to the first, trailing zeros left out.
    let mut digits = [0; 32];
    let mut at = digits.len();
    let mut put = |digit: u8| {
        at -= 1;
        digits[at] = digit;
    };
    let (whole, unit) = (scaled.abs() as u64, POW10[decimals] as u64);
    let (mut rest, mut left) = (whole % unit, decimals);
    if rest > 0 {
        while rest.is_multiple_of(10) {
            (rest, left) = (rest / 10, left - 1);
        }
        for _ in 0..left {
            put(b'0' + (rest % 10) as u8);
            rest /= 10;
        }
        put(b'.');
    }
    let mut whole = whole / unit;
    loop {
        put(b'0' + (whole % 10) as u8);
        whole /= 10;
        if whole == 0 {
            break;
        }
    }
    if scaled < 0.0 {
        put(b'-');
    }
    out.extend(digits[at..].iter().copied().map(char::from));
}

/// `value` as [`push`] writes it.
pub fn number(value: f64, decimals: usize) -> String {
    let mut out = String::new();
    push(&mut out, value, decimals);
    out
}

/// A length with [`LENGTH`] decimals.
pub fn length(value: f64) -> String {
    number(value, LENGTH)
}

/// A factor with [`FACTOR`] decimals.
pub fn factor(value: f64) -> String {
    number(value, FACTOR)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        let cases = [
            (0.0, "0"),
            (-0.0, "0"),
            (-0.0004, "0"),
            (0.0005, "0.001"),
            (-0.5, "-0.5"),
            (12.0, "12"),
            (12.3450001, "12.345"),
            (100.05, "100.05"),
            (-1234.5678, "-1234.568"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
            (1e16, "10000000000000000"),
        ];
        for (value, text) in cases {
            assert_eq!(number(value, 3), text, "{value}");
        }
        assert_eq!(number(0.9999, 0), "1");
    }

    #[test]
    fn a_number_reads_back_within_half_a_step() {
        for i in -5000..5000 {
            let value = f64::from(i) * 0.000_731;
            let back: f64 = number(value, 4).parse().expect("a number");
            assert!((back - value).abs() <= 0.500_001e-4, "{value}");
        }
    }
}
