//! Parts: from a sheet of parts, a folder of drawings, or the headings of crosses.

use std::path::{Path, PathBuf};

use super::colours::list_of;
use super::columns::{Column, Role, Table};
use super::draft::{Draft, Part, Taken, heading_key};
use super::forms;
use super::headings::{Meaning, plain};
use super::plain as plainly;
use super::tell::Tell;
use super::texts::{NAME, NUMBER, Texts};
use crate::diag::Diagnostic;
use crate::read::shapes::read_shape;
use crate::read::{inside, read_text};
use crate::session::Session;

/// The most parts that one sheet can show, and so the most that are taken.
const MOST_PARTS: usize = 128;

/// Where drawings are searched for.
#[derive(Debug, Clone, Default)]
pub struct Folder {
    pub path: PathBuf,
    /// The names of its drawings; if it is empty, only those that a table names are searched for.
    pub drawings: Vec<String>,
    /// The run that reads them.
    pub session: Session,
}

impl Folder {
    /// A folder with the drawings among these files, in the order of their names: numbers by their size.
    pub fn new(path: &Path, names: &[PathBuf], session: &Session) -> Folder {
        let name = |file: &PathBuf| file.file_name().and_then(|n| n.to_str()).map(str::to_owned);
        let drawing = |n: &String| n.to_lowercase().ends_with(".svg") && !n.starts_with('.');
        let mut drawings: Vec<String> = names.iter().filter_map(name).filter(drawing).collect();
        drawings.sort_by_key(|n| (natural(n), n.clone()));
        Folder { path: path.to_owned(), drawings, session: session.clone() }
    }
}

/// Part 9 before part 10.
fn natural(name: &str) -> Vec<(u64, String)> {
    let mut out = vec![(0_u64, String::new())];
    for c in name.to_lowercase().chars() {
        let last = out.last_mut().expect("never empty");
        match c.to_digit(10) {
            Some(digit) if last.1.is_empty() => {
                last.0 = last.0.saturating_mul(10).saturating_add(u64::from(digit));
            }
            Some(digit) => out.push((u64::from(digit), String::new())),
            None => last.1.push(c),
        }
    }
    out
}

/// A part as a table or a heading names it.
#[derive(Debug, Clone, Default)]
pub struct Named {
    pub title: String,
    pub numbers: Vec<String>,
    pub file: String,
    pub size: Option<(f64, f64)>,
    pub size_text: String,
    pub right: Option<bool>,
    pub role: String,
}

/// Makes parts.
pub struct Parts<'b, 'c> {
    pub texts: &'b mut Texts<'c>,
    pub tell: &'b mut Tell,
    pub folder: Option<&'b Folder>,
    taken: Taken,
    /// Drawings of the folder that have a part.
    used: Vec<String>,
}

impl<'b, 'c> Parts<'b, 'c> {
    /// None yet.
    pub fn new(texts: &'b mut Texts<'c>, tell: &'b mut Tell, folder: Option<&'b Folder>) -> Self {
        Parts { texts, tell, folder, taken: Taken::default(), used: Vec::new() }
    }

    /// The parts of a table: one row a part.
    pub fn of_table(&mut self, table: &Table<'_>, draft: &mut Draft) {
        let files = table.column(Meaning::File).is_some();
        for row in table.rows() {
            let named = self.row(table, row, draft);
            if named.title.is_empty() && named.numbers.iter().all(String::is_empty) {
                continue;
            }
            if draft.parts.len() == MOST_PARTS {
                self.too_many(table, row);
                break;
            }
            let part = self.part(named, draft.listings.len());
            draft.parts.push(part);
        }
        if !files {
            self.left_over();
        }
    }

    fn too_many(&mut self, table: &Table<'_>, row: usize) {
        self.tell.findings.push(
            Diagnostic::warning(
                "many-parts",
                format!("one sheet can show {MOST_PARTS} parts at most; the others are left out"),
            )
            .at(table.grid.span(row, 0))
            .help("make a separate list and folder for each sheet"),
        );
    }

