//! Images in other colours: the sample that a picture shows is printed as something else, and light and
//! shade in the picture follow it.
//!
//! A grid of sRGB colours, [`STEP`] apart, has the flat value of the sample as one of its nodes. What is
//! known for the nodes is known for everything between them, in proportion; for the flat value exactly.

use super::{Light, Pixels};
use crate::graphic::Rgb;

/// From node to node, bytes.
const STEP: u8 = 16;
/// The most nodes along an axis: both ends, and one each step between.
const MOST: usize = 18;
/// How often an image is halved to find what its pixels come to when they are mixed.
const HALVINGS: usize = 3;

/// The nodes along one channel, and where each byte lies among them.
struct Axis {
    nodes: Vec<u8>,
    /// The node before it, and how far from there to the next, 0 to 1.
    at: [(u8, f32); 256],
}

impl Axis {
    fn new(flat: u8) -> Axis {
        let first = usize::from(flat % STEP);
        let mut nodes: Vec<u8> = (first..256).step_by(STEP.into()).map(|v| v as u8).collect();
        nodes.extend([0, 255]);
        nodes.sort_unstable();
        nodes.dedup();
        let at = std::array::from_fn(|v| {
            let before = nodes.partition_point(|n| usize::from(*n) <= v).saturating_sub(1);
            let before = before.min(nodes.len() - 2);
            let (low, high) = (f32::from(nodes[before]), f32::from(nodes[before + 1]));
            (before as u8, (v as f32 - low) / (high - low))
        });
        Axis { nodes, at }
    }
}

/// The grid of a flat value.
struct Grid([Axis; 3]);

impl Grid {
    fn new(Rgb(r, g, b): Rgb) -> Grid {
        Grid([r, g, b].map(Axis::new))
    }

    /// The place of a node among all.
    fn place(nodes: [usize; 3]) -> usize {
        (nodes[0] * MOST + nodes[1]) * MOST + nodes[2]
    }

    /// The eight nodes around a colour, and how much each counts; one alone where the colour is a node.
    fn around(&self, Rgb(r, g, b): Rgb) -> impl Iterator<Item = (usize, f32)> {
        let at = [r, g, b].map(usize::from);
        let axes: [(u8, f32); 3] = std::array::from_fn(|k| self.0[k].at[at[k]]);
        (0..8usize).filter_map(move |corner| {
            let (mut nodes, mut weight) = ([0; 3], 1.0);
            for (k, (node, share)) in axes.into_iter().enumerate() {
                let next = corner >> k & 1;
                nodes[k] = usize::from(node) + next;
                weight *= if next == 1 { share } else { 1.0 - share };
            }
            (weight > 0.0).then(|| (Grid::place(nodes), weight))
        })
    }

    fn node(&self, place: usize) -> Rgb {
        let at = [place / MOST / MOST, place / MOST % MOST, place % MOST];
        let [r, g, b] = std::array::from_fn(|k| self.0[k].nodes.get(at[k]).copied().unwrap_or(255));
        Rgb(r, g, b)
    }
}

/// The nodes around all colours of an image that shows a sample with this flat value, and around those that
/// they come to when it is made smaller.
pub fn nodes(flat: Rgb, pixels: &Pixels, light: &Light) -> Vec<Rgb> {
    let grid = Grid::new(flat);
    let mut seen = vec![false; MOST * MOST * MOST];
    let mut mark = |pixels: &Pixels| {
        let mut last = None;
        for p in pixels.rgba.chunks_exact(4).filter(|p| p[3] > 0) {
            let rgb = Rgb(p[0], p[1], p[2]);
            if last.replace(rgb) != Some(rgb) {
                grid.around(rgb).for_each(|(place, _)| seen[place] = true);
            }
        }
    };
    mark(pixels);
    let mut smaller = halved(pixels, light);
    for _ in 0..HALVINGS {
        mark(&smaller);
        smaller = halved(&smaller, light);
    }
    let places = seen.iter().enumerate().filter(|(_, seen)| **seen).map(|(place, _)| place);
    places.map(|place| grid.node(place)).collect()
}

/// The mean of two by two pixels, in linear light; an odd last row or column is left out.
fn halved(pixels: &Pixels, light: &Light) -> Pixels {
    let (width, height) = (pixels.width / 2, pixels.height / 2);
    let row = pixels.width as usize * 4;
    let mut rgba = Vec::with_capacity(width as usize * height as usize * 4);
    for y in 0..height as usize {
        for x in 0..width as usize {
            let at = 2 * y * row + 8 * x;
            let four = [at, at + 4, at + row, at + row + 4].map(|n| &pixels.rgba[n..n + 4]);
            let alpha: u32 = four.iter().map(|p| u32::from(p[3])).sum();
            let mean = |k: usize| {
                let sum: u32 =
                    four.iter().map(|p| u32::from(light.of(p[k])) * u32::from(p[3])).sum();
                light.byte(sum.checked_div(alpha).unwrap_or(0) as u16)
            };
            rgba.extend([mean(0), mean(1), mean(2), (alpha / 4) as u8]);
        }
    }
    Pixels { width, height, rgba }
}

