//! Every text that a sheet prints can be given for each spelling, in RON and in tables; a size with its unit.

use std::process::Command;

use crate::small::Bench;
use crate::svg_words::words;

/// A text with a form in en-US that no word list would make.
fn two(word: &str) -> String {
    format!("Forms(\"{word} british\", {{\"en-US\": \"{word} american\"}})")
}

fn run(bench: &Bench, words: &str) {
    let mut run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    let run = run.args(words.split(' ')).current_dir(&bench.folder).output().expect("runs");
    assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
}

/// The words of the sheet in both spellings.
fn printed(bench: &Bench, sheet: &str) -> [String; 2] {
    ["en-GB", "en-US"].map(|tag| {
        let file = bench.folder.join(format!("out/{sheet}/card.{tag}.svg"));
        words(&std::fs::read_to_string(file).expect("made"))
    })
}

fn range(parts: &str) -> String {
    let [maker, release, title] = ["maker", "release", "family"].map(two);
    let [note, legend, name] = ["famnote", "legend", "colour"].map(two);
    format!(
        "Range(maker: {maker}, release: {release}, listings: [(key: \"works\", title: \"Works\")],
         families: [(key: \"plain\", title: {title}, note: {note}, legend: {legend}, finish: opaque),
                    (key: \"clear\", title: \"Clear\", finish: clear)],
         parts: {parts},
         colours: [(key: \"a\", family: \"plain\", names: {{\"works\": {name}}}, numbers: {{\"works\": \"1\"}}, value: \"#cc0000\"),
                   (key: \"b\", family: \"plain\", names: {{\"works\": \"Bee\"}}, value: \"#0a7d4b\"),
                   (key: \"c\", family: \"clear\", names: {{\"works\": \"Sea\"}}, value: \"#0a4d8b\")],
         made: (parts: [\"d\"], rows: {{\"a\": \"x\", \"b\": \"x\", \"c\": \"x\"}}))"
    )
}

#[test]
fn any_text_of_a_sheet_has_two_spellings() {
    let bench = Bench::new();
    let (part, size) = (two("part"), two("size"));
    let parts = format!("[(key: \"d\", title: {part}, size: {size}, shape: \"disc.svg\")]");
    bench.write("range.ron", &range(&parts));
    bench.write("page.ron", "Layout(title: \"A4\", page: Paper(\"A4\"), scale: Fit)");
    let [title, subtitle, corner] = ["title", "subtitle", "corner"].map(two);
    let [edition, note, imprint, reason] = ["edition", "note", "imprint", "reason"].map(two);
    let sheet = format!(
        "Sheet(range: \"range.ron\", name: \"two\", title: {title}, subtitle: {subtitle}, corner_text: {corner},
         edition_line: {edition}, notes: [{note}], imprint: [{imprint}, \"{{maker}}, {{release}}\"],
         leave_out: [(colours: [\"b\"], reason: {reason})],
         editions: [(name: \"card\", layout: \"page.ron\", spellings: [\"en-GB\", \"en-US\"])])"
    );
    bench.write("sheet.ron", &sheet);
    // The styles leave out a text each: both together print all.
    for style in ["plate", "catalogue"] {
        run(&bench, &format!("make sheet.ron --format svg --style {style} --out out"));
    }
    let [plate, catalogue] = ["two", "two-catalogue"].map(|sheet| printed(&bench, sheet));
    let printed = [0, 1].map(|i| plate[i].clone() + &catalogue[i]);
    let all = [
        "maker", "release", "family", "famnote", "legend", "colour", "part", "size", "title",
        "subtitle", "corner", "edition", "note", "imprint", "reason",
    ];
    for (which, other, text) in
        [("british", "american", &printed[0]), ("american", "british", &printed[1])]
    {
        let folded = text.to_lowercase();
        for word in all {
            assert!(folded.contains(&format!("{word} {which}")), "{word} {which}: {text}");
        }
        assert!(!folded.contains(other), "{other}: {text}");
    }
}

#[test]
fn sizes_of_a_table_have_two_spellings_and_come_back_from_an_export() {
    let bench = Bench::new();
    bench.write("parts.csv", "key,title,size,size en-US,shape\nd,Disc,12,1/2 in,disc.svg\n");
    bench.write("range.ron", &range("Table(file: \"parts.csv\")"));
    run(&bench, "make sheet.ron --format svg");
    let [gb, us] = printed(&bench, "base");
    assert!(us.contains("1/2 in") && !us.contains("1/2 in mm"), "{us}");
    assert!(gb.contains("12") && !gb.contains("1/2 in"), "{gb}");
    run(&bench, "export sheet.ron --to csv --out made");
    let table = std::fs::read_to_string(bench.folder.join("made/parts.csv")).expect("made");
    assert!(table.contains("size,size en-US,") && table.contains("12,1/2 in,"), "{table}");
}
