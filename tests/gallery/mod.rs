//! Generated ranges of every shape: what strangers bring, at random and by kind.
#![allow(dead_code, reason = "each user takes its part")]

pub mod faults;
pub mod outlines;

use std::fmt::Write as _;
use std::path::Path;

use outlines::Outline;

/// One generated sheet with one edition.
#[derive(Debug, Clone)]
pub struct Case {
    pub name: String,
    /// Colours of each family, and its finish.
    pub families: Vec<(usize, &'static str)>,
    /// Outline, width and height in mm.
    pub parts: Vec<(Outline, f64, f64)>,
    pub listings: usize,
    /// Fewest and most letters of a name.
    pub letters: (usize, usize),
    pub numbers: bool,
    /// Share of the parts in which a colour is made.
    pub made: f64,
    pub style: &'static str,
    /// Name of a shipped layout, or the text of one.
    pub layout: &'static str,
    pub seed: u64,
}

const FINISHES: [&str; 7] = ["opaque", "clear", "pearl", "metal", "flecked", "satin", "glow"];
const LAYOUTS: [&str; 6] =
    ["poster-610x914", "a4", "letter", "a4-pages", "poster-305x406", "poster-457x610"];
const SYLLABLES: [&str; 16] = [
    "tern", "sal", "dun", "mor", "wick", "hol", "brea", "kel", "ness", "fro", "gar", "lin",
    "sedge", "ow", "pip", "thrift",
];

/// Numbers at random, the same in every run (xorshift64*, Marsaglia 2003 and Vigna 2016).
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// 0 to 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn among(&mut self, from: usize, to: usize) -> usize {
        from + (self.share() * (to - from + 1) as f64) as usize
    }

    fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.among(0, of.len() - 1)]
    }
}

/// The whole gallery: what was found wanting once, then ranges at random.
pub fn cases() -> Vec<Case> {
    let mut out = found();
    let by_chance = (0..150).map(by_chance);
    out.extend(by_chance);
    out
}

/// Sheets that came out poor.
fn found() -> Vec<Case> {
    use Outline::{Bar, Button, Disc, Hexagon, Leaf, Ring, Square};
    let base = Case {
        name: String::new(),
        families: vec![(30, "opaque")],
        parts: vec![(Hexagon, 18.0, 15.6), (Bar, 22.0, 8.0), (Ring, 14.0, 14.0)],
        listings: 1,
        letters: (6, 14),
        numbers: true,
        made: 0.85,
        style: "plate",
        layout: "poster-610x914",
        seed: 7,
    };
    let many_parts =
        (0..24).map(|i| (Outline::ALL[i % 8], 6.0 + i as f64, 6.0 + i as f64)).collect();
    vec![
        Case { name: "thirty-on-a-poster".into(), ..base.clone() },
        Case { name: "thirty-on-a4".into(), layout: "a4", style: "catalogue", ..base.clone() },
        Case {
            name: "eight-with-gaps".into(),
            families: vec![(8, "opaque")],
            made: 0.4,
            ..base.clone()
        },
        Case {
            name: "twenty-four-parts".into(),
            families: vec![(40, "opaque"), (22, "clear"), (9, "pearl")],
            parts: many_parts,
            layout: "Layout(title: \"914 x 1219 mm\", page: Mm(914, 1219), scale: Fit, minimum: (coverage: 0.7, columns: 1))",
            ..base.clone()
        },
        Case {
            name: "three-listings".into(),
            families: vec![(18, "opaque"), (12, "satin")],
            listings: 3,
            letters: (8, 40),
            layout: "a4",
            ..base.clone()
        },
        Case {
            name: "small-beads-and-long-bars".into(),
            families: vec![(24, "opaque"), (6, "glow")],
            parts: vec![(Disc, 3.0, 3.0), (Disc, 4.0, 4.0), (Bar, 60.0, 9.0), (Leaf, 16.0, 10.0)],
            ..base.clone()
        },
        Case {
            name: "families-of-one".into(),
            families: vec![(1, "opaque"), (1, "clear"), (2, "metal"), (1, "pearl"), (3, "glow")],
            layout: "a4",
            ..base.clone()
        },
        Case {
            name: "one-large-family-on-pages".into(),
            families: vec![(160, "opaque"), (5, "metal")],
            parts: vec![(Button, 15.0, 15.0), (Square, 20.0, 20.0)],
            layout: "a4-pages",
            ..base
        },
    ]
}

