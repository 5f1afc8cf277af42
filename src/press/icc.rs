//! ICC output profiles: checked before the colour engine reads them.

use std::fmt;
use std::sync::Arc;

use lcms2::{CIExyY, DisallowCache, Flags, GlobalContext, Intent, PixelFormat, Pod, Transform};

/// The largest profile that is read, in bytes: measured press profiles take up to some 10 MB.
pub const MAX_BYTES: usize = 32 * 1024 * 1024;
/// Tags a profile may have; the standard names fewer than 60.
const MAX_TAGS: u32 = 256;

/// What the device of a profile takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Space {
    Cmyk,
    Rgb,
}

impl Space {
    /// Numbers a colour has.
    pub fn channels(self) -> usize {
        match self {
            Space::Cmyk => 4,
            Space::Rgb => 3,
        }
    }
}

/// Why a profile cannot be used, in plain words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unfit {
    TooLarge,
    NotAProfile,
    CutShort { says: u32, has: usize },
    Version(u8),
    Class(String),
    DeviceSpace(String),
    ConnectionSpace(String),
    TagOutside(String),
    Missing(&'static str),
    Unreadable,
}

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unfit::TooLarge => write!(f, "it is larger than {} MB", MAX_BYTES >> 20),
            Unfit::NotAProfile => f.write_str("it is not an ICC profile"),
            Unfit::CutShort { says, has } => {
                write!(f, "it is incomplete: it should have {says} bytes but has {has}")
            }
            Unfit::Version(v) => {
                write!(f, "its ICC version is {v}; only versions 2 and 4 can be read")
            }
            Unfit::Class(class) => {
                write!(f, "it is {class}, not the profile of a printer or press")
            }
            Unfit::DeviceSpace(space) => {
                write!(f, "it is for {space} colour; only CMYK and RGB can be used")
            }
            Unfit::ConnectionSpace(space) => {
                write!(f, "its connection space is '{space}'; only Lab and XYZ can be read")
            }
            Unfit::TagOutside(tag) => {
                write!(f, "it is damaged: its tag '{tag}' is outside the file")
            }
            Unfit::Missing(what) => write!(f, "it lacks {what}"),
            Unfit::Unreadable => f.write_str("it is damaged and cannot be read"),
        }
    }
}

/// Profiles and transforms of the engine that may be used from any thread.
pub type Shared<A, B> = Transform<A, B, GlobalContext, DisallowCache>;

/// An output profile.
pub struct Icc {
    profile: lcms2::Profile,
    bytes: Arc<[u8]>,
    space: Space,
}

impl Icc {
    /// Reads a profile of a printer or press.
    ///
    /// # Errors
    /// See [`Unfit`].
    pub fn read(bytes: &[u8]) -> Result<Icc, Unfit> {
        let space = look_over(bytes)?;
        let size = u32_at(bytes, 0) as usize;
        let bytes: Arc<[u8]> = bytes[..size].into();
        let profile = lcms2::Profile::new_icc(&bytes).map_err(|_| Unfit::Unreadable)?;
        let icc = Icc { profile, bytes, space };
        // A transform each way proves the tables.
        icc.to_lab()?;
        if space == Space::Cmyk {
            icc.cmyk_from_lab()?;
        }
        Ok(icc)
    }

    pub fn space(&self) -> Space {
        self.space
    }

    /// The profile as it is embedded.
    pub fn bytes(&self) -> &Arc<[u8]> {
        &self.bytes
    }

    /// Its own name; empty where it has none.
    pub fn description(&self) -> String {
        let text = self.profile.info(lcms2::InfoType::Description, lcms2::Locale::none());
        text.unwrap_or_default().trim().to_owned()
    }

    /// The white of the paper as measured, XYZ with Y = 1 for the perfect white (tag wtpt).
    pub fn white(&self) -> [f64; 3] {
        let fixed = |tag: &[u8], at: usize| {
            let raw = tag.get(at..at + 4)?;
            Some(f64::from(i32::from_be_bytes([raw[0], raw[1], raw[2], raw[3]])) / 65536.0)
        };
        let read = |tag: &[u8]| Some([fixed(tag, 8)?, fixed(tag, 12)?, fixed(tag, 16)?]);
        let white = self.tag(b"wtpt").and_then(read);
        let white = white.filter(|w| w.iter().all(|v| (0.05..1.5).contains(v)));
        white.unwrap_or([0.9642, 1.0, 0.8249])
    }

