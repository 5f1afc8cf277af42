//! The sheets to cut: a contour for every label that is printed, none for an empty place.

use super::label_sheet::LabelSheet;
use super::stand::Stand;
use super::{Contour, Cut, CutSheet};
use kurbo::Shape;

/// One sheet of contours for every sheet of labels. A part-used sheet was cut
/// around before, and keeps the marks that it has.
pub fn cut_sheets(label_sheet: &LabelSheet, stands: &[Stand], part_used: bool) -> Vec<CutSheet> {
    let sheets = stands.chunk_by(|a, b| a.sheet == b.sheet).enumerate();
    sheets.map(|(n, on_sheet)| cut_sheet(label_sheet, on_sheet, part_used && n == 0)).collect()
}

fn cut_sheet(label_sheet: &LabelSheet, stands: &[Stand], part_used: bool) -> CutSheet {
    let label = |(i, s): (usize, &Stand)| Contour {
        label: Some(i),
        cut: label_sheet.cut(),
        path: label_sheet.contour(label_sheet.label_at(s.row, s.column)),
    };
    let mut contours: Vec<Contour> = stands.iter().enumerate().map(label).collect();
    if let Some(frame) = label_sheet.frame().filter(|_| !part_used) {
        let path = label_sheet.block().inflate(frame, frame).to_path(1e-3);
        contours.push(Contour { label: None, cut: Cut::Through, path });
    }
    CutSheet {
        width: label_sheet.width(),
        height: label_sheet.height(),
        contours,
        marks: label_sheet.mark_centres(),
        mark_radius: label_sheet.marks().map_or(0.0, |m| m.radius),
    }
}
