//! What holds for a plan of many colours, where the choice is bounded.

use crate::large::{self, Large};
use crate::positions::{self, open};
use shadecard::plan::facts::LARGE;
use shadecard::plan::{Look, Plan};

/// Every row once, its family's rows in order; no column over its room; no
/// page wider than its body.
fn faults(plan: &Plan, families: &[usize], gutter: f64) -> Vec<String> {
    let mut faults = Vec::new();
    let mut next = vec![0; families.len()];
    for (n, page) in plan.pages.iter().enumerate() {
        let width: f64 = page.iter().map(|c| c.width()).sum();
        let width = width + gutter * page.len().saturating_sub(1) as f64;
        if width > plan.body.width + 1e-6 {
            faults.push(format!("page {n} is {width} mm wide"));
        }
        for column in page {
            let mut used = plan.head * column.runs.len().saturating_sub(1) as u32;
            for run in &column.runs {
                let family = &plan.families[run.family];
                if run.from != next[family.index] || run.to <= run.from {
                    faults.push(format!("{run:?} on page {n} after row {}", next[family.index]));
                }
                next[family.index] = run.to;
                used += family.rows[run.from..run.to].iter().sum::<u32>();
            }
            if used != column.used || used > plan.room {
                faults.push(format!("page {n}: {used} quarters, said {}", column.used));
            }
            let height = plan.head_height + f64::from(used) * plan.pitch / 4.0;
            if height > plan.body.height + 1e-6 {
                faults.push(format!("page {n}: a column of {height} mm"));
            }
        }
    }
    if next != families {
        faults.push(format!("rows placed {next:?} of {families:?}"));
    }
    faults
}

#[test]
fn every_colour_of_a_large_sheet_is_placed_once_and_fits() {
    let uneven = Large { families: 7, parts: 30, ..Large::posters(900) };
    let small = Large { page: (297.0, 420.0), pages: 60, ..Large::posters(500) };
    for what in [Large::posters(450), Large::posters(1500), uneven, small] {
        assert!(what.colours >= LARGE);
        let folder = tempfile::tempdir().expect("a folder");
        large::write(folder.path(), &what).expect("written");
        for style in ["plate", "catalogue"] {
            let editions = open(&folder.path().join("sheet.ron"), Some(style));
            let planned = editions
                .plan(editions.variants().next().expect("an edition"))
                .unwrap_or_else(|d| panic!("{d:?}"));
            let rows: Vec<usize> = planned.facts.families.iter().map(|f| f.rows.len()).collect();
            assert_eq!(rows.iter().sum::<usize>(), what.colours);
            let told = faults(&planned.plan, &rows, planned.facts.look.gutter);
            positions::none(&format!("{style} {what:?}"), told);
            let (scale, bound) = (planned.plan.scale, planned.plan.bound.scale);
            assert!(bound >= scale - 1e-9, "{style} {what:?}: {scale} over {bound}");
        }
    }
}

#[test]
fn rows_as_on_a_smaller_page_let_a_page_hold_more() {
    let wall = Large::wall(2000);
    assert_eq!(wall.rows_sized_for, Some("A3"));
    let folder = tempfile::tempdir().expect("a folder");
    large::write(folder.path(), &wall).expect("written");
    let editions = open(&folder.path().join("sheet.ron"), None);
    let planned = editions
        .plan(editions.variants().next().expect("an edition"))
        .unwrap_or_else(|d| panic!("{d:?}"));
    let rows: Vec<usize> = planned.facts.families.iter().map(|f| f.rows.len()).collect();
    let look = &planned.facts.look;
    assert_eq!(faults(&planned.plan, &rows, look.gutter), Vec::<String>::new());
    assert_eq!(planned.plan.pages.len(), 1);
    let page = Look::new(&editions.style, 1200.0, 1800.0, 1.764).expect("a look");
    let rows = Look::new(&editions.style, 297.0, 420.0, 1.764).expect("a look");
    assert_eq!(look.voices.title.size, page.voices.title.size);
    assert_eq!((look.side, look.title_height), (page.side, page.title_height));
    assert_eq!(look.voices.name.size, rows.voices.name.size);
    assert_eq!((look.chip, look.lead), (rows.chip, rows.lead));
    assert!(rows.voices.name.size < page.voices.name.size);

    large::write(folder.path(), &Large { rows_sized_for: None, ..wall }).expect("written");
    let editions = open(&folder.path().join("sheet.ron"), None);
    let Err(told) = editions.plan(editions.variants().next().expect("an edition")) else {
        panic!("it fits")
    };
    let help = told.help.expect("a way out");
    assert!(
        help.contains("on 2 pages") && help.contains("rows_sized_for: Paper(\"A2\")"),
        "{help}"
    );
    // What is offered fits.
    large::write(folder.path(), &Large { rows_sized_for: Some("A2"), ..wall }).expect("written");
    let editions = open(&folder.path().join("sheet.ron"), None);
    assert!(editions.plan(editions.variants().next().expect("an edition")).is_ok());
}
