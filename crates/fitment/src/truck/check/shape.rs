//! Points and two-ended members: there, apart, and on the side they belong to.

use super::{Check, Rule, bounds};
use crate::measure::Known;
use crate::truck::{Bar, Point, Side};

#[inline]
pub(super) fn point(check: &mut Check, name: &str, point: &Point) -> bool {
    let before = check.problems.len();
    check.within(name, |check| {
        check.known("x_mm", &point.x_mm, bounds::POINT_X);
        check.known("y_mm", &point.y_mm, bounds::POINT_Y);
        check.known("z_mm", &point.z_mm, bounds::POINT_Z);
    });
    check.problems.len() == before
}

/// A bar that is there at all.
#[inline]
pub(super) fn link(check: &mut Check, bar: &Bar) -> bool {
    let axle = point(check, "axle", &bar.axle);
    let chassis = point(check, "chassis", &bar.chassis);
    if !(axle && chassis) {
        return false;
    }
    let length = distance(&bar.axle, &bar.chassis);
    let fine = length >= bounds::SHORTEST_LINK_MM;
    if !fine {
        too_short(check, "chassis", length);
    }
    fine
}

/// A left bar lies left of the centreline with both ends, a right one right of it.
#[inline]
pub(super) fn bar_on_side(check: &mut Check, bar: &Bar, side: Side) {
    on_side(check, "axle.y_mm", &bar.axle.y_mm, side);
    on_side(check, "chassis.y_mm", &bar.chassis.y_mm, side);
}

/// A left part must lie left of the centreline, a right one right of it; false when it does not.
#[inline]
pub(super) fn on_side(check: &mut Check, name: &str, y: &Known, side: Side) -> bool {
    let wrong = y.value.is_finite() && y.value * side.sign() <= 0.0;
    if wrong {
        let (which, sign) = match side {
            Side::Left => ("left", "positive"),
            Side::Right => ("right", "negative"),
        };
        check.problem(
            name,
            format!("{} mm", y.value),
            Rule::Agrees,
            format!("This is the {which} side: its distance left of centre must be {sign}."),
        );
    }
    !wrong
}

/// Two ends of a member too near each other.
#[inline]
pub(super) fn too_short(check: &mut Check, name: &str, length: f64) {
    check.problem(
        name,
        format!("{length:.1} mm from the axle end"),
        Rule::Apart,
        format!(
            "The two ends must be at least {} mm apart. Check the signs of the distances ahead of \
             the axle: behind it is negative.",
            bounds::SHORTEST_LINK_MM
        ),
    );
}

/// From one point to another, mm.
#[inline]
pub(super) fn between(a: &Point, b: &Point) -> [f64; 3] {
    let (a, b) = (a.mm(), b.mm());
    [0, 1, 2].map(|i| b[i] - a[i])
}

/// Distance of two points, mm.
#[inline]
pub(super) fn distance(a: &Point, b: &Point) -> f64 {
    let [x, y, z] = between(a, b);
    x.hypot(y).hypot(z)
}
