//! Fakes that break on purpose, shared by all tests.

pub mod flash;
pub mod model_log;
pub mod seeded;
