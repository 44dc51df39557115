//! The window: how far in or out the wheel may sit and still clear everything by a margin.
//!
//! Moving a tire along its own axis by 1 mm changes no clearance by more than 1 mm. So from any
//! place with room to spare the wheel may be moved by that room at once, and from any place short
//! of room it must be moved by at least what is missing. Stepping so finds the ends of the window
//! without ever jumping over a place that does not fit.

use super::map::{Probe, Sweep};
use super::obstacle::{Fixed, Obstacle};
use crate::truck::Side;

/// Where the wheel may sit, given the room asked for. The window found is the one that holds the
/// wheel as it is, or else the nearest to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Window {
    /// Everything clears by the margin between two ends.
    Clears {
        /// The end farthest inboard (largest offset).
        inboard: WindowEnd,
        /// The end farthest outboard (smallest offset).
        outboard: WindowEnd,
    },
    /// Nowhere within 150 mm of where the wheel is does everything clear by the margin.
    Never {
        /// The best place found.
        best: WindowEnd,
        /// Least clearance there, mm.
        clearance_mm: f64,
    },
}

/// One place the wheel may sit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindowEnd {
    /// Move of the wheel outboard from where it is now, mm: a spacer thicker by this.
    pub shift_mm: f64,
    /// The wheel offset that puts it there with the spacer as it is now, mm.
    pub offset_mm: f64,
    /// What would be met beyond; `None` where the search ended without meeting anything.
    pub limited_by: Option<(Obstacle, Side)>,
}

/// How far to look either way, mm.
const RANGE_MM: f64 = 150.0;
/// Least step, and how exactly an end is found, mm.
const STEP_MM: f64 = 0.25;

/// Accuracy of each clearance, mm.
const TOLERANCE_MM: f64 = 0.1;

/// The least clearance over the domain with all wheels moved outboard by a shift.
struct Search<'a> {
    sweep: &'a mut Sweep,
    fixed: &'a [Fixed; 2],
    /// Shift at which each probe's bound was taken, by obstacle.
    taken: Vec<[f64; 3]>,
    margin: f64,
    /// The probe and obstacle that were least last time: asked first, they settle most others.
    last: Option<(usize, Obstacle)>,
}

/// Room beyond the margin at a shift, and what leaves least.
#[derive(Debug, Clone, Copy)]
struct Room {
    shift: f64,
    spare: f64,
    by: Option<(Obstacle, Side)>,
}

pub(super) fn window(
    sweep: &mut Sweep,
    fixed: &[Fixed; 2],
    margin_mm: f64,
    offset_now_mm: f64,
) -> Window {
    let taken = vec![[0.0; 3]; sweep.probes.len()];
    let mut search = Search { sweep, fixed, taken, margin: margin_mm, last: None };
    let place = |at: Room| WindowEnd {
        shift_mm: at.shift,
        offset_mm: offset_now_mm - at.shift,
        limited_by: at.by,
    };
    let here = search.room(0.0);
    if here.spare >= 0.0 {
        let inboard = search.end(here, -1.0);
        let outboard = search.end(here, 1.0);
        return Window::Clears { inboard: place(inboard), outboard: place(outboard) };
    }
    let mut tried = vec![here];
    let mut found: Option<(Room, f64)> = None;
    let mut short_by = here.by;
    for way in [1.0, -1.0] {
        // Only as far as the window already found the other way.
        let range = found.map_or(RANGE_MM, |(room, _)| room.shift.abs());
        let mut at = here;
        let mut before = here;
        while at.spare < 0.0 && at.shift.abs() < range {
            before = at;
            let step = (-at.spare - TOLERANCE_MM).max(STEP_MM);
            at = search.room((at.shift + way * step).clamp(-range, range));
            tried.push(at);
        }
        if at.spare >= 0.0 {
            found = Some((at, way));
            short_by = before.by;
        }
    }
    let Some((near, way)) = found else {
        let best = search.best_of(tried, here);
        return Window::Never { best: place(best), clearance_mm: best.spare + margin_mm };
    };
    let far = search.end(near, way);
    let near = Room { by: short_by, ..near };
    let (inboard, outboard) = if way > 0.0 { (near, far) } else { (far, near) };
    Window::Clears { inboard: place(inboard), outboard: place(outboard) }
}

