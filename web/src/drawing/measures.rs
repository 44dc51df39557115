//! Which dimensions a drawing carries: a field's, so that a person sees where to hold the tape, and
//! an answer's. Every end is a point the engine or the person gave; none is worked out here.

use super::measures_things::of_thing;
use super::{Dim, Mark, Run, View};
use crate::state::edit;
use crate::state::field::{self, known};
use crate::state::things;
use crate::words;
use buildfile::Units;
use fitment::axle::{Attitude, Kind, Output, SceneItem};
use fitment::truck::{Side, Truck};

/// Points of the first item of a kind (and side, where one is asked for).
fn points(scene: &[SceneItem], kind: Kind, side: Option<Side>) -> Option<&[[f64; 3]]> {
    scene
        .iter()
        .find(|item| item.kind == kind && (side.is_none() || item.side == side))
        .map(|item| item.points.as_slice())
}

fn first_and_last(points: &[[f64; 3]]) -> Option<([f64; 3], [f64; 3])> {
    Some((*points.first()?, *points.last()?))
}

/// Middle of the axle tube.
fn middle(scene: &[SceneItem]) -> Option<[f64; 3]> {
    let (l, r) = first_and_last(points(scene, Kind::AxleTube, None)?)?;
    Some([0, 1, 2].map(|i| f64::midpoint(l[i], r[i])))
}

