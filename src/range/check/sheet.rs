//! The sheet: which colours and parts, in which order and editions.

use std::collections::BTreeSet;
use std::path::Path;

use crate::colour::lookalike;
use crate::diag::{Diagnostic, Findings, Span, nearest};
use crate::range::{
    CentreLine, ColourId, Columns, EditionSpec, FamilyId, Format, LeftOut, Light, ListingId, Order,
    Panel, PartId, Range, SheetFamily, SheetSpec, Side, Words,
};
use crate::read::raw;
use crate::read::ron::{Document, Place};
use crate::read::tag::usual_case;
use crate::work::Work;

use super::colours::year;
use super::days::issue_date;
use super::keys::{check_key, check_tag, proper_names, text, words};
use super::order::{self, Asked};
use super::papers::papers;
use super::{Checked, Index};

/// More editions than anybody prints.
const MAX_EDITIONS: usize = 200;

pub fn check(
    file: &Path,
    doc: Document<raw::Sheet>,
    Checked { range, index }: &Checked,
    work: &Work,
    findings: &mut Findings,
) -> SheetSpec {
    let root = doc.source.root();
    let raw = doc.value;
    let name = match raw.name {
        Some(n) => {
            check_key("sheet", &n, root.field("name"), findings);
            n
        }
        None => folder_name(file),
    };
    let mut said =
        |w: Option<raw::Words>, field: &str| w.map(|w| words(w, root.field(field), findings));
    let title = said(raw.title, "title").unwrap_or_else(|| range.maker.clone());
    let subtitle = said(raw.subtitle, "subtitle").unwrap_or_default();
    let corner_text = said(raw.corner_text, "corner_text").unwrap_or_default();
    let edition_line =
        said(raw.edition_line, "edition_line").unwrap_or_else(|| range.release.clone());
    let mut lines = |w: Option<Vec<raw::Words>>, field: &str| -> Vec<Words> {
        let list = w.unwrap_or_default().into_iter().enumerate();
        list.map(|(i, w)| words(w, root.field(field).item(i), findings)).collect()
    };
    let notes = lines(raw.notes, "notes");
    let imprint = lines(raw.imprint, "imprint");
    let year = year(raw.year, root.field("year"), findings);
    let issue_date = issue_date(raw.issue_date, root.field("issue_date"), findings);
    let also = ids(
        raw.extra_colours,
        root.field("extra_colours"),
        |k, p, f| index.colours.find(k, p, f),
        findings,
    );
    let also_at = root.has("extra_colours").then(|| root.field("extra_colours"));
    let doubtful = root.faulted("extra_colours") || also_at.is_some_and(Place::damaged);
    let certain = !doubtful && !index.colours.missed();
    let left_out = left_out(raw.leave_out, root.field("leave_out"), range, index, findings);
    let out = left_out.iter().map(|o| o.colour.0).collect();
    let shown = Shown { range, work, year, also: &also, left_out: out, certain };
    let families =
        families(raw.families, raw.order.unwrap_or_default(), root, &shown, index, findings);
    extra_and_left_out(&also, &left_out, range, root, findings);
    if families.iter().all(|f| f.rows.is_empty()) && !findings.failed() {
        let span =
            if root.has("families") { root.field("families").key_span() } else { root.head() };
        findings.push(
            Diagnostic::error("empty-sheet", "the sheet shows no colours")
                .at(span)
                .help("check whether year, leave_out or families exclude every colour"),
        );
    }
    let headings = raw
        .headings
        .and_then(|k| index.listings.find(&k, root.field("headings"), findings))
        .unwrap_or(0);
    let centre = centre(raw.centre, root.field("centre"), range, index, findings);
    let legend_parts = ids(
        raw.legend_parts,
        root.field("legend_parts"),
        |k, p, f| index.parts.find(k, p, f),
        findings,
    )
    .into_iter()
    .map(PartId)
    .collect();
    let light = light(raw.light, root.field("light"), findings);
    let lookalikes = panel(raw.lookalikes, root.field("lookalikes"), findings);
    let spellings = spellings(raw.spellings, root, findings);
    let spellings = spellings.unwrap_or_else(|| vec!["en-GB".to_owned()]);
    let editions = editions(raw.editions, root, &spellings, &families, (range, index), findings);
    let style = raw.style.unwrap_or_else(|| "plate".to_owned());
    text(&style, root.field("style"), findings);
    let own_words = own_words(raw.words, root.field("words"), findings);
    let own = proper_names(raw.proper_names, root.field("proper_names"), findings);
    let proper_names = range.proper_names.iter().cloned().chain(own).collect();
    let papers = papers(raw.papers, root.field("papers"), findings);
    let items = |field: &str, list: &[Words]| -> Vec<Option<Span>> {
        (0..list.len()).map(|i| root.field(field).item(i).span()).collect()
    };
    SheetSpec {
        note_spans: items("notes", &notes),
        imprint_spans: items("imprint", &imprint),
        file: file.to_path_buf(),
        range_file: raw.range.unwrap_or_default(),
        name,
        title,
        subtitle,
        corner_text,
        edition_line,
        notes,
        imprint,
        families,
        left_out,
        headings: ListingId(headings),
        centre,
        editions,
        style,
        year,
        issue_date,
        light,
        legend_parts,
        lookalikes,
        family_order: raw.family_order.unwrap_or_default(),
        title_span: root.or_head("title"),
        subtitle_span: root.or_head("subtitle"),
        style_span: root.or_head("style"),
        corner_text_span: root.or_head("corner_text"),
        edition_line_span: root.or_head("edition_line"),
        own_words,
        proper_names,
        papers,
        marked_new: None,
    }
}