/// Room beyond the margin above which it need not be known exactly: the longest step at once, mm.
const CAP_MM: f64 = 20.0;
/// Places tried that are worked out in full when none of them has room.
const IN_FULL: usize = 16;

impl Search<'_> {
    /// The last place with room, going one way from a place with room.
    fn end(&mut self, from: Room, way: f64) -> Room {
        let mut at = from;
        loop {
            // The room itself is only known to a tolerance.
            let step = (at.spare - TOLERANCE_MM).max(STEP_MM);
            let next = (at.shift + way * step).clamp(-RANGE_MM, RANGE_MM);
            if (next - at.shift).abs() < STEP_MM {
                return Room { by: None, ..at };
            }
            let then = self.room(next);
            if then.spare < 0.0 {
                return Room { by: then.by, ..at };
            }
            at = then;
        }
    }

    /// Room at a shift, as far as the next step needs it: never above the cap, and where room is
    /// missing, perhaps not all that is missing.
    fn room(&mut self, shift: f64) -> Room {
        if let Some((index, obstacle)) = self.last {
            let found = self.clearance(index, obstacle, shift, f64::INFINITY);
            let spare = self.spare(found);
            if spare < -TOLERANCE_MM - STEP_MM {
                return Room { shift, spare, by: self.named(index, obstacle) };
            }
        }
        self.scan(shift, self.margin + TOLERANCE_MM + CAP_MM, -CAP_MM)
    }

    /// The place with most room of those tried, worked out in full.
    fn best_of(&mut self, mut tried: Vec<Room>, here: Room) -> Room {
        tried.sort_by(|a, b| b.spare.total_cmp(&a.spare));
        let mut best: Option<Room> = None;
        for room in tried.into_iter().take(IN_FULL) {
            if best.is_some_and(|best| best.spare >= room.spare) {
                break;
            }
            let full = self.scan(room.shift, f64::INFINITY, f64::NEG_INFINITY);
            if best.is_none_or(|best| full.spare > best.spare) {
                best = Some(full);
            }
        }
        best.unwrap_or(here)
    }

    /// Least room at a shift over all probes, asking only those that may be below `least`, and
    /// none after one with no more room than `short`.
    fn scan(&mut self, shift: f64, mut least: f64, short: f64) -> Room {
        let mut by = None;
        'all: for index in 0..self.sweep.probes.len() {
            for obstacle in Obstacle::ALL {
                let Some((probe, taken)) = self.sweep.probes.get(index).zip(self.taken.get(index))
                else {
                    continue;
                };
                let i = obstacle.index();
                if probe.lower[i] - (shift - taken[i]).abs() >= least {
                    continue;
                }
                let found = self.clearance(index, obstacle, shift, least);
                if found < least {
                    least = found;
                    by = Some((index, obstacle));
                    if self.spare(found) <= short {
                        break 'all;
                    }
                }
            }
        }
        self.last = by.or(self.last);
        let by = by.and_then(|(index, obstacle)| self.named(index, obstacle));
        Room { shift, spare: self.spare(least), by }
    }

    /// Room beyond the margin, counting what the search may be off against the wheel.
    fn spare(&self, clearance: f64) -> f64 {
        clearance.min(1e6) - TOLERANCE_MM - self.margin
    }

    fn named(&self, index: usize, obstacle: Obstacle) -> Option<(Obstacle, Side)> {
        let probe = self.sweep.probes.get(index)?;
        Some((obstacle, self.sweep.stations.get(probe.station)?.side))
    }

    /// Clearance of one probe to one obstacle at a shift, remembered as its bound from now on.
    fn clearance(&mut self, index: usize, obstacle: Obstacle, shift: f64, enough: f64) -> f64 {
        let Some(probe) = self.sweep.probes.get_mut(index) else { return f64::INFINITY };
        let Some(station) = self.sweep.stations.get(probe.station) else { return f64::INFINITY };
        let Some(taken) = self.taken.get_mut(index) else { return f64::INFINITY };
        let Probe { mut tire, .. } = *probe;
        tire.centre += tire.axis * shift;
        let fixed = &self.fixed[usize::from(station.side == Side::Right)];
        let found = fixed.least(obstacle, &station.arm, &tire, TOLERANCE_MM, enough);
        let Some(found) = found else { return f64::INFINITY };
        probe.lower[obstacle.index()] = found.lower;
        taken[obstacle.index()] = shift;
        found.distance
    }
}
