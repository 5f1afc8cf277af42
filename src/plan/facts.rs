//! What the solver needs to know of a sheet, measured once per edition.

use std::collections::BTreeMap;

use super::layout::Layout;
use super::style::{Look, SpineForm, Voice};
use crate::colour::clusters::clusters;
use crate::colour::lookalike::{Word, words};
use crate::colour::{Lab50, difference};
use crate::qr::QUIET;
use crate::range::{ColourId, ColourRange, Columns, Finish, PartId, SheetSpec, Side, Words};
use crate::work::Work;

/// Turns words into the edition's spelling.
pub type Speller<'a> = &'a dyn Fn(&Words) -> String;

/// A part's true size and the widths of its labels, mm.
#[derive(Debug, Clone)]
pub struct PartFacts {
    pub width: f64,
    pub height: f64,
    pub side: Side,
    pub role: String,
    /// The number printed over its column or under it.
    pub label: String,
    pub heading_width: f64,
    pub size_width: f64,
    pub under_width: f64,
}

/// One line of a row's spine: widths in mm at nominal size.
#[derive(Debug, Clone)]
pub struct LineFacts {
    pub name: String,
    pub number: String,
    pub name_width: f64,
    pub number_width: f64,
    /// Width of the name broken in two at its best space, where it has one.
    pub broken_width: f64,
}

/// One colour's row.
#[derive(Debug, Clone)]
pub struct RowFacts {
    pub colour: ColourId,
    /// Bit `i` is set where part `i` is made; parts past 128 are not shown.
    pub made: u128,
    pub lines: Vec<LineFacts>,
}

impl RowFacts {
    /// Makes each line at least as wide as the same row's in another spelling.
    fn widen(&mut self, other: &RowFacts) {
        // A line without words is left out: there may be more in the other.
        let more = other.lines.iter().skip(self.lines.len()).cloned();
        self.lines.extend(more);
        for (line, other) in self.lines.iter_mut().zip(&other.lines) {
            if other.broken_width > line.broken_width {
                line.name.clone_from(&other.name);
            }
            line.name_width = line.name_width.max(other.name_width);
            line.number_width = line.number_width.max(other.number_width);
            line.broken_width = line.broken_width.max(other.broken_width);
        }
    }
}

/// One family's rows.
#[derive(Debug, Clone)]
pub struct FamilyFacts {
    /// Index into the sheet's families.
    pub index: usize,
    /// Of its title, mm.
    pub title_width: f64,
    pub rows: Vec<RowFacts>,
    pub columns: Columns,
    /// CIEDE2000 from each row to the next: a wide step is a good place to split.
    pub steps: Vec<f64>,
}

/// One colour of a cluster: its name and its number in the listing of the headings.
#[derive(Debug, Clone, PartialEq)]
pub struct AlikeColour {
    pub colour: ColourId,
    pub words: (String, String),
}

/// Look-alikes of one finish, all close to each other, at least two.
#[derive(Debug, Clone, PartialEq)]
pub struct ClusterFacts {
    pub colours: Vec<AlikeColour>,
    /// How each but the first differs from the one before it.
    pub differs: Vec<Vec<Word>>,
}

/// How the spine is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpineChoice {
    pub form: SpineForm,
    pub fit: NameFit,
    /// Width, mm.
    pub width: f64,
    /// Width of the widest number, mm.
    pub numbers: f64,
    /// Lines of the tallest row.
    pub lines: usize,
    /// Of tight names: how far they are from their least size to their full one, 0 to 1.
    pub ease: f64,
}

/// What may be done to a long name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameFit {
    /// The spine is as wide as the longest name.
    Full,
    /// All names are set smaller, down to [`LEAST_SHRINK`] of their size or the least size of type: one
    /// that shrank alone would look like another kind.
    Tight,
    /// Names break into two lines.
    Broken,
}

