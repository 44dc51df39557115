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

/// Which stop, and how far the search for it has come: sides and obstacles tried, and up to where
/// all of those clear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Search {
    measure: Measure,
    next: (Side, usize),
    nearest: f64,
}

impl Search {
    /// For the steering stop or the bump stop.
    pub const fn new(measure: Measure) -> Self {
        Self { measure, next: (Side::Left, 0), nearest: f64::INFINITY }
    }

    /// Which stop.
    pub const fn measure(&self) -> Measure {
        self.measure
    }

    /// Looks at one more obstacle; the stop once there is none left.
    pub fn go(&mut self, continuum: &mut Continuum, margin_mm: f64) -> Option<Stop> {
        let (side, obstacle) = self.next;
        if obstacle < continuum.around()[side.index()].len() {
            let first = continuum.first(self.next, self.measure, margin_mm, self.nearest);
            self.nearest = self.nearest.min(first);
            self.next = (side, obstacle + 1);
            return None;
        }
        if side == Side::Left {
            self.next = (Side::Right, 0);
            return None;
        }
        let none = match self.measure {
            Measure::Lock => STRAIGHT_RAD,
            Measure::Bump => continuum.motion().domain.droop_mm + DROOP_MM,
        };
        Some(if self.nearest.is_infinite() {
            Stop::NotNeeded
        } else if self.nearest <= none {
            Stop::NoneHelps
        } else {
            Stop::At(self.nearest)
        })
    }
}
