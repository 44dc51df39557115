//! Where the axle, and its limbs on rubber, have got to.

use super::linkage::MAX_LIMBS;
use super::real::{Real, lift};
use super::rotation::{exp, log};
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

    pub(crate) fn map<V: Real>(&self, f: &mut impl FnMut(T) -> V) -> Body<V> {
        Body { shift: self.shift.map(&mut *f), turn: self.turn.map(&mut *f) }
    }
}

impl Body<f64> {
    /// The step from another place to this one.
    fn since(&self, other: &Self) -> Vector6<f64> {
        let (shift, turn) = (self.shift - other.shift, log(&(self.turn * other.turn.transpose())));
        Vector6::new(shift.x, shift.y, shift.z, turn.x, turn.y, turn.z)
    }

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
    /// Each limb of the linkage, in its order; those there are none of rest at home.
    pub(crate) limbs: [Body<T>; MAX_LIMBS],
    /// Turn of a Watts linkage's crank about x, rad.
    pub(crate) crank: T,
    /// Forces that hold the pose, one for each condition met exactly: the wheels' vertical forces
    /// first, N.
    pub(crate) holding: [T; MAX_HARD],
}

/// The most conditions any layout meets exactly: four rigid links and two wheel travels.
pub(crate) const MAX_HARD: usize = 6;

impl<T: Real> Pose<T> {
    /// The stock position.
    pub(crate) fn home() -> Self {
        Self {
            axle: Body::home(),
            limbs: [Body::home(); MAX_LIMBS],
            crank: T::from(0.0),
            holding: [T::from(0.0); MAX_HARD],
        }
    }

    /// Moves by a step, scaled by `unit`: 1, or the unit of a derivative.
    pub(crate) fn advance(&mut self, step: &Step, limbs: usize, unit: T) {
        let scaled = |v: &Vector6<f64>| v.map(|c| unit * c);
        self.axle.step(&scaled(&step.axle));
        for (limb, step) in self.limbs.iter_mut().zip(&step.limbs).take(limbs) {
            limb.step(&scaled(step));
        }
        self.crank += unit * step.crank;
        for (h, d) in self.holding.iter_mut().zip(step.holding) {
            *h += unit * d;
        }
    }

    pub(crate) fn map<V: Real>(&self, f: &mut impl FnMut(T) -> V) -> Pose<V> {
        Pose {
            axle: self.axle.map(f),
            limbs: self.limbs.each_ref().map(|limb| limb.map(f)),
            crank: f(self.crank),
            holding: self.holding.map(f),
        }
    }
}

impl Pose<f64> {
    /// The step from another pose to this one: where [`Pose::advance`] takes that one.
    pub(crate) fn since(&self, other: &Self, limbs: usize) -> Step {
        let mut step = Step::none();
        step.axle = self.axle.since(&other.axle);
        let pairs = self.limbs.iter().zip(&other.limbs);
        for (step, (limb, other)) in step.limbs.iter_mut().zip(pairs).take(limbs) {
            *step = limb.since(other);
        }
        step.crank = self.crank - other.crank;
        step.holding = std::array::from_fn(|i| self.holding[i] - other.holding[i]);
        step
    }

    pub(crate) fn lift<T: Real>(&self) -> Pose<T> {
        Pose {
            axle: self.axle.lift(),
            limbs: self.limbs.each_ref().map(Body::lift),
            crank: T::from(self.crank),
            holding: self.holding.map(T::from),
        }
    }
}

/// A small motion of everything: shift in mm and rotation vector in rad of each body, and the change
/// of the holding forces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    pub axle: Vector6<f64>,
    pub limbs: [Vector6<f64>; MAX_LIMBS],
    pub crank: f64,
    pub holding: [f64; MAX_HARD],
}

impl Step {
    /// No motion.
    pub fn none() -> Self {
        let none = Vector6::zeros();
        Self { axle: none, limbs: [none; MAX_LIMBS], crank: 0.0, holding: [0.0; MAX_HARD] }
    }

    /// Adds so many times another step, of so many limbs.
    pub fn add(&mut self, step: &Self, limbs: usize, by: f64) {
        self.axle += step.axle * by;
        for (limb, step) in self.limbs.iter_mut().zip(&step.limbs).take(limbs) {
            *limb += step * by;
        }
        self.crank += step.crank * by;
        for (force, step) in self.holding.iter_mut().zip(step.holding) {
            *force += step * by;
        }
    }

    /// Size in mm of the axle's and so many limbs' motion; a rotation counts by a lever of one metre.
    pub fn size(&self, limbs: usize) -> f64 {
        let one = |v: &Vector6<f64>| {
            let shift = v.fixed_rows::<3>(0).amax();
            let turn = v.fixed_rows::<3>(3).amax() * 1000.0;
            shift.max(turn)
        };
        // A crank counts by a lever of a tenth of that.
        let own = one(&self.axle).max(self.crank.abs() * 100.0);
        self.limbs.iter().take(limbs).map(one).fold(own, f64::max)
    }
}
