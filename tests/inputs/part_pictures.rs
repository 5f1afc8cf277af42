//! Pictures of parts as they are found: what is wrong with them is reported at its place.

use crate::picture_set::HEAD;
use crate::picture_set::bench::{Bench, RED, SEA, bar, disc};
use shadecard::diag::{Diagnostic, Severity, Sources};
use shadecard::edition::{Editions, Filter, remarks};
use shadecard::image::{Pixels, encode};
use shadecard::limits::Limits;
use shadecard::range::{ColourId, PartId, load};
use shadecard::session::Session;

/// What is found, with the place of each as file name, line and column.
fn found(bench: &Bench) -> Vec<(Diagnostic, String)> {
    let mut sources = Sources::default();
    let findings = match load(&bench.folder().join("sheet.ron"), &mut sources) {
        Ok(loaded) => loaded.warnings,
        Err(findings) => findings,
    };
    let place = |d: &Diagnostic| {
        let span = d.span.as_ref().expect("a place");
        let file = span.file.file_name().expect("a name").to_string_lossy().into_owned();
        let (line, column) = sources.line_column(span).expect("a place in a text");
        format!("{file}:{line}:{column}")
    };
    findings.sorted().into_iter().map(|d| (d.clone(), place(&d))).collect()
}

/// The one fault of a folder.
fn only(bench: &Bench) -> (&'static str, String, String) {
    let found = found(bench);
    let [(fault, place)] = &found[..] else { panic!("{found:#?}") };
    assert!(fault.help.is_some(), "{}: no way out", fault.message);
    (fault.code, place.clone(), fault.message.clone())
}

fn line(rest: &str) -> Vec<u8> {
    format!("{HEAD}{rest}\n").into_bytes()
}

#[test]
fn good_pictures_are_found_and_placed() {
    let bench = Bench::with_pictures();
    assert!(found(&bench).is_empty());
    let loaded = load(&bench.folder().join("sheet.ron"), &mut Sources::default()).expect("loads");
    let pictures = loaded.sheet.pictures().as_ref().expect("some");
    assert_eq!(pictures.by_sample().len(), 2);
    // The disc goes by its table: 15 x 13 mm, its middle at 8.2, 6.3.
    let disc = pictures.of(PartId(0), ColourId(0)).expect("the disc");
    let frame = disc.frame();
    for (is, wanted) in [(frame.x0, -8.2), (frame.y0, -6.3), (frame.x1, 6.8), (frame.y1, 6.7)] {
        assert!((is - wanted).abs() < 0.05, "{frame:?}");
    }
    // The bar is as wide as its outline, 14 mm, and has half a millimetre around it.
    let bar = pictures.of(PartId(1), ColourId(1)).expect("the bar");
    let frame = bar.frame();
    for (is, wanted) in [(frame.x0, -7.5), (frame.y0, -4.5), (frame.x1, 7.5), (frame.y1, 4.5)] {
        assert!((is - wanted).abs() < 0.05, "{frame:?}");
    }
    assert!((bar.dpi(1.0) - 300.0).abs() < 3.0 && (disc.dpi(0.5) - 800.0).abs() < 8.0);
}

#[test]
fn folders_that_are_none() {
    let bench = Bench::new();
    std::fs::remove_dir(bench.folder().join("pictures")).expect("removed");
    let (code, place, message) = only(&bench);
    assert_eq!((code, place.split(':').next()), ("no-such-folder", Some("sheet.ron")), "{message}");
    bench.write("pictures", b"text");
    assert_eq!(only(&bench).0, "not-a-folder");
    let text = std::fs::read_to_string(bench.folder().join("sheet.ron")).expect("read");
    bench.write("sheet.ron", text.replace("\"pictures\"", "\"../pictures\"").as_bytes());
    assert_eq!(only(&bench).0, "outside-folder");
    // An edition of drawings in a sheet that has no pictures.
    let without = text.replace("pictures: \"pictures\",", "");
    bench.write("sheet.ron", without.as_bytes());
    assert_eq!(only(&bench).0, "only-without-pictures");
    bench.write("sheet.ron", without.replace(", only: drawings", "").as_bytes());
    assert!(found(&bench).is_empty());
}

#[test]
fn files_that_are_no_pictures() {
    let whole = encode(&bar(SEA, 0.5));
    for (bytes, code, piece) in [
        (b"GIF89a....".to_vec(), "not-a-picture", "'pictures/bar.sea.png' is not a PNG picture"),
        (Vec::new(), "not-a-picture", "is not a PNG picture"),
        (whole[..whole.len() / 2].to_vec(), "not-a-picture", "cannot be read as a PNG picture"),
        (encode(&Pixels { width: 2, height: 1, rgba: vec![9; 8] }), "empty-picture", "opaque"),
    ] {
        let bench = Bench::new();
        bench.write("pictures/bar.sea.png", &bytes);
        let (is, place, message) = only(&bench);
        assert_eq!(is, code, "{message}");
        // Where the sheet names the folder.
        assert!(place.starts_with("sheet.ron:1:") && message.contains(piece), "{place} {message}");
    }
}

