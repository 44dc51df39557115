//! `tapewright sweep`: every output along a path.

use crate::args::SweepArgs;
use crate::commands::solve::missing;
use crate::commands::text::fixed;
use crate::failure::{Failure, pretty};
use crate::input;
use fitment::axle::{AxleModel, Output, Path, Sweep, SweepError, SweepPoint, sweep};
use serde_json::{Map, Value, json};
use std::fmt::Write;

pub(crate) fn run(args: &SweepArgs) -> Result<String, Failure> {
    let build = input::build(&args.build)?;
    let end = args.axle.of_truck();
    let place = format!("truck.{}", args.axle.name());
    if build.truck.axle(end).is_none() {
        return Err(missing(place));
    }
    let model = AxleModel::of(&build.truck, end, args.state.of_truck()).map_err(|error| {
        let remedy = "correct it, and run `tapewright check` on the file".into();
        Failure::Field { path: place, what: error.to_string(), remedy }
    })?;
    let path = args.path.of_axle();
    match sweep(&model, path, args.from, args.to, args.step) {
        Ok(sweep) => Ok(match (args.json, args.csv) {
            (true, _) => pretty(&to_json(args, &sweep)),
            (false, true) => to_csv(args, &sweep),
            (false, false) => to_text(args, &sweep),
        }),
        Err(SweepError::Ride(why)) => {
            let answer = json!({ "unreachable": why.to_string() });
            Err(Failure::Unreachable { why: why.to_string(), answer })
        }
        Err(error) => Err(Failure::Field {
            path: "--from, --to, --step".into(),
            what: error.to_string(),
            remedy: "change them".into(),
        }),
    }
}

/// Name of the first column: what moved, in its unit.
fn at_key(path: Path) -> &'static str {
    if path == Path::Steer { "at_deg" } else { "at_mm" }
}

/// The outputs asked for, or all that have a meaning anywhere on the sweep.
fn columns(args: &SweepArgs, sweep: &Sweep) -> Vec<Output> {
    let somewhere = |output: &Output| {
        sweep.points.iter().any(|p| p.found.is_ok_and(|found| found.get(*output).is_some()))
    };
    if args.output.is_empty() {
        Output::ALL.into_iter().filter(somewhere).collect()
    } else {
        args.output.clone()
    }
}

fn to_json(args: &SweepArgs, sweep: &Sweep) -> Value {
    let columns = columns(args, sweep);
    let at = at_key(sweep.path);
    let point = |point: &SweepPoint| {
        let mut fields = Map::new();
        // Adding zero turns −0 into 0.
        fields.insert(at.into(), (point.at + 0.0).into());
        match &point.found {
            Ok(found) => {
                for output in &columns {
                    fields.insert(output.key().into(), found.get(*output).into());
                }
            }
            Err(why) => {
                fields.insert("unreachable".into(), why.to_string().into());
            }
        }
        Value::from(fields)
    };
    json!({
        "axle": args.axle.name(),
        "state": args.state.name(),
        "path": args.path.name(),
        "points": sweep.points.iter().map(point).collect::<Vec<_>>(),
    })
}

/// One row a point; the last column says why a point has no numbers.
fn to_csv(args: &SweepArgs, sweep: &Sweep) -> String {
    let columns = columns(args, sweep);
    let mut text = String::from(at_key(sweep.path));
    for output in &columns {
        text.push(',');
        text.push_str(output.key());
    }
    text.push_str(",unreachable\n");
    for point in &sweep.points {
        // Writing to a string cannot fail.
        let _ = write!(text, "{}", point.at + 0.0);
        for output in &columns {
            text.push(',');
            if let Some(value) = point.found.ok().and_then(|found| found.get(*output)) {
                let _ = write!(text, "{value}");
            }
        }
        text.push(',');
        if let Err(why) = &point.found {
            let _ = write!(text, "\"{why}\"");
        }
        text.push('\n');
    }
    text
}

/// What people look at first on a path.
const fn first(path: Path) -> &'static [Output] {
    match path {
        Path::Steer => &[
            Output::SteerLeft,
            Output::SteerRight,
            Output::Ackermann,
            Output::TurningCircle,
            Output::TrailLeft,
            Output::ScrubLeft,
        ],
        Path::Heave | Path::Roll | Path::Left | Path::Right => &[
            Output::LateralShift,
            Output::AxleSteer,
            Output::Caster,
            Output::Pinion,
            Output::Panhard,
            Output::RollCentreHeight,
            Output::Toe,
            Output::BumpSteerLeft,
        ],
    }
}

fn to_text(args: &SweepArgs, sweep: &Sweep) -> String {
    let shown = if args.output.is_empty() { first(sweep.path) } else { &args.output[..] };
    let mut text = String::new();
    let _ =
        writeln!(text, "{} axle, {}: {}", args.axle.name(), args.state.name(), args.path.words());
    for (number, output) in shown.iter().enumerate() {
        let _ = writeln!(text, "  ({}) {}, {}", number + 1, output.label(), output.unit().symbol());
    }
    let _ = write!(text, "{:>9}", at_key(sweep.path));
    for number in 1..=shown.len() {
        let _ = write!(text, "{:>10}", format!("({number})"));
    }
    text.push('\n');
    for point in &sweep.points {
        let _ = write!(text, "{:>9}", fixed(point.at, 1));
        match &point.found {
            Ok(found) => {
                for output in shown {
                    let value = found.get(*output).map_or_else(|| "-".into(), |v| fixed(v, 2));
                    let _ = write!(text, "{value:>10}");
                }
            }
            Err(why) => {
                let _ = write!(text, "  {why}");
            }
        }
        text.push('\n');
    }
    text.push_str(
        "While the wheels travel, the steering wheel is held where it stands straight ahead.\n\
         Check steering and Panhard hardware on the truck itself before driving.\n",
    );
    text
}
