//! The sheet: which colours and parts, in which order and editions.

mod columns;
mod editions;
mod families;
mod fields;
mod lists;
mod texts;

use std::path::Path;

use super::days::{issue_date, year};
use super::index::Known;
use super::keys::{check_key, proper_names, text};
use super::papers::{self, papers};
use crate::diag::{Findings, Located};
use crate::range::{ListingId, Pictures, SheetSpec};
use crate::read::raw;
use crate::read::ron::{Document, Place};
use editions::Editions;
use families::Picked;
use fields::{folder_name, light, own_words, page_spec, panel};
pub use fields::{is_limit, unknown_light};
use texts::Texts;

/// Checks a sheet against the range that it shows.
pub fn check(
    file: &Path,
    doc: Document<raw::Sheet>,
    known: Known<'_>,
    findings: &mut Findings,
) -> SheetSpec {
    let root = doc.source.root();
    let mut raw = doc.value;
    let name = name(raw.name.take(), file, root, findings);
    let texts = Texts::check(&mut raw, root, known.range, findings);
    let year = year(raw.year, root.field("year"), findings);
    let issue_date = issue_date(raw.issue_date.take(), root.field("issue_date"), findings);
    let Picked { families, left_out } = Picked::check(&mut raw, year, root, known, findings);
    let headings = raw.headings.take();
    let headings =
        headings.and_then(|k| known.index.listings.find(&k, root.field("headings"), findings));
    let centre = lists::centre(raw.centre.take(), root.field("centre"), known, findings);
    let legend_at = root.field("legend_parts");
    let legend_parts =
        lists::parts(raw.legend_parts.take(), legend_at, &known.index.parts, findings);
    let light = light(raw.light.take(), root.field("light"), findings);
    let lookalikes = panel(raw.lookalikes.take(), root.field("lookalikes"), findings);
    let pictures = pictures(raw.pictures.take(), root.field("pictures"), findings);
    let editions = Editions::check(&mut raw, &families, root, known, findings);
    let style = raw.style.unwrap_or_else(|| "plate".to_owned());
    text(&style, root.field("style"), findings);
    let own_words = own_words(raw.words, root.field("words"), findings);
    let own = proper_names(raw.proper_names, root.field("proper_names"), findings);
    SheetSpec {
        file: file.to_path_buf(),
        range_file: raw.range.unwrap_or_default(),
        name,
        title: texts.title,
        subtitle: texts.subtitle,
        corner_text: texts.corner_text,
        edition_line: texts.edition_line,
        notes: texts.notes,
        imprint: texts.imprint,
        families,
        left_out,
        headings: ListingId(headings.unwrap_or(0)),
        centre,
        editions,
        style: Located::new(style, root.or_head("style")),
        year,
        issue_date,
        light,
        legend_parts,
        lookalikes,
        family_order: raw.family_order.unwrap_or_default(),
        own_words,
        proper_names: known.range.proper_names.iter().cloned().chain(own).collect(),
        papers: papers(raw.papers, root.field("papers"), findings),
        pictures,
        page: raw.page.map(|page| page_spec(page, root.field("page"), findings)),
        marked_new: None,
    }
}

/// The folder of pictures; what is in it is read when the whole sheet is known.
fn pictures(raw: Option<String>, place: Place, findings: &mut Findings) -> Option<Pictures> {
    let folder = raw.filter(|folder| papers::file(folder, place, findings))?;
    let folder = Located::new(folder, place.span());
    Some(Pictures { folder, ..Pictures::default() })
}

/// The sheet's own name, or that of its folder.
fn name(raw: Option<String>, file: &Path, root: Place, findings: &mut Findings) -> String {
    let Some(name) = raw else { return folder_name(file) };
    check_key("sheet", &name, root.field("name"), findings);
    name
}
