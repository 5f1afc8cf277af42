//! A draft as files: the range, its tables, its drawings, and a sheet.

use std::fmt::Write as _;

use super::draft::{Draft, Part};
use super::{Page, SHAPES, StarterFile};
use crate::read::table::Mark;

impl Draft {
    /// The files of a range and a sheet, for this page.
    pub fn files(&self, page: Page) -> Vec<StarterFile> {
        let own = |name: &str, text: String| (name.to_owned(), text);
        let mut files =
            vec![own("range.ron", self.range()), own("colours.csv", self.colours_table())];
        if !self.parts.is_empty() {
            files.push(own("parts.csv", self.parts_table()));
        }
        if let Some(made) = &self.made {
            files.push(own("made.csv", self.made_table(made)));
        }
        match page {
            Page::One(paper) => {
                files.push(own("sheet.ron", self.sheet("page", "page.ron")));
                files.push(own("page.ron", layout(paper)));
            }
            Page::Many => files.push(own("sheet.ron", self.sheet("pages", "a4-pages"))),
        }
        if self.parts.is_empty() {
            files.extend(SHAPES.iter().map(|(name, text)| own(name, (*text).to_owned())));
        } else {
            files.extend(self.parts.iter().map(|p| (shape_file(p), p.drawing.clone())));
        }
        files
    }

    fn colours_table(&self) -> String {
        let any = |of: &dyn Fn(&super::draft::Colour) -> bool| self.colours.iter().any(of);
        let (first, last) = (any(&|c| c.first.is_some()), any(&|c| c.last.is_some()));
        let (finish, note) = (any(&|c| c.finish.is_some()), any(&|c| !c.note.is_empty()));
        let mut head = vec!["key".to_owned(), "family".to_owned()];
        for listing in &self.listings {
            head.push(format!("{} number", listing.key));
            head.push(format!("{} name", listing.key));
        }
        head.push("value".to_owned());
        let more = [(first, "first"), (last, "last"), (finish, "finish"), (note, "note")];
        head.extend(more.iter().filter(|m| m.0).map(|m| m.1.to_owned()));
        let rows = self.colours.iter().map(|c| {
            let mut row = vec![c.key.clone(), self.families[c.family].key.clone()];
            for (number, name) in c.numbers.iter().zip(&c.names) {
                row.extend([number.clone(), name.clone()]);
            }
            row.push(c.value.clone().unwrap_or_else(|| UNKNOWN.to_owned()));
            let year = |y: Option<i64>| y.map_or(String::new(), |y| y.to_string());
            let finish_word = c.finish.map_or("", |f| f.word());
            let cells = [
                (first, year(c.first)),
                (last, year(c.last)),
                (finish, finish_word.into()),
                (note, c.note.clone()),
            ];
            row.extend(cells.into_iter().filter(|m| m.0).map(|m| m.1));
            row
        });
        table(&head, rows)
    }

    fn parts_table(&self) -> String {
        let mut head = vec!["key".to_owned()];
        head.extend(self.listings.iter().map(|l| format!("{} number", l.key)));
        head.extend(["title", "role", "side", "size", "shape"].map(str::to_owned));
        let half = self.parts.len().div_ceil(2);
        let rows = self.parts.iter().enumerate().map(|(i, part)| {
            let mut row = vec![part.key.clone()];
            row.extend(part.numbers.iter().cloned());
            let side = if part.right.unwrap_or(i >= half) { "right" } else { "left" };
            row.extend([
                part.title.clone(),
                part.role.clone(),
                side.to_owned(),
                part.size.clone(),
                shape_file(part),
            ]);
            row
        });
        table(&head, rows)
    }

    fn made_table(&self, made: &[Vec<Mark>]) -> String {
        let mut head = vec!["key".to_owned()];
        head.extend(self.parts.iter().map(|p| p.key.clone()));
        let rows = self.colours.iter().zip(made).map(|(colour, marks)| {
            let mut row = vec![colour.key.clone()];
            row.extend((0..self.parts.len()).map(|p| marks.get(p).map_or(String::new(), mark)));
            row
        });
        table(&head, rows)
    }

