//! A drawing of a part, as its text: read as a shape, or refused; now and then drawn in every finish.

use kurbo::{BezPath, PathEl};
use shadecard::diag::Findings;
use shadecard::finish::Drawer;
use shadecard::range::Finish;
use shadecard::read::read_text;
use shadecard::read::shapes::{LARGEST, LayerRole, SMALLEST, Shape, read_shape};
use shadecard::work::Work;

use super::desk;
use super::drawing::in_finish;
use super::told::{errors, one_in};

pub fn entry(bytes: &[u8]) -> String {
    match read(bytes) {
        Ok(shape) => {
            let (width, height) = (shape.bounds.width(), shape.bounds.height());
            let mut out = format!("{width} {height} {}", shape.layers.len());
            if one_in(64, bytes) {
                let work = Work::default();
                let drawer = Drawer::new(&shape, &work);
                for finish in Finish::ALL {
                    out += &format!(" {}", in_finish(&drawer, finish, &work));
                }
            }
            out
        }
        Err(said) => said,
    }
}

/// A shape that is as it should be, or what is said of it.
pub fn read(bytes: &[u8]) -> Result<Shape, String> {
    let mut sources = desk::sources(&[("own.svg", bytes)]);
    let file = desk::file("own.svg");
    let text = match read_text(&file, None, &sources.session) {
        Ok(text) => text,
        Err(fault) => return Err(errors(fault.into(), &sources)),
    };
    sources.add(&file, text.clone());
    let shape = match read_shape(&file, &text, &sources.session) {
        Ok(shape) => shape,
        Err(list) => {
            let mut findings = Findings::default();
            list.into_iter().for_each(|d| findings.push(d));
            return Err(errors(findings, &sources));
        }
    };
    let (width, height) = (shape.bounds.width(), shape.bounds.height());
    // Of a long thin part the short side may be smaller than what is asked of the long one.
    let most = width.max(height);
    assert!((SMALLEST..=LARGEST).contains(&most), "{width} x {height} mm");
    assert!(width > 0.0 && height > 0.0, "{width} x {height} mm");
    assert!(shape.layers.iter().any(|l| l.role == LayerRole::Body), "no body");
    for layer in &shape.layers {
        finite(&layer.path);
        assert!((0.0..=1.0).contains(&layer.opacity), "opacity {}", layer.opacity);
    }
    Ok(shape)
}

pub fn finite(path: &BezPath) {
    let fine = path.elements().iter().all(|e| match e {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => p.is_finite(),
        PathEl::QuadTo(a, p) => a.is_finite() && p.is_finite(),
        PathEl::CurveTo(a, b, p) => a.is_finite() && b.is_finite() && p.is_finite(),
        PathEl::ClosePath => true,
    });
    assert!(fine, "a path leads nowhere");
}
