//! Plain outlines, as people draw them: one path, no shading.

use std::f64::consts::TAU;
use std::fmt::Write as _;

/// Kinds of outlines; each fills the size it is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outline {
    Disc,
    /// A disc with two holes.
    Button,
    Ring,
    Hexagon,
    Square,
    Bar,
    Leaf,
    Drop,
}

impl Outline {
    pub const ALL: [Outline; 8] = [
        Outline::Button,
        Outline::Hexagon,
        Outline::Disc,
        Outline::Bar,
        Outline::Ring,
        Outline::Leaf,
        Outline::Square,
        Outline::Drop,
    ];

    /// What people call it.
    pub fn word(self) -> &'static str {
        match self {
            Outline::Disc => "Disc",
            Outline::Button => "Button, two holes",
            Outline::Ring => "Ring",
            Outline::Hexagon => "Hexagon",
            Outline::Square => "Square",
            Outline::Bar => "Bar",
            Outline::Leaf => "Leaf",
            Outline::Drop => "Drop",
        }
    }

    /// The drawing, `w` x `h` mm.
    pub fn svg(self, w: f64, h: f64) -> String {
        let path = self.path(w, h);
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='{w}mm' height='{h}mm' viewBox='0 0 {w} {h}'>\
             <path fill-rule='evenodd' d='{path}'/></svg>"
        )
    }

    fn path(self, w: f64, h: f64) -> String {
        let (x, y) = (w / 2.0, h / 2.0);
        match self {
            Outline::Disc => ellipse(x, y, x, y),
            Outline::Button => {
                let hole = 0.09 * w.min(h);
                let at = 0.13 * w;
                ellipse(x, y, x, y)
                    + &ellipse(x - at, y, hole, hole)
                    + &ellipse(x + at, y, hole, hole)
            }
            Outline::Ring => ellipse(x, y, x, y) + &ellipse(x, y, 0.55 * x, 0.55 * y),
            Outline::Hexagon => {
                let mut out = String::new();
                for k in 0..6 {
                    let angle = TAU * f64::from(k) / 6.0;
                    // Stretched to fill its size.
                    let (px, py) = (x + x * angle.cos(), y + y * angle.sin() / (TAU / 6.0).sin());
                    let _ = write!(out, "{}{px:.3} {py:.3}", if k == 0 { "M" } else { "L" });
                }
                out + "Z"
            }
            Outline::Square => rounded(w, h, 0.08 * w.min(h)),
            Outline::Bar => rounded(w, h, 0.5 * w.min(h)),
            Outline::Leaf => format!("M0 {y}Q{x} {} {w} {y}Q{x} {} 0 {y}Z", -y, h + y),
            Outline::Drop => {
                let (r, low) = (0.5 * w, h - 0.5 * w);
                if low <= r * 0.4 {
                    return ellipse(x, y, x, y);
                }
                format!(
                    "M{x} 0Q{w} {:.3} {w} {low:.3}A{r} {r} 0 0 1 0 {low:.3}Q0 {:.3} {x} 0Z",
                    low * 0.6,
                    low * 0.6
                )
            }
        }
    }
}

fn ellipse(x: f64, y: f64, rx: f64, ry: f64) -> String {
    format!("M{} {y}a{rx} {ry} 0 1 0 {} 0a{rx} {ry} 0 1 0 {} 0Z", x - rx, 2.0 * rx, -2.0 * rx)
}

fn rounded(w: f64, h: f64, r: f64) -> String {
    format!(
        "M{r} 0H{}A{r} {r} 0 0 1 {w} {r}V{}A{r} {r} 0 0 1 {} {h}H{r}A{r} {r} 0 0 1 0 {}V{r}A{r} {r} 0 0 1 {r} 0Z",
        w - r,
        h - r,
        w - r,
        h - r
    )
}
