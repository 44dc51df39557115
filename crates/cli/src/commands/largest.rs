//! `tapewright largest`: the tallest and the widest tire that clear, the wheel staying as it is.

use super::fit::{Asked, CAUTION, question};
use super::text::fixed;
use crate::args::FitArgs;
use crate::failure::{Failure, pretty};
use fitment::clearance::Size;
use fitment::tire::resolve;
use serde_json::{Value, json};

pub(crate) fn run(args: &FitArgs) -> Result<String, Failure> {
    let asked = Asked::of(args, true)?;
    let now = now(args, &asked);
    Ok(if args.json {
        let mut answer = question(args);
        if let (Value::Object(answer), Value::Object(found)) = (&mut answer, to_json(&asked)) {
            answer.extend(found);
        }
        if let Some([diameter, width]) = now {
            answer["now"] = json!({ "diameter_mm": diameter, "width_mm": width });
        }
        pretty(&answer)
    } else {
        let now = now.map_or_else(String::new, |[diameter, width]| {
            format!("  fitted: {} mm tall, {} mm wide\n", fixed(diameter, 0), fixed(width, 0))
        });
        format!("{}{now}{}{CAUTION}", asked.headline(args), to_text(&asked))
    })
}

/// Diameter and section width of the tire as it is, mm.
fn now(args: &FitArgs, asked: &Asked) -> Option<[f64; 2]> {
    let setup = asked.axle.setup(args.state.of_truck());
    let dims = resolve(&setup.tire, &setup.wheel).ok()?;
    Some([dims.diameter.value, dims.section.value])
}

/// Both sizes.
pub(super) fn to_json(asked: &Asked) -> Value {
    let size = |size: &Size| match size {
        Size::UpTo { mm, limited_by } => {
            json!({ "answer": "up_to", "mm": mm, "limited_by": asked.met(*limited_by) })
        }
        Size::Never => json!({ "answer": "never" }),
    };
    asked.fit.largest.as_ref().map_or(Value::Null, |largest| {
        json!({ "diameter": size(&largest.diameter_mm), "width": size(&largest.width_mm) })
    })
}

/// One line each.
pub(super) fn to_text(asked: &Asked) -> String {
    let Some(largest) = &asked.fit.largest else { return String::new() };
    let margin = fixed(asked.options.margin_mm, 0);
    let line = |most: &str, as_it_is: &str, size: &Size| match size {
        Size::UpTo { mm, limited_by } => format!(
            "  {most} tire with {margin} mm to spare, {as_it_is} as it is: {} mm ({})\n",
            fixed(*mm, 0),
            asked.met_words(*limited_by),
        ),
        Size::Never => {
            format!("  {most} tire with {margin} mm to spare, {as_it_is} as it is: none\n")
        }
    };
    line("tallest", "width", &largest.diameter_mm) + &line("widest", "height", &largest.width_mm)
}
