//! The XML of a CxF file: its objects and its colour specifications, whatever the prefix of their namespace.
//!
//! Nothing of it is expanded: a document type, and with it every entity of its own, is refused.

use std::collections::BTreeMap;
use std::ops::Range;

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::super::conditions::Conditions;
use super::super::sample::brief;
use crate::diag::{Diagnostic, Findings, Located, Span};
use crate::limits;
use crate::measured::source::TextFile;
use crate::read::table::parse_decimal;

/// How deep elements may be nested. CxF itself needs about ten.
const DEEPEST: usize = 64;

/// An object with the values that can be used.
#[derive(Debug, Default)]
pub struct CxfObject {
    /// Its Name, then its Id.
    pub names: Vec<Located<String>>,
    pub at: Option<Span>,
    pub values: Vec<CxfValue>,
    /// Where it has a spectrum of another kind.
    pub not_reflective: Option<Span>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ValueKind {
    Lab,
    Xyz,
    Spectrum,
}

/// A value of an object.
#[derive(Debug)]
pub struct CxfValue {
    pub kind: ValueKind,
    /// The id of its colour specification.
    pub specification: Option<String>,
    /// First wavelength in nm, where it stands beside the spectrum.
    pub from: Option<f64>,
    /// Those of a spectrum, or three.
    pub numbers: Vec<f64>,
    pub at: Option<Span>,
    /// Something in it is no number, and was reported.
    pub faulty: bool,
}

/// What values of one kind have in common.
#[derive(Debug, Default)]
pub struct Specification {
    pub viewed: Located<Conditions>,
    /// First wavelength and step, nm.
    pub from: Option<f64>,
    pub step: Option<f64>,
}

type Document = (Vec<CxfObject>, BTreeMap<String, Specification>);

/// Reads a file; none where it is no CxF or damaged, which `findings` then say.
pub fn objects(of: TextFile<'_>, findings: &mut Findings) -> Option<Document> {
    let mut state = State::new(of);
    let mut reader = Reader::from_str(of.text);
    loop {
        let start = place(reader.buffer_position());
        let event = match reader.read_event() {
            Ok(event) => event,
            Err(_) => {
                let at = place(reader.error_position()).min(of.text.len());
                findings.push(broken(of, at..at));
                return None;
            }
        };
        let here = start..place(reader.buffer_position());
        match state.event(&event, here, findings) {
            Ok(true) => {}
            Ok(false) => return Some((state.objects, state.specifications)),
            Err(fault) => {
                findings.push(fault);
                return None;
            }
        }
    }
}

fn place(position: u64) -> usize {
    usize::try_from(position).unwrap_or(usize::MAX)
}

fn broken(of: TextFile<'_>, range: Range<usize>) -> Diagnostic {
    Diagnostic::error(
        "not-cxf",
        format!("'{}' is damaged here, or is no CxF file", of.file.display()),
    )
    .at(of.at(range))
    .help("export it again")
}

/// The file while it is read.
struct State<'a> {
    of: TextFile<'a>,
    /// Local names of the open elements.
    open: Vec<String>,
    /// Text since the last tag, and where it begins.
    text: String,
    text_at: Range<usize>,
    /// The text is more than blanks.
    text_begun: bool,
    object: Option<CxfObject>,
    value: Option<CxfValue>,
    specification: Option<(String, Specification)>,
    objects: Vec<CxfObject>,
    specifications: BTreeMap<String, Specification>,
    /// So many numbers, and so many objects, values and specifications.
    numbers: usize,
    things: usize,
}