fn by_chance(n: u64) -> Case {
    let mut chance = Chance::new(n + 101);
    let chance = &mut chance;
    let layout = LAYOUTS[(n % 6) as usize];
    let large = n % 7 == 3;
    let families = match n % 5 {
        0 => 1,
        1 => chance.among(2, 3),
        2 => chance.among(4, 7),
        3 => chance.among(2, 5),
        _ => chance.among(8, 20),
    };
    let most = if large { 400 } else { [12, 40, 90, 160][chance.among(0, 3)] };
    let mut left = chance.among(families, most.max(families + 1));
    let families = (0..families)
        .map(|f| {
            let rest = families - f - 1;
            let own = if rest == 0 {
                left
            } else {
                chance.among(1, ((left - rest) * 2 / (rest + 1)).max(1))
            };
            left -= own;
            (own, FINISHES[(f + n as usize) % 7])
        })
        .collect();
    let count = [1, 2, 3, 5, 8, 13, 30][chance.among(0, 6)];
    let parts = (0..count)
        .map(|_| {
            let outline = chance.pick(&Outline::ALL);
            let wide = match chance.among(0, 9) {
                0 => chance.among(30, 80) as f64,
                1 | 2 => chance.among(2, 5) as f64,
                _ => chance.among(6, 24) as f64,
            };
            let tall = match outline {
                Outline::Bar | Outline::Leaf => (wide * 0.4).max(2.0),
                Outline::Drop => wide * 1.4,
                _ => wide,
            };
            (outline, wide, tall)
        })
        .collect();
    let letters = chance.pick(&[(3, 8), (5, 14), (6, 20), (10, 45)]);
    Case {
        name: format!("chance-{n:02}"),
        families,
        parts,
        listings: chance.among(1, 3),
        letters,
        numbers: chance.share() < 0.75,
        made: chance.pick(&[1.0, 0.9, 0.6, 0.35]),
        style: if n.is_multiple_of(2) { "plate" } else { "catalogue" },
        layout,
        seed: n + 1,
    }
}

/// A name of about so many letters.
fn name(chance: &mut Chance, letters: (usize, usize)) -> String {
    let wanted = chance.among(letters.0, letters.1);
    let mut words = vec![String::new()];
    while words.iter().map(String::len).sum::<usize>() < wanted {
        let word = words.last_mut().expect("one word");
        if word.len() > 4 && chance.share() < 0.6 {
            words.push(String::new());
        } else {
            *word += chance.pick(&SYLLABLES);
        }
    }
    let capital = |word: &String| {
        let mut word = word.clone();
        if let Some(first) = word.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        word
    };
    words.iter().filter(|w| !w.is_empty()).map(capital).collect::<Vec<_>>().join(" ")
}

/// A colour that goes round the hues within its family.
fn value(chance: &mut Chance, i: usize, of: usize) -> String {
    let (hue, light) = (i as f64 / of as f64, 0.25 + 0.6 * chance.share());
    let one = |turn: f64| {
        let wave = ((hue + turn).fract() * 6.0 - 3.0).abs() - 1.0;
        let strong = 0.35 + 0.6 * chance_of(i);
        let v = light + strong * (wave.clamp(0.0, 1.0) - 0.5) * (1.0 - (2.0 * light - 1.0).abs());
        (v.clamp(0.0, 1.0) * 255.0).round() as u8
    };
    format!("#{:02x}{:02x}{:02x}", one(0.0), one(2.0 / 3.0), one(1.0 / 3.0))
}

fn chance_of(i: usize) -> f64 {
    (i * 37 % 11) as f64 / 10.0
}

