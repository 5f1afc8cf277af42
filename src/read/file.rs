//! Text files: size, encoding and place are checked before anything parses them.

use std::io::ErrorKind;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

use crate::diag::{Diagnostic, Span, nearest};
use crate::files::{FileKind, Files};
use crate::limits;
use crate::session::Session;

/// The text of a file, without a byte-order mark.
///
/// `from` is the place that named the file, where another file did.
///
/// # Errors
/// A file that is missing, unreadable, empty, too large or not UTF-8.
pub fn read_text(
    file: &Path,
    from: Option<Span>,
    session: &Session,
) -> Result<Arc<str>, Diagnostic> {
    let bytes = read_bytes(file, from.clone(), session)?;
    text_of(bytes, &|code, message, help| fault(file, from.clone(), code, message, help), file)
}

fn fault(
    file: &Path,
    from: Option<Span>,
    code: &'static str,
    message: String,
    help: &str,
) -> Diagnostic {
    let whole = Span { file: file.into(), range: 0..0 };
    Diagnostic::error(code, message).at(from.or(Some(whole))).help(help)
}

/// The bytes of a file, at most [`limits::FILE`].
///
/// # Errors
/// A file that is missing, unreadable or too large.
pub fn read_bytes(
    file: &Path,
    from: Option<Span>,
    session: &Session,
) -> Result<Vec<u8>, Diagnostic> {
    let Session { files, limits, .. } = session;
    let shown = file.display();
    let fault = |code, message: String, help: &str| fault(file, from.clone(), code, message, help);
    let kind = files.kind(file).map_err(|e| match e.kind() {
        ErrorKind::InvalidFilename => {
            let short: String = shown.to_string().chars().take(60).collect();
            fault(
                "no-such-file",
                format!("the file name '{short} ...' is too long"),
                "check the name; a closing quote may be missing",
            )
        }
        ErrorKind::NotFound | ErrorKind::NotADirectory => fault(
            "no-such-file",
            format!("there is no file '{shown}'"),
            &sibling(file, files).unwrap_or_else(|| "check the folder and the file name".into()),
        ),
        _ => unreadable(&fault, file, &e),
    })?;
    let size = match kind {
        FileKind::File(size) => size,
        FileKind::Folder => {
            let help = match files.is_file(&file.join("sheet.ron")) {
                true => "name the file in it: 'sheet.ron'",
                false => "name a file in the folder",
            };
            return Err(fault("not-a-file", format!("'{shown}' is a folder"), help));
        }
        FileKind::Other => {
            return Err(fault(
                "not-a-file",
                format!("'{shown}' is not an ordinary file"),
                "name a text file",
            ));
        }
    };
    let too_large = |size: u64| {
        fault(
            "file-too-large",
            format!("'{shown}' is larger than {} MB", limits.megabytes(limits::FILE)),
            &limits.or_raise_to(
                "check that this is the right file; a range of thousands of colours is smaller",
                limits::FILE,
                usize::try_from(size).unwrap_or(usize::MAX),
            ),
        )
    };
    let most = limits.most(limits::FILE) as u64;
    if size > most {
        return Err(too_large(size));
    }
    let bytes = files.bytes(file, most + 1).map_err(|e| unreadable(&fault, file, &e))?;
    if bytes.len() as u64 > most {
        return Err(too_large(bytes.len() as u64));
    }
    files.was_read(file, &bytes);
    Ok(bytes)
}

