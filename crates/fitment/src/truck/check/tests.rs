//! Every rule broken once, by path.

mod lateral;
mod leaf;
mod steering;
mod thing;

use super::*;
use crate::measure::Instrument;
use crate::truck::{
    Axle, Bar, End, Hole, LayoutKind, Member, Offer, Part, Pivot, Point, RadiusArm, Step, Turning,
    Wheel,
};

/// The example with one change; its problems as (path, rule).
fn check(change: impl FnOnce(&mut Truck)) -> Vec<(String, Rule)> {
    let mut truck = Truck::example();
    change(&mut truck);
    let problems = truck.check();
    for problem in &problems {
        assert!(!problem.found.is_empty() && problem.remedy.ends_with('.'), "{problem:?}");
    }
    problems.into_iter().map(|problem| (problem.path, problem.rule)).collect()
}

/// As [`check`] on the front axle, which must give exactly these.
fn front(change: impl FnOnce(&mut Axle), want: &[(&str, Rule)]) {
    let got = check(|truck| change(truck.front.as_mut().unwrap()));
    let got: Vec<_> = got.iter().map(|(path, rule)| (path.as_str(), *rule)).collect();
    assert_eq!(got, want);
}

fn arm(axle: &mut Axle) -> &mut RadiusArm {
    match &mut axle.layout {
        crate::truck::Layout::RadiusArms { left, .. } => left,
        other => panic!("{other:?}"),
    }
}

fn bar(axle: &mut Axle) -> &mut Bar {
    axle.panhard.as_mut().unwrap()
}

fn hole(z: f64) -> Hole {
    let [x_mm, y_mm, z_mm] = [0.0, 0.0, z].map(Known::exact);
    Hole { name: "a".into(), x_mm, y_mm, z_mm }
}

#[test]
fn every_start_is_without_fault() {
    assert_eq!(Truck::example().check(), []);
    for front in LayoutKind::ALL {
        for rear in LayoutKind::ALL {
            assert_eq!(Truck::typical(front, Some(rear)).check(), [], "{front:?} {rear:?}");
        }
    }
}

#[test]
fn numbers_out_of_their_range_are_named_by_path() {
    type Change = fn(&mut Axle);
    let table: &[(Change, &str)] = &[
        (|a| a.hub_face_width_mm.value = 58.0, "front.hub_face_width_mm"),
        (|a| arm(a).chassis.x_mm.value = -8900.0, "front.layout.radius_arms.left.chassis.x_mm"),
        (|a| bar(a).axle.y_mm.value = -4650.0, "front.panhard.axle.y_mm"),
        (|a| a.kingpin.as_mut().unwrap().caster_deg.value = 60.0, "front.kingpin.caster_deg"),
        (|a| a.pinion.length_mm.value = -280.0, "front.pinion.length_mm"),
        (|a| a.limits.bump_mm.value = -80.0, "front.limits.bump_mm"),
        (|a| a.limits.lock_deg.value = 90.0, "front.limits.lock_deg"),
        (
            |a| a.surroundings.rail.as_mut().unwrap().outer_mm.value = 0.0,
            "front.surroundings.rail.outer_mm",
        ),
        (
            |a| a.surroundings.arch.as_mut().unwrap().top_mm.value = -5.0,
            "front.surroundings.arch.top_mm",
        ),
        (
            |a| a.surroundings.arm_radius_mm.as_mut().unwrap().value = 0.0,
            "front.surroundings.arm_radius_mm",
        ),
        (|a| a.sitting.lift_mm.value = 7500.0, "front.sitting.lift_mm"),
        (|a| a.sitting.lift_right_mm = Some(Known::exact(-900.0)), "front.sitting.lift_right_mm"),
        (|a| a.planned.wheel.width_mm.value = -203.2, "front.planned.wheel.width_mm"),
        (|a| a.planned.wheel.width_mm.value = 8.0, "front.planned.wheel.width_mm"),
        (|a| a.planned.wheel.offset_mm.value = 900.0, "front.planned.wheel.offset_mm"),
        (|a| a.planned.spacer_mm.value = -30.0, "front.planned.spacer_mm"),
        (
            |a| a.planned.tire.diameter_mm = Some(Known::exact(87.6)),
            "front.planned.tire.diameter_mm",
        ),
        (|a| a.planned.tire.section_mm = Some(Known::exact(12.5)), "front.planned.tire.section_mm"),
        (
            |a| {
                a.shelf =
                    [Part::step(Step::Spacer, 25.4, vec![30.0, 1000.0])].into_iter().collect();
            },
            "front.shelf.parts[0].part.step.choices_mm[1]",
        ),
        (|a| a.readings.arm_length_mm = Some(Known::exact(1.0)), "front.readings.arm_length_mm"),
        (
            |a| a.readings.panhard_rise_mm = Some(Known::exact(5000.0)),
            "front.readings.panhard_rise_mm",
        ),
    ];
    for (change, path) in table {
        front(change, &[(path, Rule::Range)]);
    }
}

