//! Styles: faces, type scale, greys, rules and structures, as data.
//!
//! Every measure is a pair: its value on a 610 x 914 mm poster and on A4.
//! Pages between and smaller follow a power law of the page's size, so one
//! style serves every layout.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock, OnceLock};

use serde::de::Error as _;
use serde::{Deserialize, Deserializer};

use crate::diag::{Diagnostic, nearest};
use crate::graphic::Rgb;
use crate::type_::{FaceError, FaceId, FaceSpec, Faces, Figures, OwnFonts};

/// A length in mm on the poster and on A4, from 0 to [`LONGEST`].
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(try_from = "Pair")]
pub struct Measure(pub f64, pub f64);

/// The longest measure of a style, mm.
const LONGEST: f64 = 1000.0;
/// The smallest type, mm: a tenth of what can be read.
const SMALLEST_TYPE: f64 = 0.1;
/// Extra space between characters, em.
const TRACKING: (f64, f64) = (-0.5, 3.0);

/// A measure as it is written.
#[derive(Deserialize)]
#[serde(rename = "Measure")]
struct Pair(f64, f64);

impl TryFrom<Pair> for Measure {
    type Error = String;

    fn try_from(Pair(poster, a4): Pair) -> Result<Measure, String> {
        match [poster, a4].into_iter().find(|v| !(0.0..=LONGEST).contains(v)) {
            Some(v) => Err(format!("a length here must be from 0 to {LONGEST} mm, not {v}")),
            None => Ok(Measure(poster, a4)),
        }
    }
}

/// A size of type.
fn type_size<'de, D: Deserializer<'de>>(from: D) -> Result<Measure, D::Error> {
    let Measure(poster, a4) = Measure::deserialize(from)?;
    match poster.min(a4) {
        least if least < SMALLEST_TYPE => Err(D::Error::custom(format!(
            "type must be from {SMALLEST_TYPE} to {LONGEST} mm, not {least}"
        ))),
        _ => Ok(Measure(poster, a4)),
    }
}

fn tracking<'de, D: Deserializer<'de>>(from: D) -> Result<f64, D::Error> {
    let (least, most) = TRACKING;
    match f64::deserialize(from)? {
        v if (least..=most).contains(&v) => Ok(v),
        v => Err(D::Error::custom(format!(
            "the tracking must be from {least} to {most} em, not {v}"
        ))),
    }
}

impl Measure {
    /// The length at `t`: 0 on A4, 1 on the poster, geometric between.
    pub fn at(self, t: f64) -> f64 {
        let Measure(poster, a4) = self;
        if poster <= 0.0 || a4 <= 0.0 {
            return a4 + (poster - a4) * t;
        }
        a4 * (poster / a4).powf(t)
    }
}

/// Where a page stands between A4 (0) and the 610 x 914 mm poster (1), by area. A larger page
/// has the poster's type: it is read from as near.
pub fn page_t(width: f64, height: f64) -> f64 {
    let side = |w: f64, h: f64| (w * h).sqrt().ln();
    let (a4, poster) = (side(210.0, 297.0), side(610.0, 914.0));
    ((side(width, height) - a4) / (poster - a4)).clamp(-0.35, 1.0)
}

/// Kinds of text that belong to the page and not to its rows.
const OF_PAGE: [&str; 6] = ["title", "maker", "subtitle", "corner_text", "imprint", "imprint_more"];

/// One kind of text.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TypeSpec {
    pub file: String,
    #[serde(default)]
    pub figures: Figures,
    #[serde(default)]
    pub small_caps: bool,
    #[serde(deserialize_with = "type_size")]
    pub size: Measure,
    /// A name from `inks`.
    pub ink: String,
    /// Extra space between characters, em.
    #[serde(default, deserialize_with = "tracking")]
    pub tracking: f64,
}

