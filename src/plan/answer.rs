//! From a checked sheet and a layout to a plan, or to an explanation.

use super::facts::Facts;
use super::relax::{explain, smaller_paper};
use super::request::Request;
use super::room::{FEW, HALF, Room, has_room_for_titles, ladder, type_area, used};
use super::solution::Plan;
use super::solve::solve;
use super::unshown::Unshown;
use crate::diag::Diagnostic;

impl<'a> Request<'a, '_> {
    /// Solves once for all spellings, or reports what would fit instead. The
    /// facts are those of each spelling, for drawing its words.
    ///
    /// # Errors
    /// What is wrong with the page, or why nothing fits and what would.
    pub fn plan(&self) -> Result<(Vec<Facts<'a>>, Plan), Diagnostic> {
        let spelled = self.spelled(self.layout)?;
        let joint = (spelled.len() > 1).then(|| Facts::widest(&spelled));
        let facts = joint.as_ref().unwrap_or(&spelled[0]);
        match solve(facts, self.furniture) {
            Ok(plan) => Ok(self.weighed(self.with_room(spelled, plan))),
            Err(fault) => Err(explain(self, facts, fault)),
        }
    }

    /// Notes how much of the page is used, and which smaller sheet would do.
    fn weighed(&self, (spelled, mut plan): (Vec<Facts<'a>>, Plan)) -> (Vec<Facts<'a>>, Plan) {
        plan.unshown = Unshown::new(&spelled[0], &plan.families);
        if let Ok(plain) = self.look(self.layout) {
            plan.type_area = type_area(&plain, &plan);
            plan.used = used(&spelled[0], &plan);
        }
        let colours: usize = plan.families.iter().map(|f| f.rows.len()).sum();
        if plan.used < HALF && plan.pages.len() == 1 && colours >= FEW {
            plan.smaller = smaller_paper(self, plan.scale);
        }
        (spelled, plan)
    }

    /// Gives a plan that leaves much of its page empty larger rows, then wider
    /// margins, as long as it gets better so. Parts keep their scale.
    fn with_room(&self, spelled: Vec<Facts<'a>>, plan: Plan) -> (Vec<Facts<'a>>, Plan) {
        let mut best = (spelled, plan);
        let mut room = Room::NONE;
        // Titles that never had their count beside them are no reason to leave a page empty.
        let titled = has_room_for_titles(&best.0[0], &best.1);
        for next in ladder(self.style, self.layout, &best.1) {
            let next = next.with(room);
            // A plan costs something, so this step cannot pay.
            if next.cost() >= best.1.score + room.cost() {
                continue;
            }
            let Ok(look) = self.roomy_look(self.layout, next) else { continue };
            let spelled = self.spelled_in(self.layout, &look);
            let joint = (spelled.len() > 1).then(|| Facts::widest(&spelled));
            let facts = joint.as_ref().unwrap_or(&spelled[0]);
            let Ok(plan) = solve(facts, self.furniture) else { continue };
            let kept = plan.scale >= best.1.scale - 1e-9
                && plan.pages.len() == best.1.pages.len()
                && (has_room_for_titles(facts, &plan) || !titled);
            if kept && plan.score + next.cost() < best.1.score + room.cost() {
                best = (spelled, plan);
                room = next;
            }
        }
        best
    }
}
