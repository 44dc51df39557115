//! Checks of corrections, fitted or on the shelf.

use super::{Check, Rule, bounds, setup};
use crate::measure::Known;
use crate::truck::bounds::Bound;
use crate::truck::{Axle, Hole, Layout, Part, Shelf};

/// The part by itself.
pub(super) fn check(check: &mut Check, part: &Part) {
    match part {
        Part::PanhardAxleBracket { holes, hole } => {
            check.within("panhard_axle_bracket", |check| bracket(check, holes, *hole));
        }
        Part::PanhardChassisBracket { holes, hole } => {
            check.within("panhard_chassis_bracket", |check| bracket(check, holes, *hole));
        }
        Part::ArmBracket { holes, hole } => {
            check.within("arm_bracket", |check| bracket(check, holes, *hole));
        }
        Part::PanhardLength { change_mm, range_mm } => {
            check.within("panhard_length", |check| length(check, change_mm, *range_mm));
        }
        Part::DragLinkLength { change_mm, range_mm } => {
            check.within("drag_link_length", |check| length(check, change_mm, *range_mm));
        }
        Part::UpperLinkLength { change_mm, range_mm } => {
            check.within("upper_link_length", |check| length(check, change_mm, *range_mm));
        }
        Part::ArchTrim { depth_mm } => {
            check.within("arch_trim", |check| {
                check.known("depth_mm", depth_mm, bounds::ARCH_TRIM);
            });
        }
        Part::BumpStop { change_mm, range_mm } => {
            check.within("bump_stop", |check| {
                let fields = ("change_mm", change_mm, "range_mm", *range_mm);
                settable(check, fields, bounds::BUMP_STOP);
            });
        }
        Part::SteeringStop { lock_deg, range_deg } => {
            check.within("steering_stop", |check| {
                let fields = ("lock_deg", lock_deg, "range_deg", *range_deg);
                settable(check, fields, bounds::LOCK);
            });
        }
        Part::CasterBush { angle_deg, choices_deg } => {
            check.within("caster_bush", |check| {
                check.known("angle_deg", angle_deg, bounds::CASTER_BUSH);
                check.each("choices_deg", choices_deg, |check, choice| {
                    check.number("", *choice, bounds::CASTER_BUSH);
                });
            });
        }
    }
}

/// The part on this axle. The shelf may hold parts for another.
pub(super) fn fits(check: &mut Check, part: &Part, axle: &Axle) {
    let arms = matches!(axle.layout, Layout::RadiusArms { .. });
    let leaves = matches!(axle.layout, Layout::LeafSprings { .. });
    let links = !arms && !leaves;
    let caster = if links {
        "change the upper link's length instead"
    } else {
        "count the shims under the springs into `kingpin.caster_deg`"
    };
    let upper = if arms { "turn the axle by caster bushes instead" } else { caster };
    let bar = "fill in `panhard`";
    let (fits, found, needs, instead) = match part {
        Part::CasterBush { .. } => (arms, "caster bush", "radius arms", caster),
        Part::UpperLinkLength { .. } => (links, "upper link", "three or four links", upper),
        Part::PanhardAxleBracket { .. } | Part::PanhardChassisBracket { .. } => {
            (axle.panhard.is_some(), "Panhard bracket", "a Panhard bar", bar)
        }
        Part::PanhardLength { .. } => {
            (axle.panhard.is_some(), "Panhard bar's length", "a Panhard bar", bar)
        }
        Part::ArmBracket { .. } => {
            (!leaves, "arm bracket", "arms or lower links", "correct the points of the leaf spring")
        }
        Part::DragLinkLength { .. } => {
            (axle.steering.is_some(), "drag link", "a steering linkage", "fill in `steering`")
        }
        Part::ArchTrim { .. } => (
            axle.surroundings.arch.is_some(),
            "arch trim",
            "a wheel arch",
            "fill in `surroundings.arch`",
        ),
        Part::SteeringStop { .. } => {
            (axle.kingpin.is_some(), "steering stop", "wheels that steer", "fill in `kingpin`")
        }
        Part::BumpStop { .. } => return,
    };
    if !fits {
        let remedy = format!("It only fits an axle with {needs}. Take it off, or {instead}.");
        check.problem("", found.into(), Rule::Fits, remedy);
    }
}

pub(super) fn shelf(check: &mut Check, shelf: &Shelf) {
    check.each("parts", &shelf.parts, self::check);
    check.each("spacers_mm", &shelf.spacers_mm, |check, spacer| {
        check.known("", spacer, bounds::SPACER);
    });
    check.each("wheels", &shelf.wheels, |check, wheel| {
        check.known("width_mm", &wheel.width_mm, bounds::WHEEL_WIDTH);
        setup::wheel_on_hub(check, wheel);
    });
}

fn bracket(check: &mut Check, holes: &[Hole], hole: usize) {
    check.each("holes", holes, |check, hole| {
        check.text("name", &hole.name);
        check.known("x_mm", &hole.x_mm, bounds::HOLE);
        check.known("y_mm", &hole.y_mm, bounds::HOLE);
        check.known("z_mm", &hole.z_mm, bounds::HOLE);
    });
    if holes.is_empty() {
        let remedy =
            "A bracket has at least one hole. Add it with its distance from the stock hole.";
        check.problem("holes", "none".into(), Rule::Range, remedy.into());
    } else if hole >= holes.len() {
        check.problem(
            "hole",
            format!("hole number {hole}"),
            Rule::Agrees,
            format!("Holes are counted from 0; pick 0 to {}.", holes.len() - 1),
        );
    }
}

fn length(check: &mut Check, change: &Known, range: [f64; 2]) {
    settable(check, ("change_mm", change, "range_mm", range), bounds::LENGTH_CHANGE);
}

/// A number that can be set within a range of its own.
fn settable(
    check: &mut Check,
    (name, set, range_name, [least, most]): (&str, &Known, &str, [f64; 2]),
    bound: Bound,
) {
    let mut fine = check.known(name, set, bound);
    fine &= check.number(&format!("{range_name}[0]"), least, bound);
    fine &= check.number(&format!("{range_name}[1]"), most, bound);
    if !fine {
        return;
    }
    let unit = bound.unit;
    if least > most {
        check.problem(
            range_name,
            format!("{least} to {most} {unit}"),
            Rule::Agrees,
            "Give the smallest first, then the largest.".into(),
        );
    } else if !(least <= set.value && set.value <= most) {
        check.problem(
            name,
            format!("{} {unit}", set.value),
            Rule::Agrees,
            format!("It can only be set from {least} to {most} {unit}. Correct one of the two."),
        );
    }
}
