//! What the tire may touch, built from the tape measurements of one side.

use super::arch::ArchBand;
use super::block::{Block, tire_block};
use super::error::{ShapeError, within};
use super::fan::{ArchTrace, Fan, tire_arch, tire_arch_next};
use super::hub::{Hub, Inside};
use super::motion::Place;
use super::piece::Piece;
use super::segment::{Capsule, Least, tire_capsule};
use super::solid::PosedTire;
use super::thing::{Bit, Standing, point_of, seen_from, square};
use crate::axle::Body;
use crate::truck::{Arch, Mount, Rail, Shape, Side, Surroundings, Thing};
use nalgebra::Vector3;
use std::borrow::Cow;

/// What a tire may touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Obstacle {
    /// The frame rail; part of the chassis.
    Rail,
    /// The wheel arch; part of the chassis.
    Arch,
    /// The radius arm or lower link of the same side; one end moves with the axle.
    Arm,
    /// One of the things beside the wheel, by its number from 0 in
    /// [`Surroundings::things`](crate::truck::Surroundings::things).
    Thing(u8),
}

impl Obstacle {
    /// All there are on either side of some surroundings, in order.
    pub fn all(around: &Surroundings) -> Vec<Self> {
        let known = [
            around.rail.as_ref().map(|_| Self::Rail),
            around.arch.as_ref().map(|_| Self::Arch),
            around.arm_radius_mm.as_ref().map(|_| Self::Arm),
        ];
        let things = numbered(&around.things).map(|(number, _)| Self::Thing(number));
        known.into_iter().flatten().chain(things).collect()
    }

    /// What to call it: the trade's name, or the person's own for a thing.
    pub fn name(self, around: &Surroundings) -> Cow<'_, str> {
        match self {
            Self::Rail => "Frame rail".into(),
            Self::Arch => "Wheel arch".into(),
            Self::Arm => "Arm".into(),
            Self::Thing(number) => match around.things.get(usize::from(number)) {
                Some(thing) => thing.title().into(),
                None => format!("Thing {}", u16::from(number) + 1).into(),
            },
        }
    }

    /// Its path within the surroundings: `rail`, `arch`, `arm` or such as `things[2]`.
    pub fn path(self) -> Cow<'static, str> {
        match self {
            Self::Rail => "rail".into(),
            Self::Arch => "arch".into(),
            Self::Arm => "arm".into(),
            Self::Thing(number) => format!("things[{number}]").into(),
        }
    }
}

/// Things with their numbers, as many as are numbered.
fn numbered(things: &[Thing]) -> impl Iterator<Item = (u8, &Thing)> {
    (0..=u8::MAX).zip(things)
}

/// Everything one side's tire may touch, in the order of [`Obstacle`].
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Around {
    list: Vec<Entry>,
    /// The wheel's centre at rest.
    hub: Vector3<f64>,
}

#[derive(Debug, Clone, PartialEq)]
struct Entry {
    name: Obstacle,
    solid: Solid,
    /// The tire counts as wider by this on each side, mm.
    bulge: f64,
}

/// The shape of an obstacle.
#[derive(Debug, Clone, PartialEq)]
enum Solid {
    Rail(Block),
    Arch(ArchBand),
    /// A round bar along the arm's centreline, of this radius.
    Arm(f64),
    /// Carried by the chassis or, where it rides, by the axle.
    Thing {
        parts: Standing,
        rides: bool,
    },
    /// A round bar from the axle to the chassis, of this radius.
    Between {
        axle: Vector3<f64>,
        chassis: Vector3<f64>,
        radius: f64,
    },
    /// Carried by the knuckle.
    Inside(Box<Inside>),
}

impl Solid {
    /// What one thing is on a side.
    fn of(thing: &Thing, side: Side, hub: &Hub) -> Result<Self, ShapeError> {
        let rides = match (thing.on, &thing.shape) {
            (Mount::Between, Shape::Bar { from, to, radius_mm }) => {
                let (axle, chassis) = (point_of(from, side), point_of(to, side));
                let bar = Piece::bar(axle, chassis, radius_mm.value)?;
                return Ok(Self::Between { axle, chassis, radius: bar.radius_mm() });
            }
            (Mount::Knuckle, _) | (_, Shape::InsideWheel { .. }) => {
                return Ok(Self::Inside(Box::new(Inside::of(&thing.shape, side, hub)?)));
            }
            (Mount::Axle, _) => true,
            (Mount::Chassis | Mount::Between, _) => false,
        };
        Ok(Self::Thing { parts: Standing::of(&thing.shape, side)?, rides })
    }

