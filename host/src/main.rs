//! The `hornrule` command: a skin over the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    hornrule::cli::main()
}
