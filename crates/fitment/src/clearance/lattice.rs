//! The axle solved at a lattice of wheel travels, finer where it is asked for.
//!
//! A cell is a square of left and right travel between four solved positions. Within it, any point
//! that rides on the axle lies where the four positions' mean puts it (weighed by how near each is),
//! give or take an error that is measured at the middles of the cell's sides: for a path that bends
//! evenly the error is largest there, and along both travels at once it is at most the sum of what
//! it is along each. A quarter is added for paths that do not bend quite evenly (derived here).

use super::motion::{Motion, Station};
use crate::axle::Travel;
use crate::truck::Side;
use nalgebra::Vector3;
use std::collections::BTreeMap;

/// Widest cell at the start, mm of travel.
const WIDEST_MM: f64 = 30.0;
/// How often a cell may be halved.
const HALVINGS: u32 = 5;
/// Steps of the finest lattice across one cell of the coarsest.
const FINE: u32 = 1 << HALVINGS;
/// Most cells of the coarsest lattice along one travel.
const MOST_CELLS: u32 = 12;
/// Share added to what the bending is measured to be.
const UNEVEN: f64 = 1.25;

/// In which order a square's positions are solved, by their numbers in [`Square::nodes`]: the corners
/// first, and then what lies half-way between two.
const ORDER: [(usize, Option<[usize; 2]>); 9] = [
    (1, None),
    (2, None),
    (3, None),
    (4, None),
    (5, Some([1, 2])),
    (6, Some([3, 4])),
    (7, Some([1, 3])),
    (8, Some([2, 4])),
    (0, Some([5, 6])),
];

/// A square of travels: its lower corner and its size in steps of the finest lattice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Square {
    at: [u32; 2],
    size: u32,
}

impl Square {
    /// Its four quarters; `None` where it is as small as squares get. The smallest square's sides
    /// have middles, too.
    pub fn quarters(self) -> Option<[Self; 4]> {
        let size = self.size / 2;
        let [left, right] = self.at;
        (size >= 2).then(|| {
            [[0, 0], [size, 0], [0, size], [size, size]]
                .map(|by| Self { at: [left + by[0], right + by[1]], size })
        })
    }

    /// Where it is solved: in its middle, at its corners, and at the middles of its sides.
    fn nodes(self) -> [[u32; 2]; 9] {
        let Self { at: [left, right], size } = self;
        let half = size / 2;
        [
            [half, half],
            [0, 0],
            [size, 0],
            [0, size],
            [size, size],
            [half, 0],
            [half, size],
            [0, half],
            [size, half],
        ]
        .map(|by| [left + by[0], right + by[1]])
    }

    /// Whether it is small enough to leave out when the axle does not reach all of it.
    pub const fn is_edge(self) -> bool {
        self.size <= FINE / 4
    }
}

/// What the axle does over a square.
#[derive(Debug, Clone, Copy)]
pub(super) enum Reach {
    /// It reaches all positions asked.
    Whole(Solved),
    /// It reaches some.
    Partly,
    /// It reaches none.
    Beyond,
}

/// A square with its positions solved.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solved {
    /// The four corners' stations.
    pub corners: [usize; 4],
    pub middle: usize,
    /// Neither a hub nor a point of an arm strays farther than this, mm, from the mean of its four
    /// places.
    pub bend_mm: f64,
    /// Nor does the axle turn from the mean by more than this, rad.
    pub twist_rad: f64,
}

/// Solved positions by their travels.
#[derive(Debug, Clone)]
pub(super) struct Lattice {
    travel: [f64; 2],
    stations: Vec<Station>,
    known: BTreeMap<[u32; 2], Option<usize>>,
    squares: BTreeMap<Square, Reach>,
    /// The station looked at last: what is asked for next is likely a neighbor.
    last: Option<usize>,
    cells: u32,
}

impl Lattice {
    /// Of an axle's domain; from then on it goes with that axle.
    pub fn new(motion: &Motion) -> Self {
        let travel = [motion.domain.droop_mm, motion.domain.bump_mm];
        let range = travel[1] - travel[0];
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 12")]
        let cells = (range / WIDEST_MM).ceil().clamp(1.0, f64::from(MOST_CELLS)) as u32;
        let (stations, known, squares) = (Vec::new(), BTreeMap::new(), BTreeMap::new());
        Self { travel, stations, known, squares, last: None, cells }
    }

    /// The coarsest squares, from full bump down.
    pub fn start(&self) -> impl Iterator<Item = Square> + use<> {
        let cells = self.cells;
        let square = move |left, right| Square { at: [left * FINE, right * FINE], size: FINE };
        (0..cells)
            .rev()
            .flat_map(move |left| (0..cells).rev().map(move |right| square(left, right)))
    }

    /// A station by its number.
    pub fn station(&self, number: usize) -> Option<&Station> {
        self.stations.get(number)
    }

    /// The station solved nearest to some travels.
    pub fn near(&self, [left, right]: Travel) -> Option<&Station> {
        let far = |s: &Station| (s.travel[0] - left).abs().max((s.travel[1] - right).abs());
        self.stations.iter().min_by(|a, b| far(a).total_cmp(&far(b)))
    }

