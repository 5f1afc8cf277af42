//! The word pairs (VarCon, see the head of `src/spelling/pairs.txt`) against
//! the Hunspell dictionaries en_GB-ise and en_US of SCOWL 2020.12.07, as in
//! `tests/dictionaries` (source, version and licence in its README).

use std::collections::BTreeSet;
use std::fs;

use shadecard::spelling::Spelling;
use shadecard::spelling::pairs::{Pair, pairs};
use spellbook::Dictionary;

fn read(tag: &str, ending: &str) -> String {
    fs::read_to_string(format!("tests/dictionaries/{tag}.{ending}")).expect("a file")
}

fn dictionary(tag: &str) -> Dictionary {
    Dictionary::new(&read(tag, "aff"), &read(tag, "dic")).expect("a dictionary")
}

/// What a dictionary has against a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Against {
    /// Its own dictionary does not know it.
    Refused,
    /// The other dictionary knows it too.
    KnownThere,
}

/// Pairs of VarCon that the dictionaries (SCOWL size 60) are too small for: both forms are refused.
const TOO_RARE: &str = "
    aluminiums/aluminums beveller/beveler bevellers/bevelers bicolour/bicolor bicoloured/bicolored bicolours/bicolors
    centreless/centerless centreline/centerline centrelines/centerlines colourable/colorable colourer/colorer
    colourers/colorers colourings/colorings colouristic/coloristic colourpoint/colorpoint cosied/cozied cosying/cozying
    crystallisations/crystallizations decolourise/decolorize decolourised/decolorized enamellist/enamelist
    enamellists/enamelists fibreboards/fiberboards fibred/fibered fibrefills/fiberfills galvanisations/galvanizations
    haematites/hematites harbourage/harborage harbourside/harborside hectolitre/hectoliter hectolitres/hectoliters
    labeller/labeler labellers/labelers lustred/lustered lustres/lusters lustreware/lusterware malodour/malodor
    microlitre/microliter microlitres/microliters miscolour/miscolor miscoloured/miscolored multicolour/multicolor
    multicolours/multicolors noncolour/noncolor ochred/ochered ochreous/ocherous ochres/ochers ochrey/ochery
    opalised/opalized particoloured/particolored pearlise/pearlize pearlised/pearlized pearlises/pearlizes
    pearlising/pearlizing ploughboy/plowboy polarisations/polarizations recrystallisation/recrystallization
    sabred/sabered sabretooth/sabertooth saltpetres/saltpeters sceptred/sceptered standardisations/standardizations
    tricoloured/tricolored undercolour/undercolor undercoloured/undercolored undercolours/undercolors
    unicolour/unicolor unicoloured/unicolored unpolarised/unpolarized vapoured/vapored versicolour/versicolor
    watercoloured/watercolored watercolouring/watercoloring watercolourist/watercolorist
    watercolourists/watercolorists
";

/// Pairs of one direction, and what else the American form is in British.
const ONE_WAY: [(&str, &str); 11] = [
    ("cheque/check cheques/checks", "a pattern, a proof, to restrain"),
    ("chequer/checker", "who checks"),
    ("enquiry/inquiry enquiries/inquiries", "an official one"),
    ("kerb/curb kerbs/curbs", "to restrain"),
    ("licence/license licences/licenses", "the verb"),
    ("lupin/lupine", "of wolves"),
    ("metre/meter metres/meters micrometre/micrometer micrometres/micrometers", "an instrument"),
    ("practise/practice practises/practices", "the noun"),
    ("programme/program programmes/programs", "for a computer"),
    ("spoilt/spoiled", "the past tense, right too"),
    ("storey/story storeys/stories", "what is told"),
];

fn slashed(text: &'static str) -> impl Iterator<Item = (&'static str, &'static str)> {
    text.split_whitespace().map(|p| p.split_once('/').expect("two forms"))
}

fn one_way() -> impl Iterator<Item = (&'static str, &'static str)> {
    ONE_WAY.iter().flat_map(|(forms, _)| slashed(forms))
}

/// Every exception is listed above, and nothing is listed that is none.
#[test]
fn each_form_is_known_on_its_own_side_only() {
    let (gb, us) = (dictionary("en-GB"), dictionary("en-US"));
    let mut found = BTreeSet::new();
    for Pair { british, american, .. } in pairs() {
        for (form, own, other) in [(british, &gb, &us), (american, &us, &gb)] {
            if !own.check(form) {
                found.insert((Against::Refused, form));
            }
            if other.check(form) {
                found.insert((Against::KnownThere, form));
            }
        }
    }
    let rare = slashed(TOO_RARE).flat_map(|(british, american)| [british, american]);
    let listed: BTreeSet<_> = rare
        .map(|form| (Against::Refused, form))
        .chain(one_way().map(|(_, american)| (Against::KnownThere, american)))
        .collect();
    let unlisted: Vec<_> = found.difference(&listed).collect();
    let stale: Vec<_> = listed.difference(&found).collect();
    assert!(unlisted.is_empty() && stale.is_empty(), "unlisted {unlisted:?}, stale {stale:?}");
}

#[test]
fn the_list_is_broad_and_one_word_has_one_partner() {
    let british: BTreeSet<_> = pairs().map(|p| p.british).collect();
    let american: BTreeSet<_> = pairs().map(|p| p.american).collect();
    assert_eq!((british.len(), american.len()), (pairs().count(), pairs().count()));
    assert!(pairs().filter(|p| p.back).count() >= 300);
    for (a, b) in slashed(
        "colour/color grey/gray aluminium/aluminum jewellery/jewelry mould/mold plough/plow fibre/fiber
         sceptre/scepter catalogue/catalog enamelled/enameled centre/center ochre/ocher harbours/harbors
         anodised/anodized crystallise/crystallize millimetre/millimeter tasselled/tasseled woollen/woolen
         sulphur/sulfur mitred/mitered organdie/organdy liquorice/licorice chequered/checkered axe/ax",
    ) {
        assert!(pairs().any(|p| p == Pair { british: a, american: b, back: true }), "{a} {b}");
    }
}

/// There and back again, and over every headword of both dictionaries besides: nothing right is touched. Names with a
/// capital ('Gray', 'Sabre') cannot be told from colours, and some possessives of the other side are in by mistake
/// ('calisthenics's'): these headwords are left aside.
#[test]
fn there_and_back_again() {
    let shipped = |tag| Spelling::shipped(tag).expect("a shipped spelling");
    let (gb, us) = (shipped("en-GB"), shipped("en-US"));
    let mut lost = BTreeSet::new();
    for Pair { british, american, .. } in pairs() {
        assert_eq!(us.text(british), american);
        assert_eq!(us.text(american), american);
        assert_eq!(gb.text(british), british);
        let back = gb.text(american);
        if back != british {
            assert_eq!(back, american);
            lost.insert((british, american));
        }
    }
    assert_eq!(lost, one_way().collect());
    let british: BTreeSet<&str> = lost.iter().map(|(b, _)| *b).collect();
    for (tag, own, other) in [("en-GB", &gb, &us), ("en-US", &us, &gb)] {
        let text = read(tag, "dic");
        let words = text.lines().skip(1).filter_map(|l| l.split('/').next());
        let words = words.filter(|w| !w.contains(|c: char| c.is_uppercase() || c == '\''));
        let mut count = 0;
        for word in words {
            count += 1;
            assert_eq!(own.text(word), word, "{tag} changes its own word");
            let back = own.text(&other.text(word));
            assert!(back == word || british.contains(word), "{tag}: {word} comes back as {back}");
        }
        assert!(count > 30_000, "{count}");
    }
}
