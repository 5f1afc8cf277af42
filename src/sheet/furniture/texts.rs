//! Running texts of the furniture: how to read, the sheet's notes, what is left out.

use kurbo::Point;

use super::super::foot;
use super::super::fragment::Fragment;
use super::super::paragraph::Breaker;
use super::super::words::{filled, left_out};
use super::builder::Builder;
use crate::plan::style::GapMark;
use crate::spelling::Spelling;

/// A text, with its title where it has one, in each spelling of the edition.
#[derive(Debug)]
pub(super) struct Titled {
    title: Option<Vec<String>>,
    texts: Vec<String>,
    /// The mark of new colours is before it.
    marked: bool,
}

impl Titled {
    fn new(title: Option<Vec<String>>, texts: Vec<String>) -> Titled {
        Titled { title, texts, marked: false }
    }
}

impl Builder<'_> {
    /// Texts under their titles or, where that is less tall by more than a line, run on.
    pub(super) fn texts(&self, width: f64, with_specimen: bool) -> Fragment {
        let look = &self.facts.look;
        let mut run_on = Fragment::of_width(width);
        let plain = self.sections(with_specimen, false);
        let above = Point::new(0.0, look.voices.body.size * 0.9);
        run_on.put(above, self.note_columns(width, &plain));
        let titled = self.in_two(width, &self.sections(with_specimen, true));
        let runs_on = with_specimen && run_on.room() < titled.room() - look.body_lead * 0.9;
        if runs_on { run_on } else { titled }
    }

    /// Texts in two columns whose widths make them equally long.
    fn in_two(&self, width: f64, sections: &[Titled]) -> Fragment {
        let gap = self.facts.look.gutter * 0.8;
        let (left, right) = split_in_two(sections);
        if right.is_empty() {
            return self.text_column(width, left);
        }
        let room = width - gap;
        let shared = |share: f64| {
            let (first, second) = (room * share, room * (1.0 - share));
            let mut out = Fragment::of_width(width);
            out.put(Point::ORIGIN, self.text_column(first, left));
            out.put(Point::new(first + gap, 0.0), self.text_column(second, right));
            out
        };
        let shares = [0.5, 0.46, 0.54, 0.42, 0.58, 0.38, 0.62, 0.35, 0.65];
        let all = shares.into_iter().map(shared);
        all.min_by(|a, b| a.room().total_cmp(&b.room())).unwrap_or_default()
    }

    fn text_column(&self, width: f64, texts: &[Titled]) -> Fragment {
        let mut out = Fragment::of_width(width);
        if texts.is_empty() {
            return out;
        }
        let look = &self.facts.look;
        let (section, body) = (look.voices.section, look.voices.body);
        let mut base = section.size * 1.45;
        for (i, Titled { title, texts, marked }) in texts.iter().enumerate() {
            if let Some(title) = title {
                if i > 0 {
                    base += look.body_lead * 0.9;
                }
                self.say(&mut out, Point::new(0.0, base), title, section);
                base += look.body_lead * 1.15;
            } else if i > 0 {
                base += look.body_lead * 0.25;
            }
            let indent = self.mark(&mut out, *marked, Point::new(0.0, base));
            let lines = self.broken(Breaker::Full, body, texts, width - indent);
            lines.put_into(&mut out, Point::new(indent, base), look.body_lead);
            base += look.body_lead * lines.count as f64;
        }
        out.height = base - look.body_lead + body.size * 0.25;
        out
    }

    /// Texts one under the other without titles, in a narrow place.
    pub(super) fn note_list(&self, width: f64, texts: &[Titled]) -> Fragment {
        let look = &self.facts.look;
        let body = look.voices.body;
        let mut out = Fragment::of_width(width);
        if texts.is_empty() {
            return out;
        }
        let mut base = body.cap;
        for Titled { texts, marked, .. } in texts {
            let indent = self.mark(&mut out, *marked, Point::new(0.0, base));
            let lines = self.broken(Breaker::Even, body, texts, width - indent);
            lines.put_into(&mut out, Point::new(indent, base), look.body_lead);
            base += look.body_lead * (lines.count as f64 + 0.35);
        }
        out.height = base - look.body_lead * 1.35 + body.size * 0.25;
        out
    }

    /// The same in two columns where there are several, which end about alike.
    pub(super) fn note_columns(&self, width: f64, texts: &[Titled]) -> Fragment {
        let gap = self.facts.look.gutter;
        let (left, right) = split_anywhere(texts);
        if right.is_empty() {
            return self.note_list(width, texts);
        }
        let half = (width - gap) / 2.0;
        let mut out = Fragment::of_width(width);
        out.put(Point::ORIGIN, self.note_list(half, left));
        out.put(Point::new(half + gap, 0.0), self.note_list(half, right));
        out
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
        let gap = match self.facts.look.mark {
            GapMark::Dot(_) => "gap_dot",
            GapMark::Dash(_) => "gap_dash",
        };
        let notes = [
            (shown.grid, "how_text"),
            (!shown.grid, "how_text_loose"),
            (true, "how_exact"),
            (shown.gap, gap),
            (shown.stand_in, "stand_in_note"),
            (shown.loose && shown.grid, "loose_note"),
        ];
        self.in_each(|s| {
            let used = notes.iter().filter(|(used, _)| *used);
            used.map(|(_, key)| s.phrase(key, &[])).collect::<Vec<_>>().join(" ")
        })
    }

    fn left_out(&self, titled: bool) -> Option<Titled> {
        let reported = foot::tells_left_out(self.facts, self.spellings);
        let left: Vec<Option<String>> =
            self.spellings.iter().map(|s| left_out(self.facts, s)).collect();
        if reported || left.iter().all(Option::is_none) {
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
fn split_in_two(texts: &[Titled]) -> (&[Titled], &[Titled]) {
    texts.split_at(middle(texts, |i| texts[i].title.is_some()))
}

fn split_anywhere(texts: &[Titled]) -> (&[Titled], &[Titled]) {
    texts.split_at(middle(texts, |_| true))
}
