//! The office's computer fails: killed, out of power, out of room, a broken disk.
//!
//! ```text
//! hornrule pull --port replay:day.session --> SQLite --> shim.c --> files, and a log of every call
//!                                                          |             |
//!                                    killed, torn, full, EIO at call n   +--> loss of power, rebuilt
//! ```
//!
//! A quick sample by itself; every call with `HORNRULE_LONG=1`. `tests/FAULTS.md` has the figures.
#![cfg(all(target_os = "linux", target_pointer_width = "64"))]
#![expect(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

mod bench;
mod bounded;
mod crowd;
mod damage;
mod damaged;
mod disk;
mod hostile;
mod killed;
mod killed_verbs;
mod killed_virtual;
mod live;
mod mutation;
mod power;
mod prepared;
#[path = "../../../tests/rows.rs"]
#[expect(dead_code, unreachable_pub, reason = "a library file of another crate, used in part")]
mod rows;
mod shim;
mod verbs;
