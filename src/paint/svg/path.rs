//! Path data: relative, at a micrometre, without needless letters.

use kurbo::{BezPath, PathEl, Point};

use crate::paint::number;

/// Steps of a micrometre, in which positions are kept so that roundings of
/// relative steps never add up.
const STEPS: f64 = 1000.0;

struct Data<'a> {
    out: &'a mut String,
    /// Does a letter come last in it, or nothing yet?
    fresh: bool,
    /// Where the reader's pen is, in whole steps.
    pen: (f64, f64),
    start: (f64, f64),
    last: char,
}

impl Data<'_> {
    fn command(&mut self, letter: char) {
        // A letter need not be repeated, except m, after which l is meant.
        if self.last != letter || letter == 'm' {
            self.out.push(letter);
            (self.last, self.fresh) = (letter, true);
        }
    }

    fn value(&mut self, steps: f64) {
        // A sign separates numbers as well as a space does.
        if !self.fresh && steps >= 0.0 {
            self.out.push(' ');
        }
        number::push(self.out, steps / STEPS, number::LENGTH);
        self.fresh = false;
    }

    fn points(&mut self, letter: char, points: &[Point]) {
        let whole = |p: &Point| ((p.x * STEPS).round(), (p.y * STEPS).round());
        let Some(end) = points.last().map(whole) else { return };
        let pen = self.pen;
        if letter == 'l' && (end.0 == pen.0 || end.1 == pen.1) {
            let (letter, step) =
                if end.1 == pen.1 { ('h', end.0 - pen.0) } else { ('v', end.1 - pen.1) };
            if step != 0.0 {
                self.command(letter);
                self.value(step);
            }
        } else {
            self.command(letter);
            for (x, y) in points.iter().map(whole) {
                self.value(x - pen.0);
                self.value(y - pen.1);
            }
        }
        self.pen = end;
    }
}

/// Appends the `d` attribute of a path in millimetres.
pub fn data(out: &mut String, path: &BezPath) {
    let (pen, start) = ((0.0, 0.0), (0.0, 0.0));
    let mut data = Data { out, fresh: true, pen, start, last: ' ' };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => {
                data.points('m', &[p]);
                data.start = data.pen;
            }
            PathEl::LineTo(p) => data.points('l', &[p]),
            PathEl::QuadTo(a, p) => data.points('q', &[a, p]),
            PathEl::CurveTo(a, b, p) => data.points('c', &[a, b, p]),
            PathEl::ClosePath => {
                data.command('z');
                data.pen = data.start;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn data_reads_back_to_the_micrometre() {
        let text =
            "M10.1,20.2L30.3333,20.2L30.3333,5Q1,2 3,4.00049C1.5,2.5 3.5,4.5 -0.0004,0ZM1,1L2,2Z";
        let path = BezPath::from_svg(text).expect("valid");
        let mut written = String::new();
        data(&mut written, &path);
        let back = BezPath::from_svg(&written).expect("valid");
        assert_eq!(back.elements().len(), path.elements().len(), "{written}");
        for (a, b) in path.segments().zip(back.segments()) {
            let (a, b) = (a.to_cubic(), b.to_cubic());
            for (p, q) in [(a.p0, b.p0), (a.p1, b.p1), (a.p2, b.p2), (a.p3, b.p3)] {
                assert!((p - q).hypot() < 1.1e-3, "{p:?} {q:?} {written}");
            }
        }
    }
}
