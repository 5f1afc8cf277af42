//! README and docs do what they promise: their commands run, what they quote is printed, their
//! links lead somewhere, and every page is short and opens with its purpose.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::atomic::{AtomicUsize, Ordering};

/// README and the pages of `docs`, with their texts.
fn pages() -> Vec<(PathBuf, String)> {
    let docs = std::fs::read_dir("docs").expect("docs").map(|e| e.expect("an entry").path());
    let mut files: Vec<PathBuf> =
        docs.filter(|p| p.extension().is_some_and(|e| e == "md")).collect();
    files.push("README.md".into());
    files.sort();
    files.into_iter().map(|p| (p.clone(), std::fs::read_to_string(p).expect("readable"))).collect()
}

/// The fenced blocks of a page: what is written after the fence, and the lines.
fn blocks(text: &str) -> Vec<(&str, Vec<&str>)> {
    let mut out: Vec<(&str, Vec<&str>)> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        match (line.trim_start().strip_prefix("```"), inside) {
            (Some(info), false) => out.push((info, Vec::new())),
            (Some(_), true) => {}
            (None, true) => out.last_mut().expect("a block").1.push(line),
            (None, false) => continue,
        }
        inside ^= line.trim_start().starts_with("```");
    }
    assert!(!inside, "a block without an end");
    out
}

/// The words of a command line, those in quotes as one.
fn words(line: &str) -> Vec<String> {
    let mut quoted = false;
    let mut out = vec![String::new()];
    for c in line.trim().chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => out.push(String::new()),
            _ => out.last_mut().expect("a word").push(c),
        }
    }
    assert!(!quoted, "{line}");
    out
}

const SHEET: &str = r#"Sheet(
    range: "range.ron", name: "autumn", title: "Buttons & Beads of the Tideline", year: 2026,
    families: ["gloss", "nightglow"], headings: "works",
    centre: [(listing: "works"), (listing: "dealer")],
    spellings: ["en-GB", "en-US"],
    editions: [(name: "poster", layout: "poster-305x406"), (name: "a4", layout: "a4")],
    words: ["Dulse", "Gannet", "Nightglow", "Tideline"],
)
"#;

fn copy(from: &str, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect(from) {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name");
        match path.is_dir() {
            true => copy(path.to_str().expect("UTF-8"), &to.join(name)),
            false => drop(std::fs::copy(&path, to.join(name)).expect("copied")),
        }
    }
}

/// The folder that `docs/README.md` describes: a sheet, its last release, the demo, what a reader
/// has besides, and the tables and files that the page itself shows.
fn workshop(page: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let write = |name: &str, text: &str| std::fs::write(at.join(name), text).expect("written");
    copy("demo/haberdashery", &at.join("demo/haberdashery"));
    copy("demo/haberdashery/shapes", &at.join("shapes"));
    copy("demo/haberdashery/shapes", &at.join("spring/shapes"));
    copy("tests/stories/drawings", &at.join("drawings"));
    std::fs::copy("tests/stories/buttons.xlsx", at.join("colours.xlsx")).expect("copied");
    std::fs::copy("tests/photographs/nacre.jpg", at.join("nacre.jpg")).expect("copied");
    std::fs::copy("profiles/coated.icc", at.join("shop.icc")).expect("copied");
    let range = std::fs::read_to_string("demo/haberdashery/range.ron").expect("readable");
    let before = range.replace("Release 7", "Release 6").replace("\"Gannet\"", "\"Gull\"");
    let before: Vec<&str> = before.lines().filter(|l| !l.contains("\"dulse\"")).collect();
    write("range.ron", &range);
    write("sheet.ron", SHEET);
    write("spring/range.ron", &before.join("\n"));
    write("spring/sheet.ron", SHEET);
    for (info, lines) in blocks(page) {
        if let Some(name) = info.strip_prefix("csv ").or(info.strip_prefix("ron file ")) {
            write(name, &(lines.join("\n") + "\n"));
        }
    }
    folder
}

