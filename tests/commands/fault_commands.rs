//! What a person gets wrong at the command line and in the files it names, through the program itself.
//!
//! A fixture is a file `tests/faults/commands/NAME.fault`:
//!
//! ```text
//! # What went wrong, in a line.
//! at: sheet.ron:4:11              where it is reported, written by hand: FILE:LINE:COLUMN, a workbook's sheet as
//!                                 `list.xlsx [2026]:2:3`, FILE alone, or `command line`
//! exit: 2                         1 if left out
//! $ shadecard make sheet.ron      what was typed
//! == in sheet.ron                 how the files differ from `tests/faults/commands/base`
//! -     year: 2020,
//! +     year: "2020",
//! == told
//! everything that is reported on standard error, then after `== printed` on standard output
//! ```
//!
//! Other sections: `file NAME` and `file NAME as ENCODING` (utf-16, windows-1252, bom, crlf, cr, hex, empty),
//! `save NAME as ENCODING`, `workbook NAME` (its rows between bars), `folder NAME`, `remove NAME`,
//! `copy FILE to NAME`, `cut NAME to BYTES`, `bytes NAME at N HEX`.
//!
//! `UPDATE_GOLDEN=1 cargo test --test commands fault_commands` writes `told` and `printed` anew; `at` and `exit` it leaves.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::told::{differ, jargon};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

const FIXTURES: &str = "tests/faults/commands";

/// A fixture as its file says it.
struct Fixture {
    name: String,
    /// What is before the first section, and each section with its title.
    head: String,
    sections: Vec<(String, String)>,
}

impl Fixture {
    fn read(file: &Path) -> Fixture {
        let text = std::fs::read_to_string(file).expect("readable").replace("\r\n", "\n");
        let mut parts = format!("\n{text}").split("\n== ").map(str::to_owned).collect::<Vec<_>>();
        let head = parts.remove(0);
        let sections = parts.into_iter().map(|part| {
            let (title, body) = part.split_once('\n').unwrap_or((&part, ""));
            // The line end before the next title was cut off with it.
            (title.to_owned(), if body.is_empty() { String::new() } else { format!("{body}\n") })
        });
        let mut sections: Vec<_> = sections.collect();
        if let Some((_, last)) = sections.last_mut() {
            last.truncate(last.len().saturating_sub(1));
        }
        let name = file.file_stem().expect("a name").to_string_lossy().into_owned();
        Fixture { name, head: head.trim_start_matches('\n').to_owned(), sections }
    }

    fn lines(&self, start: &str) -> Vec<&str> {
        self.head.lines().filter_map(|line| line.strip_prefix(start)).collect()
    }

    fn section(&self, title: &str) -> &str {
        self.sections.iter().find(|(t, _)| t == title).map_or("", |(_, body)| body)
    }

    /// Copies the base and makes the fixture's changes.
    fn set_up(&self, folder: &Path) {
        for entry in std::fs::read_dir(Path::new(FIXTURES).join("base")).expect("a base") {
            let file = entry.expect("an entry").path();
            std::fs::copy(&file, folder.join(file.file_name().expect("a name"))).expect("copied");
        }
        for (title, body) in &self.sections {
            let words: Vec<&str> = title.split(' ').collect();
            let at = |name: &str| folder.join(name);
            let write = |name: &str, bytes: &[u8]| {
                std::fs::create_dir_all(at(name).parent().expect("a folder")).expect("made");
                std::fs::write(at(name), bytes).expect("written");
            };
            let bytes = |name: &str| std::fs::read(at(name)).expect("there");
            match words[..] {
                ["in", name] => {
                    let text = String::from_utf8(bytes(name)).expect("text");
                    write(name, edited(&self.name, text, body).as_bytes());
                }
                ["file", name] => write(name, body.as_bytes()),
                ["file", name, "as", encoding] => write(name, &encoded(body, encoding)),
                ["save", name, "as", encoding] => {
                    let text = String::from_utf8(bytes(name)).expect("text");
                    write(name, &encoded(&text, encoding));
                }
                ["workbook", name] => write(name, &workbook(body)),
                ["folder", name] => std::fs::create_dir_all(at(name)).expect("made"),
                ["remove", name] => std::fs::remove_file(at(name)).expect("removed"),
                ["copy", from, "to", name] => write(name, &std::fs::read(from).expect("there")),
                ["cut", name, "to", length] => {
                    let length: usize = length.parse().expect("a number");
                    write(name, &bytes(name)[..length]);
                }
                ["bytes", name, "at", start, hex] => {
                    let start: usize = start.parse().expect("a number");
                    let (mut all, new) = (bytes(name), encoded(hex, "hex"));
                    all[start..start + new.len()].copy_from_slice(&new);
                    write(name, &all);
                }
                ["told"] | ["printed"] => {}
                _ => panic!("{}: '== {title}' is no section", self.name),
            }
        }
    }
}

