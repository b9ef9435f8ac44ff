//! Edges in, readings out.
