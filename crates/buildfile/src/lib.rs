//! The build document: what a person saves, shares and opens again.
//!
//! One [`Build`] is one truck in its three states with the person's own limits. It travels as
//! JSON ([`json`]) or as a link ([`link`]); both carry a version, and documents of every earlier
//! version are brought up to date by the table in [`migrate`] and open forever.
//!
//! # Limits
//! Input from outside is refused by length before anything is parsed: JSON at
//! [`limits::JSON_BYTES`], a link at [`limits::LINK_CHARS`]. Depth, list lengths and text lengths
//! have limits of their own in [`limits`].

#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod build;
pub mod card;
pub mod json;
pub mod limits;
pub mod link;
pub mod migrate;
pub mod node;
mod pretty;
mod read;

pub use build::{Build, Claim, Target, Units, VERSION};
pub use fitment::truck::{Problem, Rule};
pub use json::{OpenError, SaveError};
pub use link::LinkError;
