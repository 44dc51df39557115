//! Lines of equal clearance on a map, and the least of several maps.
//!
//! Between four neighboring positions the clearance is taken along straight lines from corner to
//! corner (marching squares). That is for drawing: what is certain between the positions is said
//! by the contacts, not by these lines.

use super::map::{Cell, ClearanceMap};
use super::obstacle::Obstacle;

/// A line along which the tire is the same distance from what is nearest there.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// What is nearest along it.
    pub obstacle: Obstacle,
    /// Its points in order: column (steer) and row (travel) of the map, with fractions.
    pub points: Vec<[f64; 2]>,
}

/// The four corners of a square of the map, once round.
const CORNERS: [(usize, usize); 4] = [(0, 0), (0, 1), (1, 1), (1, 0)];

/// A piece of a contour inside one square, from one of its edges to another.
struct Piece {
    obstacle: Obstacle,
    /// Where it ends: the edges' numbers, each shared by two squares, and the points on them.
    ends: [(usize, [f64; 2]); 2],
}

impl ClearanceMap {
    /// The lines along which the clearance is `level_mm`: at 0 the first contact, at a margin the
    /// end of where that much room is left. Each line has one obstacle; where the nearest one
    /// changes, another line goes on from there. Nothing is drawn where the axle cannot get.
    pub fn contours(&self, level_mm: f64) -> Vec<Contour> {
        let mut pieces = Vec::new();
        for row in 1..self.travel_mm.len() {
            for column in 1..self.steer_rad.len() {
                self.square(row - 1, column - 1, level_mm, &mut pieces);
            }
        }
        let mut lines = Vec::new();
        while let Some(Piece { obstacle, ends: [first, last] }) = pieces.pop() {
            let mut points = vec![first.1, last.1];
            extend(last.0, obstacle, &mut pieces, &mut points);
            points.reverse();
            extend(first.0, obstacle, &mut pieces, &mut points);
            lines.push(Contour { obstacle, points });
        }
        lines
    }

    /// The steer, rad, and the travel, mm, at a point of a contour.
    pub fn place(&self, [column, row]: [f64; 2]) -> [f64; 2] {
        let between = |axis: &[f64], at: f64| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "an index; a cast saturates"
            )]
            let low = at as usize;
            let from = axis.get(low).or(axis.last()).copied().unwrap_or_default();
            let to = axis.get(low + 1).copied().unwrap_or(from);
            from + (to - from) * (at - low as f64)
        };
        [between(&self.steer_rad, column), between(&self.travel_mm, row)]
    }

    /// The map with the least of several maps' clearances at each position, on the first one's
    /// axes; `None` when there is none, or when their sizes differ. Where only some get, those
    /// count.
    pub fn least_of(maps: &[&Self]) -> Option<Self> {
        let (first, others) = maps.split_first()?;
        let size = |map: &Self| (map.steer_rad.len(), map.travel_mm.len(), map.cells.len());
        if others.iter().any(|map| size(map) != size(first)) {
            return None;
        }
        let mut least = (*first).clone();
        for map in others {
            for (mine, other) in least.cells.iter_mut().zip(&map.cells) {
                let nearer = match (&mine, other) {
                    (Some(mine), Some(other)) => other.clearance_mm < mine.clearance_mm,
                    (None, Some(_)) => true,
                    (_, None) => false,
                };
                if nearer {
                    *mine = *other;
                }
            }
        }
        Some(least)
    }

    /// The pieces of contour in the square whose first corner is given.
    fn square(&self, row: usize, column: usize, level: f64, pieces: &mut Vec<Piece>) {
        let found = CORNERS.map(|(down, right)| self.cell(row + down, column + right));
        let [Some(a), Some(b), Some(c), Some(d)] = found else { return };
        let cells: [&Cell; 4] = [a, b, c, d];
        let below = cells.map(|cell| cell.clearance_mm < level);
        // Points on the edges that lead from below the level to above it or back, once round.
        let mut crossed: Vec<(usize, [f64; 2])> = Vec::with_capacity(4);
        for (i, from) in cells.into_iter().enumerate() {
            let j = (i + 1) % 4;
            if let (Some(true), Some(to)) =
                (below.get(i).zip(below.get(j)).map(|(a, b)| a != b), cells.get(j))
            {
                let share = (level - from.clearance_mm) / (to.clearance_mm - from.clearance_mm);
                let place =
                    |(down, right): (usize, usize)| [(column + right) as f64, (row + down) as f64];
                let (p, q) = (place(CORNERS[i]), place(CORNERS[j]));
                let at = [0, 1].map(|axis| p[axis] + (q[axis] - p[axis]) * share);
                crossed.push((self.edge(row, column, i), at));
            }
        }
        let obstacle = cells
            .into_iter()
            .min_by(|a, b| a.clearance_mm.total_cmp(&b.clearance_mm))
            .map_or(a.obstacle, |cell| cell.obstacle);
        // Over a saddle, corners on the middle's side of the level belong together; the other two
        // are cut off, each by the edges beside it.
        let middle = cells.map(|cell| cell.clearance_mm).iter().sum::<f64>() / 4.0;
        if crossed.len() == 4 && below[0] != (middle < level) {
            crossed.rotate_left(1);
        }
        for ends in crossed.as_chunks::<2>().0 {
            pieces.push(Piece { obstacle, ends: *ends });
        }
    }

    /// A number for an edge of a square, the same for both squares it belongs to.
    fn edge(&self, row: usize, column: usize, side: usize) -> usize {
        let width = self.steer_rad.len();
        // Edges along a row have even numbers, those along a column odd ones.
        match side {
            0 => 2 * (row * width + column),
            1 => 2 * (row * width + column + 1) + 1,
            2 => 2 * ((row + 1) * width + column),
            _ => 2 * (row * width + column) + 1,
        }
    }
}