/// The dimension of one field; `None` for what has no place in a drawing.
///
/// `stock` and `sitting` are the scenes of those states: hardpoints are measured on the truck as
/// it left the factory, readings on the truck as it sits.
#[expect(clippy::too_many_lines, reason = "one line for each field, in the order of the catalog")]
pub fn of_field(
    path: &str,
    truck: &Truck,
    stock: &[SceneItem],
    sitting: &[SceneItem],
    units: Units,
) -> Option<Dim> {
    let name = crate::state::catalog::spec(truck, path).map_or(path, |spec| spec.label);
    let quantity = edit::quantity(path);
    // What belongs to the whole truck goes by its own name.
    let (end, tail) = match field::end_of(path) {
        Some(end) => path.split_at(field::end_name(end).len()),
        None => ("", path),
    };
    let tail = tail.trim_start_matches('.');
    let given = known(truck, path);
    let value = given.map_or(0.0, |k| k.value);
    let number = |tail: &str| known(truck, &format!("{end}.{tail}")).map_or(0.0, |k| k.value);
    let (view, from, to, run) = if let Some((index, part)) = things::of_path(path) {
        of_thing(truck.axle(field::end_of(path)?)?, index, part)?
    } else if let Some((point, axis)) =
        tail.rsplit_once('.').filter(|(_, a)| matches!(*a, "x_mm" | "y_mm" | "z_mm"))
    {
        let at = ["x_mm", "y_mm", "z_mm"].map(|axis| number(&format!("{point}.{axis}")));
        let sideways = point.starts_with("panhard") || point.starts_with("watts");
        let steers = point.starts_with("steering");
        let across = if sideways || steers { View::Across } else { View::Side };
        match axis {
            // Joints of the steering linkage are found from above.
            "x_mm" if steers => (View::Plan, [0.0, at[1], at[2]], at, Run::Upright(26.0)),
            "y_mm" if steers => (View::Plan, [at[0], 0.0, at[2]], at, Run::Level(26.0)),
            "x_mm" => (
                View::Side,
                [0.0, at[1], at[2]],
                at,
                Run::Level(if at[2] > 0.0 { -26.0 } else { 34.0 }),
            ),
            "y_mm" => (
                View::Across,
                [at[0], 0.0, at[2]],
                at,
                Run::Level(if at[2] > 0.0 { -30.0 } else { 34.0 }),
            ),
            _ => (across, [at[0], at[1], 0.0], at, Run::Upright(26.0)),
        }
    } else {
        match tail {
            "hub_face_width_mm" => {
                let half = value / 2.0;
                (View::Across, [0.0, -half, 0.0], [0.0, half, 0.0], Run::Level(-64.0))
            }
            "pinion.length_mm" | "pinion.angle_deg" => {
                let (a, b) = first_and_last(points(stock, Kind::Pinion, None)?)?;
                (
                    View::Side,
                    a,
                    b,
                    if tail.ends_with("deg") { Run::Tilt(70.0) } else { Run::Along(24.0) },
                )
            }
            "driveline.case_plan_deg" => {
                let (a, b) = first_and_last(points(stock, Kind::Driveshaft, None)?)?;
                (View::Plan, a, b, Run::Tilt(70.0))
            }
            "driveline.case_slope_deg" | "driveline.slip_in_mm" | "driveline.slip_out_mm" => {
                let (a, b) = first_and_last(points(stock, Kind::Driveshaft, None)?)?;
                let run = if tail.ends_with("deg") { Run::Tilt(70.0) } else { Run::Along(24.0) };
                (View::Side, a, b, run)
            }
            "hose.length_mm" => {
                let (a, b) = first_and_last(points(stock, Kind::Hose, Some(Side::Left))?)?;
                (View::Across, a, b, Run::Along(24.0))
            }
            "springing.spring_solid_mm" => {
                let (a, b) = first_and_last(points(stock, Kind::Spring, Some(Side::Left))?)?;
                (View::Across, a, b, Run::Along(24.0))
            }
            "springing.shock_shortest_mm" | "springing.shock_longest_mm" => {
                let (a, b) = first_and_last(points(stock, Kind::Shock, Some(Side::Left))?)?;
                (View::Side, a, b, Run::Along(24.0))
            }
            "overhang.diff_above_ground_mm" => {
                let hub = middle(sitting)?;
                let ground = points(sitting, Kind::Ground, None)?.first()?[2];
                (View::Across, [hub[0], hub[1], ground], hub, Run::Upright(30.0))
            }
            "pinion.y_mm" => {
                let (a, b) = first_and_last(points(stock, Kind::Pinion, None)?)?;
                (View::Plan, [b[0], 0.0, a[2]], b, Run::Level(26.0))
            }
            "kingpin.caster_deg" | "kingpin.hub_trail_mm" => {
                let (a, b) = first_and_last(points(stock, Kind::SteeringAxis, Some(Side::Left))?)?;
                (View::Side, a, b, Run::Lean(0.0))
            }
            "kingpin.inclination_deg" | "kingpin.hub_offset_mm" => {
                let (a, b) = first_and_last(points(stock, Kind::SteeringAxis, Some(Side::Left))?)?;
                (View::Across, a, b, Run::Lean(0.0))
            }
            "balance.cg_height_mm" => {
                let ground = points(stock, Kind::Ground, None)?.first()?[2];
                (View::Side, [0.0, 0.0, ground], [0.0, 0.0, ground + value], Run::Upright(40.0))
            }
            "layout.rates.clamped_mm" => {
                let seat = ["x_mm", "y_mm", "z_mm"]
                    .map(|axis| number(&format!("layout.left.seat.{axis}")));
                let [ahead, behind] =
                    [0.5, -0.5].map(|half| [seat[0] + half * value, seat[1], seat[2]]);
                (View::Side, ahead, behind, Run::Level(-26.0))
            }
            "limits.bump_mm" => (View::Side, [0.0; 3], [0.0, 0.0, value], Run::Upright(40.0)),
            "limits.droop_mm" => (View::Side, [0.0; 3], [0.0, 0.0, -value], Run::Upright(40.0)),
            "surroundings.rail.outer_mm" => {
                let z = number("surroundings.rail.top_mm");
                (View::Across, [0.0, 0.0, z], [0.0, value, z], Run::Level(-18.0))
            }
            "surroundings.rail.bottom_mm" | "surroundings.rail.top_mm" => {
                let y = number("surroundings.rail.outer_mm");
                (
                    View::Across,
                    [0.0, y, 0.0],
                    [0.0, y, value],
                    Run::Upright(if tail.contains("top") { 44.0 } else { 22.0 }),
                )
            }
            "surroundings.rail.front_mm" | "surroundings.rail.rear_mm" => {
                let z = number("surroundings.rail.top_mm");
                (View::Side, [0.0, 0.0, z], [value, 0.0, z], Run::Level(-18.0))
            }
            "surroundings.arch.top_mm" => {
                (View::Side, [0.0; 3], [0.0, 0.0, value], Run::Upright(20.0))
            }
            "surroundings.arch.front_mm" => {
                (View::Side, [0.0; 3], [value, 0.0, 0.0], Run::Level(24.0))
            }
            "surroundings.arch.rear_mm" => {
                (View::Side, [0.0; 3], [-value, 0.0, 0.0], Run::Level(24.0))
            }
            "surroundings.arch.lip_mm" | "surroundings.arch.inner_mm" => {
                let z = number("surroundings.arch.top_mm");
                (
                    View::Across,
                    [0.0, 0.0, z],
                    [0.0, value, z],
                    Run::Level(if tail.contains("lip") { -28.0 } else { -8.0 }),
                )
            }
            "readings.panhard_length_mm" => {
                let (a, b) = first_and_last(points(sitting, Kind::Panhard, None)?)?;
                (View::Across, a, b, Run::Along(-34.0))
            }
            "readings.panhard_rise_mm" => {
                let (a, b) = first_and_last(points(sitting, Kind::Panhard, None)?)?;
                (View::Across, a, b, Run::Upright(24.0))
            }
            "readings.arm_length_mm" => {
                let (a, b) = arm(sitting)?;
                (View::Side, a, b, Run::Along(34.0))
            }
            "readings.arm_rise_mm" => {
                let (a, b) = arm(sitting)?;
                (View::Side, a, b, Run::Upright(24.0))
            }
            "sitting.lift_mm" => {
                let now = middle(sitting)?;
                (View::Side, [0.0; 3], [0.0, 0.0, now[2]], Run::Upright(-46.0))
            }
            "sitting.lift_right_mm" => {
                let now = middle(sitting)?;
                (View::Across, [0.0; 3], [0.0, 0.0, now[2]], Run::Upright(-46.0))
            }
            "stock.tire.size" => tire(stock, View::Side)?,
            "sitting.tire.size" => tire(sitting, View::Side)?,
            "sitting.tire.diameter_mm" => {
                let (view, low, high, _) = tire(sitting, View::Side)?;
                (view, low, high, Run::Upright(26.0))
            }
            "sitting.tire.tread_mm"
            | "sitting.tire.shoulder_mm"
            | "sitting.tire.crown_mm"
            | "sitting.tire.shoulder_drop_mm"
            | "sitting.packing_mm" => {
                let (_, _, high, _) = tire(sitting, View::Side)?;
                let rim = middle_of(points(sitting, Kind::Rim, Some(Side::Left))?);
                let half = number("sitting.tire.tread_mm") / 2.0;
                let at = |out: f64, down: f64| [high[0], rim[1] + out, high[2] - down];
                match tail {
                    "sitting.tire.tread_mm" => {
                        (View::Across, at(-half, 0.0), at(half, 0.0), Run::Level(-14.0))
                    }
                    "sitting.tire.shoulder_mm" => {
                        let (half, drop) = (value / 2.0, number("sitting.tire.shoulder_drop_mm"));
                        (View::Across, at(-half, drop), at(half, drop), Run::Level(-30.0))
                    }
                    "sitting.packing_mm" => {
                        (View::Side, high, [high[0], high[1], high[2] + value], Run::Upright(16.0))
                    }
                    _ => (View::Across, at(half, 0.0), at(half, value), Run::Upright(20.0)),
                }
            }
            "sitting.wheel.inside_mm" => {
                let hub = middle(sitting)?;
                let end = |way: f64| [hub[0], hub[1], hub[2] + way * value / 2.0];
                (View::Side, end(-1.0), end(1.0), Run::Upright(26.0))
            }
            "sitting.wheel.spoke_mm" => {
                let hub = middle(sitting)?;
                let face = number("hub_face_width_mm") / 2.0 + hub[1];
                (
                    View::Across,
                    [hub[0], face, hub[2]],
                    [hub[0], face + value, hub[2]],
                    Run::Level(30.0),
                )
            }
            "sitting.tire.section_mm" | "sitting.wheel.width_mm" => tire(sitting, View::Across)?,
            "stock.wheel.width_mm" => tire(stock, View::Across)?,
            "sitting.tire.loaded_radius_mm" => {
                let hub = middle(sitting)?;
                let ground = points(sitting, Kind::Ground, None)?.first()?[2];
                (View::Side, hub, [hub[0], hub[1], ground], Run::Upright(30.0))
            }
            "sitting.wheel.offset_mm" | "sitting.spacer_mm" => {
                // From the hub face to the middle of the rim.
                let half = number("hub_face_width_mm") / 2.0;
                let rim = points(sitting, Kind::Rim, Some(Side::Left))?;
                let y = rim.iter().map(|p| p[1]).sum::<f64>() / rim.len().max(1) as f64;
                let shift = middle(sitting)?;
                (
                    View::Across,
                    [0.0, half + shift[1], shift[2]],
                    [0.0, y, shift[2]],
                    Run::Level(74.0),
                )
            }
            "stock.wheel.offset_mm" => {
                let half = number("hub_face_width_mm") / 2.0;
                let rim = points(stock, Kind::Rim, Some(Side::Left))?;
                let y = rim.iter().map(|p| p[1]).sum::<f64>() / rim.len().max(1) as f64;
                (View::Across, [0.0, half, 0.0], [0.0, y, 0.0], Run::Level(74.0))
            }
            _ => return None,
        }
    };
    let text = match (given, size_text(truck, path)) {
        (_, Some(size)) => size,
        (Some(_), None) => words::quantity(value, quantity, units),
        (None, None) => "measure".into(),
    };
    let mark = given.map_or(
        if size_text(truck, path).is_some() { Mark::Published } else { Mark::Assumed },
        |k| Mark::of(&k.origin),
    );
    Some(Dim { view, from, to, run, name: name.into(), text, mark, path: Some(path.into()) })
}

