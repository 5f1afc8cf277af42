//! Where the light comes from.

use kurbo::Vec2;

/// The way the light goes: from the upper left. Length 1.
pub(super) const AWAY: Vec2 = Vec2::new(0.6, 0.8);
