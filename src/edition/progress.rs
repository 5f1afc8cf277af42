//! A progress bar on a terminal; silence in a pipe.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Parts of one file on the bar.
const STEPS: u64 = 100;

/// Progress over a number of files.
pub struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// A bar for so many files; `quiet` hides it, as a pipe does.
    pub fn new(files: usize, quiet: bool) -> Progress {
        let target =
            if quiet { ProgressDrawTarget::hidden() } else { ProgressDrawTarget::stderr() };
        let bar = ProgressBar::with_draw_target(Some(files as u64 * STEPS), target);
        let style = ProgressStyle::with_template("{wide_bar} {percent:>3} %  {msg}");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        bar.enable_steady_tick(Duration::from_millis(200));
        Progress { bar }
    }

    /// Shows what is being made.
    pub fn say(&self, what: &str) {
        self.bar.set_message(what.to_owned());
    }

    /// So many files are done, and a share of the next.
    pub fn at(&self, files: usize, share: f64) {
        let position = (files as f64 + share) * STEPS as f64;
        self.bar.set_position(position as u64);
    }

    /// Clears the bar away.
    pub fn done(&self) {
        self.bar.finish_and_clear();
    }
}