    fn row(&mut self, table: &Table<'_>, row: usize, draft: &Draft) -> Named {
        let mut named =
            Named { numbers: vec![String::new(); draft.listings.len()], ..Named::default() };
        let (mut width, mut height) = (None, None);
        for column in &table.columns {
            let Some(Role::Is(meaning, whose)) = &column.role else { continue };
            let text = self.tell.text(table, column, row);
            if text.is_empty() {
                continue;
            }
            match meaning {
                Meaning::Name if named.title.is_empty() => {
                    named.title = self.texts.clean(text, NAME)
                }
                Meaning::Number | Meaning::Key => {
                    let of = draft.listings.iter().position(|l| l.whose == list_of(whose));
                    let of = of.or((whose.is_empty() || draft.listings.len() == 1).then_some(0));
                    match of.and_then(|of| named.numbers.get_mut(of)) {
                        Some(number) if number.is_empty() => {
                            *number = self.texts.clean(text, NUMBER)
                        }
                        _ => {}
                    }
                }
                Meaning::File => named.file = text.to_owned(),
                Meaning::Size => {
                    named.size = forms::size(text);
                    named.size_text = self.texts.clean(text, NUMBER);
                    self.unless(named.size.is_some(), table, column, row);
                }
                Meaning::Width => {
                    width = forms::size(text).map(|s| s.0);
                    self.unless(width.is_some(), table, column, row);
                }
                Meaning::Height => {
                    height = forms::size(text).map(|s| s.0);
                    self.unless(height.is_some(), table, column, row);
                }
                Meaning::Side => {
                    let word = plain(text);
                    named.right = match word.as_str() {
                        "right" | "r" | "rechts" => Some(true),
                        "left" | "l" | "links" => Some(false),
                        _ => None,
                    };
                    if named.right.is_none() {
                        self.tell.cell(table, column, row, "a side must be left or right");
                    }
                }
                Meaning::Role => named.role = self.texts.clean(text, NAME),
                _ => {}
            }
        }
        if let Some(w) = width.or(height) {
            named.size = Some((width.unwrap_or(w), height.unwrap_or(w)));
        }
        named
    }

    fn unless(&mut self, good: bool, table: &Table<'_>, column: &Column, row: usize) {
        if !good {
            self.tell.cell(
                table,
                column,
                row,
                "write a size, for example 15, 15 mm, 1.5 cm or 18 x 6",
            );
        }
    }

    /// A part under the heading of its column of crosses.
    pub fn of_heading(&mut self, heading: &str, draft: &mut Draft) -> Option<usize> {
        if draft.parts.len() == MOST_PARTS {
            return None;
        }
        let title = self.texts.clean(heading, NAME);
        let mut numbers = vec![String::new(); draft.listings.len()];
        // 'Button 15 mm' names a size, '1102' a number.
        let size = title.split_once(' ').and_then(|(_, rest)| forms::size(rest));
        let short = self.texts.clean(heading, NUMBER);
        if let Some(number) = numbers.first_mut() {
            *number = short;
        }
        let part =
            self.part(Named { title, numbers, size, ..Named::default() }, draft.listings.len());
        draft.parts.push(part);
        Some(draft.parts.len() - 1)
    }

    /// Every drawing of the folder as a part, by its name.
    pub fn of_folder(&mut self, draft: &mut Draft) {
        let files = self.folder.map_or(&[][..], |f| &f.drawings);
        for file in files.iter().take(MOST_PARTS) {
            let stem = file.rsplit_once('.').map_or(file.as_str(), |f| f.0);
            let title = self.texts.clean(&stem.replace(['_', '-'], " "), NAME);
            let number = self.texts.clean(stem, NUMBER);
            let mut numbers = vec![String::new(); draft.listings.len()];
            if let Some(first) = numbers.first_mut() {
                *first = number;
            }
            let named = Named { title, numbers, file: file.clone(), ..Named::default() };
            let part = self.part(named, draft.listings.len());
            draft.parts.push(part);
        }
    }

    fn part(&mut self, named: Named, listings: usize) -> Part {
        let number = named.numbers.iter().find(|n| !n.is_empty());
        let by = if named.title.is_empty() {
            number.cloned().unwrap_or_default()
        } else {
            named.title.clone()
        };
        let key = heading_key(&by, "part", &mut self.taken);
        let drawing =
            self.drawing(&named).unwrap_or_else(|| plainly::drawing(&named.title, named.size));
        let mut numbers = named.numbers;
        numbers.resize(listings, String::new());
        Part {
            key,
            title: if named.title.is_empty() { by } else { named.title },
            numbers,
            right: named.right,
            role: named.role,
            size: named.size_text,
            drawing,
        }
    }

