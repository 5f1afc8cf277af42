//! The output intent: for which device the colours of the file are meant
//! (ISO 32000-1, 14.11.5).

use lcms2::Profile;
use lopdf::{Dictionary, Document, Object, Stream};

use super::inks::Inks;
use super::metadata::text_string;

/// Adds it to the catalogue, with its profile.
pub fn add(doc: &mut Document, inks: Inks<'_>) {
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
        Inks::Screen => {
            let Some(profile) = srgb() else { return };
            let name = "sRGB IEC61966-2.1";
            let texts = vec![text("OutputConditionIdentifier", name), text("Info", name)];
            ("GTS_PDFA1", texts, 3, profile)
        }
    };
    let head = Dictionary::from_iter([("N", Object::Integer(channels))]);
    let profile = doc.add_object(Stream::new(head, profile));
    let mut intent = Dictionary::from_iter(texts);
    intent.set("Type", "OutputIntent");
    intent.set("S", subtype);
    intent.set("DestOutputProfile", Object::Reference(profile));
    if let Ok(catalog) = doc.catalog_mut() {
        catalog.set("OutputIntents", Object::Array(vec![Object::Dictionary(intent)]));
    }
}

/// A small sRGB profile, of ICC version 4.2 as PDF 1.7 knows it, with the
/// same bytes on every day and every machine.
fn srgb() -> Option<Vec<u8>> {
    let mut profile = Profile::new_srgb();
    profile.set_version(4.2);
    let mut bytes = profile.icc().ok()?;
    // Of the header (ICC.1:2004-10, 7.2): the date, in six numbers, and the
    // platform, which may be none.
    let date: Vec<u8> = [2000u16, 1, 1, 0, 0, 0].into_iter().flat_map(u16::to_be_bytes).collect();
    bytes.get_mut(24..36)?.copy_from_slice(&date);
    bytes.get_mut(40..44)?.fill(0);
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_profile_is_small_and_srgb() {
        let bytes = srgb().expect("a profile");
        assert!(bytes.len() < 1000, "{}", bytes.len());
        // Fields of the header at their places in ICC.1:2004-10, 7.2.
        assert_eq!(&bytes[8..12], &[4, 0x20, 0, 0]);
        assert_eq!(&bytes[12..24], b"mntrRGB XYZ ");
        assert_eq!(&bytes[24..36], &[7, 208, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0]);
        assert_eq!(&bytes[36..40], b"acsp");
        assert_eq!(&bytes[40..44], &[0; 4]);
        assert_eq!(&bytes[84..100], &[0; 16]);
    }
}
