//! `tapewright schema` and `tapewright example`: the document's form, and one to start from.

use crate::failure::{Failure, pretty};
use buildfile::{Build, json};

pub(crate) fn schema() -> String {
    pretty(&json::schema())
}

pub(crate) fn example() -> Result<String, Failure> {
    Ok(json::to_json(&Build::example())?)
}
