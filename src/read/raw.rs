//! The files as they are written: a mirror without any judgement.
//!
//! Every field may be missing, so that one fault does not hide the others;
//! checking says what is needed. Variants that are named after a sign are those of values that start with it: see
//! [`super::ron`].

use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;

use serde::Deserialize;
use serde::de::{Deserializer, IgnoredAny, MapAccess, Visitor};

use super::{
    ColourMode, FamilyOrder, Finish, Format, Only, Order, PaperModel, RenderingIntent, Side,
};

/// `range.ron`
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Range")]
pub struct Range {
    pub maker: Option<Words>,
    pub release: Option<Words>,
    pub proper_names: Option<Vec<String>>,
    pub listings: Option<Vec<Listing>>,
    pub families: Option<Vec<Family>>,
    pub parts: Option<Rows<Part>>,
    pub colours: Option<Rows<Colour>>,
    pub made: Option<MadeIn>,
    pub values: Option<ValuesIn>,
}

#[derive(Debug, Default, Deserialize)]
pub struct Listing {
    pub key: Option<String>,
    pub title: Option<Words>,
}

#[derive(Debug, Default, Deserialize)]
pub struct Family {
    pub key: Option<String>,
    pub title: Option<Words>,
    pub note: Option<Words>,
    pub legend: Option<Words>,
    pub finish: Option<Finish>,
}

#[derive(Debug, Default, Deserialize)]
pub struct Part {
    pub key: Option<String>,
    pub numbers: Option<Pairs<String>>,
    pub title: Option<Words>,
    pub role: Option<String>,
    pub side: Option<Side>,
    pub size: Option<Words>,
    pub shape: Option<String>,
}

#[derive(Debug, Default, Deserialize)]
pub struct Colour {
    pub key: Option<String>,
    pub family: Option<String>,
    pub names: Option<Pairs<Words>>,
    pub numbers: Option<Pairs<String>>,
    pub value: Option<Value>,
    pub first: Option<i64>,
    pub last: Option<i64>,
    pub finish: Option<Finish>,
    pub note: Option<Words>,
}

/// A list written here, or a table in another file.
#[derive(Debug, Deserialize)]
#[serde(
    expecting = "a list or a table; write the list in square brackets, or the table as Table(file: \"colours.csv\")"
)]
pub enum Rows<T> {
    #[serde(rename = "[")]
    List(Vec<T>),
    #[serde(alias = "(")]
    Table(Table),
}

/// `Table(file: "colours.xlsx", sheet: "2026", headings: {"your heading": "key"})`
#[derive(Debug, Default, Deserialize)]
pub struct Table {
    pub file: Option<String>,
    pub sheet: Option<String>,
    pub headings: Option<Pairs<String>>,
}

/// Measured values of the colours, always in a file of their own.
#[derive(Debug, Deserialize)]
#[serde(expecting = "a file of measured values; write Table(file: \"measured.csv\")")]
pub enum ValuesIn {
    #[serde(alias = "(")]
    Table(Table),
}

/// The matrix: written here, or a table in another file.
#[derive(Debug, Deserialize)]
#[serde(from = "MadeForm")]
pub enum MadeIn {
    Here(Made),
    Table(Table),
}

#[derive(Deserialize)]
#[serde(
    expecting = "marks or a table; write (parts: [...], rows: {...}), or Table(file: \"made.csv\")"
)]
enum MadeForm {
    #[serde(rename = "(", alias = "Table")]
    Fields(MadeFields),
}

/// The fields of both.
#[derive(Deserialize)]
struct MadeFields {
    parts: Option<Vec<String>>,
    rows: Option<Pairs<String>>,
    years: Option<Pairs<Pairs<Years>>>,
    file: Option<String>,
    sheet: Option<String>,
    headings: Option<Pairs<String>>,
}