impl<'a> State<'a> {
    fn new(of: TextFile<'a>) -> State<'a> {
        State {
            of,
            open: Vec::new(),
            text: String::new(),
            text_at: 0..0,
            text_begun: false,
            object: None,
            value: None,
            specification: None,
            objects: Vec::new(),
            specifications: BTreeMap::new(),
            numbers: 0,
            things: 0,
        }
    }

    /// Takes the next event; false at the end of the file.
    fn event(
        &mut self,
        event: &Event<'_>,
        here: Range<usize>,
        findings: &mut Findings,
    ) -> Result<bool, Diagnostic> {
        match event {
            Event::Start(e) => self.start(e, here, findings)?,
            Event::Empty(e) => {
                self.start(e, here.clone(), findings)?;
                self.end(here, findings)?;
            }
            Event::End(_) => self.end(here, findings)?,
            Event::Text(t) => self.more(&t.xml10_content(), here),
            Event::CData(t) => self.more(&t.xml10_content(), here),
            Event::GeneralRef(r) => {
                let known = match r.resolve_char_ref() {
                    Ok(Some(c)) => Some(c.to_string()),
                    _ => quick_xml::escape::resolve_predefined_entity(&r.xml10_content())
                        .map(str::to_owned),
                };
                let Some(text) = known else { return Err(self.entity(here)) };
                self.more(&text, here);
            }
            Event::DocType(_) => return Err(self.entity(here)),
            Event::Eof if !self.open.is_empty() => {
                let end = self.of.text.len();
                return Err(broken(self.of, end..end));
            }
            Event::Eof => return Ok(false),
            _ => {}
        }
        Ok(true)
    }

    fn entity(&self, here: Range<usize>) -> Diagnostic {
        let message = "a document type or an entity of its own has no place in a CxF file";
        Diagnostic::error("xml-entity", message)
            .at(self.of.at(here))
            .help("export the file again; if it still has one, delete it in a text editor")
    }

    fn more(&mut self, text: &str, here: Range<usize>) {
        // Asked of the piece alone: blanks may come in millions of pieces.
        if !self.text_begun {
            self.text_begun = !text.trim().is_empty();
            let blank = text.len() - text.trim_start().len();
            self.text_at = (here.start + blank).min(here.end)..here.end;
        }
        self.text_at.end = here.end;
        self.text.push_str(text);
    }

    /// One number more.
    fn number_more(&mut self) -> Result<(), Diagnostic> {
        self.numbers += 1;
        self.within(limits::CELLS, self.numbers, "numbers")
    }

    /// One object, value or specification more.
    fn thing_more(&mut self) -> Result<(), Diagnostic> {
        self.things += 1;
        self.within(limits::ROWS, self.things, "objects and values")
    }

    fn within(&self, limit: limits::Limit, count: usize, what: &str) -> Result<(), Diagnostic> {
        let most = self.of.limits.most(limit);
        if count <= most {
            return Ok(());
        }
        let message = format!("'{}' has more than {most} {what}", self.of.file.display());
        let help = self.of.limits.or_raise("check that this is the right file, or split it");
        Err(Diagnostic::error("table-too-large", message).at(self.of.at(0..0)).help(help))
    }

    fn start(
        &mut self,
        e: &BytesStart<'_>,
        here: Range<usize>,
        findings: &mut Findings,
    ) -> Result<(), Diagnostic> {
        let name = e.local_name().as_ref().to_owned();
        if self.open.is_empty() && name != "CxF" {
            return Err(broken(self.of, here));
        }
        if self.open.len() >= DEEPEST {
            let message = format!("elements are nested more than {DEEPEST} deep");
            let fault = Diagnostic::error("too-deep", message).at(self.of.at(here));
            return Err(fault.help("export the file again"));
        }
        self.text.clear();
        self.text_begun = false;
        self.text_at = here.end..here.end;
        match name.as_str() {
            "Object" if self.is_in("ObjectCollection") => {
                let names =
                    ["Name", "Id"].into_iter().filter_map(|a| attribute(e, a)).map(|called| {
                        let called = called.trim().to_owned();
                        let at = self.of.at(stretch(self.of.text, &here, &called));
                        Located::new(called, at)
                    });
                let names = names.filter(|n| !n.is_empty()).collect();
                let at = self.of.at(here);
                self.object = Some(CxfObject { names, at, ..CxfObject::default() });
            }
            "ColorCIELab" => self.begin(ValueKind::Lab, e, here, findings)?,
            "ColorCIEXYZ" => self.begin(ValueKind::Xyz, e, here, findings)?,
            "ReflectanceSpectrum" => self.begin(ValueKind::Spectrum, e, here, findings)?,
            "EmissiveSpectrum" | "TransmittanceSpectrum" => {
                let at = self.of.at(here);
                if let Some(object) = &mut self.object {
                    object.not_reflective = at;
                }
            }
            "ColorSpecification" => {
                let id = attribute(e, "Id").unwrap_or_default();
                self.specification = Some((id, Specification::default()));
            }
            "CustomIlluminant" => {
                let at = self.of.at(here);
                if let Some((_, of)) = &mut self.specification {
                    of.viewed.set_light_at("of its own", at);
                }
            }
            "WavelengthRange" => {
                let from = self.number(e, "StartWL", &here, findings);
                let step = self.number(e, "Increment", &here, findings);
                if let Some((_, of)) = &mut self.specification {
                    (of.from, of.step) = (from, step);
                }
            }
            _ => {}
        }
        self.open.push(name);
        Ok(())
    }

    fn is_in(&self, name: &str) -> bool {
        self.open.iter().any(|open| open == name)
    }

    fn begin(
        &mut self,
        kind: ValueKind,
        e: &BytesStart<'_>,
        here: Range<usize>,
        f: &mut Findings,
    ) -> Result<(), Diagnostic> {
        // Tolerances and private parts of an object have values as well.
        if self.object.is_none() || !self.is_in("ColorValues") || self.value.is_some() {
            return Ok(());
        }
        self.thing_more()?;
        self.value = Some(CxfValue {
            kind,
            specification: attribute(e, "ColorSpecification"),
            from: self.number(e, "StartWL", &here, f),
            numbers: Vec::new(),
            at: self.of.at(here),
            faulty: false,
        });
        Ok(())
    }

    /// The number of an attribute, if there is that attribute.
    fn number(
        &self,
        e: &BytesStart<'_>,
        name: &str,
        here: &Range<usize>,
        f: &mut Findings,
    ) -> Option<f64> {
        let text = attribute(e, name)?;
        let number = parse_decimal(&text);
        if number.is_none() {
            f.push(no_number(&text, self.of.at(stretch(self.of.text, here, &text))));
        }
        number
    }

    fn end(&mut self, here: Range<usize>, findings: &mut Findings) -> Result<(), Diagnostic> {
        let Some(name) = self.open.pop() else { return Err(broken(self.of, here)) };
        let text = std::mem::take(&mut self.text);
        self.text_begun = false;
        match (name.as_str(), &mut self.value) {
            ("L" | "X", Some(v)) if v.numbers.is_empty() => self.part(&text, findings)?,
            ("A" | "Y", Some(v)) if v.numbers.len() == 1 => self.part(&text, findings)?,
            ("B" | "Z", Some(v)) if v.numbers.len() == 2 => self.part(&text, findings)?,
            ("ReflectanceSpectrum", Some(_)) => {
                self.spectrum(&text, findings)?;
                self.close_value();
            }
            ("ColorCIELab" | "ColorCIEXYZ", Some(_)) => self.close_value(),
            _ => self.close(&name, &text)?,
        }
        Ok(())
    }

    /// One of three numbers.
    fn part(&mut self, text: &str, findings: &mut Findings) -> Result<(), Diagnostic> {
        self.number_more()?;
        let at = self.of.at(self.text_at.clone());
        let Some(value) = &mut self.value else { return Ok(()) };
        if value.numbers.is_empty() {
            value.at = at.clone();
        }
        match parse_decimal(text) {
            Some(number) => value.numbers.push(number),
            None => {
                findings.push(no_number(text.trim(), at));
                value.faulty = true;
                value.numbers.push(0.0);
            }
        }
        Ok(())
    }

    fn spectrum(&mut self, text: &str, findings: &mut Findings) -> Result<(), Diagnostic> {
        for word in text.split_whitespace() {
            self.number_more()?;
            let Some(value) = &mut self.value else { return Ok(()) };
            match parse_decimal(word) {
                Some(number) => value.numbers.push(number),
                // The first is enough: looking for the places of many takes long.
                None => {
                    let at = stretch(self.of.text, &self.text_at, word);
                    findings.push(no_number(word, self.of.at(at)));
                    value.faulty = true;
                    break;
                }
            }
        }
        Ok(())
    }

    fn close_value(&mut self) {
        if let (Some(value), Some(object)) = (self.value.take(), &mut self.object) {
            object.values.push(value);
        }
    }

    /// An element that is no value.
    fn close(&mut self, name: &str, text: &str) -> Result<(), Diagnostic> {
        let at = self.of.at(self.text_at.clone());
        match (name, &mut self.specification) {
            ("Illuminant", Some((_, of))) => {
                of.viewed.set_light_at(text, at);
            }
            ("Observer", Some((_, of))) => {
                of.viewed.set_observer_at(text, at);
            }
            ("ColorSpecification", Some(_)) => {
                if let Some((id, of)) = self.specification.take() {
                    self.thing_more()?;
                    self.specifications.insert(id, of);
                }
            }
            ("Object", _) => {
                if let Some(object) = self.object.take() {
                    self.thing_more()?;
                    self.objects.push(object);
                }
            }
            _ => {}
        }
        Ok(())
    }
}

fn no_number(text: &str, at: Option<Span>) -> Diagnostic {
    Diagnostic::error("wrong-value", format!("'{}' is not a number", brief(text)))
        .at(at)
        .help("write the measured value, or remove the object")
}

/// An attribute of any prefix; none where it names an entity of its own.
fn attribute(e: &BytesStart<'_>, name: &str) -> Option<String> {
    let mut attributes = e.attributes();
    let mut all = attributes.with_checks(false).flatten();
    let found = all.find(|a| a.key.local_name().as_ref() == name)?;
    Some(quick_xml::escape::unescape(&found.value).ok()?.into_owned())
}

/// Where a word is within these bytes; all of them where it is written otherwise there.
fn stretch(text: &str, within: &Range<usize>, word: &str) -> Range<usize> {
    let found = text.get(within.clone()).filter(|_| !word.is_empty()).and_then(|t| t.find(word));
    found.map_or(within.clone(), |i| within.start + i..within.start + i + word.len())
}
