//! How a style names a face.

use harfrust::{Feature, Tag};
use serde::Deserialize;

/// Which figures a face uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Figures {
    /// As the font has them.
    #[default]
    Default,
    /// Height of capitals, all of one width: for columns.
    LiningTabular,
    /// Height of capitals, own widths.
    Lining,
    /// With ascenders and descenders: for running text.
    OldStyle,
}

/// A face as a style names it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaceSpec {
    /// File name in `fonts/`, without folder, or the path of a custom file.
    pub file: String,
    #[serde(default)]
    pub figures: Figures,
    /// Letters as small capitals.
    #[serde(default)]
    pub small_caps: bool,
}

impl FaceSpec {
    /// The features of a font that make the face: no glyph for several characters, and its figures.
    pub(super) fn features(&self) -> Vec<Feature> {
        let off = [b"liga", b"clig", b"dlig", b"calt", b"ccmp", b"locl", b"rlig", b"frac"];
        let on: &[&[u8; 4]] = match self.figures {
            Figures::Default => &[],
            Figures::LiningTabular => &[b"lnum", b"tnum"],
            Figures::Lining => &[b"lnum", b"pnum"],
            Figures::OldStyle => &[b"onum", b"pnum"],
        };
        let caps: &[&[u8; 4]] = if self.small_caps { &[b"smcp", b"c2sc"] } else { &[] };
        off.iter()
            .map(|tag| (*tag, 0))
            .chain(on.iter().chain(caps).map(|tag| (*tag, 1)))
            .map(|(tag, value)| Feature::new(Tag::new(tag), value, ..))
            .collect()
    }
}
