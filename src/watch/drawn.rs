//! Pages of a sheet as they are asked for, each drawn once.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use super::answer::Answer;
use super::paper;
use super::pieces::{self, Piece, Shelf, pieces};
use super::places::{self, Keys};
use super::view::{Release, View};
use crate::diag::Sources;
use crate::edition::{Editions, Filter, Planned};
use crate::paint::svg::svg;
use crate::plan::style::SHIPPED_STYLES;
use crate::press::{self, ColourMode, Print};
use crate::proof;
use crate::range::Loaded;
use crate::session::Session;
use crate::sheet::{PaletteMap, Rgb, Sheet, Workshop};

/// One page, and what is made of it when it is asked for.
pub struct Drawn {
    sheet: Sheet,
    colours: PaletteMap<Rgb>,
    page: usize,
    range: Arc<Editions>,
    shelf: Shelf,
    svg: OnceLock<Answer>,
    places: OnceLock<Answer>,
    pieces: OnceLock<Vec<Piece>>,
}

impl Drawn {
    /// The whole page.
    pub fn svg(&self) -> Answer {
        let draw = || {
            let bytes = svg(self.sheet.coloured(&self.colours), self.page);
            Answer::new("image/svg+xml", bytes).lasting()
        };
        self.svg.get_or_init(draw).clone()
    }

    /// Where everything is on it.
    pub fn places(&self) -> Answer {
        let find = || {
            let keys = Keys::new(&self.range.range);
            Answer::json(&places::json(&keys.places(&self.sheet, self.page))).lasting()
        };
        self.places.get_or_init(find).clone()
    }

    /// The list of its pieces, each drawn.
    pub fn pieces(&self) -> Answer {
        Answer::json(&pieces::json(self.all(), &self.sheet)).lasting()
    }

    /// One of them, by its name.
    pub fn piece(&self, id: &str) -> Answer {
        let found = self.all().iter().find(|piece| piece.id == id);
        let nothing = || Answer::missing(404, "there is no such piece");
        found.map_or_else(nothing, |piece| piece.svg.clone())
    }

    fn all(&self) -> &[Piece] {
        self.pieces.get_or_init(|| {
            let keys = Keys::new(&self.range.range);
            pieces(self.sheet.coloured(&self.colours), self.page, &keys, &self.shelf)
        })
    }
}

/// So many pages are kept.
const MOST: usize = 12;

type Slot = Arc<OnceLock<Result<Arc<Drawn>, Answer>>>;

/// A sheet in one style, or of the release before, ready to be planned.
struct Styled {
    editions: Arc<Editions>,
    workshop: Workshop,
}

/// By release and style, what there is or why there is none.
type Others = BTreeMap<(Release, String), Result<Arc<Styled>, Answer>>;

/// What a sheet is drawn from.
pub struct Material {
    pub editions: Arc<Editions>,
    pub workshop: Workshop,
    /// The name of the style it is planned in.
    pub style: String,
    pub loaded: Loaded,
    pub before: Option<Arc<Loaded>>,
    pub session: Session,
    pub shelf: Shelf,
}

/// A sheet that can be drawn, and what was drawn of it.
pub struct Drawings {
    pub of: Material,
    others: Mutex<Others>,
    drawn: Mutex<HashMap<View, Slot>>,
}

impl Drawings {
    /// Nothing is drawn yet.
    pub fn new(of: Material) -> Drawings {
        Drawings { of, others: Mutex::default(), drawn: Mutex::default() }
    }

    /// A page, drawn now if it has not been.
    ///
    /// # Errors
    /// What is sent in its place.
    pub fn page(&self, view: &View) -> Result<Arc<Drawn>, Answer> {
        self.slot(view).get_or_init(|| self.draw(view)).clone()
    }

    /// The page of a variant that is planned already, in the style of the sheet.
    pub fn begin(&self, view: &View, planned: &Planned<'_>) {
        let drawn = self.slot(view);
        let drawn = drawn.get_or_init(|| {
            self.painted(view, &self.of.editions, planned.place(&self.of.workshop))
        });
        if let Ok(drawn) = drawn {
            drawn.all();
        }
    }

    fn slot(&self, view: &View) -> Slot {
        let mut drawn = lock(&self.drawn);
        if drawn.len() >= MOST && !drawn.contains_key(view) {
            drawn.clear();
        }
        Arc::clone(drawn.entry(view.clone()).or_default())
    }

