//! Orders as sheets ask for them.

use std::path::{Path, PathBuf};
use std::process::Command;

use palette::color_difference::Ciede2000;
use shadecard::diag::{Diagnostic, Sources};
use shadecard::diag_print::render;
use shadecard::range::{Loaded, Order, Value, load};

const DISC: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><circle cx='4.5' cy='4.5' r='4.5'/></svg>";

/// Key, family, value.
const COLOURS: [(&str, &str, &str); 8] = [
    ("dulse", "gloss", "#5a3838"),
    ("gannet", "gloss", "#f8f7f3"),
    ("rust", "gloss", "#a04030"),
    ("slate", "gloss", "#80868c"),
    ("mist", "gloss", "#c8ccd0"),
    ("brine", "clear", "#c8d8d6"),
    ("kelp", "clear", "#405020"),
    ("foam", "clear", "#e8f0ef"),
];

/// The range with its colours in its own file, or in a table beside it.
fn folder(as_table: bool) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let colours = if as_table {
        let rows = COLOURS.map(|(key, family, value)| format!("{key},{family},{value}\n"));
        let table = format!("key,family,value\n{}", rows.concat());
        std::fs::write(at.join("colours.csv"), table).expect("written");
        "Table(file: \"colours.csv\")".to_owned()
    } else {
        let list = COLOURS.map(|(key, family, value)| {
            format!("(key: {key:?}, family: {family:?}, value: {value:?}),\n")
        });
        format!("[{}]", list.concat())
    };
    let range = format!(
        "Range(maker: \"Works\", listings: [(key: \"works\")], families: [(key: \"gloss\"), (key: \"clear\")],\n\
         parts: [(key: \"b9\", shape: \"disc.svg\", side: left)], colours: {colours})"
    );
    std::fs::write(at.join("range.ron"), range).expect("written");
    std::fs::write(at.join("disc.svg"), DISC).expect("written");
    folder
}

fn write_sheet(folder: &Path, fields: &str) -> PathBuf {
    let sheet = folder.join("sheet.ron");
    let text = format!("Sheet(range: \"range.ron\", name: \"s\", title: \"T\", {fields})");
    std::fs::write(&sheet, text).expect("written");
    sheet
}

fn read(sheet: &Path) -> Loaded {
    let mut sources = Sources::default();
    load(sheet, &mut sources).unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)))
}

/// The keys of each family, in the sheet's order.
fn rows(loaded: &Loaded) -> Vec<String> {
    let keys = |rows: &[shadecard::range::ColourId]| {
        let keys: Vec<&str> = rows.iter().map(|c| loaded.range.colour(*c).key().as_str()).collect();
        keys.join(" ")
    };
    loaded.sheet.families().iter().map(|f| keys(f.rows())).collect()
}

#[test]
fn each_family_in_the_order_it_asks_for() {
    for as_table in [false, true] {
        let folder = folder(as_table);
        for (fields, gloss, clear) in [
            ("", "dulse gannet rust slate mist", "brine kelp foam"),
            ("order: listed", "dulse gannet rust slate mist", "brine kelp foam"),
            ("order: lightness", "gannet mist slate rust dulse", "foam brine kelp"),
            // Nothing of the range is green to blue but kelp: its family begins after that arc.
            ("order: hue", "gannet mist slate dulse rust", "foam brine kelp"),
            ("order: neighbours", "gannet mist slate dulse rust", "foam brine kelp"),
            (
                "families: [(family: \"gloss\", order: neighbours, first: \"rust\"), \"clear\"]",
                "rust dulse slate mist gannet",
                "brine kelp foam",
            ),
            (
                "order: lightness, families: [(family: \"gloss\", order: listed), \"clear\"]",
                "dulse gannet rust slate mist",
                "foam brine kelp",
            ),
            (
                "order: neighbours, families: [(family: \"gloss\"), (family: \"clear\", first: \"kelp\")]",
                "gannet mist slate dulse rust",
                "kelp brine foam",
            ),
            (
                "order: neighbours, leave_out: [(colours: [\"mist\"])]",
                "gannet slate dulse rust",
                "foam brine kelp",
            ),
        ] {
            let loaded = read(&write_sheet(folder.path(), fields));
            assert_eq!(rows(&loaded), [gloss, clear], "{fields}");
        }
    }
}

/// Colours given as measured count as measured, not as what a screen can show of them.
#[test]
fn measured_values_count_as_measured() {
    let folder = folder(false);
    let range = std::fs::read_to_string(folder.path().join("range.ron")).expect("there");
    // Two greens beyond sRGB that are shown alike, and one between them and the third.
    let mut range = range;
    for (from, to) in [
        ("\"#c8d8d6\"", "Lab(60, -120, 40)"),
        ("\"#405020\"", "Lab(60, -100, 40)"),
        ("\"#e8f0ef\"", "Lab(60, -110, 40)"),
    ] {
        range = range.replace(from, to);
    }
    std::fs::write(folder.path().join("range.ron"), range).expect("written");
    let loaded = read(&write_sheet(folder.path(), "order: neighbours"));
    assert_eq!(rows(&loaded)[1], "brine foam kelp");
}

