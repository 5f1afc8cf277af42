//! Measured values of colours: the files of instruments, which colour a reading is of, what comes of several.
//!
//! `tests/measured` holds small files that other programs wrote of spectra and colours made by formula
//! (`.ci/check_instruments.py --keep tests/measured`): colour-cxf 0.1.1 the CxF files, Argyll 2.3.1's cxf2ti3 and
//! spec2cie the `.ti3`. What is expected of them is colour-science 0.4.7's, or spec2cie's own.

use std::path::Path;

use rust_xlsxwriter::Workbook;
use shadecard::colour::{Lab50, difference};
use shadecard::diag::{Diagnostic, Sources};
use shadecard::diag_print::render;
use shadecard::export::{To, files};
use shadecard::measured::{MeasuredLine, csv};
use shadecard::range::{Colour, Loaded, Value, load};

const DISC: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><circle cx='4.5' cy='4.5' r='4.5'/></svg>";
const SHEET: &str = "Sheet(range: \"range.ron\", name: \"s\", title: \"T\", editions: [(name: \"e\", layout: \"a4\")])";
/// Three colours: one with a typed value.
const COLOURS: &str = r##"
    (key: "tern", names: {"w": "Pale Tern", "d": "Sea Grey"}, numbers: {"w": "101", "d": "A-7"}, value: "#808080"),
    (key: "quay", names: {"w": "Quay Blue", "d": "Slate"}, numbers: {"w": "102"}),
    (key: "wrack", names: {"w": Forms("Wrack-Grey", {"en-US": "Wrack-Gray"}), "d": "Sea-Grey"}, numbers: {"w": "7"}),
"##;
const FORMAT: &str =
    "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n";

/// A range of some colours with a file of measured values.
struct Case {
    folder: tempfile::TempDir,
}

impl Case {
    fn of(colours: &str, values: &str) -> Case {
        let case = Case { folder: tempfile::tempdir().unwrap() };
        let range = format!(
            "Range(\nlistings: [(key: \"w\"), (key: \"d\")],\nfamilies: [(key: \"f\")],\nparts: [(key: \"p\", shape: \"disc.svg\")],\ncolours: {colours},\nvalues: {values})"
        );
        case.write("range.ron", range.as_bytes());
        case.write("disc.svg", DISC.as_bytes());
        case.write("sheet.ron", SHEET.as_bytes());
        case
    }

    /// The three colours, and this file.
    fn new(name: &str, bytes: impl AsRef<[u8]>) -> Case {
        let case = Case::of(&format!("[{COLOURS}]"), &format!("Table(file: \"{name}\")"));
        case.write(name, bytes.as_ref());
        case
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.folder.path().join(name), bytes).unwrap();
    }

    fn load(&self) -> Loaded {
        load_at(self.folder.path())
    }

    fn findings(&self) -> (Vec<Diagnostic>, Sources) {
        let mut sources = Sources::default();
        let list = match load(&self.folder.path().join("sheet.ron"), &mut sources) {
            Ok(loaded) => loaded.warnings,
            Err(findings) => findings,
        };
        (list.sorted(), sources)
    }

    /// `(code, line, column, piece)` of every finding in the file of values, in their order; colours that lack a value
    /// because of them are passed over.
    fn expect(&self, want: &[(&str, usize, usize, &str)]) {
        let (found, sources) = self.findings();
        let shown = render(&found, &sources, false);
        let of_values = |d: &&Diagnostic| {
            d.span.as_ref().is_none_or(|s| s.file.file_name() != Some("range.ron".as_ref()))
        };
        let found: Vec<&Diagnostic> = found.iter().filter(of_values).collect();
        assert_eq!(found.len(), want.len(), "{shown}");
        for (d, (code, line, column, piece)) in found.iter().zip(want) {
            let span = d.span.as_ref().expect("a place");
            let at = if span.range == (0..0) { (0, 0) } else { sources.line_column(span).unwrap() };
            assert_eq!((d.code, at), (*code, (*line, *column)), "{shown}");
            assert!(d.message.contains(piece), "{piece}: {shown}");
            assert!(d.help.is_some(), "{shown}");
        }
    }
}

fn load_at(folder: &Path) -> Loaded {
    let mut sources = Sources::default();
    load(&folder.join("sheet.ron"), &mut sources)
        .unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)))
}

fn colour<'a>(loaded: &'a Loaded, key: &str) -> &'a Colour {
    loaded.range.colours().iter().find(|c| c.key() == key).expect("a colour")
}

