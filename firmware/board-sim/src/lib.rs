//! The handheld on a PC.
