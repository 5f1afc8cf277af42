//! From a checked sheet and a layout to a plan, or to an explanation.

use super::facts::{Facts, Speller, Subject};
use super::furniture::FurnitureHeight;
use super::layout::Layout;
use super::relax::{explain, smaller_paper};
use super::room::{FEW, HALF, Room, has_room_for_titles, ladder, type_area, used};
use super::solve::{Plan, solve};
use super::style::{Look, RowSize, Style};
use super::unshown::Unshown;
use crate::diag::Diagnostic;

/// What is to be planned.
#[derive(Clone, Copy)]
pub struct Request<'a, 'b> {
    pub subject: Subject<'a, 'b>,
    pub style: &'b Style,
    pub layout: &'b Layout,
    /// Turns words into each spelling of the edition, at least one.
    pub says: &'b [Speller<'b>],
    pub furniture: FurnitureHeight<'b>,
}

impl<'a> Request<'a, '_> {
    /// The look of this style on this page.
    ///
    /// # Errors
    /// A face or an ink that does not exist, or margins that leave no room.
    pub fn look(&self, layout: &Layout) -> Result<Look, Diagnostic> {
        self.roomy_look(layout, Room::NONE)
    }

    /// The same with rows and margins that take up more room.
    fn roomy_look(&self, layout: &Layout, room: Room) -> Result<Look, Diagnostic> {
        let page = (layout.width, layout.height);
        let rows = RowSize { page: layout.rows_page(), growth: room.growth };
        let mut look = Look::with_rows(self.style, page, &rows, layout.type_floor)?;
        if let Some((side, top, bottom)) = layout.margins {
            look.side = side;
            look.top = top;
            look.bottom = bottom;
        }
        look.side += room.side * page.0;
        look.top += room.ends * page.1;
        look.bottom += room.ends * page.1;
        let taken =
            look.top + look.bottom + look.title_height + look.foot_height + look.head_height;
        if taken + look.lead * 2.0 > layout.height || look.side * 2.0 + 20.0 > layout.width {
            return Err(Diagnostic::error(
                "page-too-small",
                format!(
                    "a page of {:.0} x {:.0} mm has no room for rows: margins, title and footer use {:.0} mm of its height",
                    layout.width, layout.height, taken
                ),
            )
            .help("use a larger page or smaller margins"));
        }
        Ok(look)
    }

    /// Measures everything on a layout, which may differ from the request's own,
    /// as wide as in the spelling in which it is widest.
    ///
    /// # Errors
    /// As [`Request::look`].
    pub fn facts(&self, layout: &Layout) -> Result<Facts<'a>, Diagnostic> {
        let mut spelled = self.spelled(layout)?;
        Ok(if spelled.len() > 1 { Facts::widest(&spelled) } else { spelled.swap_remove(0) })
    }

    /// The same in each spelling.
    fn spelled(&self, layout: &Layout) -> Result<Vec<Facts<'a>>, Diagnostic> {
        Ok(self.spelled_in(layout, &self.look(layout)?))
    }

    fn spelled_in(&self, layout: &Layout, look: &Look) -> Vec<Facts<'a>> {
        let facts =
            |say: &Speller<'_>| Facts::new(&self.subject, look.clone(), layout.clone(), *say);
        self.says.iter().map(facts).collect()
    }

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
        plan.unshown = Unshown::new(&spelled[0], &plan);
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