    /// The reference name of the registered characterization data that it was made of: profiles made
    /// of these write `ICCHDAT NAME` in the tag targ (guidelines of the ICC Characterization Data
    /// Registry, color.org).
    pub fn registered(&self) -> Option<String> {
        let text = self.tag(b"targ").filter(|tag| tag.starts_with(b"text"))?.get(8..)?;
        let text = text.split(|b| *b == 0).next().filter(|t| t.len() < 80)?;
        let name = std::str::from_utf8(text).ok()?.strip_prefix("ICCHDAT ")?.trim();
        let plain = name.bytes().all(|b| b.is_ascii_graphic() || b == b' ');
        (plain && !name.is_empty()).then(|| name.to_owned())
    }

    /// The contents of a tag (ICC.1:2022, 7.3).
    fn tag(&self, name: &[u8; 4]) -> Option<&[u8]> {
        (0..u32_at(&self.bytes, 128)).find_map(|i| {
            let at = 132 + 12 * i as usize;
            (self.bytes.get(at..at + 4)? == name).then_some(())?;
            let (from, size) = (u32_at(&self.bytes, at + 4), u32_at(&self.bytes, at + 8));
            self.bytes.get(from as usize..from as usize + size as usize)
        })
    }

    /// Total ink of its darkest colours in percent, as its own tables have it.
    pub fn total_ink(&self) -> f64 {
        if self.space == Space::Cmyk { self.profile.detect_tac() } else { 0.0 }
    }

    /// Device values (CMYK 0 to 100, RGB 0 to 1) to what the paper shows:
    /// CIELAB D50 relative to the paper's white, no black point compensation.
    pub fn to_lab(&self) -> Result<Show, Unfit> {
        let lab = lab_profile()?;
        let (out, intent) = (PixelFormat::Lab_DBL, Intent::RelativeColorimetric);
        match self.space {
            Space::Cmyk => {
                let own = (&self.profile, PixelFormat::CMYK_DBL);
                exact(own, (&lab, out), intent, false).map(Show::Cmyk)
            }
            Space::Rgb => {
                let own = (&self.profile, PixelFormat::RGB_DBL);
                exact(own, (&lab, out), intent, false).map(Show::Rgb)
            }
        }
        .ok_or(Unfit::Missing("the table from ink to colour"))
    }

    /// CIELAB D50 relative to the paper's white to CMYK 0 to 100, by the profile's own inverse
    /// table, with black point compensation: as a print house converts.
    pub fn cmyk_from_lab(&self) -> Result<Shared<[f64; 3], [f64; 4]>, Unfit> {
        let lab = lab_profile()?;
        let own = (&self.profile, PixelFormat::CMYK_DBL);
        exact((&lab, PixelFormat::Lab_DBL), own, Intent::RelativeColorimetric, true)
            .ok_or(Unfit::Missing("the table from colour to ink"))
    }

    /// What a print house does with an sRGB file: sRGB 0 to 1 to device values.
    /// Relative colorimetric goes with black point compensation, as is usual
    /// (common practice, no source).
    pub fn from_srgb(&self, intent: Intent) -> Result<House, Unfit> {
        let srgb = lcms2::Profile::new_srgb();
        let compensated = matches!(intent, Intent::RelativeColorimetric);
        let from = (&srgb, PixelFormat::RGB_DBL);
        match self.space {
            Space::Cmyk => {
                let own = (&self.profile, PixelFormat::CMYK_DBL);
                exact(from, own, intent, compensated).map(House::Cmyk)
            }
            Space::Rgb => {
                let own = (&self.profile, PixelFormat::RGB_DBL);
                exact(from, own, intent, compensated).map(House::Rgb)
            }
        }
        .ok_or(Unfit::Missing("the table from colour to ink"))
    }
}

/// A transform by the tables themselves, without a cache, so that any thread
/// may use it; `compensated` for black points.
fn exact<A: Copy + Pod, B: Copy + Pod>(
    from: (&lcms2::Profile, PixelFormat),
    to: (&lcms2::Profile, PixelFormat),
    intent: Intent,
    compensated: bool,
) -> Option<Shared<A, B>> {
    let plain = Flags::NO_CACHE | Flags::NO_OPTIMIZE;
    let flags = if compensated { plain | Flags::BLACKPOINT_COMPENSATION } else { plain };
    let engine = GlobalContext::new();
    Transform::new_flags_context(engine, from.0, from.1, to.0, to.1, intent, flags).ok()
}

/// From device values to CIELAB.
pub enum Show {
    Cmyk(Shared<[f64; 4], [f64; 3]>),
    Rgb(Shared<[f64; 3], [f64; 3]>),
}

