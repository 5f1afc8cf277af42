//! From raw documents to the checked range and sheet: every fault is found
//! at once, each with its place and a suggestion.

mod colours;
mod days;
mod keys;
mod made;
mod order;
mod papers;
mod parts;
mod sheet;
mod tables;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::limits::{self, Bound};
use crate::read::{inside, outside, raw, read_text, ron, table};

use super::{Family, Light, Listing, Range, SheetSpec, Words};
use keys::{Keys, proper_names, words};
pub use parts::Shapes;
pub use sheet::{is_limit, unknown_light};
use tables::{Files, here, here_or_there};

/// What a sheet file and the files it names come to.
#[derive(Debug)]
pub struct Loaded {
    pub range: Range,
    pub sheet: SheetSpec,
    /// Findings that do not stop the sheet.
    pub warnings: Findings,
}

/// Reads a sheet file, the range file and the shape files it names, and checks them.
///
/// # Errors
/// Everything that stops the sheet, together with the warnings.
pub fn load(sheet_file: &Path, sources: &mut Sources) -> Result<Loaded, Findings> {
    load_again(sheet_file, sources, &Shapes::default())
}

/// The same, where some of the drawings may be known from an earlier time.
///
/// # Errors
/// As [`load`].
pub fn load_again(
    sheet_file: &Path,
    sources: &mut Sources,
    shapes: &Shapes,
) -> Result<Loaded, Findings> {
    let mut findings = Findings::default();
    let loaded = load_all(sheet_file, sources, shapes, &mut findings);
    match loaded {
        Some((range, sheet)) if !findings.failed() => {
            Ok(Loaded { range, sheet, warnings: findings })
        }
        _ => Err(findings),
    }
}

/// What a range file or a sheet file comes to: with a sheet, only its year counts.
#[derive(Debug)]
pub struct Described {
    pub range: Range,
    /// Where the file was a sheet.
    pub sheet: Option<SheetSpec>,
    /// Findings that do not stop anything.
    pub warnings: Findings,
}

/// Reads a range file, or a sheet file with its range.
///
/// # Errors
/// Everything that is wrong, together with the warnings.
pub fn load_either(file: &Path, sources: &mut Sources) -> Result<Described, Findings> {
    if !is_range(file, sources)? {
        let Loaded { range, sheet, warnings } = load(file, sources)?;
        return Ok(Described { range, sheet: Some(sheet), warnings });
    }
    let mut findings = Findings::default();
    let range = open::<raw::Range>(file, None, "Range", sources, &mut findings).map(|doc| {
        check_range((file, doc), Light::D50, &Shapes::default(), sources, &mut findings).range
    });
    match range {
        Some(range) if !findings.failed() => {
            Ok(Described { range, sheet: None, warnings: findings })
        }
        _ => Err(findings),
    }
}

/// Reads the whole range of a range file or of a sheet file, whatever the sheet chooses of it.
///
/// # Errors
/// Everything that is wrong with it, together with the warnings.
pub fn load_range(file: &Path, sources: &mut Sources) -> Result<Range, Findings> {
    if is_range(file, sources)? {
        return load_either(file, sources).map(|described| described.range);
    }
    let mut findings = Findings::default();
    let range = open(file, None, "Sheet", sources, &mut findings)
        .and_then(|doc| range_of(file, &doc, sources, &mut findings))
        .map(|(file, doc)| {
            check_range((&file, doc), Light::D50, &Shapes::default(), sources, &mut findings).range
        });
    match range {
        Some(range) if !findings.failed() => Ok(range),
        _ => Err(findings),
    }
}

/// Does the file start with 'Range('? One that cannot be read does not: reading it as a sheet says why.
///
/// # Errors
/// It is a file of a third kind.
fn is_range(file: &Path, sources: &mut Sources) -> Result<bool, Findings> {
    let Ok(text) = read_text(file, None, &sources.session) else { return Ok(false) };
    match ron::other_kind(file, &text, "Sheet") {
        None => Ok(false),
        Some(_) if ron::other_kind(file, &text, "Range").is_none() => Ok(true),
        Some(fault) => {
            sources.add(file, text);
            Err(fault.help("name a range file or a sheet file").into())
        }
    }
}

