//! The `hornrule` command.
fn main() {}
