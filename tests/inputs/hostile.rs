//! Files made to do harm: each is refused with a limit that the message names, in little memory.
//!
//! The cases are those in which general-purpose readers of such files abort, fill the memory or
//! take minutes, as measured on usvg 0.49, calamine and ron 0.12. Each run has 400 MB of address
//! space, its own code included, and 20 seconds of processor time; the system stops what takes
//! more.
#![cfg(unix)]

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::process::Command;

use flate2::Compression;
use flate2::write::GzEncoder;
use zip::write::SimpleFileOptions;

const SHEET: &str = r#"Sheet(range: "range.ron", name: "s", title: "T", headings: "w", centre: [(listing: "w")], spellings: ["en-GB"], editions: [(name: "a4", layout: "a4")])"#;
const RANGE: &str = r##"Range(maker: "M", release: "R", listings: [(key: "w")], families: [(key: "f", title: "F")],
parts: [(key: "p", numbers: {"w": "1"}, role: "r", side: left, shape: "disc.svg")],
colours: [(key: "c", family: "f", names: {"w": "Tern"}, numbers: {"w": "1"}, value: "#336699")], made: MADE)"##;
const ROWS: &str = r#"(rows: {"c": "x"})"#;
const DISC: &str = "<circle cx='4.5' cy='4.5' r='4'/>";

fn svg(inside: &str) -> Vec<u8> {
    let head = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' width='9mm' height='9mm' viewBox='0 0 9 9'>";
    format!("{head}{inside}</svg>").into_bytes()
}

/// A folder with a sheet, and these files in place of, or beside, the usual ones.
fn bench(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    let write = |name: &str, bytes: &[u8]| {
        std::fs::write(dir.path().join(name), bytes).expect("written");
    };
    write("sheet.ron", SHEET.as_bytes());
    write("range.ron", RANGE.replace("MADE", ROWS).as_bytes());
    write("disc.svg", &svg(DISC));
    files.iter().for_each(|(name, bytes)| write(name, bytes));
    dir
}

/// What `check` says of it.
fn told(files: &[(&str, &[u8])]) -> String {
    run(bench(files).path(), "check sheet.ron", 1)
}

fn run(folder: &Path, command: &str, code: i32) -> String {
    let program = env!("CARGO_BIN_EXE_shadecard");
    let run = Command::new("sh")
        .arg("-c")
        .arg(format!("ulimit -v 400000; ulimit -t 20; exec '{program}' {command}"))
        .current_dir(folder)
        .output()
        .expect("runs");
    let told = [run.stdout, run.stderr].concat();
    let told = String::from_utf8_lossy(&told).into_owned();
    assert_eq!(run.status.code(), Some(code), "{:.2000}", told);
    assert!(!told.contains("panicked"), "{told:.2000}");
    assert!(
        code == 0 || told.contains("Suggestion: ") || told.contains("\"help\": \""),
        "{told:.2000}"
    );
    told
}

fn refused(files: &[(&str, &[u8])], codes: &[&str]) {
    let told = run(bench(files).path(), "check sheet.ron --json", 1);
    let found: serde_json::Value = serde_json::from_str(&told).expect("a list");
    let found = found.as_array().expect("a list").iter().filter(|d| d["severity"] == "error");
    let found: Vec<&str> = found.filter_map(|d| d["code"].as_str()).collect();
    assert!(!found.is_empty(), "{told:.2000}");
    assert!(found.iter().all(|code| codes.contains(code)), "{told:.2000}");
}

fn drawing(inside: &str, code: &str) {
    refused(&[("disc.svg", &svg(inside))], &[code]);
}

fn chain(count: usize, link: impl Fn(usize) -> String) -> String {
    (0..count).map(link).collect()
}

#[test]
fn a_plain_sheet_keeps_within_the_limits() {
    let dir = bench(&[]);
    assert!(run(dir.path(), "check sheet.ron", 0).contains("1 colour"));
}

/// Each of these takes minutes or gigabytes in what reads or draws it, and a few kilobytes in a file.
/// The library would look for the end of the table for ever.
#[test]
fn a_workbook_that_ends_within_its_table() {
    let spaces = ["office", "table", "text"]
        .map(|n| format!(" xmlns:{n}='urn:oasis:names:tc:opendocument:xmlns:{n}:1.0'"))
        .concat();
    let content = format!(
        "<office:document-content{spaces}><office:body><office:spreadsheet><table:table table:name='one'><table:table-row>"
    );
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    zip.start_file("content.xml", SimpleFileOptions::default()).expect("a part");
    zip.write_all(content.as_bytes()).expect("in memory");
    let book = zip.finish().expect("in memory").into_inner();
    let range = RANGE.replace("MADE", "Table(file: \"made.ods\")");
    refused(&[("range.ron", range.as_bytes()), ("made.ods", &book)], &["not-a-workbook"]);
}

