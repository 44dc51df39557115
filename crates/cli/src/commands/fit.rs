//! What `map`, `window` and `largest` share: the same fit, asked for and named the same way.

use super::solve::missing;
use super::text::fixed;
use crate::args::FitArgs;
use crate::failure::Failure;
use crate::input;
use fitment::clearance::{Fit, FitError, Obstacle, Options, Sigmas, fit};
use fitment::truck::{Axle, End, Side, State, Truck};
use serde_json::{Value, json};

/// The last line of every answer for people.
pub(super) const CAUTION: &str =
    "Turn the wheels lock to lock at full bump and droop on the truck before driving.\n";
/// What a ± is, for people.
pub(super) const SURE: &str = "± is one standard deviation.\n";

/// A fit with what it was asked of.
pub(super) struct Asked {
    pub(super) truck: Truck,
    pub(super) at: (End, State),
    pub(super) axle: Axle,
    pub(super) options: Options,
    pub(super) fit: Fit,
}

impl Asked {
    /// Reads the build and works the fit out; the largest tires and the lines of first contact only when
    /// asked for.
    pub(super) fn of(args: &FitArgs, sizes: bool, touches: bool) -> Result<Self, Failure> {
        let build = input::build(&args.build)?;
        let path = format!("truck.{}", args.axle.name());
        let at = (args.axle.of_truck(), args.state.of_truck());
        let truck = build.truck;
        let Some(axle) = truck.axle(at.0).cloned() else { return Err(missing(path)) };
        let options = Options {
            margin_mm: args.margin,
            grown: args.grown,
            sizes,
            touches,
            ..Options::default()
        };
        let fit = fit(&truck, at.0, at.1, &options).map_err(|error| failure(args, &error))?;
        Ok(Self { truck, at, axle, options, fit })
    }

    /// What something met is, as JSON.
    pub(super) fn met(&self, of: Option<(Obstacle, Side)>) -> Value {
        of.map_or(Value::Null, |(what, of)| {
            json!({ "obstacle": key(what), "name": self.name(what), "side": of.word() })
        })
    }

    /// What something met is, for people.
    pub(super) fn met_words(&self, of: Option<(Obstacle, Side)>) -> String {
        of.map_or_else(
            || "nothing met".into(),
            |(what, of)| format!("{} {}", of.word(), self.name(what)),
        )
    }

    /// What a person calls an obstacle.
    pub(super) fn name(&self, obstacle: Obstacle) -> String {
        obstacle.name(&self.axle.surroundings).into_owned()
    }

    /// The first line for people.
    pub(super) fn headline(&self, args: &FitArgs) -> String {
        let domain = &self.fit.domain;
        format!(
            "{} axle, {}: travel {} to {} mm, steer {}° either way{}\n",
            args.axle.name(),
            args.state.name(),
            fixed(domain.droop_mm, 0),
            fixed(domain.bump_mm, 0),
            fixed(domain.lock_rad.to_degrees(), 1),
            if args.grown { ", the tire grown in service" } else { "" },
        )
    }
}

/// What was asked, as JSON.
pub(super) fn question(args: &FitArgs) -> Value {
    json!({
        "state": args.state.name(),
        "axle": args.axle.name(),
        "margin_mm": args.margin,
        "grown": args.grown,
    })
}

/// Adds an object's fields to another's.
pub(super) fn extend(answer: &mut Value, more: Value) {
    if let (Value::Object(answer), Value::Object(more)) = (answer, more) {
        answer.extend(more);
    }
}

/// How sure the ends of a fit are: one standard deviation each.
pub(super) fn sigmas_json(fit: &Fit) -> Value {
    let Sigmas { inboard_mm, outboard_mm, diameter_mm, width_mm, steer_rad, bump_mm } = fit.sigmas;
    json!({
        "inboard_mm": inboard_mm,
        "outboard_mm": outboard_mm,
        "diameter_mm": diameter_mm,
        "width_mm": width_mm,
        "steering_stop_deg": steer_rad.map(f64::to_degrees),
        "bump_stop_mm": bump_mm,
    })
}

/// A figure with one standard deviation behind it, where that is known.
pub(super) fn sure(value: f64, sigma: Option<f64>, decimals: usize) -> String {
    let shown = fixed(value, decimals);
    sigma.map_or_else(|| shown.clone(), |sigma| format!("{shown} ± {}", fixed(sigma, 1)))
}

/// The obstacle's place in the build's surroundings.
pub(super) fn key(obstacle: Obstacle) -> String {
    obstacle.path().into_owned()
}

/// Why there is no answer.
pub(super) fn failure(args: &FitArgs, error: &FitError) -> Failure {
    let path = format!("truck.{}", args.axle.name());
    match error {
        FitError::Unreachable(_) => {
            let why = error.to_string();
            let mut answer = question(args);
            answer["unreachable"] = why.clone().into();
            Failure::Unreachable { why, answer }
        }
        FitError::NothingAround => Failure::Field {
            path: format!("{path}.surroundings"),
            what: "nothing to clear is given".into(),
            remedy: "measure the rail, the arch or the arm's thickness and fill one in".into(),
        },
        other => Failure::Field {
            path,
            what: other.to_string(),
            remedy: "correct it, and run `tapewright check` on the file".into(),
        },
    }
}
