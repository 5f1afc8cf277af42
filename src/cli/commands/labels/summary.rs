//! What was made of labels, for people and for machines.

use serde::Serialize;

use crate::table::{Align, Table};

/// What is reported of one spelling.
#[derive(Serialize)]
pub(super) struct Summary {
    pub spelling: String,
    pub label_sheet: String,
    pub labels: usize,
    /// That fill lost rows, besides the labels.
    pub repeats: usize,
    /// Sheets of film that are taken; apart from the part-used one.
    pub new_sheets: u64,
    pub on_part_used_sheet: u64,
    /// As `supplies --first-free` accepts it, so that both count the same sheets.
    pub supplies_first_free: u64,
    pub free_on_last: u64,
    /// Where the next labels continue on the last sheet; none where it is full or used in scattered places.
    pub first_free: Option<u64>,
    /// Travel of the lifted blade, mm, and the same in the order of the places.
    pub travel: f64,
    pub travel_of_grid: f64,
    /// The machine's error that the cuts are corrected for, in its parts and mark by mark.
    pub correction: Option<[serde_json::Value; 2]>,
    #[serde(skip)]
    pub correction_text: String,
    /// A trial sheet in place of labels.
    #[serde(skip)]
    pub trial: bool,
    /// The folder of the files in that of all results.
    #[serde(skip)]
    pub inner: String,
    pub files: Vec<String>,
}

/// As text for a terminal.
pub(super) fn text(reported: &[&Summary]) -> String {
    if reported.is_empty() {
        return String::new();
    }
    if reported[0].trial {
        let mut out =
            format!("Trial sheet, {}\n{}", reported[0].label_sheet, reported[0].correction_text);
        out += "\nWritten:\n";
        reported.iter().flat_map(|t| &t.files).for_each(|f| out += &format!("  {f}\n"));
        return out
            + "Print the PDF at 100 %, cut it with the SVG, and write into a copy of the form how far the\n\
               edges of each square fell from the zeros of the scales: dx to the right, dy down, in mm.\n\
               Then: shadecard labels SHEET.ron --correction COPY.csv\n";
    }
    let heads = [
        ("spelling", Align::Left),
        ("labels", Align::Right),
        ("repeats", Align::Right),
        ("new sheets", Align::Right),
        ("on the part-used sheet", Align::Right),
        ("free on the last", Align::Right),
    ];
    let mut table = Table::new(&heads);
    for t in reported {
        table.row([
            t.spelling.clone(),
            t.labels.to_string(),
            t.repeats.to_string(),
            t.new_sheets.to_string(),
            t.on_part_used_sheet.to_string(),
            t.free_on_last.to_string(),
        ]);
    }
    let mut out = format!("Labels, {}\n\n{}", reported[0].label_sheet, table.text());
    for t in reported {
        if let Some(at) = t.first_free {
            out += &format!("\n{}: continue on the last sheet with --first-free {at}", t.spelling);
        }
    }
    for t in reported {
        out += &format!(
            "\n{}: the lifted blade travels {:.0} mm; in the order of the places it would be {:.0} mm",
            t.spelling, t.travel, t.travel_of_grid
        );
    }
    if !reported[0].correction_text.is_empty() {
        out += &format!("\n{}", reported[0].correction_text);
    }
    out += "\n\nWritten:\n";
    reported.iter().flat_map(|t| &t.files).for_each(|f| out += &format!("  {f}\n"));
    out + "Look at the proofs and the list before you print.\n"
}
