//! The steering linkage, broken rule by rule.

use super::super::Rule;
use super::front;
use crate::measure::Known;
use crate::truck::{Axle, Joins, Point, Shaft, Side, Steering};

fn steering(axle: &mut Axle) -> &mut Steering {
    axle.steering.as_mut().unwrap()
}

fn point(x: f64, y: f64, z: f64) -> Point {
    let [x_mm, y_mm, z_mm] = [x, y, z].map(Known::exact);
    Point { x_mm, y_mm, z_mm }
}

#[test]
fn each_rule_by_path() {
    type Change = fn(&mut Steering);
    let table: &[(Change, &str, Rule)] = &[
        (|s| s.pitman.pivot.z_mm.value = 1900.0, "pitman.pivot.z_mm", Rule::Range),
        (|s| s.pitman.end.x_mm.value = 290.0, "pitman.end", Rule::Apart),
        // Along the shaft nothing swings.
        (|s| s.pitman.end = point(330.0, 370.0, -100.0), "pitman.end", Rule::Apart),
        (|s| s.drag_link.end.x_mm.value = f64::NAN, "drag_link.end.x_mm", Rule::Finite),
        (|s| s.drag_link.joins = Joins::LeftKnuckle, "drag_link.end.y_mm", Rule::Agrees),
        (|s| s.drag_link.end = point(10.0, -620.0, 30.0), "drag_link.end", Rule::Apart),
        (|s| s.tie_rod.left.y_mm.value = -585.0, "tie_rod.left.y_mm", Rule::Agrees),
        (|s| s.tie_rod.left = point(-150.0, 30.0, -20.0), "tie_rod.left", Rule::Apart),
        (|s| s.tie_rod.left = point(-5.0, 610.0, -20.0), "tie_rod.left", Rule::Apart),
        (|s| s.tie_rod.right = Some(point(0.0, -620.0, -20.0)), "tie_rod.right", Rule::Apart),
        (|s| s.tie_rod.right = Some(s.tie_rod.left.clone()), "tie_rod.right.y_mm", Rule::Agrees),
        (|s| s.ratio.value = 0.0, "ratio", Rule::Range),
        (|s| s.ratio.sigma = -1.0, "ratio.sigma", Rule::Range),
        (
            |s| {
                s.drag_link.joins = Joins::TieRod;
                s.drag_link.end = point(-150.0, -700.0, -20.0);
            },
            "drag_link.end",
            Rule::Agrees,
        ),
        (
            |s| {
                s.drag_link.joins = Joins::TieRod;
                s.drag_link.end = point(200.0, -300.0, -20.0);
            },
            "drag_link.end",
            Rule::Agrees,
        ),
    ];
    for (change, path, rule) in table {
        front(|a| change(steering(a)), &[(&format!("front.steering.{path}"), *rule)]);
    }
}

#[test]
fn either_drive_and_every_kind_is_fine() {
    for driver in Side::BOTH {
        front(|a| a.steering = Some(Steering::typical(driver)), &[]);
        // Inverted Y, a hand below the rod.
        front(
            |a| {
                let mut inverted = Steering::typical(driver);
                inverted.drag_link.joins = Joins::TieRod;
                inverted.drag_link.end = point(-130.0, -400.0 * driver.sign(), 0.0);
                a.steering = Some(inverted);
            },
            &[],
        );
        // Fore and aft, the box ahead of the near wheel.
        front(
            |a| {
                let mut along = Steering::typical(driver);
                along.pitman.pivot = point(700.0, 520.0 * driver.sign(), 260.0);
                along.pitman.end = point(690.0, 520.0 * driver.sign(), 90.0);
                along.pitman.shaft = Shaft::Across;
                along.drag_link.end = point(130.0, 560.0 * driver.sign(), 90.0);
                along.drag_link.joins = match driver {
                    Side::Left => Joins::LeftKnuckle,
                    Side::Right => Joins::RightKnuckle,
                };
                a.steering = Some(along);
            },
            &[],
        );
    }
    front(|a| a.steering = None, &[]);
}

#[test]
fn a_drag_link_that_is_no_link_is_refused() {
    front(
        |a| {
            let linkage = steering(a);
            linkage.pitman.end = point(160.0, 420.0, 85.0);
            linkage.drag_link.end = point(170.0, 500.0, 85.0);
            linkage.drag_link.joins = Joins::LeftKnuckle;
        },
        &[("front.steering.drag_link.end", Rule::Apart)],
    );
}

#[test]
fn a_steering_axis_of_no_number_is_named_once() {
    front(
        |a| a.kingpin.as_mut().unwrap().caster_deg.value = f64::NAN,
        &[("front.kingpin.caster_deg", Rule::Finite)],
    );
}
