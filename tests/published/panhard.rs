//! The Panhard bar: its arc, the shift it gives the axle, its re-centring length, its roll centre.

use crate::{
    close,
    simple_axle::{BarEnd, at, bar, get, lift_table},
};
use fitment::{
    axle::Output,
    measure::Known,
    truck::{Axle, Member, Part, State},
};

/// A bar 900 long whose chassis end stands 60 higher, on the right: shifts to the right are
/// negative, as in the formula.
fn example() -> Axle {
    lift_table(900.0, 60.0, BarEnd::Right)
}

fn shift(axle: &Axle, state: State, travel: f64) -> f64 {
    get(&at(axle, state, [travel; 2]), Output::LateralShift)
}

/// Source: plane geometry of a bar of fixed length, span √(L² − v²); background Reimpell, Stoll,
/// Betzler, The Automotive Chassis, and Gillespie, Fundamentals of Vehicle Dynamics, ch. 7.
#[test]
fn a_lift_draws_the_axle_toward_the_chassis_end() {
    for (travel, want) in [(-50.0, -4.745), (-100.0, -12.334), (60.0, 2.002), (120.0, 0.0)] {
        close(&format!("travel {travel}"), shift(&example(), State::Stock, travel), want, 0.001);
        let other = lift_table(900.0, 60.0, BarEnd::Left);
        close("bar the other way", shift(&other, State::Stock, travel), -want, 0.001);
    }
}

/// Source: the same; small-angle form −(v₂² − v₁²)/(2L), which textbooks use, is 0.11 mm off here.
#[test]
fn the_small_angle_form_is_near() {
    let small = -(160.0_f64.powi(2) - 60.0_f64.powi(2)) / (2.0 * 900.0);
    close("small angles", small, -12.222, 0.001);
    close("the real arc", shift(&example(), State::Stock, -100.0), small, 0.12);
}

/// Source: the same, angle asin(v/L).
#[test]
fn a_lift_steepens_the_bar() {
    for side in [BarEnd::Left, BarEnd::Right] {
        let axle = lift_table(900.0, 60.0, side);
        for (travel, want) in [(0.0, 3.823), (-100.0, 10.240)] {
            let got = get(&at(&axle, State::Stock, [travel; 2]), Output::Panhard);
            close(&format!("travel {travel}"), got, want, 0.001);
        }
    }
}

/// Source: the same; a bar of √(a₁² + v₂²) = 912.14 puts the axle back under a 100 mm lift, and from
/// there ±75 of travel shift it by +10.17 (bump) and −16.65 (droop), against +1.88 and −8.18 stock.
#[test]
fn a_longer_bar_recentres_and_swings_more() {
    let mut axle = example();
    axle.planned.parts = vec![Part::length(Member::Panhard, 12.14, [0.0, 30.0])];
    close("re-centred", shift(&axle, State::Planned, -100.0), 0.0, 0.005);
    for (travel, want, stock) in [(75.0, 10.17, 1.88), (-75.0, -16.65, -8.18)] {
        close("re-centred", shift(&axle, State::Planned, travel - 100.0), want, 0.006);
        close("stock", shift(&axle, State::Stock, travel), stock, 0.005);
    }
}

/// Source: the bar's line at the vehicle's centre plane, Gillespie, Fundamentals of Vehicle Dynamics,
/// ch. 7 (from memory): chassis end at height 620 and 430 to one side, axle end at 500 and 450 to the
/// other gives 561.36 (the mid-bar of simpler textbooks 560); chassis end 100 higher gives 612.5.
#[test]
fn roll_centre_is_where_the_bar_crosses_the_centre_plane() {
    const RADIUS: f64 = 400.0;
    for side in [1.0, -1.0] {
        for (chassis_height, want) in [(620.0, 561.36), (720.0, 612.5)] {
            let mut axle = example();
            axle.stock.tire.loaded_radius_mm = Some(Known::exact(RADIUS));
            axle.panhard = Some(bar(
                [0.0, -450.0 * side, 500.0 - RADIUS],
                [0.0, 430.0 * side, chassis_height - RADIUS],
            ));
            let got = get(&at(&axle, State::Stock, [0.0; 2]), Output::RollCentreHeight);
            close(&format!("chassis end at {chassis_height}"), got, want, 0.05);
        }
    }
}
