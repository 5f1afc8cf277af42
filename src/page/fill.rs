//! The template with everything in it.

use std::collections::HashMap;
use std::fmt::Write as _;

use serde_json::Value;

use super::policy::policy;
use super::request::{PageRequest, Preview};
use super::shown::Shown;
use super::site;
use super::table::{Table, escaped};
use super::texts::Texts;
use crate::range::Value as Given;

/// What the page's script reads, each in an element of its own.
pub struct Filling {
    pub data: Value,
    pub drawings: Value,
    pub fonts: Value,
}

/// The page as one file.
pub fn page(
    request: &PageRequest<'_>,
    shown: &Shown,
    texts: &Texts<'_>,
    filling: &Filling,
) -> String {
    let facts = &request.spelled[0].facts;
    let (range, sheet) = (facts.range, facts.sheet);
    let first = texts.first();
    let table = Table { range, shown, texts, order_from: request.order_from };
    let (style, script, colours) = (site::style(), site::script(), chips(request, shown));
    let early = between(site::TEMPLATE, "<script>", "</script>");
    let policy = policy(&[early, &script], &[&style, &colours]);
    let filled = |words| escaped(&texts.filled_in(first, words));
    let blanks: HashMap<&str, String> = [
        ("<!--#LANG-->", escaped(first.tag())),
        ("<!--#DIR-->", direction(first.tag()).to_owned()),
        ("<!--#CSP-->", policy),
        ("<!--#TITLE-->", filled(sheet.title())),
        ("<!--#SUBTITLE-->", filled(sheet.subtitle())),
        ("<!--#MAKER-->", escaped(&first.apply(range.maker()))),
        ("<!--#RELEASE-->", escaped(&first.apply(range.release()))),
        ("/*#STYLE*/", style),
        ("/*#COLOURS*/", colours),
        ("<!--#HEAD_CELLS-->", table.heads()),
        ("<!--#ROWS-->", table.rows()),
        ("<!--#DOWNLOADS-->", downloads(request)),
        ("<!--#SHOP-->", shop(request, texts)),
        ("<!--#LICENCE-->", licence(request, texts)),
        ("<!--#DATA-->", json(&filling.data)),
        ("<!--#DRAWINGS-->", json(&filling.drawings)),
        ("<!--#FONTS-->", json(&filling.fonts)),
        ("/*#SCRIPT*/", script),
    ]
    .into_iter()
    .collect();
    filled_in(site::TEMPLATE, |blank| {
        blanks.get(blank).cloned().or_else(|| {
            let key = blank.strip_prefix("<!--#")?.strip_suffix("-->")?;
            key.starts_with("page_").then(|| escaped(&first.phrase(key, &[])))
        })
    })
}

/// One pass over a text: what a blank is filled with is not looked at again.
fn filled_in(template: &str, fill: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(template.len());
    let mut rest = template;
    loop {
        let next = [("<!--#", "-->"), ("/*#", "*/")]
            .into_iter()
            .filter_map(|(open, close)| rest.find(open).map(|at| (at, close)))
            .min();
        let Some((at, close)) = next else { break };
        let end = rest[at..].find(close).map_or(rest.len(), |end| at + end + close.len());
        out.push_str(&rest[..at]);
        match fill(&rest[at..end]) {
            Some(text) => out.push_str(&text),
            None => out.push_str(&rest[at..end]),
        }
        rest = &rest[end..];
    }
    out + rest
}

/// The text between two others, the first time.
fn between<'a>(text: &'a str, open: &str, close: &str) -> &'a str {
    let inner = text.split_once(open).map_or("", |(_, rest)| rest);
    inner.split_once(close).map_or("", |(inner, _)| inner)
}

/// Nothing in it ends the element that it is in.
fn json(value: &Value) -> String {
    value.to_string().replace('<', "\\u003c")
}

/// A rule for the chip of each colour.
fn chips(request: &PageRequest<'_>, shown: &Shown) -> String {
    let range = request.spelled[0].facts.range;
    let mut out = String::new();
    for (index, id) in shown.colours.iter().enumerate() {
        let colour = range.colour(*id);
        if *colour.value() != Given::Unknown {
            let _ = write!(out, ".c{index}{{background:{}}}", colour.rgb().hex());
        }
    }
    out
}

fn downloads(request: &PageRequest<'_>) -> String {
    let one = |p: &Preview| {
        format!(
            "<li><a href=\"{}\" download>{}</a> <i>{} × {}</i></li>",
            escaped(&p.file),
            escaped(&p.title),
            p.width,
            p.height
        )
    };
    request.previews.iter().map(one).collect()
}

fn shop(request: &PageRequest<'_>, texts: &Texts<'_>) -> String {
    let shop = request.spelled[0].facts.sheet.page().as_ref().and_then(|page| page.shop().clone());
    let said = escaped(&texts.first().phrase("page_shop", &[]));
    shop.map(|shop| format!("<p><a rel=\"noreferrer\" href=\"{}\">{said}</a></p>", escaped(&shop)))
        .unwrap_or_default()
}

fn licence(request: &PageRequest<'_>, texts: &Texts<'_>) -> String {
    let page = request.spelled[0].facts.sheet.page().as_ref();
    let text = page.map(|page| texts.first().apply(page.licence())).unwrap_or_default();
    if text.is_empty() { text } else { format!("<p>{}</p>", escaped(&text)) }
}

/// Languages that are written from right to left, by their tags (ISO 639; from memory).
const RIGHT_TO_LEFT: [&str; 8] = ["ar", "dv", "fa", "he", "ps", "sd", "ur", "yi"];

fn direction(tag: &str) -> &'static str {
    let language = tag.split('-').next().unwrap_or(tag);
    if RIGHT_TO_LEFT.contains(&language) { "rtl" } else { "ltr" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_fills_a_blank_is_not_filled_again() {
        let fill = |blank: &str| match blank {
            "<!--#A-->" => Some("/*#B*/ and <!--#A-->".to_owned()),
            "/*#B*/" => Some("b".to_owned()),
            _ => None,
        };
        assert_eq!(
            filled_in("x<!--#A-->y/*#B*/z<!--#C--><!-- d", fill),
            "x/*#B*/ and <!--#A-->yb".to_owned() + "z<!--#C--><!-- d"
        );
    }
}
