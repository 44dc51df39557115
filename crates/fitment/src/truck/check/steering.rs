//! Checks of the steering linkage: arms that can swing and joints on the right side.

use super::shape::{between, distance, on_side, point};
use super::{Check, Rule, bounds};
use crate::truck::{Axle, Joins, Kingpin, Pitman, Point, Shaft, Side, Steering};

#[inline]
pub(super) fn check(check: &mut Check, axle: &Axle, steering: &Steering) {
    let Steering { pitman, drag_link, tie_rod, ratio } = steering;
    let axes = axle.kingpin.as_ref().map(|pin| (pin, axle.hub_face_width_mm.value * 0.5));
    if axes.is_none() {
        check.problem(
            "",
            "a steering linkage without steering axes".into(),
            Rule::Agrees,
            "The knuckles turn about the steering axes. Fill in `kingpin`, or take the linkage out \
             if this axle does not steer."
                .into(),
        );
    }
    let mut pitman_fine = false;
    check.within("pitman", |check| pitman_fine = self::pitman(check, pitman));
    let right = tie_rod.right.clone().unwrap_or_else(|| mirrored(&tie_rod.left));
    let mut rod_fine = false;
    check.within("drag_link", |check| {
        let end_fine = point(check, "end", &drag_link.end);
        if end_fine && pitman_fine {
            apart(check, "end", "the pitman arm's end", distance(&pitman.end, &drag_link.end));
        }
        let side = match drag_link.joins {
            Joins::LeftKnuckle => Side::Left,
            Joins::RightKnuckle => Side::Right,
            Joins::TieRod => return,
        };
        on_this_side(check, "end.y_mm", &drag_link.end, side);
        if end_fine && let Some(axes) = axes {
            steering_arm(check, "end", &drag_link.end, axes, side);
        }
    });
    check.within("tie_rod", |check| {
        rod_fine = ball(check, "left", &tie_rod.left, axes, Side::Left);
        if let Some(right) = &tie_rod.right {
            rod_fine &= ball(check, "right", right, axes, Side::Right);
        }
        if rod_fine {
            let name = if tie_rod.right.is_some() { "right" } else { "left" };
            apart(check, name, "the other ball joint", distance(&tie_rod.left, &right));
        }
    });
    if rod_fine && drag_link.joins == Joins::TieRod {
        on_the_rod(check, &drag_link.end, &tie_rod.left, &right);
    }
    check.known("ratio", ratio, bounds::STEERING_RATIO);
}

#[inline]
fn pitman(check: &mut Check, pitman: &Pitman) -> bool {
    let pivot = point(check, "pivot", &pitman.pivot);
    let fine = point(check, "end", &pitman.end) && pivot;
    let [x, y, z] = between(&pitman.pivot, &pitman.end);
    // What lies along the shaft does not swing.
    let (swing, seen) = match pitman.shaft {
        Shaft::Upright => (x.hypot(y), "from above"),
        Shaft::Across => (x.hypot(z), "from the side"),
    };
    if fine && swing < bounds::SHORTEST_PITMAN_MM {
        check.problem(
            "end",
            format!("{swing:.1} mm from the shaft, seen {seen}"),
            Rule::Apart,
            format!(
                "A pitman arm swings on at least {} mm. Check both points, and which way `shaft` \
                 says the box's output shaft lies.",
                bounds::SHORTEST_PITMAN_MM
            ),
        );
    }
    fine
}

/// A tie rod's ball joint on its knuckle; true when it is where it belongs.
#[inline]
fn ball(
    check: &mut Check,
    name: &str,
    at: &Point,
    axes: Option<(&Kingpin, f64)>,
    side: Side,
) -> bool {
    let fine = point(check, name, at);
    let there = on_side(check, &format!("{name}.y_mm"), &at.y_mm, side);
    if fine && let Some(axes) = axes {
        steering_arm(check, name, at, axes, side);
    }
    fine && there
}

