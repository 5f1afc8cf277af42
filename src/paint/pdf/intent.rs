//! The output intent: for which device the colours of the file are meant
//! (ISO 32000-1, 14.11.5).

use std::io;

use lopdf::{Dictionary, Object, Stream};

use super::file::PdfFile;
use super::inks::Inks;
use super::metadata::text_string;
use crate::paint::srgb;

/// Adds its profile to the file; returns the intent, for the catalogue.
///
/// # Errors
/// Those of the file.
pub fn add(file: &mut PdfFile<'_>, inks: Inks<'_>) -> io::Result<Option<Dictionary>> {
    let text = |key: &'static str, value: &str| (key, text_string(value));
    let (subtype, texts, channels, profile) = match inks {
        Inks::Press(press) => {
            let c = &press.condition;
            let mut texts =
                vec![text("OutputConditionIdentifier", &c.identifier), text("Info", &c.info)];
            texts.extend(c.registry.iter().map(|r| text("RegistryName", r)));
            ("GTS_PDFX", texts, 4, c.profile.to_vec())
        }
        // The usual subtype outside PDF/X; it claims nothing else.
        Inks::Screen(_) => {
            // ICC version 4.2, as PDF 1.7 knows it.
            let Some(profile) = srgb::profile(4.2) else { return Ok(None) };
            let name = "sRGB IEC61966-2.1";
            let texts = vec![text("OutputConditionIdentifier", name), text("Info", name)];
            ("GTS_PDFA1", texts, 3, profile)
        }
    };
    let head = Dictionary::from_iter([("N", Object::Integer(channels))]);
    let profile = file.add_object(Stream::new(head, profile))?;
    let mut intent = Dictionary::from_iter(texts);
    intent.set("Type", "OutputIntent");
    intent.set("S", subtype);
    intent.set("DestOutputProfile", profile);
    Ok(Some(intent))
}
