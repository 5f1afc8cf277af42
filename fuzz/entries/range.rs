//! A range file: read alone or through a sheet, proofread, and now and then written out and read again.

use shadecard::compare;
use shadecard::diag::Sources;
use shadecard::export::{To, files};
use shadecard::files::Files;
use shadecard::proofread::near::near;
use shadecard::proofread::terms::terms;
use shadecard::proofread::twins::twins;
use shadecard::proofread::unused::idle_parts;
use shadecard::range::{Loaded, load_either};
use shadecard::session::Session;
use shadecard::work::Work;

use super::desk;
use super::told::{errors, one_in, told};

pub fn entry(bytes: &[u8]) -> String {
    let mut sources = desk::sources(&[("range.ron", bytes)]);
    let shown = match desk::load(&desk::file("sheet.ron"), &mut sources) {
        Ok(loaded) => looked_over(&loaded, &sources, bytes),
        Err(findings) => errors(findings, &sources),
    };
    if !one_in(15, bytes) {
        return shown;
    }
    shown
        + &match load_either(&desk::file("range.ron"), &mut sources) {
            Ok(described) => told(described.warnings, &sources),
            Err(findings) => errors(findings, &sources),
        }
}

/// Everything that is done with a range before it is drawn.
pub fn looked_over(loaded: &Loaded, sources: &Sources, bytes: &[u8]) -> String {
    let Loaded { range, sheet, warnings } = loaded;
    let mut found = warnings.clone();
    found.extend(near(range));
    found.extend(terms(range));
    found.extend(twins(range, sheet, &Work::default()));
    found.extend(idle_parts(range));
    let out = told(found, sources);
    assert!(compare::ranges(range, range).is_empty(), "differs from itself");
    for colour in range.colours() {
        assert!(!colour.any_name().is_empty(), "a colour without a name");
        let aim = colour.aim();
        assert!(aim.l.is_finite() && aim.a.is_finite() && aim.b.is_finite(), "no colour: {aim:?}");
    }
    if one_in(64, bytes) {
        back_again(loaded, sources);
    }
    out
}

/// Written as tables it reads back as itself.
fn back_again(loaded: &Loaded, sources: &Sources) {
    let written = files(&loaded.range, &loaded.sheet, To::Csv).expect("tables");
    let mut all: Vec<(String, Vec<u8>)> = written;
    all.push(("sheet.ron".into(), desk::SHEET.into()));
    for part in loaded.range.parts() {
        let name = part.shape_file();
        let shape = sources.session.files.bytes(&desk::file(name), u64::MAX).expect("read before");
        all.push((name.clone(), shape));
    }
    let all = all.into_iter().map(|(name, bytes)| (desk::file(&name), bytes));
    let mut sources = Sources::of(Session::of(Files::in_memory(all)));
    match desk::load(&desk::file("sheet.ron"), &mut sources) {
        Ok(back) => assert_eq!(back.range, loaded.range, "comes back as another range"),
        Err(findings) => panic!("its own tables are refused:\n{}", told(findings, &sources)),
    }
}