/// The light under which spectra are seen; default: D50.
fn light(raw: Option<String>, place: Place, findings: &mut Findings) -> Light {
    let Some(name) = raw else { return Light::default() };
    Light::parse(&name).unwrap_or_else(|| {
        findings.push(unknown_light(&name).at(place.span()));
        Light::default()
    })
}

/// The message for an unknown light.
pub fn unknown_light(name: &str) -> Diagnostic {
    let names = Light::ALL.map(Light::word);
    let help = match nearest(name, names) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use {}", names.join(", ")),
    };
    let name = name.escape_debug();
    Diagnostic::error("unknown-light", format!("there is no light '{name}'")).help(help)
}

/// The most pairs that a panel of look-alikes shows.
const MOST_PAIRS: i64 = 40;
/// Pairs in it by default.
const USUAL_PAIRS: usize = 6;
/// The greatest distance that can be asked for: black and white are 100 apart.
pub const MOST_APART: f64 = 100.0;

/// Is it a distance up to which colours can be look-alikes?
pub fn is_limit(limit: f64) -> bool {
    limit > 0.0 && limit <= MOST_APART
}

fn panel(raw: Option<raw::Lookalikes>, place: Place, findings: &mut Findings) -> Option<Panel> {
    let raw = raw?;
    let mut show = USUAL_PAIRS;
    if let Some(n) = raw.show {
        match usize::try_from(n).ok().filter(|_| (1..=MOST_PAIRS).contains(&n)) {
            Some(n) => show = n,
            None => findings.push(
                Diagnostic::error(
                    "out-of-bounds",
                    format!("the number of pairs must be from 1 to {MOST_PAIRS}, not {n}"),
                )
                .at(place.field("show").span())
                .help("write a whole number, for example 6"),
            ),
        }
    }
    let mut limit = lookalike::LIMIT;
    if let Some(n) = raw.limit {
        if is_limit(n) {
            limit = n;
        } else {
            findings.push(
                Diagnostic::error(
                    "out-of-bounds",
                    format!("the limit of look-alikes must be over 0 and up to 100, not {n}"),
                )
                .at(place.field("limit").span())
                .help("write a CIEDE2000 difference, for example 10"),
            );
        }
    }
    Some(Panel { show, limit })
}

