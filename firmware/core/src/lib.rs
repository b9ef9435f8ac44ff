//! Every decision of the handheld.
//!
//! ```text
//! edges --> calliper --Reading--+
//! masks --> keypad  --Key-------+--> chute --Entry--> seal --> log <--> flash (NorFlash)
//!                                     |                         |
//! beeper, light, buzz <------ Cue ----+    link <--Sealed-------+
//! ```
//!
//! Sans-IO throughout: time is an argument, and no pin, port, clock or print is touched. `device`
//! is the only module that knows all the others. No `unsafe`, no allocation, no floats.
#![no_std]

#[cfg(test)]
extern crate std;

pub mod calliper;
pub mod chute;
pub mod cue;
pub mod device;
pub mod keypad;
pub mod link;
pub mod log;
pub mod plan;
pub mod tag;
pub mod time;
mod trace;