/// What the colours of images of a sample come to, in `N` channels.
pub struct Tints<const N: usize> {
    grid: Grid,
    /// Of each node: which value it has, from 1; 0 where none is known.
    which: Vec<u16>,
    values: Vec<[f32; N]>,
}

impl<const N: usize> Tints<N> {
    /// Of the sample with this flat value, from what is known of nodes.
    pub fn new(flat: Rgb, known: impl IntoIterator<Item = (Rgb, [f32; N])>) -> Tints<N> {
        let grid = Grid::new(flat);
        let mut which = vec![0; MOST * MOST * MOST];
        let mut values = Vec::new();
        for (node, value) in known {
            values.push(value);
            // A node is around itself alone.
            grid.around(node).take(1).for_each(|(place, _)| which[place] = values.len() as u16);
        }
        Tints { grid, which, values }
    }

    /// What a colour comes to. Where not all nodes around it are known, those that are decide; of none, the
    /// nearest.
    pub fn of(&self, rgb: Rgb) -> [f32; N] {
        let (mut sum, mut all) = ([0.0; N], 0.0);
        for (place, weight) in self.grid.around(rgb) {
            let Some(value) = self.value(place) else { continue };
            sum.iter_mut().zip(value).for_each(|(s, v)| *s += weight * v);
            all += weight;
        }
        if all > 0.0 { sum.map(|s| s / all) } else { self.nearest(rgb) }
    }

    fn value(&self, place: usize) -> Option<&[f32; N]> {
        self.values.get(usize::from(self.which[place]).checked_sub(1)?)
    }

    fn nearest(&self, Rgb(r, g, b): Rgb) -> [f32; N] {
        let far = |place: usize| {
            let Rgb(x, y, z) = self.grid.node(place);
            let square = |a: u8, b: u8| u32::from(a.abs_diff(b)).pow(2);
            square(r, x) + square(g, y) + square(b, z)
        };
        let known = (0..self.which.len()).filter_map(|n| Some((n, *self.value(n)?)));
        known.min_by_key(|(n, _)| far(*n)).map_or([0.0; N], |(_, value)| value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn image(pixels: &[[u8; 4]], width: u32) -> Pixels {
        let rgba = pixels.concat();
        Pixels { width, height: rgba.len() as u32 / 4 / width, rgba }
    }

    #[test]
    fn the_flat_value_is_exact_and_others_lie_between() {
        for flat in [Rgb(0, 255, 3), Rgb(200, 17, 90), Rgb(255, 255, 255)] {
            let other = Rgb(40, 99, 180);
            let Rgb(r, g, b) = flat;
            let shown = image(&[[r, g, b, 255], [40, 99, 180, 255]], 2);
            let nodes = nodes(flat, &shown, &Light::default());
            assert!(nodes.contains(&flat) && nodes.len() <= 9, "{nodes:?}");
            // A function that is straight comes back as it is.
            let value = |Rgb(r, g, b): Rgb| [f32::from(r) + 2.0 * f32::from(g), f32::from(b)];
            let tints = Tints::new(flat, nodes.iter().map(|n| (*n, value(*n))));
            assert_eq!(tints.of(flat), value(flat));
            let (is, wanted) = (tints.of(other), value(other));
            assert!((is[0] - wanted[0]).abs() < 0.01 && (is[1] - wanted[1]).abs() < 0.01);
        }
    }

    #[test]
    fn what_no_node_is_near_to_takes_the_nearest() {
        let tints = Tints::new(Rgb(0, 0, 0), [(Rgb(0, 0, 0), [1.0]), (Rgb(160, 160, 160), [2.0])]);
        assert_eq!(tints.of(Rgb(120, 130, 140)), [2.0]);
        assert_eq!(tints.of(Rgb(3, 3, 3)), [1.0]);
    }

    #[test]
    fn mixed_colours_have_nodes_too() {
        // Black beside white: their mean in light is a grey of 188.
        let shown = image(&[[[0, 0, 0, 255], [255, 255, 255, 255]]; 4].concat(), 2);
        let nodes = nodes(Rgb(0, 0, 0), &shown, &Light::default());
        assert!(nodes.contains(&Rgb(176, 176, 176)) && nodes.contains(&Rgb(192, 192, 192)));
        assert!(!nodes.contains(&Rgb(96, 96, 96)));
    }
}
