//! Hunspell dictionaries: where they are found, and what they know.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use spellbook::Dictionary;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use crate::diag::{Diagnostic, Span};
use crate::read::tag;

/// The largest dictionary file that is read, in bytes; the large ones of Debian have 5 MB.
const MAX_BYTES: u64 = 32 * 1024 * 1024;

/// Where systems keep dictionaries, after the folders of `DICPATH`.
const SYSTEM: [&str; 3] = ["/usr/share/hunspell", "/usr/share/myspell", "/usr/share/myspell/dicts"];

/// The dictionaries of one spelling: a word is known if any of them knows it.
#[derive(Default)]
pub struct Dictionaries {
    list: Vec<Dictionary>,
    files: Vec<PathBuf>,
}

impl Dictionaries {
    /// The dictionaries of a tag among those given (`.dic` files, the `.aff` beside each, or folders of them), else
    /// the system's. Having none is not a fault: see [`Dictionaries::is_empty`].
    ///
    /// A file named after another tag (`en_US.dic` for `en-GB`) is ignored; any other name serves every tag.
    ///
    /// # Errors
    /// A given path that does not exist or is not a dictionary; a dictionary that cannot be read or is damaged.
    pub fn find(tag: &str, given: &[PathBuf]) -> Result<Dictionaries, Diagnostic> {
        let path = std::env::var_os("DICPATH").unwrap_or_default();
        let system = std::env::split_paths(&path).chain(SYSTEM.map(PathBuf::from));
        Dictionaries::find_in(tag, given, &system.collect::<Vec<_>>())
    }

    /// The same with the system's folders named.
    fn find_in(tag: &str, given: &[PathBuf], system: &[PathBuf]) -> Result<Self, Diagnostic> {
        let mut files = Vec::new();
        for path in given {
            files.extend(given_file(tag, path)?);
        }
        if files.is_empty() {
            files.extend(system.iter().find_map(|folder| in_folder(tag, folder)));
        }
        files.dedup();
        let list = files.iter().map(|f| open(f)).collect::<Result<_, _>>()?;
        Ok(Dictionaries { list, files })
    }

    /// Is there no dictionary, so that unknown words are not reported?
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The `.dic` files in use.
    pub fn files(&self) -> &[PathBuf] {
        &self.files
    }

    /// Does any dictionary know the word, as written or without its accents?
    pub fn knows(&self, word: &str) -> bool {
        let plain = without_accents(word);
        self.list.iter().any(|d| d.check(word) || (plain != word && d.check(&plain)))
    }

    /// The word that is probably meant.
    pub fn suggest(&self, word: &str) -> Option<String> {
        let mut all = Vec::new();
        // By changes of letters only: the last resort, likeness of letter groups, is slow and far off.
        let by_letters = |d: &Dictionary| {
            d.suggester().with_ngram_suggestions(false).suggest(word, &mut all);
        };
        self.list.iter().for_each(by_letters);
        all.into_iter().find(|s| Dictionaries::near(s, word))
    }

    /// Can one be meant by the other? At most two letters differ, one in a short word, never the first; or only gaps do.
    pub(super) fn near(known: &str, word: &str) -> bool {
        let (known, word) = (known.to_lowercase(), word.to_lowercase());
        let most = if word.chars().count() > 5 { 2 } else { 1 };
        known.chars().next() == word.chars().next()
            && (known.replace([' ', '-'], "") == word
                || strsim::damerau_levenshtein(&known, &word) <= most)
    }
}

/// 'creme' for 'crème': many dictionaries have only that.
fn without_accents(word: &str) -> String {
    if word.is_ascii() {
        return word.to_owned();
    }
    word.nfd().filter(|c| !is_combining_mark(*c)).collect()
}

