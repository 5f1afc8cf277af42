//! Label sheets: from `layouts/*.labels.ron` or a custom file.

mod model;

use std::path::{Path, PathBuf};

use kurbo::{Point, Rect};
use serde::Deserialize;

pub use self::model::{Chip, LabelSheet, Marks};
use super::Cut;
use crate::diag::{Diagnostic, Findings, Sources, nearest};
use crate::plan::papers::{self, paper};
use crate::read::read_text;
use crate::read::ron::{Place, decode};
use crate::supplies::sheets::MOST_ALONG;
use crate::units::pt_to_mm;

/// A label sheet as its file gives it.
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Labels")]
struct RawLabelSheet {
    title: Option<String>,
    sheet: Option<SheetSize>,
    label: Option<LabelSize>,
    corner_radius: Option<f64>,
    margins: Option<Margins>,
    gap: Option<Apart>,
    pitch: Option<Apart>,
    columns: Option<u32>,
    rows: Option<u32>,
    bleed: Option<f64>,
    safe: Option<f64>,
    marks: Option<MarksAt>,
    cut: Option<CutWord>,
    frame: Option<f64>,
    chip: Option<ChipSize>,
    lines: Option<u32>,
    type_size: Option<f64>,
    type_floor: Option<f64>,
}

/// A sheet of a standard paper, or of its own width and height, mm.
#[derive(Debug, Default, Deserialize)]
struct SheetSize {
    paper: Option<String>,
    width: Option<f64>,
    height: Option<f64>,
}

#[derive(Debug, Default, Deserialize)]
struct LabelSize {
    width: Option<f64>,
    height: Option<f64>,
}

/// Right as left, bottom as top where not given.
#[derive(Debug, Default, Deserialize)]
struct Margins {
    left: Option<f64>,
    top: Option<f64>,
    right: Option<f64>,
    bottom: Option<f64>,
}

#[derive(Debug, Default, Deserialize)]
struct Apart {
    across: Option<f64>,
    down: Option<f64>,
}

#[derive(Debug, Default, Deserialize)]
struct MarksAt {
    radius: Option<f64>,
    inset: Option<f64>,
}

/// Without a height it takes the label's whole left edge, bleed included.
#[derive(Debug, Default, Deserialize)]
struct ChipSize {
    width: Option<f64>,
    height: Option<f64>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
enum CutWord {
    Kiss,
    Through,
}

/// Room for words that a label has at least, mm.
const LEAST_ROOM: (f64, f64) = (8.0, 2.5);
/// White between chip and words, mm.
pub const CHIP_GAP: f64 = 2.0;

macro_rules! shipped {
    ($($name:literal),*) => {
        [$(($name, include_str!(concat!("../../layouts/", $name, ".labels.ron")))),*]
    };
}

/// Names and texts of the shipped label sheets.
pub const SHIPPED_LABEL_SHEETS: [(&str, &str); 4] = shipped!("a4", "letter", "roll", "small");

impl LabelSheet {
    /// A label sheet by its name, or by the path of its file, which may be beside the sheet.
    ///
    /// # Errors
    /// It does not exist, or everything that is wrong with it.
    pub fn find(name: &str, folder: &Path, sources: &mut Sources) -> Result<LabelSheet, Findings> {
        if let Some((_, text)) = SHIPPED_LABEL_SHEETS.iter().find(|(n, _)| *n == name) {
            return LabelSheet::parse(Path::new(name), text);
        }
        if !(name.ends_with(".ron") || name.contains('/')) {
            let names: Vec<&str> = SHIPPED_LABEL_SHEETS.iter().map(|(n, _)| *n).collect();
            let help = match nearest(name, names.iter().copied()) {
                Some(near) => format!("did you mean '{near}'?"),
                None => format!("use {}, or the path of a file", names.join(", ")),
            };
            let message = format!("there is no label sheet '{name}'");
            return Err(Diagnostic::error("unknown-label-sheet", message).help(help).into());
        }
        let near = folder.join(name);
        let file = if sources.session.files.exists(&near) { near } else { PathBuf::from(name) };
        let text = read_text(&file, None, &sources.session)?;
        sources.add(&file, text.clone());
        LabelSheet::parse(&file, &text)
    }

