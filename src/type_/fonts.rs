//! Font files: those of `fonts/`, and others.

use std::collections::BTreeMap;
use std::sync::Arc;

macro_rules! shipped {
    ($name:literal) => {
        ($name, include_bytes!(concat!("../../fonts/", $name)))
    };
}

/// The fonts shipped in `fonts/`.
pub(super) const SHIPPED: &[(&str, &[u8])] = &[
    shipped!("AlegreyaSans_400Regular.ttf"),
    shipped!("AlegreyaSans_400Regular_Italic.ttf"),
    shipped!("AlegreyaSans_500Medium.ttf"),
    shipped!("AlegreyaSans_700Bold.ttf"),
    shipped!("BarlowSemiCondensed_300Light.ttf"),
    shipped!("BarlowSemiCondensed_400Regular.ttf"),
    shipped!("BarlowSemiCondensed_500Medium.ttf"),
    shipped!("BarlowSemiCondensed_600SemiBold.ttf"),
    shipped!("EBGaramond_400Regular.ttf"),
    shipped!("EBGaramond_400Regular_Italic.ttf"),
    shipped!("EBGaramond_500Medium.ttf"),
    shipped!("EBGaramond_600SemiBold.ttf"),
    shipped!("FiraSansCondensed_300Light.ttf"),
    shipped!("FiraSansCondensed_400Regular.ttf"),
    shipped!("FiraSansCondensed_500Medium.ttf"),
    shipped!("FiraSansCondensed_600SemiBold.ttf"),
];

/// Font files that do not come with the program, by the names that a style gives them.
pub type OwnFonts = BTreeMap<String, Arc<[u8]>>;

/// A font file.
#[derive(Clone)]
pub(super) enum Bytes {
    Shipped(&'static [u8]),
    Own(Arc<[u8]>),
}

impl std::ops::Deref for Bytes {
    type Target = [u8];
    fn deref(&self) -> &[u8] {
        match self {
            Bytes::Shipped(bytes) => bytes,
            Bytes::Own(bytes) => bytes,
        }
    }
}

impl Bytes {
    /// The file that a style names, if there is one.
    pub(super) fn of(file: &str, own: &OwnFonts) -> Option<Bytes> {
        let shipped = SHIPPED.iter().find(|(name, _)| *name == file);
        let shipped = shipped.map(|(_, bytes)| Bytes::Shipped(bytes));
        shipped.or_else(|| own.get(file).cloned().map(Bytes::Own))
    }
}
