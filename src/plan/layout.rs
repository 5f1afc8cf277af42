//! Layouts: page label sheets from `layouts/` or from a user's own file.

use serde::Deserialize;

use super::papers::{PAPERS, paper};
use super::style::unknown;
use crate::diag::Diagnostic;
use crate::units::{Dpi, MM_PER_INCH};

/// A page size as a layout says it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub enum PageSize {
    /// A standard sheet: `Paper("A4")`.
    Paper(String),
    /// Width and height in mm.
    Mm(f64, f64),
    /// Width and height in inches.
    Inch(f64, f64),
}

/// May the page be turned?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
pub enum Orientation {
    #[default]
    Fixed,
    /// The solver may turn it where that is better.
    Free,
}

/// How large parts are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub enum ScaleRule {
    /// Exactly at true size.
    True,
    /// As large as fits, at most at true size.
    Fit,
    /// Exactly at this ratio.
    Ratio(f64),
}

/// What must be on the page before scale counts.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Minimum {
    /// Least share of the made cells that is shown, 0 to 1.
    pub coverage: f64,
    /// Least columns left and right of the spine in a family with columns.
    pub columns: usize,
    /// A family filled less than this goes to loose rows.
    pub density: f64,
}

impl Default for Minimum {
    fn default() -> Minimum {
        Minimum { coverage: 0.85, columns: 2, density: 0.55 }
    }
}

/// A layout as its file says it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
#[serde(rename = "Layout")]
pub struct LayoutFile {
    /// What people call it.
    pub title: String,
    pub page: PageSize,
    /// The pixels of its pictures, exactly, bleed included; as many as the page has at the
    /// resolution asked for where not given.
    #[serde(default)]
    pub pixels: Option<(u32, u32)>,
    #[serde(default)]
    pub orientation: Orientation,
    /// How far colour runs over the trim, mm.
    #[serde(default)]
    pub bleed: f64,
    pub scale: ScaleRule,
    /// Least scale that is still worth printing.
    #[serde(default = "least_scale")]
    pub least_scale: f64,
    /// Margins in mm: side, top, bottom; the style's where not given.
    #[serde(default)]
    pub margins: Option<(f64, f64, f64)>,
    /// Least type size, mm; 5 pt where not given.
    #[serde(default = "type_floor")]
    pub type_floor: f64,
    /// Names, numbers, swatches and headings as large as on this page; as on
    /// the page itself where not given.
    #[serde(default)]
    pub rows_sized_for: Option<PageSize>,
    #[serde(default)]
    pub minimum: Minimum,
    /// How many pages an edition may take.
    #[serde(default = "one")]
    pub pages: usize,
    /// Most page columns side by side.
    #[serde(default = "most_columns")]
    pub page_columns: usize,
}

/// Most pages of an edition.
pub const MOST_PAGES: usize = 1000;
/// Columns of a page.
const MOST_PAGE_COLUMNS: usize = 12;
/// Margins leave at least so much of a page, mm.
pub const LEAST_BODY: f64 = 30.0;

fn least_scale() -> f64 {
    0.15
}
fn type_floor() -> f64 {
    crate::units::pt_to_mm(5.0)
}
fn one() -> usize {
    1
}
fn most_columns() -> usize {
    6
}

/// A checked layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    pub title: String,
    /// Trimmed page, mm, as given (before any turn).
    pub width: f64,
    pub height: f64,
    /// The pixels of its pictures, bleed included, where they are named.
    pub pixels: Option<(u32, u32)>,
    pub orientation: Orientation,
    pub bleed: f64,
    pub scale: ScaleRule,
    pub least_scale: f64,
    pub margins: Option<(f64, f64, f64)>,
    pub type_floor: f64,
    /// The page that rows are as large as on, mm, where it is another.
    pub rows_sized_for: Option<(f64, f64)>,
    pub minimum: Minimum,
    pub pages: usize,
    pub page_columns: usize,
}

/// What is wrong with a field of a layout.
#[derive(Debug, Clone)]
pub struct FieldFault {
    pub field: &'static str,
    pub what: Diagnostic,
}

macro_rules! shipped {
    ($($name:literal),*) => {
        [$(($name, include_str!(concat!("../../layouts/", $name, ".ron")))),*]
    };
}

