//! What the programs are built from: held to `policy.toml`, and told in `host/THIRD-PARTY.md`.
//!
//! Advisories and yanked versions need a list from the network; `tests/DESIGN.md` says why they are
//! not looked at here.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

mod notices;
mod packages;
mod policy;
mod spdx;
