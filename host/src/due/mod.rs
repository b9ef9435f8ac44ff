//! What is open on which foot.
