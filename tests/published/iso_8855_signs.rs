//! Signs, each by a case one can picture. Source throughout: ISO 8855:2011 axes (x forward, y left, z
//! up) and steer positive to the left; caster, camber, inclination, scrub and trail positive as ISO
//! 8855 and SAE J670 have them (terms from memory).

use crate::{
    close,
    simple_axle::{BarEnd, at, at_end, bar, get, lift_table, stiff_arms},
};
use fitment::{
    axle::{AxleModel, Output, solve, solve_ride},
    measure::Known,
    truck::{Axle, End, Layout, LayoutKind, Side, State, Truck},
};

fn model(axle: &Axle, state: State) -> AxleModel<f64> {
    AxleModel::of(&Truck::with_axle(axle.clone(), End::Front), End::Front, state)
        .expect("the axle reads")
}

/// A wheel that goes up has positive travel; a lift puts the wheels down in the chassis.
#[test]
fn travel() {
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    let up = model(&axle, State::Stock);
    let pose = solve(&up, [30.0; 2]).unwrap();
    close("both up", pose.axle.shift.z, 30.0, 1e-9);
    axle.sitting.lift_mm = Known::exact(75.0);
    axle.sitting.lift_right_mm = Some(Known::exact(65.0));
    let lifted = model(&axle, State::Sitting);
    let pose = solve_ride(&lifted).unwrap();
    for (side, want) in [(Side::Left, -75.0), (Side::Right, -65.0)] {
        let wheel = wheel_height(&lifted, &pose, side);
        close("wheel under a lift", wheel, want, 1e-9);
    }
}

/// Height of the straight-ahead stock wheel centre of a side.
fn wheel_height(model: &AxleModel<f64>, pose: &fitment::axle::Pose<f64>, side: Side) -> f64 {
    pose.axle.shift.z + pose.axle.turn[(2, 1)] * side.sign() * model.stock_wheel_y
}

/// The axle moves toward the bar's chassis end under a lift: left is positive.
#[test]
fn lateral_shift() {
    for (side, sign) in [(BarEnd::Left, 1.0), (BarEnd::Right, -1.0)] {
        let lifted = at(&lift_table(900.0, 60.0, side), State::Stock, [-80.0; 2]);
        assert!(get(&lifted, Output::LateralShift) * sign > 5.0);
    }
}

/// Left wheel up is positive roll.
#[test]
fn roll() {
    let axle = lift_table(900.0, 60.0, BarEnd::Left);
    let width = 2.0 * model(&axle, State::Stock).stock_wheel_y;
    let want = (60.0 / width).asin().to_degrees();
    let rolled = at(&axle, State::Stock, [30.0, -30.0]);
    close("left up", get(&rolled, Output::Roll), want, 1e-6);
    let rolled = at(&axle, State::Stock, [-30.0, 30.0]);
    close("right up", get(&rolled, Output::Roll), -want, 1e-6);
}

/// A wheel on a level link is drawn toward the link's chassis end as it rises: rearward in front, so a
/// rising left wheel turns the front axle left (positive) and shortens the wheelbase on its side; a rear
/// axle's links run forward, so it turns right.
#[test]
fn axle_steer_and_wheelbase() {
    for (end, aft, steer) in [(End::Front, -1.0, 1.0), (End::Rear, 1.0, -1.0)] {
        let mut axle = Axle::typical(LayoutKind::ThreeLink, end);
        let link = |y: f64, z: f64| bar([0.0, y, z], [aft * 800.0, y, z]);
        axle.layout = Layout::ThreeLink {
            lower_left: link(600.0, 0.0),
            lower_right: None,
            upper: link(0.0, 200.0),
        };
        let level = axle.panhard.as_ref().unwrap().axle.z_mm.clone();
        axle.panhard.as_mut().unwrap().chassis.z_mm = level;
        let up = at_end(&axle, end, State::Stock, [80.0, 0.0]);
        assert!(get(&up, Output::AxleSteer) * steer > 0.1, "{end:?} steers the wrong way");
        assert!(get(&up, Output::WheelbaseLeft) < -1.0, "{end:?} left grew");
        let right = get(&up, Output::WheelbaseRight);
        assert!(right > get(&up, Output::WheelbaseLeft) + 1.0, "{end:?} right: {right}");
    }
}

