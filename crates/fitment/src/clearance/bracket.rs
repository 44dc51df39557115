//! The least clearance over all of the travel and steer, not only at positions tried: a value that
//! is reached, and one that no position falls below.
//!
//! The domain is every steer of the wheel with every travel of both wheels. It is cut into cells,
//! and a cell into smaller ones as long as it may hold less than the best position found. What a cell
//! may hold is bounded by a plane: square to a direction `n`, the tire reaches at most
//! max n · q and a convex part of an obstacle comes down to at least min n · p, so that their
//! distance is no less than the difference (the separating plane of convex analysis; the signed
//! distance to a convex solid is the largest such difference over all unit `n`). Every point of the
//! tire moves so that within a cell it lies at the weighed mean of its places at the cell's eight
//! corners, but for an error that is known: for the axle's travel from [`Lattice`], for a turn by
//! 2h about a fixed axis at most r·h²/2. So the least difference over the eight corners, less those
//! errors, holds for all of the cell (derived here).

use super::hub::INSIDE_MM;
use super::lattice::{Lattice, Reach, Square};
use super::motion::{Motion, Place, Station};
use super::obstacle::{Around, Part};
use super::slow::Pace;
use super::solid::{PosedTire, TireSolid};
use crate::axle::Travel;
use crate::truck::Side;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Accuracy of one distance, mm. Finer than any answer needs: near the edge of a flat sidewall the
/// way across must be square to the part to a thousandth, or the plane cuts into the tire.
const TOLERANCE_MM: f64 = 1e-4;
/// Widest cell of steer at the start, rad.
const WIDEST_RAD: f64 = 0.2;
/// Most cells opened in one search; then what is certain by then is what is said.
const MOST_CELLS: usize = 8000;
/// Most cells opened for a first place.
const MOST_FIRST: usize = 8000;
/// Overlap deeper than this, mm, is bracketed only to this share of what it is deeper.
const SHALLOW_MM: f64 = 5.0;
const DEEP: f64 = 0.1;
/// Cells smaller than this, mm, are not cut any more.
const SMALLEST_MM: f64 = 0.02;
/// How exactly a first place is found, mm of travel and rad of steer.
const FIRST_MM: f64 = 0.1;
const FIRST_RAD: f64 = 3e-4;
/// About how many positions of a map take as long as opening one cell.
const CELL_COST: usize = 8;

/// What is certain about one tire and one obstacle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bracket {
    /// No position has less, mm.
    pub lower: f64,
    /// The best position found; `None` where none below the ceiling was. What the axle does not reach
    /// of the travel is left out.
    pub found: Option<Reached>,
}

/// A position and its clearance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reached {
    /// Clearance there, mm.
    pub clearance: f64,
    /// Left and right wheel travel, mm.
    pub travel: Travel,
    /// This side's wheel's steer, rad.
    pub steer: f64,
}

/// What grows from a place with room to one without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    /// The inner wheel's steer that goes with this wheel's, rad.
    Lock,
    /// Travel of the wheel that is higher, mm.
    Bump,
}

/// A part of the domain and of an obstacle, with what it may hold.
#[derive(Debug, Clone, Copy)]
struct Cell {
    square: Square,
    steer: [f64; 2],
    part: Part,
    /// No clearance in it is below this, mm.
    lower: f64,
    /// Opened in order of this, smallest first.
    key: f64,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cell {}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Cell {
    /// The smallest key is the greatest.
    fn cmp(&self, other: &Self) -> Ordering {
        other.key.total_cmp(&self.key)
    }
}

/// What a cell's middle shows.
struct Seen {
    /// No clearance in the cell is below this, mm.
    lower: f64,
    /// At the cell's middle; `None` where that was not needed.
    reached: Option<Reached>,
    /// About how far the tire or the part's points move over half the cell: by travel, by steer, along
    /// the part, mm.
    sizes: [f64; 3],
}

/// The travel and steer of one axle, looked at whole.
pub(super) struct Continuum<'a> {
    motion: &'a Motion,
    around: &'a [Around; 2],
    lattice: &'a mut Lattice,
    pace: &'a Pace,
    tire: TireSolid,
    /// How far the wheel is moved outboard of where it is, mm.
    outboard: f64,
}

impl<'a> Continuum<'a> {
    /// Of an axle and its own lattice.
    pub fn new(
        motion: &'a Motion,
        around: &'a [Around; 2],
        lattice: &'a mut Lattice,
        pace: &'a Pace,
    ) -> Self {
        Self { motion, around, lattice, pace, tire: motion.solid, outboard: 0.0 }
    }

