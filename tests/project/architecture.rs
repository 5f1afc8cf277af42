//! A module imports only what the list in DEVELOPERS.md allows.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use syn::visit::Visit;

/// The allowed imports, from the block between the markers in DEVELOPERS.md:
/// `module: other other ...` a line.
fn allowed() -> BTreeMap<String, BTreeSet<String>> {
    let text = std::fs::read_to_string("DEVELOPERS.md").expect("DEVELOPERS.md");
    let block = text
        .split("<!-- imports -->")
        .nth(1)
        .expect("two <!-- imports --> markers around the list")
        .lines()
        .filter(|l| l.contains(':'))
        .map(|l| {
            let (module, others) = l.split_once(':').expect("a colon");
            let others = others.split_whitespace().map(str::to_owned).collect();
            (module.trim().to_owned(), others)
        })
        .collect::<BTreeMap<String, BTreeSet<String>>>();
    assert!(block.len() > 8, "the list is too short to be the list");
    block
}

/// The top-level modules that a file's `crate::` paths name.
#[derive(Default)]
struct Imports(BTreeSet<String>);

impl Imports {
    fn tree(&mut self, tree: &syn::UseTree) {
        match tree {
            syn::UseTree::Path(p) => drop(self.0.insert(p.ident.to_string())),
            syn::UseTree::Name(n) => drop(self.0.insert(n.ident.to_string())),
            syn::UseTree::Rename(r) => drop(self.0.insert(r.ident.to_string())),
            syn::UseTree::Group(g) => g.items.iter().for_each(|t| self.tree(t)),
            syn::UseTree::Glob(_) => {}
        }
    }
}

impl<'a> Visit<'a> for Imports {
    fn visit_use_tree(&mut self, tree: &'a syn::UseTree) {
        if let syn::UseTree::Path(p) = tree
            && p.ident == "crate"
        {
            self.tree(&p.tree);
        }
    }

    fn visit_path(&mut self, path: &'a syn::Path) {
        let mut segments = path.segments.iter();
        if segments.next().is_some_and(|s| s.ident == "crate")
            && let Some(module) = segments.next()
        {
            self.0.insert(module.ident.to_string());
        }
        syn::visit::visit_path(self, path);
    }
}

pub fn rust_files(folder: &Path, out: &mut Vec<std::path::PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            rust_files(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

#[test]
fn modules_import_only_what_they_may() {
    let allowed = allowed();
    let mut files = Vec::new();
    rust_files(Path::new("src"), &mut files);
    let mut faults = Vec::new();
    for file in files {
        let inside = file.strip_prefix("src").expect("under src");
        let module = inside.components().next().expect("a name").as_os_str().to_string_lossy();
        let module = module.trim_end_matches(".rs").to_owned();
        if module == "lib" || module == "main" {
            continue;
        }
        let text = std::fs::read_to_string(&file).expect("readable");
        let tree = syn::parse_file(&text).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        let mut imports = Imports::default();
        imports.visit_file(&tree);
        let may = allowed.get(&module).unwrap_or_else(|| panic!("'{module}' is not in the list"));
        for other in imports.0.iter().filter(|o| **o != module && !may.contains(*o)) {
            faults.push(format!("{} imports crate::{other}", file.display()));
        }
    }
    assert!(faults.is_empty(), "not allowed by DEVELOPERS.md:\n{}", faults.join("\n"));
}

/// What is written goes through `disk.rs`, where it can be made to fail, and lines through `console.rs`, which does not
/// panic where nobody listens.
#[test]
fn only_one_file_asks_the_disk_to_write() {
    let words = [
        "fs::write",
        "fs::rename",
        "fs::remove",
        "create_dir",
        "File::create",
        "println!",
        "eprint!",
    ];
    let mut files = Vec::new();
    rust_files(Path::new("src"), &mut files);
    files.retain(|file| file != Path::new("src/disk.rs"));
    let mut faults = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("readable");
        let shipped = text.split("#[cfg(test)]\nmod ").next().unwrap_or("");
        for word in words.iter().filter(|word| shipped.contains(**word)) {
            faults.push(format!("{} has {word}", file.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Nothing that changes belongs to the process: what a run has for itself is in its `Session`. A `LazyLock` is made once,
/// from what ships with the program, and is the same for every run.
#[test]
fn the_process_has_no_state() {
    // Shipped fonts with the texts that they have measured: a cache, which changes no result.
    let cache = "static KEPT: LazyLock<Mutex<HashMap<FaceSpec, Arc<Face>>>>";
    let changes = ["static mut ", "Atomic", "Mutex", "RwLock", "OnceLock", "OnceCell", "Cell<"];
    let mut files = Vec::new();
    rust_files(Path::new("src"), &mut files);
    let mut faults = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("readable");
        for line in text.lines().map(str::trim_start).filter(|line| !line.starts_with(cache)) {
            let line = line.trim_start_matches("pub ").trim_start_matches("pub(crate) ");
            let is_static = line.starts_with("static ") && changes.iter().any(|c| line.contains(c));
            if is_static || line.starts_with("thread_local!") {
                faults.push(format!("{}: {line}", file.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
