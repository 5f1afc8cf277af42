//! The finishing pass: what the PDF library leaves out or gets wrong.
//!
//! It writes trim boxes as x y width height and has no bleed box, embeds
//! whole fonts, needs the forms of a page as objects of its own, and draws its
//! document id from a counter.

use std::collections::BTreeMap;

use kurbo::Rect;
use lopdf::{Dictionary, Document, Object, ObjectId};
use sha2::{Digest, Sha256};

use super::boxes::Boxes;
use super::cuts::{self, Cuts};
use super::file::{PdfFile, Ref};
use super::inks::Inks;
use super::metadata::{Metadata, text_string};
use super::{Parts, content, font, font_name, intent};
use crate::paint::fonts::Fonts;
use crate::sheet::{About, Sheet};

/// Completes the document, adds it to the file that has its forms already,
/// and returns the whole.
pub fn finish(
    mut doc: Document,
    sheet: &Sheet,
    (inks, cuts): (Inks<'_>, Cuts<'_>),
    fonts: &Fonts,
    boxes: &Boxes,
    Parts { mut file, forms }: Parts,
) -> Vec<u8> {
    let font_dict = font_dictionary(&mut doc, sheet, fonts);
    let mut resources = Dictionary::from_iter([("Font", Object::Dictionary(font_dict))]);
    if inks.press().is_some() {
        press_resources(&mut resources);
    }
    cuts::add(&mut doc, &mut resources, cuts, inks);
    let resources = doc.add_object(resources);
    let pages: Vec<ObjectId> = doc.get_pages().into_values().collect();
    for &page in &pages {
        finish_page(&mut doc, page, boxes, inks.space(), resources);
    }
    let metadata = Metadata::new(&sheet.about, inks, || content_hash(&doc, &mut file));
    finish_catalog(&mut doc, &sheet.about, &metadata);
    intent::add(&mut doc, inks);
    doc.prune_objects();
    doc.renumber_objects_with(file.next());
    // Only now: renumbering would take these for objects of its own.
    call_forms(&mut doc, &forms);
    append(doc, file)
}

fn font_dictionary(doc: &mut Document, sheet: &Sheet, fonts: &Fonts) -> Dictionary {
    let mut dictionary = Dictionary::new();
    for (index, subset) in fonts.subsets.iter().enumerate() {
        if let Some(id) = font::add(doc, subset, &sheet.faces) {
            dictionary.set(font_name(index), Object::Reference(id));
        }
    }
    dictionary
}

/// Sets the boxes; all pages share one resource dictionary.
fn finish_page(
    doc: &mut Document,
    page: ObjectId,
    boxes: &Boxes,
    space: &str,
    resources: ObjectId,
) {
    let rectangle = |part: Rect| {
        // A thousandth of a point is a third of a micrometre.
        let rounded = boxes.in_points(part).map(|v| ((v * 1e3).round() / 1e3) as f32);
        Object::Array(rounded.map(Object::Real).to_vec())
    };
    // Colours mix in the space they are given in, whatever the reader's own.
    let group =
        Dictionary::from_iter([("S", Object::from("Transparency")), ("CS", Object::from(space))]);
    if let Ok(page) = doc.get_object_mut(page).and_then(Object::as_dict_mut) {
        page.set("MediaBox", rectangle(boxes.media));
        page.remove(b"CropBox");
        page.set("BleedBox", rectangle(boxes.bleed));
        page.set("TrimBox", rectangle(boxes.trim));
        page.remove(b"Annots");
        page.set("Group", group);
        page.set("Resources", Object::Reference(resources));
    }
}

/// Names the forms in the resources that all pages share.
fn call_forms(doc: &mut Document, forms: &BTreeMap<String, Ref>) {
    let page = doc.page_iter().next();
    let resources = page.and_then(|page| {
        doc.get_dictionary(page)
            .and_then(|p| p.get(b"Resources"))
            .and_then(Object::as_reference)
            .ok()
    });
    let named = forms.iter().map(|(name, form)| (name.as_str(), Object::Reference((form.0, 0))));
    if let Some(id) = resources
        && let Ok(resources) = doc.get_dictionary_mut(id)
    {
        resources.set("XObject", Dictionary::from_iter(named));
    }
}

/// What only the pages for a press name: two graphics states, and the space
/// of all plates (ISO 32000-1, 8.6.6.4) for their marks.
fn press_resources(resources: &mut Dictionary) {
    let overprint = |over: bool| {
        Object::Dictionary(Dictionary::from_iter([
            ("OP", Object::Boolean(over)),
            ("op", Object::Boolean(over)),
            ("OPM", Object::Integer(i64::from(over))),
        ]))
    };
    let states = [(content::OVER, overprint(true)), (content::OUT, overprint(false))];
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
    resources.set("ColorSpace", Dictionary::from_iter([(content::ALL, Object::Array(all))]));
}

/// A hash of what the pages and the forms written so far draw.
fn content_hash(doc: &Document, file: &mut PdfFile) -> [u8; 16] {
    let mut hash = Sha256::new();
    hash.update(file.digest());
    for (_, page) in doc.get_pages() {
        hash.update(doc.get_page_content(page));
    }
    let mut out = [0; 16];
    out.copy_from_slice(&hash.finalize()[..16]);
    out
}

fn finish_catalog(doc: &mut Document, about: &About, metadata: &Metadata<'_>) {
    let metadata = metadata.add(doc);
    let shown = Dictionary::from_iter([("DisplayDocTitle", Object::Boolean(true))]);
    if let Ok(catalog) = doc.catalog_mut() {
        catalog.set("Lang", text_string(&about.language));
        catalog.set("Metadata", Object::Reference(metadata));
        catalog.set("ViewerPreferences", shown);
        catalog.set("PageLayout", "SinglePage");
    }
}

/// Writes the document's objects, whose numbers follow those of the file's.
fn append(doc: Document, mut file: PdfFile) -> Vec<u8> {
    let from_trailer =
        |key: &[u8]| Ref(doc.trailer.get(key).and_then(Object::as_reference).map_or(0, |id| id.0));
    let (root, info) = (from_trailer(b"Root"), from_trailer(b"Info"));
    file.reserve(doc.objects.len());
    for ((number, _), object) in doc.objects {
        file.put(Ref(number), object);
    }
    file.finish(root, info)
}
