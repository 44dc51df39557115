//! What a steering stop or a bump stop would have to allow for everything to clear, solved for over
//! all of the travel and steer.

use super::bracket::{Continuum, Measure};
use crate::truck::Side;

/// Stops that would make everything clear by the margin, each by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stops {
    /// Largest steer of the inner wheel either way, rad; the outer one follows by the tie rod.
    pub steer_rad: Stop,
    /// Largest travel of either wheel from stock, mm, bump positive. It may lie below where the truck
    /// rests: then no bump stop is a cure.
    pub bump_mm: Stop,
}

/// One stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// Everything clears as it is.
    NotNeeded,
    /// Everything clears up to here, certainly.
    At(f64),
    /// Something is short of room wherever this stop is set.
    NoneHelps,
}

/// Less steer than this, rad, is straight ahead.
const STRAIGHT_RAD: f64 = 0.01;
/// Less travel than this above full droop, mm, is none.
const DROOP_MM: f64 = 1.0;

/// The stop that leaves everything the margin.
pub(super) async fn stop(continuum: &mut Continuum<'_>, measure: Measure, margin_mm: f64) -> Stop {
    let mut nearest = f64::INFINITY;
    for side in Side::BOTH {
        for obstacle in 0..continuum.around()[side.index()].len() {
            let first = continuum.first((side, obstacle), measure, margin_mm, nearest).await;
            nearest = nearest.min(first);
        }
    }
    let none = match measure {
        Measure::Lock => STRAIGHT_RAD,
        Measure::Bump => continuum.motion().domain.droop_mm + DROOP_MM,
    };
    if nearest.is_infinite() {
        Stop::NotNeeded
    } else if nearest <= none {
        Stop::NoneHelps
    } else {
        Stop::At(nearest)
    }
}
