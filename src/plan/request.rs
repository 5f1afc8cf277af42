//! From a checked sheet and a layout to a plan, or to an explanation.

use super::facts::{Facts, Speller};
use super::layout::Layout;
use super::relax::explain;
use super::solve::{FurnitureHeight, Plan, solve};
use super::style::{Look, Style};
use crate::diag::Diagnostic;
use crate::range::{Range, SheetSpec};

/// What is to be planned.
#[derive(Clone, Copy)]
pub struct Request<'a, 'b> {
    pub range: &'a Range,
    pub sheet: &'a SheetSpec,
    /// Indices into the sheet's families, in its order.
    pub shown: &'b [usize],
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
        let page = (layout.width, layout.height);
        let mut look = Look::with_rows(self.style, page, layout.rows_page(), layout.type_floor)?;
        if let Some((side, top, bottom)) = layout.margins {
            look.side = side;
            look.top = top;
            look.bottom = bottom;
        }
        let taken =
            look.top + look.bottom + look.title_height + look.foot_height + look.head_height;
        if taken + look.lead * 2.0 > layout.height || look.side * 2.0 + 20.0 > layout.width {
            return Err(Diagnostic::error(
                "page-too-small",
                format!(
                    "a page of {:.0} x {:.0} mm has no room for rows: margins, title and foot take {:.0} mm of its height",
                    layout.width, layout.height, taken
                ),
            )
            .help("make the page larger, or its margins smaller"));
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
        let look = self.look(layout)?;
        let facts = |say: &Speller<'_>| {
            Facts::new(self.range, self.sheet, self.shown, look.clone(), layout.clone(), *say)
        };
        Ok(self.says.iter().map(facts).collect())
    }

    /// Solves once for all spellings, or says what would fit instead. The
    /// facts are those of each spelling, for drawing its words.
    ///
    /// # Errors
    /// What is wrong with the page, or why nothing fits and what would.
    pub fn plan(&self) -> Result<(Vec<Facts<'a>>, Plan), Diagnostic> {
        let spelled = self.spelled(self.layout)?;
        let joint = (spelled.len() > 1).then(|| Facts::widest(&spelled));
        let facts = joint.as_ref().unwrap_or(&spelled[0]);
        match solve(facts, self.furniture) {
            Ok(plan) => Ok((spelled, plan)),
            Err(fault) => Err(explain(self, facts, fault)),
        }
    }
}