#[test]
fn numbers_of_the_whole_truck_have_their_ranges() {
    type Change = fn(&mut Truck);
    let table: &[(Change, &str)] = &[
        (|t| t.wheelbase_mm.value = 102.0, "wheelbase_mm"),
        (|t| t.balance.cg_height_mm.value = 28.0, "balance.cg_height_mm"),
        (|t| t.balance.front_brake_percent.value = 101.0, "balance.front_brake_percent"),
        (|t| t.balance.front_drive_percent.value = -1.0, "balance.front_drive_percent"),
    ];
    for (change, path) in table {
        assert_eq!(check(change), [((*path).to_owned(), Rule::Range)]);
    }
}

#[test]
fn what_is_no_number_is_named_once() {
    for none in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        front(|a| bar(a).axle.y_mm.value = none, &[("front.panhard.axle.y_mm", Rule::Finite)]);
        front(|a| a.pinion.y_mm.sigma = none, &[("front.pinion.y_mm.sigma", Rule::Finite)]);
        front(|a| a.sitting.lift_mm.value = none, &[("front.sitting.lift_mm", Rule::Finite)]);
        front(
            |a| a.sitting.wheel.width_mm.value = none,
            &[("front.sitting.wheel.width_mm", Rule::Finite)],
        );
        front(
            |a| a.surroundings.rail.as_mut().unwrap().top_mm.value = none,
            &[("front.surroundings.rail.top_mm", Rule::Finite)],
        );
        front(
            |a| arm(a).axle_far.z_mm.value = none,
            &[("front.layout.radius_arms.left.axle_far.z_mm", Rule::Finite)],
        );
    }
}

#[test]
fn an_uncertainty_is_never_negative() {
    front(|a| a.pinion.y_mm.sigma = -1.0, &[("front.pinion.y_mm.sigma", Rule::Range)]);
    front(
        |a| a.sitting.wheel.width_mm.sigma = -1.0,
        &[("front.sitting.wheel.width_mm.sigma", Rule::Range)],
    );
    front(
        |a| a.sitting.tire.section_mm = Some(Known::published(315.0, -2.0)),
        &[("front.sitting.tire.section_mm.sigma", Rule::Range)],
    );
}

#[test]
fn ends_that_meet_are_refused() {
    front(|a| bar(a).chassis = bar(a).axle.clone(), &[("front.panhard.chassis", Rule::Apart)]);
    front(
        |a| arm(a).axle_near = arm(a).axle_far.clone(),
        &[("front.layout.radius_arms.left.axle_near", Rule::Apart)],
    );
    front(
        |a| {
            let near = arm(a).axle_near.clone();
            arm(a).chassis = Point { x_mm: Known::exact(near.x_mm.value - 20.0), ..near };
        },
        &[("front.layout.radius_arms.left.chassis", Rule::Apart)],
    );
    front(
        |a| a.surroundings.rail.as_mut().unwrap().top_mm.value = 130.0,
        &[("front.surroundings.rail.top_mm", Rule::Apart)],
    );
    front(
        |a| a.surroundings.arch.as_mut().unwrap().inner_mm.value = 900.0,
        &[("front.surroundings.arch.lip_mm", Rule::Apart)],
    );
}

