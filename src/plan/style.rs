//! Styles: faces, type scale, greys, rules and structures, as data.
//!
//! Every measure is a pair: its value on a 610 x 914 mm poster and on A4.
//! Pages between and smaller follow a power law of the page's size, so one
//! style serves every layout.

mod look;
mod measure;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::{Arc, LazyLock, OnceLock};

use serde::Deserialize;

pub use self::measure::Measure;
use self::measure::{tracking, type_size};
pub use look::{LEAST_TICK, Look, RULER_GAP, RULER_LINE, RowSize, SIZE_LEAD, SMALL, Voice};

use crate::diag::{Diagnostic, Findings, Span, nearest};
use crate::graphic::Rgb;
use crate::read::ron::{Document, Spanned, decode};
use crate::type_::{FaceError, FaceSpec, Faces, Figures, OwnFonts};

/// Where a page is between A4 (0) and the 610 x 914 mm poster (1), by area. A larger page
/// has the poster's type: it is read from as near.
pub fn page_t(width: f64, height: f64) -> f64 {
    let side = |w: f64, h: f64| (w * h).sqrt().ln();
    let (a4, poster) = (side(210.0, 297.0), side(610.0, 914.0));
    ((side(width, height) - a4) / (poster - a4)).clamp(-0.35, 1.0)
}

/// Inks that every style has.
const NEEDED_INKS: [&str; 4] = ["rule", "hair", "mark", "edge"];
/// Kinds of text that belong to the page and not to its rows.
const OF_PAGE: [&str; 6] = ["title", "maker", "subtitle", "corner_text", "imprint", "imprint_more"];

/// One kind of text.
#[derive(Debug, Clone, Deserialize)]
pub struct TypeSpec {
    pub file: Spanned<String>,
    pub figures: Option<Figures>,
    pub small_caps: Option<bool>,
    #[serde(deserialize_with = "type_size")]
    pub size: Measure,
    /// A name from `inks`.
    pub ink: Spanned<String>,
    /// Extra space between characters, em.
    #[serde(deserialize_with = "tracking")]
    pub tracking: Option<f64>,
}

macro_rules! type_scale {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        /// Every kind of text on a sheet.
        #[derive(Debug, Clone, Deserialize)]
        pub struct TypeScale<T> { $($(#[$doc])* pub $name: T,)* }

        impl<T> TypeScale<T> {
            /// The same kinds with `f` applied to each; stops at the first error.
            fn try_map<U, E>(&self, mut f: impl FnMut(&'static str, &T) -> Result<U, E>) -> Result<TypeScale<U>, E> {
                Ok(TypeScale { $($name: f(stringify!($name), &self.$name)?,)* })
            }

            /// Every kind with its name.
            pub fn each(&self) -> Vec<(&'static str, &T)> {
                vec![$((stringify!($name), &self.$name),)*]
            }
        }
    };
}

type_scale! {
    /// The sheet's title.
    title,
    /// Who makes it.
    maker,
    subtitle,
    /// The short lines left and right of the subtitle.
    corner_text,
    /// A family's name.
    family,
    /// A family's name where it goes on in another column.
    family_again,
    family_note,
    /// How many colours a family has, where that is apart.
    count,
    /// Name and number of the first listing.
    name,
    number,
    /// Name and number of the other listings.
    other_name,
    other_number,
    /// Part numbers over the columns.
    heading,
    /// Part sizes under them.
    size,
    /// Part numbers under stand-ins and in loose rows.
    under,
    section,
    legend,
    legend_note,
    body,
    ruler,
    imprint,
    imprint_more,
}

/// How names and numbers are in the spine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SpineForm {
    /// Names flush left, numbers flush right.
    NamesThenNumbers,
    /// Numbers flush right in their own column, names after them.
    NumbersThenNames,
    /// Number and name run on: the narrowest.
    RunOn,
}

/// What is in a cell whose part is not made.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub enum GapMark {
    /// A dot of this radius.
    Dot(Measure),
    /// A dash of this length.
    Dash(Measure),
}

#[derive(Debug, Clone, Deserialize)]
pub struct Margins {
    pub side: Measure,
    pub top: Measure,
    pub bottom: Measure,
}

#[derive(Debug, Clone, Deserialize)]
pub struct Rules {
    pub heavy: Measure,
    pub fine: Measure,
    pub hair: Measure,
}

/// The structure of the title block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TitleForm {
    /// Maker, title and subtitle centred on three lines.
    Centred,
    /// Maker and title large and flush left, a contents table at the right.
    Contents,
}

#[derive(Debug, Clone, Deserialize)]
pub struct TitleBlock {
    pub form: TitleForm,
    /// From the top margin to the first heading rule.
    pub height: Measure,
}

/// The structure of a family's heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HeadForm {
    /// Name over the spine, its note under it.
    OverSpine,
    /// Name flush left, note on the spine's axis, count at the right.
    Flush,
}

