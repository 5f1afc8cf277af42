//! `new`: what it writes can be made at once.

use std::path::Path;
use std::process::{Command, Output};

use shadecard::diag::Sources;
use shadecard::proofread::twins::twins;
use shadecard::range::load;
use shadecard::work::{Work, WorkKind};

fn shadecard(args: &[&str], at: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard")).current_dir(at).args(args).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Makes the sheet in small and counts its files.
fn makes(at: &Path) -> usize {
    let run = shadecard(&["make", "s/sheet.ron", "--dpi", "50", "--out", "out", "--json"], at);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let manifest: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    manifest["files"].as_array().expect("files").len()
}

#[test]
fn a_new_folder_makes_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    assert!(shadecard(&["new", "s"], at).status.success());
    let run = shadecard(&["check", "s/sheet.ron", "--fail-on", "warnings"], at);
    assert!(run.status.success(), "{}", text(&run.stdout));
    // Two spellings, three kinds.
    assert_eq!(makes(at), 6);
    let shapes = std::fs::read_dir(at.join("s/shapes")).unwrap().count();
    assert_eq!(shapes, 3);
    let again = shadecard(&["new", "s"], at);
    assert_eq!(again.status.code(), Some(1));
    assert!(text(&again.stderr).contains("'s' is not empty"));
}

/// (rows, page that is taken): the smallest that the colours fit on.
#[test]
fn a_list_of_any_length_makes_at_once() {
    for (rows, layout) in [(3, "A6"), (40, "A5"), (150, "A4"), (420, "a4-pages")] {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        let list: String = (0..rows)
            .map(|i| {
                format!(
                    "Shade {i};{};#{:06x};{}\r\n",
                    100 + i,
                    i * 23_003 % 0xff_ffff,
                    ["Gloss", "Matt"][i % 2]
                )
            })
            .collect();
        std::fs::write(at.join("list.csv"), format!("Colour;Nr;Hex;Group\r\n{list}")).unwrap();
        let run = shadecard(&["new", "s", "--from", "list.csv"], at);
        assert!(run.status.success(), "{}", text(&run.stderr));
        let all: String = ["s/sheet.ron", "s/page.ron"]
            .iter()
            .filter_map(|f| std::fs::read_to_string(at.join(f)).ok())
            .collect();
        assert!(all.contains(&format!("\"{layout}\"")), "{rows}: {all}");
        let plan = shadecard(&["plan", "s/sheet.ron", "--json"], at);
        let plans: serde_json::Value = serde_json::from_slice(&plan.stdout).expect("JSON");
        assert_eq!(plans[0]["plan"]["colours"], rows, "{plans}");
    }
}

/// Runs `new` on a list, which has to succeed, and gives back what it said and the table of colours.
fn begun(list: &[u8], options: &[&str], at: &Path) -> (String, String) {
    std::fs::write(at.join("list.csv"), list).unwrap();
    let args: Vec<&str> =
        ["new", "s", "--from", "list.csv"].iter().chain(options).copied().collect();
    let run = shadecard(&args, at);
    assert!(run.status.success(), "{}", text(&run.stderr));
    (text(&run.stderr), std::fs::read_to_string(at.join("s/colours.csv")).unwrap())
}

#[test]
fn what_a_list_lacks_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let (said, table) = begun("name,value\nCrème,#f0e0c0\nCreme,\nTar,black\n".as_bytes(), &[], at);
    assert!(said.contains("2 of 3 colours have no value, 'Creme' first"), "{said}");
    assert!(said.contains("One cell of 'value' not understood, 'black'"), "{said}");
    assert_eq!(
        table,
        "key,family,works number,works name,value\n\
         creme,colours,,Crème,#f0e0c0\ncreme-2,colours,,Creme,unknown\ntar,colours,,Tar,unknown\n"
    );
    assert_eq!(makes(at), 6);
    std::fs::write(at.join("list.csv"), "value\n#f0e0c0\n").unwrap();
    let run = shadecard(&["new", "t", "--from", "list.csv"], at);
    assert_eq!(run.status.code(), Some(1));
    assert!(text(&run.stderr).contains("no column of names or numbers"), "{}", text(&run.stderr));
    assert!(!at.join("t").exists());
}

