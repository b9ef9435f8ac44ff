//! What plays a handheld that is not held: contacts as a thumb makes them, lines as a calliper drives
//! them. The virtual handheld and the trainer are played with these; so are tests, which add faults
//! of their own.

pub mod bits;
pub mod contacts;
pub mod seeded;