    fn draw(&self, view: &View) -> Result<Arc<Drawn>, Answer> {
        if view.release == Release::Now && view.style == self.of.style {
            return self.placed(view, &self.of.editions, &self.of.workshop);
        }
        let styled = self.styled(view)?;
        self.placed(view, &styled.editions, &styled.workshop)
    }

    fn placed(
        &self,
        view: &View,
        editions: &Arc<Editions>,
        workshop: &Workshop,
    ) -> Result<Arc<Drawn>, Answer> {
        let nothing = || {
            let View { edition, spelling, .. } = view;
            Answer::missing(
                404,
                &match view.release {
                    Release::Before => format!("the earlier release has no edition '{edition}'"),
                    Release::Now => {
                        format!("there is no edition '{edition}' in the spelling '{spelling}'")
                    }
                },
            )
        };
        let mut variants = editions.variants();
        let variant = variants.find(|v| v.name() == view.edition && v.tag == view.spelling);
        let planned = editions.plan(variant.ok_or_else(nothing)?);
        let planned = planned.map_err(|d| Answer::missing(404, &d.message))?;
        self.painted(view, editions, planned.place(workshop))
    }

    fn painted(
        &self,
        view: &View,
        editions: &Arc<Editions>,
        sheet: Sheet,
    ) -> Result<Arc<Drawn>, Answer> {
        if view.page >= sheet.pages.len() {
            let count = sheet.pages.len();
            let message = format!("there is no page {}: the edition has {count}", view.page + 1);
            return Err(Answer::missing(404, &message));
        }
        let colours = self.colours(view, editions, &sheet)?;
        Ok(Arc::new(Drawn {
            sheet,
            colours,
            page: view.page,
            range: Arc::clone(editions),
            shelf: self.of.shelf.clone(),
            svg: OnceLock::new(),
            places: OnceLock::new(),
            pieces: OnceLock::new(),
        }))
    }

    fn colours(
        &self,
        view: &View,
        editions: &Editions,
        sheet: &Sheet,
    ) -> Result<PaletteMap<Rgb>, Answer> {
        let Some(paper) = &view.paper else { return Ok(sheet.palette.published()) };
        // A name could be the path of a profile.
        if !paper::names(editions).contains(paper) {
            return Err(Answer::missing(404, &format!("there is no paper '{paper}'")));
        }
        let mut sources = Sources::of(self.of.session.clone());
        let chosen = press::open(paper, &editions.sheet, Some(ColourMode::Srgb), &mut sources);
        let chosen = chosen.map_err(Answer::refused)?;
        let print = Print::plain(&chosen.paper, &editions.range, &editions.sheet);
        Ok(proof::seen(&chosen.paper, &print, &sheet.palette))
    }

    /// The sheet in another style, or the release before.
    fn styled(&self, view: &View) -> Result<Arc<Styled>, Answer> {
        let key = (view.release, view.style.clone());
        let mut others = lock(&self.others);
        if let Some(known) = others.get(&key) {
            return known.clone();
        }
        let styled = self.resolved(view);
        others.insert(key, styled.clone());
        styled
    }

    fn resolved(&self, view: &View) -> Result<Arc<Styled>, Answer> {
        // A name could be the path of a file.
        if !styles(&self.of.style).contains(&view.style) {
            return Err(Answer::missing(404, &format!("there is no style '{}'", view.style)));
        }
        let loaded = match (view.release, &self.of.before) {
            (Release::Now, _) => self.of.loaded.clone(),
            (Release::Before, Some(before)) => Loaded::clone(before),
            (Release::Before, None) => {
                return Err(Answer::missing(404, "there is no release to compare with"));
            }
        };
        let filter = Filter { style: Some(view.style.clone()), ..Filter::default() };
        let mut sources = Sources::of(self.of.session.clone());
        let editions = Editions::resolve(loaded, &filter, &mut sources);
        let editions = editions.map_err(Answer::refused)?;
        let workshop = editions.workshop_after(&self.of.workshop);
        Ok(Arc::new(Styled { editions: Arc::new(editions), workshop }))
    }
}

/// The styles that can be asked for: that of the sheet first.
pub fn styles(own: &str) -> Vec<String> {
    let shipped = SHIPPED_STYLES.iter().map(|(name, _)| (*name).to_owned());
    [own.to_owned()].into_iter().chain(shipped.filter(|name| name != own)).collect()
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