fn run(words: &[String], at: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    let out = command.current_dir(at).args(words).output().expect("runs");
    let printed = [&out.stdout[..], &out.stderr].map(String::from_utf8_lossy).concat();
    assert!(out.status.success(), "{words:?}: {printed}");
    out
}

/// A command of another program names files that are there.
fn is_there(line: &str) {
    let words = words(line);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let file = match words[..] {
        ["bash" | "python3", script, ..] => script.to_owned(),
        ["cargo", "run", "--release", "--example", name, ..] => format!("examples/{name}.rs"),
        ["cargo", "test"] => return,
        _ => panic!("no check for '{line}'"),
    };
    assert!(Path::new(&file).is_file(), "{line}");
}

/// Runs the commands of a page in their order; how many there were.
fn run_page(text: &str) -> usize {
    let folder = workshop(text);
    let mut count = 0;
    for (info, lines) in blocks(text) {
        for line in lines.iter().filter(|_| info == "sh").map(|l| l.trim()) {
            let ours = line.strip_prefix("shadecard ");
            match ours.or_else(|| line.strip_prefix("cargo run --release -- ")) {
                Some(arguments) => drop(run(&words(arguments), folder.path())),
                None => is_there(line),
            }
            count += 1;
        }
    }
    count
}

#[test]
fn every_command_of_every_page_runs() {
    let pages = pages();
    let (next, count) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let work = || {
        while let Some((_, text)) = pages.get(next.fetch_add(1, Ordering::Relaxed)) {
            count.fetch_add(run_page(text), Ordering::Relaxed);
        }
    };
    std::thread::scope(|s| {
        s.spawn(work);
        s.spawn(work);
    });
    assert!(count.into_inner() >= 70);
}

/// A command outside such a block would not be run.
#[test]
fn commands_are_shown_in_blocks_that_are_run() {
    for (page, text) in pages() {
        let commands = |l: &&str| l.trim_start().starts_with("shadecard ");
        let all = text.lines().filter(commands).count();
        let blocks = blocks(&text).into_iter().filter(|(info, _)| *info == "sh");
        let run: usize = blocks.map(|(_, lines)| lines.into_iter().filter(commands).count()).sum();
        assert_eq!(all, run, "{}", page.display());
    }
}

/// What a block `$ shadecard ...` shows is what the command prints; a last line `...` leaves out
/// the rest. `UPDATE_GOLDEN=1` writes what is printed into the pages.
#[test]
fn the_pages_show_what_the_program_prints() {
    let mut shown = 0;
    for (page, text) in pages() {
        let mut updated = text.clone();
        for block in text.split("```text\n$ shadecard ").skip(1) {
            let block = block.split("```").next().expect("an end");
            let (command, quoted) = block.split_once('\n').expect("a command");
            let folder = workshop(&text);
            let printed = run(&words(command), folder.path()).stdout;
            let mut printed = String::from_utf8_lossy(&printed).into_owned();
            if let Some(part) = quoted.strip_suffix("...\n") {
                let kept = printed.lines().take(part.lines().count()).map(|l| format!("{l}\n"));
                printed = kept.collect::<String>() + "...\n";
            }
            if std::env::var_os("UPDATE_GOLDEN").is_some() {
                updated = updated.replace(block, &format!("{command}\n{printed}"));
            } else {
                assert_eq!(printed, quoted, "{}: shadecard {command}", page.display());
            }
            shown += 1;
        }
        if updated != text {
            std::fs::write(&page, updated).expect("written");
        }
    }
    assert!(shown >= 9, "{shown}");
}

#[test]
fn pages_are_short_and_open_with_their_purpose() {
    let contents = std::fs::read_to_string("docs/README.md").expect("the table of contents");
    for (page, text) in pages() {
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines.len() < 200, "{}: {} lines", page.display(), lines.len());
        assert!(lines[0].starts_with("# ") && lines[1].is_empty(), "{}", page.display());
        if page.starts_with("docs") {
            assert!(lines[2].starts_with("This "), "{}: {}", page.display(), lines[2]);
            let name = page.file_name().and_then(|n| n.to_str()).expect("UTF-8");
            let listed = name == "README.md" || contents.contains(&format!("]({name})"));
            assert!(listed, "{name} is not in docs/README.md");
        }
    }
}

