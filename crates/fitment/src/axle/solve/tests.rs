//! Poses against closed forms, symmetries and a second method.

use super::*;
use crate::{
    axle::{Output, answer, answer_at, attitude},
    measure::Known,
    truck::{
        Axle, Bar, Carrier, End, Layout, LayoutKind, Part, Point, State, Truck, Turning, Watts,
    },
};

fn point(x: f64, y: f64, z: f64) -> Point {
    Point { x_mm: Known::exact(x), y_mm: Known::exact(y), z_mm: Known::exact(z) }
}

fn bar(a: [f64; 3], c: [f64; 3]) -> Bar {
    Bar { axle: point(a[0], a[1], a[2]), chassis: point(c[0], c[1], c[2]) }
}

/// Three level, parallel links so long that the axle moves straight up and down.
fn lift_table(length: f64, rise: f64) -> Axle {
    let mut axle = Axle::typical(LayoutKind::ThreeLink, End::Front);
    let far = -1e7;
    axle.layout = Layout::ThreeLink {
        lower_left: bar([0.0, 450.0, -50.0], [far, 450.0, -50.0]),
        lower_right: None,
        upper: bar([0.0, -200.0, 150.0], [far, -200.0, 150.0]),
    };
    let span = (length * length - rise * rise).sqrt();
    axle.panhard = Some(bar([0.0, -450.0, 0.0], [0.0, -450.0 + span, rise]));
    axle
}

fn shift(axle: &Axle, travel: f64) -> f64 {
    let model =
        AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
            .unwrap();
    let pose = solve(&model, [travel; 2]).unwrap();
    attitude(&model, &pose, 0.0).get(Output::LateralShift).unwrap()
}

#[test]
fn panhard_arc_follows_its_closed_form() {
    // The axle end stays on a circle: span goes from sqrt(L² − v²) to sqrt(L² − (v − travel)²).
    let axle = lift_table(900.0, 60.0);
    for travel in [-100.0, -50.0, 60.0, 120.0] {
        let rise: f64 = 60.0 - travel;
        let want = (900.0_f64.powi(2) - 60.0_f64.powi(2)).sqrt()
            - (900.0_f64.powi(2) - rise * rise).sqrt();
        let got = shift(&axle, travel);
        assert!((got - want).abs() < 1e-6, "travel {travel}: got {got}, want {want}");
    }
}

#[test]
fn a_bar_too_short_is_unreachable_and_says_how_far() {
    let axle = lift_table(200.0, 60.0);
    let model =
        AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
            .unwrap();
    // The bar stands upright when the axle has dropped 140 mm: 140 of 160.
    let why = solve(&model, [-160.0; 2]).unwrap_err();
    assert!(matches!(why, Unreachable::OutOfReach { .. }), "{why}");
    assert!((why.fraction() - 140.0 / 160.0).abs() < 1e-3, "{why:?}");
}

#[test]
fn links_that_bind_say_how_far_they_gave() {
    // Upper links a third as long as the lower: the axle wants two pitches at once when it
    // is crossed up, until the links would have to stretch.
    let mut axle = Axle::typical(LayoutKind::FourLink, End::Rear);
    if let Layout::FourLink { upper_left, .. } = &mut axle.layout {
        upper_left.chassis.x_mm = Known::exact(260.0);
        upper_left.chassis.z_mm = Known::exact(230.0);
    }
    let model =
        AxleModel::of(&Truck::with_axle(axle.clone(), End::Rear), End::Rear, State::Stock).unwrap();
    let whole = [420.0, -420.0];
    let Err(why @ Unreachable::Binds { .. }) = solve(&model, whole) else {
        panic!("{:?}", solve(&model, whole));
    };
    let at = |share: f64| solve(&model, whole.map(|t| t * share));
    assert!(why.fraction() > 0.05 && why.fraction() < 1.0, "{why:?}");
    assert!(at(why.fraction()).is_ok(), "{why:?}");
    assert!(at(why.fraction() + 0.01).is_err(), "{why:?}");
}

