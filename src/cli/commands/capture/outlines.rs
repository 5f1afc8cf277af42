//! Drawings of the parts that have none: their outlines, as they are seen in the photographs.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::pages::Pages;
use super::pictures::CutPart;
use crate::capture::cut::{Outline, shape_name, svg, together};
use crate::cli::args::CaptureArgs;
use crate::diag::{Diagnostic, Findings};

/// Pieces that differ by more than this make an outline doubtful, mm.
const APART: f64 = 0.25;

/// The drawing of a part.
pub(super) struct PartOutline {
    pub(super) part: String,
    pub(super) file: PathBuf,
    pub(super) svg: Vec<u8>,
    pieces: usize,
    /// How far the pieces are from it, mm.
    apart: f64,
}

/// Reports that no part needs an outline.
pub(super) fn asked(args: &CaptureArgs, pages: Option<&Pages>, findings: &mut Findings) {
    let (Some(_), Some(pages)) = (&args.outlines, pages) else { return };
    if !pages.file.pages.iter().flat_map(|page| &page.places).any(|place| place.boxed) {
        let message = "every part of these pages has a drawing already: there is nothing to trace";
        let help = "leave out --outlines; a part without a drawing has its size in place of the drawing in the range, for example shape: \"18x9\"";
        findings.push(Diagnostic::error("nothing-to-trace", message).help(help));
    }
}

/// The drawings, and what is doubtful about them.
pub(super) fn files(folder: &Path, cuts: &[CutPart]) -> (Vec<PartOutline>, Findings) {
    let mut findings = Findings::default();
    let mut by_part: BTreeMap<&str, Vec<Outline>> = BTreeMap::new();
    for cut in cuts.iter().filter(|cut| cut.boxed) {
        let pieces = by_part.entry(cut.part.as_str()).or_default();
        pieces.extend(cut.sure().map(|cut| cut.outline.clone()));
    }
    let mut out = Vec::new();
    for (part, pieces) in by_part {
        let drawn = together(&pieces).and_then(|(outline, apart)| Some((svg(&outline)?, apart)));
        let Some((svg, apart)) = drawn else {
            let message = format!("the outline of the part '{part}' could not be traced");
            let help = "lay it where its edge shows, and photograph it sharply; parts in colours unlike the ground are seen best";
            findings.push(Diagnostic::warning("no-outline", message).help(help));
            continue;
        };
        if apart > APART {
            let message = format!(
                "the pieces of the part '{part}' differ by {apart:.2} mm: its outline may be wrong"
            );
            let help = "look at it with 'shadecard shapes', and measure a piece";
            findings.push(Diagnostic::warning("outline-doubtful", message).help(help));
        }
        out.push(PartOutline {
            part: part.to_owned(),
            file: folder.join(shape_name(part)),
            svg: svg.into_bytes(),
            pieces: pieces.len(),
            apart,
        });
    }
    (out, findings)
}

/// What was traced.
pub(super) fn text(outlines: &[PartOutline]) -> String {
    let line = |o: &PartOutline| {
        let pieces = if o.pieces == 1 {
            "one piece".to_owned()
        } else {
            format!("{} pieces, which differ by {:.2} mm", o.pieces, o.apart)
        };
        format!("Written: {}: the outline of '{}', from {pieces}\n", o.file.display(), o.part)
    };
    outlines.iter().map(line).collect()
}