    /// From where to where a square goes, mm of left and of right travel.
    pub fn travels(&self, square: Square) -> [[f64; 2]; 2] {
        square.at.map(|at| [self.travel(at), self.travel(at + square.size)])
    }

    fn travel(&self, step: u32) -> f64 {
        let [droop, bump] = self.travel;
        droop + (bump - droop) * (f64::from(step) / f64::from(self.cells * FINE))
    }

    /// Solves one position of a square that is not solved yet; false where there is none left. What
    /// would take long at once is asked for so, one by one.
    pub fn solve_next(&mut self, motion: &Motion, square: Square) -> bool {
        if self.squares.contains_key(&square) {
            return false;
        }
        let nodes = square.nodes();
        let next = ORDER.into_iter().find(|(node, _)| !self.known.contains_key(&nodes[*node]));
        if let Some((node, ends)) = next {
            let ends =
                ends.map(|ends| ends.map(|end| self.known.get(&nodes[end]).copied().flatten()));
            let ends = match ends {
                Some([Some(from), Some(to)]) => Some([from, to]),
                _ => None,
            };
            let found = self.solved_at(motion, nodes[node], ends);
            self.last = found.or(self.last);
        }
        next.is_some()
    }

    /// Solves the position at a node, half-way between two that are solved where they are told; `None`
    /// out of the axle's reach.
    fn solved_at(
        &mut self,
        motion: &Motion,
        at: [u32; 2],
        ends: Option<[usize; 2]>,
    ) -> Option<usize> {
        let travel = at.map(|at| self.travel(at));
        let ends = ends.map(|ends| ends.map(|end| self.stations.get(end)));
        let last = self.last.and_then(|last| self.stations.get(last));
        let station = match (motion.station_read(travel), ends, last) {
            (Some(read), ..) => Some(read),
            (_, Some([Some(from), Some(to)]), _) => {
                motion.station_between(travel, [&from.pose, &to.pose])
            }
            (.., Some(last)) => motion.station_near(travel, &last.pose),
            _ => motion.station(travel, None).ok(),
        };
        let found = station.map(|station| {
            self.stations.push(station);
            self.stations.len() - 1
        });
        self.known.insert(at, found);
        found
    }

    /// What the axle does over a square.
    pub fn reach(&mut self, motion: &Motion, square: Square) -> Reach {
        if let Some(known) = self.squares.get(&square) {
            return *known;
        }
        let reach = self.solve(motion, square);
        self.squares.insert(square, reach);
        reach
    }

    fn solve(&mut self, motion: &Motion, square: Square) -> Reach {
        while self.solve_next(motion, square) {}
        let [middle, corners @ .., low, high, before, behind] =
            square.nodes().map(|at| self.known.get(&at).copied().flatten());
        let sides = [low, high, before, behind];
        let (
            [Some(a), Some(b), Some(c), Some(d)],
            [Some(low), Some(high), Some(before), Some(behind)],
            Some(middle),
        ) = (corners, sides, middle)
        else {
            let any = corners.into_iter().chain(sides).any(|node| node.is_some());
            return if any || middle.is_some() { Reach::Partly } else { Reach::Beyond };
        };
        let most = |p: [f64; 2], q: [f64; 2]| [p[0].max(q[0]), p[1].max(q[1])];
        let by_left = most(self.bend(motion, a, low, b), self.bend(motion, c, high, d));
        let by_right = most(self.bend(motion, a, before, c), self.bend(motion, b, behind, d));
        // What is read off counts a rotation by a lever of one metre.
        let off = motion.read_off_mm();
        Reach::Whole(Solved {
            corners: [a, b, c, d],
            middle,
            bend_mm: UNEVEN * (by_left[0] + by_right[0]) + off,
            twist_rad: UNEVEN * (by_left[1] + by_right[1]) + off / 1000.0,
        })
    }

    /// How far points lie at the middle of a side from the mean of where they lie at its ends, mm,
    /// and how far the axle is turned from the mean there, rad.
    fn bend(&self, motion: &Motion, a: usize, middle: usize, b: usize) -> [f64; 2] {
        let (Some(a), Some(middle), Some(b)) =
            (self.station(a), self.station(middle), self.station(b))
        else {
            return [f64::INFINITY; 2];
        };
        let off =
            |of: &dyn Fn(&Station) -> Vector3<f64>| (of(middle) - (of(a) + of(b)) * 0.5).norm();
        let turn = |s: &Station| s.pose.axle.turn;
        let twist = (turn(middle) - (turn(a) + turn(b)) * 0.5).norm();
        let most = |side: Side| {
            let hub = Vector3::new(0.0, side.sign() * motion.model.wheel_y, 0.0);
            (0..middle.arm(side).len())
                .map(|i| off(&|s| s.arm(side).get(i).copied().unwrap_or_default()))
                .fold(off(&|s| s.pose.axle.point(&hub)), f64::max)
        };
        [Side::BOTH.into_iter().map(most).fold(0.0, f64::max), twist]
    }
}
