//! `tapewright largest`: the tallest and the widest tire that clear, the wheel staying as it is.

use super::fit::{Asked, CAUTION, SURE, extend, failure, question, sigmas_json, sure};
use super::text::fixed;
use crate::args::FitArgs;
use crate::failure::{Failure, pretty};
use fitment::clearance::{Fit, Gain, Relief, Size};
use fitment::tire::resolve;
use serde_json::{Value, json};

pub(crate) fn run(args: &FitArgs) -> Result<String, Failure> {
    let asked = Asked::of(args, true, false)?;
    let now = now(args, &asked);
    let with = Relief::worth_trying(&asked.axle, asked.at.1)
        .into_iter()
        .map(|relief| {
            let found = relief.fit(&asked.truck, asked.at, &asked.options);
            found.map(|fit| (relief, fit)).map_err(|error| failure(args, &error))
        })
        .collect::<Result<Vec<_>, Failure>>()?;
    Ok(if args.json {
        let mut answer = question(args);
        extend(&mut answer, to_json(&asked, &asked.fit));
        answer["sigmas"] = sigmas_json(&asked.fit);
        answer["with"] = with
            .iter()
            .map(|(relief, fit)| {
                let (key, by, unit) = told(*relief);
                let gain = Gain::of(&asked.fit, fit);
                let mut one = json!({
                    "relief": key,
                    "by": by,
                    "unit": unit,
                    "gain_mm": gain.map(|gain| gain.mm),
                    "gain_sigma_mm": gain.map(|gain| gain.sigma_mm),
                });
                extend(&mut one, to_json(&asked, fit));
                one
            })
            .collect();
        if let Some([diameter, width]) = now {
            answer["now"] = json!({ "diameter_mm": diameter, "width_mm": width });
        }
        pretty(&answer)
    } else {
        let now = now.map_or_else(String::new, |[diameter, width]| {
            format!("  fitted: {} mm tall, {} mm wide\n", fixed(diameter, 0), fixed(width, 0))
        });
        let mut text = asked.headline(args) + &now;
        text.push_str(&to_text(&asked, &asked.fit));
        for (relief, fit) in &with {
            text.push_str(&with_text(&asked, *relief, fit));
        }
        text + SURE + CAUTION
    })
}

/// Diameter and section width of the tire as it is, mm.
fn now(args: &FitArgs, asked: &Asked) -> Option<[f64; 2]> {
    let setup = asked.axle.fitted(args.state.of_truck());
    let dims = resolve(&setup.tire, &setup.wheel).ok()?;
    Some([dims.diameter.value, dims.section.value])
}

/// A modification by its key, how much of it, and in what unit.
const fn told(relief: Relief) -> (&'static str, f64, &'static str) {
    match relief {
        Relief::ArchTrim(mm) => ("arch_trim", mm, "mm"),
        Relief::BumpStop(mm) => ("bump_stop", mm, "mm"),
        Relief::SteeringStop(deg) => ("steering_stop", deg, "deg"),
        Relief::Spacer(mm) => ("spacer", mm, "mm"),
        Relief::Forward(mm) => ("forward", mm, "mm"),
    }
}

/// What a modification is worth, in one line.
fn with_text(asked: &Asked, relief: Relief, fit: &Fit) -> String {
    let done = match relief {
        Relief::ArchTrim(mm) => format!("arch trimmed {} mm farther", fixed(mm, 0)),
        Relief::BumpStop(mm) => format!("bump stop {} mm longer", fixed(mm, 0)),
        Relief::SteeringStop(deg) => format!("steering stop at {}°", fixed(deg, 1)),
        Relief::Spacer(mm) => format!("spacer {} mm thicker", fixed(mm, 0)),
        Relief::Forward(mm) => format!("axle {} mm farther forward", fixed(mm, 0)),
    };
    let gained = Gain::of(&asked.fit, fit).map_or_else(String::new, |gain| {
        format!(" gains {} mm,", sure(gain.mm, Some(gain.sigma_mm), 1))
    });
    sizes(asked, fit).map_or_else(String::new, |[tallest, widest]| {
        format!("  {done}:{gained} tallest {tallest}, widest {widest}\n")
    })
}

/// The tallest and the widest, with what a larger one would meet.
fn sizes(asked: &Asked, fit: &Fit) -> Option<[String; 2]> {
    let size = |size: Size, sigma: Option<f64>| match size {
        Size::UpTo { mm, limited_by } => {
            format!("{} mm ({})", sure(mm, sigma, 0), asked.met_words(limited_by))
        }
        Size::Never => "none".into(),
    };
    let largest = fit.largest?;
    Some([
        size(largest.diameter_mm, fit.sigmas.diameter_mm),
        size(largest.width_mm, fit.sigmas.width_mm),
    ])
}

/// Both sizes.
pub(super) fn to_json(asked: &Asked, fit: &Fit) -> Value {
    let size = |size: &Size, sigma: Option<f64>| match size {
        Size::UpTo { mm, limited_by } => json!({
            "answer": "up_to",
            "mm": mm,
            "sigma_mm": sigma,
            "limited_by": asked.met(*limited_by),
        }),
        Size::Never => json!({ "answer": "never" }),
    };
    fit.largest.as_ref().map_or(Value::Null, |largest| {
        json!({
            "diameter": size(&largest.diameter_mm, fit.sigmas.diameter_mm),
            "width": size(&largest.width_mm, fit.sigmas.width_mm),
        })
    })
}

/// One line each.
pub(super) fn to_text(asked: &Asked, fit: &Fit) -> String {
    let margin = fixed(asked.options.margin_mm, 0);
    sizes(asked, fit).map_or_else(String::new, |[tallest, widest]| {
        format!(
            "  tallest tire with {margin} mm to spare, width as it is: {tallest}\n  \
             widest tire with {margin} mm to spare, height as it is: {widest}\n"
        )
    })
}
