//! Files that import each other, directly or around a ring.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use syn::visit::Visit;

use crate::architecture::rust_files;

/// A module of the crate: `["plan", "solve"]`.
type Module = Vec<String>;

/// A file of the crate as far as imports go.
#[derive(Default)]
struct File {
    /// Names that it only hands on, and where each comes from.
    handed_on: BTreeMap<String, Module>,
    /// Every path that it uses, made absolute.
    used: BTreeSet<Module>,
}

/// Reads one file.
struct Reader<'a> {
    module: Module,
    known: &'a BTreeSet<Module>,
    file: File,
}

impl Reader<'_> {
    /// A path from the crate's root, if it leads into the crate.
    fn absolute(&self, path: &[String]) -> Option<Module> {
        let parent = |of: &Module| of[..of.len().saturating_sub(1)].to_vec();
        let (mut at, mut rest) = match path.first()?.as_str() {
            "crate" => (Vec::new(), &path[1..]),
            "self" => (self.module.clone(), &path[1..]),
            "super" => (parent(&self.module), &path[1..]),
            child => {
                let own = [self.module.as_slice(), &[child.to_owned()]].concat();
                return self.known.contains(&own).then(|| [self.module.as_slice(), path].concat());
            }
        };
        while rest.first().is_some_and(|s| s == "super") {
            at = parent(&at);
            rest = &rest[1..];
        }
        at.extend_from_slice(rest);
        Some(at)
    }

    fn tree(&mut self, before: &[String], tree: &syn::UseTree, hands_on: bool) {
        let with = |name: &syn::Ident| [before, &[name.to_string()]].concat();
        match tree {
            syn::UseTree::Path(p) => self.tree(&with(&p.ident), &p.tree, hands_on),
            syn::UseTree::Group(g) => g.items.iter().for_each(|t| self.tree(before, t, hands_on)),
            syn::UseTree::Name(n) if n.ident == "self" => {
                self.name(before, before.last(), hands_on)
            }
            syn::UseTree::Name(n) => {
                self.name(&with(&n.ident), Some(&n.ident.to_string()), hands_on)
            }
            syn::UseTree::Rename(r) => {
                self.name(&with(&r.ident), Some(&r.rename.to_string()), hands_on)
            }
            syn::UseTree::Glob(_) => self.name(before, None, hands_on),
        }
    }

    fn name(&mut self, path: &[String], name: Option<&String>, hands_on: bool) {
        let Some(path) = self.absolute(path) else { return };
        match name.filter(|_| hands_on) {
            Some(name) => drop(self.file.handed_on.insert(name.clone(), path)),
            None => drop(self.file.used.insert(path)),
        }
    }
}

fn is_test(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().any(|a| {
        a.path().is_ident("cfg") && a.parse_args::<syn::Ident>().is_ok_and(|i| i == "test")
    })
}

impl<'a> Visit<'a> for Reader<'_> {
    fn visit_item_use(&mut self, item: &'a syn::ItemUse) {
        let hands_on = !matches!(item.vis, syn::Visibility::Inherited);
        self.tree(&[], &item.tree, hands_on);
    }

    fn visit_item_mod(&mut self, item: &'a syn::ItemMod) {
        if is_test(&item.attrs) || item.content.is_none() {
            return;
        }
        self.module.push(item.ident.to_string());
        syn::visit::visit_item_mod(self, item);
        self.module.pop();
    }

    /// `pub(in crate::plan)` uses nothing.
    fn visit_visibility(&mut self, _: &'a syn::Visibility) {}

    fn visit_path(&mut self, path: &'a syn::Path) {
        let segments: Vec<String> = path.segments.iter().map(|s| s.ident.to_string()).collect();
        if segments.len() > 1 {
            self.name(&segments, None, false);
        }
        syn::visit::visit_path(self, path);
    }
}

/// The module of a file under `src`.
fn module_of(file: &Path) -> Module {
    let inside = file.strip_prefix("src").expect("under src").with_extension("");
    let mut module: Module =
        inside.components().map(|c| c.as_os_str().to_string_lossy().into_owned()).collect();
    if module.last().is_some_and(|last| last == "mod" || last == "lib") {
        module.pop();
    }
    module
}

/// The file in which a path ends, through what files hand on.
fn home(path: &[String], files: &BTreeMap<Module, File>) -> Option<Module> {
    let depth = (0..=path.len()).rev().find(|n| files.contains_key(&path[..*n]))?;
    let (module, rest) = path.split_at(depth);
    match rest.first().and_then(|name| files[module].handed_on.get(name)) {
        Some(further) => home(&[further.as_slice(), &rest[1..]].concat(), files),
        None => Some(module.to_vec()),
    }
}

/// Sets of files that import each other around a ring, each by its module.
fn circles() -> Vec<Vec<String>> {
    let mut paths = Vec::new();
    rust_files(Path::new("src"), &mut paths);
    paths.retain(|p| p != Path::new("src/main.rs"));
    let known: BTreeSet<Module> = paths.iter().map(|p| module_of(p)).collect();
    let mut files = BTreeMap::new();
    for path in &paths {
        let text = std::fs::read_to_string(path).expect("readable");
        let tree = syn::parse_file(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let mut reader = Reader { module: module_of(path), known: &known, file: File::default() };
        reader.visit_file(&tree);
        files.insert(module_of(path), reader.file);
    }
    let uses: BTreeMap<&Module, BTreeSet<Module>> = files
        .iter()
        .map(|(module, file)| {
            let homes = file.used.iter().filter_map(|path| home(path, &files));
            (module, homes.filter(|home| home != module).collect())
        })
        .collect();
    let reached: BTreeMap<&Module, BTreeSet<&Module>> =
        uses.keys().map(|module| (*module, reach(module, &uses))).collect();
    let ring = |module: &Module| -> Vec<String> {
        let back = reached[module].iter().filter(|other| reached[**other].contains(module));
        back.map(|m| m.join("::")).collect()
    };
    let rings: BTreeSet<Vec<String>> =
        uses.keys().map(|m| ring(m)).filter(|r| r.len() > 1).collect();
    rings.into_iter().collect()
}

/// All that a file imports, and what that imports, and so on.
fn reach<'a>(
    from: &Module,
    uses: &'a BTreeMap<&'a Module, BTreeSet<Module>>,
) -> BTreeSet<&'a Module> {
    let mut seen = BTreeSet::new();
    let mut left: Vec<&Module> = uses[from].iter().collect();
    while let Some(module) = left.pop() {
        if seen.insert(module) {
            left.extend(uses[module].iter());
        }
    }
    seen
}

/// What a file needs of another must not need the file itself: each can then be read, and changed, alone.
#[test]
fn no_files_import_each_other() {
    let rings: Vec<String> = circles().into_iter().map(|ring| ring.join(" ")).collect();
    assert!(rings.is_empty(), "these files import each other:\n{}", rings.join("\n"));
}
