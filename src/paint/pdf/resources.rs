//! What pages call by name: fonts, parts, graphics states, colour spaces and layers. All pages
//! share one dictionary (ISO 32000-1, 7.8.3).

use std::fmt::Write as _;
use std::io;

use lopdf::{Dictionary, Object};

use super::content::{ALL, OUT, OVER, Pages};
use super::cuts::{self, Cuts};
use super::file::PdfFile;
use super::font;
use super::form::{SymbolForms, symbol_name};
use super::image::{self, ImageObjects};
use super::object::{self, Ref};

/// The parts on the pages of a sheet, as they are called.
pub struct Parts {
    pub forms: SymbolForms,
    pub images: ImageObjects,
}

/// Writes the resources under their number. Returns the layers of the cuts for the catalogue.
///
/// # Errors
/// Those of the file.
pub fn write(
    file: &mut PdfFile<'_>,
    id: Ref,
    pages: &Pages<'_>,
    cuts: Cuts<'_>,
    parts: &Parts,
) -> io::Result<Option<Dictionary>> {
    let mut fonts = Dictionary::new();
    for (index, subset) in pages.fonts.subsets.iter().enumerate() {
        if let Some(font) = font::add(file, subset, &pages.sheet.faces)? {
            fonts.set(font::name(index), font);
        }
    }
    let mut resources = Dictionary::from_iter([("Font", Object::Dictionary(fonts))]);
    if pages.inks.press().is_some() {
        for_press(&mut resources);
    }
    let layers = cuts::add(file, &mut resources, cuts, pages.inks)?;
    let mut text = object::text(Object::Dictionary(resources))?;
    // As text: a large sheet has a hundred thousand parts.
    let mut called = String::from("/XObject<<");
    for (symbol, form) in &parts.forms {
        let _ = write!(called, "/{} {form}", symbol_name(*symbol));
    }
    for (id, object) in &parts.images {
        let _ = write!(called, "/{} {object}", image::name(*id));
    }
    called.push_str(">>>>");
    text.truncate(text.len().saturating_sub(b">>".len()));
    text.extend_from_slice(called.as_bytes());
    file.put(id, &text)?;
    Ok(layers)
}

/// What only the pages for a press name: two graphics states, and the space
/// of all plates (ISO 32000-1, 8.6.6.4) for their marks.
fn for_press(resources: &mut Dictionary) {
    let overprint = |over: bool| {
        Object::Dictionary(Dictionary::from_iter([
            ("OP", Object::Boolean(over)),
            ("op", Object::Boolean(over)),
            ("OPM", Object::Integer(i64::from(over))),
        ]))
    };
    let states = [(OVER, overprint(true)), (OUT, overprint(false))];
    resources.set("ExtGState", Dictionary::from_iter(states));
    let numbers = |values: &[i64]| Object::Array(values.iter().map(|&v| v.into()).collect());
    let solid = Dictionary::from_iter([
        ("FunctionType", Object::Integer(2)),
        ("Domain", numbers(&[0, 1])),
        ("C0", numbers(&[0, 0, 0, 0])),
        ("C1", numbers(&[1, 1, 1, 1])),
        ("N", Object::Integer(1)),
    ]);
    let all = ["Separation", "All", "DeviceCMYK"].map(Object::from);
    let all = all.into_iter().chain([Object::Dictionary(solid)]).collect();
    resources.set("ColorSpace", Dictionary::from_iter([(ALL, Object::Array(all))]));
}
