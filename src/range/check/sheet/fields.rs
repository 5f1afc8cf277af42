//! Single fields of a sheet: its light, its panel of look-alikes, its own words.

use std::collections::BTreeSet;
use std::path::Path;

use crate::colour::lookalike;
use crate::diag::{Diagnostic, Findings, nearest};
use crate::qr::SquareCode;
use crate::range::check::keys::{texts, words};
use crate::range::{Light, PageSpec, Panel};
use crate::read::raw;
use crate::read::ron::Place;

/// The light under which spectra are seen; default: D50.
pub(super) fn light(raw: Option<String>, place: Place, findings: &mut Findings) -> Light {
    let Some(name) = raw else { return Light::default() };
    Light::parse(&name).unwrap_or_else(|| {
        findings.push(unknown_light(&name).at(place.span()));
        Light::default()
    })
}

/// The message for an unknown light.
pub fn unknown_light(name: &str) -> Diagnostic {
    let names = Light::ALL.map(Light::word);
    let help = match nearest(name, names) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use {}", names.join(", ")),
    };
    let name = name.escape_debug();
    Diagnostic::error("unknown-light", format!("there is no light '{name}'")).help(help)
}

/// The most pairs that a panel of look-alikes shows.
const MOST_PAIRS: i64 = 40;
/// Pairs in it by default.
const USUAL_PAIRS: usize = 6;
/// The greatest distance that can be asked for: black and white are 100 apart.
pub const MOST_APART: f64 = 100.0;

/// Is it a distance up to which colours can be look-alikes?
pub fn is_limit(limit: f64) -> bool {
    limit > 0.0 && limit <= MOST_APART
}

pub(super) fn panel(
    raw: Option<raw::Lookalikes>,
    place: Place,
    findings: &mut Findings,
) -> Option<Panel> {
    let raw = raw?;
    let mut show = USUAL_PAIRS;
    if let Some(n) = raw.show {
        match usize::try_from(n).ok().filter(|_| (1..=MOST_PAIRS).contains(&n)) {
            Some(n) => show = n,
            None => findings.push(
                Diagnostic::error(
                    "out-of-bounds",
                    format!("the number of pairs must be from 1 to {MOST_PAIRS}, not {n}"),
                )
                .at(place.field("show").span())
                .help("write a whole number, for example 6"),
            ),
        }
    }
    let mut limit = lookalike::LIMIT;
    if let Some(n) = raw.limit {
        if is_limit(n) {
            limit = n;
        } else {
            findings.push(
                Diagnostic::error(
                    "out-of-bounds",
                    format!("the limit of look-alikes must be over 0 and up to 100, not {n}"),
                )
                .at(place.field("limit").span())
                .help("write a CIEDE2000 difference, for example 10"),
            );
        }
    }
    Some(Panel { show, limit })
}

/// What the page for buyers says: addresses that can be followed, a licence, and whether sheets show its code.
pub(super) fn page_spec(raw: raw::Page, place: Place, findings: &mut Findings) -> PageSpec {
    let shop = address(raw.shop, place.field("shop"), findings);
    let own = address(raw.address, place.field("address"), findings);
    let licence = raw.licence.map(|licence| words(licence, place.field("licence"), findings));
    let asked = raw.code == Some(true);
    if asked && own.is_none() && !place.faulted("address") {
        let message = "there is no address for the code";
        let help =
            "add the address of the page, for example address: \"https://example.com/colours\"";
        findings.push(
            Diagnostic::error("no-address", message).at(place.field("code").span()).help(help),
        );
    }
    let code = own.as_deref().filter(|_| asked).and_then(|own| {
        let code = (own.len() <= LONGEST_CODE).then(|| SquareCode::small(own)).flatten();
        if code.is_none() {
            let message = format!("the address has {} characters, too many for a code", own.len());
            let help = format!("use one of at most {LONGEST_CODE}");
            findings.push(
                Diagnostic::error("bad-address", message)
                    .at(place.field("address").span())
                    .help(help),
            );
        }
        code
    });
    PageSpec { shop, licence: licence.unwrap_or_default(), address: own, code }
}

/// The most characters of an address whose code is printed: of more the modules get too small for a telephone.
const LONGEST_CODE: usize = 120;

/// The address of a page on the web.
fn address(raw: Option<String>, place: Place, findings: &mut Findings) -> Option<String> {
    raw.filter(|address| {
        let web = ["https://", "http://"].iter().any(|scheme| {
            let rest = address.strip_prefix(scheme);
            rest.is_some_and(|rest| rest.starts_with(char::is_alphanumeric))
        });
        let odd = |c: char| c.is_whitespace() || c.is_control() || "\"<>".contains(c);
        let good = web && !address.contains(odd);
        if !good {
            let message = format!("'{}' is not the address of a page", address.escape_debug());
            let help = "write it in full, for example \"https://example.com/shop\"";
            findings.push(Diagnostic::error("bad-address", message).at(place.span()).help(help));
        }
        good
    })
}

/// Custom words for the proofreader: each a single word, none twice.
pub(super) fn own_words(
    raw: Option<Vec<String>>,
    place: Place,
    findings: &mut Findings,
) -> Vec<String> {
    let mut seen = BTreeSet::new();
    texts(raw, place, findings, |word| {
        let bad = |message: String| Diagnostic::error("bad-own-word", message);
        if word.split_whitespace().count() > 1 {
            return Some(
                bad(format!("'{word}' is more than one word")).help("list each word separately"),
            );
        }
        if !word.chars().any(char::is_alphabetic) || word.trim() != word {
            let help = "write one word, for example \"tideline\"";
            return Some(bad(format!("'{word}' is not a word")).help(help));
        }
        let twice = || Diagnostic::error("double-key", format!("the word '{word}' is given twice"));
        (!seen.insert(word.to_lowercase())).then(|| twice().help("keep one of them"))
    })
}

/// The folder's name as a key: other signs become hyphens.
pub(super) fn folder_name(file: &Path) -> String {
    let absolute = std::path::absolute(file).unwrap_or_else(|_| file.to_path_buf());
    let name =
        absolute.parent().and_then(Path::file_name).map(|n| n.to_string_lossy().into_owned());
    let name: String = name
        .unwrap_or_default()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let name = name.trim_matches('-');
    if name.is_empty() { "sheet".to_owned() } else { name.to_owned() }
}
