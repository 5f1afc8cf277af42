//! The sRGB profile that files carry.

use lcms2::Profile;

/// A small sRGB profile of an ICC version, such as 4.2, with the same bytes on every day and
/// every machine.
pub fn profile(version: f64) -> Option<Vec<u8>> {
    let mut profile = Profile::new_srgb();
    profile.set_version(version);
    let mut bytes = profile.icc().ok()?;
    // Of the header (ICC.1:2004-10, 7.2): the date, in six numbers, and the
    // platform, which may be none.
    let date: Vec<u8> = [2000u16, 1, 1, 0, 0, 0].into_iter().flat_map(u16::to_be_bytes).collect();
    bytes.get_mut(24..36)?.copy_from_slice(&date);
    bytes.get_mut(40..44)?.fill(0);
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_profile_is_small_and_srgb() {
        for (version, written) in [(4.2, [4, 0x20, 0, 0]), (2.1, [2, 0x10, 0, 0])] {
            let bytes = profile(version).expect("a profile");
            assert!(bytes.len() < 10_000, "{}", bytes.len());
            // Fields of the header at their places in ICC.1:2004-10, 7.2.
            assert_eq!(&bytes[8..12], &written);
            assert_eq!(&bytes[12..24], b"mntrRGB XYZ ");
            assert_eq!(&bytes[24..36], &[7, 208, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0]);
            assert_eq!(&bytes[36..40], b"acsp");
            assert_eq!(&bytes[40..44], &[0; 4]);
        }
    }
}
