//! What the page's script searches and shows.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::drawings::Drawings;
use super::photos::Photo;
use super::request::PageRequest;
use super::shown::Shown;
use super::texts::Texts;
use crate::colour::lookalike;
use crate::colour::vision::Vision;
use crate::lookalikes::{LookalikesRequest, Pair, find};
use crate::range::{ColourId, ColourRange, FamilyId, Finish, PartId, Value as Given};
use crate::sheet::words::difference_words;

/// So many look-alikes are named with a colour.
const MOST_ALIKE: usize = 8;

/// The data of a page.
pub fn data(
    request: &PageRequest<'_>,
    shown: &Shown,
    texts: &Texts<'_>,
    drawn: &Drawings,
) -> Value {
    let facts = &request.spelled[0].facts;
    let (range, sheet) = (facts.range, facts.sheet);
    let listings = range.listings().iter();
    let listings: Vec<Value> = listings
        .map(|listing| json!({"key": listing.key(), "title": texts.words(listing.title())}))
        .collect();
    let previews = request
        .previews
        .iter()
        .map(|p| json!({"file": p.file, "title": p.title, "width": p.width, "height": p.height}));
    let page = sheet.page().as_ref();
    json!({
        "title": texts.filled(sheet.title()),
        "subtitle": texts.filled(sheet.subtitle()),
        "maker": texts.words(range.maker()),
        "release": texts.words(range.release()),
        "id": sheet.name(),
        "year": sheet.year(),
        "spellings": texts.spellings(),
        "listings": listings,
        "order_from": request.order_from.0,
        "families": families(shown, range, texts),
        "finishes": finishes(shown, texts),
        "parts": parts(shown, range, texts),
        "colours": colours(request, shown, texts, drawn),
        "preview": previews.collect::<Vec<_>>(),
        "shop": page.and_then(|page| page.shop().clone()),
        "licence": page.map_or(Value::Null, |page| texts.some(page.licence())),
    })
}

/// The pictures of parts, by the keys of part and colour: file, width and height in millimetres.
pub fn photos(photos: &[Photo]) -> Value {
    let near = |mm: f64| (mm * 100.0).round() / 100.0;
    let of = |photo: &Photo| {
        let (width, height) = photo.size;
        (photo.key.clone(), json!([photo.file, near(width), near(height)]))
    };
    Value::Object(photos.iter().map(of).collect())
}

fn families(shown: &Shown, range: &ColourRange, texts: &Texts<'_>) -> Vec<Value> {
    let one = |id: &FamilyId| {
        let family = range.family(*id);
        let finish = shown.finishes.iter().position(|f| *f == family.finish()).unwrap_or(0);
        json!({
            "key": family.key(), "title": texts.words(family.title()),
            "note": texts.some(family.note()), "finish": finish,
        })
    };
    shown.families.iter().map(one).collect()
}

fn finishes(shown: &Shown, texts: &Texts<'_>) -> Vec<Value> {
    let one = |finish: &Finish| {
        let phrase = format!("finish_{}", finish.word());
        json!({"key": finish.word(), "title": texts.each(|s| s.phrase(&phrase, &[]))})
    };
    shown.finishes.iter().map(one).collect()
}

fn parts(shown: &Shown, range: &ColourRange, texts: &Texts<'_>) -> Vec<Value> {
    let one = |id: &PartId| {
        let part = range.part(*id);
        let side = format!("{:?}", part.side()).to_lowercase();
        json!({
            "key": part.key(), "title": texts.words(part.title()), "size": texts.some(part.size()),
            "side": side, "numbers": part.numbers(),
        })
    };
    shown.parts.iter().map(one).collect()
}

fn colours(
    request: &PageRequest<'_>,
    shown: &Shown,
    texts: &Texts<'_>,
    drawn: &Drawings,
) -> Vec<Value> {
    let facts = &request.spelled[0].facts;
    let alike = alike(request, shown);
    let round = |v: f64| (v * 100.0).round() / 100.0;
    let one = |id: &ColourId| {
        let colour = facts.range.colour(*id);
        let known = *colour.value() != Given::Unknown;
        let names = colour.names().iter();
        let names: Vec<Value> =
            names.map(|name| name.as_ref().map_or(Value::Null, |n| texts.words(n))).collect();
        let numbers: Vec<&Option<String>> = colour.numbers().iter().map(|n| &n.value).collect();
        let (family, parts) = &shown.of[id];
        let aim = colour.aim();
        let mut out = json!({
            "key": colour.key(), "family": family, "names": names, "numbers": numbers,
            "value": known.then(|| colour.rgb().hex()),
            "lab": known.then(|| [round(aim.l), round(aim.a), round(aim.b)]),
            "first": colour.first_year(), "last": colour.last_year(), "parts": parts,
        });
        if let Some((look, tones)) = drawn.of.get(id) {
            out["look"] = json!(look);
            out["tones"] = json!(tones);
        }
        if facts.sheet.is_marked_new(*id) {
            out["new"] = json!(true);
        }
        if let Some(note) = colour.note() {
            out["note"] = texts.words(note);
        }
        if let Some(pairs) = alike.get(id) {
            out["alike"] =
                pairs.iter().map(|p| other(p, *id, (shown, facts.range), texts)).collect();
        }
        out
    };
    shown.colours.iter().map(one).collect()
}

/// The look-alikes of each colour, nearest first.
fn alike(request: &PageRequest<'_>, shown: &Shown) -> BTreeMap<ColourId, Vec<Pair>> {
    let facts = &request.spelled[0].facts;
    let found = find(facts.range, facts.sheet, &LookalikesRequest::default(), request.work);
    let mut out: BTreeMap<ColourId, Vec<Pair>> = BTreeMap::new();
    for pair in found.pairs.into_iter().chain(found.only_some) {
        for colour in [pair.first, pair.second] {
            let own = out.entry(colour).or_default();
            if own.len() < MOST_ALIKE && shown.of.contains_key(&colour) {
                own.push(pair.clone());
            }
        }
    }
    out
}

/// The other colour of a pair, and how it differs from this one.
fn other(
    pair: &Pair,
    own: ColourId,
    (shown, range): (&Shown, &ColourRange),
    texts: &Texts<'_>,
) -> Value {
    let with = if pair.first == own { pair.second } else { pair.first };
    let place = shown.colours.iter().position(|c| *c == with);
    let words = lookalike::words(range.colour(own).aim(), range.colour(with).aim());
    let mut out = json!({
        "with": place, "difference": (pair.distance * 10.0).round() / 10.0,
        "words": texts.each(|spelling| difference_words(spelling, &words)),
    });
    let eyes: Vec<&str> = pair.together().into_iter().map(Vision::word).collect();
    if !eyes.is_empty() {
        out["eyes"] = json!(eyes);
    }
    out
}