/// The steering axis's top leans rearward with positive caster and inboard with positive inclination.
#[test]
fn caster_and_inclination() {
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    let kingpin = axle.kingpin.as_mut().unwrap();
    kingpin.caster_deg = Known::exact(5.0);
    kingpin.inclination_deg = Known::exact(9.0);
    let model = model(&axle, State::Stock);
    let pose = solve(&model, [0.0; 2]).unwrap();
    for side in Side::BOTH {
        let (_, up) = model.steering_axis(&pose, side).unwrap();
        close("rearward", -up.x / up.z, 5.0_f64.to_radians().tan(), 1e-12);
        close("inboard", -up.y * side.sign() / up.z, 9.0_f64.to_radians().tan(), 1e-12);
    }
    let stock = at(&axle, State::Stock, [0.0; 2]);
    close("caster", get(&stock, Output::Caster), 5.0, 1e-9);
    // An axle whose top tips forward loses caster.
    let lifted = at(&stiff_arms(890.0, 60.0), State::Stock, [-50.0; 2]);
    assert!(get(&lifted, Output::Caster) < 1.0);
}

/// The axis meets the ground ahead of the contact with positive trail and inboard of it with positive
/// scrub; an upright axis through the wheel's plane has neither.
#[test]
fn trail_and_scrub() {
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    let offset = axle.stock.wheel.offset_mm.value;
    let mut set = |trail: f64, inboard: f64| {
        let kingpin = axle.kingpin.as_mut().unwrap();
        kingpin.caster_deg = Known::exact(0.0);
        kingpin.inclination_deg = Known::exact(0.0);
        kingpin.hub_trail_mm = Known::exact(trail);
        kingpin.hub_offset_mm = Known::exact(offset + inboard);
        at(&axle, State::Stock, [0.0; 2])
    };
    for (trail, scrub) in [(0.0, 0.0), (12.0, 0.0), (0.0, 30.0), (-7.0, -5.0)] {
        let got = set(trail, scrub);
        close("left trail", get(&got, Output::TrailLeft), trail, 1e-9);
        close("right trail", get(&got, Output::TrailRight), trail, 1e-9);
        close("left scrub", get(&got, Output::ScrubLeft), scrub, 1e-9);
        close("right scrub", get(&got, Output::ScrubRight), scrub, 1e-9);
    }
}

/// Steering left turns both wheels' headings to the left; with an upright axis by just the angle.
#[test]
fn steer() {
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    let kingpin = axle.kingpin.as_mut().unwrap();
    kingpin.caster_deg = Known::exact(0.0);
    kingpin.inclination_deg = Known::exact(0.0);
    let model = model(&axle, State::Stock);
    let pose = solve(&model, [0.0; 2]).unwrap();
    for side in Side::BOTH {
        for angle in [0.3_f64, -0.2] {
            let wheel = model.wheel(&pose, side, angle);
            close("heading", wheel.heading.y.atan2(wheel.heading.x), angle, 1e-12);
            close("outboard", wheel.outboard.y * side.sign(), angle.cos(), 1e-12);
        }
    }
}

/// A flange higher than the axle's centreline has a positive pinion angle at both ends, and the front
/// one rises as the axle's top tips forward.
#[test]
fn pinion() {
    for end in [End::Front, End::Rear] {
        let mut axle = Axle::typical(LayoutKind::FourLink, end);
        axle.pinion.angle_deg = Known::exact(6.0);
        let stock = at_end(&axle, end, State::Stock, [0.0; 2]);
        close("pinion", get(&stock, Output::Pinion), 6.0, 1e-9);
    }
    let axle = stiff_arms(890.0, 60.0);
    let rise = |travel: f64| get(&at(&axle, State::Stock, [travel; 2]), Output::Pinion);
    assert!(rise(-50.0) > rise(0.0) + 3.0);
}

/// The bar's angle is positive with its chassis end higher, whichever side that end is on.
#[test]
fn panhard_angle() {
    for side in [BarEnd::Left, BarEnd::Right] {
        for (rise, sign) in [(60.0, 1.0), (-60.0, -1.0)] {
            let stock = at(&lift_table(900.0, rise, side), State::Stock, [0.0; 2]);
            let want = sign * (60.0_f64 / 900.0).asin().to_degrees();
            close("bar", get(&stock, Output::Panhard), want, 1e-9);
        }
    }
}

/// Less wheel offset, or a spacer, moves the wheel outboard.
#[test]
fn wheel_offset() {
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    axle.sitting = axle.stock.clone();
    axle.sitting.wheel.offset_mm.value -= 20.0;
    axle.sitting.spacer_mm = Known::exact(30.0);
    let (stock, now) = (model(&axle, State::Stock), model(&axle, State::Sitting));
    close("outboard", now.wheel_y - stock.wheel_y, 50.0, 1e-9);
    close("travel is of the stock wheel", now.stock_wheel_y, stock.stock_wheel_y, 0.0);
}
