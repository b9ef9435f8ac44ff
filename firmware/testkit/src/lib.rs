//! Fakes that break on purpose, shared by all tests.
