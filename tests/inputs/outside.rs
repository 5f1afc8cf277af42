//! Nothing is read outside the folder of a description unless a path on the command line says
//! so, and nothing is sent anywhere.
#![cfg(unix)]

use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;

use crate::small::{below, copy};

/// A folder with a copy of the demo in `in`, and beside it files that it may not have.
fn bench() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    copy(Path::new("demo/haberdashery"), &dir.path().join("in"));
    let place = |from: &str, name: &str| {
        std::fs::copy(from, dir.path().join(name)).expect("copied");
    };
    place("demo/haberdashery/range.ron", "range.ron");
    place("layouts/a4.ron", "page.ron");
    place("layouts/plate.style.ron", "own.style.ron");
    place("profiles/coated.icc", "paper.icc");
    std::fs::write(dir.path().join("disc.svg"), "<svg/>").expect("written");
    std::fs::write(dir.path().join("made.csv"), "key\n").expect("written");
    std::fs::write(dir.path().join("de-DE.ron"), "Spelling()").expect("written");
    dir
}

fn change(dir: &Path, file: &str, from: &str, to: &str) {
    let path = dir.join("in").join(file);
    let text = std::fs::read_to_string(&path).expect("read");
    assert!(text.contains(from), "{from}");
    std::fs::write(path, text.replacen(from, to, 1)).expect("written");
}

/// What a command says in the folder, and its exit code.
fn run(dir: &Path, args: &[&str]) -> (String, Option<i32>) {
    let run = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    let run = { run }.args(args).current_dir(dir).output().expect("runs");
    let told = [run.stdout, run.stderr].concat();
    (String::from_utf8_lossy(&told).into_owned(), run.status.code())
}

/// Refused by every way out of the folder to `file`, which stands beside it.
fn refused(file: &str, name: &dyn Fn(&Path, &str), args: &[&str]) {
    for way in 0..3 {
        let dir = bench();
        let link = format!("link-{file}");
        symlink(dir.path().join(file), dir.path().join("in").join(&link)).expect("linked");
        let whole = dir.path().join(file).display().to_string();
        let way = &[format!("../{file}"), whole, link][way];
        name(dir.path(), way);
        let (told, code) = run(dir.path(), args);
        assert_eq!(code, Some(1), "{way}: {told}");
        assert!(told.contains("leads out of the folder of this file"), "{way}: {told}");
    }
}

const MAKE: [&str; 5] = ["make", "in/sheet.ron", "--edition", "a4", "--format=svg"];

#[test]
fn a_range() {
    let name = |dir: &Path, way: &str| {
        change(dir, "sheet.ron", "range: \"range.ron\"", &format!("range: \"{way}\""));
    };
    refused("range.ron", &name, &MAKE);
}

#[test]
fn a_drawing() {
    let name = |dir: &Path, way: &str| {
        let text = std::fs::read_to_string(dir.join("in/range.ron")).expect("read");
        let at = text.find("shape: \"").expect("a drawing");
        let end = at + 8 + text[at + 8..].find('"').expect("its end");
        change(dir, "range.ron", &text[at..=end], &format!("shape: \"{way}\""));
    };
    refused("disc.svg", &name, &MAKE);
}

#[test]
fn a_layout() {
    let name = |dir: &Path, way: &str| {
        change(dir, "sheet.ron", "layout: \"a4\"", &format!("layout: \"{way}\""));
    };
    refused("page.ron", &name, &MAKE);
}

#[test]
fn a_layout_that_is_compared() {
    let name = |dir: &Path, way: &str| {
        change(dir, "sheet.ron", "layout: \"a4\"", &format!("layout: \"{way}\""));
    };
    refused("page.ron", &name, &["compare", "in/sheet.ron", "in/sheet.ron"]);
}

#[test]
fn a_style() {
    let name = |dir: &Path, way: &str| {
        change(dir, "sheet.ron", "Sheet(", &format!("Sheet(style: \"{way}\","));
    };
    refused("own.style.ron", &name, &MAKE);
}

#[test]
fn a_profile() {
    let name = |dir: &Path, way: &str| {
        let papers = format!("Sheet(papers: [(name: \"mine\", profile: \"{way}\")],");
        change(dir, "sheet.ron", "Sheet(", &papers);
    };
    let args = ["make", "in/sheet.ron", "--edition", "a4", "--format=pdf", "--paper", "mine"];
    refused("paper.icc", &name, &args);
}

