//! Choices made from bytes.

/// Takes bytes one after the other; zeros when they are used up.
pub struct Dice<'a>(&'a [u8]);

/// Letters that the shipped fonts have, and some that few have.
const LETTERS: [char; 32] = [
    'a', 'e', 'n', 'r', 'o', 's', 't', 'i', 'l', 'u', 'g', 'y', 'W', 'A', 'V', 'T', 'M', 'I', 'ß',
    'é', 'Å', '’', '-', ' ', ' ', '0', '1', '7', '&', '/', '½', '(',
];

impl<'a> Dice<'a> {
    pub fn new(bytes: &'a [u8]) -> Dice<'a> {
        Dice(bytes)
    }

    pub fn byte(&mut self) -> u8 {
        match self.0.split_first() {
            Some((first, rest)) => {
                self.0 = rest;
                *first
            }
            None => 0,
        }
    }

    /// 0 to `count` - 1; `count` is at most 256.
    pub fn below(&mut self, count: usize) -> usize {
        usize::from(self.byte()) % count.max(1)
    }

    pub fn chance(&mut self, one_in: usize) -> bool {
        self.below(one_in) == one_in - 1
    }

    /// From `least` to `most`, in 65,536 steps.
    pub fn number(&mut self, least: f64, most: f64) -> f64 {
        let share = f64::from(u16::from_be_bytes([self.byte(), self.byte()])) / 65535.0;
        least + (most - least) * share
    }

    /// At most `most` letters, without blanks at the ends.
    pub fn text(&mut self, most: usize) -> String {
        let count = self.below(most + 1);
        let text: String = (0..count).map(|_| LETTERS[self.below(LETTERS.len())]).collect();
        text.trim().to_owned()
    }

    pub fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}