#[test]
fn few_bytes_that_stand_for_many() {
    // 75 million dashes.
    let dashed = "<path d='M0 0H3000000' stroke='#000' fill='none' stroke-width='0.1' stroke-dasharray='0.04'/>";
    drawing(&format!("{dashed}{DISC}"), "shape-too-large");
    // The same from a style sheet, and inherited.
    let ruled =
        "<style>g{stroke-dasharray:0.04}</style><g stroke='#000'><path d='M0 0H3000000'/></g>";
    drawing(&format!("{ruled}{DISC}"), "shape-too-large");
    // A path of 6 kB, 40,000 times.
    let uses = |path: &str| {
        format!("<defs>{path}</defs>{}{DISC}", "<use xlink:href='#p'/>".repeat(40_000))
    };
    let long = format!("<path id='p' d='M0 0{}z'/>", "l1 1 0 -1".repeat(700));
    drawing(&uses(&long), "shape-too-large");
    // Class words of 13 kB, 40,000 times, each to be looked for in a style sheet of 60 kB.
    let words = chain(2600, |i| format!("w{i} "));
    let classed = format!("<path id='p' d='M0 0h1v1z' class='{words}'/>");
    let sheet = format!("<style>.b{{}}{}</style>", "x".repeat(60_000));
    drawing(&format!("{sheet}{}", uses(&classed)), "shape-too-large");
    // Round joins of a stroke as wide as a country, to a thousandth of a millimetre.
    let bends = format!("M0 0{}", "C1 1 2 0 3 3".repeat(10_000));
    let wide = format!(
        "<path d='{bends}' stroke='#000' fill='none' stroke-width='1e9' stroke-linejoin='round'/>"
    );
    drawing(&format!("{wide}{DISC}"), "shape-unsupported");
    // A star of 1,500 lines, each across the others.
    let corner = |i: usize| {
        let at = std::f64::consts::TAU * (i * 749 % 1500) as f64 / 1500.0;
        format!("{:.4},{:.4} ", 4.5 + 4.0 * at.cos(), 4.5 + 4.0 * at.sin())
    };
    drawing(&format!("<polygon points='{}'/>", chain(1500, corner)), "shape-too-large");
}

/// What is dashed as people dash things stays as it is, and so does a star of five corners.
#[test]
fn usual_dashes_and_crossings() {
    let star = "<polygon points='4.5,0.5 6.9,7.7 0.7,3.3 8.3,3.3 2.1,7.7'/>";
    let dashed = "<circle cx='4.5' cy='4.5' r='3' fill='none' stroke='#fff' stroke-width='0.2' stroke-dasharray='0.3 0.2'/>";
    let dir = bench(&[("disc.svg", &svg(&format!("{star}{dashed}")))]);
    run(dir.path(), "check sheet.ron", 0);
}

/// A least size of type over the usual one once ended the program.
#[test]
fn a_label_sheet_whose_least_type_is_large() {
    let label_sheet =
        "Labels(sheet: (paper: \"A4\"), label: (width: 58, height: 35), type_floor: 7)";
    let dir = bench(&[("mine.ron", label_sheet.as_bytes())]);
    run(dir.path(), "labels sheet.ron --label-sheet mine.ron", 0);
}

#[test]
fn chains_of_references_in_a_drawing() {
    let pattern = |i: usize| {
        format!(
            "<pattern id='p{i}' width='1' height='1'><rect width='1' height='1' fill='url(#p{})'/></pattern>",
            i + 1
        )
    };
    drawing(
        &format!(
            "<defs>{}</defs><rect width='9' height='9' fill='url(#p0)'/>",
            chain(400, pattern)
        ),
        "shape-unsupported",
    );
    let mask = |i: usize| {
        format!("<mask id='m{i}' mask='url(#m{})'><rect width='9' height='9'/></mask>", i + 1)
    };
    drawing(
        &format!("<defs>{}</defs><rect width='9' height='9' mask='url(#m0)'/>", chain(2000, mask)),
        "shape-unsupported",
    );
    let clip = |i: usize| {
        format!(
            "<clipPath id='c{i}' clip-path='url(#c{})'><rect width='9' height='9'/></clipPath>",
            i + 1
        )
    };
    drawing(
        &format!(
            "<defs>{}</defs><rect width='9' height='9' clip-path='url(#c0)'/>",
            chain(5000, clip)
        ),
        "shape-unsupported",
    );
    let used = |i: usize| format!("<g id='u{i}'><use xlink:href='#u{}'/></g>", i + 1);
    drawing(
        &format!(
            "<defs>{}<rect id='u5000' width='9' height='9'/></defs><use xlink:href='#u0'/>",
            chain(5000, used)
        ),
        "shape-broken",
    );
    let slope = |i: usize| format!("<linearGradient id='g{i}' xlink:href='#g{}'/>", i + 1);
    drawing(
        &format!(
            "<defs>{}</defs><rect width='9' height='9' fill='url(#g0)'/>",
            chain(20_000, slope)
        ),
        "shape-broken",
    );
    let twice = |i: usize| {
        let next = i + 1;
        format!("<g id='d{i}'><use xlink:href='#d{next}'/><use xlink:href='#d{next}'/></g>")
    };
    drawing(
        &format!(
            "<defs>{}<rect id='d40' width='9' height='9'/></defs><use xlink:href='#d0'/>",
            chain(40, twice)
        ),
        "shape-broken",
    );
}