#[test]
fn every_layout_keeps_its_conditions_at_both_ends() {
    for end in [End::Front, End::Rear] {
        for (kind, axle) in every_kind(end) {
            let model =
                AxleModel::of(&Truck::with_axle(axle.clone(), end), end, State::Stock).unwrap();
            for travel in [[0.0, 0.0], [-75.0, -75.0], [60.0, -40.0], [-120.0, 30.0]] {
                let pose = solve(&model, travel)
                    .unwrap_or_else(|e| panic!("{kind} {end:?} {travel:?} {e}"));
                let rest = system::rest(&model.fitted, model.stock_wheel_y, travel, &pose);
                assert!(rest.miss() <= 1e-9, "{kind:?} {end:?} {travel:?} {}", rest.miss());
                // Forces balance to a millinewton on bushes of kilonewtons per millimetre.
                assert!(rest.axle.amax() < 1e-2, "{kind:?} {travel:?} {}", rest.axle);
                let turn = pose.axle.turn;
                assert!((turn * turn.transpose() - nalgebra::Matrix3::identity()).amax() < 1e-12);
            }
        }
    }
}

#[test]
fn stiff_rubber_turns_the_axle_as_a_rigid_arm_does() {
    // Caster lost = asin(v2/L) − asin(v1/L) for an arm clamped to the axle, pivot to axle
    // centreline v and L apart (derived from the rigid triangle).
    let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
    if let Layout::RadiusArms { left, axle_bush, chassis_bush, .. } = &mut axle.layout {
        // Arms straight ahead and a bar too long to pull sideways: the triangle lies in a plane.
        axle.panhard = Some(bar([95.0, -470.0, 90.0], [95.0, 1e6, 90.0]));
        left.chassis.y_mm.value = left.axle_far.y_mm.value;
        for b in [axle_bush, chassis_bush] {
            b.radial_n_per_mm = Known::exact(1e6);
            b.axial_n_per_mm = Known::exact(100.0);
            b.torsion_nm_per_deg = Known::exact(0.0);
            b.conical_nm_per_deg = Known::exact(15.0);
        }
    }
    let model =
        AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
            .unwrap();
    let caster = |drop: f64| {
        let pose = solve(&model, [-drop; 2]).unwrap();
        attitude(&model, &pose, 0.0).get(Output::Caster).unwrap()
    };
    let length = 890.0_f64.hypot(60.0);
    let want = ((135.0 / length).asin() - (60.0 / length).asin()).to_degrees();
    let got = caster(0.0) - caster(75.0);
    assert!((got - want).abs() < 0.001, "got {got}, want {want}");
}

#[test]
fn stock_to_lift_and_back_returns() {
    let axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
    let model =
        AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Stock)
            .unwrap();
    let up = solve(&model, [-75.0, -60.0]).unwrap();
    let back = solve_near(&model, [0.0, 0.0], &up).unwrap();
    assert!(back.axle.shift.amax() < 1e-8, "{}", back.axle.shift);
}

#[test]
fn a_mirrored_truck_mirrors_exactly_the_odd_outputs() {
    let odd = [Output::LateralShift, Output::AxleSteer, Output::Roll];
    for kind in LayoutKind::ALL {
        let axle = Axle::typical(kind, End::Front);
        let mirror = mirrored(&axle);
        let at = |axle: &Axle, l, r| {
            answer_at(
                &Truck::with_axle(axle.clone(), End::Front),
                End::Front,
                State::Stock,
                [Some(l), Some(r)],
                0.0,
            )
            .unwrap()
            .attitude
        };
        let (a, b) = (at(&axle, 40.0, -70.0), at(&mirror, -70.0, 40.0));
        for output in odd {
            let (a, b) = (a.get(output).unwrap(), b.get(output).unwrap());
            assert!((a + b).abs() < 1e-7, "{kind:?} {output:?}: {a} {b}");
        }
        for output in [Output::Caster, Output::Pinion, Output::Panhard, Output::RollCentreHeight] {
            let (Some(a), Some(b)) = (a.get(output), b.get(output)) else { continue };
            assert!((a - b).abs() < 1e-6, "{kind:?} {output:?}: {a} {b}");
        }
    }
}

