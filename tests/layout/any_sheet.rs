//! What holds for any sheet: generated ranges of every shape, laid out as strangers would have them.

use crate::gallery::{self, Case};
use crate::positions;
use shadecard::sheet::Workshop;

/// Faults of one sheet; a sheet that does not fit must say what would.
fn faults(case: &Case) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    case.write(folder.path()).expect("written");
    let editions = positions::open(&folder.path().join("sheet.ron"), None);
    let found = match editions.plan(editions.variants().next().expect("an edition")) {
        Ok(planned) => {
            let sheet = planned.place(&Workshop::boxes(&editions.range));
            gallery::faults::all(&editions, &planned, &sheet)
        }
        Err(d) => {
            let help = d.help.as_deref().unwrap_or_default();
            let says = help.starts_with("it fits ") || help.starts_with("shorten");
            if says { Vec::new() } else { vec![format!("{}: {help}", d.message)] }
        }
    };
    found.into_iter().map(|fault| format!("{}: {fault}", case.name)).collect()
}

#[test]
fn no_sheet_of_the_gallery_has_a_fault() {
    let cases = gallery::cases();
    assert!(cases.len() >= 60);
    let found: Vec<String> = cases.iter().flat_map(faults).collect();
    positions::none("the gallery", found);
}
