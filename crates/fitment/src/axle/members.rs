//! Reads the members that locate an axle: hardpoints, mirrored where no right side is given, bush
//! rates and leaves.

use super::{
    leaf::{self, LeafPoints, LeafStiffness},
    linkage::{Bush, Limb, Link, Members, Rates, Watts},
    reader::Reader,
    real::Real,
    rotation::about_y,
};
use crate::truck::{
    self, Axis, Bar, BushRates, Carrier, Layout, LeafRates, LeafSpring, Point, RadiusArm,
};
use nalgebra::Vector3;

#[inline(never)]
pub(super) fn point<T: Real>(p: &Point, r: &mut Reader) -> Vector3<T> {
    Vector3::new(r.read("x_mm", &p.x_mm), r.read("y_mm", &p.y_mm), r.read("z_mm", &p.z_mm))
}

#[inline(never)]
pub(super) fn link<T: Real>(bar: &Bar, r: &mut Reader) -> Link<T> {
    let axle = r.within("axle", |r| point(&bar.axle, r));
    let chassis = r.within("chassis", |r| point(&bar.chassis, r));
    Link::between(axle, chassis)
}

/// A right-hand link, or the mirror image of the left where none is given.
fn right_link<T: Real>(
    left: &Link<T>,
    right: Option<&Bar>,
    name: &'static str,
    r: &mut Reader,
) -> Link<T> {
    right.map_or_else(
        || Link {
            axle: mirrored(&left.axle),
            chassis: mirrored(&left.chassis),
            length: left.length,
        },
        |bar| r.within(name, |r| link(bar, r)),
    )
}

pub(super) fn mirrored<T: Real>(v: &Vector3<T>) -> Vector3<T> {
    Vector3::new(v.x, -v.y, v.z)
}

pub(super) fn members<T: Real>(layout: &Layout, r: &mut Reader) -> Members<T> {
    match layout {
        Layout::RadiusArms { left, right, axle_bush, chassis_bush } => {
            let axle_rates = r.within("axle_bush", |r| rates(axle_bush, r));
            let chassis_rates = r.within("chassis_bush", |r| rates(chassis_bush, r));
            let left = r.within("left", |r| arm(left, axle_rates, chassis_rates, r));
            let right = if let Some(right) = right {
                r.within("right", |r| arm(right, axle_rates, chassis_rates, r))
            } else {
                mirrored_limb(&left)
            };
            Members::Arms([left, right])
        }
        Layout::ThreeLink { lower_left, lower_right, upper } => {
            let left = r.within("lower_left", |r| link(lower_left, r));
            let right = right_link(&left, lower_right.as_ref(), "lower_right", r);
            let upper = r.within("upper", |r| link(upper, r));
            Members::ThreeLinks([left, right, upper])
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            let left = r.within("lower_left", |r| link(lower_left, r));
            let right = right_link(&left, lower_right.as_ref(), "lower_right", r);
            let up_left = r.within("upper_left", |r| link(upper_left, r));
            let up_right = right_link(&up_left, upper_right.as_ref(), "upper_right", r);
            Members::FourLinks([left, right, up_left, up_right])
        }
        Layout::LeafSprings { left, right, rates: leaves, eye_bush } => {
            let eye = r.within("eye_bush", |r| rates(eye_bush, r));
            let stiffness = r.within("rates", |r| leaf_stiffness(leaves, eye, r));
            let left = r.within("left", |r| leaf(left, &stiffness, r));
            let right = right.as_ref().map_or_else(
                || left.each_ref().map(mirrored_limb),
                |right| r.within("right", |r| leaf(right, &stiffness, r)),
            );
            Members::Leaves([left, right])
        }
    }
}

pub(super) fn watts<T: Real>(w: &truck::Watts, r: &mut Reader) -> Watts<T> {
    Watts {
        on_axle: w.crank_on == Carrier::Axle,
        pivot: r.within("pivot", |r| point(&w.pivot, r)),
        links: [r.within("left", |r| link(&w.left, r)), r.within("right", |r| link(&w.right, r))],
    }
}

