//! Finds how far one thing about the wheel may change before something is short of room.
//!
//! Moving a tire along its own axis by 1 mm, or growing it by 1 mm, changes no clearance by more
//! than 1 mm. So from any place with room to spare the wheel may be changed by that room at once,
//! and from any place short of room it must be changed by at least what is missing. Stepping so
//! finds the ends of what fits without ever jumping over a place that does not.

use super::map::Sweep;
use super::obstacle::{Fixed, Obstacle};
use super::solid::PosedTire;
use crate::truck::Side;

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
        let solid = &tire.solid;
        let grown = |radius: f64, half_width: f64| {
            solid.grown(radius, half_width).ok().map(|size| size.at(tire.centre, tire.axis))
        };
        match self {
            Self::Outboard => Some(solid.at(tire.centre + tire.axis * by, tire.axis)),
            Self::Radius => grown(by, 0.0),
            Self::HalfWidth => grown(0.0, by),
        }
    }
}

/// Least step, and how exactly an end is found, mm.
const STEP_MM: f64 = 0.25;
/// Accuracy of each clearance, mm.
const TOLERANCE_MM: f64 = 0.1;
/// Room beyond the margin above which it need not be known exactly: the longest step at once, mm.
const CAP_MM: f64 = 20.0;

/// The least clearance over the domain with every wheel changed alike.
pub(super) struct Search<'a> {
    sweep: &'a Sweep,
    fixed: &'a [Fixed; 2],
    change: Change,
    /// No clearance of a probe is below this, by obstacle, at the change it was taken at.
    lower: Vec<[f64; 3]>,
    taken: Vec<[f64; 3]>,
    margin: f64,
    /// The probe and obstacle that were least last time: asked first, they settle most others.
    last: Option<(usize, Obstacle)>,
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
    /// A search for what keeps every clearance at least `margin` mm.
    pub fn new(sweep: &'a Sweep, fixed: &'a [Fixed; 2], change: Change, margin: f64) -> Self {
        let lower: Vec<_> = sweep.probes.iter().map(|probe| probe.lower).collect();
        let taken = vec![[0.0; 3]; lower.len()];
        Self { sweep, fixed, change, lower, taken, margin, last: None }
    }

    /// The last place with room, going one way from a place with room, no farther than `range`
    /// from no change; its `least` is what stands beyond.
    pub fn end(&mut self, from: Room, way: f64, range: f64) -> Room {
        let mut at = from;
        loop {
            // The room itself is only known to a tolerance.
            let step = (at.spare - TOLERANCE_MM).max(STEP_MM);
            let next = (at.by + way * step).clamp(-range, range);
            if (next - at.by).abs() < STEP_MM {
                return Room { least: None, ..at };
            }
            let then = self.room(next);
            if then.spare < 0.0 {
                return Room { least: then.least, ..at };
            }
            at = then;
        }
    }

    /// The first place with room, going one way from a place without, if there is one within
    /// `range` of no change; its `least` is what stands before it. Every place tried is noted.
    pub fn first(
        &mut self,
        from: Room,
        way: f64,
        range: f64,
        tried: &mut Vec<Room>,
    ) -> Option<Room> {
        let mut at = from;
        while at.by.abs() < range {
            let step = (-at.spare - TOLERANCE_MM).max(STEP_MM);
            let then = self.room((at.by + way * step).clamp(-range, range));
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
    pub fn room(&mut self, by: f64) -> Room {
        if let Some((index, obstacle)) = self.last {
            let found = self.clearance(index, obstacle, by, f64::INFINITY);
            let spare = self.spare(found);
            if spare < -TOLERANCE_MM - STEP_MM {
                return Room { by, spare, least: self.named(index, obstacle) };
            }
        }
        self.scan(by, self.margin + TOLERANCE_MM + CAP_MM, -CAP_MM)
    }

    /// Room at a change, whatever it is.
    pub fn room_in_full(&mut self, by: f64) -> Room {
        self.scan(by, f64::INFINITY, f64::NEG_INFINITY)
    }

    /// Least room at a change over all probes, asking only those that may be below `least`, and
    /// none after one with no more room than `short`.
    fn scan(&mut self, by: f64, mut least: f64, short: f64) -> Room {
        let mut at = None;
        'all: for index in 0..self.lower.len() {
            for obstacle in Obstacle::ALL {
                let i = obstacle.index();
                let Some((lower, taken)) = self.lower.get(index).zip(self.taken.get(index)) else {
                    continue;
                };
                if lower[i] - (by - taken[i]).abs() >= least {
                    continue;
                }
                let found = self.clearance(index, obstacle, by, least);
                if found < least {
                    least = found;
                    at = Some((index, obstacle));
                    if self.spare(found) <= short {
                        break 'all;
                    }
                }
            }
        }
        self.last = at.or(self.last);
        let named = at.and_then(|(index, obstacle)| self.named(index, obstacle));
        Room { by, spare: self.spare(least), least: named }
    }

    /// Room beyond the margin, counting what the search may be off against the wheel.
    fn spare(&self, clearance: f64) -> f64 {
        clearance.min(1e6) - TOLERANCE_MM - self.margin
    }

    fn named(&self, index: usize, obstacle: Obstacle) -> Option<(Obstacle, Side)> {
        let probe = self.sweep.probes.get(index)?;
        Some((obstacle, self.sweep.stations.get(probe.station)?.side))
    }

    /// Clearance of one probe to one obstacle at a change, remembered as its bound from now on.
    fn clearance(&mut self, index: usize, obstacle: Obstacle, by: f64, enough: f64) -> f64 {
        let (sweep, fixed, change) = (self.sweep, self.fixed, self.change);
        let found = sweep.probes.get(index).and_then(|probe| {
            let station = sweep.stations.get(probe.station)?;
            let tire = change.apply(&probe.tire, by)?;
            let fixed = &fixed[usize::from(station.side == Side::Right)];
            fixed.least(obstacle, &station.arm, &tire, TOLERANCE_MM, enough)
        });
        let (Some(found), Some(lower), Some(taken)) =
            (found, self.lower.get_mut(index), self.taken.get_mut(index))
        else {
            return f64::INFINITY;
        };
        lower[obstacle.index()] = found.lower;
        taken[obstacle.index()] = by;
        found.distance
    }
}