#[test]
fn entities_in_a_drawing() {
    let mut types = vec![chain(7000, |i| format!("<!ENTITY e{i} '&e{};'>", i + 1))];
    types.push(String::from("<!ENTITY e0 SYSTEM 'file:///etc/passwd'>"));
    let ten = |i: usize| format!("<!ENTITY e{i} '{}'>", format!("&e{};", i + 1).repeat(10));
    types.push(chain(10, ten));
    for entities in types {
        let drawing = String::from_utf8(svg(&format!("<desc>&e0;</desc>{DISC}"))).expect("text");
        let file = format!("<!DOCTYPE svg [{entities}]>{drawing}");
        refused(&[("disc.svg", file.as_bytes())], &["shape-broken"]);
    }
}

#[test]
fn too_much_of_anything_in_a_drawing() {
    drawing(&DISC.repeat(1_000_000), "shape-too-large");
    drawing(&"<path d='M0 0h1v1z'/>".repeat(200_000), "shape-broken");
    drawing(&format!("<path d='M0 0{}z'/>", "l1 1 0 -1".repeat(150_000)), "shape-unsupported");
    drawing(&format!("{}{DISC}{}", "<g>".repeat(100_000), "</g>".repeat(100_000)), "shape-broken");
    let rules = "a b c d e f g > h + i ~ j{fill:red}".repeat(100_000);
    drawing(&format!("<style>{rules}</style>{DISC}"), "shape-too-large");
    let rules = "a b c{fill:red}".repeat(1000);
    let many = "<path d='M0 0h1v1z'/>".repeat(90_000);
    drawing(&format!("<style>{rules}</style>{many}"), "shape-too-large");
    drawing(
        &format!("<path d='M0 0h9' stroke='black' stroke-dasharray='0.000001'/>{DISC}"),
        "shape-too-large",
    );
}

#[test]
fn a_compressed_drawing_and_a_picture_from_elsewhere() {
    let mut zipped = GzEncoder::new(Vec::new(), Compression::fast());
    zipped.write_all(&svg(DISC)).expect("zipped");
    let blank = vec![b' '; 1 << 20];
    (0..1000).for_each(|_| zipped.write_all(&blank).expect("zipped"));
    let zipped = zipped.finish().expect("zipped");
    refused(&[("disc.svg", &zipped)], &["not-text"]);
    drawing(
        &format!("{DISC}<image xlink:href='/etc/passwd' width='9' height='9'/>"),
        "shape-unsupported",
    );
}

/// A workbook with these rows in its only sheet; `rows` may be repeated.
fn workbook(rows: &str, times: usize) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let mut part = |name: &str, pieces: &[(&str, usize)]| {
        zip.start_file(name, SimpleFileOptions::default()).expect("a part");
        for (piece, times) in pieces {
            let block = piece.repeat((*times).min(1000));
            (0..times.div_ceil(1000))
                .for_each(|_| zip.write_all(block.as_bytes()).expect("zipped"));
        }
    };
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006/relationships";
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let related = |kind: &str, target: &str| {
        format!(
            "<Relationships xmlns='{package}'><Relationship Id='r1' Type='{office}/{kind}' Target='{target}'/></Relationships>"
        )
    };
    part("_rels/.rels", &[(&related("officeDocument", "xl/workbook.xml"), 1)]);
    part("xl/_rels/workbook.xml.rels", &[(&related("worksheet", "worksheets/sheet1.xml"), 1)]);
    let book = format!(
        "<workbook xmlns='{main}' xmlns:r='{office}'><sheets><sheet name='S' sheetId='1' r:id='r1'/></sheets></workbook>"
    );
    part("xl/workbook.xml", &[(&book, 1)]);
    let head = format!("<worksheet xmlns='{main}'><sheetData>");
    part("xl/worksheets/sheet1.xml", &[(&head, 1), (rows, times), ("</sheetData></worksheet>", 1)]);
    zip.finish().expect("zipped").into_inner()
}

