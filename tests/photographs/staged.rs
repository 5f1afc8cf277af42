//! Pages of the demo, as `stage` makes them, with the true values of their colours.

use std::path::Path;

use shadecard::capture::{Ground, StagePage};
use shadecard::diag::Sources;
use shadecard::plan::Style;
use shadecard::range::{ColourId, PartId, load};
use shadecard::spelling::Spelling;
use shadecard::stage::{Staging, samples, stage};
use shadecard::supplies::Naming;

use crate::render;

const SHEET: &str = "demo/haberdashery/sheet.ron";

/// The pages of the demo with each colour once, and the value of every place.
pub fn pages() -> Vec<(StagePage, Vec<[f64; 3]>)> {
    let mut sources = Sources::default();
    let loaded = load(Path::new(SHEET), &mut sources).expect("the demo");
    let (range, sheet) = (&loaded.range, &loaded.sheet);
    let spelling = Spelling::shipped("en-GB").expect("a spelling");
    let style = Style::shipped("plate").expect("a style");
    let colours: Vec<ColourId> =
        sheet.families().iter().flat_map(|f| f.rows().iter().copied()).collect();
    let parts: Vec<PartId> = (0..range.parts().len()).map(PartId).collect();
    let samples = samples(range, &colours, &parts, true);
    let naming = Naming { range, sheet, listing: sheet.headings(), spelling: &spelling };
    let staging = Staging { naming, style: &style, size: (210.0, 297.0), chart: None };
    let (pages, _) = stage(&samples, &staging).expect("pages");
    pages.into_iter().map(|page| (page.clone(), values(&page))).collect()
}

/// The values that the demo gives the places of a page.
pub fn values(page: &StagePage) -> Vec<[f64; 3]> {
    let loaded = load(Path::new(SHEET), &mut Sources::default()).expect("the demo");
    let value = |key: &str| {
        let colour = loaded.range.colours().iter().find(|c| c.key() == key).expect("a colour");
        let aim = colour.aim();
        [aim.l, aim.a, aim.b]
    };
    page.places.iter().map(|place| value(&place.colour)).collect()
}

/// The page as the renderer takes it.
pub fn for_renderer(page: &StagePage) -> render::StagePage {
    let rect = |r: shadecard::capture::Rect| render::Rect::new(r.left, r.top, r.width, r.height);
    let ground = |ground: Ground| match ground {
        Ground::White | Ground::Print => render::Ground::White,
        Ground::Grey => render::Ground::Grey,
        Ground::Black => render::Ground::Black,
    };
    render::StagePage {
        size: page.size,
        code: render::CodeMark {
            left: page.code.left,
            top: page.code.top,
            side: page.code.side,
            text: page.code.text.clone(),
        },
        dots: page.dots.clone(),
        dot_radius: page.dot_radius,
        patches: page
            .patches
            .iter()
            .map(|p| render::Patch { rect: rect(p.rect), grey: p.grey })
            .collect(),
        places: page
            .places
            .iter()
            .map(|p| render::PartPlace {
                part: p.part.clone(),
                colour: p.colour.clone(),
                number: p.number.clone(),
                frame: rect(p.frame),
                ground: ground(p.ground),
                outline: p.outline.clone(),
                known: p.known,
            })
            .collect(),
        chart: page.chart.as_ref().map(|chart| rect(chart.rect)),
        prints: Vec::new(),
    }
}
