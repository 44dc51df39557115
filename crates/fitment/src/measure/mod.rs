//! Numbers a person brings: a value, how far it may be off, and where it came from; reading them
//! from text and writing them back.

mod combine;
pub mod format;
mod joint;
mod known;
#[cfg(feature = "serde")]
mod known_serde;
mod parse;
pub mod units;

pub(crate) use combine::combined;
pub use joint::Joint;
pub use known::{Instrument, Known, Origin};
pub use parse::{ParseError, ParseErrorKind, Reading, parse_angle, parse_length, parse_number};
pub use units::{LengthUnit, System};