fn size_text(truck: &Truck, path: &str) -> Option<String> {
    let (end, state) = path.strip_suffix(".tire.size")?.split_once('.')?;
    let axle = truck.axle(field::end_of(end)?)?;
    Some(match state {
        "stock" => axle.stock.tire.size.clone(),
        "sitting" => axle.sitting.tire.size.clone(),
        _ => axle.planned.tire.size.clone(),
    })
}

/// Ends of the left arm or lower link.
fn arm(scene: &[SceneItem]) -> Option<([f64; 3], [f64; 3])> {
    let found = points(scene, Kind::Arm, Some(Side::Left))
        .or_else(|| points(scene, Kind::Link, Some(Side::Left)))?;
    first_and_last(found)
}

fn middle_of(points: &[[f64; 3]]) -> [f64; 3] {
    let sum = |axis: usize| points.iter().map(|p| p[axis]).sum::<f64>();
    [0, 1, 2].map(|axis| sum(axis) / points.len().max(1) as f64)
}

/// Across a tire: its height from the side, its width from ahead.
fn tire(scene: &[SceneItem], view: View) -> Option<(View, [f64; 3], [f64; 3], Run)> {
    let tire = points(scene, Kind::Tire, Some(Side::Left))?;
    let axis = if view == View::Side { 2 } else { 1 };
    let low = tire.iter().copied().min_by(|a, b| a[axis].total_cmp(&b[axis]))?;
    let high = tire.iter().copied().max_by(|a, b| a[axis].total_cmp(&b[axis]))?;
    let run = if view == View::Side { Run::Upright(-26.0) } else { Run::Level(24.0) };
    Some((view, low, high, run))
}

