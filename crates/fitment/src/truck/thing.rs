//! Anything the tire must clear besides rail, arch and arm: what it is, what carries it, its shape.
//!
//! Every sideways distance is taken as on the driver's left: out from the truck's centreline is
//! positive. A thing on the right is the mirror image of what its numbers say, so the tape reads
//! the same on either side. Ahead of the axle is positive, behind it negative; heights are above
//! the stock axle centreline.

use super::{End, Point, Side};
use crate::measure::Known;

/// One thing beside the wheel.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Thing {
    /// What it is.
    pub kind: ThingKind,
    /// What the person calls it; empty for the trade's name of its kind.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "String::is_empty"))]
    pub name: String,
    /// Which side of the truck has it.
    #[cfg_attr(feature = "serde", serde(default))]
    pub side: ThingSide,
    /// What carries it.
    pub on: Mount,
    /// Where it is and how large.
    pub shape: Shape,
}

/// What a thing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum ThingKind {
    /// Sheet metal inboard of the tire, under the hood or the bed.
    InnerPanel,
    /// The bracket and rubber the body sits on.
    BodyMount,
    /// The welded seam of the body's sheet metal.
    PinchWeld,
    /// The bumper's end beside the tire.
    BumperCorner,
    /// The anti-roll bar.
    SwayBar,
    /// The link between sway bar and axle.
    SwayBarLink,
    /// The coil spring.
    Spring,
    /// The bump stop and its cup.
    BumpStop,
    /// The shock absorber.
    Shock,
    /// The brake caliper, inside the wheel.
    BrakeCaliper,
    /// The steering arm and its joint, inside the rim.
    SteeringArm,
    /// The folded edge of the arch.
    ArchLip,
    /// Anything else.
    Other,
}

impl ThingKind {
    /// All of them, in the order a person walks round the wheel.
    pub const ALL: [Self; 13] = [
        Self::InnerPanel,
        Self::BodyMount,
        Self::PinchWeld,
        Self::BumperCorner,
        Self::SwayBar,
        Self::SwayBarLink,
        Self::Spring,
        Self::BumpStop,
        Self::Shock,
        Self::BrakeCaliper,
        Self::SteeringArm,
        Self::ArchLip,
        Self::Other,
    ];
}

/// Which side of the truck has a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum ThingSide {
    /// Both, one the mirror image of the other.
    #[default]
    Both,
    /// The driver's left only.
    Left,
    /// The driver's right only.
    Right,
}

impl ThingSide {
    /// Whether this side of the truck has it.
    pub const fn has(self, side: Side) -> bool {
        matches!(
            (self, side),
            (Self::Both, _) | (Self::Left, Side::Left) | (Self::Right, Side::Right)
        )
    }
}

/// What carries a thing, and so how it moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Mount {
    /// The frame or body: it stays.
    Chassis,
    /// The axle: it moves with it.
    Axle,
    /// The knuckle: it moves with the axle and steers with the wheel.
    Knuckle,
    /// A bar between the two: its `from` end rides on the axle, its `to` end on the chassis.
    Between,
}

/// Where a thing is and how large, with the truck standing stock and the wheels straight ahead.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case", deny_unknown_fields))]
pub enum Shape {
    /// A block with its faces square to the truck.
    Box {
        /// Front face ahead of the axle centreline, mm.
        front_mm: Known,
        /// Rear face ahead of the axle centreline, mm (negative when behind).
        rear_mm: Known,
        /// Inner face out from the truck's centreline, mm.
        inner_mm: Known,
        /// Outer face out from the truck's centreline, mm.
        outer_mm: Known,
        /// Bottom above the stock axle centreline, mm.
        bottom_mm: Known,
        /// Top above the stock axle centreline, mm.
        top_mm: Known,
    },
    /// A straight round bar with round ends; its points' `y_mm` are out from the centreline.
    Bar {
        /// One end's centre; the axle's end of a bar between axle and chassis.
        from: Point,
        /// The other end's centre; the chassis' end of a bar between axle and chassis.
        to: Point,
        /// Half its thickness, mm.
        radius_mm: Known,
    },
    /// An outline traced in one view and swept straight across it.
    Outline {
        /// The view it was traced in.
        view: View,
        /// Its corners in order around; the last is joined to the first.
        corners: Vec<Corner>,
        /// Where the sweep begins, along the view's own line of sight, mm.
        from_mm: Known,
        /// Where the sweep ends, mm; greater than `from_mm`.
        to_mm: Known,
    },
    /// Something inside the wheel, as the ring it leaves free when the wheel turns round it.
    InsideWheel {
        /// Its farthest point from the spindle's axis, mm.
        reach_mm: Known,
        /// Its inboard end, inboard of the wheel mounting face, mm; negative when outboard of it.
        inboard_mm: Known,
        /// Its outboard end, outboard of the wheel mounting face, mm; negative when inboard of it.
        outboard_mm: Known,
    },
}

/// The view an outline was traced in: what its corners and its sweep mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum View {
    /// From the side: `a_mm` ahead of the axle, `b_mm` up; swept out from the centreline.
    Side,
    /// From the front: `a_mm` out from the centreline, `b_mm` up; swept ahead of the axle.
    Front,
    /// From above: `a_mm` ahead of the axle, `b_mm` out from the centreline; swept up.
    Plan,
}