/// Each run of `-` lines, found once in the text, replaced by the `+` lines after it.
fn edited(name: &str, mut text: String, body: &str) -> String {
    let mut lines = body.lines().peekable();
    let mut run = |sign: char| {
        let mut out = Vec::new();
        while let Some(line) = lines.next_if(|l| l.starts_with(sign)) {
            out.push(line.get(2..).unwrap_or(""));
        }
        out.join("\n")
    };
    loop {
        let (old, new) = (run('-'), run('+'));
        if old.is_empty() {
            return text;
        }
        assert_eq!(text.matches(&old).count(), 1, "{name}: {old:?}");
        text = text.replace(&old, &new);
    }
}

fn encoded(text: &str, encoding: &str) -> Vec<u8> {
    match encoding {
        "utf-16" => {
            let units = text.encode_utf16().flat_map(u16::to_le_bytes);
            [0xff, 0xfe].into_iter().chain(units).collect()
        }
        "windows-1252" => encoding_rs::WINDOWS_1252.encode(text).0.into_owned(),
        "bom" => format!("\u{feff}{text}").into_bytes(),
        "crlf" => text.replace('\n', "\r\n").into_bytes(),
        "cr" => text.replace('\n', "\r").into_bytes(),
        "empty" => Vec::new(),
        "hex" => {
            let digits: Vec<char> = text.chars().filter(char::is_ascii_hexdigit).collect();
            let byte =
                |pair: &[char]| u8::from_str_radix(&String::from_iter(pair), 16).expect("hex");
            digits.chunks(2).map(byte).collect()
        }
        _ => panic!("'{encoding}' is no encoding"),
    }
}

/// `sheet NAME`, then rows of cells between bars: a text, a number, `date 2026-03-01`, `=FORMULA shows RESULT`, or `<`
/// for a cell that is merged with the one before.
fn workbook(body: &str) -> Vec<u8> {
    let mut book = Workbook::new();
    let mut sheets: Vec<(&str, Vec<Vec<&str>>)> = Vec::new();
    for line in body.lines() {
        match (line.strip_prefix("sheet "), line.strip_prefix('|')) {
            (Some(name), _) => sheets.push((name.trim(), Vec::new())),
            (None, Some(row)) => {
                let row = row.trim_end().trim_end_matches('|').split('|').map(str::trim).collect();
                sheets.last_mut().expect("a sheet").1.push(row);
            }
            _ => {}
        }
    }
    let date = Format::new().set_num_format("yyyy-mm-dd");
    for (name, rows) in sheets {
        let sheet = book.add_worksheet();
        sheet.set_name(name).expect("a name");
        for (r, row) in (0u32..).zip(&rows) {
            for (c, cell) in (0u16..).zip(row) {
                let merged =
                    row[usize::from(c) + 1..].iter().take_while(|next| **next == "<").count();
                if *cell == "<" || cell.is_empty() {
                    continue;
                }
                if merged > 0 {
                    let last = c + u16::try_from(merged).expect("few columns");
                    sheet.merge_range(r, c, r, last, cell, &Format::new()).expect("merged");
                } else if let Some(formula) = cell.strip_prefix('=') {
                    let (formula, result) = formula.split_once(" shows ").unwrap_or((formula, ""));
                    let formula = Formula::new(formula).set_result(result);
                    sheet.write_formula(r, c, formula).expect("written");
                } else if let Some(day) = cell.strip_prefix("date ") {
                    let day = ExcelDateTime::parse_from_str(day).expect("a day");
                    sheet.write_datetime_with_format(r, c, day, &date).expect("written");
                } else if let Ok(number) = cell.parse::<f64>() {
                    sheet.write_number(r, c, number).expect("written");
                } else {
                    sheet.write_string(r, c, *cell).expect("written");
                }
            }
        }
    }
    book.save_to_buffer().expect("a workbook")
}