/// Names and texts of the shipped layouts.
pub const SHIPPED_LAYOUTS: [(&str, &str); 11] = shipped!(
    "poster-610x914",
    "poster-457x610",
    "poster-305x406",
    "poster-24x36in",
    "poster-18x24in",
    "poster-12x16in",
    "letter",
    "a4",
    "a3",
    "letter-pages",
    "a4-pages"
);

impl Layout {
    /// Reads and checks a layout from its text.
    ///
    /// # Errors
    /// All that is wrong with it.
    pub fn parse(text: &str) -> Result<Layout, Vec<Diagnostic>> {
        let raw: LayoutFile = super::style::reader().from_str(text).map_err(|e| {
            vec![
                Diagnostic::error("bad-layout", format!("this layout cannot be read: {}", e.code))
                    .help(format!("see line {}, column {}", e.span.start.line, e.span.start.col)),
            ]
        })?;
        Layout::of(raw).map_err(|faults| faults.into_iter().map(|f| f.what).collect())
    }

    /// Checks the values of a layout.
    ///
    /// # Errors
    /// Everything that is wrong with them.
    pub fn of(raw: LayoutFile) -> Result<Layout, Vec<FieldFault>> {
        check(raw)
    }

    /// A shipped layout.
    ///
    /// # Errors
    /// There is no such layout; the nearest one is offered.
    pub fn shipped(name: &str) -> Result<Layout, Vec<Diagnostic>> {
        let names: Vec<&str> = SHIPPED_LAYOUTS.iter().map(|(n, _)| *n).collect();
        match SHIPPED_LAYOUTS.iter().find(|(n, _)| *n == name) {
            Some((_, text)) => Layout::parse(text),
            None => Err(vec![unknown("layout", name, &names)]),
        }
    }

    /// The page that rows are as large as on: width and height, mm.
    pub fn rows_page(&self) -> (f64, f64) {
        self.rows_sized_for.unwrap_or((self.width, self.height))
    }

    /// The same layout on another page.
    pub fn on(&self, width: f64, height: f64) -> Layout {
        Layout { width, height, pixels: None, ..self.clone() }
    }
}