impl From<MadeForm> for MadeIn {
    fn from(MadeForm::Fields(of): MadeForm) -> MadeIn {
        if of.file.is_some() || of.sheet.is_some() || of.headings.is_some() {
            MadeIn::Table(Table { file: of.file, sheet: of.sheet, headings: of.headings })
        } else {
            MadeIn::Here(Made { parts: of.parts, rows: of.rows, years: of.years })
        }
    }
}

#[derive(Debug, Default)]
pub struct Made {
    pub parts: Option<Vec<String>>,
    pub rows: Option<Pairs<String>>,
    pub years: Option<Pairs<Pairs<Years>>>,
}

#[derive(Debug, Default, Deserialize)]
pub struct Years {
    pub from: Option<i64>,
    pub to: Option<i64>,
}

/// `sheet.ron`
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Sheet")]
pub struct Sheet {
    pub range: Option<String>,
    pub name: Option<String>,
    pub title: Option<Words>,
    pub subtitle: Option<Words>,
    pub corner_text: Option<Words>,
    pub edition_line: Option<Words>,
    pub notes: Option<Vec<Words>>,
    pub imprint: Option<Vec<Words>>,
    pub year: Option<i64>,
    pub issue_date: Option<String>,
    pub extra_colours: Option<Vec<String>>,
    pub leave_out: Option<Vec<LeaveOut>>,
    pub families: Option<Vec<FamilyPick>>,
    pub order: Option<Order>,
    pub headings: Option<String>,
    pub centre: Option<Vec<CentreLine>>,
    pub legend_parts: Option<Vec<String>>,
    pub lookalikes: Option<Lookalikes>,
    pub family_order: Option<FamilyOrder>,
    pub light: Option<String>,
    pub style: Option<String>,
    pub editions: Option<Vec<Edition>>,
    pub spellings: Option<Vec<String>>,
    pub words: Option<Vec<String>>,
    pub proper_names: Option<Vec<String>>,
    pub papers: Option<Vec<Paper>>,
    pub pictures: Option<String>,
    pub page: Option<Page>,
}

/// The page for buyers.
#[derive(Debug, Default, Deserialize)]
pub struct Page {
    pub shop: Option<String>,
    pub licence: Option<Words>,
    pub address: Option<String>,
    pub code: Option<bool>,
}

/// A paper that the sheet is printed on.
#[derive(Debug, Default, Deserialize)]
pub struct Paper {
    pub name: Option<String>,
    pub model: Option<PaperModel>,
    pub profile: Option<String>,
    pub colour_mode: Option<ColourMode>,
    pub rendering_intent: Option<RenderingIntent>,
    pub ink_limit: Option<f64>,
    pub condition: Option<String>,
    pub values: Option<String>,
}

/// The panel of the closest colours.
#[derive(Debug, Default, Deserialize)]
pub struct Lookalikes {
    pub show: Option<i64>,
    pub limit: Option<f64>,
}

#[derive(Debug, Default, Deserialize)]
pub struct LeaveOut {
    pub colours: Option<Vec<String>>,
    pub reason: Option<Words>,
}

/// A family of the sheet: its key, or the key and how its parts and its colours are.
#[derive(Debug, Deserialize)]
#[serde(
    expecting = "a family; write its key in quotes, or (family: \"key\", columns: ...) with its options"
)]
pub enum FamilyPick {
    #[serde(rename = "\"")]
    Key(String),
    #[serde(rename = "(")]
    Long(FamilyFields),
}

#[derive(Debug, Default, Deserialize)]
pub struct FamilyFields {
    pub family: Option<String>,
    pub columns: Option<Columns>,
    pub order: Option<Order>,
    pub first: Option<String>,
}

impl FamilyPick {
    /// Both in the long form.
    pub fn fields(self) -> FamilyFields {
        match self {
            FamilyPick::Key(key) => FamilyFields { family: Some(key), ..FamilyFields::default() },
            FamilyPick::Long(fields) => fields,
        }
    }
}

#[derive(Debug, Deserialize)]
pub enum Columns {
    Given { left: Option<Vec<String>>, right: Option<Vec<String>> },
    Choose { from: Option<Vec<String>> },
    Loose,
}

