//! `hornrule completions`: words for the shell.

use clap::{Args, CommandFactory};
use clap_complete::Shell;

/// Print a completion script for a shell
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule completions bash > ~/.local/share/bash-completion/completions/hornrule"
)]
pub(super) struct Options {
    /// Shell to write for
    shell: Shell,
}

pub(super) fn run(options: &Options) {
    clap_complete::generate(
        options.shell,
        &mut super::Options::command(),
        "hornrule",
        &mut std::io::stdout(),
    );
}
