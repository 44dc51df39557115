//! One file per command; each turns its arguments into the text to print.

pub(crate) mod check;
pub(crate) mod document;
pub(crate) mod link;
pub(crate) mod solve;