    /// The drawing that the part names, or whose name is that of the part.
    fn drawing(&mut self, named: &Named) -> Option<String> {
        let folder = self.folder?;
        let file = if named.file.is_empty() {
            self.by_name(named)?
        } else if named.file.to_lowercase().ends_with(".svg") {
            named.file.replace('\\', "/")
        } else {
            format!("{}.svg", named.file.replace('\\', "/"))
        };
        self.used.push(file.clone());
        // As written, else by its file name in the folder that was given.
        let last = file.rsplit('/').next().unwrap_or(&file);
        let files = &folder.session.files;
        let path = [file.as_str(), last]
            .iter()
            .filter_map(|name| inside(&folder.path, name, files))
            .find(|path| files.exists(path) && files.is_file(path));
        let Some(path) = path else {
            self.stands_in(
                &named.title,
                format!("the drawing '{file}' was not found in '{}'", folder.path.display()),
            );
            return None;
        };
        let text = match read_text(&path, None, &folder.session) {
            Ok(text) => text,
            Err(fault) => {
                self.stands_in(&named.title, fault.message);
                return None;
            }
        };
        match read_shape(&path, &text, &folder.session) {
            Ok(shape) => {
                self.other_size(named, &file, (shape.bounds.width(), shape.bounds.height()));
                Some(text.to_string())
            }
            Err(faults) => {
                let first = faults.first().map_or("it cannot be read", |f| &f.message);
                self.stands_in(
                    &named.title,
                    format!("the drawing '{file}' cannot be used: {first}"),
                );
                None
            }
        }
    }

    /// The drawing whose name is, or holds, the part's number or title.
    fn by_name(&self, named: &Named) -> Option<String> {
        let files = &self.folder?.drawings;
        let stem = |file: &str| plain(file.rsplit_once('.').map_or(file, |f| f.0));
        let texts: Vec<String> = named
            .numbers
            .iter()
            .chain([&named.title])
            .map(|t| plain(t))
            .filter(|t| !t.is_empty())
            .collect();
        let free = || files.iter().filter(|f| !self.used.contains(f));
        free()
            .find(|f| texts.contains(&stem(f)))
            .or_else(|| {
                free().find(|f| {
                    let stem = format!(" {} ", stem(f));
                    texts.iter().any(|t| stem.contains(&format!(" {t} ")))
                })
            })
            .cloned()
    }

    fn stands_in(&mut self, part: &str, why: String) {
        self.tell.findings.push(
            Diagnostic::warning(
                "plain-drawing",
                format!("'{part}' has a plain outline for now: {why}"),
            )
            .help("replace the plain drawing in the new folder 'shapes' with the right one"),
        );
    }

    /// A drawing whose size differs from the list is often one in pixels.
    fn other_size(&mut self, named: &Named, file: &str, (w, h): (f64, f64)) {
        let Some((want_w, want_h)) = named.size else { return };
        let near = |a: f64, b: f64| (a - b).abs() <= 0.1 * b.max(1.0);
        if (near(w, want_w) && near(h, want_h)) || (near(w, want_h) && near(h, want_w)) {
            return;
        }
        let mm = |v: f64| (v * 10.0).round() / 10.0;
        self.tell.findings.push(
            Diagnostic::warning(
                "other-size",
                format!(
                    "'{file}' is drawn {} x {} mm, but the list gives {} x {} mm",
                    mm(w),
                    mm(h),
                    mm(want_w),
                    mm(want_h)
                ),
            )
            .help("draw it in millimetres, or correct the list: the sheet uses the size of the drawing"),
        );
    }

    /// The same where parts are those of crosses, or none.
    pub fn left_over_of(&mut self, draft: &Draft) {
        if !draft.parts.is_empty() {
            self.left_over();
        }
    }

    /// Drawings of the folder that belong to no part.
    fn left_over(&mut self) {
        let Some(folder) = self.folder else { return };
        let left: Vec<&str> =
            folder.drawings.iter().filter(|f| !self.used.contains(f)).map(String::as_str).collect();
        if left.is_empty() {
            return;
        }
        let tail = if left.len() > 6 { " ..." } else { "" };
        let shown = left.iter().take(6).map(|f| format!("'{f}'")).collect::<Vec<_>>().join(", ");
        self.tell.findings.push(
            Diagnostic::warning(
                "drawings-left",
                format!("these drawings do not belong to any part: {shown}{tail}"),
            )
            .help(
                "name them in a column 'file' of the parts, or name the files by number: 1102.svg",
            ),
        );
    }
}
