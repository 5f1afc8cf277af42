//! What is on photographed pages: the file of `stage`, and the description of a picture without marks.

use shadecard::session::Session;
use shadecard::stage::{StageFile, given};

use super::desk;
use super::told::errors;

/// A JSON text begins with a brace.
pub fn entry(bytes: &[u8]) -> String {
    let name = if bytes.first() == Some(&b'{') { "pages.json" } else { "pages.ron" };
    let mut sources = desk::sources(&[(name, bytes)]);
    let session: Session = sources.session.clone();
    if name == "pages.json" {
        return match StageFile::read(&desk::file(name), &session) {
            Ok(file) => {
                assert!(!file.pages.is_empty());
                assert_eq!(
                    file.json(),
                    serde_json::from_str::<StageFile>(&file.json()).expect("its own").json()
                );
                format!("{} pages", file.pages.len())
            }
            Err(findings) => errors(findings, &sources),
        };
    }
    match given(&desk::file(name), &desk::base().range, &mut sources) {
        Ok(picture) => {
            let (width, height) = picture.page.size;
            let is_on =
                |p: &(f64, f64)| (0.0..=width).contains(&p.0) && (0.0..=height).contains(&p.1);
            for place in &picture.page.places {
                assert!(place.outline.iter().flatten().all(is_on), "{place:?}");
            }
            format!("{} places", picture.page.places.len())
        }
        Err(findings) => errors(findings, &sources),
    }
}
