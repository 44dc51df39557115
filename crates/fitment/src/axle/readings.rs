//! Readings a tape takes straight off the truck as it sits, and what they pin down.
//!
//! A bar's length and the height of one end over the other are easy to read where the hardpoints
//! themselves are not. [`apply_readings`] moves the assumed hardpoints to agree with them, through
//! the solved pose; the model then lets those hardpoints lean on the readings, so that their
//! uncertainty is the reading's and not that of the assumed points.

use super::{
    attitude::lower_members,
    linkage::{Link, Members},
    model::AxleModel,
    reader::Reader,
    real::{Real, norm},
    solve::solve_ride,
};
use crate::{
    measure::Known,
    truck::{Axle, Bar, End, Layout, Point, Readings, State, Truck},
};
use nalgebra::Vector3;

/// A reading that no truck can have, for the other numbers given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadingError {
    /// The bar or arm is shorter than its ends are apart in height.
    #[error(
        "{path}: at {length_mm:.0} mm it is shorter than its ends are apart in height and along ({apart_mm:.0} mm); measure both again, eye to eye"
    )]
    TooShort {
        /// Path of the length within the axle.
        path: &'static str,
        /// Length read.
        length_mm: f64,
        /// What the other two directions already take.
        apart_mm: f64,
    },
}

/// Rounds of moving the hardpoints; each shrinks the misfit by the sine of a small angle.
const ROUNDS: usize = 12;
/// The readings are met to this, mm.
const AGREES: f64 = 1e-7;

/// Moves the chassis ends of the Panhard bar and of the arms or lower links so that the truck as
/// it sits agrees with its readings.
///
/// # Errors
/// [`ReadingError`] when a length is too short for the other numbers; the axle is then as before.
pub fn apply_readings(axle: &mut Axle, end: End) -> Result<(), ReadingError> {
    let mut truck = Truck::with_axle(axle.clone(), end);
    // First with the axle moving straight down, then by what the pose really does.
    let mut correction = [0.0; 3];
    for round in 0..ROUNDS {
        let Some(trial) = truck.axle_mut(end) else { break };
        place(trial, correction)?;
        let trial = trial.clone();
        let Ok(model) = AxleModel::of(&truck, end, State::Sitting) else { break };
        let Ok(pose) = solve_ride(&model) else { break };
        let mut rest: f64 = 0.0;
        let mut settle = |slot: usize, reading: Option<&Known>, now: f64| {
            if let Some(reading) = reading {
                let miss = reading.value - now;
                correction[slot] += miss;
                rest = rest.max(miss.abs());
            }
        };
        if let Some(bar) = &model.fitted.panhard {
            let rise = bar.chassis.z - pose.axle.point(&bar.axle).z;
            settle(0, trial.readings.panhard_rise_mm.as_ref(), rise);
        }
        if matches!(trial.layout, Layout::ThreeLink { .. } | Layout::FourLink { .. }) {
            for (side, (low, high)) in lower_members(&model, &pose).iter().enumerate() {
                settle(1 + side, trial.readings.arm_rise_mm.as_ref(), high.z - low.z);
            }
        }
        if rest < AGREES && round > 0 {
            break;
        }
    }
    if let Some(trial) = truck.axle_mut(end) {
        axle.clone_from(trial);
    }
    Ok(())
}

/// Puts the chassis ends where the readings say, given what the pose adds to a plain drop.
fn place(axle: &mut Axle, correction: [f64; 3]) -> Result<(), ReadingError> {
    let (left, right) = axle.sitting.lift();
    let lift = (left.value + right.value) * 0.5;
    let readings = axle.readings.clone();
    if let (Some(rise), Some(bar)) = (&readings.panhard_rise_mm, &mut axle.panhard) {
        let z = bar.axle.z_mm.value + rise.value - lift + correction[0];
        set(&mut bar.chassis.z_mm, z, rise);
    }
    if let (Some(length), Some(bar)) = (&readings.panhard_length_mm, &mut axle.panhard) {
        let (a, c) = (&bar.axle, &bar.chassis);
        let y = remaining(
            "readings.panhard_length_mm",
            length.value,
            [a.x_mm.value, a.z_mm.value],
            [c.x_mm.value, c.z_mm.value],
            a.y_mm.value,
            c.y_mm.value,
        )?;
        set(&mut bar.chassis.y_mm, y, length);
    }
    let ends = &mut chassis_ends(&mut axle.layout);
    for (side, (from, to)) in ends.iter_mut().enumerate() {
        if let Some(rise) = &readings.arm_rise_mm {
            set(&mut to.z_mm, from[2] + rise.value - lift + correction[1 + side], rise);
        }
        if let Some(length) = &readings.arm_length_mm {
            // A radius arm's length is read in side view, from the axle's own centreline.
            let across = if from[1].is_nan() { to.y_mm.value } else { from[1] };
            let x = remaining(
                "readings.arm_length_mm",
                length.value,
                [across, from[2]],
                [to.y_mm.value, to.z_mm.value],
                from[0],
                to.x_mm.value,
            )?;
            set(&mut to.x_mm, x, length);
        }
    }
    Ok(())
}

