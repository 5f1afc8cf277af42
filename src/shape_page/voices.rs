//! The type of the pages of shapes.

use crate::plan::{Look, Voice};

/// The kinds of text at the sizes of these pages.
pub struct Voices {
    pub title: Voice,
    pub maker: Voice,
    pub lede: Voice,
    pub number: Voice,
    pub part_title: Voice,
    pub size: Voice,
    pub quiet: Voice,
    pub colour: Voice,
    pub again: Voice,
    pub ruler: Voice,
    pub foot: Voice,
    pub caption: Voice,
    pub warning: Voice,
}

impl Voices {
    pub fn new(look: &Look) -> Voices {
        let v = &look.voices;
        Voices {
            title: v.title.sized(8.6),
            maker: v.maker.sized(2.9),
            lede: v.subtitle.sized(3.5),
            number: v.number.sized(4.6),
            part_title: v.name.sized(3.4),
            size: v.number.sized(3.4),
            quiet: v.ruler.sized(2.6).inked(v.imprint_more.ink),
            colour: v.name.sized(3.0),
            again: v.family.sized(3.0),
            ruler: v.ruler.sized(2.1),
            foot: v.imprint_more.sized(2.6),
            caption: v.ruler.sized(2.5).inked(v.imprint_more.ink),
            warning: v.name.sized(2.5),
        }
    }

    /// Of the words under a drawing.
    pub fn caption(&self, warns: bool) -> Voice {
        if warns { self.warning } else { self.caption }
    }
}
