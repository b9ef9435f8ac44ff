//! The office tool.
