//! Checks of what holds the axle sideways: exactly one thing, and one that can.

use super::shape::{between, distance, link, point};
use super::{Check, Rule, bounds};
use crate::truck::{Axle, Bar, Carrier, Layout, Point, Watts};

#[inline]
pub(super) fn check(check: &mut Check, axle: &Axle) {
    if axle.panhard.is_none() && axle.watts.is_none() {
        nothing(check, &axle.layout);
    }
    if let Some(bar) = &axle.panhard {
        check.within("panhard", |check| panhard(check, bar));
    }
    if let Some(linkage) = &axle.watts {
        check.within("watts", |check| {
            if axle.panhard.is_some() {
                check.problem(
                    "",
                    "a Watts linkage beside a Panhard bar".into(),
                    Rule::Fits,
                    "Two things would hold the axle sideways and fight each other. Keep the one \
                     that is on the truck and take out the other."
                        .into(),
                );
            }
            watts(check, linkage);
        });
    }
}

/// Neither bar nor Watts linkage: the layout must hold the axle sideways by itself.
#[inline]
fn nothing(check: &mut Check, layout: &Layout) {
    let why = match layout {
        Layout::LeafSprings { .. } => return,
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            let pairs = [(lower_left, lower_right.as_ref()), (upper_left, upper_right.as_ref())];
            if pairs.into_iter().any(|(left, right)| spread(left, right)) {
                return;
            }
            "Four links that run nearly straight fore and aft"
        }
        Layout::RadiusArms { .. } => "Radius arms",
        Layout::ThreeLink { .. } => "Three links",
    };
    check.problem(
        "panhard",
        "neither a Panhard bar nor a Watts linkage".into(),
        Rule::Agrees,
        format!(
            "{why} do not hold the axle sideways. Fill in `panhard` or `watts`, whichever is on \
             the truck."
        ),
    );
}

/// Whether a pair of links runs far enough sideways to hold the axle. Points that are no numbers
/// have their own problems.
#[inline]
fn spread(left: &Bar, right: Option<&Bar>) -> bool {
    let [x, y, _] = between(&left.axle, &left.chassis);
    let [xr, yr, _] = right.map_or([x, -y, 0.0], |bar| between(&bar.axle, &bar.chassis));
    let along = x.abs() + xr.abs();
    // Mirrored links run opposite ways; two that lean the same way hold nothing between them.
    let across = (y - yr).abs();
    across.is_nan() || along.is_nan() || across >= along * bounds::TRIANGULATED
}

#[inline]
fn panhard(check: &mut Check, bar: &Bar) {
    if link(check, bar)
        && let Some(off) = off_sideways(bar)
    {
        check.problem(
            "",
            format!("{off:.0}° from straight across"),
            Rule::Agrees,
            "A Panhard bar runs across the truck, one end on each side; this one stands nearly \
             upright or lengthwise and would not hold the axle sideways. Check the ends' left \
             (positive) and right (negative), and which number is height."
                .into(),
        );
    }
}

/// How far a bar is from straight across, degrees, when that is too much to hold the axle.
#[inline]
fn off_sideways(bar: &Bar) -> Option<f64> {
    let [_, across, _] = between(&bar.axle, &bar.chassis);
    let share = across.abs() / distance(&bar.axle, &bar.chassis);
    (share < bounds::PANHARD_SIDEWAYS).then(|| share.acos().to_degrees())
}

#[inline]
fn watts(check: &mut Check, watts: &Watts) {
    let Watts { crank_on, pivot, left, right } = watts;
    let ends = |bar| on_and_off_crank(*crank_on, bar);
    let mut fine = point(check, "pivot", pivot);
    let mut arms = [[0.0; 2]; 2];
    for ((name, bar, to_left), arm) in
        [("left", left, true), ("right", right, false)].into_iter().zip(&mut arms)
    {
        let mut whole = false;
        check.within(name, |check| {
            whole = link(check, bar) && runs(check, bar, *crank_on, to_left);
        });
        fine &= whole;
        let [_, y, z] = between(pivot, ends(bar).0);
        *arm = [y, z];
        if whole && fine && y.hypot(z) < bounds::SHORTEST_CRANK_ARM_MM {
            fine = false;
            check.problem(
                name,
                format!("{:.1} mm from the pivot", y.hypot(z)),
                Rule::Apart,
                format!(
                    "Each link meets the crank at least {} mm from its pivot, seen from the front. \
                     Measure both again.",
                    bounds::SHORTEST_CRANK_ARM_MM
                ),
            );
        }
    }
    let [[ly, lz], [ry, rz]] = arms;
    if fine && ly * ry + lz * rz >= 0.0 {
        check.problem(
            "right",
            "on the same side of the pivot as the left link".into(),
            Rule::Agrees,
            "The two links meet the crank on opposite sides of its pivot: most often one above it \
             and one below. Check the heights of the three points on the crank."
                .into(),
        );
    }
}

/// A link's end on the crank and its other end.
#[inline]
const fn on_and_off_crank(crank_on: Carrier, bar: &Bar) -> (&Point, &Point) {
    match crank_on {
        Carrier::Axle => (&bar.axle, &bar.chassis),
        Carrier::Chassis => (&bar.chassis, &bar.axle),
    }
}

/// From the crank the left link runs to the left and the right link to the right, well sideways.
#[inline]
fn runs(check: &mut Check, bar: &Bar, crank_on: Carrier, to_left: bool) -> bool {
    let (crank, end) = on_and_off_crank(crank_on, bar);
    let [_, across, _] = between(crank, end);
    let found = match off_sideways(bar) {
        Some(off) => format!("{off:.0}° from straight across"),
        None if (across > 0.0) == to_left => return true,
        None => format!("{across:.0} mm to the left"),
    };
    let (which, sign) = if to_left { ("left", "greater") } else { ("right", "less") };
    check.problem(
        "",
        found,
        Rule::Agrees,
        format!(
            "From the crank this link runs to the {which}: its other end's distance left of centre \
             is {sign} than its crank end's by most of its length. Check both, and what \
             `crank_on` says."
        ),
    );
    false
}
