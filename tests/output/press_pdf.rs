//! A PDF for a press, object by object: what is in it is what the sheet
//! and the inks say, and nothing else has a colour.
//!
//! The rules of PDF/X-4 (ISO 15930-7) are read second-hand, from open
//! validators and print guides; those of PDF from ISO 32000-1.

use std::collections::BTreeMap;
use std::path::Path;

use crate::common;
use kurbo::{Rect, Shape};
use lcms2::{ColorSpaceSignature, Profile, ProfileClassSignature};
use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId};
use resvg::usvg::roxmltree;
use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::graphic::{Cmyk, Rgb};
use shadecard::paint::{self, Press};
use shadecard::range::load;
use shadecard::sheet::palette::{PaletteBuilder, PaletteEntry};
use shadecard::sheet::{Date, FillRule, ItemKind, Paint, PaletteIndex, Role, Sheet};

const TEAL: Rgb = Rgb(0x1f, 0x7a, 0x7a);

/// The sheet of all painters, and a rule of a colour that a swatch has too.
fn sheet(bleed: f64) -> Sheet {
    let mut sheet = common::sheet(bleed);
    let mut palette = PaletteBuilder::from(std::mem::take(&mut sheet.palette));
    let (ink, sample) = (palette.fill(TEAL.into()), palette.sample(common::sample(Rgb(0, 0, 0))));
    sheet.palette = palette.finish();
    let rule = Rect::new(62.0, 80.0, 112.0, 80.5).to_path(0.1);
    let black = Rect::new(62.0, 84.0, 70.0, 88.0).to_path(0.1);
    sheet.pages[0].items.extend([
        common::area(Role::Furniture, rule, FillRule::NonZero, ink),
        common::area(Role::Swatch, black, FillRule::NonZero, sample),
    ]);
    sheet
}

/// Inks that tell by their values whether they were meant for a part or for words.
fn press(sheet: &Sheet) -> Press {
    let press = common::press::press(sheet);
    let part = |Rgb(r, g, b): Rgb| match (r, g, b) {
        (0, 0, 0) => Cmyk(0, 0, 0, 255),
        _ => Cmyk(255 - r, 255 - g, 255 - b, r / 2 + 1),
    };
    let inks = press.inks.with(&sheet.palette, |entry, ink| match entry {
        PaletteEntry::Ink(TEAL) => Cmyk(10, 20, 30, 40),
        PaletteEntry::Paper | PaletteEntry::Ink(_) => ink,
        PaletteEntry::Sample(sample) => part(sample.published),
        PaletteEntry::Tone(sample, shade) => part(shade.on(sample.published)),
        PaletteEntry::Fixed(rgb) => part(rgb),
        PaletteEntry::Value(_) => unreachable!("no sheet of the demo prints values as they are"),
    });
    Press { inks, ..press }
}

/// With another ink for one entry.
fn changed(sheet: &Sheet, press: &Press, entry: PaletteEntry, to: Cmyk) -> Press {
    let inks = press.inks.with(&sheet.palette, |other, ink| if other == entry { to } else { ink });
    Press { inks, condition: press.condition.clone() }
}

fn painted(bleed: f64) -> (Sheet, Press, Document) {
    let sheet = sheet(bleed);
    let press = press(&sheet);
    let bytes = paint::press(&sheet, &press);
    (sheet, press, Document::load_mem(&bytes).expect("a PDF"))
}

/// What an area, a layer of a part or a text is filled with.
#[derive(Debug, Clone, PartialEq)]
enum Fill {
    /// Bytes as a reader has them that rounds, and cuts off: they agree.
    Ink(Cmyk),
    /// The inks at the ends of each piece of a gradient.
    Shading(Vec<(Cmyk, Cmyk)>),
    Separation(Vec<u8>),
}

/// One painting operation.
#[derive(Debug, Clone, PartialEq)]
struct Painted {
    fill: Fill,
    /// OP, op and whether OPM is 1.
    overprint: (bool, bool, bool),
    text: bool,
}

fn is(object: &Object, name: &str) -> bool {
    object.as_name().is_ok_and(|n| n == name.as_bytes())
}

fn name<'a>(dict: &'a Dictionary, key: &str) -> Option<&'a [u8]> {
    dict.get(key.as_bytes()).ok().map(|o| o.as_name().expect("a name"))
}

