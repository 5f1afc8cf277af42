//! Layouts: how pages are set, from `layouts/` or from a user's own file.

use std::path::Path;

use serde::Deserialize;

use super::papers::{self, paper};
use super::style::unknown;
use crate::diag::{Diagnostic, Findings};
use crate::read::ron::{Document, Source, Spanned, decode};
use crate::units::{Dpi, MM_PER_INCH, pt_to_mm};

/// A page size as a layout says it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(expecting = "a page size; write Paper(\"A4\"), or Mm(210, 297), or Inch(8.5, 11)")]
enum PageSize {
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
#[derive(Debug, Clone, Copy, PartialEq)]
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

/// A minimum as a layout says it.
#[derive(Debug, Deserialize)]
#[serde(rename = "Minimum")]
struct MinimumFile {
    coverage: Spanned<Option<f64>>,
    columns: Option<usize>,
    density: Spanned<Option<f64>>,
}

/// A layout as its file says it.
#[derive(Debug, Deserialize)]
#[serde(rename = "Layout")]
struct RawLayout {
    title: String,
    page: Spanned<PageSize>,
    pixels: Spanned<Option<(u32, u32)>>,
    orientation: Option<Orientation>,
    bleed: Spanned<Option<f64>>,
    scale: Spanned<ScaleRule>,
    least_scale: Spanned<Option<f64>>,
    margins: Spanned<Option<(f64, f64, f64)>>,
    type_floor: Spanned<Option<f64>>,
    rows_sized_for: Spanned<Option<PageSize>>,
    minimum: Option<MinimumFile>,
    pages: Spanned<Option<usize>>,
    page_columns: Spanned<Option<usize>>,
}

/// Most pages of an edition.
pub const MOST_PAGES: usize = 1000;
/// Columns of a page.
const MOST_PAGE_COLUMNS: usize = 12;
/// Margins leave at least so much of a page, mm.
pub const LEAST_BODY: f64 = 30.0;

/// Sides of a page, mm.
const SIDES: (f64, f64) = (50.0, 3000.0);

/// A checked layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// What people call it.
    pub title: String,
    /// Trimmed page, mm, as given (before any turn).
    pub width: f64,
    pub height: f64,
    /// The pixels of its pictures, bleed included, exactly; as many as the page has at the resolution asked for
    /// where they are not named.
    pub pixels: Option<(u32, u32)>,
    pub orientation: Orientation,
    /// How far colour runs over the trim, mm.
    pub bleed: f64,
    pub scale: ScaleRule,
    /// Least scale that is still worth printing.
    pub least_scale: f64,
    /// Margins in mm: side, top, bottom; the style's where not given.
    pub margins: Option<(f64, f64, f64)>,
    /// Least type size, mm; 5 pt where not given.
    pub type_floor: f64,
    /// The page that names, numbers, swatches and headings are as large as on, mm, where it is another.
    pub rows_sized_for: Option<(f64, f64)>,
    pub minimum: Minimum,
    /// How many pages an edition may take.
    pub pages: usize,
    /// Most page columns side by side.
    pub page_columns: usize,
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
    pub fn parse(file: &Path, text: &str) -> Result<Layout, Findings> {
        let mut findings = Findings::default();
        let Some(Document { value, source }) = decode(file, text, "Layout", &mut findings) else {
            return Err(findings);
        };
        let layout = Check { source: &source, findings: &mut findings }.layout(value);
        match layout {
            Some(layout) if !findings.failed() => Ok(layout),
            _ => Err(findings),
        }
    }

