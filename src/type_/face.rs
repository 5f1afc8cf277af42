//! Faces: font files with their figure style frozen, measured and outlined.
//!
//! One character is always one glyph: kerning moves glyphs, and single
//! substitutions choose figures and small capitals, but ligatures and
//! contextual forms are off. So a text item can carry a position for every
//! character, and every painter puts the same glyph in the same place.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, LazyLock, Mutex};

use harfrust::{
    Buffer, Direction, Feature, Font, ShapeOptions, ShapePlan, ShapePlanKey, ShaperFont,
};
use kurbo::{Affine, BezPath};
use skrifa::MetadataProvider;
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::DrawSettings;
use unicode_normalization::char::is_combining_mark;

use super::fonts::{Bytes, OwnFonts, SHIPPED};
use super::outline::Pen;
use super::spec::{FaceSpec, Figures};
use crate::graphic::Glyph;

/// Why a face cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FaceError {
    /// No such file among the shipped fonts.
    Unknown(String),
    /// The file is not a font that can be read.
    Broken(String),
}

impl FaceError {
    /// The name of the file.
    pub fn file(&self) -> &str {
        match self {
            FaceError::Unknown(file) | FaceError::Broken(file) => file,
        }
    }
}

/// Glyphs and positions of a run in font units, independent of size.
#[derive(Debug)]
struct Run {
    glyphs: Vec<(u16, char, i32)>,
    advance: i32,
    /// Characters that the font lacks; else marks that it knows no place for on their letter, which would be
    /// beside it.
    missing: Vec<char>,
}

/// One face, ready to measure and outline.
pub struct Face {
    spec: FaceSpec,
    bytes: Bytes,
    font: Font,
    features: Vec<Feature>,
    units: f64,
    cap_height: f64,
    x_height: f64,
    runs: Mutex<HashMap<String, Arc<Run>>>,
    /// How texts of a script are shaped: to find that out takes longer than to shape one.
    plans: Mutex<Vec<Arc<ShapePlan>>>,
    outlines: Mutex<BTreeMap<u16, Arc<BezPath>>>,
}

impl std::fmt::Debug for Face {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Face").field(&self.spec).finish()
    }
}

/// Faces of shipped fonts that were loaded before, with the texts that they have measured.
static KEPT: LazyLock<Mutex<HashMap<FaceSpec, Arc<Face>>>> = LazyLock::new(Mutex::default);

impl Face {
    /// The face of a shipped font is loaded once.
    pub(super) fn kept(spec: &FaceSpec, own: &OwnFonts) -> Result<Arc<Face>, FaceError> {
        if !SHIPPED.iter().any(|(name, _)| *name == spec.file) {
            return Face::load(spec, own).map(Arc::new);
        }
        let mut kept = KEPT.lock().expect("no panic while held");
        if let Some(face) = kept.get(spec) {
            return Ok(Arc::clone(face));
        }
        let face = Arc::new(Face::load(spec, own)?);
        kept.insert(spec.clone(), Arc::clone(&face));
        Ok(face)
    }

    fn load(spec: &FaceSpec, own: &OwnFonts) -> Result<Face, FaceError> {
        let bytes = Bytes::of(&spec.file, own);
        let bytes = bytes.ok_or_else(|| FaceError::Unknown(spec.file.clone()))?;
        let broken = || FaceError::Broken(spec.file.clone());
        let font = Font::new(bytes.to_vec(), 0).ok_or_else(broken)?;
        let reader = skrifa::FontRef::new(&bytes).map_err(|_| broken())?;
        let metrics = reader.metrics(Size::unscaled(), LocationRef::default());
        let units = f64::from(metrics.units_per_em);
        if units < 16.0 {
            return Err(broken());
        }
        Ok(Face {
            features: spec.features(),
            spec: spec.clone(),
            font,
            units,
            cap_height: metrics.cap_height.map_or(0.7, |h| f64::from(h) / units),
            x_height: metrics.x_height.map_or(0.48, |h| f64::from(h) / units),
            runs: Mutex::default(),
            plans: Mutex::default(),
            outlines: Mutex::default(),
            bytes,
        })
    }

    /// How a style names this face.
    pub fn spec(&self) -> &FaceSpec {
        &self.spec
    }

    /// The whole font file.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Font units in one em.
    pub fn units_per_em(&self) -> f64 {
        self.units
    }

    /// Height of capitals, in em.
    pub fn cap_height(&self) -> f64 {
        self.cap_height
    }

    /// Height of a lower-case x, in em.
    pub fn x_height(&self) -> f64 {
        self.x_height
    }

    /// A name for this face in output files: letters, digits and hyphens.
    pub fn output_name(&self) -> String {
        let stem: String = self
            .spec
            .file
            .trim_end_matches(".ttf")
            .chars()
            .filter(char::is_ascii_alphanumeric)
            .collect();
        let figures = match self.spec.figures {
            Figures::Default => "",
            Figures::LiningTabular => "-Tabular",
            Figures::Lining => "-Lining",
            Figures::OldStyle => "-OldStyle",
        };
        let caps = if self.spec.small_caps { "-Caps" } else { "" };
        format!("{stem}{figures}{caps}")
    }

    /// Does the font have this character?
    pub fn has(&self, ch: char) -> bool {
        self.font.charmap().map_unicode(ch).is_some()
    }

    /// The characters of `text` that the font lacks, each once, in order; else marks that it cannot set on
    /// their letters.
    pub fn missing(&self, text: &str) -> Vec<char> {
        self.run(text).missing.clone()
    }

    /// How many there are.
    pub(super) fn count_missing(&self, text: &str) -> usize {
        self.run(text).missing.len()
    }