    /// Counts the cell just opened.
    async fn spend(&self) {
        self.pace.spend(CELL_COST).await;
    }

    /// Solves what a cell's square takes, one position at a time.
    async fn ready(&mut self, square: Square) {
        while self.lattice.solve_next(self.motion, square) {
            self.pace.spend(self.motion.station_cost()).await;
        }
    }

    /// Tries another tire, moved outboard by so many mm; what was solved stays.
    pub const fn change(&mut self, tire: TireSolid, outboard: f64) {
        self.tire = tire;
        self.outboard = outboard;
    }

    /// The least clearance of a side's tire to an obstacle, bracketed within so many mm, as far as it
    /// is below the ceiling, mm: above, only that it is above is made certain. `hint` is a position
    /// known beforehand.
    pub async fn least(
        &mut self,
        side: Side,
        obstacle: usize,
        (within, ceiling): (f64, f64),
        hint: Option<Reached>,
    ) -> Bracket {
        if self.around[side.index()].turns(obstacle) {
            return self.anywhere(side, obstacle, ceiling);
        }
        let mut best = hint.filter(|hint| hint.clearance < ceiling);
        let bar = |best: &Option<Reached>| {
            best.map_or(ceiling, |best| {
                // Deep inside the tire its surfaces meet at angles no one plane speaks for, and how
                // deep to the millimetre helps nobody.
                let depth = (-best.clearance - SHALLOW_MM).max(0.0);
                ceiling.min(best.clearance - within - DEEP * depth)
            })
        };
        let mut heap = BinaryHeap::from(self.start(side, obstacle));
        let mut lower = f64::INFINITY;
        let mut opened = 0;
        while let Some(cell) = heap.pop() {
            opened += 1;
            self.spend().await;
            if cell.lower >= bar(&best) || opened > MOST_CELLS {
                lower = lower.min(cell.lower);
                break;
            }
            self.ready(cell.square).await;
            let Some(seen) = self.look(side, obstacle, &cell, bar(&best), &mut heap) else {
                continue;
            };
            if let Some(reached) = seen.reached
                && reached.clearance < best.map_or(ceiling, |best| best.clearance)
            {
                best = Some(reached);
            }
            let sure = cell.lower.max(seen.lower);
            if sure >= bar(&best) {
                lower = lower.min(sure);
                continue;
            }
            let mut cut = false;
            for smaller in halves(&cell, &seen.sizes) {
                heap.push(Cell { lower: sure, key: sure, ..smaller });
                cut = true;
            }
            if !cut {
                lower = lower.min(sure);
            }
        }
        let lower = best.map_or(lower, |best| lower.min(best.clearance - TOLERANCE_MM));
        Bracket { lower, found: best }
    }

    /// The clearance to what turns with the wheel: any position will do.
    fn anywhere(&mut self, side: Side, obstacle: usize, ceiling: f64) -> Bracket {
        let mut heap = BinaryHeap::new();
        let found = self.start(side, obstacle).iter().find_map(|cell| {
            self.look(side, obstacle, cell, f64::NEG_INFINITY, &mut heap)?.reached
        });
        let lower = found.map_or(f64::INFINITY, |found| found.clearance - INSIDE_MM);
        let found = found.filter(|found| found.clearance < ceiling);
        Bracket { lower, found }
    }

    /// The measure up to which a side's tire certainly keeps so much room, mm, from an obstacle;
    /// infinite where it keeps it everywhere, and no more than what is known already.
    pub async fn first(
        &mut self,
        (side, obstacle): (Side, usize),
        measure: Measure,
        room: f64,
        known: f64,
    ) -> f64 {
        let fine = match measure {
            Measure::Lock => FIRST_RAD,
            Measure::Bump => FIRST_MM,
        };
        let around = &self.around[side.index()];
        // What the travel, or the steer as well, does not change is short of room everywhere or
        // nowhere.
        let everywhere = match measure {
            Measure::Lock => around.turns(obstacle).then_some(0.0),
            Measure::Bump => around.as_one(obstacle).then_some(self.motion.domain.droop_mm),
        };
        if let Some(everywhere) = everywhere {
            let keeps = self.least(side, obstacle, (fine, room), None).await.lower >= room;
            return if keeps { known } else { known.min(everywhere) };
        }
        let start = self.start(side, obstacle).into_iter();
        let mut heap: BinaryHeap<Cell> =
            start.map(|cell| Cell { key: self.key(side, &cell, measure), ..cell }).collect();
        let mut nearest = known;
        let mut opened = 0;
        while let Some(cell) = heap.pop() {
            opened += 1;
            self.spend().await;
            if cell.key >= nearest - fine || opened > MOST_FIRST {
                return cell.key.min(nearest);
            }
            self.ready(cell.square).await;
            let Some(seen) = self.look(side, obstacle, &cell, room, &mut heap) else {
                continue;
            };
            if seen.lower >= room {
                continue;
            }
            if let Some(reached) = seen.reached
                && reached.clearance < room
            {
                nearest = nearest.min(match measure {
                    Measure::Lock => self.motion.lock_of(side, reached.steer),
                    Measure::Bump => reached.travel[0].max(reached.travel[1]),
                });
            }
            let mut cut = false;
            for smaller in halves(&cell, &seen.sizes) {
                let key = self.key(side, &smaller, measure);
                heap.push(Cell { lower: seen.lower, key, ..smaller });
                cut = true;
            }
            if !cut {
                // As small as cells get and still open: counted as short of room.
                nearest = nearest.min(cell.key);
            }
        }
        nearest
    }

