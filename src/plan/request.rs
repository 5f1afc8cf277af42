//! What is to be planned, and what is measured for it.

use super::facts::{Facts, Speller, Subject};
use super::furniture::FurnitureHeight;
use super::layout::Layout;
use super::room::Room;
use super::style::{Look, RowSize, Style};
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
    pub(super) fn roomy_look(&self, layout: &Layout, room: Room) -> Result<Look, Diagnostic> {
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
    pub(super) fn spelled(&self, layout: &Layout) -> Result<Vec<Facts<'a>>, Diagnostic> {
        Ok(self.spelled_in(layout, &self.look(layout)?))
    }

    pub(super) fn spelled_in(&self, layout: &Layout, look: &Look) -> Vec<Facts<'a>> {
        let facts =
            |say: &Speller<'_>| Facts::new(&self.subject, look.clone(), layout.clone(), *say);
        self.says.iter().map(facts).collect()
    }
}