fn lab(loaded: &Loaded, key: &str) -> [f64; 3] {
    let aim = colour(loaded, key).aim();
    [aim.l, aim.a, aim.b]
}

fn close(got: [f64; 3], want: [f64; 3], most: f64) -> bool {
    difference(Lab50::new(got[0], got[1], got[2]), Lab50::new(want[0], want[1], want[2])) <= most
}

/// All three colours with this file: `tern` must be this.
fn tern_is(name: &str, bytes: impl AsRef<[u8]>, want: [f64; 3]) {
    let bytes = bytes.as_ref();
    let loaded = Case::new(name, bytes).load();
    let got = lab(&loaded, "tern");
    assert!(close(got, want, 0.02), "{got:?} {want:?}\n{}", String::from_utf8_lossy(bytes));
    assert!(colour(&loaded, "tern").measured().is_some());
}

#[test]
fn files_of_other_programs() {
    for (file, expected, most) in [
        ("lab.cxf", "lab.expected", 1e-6),
        ("spectra.cxf", "spectra.expected", 0.02),
        ("spectra.ti3", "spectra.expected", 0.02),
        ("spectra.ti3", "spectra-by-spec2cie.expected", 0.04),
    ] {
        let read =
            |name: &str| std::fs::read_to_string(Path::new("tests/measured").join(name)).unwrap();
        let want: Vec<[f64; 3]> = read(expected)
            .lines()
            .map(|l| {
                <[f64; 3]>::try_from(l.split(' ').map(|w| w.parse().unwrap()).collect::<Vec<f64>>())
                    .unwrap()
            })
            .collect();
        assert_eq!(want.len(), 6, "{expected}");
        let colours: String = (1..=6)
            .map(|n| format!("(key: \"c{n}\", names: {{\"w\": \"Colour {n}\"}}),"))
            .collect();
        let case = Case::of(&format!("[{colours}]"), &format!("Table(file: \"{file}\")"));
        case.write(file, read(file).as_bytes());
        let loaded = case.load();
        for (n, want) in (1..).zip(want) {
            let got = lab(&loaded, &format!("c{n}"));
            assert!(close(got, want, most), "{file} {n}: {got:?}, not {want:?}");
            let spectrum = colour(&loaded, &format!("c{n}")).value().is_spectrum();
            assert_eq!(spectrum, file != "lab.cxf", "{file}");
        }
    }
}

/// One colour, Lab 50 10 -20, in every form of CGATS; XYZ by colour-science.
#[test]
fn forms_of_cgats() {
    let want = [50.0, 10.0, -20.0];
    let rest = "\"Quay Blue\" 80 0 0\n7 20 0 0\nEND_DATA\n";
    let table = |fields: &str, data: &str| {
        format!(
            "CGATS.17\nORIGINATOR \"by hand\"\nBEGIN_DATA_FORMAT\n{fields}\nEND_DATA_FORMAT\nBEGIN_DATA\n{data}\nEND_DATA\n"
        )
    };
    tern_is("m.txt", format!("{FORMAT}tern 50 10 -20\n{rest}"), want);
    // Comments, commas, blanks, one line, Windows line ends, and values over several lines.
    tern_is("m.txt", format!("{FORMAT}# tern 1 2 3\ntern 50,0 1e1\t-20.00 # good\n{rest}"), want);
    tern_is("m.cgats", format!("{FORMAT}tern 50 10 -20\n{rest}").replace('\n', "\r\n"), want);
    let in_pieces = "CGATS.17\nNUMBER_OF_SETS 3\nBEGIN_DATA_FORMAT SAMPLE_ID LAB_L LAB_A LAB_B END_DATA_FORMAT\nBEGIN_DATA 101\n50 10\n-20 102 80 0 0 wrack 20 0 0 END_DATA\n";
    tern_is("m.txt", in_pieces, want);
    // A second table without a format of its own.
    tern_is("m.txt", format!("{FORMAT}{rest}BEGIN_DATA\ntern 50 10 -20\nEND_DATA\n"), want);
    // A table of something else before it.
    let other = table("INDEX RGB_R", "1 2\n2 3");
    tern_is("m.ti3", format!("{other}{FORMAT}tern 50 10 -20\n{rest}"), want);
    // XYZ of both scales, and a light colour that says which.
    let xyz = |by: f64| {
        let line = |name: &str, xyz: [f64; 3]| {
            format!("{name} {} {} {}\n", xyz[0] * by, xyz[1] * by, xyz[2] * by)
        };
        let data = line("tern", [19.6991, 18.4187, 24.7045])
            + &line("102", [70.0, 72.6, 59.9])
            + &line("7", [3.0, 3.1, 2.5]);
        table("SAMPLE_ID XYZ_X XYZ_Y XYZ_Z", &data)
    };
    tern_is("m.txt", xyz(1.0), want);
    tern_is("m.txt", xyz(0.01), want);
    // Lab is taken before XYZ.
    let both = table(
        "SAMPLE_ID XYZ_X XYZ_Y XYZ_Z LAB_L LAB_A LAB_B",
        "101 1 2 3 50 10 -20\n102 70 70 70 80 0 0\n7 3 3 3 9 0 0",
    );
    tern_is("m.txt", both, want);
}