    /// The least of a measure over a cell.
    fn key(&self, side: Side, cell: &Cell, measure: Measure) -> f64 {
        match measure {
            Measure::Lock => {
                let [from, to] = cell.steer;
                let least = if from <= 0.0 && to >= 0.0 {
                    0.0
                } else if from > 0.0 {
                    from
                } else {
                    to
                };
                self.motion.lock_of(side, least)
            }
            Measure::Bump => {
                let [left, right] = self.lattice.travels(cell.square);
                left[0].max(right[0])
            }
        }
    }

    /// How fast to work.
    pub const fn pace(&self) -> &'a Pace {
        self.pace
    }

    /// The axle looked at.
    pub const fn motion(&self) -> &'a Motion {
        self.motion
    }

    /// What was solved nearest to some travels.
    pub fn near(&self, travel: Travel) -> Option<&Station> {
        self.lattice.near(travel)
    }

    /// What is around its left and right wheel.
    pub const fn around(&self) -> &'a [Around; 2] {
        self.around
    }

    /// All of the domain in coarse cells.
    fn start(&mut self, side: Side, obstacle: usize) -> Vec<Cell> {
        let [from, to] = self.motion.domain.steer_rad[side.index()];
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 16")]
        let steers = ((to - from) / WIDEST_RAD).ceil().clamp(1.0, 16.0) as u32;
        let at = |i: u32| from + (to - from) * f64::from(i) / f64::from(steers);
        let around = &self.around[side.index()];
        let parts = around.parts(obstacle, self.motion.arm_pieces(side));
        let mut cells = Vec::new();
        let mut squares: Vec<_> = self.lattice.start().collect();
        if around.as_one(obstacle) {
            // The travel changes nothing, so any of it will do.
            let motion = self.motion;
            let whole =
                |square: &&Square| matches!(self.lattice.reach(motion, **square), Reach::Whole(_));
            if let Some(any) = squares.iter().find(whole).copied() {
                squares = vec![any];
            }
        }
        for square in squares {
            for i in 0..steers {
                cells.extend(parts.iter().map(|part| Cell {
                    square,
                    steer: [at(i), at(i + 1)],
                    part: *part,
                    lower: f64::NEG_INFINITY,
                    key: f64::NEG_INFINITY,
                }));
            }
        }
        cells
    }

    /// What a cell may hold, as far as that is below the bar. Where the axle does not reach all of
    /// the cell there is no answer: its quarters are put on the heap, or it is left out as beyond.
    fn look(
        &mut self,
        side: Side,
        obstacle: usize,
        cell: &Cell,
        bar: f64,
        heap: &mut BinaryHeap<Cell>,
    ) -> Option<Seen> {
        let solved = match self.lattice.reach(self.motion, cell.square) {
            Reach::Whole(solved) => solved,
            Reach::Partly if !cell.square.is_edge() => {
                heap.extend(
                    cell.square
                        .quarters()
                        .into_iter()
                        .flatten()
                        .map(|square| Cell { square, ..*cell }),
                );
                return None;
            }
            Reach::Partly | Reach::Beyond => return None,
        };
        let around = &self.around[side.index()];
        let [from, to] = cell.steer;
        let (motion, half) = (self.motion, 0.5 * (to - from));
        let turned = |steer: f64| (steer, steer.sin_cos());
        let place = |station: usize, steer: (f64, (f64, f64))| {
            let place = Place::turned(motion, self.lattice.station(station)?, side, steer);
            let PosedTire { centre, axis, .. } = place.tire;
            Some(place.with(self.tire.at(centre + axis * self.outboard, axis)))
        };
        let swing = motion.swing(side) + self.outboard.abs();
        let reach = self.tire.reach_mm();
        let turning = if half > 0.0 { swing + reach } else { 0.0 };
        let stray = |lever: f64| solved.bend_mm + solved.twist_rad * lever;
        // The tire's points ride on the knuckle and with it on the axle.
        let mut error = turning * half * half * 0.5;
        let as_one = around.as_one(obstacle);
        if !as_one {
            error += stray(2.0 * swing + reach);
        }
        if !as_one && around.rides(obstacle) {
            error += stray(around.lever(obstacle));
        }
        let middle = place(solved.middle, turned(from + half))?;
        let ends = [from, to].map(turned);
        let steers = if half > 0.0 { &ends[..] } else { &ends[..1] };
        let mut corners = [middle; 8];
        let mut count = 0;
        let stations = if as_one { &[solved.middle][..] } else { &solved.corners[..] };
        for &station in stations {
            for &steer in steers {
                corners[count] = place(station, steer)?;
                count += 1;
            }
        }
        let corners = &corners[..count];
        let long = around.half_length(obstacle, &cell.part);
        let by_steer = turning * half;
        let moved = corners
            .iter()
            .map(|c| middle.tire.displacement(&c.tire.centre, &c.tire.axis))
            .fold(0.0, f64::max)
            + error;
        let sizes = [(moved - by_steer).max(0.0), by_steer, long];
        let fixed = !around.rides(obstacle);
        if fixed {
            let lower = around.quick_bound(obstacle, &middle) - moved;
            if lower >= bar {
                return Some(Seen { lower, reached: None, sizes });
            }
        }
        let look_at = |place: &Place| {
            let least = around.probe(obstacle, &cell.part, place, TOLERANCE_MM)?;
            let (travel, steer) = (place.station.travel, place.steer);
            Some((Reached { clearance: least.distance, travel, steer }, least))
        };
        let (mut reached, least) = look_at(&middle)?;
        let mut lower = f64::NEG_INFINITY;
        if fixed {
            lower = least.lower - long - moved;
        }
        let way = around.outward(obstacle, &middle, &least.point);
        // What the distance may be off tilts the way, and a long part makes much of that.
        let way = around.squared(obstacle, &cell.part, &middle, (&least.point, way));
        if (way.norm_squared() - 1.0).abs() < 1e-6 && lower < bar {
            let mut nearest = (f64::INFINITY, &middle);
            let lowest = |place: &Place| around.lowest(obstacle, &cell.part, place, &way);
            // What stays on the frame comes as near at every corner.
            let stays = fixed.then(|| lowest(&middle));
            for corner in corners {
                let near = stays.unwrap_or_else(|| lowest(corner));
                let gap = near - around.tire(obstacle, &corner.tire).reaches(&way);
                if gap < nearest.0 {
                    nearest = (gap, corner);
                }
            }
            let (gap, corner) = nearest;
            lower = lower.max(gap - error);
            // The least is often at the end of the travel or the steer, where no cell has its middle.
            if gap < bar
                && let Some((there, _)) = look_at(corner)
                && there.clearance < reached.clearance
            {
                reached = there;
            }
        }
        Some(Seen { lower, reached: Some(reached), sizes })
    }
}

