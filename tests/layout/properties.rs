//! What holds for any small range: made-up ranges, written out and read back.

use std::fmt::Write as _;
use std::path::Path;

use crate::positions::*;
use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestCaseError};
use shadecard::diag::Sources;
use shadecard::edition::{Edition, Editions, Filter};
use shadecard::paint;
use shadecard::plan::Layout;
use shadecard::plan::solve::fits_at;
use shadecard::range::load;
use shadecard::sheet::Workshop;
use shadecard::spelling::Spelling;

/// A part: width and height in mm, round or square, right of the spine, its role.
type Part = (f64, f64, bool, bool, u8);

#[derive(Debug, Clone)]
struct Case {
    parts: Vec<Part>,
    /// Colours of each family: value, letters of the name, made parts as bits.
    families: Vec<Vec<(u32, usize, u32)>>,
}

impl Case {
    /// Writes a sheet, its range and its shapes into a folder.
    fn write(&self, folder: &Path) {
        let mut range = String::from(
            "Range(maker: \"M\", release: \"R\", listings: [(key: \"w\")],\nfamilies: [",
        );
        for f in 0..self.families.len() {
            write!(range, "(key: \"f{f}\", title: \"Family {f}\", note: \"note\"),").unwrap();
        }
        range += "],\nparts: [\n";
        for (n, (width, height, round, right, role)) in self.parts.iter().enumerate() {
            let side = if *right { "right" } else { "left" };
            writeln!(
                range,
                "(key: \"p{n}\", numbers: {{\"w\": \"{}\"}}, role: \"r{role}\", side: {side}, shape: \"p{n}.svg\"),",
                100 + n
            )
            .unwrap();
            let body = if *round {
                let (x, y) = (width / 2.0, height / 2.0);
                format!("<ellipse cx='{x}' cy='{y}' rx='{x}' ry='{y}'/>")
            } else {
                format!("<rect width='{width}' height='{height}'/>")
            };
            let svg = format!(
                "<svg xmlns='http://www.w3.org/2000/svg' width='{width}mm' height='{height}mm' viewBox='0 0 {width} {height}'>{body}</svg>"
            );
            std::fs::write(folder.join(format!("p{n}.svg")), svg).unwrap();
        }
        range += "],\ncolours: [\n";
        let mut rows = String::new();
        let mut n = 0;
        for (f, colours) in self.families.iter().enumerate() {
            for (value, letters, made) in colours {
                let name = format!("{}{n}", "Long name of a colour"[..*letters].trim());
                writeln!(
                    range,
                    "(key: \"c{n}\", family: \"f{f}\", names: {{\"w\": \"{name}\"}}, numbers: {{\"w\": \"{n}\"}}, value: \"#{value:06x}\"),"
                )
                .unwrap();
                let marks: String = (0..self.parts.len())
                    .map(
                        |p| if p == n % self.parts.len() || made >> p & 1 == 1 { 'x' } else { '.' },
                    )
                    .collect();
                writeln!(rows, "\"c{n}\": \"{marks}\",").unwrap();
                n += 1;
            }
        }
        let parts: Vec<String> = (0..self.parts.len()).map(|p| format!("\"p{p}\"")).collect();
        write!(range, "],\nmade: (parts: [{}], rows: {{{rows}}}))", parts.join(", ")).unwrap();
        std::fs::write(folder.join("range.ron"), range).unwrap();
        let sheet = "Sheet(range: \"range.ron\", name: \"s\", title: \"T\", notes: [\"Parts are drawn {scale} on this page, which is a note of a few lines.\"], editions: [(name: \"e\", layout: \"a4\")])";
        std::fs::write(folder.join("sheet.ron"), sheet).unwrap();
    }
}

fn cases() -> impl Strategy<Value = Case> {
    let part = (3.0..15.0f64, 3.0..15.0f64, any::<bool>(), any::<bool>(), 0u8..4);
    let part = part.prop_map(|(w, h, round, right, role)| {
        ((w * 10.0).round() / 10.0, (h * 10.0).round() / 10.0, round, right, role)
    });
    let colour = (0u32..0x100_0000, 1usize..20, any::<u32>());
    (
        prop::collection::vec(part, 1..6),
        prop::collection::vec(prop::collection::vec(colour, 1..16), 1..4),
    )
        .prop_map(|(parts, families)| Case { parts, families })
}

fn layout(width: f64, height: f64, coverage: f64, pages: usize) -> Layout {
    let text = format!(
        "Layout(title: \"t\", page: Mm({width:.3}, {height:.3}), scale: Fit, pages: {pages},
        minimum: (coverage: {coverage:.3}, columns: 1, density: 0.3))"
    );
    Layout::parse(Path::new("layout"), &text).expect("a layout")
}

/// What needs editions on a layout: the largest scale, and the plan with its checks.
struct Bench {
    editions: Editions,
    spelling: Spelling,
    workshop: Workshop,
    _folder: tempfile::TempDir,
}