fn ink(values: &[Object]) -> Cmyk {
    let bytes: Vec<u8> = values
        .iter()
        .map(|v| {
            let v = v.as_float().expect("a number") * 255.0;
            assert_eq!(v as u8, v.round() as u8, "{v} comes back in two ways");
            v as u8
        })
        .collect();
    assert_eq!(bytes.len(), 4, "{values:?}");
    Cmyk(bytes[0], bytes[1], bytes[2], bytes[3])
}

/// Follows a page through its forms, and keeps what the graphics state holds.
struct Reader<'a> {
    doc: &'a Document,
    painted: Vec<Painted>,
}

#[derive(Clone, Default)]
struct State {
    fill: Option<Fill>,
    overprint: Option<(bool, bool, bool)>,
}

impl Reader<'_> {
    fn get<'b>(&'b self, object: &'b Object) -> &'b Object {
        self.doc.dereference(object).expect("an object").1
    }

    fn named<'b>(&'b self, resources: &'b Dictionary, kind: &[u8], name: &Object) -> &'b Object {
        let kinds = self.get(resources.get(kind).expect("the kind")).as_dict().expect("names");
        self.get(kinds.get(name.as_name().expect("a name")).expect("the name"))
    }

    fn run(&mut self, content: &[u8], resources: &Dictionary, mut state: State) {
        let operations = Content::decode(content).expect("operations").operations;
        let mut stack = Vec::new();
        for Operation { operator, operands } in operations {
            match operator.as_str() {
                "q" => stack.push(state.clone()),
                "Q" => state = stack.pop().expect("as many q as Q"),
                "k" => state.fill = Some(Fill::Ink(ink(&operands))),
                "gs" => {
                    let set = self.named(resources, b"ExtGState", &operands[0]);
                    overprint(set.as_dict().expect("a dictionary"), &mut state);
                }
                "cs" => {
                    state.fill = None;
                    if !is(&operands[0], "Pattern") {
                        let space = self.named(resources, b"ColorSpace", &operands[0]);
                        state.fill = Some(separation(space));
                    }
                }
                "scn" => match &operands[..] {
                    [name @ Object::Name(_)] => {
                        let pattern = self.named(resources, b"Pattern", name);
                        let pieces = self.pieces(pattern.as_dict().expect("a pattern"));
                        state.fill = Some(Fill::Shading(pieces));
                    }
                    [tint] => {
                        assert!(matches!(state.fill, Some(Fill::Separation(_))));
                        assert_eq!(tint.as_float().expect("a tint"), 1.0);
                    }
                    _ => panic!("{operands:?}"),
                },
                "f" | "f*" | "TJ" => self.painted.push(Painted {
                    fill: state.fill.clone().expect("a colour is set before it is used"),
                    overprint: state.overprint.expect("overprint is set before it counts"),
                    text: operator == "TJ",
                }),
                "Do" => {
                    let form = self.named(resources, b"XObject", &operands[0]).as_stream();
                    let form = form.expect("a form").clone();
                    assert_eq!(name(&form.dict, "Subtype"), Some(&b"Form"[..]));
                    let own = self.get(form.dict.get(b"Resources").expect("its own")).as_dict();
                    let own = own.expect("resources").clone();
                    self.run(&form.get_plain_content().expect("content"), &own, state.clone());
                }
                "cm" | "m" | "l" | "c" | "h" | "W" | "W*" | "n" | "BT" | "ET" | "Tf" | "Tm"
                | "re" => {}
                other => panic!("an operator that has no business here: {other} {operands:?}"),
            }
        }
    }

    /// The pieces of an axial or radial shading.
    fn pieces(&self, pattern: &Dictionary) -> Vec<(Cmyk, Cmyk)> {
        let shading = self.get(pattern.get(b"Shading").expect("a shading")).as_dict();
        let shading = shading.expect("a dictionary");
        assert_eq!(name(shading, "ColorSpace"), Some(&b"DeviceCMYK"[..]));
        let kind = shading.get(b"ShadingType").and_then(Object::as_i64).expect("a type");
        assert!(kind == 2 || kind == 3);
        let function = self.get(shading.get(b"Function").expect("one")).as_dict().expect("plain");
        let ends = |f: &Dictionary| {
            let end = |key: &[u8]| ink(f.get(key).and_then(Object::as_array).expect("an end"));
            (end(b"C0"), end(b"C1"))
        };
        match function.get(b"FunctionType").and_then(Object::as_i64).expect("a type") {
            2 => vec![ends(function)],
            3 => {
                let pieces = function.get(b"Functions").and_then(Object::as_array).expect("some");
                pieces.iter().map(|f| ends(f.as_dict().expect("a piece"))).collect()
            }
            other => panic!("a function of type {other}"),
        }
    }
}