/// The words of a command line; blanks inside quotes belong to a word.
fn words(line: &str) -> Vec<String> {
    let quoted = line.split('"').enumerate();
    let mut out = vec![String::new()];
    for (i, piece) in quoted {
        if i % 2 == 1 {
            out.last_mut().expect("a word").push_str(piece);
            continue;
        }
        for (j, word) in piece.split(' ').enumerate() {
            if j > 0 {
                out.push(String::new());
            }
            out.last_mut().expect("a word").push_str(word);
        }
    }
    out.retain(|word| !word.is_empty());
    out
}

/// Every file and folder below a folder, with what is in it.
fn below(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut out = BTreeMap::new();
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            out.append(&mut below(&path));
            out.insert(path, Vec::new());
        } else {
            let bytes = std::fs::read(&path).expect("there");
            out.insert(path, bytes);
        }
    }
    out
}

/// What a fixture told.
struct Told {
    code: Option<i32>,
    errors: String,
    printed: String,
    written: bool,
}

fn run(fixture: &Fixture) -> Told {
    let temporary = tempfile::tempdir().expect("a folder");
    // Without a name of its own a sheet is called after its folder.
    let folder = temporary.path().join("base");
    std::fs::create_dir(&folder).expect("made");
    fixture.set_up(&folder);
    let before = below(&folder);
    let typed = words(fixture.lines("$ ").first().expect("a command"));
    assert_eq!(typed[0], "shadecard", "{}", fixture.name);
    let dictionaries = std::fs::canonicalize("tests/dictionaries").expect("there");
    let run = Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .current_dir(&folder)
        .args(&typed[1..])
        .env("DICPATH", dictionaries)
        .output()
        .expect("it runs");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).replace("\r\n", "\n");
    Told {
        code: run.status.code(),
        errors: text(&run.stderr),
        printed: text(&run.stdout),
        written: below(&folder) != before,
    }
}

/// The messages and ways out, without the lines that they quote.
fn spoken(text: &str) -> String {
    let own = |line: &&str| {
        let indented = line.starts_with("  ") && !line.starts_with("   ");
        is_head(line)
            || indented
            || ["error", "warning", "note"].iter().any(|w| line.starts_with(w))
    };
    text.lines().filter(own).collect::<Vec<_>>().join("\n")
}

/// Does a message begin with this line?
fn is_head(line: &str) -> bool {
    let after = |word| line.strip_prefix(word);
    let rest = after("Error").or_else(|| after("Warning")).or_else(|| after("Note"));
    rest.is_some_and(|rest| rest.starts_with(" in ") || rest.starts_with(": "))
}

/// The letters of a column of a workbook (all of the fixtures have fewer than 27).
fn letters(column: u8) -> char {
    char::from(b'A' + column - 1)
}

/// Is the place reported?
fn tells(place: &str, told: &str) -> bool {
    if place == "command line" {
        return !told.lines().any(|l| is_head(l) && l.contains(" in ") && !l.contains(": "));
    }
    let numbers: Vec<&str> = place.rsplitn(3, ':').collect();
    let [column, line, file] = numbers[..] else { return told.contains(place) };
    let at = match file.ends_with(']') {
        true => format!("cell {}{line}", letters(column.parse().expect("a number"))),
        false => format!("line {line}, column {column}"),
    };
    // Places of one cause after the first.
    let also = |l: &str| {
        let places = l.trim_start().strip_prefix("Also in ");
        places.is_some_and(|p| p.split("; ").any(|p| p == at))
    };
    told.lines().any(|l| l.ends_with(&format!("in {file}, {at}")))
        || told.contains(&format!("{file},{line},{column},"))
        || (told.contains(&format!("in {file}, ")) && told.lines().any(also))
        || told.contains(&format!("\"line\": {line},\n    \"column\": {column},"))
        || (told.contains(file) && told.contains(&at))
}