fn mirrored(axle: &Axle) -> Axle {
    let flip = |p: &mut Point| p.y_mm.value = -p.y_mm.value;
    let flip_bar = |b: &mut Bar| {
        flip(&mut b.axle);
        flip(&mut b.chassis);
    };
    let mut m = axle.clone();
    if let Some(bar) = &mut m.panhard {
        flip_bar(bar);
    }
    // Symmetric pairs mirror into themselves; only the single upper link is on one side.
    if let Layout::ThreeLink { upper, .. } = &mut m.layout {
        flip_bar(upper);
    }
    m
}

#[test]
fn a_parallelogram_four_link_does_not_pitch() {
    let mut axle = Axle::typical(LayoutKind::FourLink, End::Rear);
    axle.layout = Layout::FourLink {
        lower_left: bar([0.0, 450.0, -60.0], [700.0, 450.0, -40.0]),
        lower_right: None,
        upper_left: bar([20.0, 300.0, 140.0], [720.0, 300.0, 160.0]),
        upper_right: None,
    };
    let model =
        AxleModel::of(&Truck::with_axle(axle.clone(), End::Rear), End::Rear, State::Stock).unwrap();
    for travel in [-100.0, -30.0, 70.0] {
        let pose = solve(&model, [travel; 2]).unwrap();
        let pitch = pose.axle.turn[(0, 2)];
        assert!(pitch.abs() < 1e-9, "travel {travel}: pitch {pitch}");
    }
}

#[test]
fn slopes_agree_with_differences() {
    // A second method: central differences of the whole solve, every output by inputs of every
    // kind.
    for (kind, mut axle) in every_kind(End::Front) {
        axle.sitting.lift_mm = Known::exact(75.0);
        axle.sitting.lift_right_mm = Some(Known::exact(60.0));
        if let Some(steering) = &mut axle.steering {
            steering.drag_link.end.z_mm.value += 20.0;
        }
        let truck = Truck::with_axle(axle, End::Front);
        let get =
            |truck: &Truck| answer_at(truck, End::Front, State::Sitting, [None; 2], 0.2).unwrap();
        let found = get(&truck);
        for path in found.inputs().map(|i| i.path.clone()).collect::<Vec<_>>() {
            let moved = |d: f64| {
                let mut truck = truck.clone();
                by_path(&mut truck, &path)?.value += d;
                Some(get(&truck).attitude)
            };
            let value = found.inputs().find(|i| i.path == path).unwrap().value;
            let d = if path.contains("n_per_mm") { value * 2e-3 } else { 0.1 };
            let at = [moved(-2.0 * d), moved(-d), moved(d), moved(2.0 * d)];
            let [Some(a), Some(b), Some(c), Some(e)] = at else { continue };
            for output in Output::ALL {
                let Some(got) = found.slope(&path, output) else { continue };
                // Far away the instant centre bends too fast for differences.
                let far = found.attitude.get(Output::InstantCentreX).is_none_or(|x| x.abs() > 8e3);
                if far && matches!(output, Output::InstantCentreX | Output::InstantCentreZ) {
                    continue;
                }
                // Fourth order: what is left goes with d⁴.
                let v = |at: &crate::axle::Attitude<f64>| at.get(output).unwrap();
                let want = (v(&a) - v(&e) + 8.0 * (v(&c) - v(&b))) / (12.0 * d);
                // What rounding leaves of a difference of two solves.
                let noise = 1e-8 * (1.0 + found.attitude.get(output).unwrap().abs());
                assert!(
                    (got - want).abs() < 1e-5 * want.abs() + noise,
                    "{kind:?} {path} {output:?}: got {got}, want {want}"
                );
            }
        }
    }
}

/// A typical axle of every layout, and with a Watts linkage those that can have one.
fn every_kind(end: End) -> Vec<(String, Axle)> {
    let mut all = Vec::new();
    for kind in LayoutKind::ALL {
        let axle = Axle::typical(kind, end);
        all.push((format!("{kind:?}"), axle.clone()));
        if axle.panhard.is_some() {
            for crank_on in [Carrier::Axle, Carrier::Chassis] {
                let mut axle = axle.clone();
                axle.panhard = None;
                let mut watts = Watts::typical(end);
                if crank_on == Carrier::Chassis {
                    watts.crank_on = crank_on;
                    for link in [&mut watts.left, &mut watts.right] {
                        std::mem::swap(&mut link.axle, &mut link.chassis);
                    }
                }
                axle.watts = Some(watts);
                all.push((format!("{kind:?} with Watts on the {crank_on:?}"), axle));
            }
        }
    }
    all
}

