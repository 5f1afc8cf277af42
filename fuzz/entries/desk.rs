//! A folder for the files of one input, beside a small range, a sheet and a shape without faults.

use std::path::PathBuf;

/// A plain disc of 12 mm.
pub const DISC: &str = include_str!("../../tests/faults/base/disc.svg");
pub const RANGE: &str = include_str!("../../tests/faults/base/range.ron");
pub const SHEET: &str = include_str!("../../tests/faults/base/sheet.ron");

/// The folder; one for each thread, used again for the next input.
pub struct Desk(tempfile::TempDir);

thread_local! {
    static DESK: Desk = Desk(tempfile::tempdir().expect("a folder"));
}

impl Desk {
    /// Its name is the same on every run: a sheet without a name is called after its folder.
    pub fn at(&self) -> PathBuf {
        self.0.path().join("desk")
    }

    pub fn file(&self, name: &str) -> PathBuf {
        self.at().join(name)
    }

    /// Writes a file, and the folder that it is in.
    pub fn put(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let file = self.file(name);
        std::fs::create_dir_all(file.parent().expect("a folder")).expect("made");
        std::fs::write(&file, bytes).expect("written");
        file
    }
}

/// Runs `work` in a folder with the base files, and with these in place of them or besides.
pub fn with<T>(files: &[(&str, &[u8])], work: impl FnOnce(&Desk) -> T) -> T {
    DESK.with(|desk| {
        let base = [("disc.svg", DISC), ("range.ron", RANGE), ("sheet.ron", SHEET)];
        for (name, text) in base.iter().filter(|(n, _)| files.iter().all(|(own, _)| own != n)) {
            desk.put(name, text);
        }
        for (name, bytes) in files {
            desk.put(name, bytes);
        }
        work(desk)
    })
}

/// A text without the folder's name, which differs from thread to thread.
pub fn plain(text: &str, desk: &Desk) -> String {
    text.replace(&desk.0.path().display().to_string(), "")
}