impl Bench {
    fn new(case: &Case, style: &str) -> Bench {
        let folder = tempfile::tempdir().expect("a folder");
        case.write(folder.path());
        let editions = open(&folder.path().join("sheet.ron"), Some(style));
        let workshop = editions.workshop();
        let spelling = Spelling::shipped("en-GB").expect("a spelling");
        Bench { editions, spelling, workshop, _folder: folder }
    }

    fn on(&self, layout: &Layout) -> Edition {
        Edition { layout: layout.clone(), ..self.editions.list[0].clone() }
    }

    fn scale(&self, layout: &Layout) -> Option<f64> {
        self.editions
            .plan(self.on(layout).variants().next().expect("a variant"))
            .ok()
            .map(|p| p.plan.scale)
    }

    /// Does anything fit at this scale?
    fn fits(&self, layout: &Layout, scale: f64) -> bool {
        requested(&self.editions, &self.spelling, layout, |request| {
            let facts = request.facts(layout);
            facts.is_ok_and(|facts| fits_at(&facts, request.furniture, scale))
        })
    }
}

fn style() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["plate", "catalogue"])
}

/// The same cases on every run; `PROPTEST_CASES` and `PROPTEST_RNG_SEED` look further.
fn config(cases: u32) -> ProptestConfig {
    let default = ProptestConfig::default();
    let given = |name: &str| std::env::var_os(name).is_some();
    ProptestConfig {
        cases: if given("PROPTEST_CASES") { default.cases } else { cases },
        rng_seed: if given("PROPTEST_RNG_SEED") { default.rng_seed } else { RngSeed::Fixed(24) },
        failure_persistence: None,
        max_shrink_iters: 400,
        ..default
    }
}

fn empty(faults: Vec<String>) -> Result<(), TestCaseError> {
    prop_assert!(faults.is_empty(), "{}", faults.join("\n"));
    Ok(())
}

proptest! {
    #![proptest_config(config(32))]

    /// The joint choice may stay up to 20 % under the largest scale, so what
    /// never falls is the largest scale, and the choice stays within its reach.
    #[test]
    fn relaxing_a_rule_never_lowers_the_scale(
        case in cases(),
        style in style(),
        width in 120.0..260.0f64,
        height in 150.0..300.0f64,
        coverage in 0.3..1.0f64,
        more in 1.05..1.6f64,
    ) {
        let bench = Bench::new(&case, style);
        let base = layout(width, height, coverage, 1);
        let Some(scale) = bench.scale(&base) else { return Ok(()) };
        prop_assert!(bench.fits(&base, scale));
        for (what, relaxed) in [
            ("a larger page", layout(width * more, height * more, coverage, 1)),
            ("less coverage", layout(width, height, coverage / more, 1)),
            ("more pages", layout(width, height, coverage, 2)),
        ] {
            prop_assert!(bench.fits(&relaxed, scale), "{what}: nothing fits at {scale}");
            let other = bench.scale(&relaxed);
            prop_assert!(
                other.is_some_and(|s| s >= scale * 0.8 - 0.002),
                "{what}: {other:?} after {scale}"
            );
        }
    }

    #[test]
    fn plans_keep_what_they_promise(
        case in cases(),
        style in style(),
        width in 120.0..300.0f64,
        height in 150.0..400.0f64,
        coverage in 0.3..1.0f64,
        pages in 1usize..4,
    ) {
        keeps_its_promises(&case, style, &layout(width, height, coverage, pages), coverage)?;
    }
}

fn keeps_its_promises(
    case: &Case,
    style: &str,
    layout: &Layout,
    coverage: f64,
) -> Result<(), TestCaseError> {
    let bench = Bench::new(case, style);
    let entry = bench.on(layout);
    let Ok(planned) = bench.editions.plan(entry.variants().next().expect("a variant")) else {
        return Ok(());
    };
    let plan = &planned.plan;
    prop_assert!(plan.bound.scale >= plan.scale - 1e-9, "{:?} {}", plan.bound, plan.scale);
    prop_assert!(plan.coverage >= coverage - 1e-3, "{} of {coverage}", plan.coverage);
    prop_assert!(plan.pages.len() <= layout.pages);
    let sheet = planned.place(&bench.workshop);
    prop_assert_eq!(sheet.pages.len(), plan.pages.len());
    empty(colours_once_in_order(&bench.editions, &planned, &sheet))?;
    empty(samples_apart(&sheet))?;
    empty(inside_the_page(&sheet))?;
    empty(exact_colours(&bench.editions, &sheet))
}

/// Parts and families without names of their own: what matters is who is made.
fn plain_case(parts: &[(f64, f64, bool)], families: &[&[(usize, u32)]]) -> Case {
    Case {
        parts: parts.iter().map(|&(w, h, right)| (w, h, false, right, 0)).collect(),
        families: families
            .iter()
            .map(|f| f.iter().map(|&(letters, made)| (0, letters, made)).collect())
            .collect(),
    }
}

/// White above inner headings once pushed rows into a legend across the page.
#[test]
fn openings_stay_above_a_band() {
    let case = plain_case(
        &[(12.0, 11.9, false), (3.0, 3.0, true), (3.0, 3.0, true)],
        &[&[(1, 0)], &[(1, 0), (1, 0), (1, 0), (1, 0), (1, 6), (1, 0)]],
    );
    let layout = layout(247.152, 183.614, 0.3, 1);
    keeps_its_promises(&case, "catalogue", &layout, 0.3).unwrap();
}

