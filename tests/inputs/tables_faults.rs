//! Bad tables, each with the findings it has to give: code, sheet or file, row
//! and column, and a piece of the message.

use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use shadecard::diag::{Diagnostic, Sources};
use shadecard::range::load;

const DISC: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><circle cx='4.5' cy='4.5' r='4.5'/></svg>";
const COLOURS: &str = "key,family,works name,value\na,gloss,Tern,#f0f0f0\nb,gloss,Quay,#101010\n";

struct Case {
    folder: tempfile::TempDir,
}

impl Case {
    /// A range whose lists are these; files are written by the caller.
    fn new(parts: &str, colours: &str, made: &str) -> Case {
        let folder = tempfile::tempdir().unwrap();
        let parts = if parts.is_empty() { "[(key: \"disc\", shape: \"disc.svg\")]" } else { parts };
        let made = if made.is_empty() { String::new() } else { format!("made: {made},\n") };
        let range = format!(
            "Range(\nlistings: [(key: \"works\")],\nfamilies: [(key: \"gloss\")],\nparts: {parts},\ncolours: {colours},\n{made})"
        );
        let case = Case { folder };
        case.write("range.ron", range.as_bytes());
        case.write("disc.svg", DISC.as_bytes());
        case.write(
            "sheet.ron",
            b"Sheet(range: \"range.ron\", title: \"T\", editions: [(name: \"e\", layout: \"a4\")])",
        );
        case
    }

    fn csv(text: &str) -> Case {
        let case = Case::new("", "Table(file: \"c.csv\")", "");
        case.write("c.csv", text.as_bytes());
        case
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.folder.path().join(name), bytes).unwrap();
    }

    fn findings(&self) -> (Vec<Diagnostic>, Sources) {
        let mut sources = Sources::default();
        let list = match load(&self.folder.path().join("sheet.ron"), &mut sources) {
            Ok(loaded) => loaded.warnings,
            Err(findings) => findings,
        };
        (list.sorted(), sources)
    }

    /// `(code, file, row, column, piece)` of every finding and no other.
    fn expect(&self, want: &[(&str, &str, usize, usize, &str)]) {
        let (found, sources) = self.findings();
        let shown = shadecard::diag_print::render(&found, &sources, false);
        assert_eq!(found.len(), want.len(), "{shown}");
        for (d, (code, file, row, column, piece)) in found.iter().zip(want) {
            let span = d.span.as_ref().expect("a place");
            let name = span.file.file_name().unwrap().to_string_lossy().into_owned();
            let at = if span.range == (0..0) { (0, 0) } else { sources.line_column(span).unwrap() };
            assert_eq!((d.code, name.as_str(), at), (*code, *file, (*row, *column)), "{shown}");
            assert!(d.message.contains(piece), "{shown}");
            assert!(d.help.is_some(), "{shown}");
        }
    }
}

fn workbook(fill: impl FnOnce(&mut Workbook)) -> Vec<u8> {
    let mut book = Workbook::new();
    fill(&mut book);
    book.save_to_buffer().unwrap()
}

#[test]
fn headings() {
    Case::csv("kye,family,value\na,gloss,#f0f0f0\n").expect(&[(
        "missing-column",
        "c.csv",
        1,
        1,
        "no column 'key'",
    )]);
    Case::csv("key,value,Key\na,#f0f0f0,b\n").expect(&[(
        "double-heading",
        "c.csv",
        1,
        11,
        "columns 1 and 3 are both headed 'key'",
    )]);
    Case::csv("key,valeu,value,finsh\na,,#f0f0f0,\n").expect(&[
        ("unknown-column", "c.csv", 1, 5, "'valeu'"),
        ("unknown-column", "c.csv", 1, 17, "'finsh'"),
    ]);
}

