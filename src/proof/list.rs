//! The measures of the report's lists: columns of one width, in each chips, number, name and two
//! columns of figures.

use crate::plan::{Look, Voice};

/// Lines of a list at most: a page is for the worst, the tables have all.
const MOST: usize = 200;
/// Least width of a column, in em.
const COLUMN: f64 = 44.0;

/// What all lists of a page share, mm.
#[derive(Debug, Clone, Copy)]
pub struct Measures {
    pub body: Voice,
    pub quiet: Voice,
    /// Lining figures of one width.
    pub figure: Voice,
    /// One line of a list.
    pub line: f64,
    pub left: f64,
    pub right: f64,
    pub bottom: f64,
    /// Width of a column, from one to the next, and how many are side by side.
    pub column: f64,
    pub step: f64,
    pub columns: usize,
}

impl Measures {
    pub fn new(look: &Look, width: f64, height: f64) -> Measures {
        let body = look.voices.name.sized(look.voices.body.size);
        let quiet = look.voices.other_number.sized(body.size).inked(look.voices.legend_note.ink);
        let figure = look.voices.number.sized(body.size);
        let (left, right) = (look.side, width - look.side);
        let least = body.size * COLUMN;
        let columns = ((right - left + look.gutter) / (least + look.gutter)).floor().max(1.0);
        let step = (right - left + look.gutter) / columns;
        Measures {
            body,
            quiet,
            figure,
            line: body.size * 1.75,
            left,
            right,
            bottom: height - look.bottom,
            column: step - look.gutter,
            step,
            columns: columns as usize,
        }
    }

    /// Between the margins.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Width of a chip.
    pub fn chip(&self) -> f64 {
        self.line * 1.1
    }

    /// From a line's top to its baseline.
    pub fn base(&self) -> f64 {
        self.line * 0.43 + self.body.cap / 2.0
    }

    /// Height of a section's rule, title and heads.
    pub fn over(&self, look: &Look) -> f64 {
        look.voices.section.size * 1.5 + self.line * 1.65
    }
}

/// Where everything in a list is; places within a column from its left edge, mm.
#[derive(Debug, Clone, Copy)]
pub struct List {
    pub columns: usize,
    pub rows: usize,
    /// Lines that have room.
    pub shown: usize,
    pub pitch: f64,
    pub names_at: f64,
    pub number_width: f64,
    /// From the numbers to the names.
    pub names_in: f64,
    pub names_end: f64,
    /// Right ends of the two columns of figures.
    pub first_right: f64,
    pub second_right: f64,
}

impl List {
    /// `count` lines in `room` mm of height, each with chips, and a pitch; `figures` are those of
    /// every line, `heads` the text over chips and figures.
    pub fn new(
        (look, m): (&Look, &Measures),
        (count, room): (usize, f64),
        (chips, pitch, heads): (f64, f64, &[String; 3]),
        (figures, numbers): (impl Iterator<Item = (String, String)>, impl Iterator<Item = String>),
    ) -> List {
        let gap = m.body.size * 0.9;
        let mut widths = [1, 2].map(|i| look.width(m.quiet, &heads[i]));
        for (a, b) in figures {
            widths[0] = widths[0].max(look.width(m.figure, &a));
            widths[1] = widths[1].max(look.width(m.figure, &b));
        }
        let names_at = chips.max(look.width(m.quiet, &heads[0]).min(m.column * 0.25)) + gap;
        let number_width = numbers.map(|n| look.width(m.figure, &n)).fold(0.0, f64::max);
        let number_width = number_width.min(m.column * 0.25);
        let fit = ((room / pitch).floor().max(0.0) as usize).saturating_mul(m.columns);
        let shown = count.min(MOST).min(fit);
        let second_right = m.column;
        let first_right = second_right - widths[1] - gap;
        List {
            columns: m.columns,
            rows: shown.div_ceil(m.columns),
            shown,
            pitch,
            names_at,
            number_width,
            names_in: if number_width > 0.0 { number_width + gap * 0.7 } else { 0.0 },
            names_end: first_right - widths[0] - gap,
            first_right,
            second_right,
        }
    }

    /// The upper left corner of a line, column by column.
    pub fn at(&self, m: &Measures, line: usize, top: f64) -> (f64, f64) {
        let (column, row) = (line / self.rows.max(1), line % self.rows.max(1));
        (m.left + column as f64 * m.step, top + row as f64 * self.pitch)
    }
}
