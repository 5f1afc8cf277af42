//! What of a range is on the page.

use std::collections::{BTreeMap, BTreeSet};

use crate::range::{ColourId, ColourRange, FamilyId, Finish, PartId, SheetSpec};

/// What of a range is on the page, each with its place in the page's lists.
pub struct Shown {
    pub families: Vec<FamilyId>,
    pub finishes: Vec<Finish>,
    pub parts: Vec<PartId>,
    pub colours: Vec<ColourId>,
    /// By colour: its family, and the parts that it is made in, as places in the lists.
    pub of: BTreeMap<ColourId, (usize, Vec<usize>)>,
}

impl Shown {
    /// The colours of a sheet in its order, and the parts that any of them is made in.
    pub fn new(range: &ColourRange, sheet: &SheetSpec) -> Shown {
        let on_sheet = || sheet.families().iter().filter(|family| !family.rows().is_empty());
        let families: Vec<FamilyId> = on_sheet().map(|family| family.family()).collect();
        let colours: Vec<ColourId> = on_sheet().flat_map(|family| family.rows()).copied().collect();
        let made = |part: &PartId| colours.iter().any(|colour| range.is_made(*colour, *part));
        let parts: Vec<PartId> = (0..range.parts().len()).map(PartId).filter(made).collect();
        let own: BTreeSet<Finish> = colours.iter().map(|c| range.colour(*c).finish()).collect();
        let of = colours.iter().map(|colour| {
            let family = range.colour(*colour).family();
            let place = families.iter().position(|f| *f == family).unwrap_or(0);
            let parts = parts.iter().enumerate();
            let parts = parts.filter(|(_, part)| range.is_made(*colour, **part)).map(|(i, _)| i);
            (*colour, (place, parts.collect()))
        });
        Shown { of: of.collect(), families, finishes: own.into_iter().collect(), parts, colours }
    }
}