/// Custom words for the proofreader: each a single word, none twice.
fn own_words(raw: Option<Vec<String>>, place: Place, findings: &mut Findings) -> Vec<String> {
    let list = raw.unwrap_or_default();
    let mut seen = BTreeSet::new();
    for (i, word) in list.iter().enumerate() {
        let at = place.item(i);
        text(word, at, findings);
        let letters = word.chars().any(char::is_alphabetic);
        let fault = if word.split_whitespace().count() > 1 {
            ("bad-own-word", format!("'{word}' is more than one word"), "list each word separately")
        } else if !letters || word.trim() != word {
            (
                "bad-own-word",
                format!("'{word}' is not a word"),
                "write one word, for example \"tideline\"",
            )
        } else if !seen.insert(word.to_lowercase()) {
            ("double-key", format!("the word '{word}' is given twice"), "keep one of them")
        } else {
            continue;
        };
        findings.push(Diagnostic::error(fault.0, fault.1).at(at.span()).help(fault.2));
    }
    list
}

/// The folder's name as a key: other signs become hyphens.
fn folder_name(file: &Path) -> String {
    let absolute = std::path::absolute(file).unwrap_or_else(|_| file.to_path_buf());
    let name =
        absolute.parent().and_then(Path::file_name).map(|n| n.to_string_lossy().into_owned());
    let name: String = name
        .unwrap_or_default()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let name = name.trim_matches('-');
    if name.is_empty() { "sheet".to_owned() } else { name.to_owned() }
}

fn ids(
    raw: Option<Vec<String>>,
    place: Place,
    find: impl Fn(&str, Place, &mut Findings) -> Option<usize>,
    findings: &mut Findings,
) -> Vec<usize> {
    let mut out = Vec::new();
    for (i, key) in raw.unwrap_or_default().iter().enumerate() {
        let at = place.item(i);
        match find(key, at, findings) {
            Some(n) if out.contains(&n) => findings.push(
                Diagnostic::error("double-key", format!("'{key}' is in this list twice"))
                    .at(at.span())
                    .help("keep one of them"),
            ),
            Some(n) => out.push(n),
            None => {}
        }
    }
    out
}

fn left_out(
    raw: Option<Vec<raw::LeaveOut>>,
    place: Place,
    range: &Range,
    index: &Index,
    findings: &mut Findings,
) -> Vec<LeftOut> {
    let mut out: Vec<LeftOut> = Vec::new();
    for (i, group) in raw.unwrap_or_default().into_iter().enumerate() {
        let at = place.item(i);
        let reason = group.reason.map(|r| words(r, at.field("reason"), findings));
        if group.colours.is_none() && !at.faulted("colours") {
            findings.push(
                Diagnostic::error(
                    "missing-field",
                    "this entry does not name the colours to leave out",
                )
                .at(at.head())
                .help("add colours: [\"...\"]"),
            );
        }
        let found = ids(
            group.colours,
            at.field("colours"),
            |k, p, f| index.colours.find(k, p, f),
            findings,
        );
        for colour in found {
            if out.iter().any(|o| o.colour.0 == colour) {
                findings.push(
                    Diagnostic::error(
                        "double-key",
                        format!("'{}' is left out twice", range.colours[colour].key),
                    )
                    .at(at.field("colours").span())
                    .help("keep one of them"),
                );
                continue;
            }
            out.push(LeftOut {
                colour: ColourId(colour),
                reason: reason.clone(),
                reason_span: at.or_head("reason"),
            });
        }
    }
    out
}

fn extra_and_left_out(
    also: &[usize],
    left_out: &[LeftOut],
    range: &Range,
    root: Place,
    findings: &mut Findings,
) {
    for id in also.iter().filter(|id| left_out.iter().any(|o| o.colour.0 == **id)) {
        findings.push(
            Diagnostic::error(
                "extra-and-left-out",
                format!("'{}' is in extra_colours and in leave_out", range.colours[*id].key),
            )
            .at(root.field("extra_colours").span())
            .help("remove it from one of them"),
        );
    }
}

