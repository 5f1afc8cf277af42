//! Images as elements of an SVG: PNG files in base64.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use kurbo::Rect;

use super::xml::attribute;
use crate::image::{self, Pixels};
use crate::paint::number::length;
use crate::sheet::ImageId;

/// An image that fills a frame, to be used.
pub fn element(id: ImageId, frame: Rect, pixels: &Pixels) -> String {
    let mut out = String::from("<image");
    attribute(&mut out, "height", length(frame.height()));
    attribute(&mut out, "id", format_args!("i{}", id.0));
    attribute(&mut out, "preserveAspectRatio", "none");
    attribute(&mut out, "width", length(frame.width()));
    attribute(&mut out, "x", length(frame.x0));
    out.push_str(" xlink:href=\"data:image/png;base64,");
    STANDARD.encode_string(image::encode(pixels), &mut out);
    out.push('"');
    attribute(&mut out, "y", length(frame.y0));
    out.push_str("/>\n");
    out
}
