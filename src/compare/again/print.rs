//! What is printed of a range or a sheet, in one spelling.

use crate::compare::compared::ComparedSheet;
use crate::plan::facts::part_label;
use crate::range::{CentreLine, Colour, ColourRange, ListingId, Words};

/// What one side prints, and in which spelling.
pub(super) struct Print<'a> {
    pub(super) range: &'a ColourRange,
    pub(super) lines: Vec<CentreLine>,
    /// The number over each part's column.
    pub(super) part_numbers: Vec<String>,
    pub(super) say: Box<dyn Fn(&Words) -> String + 'a>,
}

impl<'a> Print<'a> {
    pub(super) fn of_range(range: &'a ColourRange) -> Print<'a> {
        let numbers = |p: &crate::range::Part| {
            let each = p.numbers().iter().zip(range.listings());
            each.filter_map(|(n, l)| n.as_ref().map(|n| format!("{} {n}", l.key())))
                .collect::<Vec<_>>()
                .join(", ")
        };
        Print {
            range,
            lines: all_lines(range),
            part_numbers: range.parts().iter().map(numbers).collect(),
            say: Box::new(whole),
        }
    }

    pub(super) fn of_sheet(shown: &'a ComparedSheet<'a>, tag: &str) -> Print<'a> {
        let spelling = shown.spellings.get(tag);
        let tag = tag.to_owned();
        Print {
            range: shown.range,
            lines: shown.sheet.centre().clone(),
            part_numbers: shown.range.parts().iter().map(|p| part_label(p, shown.sheet)).collect(),
            say: Box::new(move |w| match spelling {
                Some(spelling) => spelling.apply(w),
                None => w.forms.get(&tag).unwrap_or(&w.text).clone(),
            }),
        }
    }

    /// Words with their {maker} and {release} filled in.
    pub(super) fn filled(&self, words: &Words) -> String {
        let text = (self.say)(words).replace("{maker}", &(self.say)(self.range.maker()));
        text.replace("{release}", &(self.say)(self.range.release()))
    }
}

/// Words with all their forms.
pub(super) fn whole(words: &Words) -> String {
    let forms = words.forms.iter().map(|(tag, form)| format!("\n{tag} {form}"));
    std::iter::once(words.text.clone()).chain(forms).collect()
}

pub(super) fn all_lines(range: &ColourRange) -> Vec<CentreLine> {
    let each = 0..range.listings().len();
    each.map(|l| CentreLine { listing: ListingId(l), name: true, number: true }).collect()
}

/// The names and the numbers beside a colour, line by line.
pub(super) fn spine(
    colour: &Colour,
    lines: &[CentreLine],
    say: &dyn Fn(&Words) -> String,
) -> (Vec<String>, Vec<String>) {
    let each = lines.iter().map(|l| {
        let name = colour.names()[l.listing.0].as_ref().filter(|_| l.name);
        let number = colour.numbers()[l.listing.0].value.clone().filter(|_| l.number);
        (name.map(say).unwrap_or_default(), number.unwrap_or_default())
    });
    each.filter(|(name, number)| !(name.is_empty() && number.is_empty())).unzip()
}
