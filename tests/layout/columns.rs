//! Where the columns of a page end, and what is between their blocks.

use std::path::Path;

use crate::positions::{colours_once_in_order, none, open, samples_apart, texts_clear};
use shadecard::sheet::Workshop;

/// White that is to spare goes to loose rows before it goes above headings.
#[test]
fn columns_of_the_demo_end_on_one_line() {
    for style in ["plate", "catalogue"] {
        let editions = open(Path::new("demo/haberdashery/sheet.ron"), Some(style));
        let workshop = Workshop::boxes(&editions.range);
        for entry in editions.variants().filter(|e| e.tag == "en-GB") {
            let name = format!("{style} {}", entry.stem());
            let planned = editions.plan(entry).expect("it fits");
            let found = planned.report().composition;
            // Less than half a row: rows end on the lattice, the legend where it ends.
            let most = planned.plan.pitch / 2.0 + planned.facts.look.head_pad;
            assert!(found.feet_mm <= most, "{name}: feet {} mm, {most} at most", found.feet_mm);
            // At most two rows of white are added above a heading.
            let most = found.usual_gap_mm + 2.0 * planned.plan.pitch + 0.1;
            assert!(found.largest_gap_mm <= most, "{name}: {found:?}");
            let sheet = planned.place(&workshop);
            none(&name, colours_once_in_order(&editions, &planned, &sheet));
            none(&name, samples_apart(&sheet));
            none(&name, texts_clear(&sheet));
        }
    }
}
