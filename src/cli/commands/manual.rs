//! Completion scripts and the manual page, from the arguments themselves.

use clap::CommandFactory;

use crate::cli::args::Cli;
use crate::session::Session;

/// Prints a completion script.
pub fn completions(shell: clap_complete::Shell, session: &Session) -> u8 {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "shadecard", &mut script);
    crate::cli::ending::print(&String::from_utf8_lossy(&script), session)
}

/// Prints the manual page, commands included, in roff.
pub fn manual(session: &Session) -> u8 {
    let mut page = Vec::new();
    let mut command = Cli::command();
    command.build();
    let subcommands: Vec<clap::Command> = command.get_subcommands().cloned().collect();
    // Rendering into memory cannot fail.
    let _ = clap_mangen::Man::new(command).render(&mut page);
    for sub in subcommands.into_iter().filter(|c| c.get_name() != "help") {
        let _ = clap_mangen::Man::new(sub).render(&mut page);
    }
    crate::cli::ending::print(&String::from_utf8_lossy(&page), session)
}
