//! What several test targets share. The tests themselves are in the targets beside this crate.

pub mod fuzz;
pub mod samples;
