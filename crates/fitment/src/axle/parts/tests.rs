//! Each kind of part moves what it says and nothing else, by closed forms where there are any.

use crate::{
    axle::{Attitude, AxleModel, Linkage, Members, Output, attitude, attitude_turned, solve_ride},
    axle::{Turn, answer},
    measure::Known,
    tire,
    truck::{
        Axle, Driveline, End, Hole, Hose, LayoutKind, Member, Part, PartKind, Pivot, ShaftKind,
        Side, State, Step, Tire, Truck, Turning, Wheel,
    },
};
use nalgebra::Vector3;

/// A front axle that is planned as it is stock, with everything a part may need.
fn axle(kind: LayoutKind) -> Axle {
    let mut axle = Axle::typical(kind, End::Front);
    axle.driveline = Some(Driveline {
        slip_in_mm: Some(Known::exact(40.0)),
        slip_out_mm: Some(Known::exact(60.0)),
        ..Driveline::typical(End::Front)
    });
    axle.hose = Some(Hose::typical());
    axle
}

fn read(axle: &Axle) -> AxleModel<f64> {
    let truck = Truck::with_axle(axle.clone(), End::Front);
    AxleModel::of(&truck, End::Front, State::Planned).unwrap()
}

/// With parts fitted, at its ride height, wheels straight relative to the axle.
fn outputs(axle: &Axle, parts: &[Part]) -> Attitude<f64> {
    let model = read(axle).with_parts(parts).unwrap();
    let pose = solve_ride(&model).unwrap();
    attitude(&model, &pose, 0.0)
}

fn change(axle: &Axle, parts: &[Part], output: Output) -> f64 {
    outputs(axle, parts).get(output).unwrap() - outputs(axle, &[]).get(output).unwrap()
}

fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got - want).abs() < within, "{what}: {got}, want {want}");
}

fn hole(x: f64, y: f64, z: f64) -> Vec<Hole> {
    let [x_mm, y_mm, z_mm] = [x, y, z].map(Known::exact);
    vec![Hole { name: "it".into(), x_mm, y_mm, z_mm }]
}

/// Every number of a linkage.
fn numbers(linkage: &Linkage<f64>) -> Vec<f64> {
    let mut all = Vec::new();
    linkage.map(&mut |v: f64| {
        all.push(v);
        v
    });
    all
}

#[test]
fn fitted_and_taken_off_again_nothing_is_left_of_any_part() {
    for kind in LayoutKind::ALL {
        let bare = axle(kind);
        let model = read(&bare);
        for part in PartKind::ALL.map(|kind| Part::typical(kind, &bare)) {
            if !part.kind().traits().needs.met(&bare) {
                // What does not fit is refused, unless it has no bearing on the pose.
                let refused = model.with_parts(std::slice::from_ref(&part)).is_err();
                assert!(refused, "{kind:?} {part:?}");
                continue;
            }
            let fitted = model.with_parts(std::slice::from_ref(&part)).unwrap();
            assert_eq!(fitted.with_parts(&[]).unwrap(), model, "{kind:?} {part:?}");
            // Tried on or written down, it is the same.
            let mut worn = bare.clone();
            worn.planned.parts = vec![part.clone()];
            assert_eq!(read(&worn), fitted, "{kind:?} {part:?}");
            // And it does something, unless it only makes room or stands as stock.
            let idle = match &part {
                Part::Length { of, change_mm, .. } => {
                    *of == Member::BumpStop || change_mm.value.abs() < 1e-12
                }
                part => {
                    matches!(part.kind(), PartKind::ArchTrim | PartKind::SteeringStop)
                        || matches!(part, Part::Wheel { .. } | Part::Tire { .. })
                }
            };
            assert_eq!(fitted == model, idle, "{kind:?} {part:?}");
        }
    }
}