    /// The tire as this is measured to it: from the axle, for what rides on that.
    fn seen<'a>(rides: bool, place: &Place, tire: &'a PosedTire) -> Cow<'a, PosedTire> {
        if rides { Cow::Owned(seen_from(place.axle(), tire)) } else { Cow::Borrowed(tire) }
    }
}

/// What was found from a carrier, as it lies in the chassis.
fn told(rides: bool, place: &Place, least: Least) -> Least {
    if rides { Least { point: place.axle().point(&least.point), ..least } } else { least }
}

impl Around {
    /// Builds one side's obstacles about a wheel.
    pub fn of(around: &Surroundings, side: Side, hub: &Hub) -> Result<Self, ShapeError> {
        let mut list = Vec::new();
        let mut put = |name, solid: Solid, bottom: f64, rides: bool| {
            list.push(Entry { name, solid, bulge: hub.bulge(bottom, rides) });
        };
        if let Some(rail) = &around.rail {
            let rail = block_of(rail, side)?;
            put(Obstacle::Rail, Solid::Rail(rail), rail.lowest(&Vector3::z()), false);
        }
        if let Some(arch) = &around.arch {
            let arch = band_of(arch, side)?;
            let bottom = arch.lowest([0.0, 1.0], &Vector3::z());
            put(Obstacle::Arch, Solid::Arch(arch), bottom, false);
        }
        if let Some(radius) = &around.arm_radius_mm {
            let radius = within("arm radius", radius.value, 0.0, 500.0)?;
            put(Obstacle::Arm, Solid::Arm(radius), hub.arm_bottom(side) - radius, true);
        }
        for (number, thing) in numbered(&around.things).filter(|(_, thing)| thing.side.has(side)) {
            let solid = Solid::of(thing, side, hub)?;
            let (bottom, rides) = match &solid {
                Solid::Thing { parts, rides } => (parts.bottom(), *rides),
                Solid::Between { axle, chassis, radius } => (axle.z.min(chassis.z) - radius, true),
                _ => (f64::INFINITY, true),
            };
            put(Obstacle::Thing(number), solid, bottom, rides);
        }
        Ok(Self { list, hub: hub.centre(side) })
    }

    /// An arch and nothing else.
    pub fn only(arch: Option<ArchBand>) -> Self {
        let entry = |arch| Entry { name: Obstacle::Arch, solid: Solid::Arch(arch), bulge: 0.0 };
        Self { list: arch.into_iter().map(entry).collect(), hub: Vector3::zeros() }
    }

    /// The arch, if there is one.
    pub fn arch(&self) -> Option<&ArchBand> {
        self.list.iter().find_map(|entry| match &entry.solid {
            Solid::Arch(arch) => Some(arch),
            _ => None,
        })
    }

    /// The number of one.
    pub fn find(&self, name: Obstacle) -> Option<usize> {
        self.list.iter().position(|entry| entry.name == name)
    }

    /// How many there are.
    pub const fn len(&self) -> usize {
        self.list.len()
    }

    /// Which one the number stands for.
    pub fn name(&self, index: usize) -> Option<Obstacle> {
        self.list.get(index).map(|entry| entry.name)
    }

