//! What cannot be ordered by the numbers of its listing.

use std::collections::BTreeSet;

use super::count::Supplies;
use super::naming::Naming;
use crate::diag::{Diagnostic, Findings};
use crate::range::{ColourId, PartId};

impl Naming<'_> {
    /// Parts and colours to be bought that the listing does not number, where
    /// it numbers others: they cannot be ordered by it.
    pub fn not_listed(&self, supplies: &Supplies) -> Findings {
        let mut findings = Findings::default();
        let listing = self.range.listings()[self.listing.0].key();
        let help = "order it in words, or choose another listing with --listing";
        let bought = || supplies.lines.iter().filter(|l| l.count.to_buy > 0);
        let listing_at = self.listing.0;
        if self.range.parts().iter().any(|p| p.numbers()[listing_at].is_some()) {
            let parts: BTreeSet<PartId> = bought().map(|l| l.part).collect();
            for part in parts.into_iter().filter(|p| self.part_number(*p).is_none()) {
                let part = self.range.part(part);
                let message =
                    format!("part '{}' has no number in the listing '{listing}'", part.key());
                let span = part.span().clone();
                findings.push(Diagnostic::warning("not-listed", message).at(span).help(help));
            }
        }
        if self.range.colours().iter().any(|c| c.numbers()[listing_at].is_some()) {
            let colours: BTreeSet<ColourId> = bought().map(|l| l.colour).collect();
            for colour in colours.into_iter().filter(|c| self.colour_number(*c).is_none()) {
                let colour = self.range.colour(colour);
                let message = format!(
                    "the colour '{}' has no number in the listing '{listing}'",
                    colour.any_name()
                );
                let span = colour.span().clone();
                findings.push(Diagnostic::warning("not-listed", message).at(span).help(help));
            }
        }
        findings
    }
}