#[test]
fn spectra_in_every_form() {
    // A grey that reflects 20 % is L* 51.8372 (CIE 015:2018, L* = 116 (Y / 100)^(1/3) - 16).
    let want = [51.8372, 0.0, 0.0];
    let bands: Vec<u32> = (400..=700).step_by(20).collect();
    let row = |value: &str| bands.iter().map(|_| format!(" {value}")).collect::<String>();
    for (prefix, ending) in [
        ("SPECTRAL_NM", ""),
        ("SPECTRAL_NM_", ""),
        ("SPEC_", ""),
        ("nm", ""),
        ("SPECTRAL_", ""),
        ("R_", "nm"),
    ] {
        for (grey, light, dark) in [("20", "60", "5"), ("0.2", "0.6", "0.05")] {
            // In falling order, to show that the names decide.
            let fields: String =
                bands.iter().rev().map(|b| format!(" {prefix}{b}{ending}")).collect();
            let text = format!(
                "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME{fields}\nEND_DATA_FORMAT\nBEGIN_DATA\ntern{}\n102{}\n7{}\nEND_DATA\n",
                row(grey),
                row(light),
                row(dark)
            );
            tern_is("m.ti3", text, want);
        }
    }
    for (kind, grey, light) in [("SPECTRAL_DEC", "0.2", "0.6"), ("SPECTRAL_PCT", "20", "60")] {
        let fields = bands.iter().map(|_| format!(" SPECTRAL_NM {kind}")).collect::<String>();
        let pairs = |v: &str| bands.iter().map(|b| format!(" {b} {v}")).collect::<String>();
        let text = format!(
            "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME{fields}\nEND_DATA_FORMAT\nBEGIN_DATA\ntern{}\n102{}\n7{}\nEND_DATA\n",
            pairs(grey),
            pairs(light),
            pairs(grey)
        );
        tern_is("m.txt", text, want);
    }
    for (ending, grey, light) in [(" nm", "20", "60"), ("", "0.2", "0.6")] {
        let heads = bands.iter().map(|b| format!(",{b}{ending}")).collect::<String>();
        let cells = |v: &str| bands.iter().map(|_| format!(",{v}")).collect::<String>();
        let text = format!(
            "name{heads}\ntern{}\nquay{}\nwrack{}\n",
            cells(grey),
            cells(light),
            cells(grey)
        );
        tern_is("m.csv", text, want);
    }
    let norm = format!(
        "CGATS.17\nSPECTRAL_NORM \"10\"\nBEGIN_DATA_FORMAT\nSAMPLE_NAME{}\nEND_DATA_FORMAT\nBEGIN_DATA\ntern{}\n102{}\n7{}\nEND_DATA\n",
        bands.iter().map(|b| format!(" SPEC_{b}")).collect::<String>(),
        row("2"),
        row("6"),
        row("0.5")
    );
    tern_is("m.ti3", norm, want);
}

