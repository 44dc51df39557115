//! A second opinion in tests: the same clearances from parry3d's GJK, an independent method.
//!
//! The only file that names parry or its vectors. parry's answers scatter by up to 9 µm at the
//! metre's scale, so they agree with ours to 0.03 mm, not to rounding. It answers 0 on overlap,
//! so only gaps are compared, from the core cylinder less the shoulder.

use super::{Block, Capsule, PosedTire, TireSolid, tire_block, tire_capsule};
use nalgebra::Vector3;
use parry3d_f64::math::{Pose, Vector};
use parry3d_f64::query::distance;
use parry3d_f64::shape::{Cuboid, Cylinder, Segment, Shape};
use proptest::prelude::*;

const AGREES_MM: f64 = 0.03;

fn metres(v: &Vector3<f64>) -> Vector {
    Vector::new(v.x / 1000.0, v.y / 1000.0, v.z / 1000.0)
}

/// parry's cylinders stand along y: turned from there onto the tire's axis.
fn pose(tire: &PosedTire) -> Pose {
    let turn = Vector3::y().cross(&tire.axis);
    let angle = turn.norm().atan2(tire.axis.y);
    let about = turn.try_normalize(1e-12).unwrap_or_default() * angle;
    Pose::new(metres(&tire.centre), Vector::new(about.x, about.y, about.z))
}

fn core(solid: &TireSolid) -> Cylinder {
    Cylinder::new(
        (solid.half_width_mm() - solid.shoulder_mm()) / 1000.0,
        (solid.radius_mm() - solid.shoulder_mm()) / 1000.0,
    )
}

/// parry's gap between the core cylinder and a shape, mm.
fn gap(tire: &PosedTire, at: &Pose, shape: &dyn Shape) -> f64 {
    let found = distance(&pose(tire), &core(&tire.solid), at, shape).expect("a pair parry knows");
    1000.0 * found.distance
}

fn tires() -> impl Strategy<Value = PosedTire> {
    (
        300.0..520.0_f64,
        90.0..190.0_f64,
        10.0..80.0_f64,
        prop::array::uniform3(-200.0..200.0_f64),
        prop::array::uniform2(-0.7..0.7_f64),
    )
        .prop_map(|(radius, half, shoulder, centre, [x, z])| {
            let solid = TireSolid::try_new(radius, half, shoulder).expect("a tire");
            solid.at(centre.into(), Vector3::new(x, 1.0, z).normalize())
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn boxes_agree(
        tire in tires(),
        corner in prop::array::uniform3(-900.0..600.0_f64),
        size in prop::array::uniform3(40.0..700.0_f64),
    ) {
        let (corner, size) = (Vector3::from(corner), Vector3::from(size));
        let ours = tire_block(&tire, &Block::try_new(corner, corner + size).expect("a box"), 1e-4);
        let cuboid = Cuboid::new(metres(&(size / 2.0)));
        let at = Pose::new(metres(&(corner + size / 2.0)), Vector::ZERO);
        let theirs = gap(&tire, &at, &cuboid);
        let want = theirs - tire.solid.shoulder_mm();
        if theirs > 0.1 {
            prop_assert!((ours.distance - want).abs() < AGREES_MM, "{ours:?}, parry {want}");
        } else {
            prop_assert!(ours.distance < 0.1 - tire.solid.shoulder_mm(), "{ours:?}, parry {want}");
        }
    }

    #[test]
    fn bars_agree(
        tire in tires(),
        from in prop::array::uniform3(-900.0..900.0_f64),
        to in prop::array::uniform3(-900.0..900.0_f64),
        radius in 0.0..60.0_f64,
    ) {
        let bar = Capsule { from: from.into(), to: to.into(), radius };
        let ours = tire_capsule(&tire, &bar, 1e-4);
        let segment = Segment::new(metres(&bar.from), metres(&bar.to));
        let theirs = gap(&tire, &Pose::IDENTITY, &segment);
        let want = theirs - tire.solid.shoulder_mm() - radius;
        if theirs > 0.1 {
            prop_assert!((ours.distance - want).abs() < AGREES_MM, "{ours:?}, parry {want}");
        } else {
            prop_assert!(ours.distance < 0.1 - tire.solid.shoulder_mm() - radius, "{ours:?}, parry {want}");
        }
    }
}
