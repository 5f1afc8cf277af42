//! Characters of a sheet's words that its style's fonts lack.

use super::Editions;
use crate::diag::{Findings, Span, lacks};
use crate::plan::style::{RowSize, SHIPPED_STYLES, TypeScale};
use crate::plan::{Look, Style, Voice};
use crate::range::{Colour, Words};
use crate::spelling::Spelling;

/// The voice of a kind of text.
type Kind = fn(&TypeScale<Voice>) -> &Voice;

impl Editions {
    /// Characters of the sheet's words that the style's fonts lack: all those of a text together.
    pub fn missing_characters(&self) -> Findings {
        let Some(edition) = self.list.first() else { return Findings::default() };
        let layout = &edition.layout;
        let page = (layout.width, layout.height);
        let look = |style: &Style| {
            Look::with_rows(style, page, &RowSize::of(layout.rows_page()), layout.type_floor)
        };
        let own = match look(&self.style) {
            Ok(look) => look,
            Err(d) => return d.into(),
        };
        let others = || -> Vec<(&'static str, Look)> {
            let shipped = SHIPPED_STYLES
                .iter()
                .filter_map(|(name, _)| Some((*name, look(&Style::shipped(name).ok()?).ok()?)));
            shipped.collect()
        };
        let mut search = Search {
            editions: self,
            own,
            others: &others,
            found: None,
            findings: Findings::default(),
        };
        for (_, spelling) in self.spellings() {
            search.sheet(spelling);
            search.families(spelling);
            search.parts(spelling);
        }
        search.findings
    }
}

/// The characters that the face of a kind of text and its stand-in both lack.
fn missing(look: &Look, kind: Kind, text: &str) -> Vec<char> {
    look.faces[look.faces.of(kind(&look.voices).face, text)].missing(text)
}

struct Search<'a> {
    editions: &'a Editions,
    own: Look,
    /// The shipped styles with their fonts, which are read only where characters are missing.
    others: &'a dyn Fn() -> Vec<(&'static str, Look)>,
    found: Option<Vec<(&'static str, Look)>>,
    findings: Findings,
}

impl Search<'_> {
    /// `what`: the text's place in words, such as 'the title'.
    fn check(&mut self, kind: Kind, text: &str, what: &str, span: &Option<Span>) {
        let lacking = missing(&self.own, kind, text);
        if lacking.is_empty() {
            return;
        }
        let others = self.found.get_or_insert_with(self.others);
        let has = others.iter().find(|(_, look)| missing(look, kind, text).is_empty());
        let help = match has {
            Some((name, _)) => {
                format!(
                    "write it with other letters, or choose the style '{name}', whose fonts have them"
                )
            }
            None => "write it with other letters: no style that comes with the program has them"
                .to_owned(),
        };
        let whole =
            || Some(Span { file: self.editions.sheet.file().as_path().into(), range: 0..0 });
        let span = span.clone().or_else(whole);
        self.findings.push(lacks(&format!("{what} "), text, &lacking).at(span).help(help));
    }

    fn sheet(&mut self, spelling: &Spelling) {
        let Editions { range, sheet, .. } = self.editions;
        let say = |words: &Words| spelling.apply(words);
        let texts: [(Kind, &Words, &str, &Option<Span>); 5] = [
            (|v| &v.title, sheet.title(), "the title", &sheet.title().span),
            (|v| &v.subtitle, sheet.subtitle(), "the subtitle", &sheet.subtitle().span),
            (|v| &v.maker, range.maker(), "the maker's name", &range.maker().span),
            (|v| &v.corner_text, sheet.corner_text(), "the corner text", &sheet.corner_text().span),
            (
                |v| &v.corner_text,
                sheet.edition_line(),
                "the edition line",
                &sheet.edition_line().span,
            ),
        ];
        for (kind, words, what, span) in texts {
            self.check(kind, &say(words), what, span);
        }
        for words in sheet.notes() {
            self.check(|v| &v.body, &say(words), "the note", &words.span);
        }
        for words in sheet.imprint() {
            self.check(|v| &v.imprint, &say(words), "the imprint", &words.span);
        }
        if let Some(marked) = sheet.marked_new() {
            self.check(|v| &v.body, &say(&marked.since), "the older release", &None);
        }
        for left in sheet.left_out() {
            if let Some(reason) = &left.reason().value {
                self.check(|v| &v.body, &say(reason), "the reason", &left.reason().span);
            }
        }
    }

    fn families(&mut self, spelling: &Spelling) {
        let Editions { range, sheet, .. } = self.editions;
        let say = |words: &Words| spelling.apply(words);
        for family in sheet.families() {
            let shown = range.family(family.family());
            self.check(|v| &v.family, &say(shown.title()), "the family title", &shown.title().span);
            self.check(
                |v| &v.family_note,
                &say(shown.note()),
                "the family note",
                &shown.note().span,
            );
            let (legend, at) = (say(shown.legend()), &shown.legend().span);
            self.check(|v| &v.legend_note, &legend, "the legend text", at);
            for colour in family.rows().iter().map(|c| range.colour(*c)) {
                if sheet.lookalikes().is_some() {
                    let kinds: [Kind; 2] = [|v| &v.legend, |v| &v.number];
                    self.colour(colour, sheet.headings().0, kinds, spelling);
                }
                for (i, line) in sheet.centre().iter().enumerate() {
                    let kinds: [Kind; 2] = match i {
                        0 => [|v| &v.name, |v| &v.number],
                        _ => [|v| &v.other_name, |v| &v.other_number],
                    };
                    self.colour(colour, line.listing.0, kinds, spelling);
                }
            }
        }
    }

    /// A colour's name and number in a listing.
    fn colour(
        &mut self,
        colour: &Colour,
        listing: usize,
        [name, number]: [Kind; 2],
        spelling: &Spelling,
    ) {
        let named = &colour.names()[listing];
        if let Some(words) = &named.value {
            self.check(name, &spelling.apply(words), "the name", &named.span);
        }
        let numbered = &colour.numbers()[listing];
        if let Some(text) = &numbered.value {
            self.check(number, text, "the number", &numbered.span);
        }
    }

    fn parts(&mut self, spelling: &Spelling) {
        for part in self.editions.range.parts() {
            let at = part.span();
            let size = spelling.apply(part.size());
            self.check(|v| &v.size, &size, "the part size", at);
            let title = spelling.apply(part.title());
            self.check(|v| &v.body, &title, "the part title", &part.title().span);
            for number in part.numbers().iter().flatten() {
                self.check(|v| &v.heading, number, "the part number", at);
            }
        }
    }
}
