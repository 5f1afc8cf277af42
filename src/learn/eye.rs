//! What somebody saw: which patch is nearest to a part, and whether the part is like it.

use super::ReadFile;
use crate::capture::page::{PartPlace, StagePage};
use crate::press::Seen;
use crate::press::seen::PATCHES;
use crate::range::ColourRange;
use crate::target::FormLine;

/// The answers of a form. `pages` are those of the target.
pub fn by_eye(lines: &[FormLine], pages: &[StagePage], range: &ColourRange) -> ReadFile {
    let mut out = ReadFile::default();
    for line in lines {
        let Some((page, place)) = place(pages, line.place) else { continue };
        let colour = range.colours().iter().find(|c| *c.key() == place.colour);
        let Some(aim) = colour.filter(|c| c.value().is_known()).map(|c| c.aim()) else { continue };
        let value = |k: usize| {
            let name = format!("{}.{k}", line.place);
            page.prints.iter().find(|p| p.name == name).map(|p| p.value)
        };
        let values: Option<Vec<[u8; 4]>> = (0..PATCHES).map(value).collect();
        let Some(values) = values.and_then(|values| values.try_into().ok()) else { continue };
        let nearest = line.answer.nearest.clone();
        out.without += usize::from(nearest.is_empty());
        let patches: Vec<String> = nearest.iter().map(usize::to_string).collect();
        out.names.push(match nearest.is_empty() {
            true => format!("place {}, none", line.place),
            false => format!("place {}, patch {}", line.place, patches.join("-")),
        });
        out.seen.push(Seen { aim, values, nearest, like: line.answer.like });
    }
    out
}

/// The place of a number.
fn place(pages: &[StagePage], number: usize) -> Option<(&StagePage, &PartPlace)> {
    let number = number.to_string();
    pages.iter().find_map(|page| {
        let place = page.places.iter().find(|place| place.number == number)?;
        Some((page, place))
    })
}
