//! The office tool.

pub mod exchange;
pub mod herd;
pub mod inbox;
pub mod intake;
pub mod report;
