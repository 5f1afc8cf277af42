//! Templates of phrases.

/// Puts values in place of `{name}`; once, so that values with braces stay as they are.
pub(crate) fn fill_in(template: &str, fill: &[(&str, &str)]) -> String {
    let mut out = String::new();
    let mut rest = template;
    while let Some(open) = rest.find('{') {
        out.push_str(&rest[..open]);
        let tail = &rest[open + 1..];
        match tail.find('}').and_then(|close| {
            fill.iter().find(|(k, _)| *k == &tail[..close]).map(|(_, v)| (close, *v))
        }) {
            Some((close, value)) => {
                out.push_str(value);
                rest = &tail[close + 1..];
            }
            None => {
                out.push('{');
                rest = tail;
            }
        }
    }
    out + rest
}
