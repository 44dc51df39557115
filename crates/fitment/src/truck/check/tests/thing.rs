//! Every rule of what is beside the wheel, of the tire's section and of the parts that make room.

use super::{check, front, hole};
use crate::measure::Known;
use crate::truck::check::Rule;
use crate::truck::{
    Corner, End, Member, Mount, Part, Pivot, Shape, Thing, ThingKind, ThingSide, Truck, View,
    bounds,
};

const AT: &str = "front.surroundings.things[0]";

/// One thing on the front axle; its problems must be exactly these, by path within it.
fn thing(kind: ThingKind, change: impl FnOnce(&mut Thing), want: &[(&str, Rule)]) {
    let mut thing = Thing::new(kind, End::Front);
    change(&mut thing);
    let full: Vec<_> = want.iter().map(|(path, rule)| (format!("{AT}.{path}"), *rule)).collect();
    let want: Vec<_> = full.iter().map(|(path, rule)| (path.as_str(), *rule)).collect();
    front(|axle| axle.surroundings.things = vec![thing.clone()], &want);
}

/// The number of a shape by its place among the numbers, in the order they are written.
fn number(shape: &mut Shape, at: usize) -> &mut Known {
    shape.numbers_mut().into_iter().nth(at).unwrap()
}

fn outline(corners: &[[f64; 2]]) -> Shape {
    let corner = |&[a, b]: &[f64; 2]| Corner { a_mm: Known::exact(a), b_mm: Known::exact(b) };
    Shape::Outline {
        view: View::Side,
        corners: corners.iter().map(corner).collect(),
        from_mm: Known::exact(400.0),
        to_mm: Known::exact(700.0),
    }
}

#[test]
fn every_kind_starts_without_fault_at_either_end() {
    for kind in ThingKind::ALL {
        for end in [End::Front, End::Rear] {
            let found = check(|truck: &mut Truck| {
                let axle = truck.axle_mut(end).unwrap();
                axle.surroundings.things = vec![Thing::new(kind, end)];
            });
            assert_eq!(found, [], "{kind:?} {end:?}");
        }
    }
}

#[test]
fn numbers_of_a_thing_have_their_ranges() {
    // A box's faces, a bar's ends, what is inside the wheel, by their places.
    let fields = ["front_mm", "rear_mm", "inner_mm", "outer_mm", "bottom_mm", "top_mm"];
    for (at, field) in fields.into_iter().enumerate() {
        let path = format!("shape.{field}");
        thing(
            ThingKind::BodyMount,
            |thing| number(&mut thing.shape, at).value = f64::NAN,
            &[(&path, Rule::Finite)],
        );
    }
    let fields = ["from.x_mm", "from.y_mm", "from.z_mm", "to.x_mm", "to.y_mm", "to.z_mm"];
    for (at, field) in fields.into_iter().chain(["radius_mm"]).enumerate() {
        let path = format!("shape.{field}");
        thing(
            ThingKind::Shock,
            |thing| number(&mut thing.shape, at).value = 5000.0,
            &[(&path, Rule::Range)],
        );
    }
    for (at, field) in ["reach_mm", "inboard_mm", "outboard_mm"].into_iter().enumerate() {
        let path = format!("shape.{field}");
        thing(
            ThingKind::BrakeCaliper,
            |thing| number(&mut thing.shape, at).value = 5000.0,
            &[(&path, Rule::Range)],
        );
    }
    thing(
        ThingKind::BrakeCaliper,
        |thing| number(&mut thing.shape, 0).sigma = -1.0,
        &[("shape.reach_mm.sigma", Rule::Range)],
    );
    thing(ThingKind::Other, |thing| thing.name = "x".repeat(201), &[("name", Rule::Range)]);
}

#[test]
fn faces_and_ends_are_in_order() {
    thing(
        ThingKind::BodyMount,
        |thing| number(&mut thing.shape, 0).value = -700.0,
        &[("shape.front_mm", Rule::Apart)],
    );
    thing(
        ThingKind::BodyMount,
        |thing| number(&mut thing.shape, 3).value = 300.0,
        &[("shape.outer_mm", Rule::Apart)],
    );
    thing(
        ThingKind::BodyMount,
        |thing| number(&mut thing.shape, 5).value = 0.0,
        &[("shape.top_mm", Rule::Apart)],
    );
    thing(
        ThingKind::SteeringArm,
        |thing| number(&mut thing.shape, 2).value = -200.0,
        &[("shape.outboard_mm", Rule::Apart)],
    );
    thing(
        ThingKind::Shock,
        |thing| {
            if let Shape::Bar { from, to, .. } = &mut thing.shape {
                *to = from.clone();
            }
        },
        &[("shape.to", Rule::Apart)],
    );
}

#[test]
fn an_outline_is_one() {
    let square = [[0.0, 0.0], [50.0, 0.0], [50.0, 50.0]];
    let traced = |shape: Shape, want: &[(&str, Rule)]| {
        thing(ThingKind::Other, |thing| thing.shape = shape, want);
    };
    traced(outline(&square), &[]);
    traced(outline(&square[..2]), &[("shape.corners", Rule::Range)]);
    traced(outline(&[[0.0, 0.0]; 3]), &[("shape.corners[0]", Rule::Apart)]);
    traced(outline(&[[0.0, 0.0], [50.0, 0.0], [0.0, 0.5]]), &[("shape.corners[2]", Rule::Apart)]);
    let many: Vec<_> = (0..=bounds::LIST).map(|at| [10.0 * at as f64, 0.0]).collect();
    traced(outline(&many), &[("shape.corners", Rule::Range)]);
    let mut back = outline(&square);
    number(&mut back, 7).value = 300.0;
    traced(back, &[("shape.to_mm", Rule::Apart)]);
    let mut lost = outline(&square);
    number(&mut lost, 3).value = f64::INFINITY;
    traced(lost, &[("shape.corners[1].b_mm", Rule::Finite)]);
}

