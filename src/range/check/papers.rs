//! The papers of a sheet.

use super::keys::{check_key, text};
use crate::diag::{Diagnostic, Findings, Located};
use crate::range::{PaperModel, PaperSource, PaperSpec};
use crate::read::ron::Place;
use crate::read::{ColourMode, outside, raw, stays_inside};

/// Total ink that a press may be given, percent: less than black on one
/// colour or more than all four solid is a slip.
const INK: std::ops::RangeInclusive<f64> = 150.0..=400.0;
/// Reference names have some ten characters.
const LONGEST_CONDITION: usize = 60;
/// More papers than anybody prints on.
const MOST: usize = 100;

/// Every paper has a name of its own, and a model or a profile.
pub fn papers(
    raw: Option<Vec<raw::Paper>>,
    place: Place,
    findings: &mut Findings,
) -> Vec<PaperSpec> {
    let raw = raw.unwrap_or_default();
    if raw.len() > MOST {
        findings.push(
            Diagnostic::error("paper-count", format!("the sheet has {} papers", raw.len()))
                .at(place.key_span())
                .help(format!("give at most {MOST}")),
        );
        return Vec::new();
    }
    let mut out: Vec<PaperSpec> = Vec::new();
    for (i, paper) in raw.into_iter().enumerate() {
        let at = place.item(i);
        let before = findings.len();
        let source = source(&paper, at, findings);
        let name = name(&paper, at, findings);
        let (Some(source), Some(name)) = (source, name) else {
            continue;
        };
        if let Some(double) = out.iter().find(|o| o.name.eq_ignore_ascii_case(&name)) {
            findings.push(
                Diagnostic::error("double-key", format!("two papers are named '{}'", double.name))
                    .at(at.or_head("name"))
                    .help("give one of them a different name"),
            );
        }
        press(&paper, at, findings);
        let condition = paper.condition.clone().filter(|c| condition(c, &paper, at, findings));
        let values = paper.values.filter(|v| file(v, at.field("values"), findings));
        if findings.len() == before {
            out.push(PaperSpec {
                name,
                source: Located::new(source, at.or_head("profile")),
                colour_mode: paper.colour_mode,
                rendering_intent: paper.rendering_intent.unwrap_or_default(),
                ink_limit: paper.ink_limit,
                condition: Located::new(condition, at.or_head("condition")),
                values: Located::new(values, at.or_head("values")),
            });
        }
    }
    out
}

/// How much ink the press may be given, and how colours are mapped for it.
fn press(paper: &raw::Paper, at: Place, findings: &mut Findings) {
    if let Some(limit) = paper.ink_limit.filter(|l| !INK.contains(l)) {
        findings.push(
            Diagnostic::error(
                "bad-ink-limit",
                format!(
                    "the ink limit must be from {} to {} %, not {limit}",
                    INK.start(),
                    INK.end()
                ),
            )
            .at(at.field("ink_limit").span())
            .help(
                "ask the print house; about 300 is usual for coated papers, about 260 for uncoated",
            ),
        );
    }
    if paper.rendering_intent.is_some() && paper.colour_mode == Some(ColourMode::Cmyk) {
        findings.push(
            Diagnostic::error(
                "rendering-intent-without-srgb",
                "a rendering intent has no effect in a CMYK file",
            )
            .at(at.field("rendering_intent").span())
            .help("remove 'rendering_intent', or write colour_mode: srgb"),
        );
    }
}

fn source(paper: &raw::Paper, at: Place, findings: &mut Findings) -> Option<PaperSource> {
    match (&paper.model, &paper.profile) {
        (Some(_), Some(_)) => findings.push(
            Diagnostic::error("two-sources", "this paper has both a model and a profile")
                .at(at.field("model").span())
                .help("keep the profile, which is measured, and remove the model"),
        ),
        (Some(model), None) => return Some(PaperSource::Model(*model)),
        (None, Some(profile)) => {
            if file(profile, at.field("profile"), findings) {
                return Some(PaperSource::Profile(profile.clone()));
            }
        }
        (None, None) if !at.faulted("model") && !at.faulted("profile") => {
            let models = PaperModel::ALL.map(|m| m.name().replace('-', "_")).join(", ");
            findings.push(
                Diagnostic::error("missing-field", "this paper has neither a profile nor a model")
                    .at(at.head())
                    .help(format!(
                        "add profile: \"FILE.icc\", from the print house, or model: one of {models}"
                    )),
            );
        }
        (None, None) => {}
    }
    None
}

/// The name of an output condition, as registries write them: a few ASCII characters; for files of ink.
fn condition(name: &str, paper: &raw::Paper, at: Place, findings: &mut Findings) -> bool {
    let place = at.field("condition");
    let plain = |c: char| c.is_ascii_alphanumeric() || " -_.".contains(c);
    let ends = |c: char| c.is_ascii_alphanumeric();
    if !name.chars().all(plain)
        || !name.starts_with(ends)
        || !name.ends_with(ends)
        || name.len() > LONGEST_CONDITION
    {
        let message = format!("'{name}' is not the name of an output condition");
        findings.push(Diagnostic::error("bad-condition", message).at(place.span()).help(
            "write its reference name in the ICC characterization data registry, for example \"FOGRA39\" or \"CGATS TR 001\"",
        ));
        return false;
    }
    if paper.colour_mode == Some(ColourMode::Srgb) {
        let message = "an sRGB file has no output condition";
        findings.push(
            Diagnostic::error("condition-without-cmyk", message)
                .at(place.span())
                .help("remove 'condition', or write colour_mode: cmyk"),
        );
        return false;
    }
    true
}

/// The name given, or that of the model or of the profile's file.
fn name(paper: &raw::Paper, at: Place, findings: &mut Findings) -> Option<String> {
    if let Some(name) = &paper.name {
        check_key("paper", name, at.field("name"), findings);
        return Some(name.clone());
    }
    if let Some(model) = paper.model {
        return Some(model.name().to_owned());
    }
    if paper.profile.is_some() {
        findings.push(
            Diagnostic::error("missing-field", "this paper has no name").at(at.head()).help(
                "add a name for the command line and for file names, for example name: \"matte\"",
            ),
        );
    }
    None
}

/// A file inside the sheet's folder.
pub(super) fn file(name: &str, place: Place, findings: &mut Findings) -> bool {
    let before = findings.len();
    text(name, place, findings);
    if findings.len() == before && !stays_inside(name) {
        findings.push(outside(name, place.span()));
    }
    findings.len() == before
}
