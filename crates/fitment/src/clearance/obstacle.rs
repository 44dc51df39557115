//! What the tire may touch, built from the tape measurements of one side.

use super::arch::{ArchBand, tire_arch};
use super::block::{Block, tire_block};
use super::error::{ShapeError, within};
use super::segment::{Capsule, Least, tire_capsule};
use super::solid::PosedTire;
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

    pub(super) const fn index(self) -> usize {
        match self {
            Self::Rail => 0,
            Self::Arch => 1,
            Self::Arm => 2,
        }
    }
}

/// The chassis' own obstacles of one side, and how thick the arm is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fixed {
    pub rail: Option<Block>,
    pub arch: Option<ArchBand>,
    pub arm_radius: Option<f64>,
}

impl Fixed {
    /// Builds one side's obstacles.
    pub fn of(around: &Surroundings, side: Side) -> Result<Self, ShapeError> {
        Ok(Self {
            rail: around.rail.as_ref().map(|rail| block_of(rail, side)).transpose()?,
            arch: around.arch.as_ref().map(|arch| band_of(arch, side)).transpose()?,
            arm_radius: around
                .arm_radius_mm
                .as_ref()
                .map(|r| within("arm radius", r.value, 0.0, 500.0))
                .transpose()?,
        })
    }

    pub const fn is_empty(&self) -> bool {
        self.rail.is_none() && self.arch.is_none() && self.arm_radius.is_none()
    }

    /// A number no larger than the clearance to an obstacle, found at once; `None` if there is
    /// none of its kind.
    pub fn quick_bound(
        &self,
        obstacle: Obstacle,
        arm: &[Vector3<f64>],
        tire: &PosedTire,
    ) -> Option<f64> {
        match obstacle {
            Obstacle::Rail => self.rail.as_ref().map(|rail| rail.quick_bound(tire)),
            Obstacle::Arch => self.arch.as_ref().map(|arch| arch.quick_bound(tire)),
            Obstacle::Arm => self.arm_radius.and_then(|radius| {
                pieces(arm)
                    .map(|(from, to)| {
                        let reach = (to - from).norm() / 2.0 + radius;
                        tire.distance_to_sphere(&from.lerp(&to, 0.5), reach)
                    })
                    .min_by(f64::total_cmp)
            }),
        }
    }

    /// Clearance to an obstacle within `tolerance` mm, or proof in `lower` that it is above
    /// `enough`; `None` if there is none of its kind.
    pub fn least(
        &self,
        obstacle: Obstacle,
        arm: &[Vector3<f64>],
        tire: &PosedTire,
        tolerance: f64,
        enough: f64,
    ) -> Option<Least> {
        match obstacle {
            Obstacle::Rail => self.rail.as_ref().map(|rail| tire_block(tire, rail, tolerance)),
            Obstacle::Arch => {
                self.arch.as_ref().map(|arch| tire_arch(tire, arch, tolerance, enough))
            }
            Obstacle::Arm => self.arm_radius.and_then(|radius| {
                pieces(arm)
                    .map(|(from, to)| tire_capsule(tire, &Capsule { from, to, radius }, tolerance))
                    .min_by(|a, b| a.distance.total_cmp(&b.distance))
            }),
        }
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
    use super::super::solid::TireSolid;
    use super::*;
    use crate::truck::Truck;
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
            Fixed::of(&broken, Side::Left),
            Err(ShapeError::NotFinite { what: "top edge", .. })
        ));
        let mut broken = around();
        if let Some(radius) = &mut broken.arm_radius_mm {
            radius.value = -1.0;
        }
        assert!(matches!(
            Fixed::of(&broken, Side::Right),
            Err(ShapeError::Size { what: "arm radius", .. })
        ));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn quick_bound_never_exceeds_clearance(
            centre in (-150.0..150.0_f64, 500.0..900.0_f64, -200.0..150.0_f64),
            steer in -0.7..0.7_f64,
        ) {
            let fixed = Fixed::of(&around(), Side::Left).expect("obstacles");
            let arm = [Vector3::new(85.0, 455.0, -30.0), Vector3::new(-890.0, 440.0, 60.0)];
            let tire = TireSolid::try_new(440.0, 150.0, 50.0).expect("a tire").at(
                Vector3::new(centre.0, centre.1, centre.2),
                Vector3::new(-steer.sin(), steer.cos(), 0.0),
            );
            for obstacle in Obstacle::ALL {
                let quick = fixed.quick_bound(obstacle, &arm, &tire).expect("an obstacle");
                let least = fixed
                    .least(obstacle, &arm, &tire, 0.01, f64::INFINITY)
                    .expect("an obstacle");
                prop_assert!(quick <= least.distance + 1e-9, "{obstacle:?} {quick} {least:?}");
            }
        }

        #[test]
        fn a_tire_larger_all_round_never_clears_by_more(
            centre in (-150.0..150.0_f64, 500.0..900.0_f64, -200.0..150.0_f64),
            steer in -0.7..0.7_f64,
            grow in (0.0..60.0_f64, 0.0..60.0_f64),
        ) {
            let fixed = Fixed::of(&around(), Side::Left).expect("obstacles");
            let arm = [Vector3::new(85.0, 455.0, -30.0), Vector3::new(-890.0, 440.0, 60.0)];
            let [small, large] = [(0.0, 0.0), grow].map(|(radius, half)| {
                let solid = TireSolid::try_new(400.0 + radius, 130.0 + half, 50.0).expect("a tire");
                let axis = Vector3::new(-steer.sin(), steer.cos(), 0.0);
                solid.at(Vector3::new(centre.0, centre.1, centre.2), axis)
            });
            for obstacle in Obstacle::ALL {
                let least = |tire: &PosedTire| {
                    let found = fixed.least(obstacle, &arm, tire, 0.01, f64::INFINITY);
                    found.expect("an obstacle").distance
                };
                let (a, b) = (least(&small), least(&large));
                prop_assert!(b <= a + 0.02, "{obstacle:?} {a} {b}");
            }
        }
    }
}
