//! What holds the axle sideways, broken rule by rule.

use super::super::Rule;
use super::{bar, front, hole};
use crate::measure::{Instrument, Known};
use crate::truck::{Axle, Carrier, End, Layout, LayoutKind, Part, Pivot, Truck, Watts};

/// The problems of a typical axle with one change, by path.
fn check(kind: LayoutKind, change: impl FnOnce(&mut Axle)) -> Vec<(String, Rule)> {
    let mut axle = Axle::typical(kind, End::Rear);
    change(&mut axle);
    let truck = Truck::with_axle(axle, End::Rear);
    truck.check().into_iter().map(|problem| (problem.path, problem.rule)).collect()
}

fn watts(axle: &mut Axle) -> &mut Watts {
    axle.panhard = None;
    axle.watts.get_or_insert_with(|| Watts::typical(End::Rear))
}

#[test]
fn exactly_one_thing_holds_the_axle() {
    let none = ("rear.panhard".to_owned(), Rule::Agrees);
    let both = ("rear.watts".to_owned(), Rule::Fits);
    for kind in LayoutKind::ALL {
        let alone = check(kind, |a| a.panhard = None);
        let by_itself = matches!(kind, LayoutKind::Triangulated | LayoutKind::Leaf);
        assert_eq!(alone, if by_itself { vec![] } else { vec![none.clone()] }, "{kind:?}");
        assert_eq!(check(kind, |a| drop(watts(a).clone())), [], "{kind:?}");
        let bar = Axle::typical(LayoutKind::RadiusArms, End::Rear).panhard;
        assert_eq!(check(kind, |a| a.panhard = bar.clone()), [], "{kind:?}");
        let two = check(kind, |a| {
            watts(a);
            a.panhard = bar;
        });
        assert_eq!(two, std::slice::from_ref(&both), "{kind:?}");
    }
}

#[test]
fn links_that_lean_the_same_way_hold_nothing() {
    let same_way = |a: &mut Axle| {
        if let Layout::FourLink { lower_left, upper_left, upper_right, .. } = &mut a.layout {
            lower_left.chassis.y_mm.value = lower_left.axle.y_mm.value;
            let mut other = upper_left.clone();
            other.axle.y_mm.value = -380.0;
            other.chassis.y_mm.value = -110.0;
            *upper_right = Some(other);
        }
    };
    let want = [("rear.panhard".to_owned(), Rule::Agrees)];
    assert_eq!(check(LayoutKind::Triangulated, same_way), want);
}

#[test]
fn a_watts_linkage_is_one() {
    type Change = fn(&mut Watts);
    let table: &[(Change, &str, Rule)] = &[
        (|w| w.pivot.z_mm.value = f64::NAN, "pivot.z_mm", Rule::Finite),
        (|w| w.left.chassis.y_mm.value = 4300.0, "left.chassis.y_mm", Rule::Range),
        (|w| w.left.axle.z_mm.value = 75.0, "left", Rule::Apart),
        (|w| w.right.axle = w.left.axle.clone(), "right", Rule::Agrees),
        (|w| w.right.chassis.y_mm.value = 430.0, "right", Rule::Agrees),
        (|w| w.left.chassis.y_mm.value = 60.0, "left.chassis", Rule::Apart),
        (|w| w.right.chassis.z_mm.value = 950.0, "right", Rule::Agrees),
    ];
    for (change, path, rule) in table {
        let got = check(LayoutKind::ThreeLink, |a| change(watts(a)));
        assert_eq!(got, [(format!("rear.watts.{path}"), *rule)]);
    }
}

#[test]
fn a_crank_on_the_chassis_has_its_ends_the_other_way_round() {
    let turned = |a: &mut Axle| {
        let linkage = watts(a);
        linkage.crank_on = Carrier::Chassis;
        for bar in [&mut linkage.left, &mut linkage.right] {
            std::mem::swap(&mut bar.axle, &mut bar.chassis);
        }
    };
    assert_eq!(check(LayoutKind::ThreeLink, turned), []);
    let forgotten = check(LayoutKind::ThreeLink, |a| watts(a).crank_on = Carrier::Chassis);
    let path = |side: &str| (format!("rear.watts.{side}"), Rule::Agrees);
    assert_eq!(forgotten, [path("left"), path("right")]);
}

#[test]
fn what_needs_a_bar_says_so() {
    front(
        |a| {
            watts(a);
            a.planned.parts =
                vec![Part::Bracket { moves: Pivot::PanhardAxle, holes: vec![hole(30.0)], hole: 0 }];
            a.readings.panhard_length_mm = Some(Known::measured(890.0, Instrument::Tape));
            a.readings.arm_rise_mm = Some(Known::measured(120.0, Instrument::Tape));
        },
        &[
            ("front.planned.parts[0]", Rule::Fits),
            ("front.readings.panhard_length_mm", Rule::Agrees),
        ],
    );
    let leaf = check(LayoutKind::Leaf, |a| {
        a.readings.arm_rise_mm = Some(Known::measured(120.0, Instrument::Tape));
    });
    assert_eq!(leaf, [("rear.readings.arm_rise_mm".to_owned(), Rule::Agrees)]);
}

#[test]
fn springs_and_shocks_stand_on_the_left() {
    front(
        |a| a.spring.as_mut().unwrap().chassis.z_mm.value = -320.0,
        &[("front.spring.chassis.z_mm", Rule::Agrees)],
    );
    front(
        |a| a.shock.as_mut().unwrap().axle.y_mm.value = -430.0,
        &[("front.shock.axle.y_mm", Rule::Agrees)],
    );
    front(
        |a| {
            let shock = a.shock.as_mut().unwrap();
            shock.chassis = shock.axle.clone();
        },
        &[("front.shock.chassis", Rule::Apart)],
    );
    front(
        |a| a.spring.as_mut().unwrap().axle.x_mm.value = f64::NAN,
        &[("front.spring.axle.x_mm", Rule::Finite)],
    );
    front(
        |a| {
            a.spring = None;
            a.shock = None;
        },
        &[],
    );
    front(|a| bar(a).axle.z_mm.sigma = -1.0, &[("front.panhard.axle.z_mm.sigma", Rule::Range)]);
}