#[test]
fn cells_of_colours() {
    Case::csv(
        "key,family,value,first,finish\n\
         a,glos,#f0f0f0,19x4,\n\
         a,gloss,#f0f0,1990,stain\n\
         ,gloss,,3000,\n\
         \"b c\",gloss,\"Lab(62, x)\",,\n",
    )
    .expect(&[
        ("unknown-family", "c.csv", 2, 3, "no family 'glos'"),
        ("wrong-value", "c.csv", 2, 16, "'first' must be a whole number, not 19x4"),
        ("double-key", "c.csv", 3, 1, "'a' appears twice"),
        ("bad-value", "c.csv", 3, 9, "'#f0f0' is not a colour value"),
        ("unknown-word", "c.csv", 3, 20, "'stain' is not a value of 'finish'"),
        ("missing-field", "c.csv", 4, 2, "has no key"),
        ("missing-field", "c.csv", 4, 2, "this colour has no value"),
        ("bad-year", "c.csv", 4, 9, "3000"),
        ("bad-key", "c.csv", 5, 1, "a space"),
        ("wrong-value", "c.csv", 5, 13, "'Lab(62, x)' is not a colour value"),
    ]);
}

#[test]
fn files_that_are_no_tables() {
    let case = Case::new("", "Table(file: \"colurs.csv\")", "");
    case.write("colours.csv", COLOURS.as_bytes());
    case.expect(&[("no-such-file", "range.ron", 5, 22, "there is no file")]);
    let (found, _) = case.findings();
    assert_eq!(found[0].help.as_deref(), Some("did you mean 'colours.csv'?"));
    Case::new("", "Table(file: \"../c.csv\")", "").expect(&[(
        "outside-folder",
        "range.ron",
        5,
        22,
        "'../c.csv'",
    )]);
    Case::new("", "Table(sheet: \"2026\")", "").expect(&[(
        "missing-field",
        "range.ron",
        5,
        10,
        "does not name its file",
    )]);
    let case = Case::new("", "Table(file: \"c.doc\")", "");
    case.write("c.doc", b"text");
    case.expect(&[("unknown-table", "range.ron", 5, 22, "not a kind of table")]);
    let case = Case::new("", "Table(file: \"c.xlsx\")", "");
    case.write("c.xlsx", b"key,value\n");
    case.expect(&[("not-a-workbook", "range.ron", 5, 22, "cannot be read as a workbook")]);
    let case = Case::new("", "Table(file: \"c.csv\")", "");
    case.write("c.csv", b"PK\x03\x04\0\0\0");
    case.expect(&[("not-text", "c.csv", 0, 0, "not a text file")]);
    Case::csv("key,value\na,\"#f0f0f0\nb,#101010\n").expect(&[(
        "quote-open",
        "c.csv",
        2,
        3,
        "never closed",
    )]);
    Case::new("", "Table(\"c.csv\", sheet: \"2026\")", "").expect(&[(
        "wrong-value",
        "range.ron",
        5,
        16,
        "this value has no field name",
    )]);
}

#[test]
fn marks_of_a_matrix() {
    let case = Case::new("", "Table(file: \"c.csv\")", "Table(file: \"m.csv\")");
    case.write("c.csv", COLOURS.as_bytes());
    case.write("m.csv", b"key,disc,ball\na,maybe,x\nc,x,\nb,-2019,\n");
    case.expect(&[
        ("unknown-part", "m.csv", 1, 10, "no part 'ball'"),
        ("bad-mark", "m.csv", 2, 3, "'maybe' is not a mark"),
        ("unknown-colour", "m.csv", 3, 1, "no colour 'c'"),
        ("unclear-years", "m.csv", 4, 3, "may mean until 2019 or from 2019 on"),
    ]);
}

