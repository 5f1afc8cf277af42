//! What a list is laid out with.

use crate::plan::Style;
use crate::plan::papers::Paper;
use crate::work::Work;

/// The paper of its pages, and the faces and inks of its words.
#[derive(Clone, Copy)]
pub struct Setting<'a> {
    pub style: &'a Style,
    pub paper: Paper,
    /// What drawing its parts counts and asks.
    pub work: &'a Work,
}