fn overprint(set: &Dictionary, state: &mut State) {
    for (key, _) in set {
        assert!([&b"OP"[..], b"op", b"OPM", b"ca"].contains(&&key[..]), "{set:?}");
    }
    if set.has(b"OP") || set.has(b"op") {
        let is = |key: &[u8]| set.get(key).and_then(Object::as_bool).expect("said");
        let mode = set.get(b"OPM").and_then(Object::as_i64).expect("said");
        state.overprint = Some((is(b"OP"), is(b"op"), mode == 1));
    }
}

fn separation(space: &Object) -> Fill {
    let space = space.as_array().expect("a space");
    assert!(is(&space[0], "Separation") && is(&space[2], "DeviceCMYK"));
    Fill::Separation(space[1].as_name().expect("a name").to_vec())
}

fn read(doc: &Document) -> Vec<Vec<Painted>> {
    let pages = doc.get_pages().into_values();
    pages
        .map(|id| {
            let page = doc.get_dictionary(id).expect("a page");
            let resources = page.get(b"Resources").and_then(Object::as_reference);
            let resources = doc.get_dictionary(resources.expect("shared")).expect("resources");
            let mut reader = Reader { doc, painted: Vec::new() };
            reader.run(&doc.get_page_content(id), resources, State::default());
            reader.painted
        })
        .collect()
}

const OVER: (bool, bool, bool) = (true, true, true);
const OUT: (bool, bool, bool) = (false, false, false);

/// What the pages of a sheet have to paint, bottom to top.
fn expected(sheet: &Sheet, press: &Press) -> Vec<Vec<Painted>> {
    let filled = |fill: PaletteIndex, text| {
        let ink = press.inks.of(fill);
        let is_word = matches!(sheet.palette.entry(fill), PaletteEntry::Ink(_));
        let overprint = if is_word && ink == Cmyk(0, 0, 0, 255) { OVER } else { OUT };
        Painted { fill: Fill::Ink(ink), overprint, text }
    };
    let colour = |fill| Painted { fill, overprint: OUT, text: false };
    let page = |items: &[shadecard::sheet::Item]| {
        let mut out = Vec::new();
        for item in items {
            match &item.kind {
                ItemKind::Area(a) => out.push(filled(a.fill, false)),
                ItemKind::Text(t) => out.push(filled(t.fill, true)),
                // The sheets here have none.
                ItemKind::Image(_) => {}
                ItemKind::Use(u) => {
                    for layer in sheet.symbols[u.symbol.0].layers() {
                        out.push(colour(match &layer.paint {
                            Paint::Solid(fill) => Fill::Ink(press.inks.of(*fill)),
                            Paint::Gradient(g) => Fill::Shading(
                                g.stops
                                    .windows(2)
                                    .map(|w| {
                                        (press.inks.of(w[0].colour), press.inks.of(w[1].colour))
                                    })
                                    .collect(),
                            ),
                        }));
                    }
                }
            }
        }
        out
    };
    sheet.pages.iter().map(|p| page(&p.items)).collect()
}

#[test]
fn everything_is_painted_in_its_ink_and_only_black_words_overprint() {
    let (sheet, press, doc) = painted(0.0);
    let (got, want) = (read(&doc), expected(&sheet, &press));
    assert_eq!(got.len(), want.len());
    for (got, want) in got.iter().zip(&want) {
        assert_eq!(got.len(), want.len());
        for (i, (got, want)) in got.iter().zip(want).enumerate() {
            assert_eq!(got, want, "number {i}");
        }
    }
    // The sheet asks for every case.
    let all: Vec<&Painted> = got.iter().flatten().collect();
    let some = |what: &dyn Fn(&Painted) -> bool| all.iter().any(|p| what(p));
    assert!(some(&|p| p.text && p.overprint == OVER));
    assert!(some(&|p| p.fill == Fill::Ink(Cmyk(0, 0, 0, 255)) && p.overprint == OUT));
    assert!(some(&|p| p.fill == Fill::Ink(Cmyk(10, 20, 30, 40))));
    assert!(some(&|p| matches!(&p.fill, Fill::Shading(pieces) if pieces.len() == 2)));
}

