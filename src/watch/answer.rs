//! What is sent back for a request.

use serde_json::{Value, json};

use crate::diag::{Findings, Severity};

/// An answer in full: everything but the stream of events.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// HTTP status.
    pub status: u16,
    pub kind: &'static str,
    pub body: Vec<u8>,
    /// The address names the revision: what it leads to never changes.
    pub lasting: bool,
    /// Where else to look.
    pub location: Option<String>,
}

impl Answer {
    pub fn new(kind: &'static str, body: impl Into<Vec<u8>>) -> Answer {
        Answer { status: 200, kind, body: body.into(), lasting: false, location: None }
    }

    pub fn json(value: &Value) -> Answer {
        Answer::new("application/json", value.to_string())
    }

    /// Something is missing; the page shows it as a sentence.
    pub fn missing(status: u16, message: &str) -> Answer {
        let mut rest = message.chars();
        let first = rest.next().into_iter().flat_map(char::to_uppercase);
        let sentence: String = first.chain(rest).chain(['.']).collect();
        Answer { status, ..Answer::json(&json!({"message": sentence})) }
    }

    /// The first thing that is wrong with what was asked for.
    pub fn refused(faults: Findings) -> Answer {
        let first = faults.sorted().into_iter().find(|d| d.severity == Severity::Error);
        Answer::missing(404, &first.map(|d| d.message).unwrap_or_default())
    }

    pub fn elsewhere(location: String) -> Answer {
        let answer = Answer::missing(308, "this page has moved");
        Answer { location: Some(location), ..answer }
    }

    pub fn lasting(self) -> Answer {
        Answer { lasting: true, ..self }
    }

    /// The headers, besides those of the connection.
    pub fn headers(&self) -> Vec<(&'static str, String)> {
        let cache = if self.lasting { "private, max-age=3600" } else { "no-store" };
        let mut headers = vec![
            ("Content-Type", self.kind.to_owned()),
            ("Cache-Control", cache.to_owned()),
            ("Content-Security-Policy", POLICY.to_owned()),
            ("X-Content-Type-Options", "nosniff".to_owned()),
            ("Referrer-Policy", "no-referrer".to_owned()),
            ("Cross-Origin-Resource-Policy", "same-origin".to_owned()),
        ];
        headers.extend(self.location.clone().map(|to| ("Location", to)));
        headers.extend((self.status == 503).then(|| ("Retry-After", "1".to_owned())));
        headers
    }
}

/// Nothing from anywhere else, no script in the page, and no page around it.
pub const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; \
     connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; \
     require-trusted-types-for 'script'";
