//! A range file: read alone and through a sheet, proofread, written out and read again.

use shadecard::compare;
use shadecard::diag::Sources;
use shadecard::export::{To, files};
use shadecard::proofread::near::near;
use shadecard::proofread::terms::terms;
use shadecard::proofread::twins::twins;
use shadecard::proofread::unused::idle_parts;
use shadecard::range::{Loaded, load, load_either};

use super::desk::{self, Desk, plain};
use super::told::{errors, told};

pub fn entry(bytes: &[u8]) -> String {
    desk::with(&[("range.ron", bytes)], |desk| {
        let mut sources = Sources::default();
        let alone = match load_either(&desk.file("range.ron"), &mut sources) {
            Ok(described) => told(described.warnings, &sources),
            Err(findings) => errors(findings, &sources),
        };
        let mut sources = Sources::default();
        let shown = match load(&desk.file("sheet.ron"), &mut sources) {
            Ok(loaded) => looked_over(&loaded, &sources, desk),
            Err(findings) => errors(findings, &sources),
        };
        plain(&(alone + &shown), desk)
    })
}

/// Everything that is done with a range before it is drawn.
pub fn looked_over(loaded: &Loaded, sources: &Sources, desk: &Desk) -> String {
    let Loaded { range, sheet, warnings } = loaded;
    let mut found = warnings.clone();
    found.extend(near(range));
    found.extend(terms(range));
    found.extend(twins(range, sheet));
    found.extend(idle_parts(range));
    let out = told(found, sources);
    assert!(compare::ranges(range, range).is_empty(), "differs from itself");
    for colour in range.colours() {
        assert!(!colour.any_name().is_empty(), "a colour without a name");
        let aim = colour.aim();
        assert!(aim.l.is_finite() && aim.a.is_finite() && aim.b.is_finite(), "no colour: {aim:?}");
    }
    back_again(loaded, desk);
    out
}

/// Written as tables it reads back as itself.
fn back_again(loaded: &Loaded, desk: &Desk) {
    let written = files(&loaded.range, &loaded.sheet, To::Csv).expect("tables");
    for (name, bytes) in written {
        desk.put(&format!("again/{name}"), bytes);
    }
    desk.put("again/sheet.ron", desk::SHEET);
    for part in loaded.range.parts() {
        let name = part.shape_file();
        let shape = std::fs::read(desk.file(name)).expect("read before");
        desk.put(&format!("again/{name}"), shape);
    }
    let mut sources = Sources::default();
    match load(&desk.file("again/sheet.ron"), &mut sources) {
        Ok(back) => assert_eq!(back.range, loaded.range, "comes back as another range"),
        Err(findings) => panic!("its own tables are refused:\n{}", told(findings, &sources)),
    }
}