/// A corner of a traced outline; [`View`] says which way is which.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Corner {
    /// Along the view's first direction, mm.
    pub a_mm: Known,
    /// Along the view's second direction, mm.
    pub b_mm: Known,
}

impl Shape {
    /// Every number of it, in the order they are written.
    pub fn numbers_mut(&mut self) -> Vec<&mut Known> {
        fn point(point: &mut Point) -> [&mut Known; 3] {
            [&mut point.x_mm, &mut point.y_mm, &mut point.z_mm]
        }
        match self {
            Self::Box { front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm } => {
                vec![front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm]
            }
            Self::Bar { from, to, radius_mm } => {
                let mut all: Vec<&mut Known> = point(from).into_iter().chain(point(to)).collect();
                all.push(radius_mm);
                all
            }
            Self::Outline { view: _, corners, from_mm, to_mm } => {
                let corners = corners.iter_mut().flat_map(|it| [&mut it.a_mm, &mut it.b_mm]);
                corners.chain([from_mm, to_mm]).collect()
            }
            Self::InsideWheel { reach_mm, inboard_mm, outboard_mm } => {
                vec![reach_mm, inboard_mm, outboard_mm]
            }
        }
    }
}

impl Thing {
    /// A thing of this kind as typically found: every figure a stand-in, to be measured.
    pub fn new(kind: ThingKind, end: End) -> Self {
        let info = kind.info();
        let mut shape = (info.typical)();
        if end == End::Rear && info.ends_of_truck {
            turn_round(&mut shape);
        }
        Self { kind, name: String::new(), side: ThingSide::Both, on: info.on, shape }
    }

    /// What to call it: the person's own name, or the trade's.
    pub fn title(&self) -> &str {
        if self.name.is_empty() { self.kind.info().name } else { &self.name }
    }
}

/// The same shape with ahead and behind swapped.
fn turn_round(shape: &mut Shape) {
    // Never −0, which would read as another number.
    let negate = |known: &mut Known| known.value = 0.0 - known.value;
    match shape {
        Shape::Box { front_mm, rear_mm, .. } => {
            std::mem::swap(front_mm, rear_mm);
            negate(front_mm);
            negate(rear_mm);
        }
        Shape::Bar { from, to, .. } => {
            negate(&mut from.x_mm);
            negate(&mut to.x_mm);
        }
        Shape::Outline { view: View::Side | View::Plan, corners, .. } => {
            for corner in corners {
                negate(&mut corner.a_mm);
            }
        }
        Shape::Outline { view: View::Front, from_mm, to_mm, .. } => {
            std::mem::swap(from_mm, to_mm);
            negate(from_mm);
            negate(to_mm);
        }
        Shape::InsideWheel { .. } => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_has_what_is_on_it() {
        let has = |on: ThingSide| Side::BOTH.map(|side| on.has(side));
        assert_eq!(has(ThingSide::Both), [true, true]);
        assert_eq!(has(ThingSide::Left), [true, false]);
        assert_eq!(has(ThingSide::Right), [false, true]);
    }

    #[test]
    fn at_the_rear_ahead_and_behind_change_places() {
        let [front, rear] =
            [End::Front, End::Rear].map(|end| Thing::new(ThingKind::BodyMount, end));
        let (
            Shape::Box { front_mm, rear_mm, outer_mm, .. },
            Shape::Box { front_mm: f, rear_mm: r, outer_mm: o, .. },
        ) = (&front.shape, &rear.shape)
        else {
            panic!("{front:?} {rear:?}");
        };
        assert!(
            (f.value + rear_mm.value).abs() < 1e-12 && (r.value + front_mm.value).abs() < 1e-12
        );
        assert_eq!(o, outer_mm);
        assert!(r.value < f.value);
    }

    #[test]
    fn every_shape_turned_twice_is_as_it_was() {
        let known = |value| Known::assumed(value, 1.0);
        let point = |x| Point { x_mm: known(x), y_mm: known(400.0), z_mm: known(10.0) };
        let outline = |view| Shape::Outline {
            view,
            corners: vec![
                Corner { a_mm: known(100.0), b_mm: known(200.0) },
                Corner { a_mm: known(140.0), b_mm: known(200.0) },
                Corner { a_mm: known(140.0), b_mm: known(260.0) },
            ],
            from_mm: known(300.0),
            to_mm: known(500.0),
        };
        let shapes = [
            Thing::new(ThingKind::Other, End::Front).shape,
            Shape::Bar { from: point(10.0), to: point(-90.0), radius_mm: known(8.0) },
            outline(View::Side),
            outline(View::Front),
            outline(View::Plan),
        ];
        for shape in shapes {
            let mut turned = shape.clone();
            turn_round(&mut turned);
            assert_ne!(turned, shape);
            turn_round(&mut turned);
            assert_eq!(turned, shape);
        }
    }

    #[test]
    fn a_thing_is_called_as_its_owner_calls_it() {
        let mut thing = Thing::new(ThingKind::BodyMount, End::Front);
        assert_eq!(thing.title(), "Body mount");
        thing.name = "cab mount no. 1".into();
        assert_eq!(thing.title(), "cab mount no. 1");
    }
}
