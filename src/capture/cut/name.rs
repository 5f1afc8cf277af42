//! Names of cut-outs.

/// The name of a cut-out's file. What cannot stand in a name of a file becomes an underscore.
pub fn file_name(part: &str, colour: &str) -> String {
    format!("{}.{}.png", safe(part), safe(colour))
}

/// The name of the file of a part's outline.
pub fn shape_name(part: &str) -> String {
    format!("{}.svg", safe(part))
}

fn safe(text: &str) -> String {
    let is_odd = |c: char| c.is_control() || r#"/\:*?"<>|"#.contains(c);
    text.chars().map(|c| if is_odd(c) { '_' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe() {
        assert_eq!(file_name("a/b", "c:d"), "a_b.c_d.png");
    }
}
