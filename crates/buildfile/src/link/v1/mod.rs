//! The body of a version 1 link. Frozen: links of this version must open forever.
//!
//! The body is the version 1 document written as its difference from [`base.json`](BASE). The state
//! `sitting` is told as its difference from `stock`, `planned` from `sitting`. New links are of a
//! later version, so this one is only read.
//!
//! The decoder gives back the document's JSON fields, which then take the same way through the
//! migrations as a file of version 1.

pub(super) mod shape;

use super::LinkError;
use super::bits::Reader;
use super::walk::{self, Bad};
use crate::migrate::Fields;
use serde_json::Value;

/// The typical document both ends know. Its layouts hold every kind at once.
const BASE: &str = include_str!("base.json");

/// The document's fields out of a body.
pub(super) fn decode(body: &[u8]) -> Result<Fields, LinkError> {
    walk::decode(&shape::DOCUMENT, &base()?, Reader::plain(body))
}

/// The base, which later versions build on.
pub(super) fn base() -> Result<Value, LinkError> {
    serde_json::from_str(BASE).map_err(|_| Bad("no base").into())
}
