//! Checks of corrections, fitted or on the shelf.

use super::{Check, Rule, bounds, setup};
use crate::measure::Known;
use crate::truck::bounds::Bound;
use crate::truck::{Axle, Hole, Part, Shelf, Wheel};

/// The part by itself.
#[inline]
pub(super) fn check(check: &mut Check, part: &Part) {
    let bound = part.kind().traits().bound;
    match part {
        Part::Bracket { holes, hole, .. } => {
            check.within("bracket", |check| bracket(check, holes, *hole));
        }
        Part::Length { change_mm, range_mm, .. } => {
            check.within("length", |check| {
                settable(check, ("change_mm", change_mm, "range_mm", *range_mm), bound);
            });
        }
        Part::Turn { angle_deg, choices_deg, .. } => {
            check.within("turn", |check| {
                check.known("angle_deg", angle_deg, bound);
                choices(check, "choices_deg", choices_deg, bound);
            });
        }
        Part::Step { step_mm, choices_mm, .. } => {
            check.within("step", |check| {
                check.known("step_mm", step_mm, bound);
                choices(check, "choices_mm", choices_mm, bound);
            });
        }
        Part::Bend { x_mm, y_mm, z_mm } => {
            check.within("bend", |check| {
                for (name, known) in [("x_mm", x_mm), ("y_mm", y_mm), ("z_mm", z_mm)] {
                    check.known(name, known, bound);
                }
            });
        }
        Part::ArchTrim { depth_mm } => {
            check.within("arch_trim", |check| {
                check.known("depth_mm", depth_mm, bound);
            });
        }
        Part::SteeringStop { lock_deg, range_deg } => {
            check.within("steering_stop", |check| {
                settable(check, ("lock_deg", lock_deg, "range_deg", *range_deg), bound);
            });
        }
        Part::DoubleCardan {} => {}
        Part::Wheel { wheel } => {
            check.within("wheel.wheel", |check| {
                check.known("width_mm", &wheel.width_mm, bounds::WHEEL_WIDTH);
                setup::wheel_on_hub(check, wheel);
            });
        }
        // Whatever wheel it goes on, its numbers must make a tire.
        Part::Tire { tire } => {
            let wheel = Wheel::new(Known::exact(203.2), Known::exact(0.0));
            check.within("tire", |check| setup::tire_on(check, tire, &wheel));
        }
    }
}

/// The part on this axle. The shelf may hold parts for another.
#[inline]
pub(super) fn fits(check: &mut Check, part: &Part, axle: &Axle) {
    let traits = part.kind().traits();
    let needs = traits.needs;
    if !needs.met(axle) {
        let (words, instead) = (needs.words(), needs.instead(axle));
        let remedy = format!("It only fits an axle with {words}. Take it off, or {instead}.");
        check.problem("", traits.label.into(), Rule::Fits, remedy);
    }
}

#[inline]
pub(super) fn shelf(check: &mut Check, shelf: &Shelf) {
    check.each("parts", &shelf.parts, |check, offer| {
        check.within("part", |check| self::check(check, &offer.part));
        check.text("name", &offer.name);
        check.maybe("price", offer.price.as_ref(), bounds::PRICE);
        check.maybe("hours", offer.hours.as_ref(), bounds::HOURS);
    });
}

#[inline]
fn choices(check: &mut Check, name: &str, choices: &[f64], bound: &Bound) {
    check.each(name, choices, |check, choice| {
        check.number("", *choice, bound);
    });
}

#[inline]
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

/// A number that can be set within a range of its own.
#[inline]
fn settable(
    check: &mut Check,
    (name, set, range_name, [least, most]): (&str, &Known, &str, [f64; 2]),
    bound: &Bound,
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