#[test]
fn a_thing_rides_on_what_can_carry_it() {
    let ride = |kind, on, fine| {
        let want: &[(&str, Rule)] = if fine { &[] } else { &[("on", Rule::Agrees)] };
        thing(kind, |thing| thing.on = on, want);
    };
    ride(ThingKind::BodyMount, Mount::Between, false);
    ride(ThingKind::BodyMount, Mount::Axle, true);
    ride(ThingKind::Shock, Mount::Between, true);
    ride(ThingKind::BrakeCaliper, Mount::Chassis, false);
    ride(ThingKind::BrakeCaliper, Mount::Between, false);
    ride(ThingKind::BrakeCaliper, Mount::Axle, true);
    thing(ThingKind::BodyMount, |thing| thing.side = ThingSide::Right, &[]);
}

#[test]
fn there_are_only_so_many_things() {
    let many = vec![Thing::new(ThingKind::Other, End::Front); bounds::LIST + 1];
    front(
        |axle| axle.surroundings.things.clone_from(&many),
        &[("front.surroundings.things", Rule::Range)],
    );
}

#[test]
fn what_a_straightedge_reads_has_its_ranges() {
    let some = |value| Some(Known::exact(value));
    front(|a| a.planned.tire.tread_mm = some(5.0), &[("front.planned.tire.tread_mm", Rule::Range)]);
    front(
        |a| a.planned.tire.crown_mm = some(-1.0),
        &[("front.planned.tire.crown_mm", Rule::Range)],
    );
    front(
        |a| a.planned.tire.shoulder_mm = some(f64::NAN),
        &[("front.planned.tire.shoulder_mm", Rule::Finite)],
    );
    front(
        |a| a.planned.tire.shoulder_drop_mm = some(900.0),
        &[("front.planned.tire.shoulder_drop_mm", Rule::Range)],
    );
    front(|a| a.planned.packing_mm = some(500.0), &[("front.planned.packing_mm", Rule::Range)]);
    front(
        |a| a.planned.wheel.spoke_mm = some(500.0),
        &[("front.planned.wheel.spoke_mm", Rule::Range)],
    );
    front(
        |a| a.planned.wheel.inside_mm = some(15.0),
        &[("front.planned.wheel.inside_mm", Rule::Range)],
    );
    // A 16 in rim is 405.6 or 406.4 mm across at the bead, so less inside.
    front(
        |a| a.planned.wheel.inside_mm = some(410.0),
        &[("front.planned.wheel.inside_mm", Rule::Agrees)],
    );
    front(|a| a.planned.wheel.inside_mm = some(370.0), &[]);
    front(
        |a| {
            a.planned.tire.tread_mm = some(280.0);
            a.planned.tire.shoulder_mm = some(260.0);
        },
        &[("front.planned.tire.tread_mm", Rule::Agrees)],
    );
    front(
        |a| {
            let wheel = crate::truck::Wheel { inside_mm: some(9.0), ..a.planned.wheel.clone() };
            a.shelf = [Part::Wheel { wheel }].into_iter().collect();
        },
        &[("front.shelf.parts[0].part.wheel.wheel.inside_mm", Rule::Range)],
    );
}

#[test]
fn parts_that_make_room_fit_and_agree() {
    let trim = |depth| Part::ArchTrim { depth_mm: Known::exact(depth) };
    let stop = |change, range_mm| Part::length(Member::BumpStop, change, range_mm);
    let lock = |lock, range_deg| Part::SteeringStop { lock_deg: Known::exact(lock), range_deg };
    let table = [
        (trim(-1.0), "arch_trim.depth_mm", Rule::Range),
        (stop(900.0, [0.0, 50.0]), "length.change_mm", Rule::Range),
        (stop(60.0, [0.0, 50.0]), "length.change_mm", Rule::Agrees),
        (stop(20.0, [50.0, 0.0]), "length.range_mm", Rule::Agrees),
        (lock(70.0, [20.0, 35.0]), "steering_stop.lock_deg", Rule::Range),
        (lock(40.0, [20.0, 35.0]), "steering_stop.lock_deg", Rule::Agrees),
        (lock(25.0, [20.0, f64::NAN]), "steering_stop.range_deg[1]", Rule::Finite),
    ];
    for (part, path, rule) in table {
        let path = format!("front.shelf.parts[0].part.{path}");
        front(|a| a.shelf = [part.clone()].into_iter().collect(), &[(&path, rule)]);
    }
    let fitted = [trim(20.0), stop(25.0, [0.0, 50.0]), lock(27.0, [20.0, 35.0])];
    front(|a| a.planned.parts.extend(fitted.clone()), &[]);
    // Nothing to cut, and nothing that steers.
    front(
        |a| {
            a.surroundings.arch = None;
            a.planned.parts = vec![trim(20.0)];
        },
        &[("front.planned.parts[0]", Rule::Fits)],
    );
    let rear = check(|truck| {
        let rear = truck.rear.as_mut().unwrap();
        rear.planned.parts = vec![stop(10.0, [0.0, 20.0]), lock(0.0, [0.0, 0.0])];
    });
    assert_eq!(rear, [("rear.planned.parts[1]".to_owned(), Rule::Fits)]);
    // What makes room and what moves a pivot go together.
    let bracket = Part::Bracket { moves: Pivot::Arm, holes: vec![hole(-40.0)], hole: 0 };
    assert!(trim(20.0).makes_room() && !bracket.makes_room());
}
