//! The texts of a sheet.

use crate::diag::Span;
use crate::range::{Range, SheetSpec, Words};

/// One text of the sheet, and where it is written.
pub(super) struct PrintedText<'a> {
    pub what: &'static str,
    pub words: &'a Words,
    pub span: &'a Option<Span>,
}

/// Every text that is printed, in the order of the files.
pub(super) fn texts<'a>(
    range: &'a Range,
    sheet: &'a SheetSpec,
) -> impl Iterator<Item = PrintedText<'a>> {
    let text = |what, words, span| PrintedText { what, words, span };
    let head = [
        text("title", sheet.title(), sheet.title_span()),
        text("subtitle", sheet.subtitle(), sheet.subtitle_span()),
        text("corner_text", sheet.corner_text(), sheet.corner_text_span()),
        text("edition line", sheet.edition_line(), sheet.edition_line_span()),
    ];
    let notes = sheet.notes().iter().zip(sheet.note_spans());
    let imprint = sheet.imprint().iter().zip(sheet.imprint_spans());
    let reasons = sheet.left_out().iter().filter_map(|l| Some((l.reason().as_ref()?, l)));
    let out = sheet.left_out().iter().filter(|l| l.reason().is_some()).flat_map(move |l| {
        // The footnote names a colour by the first listing that has a name for it.
        let colour = range.colour(l.colour());
        let names = colour.names().iter().zip(colour.name_spans());
        names.filter_map(|(n, s)| Some((n.as_ref()?, s))).take(1)
    });
    let families = sheet.families().iter().map(move |f| range.family(f.family()));
    let of_families = families.flat_map(move |f| {
        // Without a separate legend the note is shown there.
        let legend =
            (f.legend_span() != f.note_span()).then(|| text("legend", f.legend(), f.legend_span()));
        let title = text("family title", f.title(), f.title_span());
        [title, text("family note", f.note(), f.note_span())].into_iter().chain(legend)
    });
    let parts = range.parts().iter().map(move |p| text("part title", p.title(), p.title_span()));
    let shown = sheet.families().iter().flat_map(|f| f.rows());
    let names = shown.flat_map(move |id| {
        let colour = range.colour(*id);
        sheet.centre().iter().filter(|line| line.name).filter_map(move |line| {
            let name = colour.names()[line.listing.0].as_ref()?;
            Some((name, &colour.name_spans()[line.listing.0]))
        })
    });
    // The panel of look-alikes names them by the listing of the headings, which the rows may not show.
    let heading = sheet.headings().0;
    let in_rows = sheet.centre().iter().any(|line| line.name && line.listing.0 == heading);
    let in_panel = sheet.lookalikes().is_some() && !in_rows;
    let paired = sheet.families().iter().flat_map(|f| f.rows()).filter(move |_| in_panel);
    let paired = paired.filter_map(move |id| {
        let colour = range.colour(*id);
        Some((colour.names()[heading].as_ref()?, &colour.name_spans()[heading]))
    });
    head.into_iter()
        .chain(notes.map(move |(w, s)| text("note", w, s)))
        .chain(imprint.map(move |(w, s)| text("imprint", w, s)))
        .chain(reasons.map(move |(w, l)| text("reason", w, l.reason_span())))
        .chain([text("release", range.release(), range.release_span())])
        .chain(of_families)
        .chain(parts)
        .chain(names.chain(paired).chain(out).map(move |(w, s)| text("name", w, s)))
}
