//! Finds how far one thing about the wheel may change before something is short of room.
//!
//! Moving a tire along its own axis by 1 mm, or growing it by 1 mm, changes no clearance by more
//! than 1 mm. So from any place with room to spare the wheel may be changed by that room at once,
//! and from any place short of room it must be changed by at least what is missing. Stepping so
//! finds the ends of what fits without ever jumping over a place that does not.

use super::bracket::{Continuum, Reached};
use super::map::Sweep;
use super::motion::Motion;
use super::obstacle::{Around, Obstacle};
use super::slow::Pace;
use super::solid::{PosedTire, TireSolid};
use crate::truck::Side;
use nalgebra::Vector3;

/// What is changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Change {
    /// The wheel moves outboard along its axis.
    Outboard,
    /// The tire's radius grows.
    Radius,
    /// Half the tire's width grows.
    HalfWidth,
}

impl Change {
    fn apply(self, tire: &PosedTire, by: f64) -> Option<PosedTire> {
        let moved = match self {
            Self::Outboard => tire.axis * by,
            Self::Radius | Self::HalfWidth => Vector3::zeros(),
        };
        Some(self.solid(&tire.solid, by)?.at(tire.centre + moved, tire.axis))
    }

    /// The tire changed by so much.
    pub fn solid(self, tire: &TireSolid, by: f64) -> Option<TireSolid> {
        match self {
            Self::Outboard => Some(*tire),
            Self::Radius => tire.grown(by, 0.0).ok(),
            Self::HalfWidth => tire.grown(0.0, by).ok(),
        }
    }
}

/// Positions that count on top of the map's before a search settles for what it has.
const MOST_NOTED: usize = 64;
/// Room that may be missing before a position counts as short of it, mm.
const SHORT_MM: f64 = 0.15;

/// Positions of a changed tire that are short of so much room, mm: the worst to each obstacle.
pub(super) async fn short_of(continuum: &mut Continuum<'_>, room_mm: f64) -> Vec<(Side, Reached)> {
    let mut short = Vec::new();
    for side in Side::BOTH {
        for obstacle in 0..continuum.around()[side.index()].len() {
            let goal = (1.0, room_mm - SHORT_MM);
            let found = continuum.least(side, obstacle, goal, None).await.found;
            short.extend(found.map(|at| (side, at)));
        }
    }
    short
}

/// Lets positions count from now on; false when there is none, or there have been too many.
pub(super) fn note(
    continuum: &Continuum,
    sweep: &mut Sweep,
    positions: impl IntoIterator<Item = (Side, Reached)>,
) -> bool {
    let mut any = false;
    for (side, at) in positions {
        if sweep.noted < MOST_NOTED {
            sweep.note(continuum.motion(), &continuum.around()[side.index()], side, &at);
            any = true;
        }
    }
    any
}

/// Least step, and how exactly an end is found, mm.
const STEP_MM: f64 = 0.25;
/// Accuracy of each clearance, mm.
const TOLERANCE_MM: f64 = 0.1;
/// Room beyond the margin above which it need not be known exactly: the longest step at once, mm.
const CAP_MM: f64 = 20.0;
/// Probes whose bounds are looked at in about the time that one position of a map takes, and about
/// how many of those one clearance takes.
const PROBES_AT_ONCE: usize = 16;
const TRY_COST: usize = 2;

/// The least clearance over the domain with every wheel changed alike.
pub(super) struct Search<'a> {
    motion: &'a Motion,
    sweep: &'a Sweep,
    around: &'a [Around; 2],
    change: Change,
    /// No clearance of a probe is below this at the change it was taken at: by probe, and within it
    /// by obstacle.
    lower: Vec<f64>,
    taken: Vec<f64>,
    margin: f64,
    pace: &'a Pace,
    /// The probe and obstacle that were least last time: asked first, they settle most others.
    last: Option<(usize, usize)>,
}

/// Room beyond the margin at a change, and what leaves least.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    /// The change, mm.
    pub by: f64,
    /// Clearance beyond the margin, mm.
    pub spare: f64,
    pub least: Option<(Obstacle, Side)>,
}

impl<'a> Search<'a> {
    /// A search among a sweep's positions for what keeps every clearance at least `margin` mm.
    pub fn new(continuum: &Continuum<'a>, sweep: &'a Sweep, change: Change, margin: f64) -> Self {
        let (motion, around, pace) = (continuum.motion(), continuum.around(), continuum.pace());
        let lower = sweep.lower.clone();
        let taken = vec![0.0; lower.len()];
        Self { motion, sweep, around, change, lower, taken, margin, pace, last: None }
    }

