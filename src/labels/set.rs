//! A whole set of labels in one spelling: from colours to sheets to print and to cut.

use super::codes::Codes;
use super::contours::cut_sheets;
use kurbo::Size;

use super::fit::{Room, fit_all};
use super::label_sheet::LabelSheet;
use super::print::{Foot, Print, Ready, words_at};
use super::stand::{Places, Stand};
use super::voices::Voices;
use super::words::{Said, Wording};
use super::{CutSheet, proof};
use crate::diag::{Diagnostic, Findings, lacks};
use crate::plan::Style;
use crate::range::{CentreLine, ColourId, ColourRange, SheetSpec};
use crate::sheet::palette::PrintValues;
use crate::sheet::words::filled_with;
use crate::sheet::{About, Rgb, Sample, Sheet};
use crate::spelling::Spelling;
use crate::supplies::sheets::SheetNeed;
use crate::table::Table;
use crate::work::Work;

/// What a set is made of, whatever the spelling.
pub struct LabelsRequest<'a> {
    pub range: &'a ColourRange,
    pub sheet: &'a SheetSpec,
    pub label_sheet: &'a LabelSheet,
    pub style: &'a Style,
    /// In the order of the sheet.
    pub colours: &'a [ColourId],
    pub lines: &'a [CentreLine],
    pub places: &'a Places,
    /// Labels of every colour.
    pub copies: u64,
    /// A code on every label, where asked for.
    pub codes: Option<&'a Codes>,
    /// What fitting words counts and asks.
    pub work: &'a Work,
    /// What is printed in place of published values.
    pub values: &'a PrintValues,
}

/// A set of labels, laid out.
pub struct Set {
    pub stands: Vec<Stand>,
    labels: Vec<Ready>,
    print: Sheet,
    cuts: Vec<CutSheet>,
}

impl Set {
    /// Lays the labels out. What is only doubtful goes to `warnings`.
    ///
    /// # Errors
    /// Every colour whose words do not fit or have a character that the style's fonts lack.
    pub fn new(
        wish: &LabelsRequest<'_>,
        spelling: &Spelling,
        warnings: &mut Findings,
    ) -> Result<Set, Findings> {
        let LabelsRequest { range, label_sheet, .. } = *wish;
        let voices = Voices::new(wish.style, label_sheet)?;
        let wording = Wording { range, shown: wish.lines, spelling };
        let said = wording.said(wish.colours, label_sheet.lines(), warnings);
        let mut findings = missing_characters(range, &said, &voices);
        let mut labels = Vec::with_capacity(said.len());
        let size = words_at(label_sheet, wish.codes).size();
        let room = Room { lines: label_sheet.lines(), most: label_sheet.type_size(), size };
        let fitted = fit_all(&said, &voices, room, wish.work);
        for (said, fitted) in said.into_iter().zip(fitted) {
            match fitted {
                Some(fitted) => labels.push(Ready { said, fitted }),
                None => findings.push(too_long(range, &said, label_sheet, size)),
            }
        }
        if findings.failed() {
            return Err(findings);
        }
        let stands = wish.places.stands(labels.len(), wish.copies);
        let part_used = wish.places.part_used();
        let (foot, about) = (foot(wish, spelling), about(wish, spelling));
        let print = Print {
            label_sheet,
            voices: &voices,
            labels: &labels,
            stands: &stands,
            foot: &foot,
            codes: wish.codes,
            part_used,
        };
        let print = print.sheet(about);
        let cuts = cut_sheets(label_sheet, &stands, part_used);
        Ok(Set { stands, labels, print, cuts })
    }

    /// The sheets to print.
    pub fn print(&self) -> &Sheet {
        &self.print
    }

    /// The sheets to cut.
    pub fn cuts(&self) -> &[CutSheet] {
        &self.cuts
    }

    /// The sheets to print with the cuts over them.
    pub fn pictures(&self, label_sheet: &LabelSheet) -> Sheet {
        proof::pictures(&self.print, &self.cuts, label_sheet, &self.stands)
    }

    /// Every label with its place, its words and the `value` that is printed.
    pub fn list(&self, range: &ColourRange, value: impl Fn(&Sample) -> Rgb) -> Table {
        proof::list(range, &self.labels, &self.stands, value)
    }

    /// Sheets, the part-used one included.
    pub fn sheets(&self) -> usize {
        self.cuts.len()
    }
}

/// What the set takes, as `supplies` counts it.
pub fn need(places: &Places, labels: usize, copies: u64) -> SheetNeed {
    places.grid.need(labels as u64 * copies, places.used_as())
}

fn too_long(range: &ColourRange, said: &Said, label_sheet: &LabelSheet, room: Size) -> Diagnostic {
    let Size { width: w, height: h } = room;
    let colour = range.colour(said.colour);
    let first = &said.entries[0];
    let name = if first.name.is_empty() { &first.number } else { &first.name };
    let span = colour.names().get(first.listing.0).and_then(|name| name.span.clone());
    let message = format!(
        "the label of '{name}' has no room for its text, which does not fit in {w:.1} x {h:.1} mm at the smallest type size, {:.2} mm",
        label_sheet.type_floor()
    );
    Diagnostic::error("label-too-small", message)
        .at(span.or(colour.span().clone()))
        .help("use larger labels, fewer listings (--listing), a smaller chip or a smaller type_floor in the label sheet")
}

/// Characters of names and numbers that the style's fonts lack.
fn missing_characters(range: &ColourRange, said: &[Said], voices: &Voices) -> Findings {
    let mut findings = Findings::default();
    let faces = &voices.look.faces;
    let [name, number, other_name, other_number, tag] = voices.each();
    for label in said {
        for (i, entry) in label.entries.iter().enumerate() {
            let pair = if i == 0 { [name, number] } else { [other_name, other_number] };
            let texts = [&entry.name, &entry.number, &entry.tag];
            for ((what, voice), text) in pair.into_iter().chain([tag]).zip(texts) {
                let missing = faces[faces.of(voice.face, text)].missing(text);
                if !missing.is_empty() {
                    let colour = range.colour(label.colour);
                    findings.push(
                        lacks(&format!("{what} "), text, &missing)
                            .at(colour.span().clone())
                            .help("write it with different letters, or choose a --style whose font has them"),
                    );
                }
            }
        }
    }
    findings
}

/// The sheet's title with its blanks filled in as for parts at true size.
fn title(wish: &LabelsRequest<'_>, spelling: &Spelling) -> String {
    let counts = [wish.sheet.colour_count(), wish.sheet.families().len()];
    filled_with(wish.range, counts, spelling, 1.0, wish.sheet.title())
}

fn about(wish: &LabelsRequest<'_>, spelling: &Spelling) -> About {
    About {
        title: spelling.phrase("labels_title", &[("title", &title(wish, spelling))]),
        author: spelling.apply(wish.range.maker()),
        language: spelling.tag().to_owned(),
        issue_date: wish.sheet.issue_date(),
        year: wish.sheet.year(),
    }
}

fn foot(wish: &LabelsRequest<'_>, spelling: &Spelling) -> Foot {
    let release = spelling.apply(wish.range.release());
    let parts = [title(wish, spelling), release, spelling.phrase("spelling_name", &[])];
    let left = parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join(" · ");
    let spelling = spelling.clone();
    let right = move |n: usize, of: usize| {
        let numbers = [("page", n.to_string()), ("pages", of.to_string())];
        let fill = numbers.each_ref().map(|(k, v)| (*k, v.as_str()));
        spelling.phrase("page_of", &fill)
    };
    Foot { left, right: Box::new(right) }
}
