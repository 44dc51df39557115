//! Clearances that have a formula in closed form.
//!
//! A convex solid stands from a plane by the plane's height less what the solid reaches toward it, and
//! a cylinder of radius R and half width w with unit axis a reaches, along a unit vector n,
//! R·√(1 − (n·a)²) + w·|n·a|; a solid grown all round reaches farther by what it is grown by (support
//! mappings: G. van den Bergen, Collision Detection in Interactive 3D Environments, 2003; value from
//! memory). What lies off a rounded edge is measured to a torus: √((ρ − A)² + (|u| − B)²) − s from
//! the circle of radius A at B along the axis that is rolled by s (elementary geometry).

use crate::close;
use fitment::{
    clearance::Capsule,
    clearance::{Block, Piece, PosedTire, TireSolid, tire_block, tire_capsule},
    tire::Profile,
};
use nalgebra::{Rotation3, Vector3};

const TOLERANCE_MM: f64 = 1e-6;
const AGREES_MM: f64 = 2e-6;

/// Tilts and turns of the tire's axis and what it is measured to, rad.
fn turns() -> impl Iterator<Item = Rotation3<f64>> {
    let angles = [-0.61, -0.2, 0.0, 0.35, 0.7];
    angles.into_iter().flat_map(move |steer| {
        angles.map(|tilt| Rotation3::new(Vector3::new(0.4 * tilt, 0.1 * tilt, steer)))
    })
}

fn cylinder(radius: f64, half: f64, rounding: f64) -> TireSolid {
    TireSolid::try_new(radius, half, rounding).expect("a tire")
}

fn posed(solid: TireSolid, turn: &Rotation3<f64>) -> PosedTire {
    solid.at(Vector3::new(12.0, 740.0, -30.0), turn * Vector3::y())
}

#[test]
fn cylinder_to_plane() {
    for turn in turns() {
        for (radius, half, rounding) in [(400.0, 140.0, 0.0), (440.0, 155.0, 40.0)] {
            let tire = posed(cylinder(radius, half, rounding), &turn);
            let (core, aside) = (radius - rounding, half - rounding);
            // A box so large that only its face counts: below the tire, then beside it.
            let far = 5000.0;
            for (axis, face) in [(2, -620.0), (1, 300.0), (0, -590.0)] {
                let mut low = tire.centre - Vector3::repeat(far);
                let mut high = tire.centre + Vector3::repeat(far);
                low[axis] = -far;
                high[axis] = face;
                let block = Block::try_new(low, high).expect("a box");
                let n = tire.axis[axis];
                let reach = core * (1.0 - n * n).sqrt() + aside * n.abs() + rounding;
                let want = tire.centre[axis] - face - reach;
                assert!(want > 0.0, "the case is for a gap");
                let got = tire_block(&tire, &block, TOLERANCE_MM).distance;
                close("a face", got, want, AGREES_MM);
            }
        }
    }
}

#[test]
fn crowned_tire_to_plane() {
    // Two cones back to back, 6 mm lower at the tread's edge than in the middle: the reach is the
    // farthest of two circles and the middle one.
    let solid =
        TireSolid::of(Profile::around(&[[120.0, 394.0], [0.0, 400.0]], 0.0)).expect("a tire");
    for turn in turns() {
        let tire = posed(solid, &turn);
        let far = Vector3::new(9000.0, 9000.0, 500.0);
        let low = Vector3::new(-4500.0, -4500.0, -1200.0);
        let block = Block::try_new(low, low + far).expect("a box");
        let n = tire.axis.z.abs();
        let across = (1.0 - n * n).sqrt();
        let reach = (394.0 * across + 120.0 * n).max(400.0 * across);
        let got = tire_block(&tire, &block, TOLERANCE_MM).distance;
        close("the ground", got, tire.centre.z + 700.0 - reach, AGREES_MM);
    }
}

#[test]
fn cylinder_to_parallel_bar() {
    for turn in turns() {
        let tire = posed(cylinder(400.0, 140.0, 35.0), &turn);
        for (away, radius) in [(450.0, 10.0), (600.0, 60.0), (405.0, 4.0)] {
            let out = turn * Vector3::new(0.6, 0.0, 0.8) * away;
            let middle = tire.centre + out + tire.axis * 30.0;
            let bar =
                Capsule { from: middle - tire.axis * 90.0, to: middle + tire.axis * 90.0, radius };
            let got = tire_capsule(&tire, &bar, TOLERANCE_MM).distance;
            close("a parallel bar", got, away - 400.0 - radius, AGREES_MM);
            let piece = Piece::bar(bar.from, bar.to, radius).expect("a bar");
            let got = piece.least(&tire, TOLERANCE_MM).distance;
            close("the same as a piece", got, away - 400.0 - radius, AGREES_MM);
        }
    }
}

#[test]
fn cylinder_to_edge() {
    // A box's edge along the tire's axis: by Pythagoras from the axis.
    let tire = cylinder(400.0, 140.0, 35.0).at(Vector3::zeros(), Vector3::y());
    for (x, z) in [(450.0, 120.0), (300.0, 330.0), (20.0, 410.0)] {
        let block =
            Block::try_new(Vector3::new(x, -300.0, z), Vector3::new(x + 200.0, 400.0, z + 90.0));
        let got = tire_block(&tire, &block.expect("a box"), TOLERANCE_MM).distance;
        close("an edge along the axis", got, f64::hypot(x, z) - 400.0, AGREES_MM);
    }
    // An edge square to the axis, level with the hub, off the shoulder: nearest to the torus of the
    // rounding, circle of 400 − 35 at 140 − 35.
    for (x, y) in [(410.0, 150.0), (380.0, 160.0), (500.0, 300.0)] {
        let block =
            Block::try_new(Vector3::new(x, y, -80.0), Vector3::new(x + 200.0, y + 200.0, 60.0));
        let got = tire_block(&tire, &block.expect("a box"), TOLERANCE_MM).distance;
        close("an edge off the shoulder", got, f64::hypot(x - 365.0, y - 105.0) - 35.0, AGREES_MM);
    }
}

#[test]
fn turned_with_everything_around_it_nothing_changes() {
    let edges = [[240.0, 0.0, 0.0], [0.0, 160.0, 0.0], [0.0, 0.0, 90.0]].map(Vector3::from);
    let corner = Vector3::new(300.0, -60.0, 330.0);
    let tire = cylinder(400.0, 140.0, 35.0).at(Vector3::zeros(), Vector3::y());
    let want = f64::hypot(300.0, 330.0) - 400.0;
    for turn in turns() {
        let piece = Piece::try_new(turn * corner, &edges.map(|edge| turn * edge), 0.0);
        let turned = tire_of(&tire, &turn);
        let got = piece.expect("a block").least(&turned, TOLERANCE_MM).distance;
        close("a turned block", got, want, AGREES_MM);
    }
}

fn tire_of(tire: &PosedTire, turn: &Rotation3<f64>) -> PosedTire {
    cylinder(400.0, 140.0, 35.0).at(turn * tire.centre, turn * tire.axis)
}
