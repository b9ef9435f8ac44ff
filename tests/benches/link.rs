//! The pull over a line of 115,200 baud 8N1 (11,520 bytes a second), as shares of that line.
//!
//! ```text
//! office <==pty==> relay (each direction 11,520 B/s, some latency) <==pty==> handheld (real core)
//! sz     <==pty==> the same relay                                  <==pty==> rz, if installed
//! ```
//!
//! `cargo bench -p hornrule-tests --bench link`
#![expect(clippy::unwrap_used, reason = "a bench that cannot run stops")]

#[cfg(unix)]
mod line;

#[cfg(unix)]
fn main() {
    // `cargo test --benches` runs this too; it then measures nothing.
    if std::env::args().any(|word| word == "--test") {
        return;
    }
    line::figures();
}

#[cfg(not(unix))]
fn main() {
    println!("this bench needs pseudo-terminals");
}