/// What a path on the command line gives for a tag.
fn given_file(tag: &str, path: &Path) -> Result<Option<PathBuf>, Diagnostic> {
    if path.is_dir() {
        return Ok(in_folder(tag, path));
    }
    let shown = path.display();
    if path.extension().is_none_or(|e| e != "dic") {
        return Err(fault(
            path,
            "no-dictionary",
            if path.exists() {
                format!("'{shown}' is not a dictionary file")
            } else {
                format!("there is no dictionary '{shown}'")
            },
            "name a Hunspell file, for example 'en_GB.dic', or the folder that contains it",
        ));
    }
    let name = path.file_stem().unwrap_or_default().to_string_lossy().replace('_', "-");
    let other = name.contains('-') && tag::well_formed(&name) && tag::usual_case(&name) != tag;
    Ok((!other).then(|| path.to_owned()))
}

/// `en_GB.dic` or `en-GB.dic` in a folder, where it is.
fn in_folder(tag: &str, folder: &Path) -> Option<PathBuf> {
    [tag.replace('-', "_"), tag.to_owned()]
        .into_iter()
        .map(|name| folder.join(name + ".dic"))
        .find(|file| file.is_file())
}

/// Reads a dictionary and its affix file.
fn open(dic: &Path) -> Result<Dictionary, Diagnostic> {
    let aff = dic.with_extension("aff");
    let words = bytes(dic)?;
    let rules = bytes(&aff)?;
    let label = encoding(&rules);
    let Some(encoding) = encoding_rs::Encoding::for_label(label.as_bytes()) else {
        return Err(fault(
            &aff,
            "bad-dictionary",
            format!("'{}' has an unknown encoding, '{}'", aff.display(), label),
            "use a dictionary in UTF-8",
        ));
    };
    let text = |bytes: &[u8]| encoding.decode(bytes).0.into_owned();
    let (rules, words) = (text(&rules), text(&words));
    if let Some(line) = overlong(&rules).or_else(|| overlong(&words)) {
        return Err(fault(
            dic,
            "bad-dictionary",
            format!("'{}' is not a dictionary: line {line} is too long", dic.display()),
            "use another copy of the dictionary",
        ));
    }
    Dictionary::new(&rules, &words).map_err(|e| {
        fault(
            dic,
            "bad-dictionary",
            format!("the dictionary '{}' is damaged: {e}", dic.display()),
            "use another copy of the dictionary, with a .dic and an .aff file that belong together",
        )
    })
}

/// The first line that no dictionary has: tens of thousands of signs.
fn overlong(text: &str) -> Option<usize> {
    text.lines().position(|l| l.len() > 20_000).map(|i| i + 1)
}

/// The encoding that the affix file states; Hunspell's default is Latin-1.
fn encoding(rules: &[u8]) -> String {
    let rules = rules.strip_prefix(b"\xef\xbb\xbf").unwrap_or(rules);
    let line = rules.split(|b| *b == b'\n').find_map(|l| l.strip_prefix(b"SET "));
    let label = line.map(|l| String::from_utf8_lossy(l).trim().to_owned());
    match label {
        // As Hunspell writes them; other labels are the usual ones.
        Some(l) => match l.strip_prefix("microsoft-cp") {
            Some(page) => format!("windows-{page}"),
            None => l,
        },
        None => "iso-8859-1".to_owned(),
    }
}

fn bytes(file: &Path) -> Result<Vec<u8>, Diagnostic> {
    let shown = file.display();
    let unreadable = |e: std::io::Error| {
        let help = if file.extension().is_some_and(|e| e == "aff") {
            "put the .aff file in the folder of the .dic file, with the same name"
        } else {
            "check the folder and the file name"
        };
        let why = match e.kind() {
            std::io::ErrorKind::NotFound => "was not found".to_owned(),
            std::io::ErrorKind::PermissionDenied => "cannot be read: permission denied".to_owned(),
            _ => format!("cannot be read: {e}"),
        };
        fault(file, "no-dictionary", format!("the dictionary file '{shown}' {why}"), help)
    };
    let mut out = Vec::new();
    let opened = File::open(file).map_err(unreadable)?;
    opened.take(MAX_BYTES + 1).read_to_end(&mut out).map_err(unreadable)?;
    if out.len() as u64 > MAX_BYTES {
        return Err(fault(
            file,
            "file-too-large",
            format!("'{shown}' is larger than {} MB", MAX_BYTES >> 20),
            "name a dictionary; large ones have about 5 MB",
        ));
    }
    Ok(out)
}

