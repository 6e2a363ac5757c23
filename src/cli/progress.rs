//! A bar on long work, on the terminal only.

use std::io::IsTerminal;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A bar that shows itself only when work lasts, and only to a person.
pub struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// Silent when `quiet` or when standard error is not a terminal.
    pub fn new(quiet: bool) -> Self {
        let bar = ProgressBar::new(1000);
        if quiet || !std::io::stderr().is_terminal() {
            bar.set_draw_target(ProgressDrawTarget::hidden());
        } else {
            bar.set_style(
                ProgressStyle::with_template("{msg:<34} [{bar:30}] {percent:>3} %  {elapsed}")
                    .unwrap_or_else(|_| ProgressStyle::default_bar()),
            );
            bar.enable_steady_tick(Duration::from_millis(200));
        }
        Self { bar }
    }

    /// Tells what is going on and how far it is, 0 to 1.
    pub fn tell(&self, what: &str, share: f64) {
        if self.bar.message() != what {
            self.bar.set_message(what.to_owned());
        }
        self.bar
            .set_position((share.clamp(0.0, 1.0) * 1000.0) as u64);
    }

    /// Takes the bar away.
    pub fn done(&self) {
        self.bar.finish_and_clear();
    }
}