/// The anchor of a heading.
fn anchor(heading: &str) -> String {
    let kept = heading.trim_start_matches('#').trim().to_lowercase();
    kept.chars()
        .filter(|c| c.is_alphanumeric() || " -_".contains(*c))
        .collect::<String>()
        .replace(' ', "-")
}

/// What a page has in backticks outside its blocks.
fn spans(text: &str) -> Vec<String> {
    let mut inside = false;
    let prose = text.lines().filter(|line| {
        let fence = line.trim_start().starts_with("```");
        inside ^= fence;
        !inside && !fence
    });
    let prose = prose.collect::<Vec<_>>().join(" ");
    prose.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

#[test]
fn links_and_paths_lead_somewhere() {
    let folders =
        ["src/", "tests/", "examples/", "benches/", "fuzz/", ".ci/", "demo/", "profiles/"];
    for (page, text) in pages() {
        for link in text.split("](").skip(1).filter_map(|l| l.split(')').next()) {
            let (file, at) = link.split_once('#').unwrap_or((link, ""));
            let target = page.parent().expect("a folder").join(file);
            assert!(target.exists(), "{}: {link}", page.display());
            if !at.is_empty() {
                let target = std::fs::read_to_string(target).expect("readable");
                let found = target.lines().any(|l| l.starts_with('#') && anchor(l) == at);
                assert!(found, "{}: {link}", page.display());
            }
        }
        for span in spans(&text) {
            let path = span.split(' ').next().expect("a word");
            if folders.iter().any(|f| path.starts_with(f)) {
                assert!(Path::new(path).exists(), "{}: {path}", page.display());
            }
        }
    }
}

/// Options of our own commands are in the manual, tests and examples of `cargo` are there.
#[test]
fn options_and_targets_are_there() {
    let manual = run(&words("manual"), Path::new(".")).stdout;
    let manual = String::from_utf8_lossy(&manual).replace('\\', "");
    let manifest = std::fs::read_to_string("Cargo.toml").expect("Cargo.toml");
    for (page, text) in pages() {
        for span in spans(&text) {
            let words = words(&span);
            let of_cargo = words[0] == "cargo";
            for pair in words.windows(2).filter(|_| of_cargo) {
                let folder = match pair[0].as_str() {
                    "--test" => "tests",
                    "--example" => "examples",
                    _ => continue,
                };
                let file = format!("{folder}/{}", pair[1]);
                let there =
                    [".rs", "/main.rs"].iter().any(|e| Path::new(&(file.clone() + e)).exists());
                let named = manifest.contains(&format!("name = \"{}\"", pair[1]));
                assert!(there || named, "{}: {span}", page.display());
            }
            let other = of_cargo || ["qpdf", "bash", "python3", "pip"].contains(&words[0].as_str());
            for option in words.iter().filter(|w| !other && w.starts_with("--")) {
                let known = manual.contains(&format!("fB{option}fR"));
                assert!(known, "{}: no command has '{option}'", page.display());
            }
        }
    }
}

/// Names of the test functions below a folder.
fn tests(folder: &Path, names: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            tests(&path, names);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let text = std::fs::read_to_string(&path).expect("readable");
            names.extend(text.lines().filter_map(|l| {
                let name = l.trim_start().strip_prefix("fn ")?;
                Some(name.split('(').next()?.to_owned())
            }));
        }
    }
}

/// Each promise names the test that holds it.
#[test]
fn tests_that_guarantees_name_are_there() {
    let mut names = BTreeSet::new();
    tests(Path::new("tests"), &mut names);
    let text = std::fs::read_to_string("docs/guarantees.md").expect("the page");
    let named: Vec<&str> = text
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|s| s.contains('_') && s.chars().all(|c| c.is_ascii_lowercase() || c == '_'))
        .collect();
    assert!(named.len() >= 7, "{named:?}");
    for name in named {
        assert!(names.contains(name), "no test {name}");
    }
}