    /// Reads and checks a label sheet from its text.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn parse(file: &Path, text: &str) -> Result<LabelSheet, Findings> {
        let mut findings = Findings::default();
        let Some(doc) = decode::<RawLabelSheet>(file, text, "Labels", &mut findings) else {
            return Err(findings);
        };
        let mut check = Check { findings: &mut findings, root: doc.source.root() };
        let label_sheet = check.label_sheet(doc.value);
        match label_sheet {
            Some(label_sheet) if !findings.failed() => Ok(label_sheet),
            _ => Err(findings),
        }
    }
}

struct Check<'a> {
    findings: &'a mut Findings,
    root: Place<'a>,
}

impl Check<'_> {
    fn fault(&mut self, at: Place<'_>, message: String, help: impl Into<String>) {
        let d = Diagnostic::error("bad-label-sheet", message).at(at.span()).help(help);
        self.findings.push(d);
    }

    /// A length within bounds; the bounds' middle of the road after a fault.
    fn length(
        &mut self,
        value: Option<f64>,
        (at, field): (Place<'_>, &str),
        (least, most): (f64, f64),
        missing: Option<f64>,
    ) -> f64 {
        match (value, missing) {
            (Some(v), _) if (least..=most).contains(&v) => v,
            (Some(v), _) => {
                let message = format!("'{field}' must be from {least} to {most} mm, not {v}");
                self.fault(at.field(field), message, format!("use {least} to {most} mm"));
                missing.unwrap_or(least)
            }
            (None, Some(usual)) => usual,
            (None, None) => {
                if !at.faulted(field) {
                    let message = format!("'{field}' is missing here");
                    let d = Diagnostic::error("missing-field", message).at(at.head());
                    let help = format!("add {field}: and a length of {least} to {most} mm");
                    self.findings.push(d.help(help));
                }
                least
            }
        }
    }

    fn label_sheet(&mut self, raw: RawLabelSheet) -> Option<LabelSheet> {
        let root = self.root;
        self.needed(&raw);
        let (sheet, label) = (raw.sheet?, raw.label?);
        let (width, height) = self.sheet_size(&sheet);
        let at = root.field("label");
        let label = (
            self.length(label.width, (at, "width"), (8.0, 1000.0), None),
            self.length(label.height, (at, "height"), (4.0, 1000.0), None),
        );
        let half = label.0.min(label.1) / 2.0;
        let corner_radius =
            self.length(raw.corner_radius, (root, "corner_radius"), (0.0, half), Some(0.0));
        let bleed = self.length(raw.bleed, (root, "bleed"), (0.0, 10.0), Some(0.0));
        let safe = self.length(raw.safe, (root, "safe"), (0.0, 20.0), Some(1.5));
        let [left, top, right, bottom] = self.margins(raw.margins.unwrap_or_default());
        let pitch = self.pitch(raw.gap.as_ref(), raw.pitch.as_ref(), label);
        if self.findings.failed() {
            return None;
        }
        let room = (width - left - right, height - top - bottom);
        let columns = self.along(raw.columns, "columns", (label.0, pitch.0, room.0));
        let rows = self.along(raw.rows, "rows", (label.1, pitch.1, room.1));
        if self.findings.failed() {
            return None;
        }
        let type_floor =
            self.length(raw.type_floor, (root, "type_floor"), (1.0, 10.0), Some(pt_to_mm(5.0)));
        let usual = (label.1 * 0.14).min(6.0).max(type_floor);
        let sizes = (type_floor, 60.0);
        let type_size = self.length(raw.type_size, (root, "type_size"), sizes, Some(usual));
        let label_sheet = LabelSheet {
            title: raw.title.unwrap_or_default(),
            width,
            height,
            label,
            corner_radius,
            origin: Point::new(left, top),
            pitch,
            rows,
            columns,
            foot: height - top - label.1 - f64::from(rows - 1) * pitch.1,
            bleed,
            safe,
            marks: raw.marks.map(|m| self.marks(&m)),
            cut: match raw.cut {
                Some(CutWord::Through) => Cut::Through,
                Some(CutWord::Kiss) | None => Cut::Kiss,
            },
            frame: raw.frame.map(|f| self.length(Some(f), (root, "frame"), (0.0, 100.0), None)),
            chip: raw.chip.map(|c| self.chip(&c, label)),
            lines: self.lines(raw.lines),
            type_size,
            type_floor,
        };
        self.together(&label_sheet);
        Some(label_sheet)
    }

    /// Sizes that are not given.
    fn needed(&mut self, raw: &RawLabelSheet) {
        let fields = [
            (
                "sheet",
                raw.sheet.is_some(),
                "add sheet: (paper: \"A4\") or sheet: (width: 62, height: 300)",
            ),
            ("label", raw.label.is_some(), "add label: (width: 58, height: 35)"),
        ];
        for (field, given, help) in fields {
            if !given && !self.root.faulted(field) {
                let d =
                    Diagnostic::error("missing-field", format!("the label sheet has no '{field}'"));
                self.findings.push(d.at(self.root.head()).help(help));
            }
        }
    }

    /// White at the left, top, right and bottom, mm; what is not given is as opposite.
    fn margins(&mut self, raw: Margins) -> [f64; 4] {
        let at = self.root.field("margins");
        let bounds = (0.0, 500.0);
        let left = self.length(raw.left, (at, "left"), bounds, Some(10.0));
        let top = self.length(raw.top, (at, "top"), bounds, Some(10.0));
        let right = self.length(raw.right, (at, "right"), bounds, Some(left));
        let bottom = self.length(raw.bottom, (at, "bottom"), bounds, Some(top));
        [left, top, right, bottom]
    }

    fn sheet_size(&mut self, raw: &SheetSize) -> (f64, f64) {
        let at = self.root.field("sheet");
        if let Some(name) = &raw.paper {
            if raw.width.is_some() || raw.height.is_some() {
                let message = "the sheet has both a paper and a size in mm".to_owned();
                self.fault(at, message, "keep paper, or width and height");
            }
            if let Some(p) = paper(name) {
                return (p.width, p.height);
            }
            self.fault(
                at.field("paper"),
                format!("there is no paper '{name}'"),
                papers::meant(name),
            );
            return (210.0, 297.0);
        }
        let bounds = (20.0, 3000.0);
        (
            self.length(raw.width, (at, "width"), bounds, None),
            self.length(raw.height, (at, "height"), bounds, None),
        )
    }

    /// From label to label, by the gap or the pitch.
    fn pitch(
        &mut self,
        gap: Option<&Apart>,
        pitch: Option<&Apart>,
        label: (f64, f64),
    ) -> (f64, f64) {
        let root = self.root;
        if gap.is_some() && pitch.is_some() {
            let message = "'gap' and 'pitch' both set the distance between labels".to_owned();
            self.fault(
                root.field("pitch"),
                message,
                "keep one of them: the pitch is the label plus the gap",
            );
        }
        if let Some(p) = pitch {
            let at = root.field("pitch");
            return (
                self.length(p.across, (at, "across"), (label.0, 3000.0), Some(label.0)),
                self.length(p.down, (at, "down"), (label.1, 3000.0), Some(label.1)),
            );
        }
        let at = root.field("gap");
        let across = gap.and_then(|g| g.across);
        let down = gap.and_then(|g| g.down);
        let across = self.length(across, (at, "across"), (0.0, 500.0), Some(0.0));
        let down = self.length(down, (at, "down"), (0.0, 500.0), Some(across));
        (label.0 + across, label.1 + down)
    }

    /// How many labels are in a row or a column: as given, or as many as fit.
    fn along(
        &mut self,
        given: Option<u32>,
        field: &str,
        (label, pitch, room): (f64, f64, f64),
    ) -> u32 {
        // A micrometre more than there is, so that a sheet that is just filled is filled.
        let fit = ((room - label + 1e-3) / pitch + 1.0).floor();
        let fit = if room + 1e-3 < label { 0 } else { fit.min(f64::from(MOST_ALONG)) as u32 };
        let side = if field == "columns" { "width" } else { "height" };
        match given {
            _ if fit == 0 => {
                let message = format!(
                    "no label fits: the {side} between the margins is {} mm, and a label needs {label} mm",
                    short(room)
                );
                let at = self.root.field("label");
                self.fault(at, message, "make the labels or the margins smaller");
                1
            }
            None => fit,
            Some(n) if (1..=fit).contains(&n) => n,
            Some(n) => {
                let message = format!("{n} {field} do not fit on the sheet");
                let help = format!("use 1 to {fit}, or omit {field} for as many as fit");
                self.fault(self.root.field(field), message, help);
                1
            }
        }
    }

    fn marks(&mut self, raw: &MarksAt) -> Marks {
        let at = self.root.field("marks");
        let radius = self.length(raw.radius, (at, "radius"), (0.5, 10.0), Some(2.5));
        let inset = self.length(raw.inset, (at, "inset"), (radius, 200.0), Some(radius + 5.0));
        Marks { radius, inset }
    }

    fn chip(&mut self, raw: &ChipSize, label: (f64, f64)) -> Chip {
        let at = self.root.field("chip");
        let width = self.length(raw.width, (at, "width"), (1.0, label.0), None);
        match raw.height {
            None => Chip::Edge { width },
            Some(_) => {
                let height = self.length(raw.height, (at, "height"), (1.0, label.1), None);
                Chip::Inside { width, height }
            }
        }
    }

    fn lines(&mut self, raw: Option<u32>) -> usize {
        match raw {
            None => 2,
            Some(n @ 1..=3) => n as usize,
            Some(n) => {
                let message = format!("the lines must be from 1 to 3, not {n}");
                self.fault(self.root.field("lines"), message, "use 1, 2 or 3");
                2
            }
        }
    }

    /// The checks that need the whole label sheet.
    fn together(&mut self, r: &LabelSheet) {
        let root = self.root;
        let gap = |count: u32, pitch: f64, label: f64| {
            if count > 1 { pitch - label } else { f64::INFINITY }
        };
        let gap = gap(r.columns, r.pitch.0, r.label.0).min(gap(r.rows, r.pitch.1, r.label.1));
        if 2.0 * r.bleed > gap + 1e-6 {
            let message = format!(
                "a bleed of {} mm runs into the next label: the labels are {} mm apart",
                r.bleed,
                short(gap)
            );
            let help = format!("use a bleed of at most {} mm, or a larger gap", short(gap / 2.0));
            self.fault(root.field("bleed"), message, help);
        }
        let sheet = Rect::new(0.0, 0.0, r.width, r.height);
        let block = r.block();
        let bled = block.inflate(r.bleed, r.bleed);
        if !within(bled, sheet) {
            let message = format!("a bleed of {} mm runs off the sheet", r.bleed);
            self.fault(root.field("bleed"), message, "use larger margins or a smaller bleed");
        }
        let outer = block.inflate(r.frame.unwrap_or(r.bleed), r.frame.unwrap_or(r.bleed));
        if let Some(frame) = r.frame
            && (!within(outer, sheet) || frame < r.bleed)
        {
            let message =
                format!("a cut {frame} mm around the labels is off the sheet or inside the bleed");
            let help = "place it on the sheet and outside the bleed";
            self.fault(root.field("frame"), message, help);
        }
        if let Some(marks) = r.marks
            && r.mark_centres().iter().any(|c| distance(outer, *c) < marks.radius)
        {
            let message = "the registration marks touch labels or cuts".to_owned();
            let help = "use a smaller inset or larger margins";
            self.fault(root.field("marks"), message, help);
        }
        let (room, inside) = words_room(r);
        if room.0 < LEAST_ROOM.0 || room.1 < LEAST_ROOM.1 || !inside {
            let message = format!(
                "the label has only {} x {} mm for text",
                short(room.0.max(0.0)),
                short(room.1.max(0.0))
            );
            let at = if r.chip.is_some() { root.field("chip") } else { root.field("safe") };
            let help = format!(
                "leave at least {} x {} mm: use a larger label, or a smaller chip or safe margin",
                LEAST_ROOM.0, LEAST_ROOM.1
            );
            self.fault(at, message, help);
        }
    }
}