/// A few inputs of each kind.
fn by_path<'a>(truck: &'a mut Truck, path: &str) -> Option<&'a mut Known> {
    let axle = match path.strip_prefix("truck.") {
        Some("wheelbase_mm") => return Some(&mut truck.wheelbase_mm),
        Some("balance.cg_height_mm") => return Some(&mut truck.balance.cg_height_mm),
        _ => truck.front.as_mut()?,
    };
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    let xyz = |p: &'a mut Point, last: &str| match last {
        "x_mm" => Some(&mut p.x_mm),
        "y_mm" => Some(&mut p.y_mm),
        _ => Some(&mut p.z_mm),
    };
    let bar = |b: &'a mut Bar, rest: &str| match rest.split_once('.')? {
        ("axle", last) => xyz(&mut b.axle, last),
        (_, last) => xyz(&mut b.chassis, last),
    };
    match (first, rest) {
        ("panhard", rest) => bar(axle.panhard.as_mut()?, rest),
        ("watts", rest) => {
            let w = axle.watts.as_mut()?;
            match rest.split_once('.')? {
                ("pivot", last) => xyz(&mut w.pivot, last),
                ("left", rest) => bar(&mut w.left, rest),
                (_, rest) => bar(&mut w.right, rest),
            }
        }
        ("spring", rest) => bar(axle.spring.as_mut()?, rest),
        ("kingpin", "caster_deg") => Some(&mut axle.kingpin.as_mut()?.caster_deg),
        ("kingpin", "hub_offset_mm") => Some(&mut axle.kingpin.as_mut()?.hub_offset_mm),
        ("steering", rest) => {
            let s = axle.steering.as_mut()?;
            let (part, rest) = rest.split_once('.')?;
            let (point, last) = rest.split_once('.')?;
            match (part, point) {
                ("pitman", "pivot") => xyz(&mut s.pitman.pivot, last),
                ("pitman", _) => xyz(&mut s.pitman.end, last),
                ("drag_link", _) => xyz(&mut s.drag_link.end, last),
                _ => xyz(&mut s.tie_rod.left, last),
            }
        }
        ("layout", rest) => {
            let (member, rest) = rest.split_once('.')?;
            match (&mut axle.layout, member) {
                (Layout::RadiusArms { left, .. }, "left") => match rest.split_once('.')? {
                    ("axle_far", last) => xyz(&mut left.axle_far, last),
                    ("axle_near", last) => xyz(&mut left.axle_near, last),
                    (_, last) => xyz(&mut left.chassis, last),
                },
                (Layout::RadiusArms { axle_bush, .. }, "axle_bush") => match rest {
                    "radial_n_per_mm" => Some(&mut axle_bush.radial_n_per_mm),
                    "conical_nm_per_deg" => Some(&mut axle_bush.conical_nm_per_deg),
                    _ => None,
                },
                (Layout::ThreeLink { upper, .. }, "upper") => bar(upper, rest),
                (Layout::FourLink { lower_left, .. }, "lower_left") => bar(lower_left, rest),
                (Layout::FourLink { upper_left, .. }, "upper_left") => bar(upper_left, rest),
                (Layout::LeafSprings { left, .. }, "left") => match rest.split_once('.')? {
                    ("seat", last) => xyz(&mut left.seat, last),
                    ("fixed_eye", last) => xyz(&mut left.fixed_eye, last),
                    ("shackle_eye", last) => xyz(&mut left.shackle_eye, last),
                    (_, last) => xyz(&mut left.shackle_chassis, last),
                },
                (Layout::LeafSprings { rates, .. }, "rates") => match rest {
                    "vertical_n_per_mm" => Some(&mut rates.vertical_n_per_mm),
                    "clamped_mm" => Some(&mut rates.clamped_mm),
                    _ => None,
                },
                _ => None,
            }
        }
        _ => None,
    }
}

