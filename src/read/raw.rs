//! The files as they are written: a mirror without any judgement.
//!
//! Every field may be missing, so that one fault does not hide the others;
//! checking says what is needed.

use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;

use serde::Deserialize;
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};

use super::{ColourMode, FamilyOrder, Finish, Format, Order, PaperModel, RenderingIntent, Side};

/// `range.ron`
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Range", default, deny_unknown_fields)]
pub struct Range {
    pub maker: Option<Words>,
    pub release: Option<Words>,
    pub proper_names: Option<Vec<String>>,
    pub listings: Option<Vec<Listing>>,
    pub families: Option<Vec<Family>>,
    pub parts: Option<Rows<Part>>,
    pub colours: Option<Rows<Colour>>,
    pub made: Option<MadeIn>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Listing {
    pub key: Option<String>,
    pub title: Option<Words>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Family {
    pub key: Option<String>,
    pub title: Option<Words>,
    pub note: Option<Words>,
    pub legend: Option<Words>,
    pub finish: Option<Finish>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
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
#[serde(default, deny_unknown_fields)]
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
#[derive(Debug)]
pub enum Rows<T> {
    List(Vec<T>),
    Table(Table),
}

/// `Table(file: "colours.xlsx", sheet: "2026", headings: {"your heading": "key"})`
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Table {
    pub file: Option<String>,
    pub sheet: Option<String>,
    pub headings: Option<Pairs<String>>,
}

/// The matrix: written here, or a table in another file.
#[derive(Debug)]
pub enum MadeIn {
    Here(Made),
    Table(Table),
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Made {
    pub parts: Option<Vec<String>>,
    pub rows: Option<Pairs<String>>,
    pub years: Option<Pairs<Pairs<Years>>>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Years {
    pub from: Option<i64>,
    pub to: Option<i64>,
}

/// `sheet.ron`
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Sheet", default, deny_unknown_fields)]
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
}

/// A paper that the sheet is printed on.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
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
#[serde(default, deny_unknown_fields)]
pub struct Lookalikes {
    pub show: Option<i64>,
    pub limit: Option<f64>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LeaveOut {
    pub colours: Option<Vec<String>>,
    pub reason: Option<Words>,
}

/// A family of the sheet: its key, or the key and how its parts and its colours stand.
#[derive(Debug, Default)]
pub struct FamilyPick {
    pub family: Option<String>,
    pub columns: Option<Columns>,
    pub order: Option<Order>,
    pub first: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Columns {
    Given {
        #[serde(default)]
        left: Vec<String>,
        #[serde(default)]
        right: Vec<String>,
    },
    Choose {
        #[serde(default)]
        from: Option<Vec<String>>,
    },
    Loose,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CentreLine {
    pub listing: Option<String>,
    pub name: Option<bool>,
    pub number: Option<bool>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Edition {
    pub name: Option<String>,
    pub layout: Option<String>,
    pub spellings: Option<Vec<String>>,
    pub formats: Option<Vec<Format>>,
    pub families: Option<Vec<String>>,
}

/// `spelling/TAG.ron`
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Spelling", default, deny_unknown_fields)]
pub struct Spelling {
    pub name: Option<String>,
    pub words: Option<Pairs<String>>,
    pub phrases: Option<Pairs<String>>,
    pub numbers: Option<Numbers>,
}

/// Words for whole numbers.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
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
#[derive(Debug, Clone, Default)]
pub struct Words {
    pub text: String,
    pub forms: Pairs<String>,
}

/// A colour's value.
#[derive(Debug, Clone)]
pub enum Value {
    /// `"#rrggbb"`
    Text(String),
    /// `Lab(l, a, b)`
    Lab([f64; 3]),
    /// `Spectrum(from: 400, step: 10, values: [...])`
    Spectrum(Spectrum),
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
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

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Rows<T> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct In<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for In<T> {
            type Value = Rows<T>;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(r#"a list in square brackets, or Table(file: "colours.csv")"#)
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Rows<T>, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(seq)).map(Rows::List)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Rows<T>, A::Error> {
                Table::deserialize(MapAccessDeserializer::new(map)).map(Rows::Table)
            }
        }
        d.deserialize_any(In(PhantomData))
    }
}

impl<'de> Deserialize<'de> for MadeIn {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        /// The fields of both.
        #[derive(Default, Deserialize)]
        #[serde(default, deny_unknown_fields)]
        struct Both {
            parts: Option<Vec<String>>,
            rows: Option<Pairs<String>>,
            years: Option<Pairs<Pairs<Years>>>,
            file: Option<String>,
            sheet: Option<String>,
            headings: Option<Pairs<String>>,
        }
        struct In;
        impl<'de> Visitor<'de> for In {
            type Value = MadeIn;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(r#"(parts: [...], rows: {...}), or Table(file: "made.csv")"#)
            }
            // `()`: everything is left to its default.
            fn visit_unit<E>(self) -> Result<MadeIn, E> {
                Ok(MadeIn::Here(Made::default()))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<MadeIn, A::Error> {
                let both = Both::deserialize(MapAccessDeserializer::new(map))?;
                let table = both.file.is_some() || both.sheet.is_some() || both.headings.is_some();
                Ok(if table {
                    MadeIn::Table(Table {
                        file: both.file,
                        sheet: both.sheet,
                        headings: both.headings,
                    })
                } else {
                    MadeIn::Here(Made { parts: both.parts, rows: both.rows, years: both.years })
                })
            }
        }
        d.deserialize_any(In)
    }
}

impl<'de> Deserialize<'de> for Words {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct In;
        impl<'de> Visitor<'de> for In {
            type Value = Words;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(r#"a text in quotes, or Forms("text", {"en-US": "text there"})"#)
            }
            fn visit_str<E>(self, text: &str) -> Result<Words, E> {
                Ok(Words { text: text.to_owned(), forms: Pairs::default() })
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Words, A::Error> {
                let (text, forms) = Deserialize::deserialize(SeqAccessDeserializer::new(seq))?;
                Ok(Words { text, forms })
            }
        }
        d.deserialize_any(In)
    }
}

impl<'de> Deserialize<'de> for Value {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct In;
        impl<'de> Visitor<'de> for In {
            type Value = Value;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(
                    r##""#rrggbb", Lab(l, a, b) or Spectrum(from: 400, step: 10, values: [...])"##,
                )
            }
            fn visit_str<E>(self, text: &str) -> Result<Value, E> {
                Ok(Value::Text(text.to_owned()))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Value, A::Error> {
                Ok(Value::Lab(Deserialize::deserialize(SeqAccessDeserializer::new(seq))?))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Value, A::Error> {
                Ok(Value::Spectrum(Deserialize::deserialize(MapAccessDeserializer::new(map))?))
            }
        }
        d.deserialize_any(In)
    }
}

impl<'de> Deserialize<'de> for FamilyPick {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        #[derive(Default, Deserialize)]
        #[serde(default, deny_unknown_fields)]
        struct Long {
            family: Option<String>,
            columns: Option<Columns>,
            order: Option<Order>,
            first: Option<String>,
        }
        struct In;
        impl<'de> Visitor<'de> for In {
            type Value = FamilyPick;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(r#"a family's key in quotes, or (family: "key", columns: ...)"#)
            }
            fn visit_str<E>(self, key: &str) -> Result<FamilyPick, E> {
                Ok(FamilyPick { family: Some(key.to_owned()), ..FamilyPick::default() })
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<FamilyPick, A::Error> {
                let Long { family, columns, order, first } =
                    Long::deserialize(MapAccessDeserializer::new(map))?;
                Ok(FamilyPick { family, columns, order, first })
            }
        }
        d.deserialize_any(In)
    }
}
