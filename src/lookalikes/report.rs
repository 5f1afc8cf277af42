//! Reports of look-alikes: tables for the terminal, lines as CSV, everything as JSON.

use serde_json::{Value, json};

use super::{LookAlikes, LookalikesRequest, MOST_PAIRS, MOVED, Move, Pair, TOGETHER, of_one_value};
use crate::colour::lookalike::Word;
use crate::colour::vision::Vision;
use crate::range::ColourId;
use crate::sheet::words::difference_words;
use crate::supplies::Naming;
use crate::table::{Align, Table};

/// So many pairs beyond the limit are printed; CSV and JSON have them all.
const MOST_PRINTED: usize = 20;

/// Tables and a summary in words.
pub fn text(found: &LookAlikes, naming: &Naming<'_>, wish: &LookalikesRequest) -> String {
    let mut out = format!(
        "Look-alikes of '{}': pairs up to {} dE00; names and numbers: {}\n",
        naming.sheet.name(),
        wish.limit,
        naming.listing_title(),
    );
    if !found.pairs.is_empty() {
        out.push('\n');
        out.push_str(&table(&found.pairs, naming, wish).text());
    }
    if !found.only_some.is_empty() {
        out.push_str("\nFurther apart, but not for everyone\n\n");
        let shown = &found.only_some[..found.only_some.len().min(MOST_PRINTED)];
        out.push_str(&table(shown, naming, wish).text());
        if found.only_some.len() > shown.len() {
            let more = found.only_some.len() - shown.len();
            out.push_str(&format!("and {more} more: --csv lists them all\n"));
        }
    }
    out.push('\n');
    out.push_str(&summary(found, naming, wish));
    out
}

fn table(pairs: &[Pair], naming: &Naming<'_>, wish: &LookalikesRequest) -> Table {
    let colours = [("number", Align::Left), ("first", Align::Left), ("number", Align::Left)];
    let mut head: Vec<(&str, Align)> = colours.to_vec();
    head.extend([("second", Align::Left), ("dE00", Align::Right)]);
    let under = wish.light.map(|light| format!("under {}", light.word())).unwrap_or_default();
    match wish.light {
        None => {
            head.push(("the second is", Align::Left));
            head.extend(Vision::ALL.map(|v| (v.word(), Align::Right)));
            head.push(("together for", Align::Left));
        }
        Some(_) => {
            head.extend([(under.as_str(), Align::Right), ("the pair", Align::Left)]);
            head.push(("the second is", Align::Left));
        }
    }
    head.push(("family", Align::Left));
    let mut table = Table::new(&head);
    for pair in pairs {
        let mut row: Vec<String> = Vec::new();
        for colour in [pair.first, pair.second] {
            row.extend([number(naming, colour), naming.colour_name(colour)]);
        }
        row.push(fixed(pair.distance));
        let said = difference_words(naming.spelling, &pair.words);
        match pair.under {
            None => {
                row.push(said);
                row.extend(pair.seen.map(fixed));
                row.push(eyes(pair));
            }
            Some(under) => row.extend([fixed(under), pair.moves().word().to_owned(), said]),
        }
        row.push(families(naming, pair));
        table.row(row);
    }
    table
}

fn number(naming: &Naming<'_>, colour: ColourId) -> String {
    naming.colour_number(colour).unwrap_or("").to_owned()
}

/// 'protan, deutan': for whom the two fall together.
fn eyes(pair: &Pair) -> String {
    pair.together().into_iter().map(Vision::word).collect::<Vec<_>>().join(", ")
}

/// One family, or both: 'Gloss / Clear'.
fn families(naming: &Naming<'_>, pair: &Pair) -> String {
    let [first, second] = [pair.first, pair.second].map(|c| naming.range.colour(c).family());
    if first == second {
        naming.family(first)
    } else {
        format!("{} / {}", naming.family(first), naming.family(second))
    }
}

