//! Reading builds and links from a file or standard input, never more than they may hold.

use crate::failure::Failure;
use buildfile::{Build, OpenError, json, limits};
use fitment::calibrate::Log;
use std::fs::File;
use std::io::Read;

/// Opens a build that has no problems.
pub(crate) fn build(file: &str) -> Result<Build, Failure> {
    match json::from_json(bytes(file, limits::JSON_BYTES)?) {
        Err(OpenError::Problems(problems)) => Err(Failure::Problems(problems)),
        other => Ok(other?),
    }
}

/// Opens a build whatever problems it has.
pub(crate) fn any_build(file: &str) -> Result<Build, Failure> {
    Ok(json::read_json(bytes(file, limits::JSON_BYTES)?)?)
}

/// Reads a log of readings; what its numbers must be the engine checks.
pub(crate) fn readings(file: &str) -> Result<Log, Failure> {
    let bytes = bytes(file, limits::JSON_BYTES)?;
    let field = |what: String, remedy: &str| Failure::Field {
        path: file.to_owned(),
        what,
        remedy: remedy.to_owned(),
    };
    if bytes.len() > limits::JSON_BYTES {
        let what = format!("more than {} bytes", limits::JSON_BYTES);
        return Err(field(what, "give a file of readings"));
    }
    serde_json::from_slice(&bytes).map_err(|error| {
        field(error.to_string(), "mend that line; `tapewright calibrate --help` shows the form")
    })
}

/// A link as given, or from standard input.
pub(crate) fn link(link: &str) -> Result<String, Failure> {
    if link == "-" {
        // Longer than any link is cut off and refused by its length.
        Ok(String::from_utf8_lossy(&bytes(link, 4 * limits::LINK_CHARS)?).into_owned())
    } else {
        Ok(link.to_owned())
    }
}

/// All bytes, or one more than `most`, which is enough to be refused.
fn bytes(file: &str, most: usize) -> Result<Vec<u8>, Failure> {
    let failed = |why| Failure::Read { file: file.to_owned(), why };
    let source: Box<dyn Read> = if file == "-" {
        Box::new(std::io::stdin().lock())
    } else {
        Box::new(File::open(file).map_err(failed)?)
    };
    let mut bytes = Vec::new();
    source.take(most as u64 + 1).read_to_end(&mut bytes).map_err(failed)?;
    Ok(bytes)
}
