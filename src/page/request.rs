//! What a page is made of.

use crate::edition::Planned;
use crate::range::ListingId;
use crate::sheet::Workshop;
use crate::work::Work;

/// A picture to download.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Preview {
    /// From the page's folder, such as `pictures/haberdashery.a4.en-GB.png`.
    pub file: String,
    pub title: String,
    /// Pixels.
    pub width: u32,
    pub height: u32,
}

/// What a page is made of.
pub struct PageRequest<'a> {
    /// A variant of the sheet for each spelling of the page, of one edition.
    pub spelled: &'a [Planned<'a>],
    pub workshop: &'a Workshop,
    /// The listing by which buyers order, at first.
    pub order_from: ListingId,
    pub previews: Vec<Preview>,
    pub work: &'a Work,
}
