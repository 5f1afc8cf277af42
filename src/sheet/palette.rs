//! The palette of a sheet: every colour on its pages, by what it is and not by how it is painted.
//!
//! A fill names an entry. Screen, press and proof are mappings of one palette: a [`PaletteMap`] holds
//! what is written for each entry, so a sheet is placed once and painted for each of them.

use std::collections::{BTreeMap, HashMap};

use crate::finish::Shade;
use crate::finish::tone::Base;
use crate::graphic::{Cmyk, Rgb};
use crate::range::{ColourId, ColourRange};

/// An index into [`Sheet::palette`](super::item::Sheet::palette).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PaletteIndex(u32);

impl PaletteIndex {
    /// The bare paper: the ground of every page. Every palette has it.
    pub const PAPER: PaletteIndex = PaletteIndex(0);
}

/// Which release a sample is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SampleRelease {
    /// The range that the sheet shows.
    Shown,
    /// The one before it, in a note on what has changed.
    Earlier,
}

/// A colour of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Sample {
    pub release: SampleRelease,
    pub colour: ColourId,
    /// The sRGB value that the range gives it.
    pub published: Rgb,
}

impl Sample {
    /// A colour of the range that a sheet shows.
    pub fn of(range: &ColourRange, colour: ColourId) -> Sample {
        Sample { release: SampleRelease::Shown, colour, published: range.colour(colour).rgb() }
    }

    /// A colour of the range as it was before the one that a sheet shows.
    pub fn earlier(range: &ColourRange, colour: ColourId) -> Sample {
        Sample { release: SampleRelease::Earlier, ..Sample::of(range, colour) }
    }
}

/// sRGB values that are printed in place of published ones, for a paper.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PrintValues {
    pub shown: BTreeMap<ColourId, Rgb>,
    /// Those of the release before.
    pub earlier: BTreeMap<ColourId, Rgb>,
}

impl PrintValues {
    /// What is printed for a sample.
    pub fn of(&self, sample: &Sample) -> Rgb {
        let values = match sample.release {
            SampleRelease::Shown => &self.shown,
            SampleRelease::Earlier => &self.earlier,
        };
        values.get(&sample.colour).copied().unwrap_or(sample.published)
    }
}

/// What is put on a page: a sample, or a colour of the page itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    Sample(Sample),
    /// Of words, rules and marks.
    Ink(Rgb),
    /// A value that is printed as it is: sRGB and a 0, or ink from 0 to 255 a channel.
    Value([u8; 4]),
}

impl From<Sample> for Fill {
    fn from(sample: Sample) -> Fill {
        Fill::Sample(sample)
    }
}

impl From<Rgb> for Fill {
    fn from(ink: Rgb) -> Fill {
        Fill::Ink(ink)
    }
}

/// What an entry is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PaletteEntry {
    /// Nothing is printed.
    Paper,
    Sample(Sample),
    /// Light or shade of a sample: a function of whatever that is painted as.
    Tone(Sample, Shade),
    /// In the drawing of a part, whatever its sample: a shadow, a detail with a colour of its own.
    Fixed(Rgb),
    /// An ink of the page: words, rules and marks, chips that show no colour of a range.
    Ink(Rgb),
    /// A value that is printed as it is.
    Value([u8; 4]),
}

/// An entry as it is kept: a large sheet has a million.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Stored {
    Paper,
    Sample(u32),
    /// A sample and a shade.
    Tone(u32, u32),
    Fixed(Rgb),
    Ink(Rgb),
    Value([u8; 4]),
}

/// Every colour of a sheet, each once.
#[derive(Debug, Clone, PartialEq)]
pub struct Palette {
    entries: Vec<Stored>,
    samples: Vec<Sample>,
    shades: Vec<Shade>,
}

impl Default for Palette {
    fn default() -> Palette {
        Palette { entries: vec![Stored::Paper], samples: Vec::new(), shades: Vec::new() }
    }
}

impl Palette {
    /// What an entry is; the paper for an index of another palette.
    pub fn entry(&self, index: PaletteIndex) -> PaletteEntry {
        self.entries.get(index.0 as usize).map_or(PaletteEntry::Paper, |kept| self.described(*kept))
    }