#[test]
fn crop_marks_are_on_every_plate() {
    let (sheet, _, doc) = painted(3.0);
    for (page, got) in sheet.pages.iter().zip(read(&doc)) {
        let marks: Vec<&Painted> =
            got.iter().filter(|p| p.fill == Fill::Separation(b"All".to_vec())).collect();
        assert_eq!(marks.len(), 8);
        assert!(marks.iter().all(|p| p.overprint == OUT));
        // They come last, and outside the clip.
        assert!(got[got.len() - 8..].iter().eq(marks));
        assert!(got.len() - 8 >= page.items.len());
    }
}

/// Every dictionary of the file, and every name in it or in an array.
fn walk<'a>(object: &'a Object, dicts: &mut Vec<&'a Dictionary>, names: &mut Vec<&'a [u8]>) {
    match object {
        Object::Name(name) => names.push(name),
        Object::Array(list) => list.iter().for_each(|o| walk(o, dicts, names)),
        Object::Dictionary(dict) => {
            dicts.push(dict);
            dict.iter().for_each(|(_, o)| walk(o, dicts, names));
        }
        Object::Stream(stream) => {
            dicts.push(&stream.dict);
            stream.dict.iter().for_each(|(_, o)| walk(o, dicts, names));
        }
        _ => {}
    }
}

#[test]
fn no_object_names_another_space_or_does_anything() {
    let (_, _, doc) = painted(3.0);
    let (mut dicts, mut names) = (Vec::new(), Vec::new());
    doc.objects.values().for_each(|o| walk(o, &mut dicts, &mut names));
    assert!(dicts.len() > 50 && names.len() > 50);
    for name in names {
        for other in ["DeviceRGB", "DeviceGray", "CalRGB", "CalGray", "Lab", "ICCBased", "Indexed"]
        {
            assert_ne!(name, other.as_bytes());
        }
    }
    for dict in &dicts {
        for key in [
            "JS",
            "JavaScript",
            "OpenAction",
            "AA",
            "A",
            "Annots",
            "AcroForm",
            "OCProperties",
            "OC",
            "TR",
            "TR2",
            "HT",
            "HTO",
            "SMask",
            "Alternates",
            "OPI",
            "PS",
            "F",
            "Encrypt",
            "EF",
        ] {
            assert!(!dict.has(key.as_bytes()), "{key} in {dict:?}");
        }
        if let Ok(group) = dict.get(b"Group").and_then(Object::as_dict) {
            assert_eq!(name(group, "CS"), Some(&b"DeviceCMYK"[..]));
        }
        if let Ok(filter) = dict.get(b"Filter").and_then(Object::as_name) {
            assert_eq!(filter, b"FlateDecode");
        }
        if name(dict, "Type") == Some(b"FontDescriptor") {
            assert!(dict.has(b"FontFile2"));
        }
    }
    let groups = doc.get_pages().into_values();
    assert!(groups.into_iter().all(|id| doc.get_dictionary(id).expect("a page").has(b"Group")));
}

fn boxed(doc: &Document, page: ObjectId, name: &[u8]) -> Rect {
    let page = doc.get_dictionary(page).expect("a page");
    let values = page.get(name).and_then(Object::as_array).expect("a box");
    let v: Vec<f64> = values.iter().map(|o| f64::from(o.as_float().expect("a number"))).collect();
    Rect::new(v[0], v[1], v[2], v[3])
}

#[test]
fn boxes_lie_in_one_another() {
    let mm = 72.0 / 25.4;
    let (_, _, doc) = painted(3.0);
    for page in doc.get_pages().into_values() {
        let [media, bleed, trim] =
            [&b"MediaBox"[..], b"BleedBox", b"TrimBox"].map(|name| boxed(&doc, page, name));
        assert!(!doc.get_dictionary(page).expect("a page").has(b"ArtBox"));
        let near = |a: f64, b: f64| (a - b).abs() < 0.002;
        assert!(near(trim.width(), 120.0 * mm) && near(trim.height(), 90.0 * mm));
        assert!(near(trim.x0 - bleed.x0, 3.0 * mm) && near(bleed.y1 - trim.y1, 3.0 * mm));
        assert!(media.contains_rect(bleed) && bleed.contains_rect(trim));
        assert!(bleed.x0 - media.x0 > 8.0 * mm);
    }
}

