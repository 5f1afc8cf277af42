//! Faults that the scan finds.

use super::*;

fn faults(text: &str) -> Vec<(&'static str, usize)> {
    scan(Path::new("f"), text)
        .unwrap_err()
        .into_iter()
        .map(|d| (d.code, d.span.unwrap().range.start))
        .collect()
}

#[test]
fn fields_and_items() {
    let text = "// c\nA(b: [1, \"x, )\"], /* ( /* */ */ d: {\"k\": L(2, 3)}, e: r#\"\"]\"#)";
    let node = scan(Path::new("f"), text).unwrap();
    assert_eq!(&text[node.name.clone().unwrap()], "A");
    let Body::Entries(e) = &node.body else { panic!() };
    assert_eq!(e.iter().map(|e| e.text.as_str()).collect::<Vec<_>>(), ["b", "d", "e"]);
    let Body::Entries(k) = &e[1].value.body else { panic!() };
    assert_eq!(k[0].text, "k");
    assert_eq!(&text[k[0].value.span.clone()], "L(2, 3)");
}

#[test]
fn several_faults_at_once() {
    assert_eq!(faults("(a: 1 b: 2 c: 3)"), [("missing-comma", 6), ("missing-comma", 11)]);
    assert_eq!(faults("(a: [1)"), [("wrong-bracket", 6)]);
    assert_eq!(faults("(a: [1]"), [("unclosed-bracket", 0)]);
    assert_eq!(faults("(a: \"x)"), [("unclosed-text", 4)]);
    assert_eq!(faults("(a: )"), [("missing-value", 4)]);
    assert_eq!(faults("(a: 1) b"), [("text-after-end", 7)]);
    assert_eq!(faults("(a: 1 /* "), [("unclosed-comment", 6)]);
}

#[test]
fn deep_nesting_is_a_message() {
    for open in ["(", "[", "{", "a(", "{1:"] {
        let text = open.repeat(100_000);
        assert_eq!(faults(&text)[0].0, "too-deep");
    }
}

#[test]
fn never_loops_on_odd_signs() {
    for text in [
        "(,)", "(:)", "(::)", "(a::1)", "'", "(')", "#", "(#)", "r", "r#", "b", "(\\)", ",", ":",
        ")", "", "(a:,)",
    ] {
        let _ = scan(Path::new("f"), text);
    }
}
