//! Random axles: credible ones spread about the typical, their mirror images, and wild ones.

use fitment::{
    axle::{AxleModel, Pose, Unreachable, solve},
    measure::Known,
    truck::{
        Axle, Bar, End, Joins, Layout, LayoutKind, LeafSpring, Point, RadiusArm, Side, Steering,
        Truck, Watts,
    },
};
use proptest::{collection::vec, prelude::*};
use tapewright_tests::samples::{fore_and_aft, inverted_y, turned};

/// Most numbers any axle's hardpoints take: two leaf springs, a Watts linkage, steering, a spring
/// and a shock, three numbers a point.
const NUMBERS: usize = 84;
/// How far a hardpoint is moved either way, mm.
const MOVED_MM: f64 = 30.0;
/// How far a point of a Watts linkage is, whose crank is small, mm.
const CRANK_MOVED_MM: f64 = 8.0;

const GIVEN: &str = "right-hand members were written out";

/// Any layout at either end.
pub fn kind_and_end() -> impl Strategy<Value = (LayoutKind, End)> {
    let kind = prop::sample::select(LayoutKind::ALL.to_vec());
    (kind, prop::sample::select(vec![End::Front, End::Rear]))
}

/// A typical axle of any layout, held sideways by whatever can hold it, steered in any way.
pub fn typical() -> impl Strategy<Value = (Axle, End)> {
    (kind_and_end(), 0_usize..4, 0_usize..7, any::<bool>()).prop_map(
        |((kind, end), lateral, steering, lopsided)| {
            let mut axle = Axle::typical(kind, end);
            hold(&mut axle, end, lateral);
            if end == End::Front {
                axle.steering = steered(steering);
            }
            if lopsided {
                give_right_members(&mut axle);
            }
            (axle, end)
        },
    )
}

/// A typical axle with every hardpoint moved by up to 30 mm each way; half of them with right-hand
/// members of their own.
pub fn credible() -> impl Strategy<Value = (Axle, End)> {
    moved(1.0)
}

/// The same with every hardpoint moved by up to so many times as much: some of them no axle.
pub fn moved(times: f64) -> impl Strategy<Value = (Axle, End)> {
    (typical(), vec(-times..times, NUMBERS)).prop_map(|((mut axle, end), moves)| {
        let mut moves = moves.into_iter().cycle();
        let mut by = |point: &mut Point, most: f64| {
            for known in [&mut point.x_mm, &mut point.y_mm, &mut point.z_mm] {
                known.value += most * moves.next().expect("a cycle never ends");
            }
        };
        each_located(&mut axle, &mut |point| by(point, MOVED_MM));
        if let Some(watts) = &mut axle.watts {
            each_of_watts(watts, &mut |point| by(point, CRANK_MOVED_MM));
        }
        each_mount(&mut axle, &mut |point| by(point, MOVED_MM));
        (axle, end)
    })
}

/// Left and right wheel travel within what trucks have.
pub fn travel() -> impl Strategy<Value = [f64; 2]> {
    [-100.0..80.0, -100.0..80.0]
}

/// The axle as the only one of a truck.
pub fn truck(axle: &Axle, end: End) -> Truck {
    Truck::with_axle(axle.clone(), end)
}

/// The pose at `travel`, passing over the few axles that bind so far out.
pub fn reach(model: &AxleModel<f64>, travel: [f64; 2]) -> Result<Pose<f64>, TestCaseError> {
    solve(model, travel).map_err(|why| match why {
        Unreachable::Binds { .. } => TestCaseError::reject("it binds before it gets there"),
        why => TestCaseError::fail(format!("a credible axle reaches its travel: {why:?}")),
    })
}