#[test]
fn impossible_geometry_is_named_as_such() {
    // 1000 mm down over 60 mm across: the bar stands at 87°.
    front(
        |a| {
            bar(a).axle.y_mm.value = -30.0;
            bar(a).chassis.y_mm.value = 30.0;
            bar(a).axle.z_mm.value = -200.0;
            bar(a).chassis.z_mm.value = 800.0;
        },
        &[("front.panhard", Rule::Agrees)],
    );
    front(
        |a| {
            a.readings.arm_length_mm = Some(Known::measured(400.0, Instrument::Tape));
            a.readings.arm_rise_mm = Some(Known::measured(-450.0, Instrument::Tape));
        },
        &[("front.readings.arm_length_mm", Rule::Agrees)],
    );
    // Far bush to eye: 300 mm level and 90 mm up, 313 mm long; 90 + 400 does not fit in it.
    front(
        |a| {
            arm(a).chassis.x_mm.value = -215.0;
            a.sitting.lift_mm.value = 400.0;
        },
        &[("front.sitting.lift_mm", Rule::Agrees)],
    );
    let remedy = {
        let mut truck = Truck::example();
        let axle = truck.front.as_mut().unwrap();
        arm(axle).chassis.x_mm.value = -215.0;
        axle.sitting.lift_mm.value = 400.0;
        truck.check().remove(0).remedy
    };
    assert!(remedy.contains("490 mm") && remedy.contains("shorter than its drop"), "{remedy}");
    // A bracket that lowers the eye by 250 mm makes it possible again.
    front(
        |a| {
            arm(a).chassis.x_mm.value = -215.0;
            a.sitting.lift_mm.value = 400.0;
            a.sitting.parts =
                vec![Part::Bracket { moves: Pivot::Arm, holes: vec![hole(-250.0)], hole: 0 }];
        },
        &[],
    );
}

#[test]
fn left_is_left_and_near_is_near() {
    front(
        |a| arm(a).chassis.y_mm.value = -440.0,
        &[("front.layout.radius_arms.left.chassis.y_mm", Rule::Agrees)],
    );
    front(
        |a| {
            let swapped = arm(a).clone();
            arm(a).axle_far = swapped.axle_near;
            arm(a).axle_near = swapped.axle_far;
        },
        &[("front.layout.radius_arms.left.axle_near", Rule::Agrees)],
    );
    let rear = check(|truck| {
        if let crate::truck::Layout::FourLink { lower_left, lower_right, .. } =
            &mut truck.rear.as_mut().unwrap().layout
        {
            *lower_right = Some(lower_left.clone());
        }
    });
    let path = |end: &str| (format!("rear.layout.four_link.lower_right.{end}.y_mm"), Rule::Agrees);
    assert_eq!(rear, [path("axle"), path("chassis")]);
}

#[test]
fn the_stock_state_is_stock() {
    front(|a| a.stock.lift_mm.value = 20.0, &[("front.stock.lift_mm", Rule::Agrees)]);
    front(
        |a| a.stock.lift_right_mm = Some(Known::exact(5.0)),
        &[("front.stock.lift_right_mm", Rule::Agrees)],
    );
    front(|a| a.stock.parts = a.planned.parts.clone(), &[("front.stock.parts", Rule::Agrees)]);
}

#[test]
fn tires_must_read_and_agree() {
    front(|a| a.planned.tire.size = "big".into(), &[("front.planned.tire.size", Rule::Reads)]);
    front(|a| a.planned.tire.size = String::new(), &[("front.planned.tire.size", Rule::Reads)]);
    front(
        |a| a.planned.tire.loaded_radius_mm = Some(Known::exact(700.0)),
        &[("front.planned.tire.loaded_radius_mm", Rule::Agrees)],
    );
}

