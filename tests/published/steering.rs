//! The steering linkage: Ackermann's condition, the turning circle, bump steer.

use crate::{
    close,
    simple_axle::{BarEnd, get, lift_table, point},
};
use fitment::{
    axle::{AxleModel, Output, Turn, at_lock, attitude_turned, solve},
    measure::Known,
    truck::{Axle, DragLink, End, Joins, Kingpin, Pitman, Shaft, State, Steering, TieRod, Truck},
};

/// Upright steering axes 1400 mm apart and wheels 60 mm outboard of them.
fn upright(axle: &mut Axle) {
    axle.hub_face_width_mm = Known::exact(1520.0);
    axle.stock.wheel.offset_mm = Known::exact(0.0);
    axle.kingpin = Some(Kingpin {
        caster_deg: Known::exact(0.0),
        inclination_deg: Known::exact(0.0),
        hub_offset_mm: Known::exact(60.0),
        hub_trail_mm: Known::exact(0.0),
    });
}

/// A drag link in front view from a pitman arm on the left to a steering arm of 150 mm on the right
/// knuckle: this long, its pitman end this much higher.
fn cross_steer(length: f64, rise: f64) -> Steering {
    let span = length.mul_add(length, -(rise * rise)).sqrt();
    let y = -700.0 + span;
    Steering {
        pitman: Pitman {
            pivot: point([300.0, y, rise]),
            end: point([150.0, y, rise]),
            shaft: Shaft::Upright,
        },
        drag_link: DragLink { end: point([150.0, -700.0, 0.0]), joins: Joins::RightKnuckle },
        tie_rod: TieRod { left: point([-150.0, 700.0, 0.0]), right: None },
        ratio: Known::exact(16.0),
    }
}

fn model(axle: Axle, wheelbase: f64) -> AxleModel<f64> {
    let mut truck = Truck::with_axle(axle, End::Front);
    truck.wheelbase_mm = Known::exact(wheelbase);
    AxleModel::of(&truck, End::Front, State::Stock).expect("the axle reads")
}

#[test]
fn ackermanns_ideal_and_the_turning_circle() {
    // cot δo − cot δi = 1400/2630 with δi = 35°: δo = 27.025°; the outer wheel's radius = 2630/sin δo
    // + scrub = 5788.1 + 60 (a standard result of the theory of machines).
    let mut axle = lift_table(900.0, 0.0, BarEnd::Left);
    upright(&mut axle);
    axle.steering = Some(cross_steer(800.0, 0.0));
    let m = model(axle, 2630.0);
    let pose = solve(&m, [0.0, 0.0]).unwrap();
    let [left, right] = at_lock(&m, &pose, 35.0_f64.to_radians());
    for (turn, inner, outer) in [
        (&left, Output::SteerLeft, Output::SteerRight),
        (&right, Output::SteerRight, Output::SteerLeft),
    ] {
        close("inner", get(turn, inner).abs(), 35.0, 1e-6);
        let outer = get(turn, outer).abs();
        let ideal = outer - get(turn, Output::Ackermann);
        close("ideal outer steer", ideal, 27.025, 0.001);
        let radius = get(turn, Output::TurningCircle) / 2.0;
        close("circle", radius, 2630.0 / outer.to_radians().sin() + 60.0, 0.5);
    }
    // Parallel steering arms turn both wheels alike: 7.975° short of the ideal.
    close("error", get(&left, Output::Ackermann), 35.0 - 27.025, 0.001);
}

#[test]
fn arms_aimed_at_the_rear_axles_middle_come_near_the_ideal() {
    // The textbook trapezium: arms at atan(1400/2/2630) = 14.904°. Its four-bar in the plane, solved
    // by bisection outside this project, has 18.114° outside for 20° inside, where 16.956° is ideal;
    // parallel arms miss by 3.044°.
    let aim = 14.904_f64.to_radians();
    let mut axle = lift_table(900.0, 0.0, BarEnd::Left);
    upright(&mut axle);
    let mut steering = cross_steer(800.0, 0.0);
    steering.tie_rod.left = point([-150.0 * aim.cos(), 700.0 - 150.0 * aim.sin(), 0.0]);
    axle.steering = Some(steering);
    let m = model(axle, 2630.0);
    let pose = solve(&m, [0.0, 0.0]).unwrap();
    let [left, _] = at_lock(&m, &pose, 20.0_f64.to_radians());
    close("outer", get(&left, Output::SteerRight), 18.1142, 1e-4);
    close("error", get(&left, Output::Ackermann), 1.1579, 1e-4);
}

#[test]
fn bump_steer_of_a_drag_link_unlike_the_panhard_bar() {
    // Planar case, checked in references by asin((Δy drag − Δy bar)/150) (background Reimpell, The
    // Automotive Chassis, ch. 4, value from memory): bar 900 mm and 60 mm rise, drag link 800 mm.
    for (rise, travel, degrees) in
        [(80.0, 60.0, 0.671), (80.0, -60.0, -0.879), (200.0, 60.0, 4.227), (200.0, -60.0, -4.585)]
    {
        let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
        upright(&mut axle);
        axle.steering = Some(cross_steer(800.0, rise));
        let m = model(axle, 2630.0);
        let pose = solve(&m, [travel; 2]).unwrap();
        let outputs = attitude_turned(&m, &pose, Turn::Pitman(0.0));
        let turned = get(&outputs, Output::SteerRight);
        // Pushed to the right ahead of the axis the wheel turns right.
        close("bump steer", -turned, degrees, 0.02 * degrees.abs());
    }
}

#[test]
fn a_drag_link_like_the_bar_steers_nothing() {
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    upright(&mut axle);
    axle.steering = Some(cross_steer(900.0, 60.0));
    let m = model(axle, 2630.0);
    for travel in [-90.0, -30.0, 45.0, 80.0] {
        let pose = solve(&m, [travel; 2]).unwrap();
        let outputs = attitude_turned(&m, &pose, Turn::Pitman(0.0));
        close("steer", get(&outputs, Output::SteerRight), 0.0, 1e-6);
        close("rate", get(&outputs, Output::BumpSteerRight), 0.0, 1e-6);
        close("parallel", get(&outputs, Output::DragAngle), 0.0, 1e-6);
        close("as long", get(&outputs, Output::DragLength), 0.0, 1e-6);
    }
}