#[test]
fn a_bracket_moves_its_pivot_and_no_length() {
    let by = Vector3::new(3.0, 5.0, -7.0);
    let other = Vector3::new(3.0, -5.0, -7.0);
    for kind in [LayoutKind::ThreeLink, LayoutKind::FourLink, LayoutKind::RadiusArms] {
        let model = read(&axle(kind));
        for moves in [
            Pivot::PanhardAxle,
            Pivot::PanhardChassis,
            Pivot::Arm,
            Pivot::LowerAxle,
            Pivot::UpperChassis,
            Pivot::UpperAxle,
        ] {
            let Ok(fitted) = model.with_parts(&[Part::bracket(moves, hole(3.0, 5.0, -7.0), 0)])
            else {
                assert_eq!(kind, LayoutKind::RadiusArms, "{moves:?}");
                continue;
            };
            let mut want = model.fitted;
            match (moves, &mut want.members) {
                (Pivot::PanhardAxle, _) => want.panhard.as_mut().unwrap().axle += by,
                (Pivot::PanhardChassis, _) => want.panhard.as_mut().unwrap().chassis += by,
                (Pivot::Arm, Members::Arms([left, right])) => {
                    left.to_chassis.as_mut().unwrap().on_body += by;
                    right.to_chassis.as_mut().unwrap().on_body += other;
                }
                (
                    Pivot::Arm,
                    Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]),
                )
                | (Pivot::UpperChassis, Members::FourLinks([.., left, right])) => {
                    left.chassis += by;
                    right.chassis += other;
                }
                (
                    Pivot::LowerAxle,
                    Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]),
                )
                | (Pivot::UpperAxle, Members::FourLinks([.., left, right])) => {
                    left.axle += by;
                    right.axle += other;
                }
                (Pivot::UpperChassis, Members::ThreeLinks([.., upper])) => upper.chassis += by,
                (Pivot::UpperAxle, Members::ThreeLinks([.., upper])) => upper.axle += by,
                _ => panic!("{kind:?} {moves:?}"),
            }
            assert_eq!(numbers(&fitted.fitted), numbers(&want), "{kind:?} {moves:?}");
            assert_eq!(AxleModel { fitted: model.fitted, ..fitted }, model, "{kind:?} {moves:?}");
        }
    }
}

#[test]
fn an_arm_bracket_works_down_and_forward() {
    // Three parallel links of like length: the axle keeps its attitude and moves as its eyes do.
    let mut axle = axle(LayoutKind::FourLink);
    let crate::truck::Layout::FourLink { lower_left, upper_left, .. } = &mut axle.layout else {
        panic!("four links")
    };
    for (link, z) in [(lower_left, -60.0), (upper_left, 140.0)] {
        for (point, x) in [(&mut link.axle, 0.0), (&mut link.chassis, -900.0)] {
            (point.x_mm, point.z_mm) = (Known::exact(x), Known::exact(z));
        }
    }
    let arm = |x, z| Part::bracket(Pivot::Arm, hole(x, 0.0, z), 0);
    // Down: the lower links' axle ends go rearward by 900 − √(900² − 40²), the uppers' stay.
    // Without lift that draws the axle's bottom rearward: a little caster is lost.
    let back = 900.0 - (900.0_f64.powi(2) - 40.0_f64.powi(2)).sqrt();
    let down = change(&axle, &[arm(0.0, -40.0)], Output::Caster);
    near(down, -(back / 200.0).asin().to_degrees(), 0.02, "down");
    // Forward by 20 at the bottom of 200 mm turns the axle's top rearward by asin(20 / 200).
    let ahead = change(&axle, &[arm(20.0, 0.0)], Output::Caster);
    near(ahead, (20.0_f64 / 200.0).asin().to_degrees(), 0.05, "forward");
}

