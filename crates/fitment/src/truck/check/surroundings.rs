//! Checks of what the tire must clear.

use super::thing::above;
use super::{Check, bounds, thing};
use crate::truck::{Arch, Rail, Surroundings};

#[inline]
pub(super) fn check(check: &mut Check, around: &Surroundings) {
    if let Some(it) = &around.rail {
        check.within("rail", |check| rail(check, it));
    }
    if let Some(it) = &around.arch {
        check.within("arch", |check| arch(check, it));
    }
    check.maybe("arm_radius_mm", around.arm_radius_mm.as_ref(), bounds::ARM_RADIUS);
    check.each("things", &around.things, thing::check);
}

#[inline]
fn rail(check: &mut Check, rail: &Rail) {
    check.known("outer_mm", &rail.outer_mm, bounds::RAIL_OUTER);
    check.known("bottom_mm", &rail.bottom_mm, bounds::RAIL_HEIGHT);
    check.known("top_mm", &rail.top_mm, bounds::RAIL_HEIGHT);
    above(check, ("top_mm", &rail.top_mm), ("bottom_mm", &rail.bottom_mm));
    check.known("front_mm", &rail.front_mm, bounds::RAIL_END);
    check.known("rear_mm", &rail.rear_mm, bounds::RAIL_END);
    above(check, ("front_mm", &rail.front_mm), ("rear_mm", &rail.rear_mm));
}

#[inline]
fn arch(check: &mut Check, arch: &Arch) {
    check.known("top_mm", &arch.top_mm, bounds::ARCH_TOP);
    check.known("front_mm", &arch.front_mm, bounds::ARCH_END);
    check.known("rear_mm", &arch.rear_mm, bounds::ARCH_END);
    check.known("lip_mm", &arch.lip_mm, bounds::ARCH_LIP);
    check.known("inner_mm", &arch.inner_mm, bounds::ARCH_INNER);
    above(check, ("lip_mm", &arch.lip_mm), ("inner_mm", &arch.inner_mm));
}