    /// The tire as it counts for an obstacle: bulged for what is low.
    pub fn tire<'a>(&self, index: usize, tire: &'a PosedTire) -> Cow<'a, PosedTire> {
        match self.list.get(index) {
            Some(Entry { bulge, .. }) if *bulge > 0.0 => Cow::Owned(tire.wider(*bulge)),
            _ => Cow::Borrowed(tire),
        }
    }

    /// Whether the axle carries all of an obstacle, as it does the wheel: then its clearance is the
    /// same at every travel.
    pub fn as_one(&self, index: usize) -> bool {
        let solid = self.list.get(index).map(|entry| &entry.solid);
        matches!(solid, Some(Solid::Thing { rides: true, .. } | Solid::Inside(_)))
    }

    /// Whether an obstacle turns with the wheel, so that its clearance is the same at every travel
    /// and steer. No plane stands between it and the tire, whose hole it stands in.
    pub fn turns(&self, index: usize) -> bool {
        matches!(self.list.get(index), Some(Entry { solid: Solid::Inside(_), .. }))
    }

    /// A number no larger than the clearance to an obstacle, found at once.
    pub fn quick_bound(&self, index: usize, place: &Place) -> f64 {
        let Some(Entry { solid, bulge, .. }) = self.list.get(index) else { return f64::INFINITY };
        let tire = &place.tire;
        let bound = match solid {
            Solid::Rail(rail) => rail.quick_bound(tire),
            Solid::Arch(arch) => arch.quick_bound(tire),
            Solid::Arm(radius) => pieces(place.arm())
                .map(|(from, to)| to_bar(tire, &from, &to, *radius))
                .fold(f64::INFINITY, f64::min),
            Solid::Thing { parts, rides: false } => parts.quick_bound(tire),
            Solid::Thing { parts, rides: true } => {
                parts.quick_bound(&Solid::seen(true, place, tire))
            }
            Solid::Between { axle, chassis, radius } => {
                to_bar(tire, &place.axle().point(axle), chassis, *radius)
            }
            Solid::Inside(inside) => inside.least(place).lower,
        };
        bound - bulge
    }

    /// Clearance to an obstacle within `tolerance` mm, or proof in `lower` that it is above
    /// `enough`; `None` where there is nothing to clear.
    pub fn least(&self, index: usize, place: &Place, tolerance: f64, enough: f64) -> Option<Least> {
        let tire = self.tire(index, &place.tire);
        match &self.list.get(index)?.solid {
            Solid::Rail(rail) => Some(tire_block(&tire, rail, tolerance)),
            Solid::Arch(arch) => Some(tire_arch(&tire, arch, tolerance, enough)),
            Solid::Arm(radius) => pieces(place.arm())
                .map(|(from, to)| {
                    tire_capsule(&tire, &Capsule { from, to, radius: *radius }, tolerance)
                })
                .min_by(|a, b| a.distance.total_cmp(&b.distance)),
            Solid::Thing { parts, rides } => {
                let least = parts.least(&Solid::seen(*rides, place, &tire), tolerance)?;
                Some(told(*rides, place, least))
            }
            Solid::Between { .. } | Solid::Inside(_) => {
                self.probe(index, &Part { number: 0, span: [0.0, 1.0] }, place, tolerance)
            }
        }
    }

    /// Away from the tire's nearest surface at an obstacle's point, of unit length.
    pub fn outward(&self, index: usize, place: &Place, point: &Vector3<f64>) -> Vector3<f64> {
        match self.list.get(index).map(|entry| &entry.solid) {
            Some(Solid::Inside(inside)) => inside.outward(place, point),
            _ => self.tire(index, &place.tire).distance_and_slope(point).1,
        }
    }

    /// As [`least`](Self::least), going on from what is known of the arch at a place near by; with what the
    /// next can go on from.
    pub fn least_next(
        &self,
        index: usize,
        place: &Place,
        (tolerance, enough): (f64, f64),
        (known, fan): (Option<&ArchTrace>, &mut Fan),
    ) -> Option<(Least, Option<ArchTrace>)> {
        if let Solid::Arch(arch) = &self.list.get(index)?.solid {
            let tire = self.tire(index, &place.tire);
            let new = || ArchTrace::new(arch);
            let known = known.map_or_else(|| Cow::Owned(new()), Cow::Borrowed);
            let (least, trace) = tire_arch_next(&tire, arch, (tolerance, enough), &known, fan);
            return Some((least, Some(trace)));
        }
        Some((self.least(index, place, tolerance, enough)?, None))
    }

    /// The parts an obstacle is taken apart into where certainty is asked for, on a side whose arm has
    /// so many straight pieces.
    pub fn parts(&self, index: usize, arm_pieces: usize) -> Vec<Part> {
        let count = match self.list.get(index).map(|entry| &entry.solid) {
            None => 0,
            Some(Solid::Arm(_)) => arm_pieces,
            Some(Solid::Thing { parts, .. }) => parts.bits().len(),
            Some(_) => 1,
        };
        (0..count).map(|number| Part { number, span: [0.0, 1.0] }).collect()
    }

    /// What carries an obstacle.
    pub fn carried(&self, index: usize) -> Carried {
        match self.list.get(index).map(|entry| &entry.solid) {
            Some(Solid::Rail(_) | Solid::Arch(_) | Solid::Thing { rides: false, .. }) | None => {
                Carried::ByChassis
            }
            Some(Solid::Thing { rides: true, .. }) => Carried::ByAxle,
            Some(Solid::Between { axle, chassis, .. }) => Carried::Between(*axle, *chassis),
            Some(Solid::Arm(_)) => Carried::AsArm,
            Some(Solid::Inside(_)) => Carried::ByKnuckle,
        }
    }

    /// Whether an obstacle is one convex part that no hole of the tire's holds.
    pub fn is_convex(&self, index: usize, place: &Place) -> bool {
        match self.list.get(index).map(|entry| &entry.solid) {
            Some(Solid::Rail(_) | Solid::Between { .. }) => true,
            Some(Solid::Arm(_)) => place.arm().len() == 2,
            Some(Solid::Thing { parts, .. }) => parts.bits().len() == 1,
            Some(Solid::Arch(_) | Solid::Inside(_)) | None => false,
        }
    }

    /// Whether an obstacle moves with the axle, all of it or some.
    pub fn rides(&self, index: usize) -> bool {
        match self.list.get(index).map(|entry| &entry.solid) {
            Some(Solid::Thing { rides, .. }) => *rides,
            Some(Solid::Arm(_) | Solid::Between { .. } | Solid::Inside(_)) => true,
            Some(Solid::Rail(_) | Solid::Arch(_)) | None => false,
        }
    }

    /// How far from the wheel's centre at rest the axle carries the end of an obstacle that is not
    /// [`as_one`](Self::as_one) with it, mm; 0 for an arm, whose ends are looked at themselves.
    pub fn lever(&self, index: usize) -> f64 {
        match self.list.get(index).map(|entry| &entry.solid) {
            Some(Solid::Between { axle, .. }) => (axle - self.hub).norm(),
            _ => 0.0,
        }
    }

    /// How far a part's points lie from its middle one at most, mm, where the part can be halved;
    /// 0 where halving it makes nothing more certain. Of a bar from axle to chassis, about as far as it
    /// tilts over a cell of travel: a plane square to it at one end of the cell is not at the other.
    pub fn half_length(&self, index: usize, part: &Part) -> f64 {
        /// Travel of the ends to each other at which halving the bar is worth as much, mm.
        const TILT_MM: f64 = 8.0;
        match self.list.get(index).map(|entry| &entry.solid) {
            Some(Solid::Arch(arch)) => arch.half_length(part.span),
            Some(Solid::Between { .. }) => TILT_MM * (part.span[1] - part.span[0]),
            _ => 0.0,
        }
    }

    /// The distance to one part within `tolerance` mm, or, of a span of the arch, to its middle.
    pub fn probe(&self, index: usize, part: &Part, place: &Place, tolerance: f64) -> Option<Least> {
        let tire = self.tire(index, &place.tire);
        match &self.list.get(index)?.solid {
            Solid::Rail(rail) => Some(tire_block(&tire, rail, tolerance)),
            Solid::Arch(arch) => Some(arch.middle(part.span, &tire, tolerance)),
            Solid::Arm(radius) => {
                let (from, to) = pieces(place.arm()).nth(part.number)?;
                Some(tire_capsule(&tire, &Capsule { from, to, radius: *radius }, tolerance))
            }
            Solid::Thing { parts, rides } => {
                let bit = parts.bits().get(part.number)?;
                let least = bit.least(&Solid::seen(*rides, place, &tire), tolerance)?;
                Some(told(*rides, place, least))
            }
            Solid::Between { axle, chassis, radius } => {
                let [from, to] = between((axle, chassis), part, place);
                Some(tire_capsule(&tire, &Capsule { from, to, radius: *radius }, tolerance))
            }
            Solid::Inside(inside) => Some(inside.least(place)),
        }
    }

    /// The unit vector across to a part's nearest point, given nearly.
    pub fn squared(
        &self,
        index: usize,
        part: &Part,
        place: &Place,
        (point, way): (&Vector3<f64>, Vector3<f64>),
    ) -> Vector3<f64> {
        let way = match self.list.get(index).map(|entry| &entry.solid) {
            None | Some(Solid::Inside(_)) => way,
            Some(Solid::Rail(rail)) => {
                rail.edges().into_iter().fold(way, |way, edge| square(way, edge, point))
            }
            Some(Solid::Arch(arch)) => square(way, arch.across(), point),
            Some(Solid::Arm(_)) => pieces(place.arm())
                .nth(part.number)
                .map_or(way, |(from, to)| square(way, (from, to - from), point)),
            Some(Solid::Thing { parts, rides: false }) => {
                parts.bits().get(part.number).map_or(way, |bit| bit.squared(point, way))
            }
            Some(Solid::Thing { parts, rides: true }) => {
                let Body { shift, turn } = place.axle();
                let there = (turn.tr_mul(&(point - shift)), turn.tr_mul(&way));
                let bit = parts.bits().get(part.number);
                turn * bit.map_or(there.1, |bit| bit.squared(&there.0, there.1))
            }
            Some(Solid::Between { axle, chassis, .. }) => {
                let [from, to] = between((axle, chassis), part, place);
                square(way, (from, to - from), point)
            }
        };
        let length = way.norm();
        if length > 0.0 { way / length } else { way }
    }

    /// How far along `way`, a unit vector, the nearest point of one part lies, mm: the least of
    /// way · point over the part as it stands at a place.
    pub fn lowest(&self, index: usize, part: &Part, place: &Place, way: &Vector3<f64>) -> f64 {
        let of_bit = |bit: Option<&Bit>, way: &Vector3<f64>| {
            bit.map_or(f64::INFINITY, |bit| bit.lowest(way))
        };
        match self.list.get(index).map(|entry| &entry.solid) {
            None => f64::INFINITY,
            // Nothing is certain by a plane about what stands in the tire's hole.
            Some(Solid::Inside(_)) => f64::NEG_INFINITY,
            Some(Solid::Rail(rail)) => rail.lowest(way),
            Some(Solid::Arch(arch)) => arch.lowest(part.span, way),
            Some(Solid::Arm(radius)) => place
                .arm()
                .iter()
                .skip(part.number)
                .take(2)
                .map(|point| way.dot(point) - radius)
                .fold(f64::INFINITY, f64::min),
            Some(Solid::Thing { parts, rides: false }) => {
                of_bit(parts.bits().get(part.number), way)
            }
            Some(Solid::Thing { parts, rides: true }) => {
                let Body { shift, turn } = place.axle();
                of_bit(parts.bits().get(part.number), &turn.tr_mul(way)) + way.dot(shift)
            }
            Some(Solid::Between { axle, chassis, radius }) => {
                let [from, to] = between((axle, chassis), part, place);
                way.dot(&from).min(way.dot(&to)) - radius
            }
        }
    }
}

