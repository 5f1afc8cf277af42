//! PDF painter: all pages of a sheet in one document of true size.
//!
//! Pages are written in millimetres with y down, as the sheet has them; one
//! matrix at the head of each page turns them into points with y up. Every
//! symbol is a form; forms and their gradients are many and go into the file
//! as they are made. The PDF library makes the pages, and one finishing pass
//! adds what it lacks: page boxes, fonts, metadata.

mod boxes;
mod content;
mod cuts;
mod deflate;
mod file;
mod finish;
mod font;
mod form;
mod inks;
mod intent;
mod metadata;
mod pack;
mod shading;

use std::collections::{BTreeMap, BTreeSet};

use printpdf::{CustomPdfConformance, Mm, PdfConformance, PdfDocument, PdfPage, PdfSaveOptions};

use self::boxes::Boxes;
pub use self::cuts::{CutLine, Cuts, Step};
use self::file::{PdfFile, Ref};
use self::inks::Inks;
pub use self::inks::{Condition, Press};
use super::fonts::Fonts;
use crate::sheet::{Coloured, Kind, Rgb, Sheet, SymbolId};

/// The parts of a sheet, drawn and compressed: what the files of sheets with the same parts (see
/// [`Identity::parts`](crate::sheet::identity::Identity::parts)) and the same inks begin with.
#[derive(Debug)]
pub struct Parts {
    file: PdfFile,
    /// The forms, by the names that pages call them by.
    forms: BTreeMap<String, Ref>,
}

impl Parts {
    /// For the screen and any printer: sRGB.
    pub fn new(painted: Coloured<'_, Rgb>) -> Parts {
        Parts::of(painted.sheet, Inks::Screen(painted.colours))
    }

    /// For a press.
    pub fn for_press(sheet: &Sheet, press: &Press) -> Parts {
        Parts::of(sheet, Inks::Press(press))
    }

    fn of(sheet: &Sheet, inks: Inks<'_>) -> Parts {
        // PDF/X-4 is 1.6 (ISO 15930-7, read second-hand).
        let mut file = PdfFile::new(if inks.press().is_some() { "1.6" } else { "1.7" });
        let forms = form::write(sheet, &used_symbols(sheet), inks, &mut file);
        Parts { file, forms }
    }

    /// The same for one more file.
    pub fn copy(&mut self) -> Parts {
        Parts { file: self.file.copy(), forms: self.forms.clone() }
    }
}

/// Paints every page in sRGB. With bleed the page grows by the bleed and by
/// room for crop marks, and states where its trim is.
pub fn pdf(painted: Coloured<'_, Rgb>) -> Vec<u8> {
    pdf_with_cuts(painted, &[])
}

/// The same from the parts of a sheet with the same.
pub fn pdf_again(painted: Coloured<'_, Rgb>, parts: Parts) -> Vec<u8> {
    paint(painted.sheet, Inks::Screen(painted.colours), &[], parts)
}

/// [`pdf`] with cuts over each page, in layers and spot colours of their own.
pub fn pdf_with_cuts(painted: Coloured<'_, Rgb>, cuts: Cuts<'_>) -> Vec<u8> {
    paint(painted.sheet, Inks::Screen(painted.colours), cuts, Parts::new(painted))
}

/// [`pdf`] in the inks of a press: DeviceCMYK throughout, with the structure
/// of PDF/X-4 (ISO 15930-7).
pub fn press(sheet: &Sheet, press: &Press) -> Vec<u8> {
    press_with_cuts(sheet, press, &[])
}

/// The same from the parts of a sheet with the same, in the same inks.
pub fn press_again(sheet: &Sheet, press: &Press, parts: Parts) -> Vec<u8> {
    paint(sheet, Inks::Press(press), &[], parts)
}

/// [`press()`] with cuts over each page.
pub fn press_with_cuts(sheet: &Sheet, press: &Press, cuts: Cuts<'_>) -> Vec<u8> {
    paint(sheet, Inks::Press(press), cuts, Parts::for_press(sheet, press))
}

fn paint(sheet: &Sheet, inks: Inks<'_>, cuts: Cuts<'_>, parts: Parts) -> Vec<u8> {
    let fonts = Fonts::collect(&sheet.faces, &sheet.pages);
    let runs = font::Runs::of_all(&fonts, &sheet.faces);
    let boxes = Boxes::new(sheet);
    let mut document = PdfDocument::new("");
    document.metadata.info.conformance = PdfConformance::Custom(CustomPdfConformance::default());
    for (n, page) in sheet.pages.iter().enumerate() {
        let lines = cuts.get(n).map_or(&[][..], Vec::as_slice);
        let ops = content::page(sheet, page, (&fonts, &runs), &boxes, (inks, lines));
        // The boxes are set by the finishing pass: here they would pass through single precision.
        document.pages.push(PdfPage::new(Mm(1.0), Mm(1.0), ops));
    }
    let options = PdfSaveOptions {
        optimize: false,
        subset_fonts: false,
        secure: false,
        image_optimization: None,
    };
    let mut warnings = Vec::new();
    let raw = document.to_lopdf_document(&options, &mut warnings);
    drop(document);
    finish::finish(raw, sheet, (inks, cuts), &fonts, &boxes, parts)
}

/// Symbols that exist and are on some page, in the order of their ids.
fn used_symbols(sheet: &Sheet) -> BTreeSet<SymbolId> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    items
        .filter_map(|item| match &item.kind {
            Kind::Use(used) if used.symbol.0 < sheet.symbols.len() => Some(used.symbol),
            _ => None,
        })
        .collect()
}

fn font_name(subset: usize) -> String {
    format!("F{subset}")
}