fn table(name: &str, bytes: &[u8], code: &str) {
    let made = format!("Table(file: \"{name}\")");
    let range = RANGE.replace("MADE", &made);
    refused(&[("range.ron", range.as_bytes()), (name, bytes)], &[code]);
}

#[test]
fn workbooks() {
    let first = "<row r='1'><c r='A1' t='inlineStr'><is><t>key</t></is></c></row>";
    let far = format!("{first}<row r='1048576'><c r='XFD1048576'><v>1</v></c></row>");
    table("far.xlsx", &workbook(&far, 1), "table-too-large");
    table("large.xlsx", &workbook(first, 16_000_000), "table-too-large");
    table("junk.xlsx", &[b"PK\x03\x04", [7u8; 3000].as_slice()].concat(), "not-a-workbook");
}

/// A few bytes that stand for gigabytes: a long cell and how often it is repeated, blanks that are counted, and
/// 200,000 cells that name one long text. Before, each took over 5 GB.
#[test]
fn workbooks_of_repeats() {
    for (file, limit) in [
        ("long-cell-repeated.ods", "more than 256 MB of cells"),
        ("two-billion-blanks.ods", "more than 256 MB of cells"),
        ("long-text-shared.xlsx", "more than 64 MB of text in its cells"),
    ] {
        let bytes = std::fs::read(Path::new("tests/bombs").join(file)).expect("a fixture");
        let range = RANGE.replace("MADE", &format!("Table(file: \"{file}\")"));
        let said = told(&[(file, &bytes), ("range.ron", range.as_bytes())]);
        assert!(said.starts_with("Error in ") && said.contains(limit), "{said}");
        assert!(said.contains("--raise-limits 2"), "{said}");
    }
}

/// 29 MB of commas; before, they took over 2 GB.
#[test]
fn a_list_of_commas() {
    for width in [1_500, 40_000_000] {
        let line = ",".repeat(width.min(29 << 20)) + "\n";
        let text = line.repeat((29usize << 20).div_ceil(line.len()));
        let head = "key,p\nc,x\n".to_owned() + &text;
        table("m.csv", head.as_bytes(), "table-too-large");
    }
}

/// Thousands of faults on one line, of equal values and of names that are nearly the same: near linear, and
/// told in few lines. Before, each took minutes.
#[test]
fn thousands_of_findings() {
    let colours = |count: usize, of: &dyn Fn(usize) -> String, end: &str| {
        let list: String = (0..count).map(|n| of(n) + end).collect();
        let start = RANGE.find("colours: [").expect("there");
        let end = RANGE.find(", made: MADE").expect("there");
        format!("{}colours: [{list}]{}", &RANGE[..start], &RANGE[end..])
            .replace("MADE", "(rows: {})")
    };
    let colour = |n: usize, family: &str, value: &str| {
        format!(
            "(key: \"c{n}\", family: \"{family}\", names: {{\"w\": \"T{n}\"}}, value: \"{value}\")"
        )
    };
    let misspelt = |n: usize| colour(n, "ff", "#336699");
    let each_its_own = |n: usize| colour(n, &format!("f{n}"), "#336699");
    for (end, of) in [
        (",", &misspelt as &dyn Fn(usize) -> String),
        (",\n", &misspelt),
        (",", &each_its_own),
        (",\n", &each_its_own),
    ] {
        let range = colours(19_000, of, end);
        let said = told(&[("range.ron", range.as_bytes())]);
        assert!(said.contains("There is no family 'f"), "{said:.2000}");
        assert!(said.lines().count() < 120, "{said:.9000}");
    }
}