    /// A shipped layout.
    ///
    /// # Errors
    /// There is no such layout; the nearest one is offered.
    pub fn shipped(name: &str) -> Result<Layout, Findings> {
        let names: Vec<&str> = SHIPPED_LAYOUTS.iter().map(|(n, _)| *n).collect();
        match SHIPPED_LAYOUTS.iter().find(|(n, _)| *n == name) {
            Some((_, text)) => Layout::parse(Path::new(name), text),
            None => Err(unknown("unknown-layout", "layout", name, &names).into()),
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

/// What is wrong with a layout, each at its field.
struct Check<'a> {
    source: &'a Source,
    findings: &'a mut Findings,
}

impl Check<'_> {
    fn fault<T>(&mut self, at: &Spanned<T>, message: String, help: &str) {
        let fault = Diagnostic::error("bad-layout", message).at(self.source.of(at));
        self.findings.push(fault.help(help));
    }

    /// A checked number; the usual one where none is given, or another than can be.
    fn number(
        &mut self,
        given: &Spanned<Option<f64>>,
        usual: f64,
        (least, most): (f64, f64),
        (what, help): (&str, &str),
    ) -> f64 {
        match given.value {
            Some(v) if !(least..=most).contains(&v) => {
                self.fault(given, format!("{what}, not {v}"), help);
                usual
            }
            v => v.unwrap_or(usual),
        }
    }

    fn count(
        &mut self,
        given: &Spanned<Option<usize>>,
        usual: usize,
        (field, most): (&str, usize),
        help: &str,
    ) -> usize {
        let count = given.value.unwrap_or(usual);
        if count == 0 || count > most {
            self.fault(given, format!("'{field}' must be from 1 to {most}, not {count}"), help);
        }
        count
    }

    /// A page's size, mm.
    fn size<T>(&mut self, at: &Spanned<T>, page: &PageSize) -> Option<(f64, f64)> {
        match page {
            PageSize::Mm(w, h) => Some((*w, *h)),
            PageSize::Inch(w, h) => Some((w * MM_PER_INCH, h * MM_PER_INCH)),
            PageSize::Paper(name) => {
                let found = paper(name).map(|p| (p.width, p.height));
                if found.is_none() {
                    self.fault(at, format!("there is no paper '{name}'"), &papers::meant(name));
                }
                found
            }
        }
    }

    fn page(&mut self, given: &Spanned<PageSize>) -> Option<(f64, f64)> {
        let (least, most) = SIDES;
        let (width, height) = self.size(given, given)?;
        if !(width.is_finite() && height.is_finite() && width >= least && height >= least) {
            let message =
                format!("each side of the page must be at least 50 mm, not {width} x {height} mm");
            self.fault(given, message, "use a page of at least 50 x 50 mm");
        } else if width > most || height > most {
            let message =
                format!("each side of the page must be at most 3000 mm, not {width} x {height} mm");
            self.fault(given, message, "use a page of at most 3000 x 3000 mm");
        }
        Some((width, height))
    }

    fn rows_sized_for(&mut self, given: &Spanned<Option<PageSize>>) -> Option<(f64, f64)> {
        let (least, most) = SIDES;
        let (w, h) = self.size(given, given.value.as_ref()?)?;
        if !((least..=most).contains(&w) && (least..=most).contains(&h)) {
            let message = format!(
                "each side of the page of 'rows_sized_for' must be from 50 to 3000 mm, not {w} x {h} mm"
            );
            self.fault(
                given,
                message,
                "name a page size, for example rows_sized_for: Paper(\"A3\")",
            );
        }
        Some((w, h))
    }

    fn minimum(&mut self, given: Option<&MinimumFile>) -> Minimum {
        let usual = Minimum::default();
        let Some(given) = given else { return usual };
        let mut share = |given: &Spanned<Option<f64>>, usual: f64, name: &str| {
            let what = format!("'{name}' of the minimum must be from 0 to 1");
            self.number(given, usual, (0.0, 1.0), (&what, "write 0.85 for 85 %"))
        };
        Minimum {
            coverage: share(&given.coverage, usual.coverage, "coverage"),
            columns: given.columns.unwrap_or(usual.columns),
            density: share(&given.density, usual.density, "density"),
        }
    }

    /// What depends on the size of the page.
    fn on_page(&mut self, raw: &RawLayout, (width, height): (f64, f64), bleed: f64) {
        if let Some(pixels) = raw.pixels.value
            && let Some((message, help)) = other_shape((width, height), bleed, pixels)
        {
            self.fault(&raw.pixels, message, &help);
        }
        if let Some((side, top, bottom)) = raw.margins.value {
            let fits = side >= 0.0 && top >= 0.0 && bottom >= 0.0;
            if !fits || side * 2.0 + LEAST_BODY > width || top + bottom + LEAST_BODY > height {
                let message = format!(
                    "the margins ({side}, {top}, {bottom} mm) leave no room on a page of {width} x {height} mm"
                );
                let help = "use smaller margins or a larger page";
                self.fault(&raw.margins, message, help);
            }
        }
    }

    fn layout(&mut self, raw: RawLayout) -> Option<Layout> {
        // Of a page that is written wrongly nothing is known.
        let is_known = self.source.root().has("page");
        let page = if is_known { self.page(&raw.page) } else { None };
        let rows_sized_for = self.rows_sized_for(&raw.rows_sized_for);
        let words = ("'bleed' must be from 0 to 20 mm", "3 mm is usual");
        let bleed = self.number(&raw.bleed, 0.0, (0.0, 20.0), words);
        if let ScaleRule::Ratio(r) = raw.scale.value
            && self.source.root().has("scale")
            && !(0.05..=2.0).contains(&r)
        {
            let message = format!("the ratio of 'scale' must be from 0.05 to 2, not {r}");
            self.fault(&raw.scale, message, "write Ratio(0.5) for parts at half their size");
        }
        let words =
            ("'least_scale' must be from 0.02 to 1", "write 0.2 for a fifth of the true size");
        let least_scale = self.number(&raw.least_scale, 0.15, (0.02, 1.0), words);
        let words = ("'type_floor' must be from 1 to 10 mm", "1.764 mm is 5 pt");
        let type_floor = self.number(&raw.type_floor, pt_to_mm(5.0), (1.0, 10.0), words);
        let minimum = self.minimum(raw.minimum.as_ref());
        let help = "write the largest number of pages to use";
        let pages = self.count(&raw.pages, 1, ("pages", MOST_PAGES), help);
        let help = "remove it for the default, 6";
        let most = ("page_columns", MOST_PAGE_COLUMNS);
        let page_columns = self.count(&raw.page_columns, 6, most, help);
        let (width, height) = page?;
        self.on_page(&raw, (width, height), bleed);
        Some(Layout {
            title: raw.title,
            width,
            height,
            pixels: raw.pixels.value,
            orientation: raw.orientation.unwrap_or_default(),
            bleed,
            scale: raw.scale.value,
            least_scale,
            margins: raw.margins.value,
            type_floor,
            rows_sized_for,
            minimum,
            pages,
            page_columns,
        })
    }
}