#[test]
fn cxf_by_any_prefix() {
    let want = [50.0, 10.0, -20.0];
    let text = |p: &str, id: &str| {
        let object = |name: &str, lab: &str| {
            let [l, a, b] = <[&str; 3]>::try_from(lab.split(' ').collect::<Vec<_>>()).unwrap();
            format!(
                "<{p}Object ObjectType=\"Standard\" {name}><{p}CreationDate>2026</{p}CreationDate><{p}ColorValues>\
                <{p}ColorCIELab ColorSpecification=\"{id}\"><{p}L>{l}</{p}L><{p}A>{a}</{p}A><{p}B> {b} </{p}B></{p}ColorCIELab>\
                </{p}ColorValues></{p}Object>"
            )
        };
        let ns = if p.is_empty() {
            "xmlns".to_owned()
        } else {
            format!("xmlns:{}", p.trim_end_matches(':'))
        };
        format!(
            "<?xml version=\"1.0\"?><!-- made by hand --><{p}CxF {ns}=\"http://colorexchangeformat.com/CxF3-core\"><{p}Resources><{p}ObjectCollection>{}{}{}</{p}ObjectCollection>\
            <{p}ColorSpecificationCollection><{p}ColorSpecification Id=\"a\"><{p}TristimulusSpec><{p}Illuminant>D50</{p}Illuminant><{p}Observer>2_Degree</{p}Observer></{p}TristimulusSpec></{p}ColorSpecification></{p}ColorSpecificationCollection></{p}Resources></{p}CxF>",
            object("Name=\"Pale &#84;ern\" Id=\"x1\"", "50 10 -20"),
            object("Id=\"102\"", "80 0 0"),
            object("Name=\"wrack\"", "20 0 0")
        )
    };
    for prefix in ["", "cc:", "ns0:"] {
        tern_is("m.cxf", text(prefix, "a"), want);
        // A specification that is not there says nothing.
        tern_is("m.xml", text(prefix, "b"), want);
    }
    tern_is("m.txt", text("", "a"), want);
}

#[test]
fn hostile_and_damaged_xml() {
    let billion = "<!DOCTYPE CxF [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>\n<CxF>&b;</CxF>";
    Case::new("m.cxf", billion).expect(&[("xml-entity", 1, 1, "document type")]);
    let entity = "<CxF><Resources><ObjectCollection>\n<Object Name=\"tern\">&b;</Object></ObjectCollection></Resources></CxF>";
    Case::new("m.cxf", entity).expect(&[("xml-entity", 2, 21, "document type")]);
    Case::new("m.cxf", format!("<CxF>{}", "<a>".repeat(200)))
        .expect(&[("too-deep", 1, 195, "64 deep")]);
    Case::new("m.cxf", "<CxF>\n<Resources>").expect(&[("not-cxf", 2, 12, "damaged")]);
    Case::new("m.cxf", "<CxF>\n<Resources></CxF>").expect(&[("not-cxf", 2, 12, "damaged")]);
    Case::new("m.cxf", "<svg></svg>").expect(&[("not-cxf", 1, 1, "no CxF file")]);
    Case::new("m.cxf", "<CxF></CxF>").expect(&[("no-values", 0, 0, "no measured values")]);
    Case::new("m.cxf", "tern 1 2 3").expect(&[("no-values", 0, 0, "no measured values")]);
}

#[test]
fn other_lights_and_observers_are_refused() {
    let table = |keyword: &str| {
        FORMAT.replace("CGATS.17\n", &format!("CGATS.17\n{keyword}\n"))
            + "tern 50 0 0\nquay 60 0 0\n7 20 0 0\nEND_DATA\n"
    };
    for (keyword, column, piece) in [
        ("ILLUMINANT \"D65\"", 12, "the light 'D65'"),
        ("OBSERVER 10", 10, "the observer '10'"),
        ("WEIGHTING_FUNCTION \"ILLUMINANT, D65\"", 20, "the light 'D65'"),
        (
            "MEASUREMENT_SOURCE \"Illumination=D50 ObserverAngle=10degree\"",
            20,
            "the observer '10degree'",
        ),
    ] {
        Case::new("m.txt", table(keyword)).expect(&[("other-light", 2, column, piece)]);
    }
    for keyword in [
        "ILLUMINANT D50",
        "OBSERVER \"2 degree\"",
        "MEASUREMENT_SOURCE \"Illumination=D50 ObserverAngle=2\"",
    ] {
        assert!(Case::new("m.txt", table(keyword)).findings().0.is_empty(), "{keyword}");
    }
    Case::new("m.csv", "name,L*,a*,b*,illuminant,observer\ntern,50,0,0,D50,2\nquay,50,0,0,D65,10\n7,1,1,1,d50,10°\n").expect(&[
        ("other-light", 3, 13, "'D65' and the observer '10'"),
        ("other-light", 4, 13, "the observer '10°'"),
    ]);
    let lamp =
        FORMAT.replace("CGATS.17\n", "CTI3\nDEVICE_CLASS \"DISPLAY\"\n") + "tern 1 2 3\nEND_DATA\n";
    Case::new("m.ti3", lamp).expect(&[("not-reflective", 2, 14, "lights")]);
}