/// Which colours the sheet shows.
struct Shown<'a> {
    range: &'a Range,
    /// What finding an order counts.
    work: &'a Work,
    year: Option<u16>,
    also: &'a [usize],
    left_out: BTreeSet<usize>,
    /// Is `also` whole?
    certain: bool,
}

impl Shown<'_> {
    fn rows(&self, family: usize) -> Vec<ColourId> {
        let all = self.range.colours.iter().enumerate();
        all.filter(|(i, c)| c.family.0 == family && self.holds(*i))
            .map(|(i, _)| ColourId(i))
            .collect()
    }

    fn holds(&self, colour: usize) -> bool {
        let c = &self.range.colours[colour];
        let sold = self.year.is_none_or(|y| {
            c.first_year.is_none_or(|f| f <= y) && c.last_year.is_none_or(|l| y <= l)
        });
        (sold || self.also.contains(&colour)) && !self.left_out.contains(&colour)
    }
}

fn families(
    raw: Option<Vec<raw::FamilyPick>>,
    order: Order,
    root: Place,
    shown: &Shown,
    index: &Index,
    findings: &mut Findings,
) -> Vec<SheetFamily> {
    let place = root.field("families");
    let Some(raw) = raw else {
        return (0..shown.range.families.len())
            .map(|i| SheetFamily {
                family: FamilyId(i),
                rows: order::rows(shown.range, shown.rows(i), order, None, shown.work),
                order,
                first: None,
                columns: Columns::Choose { from: None },
                span: root.head(),
            })
            .collect();
    };
    let mut out: Vec<SheetFamily> = Vec::new();
    for (i, pick) in raw.into_iter().enumerate() {
        let (at, pick) = (place.item(i), pick.fields());
        let key_at = if at.has("family") { at.field("family") } else { at };
        let Some(key) = pick.family else {
            if !at.faulted("family") {
                findings.push(
                    Diagnostic::error("missing-field", "this entry does not name its family")
                        .at(at.head())
                        .help("add family: \"...\""),
                );
            }
            continue;
        };
        let columns = columns(pick.columns, at.field("columns"), shown.range, index, findings);
        let Some(family) = index.families.find(&key, key_at, findings) else { continue };
        if out.iter().any(|f| f.family.0 == family) {
            findings.push(
                Diagnostic::error("double-key", format!("the family '{key}' is shown twice"))
                    .at(key_at.span())
                    .help("keep one of them"),
            );
            continue;
        }
        let rows = shown.rows(family);
        if rows.is_empty() && !findings.failed() {
            findings.push(
                Diagnostic::warning(
                    "empty-family",
                    format!("the sheet shows no colours of the family '{key}'"),
                )
                .at(key_at.span())
                .help("remove the family from the sheet, or check what excludes its colours"),
            );
        }
        let family = FamilyId(family);
        let known = !at.faulted("order") && (pick.order.is_some() || !root.faulted("order"));
        let order = pick.order.unwrap_or(order);
        let asked =
            Asked { family, order: known.then_some(order), shown: &rows, certain: shown.certain };
        let first = order::first(pick.first.as_deref(), at, &asked, (shown.range, index), findings);
        let rows = order::rows(shown.range, rows, order, first, shown.work);
        out.push(SheetFamily { family, rows, columns, order, first, span: key_at.span() });
    }
    out
}