/// Where each arm or lower link starts and its chassis end. A radius arm starts on the axle's
/// centreline, at whatever distance across its eye is (NaN).
fn chassis_ends(layout: &mut Layout) -> Vec<([f64; 3], &mut Point)> {
    fn bar(bar: &mut Bar) -> ([f64; 3], &mut Point) {
        (bar.axle.mm(), &mut bar.chassis)
    }
    match layout {
        Layout::RadiusArms { left, right, .. } => std::iter::once(left)
            .chain(right)
            .map(|arm| ([0.0, f64::NAN, 0.0], &mut arm.chassis))
            .collect(),
        Layout::ThreeLink { lower_left, lower_right, .. }
        | Layout::FourLink { lower_left, lower_right, .. } => {
            std::iter::once(lower_left).chain(lower_right).map(bar).collect()
        }
        Layout::LeafSprings { .. } => Vec::new(),
    }
}

/// The coordinate of the far end in the direction that is left, on the side it is on now.
fn remaining(
    path: &'static str,
    length: f64,
    from: [f64; 2],
    to: [f64; 2],
    start: f64,
    now: f64,
) -> Result<f64, ReadingError> {
    let apart = (to[0] - from[0]).hypot(to[1] - from[1]);
    let rest = length * length - apart * apart;
    if rest.is_nan() || rest <= 0.0 {
        return Err(ReadingError::TooShort { path, length_mm: length, apart_mm: apart });
    }
    Ok(start + rest.sqrt() * if now < start { -1.0 } else { 1.0 })
}

fn set(coordinate: &mut Known, value: f64, reading: &Known) {
    *coordinate =
        Known { value, sigma: reading.sigma, origin: reading.origin.clone(), entered: None };
}

/// Lets the hardpoints that readings pin down lean on the readings instead of on themselves.
/// Values stay as the document has them; only what they depend on changes.
pub(super) fn lean_on<T: Real>(
    readings: &Readings,
    panhard: Option<&mut Link<T>>,
    members: &mut Members<T>,
    lift: [T; 2],
    r: &mut Reader,
) {
    let lift = (lift[0] + lift[1]) * 0.5;
    if let Some(panhard) = panhard {
        let rise =
            readings.panhard_rise_mm.as_ref().map(|k| r.read::<T>("panhard_rise_mm", k) - lift);
        let length =
            readings.panhard_length_mm.as_ref().map(|k| r.read::<T>("panhard_length_mm", k));
        lean(panhard, 1, rise, length);
    }
    // What a tape reads off a leaf spring pins down none of its points by itself.
    if matches!(members, Members::Leaves(_)) {
        return;
    }
    let rise = readings.arm_rise_mm.as_ref().map(|k| r.read::<T>("arm_rise_mm", k) - lift);
    let length = readings.arm_length_mm.as_ref().map(|k| r.read::<T>("arm_length_mm", k));
    match members {
        Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]) => {
            lean(left, 0, rise, length);
            lean(right, 0, rise, length);
        }
        Members::Arms(arms) => {
            for arm in arms {
                let o = T::from(0.0);
                let Some(bush) = &mut arm.to_chassis else { continue };
                let eye = bush.on_limb;
                let mut line =
                    Link { axle: Vector3::new(o, eye.y, o), chassis: eye, length: norm(&eye) };
                lean(&mut line, 0, rise, length);
                bush.on_limb = line.chassis;
                bush.on_body = line.chassis;
            }
        }
        Members::Leaves(_) => {}
    }
}

