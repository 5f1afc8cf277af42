//! What a target is made of.

use crate::plan::Style;
use crate::press::{Paper, Print};
use crate::supplies::Naming;

/// What a target is made of.
pub struct TargetRequest<'a> {
    pub naming: Naming<'a>,
    pub style: &'a Style,
    pub paper: &'a Paper,
    /// The paper's name.
    pub name: &'a str,
    pub print: &'a Print,
    /// Width and height of a page, mm.
    pub size: (f64, f64),
    /// How far patches are from each other, as a difference in CIELAB.
    pub step: f64,
    /// Pages with places for parts; pages of the chart.
    pub cells: bool,
    pub chart: bool,
}
