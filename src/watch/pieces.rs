//! A page cut into pieces: a browser reads a large drawing much more slowly than it is drawn, so after a change it is
//! sent the pieces that are others, and no more.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use kurbo::Rect;
use serde_json::{Value, json};

use super::answer::Answer;
use super::places::{Keys, Kind};
use crate::paint::svg::{svg, svg_over};
use crate::parallel::in_parallel;
use crate::sheet::identity::{Digest, Digester, Identity};
use crate::sheet::montage::moved;
use crate::sheet::{Coloured, Item, Page, Rgb, Sheet};

/// So many rows make a piece: some 300 kB.
const ROWS: usize = 10;
/// What a piece reaches beyond its items, mm.
const AROUND: f64 = 0.5;
/// So many drawn pieces are kept.
const MOST: usize = 600;

/// One piece, drawn.
#[derive(Debug, Clone)]
pub struct Piece {
    pub id: String,
    /// Of its bytes.
    pub hash: String,
    /// On the page, mm.
    pub frame: Rect,
    pub svg: Answer,
}

/// Pieces by what they show, drawn for this sheet or one before it. Copies are one shelf.
#[derive(Debug, Clone, Default)]
pub struct Shelf(Arc<Mutex<HashMap<Digest, (String, Answer)>>>);

impl Shelf {
    fn get(&self, digest: &Digest) -> Option<(String, Answer)> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).get(digest).cloned()
    }

    fn put(&self, digest: Digest, drawn: (String, Answer)) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST {
            kept.clear();
        }
        kept.insert(digest, drawn);
    }
}

/// What goes into a piece.
struct Cut {
    id: String,
    /// Indices of its items on the page.
    items: Vec<usize>,
}

/// Cuts a page and draws its pieces; those that are known are not drawn again.
pub fn pieces(
    painted: Coloured<'_, Rgb>,
    page: usize,
    keys: &Keys<'_>,
    shelf: &Shelf,
) -> Vec<Piece> {
    let none = Page::default();
    let items = &painted.sheet.pages.get(page).unwrap_or(&none).items;
    let identity = Identity::of(painted);
    let digests = identity.items.get(page).map_or(&[][..], |digests| digests);
    let cuts: Vec<(bool, Cut)> =
        cut(items, keys).into_iter().enumerate().map(|(i, cut)| (i == 0, cut)).collect();
    in_parallel(&cuts, |(is_ground, cut)| {
        let Sheet { width, height, .. } = *painted.sheet;
        let frame = match is_ground {
            true => Rect::new(0.0, 0.0, width, height),
            false => framed(items, cut),
        };
        let digest = digest(cut, digests, (frame, *is_ground));
        let (hash, svg) = shelf.get(&digest).unwrap_or_else(|| {
            let drawn = draw(painted, (items, cut), frame, *is_ground);
            shelf.put(digest, drawn.clone());
            drawn
        });
        Piece { id: cut.id.clone(), hash, frame, svg }
    })
}

/// The list as the browser takes it, from the bottom up.
pub fn json(pieces: &[Piece], sheet: &Sheet) -> Value {
    let one = |piece: &Piece| {
        let Rect { x0, y0, x1, y1 } = piece.frame;
        let round = |v: f64| (v * 1000.0).round() / 1000.0;
        let frame = [x0, y0, x1, y1].map(round);
        json!({"id": piece.id, "hash": piece.hash, "box": frame})
    };
    let each: Vec<Value> = pieces.iter().map(one).collect();
    json!({"width": sheet.width, "height": sheet.height, "pieces": each})
}

/// What is outside of blocks first, then each block in pieces of some rows.
fn cut(items: &[Item], keys: &Keys<'_>) -> Vec<Cut> {
    let mut out = vec![Cut { id: "page".to_owned(), items: Vec::new() }];
    let (mut rows, mut at) = (ROWS, 0);
    for run in items.chunk_by(|a, b| a.origin == b.origin) {
        let places = at..at + run.len();
        at += run.len();
        let origin = run[0].origin.as_deref();
        match origin.map(|origin| (origin, keys.kind(origin, run))) {
            Some((family, Kind::Heading)) => {
                let id = format!("{family}.{}", out.len());
                out.push(Cut { id, items: places.collect() });
                rows = 0;
            }
            Some((colour, Kind::Row)) => {
                if rows >= ROWS {
                    out.push(Cut { id: format!("{colour}.{}", out.len()), items: Vec::new() });
                    rows = 0;
                }
                rows += 1;
                let last = out.len() - 1;
                out[last].items.extend(places);
            }
            _ => {
                out[0].items.extend(places);
                rows = ROWS;
            }
        }
    }
    out
}

/// Whole tenths of a millimetre around a piece.
fn framed(items: &[Item], cut: &Cut) -> Rect {
    let mut bounds = cut.items.iter().map(|i| items[*i].bounds);
    let first = bounds.next().unwrap_or(Rect::ZERO);
    let all = bounds.fold(first, |all, bounds| all.union(bounds)).inflate(AROUND, AROUND);
    let (down, up) = (|v: f64| (v * 10.0).floor() / 10.0, |v: f64| (v * 10.0).ceil() / 10.0);
    Rect::new(down(all.x0), down(all.y0), up(all.x1), up(all.y1))
}

fn digest(cut: &Cut, items: &[Digest], (frame, is_ground): (Rect, bool)) -> Digest {
    let mut digester = Digester::new("piece");
    digester.number(u64::from(is_ground));
    [frame.x0, frame.y0, frame.x1, frame.y1].into_iter().for_each(|v| digester.real(v));
    cut.items.iter().filter_map(|i| items.get(*i)).for_each(|digest| digester.digest(digest));
    digester.done()
}

/// A piece as a drawing of its own, its corner at 0, 0: one that only moved is the same.
fn draw(
    painted: Coloured<'_, Rgb>,
    (items, cut): (&[Item], &Cut),
    frame: Rect,
    is_ground: bool,
) -> (String, Answer) {
    let by = -frame.origin().to_vec2();
    let items = cut.items.iter().map(|i| moved(items[*i].clone(), by)).collect();
    let whole = painted.sheet;
    let sheet = Sheet {
        width: frame.width(),
        height: frame.height(),
        bleed: 0.0,
        about: whole.about.clone(),
        faces: Arc::clone(&whole.faces),
        palette: whole.palette.clone(),
        outlines: whole.outlines.clone(),
        symbols: whole.symbols.clone(),
        images: whole.images.clone(),
        pages: vec![Page { items }],
    };
    let painted = sheet.coloured(painted.colours);
    let bytes = if is_ground { svg(painted, 0) } else { svg_over(painted, 0) };
    let mut digester = Digester::new("svg");
    digester.bytes(&bytes);
    (digester.done().hex(), Answer::new("image/svg+xml", bytes).lasting())
}