impl SpineChoice {
    /// The voice in which names are set that are of this voice where there is room.
    pub fn name(&self, look: &Look, voice: Voice) -> Voice {
        match self.fit {
            NameFit::Tight => voice.sized(voice.size * eased(look, voice, self.ease)),
            NameFit::Full | NameFit::Broken => voice,
        }
    }

    /// Does a name not fit beside its number on one line, as wide as they are, mm?
    pub fn is_too_long(&self, look: &Look, name: f64, number: f64) -> bool {
        let beside = match self.form {
            SpineForm::NumbersThenNames => self.numbers,
            SpineForm::NamesThenNumbers | SpineForm::RunOn => number,
        };
        let gap = if beside > 0.0 { look.between_number_and_name(self.form) } else { 0.0 };
        look.chip.0 + look.chip_gap + name + gap + beside > self.width + 1e-6
    }

    /// Lines of the tallest row where long names break.
    fn broken_lines(&self, families: &[FamilyFacts], look: &Look) -> usize {
        let breaks = |l: &&LineFacts| {
            l.broken_width < l.name_width && self.is_too_long(look, l.name_width, l.number_width)
        };
        let lines = |row: &RowFacts| row.lines.len() + row.lines.iter().filter(breaks).count();
        families.iter().flat_map(|f| &f.rows).map(lines).max().unwrap_or(0).max(1)
    }

    /// The same with tight names as large as `more` mm of width allow.
    #[must_use]
    pub fn with_room(self, facts: &Facts<'_>, more: f64) -> SpineChoice {
        const HALVINGS: usize = 10;
        if self.fit != NameFit::Tight {
            return self;
        }
        let look = &facts.look;
        let width = |ease: f64| {
            let shares = name_voices(look).map(|voice| eased(look, voice, ease));
            spine_width(&facts.families, look, self.form, &|l, i| l.name_width * shares[i.min(1)])
        };
        let room = self.width + more;
        let (mut low, mut high) = (self.ease, 1.0);
        if width(high) <= room {
            return SpineChoice { fit: NameFit::Full, width: width(high), ease: high, ..self };
        }
        for _ in 0..HALVINGS {
            let middle = (low + high) / 2.0;
            if width(middle) <= room { low = middle } else { high = middle }
        }
        SpineChoice { width: width(low).max(self.width), ease: low, ..self }
    }
}

/// The share of their size at which names are set in a narrow spine.
pub const LEAST_SHRINK: f64 = 0.86;

/// From so many colours on the choice of a plan is bounded.
pub const LARGE: usize = 400;

/// Everything measured for one edition.
#[derive(Clone)]
pub struct Facts<'a> {
    pub range: &'a ColourRange,
    pub sheet: &'a SheetSpec,
    pub look: Look,
    pub layout: Layout,
    pub parts: Vec<PartFacts>,
    pub families: Vec<FamilyFacts>,
    pub spines: Vec<SpineChoice>,
    /// What the panel of look-alikes shows, nearest first; empty without one.
    pub alike: Vec<ClusterFacts>,
    /// What planning counts and asks.
    pub work: Work,
}

/// What is measured.
#[derive(Clone, Copy)]
pub struct Subject<'a, 'b> {
    pub range: &'a ColourRange,
    pub sheet: &'a SheetSpec,
    /// Indices into the sheet's families, in its order.
    pub shown: &'b [usize],
    /// What planning counts and asks.
    pub work: &'b Work,
}

