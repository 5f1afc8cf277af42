//! The finishing pass: what the PDF library leaves out or gets wrong.
//!
//! It writes trim boxes as x y width height and has no bleed box, embeds
//! whole fonts, needs the forms of a page as objects of its own, and draws its
//! document id from a counter.

use std::collections::BTreeMap;

use kurbo::Rect;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat};

use super::boxes::Boxes;
use super::file::{PdfFile, Ref};
use super::{font, font_name};
use crate::paint::fonts::Fonts;
use crate::sheet::{About, Sheet};

/// The program's name, as it stands in the file.
const PRODUCER: &str = "shadecard";
/// Completes the document, adds it to the file that has its forms already,
/// and returns the whole.
pub fn finish(
    mut doc: Document,
    sheet: &Sheet,
    fonts: &Fonts,
    boxes: &Boxes,
    forms: &BTreeMap<String, Ref>,
    file: PdfFile,
) -> Vec<u8> {
    let font_dict = font_dictionary(&mut doc, sheet, fonts);
    let resources =
        doc.add_object(Dictionary::from_iter([("Font", Object::Dictionary(font_dict))]));
    let pages: Vec<ObjectId> = doc.get_pages().into_values().collect();
    for &page in &pages {
        finish_page(&mut doc, page, boxes, resources);
    }
    finish_catalog(&mut doc, &sheet.about);
    doc.prune_objects();
    doc.renumber_objects_with(file.next());
    // Only now: renumbering would take these for objects of its own.
    call_forms(&mut doc, forms);
    doc.compress();
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
fn finish_page(doc: &mut Document, page: ObjectId, boxes: &Boxes, resources: ObjectId) {
    let rectangle = |part: Rect| {
        // A thousandth of a point is a third of a micrometre.
        let rounded = boxes.in_points(part).map(|v| ((v * 1e3).round() / 1e3) as f32);
        Object::Array(rounded.map(Object::Real).to_vec())
    };
    // Colours mix in RGB, whatever the reader's own space.
    let group = Dictionary::from_iter([
        ("S", Object::from("Transparency")),
        ("CS", Object::from("DeviceRGB")),
    ]);
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

fn finish_catalog(doc: &mut Document, about: &About) {
    let info = Dictionary::from_iter([
        ("Title", text_string(&about.title)),
        ("Author", text_string(&about.author)),
        ("Creator", text_string(PRODUCER)),
        ("Producer", text_string(PRODUCER)),
    ]);
    let info = doc.add_object(info);
    doc.trailer.set("Info", Object::Reference(info));
    let kind = Dictionary::from_iter([
        ("Type", Object::from("Metadata")),
        ("Subtype", Object::from("XML")),
    ]);
    // Left as it is, so that programs that know no PDF find it.
    let metadata = Stream::new(kind, xmp(about).into_bytes()).with_compression(false);
    let metadata = doc.add_object(metadata);
    let shown = Dictionary::from_iter([("DisplayDocTitle", Object::Boolean(true))]);
    if let Ok(catalog) = doc.catalog_mut() {
        catalog.set("Lang", text_string(&about.language));
        catalog.set("Metadata", Object::Reference(metadata));
        catalog.set("ViewerPreferences", shown);
        catalog.set("PageLayout", "SinglePage");
    }
}

/// A text string (ISO 32000-1, 7.9.2.2): ASCII, or UTF-16 with a byte order mark.
fn text_string(text: &str) -> Object {
    if text.bytes().all(|b| (b' '..=b'~').contains(&b)) {
        return Object::String(text.as_bytes().to_vec(), StringFormat::Literal);
    }
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    Object::String(units.flat_map(u16::to_be_bytes).collect(), StringFormat::Hexadecimal)
}

fn xmp(about: &About) -> String {
    let escape = |text: &str| {
        let text: String = text.chars().filter(|&c| c >= ' ').collect();
        text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
    };
    let (title, author) = (escape(&about.title), escape(&about.author));
    let language = escape(&about.language);
    format!(
        r#"<?xpacket begin="{bom}" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<pdf:Producer>{PRODUCER}</pdf:Producer>
<xmp:CreatorTool>{PRODUCER}</xmp:CreatorTool>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>
"#,
        bom = '\u{FEFF}',
    )
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
