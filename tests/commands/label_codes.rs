//! Codes of single colours on labels: read again from what is printed.

use std::collections::BTreeSet;

use shadecard::labels::LabelSheet;
use shadecard::paint::png;
use shadecard::sheet::palette::PrintValues;
use shadecard::units::Dpi;

use crate::labels::{Board, SHEET, label_sheet, places, set_with};

const ADDRESS: &str = "https://example.com/colours";

/// A sheet of three colours whose page is at an address, or has none.
fn board(page: &str) -> Board {
    let board = Board::of(&[
        ("gannet", "Gannet", "11"),
        ("dulse", "Dulse", "12"),
        ("slate-pool", "Slate Pool", "13"),
    ]);
    let sheet = SHEET.replace("editions:", &format!("{page} editions:"));
    std::fs::write(board.path("sheet.ron"), sheet).expect("written");
    board
}

/// What all codes on the first page say, drawn with so many dots an inch.
fn read(board: &Board, label_sheet: &LabelSheet, dpi: u32) -> BTreeSet<String> {
    let set = set_with(&board.sheet(), label_sheet, "plate", &places(label_sheet, 0, 0), true);
    let set = set.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
    let values = PrintValues::default();
    let colours = set.print().palette.printed(&values);
    let painted = set.print().coloured(&colours);
    let dpi = Dpi::new(dpi).expect("a resolution");
    let drawn = png::in_memory(painted, 0, dpi, 1, &|_| Ok(())).expect("drawn");
    let picture = tiny_skia::Pixmap::decode_png(&drawn).expect("a picture");
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let grey = |x: usize, y: usize| picture.pixels()[y * width + x].green();
    let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(width, height, grey);
    prepared.detect_grids().iter().filter_map(|g| g.decode().ok().map(|(_, text)| text)).collect()
}

/// With rqrr, as an outside reader, at the resolution of desk printers.
#[test]
fn codes_on_labels_open_their_colours() {
    let board = board(&format!(r#"page: (address: "{ADDRESS}"),"#));
    let wanted: BTreeSet<String> = ["gannet", "dulse", "slate-pool"]
        .map(|key| format!("{ADDRESS}#colour={key}"))
        .into_iter()
        .collect();
    for name in ["a4", "letter", "roll", "small"] {
        assert_eq!(read(&board, &label_sheet(name), 300), wanted, "{name}");
    }
}

#[test]
fn what_codes_need_is_reported_before_anything_is_written() {
    let output = board("").run(&["sheet.ron", "--codes"]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("no address of its page for buyers"), "{said}");
    let long = board(r#"page: (address: "https://example.com/colours/of/the/works"),"#);
    let tiny = "Labels(sheet: (paper: \"A4\"), label: (width: 40, height: 12), lines: 1)";
    std::fs::write(long.path("tiny.ron"), tiny).expect("written");
    let output = long.run(&["sheet.ron", "--codes", "--label-sheet", "tiny.ron"]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{said}");
    // 61 characters need 33 modules of 0.33 mm, and 1.5 mm on either side are kept free: 13.89 mm.
    assert!(said.contains("at least 27.8 x 13.9 mm"), "{said}");
    assert!(!long.path("out").exists());
}