/// Makes a link's chassis end depend on `rise` over its axle end and on `length`, the latter
/// through the coordinate `along` (0 for x, 1 for y).
fn lean<T: Real>(link: &mut Link<T>, along: usize, rise: Option<T>, length: Option<T>) {
    let was = super::real::plain(&link.chassis);
    if let Some(rise) = rise {
        link.chassis.z = pinned(link.axle.z + rise, was.z);
    }
    if let Some(length) = length {
        let d = link.chassis - link.axle;
        let other = 1 - along;
        let rest = length * length - d[other] * d[other] - d.z * d.z;
        let span = was[along] - link.axle[along].re();
        // A document whose points disagree with its readings keeps its points.
        if rest.re() > 0.0 && span != 0.0 {
            link.chassis[along] =
                pinned(link.axle[along] + rest.sqrt() * span.signum(), was[along]);
        }
    }
    if rise.is_some() || length.is_some() {
        link.length = norm(&(link.chassis - link.axle));
    }
}

/// The same dependence, at the value the document has.
fn pinned<T: Real>(value: T, at: f64) -> T {
    value + (at - value.re())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Output, answer},
        measure::Instrument,
        truck::LayoutKind,
    };

    fn tape(value: f64) -> Known {
        Known::measured(value, Instrument::Tape)
    }

    #[test]
    fn the_pose_agrees_with_what_was_read() {
        for kind in LayoutKind::ALL {
            for end in [End::Front, End::Rear] {
                let mut axle = Axle::typical(kind, end);
                axle.sitting.lift_mm = tape(90.0);
                axle.readings.panhard_length_mm = Some(tape(870.0));
                axle.readings.panhard_rise_mm = Some(tape(128.0));
                axle.readings.arm_length_mm = Some(tape(905.0));
                axle.readings.arm_rise_mm = Some(tape(141.0));
                apply_readings(&mut axle, end).unwrap();
                let model =
                    AxleModel::of(&Truck::with_axle(axle.clone(), end), end, State::Sitting)
                        .unwrap();
                let pose = solve_ride(&model).unwrap();
                let Some(bar) = &model.fitted.panhard else { continue };
                let rise = bar.chassis.z - pose.axle.point(&bar.axle).z;
                assert!((rise - 128.0).abs() < 1e-6, "{kind:?} {end:?} rise {rise}");
                assert!((bar.length - 870.0).abs() < 1e-9, "{kind:?} length {}", bar.length);
                let lower = match &model.fitted.members {
                    Members::Arms(arms) => arms[0].to_chassis.unwrap().on_limb.xz().norm(),
                    Members::ThreeLinks(l) => l[0].length,
                    Members::FourLinks(l) => l[0].length,
                    Members::Leaves(_) => continue,
                };
                assert!((lower - 905.0).abs() < 1e-9, "{kind:?} arm {lower}");
            }
        }
    }

    #[test]
    fn each_reading_sharpens_the_answer() {
        let sigma = |axle: &Axle, output| {
            answer(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Sitting)
                .unwrap()
                .sigma
                .get(output)
                .unwrap()
        };
        let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        axle.sitting.lift_mm = tape(75.0);
        let mut before = sigma(&axle, Output::Panhard);
        axle.readings.panhard_rise_mm = Some(tape(135.0));
        apply_readings(&mut axle, End::Front).unwrap();
        let after = sigma(&axle, Output::Panhard);
        assert!(after < before * 0.5, "rise: {before} -> {after}");
        before = sigma(&axle, Output::LateralShift);
        axle.readings.panhard_length_mm = Some(tape(900.0));
        apply_readings(&mut axle, End::Front).unwrap();
        let after = sigma(&axle, Output::LateralShift);
        assert!(after < before, "length: {before} -> {after}");
    }

    #[test]
    fn a_bar_shorter_than_its_rise_is_refused_and_changes_nothing() {
        let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        let before = axle.panhard.clone();
        axle.readings.panhard_length_mm = Some(tape(50.0));
        axle.readings.panhard_rise_mm = Some(tape(135.0));
        let error = apply_readings(&mut axle, End::Front).unwrap_err();
        assert!(matches!(error, ReadingError::TooShort { .. }), "{error}");
        assert_eq!(axle.panhard, before);
    }
}
