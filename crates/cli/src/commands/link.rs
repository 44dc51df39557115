//! `tapewright link` and `tapewright open`: a build to a link and back.

use crate::args::{LinkArgs, OpenArgs};
use crate::failure::{Failure, pretty};
use crate::input;
use buildfile::{json, link as codec};
use serde_json::json;

pub(crate) fn link(args: &LinkArgs) -> Result<String, Failure> {
    let code = codec::encode(&input::build(&args.build)?)?;
    let link = match &args.base {
        // An address can have one fragment only.
        Some(base) => format!("{}#{code}", base.split('#').next().unwrap_or(base)),
        None => format!("#{code}"),
    };
    Ok(if args.json {
        pretty(&json!({ "link": link, "characters": link.chars().count() }))
    } else {
        format!("{link}\n")
    })
}

pub(crate) fn open(args: &OpenArgs) -> Result<String, Failure> {
    let build = codec::decode(&input::link(&args.link)?)?;
    Ok(json::to_json(&build)?)
}