/// A truck whose one axle has arbitrary numbers for some of its inputs: zeros, giants, NaN, points
/// that coincide.
pub fn wild() -> impl Strategy<Value = (Truck, End)> {
    let number = prop_oneof![
        14 => Just(None),
        1 => prop::sample::select(vec![
            0.0, -0.0, 1.0, -1.0, 460.0, -465.0, 1e-300, 1e9, -1e9, 1e200, f64::MAX, f64::MIN,
            f64::NAN, f64::INFINITY, f64::NEG_INFINITY,
        ])
        .prop_map(Some),
        1 => (-2000.0..2000.0).prop_map(Some),
    ];
    (typical(), vec(number, 120)).prop_map(|((mut axle, end), numbers)| {
        let mut numbers = numbers.into_iter().cycle();
        let mut replace = |k: &mut Known| {
            if let Some(value) = numbers.next().expect("a cycle never ends") {
                k.value = value;
            }
        };
        each_point(&mut axle, &mut |point| {
            [&mut point.x_mm, &mut point.y_mm, &mut point.z_mm].into_iter().for_each(&mut replace);
        });
        others(&mut axle).into_iter().for_each(&mut replace);
        let mut truck = truck(&axle, end);
        replace(&mut truck.wheelbase_mm);
        replace(&mut truck.balance.cg_height_mm);
        replace(&mut truck.balance.front_brake_percent);
        replace(&mut truck.balance.front_drive_percent);
        (truck, end)
    })
}

/// The same axle seen in a mirror on the truck's centre plane.
pub fn mirrored(axle: &Axle) -> Axle {
    let mut m = axle.clone();
    give_right_members(&mut m);
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
        Layout::LeafSprings { left, right, .. } => {
            std::mem::swap(left, right.as_mut().expect(GIVEN));
        }
    }
    if let Some(watts) = &mut m.watts {
        std::mem::swap(&mut watts.left, &mut watts.right);
    }
    if let Some(Steering { drag_link, tie_rod, .. }) = &mut m.steering {
        std::mem::swap(&mut tie_rod.left, tie_rod.right.as_mut().expect(GIVEN));
        drag_link.joins = match drag_link.joins {
            Joins::LeftKnuckle => Joins::RightKnuckle,
            Joins::RightKnuckle => Joins::LeftKnuckle,
            Joins::TieRod => Joins::TieRod,
        };
    }
    // Springs and shocks are told by the left one, whose mirror image is the right one.
    let flip = &mut |point: &mut Point| point.y_mm.value = -point.y_mm.value;
    each_located(&mut m, flip);
    if let Some(watts) = &mut m.watts {
        each_of_watts(watts, flip);
    }
    m.pinion.y_mm.value = -m.pinion.y_mm.value;
    m
}

/// Calls `f` on every hardpoint.
pub fn each_point(axle: &mut Axle, f: &mut impl FnMut(&mut Point)) {
    each_located(axle, f);
    if let Some(watts) = &mut axle.watts {
        each_of_watts(watts, f);
    }
    each_mount(axle, f);
}

/// A Panhard bar, a Watts linkage with its crank on either body, or nothing where the layout needs
/// nothing.
fn hold(axle: &mut Axle, end: End, lateral: usize) {
    let bar = Axle::typical(LayoutKind::ThreeLink, end).panhard;
    let watts = Watts::typical(end);
    (axle.panhard, axle.watts) = match lateral {
        // As typical, which is nothing where nothing is needed.
        0 => (axle.panhard.take(), None),
        1 => (bar, None),
        2 => (None, Some(watts)),
        _ => (None, Some(turned(&watts))),
    };
}

/// No linkage, or each kind for either drive.
fn steered(which: usize) -> Option<Steering> {
    let driver = if which.is_multiple_of(2) { Side::Left } else { Side::Right };
    match which {
        0 | 1 => Some(Steering::typical(driver)),
        2 | 3 => Some(inverted_y(driver)),
        4 | 5 => Some(fore_and_aft(driver)),
        _ => None,
    }
}

