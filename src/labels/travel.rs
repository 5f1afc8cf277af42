//! The way of the blade: which contour follows which, and where each begins.
//!
//! ```text
//! CutSheet -> rings -> kiss cuts, then through cuts, each: orders that may do -> made shorter
//!                   -> nodes to begin at -> Way
//! ```
//!
//! A contour comes after all that lie inside it, since what is cut free moves;
//! and kiss cuts come before through cuts, since they free nothing. What counts
//! is the way with the blade up: from where the head is parked to the first
//! contour and from each to the next. The head does not come back.

use kurbo::{Point, Rect, Shape as _};

use super::ring::{Ring, around};
use super::{Cut, CutSheet};
use crate::tour::{Steps, exact, shorten, walk};
use crate::work::Work;

/// Up to so many contours, the parked head among them, the shortest path from middle to middle is found exactly.
const EXACT: usize = 11;
/// Longer paths are made shorter in stretches of so many contours, each half over the one before.
const STRETCH: usize = 300;
/// The first orders that are made shorter.
const TRIES: usize = 3;
/// A found order is disturbed and made shorter again so many times, shared by its contours.
const KICKS: usize = 1000;
/// Rounds of choosing nodes and making the path between them shorter, at most.
const ROUNDS: usize = 8;

/// Contours in the order in which they are cut, each begun at its node.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    pub rings: Vec<Ring>,
    /// Way with the blade up, mm.
    pub travel: f64,
    /// The same in the order of the sheet, each contour begun at its first node, mm.
    pub of_grid: f64,
}

/// A ring and the node at which it begins.
type Stop = (usize, usize);

/// A short way round all contours from where the head is parked; never longer than in the order of the sheet.
pub fn way(sheet: &CutSheet, parked: Point, work: &Work) -> Way {
    let rings = Ring::all(sheet);
    let (mut ours, mut grid) = (parked, parked);
    let mut out = Way { rings: Vec::with_capacity(rings.len()), travel: 0.0, of_grid: 0.0 };
    for cut in [Cut::Kiss, Cut::Through] {
        let chosen: Vec<Ring> = rings.iter().filter(|r| r.cut == cut).cloned().collect();
        let group = Group::new(&chosen, work);
        let as_given = group.as_given();
        let plain: Vec<Stop> = as_given.iter().map(|r| (*r, 0)).collect();
        out.of_grid += group.length(&plain, grid);
        grid = group.end(&plain).unwrap_or(grid);
        let stops = [group.sequence(&group.outermost(), ours), as_given]
            .map(|order| group.begun(&order, ours))
            .into_iter()
            .min_by(|a, b| group.length(a, ours).total_cmp(&group.length(b, ours)))
            .unwrap_or_default();
        out.travel += group.length(&stops, ours);
        ours = group.end(&stops).unwrap_or(ours);
        out.rings.extend(stops.iter().map(|(ring, node)| chosen[*ring].begun_at(*node)));
    }
    // The kiss cuts may end where the through cuts begin badly: then all stays as given.
    if out.travel > out.of_grid { as_the_grid(&rings, out.of_grid, work) } else { out }
}

fn as_the_grid(rings: &[Ring], length: f64, work: &Work) -> Way {
    let of = |cut| {
        let chosen: Vec<Ring> = rings.iter().filter(|r| r.cut == cut).cloned().collect();
        let order = Group::new(&chosen, work).as_given();
        order.into_iter().map(|r| chosen[r].clone()).collect::<Vec<_>>()
    };
    let all = [of(Cut::Kiss), of(Cut::Through)].concat();
    Way { rings: all, travel: length, of_grid: length }
}

/// A path through all contours of a level, the head first, and where each begins.
struct Path {
    length: f64,
    path: Vec<usize>,
    points: Vec<Point>,
}

/// Numbers for disturbing, the same in every run (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 16) % count.max(1) as u64) as usize
    }
}

/// The rings of one kind of cut.
struct Group<'w> {
    /// What all of it counts and asks.
    work: &'w Work,
    nodes: Vec<Vec<Point>>,
    bounds: Vec<Rect>,
    around: Vec<Option<usize>>,
}