fn catalogue(doc: &Document) -> &Dictionary {
    doc.catalog().expect("a catalogue")
}

fn intent(doc: &Document) -> (&Dictionary, Vec<u8>, i64) {
    let intents = catalogue(doc).get(b"OutputIntents").and_then(Object::as_array);
    let intents = intents.expect("intents");
    assert_eq!(intents.len(), 1);
    let intent = intents[0].as_dict().expect("an intent");
    let profile = intent.get(b"DestOutputProfile").and_then(Object::as_reference);
    let profile = doc.get_object(profile.expect("a reference")).and_then(Object::as_stream);
    let profile = profile.expect("a profile");
    let channels = profile.dict.get(b"N").and_then(Object::as_i64).expect("channels");
    (intent, profile.get_plain_content().expect("bytes"), channels)
}

fn string(dict: &Dictionary, key: &str) -> Option<String> {
    dict.get(key.as_bytes()).ok().map(|o| lopdf::decode_text_string(o).expect("a text"))
}

fn info(doc: &Document) -> &Dictionary {
    let info = doc.trailer.get(b"Info").and_then(Object::as_reference).expect("Info");
    doc.get_dictionary(info).expect("Info")
}

/// XMP by namespace and name.
fn xmp(doc: &Document) -> BTreeMap<(String, String), String> {
    let metadata = catalogue(doc).get(b"Metadata").and_then(Object::as_reference);
    let metadata = doc.get_object(metadata.expect("XMP")).and_then(Object::as_stream);
    let metadata = metadata.expect("a stream");
    assert!(!metadata.dict.has(b"Filter"), "XMP is left readable");
    let text = String::from_utf8(metadata.content.clone()).expect("UTF-8");
    let tree = roxmltree::Document::parse(&text).expect("XML");
    let description = tree
        .descendants()
        .find(|n| n.has_tag_name("Description"))
        .or_else(|| tree.descendants().find(|n| n.tag_name().name() == "Description"));
    let children = description.expect("a description").children().filter(|n| n.is_element());
    children
        .map(|n| {
            let text: String =
                n.descendants().filter_map(|d| d.is_text().then(|| d.text()).flatten()).collect();
            let (space, name) = (n.tag_name().namespace().unwrap_or(""), n.tag_name().name());
            ((space.to_owned(), name.to_owned()), text)
        })
        .collect()
}

const XMP: &str = "http://ns.adobe.com/xap/1.0/";
const XMP_MM: &str = "http://ns.adobe.com/xap/1.0/mm/";
const PDF: &str = "http://ns.adobe.com/pdf/1.3/";
const PDFX: &str = "http://www.npes.org/pdfx/ns/id/";
const DC: &str = "http://purl.org/dc/elements/1.1/";

#[test]
fn the_file_says_what_it_is_made_for() {
    let sheet = sheet(0.0);
    let mut press = press(&sheet);
    let bytes = paint::press(&sheet, &press);
    assert!(bytes.starts_with(b"%PDF-1.6\n"));
    let doc = Document::load_mem(&bytes).expect("a PDF");
    let (dict, profile, channels) = intent(&doc);
    assert_eq!(name(dict, "S"), Some(&b"GTS_PDFX"[..]));
    assert_eq!(name(dict, "Type"), Some(&b"OutputIntent"[..]));
    assert_eq!(string(dict, "OutputConditionIdentifier").as_deref(), Some("made-up-coated"));
    let info = "A made-up coated stock – for tests";
    assert_eq!(string(dict, "Info").as_deref(), Some(info));
    assert!(!dict.has(b"RegistryName"));
    assert_eq!((&profile[..], channels), (&*press.condition.profile, 4));
    press.condition.registry = Some("http://registry.example".into());
    let doc = Document::load_mem(&paint::press(&sheet, &press)).expect("a PDF");
    assert_eq!(string(intent(&doc).0, "RegistryName").as_deref(), Some("http://registry.example"));
}