/// A cell cut where most is gained; nothing where it is as small as cells get.
fn halves(cell: &Cell, sizes: &[f64; 3]) -> impl Iterator<Item = Cell> + use<> {
    let [travel, steer, part] = *sizes;
    let cell = *cell;
    let quarters = cell.square.quarters();
    // Where the travel is cut as small as it gets, what else there is.
    let travel = if quarters.is_some() { travel } else { 0.0 };
    let by_part = part >= steer.max(travel) && part > SMALLEST_MM;
    let by_steer = !by_part && steer >= travel && steer > SMALLEST_MM;
    let quarters = quarters.filter(|_| !by_part && !by_steer);
    let steered = by_steer || (!by_part && quarters.is_none() && steer > SMALLEST_MM);
    let [from, to] = cell.steer;
    let middle = f64::midpoint(from, to);
    let by_part = by_part.then(|| cell.part.halves().map(|part| Cell { part, ..cell }));
    let by_steer =
        steered.then(|| [[from, middle], [middle, to]].map(|steer| Cell { steer, ..cell }));
    let by_travel = quarters.map(|quarters| quarters.map(|square| Cell { square, ..cell }));
    by_part
        .into_iter()
        .flatten()
        .chain(by_steer.into_iter().flatten())
        .chain(by_travel.into_iter().flatten())
}

#[cfg(test)]
mod tests {
    use super::super::domain::Options;
    use super::super::fit::Setting;
    use super::super::obstacle::tests::crowded;
    use super::super::slow::at_once;
    use super::*;
    use crate::truck::{End, State, Truck};

