//! Rotations: from a rotation vector, back to one, and as the attitude angles of an axle.
//!
//! Formulas are the closed forms of the exponential and logarithm on SO(3) (Rodrigues), with
//! series near zero so that value and derivative stay exact there.

use super::real::{Real, cross_matrix};
use nalgebra::{Matrix3, Vector3};

/// Below this squared angle (rad²) the series replace the closed forms; the first term left out
/// is then under 1e-16 of the result.
const SMALL: f64 = 1e-4;

/// Rotation by the vector `w`: about its direction, by its length in radians.
pub(crate) fn exp<T: Real>(w: &Vector3<T>) -> Matrix3<T> {
    let t2 = w.dot(w);
    let (a, b) = if t2.re() < SMALL {
        // sin t / t and (1 − cos t) / t² as series in t².
        (
            series(t2, [1.0, -1.0 / 6.0, 1.0 / 120.0, -1.0 / 5040.0]),
            series(t2, [0.5, -1.0 / 24.0, 1.0 / 720.0, -1.0 / 40320.0]),
        )
    } else {
        let t = t2.sqrt();
        (t.sin() / t, (T::from(1.0) - t.cos()) / t2)
    };
    let k = cross_matrix(w);
    Matrix3::identity() + k * a + k * k * b
}

/// The rotation vector of `r`; its angle lies between 0 and π.
pub(crate) fn log<T: Real>(r: &Matrix3<T>) -> Vector3<T> {
    let half = T::from(0.5);
    // Twice the sine times the axis.
    let s =
        Vector3::new(r[(2, 1)] - r[(1, 2)], r[(0, 2)] - r[(2, 0)], r[(1, 0)] - r[(0, 1)]) * half;
    let s2 = s.dot(&s);
    let c = (r[(0, 0)] + r[(1, 1)] + r[(2, 2)] - T::from(1.0)) * half;
    if s2.re() < SMALL && c.re() > 0.0 {
        // asin(x)/x as a series in x².
        return s * series(s2, [1.0, 1.0 / 6.0, 3.0 / 40.0, 15.0 / 336.0]);
    }
    let sine = s2.sqrt();
    if sine.re() == 0.0 {
        // A half turn: no arm or axle gets there; any finite answer keeps the solver honest.
        return Vector3::from_element(T::from(0.0));
    }
    s * (sine.atan2(c) / sine)
}

/// Inverse of the left Jacobian of the rotation vector `w`: d log(exp(e)·R) / de at e = 0.
pub(crate) fn left_jacobian_inverse<T: Real>(w: &Vector3<T>) -> Matrix3<T> {
    let t2 = w.dot(w);
    let b = if t2.re() < SMALL {
        series(t2, SECOND)
    } else {
        let t = t2.sqrt();
        T::from(1.0) / t2 - (T::from(1.0) + t.cos()) / (t * t.sin() * 2.0)
    };
    let k = cross_matrix(w);
    Matrix3::identity() - k * T::from(0.5) + k * k * b
}

/// The factor of the second power in the inverse left Jacobian, as a series in the squared angle.
const SECOND: [f64; 4] = [1.0 / 12.0, 1.0 / 720.0, 1.0 / 30240.0, 1.0 / 1_209_600.0];

/// The inverse left Jacobian 1 − ½·w× + b·(w×)², with b and its slope by |w|².
pub(crate) struct JacobianTerms {
    pub matrix: Matrix3<f64>,
    pub second: f64,
    pub second_slope: f64,
}

