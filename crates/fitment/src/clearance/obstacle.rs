//! What the tire may touch, built from the tape measurements of one side.

use super::arch::{ArchBand, ArchTrace, tire_arch, tire_arch_next};
use super::block::{Block, tire_block};
use super::error::{ShapeError, within};
use super::motion::Place;
use super::segment::{Capsule, Least, tire_capsule};
use crate::truck::{Arch, Rail, Side, Surroundings};
use nalgebra::Vector3;

/// What a tire may touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Obstacle {
    /// The frame rail; part of the chassis.
    Rail,
    /// The wheel arch; part of the chassis.
    Arch,
    /// The radius arm or lower link of the same side; one end moves with the axle.
    Arm,
}

impl Obstacle {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Rail, Self::Arch, Self::Arm];
}

/// Everything one side's tire may touch, in the order of [`Obstacle`].
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Around {
    list: Vec<(Obstacle, Solid)>,
}

/// The shape of an obstacle.
#[derive(Debug, Clone, PartialEq)]
enum Solid {
    Rail(Block),
    Arch(ArchBand),
    /// A round bar along the arm's centreline, of this radius.
    Arm(f64),
}

impl Around {
    /// Builds one side's obstacles.
    pub fn of(around: &Surroundings, side: Side) -> Result<Self, ShapeError> {
        let mut list = Vec::new();
        if let Some(rail) = &around.rail {
            list.push((Obstacle::Rail, Solid::Rail(block_of(rail, side)?)));
        }
        if let Some(arch) = &around.arch {
            list.push((Obstacle::Arch, Solid::Arch(band_of(arch, side)?)));
        }
        if let Some(radius) = &around.arm_radius_mm {
            let radius = within("arm radius", radius.value, 0.0, 500.0)?;
            list.push((Obstacle::Arm, Solid::Arm(radius)));
        }
        Ok(Self { list })
    }

    /// An arch and nothing else.
    pub fn only(arch: Option<ArchBand>) -> Self {
        let list = arch.into_iter().map(|arch| (Obstacle::Arch, Solid::Arch(arch))).collect();
        Self { list }
    }

    /// The arch, if there is one.
    pub fn arch(&self) -> Option<&ArchBand> {
        self.list.iter().find_map(|(_, solid)| match solid {
            Solid::Arch(arch) => Some(arch),
            _ => None,
        })
    }

    /// The number of one.
    pub fn find(&self, name: Obstacle) -> Option<usize> {
        self.list.iter().position(|(known, _)| *known == name)
    }

    /// How many there are.
    pub const fn len(&self) -> usize {
        self.list.len()
    }

    /// Which one the number stands for.
    pub fn name(&self, index: usize) -> Option<Obstacle> {
        self.list.get(index).map(|(name, _)| *name)
    }

    /// A number no larger than the clearance to an obstacle, found at once.
    pub fn quick_bound(&self, index: usize, place: &Place) -> f64 {
        let tire = &place.tire;
        match self.list.get(index).map(|(_, solid)| solid) {
            None => f64::INFINITY,
            Some(Solid::Rail(rail)) => rail.quick_bound(tire),
            Some(Solid::Arch(arch)) => arch.quick_bound(tire),
            Some(Solid::Arm(radius)) => pieces(place.arm())
                .map(|(from, to)| {
                    let reach = (to - from).norm() / 2.0 + radius;
                    tire.distance_to_sphere(&from.lerp(&to, 0.5), reach)
                })
                .fold(f64::INFINITY, f64::min),
        }
    }

    /// Clearance to an obstacle within `tolerance` mm, or proof in `lower` that it is above
    /// `enough`; `None` where there is nothing to clear.
    pub fn least(&self, index: usize, place: &Place, tolerance: f64, enough: f64) -> Option<Least> {
        let tire = &place.tire;
        match &self.list.get(index)?.1 {
            Solid::Rail(rail) => Some(tire_block(tire, rail, tolerance)),
            Solid::Arch(arch) => Some(tire_arch(tire, arch, tolerance, enough)),
            Solid::Arm(radius) => pieces(place.arm())
                .map(|(from, to)| {
                    tire_capsule(tire, &Capsule { from, to, radius: *radius }, tolerance)
                })
                .min_by(|a, b| a.distance.total_cmp(&b.distance)),
        }
    }

    /// The same, going on from the trace of the last such search, since when no point of the tire has
    /// moved by more than `moved`, mm.
    pub fn least_next(
        &self,
        index: usize,
        place: &Place,
        (tolerance, enough): (f64, f64),
        (trace, moved): (&mut ArchTrace, f64),
    ) -> Option<Least> {
        match &self.list.get(index)?.1 {
            Solid::Arch(arch) => {
                Some(tire_arch_next(&place.tire, arch, (tolerance, enough), trace, moved))
            }
            _ => self.least(index, place, tolerance, enough),
        }
    }

