//! Where the axle, and its arms on rubber, have got to.

use super::real::{Real, lift};
use super::rotation::exp;
use nalgebra::{Matrix3, Vector3, Vector6};

/// A rigid body's displacement from the stock position, in the axle's stock frame (chassis axes).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body<T> {
    /// Displacement of the frame's origin, mm.
    pub shift: Vector3<T>,
    /// Rotation, chassis from body.
    pub turn: Matrix3<T>,
}

impl<T: Real> Body<T> {
    /// At rest in the stock position.
    pub fn home() -> Self {
        Self { shift: Vector3::from_element(T::from(0.0)), turn: Matrix3::identity() }
    }

    /// Where a point fixed to the body, given by its stock position, is now, mm.
    pub fn point(&self, p: &Vector3<T>) -> Vector3<T> {
        self.shift + self.turn * p
    }

    /// Where a direction fixed to the body points now.
    pub fn direction(&self, d: &Vector3<T>) -> Vector3<T> {
        self.turn * d
    }

    /// Moves by `step`: shift in mm, then rotation vector in rad about the moved origin.
    pub(crate) fn step(&mut self, step: &Vector6<T>) {
        self.shift += Vector3::new(step[0], step[1], step[2]);
        self.turn = exp(&Vector3::new(step[3], step[4], step[5])) * self.turn;
    }
}

impl Body<f64> {
    /// The same displacement in another scalar, carrying no derivative yet.
    pub(crate) fn lift<T: Real>(&self) -> Body<T> {
        Body { shift: lift(self.shift), turn: self.turn.map(T::from) }
    }
}

/// A solved pose of the axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose<T> {
    /// The axle.
    pub axle: Body<T>,
    /// Left and right radius arm; `None` where links locate the axle.
    pub arms: Option<[Body<T>; 2]>,
    /// Forces that hold the pose, one for each condition met exactly.
    pub(crate) holding: [T; MAX_HARD],
}

/// The most conditions any layout meets exactly: four rigid links and two wheel travels.
pub(crate) const MAX_HARD: usize = 6;

impl<T: Real> Pose<T> {
    /// The stock position.
    pub(crate) fn home(arms: bool) -> Self {
        Self {
            axle: Body::home(),
            arms: arms.then(|| [Body::home(); 2]),
            holding: [T::from(0.0); MAX_HARD],
        }
    }
}

impl Pose<f64> {
    pub(crate) fn lift<T: Real>(&self) -> Pose<T> {
        Pose {
            axle: self.axle.lift(),
            arms: self.arms.map(|arms| arms.map(|a| a.lift())),
            holding: self.holding.map(T::from),
        }
    }
}
