//! `tapewright window`: how far in or out the wheel may sit, on which spacers, with which tire.

use super::fit::{Asked, CAUTION, SURE, extend, failure, question, sigmas_json, sure};
use super::text::fixed;
use crate::args::{FitArgs, WindowArgs};
use crate::failure::{Failure, pretty};
use fitment::clearance::{Fit, Options, Window, WindowEnd, fit, with_width};
use fitment::truck::Step;
use serde_json::{Value, json};
use std::fmt::Write;

/// Thicknesses spacers are sold in, mm, where the build's shelf has none: ¾ in to 2 in (common
/// practice, no source).
const USUAL_SPACERS_MM: [f64; 5] = [19.05, 25.4, 31.75, 38.1, 50.8];

pub(crate) fn run(args: &WindowArgs) -> Result<String, Failure> {
    let asked = Asked::of(&args.fit, false, false)?;
    let widths = args
        .width
        .iter()
        .map(|&width| Ok((width, of_width(&args.fit, &asked, width)?)))
        .collect::<Result<Vec<_>, Failure>>()?;
    let spacers = spacers(&asked, asked.fit.window.as_ref());
    if args.fit.json {
        let mut answer = question(&args.fit);
        extend(&mut answer, to_json(&asked, &asked.fit));
        answer["sigmas"] = sigmas_json(&asked.fit);
        answer["spacers"] = spacers
            .iter()
            .map(|(thick, clears)| json!({ "spacer_mm": thick, "clears": clears }))
            .collect();
        if !widths.is_empty() {
            let of = |(width, fit): &(f64, Fit)| {
                let mut one = json!({ "width_mm": width });
                extend(&mut one, to_json(&asked, fit));
                one
            };
            answer["widths"] = widths.iter().map(of).collect();
        }
        return Ok(pretty(&answer));
    }
    let mut text = asked.headline(&args.fit);
    text.push_str(&to_text(&asked, &asked.fit));
    for (thick, clears) in spacers {
        let words = if clears { "clears" } else { "does not" };
        let _ = writeln!(text, "  spacer of {:>5} mm: {words}", fixed(thick, 1));
    }
    for (width, fit) in &widths {
        let _ = write!(text, "  tire {} mm wide:\n  ", fixed(*width, 1));
        text.push_str(&to_text(&asked, fit));
    }
    Ok(text + SURE + CAUTION)
}

/// The fit with a tire of another section width.
fn of_width(args: &FitArgs, asked: &Asked, width: f64) -> Result<Fit, Failure> {
    let truck = with_width(&asked.truck, asked.at, width);
    let options = Options { sizes: false, ..asked.options.clone() };
    fit(&truck, asked.at.0, asked.at.1, &options).map_err(|error| failure(args, &error))
}

/// The shelf's spacers, or the usual ones, with whether each certainly clears by the margin.
fn spacers(asked: &Asked, window: Option<&Window>) -> Vec<(f64, bool)> {
    let now = asked.axle.fitted(asked.at.1).spacer_mm.value;
    let clears = |thick: f64| match window {
        Some(Window::Clears { inboard, outboard }) => {
            (inboard.shift_mm..=outboard.shift_mm).contains(&(thick - now))
        }
        _ => false,
    };
    let shelf = asked.axle.shelf.steps(Step::Spacer);
    let all = if shelf.is_empty() { USUAL_SPACERS_MM.to_vec() } else { shelf };
    all.into_iter().map(|thick| (thick, clears(thick))).collect()
}

/// The window by its ends, or the best there is.
pub(super) fn to_json(asked: &Asked, fit: &Fit) -> Value {
    let end = |end: &WindowEnd, sigma: Option<f64>| {
        json!({
            "shift_mm": end.shift_mm,
            "offset_mm": end.offset_mm,
            "sigma_mm": sigma,
            "limited_by": asked.met(end.limited_by),
        })
    };
    match &fit.window {
        Some(Window::Clears { inboard, outboard }) => json!({
            "clears": true,
            "inboard": end(inboard, fit.sigmas.inboard_mm),
            "outboard": end(outboard, fit.sigmas.outboard_mm),
        }),
        Some(Window::Never { best, clearance_mm }) => json!({
            "clears": false,
            "best": end(best, None),
            "clearance_mm": clearance_mm,
        }),
        None => Value::Null,
    }
}

/// In one line.
pub(super) fn to_text(asked: &Asked, fit: &Fit) -> String {
    let margin = fixed(asked.options.margin_mm, 0);
    match &fit.window {
        Some(Window::Clears { inboard, outboard }) => format!(
            "  with {margin} mm to spare the wheel's offset may be {} ({}) to {} mm ({})\n",
            sure(outboard.offset_mm, fit.sigmas.outboard_mm, 1),
            asked.met_words(outboard.limited_by),
            sure(inboard.offset_mm, fit.sigmas.inboard_mm, 1),
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
