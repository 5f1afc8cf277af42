//! The orders of families that are tried.

use crate::range::FamilyOrder;

/// Most inversions of the family order.
const MOST_INVERSIONS: usize = 2;

/// Families in one order.
pub(super) struct TriedOrder {
    /// Indices into `facts.families`.
    pub(super) families: Vec<usize>,
    /// Pairs that are the other way round than on the sheet.
    pub(super) inversions: usize,
}

/// Family orders with at most two inversions, fewest first; the sheet's own
/// alone where it is to be kept.
pub(super) fn orders(count: usize, order: FamilyOrder) -> Vec<TriedOrder> {
    let identity: Vec<usize> = (0..count).collect();
    let mut out = vec![TriedOrder { families: identity.clone(), inversions: 0 }];
    if order == FamilyOrder::Sheet {
        return out;
    }
    let mut last = vec![identity];
    for inversions in 1..=MOST_INVERSIONS {
        let mut next: Vec<Vec<usize>> = Vec::new();
        for order in &last {
            for i in 1..count {
                // Swapping neighbours that are in order adds one inversion.
                if order[i - 1] < order[i] {
                    let mut swapped = order.clone();
                    swapped.swap(i - 1, i);
                    if !next.contains(&swapped) {
                        next.push(swapped);
                    }
                }
            }
        }
        out.extend(next.iter().map(|o| TriedOrder { families: o.clone(), inversions }));
        last = next;
        if count > 16 {
            break;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_have_the_inversions_they_claim() {
        let all = orders(5, FamilyOrder::Any);
        for TriedOrder { families, inversions } in &all {
            let counted = (0..5)
                .flat_map(|i| (0..i).map(move |j| (i, j)))
                .filter(|(i, j)| families[*j] > families[*i])
                .count();
            assert_eq!(counted, *inversions, "{families:?}");
        }
        // Mahonian numbers for n = 5: 1, 4, 9 permutations with 0, 1, 2 inversions (OEIS A008302).
        assert_eq!(all.len(), 1 + 4 + 9);
    }
}
