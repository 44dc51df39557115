//! `tapewright check`: everything wrong with a build.

use crate::args::CheckArgs;
use crate::failure::{Failure, pretty};
use crate::input;
use serde_json::json;

pub(crate) fn run(args: &CheckArgs) -> Result<String, Failure> {
    let problems = input::any_build(&args.build)?.validate();
    if !problems.is_empty() {
        return Err(Failure::Problems(problems));
    }
    Ok(if args.json {
        pretty(&json!({ "problems": [] }))
    } else {
        "No problems found. That the numbers fit together does not make them right.\n".into()
    })
}
