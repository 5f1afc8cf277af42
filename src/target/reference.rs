//! The reference of the chart for instruments: CGATS.17 (ANSI CGATS.17-2009, read second-hand).

use std::fmt::Write as _;

use super::wanted::PatchWanted;
use crate::press::{ColourMode, Paper};

/// The patches with their values, and the CIELAB (D50, relative to the paper's white) that they should show.
pub fn cgats(patches: &[PatchWanted], paper: &Paper, about: &str) -> String {
    let fields: &[&str] = match paper.colour_mode() {
        ColourMode::Srgb => &["RGB_R", "RGB_G", "RGB_B"],
        ColourMode::Cmyk => &["CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K"],
    };
    let mut out = String::from("CGATS.17\nORIGINATOR \"shadecard\"\n");
    let plain: String = about.chars().filter(|c| *c != '"' && !c.is_control()).collect();
    let _ = writeln!(out, "DESCRIPTOR \"{plain}\"");
    out += "ILLUMINANT \"D50\"\nOBSERVER \"2\"\n";
    let _ = writeln!(out, "NUMBER_OF_FIELDS {}\nBEGIN_DATA_FORMAT", fields.len() + 5);
    let _ = writeln!(
        out,
        "SAMPLE_ID SAMPLE_NAME {} LAB_L LAB_A LAB_B\nEND_DATA_FORMAT",
        fields.join(" ")
    );
    let _ = writeln!(out, "NUMBER_OF_SETS {}\nBEGIN_DATA", patches.len());
    for (i, patch) in patches.iter().enumerate() {
        let shown = paper.shows(patch.value);
        let values: Vec<String> = match paper.colour_mode() {
            ColourMode::Srgb => patch.value[..3].iter().map(u8::to_string).collect(),
            ColourMode::Cmyk => {
                patch.value.iter().map(|v| format!("{:.2}", f64::from(*v) / 2.55)).collect()
            }
        };
        let _ = writeln!(
            out,
            "{} \"{}\" {} {:.2} {:.2} {:.2}",
            i + 1,
            patch.name,
            values.join(" "),
            shown.l,
            shown.a + 0.0,
            shown.b + 0.0
        );
    }
    out + "END_DATA\n"
}
