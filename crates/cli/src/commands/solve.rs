//! `tapewright solve`: where the axles stand.

use crate::args::{Axle, SolveArgs};
use crate::commands::text::fixed;
use crate::failure::{Failure, pretty};
use crate::input;
use buildfile::Build;
use fitment::axle::{
    Answer, Attitude, NoAnswer, Output, RollAxis, answer_at, at_lock, reactions, roll_axis,
};
use fitment::calibrate::answer_surely;
use fitment::truck::Truck;
use serde_json::{Map, Value, json};
use std::fmt::Write;

/// One axle's answer, or why its position does not exist.
type Found = Result<Answer, String>;

pub(crate) fn run(args: &SolveArgs) -> Result<String, Failure> {
    let build = input::build(&args.build)?;
    let mut found: Vec<(Axle, Option<Found>)> = Vec::new();
    for axle in Axle::BOTH {
        let wanted = args.axle.is_none_or(|only| only == axle);
        let there = wanted && build.truck.axle(axle.of_truck()).is_some();
        let answer = there.then(|| solve(&build.truck, axle, args)).transpose()?;
        found.push((axle, answer));
    }
    if found.iter().all(|(_, answer)| answer.is_none()) {
        let path = format!("truck.{}", args.axle.unwrap_or(Axle::Front).name());
        return Err(missing(path));
    }
    let whys: Vec<String> = found
        .iter()
        .filter_map(|(axle, answer)| match answer {
            Some(Err(why)) => Some(format!("{} axle: {why}", axle.name())),
            _ => None,
        })
        .collect();
    let answer = to_json(args, &build, &found);
    if !whys.is_empty() {
        return Err(Failure::Unreachable { why: whys.join("; "), answer: with_why(answer, &whys) });
    }
    Ok(if args.json { pretty(&answer) } else { to_text(args, &found) })
}

/// An axle that was asked for and is not there.
pub(super) fn missing(path: String) -> Failure {
    Failure::Field {
        path,
        what: "the build has no such axle".into(),
        remedy: "fill it in, or ask for the other axle".into(),
    }
}

/// Why an axle has no answer.
pub(super) fn no_answer(axle: Axle, error: &NoAnswer) -> Failure {
    match error {
        NoAnswer::Unreachable(why) => Failure::Unreachable {
            why: format!("{} axle: {why}", axle.name()),
            answer: json!({ "unreachable": [format!("{} axle: {why}", axle.name())] }),
        },
        NoAnswer::Model(error) => Failure::Field {
            path: format!("truck.{}", axle.name()),
            what: error.to_string(),
            remedy: "correct it, and run `tapewright check` on the file".into(),
        },
    }
}

fn solve(truck: &Truck, which: Axle, args: &SolveArgs) -> Result<Found, Failure> {
    let travel = [args.left, args.right];
    let steer = args.steer.to_radians();
    let (end, state) = (which.of_truck(), args.state.of_truck());
    let at_rest = travel == [None; 2] && steer == 0.0;
    let answer = if at_rest {
        answer_surely(truck, end, state)
    } else {
        answer_at(truck, end, state, travel, steer)
    };
    match answer {
        Ok(answer) => Ok(Ok(answer)),
        Err(NoAnswer::Unreachable(why)) => Ok(Err(why.to_string())),
        Err(NoAnswer::Model(error)) => Err(Failure::Field {
            path: format!("truck.{}", which.name()),
            what: error.to_string(),
            remedy: "correct it, and run `tapewright check` on the file".into(),
        }),
    }
}

/// Every output by its key; beside the values, one standard deviation of each.
fn to_json(args: &SolveArgs, build: &Build, found: &[(Axle, Option<Found>)]) -> Value {
    let mut all = Map::new();
    let mut uncertainty = Map::new();
    all.insert("state".into(), args.state.name().into());
    all.insert("steer_deg".into(), args.steer.into());
    for (axle, answer) in found {
        let (values, sigmas) = match answer {
            None => (Value::Null, Value::Null),
            Some(Err(why)) => (json!({ "unreachable": why }), Value::Null),
            Some(Ok(answer)) => {
                let mut values = outputs(|output| answer.attitude.get(output));
                // Adding zero turns −0 into 0.
                values.insert("travel_left_mm".into(), (answer.travel[0] + 0.0).into());
                values.insert("travel_right_mm".into(), (answer.travel[1] + 0.0).into());
                let sigmas = outputs(|output| answer.spread(output).map(|it| it.sigma));
                values.insert("bushes".into(), bushes(answer));
                values.insert("at_lock".into(), locks(*axle, build, answer));
                if args.slopes {
                    values.insert("slopes".into(), slopes(answer));
                }
                (values.into(), sigmas.into())
            }
        };
        all.insert(axle.name().into(), values);
        uncertainty.insert(axle.name().into(), sigmas);
    }
    all.insert("uncertainty".into(), uncertainty.into());
    all.insert(
        "roll_axis".into(),
        roll_axis_of(found).map_or(Value::Null, |axis| {
            json!({
                "front_mm": axis.front_mm,
                "rear_mm": axis.rear_mm,
                "inclination_deg": axis.inclination_deg,
                "uncertainty_deg": axis.sigma_deg,
            })
        }),
    );
    all.into()
}

