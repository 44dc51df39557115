//! Random axles: credible ones spread about the typical, their mirror images, and wild ones.

use fitment::{
    measure::Known,
    truck::{Axle, Bar, End, Layout, LayoutKind, Point, RadiusArm},
};
use proptest::{collection::vec, prelude::*};

/// Most numbers any layout's hardpoints take: four links and a bar, three numbers an end.
const NUMBERS: usize = 30;

const GIVEN: &str = "right-hand members were written out";

/// Any layout at either end.
pub fn kind_and_end() -> impl Strategy<Value = (LayoutKind, End)> {
    let kind = prop::sample::select(LayoutKind::ALL.to_vec());
    (kind, prop::sample::select(vec![End::Front, End::Rear]))
}

/// A typical axle with every hardpoint moved by up to 30 mm each way; half of them with right-hand
/// members of their own.
pub fn credible() -> impl Strategy<Value = (Axle, End)> {
    (kind_and_end(), any::<bool>(), vec(-30.0..30.0, NUMBERS)).prop_map(
        |((kind, end), lopsided, moves)| {
            let mut axle = Axle::typical(kind, end);
            if lopsided {
                give_right_members(&mut axle.layout);
            }
            let mut moves = moves.into_iter().cycle();
            each_number(&mut axle, &mut |k| k.value += moves.next().expect("a cycle never ends"));
            (axle, end)
        },
    )
}

/// Left and right wheel travel within what trucks have.
pub fn travel() -> impl Strategy<Value = [f64; 2]> {
    [-100.0..80.0, -100.0..80.0]
}

/// An axle with arbitrary numbers for some of its inputs: zeros, giants, NaN, points that coincide.
pub fn wild() -> impl Strategy<Value = (Axle, End)> {
    let number = prop_oneof![
        14 => Just(None),
        1 => prop::sample::select(vec![
            0.0, -0.0, 1.0, -1.0, 460.0, -465.0, 1e-300, 1e9, -1e9, 1e200, f64::MAX, f64::MIN,
            f64::NAN, f64::INFINITY, f64::NEG_INFINITY,
        ])
        .prop_map(Some),
        1 => (-2000.0..2000.0).prop_map(Some),
    ];
    (kind_and_end(), any::<bool>(), vec(number, 60)).prop_map(|((kind, end), lopsided, numbers)| {
        let mut axle = Axle::typical(kind, end);
        if lopsided {
            give_right_members(&mut axle.layout);
        }
        let mut numbers = numbers.into_iter().cycle();
        let mut replace = |k: &mut Known| {
            if let Some(value) = numbers.next().expect("a cycle never ends") {
                k.value = value;
            }
        };
        each_number(&mut axle, &mut replace);
        for known in others(&mut axle) {
            replace(known);
        }
        (axle, end)
    })
}

/// The same axle seen in a mirror on the truck's centre plane.
pub fn mirrored(axle: &Axle) -> Axle {
    let mut m = axle.clone();
    give_right_members(&mut m.layout);
    match &mut m.layout {
        Layout::RadiusArms { left, right, .. } => {
            std::mem::swap(left, right.as_mut().expect(GIVEN));
        }
        Layout::ThreeLink { lower_left, lower_right, .. } => {
            std::mem::swap(lower_left, lower_right.as_mut().expect(GIVEN));
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            std::mem::swap(lower_left, lower_right.as_mut().expect(GIVEN));
            std::mem::swap(upper_left, upper_right.as_mut().expect(GIVEN));
        }
    }
    each_point(&mut m, &mut |p| p.y_mm.value = -p.y_mm.value);
    m.pinion.y_mm.value = -m.pinion.y_mm.value;
    m
}

/// Writes out right-hand members that were the mirror images of the left-hand ones.
fn give_right_members(layout: &mut Layout) {
    let flip = |p: &Point| {
        let mut p = p.clone();
        p.y_mm.value = -p.y_mm.value;
        p
    };
    let bar = |b: &Bar| Bar { axle: flip(&b.axle), chassis: flip(&b.chassis) };
    match layout {
        Layout::RadiusArms { left, right, .. } => {
            right.get_or_insert_with(|| RadiusArm {
                axle_far: flip(&left.axle_far),
                axle_near: flip(&left.axle_near),
                chassis: flip(&left.chassis),
            });
        }
        Layout::ThreeLink { lower_left, lower_right, .. } => {
            lower_right.get_or_insert_with(|| bar(lower_left));
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            lower_right.get_or_insert_with(|| bar(lower_left));
            upper_right.get_or_insert_with(|| bar(upper_left));
        }
    }
}

/// Calls `f` on every hardpoint.
pub fn each_point(axle: &mut Axle, f: &mut impl FnMut(&mut Point)) {
    let mut bar = |b: &mut Bar| {
        f(&mut b.axle);
        f(&mut b.chassis);
    };
    bar(&mut axle.panhard);
    match &mut axle.layout {
        Layout::ThreeLink { lower_left, lower_right, upper } => {
            [Some(lower_left), lower_right.as_mut(), Some(upper)]
                .into_iter()
                .flatten()
                .for_each(bar);
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            [Some(lower_left), lower_right.as_mut(), Some(upper_left), upper_right.as_mut()]
                .into_iter()
                .flatten()
                .for_each(bar);
        }
        Layout::RadiusArms { left, right, .. } => {
            for arm in [Some(left), right.as_mut()].into_iter().flatten() {
                f(&mut arm.axle_far);
                f(&mut arm.axle_near);
                f(&mut arm.chassis);
            }
        }
    }
}

/// Calls `f` on every number of every hardpoint.
fn each_number(axle: &mut Axle, f: &mut impl FnMut(&mut Known)) {
    each_point(axle, &mut |p| {
        f(&mut p.x_mm);
        f(&mut p.y_mm);
        f(&mut p.z_mm);
    });
}

/// The numbers that are not hardpoints.
fn others(axle: &mut Axle) -> Vec<&mut Known> {
    let mut all = vec![
        &mut axle.hub_face_width_mm,
        &mut axle.pinion.angle_deg,
        &mut axle.pinion.length_mm,
        &mut axle.pinion.y_mm,
        &mut axle.stock.wheel.offset_mm,
        &mut axle.sitting.lift_mm,
        &mut axle.sitting.spacer_mm,
    ];
    if let Some(k) = &mut axle.kingpin {
        all.extend([
            &mut k.caster_deg,
            &mut k.inclination_deg,
            &mut k.hub_offset_mm,
            &mut k.hub_trail_mm,
        ]);
    }
    if let Layout::RadiusArms { axle_bush, chassis_bush, .. } = &mut axle.layout {
        for b in [axle_bush, chassis_bush] {
            all.extend([
                &mut b.radial_n_per_mm,
                &mut b.axial_n_per_mm,
                &mut b.conical_nm_per_deg,
                &mut b.torsion_nm_per_deg,
            ]);
        }
    }
    all
}