#[test]
fn what_degenerate_hardpoints_leave_free_is_named() {
    type Change = fn(&mut Bar, &mut Bar, &Bar);
    // The upper link, the Panhard bar and the lower left link.
    let cases: [(&str, Change, &str); 5] = [
        ("no upper link", |upper, _, _| upper.chassis = upper.axle.clone(), "about its own tube"),
        ("links in one place", |upper, _, lower| *upper = lower.clone(), "about its own tube"),
        (
            "an upright bar",
            |_, panhard, _| {
                panhard.chassis = panhard.axle.clone();
                panhard.chassis.z_mm.value += 300.0;
            },
            "to slide sideways",
        ),
        (
            "a bar along the links",
            |_, panhard, _| {
                panhard.chassis = panhard.axle.clone();
                panhard.chassis.x_mm.value -= 700.0;
            },
            "to slide sideways",
        ),
        ("a bar of no length", |_, p, _| p.chassis = p.axle.clone(), "to slide sideways"),
    ];
    let check = |name: &str, axle: Axle, free: &str| {
        let truck = Truck::with_axle(axle, End::Front);
        let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
        let why = solve(&model, [-50.0; 2]).unwrap_err();
        assert!(matches!(why, Unreachable::Loose(_)), "{name}: {why}");
        assert!(why.to_string().contains(free), "{name}: {why}");
    };
    for (name, change, free) in cases {
        let mut axle = lift_table(900.0, 60.0);
        if let (Layout::ThreeLink { upper, lower_left, .. }, Some(panhard)) =
            (&mut axle.layout, &mut axle.panhard)
        {
            *upper = bar([0.0, -200.0, 150.0], [-700.0, -200.0, 150.0]);
            change(upper, panhard, lower_left);
        }
        check(name, axle, free);
    }
    let mut axle = lift_table(900.0, 60.0);
    axle.panhard = None;
    check("no bar", axle, "to slide sideways");
    let model = AxleModel::of(
        &Truck::with_axle(lift_table(900.0, 60.0), End::Front),
        End::Front,
        State::Stock,
    );
    assert_eq!(solve(&model.unwrap(), [f64::NAN, 0.0]), Err(Unreachable::NoTravel));
}

#[test]
fn where_links_lock_the_free_motion_is_named() {
    // The bar stands upright at the end of its reach: nothing holds the axle sideways there.
    let truck = Truck::with_axle(lift_table(200.0, 60.0), End::Front);
    let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
    let why = solve(&model, [-160.0; 2]).unwrap_err();
    assert!(why.to_string().contains("free to slide sideways"), "{why}");
}

#[test]
fn caster_bushes_turn_the_axle_by_their_angle() {
    let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
    let at = |axle: &Axle| {
        answer(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Planned)
            .unwrap()
            .attitude
            .get(Output::Caster)
            .unwrap()
    };
    let before = at(&axle);
    axle.planned.parts = vec![Part::turn(Turning::CasterBush, 3.0, vec![3.0])];
    let after = at(&axle);
    // The axle turns about the middle of its bushes, which lie 30 mm under its centreline, so
    // at held wheel height the arm itself swings by only thousandths of a degree.
    assert!((after - before - 3.0).abs() < 0.05, "{before} -> {after}");
}

#[test]
fn the_example_shows_what_a_lift_does() {
    let truck = Truck::example();
    let front = truck.front.as_ref().unwrap();
    let stock =
        answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Stock).unwrap();
    let now =
        answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Sitting).unwrap();
    let get = |a: &super::super::Answer, o| a.attitude.get(o).unwrap();
    assert!(get(&stock, Output::LateralShift).abs() < 1e-9);
    // The chassis end is on the left and the bar steepens: the axle goes left.
    assert!(get(&now, Output::LateralShift) > 4.0);
    assert!(get(&now, Output::Caster) < get(&stock, Output::Caster) - 3.0);
    assert!(get(&now, Output::Panhard) > get(&stock, Output::Panhard) + 3.0);
}
