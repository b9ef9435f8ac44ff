//! The handheld's ARM image in QEMU, with its pins driven from outside.
//!
//! ```text
//!  story --Player--> Panel --set_irq_in--> pins of the image --irq lines--> Panel --> Ear --> cues
//!                      |                        |
//!                 Emulator: qtest (pins, words), QMP (stop, save), gdb (flash operations), UART
//! ```
//!
//! Nothing is skipped here: without an image or without QEMU every test fails and says what to do.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a failed step is a failed test"
)]

pub mod ear;
pub mod emulator;
pub mod flash;
pub mod gdb;
pub mod image;
pub mod panel;
pub mod pins;
pub mod player;
mod qmp;
mod qtest;
pub mod traces;