impl Case {
    /// Writes sheet, range and drawings into a folder; the sheet's file is `sheet.ron`.
    pub fn write(&self, folder: &Path) -> std::io::Result<()> {
        std::fs::create_dir_all(folder)?;
        let mut chance = Chance::new(self.seed);
        let keys: Vec<&str> = ["works", "dealer", "trade"][..self.listings].to_vec();
        let mut range =
            String::from("Range(maker: \"Generated Works\", release: \"Release 1\",\nlistings: [");
        for (key, title) in keys.iter().zip(["Works", "Dealer", "Trade"]) {
            let _ = write!(range, "(key: \"{key}\", title: \"{title}\"),");
        }
        range += "],\nfamilies: [\n";
        for (f, (_, finish)) in self.families.iter().enumerate() {
            let title = name(&mut chance, (4, 9));
            let _ = writeln!(range, "(key: \"f{f}\", title: \"{title}\", finish: {finish}),");
        }
        range += "],\nparts: [\n";
        for (p, (outline, w, h)) in self.parts.iter().enumerate() {
            let file = format!("p{p}.svg");
            std::fs::write(folder.join(&file), outline.svg(*w, *h))?;
            let side = if p.is_multiple_of(2) { "left" } else { "right" };
            let number = 1000 + 37 * p;
            let _ = writeln!(
                range,
                "(key: \"p{p}\", numbers: {{\"works\": \"{number}\"}}, title: \"{}\", side: {side}, shape: \"{file}\"),",
                outline.word()
            );
        }
        range += "],\ncolours: [\n";
        let mut rows = String::new();
        let mut n = 0;
        for (f, (count, _)) in self.families.iter().enumerate() {
            for i in 0..*count {
                self.colour(&mut range, &mut chance, &keys, (f, i, *count), n);
                let sure = n % self.parts.len();
                let marks: String = (0..self.parts.len())
                    .map(|p| if p == sure || chance.share() < self.made { 'x' } else { '.' })
                    .collect();
                let _ = writeln!(rows, "\"c{n}\": \"{marks}\",");
                n += 1;
            }
        }
        range += &format!("],\nmade: (rows: {{\n{rows}}}))\n");
        std::fs::write(folder.join("range.ron"), range)?;
        std::fs::write(folder.join("sheet.ron"), self.sheet(folder)?)
    }

    #[expect(clippy::too_many_arguments, reason = "a line of a generated range")]
    fn colour(
        &self,
        out: &mut String,
        chance: &mut Chance,
        keys: &[&str],
        (family, i, of): (usize, usize, usize),
        n: usize,
    ) {
        let (mut names, mut numbers) = (String::new(), String::new());
        for (k, key) in keys.iter().enumerate() {
            // The first list names every colour, the others most.
            if k == 0 || chance.share() < 0.85 {
                let _ = write!(names, "\"{key}\": \"{}\",", name(chance, self.letters));
            }
            if self.numbers && (k == 0 || chance.share() < 0.8) {
                let _ = write!(numbers, "\"{key}\": \"{}{n}\",", ["", "K", "32-"][k]);
            }
        }
        let value = value(chance, i, of);
        let _ = writeln!(
            out,
            "(key: \"c{n}\", family: \"f{family}\", names: {{{names}}}, numbers: {{{numbers}}}, value: \"{value}\"),"
        );
    }

    fn sheet(&self, folder: &Path) -> std::io::Result<String> {
        let layout = if self.layout.starts_with("Layout") {
            std::fs::write(folder.join("own.ron"), self.layout)?;
            "own.ron"
        } else {
            self.layout
        };
        let centre = ["works", "dealer", "trade"][..self.listings]
            .iter()
            .map(|key| format!("(listing: \"{key}\")"))
            .collect::<Vec<_>>()
            .join(", ");
        Ok(format!(
            "Sheet(range: \"range.ron\", name: \"{}\", title: \"Buttons and Beads\", subtitle: \"{{colours}} colours, {{scale}}\",\n\
             style: \"{}\", headings: \"works\", centre: [{centre}], spellings: [\"en-GB\"],\n\
             editions: [(name: \"sheet\", layout: \"{layout}\")])\n",
            self.name, self.style
        ))
    }

    /// How many colours it has.
    pub fn colours(&self) -> usize {
        self.families.iter().map(|f| f.0).sum()
    }
}
