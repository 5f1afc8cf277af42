//! Arguments, run, exit code; nothing else.

use std::process::ExitCode;

fn main() -> ExitCode {
    shadecard::cli::run()
}