#[test]
fn colours_go_by_key_number_and_name() {
    let found = |name: &str| {
        let case = Case::new("m.csv", format!("colour,L*,a*,b*\n{name},33,0,0\n"));
        // Two of three have no value then, which is a fault of its own.
        case.write(
            "range.ron",
            std::fs::read_to_string(case.folder.path().join("range.ron"))
                .unwrap()
                .replace("}),\n", "}, value: \"unknown\"),\n")
                .as_bytes(),
        );
        let loaded = case.load();
        let keys = loaded
            .range
            .colours()
            .iter()
            .filter(|c| c.measured().is_some())
            .map(|c| c.key().clone());
        keys.collect::<Vec<_>>()
    };
    for (name, key) in [
        ("tern", "tern"),
        ("101", "tern"),
        ("A-7", "tern"),
        ("Pale Tern", "tern"),
        ("paletern", "tern"),
        ("PALE-TERN", "tern"),
        ("a7", "tern"),
        ("Pale_Tern", "tern"),
        (" TERN ", "tern"),
        ("7", "wrack"),
        ("wrack gray", "wrack"),
        ("slate", "quay"),
        ("Quay  Blue", "quay"),
        // As written before otherwise written.
        ("Sea Grey", "tern"),
        ("Sea-Grey", "wrack"),
    ] {
        assert_eq!(found(name), [key], "{name}");
    }
}

#[test]
fn what_is_of_no_colour_or_of_two_is_reported() {
    let case = Case::new(
        "m.csv",
        "colour,L*,a*,b*\ntern,50,0,0\nSEAGREY,50,0,0\nquey,60,0,0\nslate,60,0,0\n7,4,0,0\npaper white,95,0,0\n",
    );
    case.expect(&[
        ("ambiguous-colour", 3, 1, "'SEAGREY' is the name of several colours: 'tern', 'wrack'"),
        ("unknown-colour", 4, 1, "'quey'"),
        ("unknown-colour", 7, 1, "'paper white'"),
    ]);
    let (found, _) = case.findings();
    let help = |i: usize| found[i].help.clone().unwrap_or_default();
    assert!(found.iter().any(|d| d.help.as_deref() == Some("did you mean 'quay'?")), "{}", help(1));
    let nothing = Case::new("m.csv", "colour,L*,a*,b*\nred,50,0,0\nblue,60,0,0\n");
    let (found, sources) = nothing.findings();
    let shown = render(&found, &sources, false);
    assert!(
        shown.contains("None of the 2 readings in this file is of a colour of the range"),
        "{shown}"
    );
    assert!(!shown.contains("has no value"), "{shown}");
}

/// A file whose samples are counted and named elsewhere: the column that names the most colours is used.
#[test]
fn the_column_that_names_the_most_colours_is_used() {
    let text = "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_LOC LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n1 \"wrack\" 20 0 0\n2 tern 50 10 -20\n3 quay 60 0 0\nEND_DATA\n";
    tern_is("m.txt", text, [50.0, 10.0, -20.0]);
    let text = text
        .replace("\n1 ", "\n102 ")
        .replace("\n2 ", "\n101 ")
        .replace("\n3 ", "\n7 ")
        .replace("\"wrack\"", "A1")
        .replace("tern", "A2")
        .replace("quay", "A3");
    tern_is("m.txt", text, [50.0, 10.0, -20.0]);
    let text = "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n102 \"Reading 1\" 20 0 0\n101 tern 50 10 -20\n7 \"Reading 3\" 60 0 0\nEND_DATA\n";
    tern_is("m.txt", text, [50.0, 10.0, -20.0]);
}

