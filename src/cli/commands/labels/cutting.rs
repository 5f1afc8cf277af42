//! The files for the cutting machine, corrected by what was measured, and the trial sheet.

use std::path::Path;

use crate::cli::args::{CornersArg, LabelsArgs};
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::labels::cut::{Corners, svg};
use crate::labels::offset::{self, Machine, Tolerances};
use crate::labels::travel::way;
use crate::labels::trial::{Trial, trial};
use crate::labels::{CutSheet, LabelSheet};
use crate::paint::pdf;
use crate::plan::{Look, Style};
use crate::spelling::Spelling;
use crate::units::pt_to_mm;
use crate::work::Work;

/// The least type of the trial sheet's scales.
const FLOOR_PT: f64 = 4.0;

/// How sheets become files for the machine.
pub struct Cutter {
    machine: Option<Machine>,
    corners: Corners,
    /// What finding a way counts and asks.
    work: Work,
}

/// Files, and the way of the blade, mm.
#[derive(Default)]
pub struct Files {
    pub files: Vec<(String, Vec<u8>)>,
    pub travel: f64,
    pub of_grid: f64,
}

impl Cutter {
    /// Reads what was measured, if anything was.
    ///
    /// # Errors
    /// Everything that is wrong with it; notes and warnings go to `warnings`.
    pub fn new(
        args: &LabelsArgs,
        label_sheet: &LabelSheet,
        sources: &mut Sources,
        warnings: &mut Findings,
    ) -> Result<Cutter, Findings> {
        let corners = match args.corners {
            CornersArg::Arcs => Corners::Arcs,
            CornersArg::Lines => Corners::Lines,
        };
        let work = sources.session.work.clone();
        let Some(file) = &args.correction else {
            return Ok(Cutter { machine: None, corners, work });
        };
        let size = kurbo::Size::new(label_sheet.width(), label_sheet.height());
        let (measured, notes) = offset::read(file, &plan(label_sheet).marks(), size, sources)?;
        warnings.extend(notes);
        let tolerances =
            Tolerances { width: size.width, height: size.height, bleed: label_sheet.bleed() };
        let fitted = offset::fit(&measured.readings, tolerances);
        let (machine, doubts) = fitted.map_err(|faults| of_file(faults, file))?;
        warnings.extend(doubts);
        Ok(Cutter { machine: Some(machine), corners, work })
    }

    /// The machine that the files are corrected for.
    pub fn machine(&self) -> Option<&Machine> {
        self.machine.as_ref()
    }

    /// A file for every sheet; `name` gives its name by the sheet's number, from 1.
    pub fn files(
        &self,
        sheets: &[CutSheet],
        name: impl Fn(usize) -> String,
        warnings: &mut Findings,
    ) -> Files {
        let mut out = Files::default();
        let mut last: Option<(&CutSheet, String, [f64; 2])> = None;
        for (n, sheet) in sheets.iter().enumerate() {
            // Full sheets are cut alike.
            let (text, [travel, of_grid]) = match last.take().filter(|(s, ..)| *s == sheet) {
                Some((_, text, lengths)) => (text, lengths),
                None => self.file(sheet, warnings),
            };
            out.travel += travel;
            out.of_grid += of_grid;
            out.files.push((name(n + 1), text.clone().into_bytes()));
            last = Some((sheet, text, [travel, of_grid]));
        }
        out
    }

    fn file(&self, sheet: &CutSheet, warnings: &mut Findings) -> (String, [f64; 2]) {
        let corrected = self.machine.as_ref().map(|m| m.correct(sheet));
        let sheet = corrected.as_ref().unwrap_or(sheet);
        if corrected.is_some() {
            warnings.extend(offset::outside(sheet));
        }
        let way = way(sheet, kurbo::Point::ORIGIN, &self.work);
        (svg(sheet, &way, self.corners), [way.travel, way.of_grid])
    }
}

/// Faults of what was measured as a whole are those of its file.
fn of_file(faults: Findings, file: &Path) -> Findings {
    let mut out = Findings::default();
    for d in faults.sorted() {
        let at = d.span.clone().or(Some(Span { file: file.into(), range: 0..0 }));
        out.push(d.at(at));
    }
    out
}

/// The trial of a label sheet: marks where labels are cut.
fn plan(label_sheet: &LabelSheet) -> Trial {
    let (w, h, block) = (label_sheet.width(), label_sheet.height(), label_sheet.block());
    let mut plan = Trial::new(w, h, [block.y0, w - block.x1, h - block.y1, block.x0]);
    plan.cut = label_sheet.cut();
    plan.registration = label_sheet.mark_centres();
    plan.registration_radius = label_sheet.marks().map_or(0.0, |m| m.radius);
    plan
}

/// The sheet to print, the file to cut, and the form to write in what was measured.
///
/// # Errors
/// The style cannot be used, or the label sheet's sheet has no room for a mark.
pub fn trial_files(
    cutter: &Cutter,
    label_sheet: &LabelSheet,
    (style, spelling): (&Style, &Spelling),
    folder: &Path,
    warnings: &mut Findings,
) -> Result<Vec<(String, Vec<u8>)>, Diagnostic> {
    let plan = plan(label_sheet);
    let look = Look::new(style, plan.width, plan.height, pt_to_mm(FLOOR_PT))?;
    let (print, cuts) = trial(&plan, &look, spelling)?;
    let name = |ending: &str| folder.join(format!("trial.{ending}")).display().to_string();
    let mut files = vec![
        (name("pdf"), pdf(print.coloured(&print.palette.published()))),
        (name("form.csv"), plan.form().csv().into_bytes()),
    ];
    files.extend(cutter.files(&[cuts], |_| name("cut.svg"), warnings).files);
    Ok(files)
}
