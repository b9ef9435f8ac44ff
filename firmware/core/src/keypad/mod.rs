//! Scan masks in, keys out.