fn fixed(distance: f64) -> String {
    format!("{distance:.2}")
}

fn pairs_counted(n: usize) -> String {
    format!("{n} pair{}", if n == 1 { "" } else { "s" })
}

/// What the tables come to.
fn summary(found: &LookAlikes, naming: &Naming<'_>, wish: &LookalikesRequest) -> String {
    let spell = |text: &str| naming.spelling.text(text);
    let pairs = &found.pairs;
    let finish = |c: ColourId| naming.range.colour(c).finish();
    let mixed = pairs.iter().filter(|p| finish(p.first) != finish(p.second)).count();
    let tight = pairs.iter().filter(|p| p.distance <= TOGETHER).count();
    let mut out = String::new();
    if let Some(light) = wish.light {
        let count = |moves: Move| pairs.iter().filter(|p| p.moves() == moves).count();
        if pairs.is_empty() {
            out.push_str("No pair up to this limit consists of two spectra.\n");
        } else {
            out.push_str(&format!(
                "Seen under {} instead of {}: {}, {} and {} by {MOVED} dE00 or more, {}.\n",
                light.word(),
                naming.sheet.light().word(),
                pairs_counted(pairs.len()),
                verb(count(Move::ClosesUp), "closes up", "close up"),
                verb(count(Move::Opens), "opens", "open"),
                verb(count(Move::Stays), "stays", "stay"),
            ));
        }
        if found.unknown > 0 {
            out.push_str(&format!(
                "{} with a colour without a spectrum: their difference under {} is unknown.\n",
                pairs_counted(found.unknown),
                light.word(),
            ));
        }
    } else {
        let tight = match tight {
            0 => String::new(),
            n => format!(
                "; {n} of them {TOGETHER} dE00 or less, which can be distinguished only side by side"
            ),
        };
        let counted = pairs_counted(pairs.len());
        out.push_str(&format!("{counted} of {} colours{tight}.\n", found.colours));
        out.push_str(&eyes_line(found));
    }
    out.push_str(&one_value(found, naming));
    if mixed > 0 {
        out.push_str(&format!(
            "{mixed} of them of two finishes, which can be distinguished by the finish: --same-finish leaves these out.\n"
        ));
    }
    if found.cut {
        out.push_str(&format!(
            "There are more: only the nearest {MOST_PAIRS} are included. Use a smaller --limit.\n"
        ));
    }
    spell(&out)
}

/// Which colours have one value, a group a line; the panel of a sheet shows each group once.
fn one_value(found: &LookAlikes, naming: &Naming<'_>) -> String {
    let groups = of_one_value(naming.range, found);
    let mut out = String::new();
    for group in groups.iter().take(MOST_PRINTED) {
        let name = |c: &ColourId| format!("{} {}", number(naming, *c), naming.colour_name(*c));
        let shown = group.iter().take(MOST_PRINTED);
        let mut names: Vec<String> = shown.map(|c| name(c).trim().to_owned()).collect();
        if group.len() > names.len() {
            names.push(format!("{} more", group.len() - names.len()));
        }
        out.push_str(&format!("One value: {}.\n", naming.spelling.list(&names)));
    }
    if groups.len() > MOST_PRINTED {
        let more = groups.len() - MOST_PRINTED;
        out.push_str(&format!(
            "And {more} more values shared by several colours: --csv lists their pairs.\n"
        ));
    }
    out
}

