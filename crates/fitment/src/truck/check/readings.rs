//! Checks of what was read straight off the truck.

use super::{Check, Rule, bounds};
use crate::measure::Known;
use crate::truck::{Axle, Layout, Readings};

#[inline]
pub(super) fn check(check: &mut Check, axle: &Axle) {
    let Readings { panhard_length_mm, panhard_rise_mm, arm_length_mm, arm_rise_mm } =
        &axle.readings;
    let bar = ["panhard_length_mm", "panhard_rise_mm"];
    let (length, rise) = (panhard_length_mm.as_ref(), panhard_rise_mm.as_ref());
    if axle.panhard.is_some() {
        check.maybe(bar[0], length, bounds::PANHARD_LENGTH);
        check.maybe(bar[1], rise, bounds::RISE);
        slopes(check, bar, length, rise);
    } else {
        nothing_there(check, bar, [length, rise], "Panhard bar", "Fill in `panhard` if it has one");
    }
    let arm = ["arm_length_mm", "arm_rise_mm"];
    let (length, rise) = (arm_length_mm.as_ref(), arm_rise_mm.as_ref());
    if matches!(axle.layout, Layout::LeafSprings { .. }) {
        let instead = "Correct the points of the leaf spring instead";
        nothing_there(check, arm, [length, rise], "arm or lower link", instead);
    } else {
        check.maybe(arm[0], length, bounds::ARM_LENGTH);
        check.maybe(arm[1], rise, bounds::RISE);
        slopes(check, arm, length, rise);
    }
}

/// Readings of what the axle does not have.
#[inline]
fn nothing_there(
    check: &mut Check,
    names: [&str; 2],
    readings: [Option<&Known>; 2],
    what: &str,
    instead: &str,
) {
    for (name, reading) in names.into_iter().zip(readings) {
        if let Some(reading) = reading {
            check.problem(
                name,
                format!("{} mm", reading.value),
                Rule::Agrees,
                format!("This axle has no {what} to read. {instead}, or take the reading out."),
            );
        }
    }
}

/// A bar cannot rise by more than it is long.
#[inline]
fn slopes(check: &mut Check, names: [&str; 2], length: Option<&Known>, rise: Option<&Known>) {
    let (Some(length), Some(rise)) = (length, rise) else { return };
    if rise.value.is_finite() && rise.value.abs() >= length.value {
        check.problem(
            names[0],
            format!("{} mm long, its ends {} mm apart in height", length.value, rise.value.abs()),
            Rule::Agrees,
            format!(
                "Impossible as measured: shorter than its own drop. Measure `{}` from bolt centre \
                 to bolt centre and `{}` as the difference of the two bolts' heights.",
                names[0], names[1]
            ),
        );
    }
}