/// The inverse left Jacobian with what its own slope needs.
pub(crate) fn left_jacobian_inverse_terms(w: &Vector3<f64>) -> JacobianTerms {
    let t2 = w.dot(w);
    let (b, slope) = if t2 < SMALL {
        let slope = [SECOND[1], 2.0 * SECOND[2], 3.0 * SECOND[3], 4.0 / 47_900_160.0];
        (series(t2, SECOND), series(t2, slope))
    } else {
        let t = t2.sqrt();
        let (sine, cosine) = t.sin_cos();
        let half = (1.0 + cosine) / (2.0 * t * sine);
        // d/dt of (1 + cos t)/(2 t sin t) is −(1 + cos t)(t + sin t)/(2 t² sin² t).
        let fall = (1.0 + cosine) * (t + sine) / (2.0 * t2 * sine * sine);
        (1.0 / t2 - half, (fall - 2.0 / (t2 * t)) / (2.0 * t))
    };
    let k = cross_matrix(w);
    JacobianTerms {
        matrix: Matrix3::identity() - k * 0.5 + k * k * b,
        second: b,
        second_slope: slope,
    }
}

/// Rotation about y by `angle`; positive turns z toward x (top forward).
pub(crate) fn about_y<T: Real>(angle: T) -> Matrix3<T> {
    let (s, c) = angle.sin_cos();
    let (o, i) = (T::from(0.0), T::from(1.0));
    Matrix3::new(c, o, s, o, i, o, -s, o, c)
}

/// Steer, roll and pitch of `R = Rz(steer)·Rx(roll)·Ry(pitch)`, rad: left, left wheel up and top
/// forward positive.
pub(crate) fn steer_roll_pitch<T: Real>(r: &Matrix3<T>) -> (T, T, T) {
    // The clamp only meets rounding: a rotation's entries do not exceed 1.
    let sine = r[(2, 1)];
    let roll = if sine.re().abs() < 1.0 { sine.asin() } else { T::from(sine.re().signum()) };
    ((-r[(0, 1)]).atan2(r[(1, 1)]), roll, (-r[(2, 0)]).atan2(r[(2, 2)]))
}

/// A polynomial in `x` by Horner's rule.
fn series<T: Real>(x: T, c: [f64; 4]) -> T {
    ((x * c[3] + c[2]) * x + c[1]) * x + c[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: &Matrix3<f64>, b: &Matrix3<f64>, tol: f64) {
        assert!((a - b).abs().max() < tol, "got {a} want {b}");
    }

    #[test]
    fn agrees_with_nalgebra_rotations() {
        for w in [
            Vector3::new(0.3, -0.2, 0.7),
            Vector3::new(1e-5, 2e-5, -3e-5),
            Vector3::new(0.0, 0.0, 0.0),
            Vector3::new(0.006, -0.007, 0.003),
            Vector3::new(1.9, 1.1, -0.4),
        ] {
            let want = nalgebra::Rotation3::new(w);
            close(&exp(&w), want.matrix(), 1e-15);
            assert!((log(&exp(&w)) - w).norm() < 1e-14, "log of exp {w}");
        }
    }

    #[test]
    fn jacobian_inverse_is_the_derivative_of_log() {
        for w in [Vector3::new(0.3, -0.2, 0.7), Vector3::new(1e-3, 0.0, 2e-3)] {
            let j = left_jacobian_inverse(&w);
            for i in 0..3 {
                let mut e = Vector3::zeros();
                e[i] = 1e-6;
                let plus = log(&(exp(&e) * exp(&w)));
                let minus = log(&(exp(&-e) * exp(&w)));
                let want = (plus - minus) / 2e-6;
                assert!((j.column(i) - want).norm() < 1e-9);
            }
        }
    }

    #[test]
    fn attitude_angles_come_back() {
        let (steer, roll, pitch) = (0.1, -0.2, 0.3);
        let r = nalgebra::Rotation3::from_axis_angle(&Vector3::z_axis(), steer)
            * nalgebra::Rotation3::from_axis_angle(&Vector3::x_axis(), roll)
            * nalgebra::Rotation3::from_axis_angle(&Vector3::y_axis(), pitch);
        let got = steer_roll_pitch(r.matrix());
        assert!((got.0 - steer).abs() < 1e-14);
        assert!((got.1 - roll).abs() < 1e-14);
        assert!((got.2 - pitch).abs() < 1e-14);
        close(
            &about_y(pitch),
            nalgebra::Rotation3::from_axis_angle(&Vector3::y_axis(), pitch).matrix(),
            1e-15,
        );
    }
}
