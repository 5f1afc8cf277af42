//! A style on a page: every size in mm.

use std::sync::Arc;

use super::{
    FurnitureForm, GapMark, HeadForm, Measure, OF_PAGE, SpineForm, Style, TitleForm, TypeScale,
    TypeSpec, face_spec, find_ink, page_t,
};
use crate::diag::Diagnostic;
use crate::graphic::Rgb;
use crate::type_::{FaceId, Faces};

/// Type under 6 pt, mm, is never grey. Common practice, no source.
pub const SMALL: f64 = 6.0 * 25.4 / 72.0;
/// From the baseline of a part's number to that of its size, in em of the size.
pub const SIZE_LEAD: f64 = 1.3;
/// Where the line of the check ruler is between the foot's rule and its end.
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
    /// Where the rows are between those of A4 (0) and of the poster (1).
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

/// The voices of a style at the sizes that each kind of text has on its page.
fn voices(
    style: &Style,
    faces: &Faces,
    size_of: &dyn Fn(&str, &TypeSpec) -> f64,
) -> Result<TypeScale<Voice>, Diagnostic> {
    let unique = style.face_specs();
    style.scale.try_map(|kind, spec| {
        let id = unique.iter().position(|u| *u == face_spec(spec)).unwrap_or(0);
        let size = size_of(kind, spec);
        // Grey is printed as dots, which break small type up.
        let own = if size < SMALL { &style.scale.name.ink } else { &spec.ink };
        Ok(Voice {
            face: FaceId(id),
            size,
            ink: find_ink(style, own)?,
            tracking: spec.tracking.unwrap_or_default() * size,
            cap: faces[FaceId(id)].cap_height() * size,
        })
    })
}

/// The least height of a foot under its rule: the ruler's figures stay within it where the floor of the
/// type makes them larger.
fn least_foot(voices: &TypeScale<Voice>) -> f64 {
    let figures = RULER_GAP * voices.ruler.size + voices.ruler.cap;
    (LEAST_TICK + figures) / (1.0 - RULER_LINE)
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
        let faces = style.faces()?;
        let size_of = |kind: &str, spec: &TypeSpec| {
            let of_page = OF_PAGE.contains(&kind);
            let size = if of_page { spec.size.at(page_t) } else { spec.size.at(t) * growth };
            size.max(floor)
        };
        let voices = voices(style, &faces, &size_of)?;
        let m = |measure: Measure| measure.at(t) * growth;
        let of_page = |measure: Measure| measure.at(page_t);
        // Lines are further apart where the floor makes their type larger.
        let grown = |voice: Voice, spec: &TypeSpec| voice.size / (spec.size.at(t) * growth);
        let foot_least = of_page(style.foot.rule) + least_foot(&voices);
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
            head_name: m(style.head.name) * grown(voices.family, &style.scale.family),
            head_note: m(style.head.note) * grown(voices.family_note, &style.scale.family_note),
            head_numbers: m(style.head.numbers),
            head_hairline: m(style.head.hairline),
            forms: style.spine.forms.clone(),
            chip: (m(style.spine.chip_width), m(style.spine.chip_height)),
            chip_gap: m(style.spine.chip_gap),
            number_gap: m(style.spine.number_gap),
            lead: m(style.spine.lead) * grown(voices.name, &style.scale.name),
            row_rule: style.spine.row_rule.unwrap_or_default(),
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
            left_out_in_foot: style.foot.left_out.unwrap_or_default(),
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

/// How much nearer to its number a name is that runs on from it.
const RUN_ON: f64 = 0.55;
/// Least white between a number and a name, em: a little more than a word space.
const WORD_SPACE: f64 = 0.36;