fn fault(file: &Path, code: &'static str, message: String, help: &str) -> Diagnostic {
    Diagnostic::error(code, message).at(Some(Span { file: file.into(), range: 0..0 })).help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shipped(tag: &str) -> Dictionaries {
        Dictionaries::find_in(tag, &["tests/dictionaries".into()], &[]).unwrap()
    }

    fn code(given: &Path) -> &'static str {
        Dictionaries::find_in("en-GB", &[given.to_owned()], &[]).err().unwrap().code
    }

    #[test]
    fn each_tag_finds_its_own() {
        let (gb, us) = (shipped("en-GB"), shipped("en-US"));
        assert_eq!(gb.files(), [Path::new("tests/dictionaries/en-GB.dic")]);
        assert!(gb.knows("grey") && !gb.knows("gray") && us.knows("gray") && !us.knows("grey"));
        assert!(gb.knows("Crème") && gb.knows("CAFÉ") && !gb.knows("Crèmz"));
        // A file of another tag is ignored; one of another name serves all; having none is not a fault.
        let file = PathBuf::from("tests/dictionaries/en-US.dic");
        assert!(
            Dictionaries::find_in("en-GB", std::slice::from_ref(&file), &[]).unwrap().is_empty()
        );
        assert!(!Dictionaries::find_in("en-US", &[file], &[]).unwrap().is_empty());
        assert!(shipped("fr").is_empty());
        let system = ["/nowhere".into(), "tests/dictionaries".into()];
        assert!(!Dictionaries::find_in("en-GB", &[], &system).unwrap().is_empty());
    }

    #[test]
    fn near_words() {
        let gb = shipped("en-GB");
        assert_eq!(gb.suggest("Herbour").as_deref(), Some("Harbour"));
        assert_eq!(gb.suggest("seafoam").as_deref(), Some("sea foam"));
        assert_eq!(gb.suggest("Qxzzvk"), None);
    }

    #[test]
    fn broken_ones() {
        let folder = tempfile::tempdir().unwrap();
        let write = |name: &str, bytes: &[u8]| {
            let file = folder.path().join(name);
            std::fs::write(&file, bytes).unwrap();
            file
        };
        assert_eq!(code(&folder.path().join("none.dic")), "no-dictionary");
        assert_eq!(code(&write("list.txt", b"x")), "no-dictionary");
        let dic = write("own.dic", b"1\ncaf\xe9\n");
        assert_eq!(code(&dic), "no-dictionary", "the .aff is missing");
        let with = |aff: &[u8], dic: &[u8]| {
            write("own.aff", aff);
            Dictionaries::find_in("en-GB", &[write("own.dic", dic)], &[])
        };
        assert!(with(b"SET ISO8859-1\n", b"1\ncaf\xe9\n").unwrap().knows("café"));
        assert!(with(b"", b"1\ncaf\xe9\n").unwrap().knows("Café"));
        let failed = |aff: &[u8], dic: &[u8]| with(aff, dic).err().map(|d| d.code);
        assert_eq!(failed(b"SET KLINGON\n", b"1\nx\n"), Some("bad-dictionary"));
        assert_eq!(failed(b"SET UTF-8\nSFX A Y 3\n", b"1\nx\n"), Some("bad-dictionary"));
        assert_eq!(failed(b"SET UTF-8\n", b""), Some("bad-dictionary"));
        assert_eq!(failed(b"SET UTF-8\n", &[b'x'; 30_000]), Some("bad-dictionary"));
        let huge = File::create(folder.path().join("own.dic")).unwrap();
        huge.set_len(MAX_BYTES + 1).unwrap();
        assert_eq!(code(&dic), "file-too-large");
    }
}