/// The ends of one part of a bar from the axle to the chassis, at a place.
fn between(
    (axle, chassis): (&Vector3<f64>, &Vector3<f64>),
    part: &Part,
    place: &Place,
) -> [Vector3<f64>; 2] {
    let from = place.axle().point(axle);
    part.span.map(|share| from.lerp(chassis, share))
}

/// A number no larger than the distance from the tire to a round bar.
fn to_bar(tire: &PosedTire, from: &Vector3<f64>, to: &Vector3<f64>, radius: f64) -> f64 {
    tire.distance_to_sphere(&from.lerp(to, 0.5), (to - from).norm() / 2.0 + radius)
}

/// What carries an obstacle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Carried {
    ByChassis,
    ByAxle,
    ByKnuckle,
    /// By a point of the axle, stock position, and one of the chassis.
    Between(Vector3<f64>, Vector3<f64>),
    /// As the side's arm or lower link.
    AsArm,
}

/// A convex part of an obstacle, or a span of one that is round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Part {
    /// Which of the obstacle's parts.
    pub number: usize,
    /// From where to where along a part that can be halved, as shares of its length.
    pub span: [f64; 2],
}

impl Part {
    /// Its two halves.
    pub fn halves(self) -> [Self; 2] {
        let [from, to] = self.span;
        let middle = 0.5 * (from + to);
        [Self { span: [from, middle], ..self }, Self { span: [middle, to], ..self }]
    }
}

