//! One file per command; each turns its arguments into the text to print.

pub(crate) mod calibrate;
pub(crate) mod card;
pub(crate) mod check;
pub(crate) mod document;
pub(crate) mod feel;
mod fit;
pub(crate) mod largest;
pub(crate) mod link;
pub(crate) mod map;
pub(crate) mod remedy;
mod set_by_set;
pub(crate) mod solve;
pub(crate) mod sweep;
mod text;
pub(crate) mod window;
