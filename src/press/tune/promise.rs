//! What is promised of tuned values beside plain ones, whatever the search has found.

use super::search::Search;
use crate::colour::difference;

/// Colours are no farther from their aims on average: where the search failed in that, those that
/// are farthest beside their plain values go back to them. Ends with all plain at the latest.
pub fn keep(search: &mut Search<'_>, plain: f64) {
    if search.mean_off() <= plain {
        return;
    }
    let gain = |i: usize| {
        let own = &search.own[i];
        let aim = own.aim.lab;
        difference(aim, search.shown[i].lab) - difference(aim, own.plain.lab)
    };
    let mut gains: Vec<(f64, usize)> = (0..search.own.len()).map(|i| (gain(i), i)).collect();
    gains.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut over: f64 = gains.iter().map(|(gain, _)| gain).sum();
    for (gain, i) in gains {
        if over <= 0.0 {
            break;
        }
        search.put(i, search.own[i].plain_value);
        over -= gain;
    }
}
