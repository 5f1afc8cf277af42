//! Names of a sheet are of one size, as large as the columns allow.

use std::path::Path;

use crate::positions::open;
use shadecard::plan::facts::{LEAST_SHRINK, NameFit, SpineChoice};
use shadecard::sheet::{ItemKind, Workshop};

/// A spine that was set tight gains what its columns have to spare, and no more.
#[test]
fn tight_names_take_the_room_that_is_left() {
    let mut met = Vec::new();
    for style in ["plate", "catalogue"] {
        let editions = open(Path::new("demo/haberdashery/sheet.ron"), Some(style));
        for entry in editions.variants().filter(|e| e.tag == "en-GB") {
            let planned = editions.plan(entry).expect("it fits");
            let (facts, spine) = (&planned.facts, planned.plan.spine);
            let voice = facts.look.voices.name;
            let tight =
                facts.spines.iter().find(|s| s.fit == NameFit::Tight && s.form == spine.form);
            let tight = *tight.expect("a way");
            let mut before = 0.0;
            for tenths in 0..=80 {
                let more = f64::from(tenths) / 10.0;
                let eased = tight.with_room(facts, more);
                let size = eased.name(&facts.look, voice).size;
                assert!(eased.width <= tight.width + more + 1e-9, "{more}: {eased:?}");
                assert!(size >= before && size <= voice.size + 1e-9, "{more}: {size}");
                before = size;
            }
            assert!((before - voice.size).abs() < 1e-9, "with 8 mm more names have their size");
            let size = spine.name(&facts.look, voice).size;
            // At true size the columns have two thirds of what the widest name lacks.
            assert!(size > 0.93 * voice.size, "{style} {}: {size} of {}", entry.stem(), voice.size);
            met.push(spine.fit);
        }
    }
    assert!(met.contains(&NameFit::Full) && met.contains(&NameFit::Tight), "{met:?}");
}

/// All first names of a page have one size, and it is the one that the plan names.
#[test]
fn names_of_a_page_have_one_size() {
    let editions = open(Path::new("demo/haberdashery/sheet.ron"), None);
    for entry in editions.variants().filter(|e| e.tag == "en-GB") {
        let planned = editions.plan(entry).expect("it fits");
        let facts = &planned.facts;
        let spine: SpineChoice = planned.plan.spine;
        let wanted = spine.name(&facts.look, facts.look.voices.name).size;
        let names: Vec<&str> = facts
            .families
            .iter()
            .flat_map(|f| &f.rows)
            .filter_map(|r| r.lines.first().map(|l| l.name.as_str()))
            .filter(|n| !n.is_empty())
            .collect();
        let sheet = planned.place(&Workshop::boxes(&editions.range));
        let mut found = 0;
        for item in sheet.pages.iter().flat_map(|p| &p.items) {
            // The legend's specimen has a size of its own.
            if item.origin.as_deref() == Some("legend") {
                continue;
            }
            if let ItemKind::Text(text) = &item.kind
                && names.contains(&text.string.as_str())
                && text.face == facts.look.voices.name.face
            {
                assert!(
                    (text.size - wanted).abs() < 1e-6,
                    "{} of {wanted}: {}",
                    text.size,
                    text.string
                );
                found += 1;
            }
        }
        assert!(found >= names.len(), "{found} of {}", names.len());
        assert!(wanted >= facts.look.voices.name.size * LEAST_SHRINK - 1e-9);
    }
}