    /// The last place with room, going one way from a place with room, no farther than `range`
    /// from no change; its `least` is what stands beyond.
    pub async fn end(&mut self, from: Room, way: f64, range: f64) -> Room {
        let mut at = from;
        loop {
            // The room itself is only known to a tolerance.
            let step = (at.spare - TOLERANCE_MM).max(STEP_MM);
            let next = (at.by + way * step).clamp(-range, range);
            if (next - at.by).abs() < STEP_MM {
                return Room { least: None, ..at };
            }
            let then = self.room(next).await;
            if then.spare < 0.0 {
                return Room { least: then.least, ..at };
            }
            at = then;
        }
    }

    /// The first place with room, going one way from a place without, if there is one within
    /// `range` of no change; its `least` is what stands before it. Every place tried is noted.
    pub async fn first(
        &mut self,
        from: Room,
        way: f64,
        range: f64,
        tried: &mut Vec<Room>,
    ) -> Option<Room> {
        let mut at = from;
        while at.by.abs() < range {
            let step = (-at.spare - TOLERANCE_MM).max(STEP_MM);
            let then = self.room((at.by + way * step).clamp(-range, range)).await;
            if then.spare >= 0.0 {
                return Some(Room { least: at.least, ..then });
            }
            tried.push(then);
            at = then;
        }
        None
    }

    /// Room at a change, as far as the next step needs it: never above the cap, and where room is
    /// missing, perhaps not all that is missing.
    pub async fn room(&mut self, by: f64) -> Room {
        if let Some((probe, obstacle)) = self.last {
            let found = self.clearance(probe, obstacle, by, f64::INFINITY);
            let spare = self.spare(found);
            if spare < -TOLERANCE_MM - STEP_MM {
                return Room { by, spare, least: self.named(probe, obstacle) };
            }
        }
        self.scan(by, self.margin + TOLERANCE_MM + CAP_MM, -CAP_MM).await
    }

    /// Room at a change, whatever it is.
    pub async fn room_in_full(&mut self, by: f64) -> Room {
        self.scan(by, f64::INFINITY, f64::NEG_INFINITY).await
    }

    /// Least room at a change over all probes, asking only those that may be below `least`, and
    /// none after one with no more room than `short`.
    async fn scan(&mut self, by: f64, mut least: f64, short: f64) -> Room {
        let mut at = None;
        let count = self.sweep.count;
        'all: for probe in 0..self.sweep.probes.len() {
            if probe % PROBES_AT_ONCE == 0 {
                self.pace.spend(1).await;
            }
            for obstacle in 0..count {
                let number = probe * count + obstacle;
                let (Some(lower), Some(taken)) = (self.lower.get(number), self.taken.get(number))
                else {
                    continue;
                };
                if lower - (by - taken).abs() >= least {
                    continue;
                }
                let found = self.clearance(probe, obstacle, by, least);
                self.pace.spend(TRY_COST).await;
                if found < least {
                    least = found;
                    at = Some((probe, obstacle));
                    if self.spare(found) <= short {
                        break 'all;
                    }
                }
            }
        }
        self.last = at.or(self.last);
        let named = at.and_then(|(probe, obstacle)| self.named(probe, obstacle));
        Room { by, spare: self.spare(least), least: named }
    }

    /// Room beyond the margin, counting what the search may be off against the wheel.
    fn spare(&self, clearance: f64) -> f64 {
        clearance.min(1e6) - TOLERANCE_MM - self.margin
    }

    fn named(&self, probe: usize, obstacle: usize) -> Option<(Obstacle, Side)> {
        let side = self.sweep.probes.get(probe)?.side;
        Some((self.around[side.index()].name(obstacle)?, side))
    }

    /// Clearance of one probe to one obstacle at a change, remembered as its bound from now on.
    fn clearance(&mut self, probe: usize, obstacle: usize, by: f64, enough: f64) -> f64 {
        let found = self
            .sweep
            .place(self.motion, probe, |tire| self.change.apply(tire, by))
            .and_then(|place| {
                let around = &self.around[place.side.index()];
                around.least(obstacle, &place, TOLERANCE_MM, enough)
            });
        let number = probe * self.sweep.count + obstacle;
        let (Some(found), Some(lower), Some(taken)) =
            (found, self.lower.get_mut(number), self.taken.get_mut(number))
        else {
            return f64::INFINITY;
        };
        *lower = found.lower;
        *taken = by;
        found.distance
    }
}
