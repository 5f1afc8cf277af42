//! What was understood of the drawings, and what a careful reader would ask about them.

use std::collections::BTreeSet;

use crate::diag::{Diagnostic, Findings};
use crate::finish::{LEAST_FLAT, Understood, understood};
use crate::range::{ColourId, ColourRange, Part, PartId};
use crate::read::Finish;
use crate::work::Work;

/// Each drawing of a range, by the file that its parts name, with what was
/// understood of it in the finishes in which those parts are made.
pub fn drawings(range: &ColourRange, work: &Work) -> (Vec<(String, Understood)>, Findings) {
    let mut seen = BTreeSet::new();
    let (mut all, mut findings) = (Vec::new(), Findings::default());
    for part in range.parts().iter().filter(|p| seen.insert(p.shape_file())) {
        let of = understood(part.shape(), &finishes(range, part), work);
        asked(part, &of).into_iter().for_each(|d| findings.push(d.at(part.span().clone())));
        all.push((part.shape_file().to_owned(), of));
    }
    (all, findings)
}

/// The finishes in which a drawing is made, by whichever part.
fn finishes(range: &ColourRange, part: &Part) -> Vec<Finish> {
    let parts = range.parts().iter().enumerate();
    let same: Vec<usize> =
        parts.filter(|(_, p)| p.shape_file() == part.shape_file()).map(|(n, _)| n).collect();
    let colours = range.colours().iter().enumerate();
    let made = colours
        .filter(|(c, _)| same.iter().any(|p| range.is_made(ColourId(*c), PartId(*p))))
        .map(|(_, colour)| colour.finish());
    made.collect::<BTreeSet<_>>().into_iter().collect()
}

fn asked(part: &Part, of: &Understood) -> Vec<Diagnostic> {
    let file = part.shape_file();
    let mut found = Vec::new();
    if of.flat < LEAST_FLAT {
        found.push(
            Diagnostic::warning(
                "shape-little-flat",
                format!(
                    "only {:.0} % of the drawing '{file}' shows the exact colour ({}); comparing needs at least {:.0} %",
                    (of.flat * 100.0).floor(),
                    of.flat_in.word(),
                    LEAST_FLAT * 100.0
                ),
            )
            .help("make the details on the body smaller, let gradients end in the body's own grey, or mark the largest panel with class=\"body\" if colours are compared there"),
        );
    }
    if of.coloured {
        found.push(
            Diagnostic::hint(
                "shape-coloured",
                format!("the drawing '{file}' is coloured: the body is shown in each colour of the range, and everything else only lighter or darker than the body"),
            )
            .help("draw it in greys to see what will be printed; class=\"fixed\" keeps a colour as drawn"),
        );
    }
    if of.mean_of_gradient {
        found.push(
            Diagnostic::hint(
                "shape-gradient-body",
                format!("the body of the drawing '{file}' is filled with a gradient; it is printed flat, and the gradient's mean stands for the colour"),
            )
            .help("fill the body with one grey, and draw light and shade as shapes on it"),
        );
    }
    if of.outside > 0.0 {
        found.push(
            Diagnostic::hint(
                "shape-outside",
                format!(
                    "in the drawing '{file}', pieces outside the body measure {:.0} % of it; the size of the part is the size of the body, {}",
                    of.outside * 100.0,
                    of.size()
                ),
            )
            .help("if they belong to the body, join them with it into one path, or give them its grey"),
        );
    }
    found
}
