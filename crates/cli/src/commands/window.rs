//! `tapewright window`: how far in or out the wheel may sit.

use super::fit::{Asked, CAUTION, question};
use super::text::fixed;
use crate::args::FitArgs;
use crate::failure::{Failure, pretty};
use fitment::clearance::{Window, WindowEnd};
use serde_json::{Value, json};

pub(crate) fn run(args: &FitArgs) -> Result<String, Failure> {
    let asked = Asked::of(args, false)?;
    Ok(if args.json {
        let mut answer = question(args);
        if let (Value::Object(answer), Value::Object(found)) = (&mut answer, to_json(&asked)) {
            answer.extend(found);
        }
        pretty(&answer)
    } else {
        format!("{}{}{CAUTION}", asked.headline(args), to_text(&asked))
    })
}

/// The window by its ends, or the best there is.
pub(super) fn to_json(asked: &Asked) -> Value {
    let end = |end: &WindowEnd| {
        json!({
            "shift_mm": end.shift_mm,
            "offset_mm": end.offset_mm,
            "limited_by": asked.met(end.limited_by),
        })
    };
    match &asked.fit.window {
        Some(Window::Clears { inboard, outboard }) => json!({
            "clears": true,
            "inboard": end(inboard),
            "outboard": end(outboard),
        }),
        Some(Window::Never { best, clearance_mm }) => json!({
            "clears": false,
            "best": end(best),
            "clearance_mm": clearance_mm,
        }),
        None => Value::Null,
    }
}

/// In one line.
pub(super) fn to_text(asked: &Asked) -> String {
    let margin = fixed(asked.options.margin_mm, 0);
    match &asked.fit.window {
        Some(Window::Clears { inboard, outboard }) => format!(
            "  with {margin} mm to spare the wheel's offset may be {} ({}) to {} mm ({})\n",
            fixed(outboard.offset_mm, 1),
            asked.met_words(outboard.limited_by),
            fixed(inboard.offset_mm, 1),
            asked.met_words(inboard.limited_by),
        ),
        Some(Window::Never { best, clearance_mm }) => format!(
            "  no wheel offset leaves {margin} mm to spare; best {} mm, where {} mm are left ({})\n",
            fixed(best.offset_mm, 1),
            fixed(*clearance_mm, 1),
            asked.met_words(best.limited_by),
        ),
        None => String::new(),
    }
}
