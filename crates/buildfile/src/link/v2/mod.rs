//! The body of a version 2 link. Frozen: links of this version must open forever.
//!
//! The body is the version 2 document written as its difference from the base of version 1 with
//! [`more.json`](MORE) laid over it: typical leaf springs, triangulated links, Watts linkages,
//! springs, shocks and steering. The state `sitting` is told as its difference from `stock`,
//! `planned` from `sitting`, a right-hand member from the mirror image of the left-hand one. New links
//! are of a later version, so this one is only read.

pub(super) mod shape;

use super::bits::Reader;
use super::walk::{self, Bad};
use super::{LinkError, v1};
use crate::migrate::Fields;
use serde_json::Value;

/// What version 2 knows to be typical besides.
const MORE: &str = include_str!("more.json");

/// The document's fields out of a body.
pub(super) fn decode(body: &[u8]) -> Result<Fields, LinkError> {
    walk::decode(&shape::DOCUMENT, &base()?, Reader::weighed(body))
}

/// The base, which later versions build on.
pub(super) fn base() -> Result<Value, LinkError> {
    let mut base = v1::base()?;
    let more = serde_json::from_str(MORE).map_err(|_| Bad("no base"))?;
    lay_over(&mut base, more);
    Ok(base)
}

/// Adds fields at every depth; what is there already gives way.
pub(super) fn lay_over(under: &mut Value, over: Value) {
    match (under, over) {
        (Value::Object(fields), Value::Object(more)) => {
            for (key, value) in more {
                match fields.get_mut(&key) {
                    Some(under) => lay_over(under, value),
                    None => {
                        fields.insert(key, value);
                    }
                }
            }
        }
        (under, over) => *under = over,
    }
}
