//! Addresses below the token, and what they lead to.

use std::sync::Arc;

use serde_json::json;

use super::answer::Answer;
use super::board::Board;
use super::drawn::Drawn;
use super::look::Good;
use super::paper;
use super::query::Query;
use super::site;
use super::view::View;
use crate::session::Session;

/// What answers need.
pub struct Routes {
    pub board: Arc<Board>,
    pub session: Session,
    /// The sheet's file as the user wrote it.
    pub sheet: String,
}

impl Routes {
    /// The answer for an address, all but the stream of events.
    pub fn answer(&self, address: &str) -> Answer {
        let (path, query) = Query::split(address);
        match path {
            "state" => Answer::json(&self.board.state(&self.sheet)),
            "sheet.svg" => self.page(&query, |drawn| match query.get("piece") {
                Some(id) => drawn.piece(id),
                None => drawn.svg(),
            }),
            "pieces" => self.page(&query, Drawn::pieces),
            "places" => self.page(&query, Drawn::places),
            "paper" => self.paper(&query),
            _ => site::file(path)
                .unwrap_or_else(|| Answer::missing(404, "there is nothing at this address")),
        }
    }

    fn page(&self, query: &Query, part: impl Fn(&Drawn) -> Answer) -> Answer {
        let good = match self.newest(query) {
            Ok(good) => good,
            Err(answer) => return answer,
        };
        let Some(view) = View::of(query) else {
            return Answer::missing(404, "there is no such page or release");
        };
        self.board.viewed(&view);
        good.drawings.page(&view).map_or_else(|answer| answer, |drawn| part(&drawn))
    }

    fn paper(&self, query: &Query) -> Answer {
        let good = match self.newest(query) {
            Ok(good) => good,
            Err(answer) => return answer,
        };
        let editions = &good.drawings.of.editions;
        // Only papers of the list: a name could be the path of a profile.
        let name = query.get("name").unwrap_or_default();
        if !paper::names(editions).iter().any(|known| known == name) {
            return Answer::missing(404, &format!("there is no paper '{name}'"));
        }
        paper::figures(name, good.revision, editions, &self.session).unwrap_or_else(Answer::refused)
    }

    /// The good sheet, if it is the one that is asked for.
    fn newest(&self, query: &Query) -> Result<Arc<Good>, Answer> {
        let nothing = || Answer::missing(503, "there is no sheet without errors yet");
        let good = self.board.good().ok_or_else(nothing)?;
        if query.number("revision") != good.revision {
            let mut event = self.board.event();
            event["message"] = json!("the files have changed since");
            return Err(Answer { status: 409, ..Answer::json(&event) });
        }
        Ok(good)
    }
}
