//! Look-alikes put together: colours that are all close to each other are one cluster, not many pairs.

use std::collections::HashMap;

use super::lookalike::nearest;
use super::{Lab50, difference};
use crate::work::Work;

/// Most colours of a cluster: so many can be held against each other in one glance.
///
/// Common practice, no source.
pub const MOST_TOGETHER: usize = 4;

/// Pairs that are looked at for each cluster that is asked for: most join clusters that are there.
const PAIRS_EACH: usize = 16;

/// Colours that are close to each other, by their places in a list.
#[derive(Debug, Clone, PartialEq)]
pub struct Cluster {
    /// In the order of the list, at least two.
    pub members: Vec<usize>,
    /// CIEDE2000 of its closest two.
    pub distance: f64,
}

/// The closest clusters, nearest first, at most `most`.
///
/// All members of one are up to `limit` apart, and no colour is in two. Of more than
/// [`MOST_TOGETHER`] colours of one value the first stand for the others.
pub fn clusters(colours: &[Lab50], limit: f64, most: usize, work: &Work) -> Vec<Cluster> {
    let classes = classes(colours);
    let values: Vec<Lab50> = classes.iter().map(|members| colours[members[0]]).collect();
    let mut out: Vec<Cluster> = Vec::new();
    // In which cluster each value is.
    let mut home: HashMap<usize, usize> = HashMap::new();
    for (class, members) in classes.iter().enumerate().filter(|(_, m)| m.len() > 1).take(most) {
        home.insert(class, out.len());
        let members = members[..members.len().min(MOST_TOGETHER)].to_vec();
        out.push(Cluster { members, distance: 0.0 });
    }
    for pair in nearest(&values, limit, most.saturating_mul(PAIRS_EACH), work) {
        let (a, b) = (pair.first, pair.second);
        match (home.get(&a).copied(), home.get(&b).copied()) {
            (None, None) if out.len() == most => break,
            (None, None) => {
                home.extend([(a, out.len()), (b, out.len())]);
                let members = vec![classes[a][0], classes[b][0]];
                out.push(Cluster { members, distance: pair.distance });
            }
            (Some(at), None) => join(colours, &mut out[at], classes[b][0], limit, || {
                home.insert(b, at);
            }),
            (None, Some(at)) => join(colours, &mut out[at], classes[a][0], limit, || {
                home.insert(a, at);
            }),
            (Some(_), Some(_)) => {}
        }
    }
    out.iter_mut().for_each(|c| c.members.sort_unstable());
    out
}

/// Adds a colour to a cluster if it is close to all of it and there is room.
fn join(
    colours: &[Lab50],
    cluster: &mut Cluster,
    colour: usize,
    limit: f64,
    joined: impl FnOnce(),
) {
    let close = |m: &usize| difference(colours[*m], colours[colour]) <= limit;
    if cluster.members.len() < MOST_TOGETHER && cluster.members.iter().all(close) {
        cluster.members.push(colour);
        joined();
    }
}

/// Places of colours of one value, in the order of the list.
fn classes(colours: &[Lab50]) -> Vec<Vec<usize>> {
    let mut places: HashMap<[u64; 3], usize> = HashMap::new();
    let mut out: Vec<Vec<usize>> = Vec::new();
    for (i, c) in colours.iter().enumerate() {
        let class = *places.entry([c.l, c.a, c.b].map(f64::to_bits)).or_insert(out.len());
        match out.get_mut(class) {
            Some(members) => members.push(i),
            None => out.push(vec![i]),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grey(l: f64) -> Lab50 {
        Lab50::new(l, 0.0, 0.0)
    }

    fn members(of: &[Cluster]) -> Vec<Vec<usize>> {
        of.iter().map(|c| c.members.clone()).collect()
    }

    #[test]
    fn close_colours_are_one_cluster() {
        // Three greys a step apart, two others a step apart, one alone.
        let list = [50.0, 20.0, 51.0, 80.0, 52.0, 21.5].map(grey);
        assert_eq!(
            members(&clusters(&list, 4.0, 9, &Work::default())),
            [vec![0, 2, 4], vec![1, 5]]
        );
        assert_eq!(members(&clusters(&list, 4.0, 1, &Work::default())), [vec![0, 2, 4]]);
    }

    #[test]
    fn a_colour_far_from_one_member_stays_out() {
        // Neighbours are 3 apart in L*, the outer ones 6: only two of them go together.
        let list = [50.0, 53.0, 56.0].map(grey);
        let found = clusters(&list, 4.0, 9, &Work::default());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].members.len(), 2, "{found:?}");
    }

    #[test]
    fn one_value_is_shown_once_whatever_number_of_colours_has_it() {
        let list = [vec![grey(40.0); 30], vec![grey(70.0), grey(71.0)]].concat();
        let found = clusters(&list, 10.0, 6, &Work::default());
        assert_eq!(members(&found), [vec![0, 1, 2, 3], vec![30, 31]]);
        assert!(found[0].distance == 0.0 && found[1].distance > 0.5);
    }

    #[test]
    fn no_colour_is_in_two_clusters_and_none_is_wider_than_the_limit() {
        let list: Vec<Lab50> = (0..60)
            .map(|i| {
                (40.0 + f64::from(i * 7 % 23), f64::from(i * 5 % 17) - 8.0, f64::from(i * 3 % 13))
            })
            .map(|(l, a, b)| Lab50::new(l, a, b))
            .collect();
        let found = clusters(&list, 5.0, 12, &Work::default());
        assert_eq!(found.len(), 12);
        let mut seen: Vec<usize> = found.iter().flat_map(|c| c.members.clone()).collect();
        seen.sort_unstable();
        assert!(seen.windows(2).all(|w| w[0] != w[1]), "{seen:?}");
        for c in &found {
            for (a, b) in c.members.iter().flat_map(|a| c.members.iter().map(move |b| (a, b))) {
                assert!(difference(list[*a], list[*b]) <= 5.0);
            }
        }
        assert!(found.windows(2).all(|w| w[0].distance <= w[1].distance));
    }
}
