//! Selects `src/spelling/pairs.txt` from VarCon.
//!
//! `cargo run --example spelling_pairs -- VARCON > src/spelling/pairs.txt`
//!
//! VARCON is `src/codegen.rs` of the crate `varcon` 1.0.5, which holds VarCon as a table. The crate is too large to
//! build with every test run for a list that changes once in years, so its source is read as text.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;

use spellbook::Dictionary;

/// What the head of the list says before the words that are left out.
const HEAD: &str = "\
# British and American spelling of the same word: British form, American form. Selected by
# `cargo run --example spelling_pairs`; not to be edited by hand.
#
# Source: VarCon, part of SCOWL (http://wordlist.aspell.net/), as in the crate varcon 1.0.5.
# Licence: pairs.LICENCE.txt.
#
# A pair is taken where VarCon gives one form for each side, both in lower case and of SCOWL size 60 or less, and the
# Hunspell dictionaries in tests/dictionaries know each form on its own side only. So no word is replaced that is a
# word there too: 'check', 'story' and 'curb' stay as they are in both directions.
#
# british american     in both directions
# british > american   from British to American only: the American form is another word in British too
#
# Not here either: 'matt', which is a name as well as a finish; 'draught', which is a game and a drink as well as air;
# 'tyre', which is a town and its purple as well as a wheel.
";

/// The largest SCOWL size taken: that of the dictionaries.
const SIZE: u32 = 60;

/// Words beginning so, in either form, are left out, and why.
const LEFT_OUT: &[(&str, &[&str])] = &[
    (
        "also a word of its own, or right on both sides in one sense",
        &[
            "adaptor",
            "ambience",
            "apprise",
            "briar",
            "chaperone",
            "collectable",
            "dependants",
            "fayre",
            "flyer",
            "lissom",
            "louvre",
            "moggie",
            "moulder",
            "mums",
            "oversized",
            "preterite",
            "prised",
            "prising",
            "prev",
            "reprised",
            "slyer",
            "specialities",
            "sweepstake",
            "unbeknown",
            "whiskies",
            "abetter",
            "throughway",
            "hanky",
        ],
    ),
    (
        "a fault of the list",
        &[
            "cardiae",
            "costumire",
            "mantoes",
            "matres",
            "novenae",
            "oecus",
            "patinae",
            "performative",
            "preformative",
            "snowshoed",
            "trabecul",
            "haem",
            "hectometre",
        ],
    ),
    (
        "illness and coarse words: none stands on a sheet",
        &[
            "aetiolog",
            "anaem",
            "anaesth",
            "arsehole",
            "bastard",
            "catheter",
            "diarrhoea",
            "faec",
            "gonorrh",
            "goitre",
            "gynaec",
            "haemato",
            "haemoglobin",
            "haemophil",
            "haemorr",
            "leukaem",
            "lobotom",
            "metasta",
            "oedema",
            "oesoph",
            "oestr",
            "orthopaed",
            "paed",
            "pyorrh",
            "seborrh",
            "septic",
            "sodom",
            "spirochaet",
            "toxaem",
            "traumat",
            "tularaem",
            "uraem",
            "victimis",
            "ghetto",
            "ischaem",
        ],
    ),
];

/// Words that the dictionaries are too small for, by their British form.
const ALSO: &[&str] = &[
    "aluminiums",
    "beveller",
    "bevellers",
    "bicolour",
    "bicoloured",
    "bicolours",
    "centreless",
    "centreline",
    "centrelines",
    "colourable",
    "colourer",
    "colourers",
    "colouring",
    "colourings",
    "colouristic",
    "colourpoint",
    "cosied",
    "cosying",
    "crystallisations",
    "decolourise",
    "decolourised",
    "enamellist",
    "enamellists",
    "fibreboards",
    "fibred",
    "fibrefills",
    "galvanisations",
    "haematite",
    "haematites",
    "harbourage",
    "harbourside",
    "hectolitre",
    "hectolitres",
    "labeller",
    "labellers",
    "lustred",
    "lustres",
    "lustreware",
    "malodour",
    "microlitre",
    "microlitres",
    "miscolour",
    "miscoloured",
    "multicolour",
    "multicolours",
    "noncolour",
    "ochred",
    "ochreous",
    "ochres",
    "ochrey",
    "opalised",
    "particoloured",
    "pearlise",
    "pearlised",
    "pearlises",
    "pearlising",
    "ploughboy",
    "polarisations",
    "recrystallisation",
    "sabretooth",
    "sabred",
    "saltpetres",
    "sceptred",
    "standardisations",
    "tricoloured",
    "undercolour",
    "undercoloured",
    "undercolours",
    "unicolour",
    "unicoloured",
    "unpolarised",
    "vapoured",
    "versicolour",
    "watercoloured",
    "watercolouring",
    "watercolourist",
    "watercolourists",
];