fn arm<T: Real>(arm: &RadiusArm, axle: Rates<T>, chassis: Rates<T>, r: &mut Reader) -> Limb<T> {
    let mut bush = |name, p: &Point, rates| {
        let centre = r.within(name, |r| point(p, r));
        Some(Bush { on_limb: centre, on_body: centre, set: T::from(0.0), rates })
    };
    Limb {
        to_axle: [bush("axle_far", &arm.axle_far, axle), bush("axle_near", &arm.axle_near, axle)],
        to_chassis: bush("chassis", &arm.chassis, chassis),
        to_next: None,
    }
}

fn leaf<T: Real>(
    spring: &LeafSpring,
    stiffness: &LeafStiffness<T>,
    r: &mut Reader,
) -> [Limb<T>; 3] {
    let mut at = |name, p: &Point| r.within(name, |r| point(p, r));
    let points = LeafPoints {
        seat: at("seat", &spring.seat),
        fixed_eye: at("fixed_eye", &spring.fixed_eye),
        shackle_eye: at("shackle_eye", &spring.shackle_eye),
        shackle_chassis: at("shackle_chassis", &spring.shackle_chassis),
    };
    leaf::limbs(&points, stiffness)
}

fn leaf_stiffness<T: Real>(rates: &LeafRates, eye: Rates<T>, r: &mut Reader) -> LeafStiffness<T> {
    LeafStiffness {
        vertical: r.read("vertical_n_per_mm", &rates.vertical_n_per_mm),
        lateral: r.read("lateral_n_per_mm", &rates.lateral_n_per_mm),
        twist: r.read::<T>("twist_nm_per_deg", &rates.twist_nm_per_deg) * TURN,
        clamped: r.read("clamped_mm", &rates.clamped_mm),
        eye,
    }
}

fn mirrored_limb<T: Real>(limb: &Limb<T>) -> Limb<T> {
    let bush = |b: &Option<Bush<T>>| {
        b.map(|b| Bush { on_limb: mirrored(&b.on_limb), on_body: mirrored(&b.on_body), ..b })
    };
    Limb {
        to_axle: limb.to_axle.each_ref().map(bush),
        to_chassis: bush(&limb.to_chassis),
        to_next: bush(&limb.to_next),
    }
}

/// N·m per degree to N·mm per radian.
const TURN: f64 = 1000.0 * 180.0 / std::f64::consts::PI;

fn rates<T: Real>(bush: &BushRates, r: &mut Reader) -> Rates<T> {
    let radial = r.read::<T>("radial_n_per_mm", &bush.radial_n_per_mm);
    let axial = r.read::<T>("axial_n_per_mm", &bush.axial_n_per_mm);
    let conical = r.read::<T>("conical_nm_per_deg", &bush.conical_nm_per_deg) * TURN;
    let torsion = r.read::<T>("torsion_nm_per_deg", &bush.torsion_nm_per_deg) * TURN;
    let along = |own: T, across: T| match bush.axis {
        Axis::Lateral => Vector3::new(across, own, across),
        Axis::Longitudinal => Vector3::new(own, across, across),
    };
    Rates { shift: along(axial, radial), turn: along(torsion, conical) }
}

/// Turns an axle on the two bushes of an arm, or of a leaf spring's halves, that it sits on: adds so
/// much caster, about the middle between them.
pub(super) fn turn_on_bushes<T: Real>(one: &mut Bush<T>, other: &mut Bush<T>, caster: T) {
    // Adding caster leans the axle's top rearward: a negative turn about y of the axle in its arms,
    // which in the axle's own frame moves the bush centres the opposite way.
    let middle = (one.on_body + other.on_body) * T::from(0.5);
    let turn = about_y(caster);
    for bush in [one, other] {
        bush.on_body = middle + turn * (bush.on_body - middle);
        bush.set -= caster;
    }
}