#[test]
fn parts_must_fit_and_agree() {
    let bush = Part::turn(Turning::CasterBush, 3.0, vec![3.0]);
    let upper = Part::length(Member::UpperLink, 5.0, [0.0, 10.0]);
    let rear = check(|truck| truck.rear.as_mut().unwrap().planned.parts = vec![bush]);
    assert_eq!(rear, [("rear.planned.parts[0]".to_owned(), Rule::Fits)]);
    front(|a| a.planned.parts = vec![upper.clone()], &[("front.planned.parts[0]", Rule::Fits)]);
    // On the shelf it may lie.
    front(|a| a.shelf.parts.push(Offer::of(upper.clone())), &[]);
    let length = Part::length(Member::Panhard, 0.0, [0.0, 0.0]);
    let drag = Part::length(Member::DragLink, 0.0, [0.0, 0.0]);
    let low = || vec![hole(-40.0)];
    let misfits = |kind, part: &Part| {
        let mut axle = Axle::typical(kind, End::Front);
        axle.steering = None;
        axle.planned.parts = vec![part.clone()];
        let paths: Vec<_> = Truck::with_axle(axle, End::Front)
            .check()
            .into_iter()
            .map(|p| (p.path, p.rule))
            .collect();
        assert!(paths.is_empty() || paths == [("front.planned.parts[0]".to_owned(), Rule::Fits)]);
        !paths.is_empty()
    };
    // Which of the layouts, commonest first, each part does not fit; none has a steering linkage.
    let table = [
        (
            Part::Bracket { moves: Pivot::PanhardAxle, holes: low(), hole: 0 },
            [false, false, false, true, true],
        ),
        (
            Part::Bracket { moves: Pivot::PanhardChassis, holes: low(), hole: 0 },
            [false, false, false, true, true],
        ),
        (length, [false, false, false, true, true]),
        (
            Part::Bracket { moves: Pivot::Arm, holes: low(), hole: 0 },
            [false, false, false, false, true],
        ),
        (Part::turn(Turning::CasterBush, 3.0, vec![]), [false, true, true, true, true]),
        (upper, [true, false, false, false, true]),
        (drag.clone(), [true; 5]),
    ];
    for (part, want) in table {
        assert_eq!(LayoutKind::ALL.map(|kind| misfits(kind, &part)), want, "{part:?}");
    }
    front(|a| a.planned.parts = vec![drag], &[]);

    let bracket = |holes, hole| Part::Bracket { moves: Pivot::Arm, holes, hole };
    let length = |change, range_mm| Part::length(Member::Panhard, change, range_mm);
    let table = [
        (bracket(vec![], 0), "bracket.holes", Rule::Range),
        (bracket(vec![hole(1.0), hole(2.0)], 2), "bracket.hole", Rule::Agrees),
        (bracket(vec![hole(900.0)], 0), "bracket.holes[0].z_mm", Rule::Range),
        (bracket(vec![hole(1.0); 65], 0), "bracket.holes", Rule::Range),
        (length(15.0, [0.0, 10.0]), "length.change_mm", Rule::Agrees),
        (length(5.0, [10.0, 0.0]), "length.range_mm", Rule::Agrees),
        (length(5.0, [0.0, f64::NAN]), "length.range_mm[1]", Rule::Finite),
        (Part::length(Member::DragLink, 900.0, [-5.0, 5.0]), "length.change_mm", Rule::Range),
        (Part::turn(Turning::CasterBush, 3.0, vec![3.0, 99.0]), "turn.choices_deg[1]", Rule::Range),
    ];
    for (part, path, rule) in table {
        front(
            |a| a.shelf = [part.clone()].into_iter().collect(),
            &[(&format!("front.shelf.parts[0].part.{path}"), rule)],
        );
    }
}

#[test]
fn an_axle_that_does_not_steer_has_no_lock() {
    front(
        |a| a.kingpin = None,
        &[("front.steering", Rule::Agrees), ("front.limits.lock_deg", Rule::Agrees)],
    );
}

#[test]
fn texts_and_lists_have_an_end() {
    front(
        |a| a.pinion.y_mm.entered = Some("1".repeat(201)),
        &[("front.pinion.y_mm.entered", Rule::Range)],
    );
    let wheel = Wheel::new(Known::exact(203.2), Known::exact(0.0));
    let wheels = vec![Offer::of(Part::Wheel { wheel }); 65];
    front(|a| a.shelf.parts.clone_from(&wheels), &[("front.shelf.parts", Rule::Range)]);
    let named = Offer { name: "x".repeat(201), ..wheels[0].clone() };
    front(|a| a.shelf.parts = vec![named], &[("front.shelf.parts[0].name", Rule::Range)]);
    let dear = Offer { price: Some(Known::exact(-1.0)), ..wheels[0].clone() };
    front(|a| a.shelf.parts = vec![dear], &[("front.shelf.parts[0].price", Rule::Range)]);
}