/// Words for one direction, by their British form: the American form means something else too in British.
const ONE_WAY: &[&str] = &[
    "cheque",
    "cheques",
    "chequer",
    "enquiries",
    "enquiry",
    "kerb",
    "kerbs",
    "licence",
    "licences",
    "lupin",
    "metre",
    "metres",
    "micrometre",
    "micrometres",
    "practise",
    "practises",
    "programme",
    "programmes",
    "spoilt",
    "storey",
    "storeys",
];

/// One line of VarCon: the forms of a word that are usual on each side.
#[derive(Default)]
struct Line {
    size: u32,
    british: Vec<String>,
    american: Vec<String>,
}

/// The lines of the table, read from its source text.
fn lines(text: &str) -> Vec<Line> {
    let mut out: Vec<Line> = Vec::new();
    let (mut size, mut word) = (0, String::new());
    for line in text.lines().map(str::trim) {
        if let Some(level) = line.strip_prefix("level: ") {
            size = level.trim_end_matches(',').parse().expect("a size");
        } else if line.starts_with("Entry {") {
            out.push(Line { size, ..Line::default() });
        } else if let Some(w) = line.strip_prefix("word: \"") {
            word = w.trim_end_matches("\",").to_owned();
        } else if line.contains("tag: None")
            && let Some(last) = out.last_mut()
        {
            if line.contains("Category::American,") {
                last.american.push(word.clone());
            } else if line.contains("Category::BritishIse,") {
                last.british.push(word.clone());
            }
        }
    }
    out
}

/// The Hunspell dictionary of a tag.
fn dictionary(tag: &str) -> Dictionary {
    let read = |ending| fs::read_to_string(format!("tests/dictionaries/{tag}.{ending}"));
    Dictionary::new(&read("aff").expect("readable"), &read("dic").expect("readable"))
        .expect("a dictionary")
}

fn main() {
    let file = std::env::args().nth(1).expect("the path of varcon's src/codegen.rs");
    let text = fs::read_to_string(file).expect("readable");
    let (gb, us) = (dictionary("en-GB"), dictionary("en-US"));
    let mut both: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut one_way: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for line in lines(&text) {
        let ([british], [american]) = (&line.british[..], &line.american[..]) else { continue };
        let lower = |w: &String| w.chars().all(|c| c.is_ascii_lowercase());
        if british == american || !lower(british) || !lower(american) {
            continue;
        }
        let own = gb.check(british) && us.check(american);
        let other = gb.check(american) || us.check(british);
        let wanted = ALSO.contains(&british.as_str());
        let mut left_out = LEFT_OUT.iter().flat_map(|(_, words)| *words);
        let out = left_out.any(|w| british.starts_with(w) || american.starts_with(w));
        if wanted || (line.size <= SIZE && own && !other && !out) {
            both.entry(british.clone()).or_default().insert(american.clone());
        } else if ONE_WAY.contains(&british.as_str()) && !us.check(british) {
            one_way.entry(british.clone()).or_default().insert(american.clone());
        }
    }
    // A form with two partners cannot be turned back.
    let mut partners: BTreeMap<&String, usize> = BTreeMap::new();
    both.values().flatten().for_each(|a| *partners.entry(a).or_default() += 1);
    let clear =
        |forms: &BTreeSet<String>| forms.len() == 1 && forms.iter().all(|a| partners[a] == 1);
    for (british, forms) in both.iter().filter(|(_, forms)| !clear(forms)) {
        eprintln!("not clear: {british} {forms:?}");
    }
    for word in ALSO.iter().filter(|w| !both.contains_key(**w)) {
        eprintln!("not in VarCon: {word}");
    }
    for word in ONE_WAY.iter().filter(|w| !one_way.contains_key(**w)) {
        eprintln!("not in VarCon, or known in American too: {word}");
    }
    print!("{HEAD}");
    for (why, words) in LEFT_OUT {
        println!("# Left out, all that begins so; {why}:");
        let mut line = "#  ".to_owned();
        for word in *words {
            if line.len() + word.len() > 110 {
                println!("{line}");
                "#  ".clone_into(&mut line);
            }
            line += " ";
            line += word;
        }
        println!("{line}");
    }
    println!();
    let two_ways = both.iter().filter(|(_, f)| clear(f)).map(|(b, f)| (b, " ", f));
    let one_way = one_way.iter().filter(|(_, f)| f.len() == 1).map(|(b, f)| (b, " > ", f));
    let all: BTreeMap<_, _> = two_ways.chain(one_way).map(|(b, way, f)| (b, (way, f))).collect();
    for (british, (way, forms)) in all {
        forms.iter().for_each(|american| println!("{british}{way}{american}"));
    }
}
