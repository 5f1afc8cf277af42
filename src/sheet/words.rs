//! The sheet's own words with their blanks filled in.

use crate::colour::lookalike::Word;
use crate::plan::{Facts, Plan};
use crate::range::{ColourRange, Words};
use crate::spelling::Spelling;

/// 'drawn at true size', or at which part of it.
pub fn scale_phrase(spelling: &Spelling, scale: f64) -> String {
    if (scale - 1.0).abs() < 1e-9 {
        return spelling.phrase("scale_true", &[]);
    }
    spelling.phrase("scale_ratio", &[("ratio", &ratio(scale))])
}

/// A scale with at most three decimals.
pub fn ratio(scale: f64) -> String {
    let text = format!("{scale:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A part's size with its unit: millimetres where it names none.
pub fn with_unit(size: &str) -> String {
    let bare = size.ends_with(|c: char| c.is_numeric());
    if bare { format!("{size} mm") } else { size.to_owned() }
}

/// Words of the sheet in the edition's spelling, with `{colours}`,
/// `{colours_words}`, `{families}`, `{families_words}`, `{scale}`, `{maker}`,
/// `{release}` and `{spelling}` filled in.
pub fn filled(facts: &Facts<'_>, spelling: &Spelling, scale: f64, words: &Words) -> String {
    let colours: usize = facts.families.iter().map(|f| f.rows.len()).sum();
    filled_with(facts.range, [colours, facts.families.len()], spelling, scale, words)
}

/// The same for so many colours and families, without a layout.
pub fn filled_with(
    range: &ColourRange,
    [colours, families]: [usize; 2],
    spelling: &Spelling,
    scale: f64,
    words: &Words,
) -> String {
    let blanks = [
        ("{colours}", colours.to_string()),
        ("{colours_words}", spelling.number_words(colours)),
        ("{families}", families.to_string()),
        ("{families_words}", spelling.number_words(families)),
        ("{scale}", scale_phrase(spelling, scale)),
        ("{maker}", spelling.apply(range.maker())),
        ("{release}", spelling.apply(range.release())),
        ("{spelling}", spelling.phrase("spelling_name", &[])),
    ];
    // Filled in after the word list, which would respell a name that is filled in.
    blanks.iter().fold(spelling.apply(words), |text, (blank, value)| text.replace(blank, value))
}

/// The colours left out, grouped by reason: 'A, B and C, withdrawn; D, to order only.'
pub fn left_out(facts: &Facts<'_>, spelling: &Spelling) -> Option<String> {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for left in facts.sheet.left_out() {
        let Some(reason) = &left.reason().value else { continue };
        let reason = spelling.apply(reason);
        let colour = facts.range.colour(left.colour());
        let name = colour.names().iter().flatten().next().map(|w| spelling.apply(w));
        let name = name.unwrap_or_else(|| colour.key().clone());
        match groups.iter_mut().find(|(r, _)| *r == reason) {
            Some((_, names)) => names.push(name),
            None => groups.push((reason, vec![name])),
        }
    }
    if groups.is_empty() {
        return None;
    }
    let parts: Vec<String> = groups
        .iter()
        .map(|(reason, names)| {
            let names = spelling.list(names);
            spelling.phrase("left_out_group", &[("names", &names), ("reason", reason)])
        })
        .collect();
    let text = parts.join("; ");
    let mut chars = text.chars();
    let first: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    Some(format!("{first}{}.", chars.as_str()))
}

/// Which parts have no column on this sheet, in full and in short; none where all are shown.
pub fn unshown(facts: &Facts<'_>, plan: &Plan, spelling: &Spelling) -> Option<[String; 2]> {
    let unshown = &plan.unshown;
    if unshown.samples == 0 {
        return None;
    }
    let (n, all) = (unshown.samples.to_string(), unshown.of.to_string());
    let parts = spelling.list(&unshown.labels(facts));
    let fill = [("parts", parts.as_str()), ("n", n.as_str()), ("all", all.as_str())];
    Some([spelling.phrase("unshown_note", &fill), spelling.phrase("unshown_short", &fill[1..])])
}

/// How a colour differs from another, in the words of a spelling: 'lighter, greyer'.
pub fn difference_words(spelling: &Spelling, words: &[Word]) -> String {
    let said = words.iter().map(|word| spelling.phrase(phrase_key(*word), &[]));
    said.collect::<Vec<_>>().join(&spelling.phrase("differs_and", &[]))
}

fn phrase_key(word: Word) -> &'static str {
    match word {
        Word::Same => "differs_same",
        Word::Lighter => "differs_lighter",
        Word::Darker => "differs_darker",
        Word::Redder => "differs_redder",
        Word::Greener => "differs_greener",
        Word::Yellower => "differs_yellower",
        Word::Bluer => "differs_bluer",
        Word::Stronger => "differs_stronger",
        Word::Greyer => "differs_greyer",
    }
}
