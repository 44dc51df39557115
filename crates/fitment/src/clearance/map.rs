//! The clearance map: the least clearance and what is nearest, over steer and travel.

use super::bracket::Reached;
use super::domain::Options;
use super::fan::{ArchTrace, Fan};
use super::motion::{Motion, Place, Station};
use super::obstacle::{Around, Obstacle, Part};
use super::segment::Least;
use super::solid::{PosedTire, greater};
use crate::axle::{Travel, Unreachable};
use crate::few::sort_few;
use crate::truck::Side;
use nalgebra::Vector3;

/// Least clearance of one tire over steer and travel, with the axle crossed up so far. What turns with
/// the wheel (a brake caliper in it) is left out where there is anything else: it is as near everywhere,
/// and has its [`Contact`](super::Contact).
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceMap {
    /// Whose tire.
    pub side: Side,
    /// How far the axle is crossed up, as in [`Options::crossed`].
    pub crossed: f64,
    /// Steer angles of the columns, rad, left positive.
    pub steer_rad: Vec<f64>,
    /// Travels of this side's wheel, of the rows, mm from stock, bump positive.
    pub travel_mm: Vec<f64>,
    /// Row by row; `None` where the axle cannot get.
    pub cells: Vec<Option<Cell>>,
}

/// One position of the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Least clearance, mm, never above the true one by more than 0.5 mm; negative is overlap.
    pub clearance_mm: f64,
    /// To what.
    pub obstacle: Obstacle,
}

impl ClearanceMap {
    /// The cell of a row (travel) and column (steer), if the axle gets there.
    pub fn cell(&self, row: usize, column: usize) -> Option<&Cell> {
        if column >= self.steer_rad.len() {
            return None;
        }
        self.cells.get(row * self.steer_rad.len() + column)?.as_ref()
    }

    /// The least cell, with its row and column.
    pub fn least(&self) -> Option<(usize, usize, &Cell)> {
        let width = self.steer_rad.len().max(1);
        self.cells
            .iter()
            .enumerate()
            .filter_map(|(i, cell)| cell.as_ref().map(|cell| (i / width, i % width, cell)))
            .min_by(|a, b| a.2.clearance_mm.total_cmp(&b.2.clearance_mm))
    }
}

/// Accuracy of the map, mm.
const MAP_TOLERANCE_MM: f64 = 0.5;

/// A tire at one position.
#[derive(Debug, Clone, Copy)]
pub(super) struct Probe {
    pub side: Side,
    /// Index of its station.
    pub station: usize,
    /// Steer of its wheel, rad.
    pub steer: f64,
    /// The tire's centre and its spin axis: of thousands, not each with the whole tire.
    centre: Vector3<f64>,
    axis: Vector3<f64>,
}

impl Probe {
    fn of(place: &Place, station: usize) -> Self {
        let PosedTire { centre, axis, .. } = place.tire;
        Self { side: place.side, station, steer: place.steer, centre, axis }
    }

    /// A number no smaller than how far any point of the tire has moved to where it stands now.
    fn moved(&self, now: &PosedTire) -> f64 {
        now.displacement(&self.centre, &self.axis)
    }
}

/// What the search of an obstacle at one position leaves behind for those beside it.
#[derive(Debug, Clone)]
struct Trace {
    /// The position.
    at: Probe,
    arch: Option<ArchTrace>,
    plane: Option<Plane>,
}

/// A plane between the tire and an obstacle, by its direction and how far along it the obstacle begins,
/// and the obstacle's point that was nearest.
#[derive(Debug, Clone, Copy)]
struct Plane {
    way: Vector3<f64>,
    begins: f64,
    point: Vector3<f64>,
}

