//! Draws `demo/on-matte.png`: look-alikes of the demo as aimed, as a plain
//! conversion prints them on matte paper, and as tuned values do.
//!
//!     cargo run --release --example on_matte
//!
//! The pairs are those that plain printing brings closest together of what
//! they should be apart. Colours are as an instrument would measure them, the
//! paper's white included.

use kurbo::{Point, Rect};
use shadecard::colour::{Lab50, difference, to_rgb};
use shadecard::diag::Sources;
use shadecard::graphic::Rgb;
use shadecard::paint::png::{Output, png};
use shadecard::plan::style::Style;
use shadecard::plan::{Look, Voice};
use shadecard::press::report::LIMIT;
use shadecard::press::tell::Names;
use shadecard::press::tune::APART;
use shadecard::press::{ColourMode, Paper, PaperModel, Print, RenderingIntent, Report};
use shadecard::range::{Loaded, load};
use shadecard::sheet::canvas::{Anchor, Canvas};
use shadecard::sheet::{About, Role, Workshop};
use shadecard::units::Dpi;

const WIDTH: f64 = 190.0;
const HEIGHT: f64 = 92.0;
const LEFT: f64 = 34.0;
const PAIRS: usize = 6;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut sources = Sources::default();
    let sheet = std::path::Path::new("demo/haberdashery/sheet.ron");
    let Loaded { range, sheet, .. } =
        load(sheet, &mut sources).map_err(|e| format!("{:?}", e.sorted()))?;
    let paper = Paper::model(PaperModel::Matte, ColourMode::Srgb, RenderingIntent::Relative)
        .map_err(|e| format!("{e:?}"))?;
    let (plain, tuned) = (
        Print::plain(&paper, &range, &sheet),
        Print::tuned(&paper, &range, &sheet, &sources.session.work),
    );
    let mut worst = Report::new(&paper, &plain, LIMIT, &sources.session.work).pairs;
    worst.retain(|p| p.aimed >= APART && p.aimed <= LIMIT);
    worst.sort_by(|a, b| (a.shown / a.aimed).total_cmp(&(b.shown / b.aimed)));
    // No colour twice: six pairs are to show twelve colours.
    let mut seen = Vec::new();
    worst.retain(|p| {
        let is_new = !seen.contains(&p.first) && !seen.contains(&p.second);
        seen.extend([p.first, p.second]);
        is_new
    });
    worst.truncate(PAIRS);

    let style = Style::shipped("plate").map_err(|d| d.message)?;
    let look = Look::new(&style, 210.0, 297.0, 1.764).map_err(|d| d.message)?;
    let workshop = Workshop::empty();
    let mut canvas = Canvas::new(&look, &workshop);
    canvas.rect(Role::Furniture, Rect::new(0.0, 0.0, WIDTH, HEIGHT), Rgb::WHITE);
    let names = Names { range: &range, listing: sheet.headings() };
    let body = look.voices.body.sized(2.5);
    let rows: [(&str, &str, &[Lab50]); 3] = [
        ("As aimed", "the parts", &plain.aims),
        ("Printed plainly", "on matte", &plain.shown),
        ("Printed tuned", "on matte", &tuned.shown),
    ];
    let step = (WIDTH - LEFT - 4.0) / PAIRS as f64;
    for (n, (title, note, colours)) in rows.iter().enumerate() {
        let y = 4.0 + n as f64 * 25.0;
        let strong = look.voices.name.sized(3.1);
        canvas.text(Point::new(4.0, y + 9.0), title, strong, Anchor::Left);
        canvas.text(Point::new(4.0, y + 13.0), note, quiet(&look), Anchor::Left);
        for (i, pair) in worst.iter().enumerate() {
            let x = LEFT + i as f64 * step;
            let side = (step - 4.0) / 2.0;
            for (k, colour) in [pair.first, pair.second].into_iter().enumerate() {
                let seen = if n == 0 { colours[colour] } else { paper.measured(colours[colour]) };
                let at = x + k as f64 * side;
                // The first one lies under the second: no seam between them.
                let right = x + 2.0 * side;
                canvas.rect(Role::Swatch, Rect::new(at, y, right, y + 16.0), to_rgb(seen).0);
            }
            let d = difference(colours[pair.first], colours[pair.second]);
            let text = format!("{d:.1}");
            canvas.text(Point::new(x + side, y + 19.6), &text, body, Anchor::Middle);
        }
    }
    for (i, pair) in worst.iter().enumerate() {
        let x = LEFT + i as f64 * step;
        for (k, colour) in [pair.first, pair.second].into_iter().enumerate() {
            let name = names.colour(plain.colours[colour]);
            canvas.text(Point::new(x, 83.0 + 3.4 * k as f64), &name, body, Anchor::Left);
        }
    }
    let about = About {
        title: "On matte".into(),
        author: String::new(),
        language: "en".into(),
        issue_date: None,
        year: None,
    };
    let sheet = canvas.finish(WIDTH, HEIGHT, 0.0, about);
    let mut bytes = Vec::new();
    let dpi = Dpi::new(200).ok_or("200 dpi")?;
    let mut outputs = [Output { dpi, out: &mut bytes }];
    png(sheet.coloured(&sheet.palette.published()), 0, &mut outputs, 1, &|_| Ok(()))?;
    std::fs::write("demo/on-matte.png", bytes)?;
    Ok(())
}

fn quiet(look: &Look) -> Voice {
    look.voices.other_name.sized(2.6)
}
