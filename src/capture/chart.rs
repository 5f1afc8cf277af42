//! A chart of reference colours that lies on the page: what the camera saw of colours that are known exactly.

use crate::capture::camera::{Camera, Known};
use crate::capture::face::{self, Scene};
use crate::capture::lab::{Lab50, difference};
use crate::capture::page::{Chart, Ground, PartPlace, Rect};

/// Off each edge of a patch, a share of its side: charts are laid down by hand, and have rims.
const INSET: f64 = 0.22;
/// A face of a patch may vary by so much, relative, and so much of it may be left out.
const ROUGH: f64 = 0.25;
const LEFT_OUT: f64 = 0.5;
/// A chart is another one where its patches, seen without any reference, are farther off than this on average,
/// CIEDE2000: telephones are off by 5 to 10, patches in another order by 30 and more.
const STRANGE: f64 = 18.0;
/// Patches that must be seen.
const LEAST: usize = 4;

/// What a chart came out as.
#[derive(Debug, Clone)]
pub struct ChartSeen {
    /// What was seen of its patches; empty where it is not used.
    pub known: Vec<Known>,
    /// Patches of the chart.
    pub patches: usize,
    /// It lies the other way round: turned by half a turn.
    pub turned: bool,
    /// How far its patches are off without any reference, CIEDE2000; `None` where too few can be seen.
    pub off: Option<f64>,
}

/// Looks at every patch. The chart may lie turned by half a turn.
pub fn look(scene: Scene<'_>, chart: &Chart) -> ChartSeen {
    let count = chart.patches.len();
    let seen: Vec<Option<[f64; 3]>> = (0..count).map(|i| patch(scene, chart.patch(i))).collect();
    let camera = Camera::fit(&[], scene.picture.matrix());
    let pairs = |turned: bool| -> Vec<Known> {
        let value = |i: usize| chart.patches[if turned { count - 1 - i } else { i }];
        let pair = |(i, light): (usize, &Option<[f64; 3]>)| {
            let [l, a, b] = value(i);
            light.map(|light| Known { light, lab: Lab50::new(l, a, b), weight: 1.0 })
        };
        seen.iter().enumerate().filter_map(pair).collect()
    };
    let off = |pairs: &[Known]| {
        let sum: f64 = pairs.iter().map(|k| difference(camera.colour(k.light), k.lab)).sum();
        sum / pairs.len().max(1) as f64
    };
    let (straight, turned) = (pairs(false), pairs(true));
    // Only a full grid is the same rectangle the other way round.
    let is_turned = count.is_multiple_of(chart.columns.max(1)) && off(&turned) < off(&straight);
    let known = if is_turned { turned } else { straight };
    let off = (known.len() >= LEAST).then(|| off(&known));
    let used = off.is_some_and(|off| off <= STRANGE);
    let known = if used { known } else { Vec::new() };
    ChartSeen { known, patches: count, turned: is_turned, off }
}

/// What a patch of the chart sends back; `None` where it is not even.
fn patch(scene: Scene<'_>, rect: Rect) -> Option<[f64; 3]> {
    let (dx, dy) = (INSET * rect.width, INSET * rect.height);
    let (left, top) = (rect.left + dx, rect.top + dy);
    let (right, bottom) = (rect.left + rect.width - dx, rect.top + rect.height - dy);
    let outline = vec![(left, top), (right, top), (right, bottom), (left, bottom)];
    patch_light(scene, rect, vec![outline])
}

/// What something even sends back within an outline; `None` where it is not even.
pub fn patch_light(
    scene: Scene<'_>,
    frame: Rect,
    outline: Vec<Vec<(f64, f64)>>,
) -> Option<[f64; 3]> {
    let place = PartPlace {
        part: String::new(),
        colour: String::new(),
        number: String::new(),
        frame,
        ground: Ground::White,
        outline,
        known: None,
        boxed: false,
    };
    let face = face::look(scene, &place)?;
    let even = face.rough <= ROUGH && face.lighter + face.other <= LEFT_OUT && face.clipped < 0.03;
    even.then_some(face.light)
}
