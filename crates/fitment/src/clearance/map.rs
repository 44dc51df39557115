//! The clearance map: the least clearance and what is nearest, over steer and travel.

use super::domain::Options;
use super::motion::{Motion, Station};
use super::obstacle::{Fixed, Obstacle};
use super::solid::PosedTire;
use crate::axle::{Pose, Travel, Unreachable};
use crate::few::sort_few;
use crate::truck::Side;

/// Least clearance of one tire over steer and travel, with the axle crossed up so far.
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

/// A tire at one position, and what is known of its clearances.
#[derive(Debug, Clone)]
pub(super) struct Probe {
    pub tire: PosedTire,
    /// Index of its station.
    pub station: usize,
    /// No clearance is below this, mm, by obstacle.
    pub lower: [f64; 3],
}

/// The least clearance found to one obstacle, and where.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    pub distance: f64,
    pub station: usize,
    pub steer: f64,
}

/// Everything one sweep over the domain finds.
#[derive(Debug, Clone)]
pub(super) struct Sweep {
    pub maps: Vec<ClearanceMap>,
    pub stations: Vec<Station>,
    pub probes: Vec<Probe>,
    /// By side, left first, and obstacle.
    pub worst: [[Option<Spot>; 3]; 2],
    /// Positions the axle cannot reach, and why not at the last of them.
    pub unreachable: (usize, Option<Unreachable>),
}

/// Tries both tires over the whole domain.
pub(super) fn sweep(motion: &Motion, fixed: &[Fixed; 2], options: &Options) -> Sweep {
    let steers = motion.domain.steers(options);
    let travels = motion.domain.travels(options);
    let rows = travels.len() * options.crossed.len() * 2;
    let mut sweep = Sweep {
        maps: Vec::with_capacity(options.crossed.len() * 2),
        stations: Vec::with_capacity(rows),
        probes: Vec::with_capacity(rows * steers.len()),
        worst: [[None; 3]; 2],
        unreachable: (0, None),
    };
    for (side, fixed) in Side::BOTH.into_iter().zip(fixed) {
        for &crossed in &options.crossed {
            let mut rows = vec![Vec::new(); travels.len()];
            let mut near = None;
            // From full bump down: the tightest positions come first and settle most others.
            for (&travel, row) in travels.iter().zip(&mut rows).rev() {
                let station = match sweep.pose_at(motion.travels(side, travel, crossed), motion) {
                    Some(pose) => Ok(motion.posed(side, travel, crossed, &pose)),
                    None => motion.station(side, travel, crossed, near.as_ref()),
                };
                match station {
                    Ok(station) => {
                        near = Some(station.pose);
                        *row = sweep.row(motion, fixed, station, &steers);
                    }
                    Err(why) => {
                        sweep.unreachable = (sweep.unreachable.0 + 1, Some(why));
                        *row = vec![None; steers.len()];
                    }
                }
            }
            sweep.maps.push(ClearanceMap {
                side,
                crossed,
                steer_rad: steers.clone(),
                travel_mm: travels.clone(),
                cells: rows.concat(),
            });
        }
    }
    sweep
}

impl Sweep {
    /// The pose at these travels, if the other side's sweep solved it before: with the axle level
    /// or fully crossed up, both sides meet the same poses.
    fn pose_at(&self, travels: Travel, motion: &Motion) -> Option<Pose<f64>> {
        let same = |s: &&Station| {
            let [left, right] = motion.travels(s.side, s.travel, s.crossed);
            (left - travels[0]).abs() < 1e-9 && (right - travels[1]).abs() < 1e-9
        };
        self.stations.iter().find(same).map(|s| s.pose)
    }

    /// One row of a map: every steer at one station.
    fn row(
        &mut self,
        motion: &Motion,
        fixed: &Fixed,
        station: Station,
        steers: &[f64],
    ) -> Vec<Option<Cell>> {
        let index = self.stations.len();
        let side = usize::from(station.side == Side::Right);
        let mut order = Obstacle::ALL;
        let mut before: Option<Probe> = None;
        let mut cells = Vec::with_capacity(steers.len());
        for &steer in steers {
            let tire = motion.tire(&station, steer);
            let moved = before.as_ref().map(|b| b.tire.displacement(&tire));
            let mut probe = Probe { tire, station: index, lower: [f64::INFINITY; 3] };
            let mut cell: Option<Cell> = None;
            for obstacle in order {
                let i = obstacle.index();
                let Some(mut bound) = fixed.quick_bound(obstacle, &station.arm, &tire) else {
                    continue;
                };
                if let Some((b, moved)) = before.as_ref().zip(moved) {
                    bound = bound.max(b.lower[i] - moved);
                }
                let worst = self.worst[side][i].map_or(f64::INFINITY, |spot| spot.distance);
                let enough = cell.map_or(f64::INFINITY, |c| c.clearance_mm).max(worst);
                if bound <= enough {
                    let Some(found) =
                        fixed.least(obstacle, &station.arm, &tire, MAP_TOLERANCE_MM, enough)
                    else {
                        continue;
                    };
                    bound = found.lower;
                    if found.distance < worst {
                        let distance = found.distance;
                        self.worst[side][i] = Some(Spot { distance, station: index, steer });
                    }
                    if cell.is_none_or(|c| found.distance < c.clearance_mm) {
                        cell = Some(Cell { clearance_mm: found.distance, obstacle });
                    }
                }
                probe.lower[i] = bound;
            }
            // What was nearest is likely nearest at the next steer: ask it first.
            if let Some(cell) = cell {
                sort_few(&mut order, |a, b| (*a != cell.obstacle).cmp(&(*b != cell.obstacle)));
            }
            cells.push(cell);
            before = Some(probe.clone());
            self.probes.push(probe);
        }
        self.stations.push(station);
        cells
    }
}
