//! The map of least squares, in closed form.
//!
//! Places are taken from the middle of the marks, so their sums are 0 and the shift is the mean of what was read. What
//! is left of the normal equations is one number each for turn and scale, or the same 2 x 2 matrix for x and for y.

use kurbo::{Affine, Point, Vec2};

use super::reading::{Model, Reading};

/// Marks that reach less far across their line than this share of their reach along it are on a line: of the two,
/// squared, as in the normal equations.
const ON_A_LINE: f64 = 1e-12;

/// The map, and what it leaves of each reading, mm.
pub(super) fn solve(model: Model, readings: &[Reading]) -> (Affine, Vec<Vec2>) {
    let middle = middle(readings);
    let reach = readings.iter().map(|r| r.mark.at.distance(middle)).fold(1.0, f64::max);
    let place = |r: &Reading| (r.mark.at - middle) / reach;
    let sum = |of: &dyn Fn(Vec2, Vec2) -> f64| -> f64 {
        readings.iter().map(|r| of(place(r), r.off)).sum()
    };
    let count = readings.len().max(1) as f64;
    let shift = Vec2::new(sum(&|_, off| off.x), sum(&|_, off| off.y)) / count;
    // How much a place that is 1 to the right, or 1 further down, is off besides.
    let (right, down) = match model {
        Model::Shift => (Vec2::ZERO, Vec2::ZERO),
        Model::Similar => {
            let square = sum(&|at, _| at.hypot2());
            let scale = over(sum(&|at, off| at.dot(off)), square);
            let turn = over(sum(&|at, off| at.cross(off)), square);
            (Vec2::new(scale, turn), Vec2::new(-turn, scale))
        }
        Model::Affine => {
            let [xx, xy, yy] =
                [sum(&|at, _| at.x * at.x), sum(&|at, _| at.x * at.y), sum(&|at, _| at.y * at.y)];
            let found = |off_of: fn(Vec2) -> f64| {
                let b = Vec2::new(
                    sum(&|at, off| at.x * off_of(off)),
                    sum(&|at, off| at.y * off_of(off)),
                );
                symmetric(xx, xy, yy, b)
            };
            let (in_x, in_y) = (found(|off| off.x), found(|off| off.y));
            (Vec2::new(in_x.x, in_y.x), Vec2::new(in_x.y, in_y.y))
        }
    };
    let rest = |r: &Reading| {
        let at = place(r);
        r.off - shift - at.x * right - at.y * down
    };
    let (right, down) = (right / reach, down / reach);
    let falls = Affine::translate(middle.to_vec2() + shift)
        * Affine::new([1.0 + right.x, right.y, down.x, 1.0 + down.y, 0.0, 0.0])
        * Affine::translate(-middle.to_vec2());
    (falls, readings.iter().map(rest).collect())
}

/// The middle of the marks.
pub(super) fn middle(readings: &[Reading]) -> Point {
    let sum = readings.iter().fold(Vec2::ZERO, |s, r| s + r.mark.at.to_vec2());
    (sum / readings.len().max(1) as f64).to_point()
}

/// The shortest solution of `[xx xy; xy yy] v = b`, along the axes of the matrix, which is that of squares.
fn symmetric(xx: f64, xy: f64, yy: f64, b: Vec2) -> Vec2 {
    let along = Vec2::from_angle(f64::atan2(2.0 * xy, xx - yy) / 2.0);
    let across = along.turn_90();
    let square =
        |axis: Vec2| axis.x * (xx * axis.x + xy * axis.y) + axis.y * (xy * axis.x + yy * axis.y);
    let (long, short) = (square(along), square(across));
    let short = if short > ON_A_LINE * long { short } else { 0.0 };
    along * over(b.dot(along), long) + across * over(b.dot(across), short)
}

/// A quotient, 0 where there is nothing to divide by.
fn over(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::labels::offset::Mark;

    fn readings(places: &[(f64, f64)]) -> Vec<Reading> {
        let reading = |(number, (x, y)): (usize, &(f64, f64))| Reading {
            mark: Mark { number, at: Point::new(*x, *y) },
            off: Vec2::new((number * 7 % 5) as f64 * 0.1 - 0.2, (number * 3 % 4) as f64 * 0.2),
            place: None,
        };
        places.iter().enumerate().map(reading).collect()
    }

    fn squares(falls: Affine, readings: &[Reading]) -> f64 {
        readings.iter().map(|r| (r.mark.at + r.off - falls * r.mark.at).hypot2()).sum()
    }

    /// The sum of squares has one hollow: where no step makes it less, it is the least.
    #[test]
    fn no_other_map_of_the_model_leaves_less() {
        let readings =
            readings(&[(10.0, 20.0), (190.0, 25.0), (100.0, 150.0), (20.0, 280.0), (180.0, 270.0)]);
        for (model, moves) in [
            (Model::Shift, &[[0.0, 0.0, 0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 0.0, 0.0, 1.0]][..]),
            (
                Model::Similar,
                &[[1.0, 0.0, 0.0, 1.0, 0.0, 0.0], [0.0, 1.0, -1.0, 0.0, 0.0, 0.0]][..],
            ),
            (
                Model::Affine,
                &[
                    [1.0, 0.0, 0.0, 0.0, 0.0, 0.0],
                    [0.0, 1.0, 0.0, 0.0, 0.0, 0.0],
                    [0.0, 0.0, 1.0, 0.0, 0.0, 0.0],
                    [0.0, 0.0, 0.0, 1.0, 0.0, 0.0],
                    [0.0, 0.0, 0.0, 0.0, 1.0, 0.0],
                ][..],
            ),
        ] {
            let (falls, left) = solve(model, &readings);
            let least = squares(falls, &readings);
            assert!((least - left.iter().map(|v| v.hypot2()).sum::<f64>()).abs() < 1e-12);
            for by in moves {
                for step in [1e-4, -1e-4] {
                    let found = falls.as_coeffs();
                    let other = Affine::new(std::array::from_fn(|i| found[i] + step * by[i]));
                    assert!(squares(other, &readings) > least, "{model:?} {by:?}");
                }
            }
        }
    }

    /// The farthest-mark search leaves marks out, so that the rest may be on a line, or on one place.
    #[test]
    fn marks_on_a_line_say_nothing_of_what_is_across_it() {
        let on_a_line = readings(&[(0.0, 10.0), (30.0, 40.0), (60.0, 70.0)]);
        let (falls, _) = solve(Model::Affine, &on_a_line);
        let across = falls * Point::new(40.0, 30.0) - falls * Point::new(30.0, 40.0);
        assert!((across - Vec2::new(10.0, -10.0)).hypot() < 1e-6, "{across:?}");
        for model in [Model::Similar, Model::Affine] {
            let (falls, _) = solve(model, &readings(&[(50.0, 50.0), (50.0, 50.0)]));
            assert!((falls.determinant() - 1.0).abs() < 1e-12, "{falls:?}");
        }
    }
}