    fn range(&self) -> String {
        let mut listings = String::new();
        for listing in &self.listings {
            let _ =
                writeln!(listings, "        (key: {:?}, title: {:?}),", listing.key, listing.title);
        }
        let mut families = String::new();
        for family in &self.families {
            let (key, title, finish) = (&family.key, &family.title, family.finish.word());
            let _ =
                writeln!(families, "        (key: {key:?}, title: {title:?}, finish: {finish}),");
        }
        let first = self.listings.first().map_or("works", |l| &l.key);
        let parts = if self.parts.is_empty() {
            format!(
                r#"    // Replace these with your own parts; shapes are drawings in millimetres, at true size.
    parts: [
        (key: "button", numbers: {{{first:?}: "10"}}, title: "Button", side: left,  shape: "shapes/button.svg"),
        (key: "toggle", numbers: {{{first:?}: "11"}}, title: "Toggle", side: left,  shape: "shapes/toggle.svg"),
        (key: "bead",   numbers: {{{first:?}: "20"}}, title: "Bead",   side: right, shape: "shapes/bead.svg"),
    ],
"#
            )
        } else {
            "    // Parts are in parts.csv, their drawings in the folder shapes, in millimetres, at true size.\n    parts: Table(file: \"parts.csv\"),\n".to_owned()
        };
        let made = if self.made.is_some() {
            "    // Which part is made in which colour: x means made, an empty cell not made.\n    made: Table(file: \"made.csv\"),\n"
        } else {
            "    // Without made, every part is made in every colour. A table of crosses:  made: Table(file: \"made.csv\"),\n"
        };
        format!(
            r#"// The range. Its colours are in colours.csv: correct them there.
Range(
    maker: "Your name here",
    release: "First release",
    listings: [
{listings}    ],

    // Finishes: opaque, clear, flecked, metal, pearl, satin or glow.
    families: [
{families}    ],

{parts}    colours: Table(file: "colours.csv"),

{made})
"#
        )
    }

    fn sheet(&self, edition: &str, layout: &str) -> String {
        let style = if self.style.is_empty() { "plate" } else { self.style };
        let centre = if self.listings.len() > MOST_LINES {
            let lines: Vec<String> = self.listings[..MOST_LINES]
                .iter()
                .map(|l| format!("(listing: {:?})", l.key))
                .collect();
            format!(
                "    // The listings whose names and numbers are printed beside each colour.\n    centre: [{}],\n",
                lines.join(", ")
            )
        } else {
            String::new()
        };
        let notes = if self.colours.iter().all(|c| c.value.is_some()) {
            ""
        } else {
            "    // Remove this once colours.csv has every value.\n    notes: [\"Colours in outline have no measured value yet: go by name and number.\"],\n"
        };
        format!(
            r#"// A sheet: what to show of the range, and in which sizes. `shadecard make sheet.ron` makes it.
Sheet(
    range: "range.ron",
    title: "Our colours",
    subtitle: "{{colours_words}} colours, {{scale}}",
    imprint: ["{{release}} · {{spelling}} · {{maker}}"],
    style: "{style}",
    spellings: ["en-GB", "en-US"],
{notes}{centre}
    // A layout is your own file, or a shipped one: a4, letter, a3, a4-pages, letter-pages, poster-305x406 ...
    editions: [(name: "{edition}", layout: "{layout}")],
)
"#
        )
    }
}

/// In the column of values: there is none yet.
const UNKNOWN: &str = "unknown";
/// The most listings beside a colour.
const MOST_LINES: usize = 3;

fn shape_file(part: &Part) -> String {
    format!("shapes/{}.svg", part.key)
}

fn mark(mark: &Mark) -> String {
    match mark {
        Mark::Made | Mark::Years(None, None) => "x".to_owned(),
        Mark::Not => String::new(),
        Mark::Years(Some(from), Some(to)) => format!("{from}-{to}"),
        Mark::Years(Some(from), None) => format!("from {from}"),
        Mark::Years(None, Some(to)) => format!("to {to}"),
    }
}

fn table(head: &[String], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    // Writing into memory cannot fail.
    let _ = writer.write_record(head);
    for row in rows {
        let _ = writer.write_record(row);
    }
    let text = String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default();
    // The texts contain other separators: the first line states which one is used.
    if text.contains([';', '|']) { format!("sep=,\n{text}") } else { text }
}

fn layout(paper: &str) -> String {
    format!(
        r#"// The smallest standard page that the colours fit on. Other sizes: Paper("Letter"), Mm(100, 150), Inch(4, 6).
Layout(
    title: "One page",
    page: Paper("{paper}"),
    scale: Fit,
    minimum: (columns: 1),
)
"#
    )
}
