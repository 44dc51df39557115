//! A thing beside the wheel as the blocks, bars, plates and faces it is made of, standing where its
//! carrier has it at rest.
//!
//! The tire is looked at from the carrier, so that the parts need not be moved. An outline swept
//! straight across is a plate along each of its edges and a face at either end: a tire cannot get
//! inside it but through one of them.

use super::block::{Block, tire_block};
use super::error::{MOST_MM, ShapeError, ordered, within};
use super::face::Face;
use super::piece::Piece;
use super::segment::Least;
use super::solid::PosedTire;
use crate::axle::Body;
use crate::measure::Known;
use crate::truck::{Corner, Point, Shape, Side, View};
use nalgebra::Vector3;

/// One part of a thing, in its carrier's frame.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Bit {
    /// A box square to the carrier.
    Block(Block),
    /// A bar, or a plate along one edge of an outline.
    Piece(Piece),
    /// The end of a swept outline.
    Face(Face),
}

/// A thing that one body carries whole.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Standing {
    bits: Vec<Bit>,
    /// The least box, along the carrier's axes, that holds it.
    low: Vector3<f64>,
    high: Vector3<f64>,
}

impl Standing {
    /// Builds a shape on one side of the truck.
    pub fn of(shape: &Shape, side: Side) -> Result<Self, ShapeError> {
        let bits = bits(shape, side)?;
        let (mut low, mut high) =
            (Vector3::repeat(f64::INFINITY), Vector3::repeat(f64::NEG_INFINITY));
        for i in 0..3 {
            let way = Vector3::ith(i, 1.0);
            for bit in &bits {
                low[i] = low[i].min(bit.lowest(&way));
                high[i] = high[i].max(-bit.lowest(&-way));
            }
        }
        Ok(Self { bits, low, high })
    }

    /// Its parts.
    pub fn bits(&self) -> &[Bit] {
        &self.bits
    }

    /// Its lower and upper corner.
    pub const fn bounds(&self) -> (Vector3<f64>, Vector3<f64>) {
        (self.low, self.high)
    }

    /// Its height above the stock axle centreline at its lowest, mm.
    pub fn bottom(&self) -> f64 {
        self.low.z
    }

    /// A number no larger than the distance from a tire seen from its carrier, found at once.
    pub fn quick_bound(&self, tire: &PosedTire) -> f64 {
        tire.distance_to_box(&self.low, &self.high)
    }

    /// Least distance from a tire seen from its carrier, within `tolerance` mm.
    pub fn least(&self, tire: &PosedTire, tolerance: f64) -> Option<Least> {
        let mut best: Option<Least> = None;
        let mut lower = f64::INFINITY;
        // A least inside an end may be taken for one on its outline, to within what is left open.
        let fine = tolerance / 4.0;
        for bit in &self.bits {
            let found = match bit {
                Bit::Face(face) => face.inside(tire, fine),
                _ if best.is_some_and(|best| bit.quick_bound(tire) > best.distance) => None,
                _ => bit.least(tire, fine),
            };
            let Some(found) = found else { continue };
            lower = lower.min(found.lower);
            if best.is_none_or(|best| found.distance < best.distance) {
                best = Some(found);
            }
        }
        best.map(|best| Least { lower: lower.min(best.distance) - fine, ..best })
    }
}

impl Bit {
    /// A number no larger than the distance from the tire, found at once.
    pub fn quick_bound(&self, tire: &PosedTire) -> f64 {
        match self {
            Self::Block(block) => block.quick_bound(tire),
            Self::Piece(piece) => piece.quick_bound(tire),
            Self::Face(face) => face.quick_bound(tire),
        }
    }

    /// Least distance from the tire, within `tolerance` mm.
    pub fn least(&self, tire: &PosedTire, tolerance: f64) -> Option<Least> {
        match self {
            Self::Block(block) => Some(tire_block(tire, block, tolerance)),
            Self::Piece(piece) => Some(piece.least(tire, tolerance)),
            Self::Face(face) => face.least(tire, tolerance),
        }
    }

    /// The least place of any of its points along a direction, mm.
    pub fn lowest(&self, way: &Vector3<f64>) -> f64 {
        match self {
            Self::Block(block) => block.lowest(way),
            Self::Piece(piece) => piece.lowest(way),
            Self::Face(face) => face.lowest(way),
        }
    }

    /// The way across to its nearest point, given nearly, made square to what that point lies in.
    pub fn squared(&self, point: &Vector3<f64>, way: Vector3<f64>) -> Vector3<f64> {
        match self {
            Self::Block(block) => {
                block.edges().into_iter().fold(way, |way, edge| square(way, edge, point))
            }
            Self::Piece(piece) => piece.edges().fold(way, |way, edge| square(way, edge, point)),
            Self::Face(face) => face.squared(point, way),
        }
    }
}