    /// All entries in order, the paper first.
    pub fn entries(&self) -> impl Iterator<Item = PaletteEntry> + '_ {
        self.entries.iter().map(|kept| self.described(*kept))
    }

    fn described(&self, kept: Stored) -> PaletteEntry {
        match kept {
            Stored::Paper => PaletteEntry::Paper,
            Stored::Sample(sample) => PaletteEntry::Sample(self.samples[sample as usize]),
            Stored::Tone(sample, shade) => {
                PaletteEntry::Tone(self.samples[sample as usize], self.shades[shade as usize])
            }
            Stored::Fixed(rgb) => PaletteEntry::Fixed(rgb),
            Stored::Ink(rgb) => PaletteEntry::Ink(rgb),
            Stored::Value(value) => PaletteEntry::Value(value),
        }
    }

    /// One more ink, for a sheet that is finished.
    pub fn add_ink(&mut self, ink: Rgb) -> PaletteIndex {
        self.push(Stored::Ink(ink))
    }

    fn push(&mut self, kept: Stored) -> PaletteIndex {
        self.entries.push(kept);
        PaletteIndex((self.entries.len() - 1) as u32)
    }

    /// The entries of another palette after these; how far their indices move.
    pub fn append(&mut self, other: Palette) -> Shift {
        let (samples, shades) = (self.samples.len() as u32, self.shades.len() as u32);
        let shift = Shift(self.entries.len() as u32);
        self.samples.extend(other.samples);
        self.shades.extend(other.shades);
        self.entries.extend(other.entries.into_iter().map(|kept| match kept {
            Stored::Sample(sample) => Stored::Sample(sample + samples),
            Stored::Tone(sample, shade) => Stored::Tone(sample + samples, shade + shades),
            Stored::Paper | Stored::Fixed(_) | Stored::Ink(_) | Stored::Value(_) => kept,
        }));
        shift
    }

    /// On a screen: samples as published, and light and shade of these.
    pub fn published(&self) -> PaletteMap<Rgb> {
        self.srgb(|sample| sample.published)
    }

    /// The same with print values in place of some published ones, for a paper that accepts sRGB.
    pub fn printed(&self, values: &PrintValues) -> PaletteMap<Rgb> {
        self.srgb(|sample| values.of(sample))
    }

    /// In sRGB with these values of the samples, and light and shade of those.
    pub fn srgb(&self, value: impl Fn(&Sample) -> Rgb) -> PaletteMap<Rgb> {
        let bases: Vec<Base> = self.samples.iter().map(|s| Base::new(value(s))).collect();
        let colour = |kept: &Stored| match *kept {
            Stored::Paper => Rgb::WHITE,
            Stored::Sample(sample) => bases[sample as usize].shade(Shade::Exact),
            Stored::Tone(sample, shade) => {
                bases[sample as usize].shade(self.shades[shade as usize])
            }
            Stored::Fixed(rgb) | Stored::Ink(rgb) => rgb,
            Stored::Value([r, g, b, _]) => Rgb(r, g, b),
        };
        PaletteMap { colours: self.entries.iter().map(colour).collect() }
    }
}

/// From an index of an appended palette to one of the palette it was appended to.
#[derive(Debug, Clone, Copy)]
pub struct Shift(u32);

impl Shift {
    /// Where an entry is now.
    pub fn of(self, index: PaletteIndex) -> PaletteIndex {
        PaletteIndex(index.0 + self.0)
    }
}

/// A palette that grows, each colour once.
#[derive(Debug, Default)]
pub struct PaletteBuilder {
    palette: Palette,
    known: HashMap<Stored, PaletteIndex>,
    samples: HashMap<Sample, u32>,
    shades: HashMap<Bits, u32>,
}

impl PaletteBuilder {
    /// What goes on from a palette; its indices stay.
    pub fn from(palette: Palette) -> PaletteBuilder {
        let known = (0..).map(PaletteIndex).zip(&palette.entries).map(|(n, kept)| (*kept, n));
        let samples = palette.samples.iter().copied().zip(0..).collect();
        let shades = palette.shades.iter().map(|s| bits(*s)).zip(0..).collect();
        PaletteBuilder { known: known.collect(), samples, shades, palette }
    }

    /// The entry of a fill.
    pub fn fill(&mut self, fill: Fill) -> PaletteIndex {
        match fill {
            Fill::Sample(sample) => self.sample(sample),
            Fill::Ink(Rgb::WHITE) => PaletteIndex::PAPER,
            Fill::Ink(ink) => self.index(Stored::Ink(ink)),
            Fill::Value(value) => self.index(Stored::Value(value)),
        }
    }

