//! A drawing of a part: read, and drawn in every finish.

use kurbo::{BezPath, PathEl};
use shadecard::diag::{Findings, Sources};
use shadecard::finish::{Drawer, Drawing};
use shadecard::graphic::Rgb;
use shadecard::range::Finish;
use shadecard::read::read_text;
use shadecard::read::shapes::{LARGEST, LayerRole, SMALLEST, read_shape};

use super::desk::{self, plain};
use super::told::errors;

pub fn entry(bytes: &[u8]) -> String {
    desk::with(&[("own.svg", bytes)], |desk| {
        let mut sources = Sources::default();
        let file = desk.file("own.svg");
        let text = match read_text(&file, None) {
            Ok(text) => text,
            Err(fault) => return plain(&errors(fault.into(), &sources), desk),
        };
        sources.add(&file, text.clone());
        let shape = match read_shape(&file, &text) {
            Ok(shape) => shape,
            Err(list) => {
                let mut findings = Findings::default();
                list.into_iter().for_each(|d| findings.push(d));
                return plain(&errors(findings, &sources), desk);
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
        let drawer = Drawer::new(&shape);
        let colour = Rgb(0x8a, 0x20, 0x4c);
        let mut out = format!("{width} {height} {}", shape.layers.len());
        for finish in Finish::ALL {
            let drawing = drawer.draw(colour, finish, 7);
            drawn(&drawing);
            out += &format!(" {}", drawing.layers.len());
        }
        out
    })
}

fn drawn(drawing: &Drawing) {
    assert!(!drawing.layers.is_empty(), "nothing is drawn");
    assert!(drawing.bounds.is_finite() && drawing.extent.is_finite(), "{:?}", drawing.bounds);
    for layer in &drawing.layers {
        finite(&layer.outline);
        assert!((0.0..=1.0).contains(&layer.opacity), "opacity {}", layer.opacity);
    }
}

fn finite(path: &BezPath) {
    let fine = path.elements().iter().all(|e| match e {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => p.is_finite(),
        PathEl::QuadTo(a, p) => a.is_finite() && p.is_finite(),
        PathEl::CurveTo(a, b, p) => a.is_finite() && b.is_finite() && p.is_finite(),
        PathEl::ClosePath => true,
    });
    assert!(fine, "a path leads nowhere");
}