/// A way turned square to an edge that starts at `from`, if the point lies between its ends: from the
/// nearest point within an edge the tire is straight across.
pub(super) fn square(
    way: Vector3<f64>,
    (from, edge): (Vector3<f64>, Vector3<f64>),
    point: &Vector3<f64>,
) -> Vector3<f64> {
    /// An end takes this share of an edge.
    const END: f64 = 1e-6;
    let length = edge.norm_squared();
    let share = (point - from).dot(&edge) / length;
    if END < share && share < 1.0 - END { way - edge * (way.dot(&edge) / length) } else { way }
}

/// A tire as seen from a body.
pub(super) fn seen_from(body: &Body<f64>, tire: &PosedTire) -> PosedTire {
    let centre = body.turn.tr_mul(&(tire.centre - body.shift));
    tire.solid.at(centre, body.turn.tr_mul(&tire.axis))
}

/// A measured point on its side of the truck.
pub(super) fn point_of(point: &Point, side: Side) -> Vector3<f64> {
    let [x, y, z] = point.mm();
    Vector3::new(x, side.sign() * y, z)
}

/// The parts of a shape; what is inside the wheel is none of them.
fn bits(shape: &Shape, side: Side) -> Result<Vec<Bit>, ShapeError> {
    let place = |what, known: &Known| within(what, known.value, -MOST_MM, MOST_MM);
    match shape {
        Shape::Box { front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm } => {
            let inner = place("inner face", inner_mm)?;
            let outer = place("outer face", outer_mm)?;
            ordered(("inner face", inner), ("outer face", outer))?;
            let (right, left) = match side {
                Side::Left => (inner, outer),
                Side::Right => (-outer, -inner),
            };
            let block = Block::try_new(
                Vector3::new(rear_mm.value, right, bottom_mm.value),
                Vector3::new(front_mm.value, left, top_mm.value),
            );
            Ok(vec![Bit::Block(block?)])
        }
        Shape::Bar { from, to, radius_mm } => {
            let bar = Piece::bar(point_of(from, side), point_of(to, side), radius_mm.value);
            Ok(vec![Bit::Piece(bar?)])
        }
        Shape::Outline { view, corners, from_mm, to_mm } => {
            let (from, to) =
                (place("start of the sweep", from_mm)?, place("end of the sweep", to_mm)?);
            ordered(("start of the sweep", from), ("end of the sweep", to))?;
            swept(*view, corners, (from, to), side)
        }
        Shape::InsideWheel { .. } => Ok(Vec::new()),
    }
}

/// An outline swept straight across it.
fn swept(
    view: View,
    corners: &[Corner],
    (from, to): (f64, f64),
    side: Side,
) -> Result<Vec<Bit>, ShapeError> {
    let at = |corner: &Corner, along: f64| {
        let (a, b) = (corner.a_mm.value, corner.b_mm.value);
        let p = match view {
            View::Side => Vector3::new(a, along, b),
            View::Front => Vector3::new(along, a, b),
            View::Plan => Vector3::new(a, b, along),
        };
        Vector3::new(p.x, p.y * side.sign(), p.z)
    };
    let normal = match view {
        View::Side => Vector3::y(),
        View::Front => Vector3::x(),
        View::Plan => Vector3::z(),
    };
    let next = corners.iter().skip(1).chain(corners.first());
    let mut bits = Vec::with_capacity(corners.len() + 2);
    for (one, other) in corners.iter().zip(next) {
        let corner = at(one, from);
        let edges = [at(other, from) - corner, at(one, to) - corner];
        bits.push(Bit::Piece(Piece::try_new(corner, &edges, 0.0)?));
    }
    for along in [from, to] {
        let corners = corners.iter().map(|corner| at(corner, along)).collect();
        bits.push(Bit::Face(Face::new(corners, normal)));
    }
    Ok(bits)
}

#[cfg(test)]
mod tests {
    use super::super::solid::TireSolid;
    use super::*;
    use crate::measure::Known;
    use proptest::prelude::*;

    fn mm(value: f64) -> Known {
        Known::exact(value)
    }

    /// An L traced in a view, 300 by 200 outside and 100 thick, swept from 600 to 900.
    fn bracket(view: View) -> Shape {
        let corners = [
            [0.0, 0.0],
            [300.0, 0.0],
            [300.0, 100.0],
            [100.0, 100.0],
            [100.0, 200.0],
            [0.0, 200.0],
        ];
        let corners = corners.map(|[a, b]| Corner { a_mm: mm(a), b_mm: mm(b) }).to_vec();
        Shape::Outline { view, corners, from_mm: mm(600.0), to_mm: mm(900.0) }
    }

    fn tire(centre: [f64; 3]) -> PosedTire {
        TireSolid::try_new(400.0, 140.0, 40.0).expect("a tire").at(centre.into(), Vector3::y())
    }

