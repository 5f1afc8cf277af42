//! PDF painter: all pages of a sheet in one document of true size.
//!
//! Pages are written in millimetres with y down, as the sheet has them; one
//! matrix at the head of each page turns them into points with y up. Every
//! symbol is a form; forms and their gradients are many and go into the file
//! as they are made. The PDF library makes the pages, and one finishing pass
//! adds what it lacks: page boxes, fonts, metadata.

mod boxes;
mod content;
mod file;
mod finish;
mod font;
mod form;
mod pack;
mod shading;

use std::collections::BTreeSet;

use printpdf::{CustomPdfConformance, Mm, PdfConformance, PdfDocument, PdfPage, PdfSaveOptions};

use self::boxes::Boxes;
use self::file::PdfFile;
use super::fonts::Fonts;
use crate::sheet::{Kind, Rgb, Sheet, SymbolId};

/// Paints every page. With bleed the page grows by the bleed and by room for
/// crop marks, and says where its trim is.
pub fn pdf(sheet: &Sheet) -> Vec<u8> {
    let fonts = Fonts::collect(&sheet.faces, &sheet.pages);
    let boxes = Boxes::new(sheet);
    let mut file = PdfFile::new();
    let forms = form::write(sheet, &used_symbols(sheet), &mut file);
    let mut document = PdfDocument::new("");
    document.metadata.info.conformance = PdfConformance::Custom(CustomPdfConformance::default());
    for page in &sheet.pages {
        let ops = content::page(sheet, page, &fonts, &boxes);
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
    finish::finish(raw, sheet, &fonts, &boxes, &forms, file)
}

/// Symbols that exist and stand on some page, in the order of their ids.
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

/// Channels from 0 to 1 with four decimals, rounded up, so that readers that
/// round and readers that cut off both come back to the same byte.
fn channels(Rgb(r, g, b): Rgb) -> [f64; 3] {
    [r, g, b].map(|v| (f64::from(v) / 255.0 * 1e4 - 1e-6).ceil() / 1e4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_comes_back_rounded_or_cut() {
        for v in 0..=255u8 {
            let share = channels(Rgb(v, 0, 0))[0] as f32;
            assert_eq!((share * 255.0) as u8, v);
            assert_eq!((share * 255.0).round() as u8, v);
            assert!(share <= 1.0);
        }
    }
}