#[test]
fn faults_of_a_file_are_told_at_once() {
    let data = "tern 50 x 0\n\"quay 5 0 0\n";
    Case::new("m.txt", format!("{FORMAT}{data}")).expect(&[("quote-open", 7, 1, "never closed")]);
    let data =
        "tern 50 x 0\n102 60 0\n7 1 2 3 4\nSeaGrey 1 2 3\n103 1 1 -y\nwrack 101 0 0\nEND_DATA\n";
    Case::new("m.txt", format!("{FORMAT}{data}")).expect(&[
        ("wrong-value", 6, 9, "'x' is not a number"),
        ("set-length", 7, 1, "3 values"),
        ("set-length", 8, 1, "5 values"),
        ("ambiguous-colour", 9, 1, "SeaGrey"),
        ("wrong-value", 10, 9, "'-y' is not a number"),
        ("bad-value", 11, 7, "out of range"),
    ]);
    Case::new("m.txt", format!("{FORMAT}tern 1 2 3\n")).expect(&[("cut-off", 5, 1, "END_DATA")]);
    Case::new("m.txt", "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID RGB_R\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2\nEND_DATA\n").expect(&[("no-values", 3, 1, "no measured values")]);
    Case::new("m.txt", FORMAT.replace("SAMPLE_NAME", "INDEX") + "1 2 3 4\nEND_DATA\n").expect(&[(
        "no-names",
        3,
        1,
        "names its samples",
    )]);
    let counted = FORMAT.replace("CGATS.17\n", "CGATS.17\nNUMBER_OF_SETS 9\n")
        + "tern 1 2 3\nquay 1 2 3\n7 1 2 3\nEND_DATA\n";
    Case::new("m.txt", counted).expect(&[("set-count", 2, 16, "says 9 sets of values, but has 3")]);
    let uneven = "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID nm400 nm410 nm430\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2 3 4\nEND_DATA\n";
    Case::new("m.txt", uneven).expect(&[("uneven-spectrum", 3, 11, "evenly")]);
    Case::new("m.csv", "colour,L*,a*,b*,spread,readings\ntern,50,,0,,\nquay,x,0,0,-1,\n7,5,0,0,-1,0\n,5,0,0,,\nslate,,,,,\n").expect(&[
        ("missing-value", 2, 9, "incomplete"),
        ("wrong-value", 3, 6, "'x' is not a number"),
        ("wrong-value", 4, 9, "must not be -1"),
        ("wrong-value", 4, 12, "'0' is not a number of readings"),
        ("missing-field", 5, 1, "names no colour"),
    ]);
    Case::new("m.csv", "colour,shade\ntern,50\n").expect(&[(
        "missing-column",
        1,
        1,
        "no column of measured values",
    )]);
    Case::new("m.csv", "what,L*,a*,b*\ntern,50,0,0\n").expect(&[(
        "missing-column",
        1,
        1,
        "no column of colours",
    )]);
    Case::new("m.csv", "colour,value\ntern,#808080\nquay,\"Lab(1, 2)\"\n7,\"Lab(5, 0, 0)\"\n")
        .expect(&[
            ("wrong-value", 2, 6, "'#808080' is not a measured value"),
            ("wrong-value", 3, 6, "not a measured value"),
        ]);
}

#[test]
fn a_scale_in_doubt_is_told() {
    let dark = "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID XYZ_X XYZ_Y XYZ_Z\nEND_DATA_FORMAT\nBEGIN_DATA\ntern 0.3 0.31 0.25\nquay 0.1 0.1 0.1\n7 0.2 0.2 0.2\nEND_DATA\n";
    Case::new("m.txt", dark).expect(&[(
        "scale-in-doubt",
        0,
        0,
        "0.31; it was read on the scale from 0 to 1",
    )]);
}

#[test]
fn several_readings_are_averaged() {
    let loaded = Case::new("m.csv", "colour,L*,a*,b*,spread,readings,source,note\ntern,50,2,0,,,a.jpg,\n101,52,4,0,,3,b.jpg,shiny\nquay,60,0,0,0.4,5,,\n7,20,0,0,,,,\n").load();
    let tern = colour(&loaded, "tern").measured().as_ref().expect("measured");
    assert_eq!(lab(&loaded, "tern"), [51.5, 3.5, 0.0]);
    assert_eq!(
        (tern.readings(), tern.note().as_deref(), tern.source().value.as_str()),
        (4, Some("shiny"), "a.jpg and 1 more")
    );
    let far = |l: f64, a: f64| difference(Lab50::new(l, a, 0.0), Lab50::new(51.5, 3.5, 0.0));
    let want = (far(50.0, 2.0) + 3.0 * far(52.0, 4.0)) / 4.0;
    assert!((tern.spread().expect("a spread") - want).abs() < 1e-9);
    assert_eq!(*tern.typed(), Some(Value::Srgb(shadecard::graphic::Rgb(128, 128, 128))));
    let quay = colour(&loaded, "quay").measured().as_ref().expect("measured");
    assert_eq!(
        (quay.readings(), quay.spread(), quay.source().value.as_str()),
        (5, Some(0.4), "m.csv, line 4")
    );
}