#[test]
fn both_places_say_the_same() {
    let mut sheet = sheet(0.0);
    sheet.about.issue_date = Date::from_ordinal_date(2026, 60).ok();
    let press = press(&sheet);
    let doc = Document::load_mem(&paint::press(&sheet, &press)).expect("a PDF");
    let (info, xmp) = (info(&doc), xmp(&doc));
    let said = |space: &str, name: &str| xmp[&(space.to_owned(), name.to_owned())].as_str();
    // The 60th day of 2026 is the first of March.
    for key in ["CreationDate", "ModDate"] {
        assert_eq!(string(info, key).as_deref(), Some("D:20260301000000Z"));
    }
    for key in ["CreateDate", "ModifyDate", "MetadataDate"] {
        assert_eq!(said(XMP, key), "2026-03-01T00:00:00Z");
    }
    assert_eq!(name(info, "Trapped"), Some(&b"False"[..]));
    assert_eq!(said(PDF, "Trapped"), "False");
    assert_eq!(string(info, "Title").as_deref(), Some("Shades & “shapes” <2046>"));
    assert_eq!(said(DC, "title"), "Shades & “shapes” <2046>");
    assert_eq!(said(PDFX, "GTS_PDFXVersion"), "PDF/X-4");
    assert_eq!(said(XMP_MM, "VersionID"), "1");
    assert_eq!(said(XMP_MM, "RenditionClass"), "default");
    // RFC 9562, 4: 8-4-4-4-12 digits, version 8, variant 10.
    let id = said(XMP_MM, "DocumentID").strip_prefix("uuid:").expect("a UUID");
    let lengths: Vec<usize> = id.split('-').map(str::len).collect();
    assert_eq!(lengths, [8, 4, 4, 4, 12]);
    assert!(id.as_bytes()[14] == b'8' && b"89ab".contains(&id.as_bytes()[19]), "{id}");
    let ids = doc.trailer.get(b"ID").and_then(Object::as_array).expect("an ID");
    assert_eq!((ids.len(), &ids[0]), (2, &ids[1]));
}

#[test]
fn a_document_is_known_by_what_is_on_its_pages() {
    let sheet = sheet(0.0);
    let press = press(&sheet);
    let id = |press: &Press| {
        let bytes = paint::press(&sheet, press);
        assert_eq!(bytes, paint::press(&sheet, press));
        xmp(&Document::load_mem(&bytes).expect("a PDF"))[&(XMP_MM.into(), "DocumentID".into())]
            .clone()
    };
    let first = id(&press);
    // The first stop of a gradient, and nothing else.
    let Some(Paint::Gradient(gradient)) = sheet.symbols[0].paint(2) else { panic!("flat") };
    let stop = sheet.palette.entry(gradient.stops[0].colour);
    let press = changed(&sheet, &press, stop, Cmyk(1, 2, 3, 4));
    let second = id(&press);
    assert_ne!(first, second);
    let press = changed(&sheet, &press, PaletteEntry::Ink(TEAL), Cmyk(1, 2, 3, 4));
    assert_ne!(second, id(&press));
}

#[test]
fn a_sheet_without_a_day_is_of_the_first_of_its_year() {
    let mut sheet = sheet(0.0);
    let press = press(&sheet);
    for (year, date) in [(None, "D:20000101000000Z"), (Some(2026), "D:20260101000000Z")] {
        sheet.about.year = year;
        let bytes = paint::press(&sheet, &press);
        let doc = Document::load_mem(&bytes).expect("a PDF");
        assert_eq!(string(info(&doc), "CreationDate").as_deref(), Some(date));
        // Where nothing is for a press, a day is only told if the sheet says one.
        let doc = Document::load_mem(&common::pdf(&sheet)).expect("a PDF");
        assert_eq!(string(info(&doc), "CreationDate"), None);
        assert!(!xmp(&doc).keys().any(|k| k.1.contains("Date")));
    }
    sheet.about.issue_date = Date::from_ordinal_date(2024, 366).ok();
    let doc = Document::load_mem(&common::pdf(&sheet)).expect("a PDF");
    assert_eq!(string(info(&doc), "ModDate").as_deref(), Some("D:20241231000000Z"));
    assert_eq!(xmp(&doc)[&(XMP.into(), "CreateDate".into())], "2024-12-31T00:00:00Z");
}

