//! Tire against a point, bar, plate or block at any attitude: the pieces larger obstacles are
//! made of.
//!
//! All are one thing: a corner and up to three edges at right angles, grown all round by a radius.
//! A block is searched in its own frame, where it is a [`Block`]; what holds for that holds here.

use super::block::{Block, tire_block};
use super::error::{MOST_MM, ShapeError, within};
use super::segment::{Capsule, Least, tire_capsule};
use super::solid::PosedTire;
use nalgebra::{Matrix3, Vector3};

/// A convex part of an obstacle, mm: all points within `radius` of a corner plus a share (0 to 1)
/// of each edge.
///
/// Invariant: finite; edges at right angles and none of no length; radius not negative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    corner: Vector3<f64>,
    edges: [Vector3<f64>; 3],
    /// Lengths of the edges; 0 where there is none.
    size: Vector3<f64>,
    sides: usize,
    radius: f64,
}

/// How far from a right angle two edges may stand, as the cosine between them.
const SQUARE: f64 = 1e-9;
/// Edges shorter than this, mm, are left out.
const SHORT_MM: f64 = 1e-9;

impl Piece {
    /// A piece from a corner, up to three edges from it at right angles to one another, and the
    /// radius it is grown by, all mm. Edges of no length are left out, and so are any beyond three.
    ///
    /// # Errors
    /// [`ShapeError`] when a number is not finite or beyond 20 m, the radius is negative, or two
    /// edges do not stand at right angles.
    pub fn try_new(
        corner: Vector3<f64>,
        edges: &[Vector3<f64>],
        radius: f64,
    ) -> Result<Self, ShapeError> {
        for value in corner.iter().chain(edges.iter().flatten()) {
            within("place of an obstacle's corner", *value, -MOST_MM, MOST_MM)?;
        }
        let radius = within("radius of an obstacle", radius, 0.0, MOST_MM)?;
        let mut piece =
            Self { corner, edges: [Vector3::zeros(); 3], size: Vector3::zeros(), sides: 0, radius };
        let long = edges.iter().filter(|edge| edge.norm() > SHORT_MM);
        for ((slot, length), edge) in piece.edges.iter_mut().zip(piece.size.iter_mut()).zip(long) {
            (*slot, *length) = (*edge, edge.norm());
            piece.sides += 1;
        }
        let [a, b, c] = &piece.edges;
        for (one, other) in [(a, b), (b, c), (c, a)] {
            let (lengths, product) = (one.norm() * other.norm(), one.dot(other));
            if product.abs() > SQUARE * lengths {
                return Err(ShapeError::Square { cosine: product / lengths });
            }
        }
        Ok(piece)
    }

    /// A round bar between two points, or a ball where they are one, mm.
    ///
    /// # Errors
    /// As [`Piece::try_new`].
    pub fn bar(from: Vector3<f64>, to: Vector3<f64>, radius: f64) -> Result<Self, ShapeError> {
        Self::try_new(from, &[to - from], radius)
    }

    /// How many edges it has: 0 a point, 1 a bar, 2 a plate, 3 a block.
    pub const fn sides(&self) -> usize {
        self.sides
    }

    /// Radius it is grown by, mm.
    pub const fn radius_mm(&self) -> f64 {
        self.radius
    }

    /// The piece turned about the origin and then shifted. `turn` must be a rotation.
    #[must_use]
    pub fn moved(&self, turn: &Matrix3<f64>, shift: &Vector3<f64>) -> Self {
        Self {
            corner: turn * self.corner + shift,
            edges: self.edges.map(|edge| turn * edge),
            ..*self
        }
    }

    /// A number no larger than the distance from the tire to the piece, found at once.
    pub fn quick_bound(&self, tire: &PosedTire) -> f64 {
        let mut apart = tire.centre - self.corner;
        for (edge, length) in self.edges.iter().zip(self.size.iter()).take(self.sides) {
            let share = (apart.dot(edge) / (length * length)).clamp(0.0, 1.0);
            apart -= edge * share;
        }
        apart.norm() - tire.reach - self.radius
    }

