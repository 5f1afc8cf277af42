//! The desk paper, and how a page is cut for it.

use crate::diag::{Diagnostic, Findings};
use crate::plan::papers::{PAPERS, paper};
use crate::units::MM_PER_INCH;

/// Default overlap of neighbouring panels, mm. Common practice, no source.
pub const OVERLAP: f64 = 10.0;
/// Default margin that a desk printer leaves white at each edge, mm. Common practice, no source.
pub const MARGIN: f64 = 8.0;
/// The most of either, mm.
const MOST: f64 = 50.0;
/// Sides of a paper of custom size, mm.
const SIDES: (f64, f64) = (100.0, 2000.0);

/// Papers are hardly larger in inches: a larger number is in another unit.
const MOST_INCHES: f64 = 48.0;

/// A paper for a desk printer, in portrait: it is never wider than high.
#[derive(Debug, Clone, PartialEq)]
pub struct Desk {
    name: String,
    width: f64,
    height: f64,
}

impl Desk {
    /// A paper of the list in any case (`a4`), or millimetres (`210x297`).
    ///
    /// # Errors
    /// It is neither, or a size that cannot be printed on.
    pub fn parse(option: &str, text: &str) -> Result<Desk, Diagnostic> {
        let text = text.trim();
        if let Some(paper) = paper(text) {
            return Ok(Desk::new(paper.name.to_owned(), paper.width, paper.height));
        }
        let Some((width, height)) = size_of(text) else {
            let names: Vec<&str> = PAPERS.iter().map(|p| p.name).collect();
            let near = crate::diag::nearest(text, names.iter().copied());
            let help = match near {
                Some(near) => format!("did you mean '{near}'? Millimetres work as well: 210x297"),
                None => format!("use {}, or millimetres: 210x297", names.join(", ")),
            };
            let message = format!("{option} does not accept '{text}': it is not a paper size");
            return Err(Diagnostic::error("unknown-paper-size", message).help(help));
        };
        let (least, most) = SIDES;
        if [width, height].iter().any(|side| !(least..=most).contains(side)) {
            let message = format!("{option} {text} is not a size that can be printed on");
            let inches = [width, height].map(|side| (side * MM_PER_INCH).round());
            let likely = width.max(height) <= MOST_INCHES
                && inches.iter().all(|side| (least..=most).contains(side));
            let help = match likely {
                true => format!("sizes are in mm; for inches: {}x{}", inches[0], inches[1]),
                false => format!("use sides of {least} to {most} mm"),
            };
            return Err(Diagnostic::error("bad-paper-size", message).help(help));
        }
        Ok(Desk::new(format!("{width} x {height} mm"), width, height))
    }

    fn new(name: String, a: f64, b: f64) -> Desk {
        Desk { name, width: a.min(b), height: a.max(b) }
    }

    /// 'A4', '210 x 300 mm'.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// In portrait, mm.
    pub fn size(&self) -> (f64, f64) {
        (self.width, self.height)
    }

    /// For names of files: 'a4', '210x300'.
    pub fn word(&self) -> String {
        self.name.to_lowercase().trim_end_matches(" mm").replace(' ', "")
    }

    /// Can a page of this size be printed on it as it is, in portrait or landscape?
    pub fn holds(&self, width: f64, height: f64) -> bool {
        // Sizes of one paper in inches and in rounded millimetres are the same paper.
        let room = 0.1;
        width.min(height) <= self.width + room && width.max(height) <= self.height + room
    }
}

/// `WxH` in millimetres, in any of the usual crosses.
pub fn size_of(text: &str) -> Option<(f64, f64)> {
    let (width, height) = text.trim().split_once(['x', 'X', '×'])?;
    let height = height.trim().trim_end_matches("mm");
    let side = |s: &str| s.trim().parse::<f64>().ok().filter(|v| v.is_finite());
    Some((side(width)?, side(height)?))
}

/// How pages are cut into panels.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    desk: Desk,
    overlap: f64,
    margin: f64,
}

impl Split {
    /// `option` names the paper's argument in messages.
    ///
    /// # Errors
    /// Every value out of range.
    pub fn new(option: &str, paper: &str, overlap: f64, margin: f64) -> Result<Split, Findings> {
        let mut findings = Findings::default();
        for (option, value) in [("--overlap", overlap), ("--margin", margin)] {
            if !(0.0..=MOST).contains(&value) {
                findings.push(
                    Diagnostic::error(
                        "out-of-bounds",
                        format!("{option} must be from 0 to {MOST} mm, not {value}"),
                    )
                    .help(format!("use a width in mm, for example {option} 8")),
                );
            }
        }
        match Desk::parse(option, paper) {
            Ok(desk) if !findings.failed() => Ok(Split { desk, overlap, margin }),
            Ok(_) => Err(findings),
            Err(d) => {
                findings.push(d);
                Err(findings)
            }
        }
    }

    pub fn desk(&self) -> &Desk {
        &self.desk
    }

    /// What neighbouring panels share, mm.
    pub fn overlap(&self) -> f64 {
        self.overlap
    }

    /// White at every edge of the paper, mm.
    pub fn margin(&self) -> f64 {
        self.margin
    }
}
