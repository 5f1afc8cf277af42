//! The words of an SVG.

/// All of them in a row, without the tags between them.
pub fn words(svg: &str) -> String {
    let texts = svg.split('<').map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text));
    texts.collect()
}
