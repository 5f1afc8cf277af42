//! What a browser may do with the page: run its own script, use its own styles, show its own pictures.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};

/// The content security policy (CSP Level 3) for these scripts and styles, each the exact text of its element.
pub fn policy(scripts: &[&str], styles: &[&str]) -> String {
    let hashed = |texts: &[&str]| -> String {
        let one = |text: &&str| format!(" 'sha256-{}'", STANDARD.encode(Sha256::digest(text)));
        texts.iter().map(one).collect()
    };
    format!(
        "default-src 'none'; script-src{}; style-src{}; img-src 'self' file: data:; base-uri 'none'; form-action 'none'",
        hashed(scripts),
        hashed(styles)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of CSP Level 3, section 2.3.1 'Source Lists': alert('Hello, world.');
    #[test]
    fn a_script_is_known_by_its_digest() {
        let said = policy(&["alert('Hello, world.');"], &[]);
        assert!(
            said.contains("script-src 'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"),
            "{said}"
        );
    }
}
