//! A page on this machine that shows a sheet while its files are edited.
//!
//! ```text
//! files -> Watcher (what changed) -> look: read, check, plan -> Board (the newest state, the last good sheet)
//!                                                                 |  events, state, sheet.svg, places, paper
//! browser <- Guard (loopback, token, Host, Origin) <- server <----+
//! ```
//!
//! Nothing is written. What a browser can ask for is the page's own files and what the sheet comes out as, never a path.

mod answer;
mod board;
mod body;
mod changes;
mod drawn;
mod events;
mod findings;
mod folders;
mod guard;
mod look;
mod origins;
mod paper;
mod pieces;
mod places;
mod query;
mod routes;
mod server;
mod site;
mod state;
mod view;

pub use self::look::Subject;
pub use self::server::Server;