#[derive(Debug, Clone, Deserialize)]
pub struct Head {
    pub form: HeadForm,
    /// From the heading rule to the first row's top.
    pub height: Measure,
    /// White above the heading rule inside a column.
    pub pad: Measure,
    /// Baseline of the family's name below the rule.
    pub name: Measure,
    /// Baseline of the note below the name's.
    pub note: Measure,
    /// Lowest number baseline above the heading's end.
    pub numbers: Measure,
    /// A hairline this far above the heading's end; none at 0.
    pub hairline: Measure,
}

#[derive(Debug, Clone, Deserialize)]
pub struct Spine {
    /// Forms to choose from, the preferred one first.
    pub forms: Vec<SpineForm>,
    pub chip_width: Measure,
    pub chip_height: Measure,
    pub chip_gap: Measure,
    /// Least white between a name and its number.
    pub number_gap: Measure,
    /// From line to line.
    pub lead: Measure,
    /// A hairline over every row, across the spine.
    pub row_rule: Option<bool>,
}

#[derive(Debug, Clone, Deserialize)]
pub struct Rows {
    /// Least white between parts of neighbouring rows.
    pub gap: Measure,
    /// Least white between parts of neighbouring columns.
    pub part_gap: Measure,
    /// White between parts and spine.
    pub side_gap: Measure,
    pub mark: GapMark,
    /// White between a part and the number under it.
    pub under_gap: Measure,
    /// White between neighbours in loose rows.
    pub loose_gap: Measure,
}

/// The structure of the furniture that closes the shortest column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FurnitureForm {
    /// Finishes side by side, then texts in two columns.
    Cells,
    /// Finishes in a list, texts and the list of parts beside it.
    List,
}

#[derive(Debug, Clone, Deserialize)]
pub struct Furniture {
    pub form: FurnitureForm,
    /// Line spacing of running text.
    pub body_lead: Measure,
    /// Scale of the parts in the legend on the page; at most the sheet's own.
    pub legend_part: Measure,
}

#[derive(Debug, Clone, Deserialize)]
pub struct Foot {
    /// From the end of the body to the bottom margin.
    pub height: Measure,
    /// The foot's rule below the end of the body.
    pub rule: Measure,
    /// The 'left out' text is in the foot instead of the furniture.
    pub left_out: Option<bool>,
}

/// A style as its file says it.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "Style")]
pub struct Style {
    pub title: String,
    /// All distances are multiples of it.
    pub module: Measure,
    pub margins: Margins,
    pub gutter: Measure,
    /// Greys by name.
    pub inks: Spanned<BTreeMap<String, Spanned<String>>>,
    #[serde(rename = "type")]
    pub scale: TypeScale<TypeSpec>,
    pub rules: Rules,
    pub title_block: TitleBlock,
    pub head: Head,
    pub spine: Spine,
    pub rows: Rows,
    pub furniture: Furniture,
    pub foot: Foot,
    /// Font files that are set instead of others where those lack a character, by the others' names.
    pub instead: Option<BTreeMap<String, Spanned<String>>>,
    /// Fonts of one's own, read by who has read the style's file.
    #[serde(skip)]
    pub own_fonts: OwnFonts,
    /// The file that it was read from.
    #[serde(skip)]
    file: Option<Arc<Path>>,
    /// Loaded when first asked for, then shared by all pages.
    #[serde(skip)]
    loaded: OnceLock<Arc<Faces>>,
}

const PLATE: &str = include_str!("../../layouts/plate.style.ron");
const CATALOGUE: &str = include_str!("../../layouts/catalogue.style.ron");

/// Names and texts of the shipped styles.
pub const SHIPPED_STYLES: [(&str, &str); 2] = [("plate", PLATE), ("catalogue", CATALOGUE)];

impl Style {
    /// Reads a style from its text.
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn parse(file: &Path, text: &str) -> Result<Style, Findings> {
        let mut findings = Findings::default();
        match Style::read(file, text, &mut findings) {
            Some(style) if !findings.failed() => Ok(style),
            _ => Err(findings),
        }
    }

    /// The same, and what can be read of a text with faults is there to be checked further.
    pub fn read(file: &Path, text: &str, findings: &mut Findings) -> Option<Style> {
        let Document { value: mut style, source } = decode::<Style>(file, text, "Style", findings)?;
        style.file = Some(file.into());
        let root = source.root();
        if root.has("inks") && !root.field("inks").damaged() {
            findings.extend(style.ink_faults(root.field("inks").key_span()));
        }
        Some(style)
    }

    /// A shipped style.
    ///
    /// # Errors
    /// There is no such style; the nearest one is offered.
    pub fn shipped(name: &str) -> Result<Style, Diagnostic> {
        static READ: LazyLock<[(&str, Option<Style>); 2]> = LazyLock::new(|| {
            SHIPPED_STYLES.map(|(name, text)| (name, Style::parse(Path::new(name), text).ok()))
        });
        let read = READ.iter().find(|(n, _)| *n == name).and_then(|(_, style)| style.clone());
        read.ok_or_else(|| unknown("unknown-style", "style", name, &SHIPPED_STYLES.map(|(n, _)| n)))
    }
}