/// Layouts, styles, label sheets and spellings as files of one's own come out as those that come with the program.
#[test]
fn what_is_written_out_works_as_what_it_was() {
    use shadecard::labels::label_sheet::SHIPPED_LABEL_SHEETS;
    use shadecard::plan::{layout::SHIPPED_LAYOUTS, style::SHIPPED_STYLES};

    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    assert!(shadecard(&["new", "s"], at).status.success());
    let write_out = |file: &str, option: &str, name: &str, shipped: &str| {
        let run = shadecard(&["new", file, option, name], at);
        assert!(run.status.success(), "{}", text(&run.stderr));
        assert!(text(&run.stdout).contains("\nNext:  "), "{}", text(&run.stdout));
        assert_eq!(std::fs::read_to_string(at.join(file)).unwrap(), shipped);
        let again = shadecard(&["new", file, option, name], at);
        assert_eq!(again.status.code(), Some(1), "nothing is overwritten");
    };
    let pages = ["a4", "a3", "letter-pages"];
    for (name, shipped) in SHIPPED_LAYOUTS {
        write_out(&format!("s/my-{name}.ron"), "--layout", name, shipped);
    }
    for (name, shipped) in SHIPPED_STYLES {
        write_out(&format!("s/my-{name}.style.ron"), "--style", name, shipped);
    }
    for (name, shipped) in SHIPPED_LABEL_SHEETS {
        write_out(&format!("s/my-{name}.labels.ron"), "--label-sheet", name, shipped);
    }
    // Everything a file says, layout by layout and style by style: the same bytes.
    let sheet = |prefix: &str, ending: &str, style: &str| {
        let editions: Vec<String> = pages
            .iter()
            .map(|p| format!("(name: \"{p}\", layout: \"{prefix}{p}{ending}\")"))
            .collect();
        let (style_ending, editions) =
            (if ending.is_empty() { "" } else { ".style.ron" }, editions.join(", "));
        format!(
            "Sheet(range: \"range.ron\", name: \"n\", style: \"{prefix}{style}{style_ending}\", spellings: [\"en-GB\"], editions: [{editions}])"
        )
    };
    let made = |sheet: &str, out: &str| {
        std::fs::write(at.join("s/own.ron"), sheet).unwrap();
        let run = shadecard(&["make", "s/own.ron", "--dpi", "50", "--quiet", "--out", out], at);
        assert!(run.status.success(), "{}", text(&run.stderr));
        let mut files: Vec<_> = std::fs::read_dir(at.join(out).join("n"))
            .unwrap()
            .map(|f| f.unwrap().path())
            .filter(|f| f.extension().is_some_and(|e| e != "json"))
            .map(|f| (f.file_name().unwrap().to_owned(), std::fs::read(&f).unwrap()))
            .collect();
        files.sort();
        files
    };
    for (style, _) in SHIPPED_STYLES {
        let (shipped, own) = (format!("{style}-shipped"), format!("{style}-own"));
        let before = made(&sheet("", "", style), &shipped);
        assert_eq!(before.len(), 9, "three editions, three kinds");
        assert!(before == made(&sheet("my-", ".ron", style), &own), "{style}");
    }
}

/// A spelling is where a sheet looks for it, and its words are those of the one it began as.
#[test]
fn a_spelling_is_written_out_where_a_sheet_looks_for_it() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    assert!(shadecard(&["new", "s"], at).status.success());
    let run = shadecard(&["new", "s/spelling/de-DE.ron", "--spelling", "en-GB"], at);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let sheet = std::fs::read_to_string(at.join("s/sheet.ron")).unwrap();
    let sheet = sheet.replace("spellings: [\"en-GB\", \"en-US\"]", "spellings: [\"de-DE\"]");
    std::fs::write(at.join("s/sheet.ron"), sheet).unwrap();
    assert_eq!(makes(at), 3);
    for wrong in ["s/de-DE.ron", "s/spelling/de-de.ron", "s/spelling/german.ron"] {
        let run = shadecard(&["new", wrong, "--spelling", "en-GB"], at);
        assert_eq!(run.status.code(), Some(1), "{wrong}");
        assert!(!at.join(wrong).exists());
    }
}

