//! The protocol between the handheld and the office.
//!
//! ```text
//! Entry --Record--> seal --Sealed--> flash, wire, inbox --Sealed--> open --Record--> Entry
//!                                      |
//!                    Request, Response: messages --> frame --> bytes --> Deframer --> messages
//! ```
//!
//! `SPEC.md` in this crate's folder defines every byte. This crate knows nothing of flash, serial
//! ports, clocks or databases. It never allocates and never panics on input.
#![no_std]

#[cfg(test)]
extern crate std;

pub mod animal;
pub mod bundle;
pub mod calliper;
pub mod claw;
pub mod codes;
pub mod deframe;
pub mod digest;
pub mod frame;
pub mod ids;
pub mod limits;
pub mod message;
pub mod part;
pub mod plan;
pub mod plan_number;
pub mod record;
pub mod seal;
pub mod tag;
pub mod trace;
pub mod units;

pub use animal::{AnimalNumber, HerdNumber, Iso11784};
pub use bundle::Bundle;
pub use claw::{Claw, Foot, Place, Side, Zone};
pub use codes::{Action, Dimension, Lesion, Scale};
pub use deframe::Deframer;
pub use ids::{Boot, DeviceId, LogId, Seq, Uptime};
pub use message::{Request, Response};
pub use part::Part;
pub use plan_number::PlanNumber;
pub use record::{Entry, Record};
pub use seal::{OpenError, Sealed, open, seal};
pub use units::Nanometres;
