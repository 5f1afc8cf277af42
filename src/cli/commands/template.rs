//! `new FILE --layout NAME`: a layout, style, label sheet or spelling that comes with the program, as a file to change.

use std::path::Path;

use crate::cli::args::NewArgs;
use crate::cli::ending::{Done, Writing, fail, finish};
use crate::diag::{Diagnostic, Findings, Sources, nearest};
use crate::labels::label_sheet::SHIPPED_LABEL_SHEETS;
use crate::plan::layout::SHIPPED_LAYOUTS;
use crate::plan::style::SHIPPED_STYLES;
use crate::read::tag;
use crate::session::Session;
use crate::spelling::SHIPPED;

/// A kind of file that comes with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum TemplateFile {
    Layout,
    Style,
    Labels,
    Spelling,
}

impl TemplateFile {
    /// What people call it.
    fn word(self) -> &'static str {
        match self {
            TemplateFile::Layout => "layout",
            TemplateFile::Style => "style",
            TemplateFile::Labels => "label sheet",
            TemplateFile::Spelling => "spelling",
        }
    }

    fn shipped(self) -> &'static [(&'static str, &'static str)] {
        match self {
            TemplateFile::Layout => &SHIPPED_LAYOUTS,
            TemplateFile::Style => &SHIPPED_STYLES,
            TemplateFile::Labels => &SHIPPED_LABEL_SHEETS,
            TemplateFile::Spelling => &SHIPPED,
        }
    }

    fn text(self, name: &str) -> Result<&'static str, Diagnostic> {
        let shipped = self.shipped();
        if let Some((_, text)) = shipped.iter().find(|(n, _)| *n == name) {
            return Ok(text);
        }
        let kind = self.word();
        let names: Vec<&str> = shipped.iter().map(|(n, _)| *n).collect();
        let help = match nearest(name, names.iter().copied()) {
            Some(near) => format!("did you mean '{near}'?"),
            None => format!("use one of {}", names.join(", ")),
        };
        let message = format!("no {kind} '{name}' comes with the program");
        Err(Diagnostic::error("unknown-layout", message).help(help))
    }

    /// A name that the sheet accepts as that of a file.
    fn usual_file(self) -> &'static str {
        match self {
            TemplateFile::Layout => "mine.ron",
            TemplateFile::Style => "mine.style.ron",
            TemplateFile::Labels => "mine.labels.ron",
            TemplateFile::Spelling => "spelling/de-DE.ron",
        }
    }

    /// How to use the file.
    fn next(self, file: &Path) -> String {
        let shown = file.display();
        let named = file.file_name().unwrap_or_default().to_string_lossy();
        let stem = named.trim_end_matches(".ron");
        match self {
            TemplateFile::Layout => format!(
                "Next:  in the sheet beside it, name it in an edition:  editions: [(name: \"{stem}\", layout: \"{named}\")]"
            ),
            TemplateFile::Style => format!(
                "Next:  in the sheet beside it, name it as the style:  style: \"{named}\"\n\
                 Or try it first:  shadecard make sheet.ron --style {shown}"
            ),
            TemplateFile::Labels => {
                format!("Next:  shadecard labels sheet.ron --label-sheet {shown}")
            }
            TemplateFile::Spelling => format!(
                "Next:  write its words, then name it in the sheet beside the folder 'spelling':  spellings: [\"{stem}\"]"
            ),
        }
    }
}

/// What of the program's own files is asked for.
fn asked(args: &NewArgs) -> Option<(TemplateFile, &str)> {
    [
        (TemplateFile::Layout, &args.layout),
        (TemplateFile::Style, &args.style),
        (TemplateFile::Labels, &args.label_sheet),
        (TemplateFile::Spelling, &args.spelling),
    ]
    .into_iter()
    .find_map(|(kind, name)| Some((kind, name.as_deref()?)))
}

/// Writes the file asked for; nothing where none is, since a folder is then wanted.
pub fn run(args: &NewArgs, session: &Session) -> Option<u8> {
    let (kind, name) = asked(args)?;
    let file = &args.dir;
    let text = match kind.text(name).and_then(|text| placed(kind, file).map(|()| text)) {
        Ok(text) => text,
        Err(fault) => return Some(fail(fault.into(), &Sources::of(session.clone()), false)),
    };
    let printed = format!(
        "{}: the {} '{name}', to change as you like\n{}\n",
        file.display(),
        kind.word(),
        kind.next(file)
    );
    let files = vec![(file.clone(), text.as_bytes().to_vec())];
    let done = Done { warnings: Findings::default(), printed, files };
    let writing = Writing { by: "new", replace: false, json: false };
    Some(finish(Ok(done), &Sources::of(session.clone()), writing))
}

/// Does the file not exist yet, and has it a name by which a sheet can find it?
fn placed(kind: TemplateFile, file: &Path) -> Result<(), Diagnostic> {
    let shown = file.display();
    let usual = kind.usual_file();
    if file.symlink_metadata().is_ok() {
        let message = format!("'{shown}' already exists");
        let help = match file.is_dir() {
            true => format!("name a file in it: {}", file.join(usual).display()),
            false => "give another name: existing files are never overwritten".to_owned(),
        };
        return Err(Diagnostic::error("file-in-use", message).help(help));
    }
    let named = file.file_name().unwrap_or_default().to_string_lossy();
    let Some(stem) = named.strip_suffix(".ron").filter(|stem| !stem.is_empty()) else {
        let message =
            format!("'{shown}' is not a file name that a sheet accepts for a {}", kind.word());
        return Err(Diagnostic::error("unknown-ending", message)
            .help(format!("end its name in .ron: {usual}")));
    };
    if kind == TemplateFile::Spelling {
        let folder = file.parent().and_then(Path::file_name).unwrap_or_default();
        let usual_case = tag::well_formed(stem) && tag::usual_case(stem) == stem;
        if folder != "spelling" || !usual_case {
            let message = format!("a sheet does not look for spellings in '{shown}'");
            return Err(Diagnostic::error("bad-spelling", message).help(format!(
                "write it to the folder 'spelling' beside the sheet, named after its language: {usual}"
            )));
        }
    }
    Ok(())
}
