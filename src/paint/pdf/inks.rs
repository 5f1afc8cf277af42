//! What the entries of a sheet's palette are written as: sRGB, or the inks of a press.

use std::sync::Arc;

use crate::graphic::{Cmyk, Rgb};
use crate::sheet::{PaletteIndex, PaletteMap};

/// A printing condition as the file names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    /// The name under which a registry has it, or one of the paper's own.
    pub identifier: String,
    /// The same for a reader.
    pub info: String,
    /// The registry's address, where the name is one of a registry.
    pub registry: Option<String>,
    /// An ICC output profile for CMYK.
    pub profile: Arc<[u8]>,
}

/// What a press prints for every entry of a sheet's palette, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Press {
    pub condition: Condition,
    pub inks: PaletteMap<Cmyk>,
}

impl Press {
    /// The most ink that any colour asks for, percent: four solid inks are 400.
    /// Black words overprint, so on a colour they add 100 to its own.
    pub fn total_ink(&self) -> f64 {
        let ink = |Cmyk(c, m, y, k): Cmyk| [c, m, y, k].map(u32::from).iter().sum::<u32>();
        let most = self.inks.each().map(ink).max().unwrap_or(0);
        f64::from(most) / 255.0 * 100.0
    }
}

/// A colour as written in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    Rgb(Rgb),
    Cmyk(Cmyk),
}

impl Ink {
    /// Black words print over what lies below them, so that no white shows at
    /// their edges where plates do not meet exactly.
    pub const BLACK: Ink = Ink::Cmyk(Cmyk(0, 0, 0, 255));

    /// Channels from 0 to 1, rounded up to [`Ink::decimals`], so that readers
    /// that round and readers that cut off both come back to the same byte.
    pub fn channels(self) -> Vec<f64> {
        let unit = 10f64.powi(self.decimals() as i32);
        // Never -0.
        let share = |v: u8| (f64::from(v) / 255.0 * unit - 1e-6).ceil() / unit + 0.0;
        match self {
            Ink::Rgb(Rgb(r, g, b)) => [r, g, b].map(share).to_vec(),
            Ink::Cmyk(Cmyk(c, m, y, k)) => [c, m, y, k].map(share).to_vec(),
        }
    }

    /// Decimals of the channels. At least one separator goes over a 15-bit
    /// number on its way to plates and comes back a step higher from 0.003 of
    /// a step too much, which four decimals may be.
    pub fn decimals(self) -> usize {
        match self {
            Ink::Rgb(_) => 4,
            Ink::Cmyk(_) => 5,
        }
    }
}

/// How a document writes its colours.
#[derive(Debug, Clone, Copy)]
pub enum Inks<'a> {
    Screen(&'a PaletteMap<Rgb>),
    Press(&'a Press),
}

impl Inks<'_> {
    /// What an entry of the palette is written as.
    pub fn of(&self, index: PaletteIndex) -> Ink {
        match self {
            Inks::Screen(colours) => Ink::Rgb(colours.of(index)),
            Inks::Press(press) => Ink::Cmyk(press.inks.of(index)),
        }
    }

    /// The colour space of all of them.
    pub fn space(&self) -> &'static str {
        match self {
            Inks::Screen(_) => "DeviceRGB",
            Inks::Press(_) => "DeviceCMYK",
        }
    }

    pub fn press(&self) -> Option<&Press> {
        match self {
            Inks::Screen(_) => None,
            Inks::Press(press) => Some(press),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_comes_back_rounded_or_cut() {
        for v in 0..=255u8 {
            for ink in [Ink::Rgb(Rgb(v, 0, 0)), Ink::Cmyk(Cmyk(v, 0, 0, 0))] {
                let share = ink.channels()[0] as f32;
                if ink.decimals() == 5 {
                    assert!(share * 255.0 < f32::from(v) + 0.003, "{v}");
                }
                assert_eq!((share * 255.0) as u8, v);
                assert_eq!((share * 255.0).round() as u8, v);
                assert!(share <= 1.0);
            }
        }
    }
}
