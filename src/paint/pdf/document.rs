//! A document from its first byte to its last: parts, then each page as soon as it is made, then
//! what they call, and title, author and dates. Nothing that was written is kept but its place.

use std::io;
use std::io::Write;

use kurbo::Rect;
use lopdf::{Dictionary, Object};

use super::boxes::Boxes;
use super::content::Pages;
use super::cuts::Cuts;
use super::file::PdfFile;
use super::form;
use super::image;
use super::inks::Inks;
use super::metadata::{Metadata, text_string};
use super::object::Ref;
use super::resources::Parts;
use super::{font, intent, object, resources};
use crate::paint::fonts::Fonts;
use crate::sheet::{About, Sheet};

/// A sheet to be written.
#[derive(Clone, Copy)]
pub struct Document<'a> {
    pub sheet: &'a Sheet,
    pub inks: Inks<'a>,
    pub cuts: Cuts<'a>,
}

/// Writes documents of sheets with the same parts in the same inks: the parts go into all files
/// at once.
///
/// # Errors
/// Those of the files.
pub fn write(documents: Vec<(Document<'_>, &mut dyn Write)>) -> io::Result<()> {
    let (documents, outs): (Vec<Document<'_>>, Vec<&mut dyn Write>) = documents.into_iter().unzip();
    let Some(Document { sheet, inks, .. }) = documents.first() else { return Ok(()) };
    // PDF/X-4 is 1.6 (ISO 15930-7, read second-hand).
    let version = if inks.press().is_some() { "1.6" } else { "1.7" };
    let mut file = PdfFile::begin(outs, version)?;
    let forms = form::write(sheet, *inks, &mut file)?;
    let images = image::write(sheet, *inks, &mut file)?;
    let parts = Parts { forms, images };
    let files = file.apart()?;
    documents.iter().zip(files).try_for_each(|(document, file)| document.complete(file, &parts))
}

impl Document<'_> {
    /// All that comes after the parts.
    fn complete(&self, mut file: PdfFile<'_>, parts: &Parts) -> io::Result<()> {
        let Document { sheet, inks, cuts } = *self;
        let fonts = Fonts::collect(&sheet.faces, &sheet.pages);
        let boxes = Boxes::new(sheet);
        let runs = font::Runs::of_all(&fonts, &sheet.faces);
        let pages = Pages { sheet, inks, boxes: &boxes, fonts: &fonts, runs };
        let (tree, shared) = (file.reserve(1), file.reserve(1));
        self.pages(&mut file, &pages, tree, shared)?;
        let content = inks.press().map(|_| file.digest()).transpose()?;
        let metadata = Metadata::new(&sheet.about, content);
        let layers = resources::write(&mut file, shared, &pages, cuts, parts)?;
        let (info, xmp) = metadata.add(&mut file)?;
        let mut catalog = catalog(&sheet.about, tree, xmp);
        if let Some(layers) = layers {
            catalog.set("OCProperties", layers);
        }
        if let Some(intent) = intent::add(&mut file, inks)? {
            catalog.set("OutputIntents", Object::Array(vec![Object::Dictionary(intent)]));
        }
        let root = file.add_object(catalog)?;
        file.finish(root, info)
    }

    /// Writes the pages, which share their resources, and the tree of them (ISO 32000-1, 7.7.3).
    fn pages(
        &self,
        file: &mut PdfFile<'_>,
        pages: &Pages<'_>,
        tree: Ref,
        shared: Ref,
    ) -> io::Result<()> {
        let mut kids = Vec::new();
        for (n, page) in self.sheet.pages.iter().enumerate() {
            let cuts = self.cuts.get(n).map_or(&[][..], Vec::as_slice);
            let content = file.add_operators("", pages.operations(page, cuts))?;
            let mut page = page_dictionary(pages.boxes, self.inks.space());
            page.set("Parent", tree);
            page.set("Resources", shared);
            page.set("Contents", content);
            kids.push(Object::from(file.add_object(page)?));
        }
        let count = kids.len() as i64;
        let kids = Dictionary::from_iter([
            ("Type", Object::from("Pages")),
            ("Count", count.into()),
            ("Kids", Object::Array(kids)),
        ]);
        file.put(tree, &object::text(Object::Dictionary(kids))?)
    }
}

fn page_dictionary(boxes: &Boxes, space: &str) -> Dictionary {
    let rectangle = |part: Rect| {
        // A thousandth of a point is a third of a micrometre.
        let rounded = boxes.in_points(part).map(|v| ((v * 1e3).round() / 1e3) as f32);
        Object::Array(rounded.map(Object::Real).to_vec())
    };
    // Colours mix in the space they are given in, whatever the reader's own.
    let group =
        Dictionary::from_iter([("S", Object::from("Transparency")), ("CS", Object::from(space))]);
    Dictionary::from_iter([
        ("Type", Object::from("Page")),
        ("MediaBox", rectangle(boxes.media)),
        ("BleedBox", rectangle(boxes.bleed)),
        ("TrimBox", rectangle(boxes.trim)),
        ("Group", Object::Dictionary(group)),
    ])
}

fn catalog(about: &About, pages: Ref, xmp: Ref) -> Dictionary {
    let shown = Dictionary::from_iter([("DisplayDocTitle", Object::Boolean(true))]);
    Dictionary::from_iter([
        ("Type", Object::from("Catalog")),
        ("Pages", pages.into()),
        ("PageLayout", "SinglePage".into()),
        ("PageMode", "UseNone".into()),
        ("Lang", text_string(&about.language)),
        ("Metadata", xmp.into()),
        ("ViewerPreferences", Object::Dictionary(shown)),
    ])
}