impl<'a> Facts<'a> {
    /// Measures families of a sheet.
    pub fn new(
        subject: &Subject<'a, '_>,
        look: Look,
        layout: Layout,
        say: Speller<'_>,
    ) -> Facts<'a> {
        let Subject { range, sheet, shown, work } = *subject;
        let look = with_code(look, sheet);
        let parts = range.parts().iter().map(|p| part_facts(p, sheet, &look, say)).collect();
        let families: Vec<FamilyFacts> =
            shown.iter().map(|&i| family_facts(range, sheet, i, &look, say)).collect();
        let spines = spine_choices(&families, &look);
        let shown = families.iter().flat_map(|f| &f.rows).map(|r| r.colour);
        let alike = closest(range, sheet, shown, say, work);
        let work = work.clone();
        Facts { range, sheet, look, layout, parts, families, spines, alike, work }
    }

    /// The facts to plan by where an edition comes in several spellings: every
    /// name as wide as in the spelling in which it is widest.
    ///
    /// `all` are the same edition's in each spelling, at least one.
    pub fn widest(all: &[Facts<'a>]) -> Facts<'a> {
        let (first, others) = (&all[0], &all[1..]);
        let mut out = first.clone();
        for (p, part) in out.parts.iter_mut().enumerate() {
            let widths = others.iter().map(|o| o.parts[p].size_width);
            part.size_width = widths.fold(part.size_width, f64::max);
        }
        for (f, family) in out.families.iter_mut().enumerate() {
            let widths = others.iter().map(|o| o.families[f].title_width);
            family.title_width = widths.fold(family.title_width, f64::max);
            for (r, row) in family.rows.iter_mut().enumerate() {
                for other in others {
                    row.widen(&other.families[f].rows[r]);
                }
            }
        }
        out.spines = spine_choices(&out.families, &out.look);
        out
    }

    /// How many colours there are.
    pub fn colours(&self) -> usize {
        self.families.iter().map(|f| f.rows.len()).sum()
    }

    /// Facts of a part.
    pub fn part(&self, id: PartId) -> &PartFacts {
        &self.parts[id.0]
    }
}

/// The number that stands for a part: of the heading listing, else of any, else its key.
pub fn part_label(part: &crate::range::Part, sheet: &SheetSpec) -> String {
    part.numbers()
        .get(sheet.headings().0)
        .cloned()
        .flatten()
        .or_else(|| part.numbers().iter().flatten().next().cloned())
        .unwrap_or_else(|| part.key().clone())
}

/// What the sheet's panel shows of these colours, nothing without one: the
/// closest clusters of one finish. A clear and an opaque colour of one value are
/// distinguished by the finish.
pub fn closest(
    range: &ColourRange,
    sheet: &SheetSpec,
    colours: impl IntoIterator<Item = ColourId>,
    say: Speller<'_>,
    work: &Work,
) -> Vec<ClusterFacts> {
    let Some(panel) = sheet.lookalikes() else { return Vec::new() };
    let mut finishes: BTreeMap<Finish, Vec<ColourId>> = BTreeMap::new();
    for colour in colours.into_iter().filter(|c| range.colour(*c).value().is_known()) {
        finishes.entry(range.colour(colour).finish()).or_default().push(colour);
    }
    let mut found: Vec<(f64, Vec<ColourId>)> = Vec::new();
    for colours in finishes.values() {
        let aims: Vec<Lab50> = colours.iter().map(|c| range.colour(*c).aim()).collect();
        let near = clusters(&aims, panel.limit, panel.show, work);
        let ids = |places: &[usize]| places.iter().map(|i| colours[*i]).collect();
        found.extend(near.iter().map(|c| (c.distance, ids(&c.members))));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(panel.show);
    let named = |colour: &ColourId| AlikeColour {
        colour: *colour,
        words: name_and_number(range, sheet, *colour, say),
    };
    let cluster = |(_, members): (f64, Vec<ColourId>)| ClusterFacts {
        colours: members.iter().map(named).collect(),
        differs: members
            .windows(2)
            .map(|w| words(range.colour(w[0]).aim(), range.colour(w[1]).aim()))
            .collect(),
    };
    found.into_iter().map(cluster).collect()
}

/// Name and number in the listing of the headings; a name from another where
/// it has none, else the key.
pub fn name_and_number(
    range: &ColourRange,
    sheet: &SheetSpec,
    colour: ColourId,
    say: Speller<'_>,
) -> (String, String) {
    let colour = range.colour(colour);
    let listing = sheet.headings().0;
    let own = colour.names()[listing].as_ref();
    let name = own.or_else(|| colour.names().iter().flatten().next());
    let number = colour.numbers()[listing].value.clone().unwrap_or_default();
    (name.map_or_else(|| colour.key().clone(), say), number)
}

fn part_facts(
    part: &crate::range::Part,
    sheet: &SheetSpec,
    look: &Look,
    say: Speller<'_>,
) -> PartFacts {
    let label = part_label(part, sheet);
    let voices = &look.voices;
    PartFacts {
        width: part.shape().extent.width(),
        height: part.shape().extent.height(),
        side: part.side(),
        role: part.role().clone(),
        heading_width: look.width(voices.heading, &label),
        size_width: look.width(voices.size, &say(part.size())),
        under_width: look.width(voices.under, &label),
        label,
    }
}

fn family_facts(
    range: &ColourRange,
    sheet: &SheetSpec,
    index: usize,
    look: &Look,
    say: Speller<'_>,
) -> FamilyFacts {
    let family = &sheet.families()[index];
    let rows: Vec<RowFacts> = family
        .rows()
        .iter()
        .map(|&colour| RowFacts {
            colour,
            made: made_mask(range, colour),
            lines: line_facts(range, sheet, colour, look, say),
        })
        .collect();
    let steps = steps(range, &rows);
    let title = say(range.family(family.family()).title());
    let title_width = look.width(look.voices.family, &title);
    FamilyFacts { index, title_width, rows, columns: family.columns().clone(), steps }
}

fn made_mask(range: &ColourRange, colour: ColourId) -> u128 {
    (0..range.parts().len().min(128))
        .filter(|&p| range.is_made(colour, PartId(p)))
        .fold(0, |mask, p| mask | 1 << p)
}

fn line_facts(
    range: &ColourRange,
    sheet: &SheetSpec,
    colour: ColourId,
    look: &Look,
    say: Speller<'_>,
) -> Vec<LineFacts> {
    let colour = range.colour(colour);
    let voices = &look.voices;
    let mut out: Vec<LineFacts> = Vec::new();
    for line in sheet.centre() {
        let words = colour.names()[line.listing.0].as_ref().filter(|_| line.name);
        let name = words.map(say).unwrap_or_default();
        let number = colour.numbers()[line.listing.0].as_ref().filter(|_| line.number);
        let number = number.cloned().unwrap_or_default();
        if name.is_empty() && number.is_empty() {
            continue;
        }
        let (name_voice, number_voice) = if out.is_empty() {
            (voices.name, voices.number)
        } else {
            (voices.other_name, voices.other_number)
        };
        let width = |text: &str| look.width(name_voice, text);
        out.push(LineFacts {
            name_width: width(&name),
            number_width: look.width(number_voice, &number),
            broken_width: break_name(&name, width)
                .map_or(width(&name), |(a, b)| width(a).max(width(b))),
            name,
            number,
        });
    }
    out
}

/// Breaks a name at the space or hyphen that gives the narrower pair of lines.
pub fn break_name(name: &str, width: impl Fn(&str) -> f64) -> Option<(&str, &str)> {
    name.char_indices()
        .filter(|&(i, c)| i > 0 && (c == ' ' || c == '-'))
        .map(|(i, c)| if c == ' ' { (&name[..i], &name[i + 1..]) } else { name.split_at(i + 1) })
        .min_by(|a, b| {
            let w = |(x, y): &(&str, &str)| width(x).max(width(y));
            w(a).total_cmp(&w(b))
        })
}

/// CIEDE2000 from each row's colour to the next one's.
fn steps(range: &ColourRange, rows: &[RowFacts]) -> Vec<f64> {
    let aims: Vec<Lab50> = rows.iter().map(|r| range.colour(r.colour).aim()).collect();
    aims.windows(2).map(|pair| difference(pair[0], pair[1])).collect()
}

/// The share of its size at which a voice is set in a narrow spine: from 0, the least, to 1, all of it.
fn eased(look: &Look, voice: Voice, ease: f64) -> f64 {
    let least = LEAST_SHRINK.max(look.floor / voice.size).min(1.0);
    least + (1.0 - least) * ease
}

/// The voices of names: of the first line, and of the others.
fn name_voices(look: &Look) -> [Voice; 2] {
    [look.voices.name, look.voices.other_name]
}

/// The width that a name takes in some way of fitting it: the name's line, and which of its row it is.
type NameWidth<'a> = &'a dyn Fn(&LineFacts, usize) -> f64;

/// The width of a spine, mm: swatch, and the widest line of name and number.
fn spine_width(
    families: &[FamilyFacts],
    look: &Look,
    form: SpineForm,
    name_of: NameWidth<'_>,
) -> f64 {
    let rows = || families.iter().flat_map(|f| &f.rows);
    let number_column = widest_number(families);
    let lead_in = look.chip.0 + look.chip_gap;
    let need = |name: f64, number: f64| {
        let between = look.between_number_and_name(form);
        let gap = if name > 0.0 && number > 0.0 { between } else { 0.0 };
        lead_in
            + match form {
                SpineForm::NamesThenNumbers => name + gap + number,
                SpineForm::NumbersThenNames if number_column > 0.0 => {
                    number_column + between + name
                }
                SpineForm::NumbersThenNames => name,
                SpineForm::RunOn => number + gap + name,
            }
    };
    rows()
        .flat_map(|r| r.lines.iter().enumerate())
        .map(|(i, l)| need(name_of(l, i), l.number_width))
        .fold(lead_in, f64::max)
}

/// The widest number of any row, mm.
fn widest_number(families: &[FamilyFacts]) -> f64 {
    let lines = families.iter().flat_map(|f| &f.rows).flat_map(|r| &r.lines);
    lines.map(|l| l.number_width).fold(0.0, f64::max)
}

/// Every way to set the spine, widest first within a form.
fn spine_choices(families: &[FamilyFacts], look: &Look) -> Vec<SpineChoice> {
    let rows = families.iter().flat_map(|f| &f.rows);
    let lines = rows.map(|r| r.lines.len()).max().unwrap_or(0).max(1);
    let shares = name_voices(look).map(|voice| eased(look, voice, 0.0));
    let numbers = widest_number(families);
    let fits: [(NameFit, NameWidth<'_>); 3] = [
        (NameFit::Full, &|l, _| l.name_width),
        (NameFit::Tight, &|l, i| l.name_width * shares[i.min(1)]),
        (NameFit::Broken, &|l, _| l.broken_width),
    ];
    let choice = |form: SpineForm, (fit, name_of): (NameFit, NameWidth<'_>)| {
        let width = spine_width(families, look, form, name_of);
        let choice = SpineChoice { form, fit, width, numbers, lines, ease: 0.0 };
        match fit {
            NameFit::Full | NameFit::Tight => choice,
            NameFit::Broken => SpineChoice { lines: choice.broken_lines(families, look), ..choice },
        }
    };
    let forms = look.forms.iter();
    forms.flat_map(|form| fits.map(|fit| choice(*form, fit))).collect()
}

/// The least module of a code on a sheet, mm. Common practice, no source: telephones read it from a hand's length.
const MODULE: f64 = 0.4;

/// A foot that is high enough for the code of the sheet's page, the quiet zone above it included.
fn with_code(mut look: Look, sheet: &SheetSpec) -> Look {
    if let Some(code) = sheet.page().as_ref().and_then(|page| page.code().as_ref()) {
        let needed = MODULE * (code.width() + QUIET) as f64;
        look.foot_height = look.foot_height.max(look.foot_rule + needed);
    }
    look
}

/// The side of that code in the foot, mm; none of a sheet without one.
pub fn code_side(facts: &Facts<'_>) -> Option<f64> {
    let code = facts.sheet.page().as_ref()?.code().as_ref()?;
    let module = (facts.look.foot_height - facts.look.foot_rule) / (code.width() + QUIET) as f64;
    Some(module * code.width() as f64)
}
