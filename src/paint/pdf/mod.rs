//! PDF painter: all pages of a sheet in one document of true size.
//!
//! Pages are written in millimetres with y down, as the sheet has them; one
//! matrix at the head of each page turns them into points with y up. Every
//! symbol is a form. printpdf writes the operators of pages and forms; objects
//! go into the file as they are made.

mod boxes;
mod content;
mod cuts;
mod deflate;
mod document;
mod file;
mod font;
mod form;
mod image;
mod inks;
mod intent;
mod metadata;
mod object;
mod operators;
mod pack;
mod resources;
mod shading;

use std::io;
use std::io::Write;

pub use self::cuts::{CutLine, Cuts, Step};
pub use self::document::{Document, write};
use self::inks::Inks;
pub use self::inks::{Condition, Press};
use crate::sheet::{Coloured, Rgb, Sheet};

impl<'a> Document<'a> {
    /// For the screen and any printer: sRGB. With bleed the page grows by the bleed and by room
    /// for crop marks, and states where its trim is.
    pub fn screen(painted: Coloured<'a, Rgb>) -> Document<'a> {
        Document { sheet: painted.sheet, inks: Inks::Screen(painted.colours), cuts: &[] }
    }

    /// In the inks of a press: DeviceCMYK throughout, with the structure of PDF/X-4 (ISO 15930-7).
    pub fn press(sheet: &'a Sheet, press: &'a Press) -> Document<'a> {
        Document { sheet, inks: Inks::Press(press), cuts: &[] }
    }

    /// With cuts over each page, in layers and spot colours of their own.
    pub fn with_cuts(self, cuts: Cuts<'a>) -> Document<'a> {
        Document { cuts, ..self }
    }

    /// Writes it into a file.
    ///
    /// # Errors
    /// Those of the file.
    pub fn write(self, out: &mut dyn Write) -> io::Result<()> {
        write(vec![(self, out)])
    }

    /// Its bytes.
    pub fn bytes(self) -> Vec<u8> {
        let mut out = Vec::new();
        // Memory is all that it can fail by, and that ends the program.
        let _ = self.write(&mut out);
        out
    }
}

/// The bytes of [`Document::screen`].
pub fn pdf(painted: Coloured<'_, Rgb>) -> Vec<u8> {
    Document::screen(painted).bytes()
}

/// [`pdf`] with cuts.
pub fn pdf_with_cuts(painted: Coloured<'_, Rgb>, cuts: Cuts<'_>) -> Vec<u8> {
    Document::screen(painted).with_cuts(cuts).bytes()
}

/// The bytes of [`Document::press`].
pub fn press(sheet: &Sheet, press: &Press) -> Vec<u8> {
    Document::press(sheet, press).bytes()
}

/// [`press()`] with cuts.
pub fn press_with_cuts(sheet: &Sheet, press: &Press, cuts: Cuts<'_>) -> Vec<u8> {
    Document::press(sheet, press).with_cuts(cuts).bytes()
}
