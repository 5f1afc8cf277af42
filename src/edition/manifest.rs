//! The manifest: every file of a folder with its checksum and figures.

use serde::{Deserialize, Serialize};

use crate::plan::Report;

/// All files of a sheet. Written last, so it only ever names existing files.
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
#[derive(Debug, Clone, Serialize, Deserialize)]
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
    /// Rows and columns of panels of each page; the pages of the file are then
    /// those of the desk paper.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub panels: Option<[usize; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pixels: Option<[u32; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dpi: Option<u32>,
    /// How far a picture reaches over the trim on each side, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bleed_mm: Option<f64>,
}

/// The figures of one edition's plan.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct PlanEntry {
    pub edition: String,
    pub spelling: String,
    pub plan: Report,
}

/// What an older manifest holds about files and plans.
#[derive(Debug, Default, Deserialize)]
pub struct Older {
    files: Vec<FileEntry>,
    plans: Vec<PlanEntry>,
}

impl Older {
    /// Reads a manifest; nothing where it is none.
    pub fn read(text: &[u8]) -> Older {
        serde_json::from_slice(text).unwrap_or_default()
    }
}

impl Manifest {
    /// Adds what was made before and still exists, as `stays` decides for each file; editions are in
    /// the order in which the sheet has them.
    pub fn with(
        &mut self,
        older: Older,
        order: &[[String; 2]],
        mut stays: impl FnMut(&FileEntry) -> bool,
    ) {
        let Older { mut files, mut plans } = older;
        files.retain(|old| self.files.iter().all(|f| f.file != old.file) && stays(old));
        plans.retain(|old| {
            let same = |e: &str, s: &str| (e, s) == (old.edition.as_str(), old.spelling.as_str());
            self.plans.iter().all(|p| !same(&p.edition, &p.spelling))
                && files.iter().any(|f| same(&f.edition, &f.spelling))
        });
        self.plans.extend(plans);
        self.files.extend(files);
        self.files.sort_by(|a, b| a.file.cmp(&b.file));
        let place = |p: &PlanEntry| {
            let is = |[edition, spelling]: &[String; 2]| {
                (edition, spelling) == (&p.edition, &p.spelling)
            };
            (
                order.iter().position(is).unwrap_or(order.len()),
                p.edition.clone(),
                p.spelling.clone(),
            )
        };
        self.plans.sort_by_key(place);
    }

    /// JSON with a final line end; the same content gives the same bytes.
    pub fn json(&self) -> String {
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }
}
