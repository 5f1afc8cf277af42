//! The bound on the scale, from outside: it starts from nothing that the solver found, so it can fail.

use std::path::Path;

use crate::positions::{open, requested};
use kurbo::Size;
use shadecard::edition::{Edition, Editions};
use shadecard::plan::bounds::bound;
use shadecard::plan::measure::{QUARTERS, SizedMenu, body, size_menu};
use shadecard::plan::menu::page_menus;
use shadecard::plan::{Facts, Layout, Piece};
use shadecard::spelling::Spelling;

/// A part: width and height in mm, right of the spine.
type Part = (f64, f64, bool);

/// A sheet with these parts and as many colours in each family, each made in all parts but every third.
struct Bench {
    editions: Editions,
    spelling: Spelling,
    _folder: tempfile::TempDir,
}

impl Bench {
    fn new(parts: &[Part], families: &[usize], style: &str) -> Bench {
        let folder = tempfile::tempdir().expect("a folder");
        let put = |name: &str, text: &str| {
            std::fs::write(folder.path().join(name), text).expect("written");
        };
        let (mut listed, mut keys) = (String::new(), Vec::new());
        for (n, (w, h, right)) in parts.iter().enumerate() {
            let side = if *right { "right" } else { "left" };
            listed += &format!(
                "(key: \"p{n}\", numbers: {{\"w\": \"{n}\"}}, role: \"r{n}\", side: {side}, shape: \"p{n}.svg\"),"
            );
            keys.push(format!("\"p{n}\""));
            put(
                &format!("p{n}.svg"),
                &format!(
                    "<svg xmlns='http://www.w3.org/2000/svg' width='{w}mm' height='{h}mm' viewBox='0 0 {w} {h}'><rect width='{w}' height='{h}'/></svg>"
                ),
            );
        }
        let (mut titles, mut colours, mut rows) = (String::new(), String::new(), String::new());
        let mut n = 0;
        for (f, count) in families.iter().enumerate() {
            titles += &format!("(key: \"f{f}\", title: \"Family {f}\", note: \"\"),");
            for i in 0..*count {
                colours += &format!(
                    "(key: \"c{n}\", family: \"f{f}\", names: {{\"w\": \"Colour {n}\"}}, numbers: {{\"w\": \"{n}\"}}, value: \"#{:02x}{:02x}80\"),",
                    20 + 9 * (n % 25),
                    240 - 8 * (n % 29)
                );
                let marks: String = (0..parts.len())
                    .map(|p| if (i + p) % 3 == 2 && i % parts.len() != p { '.' } else { 'x' })
                    .collect();
                rows += &format!("\"c{n}\": \"{marks}\",");
                n += 1;
            }
        }
        put("range.ron", &format!(
            "Range(maker: \"M\", release: \"R\", listings: [(key: \"w\")], families: [{titles}], parts: [{listed}],
            colours: [{colours}], made: (parts: [{}], rows: {{{rows}}}))", keys.join(", ")
        ));
        put(
            "sheet.ron",
            "Sheet(range: \"range.ron\", name: \"s\", title: \"T\", editions: [(name: \"e\", layout: \"a4\")])",
        );
        let editions = open(&folder.path().join("sheet.ron"), Some(style));
        let spelling = Spelling::shipped("en-GB").expect("a spelling");
        Bench { editions, spelling, _folder: folder }
    }

    fn entry(&self, layout: &Layout) -> Edition {
        Edition { layout: layout.clone(), ..self.editions.list[0].clone() }
    }

    /// What the solver sees of a layout, and how tall pieces of the furniture are.
    fn seen<T>(
        &self,
        layout: &Layout,
        look: impl FnOnce(&Facts<'_>, &dyn Fn(f64, f64, Piece) -> f64) -> T,
    ) -> T {
        requested(&self.editions, &self.spelling, layout, |request| {
            let facts = request.facts(layout).expect("a page with room");
            look(&facts, &|width, scale, piece| (request.furniture)(&facts, width, scale, piece))
        })
    }

    /// The largest scale on a grid at which some arrangement of the families' rows, furniture left out,
    /// is on the page: every cut of the rows into page columns is tried. Furniture only takes more.
    fn largest(&self, layout: &Layout) -> Option<f64> {
        self.seen(layout, |facts, _| {
            let menus = page_menus(facts);
            let body = body(facts, Size::new(layout.width, layout.height));
            (1..=500).rev().map(|i| f64::from(i) * 0.002).find(|&scale| {
                menus.iter().any(|menu| {
                    let sized = size_menu(facts, menu, body, scale);
                    stands(&sized, body.width, facts.look.gutter)
                })
            })
        })
    }
}