fn columns(
    raw: Option<raw::Columns>,
    place: Place,
    range: &Range,
    index: &Index,
    findings: &mut Findings,
) -> Columns {
    let mut parts = |list: Vec<String>, field: &str| -> Vec<PartId> {
        let at = place.field(field);
        let found = ids(Some(list), at, |k, p, f| index.parts.find(k, p, f), findings);
        found.into_iter().map(PartId).collect()
    };
    match raw {
        None => Columns::Choose { from: None },
        Some(raw::Columns::Loose) => Columns::Loose,
        Some(raw::Columns::Choose { from }) => {
            Columns::Choose { from: from.map(|list| parts(list, "from")) }
        }
        Some(raw::Columns::Given { left, right }) => {
            let [left, right] = [(left, "left"), (right, "right")]
                .map(|(list, side)| parts(list.unwrap_or_default(), side));
            if left.is_empty() && right.is_empty() && !findings.failed() {
                findings.push(
                    Diagnostic::error("no-columns", "neither side has any parts")
                        .at(place.span())
                        .help("name parts in left and right, or write Loose"),
                );
            }
            for (list, side, field, word) in
                [(&left, Side::Left, "left", "right"), (&right, Side::Right, "right", "left")]
            {
                for (i, id) in list.iter().enumerate() {
                    let part = &range.parts[id.0];
                    if part.side != side {
                        findings.push(
                            Diagnostic::warning(
                                "other-side",
                                format!("the part '{}' belongs on the {word} side", part.key),
                            )
                            .at(place.field(field).item(i).span())
                            .help("move it to that side, or change its side in the range"),
                        );
                    }
                }
            }
            let twice = left.iter().find(|id| right.contains(id));
            if let Some(id) = twice {
                findings.push(
                    Diagnostic::error(
                        "double-key",
                        format!("the part '{}' is on both sides", range.parts[id.0].key),
                    )
                    .at(place.field("right").span())
                    .help("keep it on one side"),
                );
            }
            Columns::Given { left, right }
        }
    }
}

fn centre(
    raw: Option<Vec<raw::CentreLine>>,
    place: Place,
    range: &Range,
    index: &Index,
    findings: &mut Findings,
) -> Vec<CentreLine> {
    let Some(raw) = raw else {
        return (0..range.listings.len())
            .map(|i| CentreLine { listing: ListingId(i), name: true, number: true })
            .collect();
    };
    let mut out: Vec<CentreLine> = Vec::new();
    for (i, line) in raw.into_iter().enumerate() {
        let at = place.item(i);
        let Some(key) = line.listing else {
            if !at.faulted("listing") {
                findings.push(
                    Diagnostic::error("missing-field", "this centre line does not name a listing")
                        .at(at.head())
                        .help("add listing: \"...\""),
                );
            }
            continue;
        };
        let Some(id) = index.listings.find(&key, at.field("listing"), findings) else { continue };
        if out.iter().any(|l| l.listing.0 == id) {
            findings.push(
                Diagnostic::error(
                    "double-key",
                    format!("the listing '{key}' appears twice in the centre"),
                )
                .at(at.field("listing").span())
                .help("keep one of them"),
            );
        }
        let (name, number) = (line.name.unwrap_or(true), line.number.unwrap_or(true));
        if !name && !number {
            findings.push(
                Diagnostic::warning("empty-line", "this centre line shows neither name nor number")
                    .at(at.head())
                    .help("remove the line, or set one of them to true"),
            );
        }
        out.push(CentreLine { listing: ListingId(id), name, number });
    }
    out
}

fn spellings(
    raw: Option<Vec<String>>,
    owner: Place,
    findings: &mut Findings,
) -> Option<Vec<String>> {
    let list = raw?;
    let place = owner.field("spellings");
    let mut out: Vec<String> = Vec::new();
    for (i, tag) in list.iter().enumerate() {
        let span = place.item(i).span();
        if !check_tag(tag, span.clone(), findings) {
            continue;
        }
        let tag = usual_case(tag);
        if out.contains(&tag) {
            findings.push(
                Diagnostic::error("double-key", format!("the spelling '{tag}' is given twice"))
                    .at(span)
                    .help("keep one of them"),
            );
            continue;
        }
        out.push(tag);
    }
    if list.is_empty() {
        findings.push(
            Diagnostic::error("empty-list", "no spelling is given")
                .at(place.span())
                .help("name one, for example \"en-GB\", or remove the field"),
        );
    }
    Some(out)
}

