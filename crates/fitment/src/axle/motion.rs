//! How the axle moves for a small travel of both wheels, together or against each other.

use super::{
    factored::Factored,
    model::AxleModel,
    pose::{Pose, Step},
    real::{Real, lift},
    solve::{motion, motion_slopes},
};
use nalgebra::Vector3;
use num_dual::Dual64;

/// The axle's velocity per millimetre of travel, chassis axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Twist<T> {
    /// Of the axle's own origin, mm/mm.
    pub shift: Vector3<T>,
    /// Rotation, rad/mm.
    pub turn: Vector3<T>,
    /// Rise of the wheels' vertical holding forces, left and right, N/mm.
    pub wheels: [T; 2],
}

/// Both wheels up by 1 mm, and the left up and the right down by 1 mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Motions<T> {
    pub heave: Twist<T>,
    pub roll: Twist<T>,
}

impl<T: Real> Twist<T> {
    /// Velocity of a point that is fixed to the axle and stands at `p` in the chassis frame.
    pub fn at(&self, pose: &Pose<T>, p: &Vector3<T>) -> Vector3<T> {
        self.shift + self.turn.cross(&(p - pose.axle.shift))
    }

    fn sum(a: &Self, b: &Self, sign: f64) -> Self {
        let s = T::from(sign);
        Self {
            shift: a.shift + b.shift * s,
            turn: a.turn + b.turn * s,
            wheels: [a.wheels[0] + b.wheels[0] * s, a.wheels[1] + b.wheels[1] * s],
        }
    }

    fn of(number: impl Fn(usize) -> T) -> Self {
        Self {
            shift: Vector3::new(number(0), number(1), number(2)),
            turn: Vector3::new(number(3), number(4), number(5)),
            wheels: [number(6), number(7)],
        }
    }
}

/// A step's numbers in one row: the axle's six, then the wheels' two forces.
fn row(step: &Step, i: usize) -> f64 {
    if i < 6 { step.axle[i] } else { step.holding[i - 6] }
}

impl Motions<f64> {
    pub fn of(model: &AxleModel<f64>, factored: &Factored) -> (Self, [Step; 2]) {
        let steps = [[1.0, 0.0], [0.0, 1.0]].map(|travel| motion(model, factored, travel));
        let [left, right] = steps.each_ref().map(|s| Twist::of(|i| row(s, i)));
        (Self::from_wheels(&left, &right), steps)
    }

    /// The same for an input that does not move the axle.
    pub fn still(&self) -> Motions<Dual64> {
        let [heave, roll] = [&self.heave, &self.roll].map(|twist| Twist {
            shift: lift(twist.shift),
            turn: lift(twist.turn),
            wheels: twist.wheels.map(Dual64::from),
        });
        Motions { heave, roll }
    }
}

impl Motions<Dual64> {
    /// The motions with their slopes by the input that `model` and `pose` follow.
    pub fn with_slopes(
        model: &AxleModel<Dual64>,
        travel: [Dual64; 2],
        pose: &Pose<Dual64>,
        steps: &[Step; 2],
        plain: &AxleModel<f64>,
        factored: &Factored,
    ) -> Self {
        let [left, right] = [0, 1].map(|wheel| {
            let step = &steps[wheel];
            let slopes = motion_slopes(model, travel, wheel, pose, step, plain, factored);
            Twist::of(|i| Dual64::new(row(step, i), row(&slopes, i)))
        });
        Self::from_wheels(&left, &right)
    }
}

impl<T: Real> Motions<T> {
    fn from_wheels(left: &Twist<T>, right: &Twist<T>) -> Self {
        Self { heave: Twist::sum(left, right, 1.0), roll: Twist::sum(left, right, -1.0) }
    }
}
