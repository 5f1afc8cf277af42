//! What varies slowly over the picture, on a grid of every eighth pixel: where on the page, how much of each lamp.

use crate::render::geometry::Camera;
use crate::render::params::{Lights, ShadowEdge};

/// The grid's step in pixels.
pub const STEP: usize = 8;

/// The page's point at a node, the light of both lamps there, what glares.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    pub at: [f32; 2],
    pub light: [f32; 2],
    pub glare: f32,
}

impl Node {
    /// A node between two.
    pub fn towards(&self, other: &Node, share: f32) -> Node {
        let mix = |a: f32, b: f32| a + (b - a) * share;
        Node {
            at: [mix(self.at[0], other.at[0]), mix(self.at[1], other.at[1])],
            light: [mix(self.light[0], other.light[0]), mix(self.light[1], other.light[1])],
            glare: mix(self.glare, other.glare),
        }
    }
}

/// The nodes of a picture, row by row.
pub struct Field {
    pub wide: usize,
    pub nodes: Vec<Node>,
}

impl Field {
    pub fn new(camera: &Camera, lights: &Lights, size: (usize, usize), page: (f64, f64)) -> Self {
        let (wide, high) = (size.0.div_ceil(STEP) + 1, size.1.div_ceil(STEP) + 1);
        let nodes = (0..wide * high).map(|i| {
            let pixel = ((i % wide * STEP) as f64, (i / wide * STEP) as f64);
            node(camera, lights, pixel, page)
        });
        Self { wide, nodes: nodes.collect() }
    }
}

fn node(camera: &Camera, lights: &Lights, pixel: (f64, f64), page: (f64, f64)) -> Node {
    let p = camera.to_page(pixel);
    let far = (pixel.0 - camera.middle.0).hypot(pixel.1 - camera.middle.1) / camera.radius;
    let fall = 1.0 - lights.vignette * far * far * (0.7 + 0.3 * far * far);
    let shade = lights.shadow.as_ref().map_or(0.0, |edge| shaded(edge, p));
    let (x, y) = (p.0 - page.0 / 2.0, p.1 - page.1 / 2.0);
    let light = [0, 1].map(|k| {
        let lamp = &lights.lamps[k];
        let (dx, dy, dz) = (lamp.at.0 - x, lamp.at.1 - y, lamp.at.2);
        let squared = |dx: f64, dy: f64| (dx * dx + dy * dy + dz * dz).powf(-1.5);
        let direct = squared(dx, dy) / squared(lamp.at.0, lamp.at.1);
        let open = if k == 0 { 1.0 - shade } else { 1.0 - 0.5 * shade };
        (fall * open * (lights.ambient + (1.0 - lights.ambient) * direct)) as f32
    });
    let glare = lights.glare.as_ref().map_or(0.0, |g| {
        let (dx, dy) = ((p.0 - g.at.0) / g.radius, (p.1 - g.at.1) / (0.7 * g.radius));
        let far = (dx * dx + dy * dy).sqrt();
        g.strength * (1.0 / (1.0 + ((far - 0.7) * 7.0).exp()) + 0.12 * (-far * far / 5.0).exp())
    });
    Node { at: [p.0 as f32, p.1 as f32], light, glare: (glare * fall) as f32 }
}

/// How much of the first lamp's light an edge takes away; of the other's it takes half as much.
fn shaded(edge: &ShadowEdge, p: (f64, f64)) -> f64 {
    let (sin, cos) = edge.degrees.to_radians().sin_cos();
    let across = (p.1 - edge.at.1) * cos - (p.0 - edge.at.0) * sin;
    let behind = |across: f64| 1.0 / (1.0 + (-across / edge.soft * 2.0).exp());
    edge.depth * (behind(across) - edge.wide.map_or(0.0, |wide| behind(across - wide)))
}
