//! Numbers a person brings: a value, how far it may be off, and where it came from.

mod known;
#[cfg(feature = "serde")]
mod known_serde;

pub use known::{Instrument, Known, Origin};
