//! Checks of what locates the axle: arms, links, leaf springs, bushes.

use super::shape::{bar_on_side, distance, link, on_side, point, too_short};
use super::{Check, Rule, bounds, leaf};
use crate::truck::{Bar, BushRates, Layout, RadiusArm, Side};

#[inline]
pub(super) fn check(check: &mut Check, layout: &Layout) {
    match layout {
        Layout::RadiusArms { left, right, axle_bush, chassis_bush } => {
            check.within("radius_arms", |check| {
                check.within("left", |check| radius_arm(check, left, Side::Left));
                if let Some(right) = right {
                    check.within("right", |check| radius_arm(check, right, Side::Right));
                }
                check.within("axle_bush", |check| bush(check, axle_bush));
                check.within("chassis_bush", |check| bush(check, chassis_bush));
            });
        }
        Layout::ThreeLink { lower_left, lower_right, upper } => {
            check.within("three_link", |check| {
                pair(check, ["lower_left", "lower_right"], lower_left, lower_right.as_ref());
                check.within("upper", |check| {
                    link(check, upper);
                });
            });
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            check.within("four_link", |check| {
                pair(check, ["lower_left", "lower_right"], lower_left, lower_right.as_ref());
                pair(check, ["upper_left", "upper_right"], upper_left, upper_right.as_ref());
            });
        }
        Layout::LeafSprings { left, right, rates, eye_bush } => {
            check.within("leaf_springs", |check| {
                let clamped = rates.clamped_mm.value;
                check.within("left", |check| leaf::spring(check, left, clamped, Side::Left));
                if let Some(right) = right {
                    check.within("right", |check| leaf::spring(check, right, clamped, Side::Right));
                }
                check.within("rates", |check| leaf::rates(check, rates));
                check.within("eye_bush", |check| bush(check, eye_bush));
            });
        }
    }
}

/// A left link and, where it differs from the mirror image, the right one.
#[inline]
fn pair(check: &mut Check, names: [&str; 2], left: &Bar, right: Option<&Bar>) {
    let sides = [(names[0], Some(left), Side::Left), (names[1], right, Side::Right)];
    for (name, bar, side) in sides {
        if let Some(bar) = bar {
            check.within(name, |check| {
                link(check, bar);
                bar_on_side(check, bar, side);
            });
        }
    }
}

#[inline]
fn radius_arm(check: &mut Check, arm: &RadiusArm, side: Side) {
    let RadiusArm { axle_far, axle_near, chassis } = arm;
    let points = [("axle_far", axle_far), ("axle_near", axle_near), ("chassis", chassis)];
    let mut fine = true;
    for (name, at) in points {
        fine &= point(check, name, at);
        on_side(check, &format!("{name}.y_mm"), &at.y_mm, side);
    }
    if !fine {
        return;
    }
    let (far, near) = (distance(axle_far, chassis), distance(axle_near, chassis));
    let clamp = distance(axle_far, axle_near);
    if clamp < bounds::SHORTEST_CLAMP_MM {
        check.problem(
            "axle_near",
            format!("{clamp:.1} mm from axle_far"),
            Rule::Apart,
            format!(
                "The two axle bushes of an arm sit ahead of and behind the axle, at least {} mm \
                 apart. Measure both again.",
                bounds::SHORTEST_CLAMP_MM
            ),
        );
    } else if near >= far {
        check.problem(
            "axle_near",
            format!("{near:.0} mm from the chassis eye, axle_far {far:.0} mm"),
            Rule::Agrees,
            "The near bush is the one closer to the chassis eye. Swap the two.".into(),
        );
    }
    if near < bounds::SHORTEST_LINK_MM {
        too_short(check, "chassis", near);
    }
}

#[inline]
fn bush(check: &mut Check, bush: &BushRates) {
    check.known("radial_n_per_mm", &bush.radial_n_per_mm, bounds::BUSH_RADIAL);
    check.known("axial_n_per_mm", &bush.axial_n_per_mm, bounds::BUSH_AXIAL);
    check.known("conical_nm_per_deg", &bush.conical_nm_per_deg, bounds::BUSH_CONICAL);
    check.known("torsion_nm_per_deg", &bush.torsion_nm_per_deg, bounds::BUSH_TORSION);
}
