//! Shared steps of the end-to-end tests.
