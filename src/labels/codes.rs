//! The square code of its colour on every label: it opens the colour on the page for buyers.

use std::collections::HashMap;

use form_urlencoded::byte_serialize;
use kurbo::{BezPath, Rect, Size};

use super::label_sheet::LabelSheet;
use crate::diag::Diagnostic;
use crate::qr::{QUIET, SquareCode};
use crate::range::{ColourId, ColourRange, SheetSpec};

/// The least module of a code, mm, and the largest that is of use. Common practice, no source: telephones read a third of
/// a millimetre from a hand's length.
const MODULE: (f64, f64) = (0.33, 0.5);

/// The codes of a set's colours, all of one size.
#[derive(Debug, Clone)]
pub struct Codes {
    codes: HashMap<ColourId, SquareCode>,
    /// Edge of a code, mm.
    side: f64,
    /// White between it and the label's edges and words, mm.
    quiet: f64,
}

impl Codes {
    /// Those of some colours, as large as labels have room for.
    ///
    /// # Errors
    /// The sheet gives no address of its page, or the labels are too small.
    pub fn new(
        range: &ColourRange,
        sheet: &SheetSpec,
        colours: &[ColourId],
        label_sheet: &LabelSheet,
    ) -> Result<Codes, Diagnostic> {
        let page = sheet.page().as_ref().and_then(|page| page.address().as_ref());
        let Some(page) = page else {
            let message =
                "the sheet gives no address of its page for buyers, which codes would open";
            let help =
                "add it to the sheet, for example page: (address: \"https://example.com/colours\")";
            return Err(Diagnostic::error("no-address", message).help(help));
        };
        let address = |colour: &ColourId| {
            let key: String = byte_serialize(range.colour(*colour).key().as_bytes()).collect();
            format!("{page}#colour={key}")
        };
        let addresses: Vec<String> = colours.iter().map(address).collect();
        let width_of = |address: &String| SquareCode::small(address).map(|code| code.width());
        // All are as large as the one that needs the most.
        let widest = addresses.iter().map(width_of).try_fold(0, |most, w| Some(w?.max(most)));
        let widest = widest.ok_or_else(|| {
            let message = format!("'{page}' is too long for a code");
            Diagnostic::error("bad-address", message).help("use a shorter address")
        })?;
        let code = |text: &String| SquareCode::of_width(text, widest);
        let each = colours.iter().zip(&addresses);
        let codes = each.filter_map(|(colour, text)| Some((*colour, code(text)?))).collect();
        let module = module(widest as f64, label_sheet)?;
        let quiet = (QUIET as f64 * module).max(label_sheet.safe());
        Ok(Codes { codes, side: module * widest as f64, quiet })
    }

    /// What they take of the width of a label's words, mm.
    pub(super) fn room(&self, label_sheet: &LabelSheet) -> f64 {
        self.side + 2.0 * self.quiet - label_sheet.safe()
    }

    /// The code of a colour on its label: at the right, in the middle of the height.
    pub(super) fn on(&self, colour: ColourId, label: Rect) -> Option<BezPath> {
        let code = self.codes.get(&colour)?;
        let (left, top) = (label.x1 - self.quiet - self.side, label.center().y - self.side / 2.0);
        Some(code.path(left, top, self.side))
    }
}

/// The edge of a module: as much as the height of a label and half of its width have room for.
fn module(widest: f64, label_sheet: &LabelSheet) -> Result<f64, Diagnostic> {
    let (Size { width, height }, safe) = (Size::from(label_sheet.label()), label_sheet.safe());
    let with_quiet = widest + 2.0 * QUIET as f64;
    let within = |edge: f64| (edge / with_quiet).min((edge - 2.0 * safe) / widest.max(1.0));
    let module = within(height).min(within(width / 2.0)).min(MODULE.1);
    if module >= MODULE.0 {
        return Ok(module);
    }
    let needed = (MODULE.0 * with_quiet).max(MODULE.0 * widest + 2.0 * safe);
    let message = format!(
        "labels of {width} x {height} mm are too small for codes, whose modules must be at least {} mm",
        MODULE.0
    );
    let (wide, high) = (2.0 * needed, needed);
    let help = format!(
        "use labels of at least {wide:.1} x {high:.1} mm, or a shorter address of the page"
    );
    Err(Diagnostic::error("label-too-small", message).help(help))
}
