//! What was understood of each drawing, as a table and for machines.

use serde_json::{Value, json};

use super::blocks::{percent, size};
use super::shapes::{DrawnPart, DrawnParts};
use crate::range::ColourId;
use crate::supplies::Naming;
use crate::supplies::report::counted;
use crate::table::{Align, Table};

/// A line a part.
pub fn table(shown: &DrawnParts, naming: &Naming<'_>) -> Table {
    let right = Align::Right;
    let mut out = Table::new(&[
        ("part", Align::Left),
        ("number", Align::Left),
        ("drawing", Align::Left),
        ("size", right),
        ("body", right),
        ("holes", right),
        ("shading", right),
        ("flat", right),
    ]);
    for DrawnPart { part, understood, .. } in &shown.entries {
        let is = naming.range.part(*part);
        let shading = match understood.shading {
            0 => "added".to_owned(),
            n => counted(n as u64, "layer"),
        };
        out.row([
            is.key().clone(),
            naming.part_number(*part).unwrap_or("").to_owned(),
            is.shape_file().clone(),
            size(understood.size),
            size(understood.body),
            understood.holes.to_string(),
            shading,
            understood.least_flat().map(percent).unwrap_or_default(),
        ]);
    }
    out
}

/// What the terminal shows.
pub fn text(shown: &DrawnParts, naming: &Naming<'_>) -> String {
    let head = format!(
        "Shapes of '{}': {}\n",
        naming.sheet.name(),
        counted(shown.entries.len() as u64, "drawing")
    );
    let foot = "\nflat: the smallest share of the face in exactly the colour, over all finishes and both colours\n";
    naming.spelling.text(&format!("{head}\n{}{foot}", table(shown, naming).text()))
}

/// Everything, for machines.
pub fn json(shown: &DrawnParts, naming: &Naming<'_>) -> Value {
    let key = |c: Option<ColourId>| c.map(|c| naming.range.colour(c).key().clone());
    let parts: Vec<Value> = shown
        .entries
        .iter()
        .map(|DrawnPart { part, understood, .. }| {
            let is = naming.range.part(*part);
            let flat: serde_json::Map<String, Value> = understood
                .flat
                .iter()
                .map(|(f, share)| (f.word().to_owned(), json!(thousandths(*share))))
                .collect();
            json!({
                "part": is.key(),
                "number": naming.part_number(*part),
                "drawing": is.shape_file(),
                "size_mm": [micro(understood.size.0), micro(understood.size.1)],
                "body_mm": [micro(understood.body.0), micro(understood.body.1)],
                "holes": understood.holes,
                "shading_layers": understood.shading,
                "flat": flat,
            })
        })
        .collect();
    json!({
        "sheet": naming.sheet.name(),
        "finishes": shown.finishes.iter().map(|f| f.word()).collect::<Vec<_>>(),
        "pale": key(shown.pair.pale),
        "dark": key(shown.pair.dark),
        "parts": parts,
    })
}

/// Rounded to a micrometre.
fn micro(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}

fn thousandths(share: f64) -> f64 {
    (share * 1000.0).round() / 1000.0
}