fn editions(
    raw: Option<Vec<raw::Edition>>,
    root: Place,
    sheet_spellings: &[String],
    shown: &[SheetFamily],
    (range, index): (&Range, &Index),
    findings: &mut Findings,
) -> Vec<EditionSpec> {
    let all = || vec![Format::Svg, Format::Pdf, Format::Png];
    let sheet_spellings_span =
        if root.has("spellings") { root.field("spellings").span() } else { root.head() };
    let place = root.field("editions");
    let Some(raw) = raw else {
        return vec![EditionSpec {
            name: "a4".to_owned(),
            layout: "a4".to_owned(),
            spellings: sheet_spellings.to_vec(),
            formats: all(),
            families: Vec::new(),
            span: root.head(),
            layout_span: root.head(),
            spellings_span: sheet_spellings_span,
        }];
    };
    if raw.is_empty() && place.damaged() {
        return Vec::new();
    }
    if raw.is_empty() || raw.len() > MAX_EDITIONS {
        findings.push(
            Diagnostic::error("edition-count", format!("the sheet has {} editions", raw.len()))
                .at(place.key_span())
                .help(format!("give from 1 to {MAX_EDITIONS}, or remove the field for A4 only")),
        );
        return Vec::new();
    }
    let mut out: Vec<EditionSpec> = Vec::new();
    for (i, e) in raw.into_iter().enumerate() {
        let at = place.item(i);
        let Some(layout) = e.layout else {
            if !at.faulted("layout") {
                findings.push(
                    Diagnostic::error("missing-field", "this edition has no layout")
                        .at(at.head())
                        .help("add a page layout, for example layout: \"a4\""),
                );
            }
            continue;
        };
        text(&layout, at.field("layout"), findings);
        let name = match e.name {
            Some(n) => {
                check_key("edition", &n, at.field("name"), findings);
                n
            }
            None => stem(&layout),
        };
        if out.iter().any(|o| o.name.eq_ignore_ascii_case(&name)) {
            let span = if at.has("name") { at.field("name") } else { at.field("layout") };
            findings.push(
                Diagnostic::error("double-key", format!("two editions are named '{name}'"))
                    .at(span.span())
                    .help(
                        "give one of them a different name: their files would overwrite each other",
                    ),
            );
        }
        let formats = match e.formats {
            Some(f) if f.is_empty() => {
                findings.push(
                    Diagnostic::error("empty-list", "this edition has no output formats")
                        .at(at.field("formats").span())
                        .help("name one or more of svg, pdf and png, or remove the field"),
                );
                f
            }
            Some(mut f) => {
                f.sort_unstable();
                f.dedup();
                f
            }
            None => all(),
        };
        let families =
            edition_families(e.families, at.field("families"), shown, range, index, findings);
        let spellings_span = if at.has("spellings") {
            at.field("spellings").span()
        } else {
            sheet_spellings_span.clone()
        };
        out.push(EditionSpec {
            name,
            layout_span: at.field("layout").span(),
            layout,
            spellings: spellings(e.spellings, at, findings)
                .unwrap_or_else(|| sheet_spellings.to_vec()),
            formats,
            families,
            span: at.head(),
            spellings_span,
        });
    }
    out
}

/// A layout's name, or its file's name without folder and ending.
fn stem(layout: &str) -> String {
    let last = layout.rsplit('/').next().unwrap_or(layout);
    last.strip_suffix(".ron").unwrap_or(last).to_owned()
}

fn edition_families(
    raw: Option<Vec<String>>,
    place: Place,
    shown: &[SheetFamily],
    range: &Range,
    index: &Index,
    findings: &mut Findings,
) -> Vec<FamilyId> {
    let wanted = ids(raw, place, |k, p, f| index.families.find(k, p, f), findings);
    for id in &wanted {
        if !shown.iter().any(|f| f.family.0 == *id) && !findings.failed() {
            findings.push(
                Diagnostic::error(
                    "family-not-shown",
                    format!("the sheet does not show the family '{}'", range.families[*id].key),
                )
                .at(place.span())
                .help("add it to the sheet's families, or remove it here"),
            );
        }
    }
    shown.iter().map(|f| f.family).filter(|f| wanted.contains(&f.0)).collect()
}
