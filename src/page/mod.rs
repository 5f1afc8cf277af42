//! A page for buyers: one HTML file that any web host or a double click serves, with the pictures to download.
//!
//! ```text
//! sheet (planned) -> colours, parts, look-alikes (data) -+
//!                 -> parts drawn once a look (drawings)  +-> one index.html (fill, policy)
//!                 -> the plain table (table), fonts -----+
//! ```
//!
//! The page asks nobody for anything: styles, script, drawings and fonts are in it, and a content security policy
//! forbids the rest. Its script and styles are in `site/`, each file one subject.

mod data;
mod drawings;
mod fill;
mod fonts;
mod make;
mod photos;
mod policy;
mod request;
mod shown;
mod site;
mod table;
mod texts;

pub use make::{Page, page};
pub use request::{PageRequest, Preview};