/// What range tables cannot read as it is is put right or told, and can be made.
#[test]
fn values_as_people_write_them_can_be_made() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let list = "name,number,value\nGannet,101,#fff\nDulse,102,Lab(28.4 24.1 3.9)\n\
                Brine,103,light blue\nTern,104,rgb(20 30 40)\n";
    let (said, table) = begun(list.as_bytes(), &[], at);
    assert!(said.contains("One cell of 'value' not understood, 'light blue'"), "{said}");
    for value in ["#ffffff", "\"Lab(28.4, 24.1, 3.9)\"", "unknown", "#141e28"] {
        assert!(table.contains(value), "{value} in {table}");
    }
    assert_eq!(makes(at), 6);
}

#[test]
fn letters_that_no_font_has_and_hidden_ones_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let (said, table) =
        begun("name,number\n青,1\nTern\u{200b}\u{202e} White,2\n".as_bytes(), &[], at);
    assert!(said.contains("'青' became 'Qing'"), "{said}");
    assert!(said.contains("hidden characters"), "{said}");
    assert!(table.contains(",Qing,") && table.contains(",Tern White,"), "{table}");
    assert_eq!(makes(at), 6);
}

/// A heading that can mean several things: which it was taken for, and how to say otherwise.
#[test]
fn a_heading_can_be_said_otherwise() {
    let list = "Colour,No.,Shade,Hex\nTern,1,Light,#f0f0f0\nTar,2,Dark,#202020\nSlate,3,Dark,#606060\nSnow,4,Light,#fafafa\n";
    let folder = tempfile::tempdir().unwrap();
    let (said, table) = begun(list.as_bytes(), &[], folder.path());
    assert!(said.contains("'Shade' was read as families, but could also hold names"), "{said}");
    assert!(table.contains("tern,light,1,Tern,#f0f0f0"), "{table}");
    let folder = tempfile::tempdir().unwrap();
    let options = ["--heading", "Shade=name", "--heading", "Colour="];
    let (said, table) = begun(list.as_bytes(), &options, folder.path());
    assert!(table.contains(",1,Light,#f0f0f0"), "{said}{table}");
    std::fs::write(folder.path().join("list.csv"), list).unwrap();
    let run =
        shadecard(&["new", "t", "--from", "list.csv", "--heading", "Shad=name"], folder.path());
    assert_eq!(run.status.code(), Some(1));
    assert!(text(&run.stderr).contains("did you mean 'Shade'?"), "{}", text(&run.stderr));
}

/// Titles between the rows are families, crosses beside the colours are parts, and rows that name nothing are reported.
#[test]
fn titles_crosses_and_rows_of_no_use() {
    let list = "No;Name;Hex;10;20;Price\nGloss;;;;;\n1;Tern;#f0f0f0;x;;1,20\n2;Tar;#202020;;ja;1,30\n\
                Clear;;;;;\n3;Pool;#c0e0e0;x;x;1,40\nNo;Name;Hex;10;20;Price\n4;Amber;#c98a2b;2019-2024;;1,50\nTotal;;;2;;\n";
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let (said, table) = begun(list.as_bytes(), &[], at);
    assert!(
        table.contains("pool,clear,3,Pool,#c0e0e0") && table.contains("tar,gloss,2,Tar,#202020"),
        "{table}"
    );
    assert!(said.contains("not understood and left out: 'Price'"), "{said}");
    let made = std::fs::read_to_string(at.join("s/made.csv")).unwrap();
    assert!(
        made.contains("tern,x,\n")
            && made.contains("tar,,x\n")
            && made.contains("amber,2019-2024,\n"),
        "{made}"
    );
    assert_eq!(makes(at), 6);
}

/// 3,000 colours without a value: millions of pairs would be alike, so none is compared.
#[test]
fn many_colours_without_values_are_checked_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let list: String = (0..3000).map(|i| format!("Tern {i},{i}\n")).collect();
    let (said, _) = begun(format!("name,number\n{list}").as_bytes(), &[], at);
    assert!(said.contains("The colours have no values"), "{said}");
    let run = shadecard(&["check", "s/sheet.ron"], at);
    assert!(run.status.success(), "{}", text(&run.stdout));
    assert!(!text(&run.stdout).contains("apart"), "no colour is compared");
    let loaded = load(&at.join("s/sheet.ron"), &mut Sources::default()).expect("checked");
    let work = Work::default();
    let twins = twins(&loaded.range, &loaded.sheet, &work);
    assert_eq!((twins.len(), work.done(WorkKind::Pairs)), (0, 0));
}