    /// The parts an obstacle is taken apart into where certainty is asked for, on a side whose arm has
    /// so many straight pieces.
    pub fn parts(&self, index: usize, arm_pieces: usize) -> Vec<Part> {
        let whole = |number| Part { number, span: [0.0, 1.0] };
        match self.list.get(index).map(|(_, solid)| solid) {
            None => Vec::new(),
            Some(Solid::Rail(_) | Solid::Arch(_)) => vec![whole(0)],
            Some(Solid::Arm(_)) => (0..arm_pieces).map(whole).collect(),
        }
    }

    /// Whether an obstacle moves with the axle, all of it or some.
    pub fn rides(&self, index: usize) -> bool {
        matches!(self.list.get(index), Some((_, Solid::Arm(_))))
    }

    /// How far a part's points lie from its middle one at most, mm, where the part can be halved;
    /// 0 where halving it makes nothing more certain.
    pub fn half_length(&self, index: usize, part: &Part) -> f64 {
        match self.list.get(index) {
            Some((_, Solid::Arch(arch))) => arch.half_length(part.span),
            _ => 0.0,
        }
    }

    /// The distance to one part within `tolerance` mm, or, of a part that can be halved, to its
    /// middle.
    pub fn probe(&self, index: usize, part: &Part, place: &Place, tolerance: f64) -> Option<Least> {
        let tire = &place.tire;
        match &self.list.get(index)?.1 {
            Solid::Rail(rail) => Some(tire_block(tire, rail, tolerance)),
            Solid::Arch(arch) => Some(arch.middle(part.span, tire, tolerance)),
            Solid::Arm(radius) => {
                let (from, to) = pieces(place.arm()).nth(part.number)?;
                Some(tire_capsule(tire, &Capsule { from, to, radius: *radius }, tolerance))
            }
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
        let way = match self.list.get(index).map(|(_, solid)| solid) {
            None => way,
            Some(Solid::Rail(rail)) => {
                rail.edges().into_iter().fold(way, |way, edge| square(way, edge, point))
            }
            Some(Solid::Arch(arch)) => square(way, arch.across(), point),
            Some(Solid::Arm(_)) => pieces(place.arm())
                .nth(part.number)
                .map_or(way, |(from, to)| square(way, (from, to - from), point)),
        };
        let length = way.norm();
        if length > 0.0 { way / length } else { way }
    }

    /// How far along `way`, a unit vector, the nearest point of one part lies, mm: the least of
    /// way · point over the part as it stands at a place.
    pub fn lowest(&self, index: usize, part: &Part, place: &Place, way: &Vector3<f64>) -> f64 {
        match self.list.get(index).map(|(_, solid)| solid) {
            None => f64::INFINITY,
            Some(Solid::Rail(rail)) => rail.lowest(way),
            Some(Solid::Arch(arch)) => arch.lowest(part.span, way),
            Some(Solid::Arm(radius)) => place
                .arm()
                .iter()
                .skip(part.number)
                .take(2)
                .map(|point| way.dot(point) - radius)
                .fold(f64::INFINITY, f64::min),
        }
    }
}

/// A way turned square to an edge that starts at `from`, if the point lies between its ends: from the
/// nearest point within an edge the tire is straight across.
fn square(
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
mod tests {
    use super::super::domain::Options;
    use super::super::fit::Setting;
    use super::super::solid::TireSolid;
    use super::*;
    use crate::truck::{End, State, Truck};
    use proptest::prelude::*;

    fn around() -> Surroundings {
        Truck::example().front.expect("a front axle").surroundings
    }

    #[test]
    fn a_broken_measurement_is_named() {
        let mut broken = around();
        if let Some(rail) = &mut broken.rail {
            rail.top_mm.value = f64::NAN;
        }
        assert!(matches!(
            Around::of(&broken, Side::Left),
            Err(ShapeError::NotFinite { what: "top edge", .. })
        ));
        let mut broken = around();
        if let Some(radius) = &mut broken.arm_radius_mm {
            radius.value = -1.0;
        }
        assert!(matches!(
            Around::of(&broken, Side::Right),
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
            let truck = Truck::example();
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
            let truck = Truck::example();
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
                    let (_, way) = place.tire.distance_and_slope(&probe.point);
                    if (way.norm() - 1.0).abs() < 1e-9 {
                        let gap = around.lowest(i, part, &place, &way)
                            - way.dot(&place.tire.support(&way));
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