/// What the drawing of an answer carries: the numbers of this very pose.
pub fn of_answer(scene: &[SceneItem], attitude: &Attitude<f64>, units: Units) -> Vec<Dim> {
    let mut dims = Vec::new();
    let mut put = |view, from, to, run, output: Output, text: String| {
        let name = output.label().to_owned();
        dims.push(Dim { view, from, to, run, name, text, mark: Mark::Computed, path: None });
    };
    if let (Some(at), Some(shift)) = (middle(scene), attitude.get(Output::LateralShift)) {
        let text = words::sideways(shift, units);
        put(View::Across, [0.0, 0.0, at[2]], at, Run::Level(46.0), Output::LateralShift, text);
    }
    if let (Some((axle, chassis)), Some(angle)) =
        (points(scene, Kind::Panhard, None).and_then(first_and_last), attitude.get(Output::Panhard))
    {
        let text = words::output(angle, Output::Panhard, units);
        put(View::Across, axle, chassis, Run::Tilt(84.0), Output::Panhard, text);
    }
    if let (Some(centre), Some(height), Some(ground)) = (
        points(scene, Kind::RollCentre, None).and_then(|p| p.first()),
        attitude.get(Output::RollCentreHeight),
        points(scene, Kind::Ground, None).and_then(first_and_last),
    ) {
        // On the side the axle has not moved to, clear of that number.
        let away =
            if attitude.get(Output::LateralShift).unwrap_or(0.0) > 0.0 { -72.0 } else { 72.0 };
        let below = [centre[0], 0.0, f64::midpoint(ground.0[2], ground.1[2])];
        let text = words::output(height, Output::RollCentreHeight, units);
        put(View::Across, below, *centre, Run::Upright(away), Output::RollCentreHeight, text);
    }
    if let (Some((ground, top)), Some(caster)) = (
        points(scene, Kind::SteeringAxis, Some(Side::Left)).and_then(first_and_last),
        attitude.get(Output::Caster),
    ) {
        let text = format!("caster {}", words::output(caster, Output::Caster, units));
        put(View::Side, ground, top, Run::Lean(0.0), Output::Caster, text);
    }
    if let (Some((axle, flange)), Some(pinion)) =
        (points(scene, Kind::Pinion, None).and_then(first_and_last), attitude.get(Output::Pinion))
    {
        let text = format!("pinion {}", words::output(pinion, Output::Pinion, units));
        put(View::Side, axle, flange, Run::Tilt(96.0), Output::Pinion, text);
    }
    if let Some((left, right)) = points(scene, Kind::AxleTube, None).and_then(first_and_last) {
        for (at, output) in [(left, Output::WheelbaseLeft), (right, Output::WheelbaseRight)] {
            if let Some(change) = attitude.get(output) {
                let text = words::output(change, output, units);
                put(View::Plan, [0.0, at[1], at[2]], at, Run::Upright(16.0), output, text);
            }
        }
    }
    dims
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::Bench;
    use crate::state::catalog;
    use buildfile::Build;
    use fitment::truck::{End, LayoutKind, State};

    /// Fields of an axle without a dimension.
    fn without(build: &Build, specs: Vec<catalog::Spec>) -> Vec<String> {
        let bench = Bench::of(build, End::Front).expect("front");
        let scene = |state| &bench.state(state).expect("an answer").scene;
        let (stock, sitting) = (scene(State::Stock), scene(State::Sitting));
        let mut without = Vec::new();
        for spec in specs {
            match of_field(&spec.path, &build.truck, stock, sitting, Units::Inch) {
                Some(dim) => assert_eq!(dim.path.as_deref(), Some(spec.path.as_str())),
                None => without.push(spec.path),
            }
        }
        without
    }

    #[test]
    fn most_fields_can_be_pointed_at() {
        let typical = LayoutKind::ALL.map(Build::blank);
        for build in typical.into_iter().chain([Build::example()]) {
            let axle = build.truck.front.as_ref().expect("front");
            let groups = catalog::groups(axle, End::Front).into_iter();
            let specs = groups.flat_map(|group| group.parts).flat_map(|part| part.specs);
            let without = without(&build, specs.collect());
            // Stiffness, lock, shares, a ratio and half a thickness have no place on paper, nor has
            // what lies beyond the axle drawn.
            let none = [
                "_per_mm",
                "_per_deg",
                "lock_deg",
                "arm_radius_mm",
                "_percent",
                "ratio",
                "_kg",
                "_gear",
                "low_range",
                "joint_limit_deg",
                "stop_squash_mm",
                "weights.rise_mm",
            ];
            let beyond = ["overhang.", "belly."];
            let without: Vec<_> = without
                .into_iter()
                .filter(|path| !beyond.iter().any(|start| path.contains(start)))
                .collect();
            assert!(
                without.iter().all(|path| none.iter().any(|end| path.ends_with(end))),
                "{without:?}"
            );
        }
    }

    #[test]
    fn the_first_eight_all_have_a_picture() {
        for build in LayoutKind::ALL.map(Build::blank) {
            let axle = build.truck.front.as_ref().expect("front");
            let specs = catalog::first(axle, End::Front);
            assert_eq!(without(&build, specs), Vec::<String>::new(), "{:?}", axle.kind());
        }
    }
}