#[test]
fn workbooks_sheets_and_headings() {
    let mut book = Workbook::new();
    book.add_worksheet().set_name("about").unwrap().write(0, 0, "nothing").unwrap();
    let sheet = book.add_worksheet();
    sheet.set_name("values").unwrap();
    for (row, (name, l)) in
        [("what", 0.0), ("tern", 50.0), ("quay", 60.0), ("7", 20.0)].iter().enumerate()
    {
        let row = row as u32;
        sheet.write(row, 0, *name).unwrap();
        for (column, value) in [*l, 10.0, -20.0].iter().enumerate() {
            let column = column as u16;
            match row {
                0 => sheet.write(0, column + 1, ["L*", "a*", "b*"][column as usize]).unwrap(),
                _ => sheet.write(row, column + 1, *value).unwrap(),
            };
        }
    }
    let bytes = book.save_to_buffer().unwrap();
    let values = "Table(file: \"m.xlsx\", sheet: \"values\", headings: {\"what\": \"colour\"})";
    let case = Case::of(&format!("[{COLOURS}]"), values);
    case.write("m.xlsx", &bytes);
    let loaded = case.load();
    assert_eq!(lab(&loaded, "tern"), [50.0, 10.0, -20.0]);
    assert_eq!(
        colour(&loaded, "tern").measured().as_ref().unwrap().source().value,
        "m.xlsx [values], cell B2"
    );
    // In a file that has neither, they are passed over aloud.
    let case = Case::of(
        &format!("[{COLOURS}]"),
        "Table(file: \"m.txt\", sheet: \"values\", headings: {\"what\": \"colour\"})",
    );
    case.write("m.txt", format!("{FORMAT}tern 1 2 3\nquay 1 2 3\n7 1 2 3\nEND_DATA\n").as_bytes());
    let codes: Vec<&str> = case.findings().0.iter().map(|d| d.code).collect();
    assert_eq!(codes, ["no-sheets", "no-headings"]);
}

#[test]
fn what_is_written_is_read_back() {
    let line =
        |colour: &str, lab: [f64; 3], spread, readings, source: &str, note: &str| MeasuredLine {
            colour: colour.into(),
            lab,
            spread,
            readings,
            source: source.into(),
            note: note.into(),
        };
    let lines = [
        line(
            "tern",
            [50.123456789, -0.1, 1.0 / 3.0],
            Some(0.25),
            12,
            "photo 10-12.jpg",
            "a \"note\", with commas",
        ),
        line("quay", [100.0, -160.0, 1e-9], None, 1, "photo-2.jpg", ""),
        line("wrack", [4.0, 0.0, 0.0], Some(0.0), 3, "photo-3.jpg; photo-4.jpg", "très sombre"),
    ];
    let loaded = Case::new("measured.csv", csv(&lines).expect("written")).load();
    for line in &lines {
        let colour = colour(&loaded, &line.colour);
        let of = colour.measured().as_ref().expect("measured");
        let [l, a, b] = line.lab;
        assert_eq!(*colour.value(), Value::LabD50 { l, a, b });
        assert_eq!((of.spread(), of.readings()), (line.spread, line.readings));
        assert_eq!(of.source().value, line.source);
        assert_eq!(of.note().as_deref().unwrap_or(""), line.note);
    }
}

/// A range with measured values, wherever these were, is the same after an export, and after an export of that.
#[test]
fn exports_keep_measured_values() {
    let spectrum = (400..=700).step_by(10).map(|_| " 0.25").collect::<String>();
    let heads = (400..=700).step_by(10).map(|b| format!(" nm{b}")).collect::<String>();
    let spectra = format!(
        "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID{heads}\nEND_DATA_FORMAT\nBEGIN_DATA\ntern{spectrum}\n102{spectrum}\ntern{spectrum}\n7{spectrum}\nEND_DATA\n"
    );
    let table = "colour,L*,a*,b*,spread,readings,source,note\ntern,50.5,2,0,0.3,3,a.jpg,\"x, y\"\nquay,60,0.1,0,,,,\nwrack,20,0,0,,,,\n";
    for (name, text) in [("m.ti3", spectra.as_str()), ("m.csv", table)] {
        let case = Case::new(name, text);
        let first = case.load();
        for to in [To::Csv, To::Xlsx] {
            let folder = tempfile::tempdir().unwrap();
            let written = files(&first.range, &first.sheet, to).expect("tables");
            assert!(to == To::Xlsx || written.iter().any(|(name, _)| name == "values.csv"));
            for (name, bytes) in written {
                std::fs::write(folder.path().join(name), bytes).unwrap();
            }
            std::fs::write(folder.path().join("sheet.ron"), SHEET).unwrap();
            std::fs::write(folder.path().join("disc.svg"), DISC).unwrap();
            let second = load_at(folder.path());
            assert_eq!(first.range, second.range, "{name} {to:?}");
            assert!(colour(&second, "tern").measured().is_some());
        }
    }
}

