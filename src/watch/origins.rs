//! Where things on a sheet are written.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use crate::diag::{Sources, Span, floor};
use crate::edition::Editions;
use crate::files::from_here;
use crate::range::Value as ColourValue;

/// The most of a line that is shown, in characters.
const LONGEST: usize = 2000;

/// A place in an input file as the page shows it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Quoted {
    pub file: String,
    /// From 1; 0: the file as a whole.
    pub line: usize,
    pub column: usize,
    /// The line, or the cell of a workbook.
    pub text: String,
    /// What is meant of it, in characters from 0.
    pub from: usize,
    pub to: usize,
}

impl Quoted {
    /// The place of a span.
    pub fn of(span: &Span, sources: &Sources) -> Quoted {
        let file = from_here(&span.file).display().to_string();
        let (Some(text), true) = (sources.text(&span.file), span.range != (0..0)) else {
            return Quoted { file, ..Quoted::default() };
        };
        let (line, column) = sources.line_column(span).unwrap_or_default();
        let (start, end) = (floor(text, span.range.start), floor(text, span.range.end));
        // Cells of a workbook are parted by tabs.
        let ends: &[char] = if sources.cell_name(span).is_some() { &['\n', '\t'] } else { &['\n'] };
        let from = text[..start].rfind(ends).map_or(0, |i| i + 1);
        let to = text[start..].find(ends).map_or(text.len(), |i| start + i);
        let shown: String = text[from..to].trim_end_matches('\r').chars().take(LONGEST).collect();
        let counted = |upto: usize| text[from..upto.clamp(from, to)].chars().count().min(LONGEST);
        let (marked, marked_to) = (counted(start), counted(end.max(start)));
        Quoted { file, line, column, text: shown, from: marked, to: marked_to }
    }

    /// Its fields in an object.
    pub fn fill(&self, into: &mut Map<String, Value>) {
        into.insert("file".into(), self.file.clone().into());
        into.insert("line".into(), self.line.into());
        into.insert("column".into(), self.column.into());
        into.insert("text".into(), self.text.clone().into());
    }
}

/// The lines of colours, parts, families and texts of a sheet, by the keys of `places`.
pub fn origins<'a>(editions: &Editions, sources: &'a Sources) -> Origins<'a> {
    let (range, sheet) = (&editions.range, &editions.sheet);
    let mut out = Origins { lines: BTreeMap::new(), sources };
    for colour in range.colours() {
        let what = format!("colour '{}'", colour.any_name());
        let value = (*colour.value() != ColourValue::Unknown).then(|| colour.rgb().hex());
        out.add(format!("colour:{}", colour.key()), colour.span(), what, value);
    }
    for part in range.parts() {
        let number = part.numbers().iter().flatten().next().unwrap_or(part.key());
        out.add(format!("part:{}", part.key()), part.span(), format!("part '{number}'"), None);
    }
    for shown in sheet.families() {
        let family = range.family(shown.family());
        let (key, title) = (family.key(), &family.title().text);
        out.add(format!("heading:{key}"), &family.title().span, format!("heading '{title}'"), None);
        out.add(format!("block:{key}"), shown.span(), format!("block '{title}'"), None);
    }
    let imprint = sheet.imprint().first().and_then(|line| line.span.clone());
    let file = Span { file: sheet.file().as_path().into(), range: 0..0 };
    for (name, span) in [
        ("title", sheet.title().span.clone()),
        ("imprint", imprint),
        ("legend", None),
        ("lookalikes", None),
    ] {
        let span = Some(span.unwrap_or_else(|| file.clone()));
        out.add(format!("text:{name}"), &span, name.to_owned(), None);
    }
    out
}

/// Keys of what is written on a line of a file.
pub type ByLine = BTreeMap<(String, usize), Vec<String>>;

/// Lines by keys.
pub struct Origins<'a> {
    lines: BTreeMap<String, (Quoted, Value)>,
    sources: &'a Sources,
}

impl Origins<'_> {
    fn add(&mut self, key: String, span: &Option<Span>, what: String, value: Option<String>) {
        let Some(span) = span else { return };
        let quoted = Quoted::of(span, self.sources);
        let mut object = Map::new();
        quoted.fill(&mut object);
        object.insert("what".into(), what.into());
        object.extend(value.map(|value| ("value".to_owned(), json!(value))));
        self.lines.insert(key, (quoted, Value::Object(object)));
    }

    /// For the page.
    pub fn json(&self) -> Value {
        self.lines.iter().map(|(key, (_, value))| (key.clone(), value.clone())).collect()
    }

    /// Keys by the lines that they are on.
    pub fn by_line(&self) -> ByLine {
        let mut out = ByLine::new();
        for (key, (quoted, _)) in self.lines.iter().filter(|(_, (quoted, _))| quoted.line > 0) {
            out.entry((quoted.file.clone(), quoted.line)).or_default().push(key.clone());
        }
        out
    }
}