/// The straight pieces of an arm's centreline, given by its points in order.
fn pieces(arm: &[Vector3<f64>]) -> impl Iterator<Item = (Vector3<f64>, Vector3<f64>)> + '_ {
    arm.iter().copied().zip(arm.iter().copied().skip(1))
}

/// The rail as a box from its outer face to the truck's centreline: what lies inboard of the face
/// is taken as solid, because no tire may go there (our assumption).
fn block_of(rail: &Rail, side: Side) -> Result<Block, ShapeError> {
    let outer = within("outer face of the rail", rail.outer_mm.value, 1.0, 5000.0)?;
    let (right, left) = match side {
        Side::Left => (0.0, outer),
        Side::Right => (-outer, 0.0),
    };
    Block::try_new(
        Vector3::new(rail.rear_mm.value, right, rail.bottom_mm.value),
        Vector3::new(rail.front_mm.value, left, rail.top_mm.value),
    )
}

fn band_of(arch: &Arch, side: Side) -> Result<ArchBand, ShapeError> {
    ArchBand::try_new(
        [arch.front_mm.value, arch.top_mm.value, arch.rear_mm.value],
        arch.inner_mm.value,
        arch.lip_mm.value,
        side,
    )
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::domain::Options;
    use super::super::fit::Setting;
    use super::super::solid::TireSolid;
    use super::*;
    use crate::measure::Known;
    use crate::truck::{Corner, End, State, ThingKind, ThingSide, Truck, View};
    use proptest::prelude::*;

    fn around() -> Surroundings {
        Truck::example().front.expect("a front axle").surroundings
    }

    /// The example with one of each kind of thing, an L-shaped panel, and one of each that moves on
    /// something else than usual.
    pub fn crowded() -> Truck {
        let mut truck = Truck::example();
        let things = &mut truck.front.as_mut().expect("a front axle").surroundings.things;
        *things = ThingKind::ALL.map(|kind| Thing::new(kind, End::Front)).to_vec();
        let mm = |value| Known::assumed(value, 2.0);
        let corners = [
            [-300.0, 250.0],
            [200.0, 250.0],
            [200.0, 500.0],
            [100.0, 500.0],
            [100.0, 350.0],
            [-300.0, 350.0],
        ];
        let traced = Shape::Outline {
            view: View::Side,
            corners: corners.map(|[a, b]| Corner { a_mm: mm(a), b_mm: mm(b) }).to_vec(),
            from_mm: mm(430.0),
            to_mm: mm(470.0),
        };
        let (on, ring) = (Mount::Axle, ThingKind::BrakeCaliper);
        let moved = |kind, on| Thing { on, ..Thing::new(kind, End::Front) };
        things.extend([
            Thing { shape: traced.clone(), ..Thing::new(ThingKind::Other, End::Front) },
            Thing { shape: traced, on, ..Thing::new(ThingKind::Other, End::Front) },
            moved(ThingKind::Other, Mount::Axle),
            moved(ThingKind::Shock, Mount::Axle),
            moved(ThingKind::Other, Mount::Knuckle),
            moved(ring, Mount::Axle),
            Thing { side: ThingSide::Right, ..Thing::new(ThingKind::Other, End::Front) },
        ]);
        truck
    }

    #[test]
    fn every_obstacle_is_named_on_the_sides_that_have_it() {
        let truck = crowded();
        let setting = Setting::of(&truck, End::Front, State::Planned, &Options::default())
            .expect("a setting");
        let around = &setting.axle.surroundings;
        let all = Obstacle::all(around);
        assert_eq!(all.len(), 3 + 20);
        for (side, missing) in Side::BOTH.into_iter().zip([Some(Obstacle::Thing(19)), None]) {
            let own = setting.around(side);
            let named: Vec<_> = (0..own.len()).filter_map(|i| own.name(i)).collect();
            let want: Vec<_> = all.iter().copied().filter(|o| Some(*o) != missing).collect();
            assert_eq!(named, want);
        }
        assert_eq!(Obstacle::Thing(1).name(around), "Body mount");
        assert_eq!(Obstacle::Thing(1).path(), "things[1]");
        assert_eq!(Obstacle::Rail.name(around), "Frame rail");
        assert_eq!(Obstacle::Thing(200).name(around), "Thing 201");
    }

    /// The clearance of one thing on the left, at travels and steer.
    fn clearance(truck: &Truck, number: u8, travel: [f64; 2], steer: f64) -> f64 {
        let setting =
            Setting::of(truck, End::Front, State::Planned, &Options::default()).expect("a setting");
        let station = setting.motion.station(travel, None).expect("in reach");
        let place = Place::of(&setting.motion, &station, Side::Left, steer);
        let around = setting.around(Side::Left);
        let index = (0..around.len()).find(|i| around.name(*i) == Some(Obstacle::Thing(number)));
        let least = around.least(index.expect("it is there"), &place, 1e-4, f64::INFINITY);
        least.expect("a distance").distance
    }

    #[test]
    fn what_carries_a_thing_moves_it() {
        let truck = crowded();
        let positions = [([0.0, 0.0], 0.2), ([40.0, -50.0], 0.2), ([40.0, -50.0], -0.4)];
        let of = |number| positions.map(|(travel, steer)| clearance(&truck, number, travel, steer));
        let same = |a: f64, b: f64| (a - b).abs() < 1e-3;
        // On the chassis: the inner panel.
        let [rest, moved, turned] = of(0);
        assert!(!same(rest, moved) && !same(moved, turned), "{rest} {moved} {turned}");
        // On the axle: whatever the axle does, until the wheel is steered.
        for number in [14, 15, 16] {
            let [rest, moved, turned] = of(number);
            assert!(same(rest, moved) && !same(moved, turned), "{number}: {rest} {moved} {turned}");
        }
        // On the knuckle, or inside the wheel whatever is said to carry it: always the same.
        for number in [9, 10, 17, 18] {
            let [rest, moved, turned] = of(number);
            assert!(same(rest, moved) && same(moved, turned), "{number}: {rest} {moved} {turned}");
        }
        // Between them, neither stays.
        let [rest, moved, turned] = of(6);
        assert!(!same(rest, moved) && !same(moved, turned), "{rest} {moved} {turned}");
    }

    #[test]
    fn clearance_inside_the_wheel_worked_by_hand() {
        let mut truck = crowded();
        let axle = truck.front.as_mut().expect("a front axle");
        let mm = Known::exact;
        axle.planned.wheel.offset_mm = mm(-20.0);
        axle.planned.wheel.inside_mm = Some(mm(360.0));
        axle.planned.wheel.spoke_mm = Some(mm(6.0));
        axle.planned.spacer_mm = mm(0.0);
        let caliper = |reach: f64, outboard: f64| Shape::InsideWheel {
            reach_mm: mm(reach),
            inboard_mm: mm(40.0),
            outboard_mm: mm(outboard),
        };
        let check = |truck: &mut Truck, shape: Shape, spacer: f64, want: f64| {
            let axle = truck.front.as_mut().expect("a front axle");
            axle.planned.spacer_mm = mm(spacer);
            axle.surroundings.things[9].shape = shape;
            let got = clearance(truck, 9, [0.0; 2], 0.1);
            assert!((got - want).abs() < 1e-9, "spacer {spacer}: {got}, want {want}");
        };
        check(&mut truck, caliper(172.0, -20.0), 0.0, 8.0); // 180 clear, reaches 172
        check(&mut truck, caliper(150.0, 2.0), 0.0, 4.0); // spokes at 6, it ends at 2
        check(&mut truck, caliper(150.0, 9.0), 0.0, -3.0); // into the spokes
        check(&mut truck, caliper(150.0, 9.0), 10.0, 7.0); // a spacer moves them off
        check(&mut truck, caliper(183.0, -20.0), 10.0, -3.0); // but opens no barrel
    }

    #[test]
    fn what_is_low_meets_the_tires_bulge() {
        let mut truck = Truck::example();
        let axle = truck.front.as_mut().expect("a front axle");
        let mm = Known::exact;
        // Beside the sidewall, level with the hub or two thirds of the way down.
        let plate = |bottom: f64| Thing {
            shape: Shape::Box {
                front_mm: mm(100.0),
                rear_mm: mm(-100.0),
                inner_mm: mm(100.0),
                outer_mm: mm(300.0),
                bottom_mm: mm(bottom),
                top_mm: mm(60.0),
            },
            on: Mount::Axle,
            ..Thing::new(ThingKind::Other, End::Front)
        };
        axle.surroundings.things = vec![plate(-60.0), plate(-300.0)];
        let bulge = {
            let setup = &axle.planned;
            crate::tire::resolve(&setup.tire, &setup.wheel).expect("a tire").bulge().value
        };
        let [level, low] = [0, 1].map(|number| clearance(&truck, number, [0.0; 2], 0.0));
        assert!(bulge > 5.0 && (level - low - bulge).abs() < 1e-3, "{level} {low} {bulge}");
    }

    #[test]
    fn a_broken_measurement_is_named() {
        let truck = Truck::example();
        let hub = Setting::of(&truck, End::Front, State::Planned, &Options::default())
            .expect("a setting")
            .hub;
        let mut broken = around();
        if let Some(rail) = &mut broken.rail {
            rail.top_mm.value = f64::NAN;
        }
        assert!(matches!(
            Around::of(&broken, Side::Left, &hub),
            Err(ShapeError::NotFinite { what: "top edge", .. })
        ));
        let mut broken = around();
        if let Some(radius) = &mut broken.arm_radius_mm {
            radius.value = -1.0;
        }
        assert!(matches!(
            Around::of(&broken, Side::Right, &hub),
            Err(ShapeError::Size { what: "arm radius", .. })
        ));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn quick_bound_never_exceeds_clearance(
            travel in prop::array::uniform2(-80.0..60.0_f64),
            steer in -0.6..0.6_f64,
        ) {
            let truck = crowded();
            let setting = Setting::of(&truck, End::Front, State::Planned, &Options::default()).expect("a setting");
            let station = setting.motion.station(travel, None).expect("in reach");
            for (side, around) in Side::BOTH.into_iter().zip(&setting.around) {
                let place = Place::of(&setting.motion, &station, side, steer);
                for i in 0..around.len() {
                    let quick = around.quick_bound(i, &place);
                    let least = around.least(i, &place, 0.01, f64::INFINITY).expect("an obstacle");
                    prop_assert!(quick <= least.distance + 1e-9, "{i} {quick} {least:?}");
                }
            }
        }

        #[test]
        fn parts_together_are_the_obstacle_and_planes_never_exceed_it(
            travel in prop::array::uniform2(-80.0..60.0_f64),
            steer in -0.6..0.6_f64,
        ) {
            let truck = crowded();
            let setting = Setting::of(&truck, End::Front, State::Planned, &Options::default()).expect("a setting");
            let station = setting.motion.station(travel, None).expect("in reach");
            let side = Side::Left;
            let place = Place::of(&setting.motion, &station, side, steer);
            let around = &setting.around[0];
            for i in 0..around.len() {
                let least = around.least(i, &place, 0.01, f64::INFINITY).expect("an obstacle");
                let mut parts = around.parts(i, setting.motion.arm_pieces(side));
                while parts.iter().any(|part| around.half_length(i, part) > 0.5) {
                    parts = parts.into_iter().flat_map(Part::halves).collect();
                }
                let mut nearest = f64::INFINITY;
                for part in &parts {
                    let probe = around.probe(i, part, &place, 0.01).expect("a part");
                    nearest = nearest.min(probe.distance);
                    let way = around.outward(i, &place, &probe.point);
                    if (way.norm() - 1.0).abs() < 1e-9 {
                        let gap = around.lowest(i, part, &place, &way)
                            - way.dot(&around.tire(i, &place.tire).support(&way));
                        prop_assert!(gap <= probe.distance + 0.02, "{i} {gap} {probe:?}");
                    }
                }
                prop_assert!((nearest - least.distance).abs() < 0.55, "{i} {nearest} {least:?}");
            }
        }

        #[test]
        fn a_tire_larger_all_round_never_clears_by_more(
            travel in prop::array::uniform2(-80.0..60.0_f64),
            steer in -0.6..0.6_f64,
            grow in (0.0..60.0_f64, 0.0..60.0_f64),
        ) {
            let truck = Truck::example();
            let setting = Setting::of(&truck, End::Front, State::Planned, &Options::default()).expect("a setting");
            let station = setting.motion.station(travel, None).expect("in reach");
            let place = Place::of(&setting.motion, &station, Side::Left, steer);
            let [small, large] = [(0.0, 0.0), grow].map(|(radius, half)| {
                let solid = TireSolid::try_new(400.0 + radius, 130.0 + half, 50.0).expect("a tire");
                place.with(solid.at(place.tire.centre, place.tire.axis))
            });
            for i in 0..setting.around[0].len() {
                let least = |place: &Place| {
                    let found = setting.around[0].least(i, place, 0.01, f64::INFINITY);
                    found.expect("an obstacle").distance
                };
                let (a, b) = (least(&small), least(&large));
                prop_assert!(b <= a + 0.02, "{i} {a} {b}");
            }
        }
    }
}
