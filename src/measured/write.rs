//! The table of measured values, as `capture` and `export` write it and [`super::read`] reads it.

/// Its columns, in their order.
pub const HEADINGS: [&str; 8] =
    ["colour", "L*", "a*", "b*", "spread", "readings", "source", "note"];

/// One colour of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredLine {
    /// The colour's key.
    pub colour: String,
    /// CIELAB, D50, 2 degrees.
    pub lab: [f64; 3],
    /// Mean CIEDE2000 of the readings from their mean.
    pub spread: Option<f64>,
    /// How many readings it is the mean of.
    pub readings: usize,
    /// What it was read from: the file of a photograph, an instrument's file with its line.
    pub source: String,
    pub note: String,
}

/// The table as CSV: UTF-8 with a mark, since some spreadsheets know it by nothing else. Numbers are written in full,
/// so that the same values are read back; blanks around a text are not.
///
/// # Errors
/// The rows could not be written; a plain sentence gives the reason.
pub fn csv(lines: &[MeasuredLine]) -> Result<Vec<u8>, String> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer("\u{feff}".as_bytes().to_vec());
    writer.write_record(HEADINGS).map_err(|e| e.to_string())?;
    for line in lines {
        let [l, a, b] = line.lab.map(|v| v.to_string());
        let spread = line.spread.map_or(String::new(), |s| s.to_string());
        let readings = line.readings.to_string();
        let row = [&line.colour, &l, &a, &b, &spread, &readings, &line.source, &line.note]
            .map(|t| t.as_str());
        writer.write_record(row).map_err(|e| e.to_string())?;
    }
    writer.into_inner().map_err(|e| e.to_string())
}
