//! The page as a plain table: what it is without scripts, and for those who search its text.

use std::fmt::Write as _;

use quick_xml::escape::escape;

use super::shown::Shown;
use super::texts::Texts;
use crate::range::{Colour, ColourId, ColourRange, ListingId, PartId, Value, Words};

/// A text in HTML.
pub fn escaped(text: &str) -> String {
    escape(text).into_owned()
}

/// What the table is written from.
pub struct Table<'a> {
    pub range: &'a ColourRange,
    pub shown: &'a Shown,
    pub texts: &'a Texts<'a>,
    /// Whose part numbers it shows.
    pub order_from: ListingId,
}

impl Table<'_> {
    fn say(&self, words: &Words) -> String {
        escaped(&self.texts.first().apply(words))
    }

    /// Two heads for each listing.
    pub fn heads(&self) -> String {
        let number = escaped(&self.texts.first().phrase("page_number", &[]));
        let listings = self.range.listings().iter();
        let head = |title: String| {
            format!("<th scope=\"col\">{title}</th><th scope=\"col\">{number}</th>")
        };
        listings.map(|listing| head(self.say(listing.title()))).collect()
    }

    /// A group of rows for each family.
    pub fn rows(&self) -> String {
        let mut out = String::new();
        let span = 3 + 2 * self.range.listings().len();
        for (place, family) in self.shown.families.iter().enumerate() {
            let family = self.range.family(*family);
            let note = self.say(family.note());
            let note = if note.is_empty() { note } else { format!(" <i>{note}</i>") };
            let title = self.say(family.title());
            let _ = write!(
                out,
                "<tbody>\n<tr class=\"fam\"><th scope=\"rowgroup\" colspan=\"{span}\">{title}{note}</th></tr>\n"
            );
            let colours = self.shown.colours.iter().enumerate();
            for (index, id) in colours.filter(|(_, id)| self.shown.of[id].0 == place) {
                self.row(&mut out, index, *id);
            }
            out += "</tbody>\n";
        }
        out
    }

    fn row(&self, out: &mut String, index: usize, id: ColourId) {
        let colour = self.range.colour(id);
        let chip = match colour.value() {
            Value::Unknown => "none".to_owned(),
            _ => format!("c{index}"),
        };
        let _ = write!(out, "<tr id=\"{}\"><td class=\"chip {chip}\"></td>", escaped(colour.key()));
        for (place, (name, number)) in colour.names().iter().zip(colour.numbers()).enumerate() {
            let own = name.as_ref().map(|name| self.say(name));
            let number = escaped(number.value.as_deref().unwrap_or_default());
            let cell = match place {
                0 => {
                    let any = own.unwrap_or_else(|| self.any(colour));
                    format!("<th scope=\"row\">{any}</th>")
                }
                _ => format!("<td class=\"on\">{}</td>", own.unwrap_or_default()),
            };
            let _ = write!(out, "{cell}<td class=\"no\">{number}</td>");
        }
        let parts = self.shown.of[&id].1.iter();
        let parts: Vec<String> = parts.map(|place| self.part(self.shown.parts[*place])).collect();
        let parts = parts.join(" ");
        let _ = writeln!(
            out,
            "<td class=\"pt\">{parts}</td><td class=\"yr\">{}</td></tr>",
            years(colour)
        );
    }

    fn any(&self, colour: &Colour) -> String {
        let first = colour.names().iter().find_map(|name| name.as_ref());
        first.map_or_else(|| escaped(colour.key()), |name| self.say(name))
    }

    fn part(&self, id: PartId) -> String {
        let part = self.range.part(id);
        let number = part.numbers()[self.order_from.0].as_deref();
        number.map_or_else(|| self.say(part.title()), escaped)
    }
}

/// '2016–', '2016–2027', '–2027'.
fn years(colour: &Colour) -> String {
    let year = |year: Option<u16>| year.map(|year| year.to_string()).unwrap_or_default();
    match (colour.first_year(), colour.last_year()) {
        (None, None) => String::new(),
        (first, last) => format!("{}–{}", year(first), year(last)),
    }
}