#[test]
fn a_table() {
    let name = |dir: &Path, way: &str| {
        let text = std::fs::read_to_string(dir.join("in/range.ron")).expect("read");
        let at = text.find("\n    colours: [").expect("colours");
        let range = format!("{}\n    colours: Table(file: \"{way}\"),\n)", &text[..at]);
        std::fs::write(dir.join("in/range.ron"), range).expect("written");
    };
    refused("made.csv", &name, &MAKE);
}

#[test]
fn a_spelling() {
    let dir = bench();
    std::fs::create_dir(dir.path().join("in/spelling")).expect("a folder");
    symlink(dir.path().join("de-DE.ron"), dir.path().join("in/spelling/de-DE.ron"))
        .expect("linked");
    change(dir.path(), "sheet.ron", "\"en-US\"", "\"de-DE\"");
    let (told, code) = run(dir.path(), &MAKE);
    assert_eq!(code, Some(1), "{told}");
    assert!(told.contains("leads out of the folder of this file"), "{told}");
}

#[test]
fn a_path_on_the_command_line_may_lead_anywhere() {
    let dir = bench();
    let (told, code) = run(dir.path(), &[&MAKE[..], &["--style", "own.style.ron"]].concat());
    assert_eq!(code, Some(0), "{told}");
    let (told, code) = run(dir.path(), &["check", "in/sheet.ron", "--style", "own.style.ron"]);
    assert_eq!(code, Some(0), "{told}");
    // A link inside the folder is as good as a file.
    std::fs::rename(dir.path().join("in/range.ron"), dir.path().join("in/other.ron"))
        .expect("moved");
    symlink("other.ron", dir.path().join("in/range.ron")).expect("linked");
    let (told, code) = run(dir.path(), &MAKE);
    assert_eq!(code, Some(0), "{told}");
}

/// No source of ours opens a connection, and no crate in the program is made for it. The server of `watch` alone has
/// sockets: it takes connections of this machine, and makes none.
#[test]
fn nothing_is_sent_anywhere() {
    let sources = below(Path::new("src"));
    for (path, bytes) in &sources {
        let text = std::str::from_utf8(bytes).expect("text");
        for word in ["UdpSocket", "UnixStream", "UNSPECIFIED", "0.0.0.0", "::connect("] {
            assert!(!text.contains(word), "{} has {word}", path.display());
        }
        for word in ["std::net", "TcpStream", "TcpListener", "tokio::net"] {
            let is_server = path.ends_with("watch/server.rs");
            assert!(is_server || !text.contains(word), "{} has {word}", path.display());
        }
    }
    assert!(sources.len() > 100, "{} sources", sources.len());
    let server = sources.iter().find(|(path, _)| path.ends_with("watch/server.rs")).expect("there");
    let server = std::str::from_utf8(server.1).expect("text");
    assert_eq!(server.matches("TcpListener::bind((Ipv4Addr::LOCALHOST, ").count(), 1);
    assert_eq!(server.matches("::bind(").count(), 1);
    let tree = |edges: &str| {
        let words = ["tree", "--offline", "--locked", "-e", edges, "--prefix", "none"];
        let tree = Command::new(env!("CARGO")).args(words).output().expect("runs");
        String::from_utf8_lossy(&tree.stdout).into_owned()
    };
    let normal = tree("normal");
    let crates: Vec<&str> = normal.lines().filter_map(|l| l.split(' ').next()).collect();
    assert!(crates.contains(&"shadecard") && crates.contains(&"printpdf"), "{normal}");
    for one in ["reqwest", "ureq", "curl", "rustls", "native-tls", "hickory-resolver"] {
        assert!(!crates.contains(&one), "{one}");
    }
    // Of the crates of the server, what makes connections is not built.
    let features = tree("normal,features");
    assert!(features.contains("hyper feature \"server\""), "{features}");
    for one in ["hyper feature \"client\"", "hyper-util feature \"client", "tokio feature \"full\""]
    {
        assert!(!features.contains(one), "{one}");
    }
}
