//! Pictures of the parts, cut out of the photographs.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::capture::cut::{CutOut, Doubt, Fault, Order, Sight, cut, file_name};
use crate::capture::{PageReadings, Picture, Scene, SeenPage, StagePage};
use crate::diag::{Diagnostic, Findings};
use crate::range::{Colour, PICTURE_HEADINGS, PICTURE_TABLE, Value};
use crate::read::Finish;

/// So many are named where a list could be long.
const NAMED: usize = 12;

/// A part in a colour, cut out of a photograph; or why it could not be.
pub(super) struct CutPart {
    pub(super) part: String,
    colour: String,
    /// It has no drawing: its outline is the one that is seen.
    pub(super) boxed: bool,
    photograph: String,
    found: Result<(CutOut, Vec<u8>), Fault>,
}

impl CutPart {
    /// The cut-out, if its edge is beyond doubt.
    pub(super) fn sure(&self) -> Option<&CutOut> {
        let (cut, _) = self.found.as_ref().ok()?;
        let is_faint = |doubt: &Doubt| matches!(doubt, Doubt::LowContrast(_));
        (!cut.doubts.iter().any(is_faint)).then_some(cut)
    }

    /// Fewer is better.
    fn faults(&self) -> usize {
        self.found.as_ref().map_or(usize::MAX, |(cut, _)| cut.doubts.len())
    }
}

/// Cuts every part out of a photograph that has a colour.
pub(super) fn cut_parts(
    (picture, seen): (&Picture, &SeenPage),
    page: &StagePage,
    readings: &PageReadings,
    colours: &BTreeMap<&str, &Colour>,
    photograph: &str,
) -> Vec<CutPart> {
    let scene = Scene { picture, lens: seen.lens(), light: seen.light() };
    let sight = Sight::of(scene, page);
    let places = page.places.iter().zip(&readings.readings);
    let cut = places.filter_map(|(place, reading)| {
        let colour = colours.get(place.colour.as_str())?;
        if reading.is_empty() {
            return None;
        }
        let read = reading.lab.filter(|_| !readings.relative);
        let value = match colour.value() {
            Value::Unknown => read.map(|lab| [lab.l, lab.a, lab.b])?,
            _ => [colour.aim().l, colour.aim().a, colour.aim().b],
        };
        let clear = matches!(colour.finish(), Finish::Clear | Finish::Flecked);
        let order = Order { place, value, thick: None, clear };
        let found = cut(&sight, &order).and_then(|cut| {
            let png = cut.image.png()?;
            Ok((cut, png))
        });
        let (part, colour) = (place.part.clone(), place.colour.clone());
        let boxed = place.boxed;
        Some(CutPart { part, colour, boxed, photograph: photograph.to_owned(), found })
    });
    cut.collect()
}

/// The best of each part in each colour.
pub(super) fn best(cuts: Vec<CutPart>) -> Vec<CutPart> {
    let mut out: BTreeMap<(String, String), CutPart> = BTreeMap::new();
    for cut in cuts {
        let key = (cut.part.clone(), cut.colour.clone());
        match out.get(&key) {
            Some(kept) if kept.faults() <= cut.faults() => {}
            _ => drop(out.insert(key, cut)),
        }
    }
    out.into_values().collect()
}

/// The pictures and their table.
///
/// # Errors
/// The table cannot be written.
pub(super) fn files(
    folder: &Path,
    cuts: &[CutPart],
) -> Result<Vec<(PathBuf, Vec<u8>)>, Diagnostic> {
    let mut files = Vec::new();
    let mut table = csv::Writer::from_writer(Vec::new());
    let unwritten = |why: String| {
        let message = format!("the table of pictures cannot be written: {why}");
        Diagnostic::error("not-written", message)
    };
    table.write_record(PICTURE_HEADINGS).map_err(|e| unwritten(e.to_string()))?;
    for CutPart { part, colour, found, .. } in cuts {
        let Ok((cut, png)) = found else { continue };
        let name = file_name(part, colour);
        let ((width, height), (x, y)) = (cut.size(), cut.centre());
        let lengths = [width, height, x, y].map(|mm| format!("{mm:.3}"));
        let texts = [part, colour, &name].into_iter();
        let row = texts.chain(&lengths);
        table.write_record(row).map_err(|e| unwritten(e.to_string()))?;
        files.push((folder.join(name), png.clone()));
    }
    let table = table.into_inner().map_err(|e| unwritten(e.to_string()))?;
    files.push((folder.join(PICTURE_TABLE), table));
    Ok(files)
}

/// What could not be cut out, and what is doubtful.
pub(super) fn findings(cuts: &[CutPart]) -> Findings {
    let mut findings = Findings::default();
    let lost = cuts.iter().filter_map(|cut| Some((cut, cut.found.as_ref().err()?)));
    let lost: Vec<Diagnostic> = lost
        .map(|(cut, fault)| {
            let message = format!("{}: {fault}", named(cut));
            Diagnostic::warning("no-cut-out", message).help(fault.help())
        })
        .collect();
    let doubtful = cuts.iter().filter_map(|cut| {
        let (out, _) = cut.found.as_ref().ok()?;
        let first = out.doubts.first()?;
        let whys: Vec<String> = out.doubts.iter().map(Doubt::to_string).collect();
        let message = format!("{}: {}", named(cut), whys.join("; "));
        Some(Diagnostic::hint("doubtful-cut-out", message).help(first.help()))
    });
    for (list, what) in
        [(lost, "could not be cut out"), (doubtful.collect(), "have doubtful pictures")]
    {
        let more = list.len().saturating_sub(NAMED);
        list.into_iter().take(NAMED).for_each(|d| findings.push(d));
        if more > 0 {
            findings.push(Diagnostic::hint("more-cut-outs", format!("{more} more parts {what}")));
        }
    }
    findings
}

fn named(cut: &CutPart) -> String {
    format!("{}, part '{}' in '{}'", cut.photograph, cut.part, cut.colour)
}
