//! The texts of a sheet.

use crate::diag::{Located, Span};
use crate::range::{ColourRange, SheetSpec, Words};

/// One text of the sheet, and where it is written.
pub(super) struct PrintedText<'a> {
    pub what: &'static str,
    pub words: &'a Words,
    pub span: &'a Option<Span>,
}

/// Every text that is printed, in the order of the files.
pub(super) fn texts<'a>(
    range: &'a ColourRange,
    sheet: &'a SheetSpec,
) -> impl Iterator<Item = PrintedText<'a>> {
    let text = |what, words: &'a Located<Words>| PrintedText { what, words, span: &words.span };
    let optional = |what, words: &'a Located<Option<Words>>| {
        words.as_ref().map(|w| PrintedText { what, words: w, span: &words.span })
    };
    let head = [
        text("title", sheet.title()),
        text("subtitle", sheet.subtitle()),
        text("corner_text", sheet.corner_text()),
        text("edition line", sheet.edition_line()),
    ];
    let reasons = sheet.left_out().iter().filter_map(move |l| optional("reason", l.reason()));
    let out = sheet.left_out().iter().filter(|l| l.reason().is_some()).filter_map(move |l| {
        // The footnote names a colour by the first listing that has a name for it.
        range.colour(l.colour()).names().iter().find_map(|name| optional("name", name))
    });
    let families = sheet.families().iter().map(move |f| range.family(f.family()));
    let of_families = families.flat_map(move |f| {
        // Without a separate legend the note is shown there.
        let legend = (f.legend().span != f.note().span).then(|| text("legend", f.legend()));
        [text("family title", f.title()), text("family note", f.note())].into_iter().chain(legend)
    });
    let parts = range.parts().iter().map(move |p| text("part title", p.title()));
    let shown = sheet.families().iter().flat_map(|f| f.rows());
    let names = shown.flat_map(move |id| {
        let colour = range.colour(*id);
        sheet
            .centre()
            .iter()
            .filter(|line| line.name)
            .filter_map(move |line| optional("name", &colour.names()[line.listing.0]))
    });
    // The panel of look-alikes names them by the listing of the headings, which the rows may not show.
    let heading = sheet.headings().0;
    let in_rows = sheet.centre().iter().any(|line| line.name && line.listing.0 == heading);
    let in_panel = sheet.lookalikes().is_some() && !in_rows;
    let paired = sheet.families().iter().flat_map(|f| f.rows()).filter(move |_| in_panel);
    let paired = paired.filter_map(move |id| optional("name", &range.colour(*id).names()[heading]));
    head.into_iter()
        .chain(sheet.notes().iter().map(move |words| text("note", words)))
        .chain(sheet.imprint().iter().map(move |words| text("imprint", words)))
        .chain(reasons)
        .chain([text("release", range.release())])
        .chain(of_families)
        .chain(parts)
        .chain(names.chain(paired).chain(out))
}
