//! The wheel as what stands about its hub meets it: where it sits, the hole in it, how the tire
//! bulges at the ground; and things that turn with it, inside its rim.

use super::error::{ShapeError, within};
use super::hollow::{Hollow, Slope};
use super::motion::Place;
use super::piece::Piece;
use super::segment::Least;
use super::solid::TireSolid;
use super::thing::point_of;
use crate::axle::{AxleModel, Pose};
use crate::tire::{Profile, TireDims};
use crate::truck::{Axle, Setup, Shape, Side};
use crate::wheel;
use nalgebra::Vector3;

/// A wheel on its hub, straight ahead at rest; the right is the left's mirror image.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hub {
    tire: TireSolid,
    /// The tire's centre plane and the hub's mounting face, from the truck's centreline, mm.
    tire_y: f64,
    face_y: f64,
    hollow: Hollow,
    bulge: f64,
    bump: f64,
    /// Lowest point of the left and of the right arm at rest.
    arms: [f64; 2],
}

impl Hub {
    /// Reads it from an axle in a state.
    pub fn of(
        (axle, setup): (&Axle, &Setup),
        dims: &TireDims,
        tire: TireSolid,
        model: &AxleModel<f64>,
        bump: f64,
    ) -> Result<Self, ShapeError> {
        let clear = wheel::inside(&setup.wheel, dims.rim_diameter_mm).value;
        let spoke = wheel::spoke(&setup.wheel).value;
        let spoke = within("spokes' inner face", spoke, -1000.0, 1000.0)?;
        let arms = Side::BOTH.map(|side| {
            let line = model.lower_line(&Pose::home(), side);
            line.iter().map(|p| p.z).fold(f64::INFINITY, f64::min)
        });
        Ok(Self {
            tire,
            tire_y: model.wheel_y,
            face_y: axle.hub_face_width_mm.value / 2.0,
            hollow: Hollow {
                radius: within("clear diameter inside the wheel", clear, 1.0, 2000.0)? / 2.0,
                spokes: setup.wheel.offset_mm.value + spoke,
            },
            bulge: dims.bulge().value,
            bump,
            arms,
        })
    }

    /// The same with a tire that bulges by so much, mm.
    pub fn bulging(&self, bulge: f64) -> Self {
        Self { bulge: bulge.max(0.0), ..self.clone() }
    }

    /// The same with the hole in the wheel wider by so much and its spokes farther outboard, mm.
    pub fn hollowed(&self, diameter: f64, outboard: f64) -> Self {
        let Hollow { radius, spokes } = self.hollow;
        let hollow = Hollow { radius: radius + diameter / 2.0, spokes: spokes + outboard };
        Self { hollow, ..self.clone() }
    }

    /// The wheel's centre at rest, straight ahead.
    pub fn centre(&self, side: Side) -> Vector3<f64> {
        Vector3::new(0.0, side.sign() * self.tire_y, 0.0)
    }

    /// What the tire stands out farther on each side for something that comes down to `bottom`, mm
    /// above the stock axle centreline: its bulge at the ground, for what is ever lower below the
    /// hub than half the tire's radius; nothing for what is not. One answer for all positions, so
    /// that the clearance makes no jump between them.
    pub fn bulge(&self, bottom: f64, rides: bool) -> f64 {
        let hub = if rides { 0.0 } else { self.bump };
        if bottom < hub - self.tire.radius_mm() / 2.0 { self.bulge } else { 0.0 }
    }

    /// Lowest point of a side's arm at rest, mm above the stock axle centreline.
    pub const fn arm_bottom(&self, side: Side) -> f64 {
        self.arms[side.index()]
    }
}

/// Something that turns with the wheel: its clearance is the same wherever the wheel goes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Inside {
    side: Side,
    hollow: Hollow,
    shape: Turning,
    /// The tire and where along the axle it was when `found`.
    tire: TireSolid,
    tire_y: f64,
    found: Option<Least>,
}

/// Its shape where the knuckle has it straight ahead at rest.
#[derive(Debug, Clone, PartialEq)]
enum Turning {
    /// The ring a spinning wheel sees: how far out it reaches, from the spindle's axis, and its
    /// outboard end's distance from the truck's centreline, mm.
    Ring { reach: f64, end: f64 },
    /// A part as it is.
    Piece(Piece),
}

