//! The scalar of the geometry: plain `f64`, or a dual number that carries an exact derivative.

use nalgebra::{Matrix3, Vector3};
use num_dual::{Dual64, DualNum, HyperDual64};

/// A number the geometry can be computed in.
pub trait Real: DualNum<Primitive = f64> + Copy {
    /// A value whose derivative is to be followed when `follow` is true.
    fn input(value: f64, follow: bool) -> Self;

    /// The derivative by the followed input; 0 for a plain number.
    fn slope(self) -> f64;
}

impl Real for f64 {
    fn input(value: f64, _follow: bool) -> Self {
        value
    }

    fn slope(self) -> f64 {
        0.0
    }
}

impl Real for Dual64 {
    fn input(value: f64, follow: bool) -> Self {
        Self::new(value, if follow { 1.0 } else { 0.0 })
    }

    fn slope(self) -> f64 {
        self.eps
    }
}

/// Two directions at once: the first is a motion, the second an input; their product is how the
/// motion changes with the input.
impl Real for HyperDual64 {
    fn input(value: f64, follow: bool) -> Self {
        Self::new(value, 0.0, if follow { 1.0 } else { 0.0 }, 0.0)
    }

    fn slope(self) -> f64 {
        self.eps1eps2
    }
}

/// A number that carries an input's derivative, ready to be set in motion.
pub(crate) fn at_rest(d: Dual64) -> HyperDual64 {
    HyperDual64::new(d.re, 0.0, d.eps, 0.0)
}

/// A vector of constants in the scalar of the moment.
pub(crate) fn lift<T: Real>(v: Vector3<f64>) -> Vector3<T> {
    v.map(T::from)
}

/// The plain value of a vector.
pub(crate) fn plain<T: Real>(v: &Vector3<T>) -> Vector3<f64> {
    v.map(|c| c.re())
}

/// Length of a vector.
pub(crate) fn norm<T: Real>(v: &Vector3<T>) -> T {
    v.dot(v).sqrt()
}

/// The matrix that takes the cross product with `v`.
pub(crate) fn cross_matrix<T: Real>(v: &Vector3<T>) -> Matrix3<T> {
    let o = T::from(0.0);
    Matrix3::new(o, -v.z, v.y, v.z, o, -v.x, -v.y, v.x, o)
}
