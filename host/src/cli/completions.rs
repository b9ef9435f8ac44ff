//! `hornrule completions`: words for the shell.

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use super::Failure;

/// Print a completion script for a shell
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule completions bash > ~/.local/share/bash-completion/completions/hornrule"
)]
pub(super) struct Options {
    /// Shell to write for
    shell: Shell,
}

pub(super) fn run(options: &Options) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(options.shell, &mut super::Options::command(), "hornrule", &mut script);
    print!("{}", String::from_utf8_lossy(&script));
    Ok(())
}