#[test]
fn what_spreadsheets_do_to_cells() {
    let bytes = workbook(|book| {
        let sheet = book.add_worksheet().set_name("2026").unwrap();
        for (c, head) in ["key", "works name", "works number", "value", "first"].iter().enumerate()
        {
            sheet.write(2, c as u16, *head).unwrap();
        }
        sheet.write(3, 0, "a").unwrap();
        sheet.write(3, 1, "Tern").unwrap();
        sheet.write(3, 2, 12.0).unwrap();
        sheet.write(3, 3, "#f0f0f0").unwrap();
        sheet.write(3, 4, 1984.0).unwrap();
        sheet.write(4, 0, "b").unwrap();
        let day = Format::new().set_num_format("d-mmm");
        let date = ExcelDateTime::from_ymd(2026, 12, 10).unwrap();
        sheet.write_with_format(4, 2, &date, &day).unwrap();
        sheet.write(4, 3, Formula::new("=NA()").set_result("#N/A")).unwrap();
    });
    let case = Case::new("", "Table(file: \"c.xlsx\", sheet: \"2026\")", "");
    case.write("c.xlsx", &bytes);
    case.expect(&[
        ("date-cell", "c.xlsx [2026]", 5, 3, "turned this cell into a date, 2026-12-10"),
        ("formula-fault", "c.xlsx [2026]", 5, 4, "#N/A"),
    ]);
    let (found, sources) = case.findings();
    assert_eq!(sources.cell_name(found[0].span.as_ref().unwrap()).as_deref(), Some("C5"));
    let case = Case::new("", "Table(file: \"c.xlsx\", sheet: \"2062\")", "");
    case.write("c.xlsx", &bytes);
    case.expect(&[("unknown-sheet", "range.ron", 5, 22, "no sheet '2062'")]);
}

#[test]
fn workbooks_that_are_too_much() {
    let far = workbook(|book| {
        let sheet = book.add_worksheet();
        sheet.write(0, 0, "key").unwrap();
        sheet.write(1_048_575, 16_383, "x").unwrap();
    });
    let case = Case::new("", "Table(file: \"c.xlsx\")", "");
    case.write("c.xlsx", &far);
    case.expect(&[("table-too-large", "range.ron", 5, 22, "more than 100000 rows")]);
    // 300 MB of zeros in a part, 300 kB packed.
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    zip.start_file("xl/workbook.xml", zip::write::SimpleFileOptions::default()).unwrap();
    let zeros = vec![b' '; 1 << 20];
    for _ in 0..300 {
        std::io::Write::write_all(&mut zip, &zeros).unwrap();
    }
    case.write("c.xlsx", &zip.finish().unwrap().into_inner());
    case.expect(&[("table-too-large", "range.ron", 5, 22, "more than 256 MB")]);
    // An ODS file in which one element stands for a million full rows.
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    zip.start_file("content.xml", zip::write::SimpleFileOptions::default()).unwrap();
    let rows = "<table:table><table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell table:number-columns-repeated=\"1000\"><text:p>x</text:p></table:table-cell></table:table-row></table:table>";
    std::io::Write::write_all(&mut zip, rows.as_bytes()).unwrap();
    let case = Case::new("", "Table(file: \"c.ods\")", "");
    case.write("c.ods", &zip.finish().unwrap().into_inner());
    case.expect(&[("table-too-large", "range.ron", 5, 22, "more than 100000 rows")]);
}

#[test]
fn wide_csv_files() {
    let wide: String = (0..2_001).map(|i| format!("h{i},")).collect();
    Case::csv(&format!("key,value\n{wide}\n")).expect(&[(
        "table-too-large",
        "range.ron",
        5,
        22,
        "more than 2000 columns",
    )]);
}

/// One misspelt family in many rows is one message; the words of each row do not matter.
#[test]
fn one_cause_in_many_rows_is_one_message() {
    let rows: String = (0..845).map(|n| format!("c{n},perl,Tern {n},\n")).collect();
    let case = Case::csv(&format!("key,family,works name,value\n{rows}"));
    let (found, sources) = case.findings();
    assert_eq!(found.len(), 2 * 845);
    let told = shadecard::diag_print::render(&found, &sources, false);
    assert!(told.contains("There is no family 'perl'"), "{told}");
    assert!(told.contains("The colour 'c0' has no value"), "{told}");
    assert_eq!(told.matches("and 842 more").count(), 2, "{told}");
    assert!(told.lines().count() < 25, "{told}");
}

