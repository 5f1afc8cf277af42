//! Where a strip of one page differs from that of another with most things in common.

use std::collections::HashSet;

use crate::sheet::identity::Digest;

/// Columns from the first to before the second.
type Columns = (i64, i64);

/// The columns in which two strips differ, from left to right. Each strip is what it shows, from
/// the bottom up, with the columns that each thing may touch. `None` where what they have in
/// common lies in another order: then they may differ anywhere.
pub fn columns(one: &[(Digest, Columns)], other: &[(Digest, Columns)]) -> Option<Vec<Columns>> {
    let all = |shown: &[(Digest, Columns)]| shown.iter().map(|(d, _)| *d).collect::<HashSet<_>>();
    let (in_one, in_other) = (all(one), all(other));
    let (common, mut own) = split(one, &in_other);
    let (also, others) = split(other, &in_one);
    if common != also {
        return None;
    }
    own.extend(others);
    own.sort_unstable();
    let mut joined: Vec<Columns> = Vec::new();
    for (left, right) in own {
        match joined.last_mut() {
            Some(last) if left <= last.1 => last.1 = last.1.max(right),
            _ => joined.push((left, right)),
        }
    }
    Some(joined)
}

/// What the other strip shows too, and the columns of what it does not.
fn split(shown: &[(Digest, Columns)], other: &HashSet<Digest>) -> (Vec<Digest>, Vec<Columns>) {
    let (common, own): (Vec<_>, Vec<_>) = shown.iter().partition(|(d, _)| other.contains(d));
    let digests = common.into_iter().map(|(d, _): (Digest, Columns)| d).collect();
    (digests, own.into_iter().map(|(_, c)| c).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thing(name: u8, left: i64, right: i64) -> (Digest, Columns) {
        (Digest([name; 16]), (left, right))
    }

    #[test]
    fn only_what_one_of_them_lacks_counts() {
        let one = [thing(1, 0, 9), thing(2, 3, 5), thing(3, 7, 8)];
        let other = [thing(1, 0, 9), thing(4, 4, 6), thing(3, 7, 8), thing(5, 20, 22)];
        assert_eq!(columns(&one, &other), Some(vec![(3, 6), (20, 22)]));
        assert_eq!(columns(&one, &one), Some(vec![]));
    }

    #[test]
    fn another_order_is_no_small_difference() {
        let one = [thing(1, 0, 9), thing(2, 3, 5)];
        let other = [thing(2, 3, 5), thing(1, 0, 9)];
        assert_eq!(columns(&one, &other), None);
        // Twice over is another order too: what lies below shows through.
        assert_eq!(columns(&one[..1], &[one[0], one[0]]), None);
    }
}