    fn between([from, to]: [f64; 2], i: u32, n: u32) -> f64 {
        from + (to - from) * f64::from(i) / f64::from(n)
    }

    /// What the search says, at once.
    fn least(setting: &Setting, side: Side, obstacle: usize, within: f64) -> Bracket {
        at_once(async |pace| {
            let mut lattice = Lattice::new(&setting.motion);
            Continuum::new(&setting.motion, &setting.around, &mut lattice, &pace)
                .least(side, obstacle, (within, f64::INFINITY), None)
                .await
        })
    }

    /// The least of a fine grid of the whole domain.
    fn sampled(setting: &Setting, side: Side, obstacle: usize, n: u32) -> f64 {
        let Setting { motion, around, .. } = setting;
        let domain = &motion.domain;
        let range = [domain.droop_mm, domain.bump_mm];
        let mut least = f64::INFINITY;
        for (i, j) in (0..=n).flat_map(|i| (0..=n).map(move |j| (i, j))) {
            let travel = [between(range, i, n), between(range, j, n)];
            let Ok(station) = motion.station(travel, None) else { continue };
            for k in 0..=4 * n {
                let steer = between(domain.steer_rad[side.index()], k, 4 * n);
                let place = Place::of(motion, &station, side, steer);
                let found = around[side.index()].least(obstacle, &place, 0.01, f64::INFINITY);
                least = least.min(found.expect("an obstacle").distance);
            }
        }
        least
    }

    #[test]
    fn no_position_has_less_than_the_bracket_says() {
        bracketed(&Truck::example(), &[State::Stock, State::Planned], 10);
        bracketed(&crowded(), &[State::Planned], 6);
    }

    fn bracketed(truck: &Truck, states: &[State], n: u32) {
        for state in states {
            let setting =
                Setting::of(truck, End::Front, *state, &Options::default()).expect("a setting");
            for side in Side::BOTH {
                for obstacle in 0..setting.around[side.index()].len() {
                    let name = setting.around[side.index()].name(obstacle);
                    let got = least(&setting, side, obstacle, 0.9);
                    let best = got.found.expect("a position").clearance;
                    let open = 0.95 + DEEP * (-best - SHALLOW_MM).max(0.0);
                    assert!(best - got.lower <= open, "{state:?} {side:?} {name:?}: {got:?}");
                    let grid = sampled(&setting, side, obstacle, n);
                    assert!(grid >= got.lower, "{state:?} {side:?} {name:?}: {grid} {got:?}");
                    assert!(grid >= best - open, "{state:?} {side:?} {name:?}: {grid} {got:?}");
                }
            }
        }
    }

    #[test]
    fn below_the_first_place_short_of_room_there_is_room() {
        let truck = Truck::example();
        let setting = Setting::of(&truck, End::Front, State::Planned, &Options::default())
            .expect("a setting");
        for obstacle in 0..setting.around[0].len() {
            let least = least(&setting, Side::Left, obstacle, 0.1);
            let (low, room) = (least.lower - 1.0, least.lower + 12.0);
            let first = |room| {
                at_once(async |pace| {
                    let mut lattice = Lattice::new(&setting.motion);
                    Continuum::new(&setting.motion, &setting.around, &mut lattice, &pace)
                        .first((Side::Left, obstacle), Measure::Lock, room, f64::INFINITY)
                        .await
                })
            };
            assert!(first(low).is_infinite(), "{obstacle}: {least:?} keeps {low}");
            let lock = first(room);
            assert!(lock.is_finite(), "{obstacle}: {least:?} is short of {room}");
            // Stopped a little short of there, everything keeps that room; a little later it is not
            // certain to.
            for (by, keeps) in [(-0.002, true), (0.004, false)] {
                let truck = truck.clone();
                let mut setting =
                    Setting::of(&truck, End::Front, State::Planned, &Options::default())
                        .expect("a setting");
                let domain = &mut setting.motion.domain;
                domain.lock_rad = (lock + by).max(0.0);
                domain.steer_rad = [[-domain.lock_rad, domain.lock_rad]; 2];
                *domain = domain.turned_by(&setting.motion.model);
                let got = self::least(&setting, Side::Left, obstacle, 0.05);
                let best = got.found.expect("a position").clearance;
                if lock > 0.0 {
                    let kept = if keeps { best >= room - 0.05 } else { got.lower >= room };
                    assert_eq!(kept, keeps, "{obstacle} {lock} {by} {got:?} {room}");
                }
            }
        }
    }
}