    /// Least signed distance from the tire to the piece, within `tolerance` mm.
    ///
    /// On overlap this is how far the piece's deepest point lies inside the tire, as a negative
    /// number.
    pub fn least(&self, tire: &PosedTire, tolerance: f64) -> Least {
        if self.sides < 2 {
            let [along, ..] = self.edges;
            let bar = Capsule { from: self.corner, to: self.corner + along, radius: self.radius };
            return tire_capsule(tire, &bar, tolerance);
        }
        let frame = self.frame();
        let seen =
            tire.solid.at(frame.tr_mul(&(tire.centre - self.corner)), frame.tr_mul(&tire.axis));
        let core = tire_block(&seen, &Block::of_size(self.size), tolerance);
        let point = self.corner + frame * core.point;
        if self.radius <= 0.0 {
            return Least { point, ..core };
        }
        let (_, outward) = tire.distance_and_slope(&point);
        Least {
            distance: core.distance - self.radius,
            lower: core.lower - self.radius,
            point: point - outward * self.radius,
        }
    }

    /// Least value over the piece of a function that changes by no more than 1 per mm, such as a
    /// distance, within `tolerance`: what holds at the middle of a part holds, less half the part's
    /// length, all over it, and parts that may hold less are halved. `point` is in the piece's core.
    pub(super) fn least_of(&self, value: impl Fn(&Vector3<f64>) -> f64, tolerance: f64) -> Least {
        /// Parts looked at, after which the bound is left as it is.
        const MOST: usize = 4000;
        let of = |low: Vector3<f64>, high: Vector3<f64>| {
            let middle = (low + high) / 2.0;
            let edges = self.edges.iter().zip(middle.iter()).map(|(edge, share)| edge * *share);
            let point = self.corner + edges.sum::<Vector3<f64>>();
            let half = (high - low).component_mul(&self.size).norm() / 2.0;
            let distance = value(&point) - self.radius;
            (low, high, Least { distance, lower: distance - half, point })
        };
        let first = of(Vector3::zeros(), Vector3::repeat(1.0));
        let (mut best, mut lower) = (first.2, f64::INFINITY);
        let mut waiting = vec![first];
        let mut count = 1;
        while let Some((low, high, found)) = waiting.pop() {
            if found.lower >= best.distance - tolerance || count > MOST {
                lower = lower.min(found.lower);
                continue;
            }
            let along = (high - low).component_mul(&self.size).imax();
            let mut middle = (low, high);
            middle.0[along] = f64::midpoint(low[along], high[along]);
            middle.1[along] = middle.0[along];
            let mut halves = [of(low, middle.1), of(middle.0, high)];
            count += 2;
            // The half that may hold less goes last, to be opened first.
            if halves[0].2.distance < halves[1].2.distance {
                halves.swap(0, 1);
            }
            for half in halves {
                if half.2.distance < best.distance {
                    best = half.2;
                }
                waiting.push(half);
            }
        }
        Least { lower: lower.min(best.distance), ..best }
    }

    /// Its edges, each with the corner it starts from.
    pub(super) fn edges(&self) -> impl Iterator<Item = (Vector3<f64>, Vector3<f64>)> + '_ {
        self.edges.iter().take(self.sides).map(|edge| (self.corner, *edge))
    }

    /// The least place of any of its points along a unit direction, mm.
    pub fn lowest(&self, direction: &Vector3<f64>) -> f64 {
        let edges = self.edges.iter().map(|edge| direction.dot(edge).min(0.0));
        direction.dot(&self.corner) + edges.sum::<f64>() - self.radius
    }

    /// The corners of what is grown by the radius: 1, 2, 4 or 8 of them.
    pub fn corners(&self) -> impl Iterator<Item = Vector3<f64>> + '_ {
        (0..1_usize << self.sides).map(|which| {
            let edges = self.edges.iter().enumerate();
            let chosen = edges.filter(|(i, _)| which >> i & 1 == 1).map(|(_, edge)| edge);
            self.corner + chosen.sum::<Vector3<f64>>()
        })
    }

    /// Its own frame, of two edges or three: unit edges as columns.
    fn frame(&self) -> Matrix3<f64> {
        let [a, b, c] = self.edges;
        let (a, b) = (a / self.size.x, b / self.size.y);
        let c = if self.sides > 2 { c / self.size.z } else { a.cross(&b) };
        Matrix3::from_columns(&[a, b, c])
    }
}

#[cfg(test)]
mod tests {
    use super::super::solid::TireSolid;
    use super::*;
    use crate::tire::Profile;
    use nalgebra::Rotation3;
    use proptest::prelude::*;

    fn tire() -> PosedTire {
        TireSolid::try_new(400.0, 140.0, 40.0).expect("a tire").at(Vector3::zeros(), Vector3::y())
    }

    fn piece(corner: [f64; 3], edges: &[[f64; 3]], radius: f64) -> Piece {
        let edges: Vec<Vector3<f64>> = edges.iter().map(|&edge| edge.into()).collect();
        Piece::try_new(corner.into(), &edges, radius).expect("a piece")
    }

