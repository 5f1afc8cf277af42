//! Names of cut-outs.

/// The name of a cut-out's file. What cannot stand in a name of a file becomes an underscore.
pub fn file_name(part: &str, colour: &str) -> String {
    let safe = |text: &str| -> String {
        text.chars()
            .map(|c| if c.is_control() || r#"/\:*?"<>|"#.contains(c) { '_' } else { c })
            .collect()
    };
    format!("{}.{}.png", safe(part), safe(colour))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe() {
        assert_eq!(file_name("a/b", "c:d"), "a_b.c_d.png");
    }
}
