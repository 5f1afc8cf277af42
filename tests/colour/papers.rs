//! Papers on the command line: tune, proof, make --paper, and profiles that cannot be used.

use std::path::Path;
use std::process::{Command, Output};

fn shadecard(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard")).args(args).output().expect("runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A sheet of six colours in a folder of its own, with these papers.
fn sheet(papers: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    for name in ["range.ron", "disc.svg"] {
        std::fs::copy(Path::new("tests/faults/base").join(name), at.join(name)).expect("copied");
    }
    let text = format!(
        "Sheet(range: \"range.ron\", name: \"card\", editions: [(layout: \"a4\")], papers: [{papers}])"
    );
    std::fs::write(at.join("sheet.ron"), text).expect("written");
    let sheet = at.join("sheet.ron").to_str().expect("a name").to_owned();
    (folder, sheet)
}

fn json(run: &Output) -> serde_json::Value {
    assert!(run.status.success(), "{}", text(&run.stderr));
    serde_json::from_slice(&run.stdout).expect("JSON")
}

/// The values of the file reach the files made with it, a change by hand too.
#[test]
fn make_prints_the_values_that_tune_wrote() {
    let (folder, sheet) = sheet("(model: matte)");
    let run = shadecard(&["tune", &sheet, "--paper", "matte", "--json"]);
    let report = json(&run);
    assert_eq!((&report[0]["values"], &report[1]["values"]), (&"plain".into(), &"tuned".into()));
    let file = folder.path().join("matte.values.ron");
    let values = std::fs::read_to_string(&file).expect("beside the sheet");
    let at = values.find("value: \"#").expect("a value") + 8;
    let changed = values[..at].to_owned() + "#123456" + &values[at + 7..];
    std::fs::write(&file, changed).expect("written");
    let out = folder.path().join("out");
    let out = out.to_str().expect("a name");
    let made = shadecard(&["make", &sheet, "--paper", "matte", "--format", "svg", "--out", out]);
    assert!(made.status.success(), "{}", text(&made.stderr));
    assert!(text(&made.stdout).contains("matte.values.ron"), "{}", text(&made.stdout));
    let svg = folder.path().join("out/card-matte/a4.en-GB.svg");
    let svg = std::fs::read_to_string(svg).expect("made");
    assert!(svg.contains("#123456"));
    let manifest = folder.path().join("out/card-matte/manifest.json");
    let manifest: serde_json::Value =
        serde_json::from_slice(&std::fs::read(manifest).expect("made")).expect("JSON");
    assert_eq!((&manifest["paper"], &manifest["values"]), (&"matte".into(), &"tuned".into()));
}

/// A page without colours: where everything is, words, parts and lines.
fn uncoloured(svg: &str) -> String {
    let (before, rest) = svg.split_once("<defs>").expect("definitions");
    let (_, body) = rest.split_once("</defs>").expect("their end");
    let mut pieces = body.split(" fill=\"");
    let mut out = before.to_owned() + pieces.next().expect("a beginning");
    pieces.for_each(|piece| out += piece.split_once('"').expect("a value").1);
    out
}

/// A sheet is placed once for every paper: what is on it, the parts of the legend too, stays where it is.
#[test]
fn a_paper_changes_colours_and_nothing_else() {
    let (folder, sheet) = sheet("(model: matte)");
    let out = folder.path().join("out");
    let out = out.to_str().expect("a name");
    for style in ["plate", "catalogue"] {
        let common = ["--format", "svg", "--out", out, "--style", style];
        let make = |more: &[&str]| {
            let made = shadecard(&[&["make", &sheet], more, &common].concat());
            assert!(made.status.success(), "{}", text(&made.stderr));
        };
        make(&[]);
        make(&["--paper", "matte"]);
        let read = |inner: &str| {
            let inner =
                if style == "plate" { inner.to_owned() } else { format!("{inner}-{style}") };
            let file = folder.path().join("out").join(inner).join("a4.en-GB.svg");
            std::fs::read_to_string(file).expect("made")
        };
        let (screen, paper) = (read("card"), read("card-matte"));
        assert!(screen.contains("#cc0000") && !paper.contains("#cc0000"), "{style}");
        assert_eq!(uncoloured(&screen), uncoloured(&paper), "{style}");
        assert!(uncoloured(&screen).matches("<use").count() > 20, "{style}");
    }
}

/// A colour whose value changed after tuning, one that is new, a value that is none.
#[test]
fn old_values_are_told_and_nothing_is_made() {
    let (folder, sheet) = sheet("(model: matte)");
    assert!(shadecard(&["tune", &sheet, "--paper", "matte"]).status.success());
    let file = folder.path().join("matte.values.ron");
    let whole = std::fs::read_to_string(&file).expect("there");
    let out = folder.path().join("out");
    let refused = |values: String, told: &[&str]| {
        std::fs::write(&file, values).expect("written");
        let out = out.to_str().expect("a name");
        let run = shadecard(&["make", &sheet, "--paper", "matte", "--out", out]);
        assert_eq!(run.status.code(), Some(1));
        let said = text(&run.stderr);
        let lower = said.to_lowercase();
        told.iter().for_each(|t| assert!(lower.contains(&t.to_lowercase()), "{t}: {said}"));
        assert!(!Path::new(out).exists());
    };
    let at = whole.find("aim: (").expect("an aim");
    let end = at + whole[at..].find(')').expect("an end");
    let moved = whole[..at].to_owned() + "aim: (1.0, 2.0, 3.0" + &whole[end..];
    refused(
        moved,
        &["has changed since it was tuned", "matte.values.ron, line ", "shadecard tune"],
    );
    let line = whole.lines().position(|l| l.contains("(key:")).expect("a line");
    let without: Vec<&str> =
        whole.lines().enumerate().filter(|(i, _)| *i != line).map(|(_, l)| l).collect();
    refused(without.join("\n"), &["has no value here", "shadecard tune"]);
    refused(whole.replace("value: \"#", "value: \"n"), &["this is not a value", "#c9282d"]);
    refused(whole.replace("sheet: \"card\"", "sheet: \"other\""), &["for the sheet 'other'"]);
    let other = whole.find("profile: \"").expect("a checksum") + 10;
    refused(whole[..other].to_owned() + "0" + &whole[other..], &["a different profile or model"]);
}

/// Profiles that are none, or not of a printer, each with its own words.
#[test]
fn profiles_that_cannot_be_used() {
    let good = std::fs::read("profiles/coated.icc").expect("shipped");
    let with = |at: usize, new: &[u8]| {
        let mut bytes = good.clone();
        bytes[at..at + new.len()].copy_from_slice(new);
        bytes
    };
    // The tag table starts at 128: count, then name, offset and size of each.
    let no_inverse = {
        let mut bytes = good.clone();
        for at in (132..132 + 12 * 9).step_by(12) {
            if bytes[at..at + 3] == *b"B2A" {
                bytes[at..at + 3].copy_from_slice(b"XXX");
            }
        }
        bytes
    };
    let cases: [(&str, Vec<u8>, &str); 11] = [
        (
            "text",
            b"not a profile at all, but long enough to be looked at".to_vec(),
            "is not an ICC profile",
        ),
        ("empty", Vec::new(), "is not an ICC profile"),
        ("short", good[..4000].to_vec(), "incomplete: it should have 177904 bytes but has 4000"),
        ("screen", with(12, b"mntr"), "the profile of a screen"),
        ("scanner", with(12, b"scnr"), "a scanner or camera"),
        ("link", with(12, b"link"), "a link between two devices"),
        ("grey", with(16, b"GRAY"), "it is for GRAY colour"),
        ("new", with(8, &[5]), "its ICC version is 5"),
        ("outside", with(136, &[0x7f, 0xff, 0xff, 0xff]), "damaged: its tag 'desc'"),
        ("tags", with(128, &[0xff, 0xff, 0xff, 0xff]), "damaged"),
        ("one-way", no_inverse, "the table from colour to ink"),
    ];
    for (name, bytes, told) in cases {
        let (folder, sheet) = sheet("(name: \"shop\", profile: \"shop.icc\")");
        std::fs::write(folder.path().join("shop.icc"), bytes).expect("written");
        let run = shadecard(&["tune", &sheet, "--paper", "shop"]);
        let said = text(&run.stderr);
        assert_eq!(run.status.code(), Some(1), "{name}: {said}");
        assert!(said.contains(told), "{name}: {said}");
        // By its place in the sheet, and with a suggestion.
        assert!(
            said.contains("sheet.ron, line 1,") && said.contains("ask the print house"),
            "{said}"
        );
        assert!(!folder.path().join("shop.values.ron").exists());
    }
}

/// Any byte of the profile changed: an answer or a message, never a crash.
#[test]
fn a_damaged_profile_never_crashes() {
    use shadecard::press::{Paper, RenderingIntent};
    let good = std::fs::read("profiles/coated.icc").expect("shipped");
    let mut read = 0;
    for n in 0..400usize {
        let mut bytes = good.clone();
        // Heads and tables alike: the first 400 bytes, then all over.
        let at = if n < 250 { n } else { n * 449 % good.len() };
        bytes[at] ^= 1 << (n % 8) | 0x40;
        if let Ok(paper) = Paper::profile(&bytes, None, RenderingIntent::Relative) {
            let shown = paper.shows([10, 200, 30, 40]);
            assert!(shown.l.is_finite() && shown.a.is_finite() && shown.b.is_finite());
            read += 1;
        }
    }
    // Some damage is harmless: else nothing was looked at.
    assert!(read > 50 && read < 400, "{read}");
}

#[test]
fn papers_by_name() {
    let (_folder, sheet) = sheet("(name: \"shop\", model: semi_gloss)");
    let told = |args: &[&str], told: &str| {
        let run = shadecard(args);
        assert_eq!(run.status.code(), Some(1));
        assert!(text(&run.stderr).contains(told), "{}", text(&run.stderr));
    };
    told(&["tune", &sheet, "--paper", "matt"], "did you mean 'matte'?");
    // A built-in paper that the sheet names is said once.
    let (_own, named) = self::sheet("(model: matte)");
    told(&["tune", &named, "--paper", "vellum"], "use matte, coated, semi-gloss, or the path");
    told(&["proof", &sheet, "--paper", "shopp"], "did you mean 'shop'?");
    told(&["make", &sheet, "--paper", "blotting"], "use shop, coated, semi-gloss, matte");
    told(
        &["make", &sheet, "--paper", "coated", "--colour-mode", "cmyk", "--format", "png"],
        "cannot hold ink",
    );
    told(&["proof", &sheet, "--paper", "matte", "--limit", "0"], "from 1 to 50");
    told(&["proof", &sheet, "--paper", "matte", "--paper", "matte"], "given twice");
}

/// A proof shows the paper's own white and not the screen's, and its tables
/// hold what the JSON says.
#[test]
fn a_proof_in_pictures_and_figures() {
    let (folder, sheet) = sheet("");
    let out = folder.path().join("out");
    let run = shadecard(&[
        "proof",
        &sheet,
        "--paper",
        "matte",
        "--paper",
        "coated",
        "--dpi",
        "60",
        "--json",
        "--out",
        out.to_str().expect("a name"),
    ]);
    let report = json(&run);
    let folder = out.join("card-proof");
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .expect("made")
        .map(|e| e.expect("a file").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "coated.a4.en-GB.proof.pdf",
            "coated.a4.en-GB.proof.png",
            "coated.a4.en-GB.side-by-side.png",
            "colours.csv",
            "matte.a4.en-GB.proof.pdf",
            "matte.a4.en-GB.proof.png",
            "matte.a4.en-GB.side-by-side.png",
            "pairs.csv",
            "report.json",
            "totals.csv",
        ]
    );
    let mut png = png::Decoder::new(std::io::BufReader::new(
        std::fs::File::open(folder.join("matte.a4.en-GB.proof.png")).expect("there"),
    ))
    .read_info()
    .expect("PNG");
    let mut pixels = vec![0; png.output_buffer_size().expect("a size")];
    png.next_frame(&mut pixels).expect("pixels");
    // CIELAB D50 (94, 0.3, -0.5), the white of the matte model, in sRGB:
    // colour-science 0.4.7, Bradford from D50.
    let corner = [pixels[0], pixels[1], pixels[2]];
    for (got, want) in corner.into_iter().zip([238u8, 238, 239]) {
        assert!(got.abs_diff(want) <= 1, "{corner:?}");
    }
    let colours = std::fs::read_to_string(folder.join("colours.csv")).expect("there");
    let lines = report.as_array().expect("a list").iter();
    let count: usize = lines.map(|c| c["colours"].as_array().expect("a list").len()).sum();
    assert_eq!(colours.lines().count(), 1 + count);
    let pdf = lopdf::Document::load(folder.join("matte.a4.en-GB.proof.pdf")).expect("reads");
    assert_eq!(pdf.get_pages().len(), 2, "the sheet and the report");
}