    /// Points of a grid over a piece's core.
    fn grid(piece: &Piece, steps: usize) -> impl Iterator<Item = Vector3<f64>> + '_ {
        let count = move |side: usize| if side < piece.sides { steps } else { 0 };
        let share = move |i: usize| i as f64 / steps as f64;
        (0..=count(0)).flat_map(move |i| {
            (0..=count(1)).flat_map(move |j| {
                (0..=count(2)).map(move |k| {
                    let [a, b, c] = piece.edges;
                    piece.corner + a * share(i) + b * share(j) + c * share(k)
                })
            })
        })
    }

    #[test]
    fn pieces_worked_by_hand() {
        let check = |piece: &Piece, want: f64| {
            let got = piece.least(&tire(), 1e-7);
            assert!((got.distance - want).abs() < 1e-6, "{piece:?}: {got:?}, want {want}");
            assert!((got.lower - want).abs() < 1e-6, "{piece:?}: {got:?}, want {want}");
            let apart = tire().distance(&got.point) - got.distance;
            assert!(apart.abs() < 1e-6, "{piece:?}: {got:?} is not where it says");
            assert!(piece.quick_bound(&tire()) <= want + 1e-9, "{piece:?}");
        };
        // A ball ahead of the tread: 500 − 400 − 10.
        check(&piece([500.0, 0.0, 0.0], &[], 10.0), 90.0);
        // A bar across the tread: 450 − 400 − 10.
        check(&piece([450.0, -300.0, 0.0], &[[0.0, 600.0, 0.0]], 10.0), 40.0);
        // A plate beside the sidewall, past the hub: 200 − 140; and one 12 mm through its middle.
        let plate = [[1200.0, 0.0, 0.0], [0.0, 0.0, 1100.0]];
        check(&piece([-600.0, 200.0, -500.0], &plate, 0.0), 60.0);
        check(&piece([-600.0, 128.0, -500.0], &plate, 0.0), -12.0);
        // The same plate 8 mm thick in all, its middle 200 out: 4 mm less.
        check(&piece([-600.0, 200.0, -500.0], &plate, 4.0), 56.0);
        // A plate at 45° over the tread, facing the axle: 500 from the axle's line.
        let half = std::f64::consts::FRAC_1_SQRT_2;
        let tilted = [[0.0, 500.0, 0.0], [300.0 * half, 0.0, -300.0 * half]];
        check(&piece([350.0 * half, -250.0, 650.0 * half], &tilted, 0.0), 100.0);
        // A block behind that plate, edge first: its corner line at (450, 450)/√2·…: 450 − 400.
        let edge = [[0.0, 500.0, 0.0], [200.0, 0.0, 0.0], [0.0, 0.0, 200.0]];
        check(&piece([270.0, -250.0, 360.0], &edge, 0.0), 50.0);
        check(&piece([270.0, -250.0, 360.0], &edge, 20.0), 30.0);
    }

    #[test]
    fn what_describes_no_piece_is_refused() {
        let bad = |corner: [f64; 3], edges: &[[f64; 3]], radius: f64| {
            let edges: Vec<Vector3<f64>> = edges.iter().map(|&edge| edge.into()).collect();
            let got = Piece::try_new(corner.into(), &edges, radius);
            assert!(got.is_err(), "{got:?}");
        };
        bad([f64::NAN, 0.0, 0.0], &[], 1.0);
        bad([0.0; 3], &[[0.0, f64::INFINITY, 0.0]], 1.0);
        bad([0.0; 3], &[], -1.0);
        bad([0.0; 3], &[[1.0, 0.0, 0.0], [0.1, 1.0, 0.0]], 0.0);
        assert_eq!(piece([0.0; 3], &[[0.0; 3], [5.0, 0.0, 0.0]], 0.0).sides(), 1);
    }

    #[test]
    fn corners_are_counted_and_the_lowest_is_among_them() {
        let edges = [[10.0, 0.0, 0.0], [0.0, 20.0, 0.0], [0.0, 0.0, -5.0]];
        let direction = Vector3::new(-0.6, 0.0, 0.8);
        for sides in 0..=3 {
            let piece = piece([1.0, 2.0, 3.0], &edges[..sides], 2.0);
            assert_eq!(piece.corners().count(), 1 << sides);
            let least = piece.corners().map(|p| direction.dot(&p)).min_by(f64::total_cmp);
            let got = piece.lowest(&direction);
            assert!((got - (least.expect("a corner") - 2.0)).abs() < 1e-12, "{sides}: {got}");
        }
        // The least corner of the block along (−0.6, 0, 0.8): x 11, z −2, grown by 2.
        let got = piece([1.0, 2.0, 3.0], &edges, 2.0).lowest(&direction);
        assert!((got - (-6.6 - 1.6 - 2.0)).abs() < 1e-12, "{got}");
    }

    /// A rounded tire, and one whose section was measured.
    fn either() -> impl Strategy<Value = TireSolid> {
        let section = [[140.0, 330.0], [130.0, 380.0], [105.0, 394.0], [0.0, 400.0]];
        let measured = TireSolid::of(Profile::around(&section, 0.0)).expect("a tire");
        prop_oneof![Just(tire().solid), Just(measured)]
    }

    fn pieces() -> impl Strategy<Value = Piece> {
        (
            0_usize..=3,
            prop::array::uniform3(-650.0..450.0_f64),
            prop::array::uniform3(1.0..900.0_f64),
            prop::array::uniform3(-3.0..3.0_f64),
            prop_oneof![Just(0.0), 0.0..40.0_f64],
        )
            .prop_map(|(sides, corner, size, turn, radius)| {
                let turn = Rotation3::new(Vector3::from(turn));
                let edges: Vec<_> = (0..sides).map(|i| turn * Vector3::ith(i, size[i])).collect();
                Piece::try_new(corner.into(), &edges, radius).expect("a piece")
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn no_sample_is_nearer_than_the_bound(
            piece in pieces(),
            solid in either(),
            turn in (-0.6..0.6_f64, -0.2..0.2_f64),
        ) {
            let axis = Vector3::new(-turn.0.sin(), turn.0.cos(), turn.1).normalize();
            let tire = solid.at(Vector3::new(8.0, -5.0, 20.0), axis);
            let got = piece.least(&tire, 1e-4);
            prop_assert!(got.distance - got.lower <= 1.3e-4, "{got:?}");
            prop_assert!(piece.quick_bound(&tire) <= got.distance + 1e-9, "{got:?}");
            let steps = [1, 300, 40, 12][piece.sides];
            for p in grid(&piece, steps) {
                let d = tire.distance(&p) - piece.radius;
                prop_assert!(d >= got.lower - 1e-9, "{p} is nearer: {d}, {got:?}");
            }
            // Where it is found: on the piece, and as far from the tire as it says. Grown pieces
            // deep in the tire have no such point on the straight way there.
            if piece.radius <= 0.0 || got.distance > 0.0 {
                prop_assert!((tire.distance(&got.point) - got.distance).abs() < 1e-3, "{got:?}");
            }
            let slack = piece.radius + 1e-6;
            for direction in [Vector3::x(), Vector3::y(), Vector3::z(), axis, -axis] {
                prop_assert!(direction.dot(&got.point) >= piece.lowest(&direction) - 1e-6);
                prop_assert!(-direction.dot(&got.point) >= piece.lowest(&-direction) - 1e-6);
            }
            let nearest = grid(&piece, steps).map(|p| (p - got.point).norm());
            let step = piece.size.norm() / steps as f64;
            prop_assert!(nearest.fold(f64::INFINITY, f64::min) <= slack + step);
        }

        #[test]
        fn the_least_of_any_distance_is_bracketed(
            piece in pieces(), from in prop::array::uniform3(-900.0..900.0_f64),
        ) {
            let from = Vector3::from(from);
            let got = piece.least_of(|p| (p - from).norm(), 0.5);
            prop_assert!(got.distance - got.lower <= 0.5 || piece.sides > 1, "{got:?}");
            let apart = (got.point - from).norm() - piece.radius;
            prop_assert!((apart - got.distance).abs() < 1e-9);
            for p in grid(&piece, [1, 300, 40, 12][piece.sides]) {
                prop_assert!((p - from).norm() - piece.radius >= got.lower - 1e-9, "{got:?}");
            }
        }

        #[test]
        fn moving_both_changes_nothing(
            piece in pieces(),
            turn in prop::array::uniform3(-3.0..3.0_f64),
            shift in prop::array::uniform3(-300.0..300.0_f64),
        ) {
            let (turn, shift) = (*Rotation3::new(Vector3::from(turn)).matrix(), Vector3::from(shift));
            let tire = tire();
            let there = tire.solid.at(turn * tire.centre + shift, turn * tire.axis);
            let (here, there) = (piece.least(&tire, 1e-4), piece.moved(&turn, &shift).least(&there, 1e-4));
            prop_assert!((here.distance - there.distance).abs() < 3e-4, "{here:?} {there:?}");
        }
    }
}
