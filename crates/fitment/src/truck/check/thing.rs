//! Checks of things beside the wheel.

use super::shape::{distance, point};
use super::{Check, Rule, bounds};
use crate::measure::Known;
use crate::truck::{Corner, Mount, Shape, Thing};

#[inline]
pub(super) fn check(check: &mut Check, thing: &Thing) {
    check.text("name", &thing.name);
    check.within("shape", |check| shape(check, &thing.shape));
    carried(check, thing);
}

/// What carries it must be able to.
#[inline]
fn carried(check: &mut Check, thing: &Thing) {
    let (found, remedy) = match (&thing.shape, thing.on) {
        (Shape::Bar { .. }, Mount::Between) => return,
        (_, Mount::Between) => (
            "between axle and chassis",
            "Only a bar has an end on the axle and one on the chassis. Choose what carries this one.",
        ),
        (Shape::InsideWheel { .. }, Mount::Chassis) => (
            "on the chassis",
            "What sits inside the wheel rides on the knuckle or the axle. Choose one of these.",
        ),
        _ => return,
    };
    check.problem("on", found.into(), Rule::Agrees, remedy.into());
}

#[inline]
fn shape(check: &mut Check, shape: &Shape) {
    match shape {
        Shape::Box { front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm } => {
            check.known("front_mm", front_mm, bounds::THING_ALONG);
            check.known("rear_mm", rear_mm, bounds::THING_ALONG);
            above(check, ("front_mm", front_mm), ("rear_mm", rear_mm));
            check.known("inner_mm", inner_mm, bounds::THING_OUT);
            check.known("outer_mm", outer_mm, bounds::THING_OUT);
            above(check, ("outer_mm", outer_mm), ("inner_mm", inner_mm));
            check.known("bottom_mm", bottom_mm, bounds::THING_HEIGHT);
            check.known("top_mm", top_mm, bounds::THING_HEIGHT);
            above(check, ("top_mm", top_mm), ("bottom_mm", bottom_mm));
        }
        Shape::Bar { from, to, radius_mm } => {
            let fine = point(check, "from", from) & point(check, "to", to);
            if fine && distance(from, to) < bounds::SHORTEST_SIDE_MM {
                apart(check, "to", "The bar's two ends");
            }
            check.known("radius_mm", radius_mm, bounds::THING_RADIUS);
        }
        Shape::Outline { view: _, corners, from_mm, to_mm } => {
            outline(check, corners);
            check.known("from_mm", from_mm, bounds::OUTLINE);
            check.known("to_mm", to_mm, bounds::OUTLINE);
            above(check, ("to_mm", to_mm), ("from_mm", from_mm));
        }
        Shape::InsideWheel { reach_mm, inboard_mm, outboard_mm } => {
            check.known("reach_mm", reach_mm, bounds::INSIDE_REACH);
            let ends = check.known("inboard_mm", inboard_mm, bounds::INSIDE_END)
                & check.known("outboard_mm", outboard_mm, bounds::INSIDE_END);
            if ends && inboard_mm.value + outboard_mm.value <= 0.0 {
                check.problem(
                    "outboard_mm",
                    format!("{} mm, inboard_mm {} mm", outboard_mm.value, inboard_mm.value),
                    Rule::Apart,
                    "Its outboard end must lie outboard of its inboard end. Check the signs: what \
                     lies inboard of the mounting face has a negative `outboard_mm`."
                        .into(),
                );
            }
        }
    }
}

#[inline]
fn outline(check: &mut Check, corners: &[Corner]) {
    let before = check.problems.len();
    check.each("corners", corners, |check, corner| {
        check.known("a_mm", &corner.a_mm, bounds::OUTLINE);
        check.known("b_mm", &corner.b_mm, bounds::OUTLINE);
    });
    if check.problems.len() > before {
        return;
    }
    if corners.len() < bounds::FEWEST_CORNERS {
        check.problem(
            "corners",
            format!("{} corners", corners.len()),
            Rule::Range,
            format!("An outline has at least {} corners. Trace it again.", bounds::FEWEST_CORNERS),
        );
        return;
    }
    let next = corners.iter().skip(1).chain(corners.first());
    for (at, (one, other)) in corners.iter().zip(next).enumerate() {
        let side = (other.a_mm.value - one.a_mm.value).hypot(other.b_mm.value - one.b_mm.value);
        if side < bounds::SHORTEST_SIDE_MM {
            apart(check, &format!("corners[{at}]"), "This corner and the next");
            return;
        }
    }
}

#[inline]
fn apart(check: &mut Check, name: &str, what: &str) {
    check.problem(
        name,
        format!("less than {} mm away", bounds::SHORTEST_SIDE_MM),
        Rule::Apart,
        format!("{what} must be apart. Measure both again, or take one out."),
    );
}

/// The first must be greater than the second, which says nothing when either is not a number.
#[inline]
pub(super) fn above(
    check: &mut Check,
    (name, greater): (&str, &Known),
    (other_name, less): (&str, &Known),
) {
    let numbers = greater.value.is_finite() && less.value.is_finite();
    if numbers && greater.value <= less.value {
        check.problem(
            name,
            format!("{} mm, {other_name} {} mm", greater.value, less.value),
            Rule::Apart,
            format!("`{name}` must be greater than `{other_name}`. Measure both again."),
        );
    }
}