/// A page's size, mm; A4 where the paper is unknown, which is told.
fn resolved(
    field: &'static str,
    page: &PageSize,
    fault: &mut impl FnMut(&'static str, String, &str),
) -> (f64, f64) {
    match page {
        PageSize::Mm(w, h) => (*w, *h),
        PageSize::Inch(w, h) => (w * MM_PER_INCH, h * MM_PER_INCH),
        PageSize::Paper(name) => match paper(name) {
            Some(p) => (p.width, p.height),
            None => {
                let names: Vec<&str> = PAPERS.iter().map(|p| p.name).collect();
                let d = unknown("paper", name, &names);
                fault(field, d.message, &d.help.unwrap_or_default());
                (210.0, 297.0)
            }
        },
    }
}

/// Why pixels are no picture of a page with its bleed, mm; nothing where they are.
fn other_shape(
    page: (f64, f64),
    bleed: f64,
    (width, height): (u32, u32),
) -> Option<(String, String)> {
    let size = (page.0 + 2.0 * bleed, page.1 + 2.0 * bleed);
    let is_page = size.0.is_finite() && size.1.is_finite() && size.0 > 0.0 && size.1 > 0.0;
    if !is_page || Dpi::of(size, (width, height)).is_some() {
        return None;
    }
    let with = if bleed > 0.0 { format!(" with {bleed} mm of bleed") } else { String::new() };
    let page = format!("{} x {} mm{with}", rounded(page.0), rounded(page.1));
    let as_high = (f64::from(width) * size.1 / size.0).round() as u32;
    let (message, right) = match Dpi::of(size, (width, as_high)) {
        Some(_) => (
            format!(
                "pixels: ({width}, {height}) do not have the proportions of the page of {page}"
            ),
            (width, as_high),
        ),
        None => (
            format!("pixels: ({width}, {height}) on a page of {page} must be from 10 to 1200 dpi"),
            (Dpi::PRINT.pixels(size.0), Dpi::PRINT.pixels(size.1)),
        ),
    };
    Some((message, format!("write pixels: ({}, {}), or change the page", right.0, right.1)))
}

/// A length as people write it.
fn rounded(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

fn check(raw: LayoutFile) -> Result<Layout, Vec<FieldFault>> {
    let mut faults = Vec::new();
    let mut fault = |field: &'static str, message: String, help: &str| {
        faults
            .push(FieldFault { field, what: Diagnostic::error("bad-layout", message).help(help) });
    };
    let (width, height) = resolved("page", &raw.page, &mut fault);
    if !(width.is_finite() && height.is_finite() && width >= 50.0 && height >= 50.0) {
        let message =
            format!("each side of the page must be at least 50 mm, not {width} x {height} mm");
        fault("page", message, "use a page of at least 50 x 50 mm");
    } else if width > 3000.0 || height > 3000.0 {
        let message =
            format!("each side of the page must be at most 3000 mm, not {width} x {height} mm");
        fault("page", message, "use a page of at most 3000 x 3000 mm");
    }
    let rows_sized_for =
        raw.rows_sized_for.as_ref().map(|page| resolved("rows_sized_for", page, &mut fault));
    if let Some((w, h)) = rows_sized_for
        && !((50.0..=3000.0).contains(&w) && (50.0..=3000.0).contains(&h))
    {
        fault(
            "rows_sized_for",
            format!(
                "each side of the page of 'rows_sized_for' must be from 50 to 3000 mm, not {w} x {h} mm"
            ),
            "name a page size, for example rows_sized_for: Paper(\"A3\")",
        );
    }
    if !(0.0..=20.0).contains(&raw.bleed) {
        let message = format!("'bleed' must be from 0 to 20 mm, not {}", raw.bleed);
        fault("bleed", message, "3 mm is usual");
    }
    if let Some(pixels) = raw.pixels
        && let Some((message, help)) = other_shape((width, height), raw.bleed, pixels)
    {
        fault("pixels", message, &help);
    }
    if let ScaleRule::Ratio(r) = raw.scale
        && !(0.05..=2.0).contains(&r)
    {
        let message = format!("the ratio of 'scale' must be from 0.05 to 2, not {r}");
        fault("scale", message, "write Ratio(0.5) for parts at half their size");
    }
    if !(0.02..=1.0).contains(&raw.least_scale) {
        let message = format!("'least_scale' must be from 0.02 to 1, not {}", raw.least_scale);
        fault("least_scale", message, "write 0.2 for a fifth of the true size");
    }
    if !(1.0..=10.0).contains(&raw.type_floor) {
        let message = format!("'type_floor' must be from 1 to 10 mm, not {}", raw.type_floor);
        fault("type_floor", message, "1.764 mm is 5 pt");
    }
    if let Some((side, top, bottom)) = raw.margins {
        let fits = side >= 0.0 && top >= 0.0 && bottom >= 0.0;
        if !fits || side * 2.0 + LEAST_BODY > width || top + bottom + LEAST_BODY > height {
            let message = format!(
                "the margins ({side}, {top}, {bottom} mm) leave no room on a page of {width} x {height} mm"
            );
            fault("margins", message, "use smaller margins or a larger page");
        }
    }
    let shares = [("coverage", raw.minimum.coverage), ("density", raw.minimum.density)];
    for (name, share) in shares.into_iter().filter(|(_, s)| !(0.0..=1.0).contains(s)) {
        let message = format!("'{name}' of the minimum must be from 0 to 1, not {share}");
        fault("minimum", message, "write 0.85 for 85 %");
    }
    if raw.pages == 0 || raw.pages > MOST_PAGES {
        let message = format!("'pages' must be from 1 to {MOST_PAGES}, not {}", raw.pages);
        fault("pages", message, "write the largest number of pages to use");
    }
    if raw.page_columns == 0 || raw.page_columns > MOST_PAGE_COLUMNS {
        let message = format!(
            "'page_columns' must be from 1 to {MOST_PAGE_COLUMNS}, not {}",
            raw.page_columns
        );
        fault("page_columns", message, "remove it for the default, 6");
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(Layout {
        title: raw.title,
        width,
        height,
        pixels: raw.pixels,
        orientation: raw.orientation,
        bleed: raw.bleed,
        scale: raw.scale,
        least_scale: raw.least_scale,
        margins: raw.margins,
        type_floor: raw.type_floor,
        rows_sized_for,
        minimum: raw.minimum,
        pages: raw.pages,
        page_columns: raw.page_columns,
    })
}