/// Can the rows be cut into page columns side by side? Every way of every family, every cut.
fn stands(menu: &SizedMenu, width: f64, gutter: f64) -> bool {
    let ways: Vec<usize> = menu.families.iter().map(Vec::len).collect();
    let mut chosen = vec![0; ways.len()];
    loop {
        let flow: Vec<(usize, u32)> = menu
            .families
            .iter()
            .enumerate()
            .flat_map(|(f, ways)| ways[chosen[f]].rows.iter().map(move |rows| (f, *rows)))
            .collect();
        if cut(menu, &chosen, &flow, width + gutter, gutter) {
            return true;
        }
        let Some(i) = (0..ways.len()).find(|&i| chosen[i] + 1 < ways[i]) else { return false };
        chosen[i] += 1;
        chosen[..i].fill(0);
    }
}

fn cut(menu: &SizedMenu, chosen: &[usize], flow: &[(usize, u32)], width: f64, gutter: f64) -> bool {
    if flow.is_empty() {
        return true;
    }
    let (mut used, mut last) = (0, None);
    let (mut left, mut centre, mut right) = (0.0f64, 0.0f64, 0.0f64);
    for (i, (family, rows)) in flow.iter().enumerate() {
        let way = &menu.families[*family][chosen[*family]];
        if last.is_some_and(|l| l != *family) {
            used += menu.head;
        }
        last = Some(*family);
        used += rows;
        (left, centre, right) = (left.max(way.left), centre.max(way.centre), right.max(way.right));
        let own = left + centre + right + gutter;
        if used > menu.room || own > width + 1e-6 {
            return false;
        }
        if cut(menu, chosen, &flow[i + 1..], width - own, gutter) {
            return true;
        }
    }
    false
}

fn fit(width: f64, height: f64) -> Layout {
    let text = format!(
        "Layout(title: \"t\", page: Mm({width}, {height}), scale: Fit, least_scale: 0.02,
        minimum: (coverage: 0.3, columns: 1, density: 0.3))"
    );
    Layout::parse(Path::new("layout"), &text).expect("a layout")
}

#[test]
fn no_arrangement_has_a_larger_scale_than_the_bound() {
    let parts: [Part; 4] =
        [(18.0, 18.0, false), (9.0, 14.0, false), (24.0, 7.0, true), (11.0, 11.0, true)];
    let (mut tight, mut cases) = (0, 0);
    for style in ["plate", "catalogue"] {
        for (count, families) in
            [(2, &[7, 5][..]), (3, &[9][..]), (4, &[4, 3, 5][..]), (4, &[12, 2][..])]
        {
            let bench = Bench::new(&parts[..count], families, style);
            for (width, height) in [(140.0, 160.0), (210.0, 150.0), (150.0, 260.0), (300.0, 300.0)]
            {
                let layout = fit(width, height);
                let entry = bench.entry(&layout);
                let Ok(planned) = bench.editions.plan(entry.variants().next().expect("a variant"))
                else {
                    continue;
                };
                let case = format!("{style} {families:?} {count} parts on {width} x {height}");
                let plan = &planned.plan;
                assert!(
                    plan.bound.scale >= plan.scale - 1e-9,
                    "{case}: {:?} {}",
                    plan.bound,
                    plan.scale
                );
                let most = bench.seen(&layout, |facts, _| {
                    let menus = page_menus(facts);
                    let each =
                        menus.iter().map(|m| bound(facts, m, &[Size::new(width, height)]).scale);
                    each.fold(0.0, f64::max)
                });
                let largest = bench.largest(&layout).expect("the plan stands");
                assert!(most >= largest - 1e-3, "{case}: bound {most}, found {largest}");
                assert!(
                    largest >= plan.scale - 0.002,
                    "{case}: plan {}, search {largest}",
                    plan.scale
                );
                cases += 1;
                tight += usize::from(most - largest < 0.02);
            }
        }
    }
    // A bound that says nothing would hold as well.
    assert!(cases > 20 && tight * 2 > cases, "{tight} of {cases}");
}

/// One family of equal rows with one part a side: rows grow until they fill the column, so the largest
/// scale follows from the style's measures alone.
#[test]
fn a_page_whose_best_scale_is_known() {
    let (side, rows) = (16.0, 12usize);
    let bench = Bench::new(&[(side, side, false), (side, side, true)], &[rows], "plate");
    let layout = fit(300.0, 200.0);
    let entry = bench.entry(&layout);
    let planned =
        bench.editions.plan(entry.variants().next().expect("a variant")).expect("it fits");
    let plan = &planned.plan;
    let known = bench.seen(&layout, |facts, tall| {
        let look = &facts.look;
        let body = body(facts, Size::new(300.0, 200.0));
        // The furniture is across the page or in the one column: the less tall counts.
        let of = |scale: f64| {
            let furniture =
                tall(body.width, scale, Piece::Band).min(tall(body.width, scale, Piece::Column));
            let room = body.height - look.head_height - furniture - look.head_pad;
            (room / rows as f64 - look.row_gap) / side
        };
        // The furniture's height changes a little with the scale.
        of(of(0.5))
    });
    assert!(
        plan.pages[0].len() > 1 || (plan.scale - known).abs() < 0.03,
        "{} of {known}",
        plan.scale
    );
    assert!(plan.bound.scale >= known - 0.01, "{:?} under {known}", plan.bound);
    assert_eq!(QUARTERS, 4);
}
