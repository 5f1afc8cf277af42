//! `watch`: the sheet in a browser while its files are edited.

use crate::cli::args::WatchArgs;
use crate::cli::ending::{fail, machine, print};
use crate::diag::{Diagnostic, Sources};
use crate::read::read_text;
use crate::session::Session;
use crate::watch::{Server, Subject};

/// Runs `watch` until the session is asked to stop.
pub fn run(args: &WatchArgs, session: &Session) -> u8 {
    let sources = Sources::of(session.clone());
    // Without the file there is nothing to wait for: what is wrong in it is shown in the page.
    if let Err(fault) = read_text(&args.sheet, None, session) {
        return fail(fault.into(), &sources, false);
    }
    let subject = Subject {
        sheet: args.sheet.clone(),
        against: args.against.clone(),
        style: args.style.clone(),
        dictionaries: args.dictionary.clone(),
    };
    let server = match Server::listen(subject, args.port, session) {
        Ok(server) => server,
        Err(fault) => return fail(fault.into(), &sources, false),
    };
    let url = server.url();
    let text = format!(
        "Watching {}\nThe page, for a browser on this machine: {url}\nCtrl-C ends it.\n",
        args.sheet.display()
    );
    let printed = print(&text, session);
    if printed != 0 {
        return printed;
    }
    if !args.no_open && open::that_detached(&url).is_err() {
        session.console.err("No browser could be opened: open the address yourself.\n");
    }
    match server.run() {
        Ok(()) => 0,
        Err(e) => {
            let message = format!("the page cannot be served: {e}");
            machine(Diagnostic::error("no-server", message).of_machine(), session)
        }
    }
}