/// Accuracy of a clearance inside the wheel, mm.
pub(super) const INSIDE_MM: f64 = 0.02;

impl Inside {
    /// Builds a shape on one side. An outline counts as the box around it.
    pub fn of(shape: &Shape, side: Side, hub: &Hub) -> Result<Self, ShapeError> {
        let shape = match shape {
            Shape::InsideWheel { reach_mm, inboard_mm, outboard_mm } => {
                within("inboard end", inboard_mm.value, -2000.0, 2000.0)?;
                let outboard = within("outboard end", outboard_mm.value, -2000.0, 2000.0)?;
                let reach = within("reach inside the wheel", reach_mm.value, 0.0, 2000.0)?;
                Turning::Ring { reach, end: hub.face_y + outboard }
            }
            Shape::Bar { from, to, radius_mm } => Turning::Piece(Piece::bar(
                point_of(from, side),
                point_of(to, side),
                radius_mm.value,
            )?),
            Shape::Box { .. } | Shape::Outline { .. } => {
                let (low, high) = super::thing::Standing::of(shape, side)?.bounds();
                let edges = [0, 1, 2].map(|i| Vector3::ith(i, high[i] - low[i]));
                Turning::Piece(Piece::try_new(low, &edges, 0.0)?)
            }
        };
        let mut inside = Self {
            side,
            hollow: hub.hollow,
            shape,
            tire: hub.tire,
            tire_y: hub.tire_y,
            found: None,
        };
        inside.found = Some(inside.at(hub.tire.profile(), hub.tire_y));
        Ok(inside)
    }

    /// Its clearance at a place; its point where the knuckle has it.
    pub fn least(&self, place: &Place) -> Least {
        let knuckle = place.knuckle();
        let tire_y = self.tire_y(place);
        let kept = self
            .found
            .filter(|_| (tire_y - self.tire_y).abs() < 1e-6 && place.tire.solid == self.tire);
        let least = kept.unwrap_or_else(|| self.at(place.tire.solid.profile(), tire_y));
        Least { point: knuckle.point(&least.point), ..least }
    }

    /// Away from the wheel's nearest surface at a point given where it is now, of unit length.
    pub fn outward(&self, place: &Place, point: &Vector3<f64>) -> Vector3<f64> {
        let knuckle = place.knuckle();
        let point = knuckle.turn.tr_mul(&(point - knuckle.shift));
        let (_, per_along, per_out) =
            self.slope(place.tire.solid.profile(), self.tire_y(place), &point);
        knuckle.direction(&self.way(&point, per_along, per_out))
    }

    /// Where along the axle the tire sits now, mm.
    fn tire_y(&self, place: &Place) -> f64 {
        let knuckle = place.knuckle();
        knuckle.turn.column(1).dot(&(place.tire.centre - knuckle.shift)) * self.side.sign()
    }

    fn at(&self, tire: &Profile, tire_y: f64) -> Least {
        let value = |p: &Vector3<f64>| self.slope(tire, tire_y, p).0;
        match &self.shape {
            Turning::Ring { reach, end } => {
                // The distance falls outboard and outward, so that corner is the nearest.
                let point = Vector3::new(0.0, self.side.sign() * end, *reach);
                let distance = value(&point);
                Least { distance, lower: distance, point }
            }
            Turning::Piece(piece) => {
                let core = piece.least_of(value, INSIDE_MM);
                let (_, per_along, per_out) = self.slope(tire, tire_y, &core.point);
                let away = self.way(&core.point, per_along, per_out);
                Least { point: core.point - away * piece.radius_mm(), ..core }
            }
        }
    }

    fn slope(&self, tire: &Profile, tire_y: f64, point: &Vector3<f64>) -> Slope {
        let along = self.side.sign() * point.y - tire_y;
        self.hollow.distance(tire, along, point.x.hypot(point.z))
    }

    /// A slope as a vector at a point.
    fn way(&self, point: &Vector3<f64>, per_along: f64, per_out: f64) -> Vector3<f64> {
        let radial = Vector3::new(point.x, 0.0, point.z);
        let out = radial.try_normalize(1e-9).unwrap_or(Vector3::z());
        Vector3::new(0.0, self.side.sign() * per_along, 0.0) + out * per_out
    }
}
