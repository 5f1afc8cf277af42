//! `compare --for buyers`: what buyers are told, and what not.

use std::path::Path;
use std::process::{Command, Output};

use super::{edit, square, write};

const OLD: &str = r##"Range(
    maker: "Wrackline Works",
    release: "Spring release",
    listings: [(key: "works", title: "Works list"), (key: "dealer", title: "Dealer list")],
    families: [(key: "gloss-family", title: "Gloss"), (key: "clear-family", title: "Clear", finish: clear)],
    parts: [
        (key: "part-nine", numbers: {"works": "1102"}, title: "Button", size: "9", shape: "9.svg"),
        (key: "part-ten", numbers: {"works": "1104"}, title: "Grey bead", side: right, shape: "9.svg"),
    ],
    colours: [
        (key: "key-gannet", family: "gloss-family", names: {"works": "Gannet", "dealer": "Chalk"}, numbers: {"works": "101", "dealer": "3-1"}, value: "#f8f7f3"),
        (key: "key-rust", family: "gloss-family", names: {"works": "Rust"}, numbers: {"works": "102"}, value: "#c23b22"),
        (key: "key-slate", family: "gloss-family", names: {"works": "Slate"}, numbers: {"works": "103"}, value: "#445566"),
        (key: "key-brine", family: "clear-family", names: {"works": "Brine"}, numbers: {"works": "201"}, value: "#d7e5e3"),
    ],
    made: (rows: {"key-gannet": "xx", "key-rust": "x.", "key-slate": "xx", "key-brine": ".x"}),
)"##;

const SHEET: &str = r#"Sheet(range: "RANGE", name: "s", year: 2026, spellings: ["en-GB", "en-US"],
    centre: [(listing: "works"), (listing: "dealer")], editions: [(name: "a4", layout: "a4")])"#;

fn shadecard(folder: &Path, args: &[&str]) -> Output {
    let program = env!("CARGO_BIN_EXE_shadecard");
    Command::new(program).args(args).current_dir(folder).output().expect("runs")
}

/// A folder with two ranges and a sheet of each.
fn two(changes: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    write(at, "9.svg", &square(9.0, ""));
    write(at, "old.ron", OLD);
    let changes: Vec<_> =
        [("Spring release", "Autumn release")].iter().chain(changes).copied().collect();
    write(at, "new.ron", &edit(OLD, &changes));
    write(at, "old-sheet.ron", &SHEET.replace("RANGE", "old.ron"));
    write(at, "new-sheet.ron", &SHEET.replace("RANGE", "new.ron"));
    folder
}

const CHANGES: &[(&str, &str)] = &[
    ("\"works\": \"Rust\"", "\"works\": \"Rust Grey\""),
    ("\"3-1\"", "\"3-7\""),
    ("#445566", "#40505f"),
    (
        "(key: \"key-brine\", family: \"clear-family\", names: {\"works\": \"Brine\"}, numbers: {\"works\": \"201\"}, value: \"#d7e5e3\")",
        "(key: \"key-kelp\", family: \"clear-family\", names: {\"works\": \"Kelp *1*\"}, numbers: {\"works\": \"20/1\"}, value: \"#556611\")",
    ),
    ("\"key-brine\": \".x\"", "\"key-kelp\": \"xx\""),
    ("\"key-rust\": \"x.\"", "\"key-rust\": \"xx\""),
    ("\"key-slate\": \"xx\"", "\"key-slate\": \".x\""),
];

fn note(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).expect("a note")
}

#[test]
fn a_note_in_each_spelling_with_its_chips() {
    let folder = two(CHANGES);
    let at = folder.path();
    let run = shadecard(
        at,
        &["compare", "old-sheet.ron", "new-sheet.ron", "--for", "buyers", "--out", "note.md"],
    );
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let said = String::from_utf8_lossy(&run.stdout).into_owned();
    assert!(said.starts_with("Written: note.en-GB.md\nWritten: note.en-US.md\n"), "{said}");
    let british = note(at, "note.en-GB.md");
    for section in [
        "# What is new\n\nWrackline Works · Autumn release, since Spring release\n",
        "\n## New colours (1)\n\n### Clear\n\n- ![](note-chips/chip-20-1.png) **20/1 Kelp \\*1\\*** · made as 1102, 1104 · `#556611`\n",
        "\n## Parts now made in more colours (1)\n\n### 1104 Grey bead, 9 mm\n\n- ![](note-chips/chip-102.png) **102 Rust Grey** · `#c23b22`\n",
        "\n## New names (1)\n\n### Gloss\n\n- ![](note-chips/chip-102.png) **102 Rust Grey** · formerly Rust · `#c23b22`\n",
        "\n## New numbers (1)\n\n### Gloss\n\n- ![](note-chips/chip-101.png) **101 Gannet** · Dealer list: 3-7 Chalk, formerly 3-1 · `#f8f7f3`\n",
        "\n## New shades (1)\n\nleft: before; right: now\n\n### Gloss\n\n- ![](note-chips/chip-103.png) ![](note-chips/chip-103-2.png) **103 Slate** · now darker",
        "\n## No longer made (1)\n\n### Clear\n\n- ![](note-chips/chip-201.png) **201 Brine** · `#d7e5e3`\n",
        "\n## Parts made in fewer colours (1)\n\n### 1102 Button, 9 mm\n\n- ![](note-chips/chip-103-2.png) **103 Slate** · `#40505f`\n",
    ] {
        assert!(british.contains(section), "'{section}' is not in\n{british}");
    }
    let american = note(at, "note.en-US.md");
    assert!(
        american.contains("## New colors (1)") && american.contains("**102 Rust Gray**"),
        "{american}"
    );
    // What a maker calls things is nothing for buyers.
    for text in [&british, &american] {
        for word in ["key", "gloss-", "part-", ".ron", "dE", "sheet", "edition"] {
            assert!(!text.contains(word), "'{word}' in\n{text}");
        }
        let chips = text.split("](").skip(1).map(|t| t.split(')').next().expect("an end"));
        for chip in chips {
            assert!(at.join(chip).exists(), "{chip}");
        }
    }
    // The chip is of the colour's value, read by another library's decoder.
    let file = std::fs::File::open(at.join("note-chips/chip-103.png")).expect("a chip");
    let mut reader = png::Decoder::new(std::io::BufReader::new(file)).read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut pixels).expect("pixels");
    let middle = (info.height / 2 * info.width + info.width / 2) as usize * 3;
    assert_eq!(pixels[middle..middle + 3], [0x44, 0x55, 0x66]);
}

