//! The sheets to cut: a contour for every label that is printed, none for an empty place.

use super::recipe::Recipe;
use super::stand::Stand;
use super::{Contour, Cut, CutSheet};
use kurbo::Shape;

/// One sheet of contours for every sheet of labels. A begun sheet was cut
/// around before, and keeps the marks that it has.
pub fn cut_sheets(recipe: &Recipe, stands: &[Stand], begun: bool) -> Vec<CutSheet> {
    let sheets = stands.chunk_by(|a, b| a.sheet == b.sheet).enumerate();
    sheets.map(|(n, on_sheet)| cut_sheet(recipe, on_sheet, begun && n == 0)).collect()
}

fn cut_sheet(recipe: &Recipe, stands: &[Stand], begun: bool) -> CutSheet {
    let label = |(i, s): (usize, &Stand)| Contour {
        label: Some(i),
        cut: recipe.cut(),
        path: recipe.contour(recipe.label_at(s.row, s.column)),
    };
    let mut contours: Vec<Contour> = stands.iter().enumerate().map(label).collect();
    if let Some(frame) = recipe.frame().filter(|_| !begun) {
        let path = recipe.block().inflate(frame, frame).to_path(1e-3);
        contours.push(Contour { label: None, cut: Cut::Through, path });
    }
    CutSheet {
        width: recipe.width(),
        height: recipe.height(),
        contours,
        marks: recipe.mark_centres(),
        mark_radius: recipe.marks().map_or(0.0, |m| m.radius),
    }
}
