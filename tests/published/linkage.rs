//! Side-view geometry of linkages: instant centre, anti-dive, anti-squat, roll steer, jacking.

use crate::{
    close,
    simple_axle::{BarEnd, bar, get, lift_table},
};
use fitment::{
    axle::{Attitude, AxleModel, Output, attitude, solve_ride},
    measure::Known,
    truck::{Axle, End, Layout, LayoutKind, State, Truck},
};

/// Wheel centre above ground of these axles, mm.
const RADIUS: f64 = 380.0;

/// An axle on links given in side view as (forward, above ground) at both ends, 450 and 300 mm off
/// the middle, held sideways by a level bar too long to pull.
fn linked(end: End, lower: [[f64; 2]; 2], upper: [[f64; 2]; 2]) -> Axle {
    let mut axle = Axle::typical(LayoutKind::FourLink, end);
    let link = |[axle, chassis]: [[f64; 2]; 2], y: f64| {
        bar([axle[0], y, axle[1] - RADIUS], [chassis[0], y, chassis[1] - RADIUS])
    };
    axle.layout = Layout::FourLink {
        lower_left: link(lower, 450.0),
        lower_right: None,
        upper_left: link(upper, 300.0),
        upper_right: None,
    };
    axle.panhard = Some(bar([0.0, -450.0, 0.0], [0.0, 1e6, 0.0]));
    axle.stock.tire.loaded_radius_mm = Some(Known::exact(RADIUS));
    axle
}

/// The outputs of a lone axle at stock height, on a truck of the textbook's wheelbase 2600 mm and
/// centre of gravity 700 mm high, 65 % of the braking at the front and all of the drive at the rear.
fn stock(axle: Axle, end: End) -> Attitude<f64> {
    let mut truck = Truck::with_axle(axle, end);
    truck.wheelbase_mm = Known::exact(2600.0);
    truck.balance.cg_height_mm = Known::exact(700.0);
    truck.balance.front_brake_percent = Known::exact(65.0);
    truck.balance.front_drive_percent = Known::exact(0.0);
    let model = AxleModel::of(&truck, end, State::Stock).expect("the axle reads");
    attitude(&model, &solve_ride(&model).expect("it stands"), 0.0)
}

#[test]
fn anti_squat_of_a_four_link_follows_from_its_instant_centre() {
    // Lines meet where z_ic/x_ic is the slope; anti-squat = 100·tan φ·wheelbase/h (Milliken &
    // Milliken, Race Car Vehicle Dynamics, ch. 17, value from memory). Lower (0, 330)–(800, 370)
    // and upper (0, 560)–(600, 540) meet at (2760, 468).
    let axle = linked(End::Rear, [[0.0, 330.0], [800.0, 370.0]], [[0.0, 560.0], [600.0, 540.0]]);
    let outputs = stock(axle, End::Rear);
    close("instant centre ahead", get(&outputs, Output::InstantCentreX), 2760.0, 1e-3);
    close("instant centre up", get(&outputs, Output::InstantCentreZ), 468.0, 1e-3);
    let slope = 468.0 / 2760.0;
    close("anti-squat", get(&outputs, Output::AntiSquat), 100.0 * slope * 2600.0 / 700.0, 1e-3);
    close("the printed figure", get(&outputs, Output::AntiSquat), 62.98, 0.005);
    // Under braking the same line works with the rear brakes' share.
    close("anti-lift", get(&outputs, Output::AntiLift), 0.35 * 62.981, 0.005);
}

#[test]
fn anti_dive_of_a_front_axle_is_share_times_slope() {
    // Front share 0.65, tan φ 0.12, wheelbase 2600, h 700: 28.97 % (form from the same chapter).
    let axle = linked(End::Front, [[0.0, 330.0], [-800.0, 294.0]], [[0.0, 560.0], [-600.0, 464.0]]);
    let outputs = stock(axle, End::Front);
    close("instant centre", get(&outputs, Output::InstantCentreX), -2000.0, 1e-3);
    close("anti-dive", get(&outputs, Output::AntiDive), 28.97, 0.005);
}

#[test]
fn parallel_links_have_no_instant_centre_and_steer_by_their_slope() {
    // Links parallel in side view at 3° turn the axle by tan 3° = 0.0524 for each unit of roll
    // (Gillespie, Fundamentals of Vehicle Dynamics, ch. 7, value from memory: roll-steer coefficient
    // = slope of the roll axis).
    let rise = 800.0 * 3.0_f64.to_radians().tan();
    let link = |z: f64| [[0.0, z], [800.0, z + rise]];
    let outputs = stock(linked(End::Rear, link(330.0), link(560.0)), End::Rear);
    assert_eq!(outputs.get(Output::InstantCentreX), None);
    close("roll steer", get(&outputs, Output::RollSteer), 5.24, 0.005);
}

#[test]
fn a_sloped_bar_jacks_the_body_by_its_tangent() {
    // Side force Fy lifts by Fy·tan(angle): 180.7 N for each kN at 10.24° (derived; the bar of 900 mm
    // and 60 mm rise lifted by 100 mm).
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    axle.sitting.lift_mm = Known::exact(100.0);
    let truck = Truck::with_axle(axle, End::Front);
    let model = AxleModel::of(&truck, End::Front, State::Sitting).unwrap();
    let outputs = attitude(&model, &solve_ride(&model).unwrap(), 0.0);
    close("angle", get(&outputs, Output::Panhard), 10.24, 0.005);
    close("jacking", get(&outputs, Output::Jacking), 180.7, 0.05);
}

#[test]
fn a_level_bar_has_its_roll_centre_at_its_own_height_either_way_of_reckoning() {
    // With the bar level, the point on the centre plane that does not move sideways is on the bar's
    // line (Gillespie, ch. 7, value from memory).
    let axle = lift_table(900.0, 0.0, BarEnd::Left);
    let truck = Truck::with_axle(axle, End::Front);
    let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
    let outputs = attitude(&model, &solve_ride(&model).unwrap(), 0.0);
    let height = get(&outputs, Output::RollCentreHeight);
    close("height", height, model.loaded_radius, 1e-9);
    close("by motion", get(&outputs, Output::RollCentreKinematic), height, 0.05);
}
