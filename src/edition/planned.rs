//! Editions with their plans.

use std::sync::Arc;

use super::variant::{Edition, Variant};
use crate::plan::{Facts, Plan, Report};
use crate::range::Only;
use crate::sheet::composition::composition;
use crate::sheet::{Scene, Sheet, Workshop, place};
use crate::spelling::Spelling;

/// An edition with its plan, which its variants share.
pub struct PlannedEdition<'a> {
    pub edition: &'a Edition,
    pub plan: Arc<Plan>,
    /// Those that are asked for, at least one.
    pub variants: Vec<Planned<'a>>,
}

/// A variant of a planned edition.
pub struct Planned<'a> {
    pub variant: Variant<'a>,
    pub facts: Facts<'a>,
    /// That of the edition.
    pub plan: Arc<Plan>,
    pub spelling: &'a Spelling,
    /// All spellings of the edition.
    pub spellings: Vec<&'a Spelling>,
}

impl Planned<'_> {
    /// Its figures, those of the placed sheet included.
    pub fn report(&self) -> Report {
        let composition = composition(&self.scene());
        Report { composition, ..Report::new(&self.facts, &self.plan) }
    }

    /// Its positions. An edition of drawings alone has no pictures.
    pub fn place(&self, workshop: &Workshop) -> Sheet {
        match self.variant.edition.only {
            Some(Only::Drawings) => place(&self.scene(), &workshop.only_drawings()),
            None => place(&self.scene(), workshop),
        }
    }

    fn scene(&self) -> Scene<'_> {
        Scene {
            facts: &self.facts,
            plan: &self.plan,
            spelling: self.spelling,
            spellings: &self.spellings,
        }
    }
}