    #[test]
    fn shapes_worked_by_hand() {
        let check = |shape: &Shape, side: Side, centre: [f64; 3], want: f64| {
            let thing = Standing::of(shape, side).expect("a thing");
            let got = thing.least(&tire(centre), 1e-3).expect("a part");
            assert!((got.distance - want).abs() < 1e-3, "{shape:?} {side:?}: {got:?}, want {want}");
            assert!(got.distance - got.lower <= 1e-3 + 1e-9, "{got:?}");
            let quick = thing.quick_bound(&tire(centre));
            assert!(quick <= want + 1e-9, "{quick} {want}");
        };
        let block = Shape::Box {
            front_mm: mm(600.0),
            rear_mm: mm(500.0),
            inner_mm: mm(300.0),
            outer_mm: mm(700.0),
            bottom_mm: mm(-50.0),
            top_mm: mm(50.0),
        };
        // Its rear face 500 ahead, the tread at 400; and the same mirrored.
        check(&block, Side::Left, [0.0, 600.0, 0.0], 100.0);
        check(&block, Side::Right, [0.0, -600.0, 0.0], 100.0);
        // Seen from the side, swept out: its rear edge is 0, a tire 450 behind clears by 50.
        check(&bracket(View::Side), Side::Left, [-450.0, 750.0, 50.0], 50.0);
        check(&bracket(View::Side), Side::Right, [-450.0, -750.0, 50.0], 50.0);
        // Its end at 900, a tire beside it at 1060: the flat of the sidewall faces the end.
        check(&bracket(View::Side), Side::Left, [50.0, 1060.0, 50.0], 20.0);
        // Over the notch of the L, 30 above its foot, 270 behind its end: only the notch counts.
        check(&bracket(View::Side), Side::Left, [590.0, 750.0, 540.0], {
            // Nearest of the foot's corner (300, 100): 290 and 440 away; less 400.
            290.0_f64.hypot(440.0) - 400.0
        });
        // From the front, swept ahead: it begins 600 ahead.
        check(&bracket(View::Front), Side::Left, [180.0, 50.0, 50.0], 20.0);
        // From above, swept up: it begins 600 up.
        check(&bracket(View::Plan), Side::Left, [50.0, 50.0, 170.0], 30.0);
    }

    #[test]
    fn what_describes_no_thing_is_refused() {
        let Shape::Outline { view, corners, from_mm, .. } = bracket(View::Side) else {
            panic!("an outline")
        };
        let inverted = Shape::Outline { view, corners, to_mm: mm(500.0), from_mm };
        assert!(matches!(Standing::of(&inverted, Side::Left), Err(ShapeError::Order { .. })));
        let broken = Shape::Bar {
            from: Point { x_mm: mm(f64::NAN), y_mm: mm(400.0), z_mm: mm(0.0) },
            to: Point { x_mm: mm(0.0), y_mm: mm(400.0), z_mm: mm(100.0) },
            radius_mm: mm(10.0),
        };
        assert!(matches!(Standing::of(&broken, Side::Left), Err(ShapeError::NotFinite { .. })));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn no_point_of_a_swept_outline_is_nearer(
            centre in [-500.0..800.0_f64, 300.0..1200.0_f64, -500.0..700.0_f64],
            turn in (-0.7..0.7_f64, -0.2..0.2_f64),
            view in prop::sample::select(vec![View::Side, View::Front, View::Plan]),
        ) {
            let thing = Standing::of(&bracket(view), Side::Left).expect("a thing");
            let axis = Vector3::new(-turn.0.sin(), turn.0.cos(), turn.1).normalize();
            let tire = tire([0.0; 3]).solid.at(centre.into(), axis);
            let got = thing.least(&tire, 0.01).expect("a part");
            prop_assert!((tire.distance(&got.point) - got.distance).abs() < 1e-6);
            prop_assert!(thing.quick_bound(&tire) <= got.distance + 1e-9);
            let each = thing.bits().iter().filter_map(|bit| bit.least(&tire, 0.01));
            let each = each.map(|least| least.distance).fold(f64::INFINITY, f64::min);
            prop_assert!((each - got.distance).abs() < 0.02, "{each} {got:?}");
            for i in 0..=30 {
                for j in 0..=20 {
                    let (a, b) = (f64::from(i) * 10.0, f64::from(j) * 10.0);
                    if a > 100.0 && b > 100.0 {
                        continue;
                    }
                    for k in 0..=10 {
                        let along = 600.0 + 30.0 * f64::from(k);
                        let p = match view {
                            View::Side => Vector3::new(a, along, b),
                            View::Front => Vector3::new(along, a, b),
                            View::Plan => Vector3::new(a, b, along),
                        };
                        // Deep inside what the tire has swallowed, the surface is what is measured.
                        let surface = a * b <= 0.0 || a >= 300.0 || b >= 200.0 || k == 0 || k == 10;
                        if surface || tire.distance(&p) > 0.0 {
                            prop_assert!(tire.distance(&p) >= got.lower - 1e-9, "{p} {got:?}");
                        }
                    }
                }
            }
        }
    }
}
