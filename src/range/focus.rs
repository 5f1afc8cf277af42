//! A range cut down to what a sheet shows of it: the solver keeps the parts of
//! a colour in a word of 128 bits.

use super::{ColourRange, Columns, PartId, SheetSpec};
use crate::diag::Diagnostic;

/// The most parts that one sheet shows.
pub const MOST_PARTS: usize = 128;

/// Leaves out parts in which no shown colour is made, where the range has more
/// than [`MOST_PARTS`].
///
/// # Errors
/// The sheet shows more parts than that.
pub fn focus(
    mut range: ColourRange,
    mut sheet: SheetSpec,
) -> Result<(ColourRange, SheetSpec), Diagnostic> {
    if range.parts.len() <= MOST_PARTS {
        return Ok((range, sheet));
    }
    let mut used = vec![false; range.parts.len()];
    for colour in sheet.families.iter().flat_map(|f| &f.rows) {
        range.made[colour.0].iter().zip(&mut used).for_each(|(made, used)| *used |= made);
    }
    for family in &sheet.families {
        parts_of(&family.columns).into_iter().flatten().for_each(|p| used[p.0] = true);
    }
    sheet.legend_parts.iter().for_each(|p| used[p.0] = true);
    let count = used.iter().filter(|u| **u).count();
    if count > MOST_PARTS {
        return Err(Diagnostic::error(
            "too-many-parts",
            format!("the sheet shows {count} parts, more than {MOST_PARTS}"),
        )
        .at(sheet.title.span.clone())
        .help("move some of its families to a second sheet"));
    }
    keep_parts(&mut range, &mut sheet, &used);
    Ok((range, sheet))
}

/// Leaves a range and a sheet with some of their parts, as if they had no others: `kept[part]`.
///
/// A family that is left without any part to choose from shows each colour's own, which may be none.
pub fn keep_parts(range: &mut ColourRange, sheet: &mut SheetSpec, kept: &[bool]) {
    let mut next = 0;
    let moved: Vec<Option<PartId>> = kept
        .iter()
        .map(|kept| {
            kept.then(|| {
                next += 1;
                PartId(next - 1)
            })
        })
        .collect();
    let keep = |list: &mut Vec<bool>| {
        let mut at = kept.iter();
        list.retain(|_| at.next() == Some(&true));
    };
    range.made.iter_mut().for_each(keep);
    let mut at = kept.iter();
    range.parts.retain(|_| at.next() == Some(&true));
    range.years.retain_mut(|y| moved[y.part.0].map(|p| y.part = p).is_some());
    let keep_all =
        |list: &mut Vec<PartId>| list.retain_mut(|p| moved[p.0].map(|to| *p = to).is_some());
    for family in &mut sheet.families {
        match &mut family.columns {
            Columns::Choose { from } => from.iter_mut().for_each(keep_all),
            Columns::Given { left, right } => [left, right].into_iter().for_each(keep_all),
            Columns::Loose => {}
        }
        let chosen = !matches!(family.columns, Columns::Choose { from: None });
        if chosen && parts_of(&family.columns).iter().all(|list| list.is_empty()) {
            family.columns = Columns::Loose;
        }
    }
    keep_all(&mut sheet.legend_parts);
    sheet.pictures.iter_mut().for_each(|pictures| pictures.keep(&moved));
}

fn parts_of(columns: &Columns) -> [&[PartId]; 2] {
    match columns {
        Columns::Choose { from } => [from.as_deref().unwrap_or_default(), &[]],
        Columns::Given { left, right } => [left, right],
        Columns::Loose => [&[], &[]],
    }
}
