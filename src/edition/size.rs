//! How large the pictures of an edition are.

use super::options::DrawOptions;
use super::planned::PlannedEdition;
use super::variant::Edition;
use crate::diag::{Diagnostic, Findings};
use crate::paint::png::{Form, Frame, JPEG_MOST, TIFF_MOST};
use crate::plan::Plan;
use crate::units::Dpi;

/// The sizes of an edition's pictures.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Trimmed, mm.
    page: (f64, f64),
    /// Pictures reach to the bleed's edge, mm beyond the trim.
    bleed: f64,
    /// The pixels that the layout names, turned with its page.
    named: Option<(u32, u32)>,
}

impl Size {
    /// That of a planned edition.
    pub fn of(edition: &Edition, plan: &Plan) -> Size {
        let layout = &edition.layout;
        let page = (plan.width, plan.height);
        let is_turned = (layout.width > layout.height) != (page.0 > page.1);
        let turned = |(w, h): (u32, u32)| if is_turned { (h, w) } else { (w, h) };
        Size { page, bleed: layout.bleed, named: layout.pixels.map(turned) }
    }

    /// The resolutions at which pictures of a form are made: those asked for, or the one to print
    /// at and, of PNGs, a preview.
    pub fn resolutions(&self, form: Form, asked: &[Dpi]) -> Vec<Dpi> {
        if !asked.is_empty() {
            return asked.to_vec();
        }
        let size = (self.page.0 + 2.0 * self.bleed, self.page.1 + 2.0 * self.bleed);
        let named = self.named.and_then(|pixels| Dpi::of(size, pixels));
        let print = named.unwrap_or(Dpi::PRINT);
        match form {
            Form::Png if print != Dpi::PREVIEW => vec![print, Dpi::PREVIEW],
            _ => vec![print],
        }
    }

    /// The size of a picture.
    pub fn frame(&self, dpi: Dpi) -> Frame {
        let named = |pixels| Frame::named(self.page, self.bleed, pixels, dpi);
        self.named.and_then(named).unwrap_or_else(|| Frame::at(self.page, self.bleed, dpi))
    }
}

/// Pictures that are larger than their kind of file can be.
pub fn too_large(planned: &[PlannedEdition<'_>], drawing: &DrawOptions) -> Findings {
    let mut findings = Findings::default();
    for p in planned {
        let size = Size::of(p.edition, &p.plan);
        for form in p.edition.formats.iter().filter_map(|f| drawing.form(*f)) {
            for dpi in size.resolutions(form, &drawing.dpi) {
                let name = &p.edition.name;
                limit(form, &size.frame(dpi), name).into_iter().for_each(|d| findings.push(d));
            }
        }
    }
    findings
}

fn limit(form: Form, frame: &Frame, edition: &str) -> Option<Diagnostic> {
    let Frame { width, height, dpi, .. } = *frame;
    let (kind, limit) = match form {
        Form::Jpeg { .. } if width.max(height) > JPEG_MOST => {
            ("JPEG", format!("has at most {JPEG_MOST} pixels a side"))
        }
        Form::Tiff if u64::from(width) * u64::from(height) * 3 > TIFF_MOST => {
            ("TIFF", format!("has at most {} million pixels here", TIFF_MOST / 3_000_000))
        }
        _ => return None,
    };
    let message = format!(
        "edition '{edition}' at {} dpi would have {width} x {height} pixels; a {kind} {limit}",
        dpi.get()
    );
    Some(Diagnostic::error("picture-too-large", message).help("use a lower --dpi, or PNG"))
}