#[test]
fn a_range_in_tables_has_measured_values_too() {
    let colours = "Table(file: \"c.csv\")";
    let case = Case::of(colours, "Table(file: \"m.csv\")");
    case.write(
        "c.csv",
        b"key,w name,value\ntern,Pale Tern,#808080\nquay,Quay Blue,\nwrack,Wrack,\n",
    );
    case.write("m.csv", b"name,L*,a*,b*\nPale Tern,50,10,-20\nquay,60,0,0\n");
    let (found, sources) = case.findings();
    let shown = render(&found, &sources, false);
    assert!(
        found.len() == 1 && shown.contains("The colour 'wrack' has no value, typed or measured"),
        "{shown}"
    );
    case.write("m.csv", b"name,L*,a*,b*\nPale Tern,50,10,-20\nquay,60,0,0\nWrack,9,0,0\n");
    assert_eq!(lab(&case.load(), "tern"), [50.0, 10.0, -20.0]);
}

/// Cut and bitten files: whatever comes, it is a finding and no panic, and every finding says what to do.
#[test]
fn mutations_never_panic() {
    let mut seed = 11u64;
    let mut next = |n: usize| {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (seed >> 33) as usize % n
    };
    for name in ["lab.cxf", "spectra.cxf", "spectra.ti3"] {
        let bytes = std::fs::read(Path::new("tests/measured").join(name)).unwrap();
        for _ in 0..150 {
            let mut b = bytes.clone();
            for _ in 0..1 + next(3) {
                let at = next(b.len());
                match next(4) {
                    0 => b.truncate(at.max(1)),
                    1 => drop(b.remove(at)),
                    2 => b.insert(at, b"<>&;\"=/#[] \n-0x"[next(15)]),
                    _ => b[at] = next(256) as u8,
                }
            }
            let (found, sources) = Case::new(name, b).findings();
            assert!(found.iter().all(|d| d.help.is_some()));
            render(&found, &sources, true);
        }
    }
}

/// Much of what costs little to write takes seconds at most, and does not fill the memory.
#[test]
fn big_nonsense_is_over_soon() {
    let many = 1 << 17;
    let spectrum = |inner: &str| {
        format!(
            "<CxF><ObjectCollection><Object Name=\"tern\"><ColorValues><ReflectanceSpectrum>{inner}</ReflectanceSpectrum></ColorValues></Object></ObjectCollection></CxF>"
        )
    };
    let fields = (0..1_900).map(|i| format!(" F{i}")).collect::<String>();
    let wide = format!(
        "CGATS.17\nBEGIN_DATA_FORMAT{fields} END_DATA_FORMAT\n{}",
        "BEGIN_DATA END_DATA\n".repeat(1 << 14)
    );
    for (name, text, code) in [
        ("m.cxf", spectrum(&"&#32;".repeat(many)), "no-wavelengths"),
        ("m.cxf", spectrum(&"x ".repeat(many)), "wrong-value"),
        ("m.cxf", spectrum(&"0.1 ".repeat(many)), "no-wavelengths"),
        (
            "m.cxf",
            format!("<CxF><ObjectCollection>{}</ObjectCollection></CxF>", "<Object/>".repeat(many)),
            "table-too-large",
        ),
        (
            "m.cxf",
            spectrum(&format!(
                "</ReflectanceSpectrum>{}<ReflectanceSpectrum>",
                "<ColorCIELab/>".repeat(many)
            )),
            "table-too-large",
        ),
        ("m.ti3", wide, "table-too-large"),
        ("m.ti3", "a \"b\"\n".repeat(many), "no-values"),
        (
            "m.ti3",
            format!("ILLUMINANT \"{}\"\n{}", "x".repeat(1 << 20), "a b\n".repeat(many)),
            "no-values",
        ),
        ("m.ti3", format!("{FORMAT}{}END_DATA\n", "tern 1 2\n".repeat(1 << 14)), "set-length"),
        ("m.ti3", format!("{FORMAT}{} 1 2 3\nEND_DATA\n", "x".repeat(1 << 21)), "nothing-measured"),
    ] {
        let (found, sources) = Case::new(name, text).findings();
        let shown = render(&found, &sources, false);
        assert!(shown.len() < 200_000, "{name} {code}: {} bytes", shown.len());
        assert!(
            found.iter().any(|d| d.code == code),
            "{name} {code}: {}",
            &shown[..shown.len().min(2_000)]
        );
    }
}