macro_rules! type_scale {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        /// Every kind of text on a sheet.
        #[derive(Debug, Clone, Deserialize)]
        #[serde(deny_unknown_fields)]
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
    /// How many colours a family has, where that stands apart.
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

/// How names and numbers stand in the spine.
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

/// What stands in a cell whose part is not made.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub enum GapMark {
    /// A dot of this radius.
    Dot(Measure),
    /// A dash of this length.
    Dash(Measure),
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Margins {
    pub side: Measure,
    pub top: Measure,
    pub bottom: Measure,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
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
#[serde(deny_unknown_fields)]
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
#[serde(deny_unknown_fields)]
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
#[serde(deny_unknown_fields)]
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
    #[serde(default)]
    pub row_rule: bool,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
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
#[serde(deny_unknown_fields)]
pub struct Furniture {
    pub form: FurnitureForm,
    /// Line spacing of running text.
    pub body_lead: Measure,
    /// Scale of the parts in the legend on the page; at most the sheet's own.
    pub legend_part: Measure,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Foot {
    /// From the end of the body to the bottom margin.
    pub height: Measure,
    /// The foot's rule below the end of the body.
    pub rule: Measure,
    /// The 'left out' text stands in the foot instead of the furniture.
    #[serde(default)]
    pub left_out: bool,
}

/// A style as its file says it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
#[serde(rename = "Style")]
pub struct Style {
    pub title: String,
    /// All distances are multiples of it.
    pub module: Measure,
    pub margins: Margins,
    pub gutter: Measure,
    /// Greys by name.
    pub inks: BTreeMap<String, String>,
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
    #[serde(default)]
    pub instead: BTreeMap<String, String>,
    /// Fonts of one's own, read by who has read the style's file.
    #[serde(skip)]
    pub own_fonts: OwnFonts,
    /// Loaded when first asked for, then shared by all pages.
    #[serde(skip)]
    loaded: OnceLock<Arc<Faces>>,
}

/// Reads RON as people write it: a value that may be left out needs no `Some`.
pub fn reader() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

const PLATE: &str = include_str!("../../layouts/plate.style.ron");
const CATALOGUE: &str = include_str!("../../layouts/catalogue.style.ron");

/// Names and texts of the shipped styles.
pub const SHIPPED_STYLES: [(&str, &str); 2] = [("plate", PLATE), ("catalogue", CATALOGUE)];

impl Style {
    /// Reads a style from its text; `file` is for messages.
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn parse(text: &str) -> Result<Style, Diagnostic> {
        reader().from_str(text).map_err(|e| {
            Diagnostic::error("bad-style", format!("this style cannot be read: {}", e.code))
                .help(format!("see line {}, column {}", e.span.start.line, e.span.start.col))
        })
    }

    /// A shipped style.
    ///
    /// # Errors
    /// There is no such style; the nearest one is offered.
    pub fn shipped(name: &str) -> Result<Style, Diagnostic> {
        static READ: LazyLock<[(&str, Result<Style, Diagnostic>); 2]> =
            LazyLock::new(|| SHIPPED_STYLES.map(|(name, text)| (name, Style::parse(text))));
        match READ.iter().find(|(n, _)| *n == name) {
            Some((_, style)) => style.clone(),
            None => Err(unknown("style", name, &SHIPPED_STYLES.map(|(n, _)| n))),
        }
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

    /// Names of the font files that do not come with the program.
    pub fn named_fonts(&self) -> BTreeSet<&str> {
        let named = self.scale.each().into_iter().map(|(_, spec)| &spec.file);
        let named = named.chain(self.instead.values()).map(String::as_str);
        named.filter(|name| !Faces::shipped().any(|shipped| shipped == *name)).collect()
    }

    /// Every ink and every font that is named and not there, or cannot be used.
    pub fn faults(&self) -> Vec<Diagnostic> {
        let fonts = self.face_specs();
        let fonts = fonts.iter().filter_map(|spec| {
            let spec = std::slice::from_ref(spec);
            Faces::load_with(spec, &self.instead, &self.own_fonts).err().map(bad_face)
        });
        let inks = self.scale.each().into_iter().map(|(_, spec)| spec.ink.as_str());
        let inks = inks.chain(["rule", "hair", "mark", "edge"]);
        fonts.chain(inks.filter_map(|name| find_ink(self, name).err())).collect()
    }

    /// The fonts that the style names.
    ///
    /// # Errors
    /// A font that is not shipped, or cannot be read.
    pub fn faces(&self) -> Result<Arc<Faces>, Diagnostic> {
        if let Some(faces) = self.loaded.get() {
            return Ok(Arc::clone(faces));
        }
        let faces = Faces::load_with(&self.face_specs(), &self.instead, &self.own_fonts);
        let faces = Arc::new(faces.map_err(bad_face)?);
        Ok(Arc::clone(self.loaded.get_or_init(|| faces)))
    }
}

/// 'No such style', with what could be meant.
pub fn unknown(kind: &str, name: &str, names: &[&str]) -> Diagnostic {
    let help = match nearest(name, names.iter().copied()) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use one of {}, or the path of a file", names.join(", ")),
    };
    let code = match kind {
        "style" => "unknown-style",
        "font" => "unknown-font",
        _ => "unknown-layout",
    };
    Diagnostic::error(code, format!("there is no {kind} '{name}'")).help(help)
}

/// Type under 6 pt, mm, is never grey. Common practice, no source.
pub const SMALL: f64 = 6.0 * 25.4 / 72.0;
/// From the baseline of a part's number to that of its size, in em of the size.
pub const SIZE_LEAD: f64 = 1.3;
/// Where the line of the check ruler stands between the foot's rule and its end.
pub const RULER_LINE: f64 = 0.52;
/// Between the ruler's ticks and its figures, in em.
pub const RULER_GAP: f64 = 0.22;
/// The ruler's longest ticks are at least so long, mm.
pub const LEAST_TICK: f64 = 0.8;

/// One kind of text, resolved for a page.
#[derive(Debug, Clone, Copy)]
pub struct Voice {
    pub face: FaceId,
    /// Em size, mm.
    pub size: f64,
    pub ink: Rgb,
    /// Extra space between characters, mm.
    pub tracking: f64,
    /// Height of its capitals, mm.
    pub cap: f64,
}

impl Voice {
    /// The same voice at another size.
    pub fn sized(self, size: f64) -> Voice {
        let k = size / self.size;
        Voice { size, tracking: self.tracking * k, cap: self.cap * k, ..self }
    }

    /// The same voice in another ink.
    pub fn inked(self, ink: Rgb) -> Voice {
        Voice { ink, ..self }
    }
}

/// How large rows, headings and notes are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowSize {
    /// As on a page of this width and height, mm.
    pub page: (f64, f64),
    /// And so many times larger.
    pub growth: f64,
}

impl RowSize {
    /// As the style sets them on a page of this size.
    pub fn of(page: (f64, f64)) -> RowSize {
        RowSize { page, growth: 1.0 }
    }
}

/// A style resolved for a page size: everything in mm.
#[derive(Debug, Clone)]
pub struct Look {
    /// Where the rows stand between those of A4 (0) and of the poster (1).
    pub t: f64,
    /// How much larger than that rows, headings and notes are: 1, or more on a
    /// page that they would not fill.
    pub growth: f64,
    pub module: f64,
    pub side: f64,
    pub top: f64,
    pub bottom: f64,
    pub gutter: f64,
    pub heavy: f64,
    pub fine: f64,
    pub hair: f64,
    pub rule_ink: Rgb,
    pub hair_ink: Rgb,
    pub mark_ink: Rgb,
    pub edge_ink: Rgb,
    pub title_form: TitleForm,
    pub title_height: f64,
    pub head_form: HeadForm,
    pub head_height: f64,
    pub head_pad: f64,
    pub head_name: f64,
    pub head_note: f64,
    pub head_numbers: f64,
    pub head_hairline: f64,
    pub forms: Vec<SpineForm>,
    pub chip: (f64, f64),
    pub chip_gap: f64,
    pub number_gap: f64,
    pub lead: f64,
    pub row_rule: bool,
    pub row_gap: f64,
    pub part_gap: f64,
    pub side_gap: f64,
    pub mark: GapMark,
    pub under_gap: f64,
    pub loose_gap: f64,
    pub furniture_form: FurnitureForm,
    pub body_lead: f64,
    pub legend_part: f64,
    pub foot_height: f64,
    pub foot_rule: f64,
    pub left_out_in_foot: bool,
    /// The least type size allowed, mm.
    pub floor: f64,
    pub voices: TypeScale<Voice>,
    pub faces: Arc<Faces>,
}

impl Look {
    /// Resolves a style for a page; no text is smaller than `floor` mm.
    ///
    /// # Errors
    /// A face or an ink that does not exist.
    pub fn new(style: &Style, width: f64, height: f64, floor: f64) -> Result<Look, Diagnostic> {
        Look::with_rows(style, (width, height), &RowSize::of((width, height)), floor)
    }

    /// The same with rows, headings and notes of their own size: `page` is width and height, mm.
    ///
    /// # Errors
    /// As [`Look::new`].
    pub fn with_rows(
        style: &Style,
        page: (f64, f64),
        rows: &RowSize,
        floor: f64,
    ) -> Result<Look, Diagnostic> {
        let (page_t, t) = (page_t(page.0, page.1), page_t(rows.page.0, rows.page.1));
        let growth = rows.growth;
        let ink = |name: &str| find_ink(style, name);
        let unique = style.face_specs();
        let faces = style.faces()?;
        let voices = style.scale.try_map(|kind, spec| {
            let id = unique.iter().position(|u| *u == face_spec(spec)).unwrap_or(0);
            let of_page = OF_PAGE.contains(&kind);
            let size = if of_page { spec.size.at(page_t) } else { spec.size.at(t) * growth };
            let size = size.max(floor);
            // Grey is printed as dots, which break small type up.
            let own = if size < SMALL { &style.scale.name.ink } else { &spec.ink };
            Ok::<Voice, Diagnostic>(Voice {
                face: FaceId(id),
                size,
                ink: ink(own)?,
                tracking: spec.tracking * size,
                cap: faces[FaceId(id)].cap_height() * size,
            })
        })?;
        let m = |measure: Measure| measure.at(t) * growth;
        let of_page = |measure: Measure| measure.at(page_t);
        // Lines stand further apart where the floor makes their type larger.
        let grown = |voice: Voice, spec: &TypeSpec| voice.size / (spec.size.at(t) * growth);
        let family = grown(voices.family, &style.scale.family);
        let note = grown(voices.family_note, &style.scale.family_note);
        // The ruler's figures stay within the foot where the floor makes them larger.
        let figures = RULER_GAP * voices.ruler.size + voices.ruler.cap;
        let foot_least = of_page(style.foot.rule) + (LEAST_TICK + figures) / (1.0 - RULER_LINE);
        Ok(Look {
            t,
            growth,
            module: of_page(style.module),
            side: of_page(style.margins.side),
            top: of_page(style.margins.top),
            bottom: of_page(style.margins.bottom),
            gutter: m(style.gutter),
            heavy: of_page(style.rules.heavy),
            fine: style.rules.fine.at(t),
            hair: style.rules.hair.at(t),
            rule_ink: ink("rule")?,
            hair_ink: ink("hair")?,
            mark_ink: ink("mark")?,
            edge_ink: ink("edge")?,
            title_form: style.title_block.form,
            title_height: of_page(style.title_block.height),
            head_form: style.head.form,
            head_height: m(style.head.height),
            head_pad: m(style.head.pad),
            head_name: m(style.head.name) * family,
            head_note: m(style.head.note) * note,
            head_numbers: m(style.head.numbers),
            head_hairline: m(style.head.hairline),
            forms: style.spine.forms.clone(),
            chip: (m(style.spine.chip_width), m(style.spine.chip_height)),
            chip_gap: m(style.spine.chip_gap),
            number_gap: m(style.spine.number_gap),
            lead: m(style.spine.lead) * grown(voices.name, &style.scale.name),
            row_rule: style.spine.row_rule,
            row_gap: m(style.rows.gap),
            part_gap: m(style.rows.part_gap),
            side_gap: m(style.rows.side_gap),
            mark: style.rows.mark,
            under_gap: m(style.rows.under_gap),
            loose_gap: m(style.rows.loose_gap),
            furniture_form: style.furniture.form,
            body_lead: m(style.furniture.body_lead) * grown(voices.body, &style.scale.body),
            legend_part: style.furniture.legend_part.at(t),
            foot_height: of_page(style.foot.height).max(foot_least),
            foot_rule: of_page(style.foot.rule),
            left_out_in_foot: style.foot.left_out,
            floor,
            voices,
            faces,
        })
    }

    /// White between a colour's number and its name, mm: never so little that they read as one word.
    pub fn between_number_and_name(&self, form: SpineForm) -> f64 {
        let of_form = match form {
            SpineForm::RunOn => RUN_ON * self.number_gap,
            SpineForm::NamesThenNumbers | SpineForm::NumbersThenNames => self.number_gap,
        };
        of_form.max(WORD_SPACE * self.voices.name.size)
    }

    /// Width of text in a voice, mm.
    pub fn width(&self, voice: Voice, text: &str) -> f64 {
        let gaps = text.chars().count().saturating_sub(1) as f64;
        let face = self.faces.of(voice.face, text);
        self.faces[face].width(text, voice.size) + voice.tracking * gaps
    }
}

/// How much nearer to its number a name stands that runs on from it.
const RUN_ON: f64 = 0.55;
/// Least white between a number and a name, em: a little more than a word space.
const WORD_SPACE: f64 = 0.36;

fn face_spec(spec: &TypeSpec) -> FaceSpec {
    FaceSpec { file: spec.file.clone(), figures: spec.figures, small_caps: spec.small_caps }
}

fn find_ink(style: &Style, name: &str) -> Result<Rgb, Diagnostic> {
    let text = style.inks.get(name).ok_or_else(|| {
        Diagnostic::error("bad-style", format!("the style has no ink '{name}'"))
            .help(format!("add \"{name}\": \"#rrggbb\" to its inks"))
    })?;
    Rgb::parse(text).ok_or_else(|| {
        Diagnostic::error("bad-style", format!("'{text}' is not a colour"))
            .help("write # and six hexadecimal digits, for example \"#2b2a27\"")
    })
}

fn bad_face(error: FaceError) -> Diagnostic {
    match error {
        FaceError::Unknown(file) => {
            let names: Vec<&str> = Faces::shipped().collect();
            unknown("font", &file, &names)
        }
        FaceError::Broken(file) => {
            Diagnostic::error("bad-style", format!("the font '{file}' cannot be read"))
                .help("name a different TTF or OTF file; this one is damaged or of another kind")
        }
    }
}
