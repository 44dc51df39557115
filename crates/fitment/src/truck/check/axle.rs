//! Checks of one axle, field by field: what has a room of its own and what is small.

use super::shape::{bar_on_side, link};
use super::{
    Check, Rule, bounds, lateral, layout, part, readings, rest, setup, steering, surroundings,
};
use crate::truck::{Axle, Bar, Kingpin, Limits, Pinion, Side, State};

#[inline]
pub(super) fn check(check: &mut Check, axle: &Axle) {
    check.known("hub_face_width_mm", &axle.hub_face_width_mm, bounds::HUB_FACE_WIDTH);
    check.within("layout", |check| layout::check(check, &axle.layout));
    lateral::check(check, axle);
    if let Some(pin) = &axle.kingpin {
        check.within("kingpin", |check| kingpin(check, pin));
    }
    if let Some(linkage) = &axle.steering {
        check.within("steering", |check| steering::check(check, axle, linkage));
    }
    if let Some(bar) = &axle.spring {
        check.within("spring", |check| spring(check, bar));
    }
    if let Some(bar) = &axle.shock {
        check.within("shock", |check| {
            mount(check, bar);
        });
    }
    check.within("pinion", |check| pinion(check, &axle.pinion));
    if let Some(line) = &axle.driveline {
        check.within("driveline", |check| rest::driveline(check, line));
    }
    if let Some(it) = &axle.hose {
        check.within("hose", |check| rest::hose(check, it, axle.kingpin.is_some()));
    }
    check.within("springing", |check| rest::springing(check, &axle.springing));
    check.within("overhang", |check| rest::overhang(check, &axle.overhang));
    check.within("limits", |check| limits(check, &axle.limits, axle.kingpin.is_some()));
    check.within("surroundings", |check| surroundings::check(check, &axle.surroundings));
    for (name, state) in
        [("stock", State::Stock), ("sitting", State::Sitting), ("planned", State::Planned)]
    {
        check.within(name, |check| setup::check(check, axle, state));
    }
    check.within("shelf", |check| part::shelf(check, &axle.shelf));
    check.within("readings", |check| readings::check(check, axle));
}

/// A coil spring, which pushes the chassis up.
#[inline]
fn spring(check: &mut Check, bar: &Bar) {
    let (low, high) = (bar.axle.z_mm.value, bar.chassis.z_mm.value);
    if mount(check, bar) && high <= low {
        check.problem(
            "chassis.z_mm",
            format!("{high} mm, its end on the axle {low} mm"),
            Rule::Agrees,
            "A coil spring's seat on the chassis is the higher one. Check which end is which and \
             the signs of the heights."
                .into(),
        );
    }
}

/// The left spring or shock; true when its points are fine.
#[inline]
fn mount(check: &mut Check, bar: &Bar) -> bool {
    let fine = link(check, bar);
    bar_on_side(check, bar, Side::Left);
    fine
}

#[inline]
fn kingpin(check: &mut Check, pin: &Kingpin) {
    check.known("caster_deg", &pin.caster_deg, bounds::CASTER);
    check.known("inclination_deg", &pin.inclination_deg, bounds::INCLINATION);
    check.known("hub_offset_mm", &pin.hub_offset_mm, bounds::HUB_OFFSET);
    check.known("hub_trail_mm", &pin.hub_trail_mm, bounds::HUB_TRAIL);
}

#[inline]
fn pinion(check: &mut Check, pinion: &Pinion) {
    check.known("angle_deg", &pinion.angle_deg, bounds::PINION_ANGLE);
    check.known("length_mm", &pinion.length_mm, bounds::PINION_LENGTH);
    check.known("y_mm", &pinion.y_mm, bounds::PINION_Y);
}

#[inline]
fn limits(check: &mut Check, limits: &Limits, steers: bool) {
    check.known("bump_mm", &limits.bump_mm, bounds::BUMP);
    check.known("droop_mm", &limits.droop_mm, bounds::DROOP);
    let lock = check.known("lock_deg", &limits.lock_deg, bounds::LOCK);
    if lock && !steers && limits.lock_deg.value > 0.0 {
        check.problem(
            "lock_deg",
            format!("{} °", limits.lock_deg.value),
            Rule::Agrees,
            "This axle has no steering axis, so its largest steer must be 0. Fill in `kingpin` if \
             it steers."
                .into(),
        );
    }
}
