//! The body of a version 4 link. Frozen: links of this version must open forever.
//!
//! The body is the version 4 document written as its difference from the base of version 3 with a
//! typical driveline and brake hose on either axle ([`more.json`](MORE)).

mod shape;

use super::bits::Reader;
use super::walk::{self, Bad};
use super::{LinkError, v2, v3};
use crate::migrate::Fields;
use serde_json::Value;

/// What version 4 knows to be typical besides.
const MORE: &str = include_str!("more.json");

/// The body for a document's fields.
pub(super) fn encode(fields: Fields) -> Result<Vec<u8>, LinkError> {
    walk::encode(&shape::DOCUMENT, &base()?, fields)
}

/// The document's fields out of a body.
pub(super) fn decode(body: &[u8]) -> Result<Fields, LinkError> {
    walk::decode(&shape::DOCUMENT, &base()?, Reader::weighed(body))
}

fn base() -> Result<Value, LinkError> {
    let mut base = v3::base()?;
    let more = serde_json::from_str(MORE).map_err(|_| Bad("no base"))?;
    v2::lay_over(&mut base, more);
    Ok(base)
}
