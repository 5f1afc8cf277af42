//! The joint choice for sheets of up to some hundred colours: every order, the exact programme.

use super::orders::TriedOrder;
use super::score::{
    INVERSION, last_page_cost, least_slack, odd_scale_cost, scale_loss, stretch_cost,
};
use super::search::{Best, Candidate, Pick, Search, Setting, Stand};

/// Does anything fit at this scale?
pub(super) fn fits(search: &Search<'_>, scale: f64) -> bool {
    search.pages.iter().any(|page| {
        search.modest_settings(*page, scale).iter().any(|setting| {
            search.column_counts(setting).into_iter().any(|columns| {
                let stands = search.stands(setting, columns, Iterator::collect);
                stands.iter().any(|stand| fits_in(search, setting, stand))
            })
        })
    })
}

fn fits_in(search: &Search<'_>, setting: &Setting, stand: &Stand) -> bool {
    // Two inversions cost more than the scale they could gain.
    search.orders.iter().take_while(|order| order.inversions <= 1).any(|order| {
        let task = search.task(setting, stand, order, f64::INFINITY);
        search.filled_exactly(task, setting, &stand.space).is_some()
    })
}

/// The best arrangement over all of `scales`, the largest first; scales are
/// weighed against each other where they are `free`.
pub(super) fn best<'s>(search: &'s Search<'_>, scales: &[f64], free: bool) -> Option<Best<'s>> {
    let mut joint = Joint { search, best: None, tried: 0 };
    // The sheet's own order first, at every scale: a good plan found early
    // saves most of the search through the other orders.
    for orders in [&search.orders[..1], &search.orders[1..]] {
        for &scale in scales {
            let loss = scale_loss(scale, scales[0]);
            let odd = if free { odd_scale_cost(scale, scales[0]) } else { 0.0 };
            if loss >= joint.limit() {
                break;
            }
            for &page in &search.pages {
                for menu in (0..search.menus.len()).take_while(|_| !search.is_spent()) {
                    let known = loss + odd + search.menus[menu].cost;
                    if known < joint.limit() {
                        joint.menu(Pick { menu, page, scale }, known, orders);
                    }
                }
            }
        }
    }
    let tried = joint.tried;
    joint.best.map(|candidate| Best { candidate, tried })
}

/// The choice so far.
struct Joint<'s, 'a> {
    search: &'s Search<'a>,
    best: Option<Candidate<'s>>,
    tried: usize,
}

impl<'s> Joint<'s, '_> {
    /// What an arrangement must stay under.
    fn limit(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |b| b.score)
    }

    /// All ways for a menu to stand. `known` is its price so far.
    fn menu(&mut self, pick: Pick, known: f64, orders: &'s [TriedOrder]) {
        let search = self.search;
        let setting = search.setting(pick);
        let counts = search.column_counts(&setting).into_iter();
        for columns in counts.take_while(|_| !search.is_spent()) {
            for stand in search.stands(&setting, columns, Iterator::collect) {
                for room in setting.rooms(&stand) {
                    let (stand, stretch) = stand.opened(room);
                    let known = known
                        + stretch_cost(stretch)
                        + last_page_cost(stand.total, columns)
                        + stand.space.furniture.cost();
                    self.orders(&setting, &stand, known, orders);
                }
            }
        }
    }

    /// One way to arrange it, in every order.
    fn orders(&mut self, setting: &Setting, stand: &Stand, known: f64, orders: &'s [TriedOrder]) {
        let search = self.search;
        let Stand { columns, total, space } = *stand;
        let slack = least_slack(setting.rows + space.in_column.unwrap_or(0), total, space.room);
        for order in orders {
            let known = known + INVERSION * order.inversions as f64;
            let limit = self.limit();
            if known + slack >= limit {
                break;
            }
            self.tried += 1;
            let task = search.task(setting, stand, order, limit - known);
            let Some(filled) = search.filled_exactly(task, setting, &space) else { continue };
            let score = known + filled.cost + search.width_cost(&filled, columns, setting.body);
            if score < limit {
                let (pick, furniture) = (setting.pick, space.furniture);
                self.best = Some(Candidate { filled, score, pick, order, columns, furniture });
            }
        }
    }
}
