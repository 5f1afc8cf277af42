//! A sheet that is made in a moment: three colours, two parts, one page of A6.
#![allow(dead_code, reason = "each test file uses its part")]

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use shadecard::session::Session;

/// The two values that its first colour is given in turns.
pub const VALUES: [&str; 2] = ["#cc0000", "#0a7d4b"];

/// Files by their path below a folder.
pub type Tree = BTreeMap<PathBuf, Vec<u8>>;

/// A folder with the sheet in it.
pub struct Bench {
    _temporary: tempfile::TempDir,
    pub folder: PathBuf,
}

impl Bench {
    pub fn new() -> Bench {
        let temporary = tempfile::tempdir().expect("a folder");
        // Without a name of its own a sheet is called after its folder.
        let folder = temporary.path().canonicalize().expect("there").join("base");
        std::fs::create_dir(&folder).expect("made");
        for file in ["range.ron", "disc.svg"] {
            let from = Path::new("tests/faults/commands/base").join(file);
            std::fs::copy(from, folder.join(file)).expect("copied");
        }
        std::fs::copy(folder.join("range.ron"), folder.join("older.ron")).expect("copied");
        let bench = Bench { _temporary: temporary, folder };
        bench.write("page.ron", "Layout(title: \"A6\", page: Paper(\"A6\"), scale: Fit)");
        let sheet = |name: &str| {
            format!(
                "Sheet(range: \"range.ron\", name: \"{name}\", title: \"Base\", year: 2020, editions: \
                 [(name: \"card\", layout: \"page.ron\", spellings: [\"en-GB\", \"en-US\"])])"
            )
        };
        bench.write("sheet.ron", &sheet("base"));
        bench.write("other.ron", &sheet("other"));
        bench
    }

    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.folder.join(name), text).expect("written");
    }

    /// Gives the first colour one of the values.
    pub fn value(&self, which: usize) {
        let text = std::fs::read_to_string(self.folder.join("range.ron")).expect("there");
        assert!(VALUES.iter().any(|v| text.contains(v)), "{text}");
        let text = VALUES.iter().fold(text, |text, old| text.replace(old, VALUES[which]));
        self.write("range.ron", &text);
    }

    /// All results in a folder, but for the program's own notes.
    pub fn made(&self, name: &str) -> Tree {
        let mut tree = below(&self.folder.join(name));
        tree.retain(|path, _| !path.iter().any(|part| part == ".shadecard"));
        tree
    }

    /// Files anywhere that are not whole yet.
    pub fn parts(&self) -> Vec<PathBuf> {
        let all = below(&self.folder).into_keys();
        all.filter(|p| p.extension().is_some_and(|e| e == "part")).collect()
    }
}

/// Runs the program in this process; words that begin with @ are paths in a folder. The exit code.
pub fn run_at(folder: &Path, words: &[&str], session: &Session) -> u8 {
    let word = |word: &&str| match word.strip_prefix('@') {
        Some(path) => folder.join(path).into(),
        None => OsString::from(word),
    };
    let words = std::iter::once("shadecard".into()).chain(words.iter().map(word));
    shadecard::cli::run_with(words.collect(), session)
}

/// Every file below a folder.
pub fn below(folder: &Path) -> Tree {
    fn walk(root: &Path, folder: &Path, tree: &mut Tree) {
        for entry in std::fs::read_dir(folder).into_iter().flatten() {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(root, &path, tree);
            } else {
                let name = path.strip_prefix(root).expect("below").to_owned();
                tree.insert(name, std::fs::read(&path).expect("there"));
            }
        }
    }
    let mut tree = Tree::new();
    walk(folder, folder, &mut tree);
    tree
}

/// Files with the times at which they were written.
pub struct Saved(BTreeMap<PathBuf, (Vec<u8>, SystemTime)>);

/// Keeps all that is in a folder.
pub fn save(folder: &Path) -> Saved {
    let time =
        |path: &Path| folder.join(path).metadata().and_then(|m| m.modified()).expect("a time");
    let files = below(folder).into_iter();
    Saved(
        files
            .map(|(path, bytes)| {
                let at = time(&path);
                (path, (bytes, at))
            })
            .collect(),
    )
}

/// Makes a folder as it was.
pub fn restore(folder: &Path, saved: &Saved) {
    if folder.exists() {
        std::fs::remove_dir_all(folder).expect("removed");
    }
    for (path, (bytes, time)) in &saved.0 {
        let path = folder.join(path);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(&path, bytes).expect("written");
        let file = std::fs::File::options().write(true).open(&path).expect("there");
        file.set_modified(*time).expect("set");
    }
}

/// Every file is the old one or the new one.
pub fn whole(found: &Tree, old: &Tree, new: &Tree) -> Result<(), String> {
    for (path, bytes) in found {
        let is = |tree: &Tree| tree.get(path) == Some(bytes);
        if !is(old) && !is(new) {
            return Err(format!(
                "{} of {} bytes is neither old nor new",
                path.display(),
                bytes.len()
            ));
        }
    }
    match old.keys().find(|path| !found.contains_key(*path)) {
        Some(gone) => Err(format!("{} is gone", gone.display())),
        None => Ok(()),
    }
}

/// Copies all files of a folder into another one that is there.
pub fn copy(from: &Path, to: &Path) {
    for (path, bytes) in below(from) {
        let target = to.join(path);
        std::fs::create_dir_all(target.parent().expect("a folder")).expect("made");
        std::fs::write(target, bytes).expect("written");
    }
}
