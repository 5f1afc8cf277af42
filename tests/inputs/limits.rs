//! Limits of what is read: each is named, can be raised for a run, and draws no other messages after it.

use shadecard::console::Console;
use shadecard::session::Session;

use crate::small::{Bench, run_at};

/// What `check` says of the sheet, and its exit code.
fn check(bench: &Bench, more: &[&str]) -> (String, u8) {
    let session = Session { console: Console::in_memory(), ..Session::default() };
    let code = run_at(&bench.folder, &[&["check", "@sheet.ron"], more].concat(), &session);
    let printed = session.console.printed();
    (printed.out + &printed.err, code)
}

/// Puts `text` into the range file before `mark`.
fn before(bench: &Bench, mark: &str, text: &str) {
    let range = std::fs::read_to_string(bench.folder.join("range.ron")).expect("there");
    assert!(range.contains(mark), "{range}");
    bench.write("range.ron", &range.replacen(mark, &format!("{text}{mark}"), 1));
}

/// What is made is in this CSV file.
fn made_in_a_table(bench: &Bench, csv: &str) {
    bench.write("made.csv", csv);
    let range = std::fs::read_to_string(bench.folder.join("range.ron")).expect("there");
    let start = range.find("made: (").expect("there");
    bench.write("range.ron", &format!("{}made: Table(file: \"made.csv\"),\n)\n", &range[..start]));
}

fn many(count: usize, of: impl Fn(usize) -> String) -> String {
    (0..count).map(of).collect()
}

fn errors(told: &str) -> usize {
    told.lines().filter(|l| l.starts_with("Error in ") || l.starts_with("Error:")).count()
}

#[test]
fn lists_of_a_range() {
    let colour = |n| {
        let value = format!("#{:06x}", n * 601);
        format!(
            "(key: \"c{n}\", family: \"gloss\", names: {{\"works\": \"C{n}\"}}, value: \"{value}\"),\n"
        )
    };
    /// The list, what its first item begins with, how many more are too many, and one of them.
    type Case<'a> = (&'a str, &'a str, usize, &'a dyn Fn(usize) -> String);
    let cases: [Case<'_>; 4] = [
        ("listings", "(key: \"works\")", 19, &|n| format!("(key: \"l{n}\"),")),
        ("families", "(key: \"gloss\"", 199, &|n| format!("(key: \"f{n}\", title: \"F\"),")),
        ("parts", "(key: \"disc\"", 499, &|n| format!("(key: \"p{n}\", shape: \"disc.svg\"),")),
        ("colours", "(key: \"red\"", 19_998, &colour),
    ];
    for (name, mark, count, item) in cases {
        let bench = Bench::new();
        before(&bench, mark, &many(count, item));
        let (told, code) = check(&bench, &[]);
        assert_eq!(code, 1, "{name}: {told}");
        assert_eq!(errors(&told), 1, "what is cut off draws no messages after it: {told}");
        assert!(told.contains(&format!("{name}, more than")), "{told}");
        assert!(told.contains("'--raise-limits 2'"), "{told}");
        // So many colours take seconds to check.
        if name != "colours" {
            let (told, _) = check(&bench, &["--raise-limits", "2"]);
            assert!(!told.contains("more than"), "{name}: {told}");
        }
    }
}

#[test]
fn files_and_tables() {
    let bench = Bench::new();
    let row = "red,x,x\n";
    made_in_a_table(&bench, &format!("key,disc,ball\n{}", row.repeat(100_000)));
    let (told, code) = check(&bench, &[]);
    assert_eq!((errors(&told), code), (1, 1), "{told}");
    assert!(
        told.contains("more than 100000 rows") && told.contains("'--raise-limits 2'"),
        "{told}"
    );
    let (told, _) = check(&bench, &["--raise-limits", "2"]);
    assert!(told.contains("two rows of marks") && !told.contains("more than 100"), "{told}");
}

/// Not even where rows and columns are both within theirs.
#[test]
fn cells_of_a_table() {
    let bench = Bench::new();
    made_in_a_table(&bench, &format!("{}\n", "a,".repeat(1_999)).repeat(2_001));
    let (told, code) = check(&bench, &[]);
    assert_eq!((errors(&told), code), (1, 1), "{told}");
    assert!(told.contains("more than 4000000 cells"), "{told}");
}

#[test]
fn drawings() {
    let bench = Bench::new();
    let shape = |elements: usize| {
        let groups = "<g/>".repeat(elements);
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='12mm' height='12mm' viewBox='0 0 12 12'>\
             <circle cx='6' cy='6' r='6'/>{groups}</svg>"
        )
    };
    bench.write("disc.svg", &shape(100_001));
    let (told, code) = check(&bench, &[]);
    assert_eq!(code, 1, "{told}");
    assert!(told.contains("more than 100000 elements"), "{told}");
    assert!(told.contains("'--raise-limits 2'"), "{told}");
    let (told, code) = check(&bench, &["--raise-limits", "2"]);
    assert_eq!(code, 0, "{told}");
    // Beyond what can be read at all, raising is not offered.
    bench.write("disc.svg", &shape(1_000_001));
    let (told, code) = check(&bench, &["--raise-limits", "32"]);
    assert_eq!(code, 1, "{told}");
    assert!(told.contains("more than 900000 elements") && !told.contains("--raise"), "{told}");
}

#[test]
fn by_how_much() {
    let bench = Bench::new();
    for (times, wrong) in [("0", true), ("65", true), ("many", true), ("64", false)] {
        let (told, code) = check(&bench, &["--raise-limits", times]);
        assert_eq!(code == 1, wrong, "{times}: {told}");
        assert_eq!(told.contains("--raise-limits"), wrong, "{told}");
    }
}

/// Looking among thousands for what was meant takes its time.
#[test]
fn not_every_unknown_key_gets_a_suggestion() {
    let bench = Bench::new();
    let letter = |n: usize| char::from(b'a' + (n % 26) as u8);
    let near = |n| format!("\"mid-gr{}{}\": \"xx\",", letter(n / 26), letter(n));
    before(&bench, "\"red\": \"xx\"", &many(500, near));
    let (told, code) = check(&bench, &["--json"]);
    assert_eq!(code, 1, "{told}");
    let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
    let list = told.as_array().expect("a list");
    let unknown = list.iter().filter(|d| d["code"] == "unknown-colour");
    let (with, without): (Vec<_>, Vec<_>) =
        unknown.partition(|d| d["help"].as_str().is_some_and(|h| h.starts_with("did you mean")));
    assert_eq!((with.len(), without.len()), (100, 399), "one of them is the key itself");
}
