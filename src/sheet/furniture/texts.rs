//! Running texts of the furniture: how to read, the sheet's notes, what is left out.

use super::super::foot;
use super::super::paragraph::Breaker;
use super::super::words::{filled, left_out};
use super::sketch::Sketch;
use crate::spelling::Spelling;

/// A text, with its title where it has one, in each spelling of the edition.
#[derive(Debug, Clone)]
pub(super) struct Titled {
    title: Option<Vec<String>>,
    texts: Vec<String>,
    /// The mark of new colours stands before it.
    marked: bool,
}

impl Titled {
    fn new(title: Option<Vec<String>>, texts: Vec<String>) -> Titled {
        Titled { title, texts, marked: false }
    }
}

impl Sketch<'_, '_, '_> {
    /// Texts under their titles or, where that is less tall by more than a line, run on; returns the height.
    pub(super) fn texts(&mut self, x: f64, y: f64, width: f64, with_specimen: bool) -> f64 {
        let (titled, plain) =
            (self.sections(with_specimen, true), self.sections(with_specimen, false));
        let look = &self.facts.look;
        let above = look.voices.body.size * 0.9;
        let run_on = above + self.measured(width, |s| s.note_columns(0.0, 0.0, width, &plain));
        let with_titles = self.measured(width, |s| s.in_two(0.0, 0.0, width, &titled));
        let runs_on = with_specimen && run_on < with_titles - look.body_lead * 0.9;
        if self.canvas.is_none() {
            return if runs_on { run_on } else { with_titles };
        }
        if runs_on {
            above + self.note_columns(x, y + above, width, &plain)
        } else {
            self.in_two(x, y, width, &titled)
        }
    }

    /// Texts in two columns whose widths make them equally long; returns the height.
    fn in_two(&mut self, x: f64, y: f64, width: f64, sections: &[Titled]) -> f64 {
        let gap = self.facts.look.gutter * 0.8;
        let sides = split_in_two(sections);
        let room = width - gap;
        let lonely = sides[1].is_empty();
        let shares: &[f64] =
            if lonely { &[1.0] } else { &[0.5, 0.46, 0.54, 0.42, 0.58, 0.38, 0.62, 0.35, 0.65] };
        let widths = |share: f64| {
            if lonely { [width, 0.0] } else { [room * share, room * (1.0 - share)] }
        };
        let height = |share: f64| {
            let [left, right] = widths(share);
            self.text_height(&sides[0], left).max(self.text_height(&sides[1], right))
        };
        let (height, share) = shares
            .iter()
            .map(|share| (height(*share), *share))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or_default();
        if self.canvas.is_none() {
            return height;
        }
        let widths = widths(share);
        let left = self.text_column(x, y, widths[0], &sides[0]);
        let right = self.text_column(x + widths[0] + gap, y, widths[1], &sides[1]);
        left.max(right)
    }

    fn text_height(&self, texts: &[Titled], width: f64) -> f64 {
        self.measured(width, |sketch| sketch.text_column(0.0, 0.0, width, texts))
    }

    fn text_column(&mut self, x: f64, y: f64, width: f64, texts: &[Titled]) -> f64 {
        if texts.is_empty() {
            return 0.0;
        }
        let look = &self.facts.look;
        let (section, body) = (look.voices.section, look.voices.body);
        let mut base = y + section.size * 1.45;
        for (i, Titled { title, texts, marked }) in texts.iter().enumerate() {
            if let Some(title) = title {
                if i > 0 {
                    base += look.body_lead * 0.9;
                }
                self.say(x, base, title, section);
                base += look.body_lead * 1.15;
            } else if i > 0 {
                base += look.body_lead * 0.25;
            }
            let indent = self.mark(*marked, x, base);
            let lines = self.broken(Breaker::Full, body, texts, width - indent);
            self.lines(x + indent, base, look.body_lead, &lines, body);
            base += look.body_lead * lines.count as f64;
        }
        base - look.body_lead - y + body.size * 0.25
    }

    /// Texts one under the other without titles, in a narrow place; returns the height.
    pub(super) fn note_list(&mut self, x: f64, y: f64, width: f64, texts: &[Titled]) -> f64 {
        let look = &self.facts.look;
        let body = look.voices.body;
        if texts.is_empty() {
            return 0.0;
        }
        let mut base = y + body.cap;
        for Titled { texts, marked, .. } in texts {
            let indent = self.mark(*marked, x, base);
            let lines = self.broken(Breaker::Even, body, texts, width - indent);
            self.lines(x + indent, base, look.body_lead, &lines, body);
            base += look.body_lead * (lines.count as f64 + 0.35);
        }
        base - look.body_lead * 1.35 - y + body.size * 0.25
    }

    /// The same in two columns where there are several, which end about alike.
    pub(super) fn note_columns(&mut self, x: f64, y: f64, width: f64, texts: &[Titled]) -> f64 {
        let gap = self.facts.look.gutter;
        let sides = split_anywhere(texts);
        if sides[1].is_empty() {
            return self.note_list(x, y, width, texts);
        }
        let half = (width - gap) / 2.0;
        let left = self.note_list(x, y, half, sides[0]);
        left.max(self.note_list(x + half + gap, y, half, sides[1]))
    }

    /// How to read, unless a specimen row shows it, then notes and what is left out; `titled` for
    /// texts under titles.
    pub(super) fn sections(&self, with_specimen: bool, titled: bool) -> Vec<Titled> {
        let mut out = Vec::new();
        if !with_specimen {
            out.push(Titled::new(Some(self.phrase("how_title")), self.how_to_read()));
        }
        let mut notes: Vec<Titled> = self.new_note().into_iter().collect();
        for note in self.facts.sheet.notes() {
            let texts = self.in_each(|s| filled(self.facts, s, self.scale, note));
            notes.push(Titled::new(None, texts));
        }
        let left_out = self.left_out(titled);
        // Beside a titled text its neighbour has a title too, so that both begin alike.
        if let Some(first) = notes.first_mut()
            && with_specimen
            && left_out.as_ref().is_some_and(|l| l.title.is_some())
        {
            first.title = Some(self.phrase("notes_title"));
        }
        out.extend(notes);
        out.extend(left_out);
        out
    }

    /// In words what a specimen row would show, of what this sheet has.
    fn how_to_read(&self) -> Vec<String> {
        let shown = self.shown();
        let notes = [
            (shown.grid, "how_text"),
            (!shown.grid, "how_text_loose"),
            (true, "how_exact"),
            (shown.gap, "gap_note"),
            (shown.stand_in, "stand_in_note"),
            (shown.loose && shown.grid, "loose_note"),
        ];
        self.in_each(|s| {
            let used = notes.iter().filter(|(used, _)| *used);
            used.map(|(_, key)| s.phrase(key, &[])).collect::<Vec<_>>().join(" ")
        })
    }

    fn left_out(&self, titled: bool) -> Option<Titled> {
        let told = foot::tells_left_out(self.facts, self.spellings);
        let left: Vec<Option<String>> =
            self.spellings.iter().map(|s| left_out(self.facts, s)).collect();
        if told || left.iter().all(Option::is_none) {
            return None;
        }
        let texts: Vec<String> = left.into_iter().map(Option::unwrap_or_default).collect();
        if titled {
            return Some(Titled::new(Some(self.phrase("left_out_title")), texts));
        }
        let line = |(s, text): (&&Spelling, &String)| s.phrase("left_out_line", &[("text", text)]);
        Some(Titled::new(None, self.spellings.iter().zip(&texts).map(line).collect()))
    }

    /// What the mark of new colours means, where any is marked here.
    fn new_note(&self) -> Option<Titled> {
        let marked = self.facts.sheet.marked_new().as_ref()?;
        let mut rows = self.facts.families.iter().flat_map(|f| &f.rows);
        if !rows.any(|row| marked.colours.contains(&row.colour)) {
            return None;
        }
        let texts = self.in_each(|s| match s.apply(&marked.since).as_str() {
            "" => s.phrase("new_note", &[]),
            since => s.phrase("new_since_note", &[("release", since)]),
        });
        Some(Titled { title: None, texts, marked: true })
    }
}

/// Length of a text in the longest of the spellings, so that all split alike.
fn length(text: &Titled) -> usize {
    text.texts.iter().map(String::len).max().unwrap_or(0)
}

/// Where two columns of about equal length part, at the places allowed.
fn middle(texts: &[Titled], may_part: impl Fn(usize) -> bool) -> usize {
    let total: usize = texts.iter().map(length).sum();
    let mut best = (usize::MAX, texts.len());
    let mut left = 0;
    for i in 1..=texts.len() {
        left += length(&texts[i - 1]);
        let uneven = left.abs_diff(total - left);
        if (i == texts.len() || may_part(i)) && uneven < best.0 {
            best = (uneven, i);
        }
    }
    best.1
}

/// Splits titled texts into two columns of about equal length; a text without
/// a title stays with the one before it.
fn split_in_two(texts: &[Titled]) -> [Vec<Titled>; 2] {
    let at = middle(texts, |i| texts[i].title.is_some());
    [texts[..at].to_vec(), texts[at..].to_vec()]
}

fn split_anywhere(texts: &[Titled]) -> [&[Titled]; 2] {
    let (left, right) = texts.split_at(middle(texts, |_| true));
    [left, right]
}