/// The clearance to an obstacle within `tolerance` mm, or proof that it is above `enough`: from the planes
/// and points of positions near by, where this was left above and before, where they leave no more open than
/// that, else by searching. What is known now takes the place of what was left above.
fn least(
    around: &Around,
    index: usize,
    (place, here): (&Place, Probe),
    (tolerance, enough): (f64, f64),
    (own, before, fan): (&mut Option<Trace>, Option<&Trace>, &mut Fan),
) -> Option<Least> {
    let rides = around.rides(index);
    let mut known = Least { distance: f64::INFINITY, lower: f64::NEG_INFINITY, point: here.centre };
    let mut arch: Option<(f64, &ArchTrace)> = None;
    let near = [own.as_ref(), before];
    for trace in near.iter().flatten() {
        // What rides on the axle stands elsewhere at another station.
        if rides && trace.at.station != here.station {
            continue;
        }
        if let Some(Plane { way, begins, point }) = &trace.plane {
            let tire = around.tire(index, &place.tire);
            known.lower = greater(known.lower, begins - tire.reaches(way));
            let done = known.lower > enough || {
                let distance = tire.distance(point);
                if distance < known.distance {
                    (known.distance, known.point) = (distance, *point);
                }
                known.distance - known.lower <= tolerance
            };
            if done {
                let plane = trace.plane;
                *own = Some(Trace { at: here, arch: None, plane });
                return Some(known);
            }
        }
        if let Some(of) = &trace.arch {
            let moved = trace.at.moved(&place.tire);
            if arch.is_none_or(|(least, _)| moved < least) {
                arch = Some((moved, of));
            }
        }
    }
    let arch = arch.map(|(_, of)| of);
    let (found, arch) = around.least_next(index, place, (tolerance, enough), (arch, fan))?;
    // A plane tells of a whole obstacle only where that is one convex part.
    let whole = Part { number: 0, span: [0.0, 1.0] };
    let plane = around.is_convex(index, place).then(|| {
        let point = found.point;
        let way = around.outward(index, place, &point);
        let way = around.squared(index, &whole, place, (&point, way));
        Plane { way, begins: around.lowest(index, &whole, place, &way), point }
    });
    *own = Some(Trace { at: here, arch, plane });
    Some(found)
}

/// Everything one sweep over the domain finds.
#[derive(Debug, Clone)]
pub(super) struct Sweep {
    pub maps: Vec<ClearanceMap>,
    /// The one obstacle looked at, where it is not all of them.
    only: Option<usize>,
    /// Rows tried so far, map by map.
    rows: usize,
    pub stations: Vec<Station>,
    pub probes: Vec<Probe>,
    /// No clearance of a probe is below this, mm: by probe, and within it by obstacle.
    pub lower: Vec<f64>,
    /// How many obstacles a probe has at most.
    pub count: usize,
    /// The least found, by side, left first, and by obstacle; none where only maps are asked for.
    pub worst: [Vec<Option<Reached>>; 2],
    /// What searches left behind in the map gone through, by column and obstacle.
    traces: Vec<Option<Trace>>,
    /// Room for a search of the arch.
    fan: Fan,
    /// Sine and cosine of a map's steer angles, by side.
    turns: [Vec<(f64, f64)>; 2],
    /// How many positions were noted besides the map's.
    pub noted: usize,
    /// The stations tried last in this map, the last one first.
    near: [Option<usize>; 3],
    /// The first station of the last map, and whose that was.
    top: Option<(Side, usize)>,
    /// Rows the axle cannot reach, and why not at the last of them.
    pub unreachable: (usize, Option<Unreachable>),
}

impl Sweep {
    /// With nothing tried yet.
    pub fn new(motion: &Motion, around: &[Around; 2], options: &Options) -> Self {
        let travels = motion.domain.travels(options);
        let mut maps = Vec::with_capacity(options.crossed.len() * 2);
        let turns = Side::BOTH.map(|side| {
            let steers = motion.domain.steers(side, options);
            let turns = steers.iter().map(|steer| steer.sin_cos()).collect();
            maps.extend(options.crossed.iter().map(|&crossed| ClearanceMap {
                side,
                crossed,
                cells: vec![None; travels.len() * steers.len()],
                steer_rad: steers.clone(),
                travel_mm: travels.clone(),
            }));
            turns
        });
        let count = around[0].len().max(around[1].len());
        let positions = maps.iter().map(|map| map.cells.len()).sum();
        Self {
            maps,
            turns,
            traces: Vec::new(),
            fan: Fan::default(),
            only: None,
            rows: 0,
            stations: Vec::new(),
            probes: Vec::with_capacity(positions),
            lower: Vec::with_capacity(positions * count),
            count,
            worst: around.each_ref().map(|around| vec![None; around.len()]),
            noted: 0,
            near: [None; 3],
            top: None,
            unreachable: (0, None),
        }
    }

    /// Of one tire and one obstacle alone, with nothing tried yet.
    pub fn alone(
        motion: &Motion,
        around: &[Around; 2],
        options: &Options,
        (side, obstacle): (Side, usize),
    ) -> Self {
        let mut sweep = Self::new(motion, around, options);
        sweep.maps.retain(|map| map.side == side);
        sweep.only = Some(obstacle);
        sweep.of_map()
    }

    /// For the maps alone: what is farther than the nearest thing need not be known for each obstacle.
    pub fn of_map(self) -> Self {
        Self { worst: [Vec::new(), Vec::new()], ..self }
    }