#[test]
fn the_demo_by_neighbours() {
    let listed = read(Path::new("demo/haberdashery/sheet.ron"));
    let text = std::fs::read_to_string("demo/haberdashery/sheet.ron").expect("the demo");
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    std::fs::create_dir(at.join("shapes")).expect("made");
    for file in std::fs::read_dir("demo/haberdashery/shapes").expect("shapes") {
        let file = file.expect("a file");
        std::fs::copy(file.path(), at.join("shapes").join(file.file_name())).expect("copied");
    }
    std::fs::copy("demo/haberdashery/range.ron", at.join("range.ron")).expect("copied");
    let sheet = text.replacen("    families: [", "    order: neighbours,\n    families: [", 1);
    std::fs::write(at.join("sheet.ron"), sheet).expect("written");
    let ordered = read(&at.join("sheet.ron"));
    for (was, is) in listed.sheet.families().iter().zip(ordered.sheet.families()) {
        assert_eq!((was.order(), is.order()), (Order::Listed, Order::Neighbours));
        let length = |loaded: &Loaded, rows: &[shadecard::range::ColourId]| -> f64 {
            let aim = |c| {
                let value: &Value = loaded.range.colour(c).value();
                value.aim()
            };
            rows.windows(2).map(|w| aim(w[0]).difference(aim(w[1]))).sum()
        };
        let (before, after) = (length(&listed, was.rows()), length(&ordered, is.rows()));
        println!("{}: {before:.1} as listed, {after:.1}", listed.range.family(was.family()).key());
        assert!(after <= before + 1e-9);
        let set = |rows: &[_]| {
            let mut rows = rows.to_vec();
            rows.sort_unstable();
            rows
        };
        assert_eq!(set(was.rows()), set(is.rows()));
    }
}

/// A workbook comes back in the same order: the sheet goes along as it is.
#[test]
fn an_export_keeps_the_order() {
    let folder = folder(false);
    let fields = "order: lightness, families: [(family: \"gloss\", order: neighbours, first: \"rust\"), \"clear\"]";
    let sheet = write_sheet(folder.path(), fields);
    let before = read(&sheet);
    assert_eq!(rows(&before), ["rust dulse slate mist gannet", "foam brine kelp"]);
    for kind in ["xlsx", "csv"] {
        let out = folder.path().join(kind);
        let run = Command::new(env!("CARGO_BIN_EXE_shadecard"))
            .args(["export".as_ref(), sheet.as_os_str(), "--to".as_ref(), kind.as_ref()])
            .args(["--out".as_ref(), out.as_os_str()])
            .output()
            .expect("runs");
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        let after = read(&out.join("sheet.ron"));
        assert_eq!(after.range, before.range);
        assert_eq!(rows(&after), rows(&before), "{kind}");
        assert_eq!(after.sheet.families()[0].first(), before.sheet.families()[0].first());
    }
}

/// What is wrong with a sheet, and the suggestion of each fault.
fn faults(fields: &str) -> Vec<Diagnostic> {
    let folder = folder(false);
    let mut sources = Sources::default();
    match load(&write_sheet(folder.path(), fields), &mut sources) {
        Ok(loaded) => loaded.warnings.sorted(),
        Err(findings) => findings.sorted(),
    }
}

#[test]
fn a_way_out_of_each_fault() {
    for (fields, message, help) in [
        ("order: neighbors", "'neighbors' is not a value of 'order'", "did you mean 'neighbours'?"),
        (
            "order: colour",
            "'colour' is not a value of 'order'",
            "the values are: listed, lightness, hue, neighbours",
        ),
        (
            "families: [(family: \"gloss\", order: hue, first: \"rust\")]",
            "a first colour cannot be combined with the order hue",
            "add order: neighbours",
        ),
        (
            "order: neighbours, families: [(family: \"gloss\", first: \"rustt\")]",
            "there is no colour 'rustt'",
            "did you mean 'rust'?",
        ),
        (
            "order: neighbours, families: [(family: \"gloss\", first: \"kelp\")]",
            "'kelp' is in the family 'clear', not in 'gloss'",
            "name a colour of this family",
        ),
        (
            "order: neighbours, leave_out: [(colours: [\"rust\"])], families: [(family: \"gloss\", first: \"rust\")]",
            "the sheet does not show 'rust'",
            "year or leave_out excludes this one",
        ),
    ] {
        let found = faults(fields);
        assert_eq!(found.len(), 1, "{fields}: {found:?}");
        assert_eq!(found[0].message, message);
        let told = found[0].help.clone().unwrap_or_default();
        assert!(told.contains(help), "{fields}: {told}");
    }
}
