//! The tick-list as Markdown: a box a line, by part, then family.

use super::count::{Supplies, SuppliesRequest, SupplyLine};
use super::naming::Naming;
use super::report::sheets_line;

/// Everything to buy, with boxes to tick; what is in hand is left out.
pub fn markdown(supplies: &Supplies, naming: &Naming<'_>, wish: &SuppliesRequest) -> String {
    let total = supplies.total().count;
    let rows = [
        ("buy_pieces", total),
        ("buy_blanks_sum", supplies.tiles),
        ("buy_sheets_sum", supplies.sheets.count),
    ];
    let say = |key: &str, fill: &[(&str, &str)]| plain(&naming.say(key, fill));
    let mut out = format!("# {}\n\n", say("buy_for", &[("title", &naming.title())]));
    let listing = naming.listing_title();
    out.push_str(&format!("{}\n\n", say("buy_numbers", &[("listing", &listing)])));
    let heads = ["needed", "spares", "in_hand", "to_buy"];
    let heads = heads.map(|head| say(&format!("buy_head_{head}"), &[]));
    out.push_str(&format!("| | {} |\n|---|---:|---:|---:|---:|\n", heads.join(" | ")));
    for (key, c) in rows {
        let name = say(key, &[]);
        let line =
            format!("| {name} | {} | {} | {} | {} |\n", c.needed, c.spares, c.in_hand, c.to_buy);
        out.push_str(&line);
    }
    out.push_str(&format!("\n{}\n", sheets_line(supplies, naming, wish)));
    for part in shelves(supplies) {
        let first = part[0];
        let size = naming.part_size(first.part);
        let title = format!("{}, {size}", naming.part(first.part));
        let n = sum(part.iter().copied()).to_string();
        out.push_str(&format!("\n## {}\n", say("buy_part", &[("part", &title), ("n", &n)])));
        for family in part.chunk_by(|a, b| a.family == b.family) {
            let name = naming.family(family[0].family);
            out.push_str(&format!("\n### {}: {}\n\n", plain(&name), sum(family.iter().copied())));
            for line in family {
                let colour = naming.colour(line.colour);
                out.push_str(&format!("- [ ] {}: {}\n", plain(&colour), line.count.to_buy));
            }
        }
    }
    let more: Vec<String> =
        [("buy_blanks_sum", supplies.tiles), ("buy_sheets_sum", supplies.sheets.count)]
            .into_iter()
            .filter(|(_, c)| c.to_buy > 0)
            .map(|(key, c)| format!("- [ ] {}: {}\n", say(key, &[]), c.to_buy))
            .collect();
    if !more.is_empty() {
        out.push_str(&format!("\n## {}\n\n{}", say("buy_labels", &[]), more.concat()));
    }
    if total.to_buy == 0 && more.is_empty() {
        out.push_str(&format!("\n{}\n", say("buy_all_in_hand", &[])));
    }
    out
}

/// Lines with something to buy, a group a part.
pub fn shelves(supplies: &Supplies) -> Vec<Vec<&SupplyLine>> {
    let lines: Vec<&SupplyLine> = supplies.lines.iter().filter(|l| l.count.to_buy > 0).collect();
    lines.chunk_by(|a, b| a.part == b.part).map(<[&SupplyLine]>::to_vec).collect()
}

/// Pieces to buy of some lines.
pub fn sum<'a>(lines: impl IntoIterator<Item = &'a SupplyLine>) -> u64 {
    lines.into_iter().map(|l| l.count.to_buy).sum()
}

/// A text without Markdown markup.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '#' | '~' | '&') {
            out.push('\\');
        }
        out.push(if c.is_control() { ' ' } else { c });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn names_are_no_marks() {
        assert_eq!(
            plain("A*b_c [x] <i> | `d` # &"),
            "A\\*b\\_c \\[x\\] \\<i\\> \\| \\`d\\` \\# \\&"
        );
    }
}