fn load_all(
    sheet_file: &Path,
    sources: &mut Sources,
    shapes: &Shapes,
    findings: &mut Findings,
) -> Option<(Range, SheetSpec)> {
    let doc: ron::Document<raw::Sheet> = open(sheet_file, None, "Sheet", sources, findings)?;
    let (range_file, range_doc) = range_of(sheet_file, &doc, sources, findings)?;
    // An unknown light is reported by the check of the sheet.
    let light = doc.value.light.as_deref().and_then(Light::parse).unwrap_or_default();
    let checked = check_range((&range_file, range_doc), light, shapes, sources, findings);
    let sheet = sheet::check(sheet_file, doc, &checked, &sources.session.work, findings);
    let mut range = checked.range;
    if let Some(year) = sheet.year {
        for y in range.years.iter().filter(|y| !y.holds(year)) {
            range.made[y.colour.0][y.part.0] = false;
        }
    }
    without_parts(&range, &sheet, findings);
    Some((range, sheet))
}

/// The range file that a sheet names.
fn range_of(
    sheet_file: &Path,
    doc: &ron::Document<raw::Sheet>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<(PathBuf, ron::Document<raw::Range>)> {
    let place = doc.source.root();
    let Some(name) = &doc.value.range else {
        if !place.faulted("range") {
            findings.push(
                Diagnostic::error("missing-field", "the sheet does not name its range file")
                    .at(place.head())
                    .help("add range: \"range.ron\""),
            );
        }
        return None;
    };
    let here = place.field("range").span();
    let folder = sheet_file.parent().unwrap_or(Path::new(""));
    let Some(range_file) = inside(folder, name, &sources.session.files) else {
        findings.push(outside(name, here));
        return None;
    };
    let range = open::<raw::Range>(&range_file, here, "Range", sources, findings)?;
    Some((range_file, range))
}

fn open<T: serde::de::DeserializeOwned>(
    file: &Path,
    from: Option<Span>,
    top: &str,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<ron::Document<T>> {
    match read_text(file, from, &sources.session) {
        Ok(text) => {
            sources.add(file, Arc::clone(&text));
            ron::decode(file, &text, top, findings)
        }
        Err(d) => {
            findings.push(d);
            None
        }
    }
}

/// Keys of a range, for what refers to them.
struct Index {
    listings: Keys,
    families: Keys,
    parts: Keys,
    colours: Keys,
}

/// A range, and what the sheet's check needs besides.
struct Checked {
    range: Range,
    index: Index,
}

/// Colours of the sheet that no part shows.
fn without_parts(range: &Range, sheet: &SheetSpec, findings: &mut Findings) {
    // After an error the matrix may have holes that are not the writer's.
    if findings.failed() {
        return;
    }
    for id in sheet.families.iter().flat_map(|f| f.rows.iter()) {
        let colour = range.colour(*id);
        if !range.made[id.0].contains(&true) {
            findings.push(
                Diagnostic::warning(
                    "no-part",
                    format!("no part is made in '{}'", colour.any_name()),
                )
                .at(colour.span.clone())
                .help("mark its parts in made, or omit the colour from the sheet"),
            );
        }
    }
}

fn check_range(
    (file, doc): (&Path, ron::Document<raw::Range>),
    light: Light,
    shapes: &Shapes,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Checked {
    let root = doc.source.root();
    let raw = doc.value;
    let limits = sources.session.limits;
    let mut files = Files { range: file, sources, shapes };
    let listings = here(limits.bound(limits::LISTINGS), raw.listings, root, "listings", findings);
    let families = here(limits.bound(limits::FAMILIES), raw.families, root, "families", findings);
    let named: Vec<(String, String)> = listings
        .items
        .iter()
        .map(|l| {
            let key = l.key.clone().unwrap_or_default();
            let title = l.title.as_ref().map_or_else(|| key.clone(), |t| t.text.clone());
            (key, title)
        })
        .collect();
    let named: Vec<table::Named<'_>> = named.iter().map(|(k, t)| (&**k, &**t)).collect();
    let parts = here_or_there(
        limits.bound(limits::PARTS),
        raw.parts,
        root,
        "parts",
        &mut files,
        findings,
        |grid, own, findings| table::parts(grid, own, &named, findings),
    );
    let together = one_table(&raw.colours, &raw.made);
    let crosses: Vec<&str> = match together {
        true => parts
            .items
            .iter()
            .map(goes_by_part)
            .flat_map(|(k, all)| all.into_iter().chain([k]))
            .collect(),
        false => Vec::new(),
    };
    let mut mappings = Vec::new();
    let colours = here_or_there(
        limits.bound(limits::COLOURS),
        raw.colours,
        root,
        "colours",
        &mut files,
        findings,
        |grid, own, findings| {
            mappings = own.to_vec();
            table::colours(grid, own, &named, &crosses, findings)
        },
    );
    let (made, made_source) = {
        let colours: Vec<(&str, Vec<&str>)> = colours.items.iter().map(goes_by_colour).collect();
        let parts: Vec<(&str, Vec<&str>)> = parts.items.iter().map(goes_by_part).collect();
        let together = together.then_some(mappings.as_slice());
        let known = table::Known { listings: &named, colours: &colours, parts: &parts, together };
        tables::made(raw.made, root, &mut files, &known, findings)
    };
    for (stands, empty, help) in [
        (
            &listings.stands,
            listings.items.is_empty(),
            r#"add listings: [(key: "works", title: "Works list")]"#,
        ),
        (
            &families.stands,
            families.items.is_empty(),
            r#"add families: [(key: "gloss", title: "Gloss", finish: opaque)]"#,
        ),
        (
            &parts.stands,
            parts.items.is_empty(),
            r#"add parts: [(key: "b9", shape: "shapes/button.svg")]"#,
        ),
        (
            &colours.stands,
            colours.items.is_empty(),
            r##"add colours: [(key: "gannet", family: "gloss", value: "#f8f7f3")]"##,
        ),
    ] {
        stands.not_empty(empty, root, help, findings);
    }
    let mut index = Index {
        listings: listings.stands.keys(
            "listing",
            root,
            listings.items.iter().map(|l| &l.key),
            findings,
        ),
        families: families.stands.keys(
            "family",
            root,
            families.items.iter().map(|f| &f.key),
            findings,
        ),
        parts: parts.stands.keys("part", root, parts.items.iter().map(|p| &p.key), findings),
        colours: colours.stands.keys(
            "colour",
            root,
            colours.items.iter().map(|c| &c.key),
            findings,
        ),
    };
    index.families.go_by(families.items.iter().enumerate().flat_map(|(i, f)| {
        let title = f.title.iter();
        title
            .flat_map(|t| t.forms.0.iter().map(|(_, form)| form).chain([&t.text]))
            .map(move |t| (i, t.as_str()))
    }));
    let families_at = root.field("families");
    let colours_at = colours.stands.place(root);
    let parts_at = parts.stands.place(root);
    let all_colours = !colours.stands.lost();
    let made_at = made_source.as_ref().map_or(root.field("made"), ron::Source::root);

    let listings: Vec<Listing> = listings
        .items
        .into_iter()
        .enumerate()
        .map(|(i, l)| {
            let place = root.field("listings").item(i);
            let key = l.key.unwrap_or_default();
            let title = l.title.map(|t| words(t, place.field("title"), findings));
            Listing { title: title.unwrap_or_else(|| super::Words::plain(&key)), key }
        })
        .collect();
    let families: Vec<Family> = families
        .items
        .into_iter()
        .enumerate()
        .map(|(i, f)| {
            let place = root.field("families").item(i);
            let key = f.key.unwrap_or_default();
            let title = f.title.map(|t| words(t, place.field("title"), findings));
            let note = f.note.map(|t| words(t, place.field("note"), findings)).unwrap_or_default();
            let legend = f.legend.map(|t| words(t, place.field("legend"), findings));
            let note_span = place.or_head("note");
            let legend_span =
                if place.has("legend") { place.or_head("legend") } else { note_span.clone() };
            Family {
                title_span: place.or_head("title"),
                note_span,
                legend_span,
                title: title.unwrap_or_else(|| super::Words::plain(&key)),
                legend: legend.unwrap_or_else(|| note.clone()),
                note,
                finish: f.finish.unwrap_or(super::Finish::Opaque),
                key,
            }
        })
        .collect();
    let parts = parts::check(&mut files, parts.items, parts_at, &index.listings, findings);
    let around = colours::Around {
        listings: &index.listings,
        families: &index.families,
        finishes: &families,
        light,
    };
    let colours = colours::check(colours.items, colours_at, around, findings);
    let made = made::check(made, made_at, &index, (&parts, &colours), findings);
    if all_colours && !index.families.missed() {
        unused_families(&families, &colours, (families_at, colours_at), findings);
    }
    let maker = raw.maker.map(|w| words(w, root.field("maker"), findings)).unwrap_or_default();
    let maker = Words { is_name: true, ..maker };
    let proper_names = proper_names(raw.proper_names, root.field("proper_names"), findings);
    let release =
        raw.release.map(|w| words(w, root.field("release"), findings)).unwrap_or_default();
    let (made, years) = (made.cells, made.years);
    let range = Range {
        maker,
        release,
        proper_names,
        listings,
        families,
        parts,
        colours,
        made,
        years,
        maker_span: root.or_head("maker"),
        release_span: root.or_head("release"),
    };
    Checked { range, index }
}

/// Are the colours and what is made of them in one table?
fn one_table(colours: &Option<raw::Rows<raw::Colour>>, made: &Option<raw::MadeIn>) -> bool {
    match (colours, made) {
        (Some(raw::Rows::Table(a)), Some(raw::MadeIn::Table(b))) => {
            a.file.is_some() && a.file == b.file && a.sheet == b.sheet
        }
        _ => false,
    }
}

/// A colour's key, and its other names in a table of what is made.
fn goes_by_colour(c: &raw::Colour) -> (&str, Vec<&str>) {
    let names = c.names.iter().flat_map(|n| &n.0).map(|(_, w)| w.text.as_str());
    let numbers = c.numbers.iter().flat_map(|n| &n.0).map(|(_, n)| n.as_str());
    (c.key.as_deref().unwrap_or(""), names.chain(numbers).collect())
}

/// A part's key, and its other names.
fn goes_by_part(p: &raw::Part) -> (&str, Vec<&str>) {
    let numbers = p.numbers.iter().flat_map(|n| &n.0).map(|(_, n)| n.as_str());
    (p.key.as_deref().unwrap_or(""), numbers.collect())
}

/// A list, cut off where it is longer than any sheet can hold, and whether it was: a guard against generated nonsense.
fn at_most<T>(
    bound: Bound,
    list: Option<Vec<T>>,
    root: ron::Place,
    name: &str,
    findings: &mut Findings,
) -> (Vec<T>, bool) {
    let most = bound.most();
    let mut list = list.unwrap_or_default();
    let cut = list.len() > most;
    if cut {
        findings.push(
            Diagnostic::error(
                "too-many",
                format!("the range has {} {name}, more than {most}", list.len()),
            )
            .at(root.field(name).key_span())
            .help(bound.or_raise_to("split the range", list.len())),
        );
        list.truncate(most);
    }
    (list, cut)
}

fn unused_families(
    families: &[Family],
    colours: &[super::Colour],
    (families_at, colours_at): (ron::Place, ron::Place),
    findings: &mut Findings,
) {
    if colours_at.damaged() || colours.is_empty() {
        return;
    }
    let mut used = BTreeMap::new();
    colours.iter().for_each(|c| *used.entry(c.family.0).or_insert(0) += 1);
    for (i, f) in families.iter().enumerate().filter(|(i, _)| !used.contains_key(i)) {
        findings.push(
            Diagnostic::warning("empty-family", format!("the family '{}' has no colours", f.key))
                .at(families_at.item(i).field("key").span())
                .help("assign colours to this family, or remove it"),
        );
    }
}