fn verb(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

/// For whom how many pairs fall together.
fn eyes_line(found: &LookAlikes) -> String {
    let count = |v: Vision| {
        found.pairs.iter().chain(&found.only_some).filter(|p| p.together().contains(&v)).count()
    };
    let counts = Vision::ALL.map(count);
    if counts == [0; 3] {
        return "No pair falls together for protan, deutan or tritan eyes only.\n".into();
    }
    let each: Vec<String> =
        Vision::ALL.iter().zip(counts).map(|(v, n)| format!("{n} for {}", v.word())).collect();
    format!(
        "Apart for other eyes, but together ({TOGETHER} dE00 or less) {} eyes: identify these by name and number only.\n",
        each.join(", ")
    )
}

/// One pair a line.
pub fn lines(found: &LookAlikes, naming: &Naming<'_>, wish: &LookalikesRequest) -> Table {
    let mut head: Vec<(String, Align)> = Vec::new();
    for which in ["first", "second"] {
        for field in ["key", "number", "name", "family", "finish"] {
            head.push((format!("{which}_{field}"), Align::Left));
        }
    }
    head.extend([("de00".into(), Align::Right), ("second_is".into(), Align::Left)]);
    head.extend(Vision::ALL.map(|v| (format!("de00_{}", v.word()), Align::Right)));
    head.push(("together_for".into(), Align::Left));
    if wish.light.is_some() {
        head.extend([("de00_under".into(), Align::Right), ("pair".into(), Align::Left)]);
    }
    let head: Vec<(&str, Align)> = head.iter().map(|(h, a)| (h.as_str(), *a)).collect();
    let mut table = Table::new(&head);
    for pair in found.pairs.iter().chain(&found.only_some) {
        let mut row: Vec<String> = Vec::new();
        for id in [pair.first, pair.second] {
            let colour = naming.range.colour(id);
            row.extend([colour.key().clone(), number(naming, id), naming.colour_name(id)]);
            row.extend([naming.family(colour.family()), colour.finish().word().to_owned()]);
        }
        row.extend([fixed(pair.distance), difference_words(naming.spelling, &pair.words)]);
        row.extend(pair.seen.map(fixed));
        row.push(eyes(pair));
        if let Some(under) = pair.under {
            row.extend([fixed(under), pair.moves().word().to_owned()]);
        }
        table.row(row);
    }
    table
}

/// Everything, distances to four decimals.
pub fn json(found: &LookAlikes, naming: &Naming<'_>, wish: &LookalikesRequest) -> Value {
    let mut out = json!({
        "sheet": naming.sheet.name(),
        "listing": naming.range.listings()[naming.listing.0].key(),
        "spelling": naming.spelling.tag(),
        "limit": wish.limit,
        "light": naming.sheet.light().word(),
        "colours": found.colours,
        "pairs": found.pairs.iter().map(|p| pair_json(p, naming)).collect::<Vec<_>>(),
        "complete": !found.cut,
    });
    match wish.light {
        Some(light) => {
            out["under"] = json!(light.word());
            out["unknown_pairs"] = json!(found.unknown);
        }
        None => {
            let some = found.only_some.iter().map(|p| pair_json(p, naming));
            out["together_for_some"] = some.collect();
        }
    }
    out
}

fn pair_json(pair: &Pair, naming: &Naming<'_>) -> Value {
    let rounded = |v: f64| (v * 1e4).round() / 1e4;
    let colour = |id: ColourId| {
        let colour = naming.range.colour(id);
        json!({
            "key": colour.key(),
            "number": naming.colour_number(id),
            "name": naming.colour_name(id),
            "family": naming.range.family(colour.family()).key(),
            "finish": colour.finish().word(),
            "rgb": colour.rgb().hex(),
        })
    };
    let [protan, deutan, tritan] = pair.seen.map(rounded);
    let mut out = json!({
        "first": colour(pair.first),
        "second": colour(pair.second),
        "de00": rounded(pair.distance),
        "second_is": pair.words.iter().map(|w: &Word| w.text()).collect::<Vec<_>>(),
        "seen": { "protan": protan, "deutan": deutan, "tritan": tritan },
        "together_for": pair.together().into_iter().map(Vision::word).collect::<Vec<_>>(),
    });
    if let Some(under) = pair.under {
        out["de00_under"] = json!(rounded(under));
        out["pair"] = json!(pair.moves().word());
    }
    out
}