/// More colours, or pairs, than print values are found or reported for.
#[test]
fn print_values_of_thousands_of_colours() {
    let range = |count: usize| {
        let mut x = 1u32;
        let mut colours = String::new();
        for n in 0..count {
            x = x.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let value = x >> 8;
            let _ = write!(
                colours,
                "(key: \"c{n}\", family: \"f\", names: {{\"w\": \"Tern {n}\"}}, value: \"#{value:06x}\"),"
            );
        }
        let rows: String = (0..count).map(|n| format!("\"c{n}\": \"x\",")).collect();
        let from = RANGE.find("(key: \"c\"").expect("the colour");
        let to = RANGE.find("], made").expect("its end");
        let text = format!("{}{colours}{}", &RANGE[..from], &RANGE[to..]);
        text.replace("MADE", &format!("(rows: {{{rows}}})"))
    };
    let many = range(5001);
    let folder = bench(&[("range.ron", many.as_bytes())]);
    for command in ["tune sheet.ron --paper matte", "make sheet.ron --paper matte --format svg"] {
        let said = run(folder.path(), command, 1);
        assert!(said.contains("at most 5000 colours, not 5001"), "{said}");
    }
    let folder = bench(&[("range.ron", range(3000).as_bytes())]);
    let said = run(folder.path(), "tune sheet.ron --paper matte --limit 50", 1);
    assert!(
        said.contains("pairs differ by at most 50") && said.contains("use a smaller --limit"),
        "{said}"
    );
}

#[test]
fn lists_of_text() {
    let long = [b"key,p\n".as_slice(), &b"c,x\n".repeat(17_000_000)].concat();
    table("long.csv", &long, "file-too-large");
    let wide = ["key", &",p".repeat(5_000_000), "\nc", &",x".repeat(5_000_000)].concat();
    table("wide.csv", wide.as_bytes(), "table-too-large");
    let many = [b"key,p\n".as_slice(), &b"c,x\n".repeat(200_000)].concat();
    table("many.csv", &many, "table-too-large");
    let open = [b"key,p\n\"c".as_slice(), &b"x\n".repeat(10_000_000)].concat();
    table("open.csv", &open, "quote-open");
}

#[test]
fn descriptions() {
    let deep = |open: &str, close: &str| {
        format!("Range(maker: {}{})", open.repeat(100_000), close.repeat(100_000))
    };
    for (open, close) in [("(", ")"), ("[", "]"), ("{", "}"), ("Some(", ")")] {
        refused(&[("range.ron", deep(open, close).as_bytes())], &["too-deep"]);
    }
    let mut large = RANGE.replace("MADE", ROWS);
    let _ = write!(large, "//{}", "x".repeat(70_000_000));
    refused(&[("range.ron", large.as_bytes())], &["file-too-large"]);
    let broken = format!("Range({}", "maker: \"M\", ".repeat(300_000));
    let told = told(&[("range.ron", broken.as_bytes())]);
    assert!(told.len() < 1 << 20, "{} bytes told", told.len());
}

/// A profile for CMYK with these parts; its table says it is as long as `size`.
fn profile(parts: &[(&[u8; 4], Vec<u8>)], count: u32) -> Vec<u8> {
    let mut out = vec![0u8; 128];
    out[8..12].copy_from_slice(&[2, 0x40, 0, 0]);
    out[12..24].copy_from_slice(b"prtrCMYKLab ");
    out[36..40].copy_from_slice(b"acsp");
    out.extend(count.to_be_bytes());
    let mut at = 132 + 12 * parts.len();
    for (name, data) in parts {
        out.extend(*name);
        out.extend((at as u32).to_be_bytes());
        out.extend((data.len() as u32).to_be_bytes());
        at += data.len();
    }
    parts.iter().for_each(|(_, data)| out.extend(data));
    let size = out.len() as u32;
    out[..4].copy_from_slice(&size.to_be_bytes());
    out
}

#[test]
fn profiles() {
    // 255 to the power of 15 places in the grid of the table (ICC.1:2022, 10.10).
    let mut grid = b"mft2\0\0\0\0\x0f\x03\xff\0".to_vec();
    grid.extend([0; 36]);
    grid.extend([0x10, 0, 0x10, 0]);
    grid.extend([0; 1000]);
    let both = |data: &[u8]| {
        [(b"A2B0", data.to_vec()), (b"A2B1", data.to_vec()), (b"B2A0", data.to_vec())]
    };
    let junk: Vec<u8> = (0..1000u32).map(|i| ((i * 7919) >> 3) as u8).collect();
    for bytes in [
        profile(&both(&grid), 3),
        profile(&both(&grid[..20]), 3),
        profile(&both(b"mft1\0\0\0\0\x04\x03\xff\0"), 3),
        profile(&both(b"mAB \0\0\0\0\x04\x03\0\0\xff\xff\xff\xff\xff\xff\xff\xff"), 3),
        profile(&[], 0x7fff_ffff),
        junk,
    ] {
        let dir = bench(&[("paper.icc", &bytes)]);
        let told = run(dir.path(), "make sheet.ron --paper paper.icc --out out", 1);
        assert!(told.contains("cannot be used as a paper") || told.contains("profile"), "{told}");
        assert!(!dir.path().join("out").exists());
    }
}