#[test]
fn a_pdf_whose_words_can_be_found() {
    let folder = two(CHANGES);
    let at = folder.path();
    let args = [
        "compare",
        "old-sheet.ron",
        "new-sheet.ron",
        "--for",
        "buyers",
        "--spelling",
        "en-GB",
        "--out",
    ];
    for (name, more) in
        [("note.pdf", &[][..]), ("letter.pdf", &["--page", "letter", "--style", "catalogue"])]
    {
        let run = shadecard(at, &[&args[..], &[name], more].concat());
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    }
    let bytes = std::fs::read(at.join("note.pdf")).expect("a PDF");
    let again = shadecard(at, &[&args[..], &["again.pdf"]].concat());
    assert!(again.status.success());
    assert_eq!(bytes, std::fs::read(at.join("again.pdf")).expect("a PDF"), "the same bytes");
    let pdf = lopdf::Document::load_mem(&bytes).expect("lopdf reads it");
    assert_eq!(pdf.get_pages().len(), 1);
    let text = pdf.extract_text(&[1]).expect("text").replace(['\n', ' '], "");
    for words in [
        "Whatisnew",
        "Newcolours",
        "Kelp*1*",
        "formerlyRust",
        "formerly3-1",
        "Nolongermade",
        "nowdarker",
    ] {
        assert!(text.contains(words), "'{words}' is not in\n{text}");
    }
}

#[test]
fn two_ranges_and_nothing_new() {
    let folder = two(&[]);
    let at = folder.path();
    let said = |args: &[&str]| {
        let run = shadecard(at, &[&["compare"], args, &["--for", "buyers"]].concat());
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        String::from_utf8_lossy(&run.stdout).into_owned()
    };
    let nothing = "# What is new\n\nWrackline Works · Autumn release, since Spring release\n\nNothing that concerns an order has changed.\n";
    assert_eq!(said(&["old.ron", "new.ron"]), nothing);
    assert_eq!(said(&["old-sheet.ron", "new.ron"]), nothing);
    assert_eq!(said(&["old-sheet.ron", "new-sheet.ron", "--listing", "dealer"]), nothing);
}

/// Years and colours left out make news of their own.
#[test]
fn years_and_what_is_left_out() {
    let folder = two(&[
        ("value: \"#c23b22\"", "value: \"#c23b22\", last: 2027"),
        ("value: \"#445566\"", "value: \"#445566\", last: 2025"),
    ]);
    let at = folder.path();
    let sheet = SHEET.replace("RANGE", "new.ron").replace(
        "year: 2026,",
        "year: 2026, leave_out: [(colours: [\"key-brine\"], reason: \"made to order only\")],",
    );
    write(at, "new-sheet.ron", &sheet);
    let told = |old: &str, new: &str| {
        let run = shadecard(at, &["compare", old, new, "--for", "buyers"]);
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        String::from_utf8_lossy(&run.stdout).into_owned()
    };
    let said = told("old-sheet.ron", "new-sheet.ron");
    for line in [
        "## To be discontinued (1)\n\n### Gloss\n\n- **102 Rust** · until the end of 2027 · `#c23b22`\n",
        "## No longer made (1)\n\n### Gloss\n\n- **103 Slate** · `#445566`\n",
        "## No longer shown (1)\n\n### Clear\n\n- **201 Brine** · made to order only · `#d7e5e3`\n",
    ] {
        assert!(said.contains(line), "'{line}' is not in\n{said}");
    }
    let back = told("new-sheet.ron", "old-sheet.ron");
    assert!(back.contains("## Made again (1)\n\n### Gloss\n\n- **103 Slate**"), "{back}");
    assert!(back.contains("## Now also shown (1)\n\n### Clear\n\n- **201 Brine**"), "{back}");
}
