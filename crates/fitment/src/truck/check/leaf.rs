//! Checks of a leaf spring: there, the right way round, and within reach of its equivalent links.

use super::shape::{between, distance, on_side, point};
use super::{Check, Rule, bounds};
use crate::truck::{LeafRates, LeafSpring, Point, Side};

#[inline]
pub(super) fn rates(check: &mut Check, rates: &LeafRates) {
    check.known("vertical_n_per_mm", &rates.vertical_n_per_mm, bounds::LEAF_VERTICAL);
    check.known("lateral_n_per_mm", &rates.lateral_n_per_mm, bounds::LEAF_LATERAL);
    check.known("twist_nm_per_deg", &rates.twist_nm_per_deg, bounds::LEAF_TWIST);
    check.known("clamped_mm", &rates.clamped_mm, bounds::LEAF_CLAMPED);
}

/// One spring of which `clamped` mm are held flat at the seat.
#[inline]
pub(super) fn spring(check: &mut Check, spring: &LeafSpring, clamped: f64, side: Side) {
    let LeafSpring { seat, fixed_eye, shackle_eye, shackle_chassis } = spring;
    let mut fine = true;
    for (name, at) in [
        ("seat", seat),
        ("fixed_eye", fixed_eye),
        ("shackle_eye", shackle_eye),
        ("shackle_chassis", shackle_chassis),
    ] {
        fine &= point(check, name, at);
        on_side(check, &format!("{name}.y_mm"), &at.y_mm, side);
    }
    // A clamp that is no number or out of range has its own problem.
    if !fine || !bounds::LEAF_CLAMPED.holds(clamped) {
        return;
    }
    if ahead(seat, fixed_eye) * ahead(seat, shackle_eye) >= 0.0 {
        check.problem(
            "shackle_eye",
            format!(
                "{} mm ahead of the axle, fixed_eye {} mm, seat {} mm",
                shackle_eye.x_mm.value, fixed_eye.x_mm.value, seat.x_mm.value
            ),
            Rule::Agrees,
            "One eye of a leaf spring lies ahead of the seat and the other behind it. Check their \
             signs: behind the axle is negative."
                .into(),
        );
    } else {
        half(check, "fixed_eye", seat, fixed_eye, clamped);
        half(check, "shackle_eye", seat, shackle_eye, clamped);
    }
    let shackle = distance(shackle_eye, shackle_chassis);
    if shackle < bounds::SHORTEST_SHACKLE_MM {
        check.problem(
            "shackle_chassis",
            format!("{shackle:.1} mm from shackle_eye"),
            Rule::Apart,
            format!(
                "A shackle's two bolts are at least {} mm apart. Measure both again.",
                bounds::SHORTEST_SHACKLE_MM
            ),
        );
    }
}

/// From the clamp's edge to one eye.
#[inline]
fn half(check: &mut Check, name: &str, seat: &Point, eye: &Point, clamped: f64) {
    let length = ahead(seat, eye).abs() - clamped * 0.5;
    let height = eye.z_mm.value - seat.z_mm.value;
    if length < bounds::SHORTEST_LEAF_MM {
        check.problem(
            name,
            format!("{length:.0} mm beyond the clamp"),
            Rule::Apart,
            format!(
                "A leaf spring reaches at least {} mm level beyond its clamp. Measure the eye fore \
                 and aft from the axle, and the clamp between the U-bolts' outer faces.",
                bounds::SHORTEST_LEAF_MM
            ),
        );
    } else if height.abs() > bounds::LEAF_HEIGHT * length {
        check.problem(
            name,
            format!("{height:.0} mm above the seat, {length:.0} mm beyond the clamp"),
            Rule::Range,
            format!(
                "A spring arched so much is out of the range of the three links it is taken for: \
                 at most {:.0} mm at this length. Check the eye's and the seat's heights, both from \
                 the axle's centreline.",
                bounds::LEAF_HEIGHT * length
            ),
        );
    }
}

/// How far the second point lies ahead of the first, mm.
#[inline]
fn ahead(from: &Point, to: &Point) -> f64 {
    between(from, to)[0]
}
