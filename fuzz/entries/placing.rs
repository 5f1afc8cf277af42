//! Texts made from bytes, placed by plans that were made for wider ones: nothing over anything else, nothing lost.

use std::fmt::Write as _;
use std::sync::{Arc, LazyLock};

use shadecard::edition::{Editions, Filter, Planned};
use shadecard::plan::facts::Subject;
use shadecard::plan::{Facts, Plan};
use shadecard::range::Words;
use shadecard::sheet::{Sheet, Workshop};

use super::desk;
use super::dice::Dice;
use super::positions::{
    colours_once_in_order, inside_the_page, none, readable, samples_apart, texts_clear,
};
use super::told::told;

/// A sheet whose texts are as wide as they get, and its plan.
struct Prepared {
    page: (&'static str, &'static str),
    editions: Editions,
    look: shadecard::plan::Look,
    plan: Arc<Plan>,
}

/// Style and layout of each prepared sheet.
const PAGES: [(&str, &str); 4] =
    [("plate", "a4"), ("catalogue", "a4"), ("plate", "letter"), ("catalogue", "poster-305x406")];
const COLOURS: usize = 10;

pub fn entry(bytes: &[u8]) -> String {
    static PREPARED: LazyLock<Vec<Prepared>> = LazyLock::new(|| {
        PAGES
            .into_iter()
            .map(|page| {
                let editions = resolved(page, &mut |words| widest(words));
                let planned = editions
                    .plan(editions.variants().next().expect("an edition"))
                    .expect("it fits");
                let (look, plan) = (planned.facts.look.clone(), planned.plan.clone());
                Prepared { page, editions, look, plan }
            })
            .collect()
    });
    let mut dice = Dice::new(bytes);
    let prepared = &PREPARED[dice.below(PAGES.len())];
    let editions = resolved(prepared.page, &mut |words| narrower(words, &mut dice));
    let sheet = placed(&editions, prepared);
    let texts: usize = sheet.pages.iter().map(|page| page.items.len()).sum();
    assert_eq!(editions.range.parts().len(), prepared.editions.range.parts().len());
    format!("{texts}")
}

fn placed(editions: &Editions, prepared: &Prepared) -> Sheet {
    let entry = editions.variants().next().expect("an edition");
    let (_, spelling) = editions.spellings().next().expect("a spelling");
    let say = |words: &Words| spelling.apply(words);
    let (look, layout) = (prepared.look.clone(), entry.edition.layout.clone());
    let subject = Subject {
        range: &editions.range,
        sheet: &editions.sheet,
        shown: &entry.edition.shown,
        work: &editions.session.work,
    };
    let facts = Facts::new(&subject, look, layout, &say);
    let (plan, spellings) = (prepared.plan.clone(), vec![spelling]);
    let planned = Planned { variant: entry, facts, plan, spelling, spellings };
    let sheet = planned.place(&Workshop::boxes(&editions.range));
    none("colours", colours_once_in_order(editions, &planned, &sheet));
    none("page", inside_the_page(&sheet));
    none("samples", samples_apart(&sheet));
    none("texts", texts_clear(&sheet));
    none("type", readable(&sheet, planned.facts.look.floor));
    sheet
}

/// The letters of the widest text, one count a word.
fn widest(words: &[usize]) -> String {
    words.iter().map(|n| "W".repeat(*n)).collect::<Vec<_>>().join(" ")
}

/// A text of as many words, none of them longer.
fn narrower(words: &[usize], dice: &mut Dice<'_>) -> String {
    let word = |n: &usize| {
        let text = dice.text(*n).replace(' ', "");
        if text.is_empty() { "a".to_owned() } else { text }
    };
    words.iter().map(word).collect::<Vec<_>>().join(" ")
}

/// A sheet whose texts come from a function that is given the length of each word.
fn resolved((style, layout): (&str, &str), text: &mut dyn FnMut(&[usize]) -> String) -> Editions {
    let mut range = format!(
        "Range(maker: {:?}, release: {:?}, listings: [(key: \"w\", title: {:?}), (key: \"d\", title: {:?})], families: [",
        text(&[6, 4]),
        text(&[6]),
        text(&[6]),
        text(&[4, 4]),
    );
    for f in 0..3 {
        let finish = ["opaque", "clear", "pearl"][f];
        let (title, note) = (text(&[5, 5]), text(&[4, 3, 6, 2, 4]));
        let _ =
            write!(range, "(key: \"f{f}\", title: {title:?}, note: {note:?}, finish: {finish}),");
    }
    range += "], parts: [";
    for p in 0..3 {
        let side = ["left", "right", "left"][p];
        let (number, size) = (text(&[4]), text(&[4]));
        let _ = write!(
            range,
            "(key: \"p{p}\", numbers: {{\"w\": {number:?}}}, size: {size:?}, role: \"r{p}\", side: {side}, shape: \"disc.svg\"),"
        );
    }
    range += "], colours: [";
    let mut rows = String::new();
    for n in 0..COLOURS {
        let f = [0, 0, 0, 0, 0, 1, 1, 1, 2, 2][n];
        // A name that is there already would be another fault: the number keeps them apart.
        let (name, other) = (text(&[5, 4, 3]), text(&[6, 4]));
        let _ = write!(
            range,
            "(key: \"c{n}\", family: \"f{f}\", names: {{\"w\": {:?}, \"d\": {:?}}}, numbers: {{\"w\": \"{}\"}}, value: \"#{:02x}40{:02x}\"),",
            format!("{name}{n}"),
            format!("{other}{n}"),
            100 + n,
            n * 25,
            255 - n * 25,
        );
        let _ = write!(rows, "\"c{n}\": {:?},", ["xxx", "x.x", ".x."][n % 3]);
    }
    let _ = write!(range, "], made: (rows: {{{rows}}}))");
    let sheet = format!(
        "Sheet(range: \"range.ron\", name: \"s\", title: {:?}, subtitle: {:?}, corner_text: {:?}, style: \"{style}\", notes: [{:?}, {:?}], spellings: [\"en-GB\"], centre: [(listing: \"w\"), (listing: \"d\")], editions: [(name: \"e\", layout: \"{layout}\")])",
        text(&[5, 5, 5]),
        text(&[6, 4, 6]),
        text(&[5]),
        text(&[4, 6, 3, 5, 4, 5, 2, 6]),
        text(&[6, 6, 2]),
    );
    let files = [("range.ron", range.as_bytes()), ("sheet.ron", sheet.as_bytes())];
    if std::env::var_os("SHOWN").is_some() {
        files.iter().for_each(|(name, b)| eprintln!("== {name}\n{}", String::from_utf8_lossy(b)));
    }
    let mut sources = desk::sources(&files);
    let loaded = match desk::load(&desk::file("sheet.ron"), &mut sources) {
        Ok(loaded) => loaded,
        Err(findings) => panic!("{}", told(findings, &sources)),
    };
    match Editions::resolve(loaded, &Filter::default(), &mut sources) {
        Ok(editions) => editions,
        Err(findings) => panic!("{}", told(findings, &sources)),
    }
}