#[derive(Debug, Default, Deserialize)]
pub struct CentreLine {
    pub listing: Option<String>,
    pub name: Option<bool>,
    pub number: Option<bool>,
}

#[derive(Debug, Default, Deserialize)]
pub struct Edition {
    pub name: Option<String>,
    pub layout: Option<String>,
    pub spellings: Option<Vec<String>>,
    pub formats: Option<Vec<Format>>,
    pub families: Option<Vec<String>>,
    pub only: Option<Only>,
}

/// `spelling/TAG.ron`
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Spelling")]
pub struct Spelling {
    pub name: Option<String>,
    pub words: Option<Pairs<String>>,
    pub phrases: Option<Pairs<String>>,
    pub numbers: Option<Numbers>,
}

/// Words for whole numbers.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct Numbers {
    /// 0 to 19.
    pub units: Option<Vec<String>>,
    /// 20, 30 ... 90.
    pub tens: Option<Vec<String>>,
    /// With {tens} and {units}.
    pub between: Option<String>,
    /// With {n} for the count.
    pub hundred: Option<String>,
    pub thousand: Option<String>,
    /// With {big} and {small}.
    pub joined: Option<String>,
}

/// `"text"`, or `Forms("text", {"en-US": "text there"})`.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(from = "WordsForm")]
pub struct Words {
    pub text: String,
    pub forms: Pairs<String>,
}

#[derive(Deserialize)]
#[serde(
    expecting = "a text; write it in quotes: \"text\", or with its forms: Forms(\"text\", {\"en-US\": \"text there\"})"
)]
enum WordsForm {
    #[serde(rename = "\"")]
    Text(String),
    #[serde(alias = "(")]
    Forms(String, Pairs<String>),
}

impl From<WordsForm> for Words {
    fn from(form: WordsForm) -> Words {
        match form {
            WordsForm::Text(text) => Words { text, forms: Pairs::default() },
            WordsForm::Forms(text, forms) => Words { text, forms },
        }
    }
}

/// A colour's value.
#[derive(Debug, Clone, Deserialize)]
#[serde(
    expecting = "a colour value; write \"#rrggbb\", Lab(l, a, b) or Spectrum(from: 400, step: 10, values: [...])"
)]
pub enum Value {
    /// `"#rrggbb"`
    #[serde(rename = "\"")]
    Text(String),
    Lab(Lab),
    /// `Spectrum(from: 400, step: 10, values: [...])`
    Spectrum(Spectrum),
    /// Of an unknown kind.
    #[serde(rename = "_")]
    Other(IgnoredAny),
}

/// `Lab(l, a, b)`
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(
    expecting = "three numbers in Lab(...); give lightness, a and b, with a decimal point, not a comma: Lab(62.5, 10, -4)"
)]
pub struct Lab(pub f64, pub f64, pub f64);

#[derive(Debug, Clone, Default, Deserialize)]
pub struct Spectrum {
    pub from: Option<f64>,
    pub step: Option<f64>,
    pub values: Option<Vec<f64>>,
}

/// Key and value pairs in their written order, doubles kept for the check to find.
#[derive(Debug, Clone)]
pub struct Pairs<V>(pub Vec<(String, V)>);

impl<V> Default for Pairs<V> {
    fn default() -> Self {
        Pairs(Vec::new())
    }
}

impl Pairs<String> {
    /// As a map; the last of doubles wins.
    pub fn to_map(&self) -> BTreeMap<String, String> {
        self.0.iter().cloned().collect()
    }
}

impl<'de, V: Deserialize<'de>> Deserialize<'de> for Pairs<V> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct In<V>(PhantomData<V>);
        impl<'de, V: Deserialize<'de>> Visitor<'de> for In<V> {
            type Value = Pairs<V>;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("pairs in curly brackets")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Pairs<V>, A::Error> {
                let mut list = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    list.push(pair);
                }
                Ok(Pairs(list))
            }
        }
        d.deserialize_map(In(PhantomData))
    }
}