impl Show {
    /// Of values from 0 to 1, as many as the device has channels.
    pub fn one(&self, values: [f64; 4]) -> [f64; 3] {
        let mut lab = [[0.0; 3]];
        match self {
            Show::Cmyk(t) => t.transform_pixels(&[values.map(|v| v * 100.0)], &mut lab),
            Show::Rgb(t) => t.transform_pixels(&[[values[0], values[1], values[2]]], &mut lab),
        }
        lab[0]
    }
}

/// From sRGB to device values.
pub enum House {
    Cmyk(Shared<[f64; 3], [f64; 4]>),
    Rgb(Shared<[f64; 3], [f64; 3]>),
}

impl House {
    /// Of sRGB from 0 to 1: device values from 0 to 1.
    pub fn one(&self, rgb: [f64; 3]) -> [f64; 4] {
        match self {
            House::Cmyk(t) => {
                let mut out = [[0.0; 4]];
                t.transform_pixels(&[rgb], &mut out);
                out[0].map(|v| (v / 100.0).clamp(0.0, 1.0))
            }
            House::Rgb(t) => {
                let mut out = [[0.0; 3]];
                t.transform_pixels(&[rgb], &mut out);
                let [r, g, b] = out[0].map(|v| v.clamp(0.0, 1.0));
                [r, g, b, 0.0]
            }
        }
    }
}

fn lab_profile() -> Result<lcms2::Profile, Unfit> {
    let d50 = CIExyY::d50();
    lcms2::Profile::new_lab4_context(GlobalContext::new(), d50).map_err(|_| Unfit::Unreadable)
}

fn u32_at(bytes: &[u8], at: usize) -> u32 {
    bytes.get(at..at + 4).map_or(0, |b| u32::from_be_bytes([b[0], b[1], b[2], b[3]]))
}

fn word(bytes: &[u8], at: usize) -> String {
    let raw = bytes.get(at..at + 4).unwrap_or_default();
    raw.iter().map(|b| if b.is_ascii_graphic() { *b as char } else { ' ' }).collect()
}

/// Header and tag table (ICC.1:2022, 7.2 and 7.3).
fn look_over(bytes: &[u8]) -> Result<Space, Unfit> {
    if bytes.len() > MAX_BYTES {
        return Err(Unfit::TooLarge);
    }
    if bytes.len() < 40 || &bytes[36..40] != b"acsp" {
        return Err(Unfit::NotAProfile);
    }
    let says = u32_at(bytes, 0);
    if says as usize > bytes.len() || bytes.len() < 132 {
        return Err(Unfit::CutShort { says, has: bytes.len() });
    }
    if !matches!(bytes[8], 2 | 4) {
        return Err(Unfit::Version(bytes[8]));
    }
    let space = word(bytes, 16);
    match word(bytes, 12).as_str() {
        "prtr" => {}
        "mntr" => return Err(Unfit::Class("the profile of a screen".into())),
        "scnr" => return Err(Unfit::Class("the profile of a scanner or camera".into())),
        "link" => return Err(Unfit::Class("a link between two devices".into())),
        "abst" => return Err(Unfit::Class("a table of colour effects".into())),
        "spac" => return Err(Unfit::Class("the profile of a colour space".into())),
        "nmcl" => return Err(Unfit::Class("a list of named colours".into())),
        other => return Err(Unfit::Class(format!("of the class '{}'", other.trim()))),
    }
    let space = match space.as_str() {
        "CMYK" => Space::Cmyk,
        "RGB " => Space::Rgb,
        other => return Err(Unfit::DeviceSpace(other.trim().to_owned())),
    };
    let connection = word(bytes, 20);
    if !matches!(connection.as_str(), "Lab " | "XYZ ") {
        return Err(Unfit::ConnectionSpace(connection.trim().to_owned()));
    }
    let tags = u32_at(bytes, 128);
    let end = u64::from(tags) * 12 + 132;
    if tags > MAX_TAGS || end > u64::from(says) {
        return Err(Unfit::TagOutside("list of tags".into()));
    }
    let mut names = Vec::new();
    for i in 0..tags as usize {
        let at = 132 + 12 * i;
        let (offset, size) = (u32_at(bytes, at + 4), u32_at(bytes, at + 8));
        let name = word(bytes, at);
        if u64::from(offset) + u64::from(size) > u64::from(says) || offset < 128 {
            return Err(Unfit::TagOutside(name));
        }
        names.push(name);
    }
    let has = |name: &str| names.iter().any(|n| n == name);
    if space == Space::Cmyk {
        if !has("A2B0") && !has("A2B1") {
            return Err(Unfit::Missing("the table from ink to colour (A2B)"));
        }
        if !has("B2A0") && !has("B2A1") {
            return Err(Unfit::Missing("the table from colour to ink (B2A)"));
        }
    }
    Ok(space)
}