fn unreadable(
    fault: &dyn Fn(&'static str, String, &str) -> Diagnostic,
    file: &Path,
    e: &std::io::Error,
) -> Diagnostic {
    let fault = match e.kind() {
        ErrorKind::PermissionDenied => fault(
            "unreadable-file",
            format!("'{}' cannot be read: permission denied", file.display()),
            "give yourself permission to read it",
        ),
        _ => fault(
            "unreadable-file",
            format!("'{}' cannot be read: {}", file.display(), plain(e)),
            "check the file and the disk",
        ),
    };
    fault.of_machine()
}

/// The system's message for a failure, without its number.
pub fn plain(e: &std::io::Error) -> String {
    let said = e.to_string();
    said.split(" (os error").next().unwrap_or("").to_lowercase()
}

fn text_of(
    bytes: Vec<u8>,
    fault: &dyn Fn(&'static str, String, &str) -> Diagnostic,
    file: &Path,
) -> Result<Arc<str>, Diagnostic> {
    const SAVE: &str = "open it in a text editor and save it again as UTF-8";
    let shown = file.display();
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(fault("not-utf8", format!("'{shown}' is saved as UTF-16"), SAVE));
    }
    if bytes.starts_with(&[0x1f, 0x8b]) {
        let help = "save it uncompressed: a drawing as plain SVG, not as SVGZ";
        return Err(fault("not-text", format!("'{shown}' is compressed"), help));
    }
    if bytes.contains(&0) {
        let help = "name a text file, not a picture or a workbook";
        return Err(fault("not-text", format!("'{shown}' is not a text file"), help));
    }
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(e) => {
            let before = String::from_utf8_lossy(&e.as_bytes()[..e.utf8_error().valid_up_to()]);
            let line = before.matches('\n').count() + 1;
            let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
            let message = format!("'{shown}' is not UTF-8: see line {line}, column {column}");
            return Err(fault("not-utf8", message, SAVE));
        }
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    if text.trim().is_empty() {
        return Err(fault(
            "empty-file",
            format!("'{shown}' is empty"),
            "write the file, or name a different one",
        ));
    }
    if text.contains('\r') && !text.contains('\n') {
        // Line ends of old machines; the places stay.
        return Ok(text.replace('\r', "\n").into());
    }
    Ok(text.into())
}

/// 'did you mean' from the names in the same folder.
fn sibling(file: &Path, files: &Files) -> Option<String> {
    let wanted = file.file_name()?.to_str()?;
    let folder = match file.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let names = files.names(folder, 10_000);
    // The ending says what a file is: a near name with another one is another thing.
    let parts = |name: &str| match name.rsplit_once('.') {
        Some((stem, ending)) => (stem.to_lowercase(), ending.to_lowercase()),
        None => (name.to_lowercase(), String::new()),
    };
    let (stem, ending) = parts(wanted);
    let alike: Vec<(String, &String)> = names
        .iter()
        .map(|n| (parts(n), n))
        .filter(|(p, _)| p.1 == ending)
        .map(|(p, n)| (p.0, n))
        .collect();
    let near = nearest(&stem, alike.iter().map(|(s, _)| s.as_str()));
    let meant = near.and_then(|near| alike.iter().find(|(s, _)| s == near)).map(|(_, n)| *n);
    let meant = meant.or_else(|| names.iter().find(|n| parts(n).0 == stem));
    meant.map(|n| format!("did you mean '{n}'?"))
}

/// The path of `name` inside `folder`; none when it is absolute or leads out of the folder, by a
/// link too. A file that does not exist is not followed.
pub fn inside(folder: &Path, name: &str, files: &Files) -> Option<PathBuf> {
    let found = folder.join(name);
    (stays_inside(name) && !files.leads_out(&found, folder)).then_some(found)
}

/// Is a name that of a file in the same folder or below it, wherever links may lead?
pub fn stays_inside(name: &str) -> bool {
    let tame =
        Path::new(name).components().all(|c| matches!(c, Component::Normal(_) | Component::CurDir));
    // Drive letters and backslashes would mean another place on another system.
    let odd = |c: char| c.is_control() || ['\\', ':'].contains(&c);
    tame && !name.is_empty() && !name.contains(odd)
}

/// The message for a name that [`inside`] has no path for.
pub fn outside(name: &str, span: Option<Span>) -> Diagnostic {
    // A single \ before a letter has become a sign that is not printed.
    if name.contains(|c: char| c == '\\' || c.is_control()) {
        return Diagnostic::error("bad-path", "a file name must not contain a backslash")
            .at(span)
            .help("write / between folder and file, for example \"lists/range.ron\"");
    }
    Diagnostic::error("outside-folder", format!("'{name}' leads out of the folder of this file"))
        .at(span)
        .help("put the file in that folder or below it, and write its path with /")
}
