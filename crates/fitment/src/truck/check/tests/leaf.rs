//! Leaf springs, broken rule by rule.

use super::super::Rule;
use crate::truck::{Axle, End, Layout, LayoutKind, LeafRates, LeafSpring, Truck};

/// The problems of a typical leaf-sprung axle with one change, by path from its layout.
fn check(end: End, change: impl FnOnce(&mut LeafSpring, &mut LeafRates)) -> Vec<(String, Rule)> {
    let mut axle = Axle::typical(LayoutKind::Leaf, end);
    if let Layout::LeafSprings { left, rates, .. } = &mut axle.layout {
        change(left, rates);
    }
    let name = match end {
        End::Front => "front",
        End::Rear => "rear",
    };
    let prefix = format!("{name}.layout.leaf_springs.");
    let found = Truck::with_axle(axle, end).check();
    found
        .into_iter()
        .map(|problem| {
            assert!(problem.remedy.ends_with('.'), "{problem:?}");
            (problem.path.strip_prefix(&prefix).unwrap_or(&problem.path).to_owned(), problem.rule)
        })
        .collect()
}

#[test]
fn each_rule_of_a_spring_by_path() {
    type Change = fn(&mut LeafSpring, &mut LeafRates);
    let table: &[(Change, &str, Rule)] = &[
        (|s, _| s.seat.z_mm.value = 7000.0, "left.seat.z_mm", Rule::Range),
        (|s, _| s.fixed_eye.y_mm.value = -420.0, "left.fixed_eye.y_mm", Rule::Agrees),
        (
            |s, _| s.shackle_eye.x_mm.value = -s.shackle_eye.x_mm.value,
            "left.shackle_eye",
            Rule::Agrees,
        ),
        (|s, _| s.fixed_eye.x_mm.value *= 0.4, "left.fixed_eye", Rule::Apart),
        (|s, _| s.shackle_eye.z_mm.value = 70.0 + 260.0, "left.shackle_eye", Rule::Range),
        (|s, _| s.fixed_eye.z_mm.value = 70.0 - 240.0, "left.fixed_eye", Rule::Range),
        (|s, _| s.shackle_chassis = s.shackle_eye.clone(), "left.shackle_chassis", Rule::Apart),
        (|_, r| r.clamped_mm.value = -1.0, "rates.clamped_mm", Rule::Range),
        (|_, r| r.clamped_mm.value = 301.0, "rates.clamped_mm", Rule::Range),
        (|_, r| r.clamped_mm.value = f64::NAN, "rates.clamped_mm", Rule::Finite),
        (|_, r| r.vertical_n_per_mm.value = 0.0, "rates.vertical_n_per_mm", Rule::Range),
        (|_, r| r.lateral_n_per_mm.value = -300.0, "rates.lateral_n_per_mm", Rule::Range),
        (|_, r| r.twist_nm_per_deg.value = 0.0, "rates.twist_nm_per_deg", Rule::Range),
    ];
    for (change, path, rule) in table {
        for end in [End::Front, End::Rear] {
            assert_eq!(check(end, change), [((*path).to_owned(), *rule)], "{end:?}");
        }
    }
}

#[test]
fn a_right_spring_lies_on_the_right() {
    let mut axle = Axle::typical(LayoutKind::Leaf, End::Rear);
    if let Layout::LeafSprings { left, right, eye_bush, .. } = &mut axle.layout {
        *right = Some(left.clone());
        eye_bush.axial_n_per_mm.value = 0.0;
    }
    let found: Vec<_> =
        Truck::with_axle(axle, End::Rear).check().into_iter().map(|p| (p.path, p.rule)).collect();
    let at = |name: &str| (format!("rear.layout.leaf_springs.{name}"), Rule::Agrees);
    assert_eq!(
        found,
        [
            at("right.seat.y_mm"),
            at("right.fixed_eye.y_mm"),
            at("right.shackle_eye.y_mm"),
            at("right.shackle_chassis.y_mm"),
            ("rear.layout.leaf_springs.eye_bush.axial_n_per_mm".to_owned(), Rule::Range),
        ]
    );
}

/// Spring-over or spring-under, shackle ahead or behind: all fine.
#[test]
fn every_way_round_is_fine() {
    for end in [End::Front, End::Rear] {
        for under in [false, true] {
            for turned in [false, true] {
                let found = check(end, |spring, _| {
                    let LeafSpring { seat, fixed_eye, shackle_eye, shackle_chassis } = spring;
                    if under {
                        for point in
                            [&mut *seat, &mut *fixed_eye, &mut *shackle_eye, &mut *shackle_chassis]
                        {
                            point.z_mm.value -= 140.0;
                        }
                    }
                    if turned {
                        for point in [seat, fixed_eye, shackle_eye, shackle_chassis] {
                            point.x_mm.value = -point.x_mm.value;
                        }
                    }
                });
                assert_eq!(found, [], "{end:?} {under} {turned}");
            }
        }
    }
}
