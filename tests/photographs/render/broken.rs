//! Files that are no photograph of a page, or not whole.

/// What can be wrong with a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Broken {
    Empty,
    Text,
    /// The first part of a picture.
    Cut,
    /// A picture with bytes in its middle changed.
    Scratched,
    /// The right first bytes, then nothing that fits.
    OnlyHead,
}

/// A broken file, made from a whole one.
pub fn broken(whole: &[u8], how: Broken, seed: u64) -> Vec<u8> {
    let mut rng = fastrand::Rng::with_seed(seed);
    match how {
        Broken::Empty => Vec::new(),
        Broken::Text => b"number,colour\n1001,green\n".repeat(40),
        Broken::Cut => whole.iter().copied().take(whole.len() * rng.usize(5..90) / 100).collect(),
        Broken::OnlyHead => {
            whole.iter().copied().take(24).chain((0..2000).map(|_| rng.u8(..))).collect()
        }
        Broken::Scratched => {
            let mut bytes = whole.to_vec();
            let middle = whole.len() / 3..whole.len().max(1);
            for _ in 0..200.min(whole.len()) {
                bytes[rng.usize(middle.clone())] = rng.u8(..);
            }
            bytes
        }
    }
}