#[test]
fn other_files_are_for_srgb_and_claim_nothing_else() {
    let bytes = common::pdf(&sheet(0.0));
    assert!(bytes.starts_with(b"%PDF-1.7\n"));
    let doc = Document::load_mem(&bytes).expect("a PDF");
    let (dict, profile, channels) = intent(&doc);
    assert_eq!((name(dict, "S"), channels), (Some(&b"GTS_PDFA1"[..]), 3));
    let profile = Profile::new_icc(&profile).expect("a profile");
    assert_eq!(profile.device_class(), ProfileClassSignature::DisplayClass);
    assert_eq!(profile.color_space(), ColorSpaceSignature::RgbData);
    let spaces = [PDFX, XMP_MM, "http://www.aiim.org/pdfa/ns/id/"];
    assert!(xmp(&doc).keys().all(|k| !spaces.contains(&k.0.as_str())));
    assert!(!info(&doc).has(b"Trapped"));
}

#[test]
fn every_entry_of_the_palette_has_one_ink() {
    let sheet = sheet(0.0);
    let press = press(&sheet);
    assert_eq!(press.inks.each().count(), sheet.palette.entries().count());
}

/// Painters make a gradient without stops flat: bare paper, whatever that is on the press.
#[test]
fn a_gradient_without_stops_is_bare_paper() {
    let mut sheet = sheet(0.0);
    let Some(Paint::Gradient(gradient)) = sheet.symbols[0].paint(2) else { panic!("flat") };
    let mut bare = (*gradient).clone();
    bare.stops.clear();
    common::repaint(&mut sheet.symbols[0], 2, Paint::Gradient(bare.into()));
    sheet.pages.truncate(1);
    sheet.pages[0].items.retain(|i| matches!(i.kind, ItemKind::Use(u) if u.symbol.0 == 0));
    let press = changed(&sheet, &press(&sheet), PaletteEntry::Paper, Cmyk(9, 8, 7, 6));
    let doc = Document::load_mem(&paint::press(&sheet, &press)).expect("a PDF");
    let painted = read(&doc).remove(0);
    assert_eq!(painted[2].fill, Fill::Ink(Cmyk(9, 8, 7, 6)));
}

#[test]
fn total_ink_is_the_most_of_all_entries() {
    let sheet = sheet(0.0);
    let none = press(&sheet);
    let none = Press { inks: none.inks.map(|_| Cmyk(0, 0, 0, 0)), ..none };
    assert_eq!(none.total_ink(), 0.0);
    let teal = PaletteEntry::Sample(common::sample(TEAL));
    let part = changed(&sheet, &none, teal, Cmyk(255, 255, 51, 0));
    assert!((part.total_ink() - 220.0).abs() < 1e-9);
    let word = changed(&sheet, &part, PaletteEntry::Ink(TEAL), Cmyk(255, 255, 255, 0));
    assert!((word.total_ink() - 300.0).abs() < 1e-9);
}

#[test]
fn the_made_up_profile_is_one() {
    let profile = Profile::new_icc(&common::press::profile()).expect("a profile");
    assert_eq!(profile.device_class(), ProfileClassSignature::OutputClass);
    assert_eq!(profile.color_space(), ColorSpaceSignature::CmykData);
}

/// From the sheet file to the display list.
#[test]
fn the_day_in_a_sheet_comes_through() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    for name in ["range.ron", "disc.svg"] {
        std::fs::copy(Path::new("tests/faults/base").join(name), at(name)).expect("copied");
    }
    let sheet = r#"Sheet(range: "range.ron", year: 2025, issue_date: "2026-03-01", editions: [(layout: "a4")])"#;
    std::fs::write(at("sheet.ron"), sheet).expect("written");
    let mut sources = Sources::default();
    let loaded = load(&at("sheet.ron"), &mut sources).expect("it loads");
    let editions =
        Editions::resolve(loaded, &Filter::default(), &mut sources).expect("it resolves");
    let planned = editions.plan(editions.variants().next().expect("an edition")).expect("it fits");
    let about = planned.place(&editions.workshop()).about;
    assert_eq!(about.issue_date.map(|d| d.to_string()).as_deref(), Some("2026-03-01"));
    assert_eq!(about.year, Some(2025));
}
