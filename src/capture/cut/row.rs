//! The table of cut-outs.

use crate::capture::cut::{CutOut, Order};

/// Its headings.
pub const HEAD: &str = "part,colour,file,width_mm,height_mm,centre_x_mm,centre_y_mm,dpi";

/// The name of a cut-out's file. What cannot stand in a name of a file becomes an underscore.
pub fn file_name(part: &str, colour: &str) -> String {
    let safe = |text: &str| -> String {
        text.chars()
            .map(|c| if c.is_control() || r#"/\:*?"<>|"#.contains(c) { '_' } else { c })
            .collect()
    };
    format!("{}.{}.png", safe(part), safe(colour))
}

/// A cut-out's row: width and height of its picture, and where in it, from its top left corner, the
/// middle of the outline's extent lies; in millimetres.
pub fn row(order: &Order, cut: &CutOut) -> String {
    let (part, colour) = (&order.place.part, &order.place.colour);
    let ((width, height), centre) = (cut.size(), cut.centre());
    format!(
        "{},{},{},{width:.3},{height:.3},{:.3},{:.3},{:.1}",
        quoted(part),
        quoted(colour),
        quoted(&file_name(part, colour)),
        centre.0,
        centre.1,
        cut.dpi()
    )
}

/// A field of a CSV file (RFC 4180).
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_fields_are_safe() {
        assert_eq!(file_name("a/b", "c:d"), "a_b.c_d.png");
        assert_eq!(quoted("a,\"b\""), "\"a,\"\"b\"\"\"");
    }
}