#[test]
fn mapped_headings() {
    let case = |headings: &str, text: &str| {
        let table = format!("Table(file: \"c.csv\", headings: {{{headings}}})");
        let case = Case::new("", &table, "");
        case.write("c.csv", text.as_bytes());
        case
    };
    let text = "No.,Colour,US,Hex\n12,Grey,Gray,#808080\n";
    case("\"No.\": \"number\", \"Colour\": \"name\", \"US\": \"works name en-US\"", text)
        .expect(&[]);
    let wrong = case("\"No.\": \"nubmer\", \"Colour\": \"works name\", \"US\": \"\"", text);
    let (found, _) = wrong.findings();
    let target = found.iter().find(|d| d.message.contains("nubmer")).expect("told");
    assert_eq!(
        target.message,
        "the heading 'No.' is mapped to 'nubmer', which is not a known column"
    );
    assert!(
        target
            .help
            .as_deref()
            .is_some_and(|h| h.contains("family, value") && h.contains("works number")),
        "{target:?}"
    );
}

#[test]
fn columns_that_are_foreign() {
    Case::csv("key,value,Supplier,Price\na,#f0f0f0,Quay,12\n").expect(&[(
        "unknown-column",
        "c.csv",
        1,
        11,
        "unknown columns 'Supplier' and 'Price'",
    )]);
    // Beside crosses, a column that holds none is ignored, one that holds some may not be lost.
    let case = Case::new("", "Table(file: \"c.csv\")", "Table(file: \"m.csv\")");
    case.write("c.csv", COLOURS.as_bytes());
    case.write("m.csv", b"key,disc,Remarks,ball\na,x,by weight,x\nb,x,,x\n");
    case.expect(&[
        ("unknown-column", "m.csv", 1, 10, "'Remarks'"),
        ("unknown-part", "m.csv", 1, 18, "no part 'ball'"),
    ]);
}

#[test]
fn rows_that_nothing_names() {
    Case::csv("works name,value\nTern,#f0f0f0\n,#101010\n").expect(&[(
        "missing-field",
        "c.csv",
        3,
        2,
        "neither a number nor a name",
    )]);
    Case::csv("colours,value\nTern,#f0f0f0\n").expect(&[(
        "missing-column",
        "c.csv",
        1,
        1,
        "no column of keys, numbers or names",
    )]);
    let case = Case::new("", "Table(file: \"c.csv\")", "Table(file: \"m.csv\")");
    case.write("c.csv", b"key,works name,value\na,Tern,#f0f0f0\nb,Tern,#101010\n");
    case.write("m.csv", b"works name,disc\nTern,x\n");
    let (found, _) = case.findings();
    assert!(found.iter().any(|d| d.code == "unclear-colour"), "{found:?}");
}

/// openpyxl and others write formulas without their results.
#[test]
fn formulas_without_results() {
    let case = Case::new("", "Table(file: \"c.xlsx\")", "");
    case.write("c.xlsx", &std::fs::read("tests/tables/formulas-openpyxl.xlsx").unwrap());
    case.expect(&[
        ("formula-empty", "c.xlsx [Sheet]", 2, 3, "a formula that was saved without its result"),
        ("formula-empty", "c.xlsx [Sheet]", 3, 3, "a formula that was saved without its result"),
    ]);
    let case = Case::new("", "Table(file: \"c.ods\")", "");
    case.write("c.ods", &std::fs::read("tests/tables/formulas-odfpy.ods").unwrap());
    case.expect(&[(
        "formula-empty",
        "c.ods [Sheet]",
        2,
        3,
        "a formula that was saved without its result",
    )]);
}

/// An ODS file that LibreOffice has locked; its password is 'gannet'.
#[test]
fn locked_workbooks() {
    let case = Case::new("", "Table(file: \"c.ods\")", "");
    case.write("c.ods", &std::fs::read("tests/tables/locked-libreoffice.ods").unwrap());
    case.expect(&[("locked-workbook", "range.ron", 5, 22, "protected with a password")]);
}
