//! The progress bar of a pull: on the terminal only, never in a script's way.

use hornrule_protocol::Seq;
use indicatif::{ProgressBar, ProgressStyle};

/// A bar that grows with each durable batch.
pub(super) struct Progress(ProgressBar);

impl Progress {
    pub(super) fn new() -> Self {
        let bar = ProgressBar::new(0);
        // The template is a constant of this file; the plain bar is what is left if it were wrong.
        if let Ok(style) = ProgressStyle::with_template("pulling {bar:30} {pos} of {len} records") {
            bar.set_style(style);
        }
        Self(bar)
    }

    /// A bar of so many bytes of a plan.
    pub(super) fn loading(bytes: usize) -> Self {
        let bar = ProgressBar::new(bytes as u64);
        if let Ok(style) = ProgressStyle::with_template("loading {bar:30} {pos} of {len} bytes") {
            bar.set_style(style);
        }
        Self(bar)
    }

    pub(super) fn reached(&self, bytes: usize) {
        self.0.set_position(bytes as u64);
    }

    pub(super) fn at(&self, stored: Seq, last: Seq) {
        self.0.set_length(u64::from(last.0));
        self.0.set_position(u64::from(stored.0));
    }

    pub(super) fn done(&self) {
        self.0.finish_and_clear();
    }
}