/// Writes out right-hand members that were the mirror images of the left-hand ones.
fn give_right_members(axle: &mut Axle) {
    let flip = |p: &Point| {
        let mut p = p.clone();
        p.y_mm.value = -p.y_mm.value;
        p
    };
    let bar = |b: &Bar| Bar { axle: flip(&b.axle), chassis: flip(&b.chassis) };
    match &mut axle.layout {
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
        Layout::LeafSprings { left, right, .. } => {
            right.get_or_insert_with(|| LeafSpring {
                seat: flip(&left.seat),
                fixed_eye: flip(&left.fixed_eye),
                shackle_eye: flip(&left.shackle_eye),
                shackle_chassis: flip(&left.shackle_chassis),
            });
        }
    }
    if let Some(Steering { tie_rod, .. }) = &mut axle.steering {
        tie_rod.right.get_or_insert_with(|| flip(&tie_rod.left));
    }
}

/// Calls `f` on every hardpoint that locates or steers the axle, but for a Watts linkage's.
fn each_located(axle: &mut Axle, f: &mut impl FnMut(&mut Point)) {
    match &mut axle.layout {
        Layout::ThreeLink { lower_left, lower_right, upper } => {
            for bar in [Some(lower_left), lower_right.as_mut(), Some(upper)].into_iter().flatten() {
                each_of_bar(bar, f);
            }
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            let all =
                [Some(lower_left), lower_right.as_mut(), Some(upper_left), upper_right.as_mut()];
            for bar in all.into_iter().flatten() {
                each_of_bar(bar, f);
            }
        }
        Layout::RadiusArms { left, right, .. } => {
            for arm in [Some(left), right.as_mut()].into_iter().flatten() {
                [&mut arm.axle_far, &mut arm.axle_near, &mut arm.chassis]
                    .into_iter()
                    .for_each(&mut *f);
            }
        }
        Layout::LeafSprings { left, right, .. } => {
            for leaf in [Some(left), right.as_mut()].into_iter().flatten() {
                let LeafSpring { seat, fixed_eye, shackle_eye, shackle_chassis } = leaf;
                [seat, fixed_eye, shackle_eye, shackle_chassis].into_iter().for_each(&mut *f);
            }
        }
    }
    if let Some(bar) = &mut axle.panhard {
        each_of_bar(bar, f);
    }
    if let Some(Steering { pitman, drag_link, tie_rod, .. }) = &mut axle.steering {
        let points = [&mut pitman.pivot, &mut pitman.end, &mut drag_link.end, &mut tie_rod.left];
        points.into_iter().chain(&mut tie_rod.right).for_each(f);
    }
}

fn each_of_watts(watts: &mut Watts, f: &mut impl FnMut(&mut Point)) {
    f(&mut watts.pivot);
    each_of_bar(&mut watts.left, f);
    each_of_bar(&mut watts.right, f);
}

/// The left spring's and the left shock's ends.
fn each_mount(axle: &mut Axle, f: &mut impl FnMut(&mut Point)) {
    for bar in [&mut axle.spring, &mut axle.shock].into_iter().flatten() {
        each_of_bar(bar, f);
    }
}

fn each_of_bar(bar: &mut Bar, f: &mut impl FnMut(&mut Point)) {
    f(&mut bar.axle);
    f(&mut bar.chassis);
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
    if let Some(steering) = &mut axle.steering {
        all.push(&mut steering.ratio);
    }
    let bushes = match &mut axle.layout {
        Layout::RadiusArms { axle_bush, chassis_bush, .. } => vec![axle_bush, chassis_bush],
        Layout::LeafSprings { rates, eye_bush, .. } => {
            all.extend([
                &mut rates.vertical_n_per_mm,
                &mut rates.lateral_n_per_mm,
                &mut rates.twist_nm_per_deg,
                &mut rates.clamped_mm,
            ]);
            vec![eye_bush]
        }
        Layout::ThreeLink { .. } | Layout::FourLink { .. } => vec![],
    };
    for b in bushes {
        all.extend([
            &mut b.radial_n_per_mm,
            &mut b.axial_n_per_mm,
            &mut b.conical_nm_per_deg,
            &mut b.torsion_nm_per_deg,
        ]);
    }
    all
}