    /// The entry of a sample.
    pub fn sample(&mut self, sample: Sample) -> PaletteIndex {
        let number = self.number(sample);
        self.index(Stored::Sample(number))
    }

    /// The entry of a shade on a sample.
    pub fn shade(&mut self, sample: Sample, shade: Shade) -> PaletteIndex {
        match shade {
            Shade::Exact => self.sample(sample),
            Shade::Fixed(Rgb::WHITE) => PaletteIndex::PAPER,
            Shade::Fixed(rgb) => self.index(Stored::Fixed(rgb)),
            shade => {
                let sample = self.number(sample);
                let (all, next) = (&mut self.palette.shades, self.shades.len() as u32);
                let shade = *self.shades.entry(bits(shade)).or_insert_with(|| {
                    all.push(shade);
                    next
                });
                self.index(Stored::Tone(sample, shade))
            }
        }
    }

    fn number(&mut self, sample: Sample) -> u32 {
        let (all, next) = (&mut self.palette.samples, self.samples.len() as u32);
        *self.samples.entry(sample).or_insert_with(|| {
            all.push(sample);
            next
        })
    }

    fn index(&mut self, kept: Stored) -> PaletteIndex {
        let palette = &mut self.palette;
        *self.known.entry(kept).or_insert_with(|| palette.push(kept))
    }

    /// The palette with all that was asked for.
    pub fn finish(self) -> Palette {
        self.palette
    }
}

/// A shade as numbers that are equal where it is.
type Bits = (u8, [u64; 3], [u8; 4]);

fn bits(shade: Shade) -> Bits {
    let of = |kind: u8, [a, b, c]: [f64; 3]| (kind, [a, b, c].map(f64::to_bits), [0; 4]);
    match shade {
        Shade::Exact => of(0, [0.0; 3]),
        Shade::Offset { dl, da, db, finish } => {
            let (kind, values, _) = of(1, [dl, da, db]);
            (kind, values, [finish as u8, 0, 0, 0])
        }
        Shade::Shine => of(2, [0.0; 3]),
        Shade::Tinted { l, share } => of(3, [l, share, 0.0]),
        Shade::Shed { l, c } => of(4, [l, c, 0.0]),
        Shade::Through => of(5, [0.0; 3]),
        Shade::Moved { dl, da, db } => of(7, [dl, da, db]),
        Shade::Fixed(Rgb(r, g, b)) => (6, [0; 3], [r, g, b, 0]),
    }
}

/// What is written for each entry of a palette; it is made from one, so it has them all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaletteMap<C> {
    colours: Vec<C>,
}

impl<C: Copy> PaletteMap<C> {
    /// What an entry is painted as; the paper for an index of another palette.
    pub fn of(&self, index: PaletteIndex) -> C {
        self.colours.get(index.0 as usize).copied().unwrap_or(self.colours[0])
    }

    /// What is made of each entry.
    pub fn map<D>(&self, colour: impl FnMut(C) -> D) -> PaletteMap<D> {
        PaletteMap { colours: self.colours.iter().copied().map(colour).collect() }
    }

    /// The same, knowing what each entry of the palette is.
    pub fn with<D>(
        &self,
        palette: &Palette,
        mut colour: impl FnMut(PaletteEntry, C) -> D,
    ) -> PaletteMap<D> {
        let entries = palette.entries().zip(&self.colours);
        PaletteMap { colours: entries.map(|(entry, c)| colour(entry, *c)).collect() }
    }

    /// In the order of the palette.
    pub fn each(&self) -> impl Iterator<Item = C> + '_ {
        self.colours.iter().copied()
    }

    /// With those of another palette after these, as [`Palette::append`] has them.
    pub fn append(&mut self, other: PaletteMap<C>) {
        self.colours.extend(other.colours);
    }

    /// With what an added entry is painted as.
    pub fn push(&mut self, colour: C) {
        self.colours.push(colour);
    }
}

/// A colour as painters write it.
pub trait Written: Copy {
    /// A number for its space, and its channels.
    fn written(self) -> (u8, [u8; 4]);
}

impl Written for Rgb {
    fn written(self) -> (u8, [u8; 4]) {
        (3, [self.0, self.1, self.2, 0])
    }
}

impl Written for Cmyk {
    fn written(self) -> (u8, [u8; 4]) {
        (4, [self.0, self.1, self.2, self.3])
    }
}