#[test]
fn a_picture_too_large_names_the_limit_and_how_to_raise_it() {
    let bench = Bench::new();
    // A header that says 60,000 x 60,000 pixels; nothing is allocated for it.
    let mut bytes = encode(&bar(SEA, 0.5));
    let side = 60_000u32.to_be_bytes();
    bytes[16..20].copy_from_slice(&side);
    bytes[20..24].copy_from_slice(&side);
    let sum = crc(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&sum.to_be_bytes());
    bench.write("pictures/bar.sea.png", &bytes);
    let (code, _, message) = only(&bench);
    assert_eq!(code, "picture-too-large");
    assert!(message.contains("3600000000 pixels, more than 10000000"), "{message}");
    // All together: as if there were 64 times as many.
    let session = Session { limits: Limits::raised(1), ..Session::default() };
    assert_eq!(session.limits.most(shadecard::limits::PICTURES), 256 << 20);
}

/// CRC-32 (PNG, third edition, annex D).
fn crc(bytes: &[u8]) -> u32 {
    let step = |crc: u32, byte: &u8| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            if c & 1 == 1 { 0xedb8_8320 ^ (c >> 1) } else { c >> 1 }
        })
    };
    !bytes.iter().fold(u32::MAX, step)
}

#[test]
fn rows_of_the_table_that_are_wrong() {
    for (row, code, column) in [
        ("dsic,red,disc.red.png,15,13,8.2,6.3", "unknown-part", 1),
        ("disc,rde,disc.red.png,15,13,8.2,6.3", "unknown-colour", 6),
        ("disc,red,disc.red.png,wide,13,8.2,6.3", "bad-number", 23),
        ("disc,red,disc.red.png,-15,13,8.2,6.3", "bad-number", 23),
        ("disc,red,disc.red.png,15,0,8.2,6.3", "bad-number", 26),
        ("disc,red,disc.red.png,15,13,8.2,", "missing-number", 29),
        ("disc,red,disc.red.png,15,13,nan,6.3", "bad-number", 29),
        ("disc,red,other.png,15,13,8.2,6.3", "no-such-file", 10),
        ("disc,red,../disc.red.png,15,13,8.2,6.3", "outside-folder", 10),
        ("disc,red,disc.red.png,15,13,82,63", "picture-centre", 10),
        (",red,disc.red.png,15,13,8.2,6.3", "missing-field", 1),
    ] {
        let bench = Bench::new();
        bench.write("pictures/disc.red.png", &encode(&disc(400.0, RED).0));
        bench.write("pictures/pictures.csv", &line(row));
        let (is, place, message) = only(&bench);
        assert_eq!((is, place), (code, format!("pictures.csv:2:{column}")), "{row}: {message}");
    }
    let bench = Bench::with_pictures();
    let (_, row) = disc(400.0, RED);
    bench.write("pictures/pictures.csv", format!("{HEAD}{row}{row}").as_bytes());
    assert_eq!(only(&bench).0, "double-picture");
}

#[test]
fn a_part_that_is_not_as_large_as_its_outline() {
    for (scale, good) in [(1.0, true), (0.98, true), (1.025, true), (0.96, false), (1.04, false)] {
        let bench = Bench::new();
        bench.write("pictures/disc.red.png", &encode(&disc(400.0, RED).0));
        let [w, h, x, y] = [15.0, 13.0, 8.2, 6.3].map(|v: f64| v * scale);
        let row = format!("disc,red,disc.red.png,{w},{h},{x},{y}");
        bench.write("pictures/pictures.csv", &line(&row));
        let found = found(&bench);
        match found.first() {
            None => assert!(good, "{scale}"),
            Some((fault, place)) => {
                assert!(!good && fault.code == "picture-size", "{scale}: {}", fault.message);
                assert_eq!(place, "pictures.csv:2:10");
                assert!(fault.message.contains("its outline 12.00 x 12.00 mm"));
            }
        }
    }
    // Without a table the width fits, so the height tells: a disc as the picture of a bar.
    let bench = Bench::new();
    bench.write("pictures/bar.sea.png", &encode(&disc(400.0, SEA).0));
    assert_eq!(only(&bench).0, "picture-size");
}

#[test]
fn pictures_of_nothing_are_told_in_one_warning() {
    let bench = Bench::with_pictures();
    for name in ["bra.sea.png", "bar.green.png", "left.png", "notes.txt"] {
        bench.write(&format!("pictures/{name}"), b"whatever");
    }
    let (code, _, message) = only(&bench);
    assert_eq!(code, "unknown-picture");
    assert!(message.contains("bar.green.png' (and 2 more)"), "{message}");
    assert_eq!(found(&bench)[0].0.severity, Severity::Warning);
}

#[test]
fn a_coarse_picture_is_a_note_with_edition_and_resolution() {
    let bench = Bench::new();
    // 150 dpi: 150 at true size, 250 at 0.6 of it.
    bench.write("pictures/disc.red.png", &encode(&disc(150.0, RED).0));
    let mut sources = Sources::default();
    let loaded = load(&bench.folder().join("sheet.ron"), &mut sources).expect("loads");
    let editions = Editions::resolve(loaded, &Filter::default(), &mut sources).expect("resolves");
    let (planned, misfits) = editions.plan_each();
    assert!(!misfits.failed());
    let all = remarks(&planned).sorted();
    let notes: Vec<&Diagnostic> = all.iter().filter(|d| d.code == "picture-resolution").collect();
    let [note] = notes[..] else { panic!("{notes:#?}") };
    let wanted = "the picture 'pictures/disc.red.png' has 150 dpi in the edition 'true'";
    assert_eq!(note.message, wanted);
}