    /// Width of `text` in mm at an em size of `size` mm.
    pub fn width(&self, text: &str, size: f64) -> f64 {
        f64::from(self.run(text).advance) * size / self.units
    }

    /// Glyphs of `text` at an em size of `size` mm, with `tracking` mm added
    /// between characters, and the width of the run.
    pub fn set(&self, text: &str, size: f64, tracking: f64) -> (Vec<Glyph>, f64) {
        let run = self.run(text);
        let scale = size / self.units;
        let glyphs: Vec<Glyph> = run
            .glyphs
            .iter()
            .enumerate()
            .map(|(i, &(id, ch, x))| Glyph {
                id,
                ch,
                x: f64::from(x) * scale + tracking * i as f64,
            })
            .collect();
        let gaps = glyphs.len().saturating_sub(1) as f64;
        (glyphs, f64::from(run.advance) * scale + tracking * gaps)
    }

    /// The outline of a glyph in em units, y down, origin on the baseline.
    pub fn outline(&self, glyph: u16) -> Arc<BezPath> {
        let mut cache = self.outlines.lock().expect("no panic while held");
        Arc::clone(cache.entry(glyph).or_insert_with(|| Arc::new(self.draw(glyph))))
    }

    fn draw(&self, glyph: u16) -> BezPath {
        let mut pen = Pen(BezPath::new());
        let reader = skrifa::FontRef::new(&self.bytes).expect("read before");
        if let Some(outline) = reader.outline_glyphs().get(skrifa::GlyphId::from(glyph)) {
            let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            // A glyph that cannot be drawn is left blank; the shipped fonts are tested to have none.
            let _ = outline.draw(settings, &mut pen);
        }
        pen.0.apply_affine(Affine::scale_non_uniform(1.0 / self.units, -1.0 / self.units));
        pen.0
    }

    fn run(&self, text: &str) -> Arc<Run> {
        let mut cache = self.runs.lock().expect("no panic while held");
        if let Some(run) = cache.get(text) {
            return Arc::clone(run);
        }
        let mut run = self.shape(text);
        let lacks: Vec<char> = each_once(text.chars().filter(|c| !self.has(*c)));
        if !lacks.is_empty() {
            run.missing = lacks;
        }
        let run = Arc::new(run);
        if cache.len() >= MOST_RUNS {
            cache.clear();
        }
        cache.insert(text.to_owned(), Arc::clone(&run));
        run
    }

    fn shape(&self, text: &str) -> Run {
        let mut buffer = Buffer::new();
        let chars: Vec<char> = text.chars().collect();
        for (i, &ch) in chars.iter().enumerate() {
            buffer.push(ch as u32, i as u32);
        }
        buffer.set_direction(Direction::LeftToRight);
        buffer.guess_segment_properties();
        let shaper = ShaperFont::new(&self.font);
        let plan = self.plan(&buffer);
        let options = ShapeOptions::new().plan(Some(&plan)).features(&self.features);
        let shaped = harfrust::shape(&shaper, &mut buffer, options).is_ok();
        if !shaped || buffer.len() != chars.len() {
            return self.unshaped(&chars);
        }
        let mut x = 0;
        let mut glyphs = Vec::with_capacity(chars.len());
        let mut loose = Vec::new();
        for (i, (info, pos)) in
            buffer.glyph_infos().iter().zip(buffer.glyph_positions()).enumerate()
        {
            glyphs.push((info.glyph_id as u16, chars[i], x + pos.x_offset));
            x += pos.x_advance;
            // A glyph has its place along the line only, so a raised mark cannot be set either.
            let raised = f64::from(pos.y_offset).abs() > RAISED * self.units;
            if is_combining_mark(chars[i]) && (pos.x_offset == 0 || raised) {
                loose.push(chars[i]);
            }
        }
        Run { glyphs, advance: x, missing: each_once(loose) }
    }

    fn plan(&self, buffer: &Buffer) -> Arc<ShapePlan> {
        let (script, language) = (buffer.script(), buffer.language());
        let mut plans = self.plans.lock().expect("no panic while held");
        let key = ShapePlanKey::new(&self.font, script, Direction::LeftToRight);
        let key = key.language(language).features(&self.features);
        if let Some(plan) = plans.iter().find(|plan| key.matches(plan)) {
            return Arc::clone(plan);
        }
        let direction = Direction::LeftToRight;
        let plan = ShapePlan::new(&self.font, direction, script, language, &self.features);
        let plan = Arc::new(plan);
        plans.push(Arc::clone(&plan));
        plan
    }

    /// One glyph a character without kerning: for text that the shaper would recombine.
    fn unshaped(&self, chars: &[char]) -> Run {
        let reader = skrifa::FontRef::new(&self.bytes).expect("read before");
        let metrics = reader.glyph_metrics(Size::unscaled(), LocationRef::default());
        let mut x = 0;
        let mut glyphs = Vec::with_capacity(chars.len());
        for &ch in chars {
            let id = reader.charmap().map(ch).unwrap_or_default();
            glyphs.push((id.to_u32() as u16, ch, x));
            x += metrics.advance_width(id).unwrap_or(0.0) as i32;
        }
        let missing = each_once(chars.iter().copied().filter(|c| is_combining_mark(*c)));
        Run { glyphs, advance: x, missing }
    }
}

/// The most texts whose glyphs a face keeps: a sheet of thousands of colours has fewer.
const MOST_RUNS: usize = 1 << 13;

/// A mark that is raised by no more than this share of an em is set well without.
const RAISED: f64 = 0.05;

/// Each character once, in order.
fn each_once(chars: impl IntoIterator<Item = char>) -> Vec<char> {
    let mut out = Vec::new();
    for ch in chars {
        if !out.contains(&ch) {
            out.push(ch);
        }
    }
    out
}