    /// Tries one more row, from full bump down: the tightest positions come first and settle most
    /// others. False when there is none left.
    pub fn next(&mut self, motion: &Motion, around: &[Around; 2]) -> bool {
        let rows = self.maps.first().map_or(1, |map| map.travel_mm.len().max(1));
        let (number, row) = (self.rows / rows, rows - 1 - self.rows % rows);
        let Some(map) = self.maps.get(number) else { return false };
        let (side, crossed, steers) = (map.side, map.crossed, map.steer_rad.clone());
        let travel = map.travel_mm.get(row).copied().unwrap_or_default();
        self.rows += 1;
        if row + 1 == rows {
            // From there the other wheel alone has gone on.
            self.near =
                [self.top.take().filter(|(of, _)| *of == side).map(|(_, it)| it), None, None];
            self.traces.clear();
        }
        match self.station(motion, motion.travels(side, travel, crossed), self.near) {
            Ok(station) => {
                self.near = [Some(station), self.near[0], self.near[1]];
                if row + 1 == rows {
                    (self.top, self.near) = (Some((side, station)), [Some(station), None, None]);
                }
                let cells = self.row(motion, &around[side.index()], side, station, &steers);
                let at = row * steers.len();
                let row = self.maps.get_mut(number).and_then(|m| m.cells.get_mut(at..));
                for (to, from) in row.into_iter().flatten().zip(cells) {
                    *to = from;
                }
            }
            Err(why) => {
                self.near = [self.near[0], None, None];
                self.unreachable = (self.unreachable.0 + 1, Some(why));
            }
        }
        true
    }

    /// One more position, as bad as any: from now on it counts, too.
    pub fn note(&mut self, motion: &Motion, around: &Around, side: Side, at: &Reached) {
        let Ok(number) = self.station(motion, at.travel, [None; 3]) else { return };
        let Some(station) = self.stations.get(number) else { return };
        let place = Place::of(motion, station, side, at.steer);
        let lower = (0..self.count).map(|i| around.quick_bound(i, &place));
        self.lower.extend(lower);
        self.probes.push(Probe::of(&place, number));
        self.noted += 1;
    }

    /// The number of the station at these travels: with the axle level or fully crossed up, both
    /// sides meet the same ones.
    fn station(
        &mut self,
        motion: &Motion,
        travel: Travel,
        near: [Option<usize>; 3],
    ) -> Result<usize, Unreachable> {
        let same = |s: &Station| {
            (s.travel[0] - travel[0]).abs() < 1e-9 && (s.travel[1] - travel[1]).abs() < 1e-9
        };
        if let Some(known) = self.stations.iter().position(same) {
            return Ok(known);
        }
        let near = near.map(|near| self.stations.get(near?).map(|near| &near.pose));
        self.stations.push(match (motion.station_read(travel), near) {
            (Some(read), _) => read,
            (None, [Some(last), Some(before), Some(first)]) => {
                motion.station_next(travel, [last, before, first])?
            }
            (None, [near, ..]) => motion.station(travel, near)?,
        });
        Ok(self.stations.len() - 1)
    }

