//! The files of one input, in memory, beside a small range, a sheet and a shape without faults.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use shadecard::diag::{Findings, Sources};
use shadecard::files::Files;
use shadecard::range::{Loaded, Shapes, load_again};
use shadecard::session::Session;

/// A plain disc of 12 mm.
pub const DISC: &str = include_str!("../../tests/faults/base/disc.svg");
pub const RANGE: &str = include_str!("../../tests/faults/base/range.ron");
pub const SHEET: &str = include_str!("../../tests/faults/base/sheet.ron");

/// Where everything is: a sheet without a name is called after its folder.
pub fn file(name: &str) -> PathBuf {
    Path::new("desk").join(name)
}

/// The base files, with these in place of them or besides.
pub fn sources(files: &[(&str, &[u8])]) -> Sources {
    let base = [("disc.svg", DISC), ("range.ron", RANGE), ("sheet.ron", SHEET)];
    let base = base.map(|(name, text)| (name, text.as_bytes()));
    let all = base.iter().chain(files).map(|(name, bytes)| (file(name), *bytes));
    Sources::of(Session::of(Files::in_memory(all)))
}

/// Reads a sheet. A drawing is understood once and for all.
pub fn load(sheet: &Path, sources: &mut Sources) -> Result<Loaded, Findings> {
    static SHAPES: LazyLock<Shapes> = LazyLock::new(Shapes::default);
    load_again(sheet, sources, &SHAPES)
}

/// The base.
pub fn base() -> &'static Loaded {
    static BASE: LazyLock<Loaded> =
        LazyLock::new(|| load(&file("sheet.ron"), &mut sources(&[])).expect("the base"));
    &BASE
}
