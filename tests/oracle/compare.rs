//! One position answered by the engine and held against the reference.

use crate::fixture::{Answer, Asked, Beyond, Posed, Position, Step};
use fitment::{
    axle::{
        AxleModel, Output, Path, Pose, Unit, Unreachable, attitude, reactions, solve, solve_near,
        sweep,
    },
    truck::State,
};

/// How far apart the two may be.
#[derive(Debug, Clone, Copy)]
pub struct Tolerance {
    /// Poses and plain lengths, mm.
    pub mm: f64,
    /// Rotations and plain angles, rad.
    pub rad: f64,
    /// What follows from how the axle moves, as a share.
    pub slope: f64,
    /// Share of the path that is reached.
    pub fraction: f64,
}

/// Agreement asked for where links are rigid.
pub const RIGID: Tolerance = Tolerance { mm: 1e-6, rad: 1e-9, slope: 1e-7, fraction: 1e-3 };
/// And where something is elastic: the promise is 1e-4 mm.
pub const ELASTIC: Tolerance = Tolerance { mm: 1e-6, rad: 1e-9, slope: 1e-6, fraction: 1e-3 };

/// Outputs that follow from slopes of the pose; all others are read off the pose itself.
const SLOPES: [Output; 15] = [
    Output::RollCentreKinematic,
    Output::InstantCentreX,
    Output::InstantCentreZ,
    Output::AntiDive,
    Output::AntiLift,
    Output::AntiSquat,
    Output::RollSteer,
    Output::RollStiffness,
    Output::SpringRatioLeft,
    Output::SpringRatioRight,
    Output::ShockRatioLeft,
    Output::ShockRatioRight,
    Output::BumpSteerLeft,
    Output::BumpSteerRight,
    Output::BumpToe,
];

/// What came of one comparison.
#[derive(Debug, Default, Clone)]
pub struct Compared {
    /// Furthest apart of the poses, mm and rad.
    pub mm: f64,
    /// The same of their turns.
    pub rad: f64,
    /// Furthest apart of the bushes' loads, as a share of each bush's largest.
    pub load: f64,
    /// Furthest apart of each output, against what it may be (1 is the most).
    pub worst: Vec<(Output, f64)>,
    /// How far the ends of the path lie apart, for a position beyond reach.
    pub fraction: Option<f64>,
    /// What disagrees, in words.
    pub faults: Vec<String>,
}

/// Whether anything but links that keep their length holds the axle.
pub fn elastic(asked: &Asked) -> bool {
    let over = asked.kind == "four_link" && asked.sideways.is_some();
    over || matches!(asked.kind.as_str(), "radius_arms" | "leaf_springs")
}

/// Compares one position.
pub fn compare(asked: &Asked, position: &Position, keys: &[String]) -> Compared {
    let mut found = Compared::default();
    let may = if elastic(asked) { ELASTIC } else { RIGID };
    let model = match AxleModel::of(&asked.truck, asked.end, position.state) {
        Ok(model) => model,
        Err(why) => {
            found.faults.push(format!("no model: {why}"));
            return found;
        }
    };
    let solved = solve(&model, position.travel_mm);
    match (position.answer.as_ref().expect("an answer"), &solved) {
        (Answer::Pose(want), Ok(pose)) => {
            posed(&mut found, &may, want, pose);
            meaning(&mut found, &may, want, keys, &model, pose, position);
            loads(&mut found, &may, want, &model, pose);
            again(&mut found, &may, &model, pose, position);
        }
        (Answer::Beyond(unreachable), Err(why)) => beyond(&mut found, &may, unreachable, why),
        (Answer::Pose(_), Err(why)) => {
            found.faults.push(format!("the reference gets there, the engine does not: {why}"));
        }
        (Answer::Beyond(unreachable), Ok(pose)) => found.faults.push(format!(
            "the reference ends after {:.6} ({}), the engine gets there: {:?}",
            unreachable.fraction, unreachable.why, pose.axle.shift,
        )),
    }
    found
}

fn posed(found: &mut Compared, may: &Tolerance, want: &Posed, pose: &Pose<f64>) {
    found.mm = apart(pose.axle.shift.as_slice(), &want.shift_mm);
    let [w, x, y, z] = want.quaternion;
    let turn = nalgebra::UnitQuaternion::from_quaternion(nalgebra::Quaternion::new(w, x, y, z));
    // Entries of two rotations differ by at most the angle between them.
    found.rad = (pose.axle.turn - turn.to_rotation_matrix().matrix()).amax();
    if found.mm > may.mm {
        found.faults.push(format!("translations differ by {:.2e} mm", found.mm));
    }
    if found.rad > may.rad {
        found.faults.push(format!("rotations differ by {:.2e} rad", found.rad));
    }
}

/// Every output has an answer, or has none in both.
fn meaning(
    found: &mut Compared,
    may: &Tolerance,
    want: &Posed,
    keys: &[String],
    model: &AxleModel<f64>,
    pose: &Pose<f64>,
    position: &Position,
) {
    let got = attitude(model, pose, position.steer_deg.to_radians());
    for output in Output::ALL {
        let Some(want) = keys.iter().position(|k| k == output.key()).map(|i| want.outputs[i])
        else {
            // Its trucks have neither driveshaft nor brake hose.
            if got.get(output).is_some() {
                found.faults.push(format!("{}: the reference does not know it", output.key()));
            }
            continue;
        };
        match (got.get(output), want) {
            (None, None) => {}
            (Some(got), Some(want)) => {
                let share = (got - want).abs() / tolerance(output, want, may);
                found.worst.push((output, share));
                if share.is_nan() || share > 1.0 {
                    found.faults.push(format!("{}: got {got}, want {want}", output.key()));
                }
            }
            (got, want) => {
                found.faults.push(format!("{}: got {got:?}, want {want:?}", output.key()));
            }
        }
    }
}