impl<'w> Group<'w> {
    fn new(rings: &[Ring], work: &'w Work) -> Group<'w> {
        Group {
            work,
            nodes: rings.iter().map(Ring::nodes).collect(),
            bounds: rings.iter().map(|r| r.path().bounding_box()).collect(),
            around: around(rings),
        }
    }

    fn outermost(&self) -> Vec<usize> {
        (0..self.around.len()).filter(|r| self.around[*r].is_none()).collect()
    }

    fn inside(&self, ring: usize) -> Vec<usize> {
        (0..self.around.len()).filter(|r| self.around[*r] == Some(ring)).collect()
    }

    /// The order of the sheet, but what lies inside first.
    fn as_given(&self) -> Vec<usize> {
        let mut order = Vec::with_capacity(self.around.len());
        let mut done = vec![false; self.around.len()];
        let mut inside = vec![Vec::new(); self.around.len()];
        for (ring, outer) in self.around.iter().enumerate() {
            if let Some(outer) = outer {
                inside[*outer].push(ring);
            }
        }
        for ring in 0..self.around.len() {
            // A ring waits on the stack until all inside it are cut.
            let mut stack = vec![ring];
            while let Some(&top) = stack.last() {
                match inside[top].iter().find(|r| !done[**r]) {
                    Some(inner) if !done[top] => stack.push(*inner),
                    _ => {
                        if !done[top] {
                            done[top] = true;
                            order.push(top);
                        }
                        stack.pop();
                    }
                }
            }
        }
        order
    }

    /// All of `units` and what lies inside them, in a short order from `from`.
    fn sequence(&self, units: &[usize], from: Point) -> Vec<usize> {
        let mut out = Vec::new();
        let mut at = from;
        for unit in self.ordered(units, from) {
            let inside = self.inside(unit);
            if !inside.is_empty() {
                out.extend(self.sequence(&inside, at));
            }
            out.push(unit);
            at = self.bounds[unit].center();
        }
        out
    }

    /// `units` alone in a short order from `from`.
    fn ordered(&self, units: &[usize], from: Point) -> Vec<usize> {
        if units.len() < 2 {
            return units.to_vec();
        }
        // Place 0 is the head, which stays first.
        let middle = |i: usize| match i {
            0 => from,
            i => self.bounds[units[i - 1]].center(),
        };
        let points: Vec<Point> = (0..=units.len()).map(middle).collect();
        let mut orders = self.rows_to_and_fro(units);
        orders.push(units.iter().enumerate().map(|(i, _)| i + 1).collect());
        let mut paths: Vec<Vec<usize>> =
            orders.into_iter().map(|o| [vec![0], o].concat()).collect();
        paths.push(walk(points.len(), vec![0], |a, b| points[a].distance_squared(points[b])));
        paths.sort_by(|a, b| length(&points, a).total_cmp(&length(&points, b)));
        paths.dedup();
        paths.truncate(TRIES);
        if points.len() <= EXACT {
            let steps = Steps::new(points.len(), |a, b| points[a].distance(points[b]));
            paths.push(exact(&steps, Some(0)));
        }
        let better = paths.into_iter().map(|path| self.between_nodes(units, &points, path));
        let Some(mut best) = better.min_by(|a, b| a.length.total_cmp(&b.length)) else {
            return units.to_vec();
        };
        let mut dice = Dice(1);
        for _ in (0..KICKS / units.len()).take_while(|_| !self.work.is_stopped()) {
            let (path, points) = self.disturbed(units, &best, &mut dice);
            let other = self.between_nodes(units, &points, path);
            if other.length < best.length - 1e-6 {
                best = other;
            }
        }
        best.path[1..].iter().map(|i| units[i - 1]).collect()
    }

    /// Makes a path through points shorter, then begins each contour where that is best,
    /// and again through the nodes that were chosen.
    fn between_nodes(&self, units: &[usize], points: &[Point], path: Vec<usize>) -> Path {
        let from = points[0];
        let mut best = Path { length: f64::INFINITY, path, points: points.to_vec() };
        for _ in (0..ROUNDS).take_while(|n| *n == 0 || !self.work.is_stopped()) {
            let (mut path, mut points) = (best.path.clone(), best.points.clone());
            shorten_in_stretches(&points, &mut path, self.work);
            let order: Vec<usize> = path[1..].iter().map(|i| units[i - 1]).collect();
            let stops = self.begun(&order, from);
            let length = self.length(&stops, from);
            if length > best.length - 1e-6 {
                break;
            }
            for (i, (ring, node)) in path[1..].iter().zip(&stops) {
                points[*i] = self.nodes[*ring][*node];
            }
            best = Path { length, path, points };
        }
        best
    }

    /// A path with two runs exchanged, and a few contours in a row begun elsewhere.
    fn disturbed(&self, units: &[usize], was: &Path, dice: &mut Dice) -> (Vec<usize>, Vec<Point>) {
        let (mut path, mut points) = (was.path.clone(), was.points.clone());
        let n = path.len();
        let mut cuts = [0; 3].map(|_| 1 + dice.below(n - 1));
        cuts.sort_unstable();
        path[cuts[0]..cuts[2]].rotate_left(cuts[1] - cuts[0]);
        let first = 1 + dice.below(n - 1);
        for i in &path[first..n.min(first + 4)] {
            let nodes = &self.nodes[units[*i - 1]];
            points[*i] = nodes[dice.below(nodes.len())];
        }
        (path, points)
    }

    /// Row by row and column by column, every other one backwards, from each corner.
    /// Places count from 1.
    fn rows_to_and_fro(&self, units: &[usize]) -> Vec<Vec<usize>> {
        let mut out = Vec::new();
        for upright in [false, true] {
            let of = |i: usize| {
                let (c, s) = (self.bounds[units[i]].center(), self.bounds[units[i]].size());
                if upright { (c.y, c.x, s.width) } else { (c.x, c.y, s.height) }
            };
            let mut all: Vec<usize> = (0..units.len()).collect();
            all.sort_by(|a, b| of(*a).1.total_cmp(&of(*b).1));
            let mut rows: Vec<Vec<usize>> = Vec::new();
            for i in all {
                let ((_, across, size), row) = (of(i), rows.last_mut());
                match row {
                    Some(row) if across - of(row[0]).1 < size / 2.0 => row.push(i),
                    _ => rows.push(vec![i]),
                }
            }
            rows.iter_mut().for_each(|r| r.sort_by(|a, b| of(*a).0.total_cmp(&of(*b).0)));
            for (last_first, backwards) in
                [(false, false), (false, true), (true, false), (true, true)]
            {
                let mut rows = rows.clone();
                if last_first {
                    rows.reverse();
                }
                for row in rows.iter_mut().skip(usize::from(!backwards)).step_by(2) {
                    row.reverse();
                }
                out.push(rows.concat().into_iter().map(|i| i + 1).collect());
            }
        }
        out
    }

    /// The nodes at which the rings of an order begin, so that the way is as
    /// short as it can be in this order.
    fn begun(&self, order: &[usize], from: Point) -> Vec<Stop> {
        // For each ring and node: the shortest way there, and the node before.
        let mut reached: Vec<Vec<(f64, usize)>> = Vec::with_capacity(order.len());
        let mut before: &[Point] = &[from];
        for ring in order {
            let last = reached.last();
            let way_to = |node: &Point| {
                let ways = before.iter().enumerate().map(|(b, p)| {
                    (last.map_or(0.0, |l: &Vec<(f64, usize)>| l[b].0) + p.distance(*node), b)
                });
                ways.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0))
            };
            let here = self.nodes[*ring].iter().map(way_to).collect();
            reached.push(here);
            before = &self.nodes[*ring];
        }
        let shortest =
            |l: &Vec<(f64, usize)>| (0..l.len()).min_by(|a, b| l[*a].0.total_cmp(&l[*b].0));
        let mut node = reached.last().and_then(shortest).unwrap_or(0);
        let mut stops = Vec::with_capacity(order.len());
        for (ring, here) in order.iter().zip(&reached).rev() {
            stops.push((*ring, node));
            node = here[node].1;
        }
        stops.reverse();
        stops
    }

    fn length(&self, stops: &[Stop], from: Point) -> f64 {
        let mut at = from;
        let steps = stops.iter().map(|(ring, node)| {
            let next = self.nodes[*ring][*node];
            std::mem::replace(&mut at, next).distance(next)
        });
        steps.sum()
    }

    fn end(&self, stops: &[Stop]) -> Option<Point> {
        stops.last().map(|(ring, node)| self.nodes[*ring][*node])
    }
}

fn length(points: &[Point], path: &[usize]) -> f64 {
    path.windows(2).map(|w| points[w[0]].distance(points[w[1]])).sum()
}

/// Makes a path whose first place is fixed shorter.
fn shorten_in_stretches(points: &[Point], path: &mut [usize], work: &Work) {
    let n = path.len();
    let mut from = 0;
    loop {
        let to = n.min(from + STRETCH);
        let stretch: Vec<Point> = path[from..to].iter().map(|i| points[*i]).collect();
        let mut order: Vec<usize> = (0..stretch.len()).collect();
        // Where the path goes on, the contour at the end stays.
        let free_to = stretch.len() - usize::from(to < n);
        let steps = Steps::new(stretch.len(), |a, b| stretch[a].distance(stretch[b]));
        if free_to > 1 {
            shorten(&steps, &mut order, 1..free_to, work);
        }
        let moved: Vec<usize> = order.iter().map(|i| path[from + i]).collect();
        path[from..to].copy_from_slice(&moved);
        if to == n {
            return;
        }
        from += STRETCH / 2;
    }
}