/// A legend in a column narrower than its neighbours once was taller than the room kept for it.
#[test]
fn a_legend_in_a_narrow_column_has_room() {
    let rows = [(1, 0), (1, 0), (1, 0), (1, 0), (1, 0), (1, 0), (1, 0), (1, 0), (1, 0), (1, 0)];
    let first = [&rows[..], &[(1, 1_579_357_473), (1, 442_830_957)]].concat();
    let last = [(1, 0), (17, 0), (1, 0), (1, 0), (1, 0), (1, 0), (1, 2_504_961_558)];
    let case = plain_case(
        &[(12.8, 13.9, true), (12.3, 10.0, false), (3.0, 3.0, true), (10.3, 3.0, true)],
        &[&first, &[(1, 0), (1, 0)], &last],
    );
    keeps_its_promises(&case, "plate", &layout(120.0, 150.0, 0.3, 1), 0.3).unwrap();
}

/// A field with something odd in it.
fn odd() -> impl Strategy<Value = String> {
    prop::sample::select(vec![
        "",
        " ",
        "a",
        "\u{301}",
        "{colours}",
        "{nothing}",
        "Ünï",
        "日本",
        "{",
        "Hottentot-fig-of-the-far-far-away-shore",
        "one two three four five six seven eight nine ten eleven twelve",
    ])
    .prop_map(str::to_owned)
}

fn odd_layouts() -> impl Strategy<Value = String> {
    let scale = prop::sample::select(vec!["Fit", "True", "Ratio(0.05)", "Ratio(2)", "Ratio(0.4)"]);
    (
        scale, 40.0..700.0f64, 40.0..700.0f64, any::<bool>(), 0.9..4.0f64, 0.0..1.01f64,
        (0usize..5, 0usize..12, 0usize..14), prop::option::of(0.0..60.0f64),
    )
        .prop_map(|(scale, w, h, free, floor, share, (pages, columns, across), margin)| {
            let turn = if free { "Free" } else { "Fixed" };
            let margins = margin.map_or(String::new(), |m| format!("margins: Some(({m}, {m}, {m})),"));
            format!(
                "Layout(title: \"t\", page: Mm({w}, {h}), orientation: {turn}, scale: {scale}, type_floor: {floor},
                pages: {pages}, page_columns: {across}, bleed: 3, {margins}
                minimum: (coverage: {share}, columns: {columns}, density: {share}))"
            )
        })
}

proptest! {
    #![proptest_config(config(40))]

    /// Either a plan that can be drawn, or messages.
    #[test]
    fn odd_sheets_do_not_panic(
        case in cases(),
        words in prop::collection::vec(odd(), 6),
        layout in odd_layouts(),
        grow in prop::sample::select(vec![0.1, 1.0, 1.0, 12.0]),
        columns in prop::sample::select(vec![
            "Loose", "Choose(from: [])", "Choose(from: [\"p0\"])", "Given(left: [\"p0\"])", "Given(right: [\"p0\"])",
            "Given(left: [\"p0\", \"p0\"])", "Given()",
        ]),
        style in style(),
    ) {
        let folder = tempfile::tempdir().expect("a folder");
        let mut case = case;
        case.parts.iter_mut().for_each(|p| (p.0, p.1) = (p.0 * grow, p.1 * grow));
        case.write(folder.path());
        let w: Vec<String> = words.iter().map(|w| format!("{w:?}")).collect();
        let sheet = format!(
            "Sheet(range: \"range.ron\", name: \"s\", title: {}, subtitle: {}, corner_text: {}, edition_line: {}, notes: [{}],
            imprint: [{}], style: \"{style}\", families: [(family: \"f0\", columns: {columns})],
            editions: [(name: \"e\", layout: \"page.ron\")])",
            w[0], w[1], w[2], w[3], w[4], w[5],
        );
        std::fs::write(folder.path().join("sheet.ron"), sheet).unwrap();
        std::fs::write(folder.path().join("page.ron"), layout).unwrap();
        let mut sources = Sources::default();
        let Ok(loaded) = load(&folder.path().join("sheet.ron"), &mut sources) else { return Ok(()) };
        let Ok(editions) = Editions::resolve(loaded, &Filter::default(), &mut sources) else { return Ok(()) };
        let _ = editions.missing_characters();
        for entry in editions.variants() {
            match editions.plan(entry) {
                Ok(planned) => {
                    let sheet = planned.place(&editions.workshop());
                    prop_assert!(!paint::svg(sheet.coloured(&sheet.palette.published()), 0).is_empty());
                }
                Err(d) => prop_assert!(!d.message.is_empty() && d.help.is_some()),
            }
        }
    }

    #[test]
    fn odd_layout_texts_do_not_panic(text in "(Layout\\()?[ -~]{0,60}\\)?") {
        if let Err(faults) = Layout::parse(Path::new("layout"), &text) {
            prop_assert!(!faults.is_empty());
        }
    }
}
