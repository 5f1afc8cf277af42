//! Who may ask: a browser on this machine that was given the address.
//!
//! The server listens on loopback only. A page of another site that a browser on this machine shows could still send
//! requests here, so those are refused by their `Host` and `Origin`, and the address holds a token that only whoever
//! saw it can know.

use super::answer::Answer;

/// Bytes of a token: nobody guesses it.
const TOKEN: usize = 16;

/// What must be right about each request.
#[derive(Debug, Clone)]
pub struct Guard {
    token: String,
    port: u16,
}

/// What a request says of itself.
#[derive(Debug, Clone, Copy, Default)]
pub struct Asked<'a> {
    pub method: &'a str,
    /// Path and query.
    pub address: &'a str,
    pub host: Option<&'a str>,
    pub origin: Option<&'a str>,
    /// `Sec-Fetch-Site`, which browsers set and pages cannot.
    pub site: Option<&'a str>,
}

impl Guard {
    /// One with a token that has never been used.
    ///
    /// # Errors
    /// The machine has no random numbers.
    pub fn new(port: u16) -> Result<Guard, getrandom::Error> {
        let mut bytes = [0u8; TOKEN];
        getrandom::fill(&mut bytes)?;
        Ok(Guard { token: bytes.iter().map(|b| format!("{b:02x}")).collect(), port })
    }

    /// The page's address.
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}/{}/", self.port, self.token)
    }

    /// The address below the token, if the request may be answered.
    ///
    /// # Errors
    /// What is sent back instead.
    pub fn admit<'a>(&self, asked: Asked<'a>) -> Result<&'a str, Answer> {
        let own = |host: &str| {
            let (name, port) = host.rsplit_once(':').unwrap_or((host, "80"));
            ["127.0.0.1", "localhost"].contains(&name) && port == self.port.to_string()
        };
        if !asked.host.is_some_and(own) {
            return Err(Answer::missing(403, "this address is not one of this program"));
        }
        let from_here = |origin: &str| origin.strip_prefix("http://").is_some_and(own);
        if asked.origin.is_some_and(|origin| !from_here(origin)) {
            return Err(Answer::missing(403, "a page of another site may not ask"));
        }
        if asked.site.is_some_and(|site| !["same-origin", "none"].contains(&site)) {
            return Err(Answer::missing(403, "a page of another site may not ask"));
        }
        if !["GET", "HEAD"].contains(&asked.method) {
            return Err(Answer::missing(405, "only GET is answered: nothing can be changed here"));
        }
        let nothing = || Answer::missing(404, "there is nothing at this address");
        let path = asked.address.strip_prefix('/').ok_or_else(nothing)?;
        let (token, rest) = match path.split_once('/') {
            Some((token, rest)) => (token, Some(rest)),
            None => (path, None),
        };
        if !self.is_token(token) {
            return Err(nothing());
        }
        rest.ok_or_else(|| Answer::elsewhere(format!("/{}/", self.token)))
    }

    /// Takes as long wherever the two differ.
    fn is_token(&self, token: &str) -> bool {
        let differ = self.token.bytes().zip(token.bytes()).fold(0, |all, (a, b)| all | (a ^ b));
        token.len() == self.token.len() && differ == 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_browser_that_was_given_the_address_is_answered() {
        let guard = Guard::new(7417).expect("random numbers");
        let address = format!("/{}/state", guard.token);
        let good = Asked { method: "GET", host: Some("127.0.0.1:7417"), ..Asked::default() };
        let good = Asked { address: &address, ..good };
        let said = |asked: Asked<'_>| match guard.admit(asked) {
            Ok(below) => Ok(below.to_owned()),
            Err(answer) => Err(answer.status),
        };
        assert_eq!(said(good), Ok("state".to_owned()));
        assert_eq!(said(Asked { host: Some("localhost:7417"), ..good }), Ok("state".to_owned()));
        let own = Some("http://127.0.0.1:7417");
        assert_eq!(
            said(Asked { origin: own, site: Some("same-origin"), ..good }),
            Ok("state".to_owned())
        );
        // Another name that leads to this machine, another port, none at all.
        for host in [Some("evil.example:7417"), Some("127.0.0.1:80"), Some("127.0.0.1"), None] {
            assert_eq!(said(Asked { host, ..good }), Err(403), "{host:?}");
        }
        let others =
            ["http://evil.example", "null", "https://127.0.0.1:7417", "http://127.0.0.1:1"];
        for origin in others {
            assert_eq!(said(Asked { origin: Some(origin), ..good }), Err(403), "{origin}");
        }
        assert_eq!(said(Asked { site: Some("cross-site"), ..good }), Err(403));
        for method in ["POST", "PUT", "DELETE", "OPTIONS", "get"] {
            assert_eq!(said(Asked { method, ..good }), Err(405), "{method}");
        }
        let near = format!("/{}0/state", guard.token);
        let short = format!("/{}/state", &guard.token[1..]);
        for address in ["/", "", "/state", "//state", "/../state", &near, &short] {
            assert_eq!(said(Asked { address, ..good }), Err(404), "{address}");
        }
        let bare = format!("/{}", guard.token);
        assert_eq!(said(Asked { address: &bare, ..good }), Err(308));
        assert_ne!(guard.token, Guard::new(7417).expect("random numbers").token);
    }
}
