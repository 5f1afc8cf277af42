//! The manifest: every file of a run with its checksum and figures.

use serde::Serialize;

use crate::plan::Report;

/// All files of a sheet. Written last, so it only ever names files that are there.
#[derive(Debug, Clone, Serialize)]
pub struct Manifest {
    /// Which program wrote it.
    pub made_by: String,
    pub sheet: String,
    pub title: String,
    pub style: String,
    /// The paper that the files are for, and whether its values are plain or tuned.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub paper: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub values: Option<&'static str>,
    pub files: Vec<FileEntry>,
    pub plans: Vec<PlanEntry>,
}

/// One file.
#[derive(Debug, Clone, Serialize)]
pub struct FileEntry {
    /// Name in the folder of the manifest.
    pub file: String,
    pub edition: String,
    pub spelling: String,
    /// svg, pdf, png, jpeg or tiff.
    pub format: String,
    pub bytes: u64,
    pub sha256: String,
    /// Trimmed page, mm.
    pub page_mm: [f64; 2],
    /// Size of the parts: 1 is true size.
    pub scale: f64,
    /// Page number and number of pages; a PDF holds them all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub page: Option<[usize; 2]>,
    /// Rows and columns of tiles of each page; the pages of the file are then
    /// those of the paper at hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tiles: Option<[usize; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pixels: Option<[u32; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dpi: Option<u32>,
    /// How far a picture reaches over the trim on each side, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bleed_mm: Option<f64>,
}

/// The figures of one edition's plan.
#[derive(Debug, Clone, Serialize)]
pub struct PlanEntry {
    pub edition: String,
    pub spelling: String,
    pub plan: Report,
}

impl Manifest {
    /// JSON with a final line end; the same content gives the same bytes.
    pub fn json(&self) -> String {
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }
}
