//! How many dashes a drawing's lines would fall into: the SVG library makes an outline of each before
//! anything can be counted.

use kurbo::{BezPath, PathEl, Point};
use usvg::roxmltree::{Document, Node};

use super::super::styles::Styles;

/// More dashes than this are no drawing of a part.
pub(super) const MOST: f64 = 50_000.0;

/// An element with dashes, and about how many the longest line of the drawing has of the shortest that are set.
pub(super) fn most<'a, 'i>(
    doc: &'a Document<'i>,
    styles: &Styles<'_>,
) -> Option<(Node<'a, 'i>, f64)> {
    // Dashes are inherited and may be set far from the line: the shortest count for all.
    let set = |n: Node<'a, 'i>| styles.get(n, "stroke-dasharray").and_then(period).map(|p| (n, p));
    let elements = || doc.descendants().filter(Node::is_element);
    let (node, period) = elements().filter_map(set).min_by(|a, b| a.1.total_cmp(&b.1))?;
    let longest = elements().map(length).fold(0.0, f64::max);
    Some((node, longest / period))
}

/// Length of a pair of dash and gap in px (CSS Values and Units 4, absolute lengths), on average.
fn period(value: &str) -> Option<f64> {
    let lengths: Vec<f64> = value
        .split(|c: char| c == ',' || c.is_whitespace())
        .filter(|v| !v.is_empty())
        .filter_map(|v| {
            let at = v.find(|c: char| c.is_ascii_alphabetic() && c != 'e' || c == '%');
            let (number, unit) = v.split_at(at.unwrap_or(v.len()));
            let px = match unit {
                "mm" => 96.0 / 25.4,
                "cm" => 96.0 / 2.54,
                "in" => 96.0,
                "pt" => 96.0 / 72.0,
                "pc" => 16.0,
                _ => 1.0,
            };
            number.parse::<f64>().ok().map(|n| n * px)
        })
        .collect();
    let sum: f64 = lengths.iter().sum();
    (sum > 0.0).then(|| 2.0 * sum / lengths.len() as f64)
}

/// At least the length of an element's outline, in its own units.
fn length(node: Node<'_, '_>) -> f64 {
    if let Some(path) = node.attribute("d")
        && let Ok(path) = BezPath::from_svg(path)
    {
        return along(&path);
    }
    // From one point to the next it is no farther than both are from zero, and a circle is shorter than eight radii.
    let sizes = ["d", "points", "x1", "y1", "x2", "y2", "width", "height", "r", "rx", "ry"];
    let sum: f64 = sizes.iter().filter_map(|name| node.attribute(*name)).map(numbers).sum();
    8.0 * sum
}

/// Length of the lines between all points of a path, control points too: never less than its own.
fn along(path: &BezPath) -> f64 {
    let (mut sum, mut last, mut first) = (0.0, Point::ZERO, Point::ZERO);
    for element in path.elements() {
        let points: &[Point] = match element {
            PathEl::MoveTo(p) => {
                (last, first) = (*p, *p);
                continue;
            }
            PathEl::LineTo(a) => &[*a],
            PathEl::QuadTo(a, b) => &[*a, *b],
            PathEl::CurveTo(a, b, c) => &[*a, *b, *c],
            PathEl::ClosePath => &[first],
        };
        for point in points {
            sum += last.distance(*point);
            last = *point;
        }
    }
    sum
}

/// The sum of all numbers of a text, without their signs.
fn numbers(text: &str) -> f64 {
    text.split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .filter_map(|n| n.parse::<f64>().ok())
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn periods_and_lengths() {
        assert_eq!(period("2 1"), Some(3.0));
        // An odd list counts twice.
        assert_eq!(period("0.04"), Some(0.08));
        assert_eq!(period("1mm,1mm"), Some(2.0 * 96.0 / 25.4));
        assert_eq!(period("none"), None);
        assert_eq!(period("0 0"), None);
        let path = BezPath::from_svg("M0 0h3v4z").expect("a path");
        assert!((along(&path) - 12.0).abs() < 1e-12);
        assert!((numbers("1.5,-2 3e") - 6.5).abs() < 1e-12);
    }
}