    /// One row of a map: every steer at one station.
    fn row(
        &mut self,
        motion: &Motion,
        around: &Around,
        side: Side,
        number: usize,
        steers: &[f64],
    ) -> Vec<Option<Cell>> {
        let Some(station) = self.stations.get(number) else { return vec![None; steers.len()] };
        // What turns with the wheel is as near everywhere: it would only hide the rest of the map.
        let all = (0..around.len()).filter(|i| self.only.is_none_or(|only| only == *i));
        let (mut turning, mut order): (Vec<usize>, Vec<usize>) =
            all.partition(|i| around.turns(*i));
        if order.is_empty() {
            std::mem::swap(&mut turning, &mut order);
        }
        // What rides on the axle stands elsewhere at another station.
        let rides: Vec<bool> = (0..around.len()).map(|i| around.rides(i)).collect();
        let mut cells = Vec::with_capacity(steers.len());
        let worst_of = &mut self.worst[side.index()];
        let (count, columns) = (self.count, steers.len());
        self.traces.resize(columns * count, None);
        let mut before: Option<Probe> = None;
        let mut lower = vec![f64::INFINITY; count];
        for (column, (&steer, &turn)) in steers.iter().zip(&self.turns[side.index()]).enumerate() {
            let place = Place::turned(motion, station, side, (steer, turn));
            let here = Probe::of(&place, number);
            let moved = before.map_or(f64::INFINITY, |before| before.moved(&place.tire));
            for lower in &mut lower {
                *lower -= moved;
            }
            // The same steer one row up.
            let above = self.probes.len().checked_sub(columns);
            let above =
                above.and_then(|it| Some((self.probes.get(it)?, self.lower.get(it * count..)?)));
            if let Some((above, known)) = above.filter(|(above, _)| above.side == side) {
                let moved = above.moved(&place.tire);
                for ((lower, known), rides) in lower.iter_mut().zip(known).zip(&rides) {
                    if !rides {
                        *lower = greater(*lower, known - moved);
                    }
                }
            }
            for &i in &turning {
                if let Some(lower) = lower.get_mut(i) {
                    *lower = around.quick_bound(i, &place);
                }
            }
            let mut nearest: Option<(f64, usize)> = None;
            for &i in &order {
                let Some(bound) = lower.get_mut(i) else {
                    continue;
                };
                let worst = worst_of.get_mut(i);
                let so_far = worst.as_ref().map_or(f64::NEG_INFINITY, |worst| {
                    worst.map_or(f64::INFINITY, |worst| worst.clearance)
                });
                let enough = greater(nearest.map_or(f64::INFINITY, |(mm, _)| mm), so_far);
                if *bound > enough {
                    continue;
                }
                *bound = greater(*bound, around.quick_bound(i, &place));
                if *bound > enough {
                    continue;
                }
                let at = column * count + i;
                let Some((done, [own, ..])) = self.traces.split_at_mut_checked(at) else {
                    continue;
                };
                let before = at.checked_sub(count).and_then(|at| done.get(at)?.as_ref());
                let (goal, of) = ((MAP_TOLERANCE_MM, enough), (own, before, &mut self.fan));
                let Some(found) = least(around, i, (&place, here), goal, of) else { continue };
                *bound = greater(*bound, found.lower);
                let clearance = found.distance;
                if clearance < so_far
                    && let Some(worst) = worst
                {
                    *worst = Some(Reached { clearance, travel: station.travel, steer });
                }
                if nearest.is_none_or(|(mm, _)| clearance < mm) {
                    nearest = Some((clearance, i));
                }
            }
            // What was nearest is likely nearest at the next steer: ask it first.
            if let Some((_, first)) = nearest {
                sort_few(&mut order, |a, b| (*a != first).cmp(&(*b != first)));
            }
            cells.push(nearest.and_then(|(clearance_mm, i)| {
                around.name(i).map(|obstacle| Cell { clearance_mm, obstacle })
            }));
            before = Some(here);
            self.probes.push(here);
            self.lower.extend_from_slice(&lower);
        }
        cells
    }

    /// A probe's place, with another tire.
    pub fn place<'a>(
        &'a self,
        motion: &'a Motion,
        probe: usize,
        tire: impl FnOnce(&PosedTire) -> Option<PosedTire>,
    ) -> Option<Place<'a>> {
        let Probe { side, station, steer, centre, axis } = self.probes.get(probe)?;
        let now = motion.solid.at(*centre, *axis);
        let (station, tire) = (self.stations.get(*station)?, tire(&now)?);
        Some(Place { motion, station, side: *side, steer: *steer, tire })
    }
}

#[cfg(test)]
mod tests {
    use super::super::domain::Options;
    use super::super::fit::Setting;
    use super::*;
    use crate::truck::{End, State, Thing, ThingKind, Truck};

    #[test]
    fn what_turns_with_the_wheel_hides_nothing_and_still_counts() {
        let mut truck = Truck::example();
        let around = &mut truck.front.as_mut().unwrap().surroundings;
        around.things = vec![Thing::new(ThingKind::BrakeCaliper, End::Front)];
        let options = Options::coarse();
        let sweep = |truck: &Truck| {
            let setting = Setting::of(truck, End::Front, State::Planned, &options).unwrap();
            let mut sweep = Sweep::new(&setting.motion, &setting.around, &options);
            while sweep.next(&setting.motion, &setting.around) {}
            sweep
        };
        let with = sweep(&truck);
        let cells = with.maps.iter().flat_map(|map| &map.cells).flatten();
        assert!(cells.into_iter().all(|cell| !matches!(cell.obstacle, Obstacle::Thing(_))));
        let known = with.lower.iter().skip(3).step_by(with.count);
        assert!(known.into_iter().all(|lower| lower.is_finite()), "the caliper counts elsewhere");
        // With nothing else there, it is what the map shows.
        let around = &mut truck.front.as_mut().unwrap().surroundings;
        (around.rail, around.arch, around.arm_radius_mm) = (None, None, None);
        let alone = sweep(&truck);
        assert!(alone.maps.iter().flat_map(|map| &map.cells).all(Option::is_some));
    }
}