/// Width and height for words, and whether the chip keeps the safe margin.
fn words_room(r: &LabelSheet) -> ((f64, f64), bool) {
    let (width, height) = (r.label.0 - 2.0 * r.safe, r.label.1 - 2.0 * r.safe);
    match r.chip {
        None => ((width, height), true),
        Some(Chip::Inside { width: w, height: h }) => {
            ((width - w - CHIP_GAP, height), h <= height + 1e-6)
        }
        Some(Chip::Edge { width: w }) => ((r.label.0 - w - CHIP_GAP - r.safe, height), true),
    }
}

fn within(inner: Rect, outer: Rect) -> bool {
    const CLOSE: f64 = 1e-6;
    inner.x0 >= outer.x0 - CLOSE
        && inner.y0 >= outer.y0 - CLOSE
        && inner.x1 <= outer.x1 + CLOSE
        && inner.y1 <= outer.y1 + CLOSE
}

/// From a rectangle to a point outside it.
fn distance(rect: Rect, p: Point) -> f64 {
    let dx = (rect.x0 - p.x).max(p.x - rect.x1).max(0.0);
    let dy = (rect.y0 - p.y).max(p.y - rect.y1).max(0.0);
    dx.hypot(dy)
}

/// A length for a message: at most two decimals.
fn short(mm: f64) -> String {
    let text = format!("{mm:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
