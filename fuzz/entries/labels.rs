//! A label of two listings, its texts the lines of the input, in a style and as one of so many: all that is set lies
//! on it.

use std::sync::LazyLock;

use kurbo::Size;
use shadecard::diag::Sources;
use shadecard::graphic::Rgb;
use shadecard::labels::LabelSheet;
use shadecard::labels::fit::{Room, Voices, fit_all};
use shadecard::labels::words::{ListingWords, Said};
use shadecard::plan::Style;
use shadecard::range::{ColourId, ListingId};
use shadecard::sheet::Sample;
use shadecard::sheet::palette::SampleRelease;
use shadecard::work::Work;

use super::told::ways;

/// Rounding of widths, mm.
const ROUND: f64 = 1e-6;
/// Of long texts the first lines say enough.
const MOST: usize = 100;

pub fn entry(bytes: &[u8]) -> String {
    static VOICES: LazyLock<(LabelSheet, Vec<Voices>)> = LazyLock::new(|| {
        let mut sources = Sources::default();
        let label_sheet =
            LabelSheet::find("a4", std::path::Path::new(""), &mut sources).expect("shipped");
        let voices = |style| {
            let style = Style::shipped(style).expect("shipped");
            Voices::new(&style, &label_sheet).expect("voices")
        };
        let all = ["plate", "catalogue"].into_iter().map(voices).collect();
        (label_sheet, all)
    });
    let (ways, bytes) = ways(bytes, 8);
    let text: String = String::from_utf8_lossy(bytes).chars().take(MOST).collect();
    let (label_sheet, voices) = &*VOICES;
    ways.map(|which| fitted(label_sheet, &voices[which % 2], &text, 1 + which / 2)).collect()
}

fn fitted(label_sheet: &LabelSheet, voices: &Voices, text: &str, count: usize) -> String {
    let mut lines = text.lines().map(|l| l.split_whitespace().collect::<Vec<_>>().join(" "));
    let mut next = || lines.next().unwrap_or_default();
    let entries: Vec<ListingWords> = (0..2)
        .map(|listing| ListingWords {
            listing: ListingId(listing),
            name: next(),
            number: next(),
            tag: next(),
        })
        .filter(|e| !e.name.is_empty() || !e.number.is_empty())
        .collect();
    if entries.is_empty() {
        return String::new();
    }
    let (release, colour) = (SampleRelease::Shown, ColourId(0));
    let sample = Sample { release, colour, published: Rgb(1, 2, 3) };
    let said = Said { colour, key: "key".into(), sample, entries };
    let (width, height) = (50.0, 30.0);
    let room = Room { lines: count, most: 6.0, size: Size::new(width, height) };
    let mut out = String::new();
    let fitted = fit_all(std::slice::from_ref(&said), voices, room, &Work::default());
    if let Some(fitted) = fitted.into_iter().next().flatten() {
        out += &format!(" {:.3}", fitted.size);
        assert!(fitted.size >= label_sheet.type_floor() - ROUND, "set at {} mm", fitted.size);
        for run in &fitted.runs {
            let wide = voices.look.width(run.voice, &run.text);
            let left = if run.right { run.at.x - wide } else { run.at.x };
            let inside = left >= -ROUND && left + wide <= width + ROUND;
            assert!(inside, "'{}' from {left} to {}", run.text, left + wide);
            assert!(run.at.y.abs() <= height / 2.0 + ROUND, "'{}' at {}", run.text, run.at.y);
        }
    }
    out
}