/// The roll axis, where both axles were solved.
fn roll_axis_of(found: &[(Axle, Option<Found>)]) -> Option<RollAxis> {
    let [(_, Some(Ok(front))), (_, Some(Ok(rear)))] = found else { return None };
    roll_axis(front, rear)
}

/// What each bush carries for having left its stock position.
fn bushes(answer: &Answer) -> Value {
    reactions(&answer.model, &answer.pose)
        .iter()
        .map(|r| {
            json!({
                "place": r.place.key(),
                "side": r.side.word(),
                "force_n": r.force.as_slice(),
                "moment_nm": (r.moment / 1000.0).as_slice(),
                "strain_mm": r.strain_mm,
                "twist_deg": r.twist_rad.to_degrees(),
            })
        })
        .collect()
}

/// The steering with the inner wheel against its stop, a left and a right turn; null on an axle that
/// does not steer.
fn locks(axle: Axle, build: &Build, answer: &Answer) -> Value {
    let limit = build.truck.axle(axle.of_truck()).map_or(0.0, |it| it.limits.lock_deg.value);
    if answer.model.steering.is_none() || limit <= 0.0 {
        return Value::Null;
    }
    let [left, right] = at_lock(&answer.model, &answer.pose, limit.to_radians());
    let shown = |at: &Attitude<f64>| {
        let of = |output: Output| (output.key().to_owned(), Value::from(at.get(output)));
        Value::Object(LOCK.into_iter().map(of).collect())
    };
    json!({ "lock_deg": limit, "left_turn": shown(&left), "right_turn": shown(&right) })
}

/// What there is to say about full lock.
const LOCK: [Output; 8] = [
    Output::SteerLeft,
    Output::SteerRight,
    Output::Ackermann,
    Output::TurningCircle,
    Output::TrailLeft,
    Output::TrailRight,
    Output::ScrubLeft,
    Output::ScrubRight,
];

/// The change of every output by every uncertain input, per unit of the input's path.
fn slopes(answer: &Answer) -> Value {
    let by_input = |output: Output| {
        let of = |path: &str| answer.slope(path, output).filter(|slope| *slope != 0.0);
        let found = answer.inputs().filter_map(|i| Some((i.path.clone(), of(&i.path)?.into())));
        (output.key().to_owned(), Value::Object(found.collect()))
    };
    Value::Object(Output::ALL.into_iter().map(by_input).collect())
}

fn outputs(of: impl Fn(Output) -> Option<f64>) -> Map<String, Value> {
    Output::ALL.into_iter().map(|output| (output.key().into(), of(output).into())).collect()
}

fn with_why(mut answer: Value, whys: &[String]) -> Value {
    if let Value::Object(fields) = &mut answer {
        fields.insert("unreachable".into(), whys.join("; ").into());
    }
    answer
}

fn to_text(args: &SolveArgs, found: &[(Axle, Option<Found>)]) -> String {
    let mut text = String::new();
    for (axle, answer) in found {
        let Some(Ok(answer)) = answer else { continue };
        let [left, right] = answer.travel.map(|travel| fixed(travel, 1));
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "{} axle, {}: wheel travel {left} mm left, {right} mm right, steer {}°",
            axle.name(),
            args.state.name(),
            fixed(args.steer, 1),
        );
        for output in Output::ALL {
            if let Some(spread) = answer.spread(output) {
                let unit = output.unit().symbol();
                let driver = spread.driver.map_or_else(String::new, |it| format!("  {}", it.path));
                let _ = writeln!(
                    text,
                    "  {:<33} {:>9} {unit:<8} ± {:>7.2}{driver}",
                    output.label(),
                    fixed(spread.value, 2),
                    spread.sigma,
                );
            }
        }
        for r in reactions(&answer.model, &answer.pose) {
            let side = r.side.word();
            let _ = writeln!(
                text,
                "  {:<33} {:>9} N        {} forward, {} left, {} up",
                format!("{}, {side}", r.place.label()),
                fixed(r.force.norm(), 0),
                fixed(r.force.x, 0),
                fixed(r.force.y, 0),
                fixed(r.force.z, 0),
            );
        }
        text.push('\n');
    }
    if let Some(axis) = roll_axis_of(found) {
        let _ = writeln!(
            text,
            "Roll axis: {} mm at the front, {} mm at the rear, rising rearward by {}° ± {}°\n",
            fixed(axis.front_mm, 0),
            fixed(axis.rear_mm, 0),
            fixed(axis.inclination_deg, 2),
            fixed(axis.sigma_deg, 2),
        );
    }
    text.push_str(
        "± is one standard deviation; after it, the input it hangs on most.\n\
         What a bush carries is what it took on since stock height.\n\
         Check steering and Panhard hardware on the truck itself before driving.\n",
    );
    text
}
