//! Every command stops soon after Ctrl-C, whatever it is at: exit code 130, nothing half-written, nothing
//! printed that would be taken for a result. A second Ctrl-C ends it at once.
#![cfg(unix)]

use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use crate::small;

/// A run has to end within this after it is asked to.
const SOON: Duration = Duration::from_millis(200);
/// So much later, and the machine was busy with something else.
const BUSY: Duration = Duration::from_secs(2);

/// A folder with a sheet of so many of the 949 colours of the colour survey of 2010 (see the head of the file).
fn sheet_of(count: usize) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let published =
        std::fs::read_to_string("tests/colour/published/survey-colours.txt").expect("there");
    let values = published.lines().filter(|l| !l.starts_with("# ") && l.starts_with('#'));
    let (mut colours, mut made) = (String::new(), String::new());
    for (n, value) in values.take(count).enumerate() {
        let family = ["gloss", "clear", "satin"][n % 3];
        colours += &format!(
            "(key: \"c{n}\", family: \"{family}\", names: {{\"works\": \"Shade {n}\"}}, numbers: {{\"works\": \"{n}\"}}, value: \"{}\"),\n",
            value.trim()
        );
        made += &format!("\"c{n}\": \"{}\", ", ["xxx", "x.x", ".xx"][n % 3]);
    }
    let range = format!(
        "Range(maker: \"Base Works\", listings: [(key: \"works\")],
        families: [(key: \"gloss\"), (key: \"clear\", finish: clear), (key: \"satin\", finish: satin)],
        parts: [(key: \"a\", numbers: {{\"works\": \"1\"}}, shape: \"b10.svg\"),
            (key: \"b\", numbers: {{\"works\": \"2\"}}, shape: \"b11.svg\"),
            (key: \"c\", numbers: {{\"works\": \"3\"}}, shape: \"b12.svg\")],
        colours: [{colours}], made: (rows: {{{made}}}))"
    );
    std::fs::write(at.join("range.ron"), range).expect("written");
    let shapes = std::fs::read_dir("demo/haberdashery/shapes").expect("the demo's drawings");
    let mut shapes: Vec<PathBuf> = shapes.map(|e| e.expect("a file").path()).collect();
    shapes.sort();
    for (n, shape) in shapes.iter().take(3).enumerate() {
        std::fs::copy(shape, at.join(format!("b1{n}.svg"))).expect("copied");
    }
    let sheet = "Sheet(range: \"range.ron\", name: \"card\", lookalikes: (show: 6), editions: [(layout: \"a4-pages\"), (layout: \"poster-610x914\")])";
    std::fs::write(at.join("sheet.ron"), sheet).expect("written");
    std::fs::create_dir(at.join("old")).expect("made");
    for name in ["range.ron", "sheet.ron", "b10.svg", "b11.svg", "b12.svg"] {
        std::fs::copy(at.join(name), at.join("old").join(name)).expect("copied");
    }
    folder
}

fn begin(folder: &Path, words: &str) -> Child {
    Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .args(words.split(' '))
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("runs")
}

fn signal(run: &Child, name: &str) {
    // Not there any more, if it is done.
    let id = run.id().to_string();
    let _ = Command::new("kill").args([name, &id]).stderr(Stdio::null()).status();
}

/// Half-written files anywhere below.
fn parts(folder: &Path) -> Vec<PathBuf> {
    let all = small::below(folder).into_keys();
    all.filter(|p| p.extension().is_some_and(|e| e == "part")).collect()
}

/// Asks a run to stop after a while; how long it then took, and what it left.
fn stopped(folder: &Path, words: &str, after: Duration, name: &str) -> (Duration, Output) {
    let run = begin(folder, words);
    std::thread::sleep(after);
    let from = Instant::now();
    signal(&run, name);
    let output = run.wait_with_output().expect("ended");
    (from.elapsed(), output)
}

/// On a large sheet and on one of 120 colours.
const COMMANDS: &[&str] = &[
    "check sheet.ron",
    "plan sheet.ron",
    "make sheet.ron --fresh --out made",
    "labels sheet.ron --out made",
    "board sheet.ron --out made/board.pdf --replace",
    "supplies sheet.ron --out made/supplies.pdf --replace",
    "shapes sheet.ron --out made/shapes.pdf --replace",
    "tune sheet.ron --paper matte --out made/matte.ron --replace",
    "lookalikes sheet.ron --limit 30 --out made/alike.csv --replace",
    "compare old/sheet.ron sheet.ron --out made/news.md --replace",
    "compare old/sheet.ron sheet.ron --for buyers --out made/buyers.pdf --replace",
    "export sheet.ron --out made/export",
    "new made/new --from list.csv",
];

/// These take long on a large one.
const LONG: &[&str] = &[
    "make sheet.ron --fresh --paper matte --format png --out made",
    "proof sheet.ron --paper matte --out made --replace",
];

#[test]
fn every_command_stops_at_every_stage() {
    let (large, small) = (sheet_of(949), sheet_of(120));
    let all = COMMANDS.iter().map(|c| (large.path(), c));
    let all = all.chain(LONG.iter().map(|c| (small.path(), c)));
    let at = large.path();
    let rows: String = (0..5000).map(|n| format!("{n},Shade {n},#{:06x}\n", n * 3001)).collect();
    std::fs::write(at.join("list.csv"), format!("number,name,value\n{rows}")).expect("written");
    let (mut worst, mut late, mut ends) = (Duration::ZERO, Vec::new(), 0);
    for (at, words) in all {
        let _ = std::fs::remove_dir_all(at.join("made"));
        std::fs::create_dir(at.join("made")).expect("made");
        let from = Instant::now();
        let whole = begin(at, words).wait_with_output().expect("ended");
        let took = from.elapsed();
        let said = String::from_utf8_lossy(&whole.stderr).into_owned();
        assert!(matches!(whole.status.code(), Some(0 | 1)), "{words}: {said}");
        let mut told = Vec::new();
        let times = if took > Duration::from_secs(5) { 3 } else { 6 };
        for n in 0..times {
            let _ = std::fs::remove_dir_all(at.join("made"));
            std::fs::create_dir(at.join("made")).expect("made");
            let after = took.mul_f64((0.5 + f64::from(n)) / (f64::from(times) + 0.5));
            let (waited, output) = stopped(at, words, after, ["-INT", "-TERM"][n as usize % 2]);
            let status = output.status;
            told.push(format!("{}", waited.as_millis()));
            if status.code() == Some(130) {
                ends += 1;
                assert!(output.stdout.is_empty(), "{words}: a result is printed");
                let said = String::from_utf8_lossy(&output.stderr).into_owned();
                assert!(said.ends_with("stopped; every file present is complete\n"), "{said}");
            } else {
                // Before the program listens the signal ends it; or it was done.
                let early = status.signal().is_some() || status.code() == whole.status.code();
                assert!(early, "{words}: {status}");
            }
            assert!(parts(at).is_empty(), "{words}: {:?}", parts(at));
            worst = worst.max(waited);
            if waited > SOON {
                late.push(format!("{words}: {} ms", waited.as_millis()));
            }
        }
        println!("{words}: {} ms; stopped in {} ms", took.as_millis(), told.join(", "));
    }
    assert!(ends > 20, "{ends} were stopped at work");
    assert!(worst < BUSY && late.len() <= 5, "{late:?}");
}

/// The one who asks twice waits for nothing.
#[test]
fn a_second_ctrl_c_ends_at_once() {
    let folder = sheet_of(949);
    let run = begin(folder.path(), "tune sheet.ron --paper matte");
    std::thread::sleep(Duration::from_millis(700));
    signal(&run, "-INT");
    signal(&run, "-INT");
    let output = run.wait_with_output().expect("ended");
    assert_eq!(output.status.code(), Some(130));
    assert!(!folder.path().join("matte.values.ron").exists());
}
