//! The body of a version 3 link. Frozen: links of this version must open forever.
//!
//! The body is the version 3 document written as its difference from the base of version 2 with a
//! typical thing of each kind beside it ([`things.json`](THINGS)). A thing beside the wheel is told
//! as its difference from the last one of its kind, or from the typical one. New links are of a later
//! version, so this one is only read.

pub(super) mod shape;

use super::bits::Reader;
use super::walk::{self, Bad};
use super::{LinkError, v2};
use crate::migrate::Fields;
use serde_json::Value;

/// What version 3 knows to be typical besides.
const THINGS: &str = include_str!("things.json");

/// The document's fields out of a body.
pub(super) fn decode(body: &[u8]) -> Result<Fields, LinkError> {
    walk::decode(&shape::DOCUMENT, &base()?, Reader::weighed(body))
}

pub(super) fn base() -> Result<Value, LinkError> {
    let mut base = v2::base()?;
    let things = serde_json::from_str(THINGS).map_err(|_| Bad("no base"))?;
    v2::lay_over(&mut base, things);
    Ok(base)
}
