//! Finishes: how light meets a colour.

use serde::{Deserialize, Serialize};

/// How light meets the colour, so how it is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Finish {
    Opaque,
    Clear,
    Flecked,
    Metal,
    Pearl,
    Satin,
    Glow,
}

impl Finish {
    /// Every finish, in the order of the legend.
    pub const ALL: [Finish; 7] = [
        Finish::Opaque,
        Finish::Clear,
        Finish::Flecked,
        Finish::Metal,
        Finish::Pearl,
        Finish::Satin,
        Finish::Glow,
    ];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Finish::Opaque => "opaque",
            Finish::Clear => "clear",
            Finish::Flecked => "flecked",
            Finish::Metal => "metal",
            Finish::Pearl => "pearl",
            Finish::Satin => "satin",
            Finish::Glow => "glow",
        }
    }

    /// The finish of a word.
    pub fn parse(word: &str) -> Option<Finish> {
        Finish::ALL.into_iter().find(|f| f.word() == word)
    }
}