#[test]
fn turned_knuckles_add_caster_and_leave_the_pinion() {
    for kind in LayoutKind::ALL {
        let axle = axle(kind);
        let turn = [Part::turn(Turning::KnuckleFlange, 4.0, vec![])];
        for output in [Output::Caster, Output::CasterLeft, Output::CasterRight] {
            near(change(&axle, &turn, output), 4.0, 1e-9, "caster");
        }
        for output in [Output::Pinion, Output::Panhard, Output::WheelbaseLeft, Output::JointAxle] {
            let Some(before) = outputs(&axle, &[]).get(output) else { continue };
            near(outputs(&axle, &turn).get(output).unwrap(), before, 1e-9, output.key());
        }
        // Trail grows as the axis leans: r·(tan 7.5° − tan 3.5°), the hub on the axis.
        let model = read(&axle);
        let lever = model.loaded_radius;
        let want = lever * (7.5_f64.to_radians().tan() - 3.5_f64.to_radians().tan());
        near(change(&axle, &turn, Output::TrailLeft), want, 1e-6, "trail");
        // The tie rod's joint, 150 mm behind the tube and 20 below it, goes round with the knuckle.
        let turned = model.with_parts(&turn).unwrap().turning.unwrap();
        let (s, c) = 4.0_f64.to_radians().sin_cos();
        near(turned.tie[0].x, -150.0 * c + 20.0 * s, 1e-9, "tie rod, along");
        near(turned.tie[0].z, -150.0 * s - 20.0 * c, 1e-9, "tie rod, up");
        near(turned.tie_length, model.turning.unwrap().tie_length, 1e-12, "tie rod's length");
        // What the knuckle carries goes with it.
        let fitted = model.with_parts(&turn).unwrap();
        let pose = solve_ride(&fitted).unwrap();
        let at = fitted.knuckle(&pose, Side::Left, 0.0).point(&Vector3::new(100.0, 600.0, 0.0));
        near(at.x - pose.axle.shift.x, 100.0 * c, 0.5, "caliper, along");
        near(at.z - pose.axle.shift.z, 100.0 * s, 0.5, "caliper, up");
    }
}

#[test]
fn bushes_and_wedges_turn_caster_and_pinion_alike() {
    for (kind, by) in [
        (LayoutKind::RadiusArms, Turning::CasterBush),
        (LayoutKind::RadiusArms, Turning::Wedge),
        (LayoutKind::Leaf, Turning::Wedge),
    ] {
        let axle = axle(kind);
        let turn = [Part::turn(by, 4.0, vec![])];
        let caster = change(&axle, &turn, Output::Caster);
        // The leaves give a little, for the axle's middle lies below what it turns about.
        near(caster, 4.0, 0.25, "caster");
        // The front flange looks rearward: it goes down as the top goes rearward.
        near(change(&axle, &turn, Output::Pinion), -caster, 1e-6, "pinion");
    }
}

#[test]
fn spacers_wheels_and_tires_move_the_wheel_as_written_down() {
    let axle = axle(LayoutKind::ThreeLink);
    let spacer = [Part::step(Step::Spacer, 30.0, vec![])];
    near(change(&axle, &spacer, Output::ScrubLeft), 30.0, 1e-9, "scrub");
    near(change(&axle, &spacer, Output::TrailLeft), 0.0, 1e-9, "trail");
    let wheel = Wheel::new(Known::exact(203.2), Known::exact(-9.0));
    // From 31 to −9: 40 mm outboard.
    let parts = [Part::Wheel { wheel }, spacer[0].clone()];
    near(change(&axle, &parts, Output::ScrubRight), 70.0, 1e-9, "offset and spacer");
    // A taller tire: trail by Δr·tan caster, scrub by −Δr·tan of the inclination.
    let tall = Tire::sized("315/75R16");
    let radius = |tire| tire::resolve(tire, &axle.planned.wheel).unwrap().loaded_radius.value;
    let taller = radius(&tall) - radius(&axle.planned.tire);
    assert!(taller > 10.0, "{taller}");
    let parts = [Part::Tire { tire: tall.clone() }];
    let tan = |deg: f64| deg.to_radians().tan();
    near(change(&axle, &parts, Output::TrailLeft), taller * tan(3.5), 1e-6, "trail");
    near(change(&axle, &parts, Output::ScrubLeft), -taller * tan(9.0), 1e-6, "scrub");
    // As a part or in the fields, all the same.
    let mut written = axle.clone();
    written.planned.tire = tall;
    written.planned.lift_mm = Known::exact(50.0);
    let parts = [parts[0].clone(), Part::step(Step::Spring, 50.0, vec![])];
    assert_eq!(outputs(&axle, &parts), outputs(&written, &[]));
    let mut worn = axle.clone();
    worn.planned.parts = parts.to_vec();
    let settled = worn.fitted(State::Planned).into_owned();
    assert!(settled.parts.is_empty(), "{settled:?}");
    near(settled.lift_mm.value, 50.0, 1e-12, "lift");
    assert_eq!(settled.tire, written.planned.tire);
}