/// Takes the pieces that go on from an edge, one after the other.
fn extend(
    mut edge: usize,
    obstacle: Obstacle,
    pieces: &mut Vec<Piece>,
    points: &mut Vec<[f64; 2]>,
) {
    let goes_on = |piece: &Piece, edge: usize| {
        piece.obstacle == obstacle && piece.ends.iter().any(|end| end.0 == edge)
    };
    while let Some(next) = pieces.iter().position(|piece| goes_on(piece, edge)) {
        let [first, last] = pieces.swap_remove(next).ends;
        let end = if first.0 == edge { last } else { first };
        points.push(end.1);
        edge = end.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::Side;

    /// A map whose clearance is a function of column and row.
    fn map(width: usize, height: usize, clearance: impl Fn(f64, f64) -> f64) -> ClearanceMap {
        let cells = (0..height).flat_map(|row| (0..width).map(move |column| (column, row)));
        ClearanceMap {
            side: Side::Left,
            crossed: 0.0,
            steer_rad: (0..width).map(|i| i as f64).collect(),
            travel_mm: (0..height).map(|i| i as f64).collect(),
            cells: cells
                .map(|(column, row)| {
                    let clearance_mm = clearance(column as f64, row as f64);
                    let obstacle = if column < width / 2 { Obstacle::Rail } else { Obstacle::Arch };
                    Some(Cell { clearance_mm, obstacle })
                })
                .collect(),
        }
    }

    #[test]
    fn a_slope_has_one_straight_line_for_each_obstacle() {
        // Falls by 10 mm a row: zero lies at row 2.5, whatever the column.
        let lines = map(8, 6, |_, row| 25.0 - 10.0 * row).contours(0.0);
        let mut spans: Vec<_> = lines
            .iter()
            .map(|line| {
                assert!(line.points.iter().all(|p| (p[1] - 2.5).abs() < 1e-12), "{line:?}");
                let columns = line.points.iter().map(|p| p[0]);
                (
                    line.obstacle,
                    columns.clone().fold(f64::MAX, f64::min),
                    columns.fold(0.0, f64::max),
                )
            })
            .collect();
        spans.sort_by_key(|span| span.0);
        // The square where the nearest one changes belongs to one of them.
        assert_eq!(spans, [(Obstacle::Rail, 0.0, 3.0), (Obstacle::Arch, 3.0, 7.0)]);
    }

    #[test]
    fn a_point_lies_between_its_neighbors() {
        let mut map = map(3, 2, |_, _| 0.0);
        (map.steer_rad, map.travel_mm) = (vec![-0.4, 0.0, 0.6], vec![-80.0, 60.0]);
        for ([column, row], [steer, travel]) in [
            ([0.0, 0.0], [-0.4, -80.0]),
            ([1.5, 0.5], [0.3, -10.0]),
            ([2.0, 1.0], [0.6, 60.0]),
            ([9.0, f64::NAN], [0.6, -80.0]),
        ] {
            let got = map.place([column, row]);
            assert!((got[0] - steer).abs() < 1e-12, "{column}: {got:?}");
            assert!((got[1] - travel).abs() < 1e-12 || row.is_nan(), "{row}: {got:?}");
        }
    }

    #[test]
    fn an_island_is_ringed_and_nothing_else() {
        // A cone about (10, 8): the level of 5 is a circle of radius 5 about it.
        let island = map(40, 17, |column, row| (column - 10.0).hypot(row - 8.0));
        let lines = island.contours(5.0);
        assert_eq!(lines.len(), 1, "{lines:?}");
        let points = &lines[0].points;
        assert_eq!(points.first(), points.last(), "the ring closes");
        for [column, row] in points {
            let radius = (column - 10.0).hypot(row - 8.0);
            // A chord of a square lies within a twelfth of this circle.
            assert!((radius - 5.0).abs() < 0.06, "{radius}");
        }
        assert!(island.contours(-1.0).is_empty());
    }

    #[test]
    fn both_ways_over_a_saddle_stay_apart() {
        for (middle, level) in [(0.0, 0.5), (0.0, -0.5)] {
            let saddle =
                map(
                    2,
                    2,
                    |column, row| {
                        if (column - row).abs() < 0.5 { middle + 1.0 } else { middle - 1.0 }
                    },
                );
            let lines = saddle.contours(level);
            assert_eq!(lines.len(), 2, "{lines:?}");
            // With the middle below the level, what is above it is cut off at its two corners.
            let above = level > middle;
            for line in lines {
                let [x, y] = [0, 1].map(|i| f64::midpoint(line.points[0][i], line.points[1][i]));
                assert_eq!((x - y).abs() < 0.2, above, "{line:?}");
            }
        }
    }

    #[test]
    fn where_the_axle_cannot_get_there_is_no_line() {
        let mut slope = map(4, 4, |_, row| 15.0 - 10.0 * row);
        slope.cells[4] = None;
        let lines = slope.contours(0.0);
        assert!(lines.iter().flat_map(|l| &l.points).all(|p| p[0] >= 1.0), "{lines:?}");
    }

    #[test]
    fn the_least_of_two_maps_is_less_than_either() {
        let (a, mut b) = (map(5, 4, |c, r| c - r), map(5, 4, |c, r| r - c));
        b.cells[0] = None;
        let least = ClearanceMap::least_of(&[&a, &b]).expect("they have one size");
        for (i, cell) in least.cells.iter().enumerate() {
            let of = |map: &ClearanceMap| map.cells[i].map_or(f64::INFINITY, |c| c.clearance_mm);
            let got = cell.map_or(f64::INFINITY, |c| c.clearance_mm);
            assert!((got - of(&a).min(of(&b))).abs() < 1e-12, "{i}");
        }
        assert!(ClearanceMap::least_of(&[&a, &map(4, 4, |_, _| 0.0)]).is_none());
        assert!(ClearanceMap::least_of(&[]).is_none());
    }
}