/// Ink goes into the PDF alone, as ink, with the profile that it is for; the
/// same run gives the same bytes.
#[test]
fn ink_stands_in_the_pdf_alone() {
    let (folder, sheet) = sheet("(name: \"shop\", model: coated, colour_mode: cmyk)");
    let mut made = Vec::new();
    for out in ["one", "two"] {
        let out = folder.path().join(out);
        let run =
            shadecard(&["make", &sheet, "--paper", "shop", "--out", out.to_str().expect("a name")]);
        assert!(run.status.success(), "{}", text(&run.stderr));
        assert!(text(&run.stdout).contains("ink values, in the PDF only"), "{}", text(&run.stdout));
        let folder = out.join("card-shop");
        let mut names: Vec<_> = std::fs::read_dir(&folder)
            .expect("made")
            .map(|e| e.expect("a file").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        assert_eq!(names, ["a4.en-GB.pdf", "manifest.json"]);
        made.push(std::fs::read(folder.join("a4.en-GB.pdf")).expect("there"));
    }
    assert_eq!(made[0], made[1]);
    let pdf = lopdf::Document::load_mem(&made[0]).expect("reads");
    // The chips on the page hold the very values that tuning finds.
    let (_, page) = pdf.get_pages().into_iter().next().expect("a page");
    let content = pdf.get_and_decode_page_content(page).expect("operations");
    let inks: std::collections::BTreeSet<Vec<u8>> = content
        .operations
        .iter()
        .filter(|o| o.operator == "k")
        .map(|o| {
            o.operands.iter().map(|v| (v.as_float().expect("a number") * 255.0) as u8).collect()
        })
        .collect();
    let mut sources = shadecard::diag::Sources::default();
    let loaded = shadecard::range::load(Path::new(&sheet), &mut sources).expect("it loads");
    let chosen = shadecard::press::open_plain(
        "shop",
        &loaded.sheet,
        None,
        &shadecard::session::Session::default(),
    )
    .unwrap_or_else(|d| panic!("{d:?}"));
    let print = shadecard::press::Print::tuned(
        &chosen.paper,
        &loaded.range,
        &loaded.sheet,
        &sources.session.work,
    );
    assert!(print.values.len() > 1);
    for value in &print.values {
        assert!(inks.contains(value.as_slice()), "{value:?} of {inks:?}");
    }
    let catalog = pdf.catalog().expect("a catalog");
    let intents = catalog.get(b"OutputIntents").and_then(lopdf::Object::as_array).expect("intents");
    let intent = pdf.dereference(&intents[0]).expect("one").1.as_dict().expect("a dictionary");
    let profile = intent.get(b"DestOutputProfile").and_then(lopdf::Object::as_reference);
    let profile = pdf.get_object(profile.expect("a profile")).and_then(lopdf::Object::as_stream);
    let profile = profile.expect("a stream").decompressed_content().expect("it inflates");
    assert_eq!(profile, std::fs::read("profiles/coated.icc").expect("shipped"));
    let said = |key: &[u8]| intent.get(key).ok().map(|v| v.as_str().expect("a text").to_vec());
    assert_eq!(said(b"OutputConditionIdentifier").as_deref(), Some(&b"shop"[..]));
    assert_eq!(said(b"RegistryName"), None, "a name of the sheet's own is in no registry");
}

/// The shipped profile as one that was made of registered data: with the tag targ that such profiles
/// must have (ICC Characterization Data Registry, guidelines on color.org).
fn registered(name: &str) -> Vec<u8> {
    let mut bytes = std::fs::read("profiles/coated.icc").expect("shipped");
    let count = u32::from_be_bytes(bytes[128..132].try_into().expect("four"));
    let (head, body) = (132 + 12 * count as usize, bytes.len() + 12);
    for i in 0..count as usize {
        let at = 136 + 12 * i;
        let offset = u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four")) + 12;
        bytes[at..at + 4].copy_from_slice(&offset.to_be_bytes());
    }
    let text = [b"text\0\0\0\0ICCHDAT ".as_slice(), name.as_bytes(), b"\0"].concat();
    let mut entry = b"targ".to_vec();
    entry.extend((body as u32).to_be_bytes());
    entry.extend((text.len() as u32).to_be_bytes());
    bytes.splice(head..head, entry);
    bytes.extend(text);
    bytes[128..132].copy_from_slice(&(count + 1).to_be_bytes());
    let size = bytes.len() as u32;
    bytes[..4].copy_from_slice(&size.to_be_bytes());
    bytes
}

/// An output condition is named by its name in the registry: the one that the profile says it was made
/// of, or what the sheet says; `check` says where they differ.
#[test]
fn a_registered_condition_is_named() {
    for (field, own, named) in [
        ("", Some("FOGRA52"), Some("FOGRA52")),
        (", condition: \"CGATS TR 001\"", None, Some("CGATS TR 001")),
        (", condition: \"FOGRA39\"", Some("FOGRA52"), Some("FOGRA39")),
        ("", None, None),
    ] {
        let paper = format!("(name: \"shop\", profile: \"shop.icc\"{field})");
        let (folder, sheet) = sheet(&paper);
        let bytes = match own {
            Some(name) => registered(name),
            None => std::fs::read("profiles/coated.icc").expect("shipped"),
        };
        std::fs::write(folder.path().join("shop.icc"), bytes).expect("written");
        let out = folder.path().join("out");
        let out = out.to_str().expect("a name");
        let run = shadecard(&["make", &sheet, "--paper", "shop", "--out", out]);
        assert!(run.status.success(), "{}", text(&run.stderr));
        let pdf = std::fs::read(Path::new(out).join("card-shop/a4.en-GB.pdf")).expect("made");
        let pdf = lopdf::Document::load_mem(&pdf).expect("reads");
        let intents = pdf.catalog().and_then(|c| c.get(b"OutputIntents")).expect("there");
        let intent = pdf.dereference(&intents.as_array().expect("intents")[0]).expect("one").1;
        let said = |key: &[u8]| {
            let value = intent.as_dict().expect("a dictionary").get(key).ok()?;
            Some(String::from_utf8_lossy(value.as_str().expect("a text")).into_owned())
        };
        assert_eq!(said(b"OutputConditionIdentifier").as_deref(), named.or(Some("shop")));
        assert_eq!(said(b"RegistryName").as_deref(), named.map(|_| "http://www.color.org"));
        let checked = shadecard(&["check", &sheet]);
        let checked = text(&checked.stdout) + &text(&checked.stderr);
        let differs = own.is_some() && named != own;
        assert_eq!(checked.contains("profile is for 'FOGRA52'"), differs, "{checked}");
    }
}

/// `check` opens the papers of a sheet: a profile that cannot be used is an
/// error, values that are out of date a warning.
#[test]
fn check_looks_at_papers() {
    let (folder, sheet) = sheet("(name: \"shop\", profile: \"shop.icc\"), (model: matte)");
    std::fs::write(folder.path().join("shop.icc"), "none").expect("written");
    let run = shadecard(&["check", &sheet]);
    let said = text(&run.stdout);
    assert_eq!(run.status.code(), Some(1), "{said}");
    assert!(
        said.contains("it is not an ICC profile") && !said.contains("since it was tuned"),
        "{said}"
    );
    std::fs::copy("profiles/coated.icc", folder.path().join("shop.icc")).expect("copied");
    assert!(shadecard(&["tune", &sheet, "--paper", "matte"]).status.success());
    let file = folder.path().join("matte.values.ron");
    let values = std::fs::read_to_string(&file).expect("there");
    std::fs::write(&file, values.replace("sheet: \"card\"", "sheet: \"cards\"")).expect("written");
    let run = shadecard(&["check", &sheet]);
    let said = text(&run.stdout);
    assert_eq!(run.status.code(), Some(0), "{said}");
    assert!(
        said.contains("these values are for the sheet 'cards'")
            || said.contains("These values are for the sheet 'cards'"),
        "{said}"
    );
}

/// An export takes profiles and print values along.
#[test]
fn an_export_is_printed_alike() {
    let (folder, sheet) = sheet(
        "(name: \"shop\", profile: \"shop.icc\", colour_mode: srgb, values: \"shop.values.ron\")",
    );
    std::fs::copy("profiles/coated.icc", folder.path().join("shop.icc")).expect("copied");
    let make = |sheet: &str, out: &Path| {
        let out = out.to_str().expect("a name");
        shadecard(&["make", sheet, "--paper", "shop", "--format", "svg", "--out", out])
    };
    let first = make(&sheet, &folder.path().join("none"));
    assert_eq!(first.status.code(), Some(1));
    assert!(text(&first.stderr).contains("shadecard tune"), "{}", text(&first.stderr));
    assert!(shadecard(&["tune", &sheet, "--paper", "shop"]).status.success());
    let out = folder.path().join("tables");
    let run = shadecard(&["export", &sheet, "--to", "csv", "--out", out.to_str().expect("a name")]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let exported = out.join("sheet.ron");
    let mut svgs = Vec::new();
    for (sheet, out) in [(sheet.as_str(), "a"), (exported.to_str().expect("a name"), "b")] {
        let out = folder.path().join(out);
        let run = make(sheet, &out);
        assert!(run.status.success(), "{}", text(&run.stderr));
        svgs.push(std::fs::read(out.join("card-shop/a4.en-GB.svg")).expect("made"));
    }
    assert_eq!(svgs[0], svgs[1]);
}

/// Labels and the map of a board for a paper: chips in the very values of `tune`, in a folder of
/// their own; a paper that keeps ink gets values for sRGB, since these pages are sRGB.
#[test]
fn labels_and_board_are_printed_for_a_paper_too() {
    let (folder, sheet) =
        sheet("(model: matte), (name: \"press\", model: matte, colour_mode: cmyk)");
    let out = folder.path().join("out").display().to_string();
    let report = json(&shadecard(&["tune", &sheet, "--paper", "matte", "--json"]));
    let colours = report[1]["colours"].as_array().expect("colours");
    let value = |key: &str| {
        let of = colours.iter().find(|c| c["key"] == key).expect("a colour of the range");
        let hex = of["value"].as_str().expect("a value");
        [1, 3, 5].map(|at| u8::from_str_radix(&hex[at..at + 2], 16).expect("hexadecimal"))
    };
    let key = colours[0]["key"].as_str().expect("a key").to_owned();
    let has = |png: &Path, rgb: [u8; 3]| {
        let file = std::io::BufReader::new(std::fs::File::open(png).expect("made"));
        let mut reader = png::Decoder::new(file).read_info().expect("a PNG");
        let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
        let info = reader.next_frame(&mut pixels).expect("a picture");
        let step = info.color_type.samples();
        pixels.chunks_exact(step).filter(|p| p[..3] == rgb).count() > 200
    };
    let made = |paper: Option<&str>, inner: &str| {
        let mut args = vec!["labels", &sheet, "--out", &out, "--spelling", "en-GB"];
        args.extend(paper.map(|p| ["--paper", p]).into_iter().flatten());
        let run = shadecard(&args);
        assert!(run.status.success(), "{}", text(&run.stderr));
        Path::new(&out).join(inner).join("labels/labels.en-GB.1-of-1.proof.png")
    };
    let (plain, matte) = (made(None, "card"), made(Some("matte"), "card-matte"));
    assert!(has(&matte, value(&key)), "the chip of '{key}' has its print value");
    assert!(!has(&plain, value(&key)));
    made(Some("press"), "card-press");
    let refused = shadecard(&["labels", &sheet, "--paper", "mattte"]);
    assert_eq!(refused.status.code(), Some(1));
    assert!(text(&refused.stderr).contains("did you mean 'matte'?"), "{}", text(&refused.stderr));
    let map = |paper: &[&str], name: &str| {
        let file = folder.path().join(name);
        let mut args = vec!["board", &sheet, "--out", file.to_str().expect("a name")];
        args.extend(paper);
        let run = shadecard(&args);
        assert!(run.status.success(), "{}", text(&run.stderr));
        std::fs::read(file).expect("made")
    };
    assert_ne!(map(&[], "plain.pdf"), map(&["--paper", "matte"], "matte.pdf"));
}

/// Everything else that is printed takes a paper too.
#[test]
fn tick_lists_notes_and_shapes_take_a_paper() {
    let (folder, sheet) = sheet("(model: matte)");
    let old = folder.path().join("old");
    std::fs::create_dir(&old).expect("made");
    std::fs::copy(&sheet, old.join("sheet.ron")).expect("copied");
    let range = std::fs::read_to_string(folder.path().join("range.ron")).expect("there");
    let without: Vec<&str> = range.lines().filter(|l| !l.contains("key: \"ice\"")).collect();
    assert!(without.len() < range.lines().count());
    let without = without.join("\n").replace(", \"ice\": \".x\"", "");
    std::fs::write(old.join("range.ron"), without).expect("written");
    std::fs::copy(folder.path().join("disc.svg"), old.join("disc.svg")).expect("copied");
    let was = old.join("sheet.ron");
    let was = was.to_str().expect("a name");
    for (n, args) in [
        vec!["supplies", &sheet],
        vec!["shapes", &sheet],
        vec!["compare", was, &sheet, "--for", "buyers"],
    ]
    .into_iter()
    .enumerate()
    {
        let made = |paper: &[&str]| {
            let file = folder.path().join(format!("{n}{}.pdf", paper.len()));
            let name = file.to_str().expect("a name");
            let all = [&args[..], &["--out", name, "--page", "letter"], paper].concat();
            let run = shadecard(&all);
            assert!(run.status.success(), "{all:?}: {}", text(&run.stderr));
            std::fs::read(folder.path().join(if file.exists() { file } else { panic!("{all:?}") }))
                .expect("made")
        };
        let (plain, matte) = (made(&[]), made(&["--paper", "matte"]));
        assert_ne!(plain, matte, "{args:?}");
        let unknown = shadecard(&[&args[..], &["--out", "x.pdf", "--paper", "mattte"]].concat());
        assert_eq!(unknown.status.code(), Some(1));
        let said = text(&unknown.stderr);
        assert_eq!(said.matches("did you mean 'matte'?").count(), 1, "{said}");
    }
}
