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
    pub say: Speller<'b>,
    pub furniture: FurnitureHeight<'b>,
}

impl<'a> Request<'a, '_> {
    /// The look of this style on this page.
    ///
    /// # Errors
    /// A face or an ink that does not exist, or margins that leave no room.
    pub fn look(&self, layout: &Layout) -> Result<Look, Diagnostic> {
        let mut look = Look::new(self.style, layout.width, layout.height, layout.type_floor)?;
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

    /// Measures everything on a layout, which may differ from the request's own.
    ///
    /// # Errors
    /// As [`Request::look`].
    pub fn facts(&self, layout: &Layout) -> Result<Facts<'a>, Diagnostic> {
        let look = self.look(layout)?;
        Ok(Facts::new(self.range, self.sheet, self.shown, look, layout.clone(), self.say))
    }

    /// Solves, or says what would fit instead.
    ///
    /// # Errors
    /// What is wrong with the page, or why nothing fits and what would.
    pub fn plan(&self) -> Result<(Facts<'a>, Plan), Diagnostic> {
        let facts = self.facts(self.layout)?;
        match solve(&facts, self.furniture) {
            Ok(plan) => Ok((facts, plan)),
            Err(fault) => Err(explain(self, &facts, fault)),
        }
    }
}