/// Compares the sweeps of a truck, step by step.
pub fn sweeps(asked: &Asked, keys: &[String]) -> Compared {
    let mut found = Compared::default();
    for step in &asked.sweeps {
        if let Err(why) = swept(&mut found, asked, keys, step) {
            found.faults.push(format!("sweep {} to {}: {why}", step.0, step.1));
        }
    }
    found
}

fn swept(
    found: &mut Compared,
    asked: &Asked,
    keys: &[String],
    (name, at, want): &Step,
) -> Result<(), String> {
    let may = if elastic(asked) { ELASTIC } else { RIGID };
    let path = match name.as_str() {
        "heave" => Path::Heave,
        "roll" => Path::Roll,
        _ => Path::Left,
    };
    let model =
        AxleModel::of(&asked.truck, asked.end, State::Planned).map_err(|e| e.to_string())?;
    let far = sweep(&model, path, at.min(0.0), at.max(0.0), 30.0).map_err(|e| e.to_string())?;
    let point = far.points.iter().find(|p| (p.at - at).abs() < 1e-9).ok_or("no such point")?;
    let (got, want) = match (&point.found, want) {
        (Ok(got), Some(want)) => (got, want),
        (Err(_), None) => return Ok(()),
        (got, want) => return Err(format!("got {got:?}, want {want:?}")),
    };
    for (key, want) in keys.iter().zip(want) {
        let output = Output::ALL.into_iter().find(|o| o.key() == key).ok_or("no such output")?;
        match (got.get(output), want) {
            (None, None) => {}
            (Some(got), Some(want)) => {
                let share = (got - want).abs() / tolerance(output, *want, &may);
                found.worst.push((output, share));
                if share.is_nan() || share > 1.0 {
                    return Err(format!("{key}: got {got}, want {want}"));
                }
            }
            (got, want) => return Err(format!("{key}: got {got:?}, want {want:?}")),
        }
    }
    Ok(())
}

/// What every bush carries.
fn loads(
    found: &mut Compared,
    may: &Tolerance,
    want: &Posed,
    model: &AxleModel<f64>,
    pose: &Pose<f64>,
) {
    let got = reactions(model, pose);
    if got.len() != want.reactions.len() {
        let (got, want) = (got.len(), want.reactions.len());
        found.faults.push(format!("reactions: got {got} of them, want {want}"));
    }
    for reaction in got {
        let place = (reaction.place.key(), reaction.side);
        let Some((.., load, strain, twist)) =
            want.reactions.iter().find(|(key, side, ..)| (key.as_str(), *side) == place)
        else {
            found.faults.push(format!("reactions: none wanted at {place:?}"));
            continue;
        };
        let most = load.iter().fold(1.0_f64, |m, v| m.max(v.abs()));
        let force = apart(reaction.force.as_slice(), &load[..3]);
        let moment = apart(reaction.moment.as_slice(), &load[3..]);
        // A newton is a ten-thousandth of a millimetre of rubber: hold it to a thousandth.
        found.load = found.load.max(force.max(moment) / most);
        let strain = (reaction.strain_mm - strain).abs();
        let twist = (reaction.twist_rad - twist).abs();
        let off = force.max(moment) > 1e-3 + may.slope * most;
        if off || strain > may.mm || twist > may.rad {
            found.faults.push(format!(
                "reactions: at {place:?} got {:?} and {:?}, want {load:?}; strain {strain:.1e} mm \
                 and twist {twist:.1e} rad apart",
                reaction.force.as_slice(),
                reaction.moment.as_slice(),
            ));
        }
    }
}

/// How far an output may be off.
fn tolerance(output: Output, want: f64, may: &Tolerance) -> f64 {
    if SLOPES.contains(&output) {
        // A slope's own size, or that of what it is a slope of: a mm or a degree per mm, a percent.
        return may.slope * want.abs().max(1.0);
    }
    match output.unit() {
        // The turning circle grows past all bounds as the steer goes to nothing.
        Unit::Mm => may.mm * (want.abs() / 1e4).max(1.0),
        Unit::Deg => may.rad.to_degrees(),
        // Slopes of members, in thousandths.
        _ => may.slope * want.abs().max(1.0),
    }
}

/// From a neighboring pose the answer is the same one.
fn again(
    found: &mut Compared,
    may: &Tolerance,
    model: &AxleModel<f64>,
    pose: &Pose<f64>,
    position: &Position,
) {
    let Ok(near) = solve(model, position.travel_mm.map(|t| t + 3.0)) else { return };
    match solve_near(model, position.travel_mm, &near) {
        Ok(again) => {
            let mm = apart(again.axle.shift.as_slice(), pose.axle.shift.as_slice());
            if mm > may.mm {
                found.faults.push(format!("from near by {mm:.2e} mm away"));
            }
        }
        Err(why) => found.faults.push(format!("from near by: {why}")),
    }
}

fn beyond(found: &mut Compared, may: &Tolerance, want: &Beyond, why: &Unreachable) {
    let apart = (why.fraction() - want.fraction).abs();
    found.fraction = Some(apart);
    let same = match why {
        Unreachable::OutOfReach { .. } => want.why != "binds",
        Unreachable::Binds { .. } => want.why == "binds",
        _ => false,
    };
    if !same || apart > may.fraction {
        found.faults.push(format!(
            "the reference ends after {:.6} ({}), the engine after {:.6}: {why:?}",
            want.fraction,
            want.why,
            why.fraction(),
        ));
    }
}

fn apart(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).fold(0.0, |most, (a, b)| most.max((a - b).abs()))
}