#[test]
fn the_drag_links_ends_tilt_it_by_the_closed_form() {
    let axle = axle(LayoutKind::ThreeLink);
    let s = axle.steering.as_ref().unwrap();
    let (end, joint) = (&s.pitman.end, &s.drag_link.end);
    let rise = end.z_mm.value - joint.z_mm.value;
    let span = (end.y_mm.value - joint.y_mm.value).abs();
    for (part, lower) in [
        (Part::step(Step::Pitman, 50.0, vec![]), 50.0),
        (Part::bracket(Pivot::DragLink, hole(0.0, 0.0, 70.0), 0), 70.0),
    ] {
        // With the link set so that the wheels point straight and the arm stands as it did.
        let moved = read(&axle).with_parts(std::slice::from_ref(&part)).unwrap();
        let pose = solve_ride(&moved).unwrap();
        let length = moved.straight_drag_length(&pose).unwrap();
        let set = length - moved.turning.unwrap().design_length;
        let parts = [part, Part::length(Member::DragLink, set, [-90.0, 90.0])];
        let model = read(&axle).with_parts(&parts).unwrap();
        let got = attitude_turned(&model, &pose, Turn::Straight);
        let want = ((rise - lower) / span).atan().to_degrees();
        near(got.get(Output::DragLink).unwrap(), want, 1e-6, "drag link");
        near(got.get(Output::SteeringWheel).unwrap(), 0.0, 1e-6, "steering wheel");
    }
}

#[test]
fn longer_arms_are_longer() {
    for kind in [LayoutKind::RadiusArms, LayoutKind::ThreeLink, LayoutKind::FourLink] {
        let model = read(&axle(kind));
        let longer = model.with_parts(&[Part::length(Member::Arm, 25.0, [0.0, 40.0])]).unwrap();
        let length = |model: &AxleModel<f64>| match &model.fitted.members {
            Members::Arms(arms) => {
                (arms[1].to_chassis.unwrap().on_limb - arms[1].axle_end()).norm()
            }
            Members::ThreeLinks(links) => links[1].length,
            Members::FourLinks(links) => links[1].length,
            Members::Leaves(_) => panic!("no arms"),
        };
        near(length(&longer), length(&model) + 25.0, 1e-9, "arm");
        let pose = solve_ride(&longer).unwrap();
        // The arms run rearward, so the axle goes forward; of the links' the lower half alone.
        let ahead = pose.axle.shift.x;
        assert!((5.0..=26.0).contains(&ahead), "{kind:?} {ahead}");
    }
}

#[test]
fn a_bend_clears_and_moves_nothing() {
    for kind in [LayoutKind::RadiusArms, LayoutKind::ThreeLink] {
        let bare = axle(kind);
        let [x_mm, y_mm, z_mm] = [4.0, -30.0, 9.0].map(Known::exact);
        let parts = [Part::Bend { x_mm, y_mm, z_mm }];
        assert_eq!(outputs(&bare, &parts), outputs(&bare, &[]));
        let model = read(&bare).with_parts(&parts).unwrap();
        let pose = solve_ride(&model).unwrap();
        for side in Side::BOTH {
            let straight = read(&bare).lower_line(&pose, side);
            let bent = model.lower_line(&pose, side);
            let [.., a, b] = straight.as_slice() else { panic!("two ends") };
            let want = (a + b) / 2.0 + Vector3::new(4.0, -30.0 * side.sign(), 9.0);
            near((bent[bent.len() - 2] - want).norm(), 0.0, 1e-12, "middle");
            assert_eq!(bent.len(), straight.len() + 1);
        }
    }
}

