//! From the page's cells to light on the sensor: every pixel is the mean of four samples.

use crate::render::field::{Field, Node, STEP};
use crate::render::grain::Tile;
use crate::render::materials::TABLE;
use crate::render::params::{Surroundings, Table};
use crate::render::raster::{Cell, Raster};
use crate::render::sensor::{Response, Rgb};

/// What lies in front of the camera.
pub struct Stage<'a> {
    pub sheet: &'a Raster,
    /// A second sheet and the place of its top left corner.
    pub second: Option<(&'a Raster, (f32, f32))>,
    pub around: &'a Surroundings,
    pub paper: &'a Tile,
    pub table: &'a Tile,
    pub weave: &'a Tile,
    pub response: &'a Response,
}

impl Stage<'_> {
    /// Linear light, three values a pixel, row by row.
    pub fn exposed(&self, field: &Field, size: (usize, usize)) -> Vec<f32> {
        let mut light = vec![0.0; size.0 * size.1 * 3];
        for (row, line) in light.chunks_exact_mut(size.0 * 3).enumerate() {
            let (block, share) = (row / STEP, (row % STEP) as f32 + 0.5);
            let above = &field.nodes[block * field.wide..][..field.wide];
            let below = &field.nodes[(block + 1) * field.wide..][..field.wide];
            for (column, pixels) in line.chunks_mut(STEP * 3).enumerate() {
                let mix = |k: usize| above[k].towards(&below[k], share / STEP as f32);
                let (left, right) = (mix(column), mix(column + 1));
                let down = [
                    step(&above[column], &below[column], 0),
                    step(&above[column], &below[column], 1),
                ];
                self.run(&left, &right, down, pixels);
            }
        }
        light
    }

    /// A few pixels side by side.
    fn run(&self, left: &Node, right: &Node, down: [f32; 2], pixels: &mut [f32]) {
        let across = [step(left, right, 0), step(left, right, 1)];
        let white: [f32; 3] =
            std::array::from_fn(|k| (self.response.white[0][k] + self.response.white[1][k]) * 0.5);
        let lonely = self.on_table(left) && self.on_table(right);
        for (i, pixel) in pixels.chunks_exact_mut(3).enumerate() {
            let node = left.towards(right, (i as f32 + 0.5) / STEP as f32);
            let sum = if lonely {
                self.lit(self.cell(node.at[0], node.at[1]), &node)
            } else {
                self.four(&node, across, down)
            };
            let grain = 1.0
                + self.around.texture as f32 * self.paper.at(node.at[0] * 6.0, node.at[1] * 6.0);
            (0..3).for_each(|k| pixel[k] = sum[k] * grain + node.glare * white[k]);
        }
    }

    /// Far from the first sheet where there is no second: one sample is enough.
    fn on_table(&self, node: &Node) -> bool {
        let [w, h] = self.sheet_size();
        let [x, y] = node.at;
        self.second.is_none() && (x < -2.0 || y < -2.0 || x > w + 2.0 || y > h + 2.0)
    }

    /// The mean of four samples.
    fn four(&self, node: &Node, across: [f32; 2], down: [f32; 2]) -> Rgb {
        let cells = [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)].map(|(u, v)| {
            self.cell(
                node.at[0] + u * across[0] + v * down[0],
                node.at[1] + u * across[1] + v * down[1],
            )
        });
        let mut sum = self.lit(cells[0], node);
        if cells[1..].iter().any(|cell| *cell != cells[0]) {
            for cell in &cells[1..] {
                let more = self.lit(*cell, node);
                (0..4).for_each(|k| sum[k] += more[k]);
            }
            sum = sum.map(|v| v * 0.25);
        }
        sum
    }

    fn sheet_size(&self) -> [f32; 2] {
        [self.sheet.wide, self.sheet.high].map(|cells| cells as f32 / self.sheet.per_mm as f32)
    }

    /// What is at a point.
    fn cell(&self, x: f32, y: f32) -> Cell {
        if let Some(cell) = looked_up(self.sheet, x, y) {
            return cell;
        }
        if let Some((sheet, at)) = self.second
            && let Some(cell) = looked_up(sheet, x - at.0, y - at.1)
        {
            return cell;
        }
        Cell::of(TABLE).with_shade(self.table_shade(x, y))
    }

    /// The table's texture, and the sheet's shadow on it.
    fn table_shade(&self, x: f32, y: f32) -> f32 {
        let tile = self.table;
        let grain = match self.around.table {
            Table::Wood => {
                0.16 * tile.at(x * 4.0, y * 0.35) + 0.10 * tile.at(x * 0.8 + 99.0, y * 0.07)
            }
            Table::Cloth => {
                0.12 * tile.at(x * 2.0, y * 2.0) + 0.10 * self.weave.at(x * 9.0, y * 9.0)
            }
            Table::Stone => 0.10 * tile.at(x * 1.7, y * 1.7) + 0.10 * tile.at(x * 9.0, y * 9.0),
        };
        let [w, h] = self.sheet_size();
        let (dx, dy) = ((-x).max(x - w).max(0.0), (-y).max(y - h).max(0.0));
        let away = (dx * dx + dy * dy) / 2.0;
        (1.0 + grain).max(0.1) * (1.0 - 0.45 / (1.0 + away))
    }

    fn lit(&self, cell: Cell, node: &Node) -> Rgb {
        let (material, shade, gloss) = (cell.material(), cell.shade(), cell.gloss());
        let (a, b) = (node.light[0] * cell.lit(0), node.light[1] * cell.lit(1));
        let (first, second) =
            (&self.response.lamps[0][material], &self.response.lamps[1][material]);
        let white = &self.response.white;
        std::array::from_fn(|k| {
            (first[k] * a + second[k] * b) * shade
                + (white[0][k] * a + white[1][k] * b) * gloss * 1.5
        })
    }
}

fn step(from: &Node, to: &Node, axis: usize) -> f32 {
    (to.at[axis] - from.at[axis]) / STEP as f32
}

fn looked_up(sheet: &Raster, x: f32, y: f32) -> Option<Cell> {
    let (x, y) = (x * sheet.per_mm as f32, y * sheet.per_mm as f32);
    if x < 0.0 || y < 0.0 {
        return None;
    }
    let (column, row) = (x as i32 as usize, y as i32 as usize);
    if column < sheet.wide && row < sheet.high {
        Some(sheet.cells[row * sheet.wide + column])
    } else {
        None
    }
}