impl Style {
    /// The faces that the style names, each once.
    fn face_specs(&self) -> Vec<FaceSpec> {
        let mut unique: Vec<FaceSpec> = Vec::new();
        for (_, spec) in self.scale.each() {
            let spec = face_spec(spec);
            if !unique.contains(&spec) {
                unique.push(spec);
            }
        }
        unique
    }

    /// Font files that do not come with the program, and where they are named first.
    pub fn named_fonts(&self) -> BTreeMap<&str, Option<Span>> {
        let mut out = BTreeMap::new();
        for name in self.fonts().filter(|name| Faces::shipped().all(|known| known != name.value)) {
            out.entry(name.as_str()).or_insert_with(|| self.span(name));
        }
        out
    }

    /// Every name of a font that is written.
    fn fonts(&self) -> impl Iterator<Item = &Spanned<String>> {
        let named = self.scale.each().into_iter().map(|(_, spec)| &spec.file);
        named.chain(self.instead.iter().flat_map(BTreeMap::values)).filter(|f| !f.range.is_empty())
    }

    fn span<T>(&self, value: &Spanned<T>) -> Option<Span> {
        Some(Span { file: self.file.clone()?, range: value.range.clone() })
    }

    /// Every ink that is named and does not exist, or is not a colour. `inks`: where they are listed.
    fn ink_faults(&self, inks: Option<Span>) -> Findings {
        let named = self.scale.each().into_iter().map(|(_, spec)| &spec.ink);
        let named = named.filter(|ink| !ink.range.is_empty());
        let named = named.map(|ink| (ink.as_str(), self.span(ink)));
        let mut findings = Findings::default();
        for (name, at) in named.chain(NEEDED_INKS.map(|name| (name, inks.clone()))) {
            let at = self.inks.get(name).map_or(at, |value| self.span(value));
            find_ink(self, name).err().into_iter().for_each(|d| findings.push(d.at(at.clone())));
        }
        findings
    }

    /// Every font that is named and does not exist, or is not usable. `unreadable`: those whose files have
    /// faults of their own.
    pub fn font_faults(&self, unreadable: &BTreeSet<String>) -> Findings {
        let mut findings = Findings::default();
        for spec in self.face_specs().iter().filter(|spec| !spec.file.is_empty()) {
            let spec = std::slice::from_ref(spec);
            let Err(error) = Faces::load_with(spec, &self.instead(), &self.own_fonts) else {
                continue;
            };
            let name = error.file().to_owned();
            if !unreadable.contains(&name) {
                let named = self.fonts().filter(|font| font.value == name);
                named.for_each(|font| findings.push(bad_face(&error).at(self.span(font))));
            }
        }
        findings
    }

    fn instead(&self) -> BTreeMap<String, String> {
        let pairs = self.instead.iter().flatten();
        pairs.map(|(of, other)| (of.clone(), other.value.clone())).collect()
    }

    /// The fonts that the style names.
    ///
    /// # Errors
    /// A font that is not shipped, or cannot be read.
    pub fn faces(&self) -> Result<Arc<Faces>, Diagnostic> {
        if let Some(faces) = self.loaded.get() {
            return Ok(Arc::clone(faces));
        }
        let faces = Faces::load_with(&self.face_specs(), &self.instead(), &self.own_fonts);
        let faces = Arc::new(faces.map_err(|error| bad_face(&error))?);
        Ok(Arc::clone(self.loaded.get_or_init(|| faces)))
    }
}

/// 'No such style', with what could be meant.
pub fn unknown(code: &'static str, kind: &str, name: &str, names: &[&str]) -> Diagnostic {
    let help = match nearest(name, names.iter().copied()) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use one of {}, or the path of a file", names.join(", ")),
    };
    Diagnostic::error(code, format!("there is no {kind} '{name}'")).help(help)
}

fn face_spec(spec: &TypeSpec) -> FaceSpec {
    FaceSpec {
        file: spec.file.value.clone(),
        figures: spec.figures.unwrap_or_default(),
        small_caps: spec.small_caps.unwrap_or_default(),
    }
}

fn find_ink(style: &Style, name: &str) -> Result<Rgb, Diagnostic> {
    let text = style.inks.get(name).ok_or_else(|| {
        Diagnostic::error("bad-style", format!("the style has no ink '{name}'"))
            .help(format!("add \"{name}\": \"#rrggbb\" to its inks"))
    })?;
    Rgb::parse(text).ok_or_else(|| {
        Diagnostic::error("bad-style", format!("'{}' is not a colour", text.value))
            .help("write # and six hexadecimal digits, for example \"#2b2a27\"")
    })
}

fn bad_face(error: &FaceError) -> Diagnostic {
    match error {
        FaceError::Unknown(file) => {
            let names: Vec<&str> = Faces::shipped().collect();
            unknown("unknown-font", "font", file, &names)
        }
        FaceError::Broken(file) => {
            Diagnostic::error("bad-style", format!("the font '{file}' cannot be read"))
                .help("name a different TTF or OTF file; this one is damaged or of another kind")
        }
    }
}