#[test]
fn every_fault_is_reported_with_its_place_and_a_suggestion() {
    let mut files: Vec<PathBuf> = std::fs::read_dir(FIXTURES)
        .expect("fixtures")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "fault"))
        .collect();
    files.sort();
    assert!(files.len() >= 170, "only {} fixtures", files.len());
    let update = std::env::var_os("UPDATE_GOLDEN").is_some();
    let mut wrong = String::new();
    for file in &files {
        let fixture = Fixture::read(file);
        let told = run(&fixture);
        let all = format!("{}{}", told.errors, told.printed);
        if update {
            std::fs::write(file, anew(&fixture, &told)).expect("written");
        } else {
            wrong += &differ(&fixture.name, fixture.section("told"), &told.errors);
            wrong += &differ(&fixture.name, fixture.section("printed"), &told.printed);
        }
        let mut fault = |what: String| wrong += &format!("{}: {what}\n", fixture.name);
        let exit = fixture.lines("exit: ").first().map_or(1, |n| n.parse().expect("a number"));
        if told.code != Some(exit) {
            fault(format!("exit code {:?}, not {exit}", told.code));
        }
        if told.written {
            fault("something was written".to_owned());
        }
        let places = fixture.lines("at: ");
        if places.is_empty() {
            fault("does not name the place of the fault".to_owned());
        }
        for place in places.iter().filter(|place| !tells(place, &all)) {
            fault(format!("does not report {place}"));
        }
        let spoken = spoken(&all);
        let faults = spoken.lines().filter(|l| is_head(l)).count();
        let ways = spoken.matches("\n  Suggestion: ").count();
        if faults != ways {
            fault(format!("{faults} messages, {ways} suggestions"));
        }
        if all.trim().is_empty() {
            fault("reports nothing".to_owned());
        }
        for word in jargon(&spoken) {
            fault(format!("jargon '{word}'"));
        }
    }
    assert!(
        wrong.is_empty(),
        "\n{wrong}\nIf this is meant: UPDATE_GOLDEN=1 cargo test --test commands fault_commands"
    );
}

/// The fixture's file with what it tells now.
fn anew(fixture: &Fixture, told: &Told) -> String {
    let mut out = format!("{}\n", fixture.head.trim_end());
    let fixed = |title: &str| !["told", "printed"].contains(&title);
    for (title, body) in fixture.sections.iter().filter(|(title, _)| fixed(title)) {
        out += &format!("== {title}\n{body}");
    }
    for (title, text) in [("told", &told.errors), ("printed", &told.printed)] {
        if !text.is_empty() {
            out += &format!("== {title}\n{text}");
        }
    }
    out
}

/// Every command has fixtures of its own.
#[test]
fn every_command_is_there() {
    let commands = [
        "make",
        "plan",
        "check",
        "new",
        "export",
        "compare",
        "supplies",
        "shapes",
        "labels",
        "board",
        "tune",
        "proof",
        "lookalikes",
        "completions",
        "manual",
        "help",
    ];
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for entry in std::fs::read_dir(FIXTURES).expect("fixtures") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|e| e == "fault") {
            let fixture = Fixture::read(&path);
            *seen.entry(words(fixture.lines("$ ")[0])[1].clone()).or_default() += 1;
        }
    }
    for command in commands {
        assert!(seen.contains_key(command), "no fixture for '{command}': {seen:?}");
    }
}

/// The base itself has no fault: what is reported is the fixture's doing.
#[test]
fn the_base_is_faultless() {
    let fixture = Fixture {
        name: "base".into(),
        head: "$ shadecard check sheet.ron --fail-on notes".into(),
        sections: Vec::new(),
    };
    let told = run(&fixture);
    assert_eq!((told.code, told.errors.as_str()), (Some(0), ""), "{}", told.printed);
}

/// A file that is there but that the machine does not hand out is no fault of the person's.
#[cfg(target_os = "linux")]
#[test]
fn what_the_machine_cannot_read_exits_2() {
    // The kernel lets nobody read a process' memory from its start.
    for command in ["make", "check", "plan"] {
        let run = Command::new(env!("CARGO_BIN_EXE_shadecard"))
            .args([command, "/proc/self/mem"])
            .output()
            .expect("it runs");
        let told = [run.stderr, run.stdout].concat();
        let told = String::from_utf8_lossy(&told).into_owned();
        assert_eq!(run.status.code(), Some(2), "{command}: {told}");
        assert!(told.contains("'/proc/self/mem' cannot be read"), "{told}");
        assert!(jargon(&spoken(&told)).is_empty() && told.contains("Suggestion: "), "{told}");
    }
}

/// Without a command there is the list of commands, and it is no success.
#[test]
fn no_command_shows_what_there_is() {
    let run = Command::new(env!("CARGO_BIN_EXE_shadecard")).output().expect("it runs");
    assert_eq!(run.status.code(), Some(1));
    let told = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(told.contains("lookalikes") && told.contains("Start with:"), "{told}");
}