#[test]
fn joints_slip_and_hose_follow_from_the_pose() {
    let mut axle = axle(LayoutKind::ThreeLink);
    axle.pinion.angle_deg = Known::exact(0.0);
    axle.pinion.length_mm = Known::exact(300.0);
    axle.pinion.y_mm = Known::exact(0.0);
    let line = axle.driveline.as_mut().unwrap();
    line.case.x_mm = Known::exact(-1300.0);
    line.case.y_mm = Known::exact(0.0);
    line.case.z_mm = Known::exact(100.0);
    line.case_slope_deg = Known::exact(2.0);
    let slope = |drop: f64| (drop / 1000.0).atan().to_degrees();
    let at = |parts: &[Part], output| outputs(&axle, parts).get(output).unwrap();
    // 1000 mm along and 100 down; the pinion lies level, the case's output slopes 2° the same way.
    near(at(&[], Output::JointCase), slope(100.0) - 2.0, 1e-9, "case");
    near(at(&[], Output::JointAxle), slope(100.0), 1e-9, "axle");
    near(at(&[], Output::JointOpen), 2.0, 1e-9, "not canceled");
    let lowered = [Part::step(Step::TransferCase, 30.0, vec![])];
    near(at(&lowered, Output::JointCase), slope(70.0) - 2.0, 1e-9, "case dropped");
    // The shaft is shorter then: √(1000² + 70²) against √(1000² + 100²), and slides in.
    let slid = 1000.0_f64.hypot(100.0) - 1000.0_f64.hypot(70.0);
    near(at(&lowered, Output::SlipIn), 40.0 - slid, 1e-9, "slip in");
    near(at(&lowered, Output::SlipOut), 60.0 + slid, 1e-9, "slip out");
    let longer = [Part::length(Member::Driveshaft, 15.0, [0.0, 50.0])];
    near(at(&longer, Output::SlipIn), 25.0, 1e-9, "longer, in");
    near(at(&longer, Output::SlipOut), 75.0, 1e-9, "longer, out");
    let double = [Part::DoubleCardan {}];
    near(at(&double, Output::JointCase), (slope(100.0) - 2.0) / 2.0, 1e-9, "each half");
    near(at(&double, Output::JointOpen), slope(100.0), 1e-9, "behind a double");
    let mut built_so = axle.clone();
    built_so.driveline.as_mut().unwrap().shaft = ShaftKind::DoubleCardan;
    assert_eq!(outputs(&built_so, &[]), outputs(&axle, &double));

    // The hose from (−60, 390, 260) to (−60, 600, 80) on the knuckle, 430 along it.
    let apart = 210.0_f64.hypot(180.0);
    near(at(&[], Output::HoseSlack), 430.0 - apart, 1e-9, "hose");
    let extended = [Part::length(Member::BrakeHose, 80.0, [80.0, 80.0])];
    near(at(&extended, Output::HoseSlack), 510.0 - apart, 1e-9, "hose, longer");
}

#[test]
fn what_a_part_may_be_off_by_is_in_the_answer() {
    let mut axle = axle(LayoutKind::ThreeLink);
    let parts = |sigma: f64| {
        let off = |value| Known::published(value, sigma);
        vec![
            Part::Turn { by: Turning::KnuckleFlange, angle_deg: off(4.0), choices_deg: vec![] },
            Part::Step { of: Step::Spacer, step_mm: off(30.0), choices_mm: vec![] },
        ]
    };
    let sigma = |axle: &Axle, output| {
        let truck = Truck::with_axle(axle.clone(), End::Front);
        answer(&truck, End::Front, State::Planned).unwrap().sigma.get(output).unwrap()
    };
    axle.planned.parts = parts(0.0);
    let before = [Output::Caster, Output::ScrubLeft].map(|output| sigma(&axle, output));
    axle.planned.parts = parts(0.5);
    let after = [Output::Caster, Output::ScrubLeft].map(|output| sigma(&axle, output));
    // Independent, so they add in squares: half a degree of caster, half a millimetre of scrub.
    for (before, after) in before.into_iter().zip(after) {
        near(after, before.hypot(0.5), 1e-3, "sigma");
    }
}
