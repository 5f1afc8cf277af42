//! Clip paths, and masks that are plain shapes: what they leave of an outline.

use kurbo::{Affine, BezPath, Rect, Shape as _};

use crate::graphic::FillRule;
use crate::read::region::Region;
use crate::work::Work;

use super::outline::{affine, finite, outline, rule};

/// Points that may be cut in one drawing, each time again.
const MOST: usize = 400_000;
/// Points of one outline that may be cut.
const MOST_AT_ONCE: usize = 20_000;
/// Light that a mask lets through whole, or not at all.
const ALL: f64 = 0.97;
const NONE: f64 = 0.03;

/// Cuts outlines and counts the work.
pub(super) struct Cutter {
    points: usize,
    work: Work,
}

/// How a group of a mask lights what it covers: where it is, how opaque, and by what.
#[derive(Clone, Copy)]
struct Light {
    to_mm: Affine,
    opacity: f64,
    kind: usvg::MaskType,
}

impl Cutter {
    pub fn new(work: Work) -> Cutter {
        Cutter { points: 0, work }
    }

    /// Was more to be cut than is?
    pub fn overworked(&self) -> bool {
        self.points > MOST
    }

    fn count(&mut self, path: &BezPath) -> bool {
        let points = path.elements().len();
        self.points += if points > MOST_AT_ONCE { MOST + 1 } else { points };
        !self.overworked()
    }

    /// What a group is clipped and masked to.
    ///
    /// # Errors
    /// The kind of clip that is not supported.
    pub fn group(
        &mut self,
        group: &usvg::Group,
        to_mm: Affine,
    ) -> Result<Option<Region>, &'static str> {
        if group.blend_mode() != usvg::BlendMode::Normal {
            return Err("blend");
        }
        if !group.filters().is_empty() {
            return Err("filter");
        }
        let mut region = group.clip_path().map(|clip| self.clip(clip, to_mm));
        if let Some(mask) = group.mask() {
            let masked = self.mask(mask, to_mm)?;
            region = Some(region.map_or_else(|| masked.clone(), |r| r.within(&masked)));
        }
        Ok(region)
    }

    fn clip(&mut self, clip: &usvg::ClipPath, to_mm: Affine) -> Region {
        let region = self.union(clip.root(), to_mm * affine(clip.transform()));
        match clip.clip_path() {
            Some(outer) => region.within(&self.clip(outer, to_mm)),
            None => region,
        }
    }

    /// All that is filled in a group of a clip path.
    fn union(&mut self, group: &usvg::Group, to_mm: Affine) -> Region {
        let to_mm = to_mm * affine(group.transform());
        let mut all = Region::default();
        for node in group.children() {
            let part = match node {
                usvg::Node::Group(g) => self.union(g, to_mm),
                usvg::Node::Path(p) if p.is_visible() => {
                    let rule = p.fill().map_or(FillRule::NonZero, |f| rule(f.rule()));
                    self.region(&(to_mm * outline(p.data())), rule)
                }
                _ => continue,
            };
            all = all.and(&part);
        }
        match group.clip_path() {
            Some(clip) => all.within(&self.clip(clip, to_mm)),
            None => all,
        }
    }

    fn region(&mut self, path: &BezPath, rule: FillRule) -> Region {
        match finite(path) && self.count(path) {
            true => Region::of(path, rule, &self.work),
            false => Region::default(),
        }
    }

    fn mask(&mut self, mask: &usvg::Mask, to_mm: Affine) -> Result<Region, &'static str> {
        let mut through = Region::default();
        self.light(mask.root(), Light { to_mm, opacity: 1.0, kind: mask.kind() }, &mut through)?;
        let r = mask.rect();
        let [x, y, w, h] = [r.x(), r.y(), r.width(), r.height()].map(f64::from);
        let window = to_mm * Rect::new(x, y, x + w, y + h).to_path(0.1);
        let through = through.within(&self.region(&window, FillRule::NonZero));
        match mask.mask() {
            Some(outer) => Ok(through.within(&self.mask(outer, to_mm)?)),
            None => Ok(through),
        }
    }

    /// Adds to an area what a group of a mask lights, and takes off what it darkens.
    fn light(
        &mut self,
        group: &usvg::Group,
        outer: Light,
        through: &mut Region,
    ) -> Result<(), &'static str> {
        let to_mm = outer.to_mm * affine(group.transform());
        let opacity = outer.opacity * f64::from(group.opacity().get());
        let kind = outer.kind;
        let clip = self.group(group, to_mm)?;
        for node in group.children() {
            let path = match node {
                usvg::Node::Group(g) => {
                    self.light(g, Light { to_mm, opacity, kind }, through)?;
                    if clip.is_some() {
                        return Err("soft-mask");
                    }
                    continue;
                }
                usvg::Node::Path(p) if p.is_visible() => p,
                _ => continue,
            };
            let local = outline(path.data());
            let fill = path.fill().map(|f| (f.paint(), f.opacity(), local.clone(), rule(f.rule())));
            let stroke = path.stroke().map(|s| {
                let line = super::paints::line(&local, s, to_mm, &(0..0)).unwrap_or_default();
                (s.paint(), s.opacity(), line, FillRule::NonZero)
            });
            for (paint, own, area, rule) in fill.into_iter().chain(stroke) {
                let usvg::Paint::Color(c) = paint else { return Err("soft-mask") };
                let opaque = opacity * f64::from(own.get());
                // Luminance as SVG 1.1 (14.4) and CSS Masking Level 1 weigh it.
                let [r, g, b] = [c.red, c.green, c.blue].map(|v| f64::from(v) / 255.0);
                let bright = match kind {
                    usvg::MaskType::Luminance => 0.2125 * r + 0.7154 * g + 0.0721 * b,
                    usvg::MaskType::Alpha => 1.0,
                };
                if opaque < NONE {
                    continue;
                }
                let mut area = self.region(&(to_mm * area), rule);
                if let Some(clip) = &clip {
                    area = area.within(clip);
                }
                *through = match bright {
                    _ if opaque < ALL => return Err("soft-mask"),
                    b if b >= ALL => through.and(&area),
                    b if b <= NONE => through.without(&area),
                    _ => return Err("soft-mask"),
                };
            }
        }
        Ok(())
    }

    /// What a clip leaves of an outline, which stays as it is where it is whole.
    pub fn cut(&mut self, path: BezPath, rule: FillRule, clip: &Region) -> (BezPath, FillRule) {
        if !self.count(&path) {
            return (path, rule);
        }
        let area = Region::of(&path, rule, &self.work);
        let lost = area.without(clip);
        if lost.area() <= 1e-6 + 1e-4 * area.area() && lost.grown(-0.004).is_empty() {
            return (path, rule);
        }
        (area.within(clip).smooth(), FillRule::NonZero)
    }
}