/// A joint on a knuckle turns with it only away from the steering axis.
#[inline]
fn steering_arm(
    check: &mut Check,
    name: &str,
    joint: &Point,
    (pin, half_width): (&Kingpin, f64),
    side: Side,
) {
    let arm = from_axis(joint, pin, half_width, side);
    if arm < bounds::SHORTEST_STEERING_ARM_MM {
        check.problem(
            name,
            format!("{arm:.1} mm from the steering axis"),
            Rule::Apart,
            format!(
                "A joint this near the steering axis cannot turn the knuckle; it must be at least \
                 {} mm from it. Check how far ahead of the axle the joint lies, and `kingpin`.",
                bounds::SHORTEST_STEERING_ARM_MM
            ),
        );
    }
}

/// Distance of a point from a side's steering axis, mm.
#[inline]
fn from_axis(at: &Point, pin: &Kingpin, half_width: f64, side: Side) -> f64 {
    let sign = side.sign();
    let rest = [
        at.x_mm.value - pin.hub_trail_mm.value,
        at.y_mm.value - sign * (half_width - pin.hub_offset_mm.value),
        at.z_mm.value,
    ];
    let axis = [
        -pin.caster_deg.value.to_radians().tan(),
        -sign * pin.inclination_deg.value.to_radians().tan(),
        1.0,
    ];
    let cross = [
        rest[1] * axis[2] - rest[2] * axis[1],
        rest[2] * axis[0] - rest[0] * axis[2],
        rest[0] * axis[1] - rest[1] * axis[0],
    ];
    length(cross) / length(axis)
}

/// The side the drag link's joint lies on must be the side of the knuckle it is said to join.
#[inline]
fn on_this_side(check: &mut Check, name: &str, end: &Point, side: Side) {
    let y = end.y_mm.value;
    if y.is_finite() && y * side.sign() <= 0.0 {
        let (knuckle, sign) = match side {
            Side::Left => ("left", "positive"),
            Side::Right => ("right", "negative"),
        };
        check.problem(
            name,
            format!("{y} mm"),
            Rule::Agrees,
            format!(
                "`joins` says that this joint is on the {knuckle} knuckle, so its distance left of \
                 centre must be {sign}. Correct one of the two."
            ),
        );
    }
}

/// A joint that a tie rod carries lies between the rod's ends and near its line.
#[inline]
fn on_the_rod(check: &mut Check, joint: &Point, left: &Point, right: &Point) {
    let (rod, to) = (between(left, right), between(left, joint));
    let (long, along) = (length(rod), rod[0] * to[0] + rod[1] * to[1] + rod[2] * to[2]);
    let share = along / (long * long);
    let beside = (length(to).powi(2) - (along / long).powi(2)).max(0.0).sqrt();
    let found = if !(0.0..=1.0).contains(&share) {
        format!("{:.0} mm along the tie rod from its left joint, {long:.0} mm long", along / long)
    } else if beside > bounds::BESIDE_TIE_ROD_MM {
        format!("{beside:.0} mm beside the tie rod")
    } else {
        return;
    };
    // A point that is no number has its own problem.
    if share.is_finite() {
        check.problem(
            "drag_link.end",
            found,
            Rule::Agrees,
            format!(
                "`joins` says that the tie rod carries this joint, so it lies between the rod's \
                 two ends and at most {} mm from it. Correct one of the two.",
                bounds::BESIDE_TIE_ROD_MM
            ),
        );
    }
}

#[inline]
fn apart(check: &mut Check, name: &str, from: &str, length: f64) {
    if length < bounds::SHORTEST_LINK_MM {
        check.problem(
            name,
            format!("{length:.1} mm from {from}"),
            Rule::Apart,
            format!(
                "The two must be at least {} mm apart. Measure both again.",
                bounds::SHORTEST_LINK_MM
            ),
        );
    }
}

#[inline]
fn mirrored(point: &Point) -> Point {
    let mut mirrored = point.clone();
    mirrored.y_mm.value = -point.y_mm.value;
    mirrored
}

#[inline]
fn length([x, y, z]: [f64; 3]) -> f64 {
    x.hypot(y).hypot(z)
}
