//! An axle's outputs with their uncertainty and the input each leans on most.
//!
//! Uncertainty is propagated to first order (GUM, JCGM 100:2008, eq. 10) with exact slopes: each
//! input's derivative is carried through the converged pose by dual numbers. Where readings have
//! bound inputs to each other, their covariance is in it (the same guide's eq. 13).

use super::{
    attitude::{Wheels, read},
    model::{AxleModel, ModelError},
    motion::Motions,
    output::{Attitude, Output},
    pose::{Pose, Step},
    posed::{Followed, Posed},
    reader::Input,
    real::Real,
    solve::{Travel, Unreachable},
    steering::Turn,
};
use crate::{
    measure::{Joint, Origin},
    truck::{End, State, Truck},
};
use nalgebra::DMatrix;
use std::sync::Arc;

/// The input an output leans on most.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// Its path within the axle, such as `panhard.axle.z_mm`.
    pub path: String,
    /// Its share of the output's variance, 0 to 1.
    pub share: f64,
    /// Output's change per unit of the input.
    pub slope: f64,
    /// Where the input came from.
    pub origin: Origin,
}

/// One axle in one state at one position: pose, outputs, how sure, and what decides.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The numbers it was computed from.
    pub model: AxleModel<f64>,
    /// Wheel travels, mm.
    pub travel: Travel,
    /// Where the axle stands.
    pub pose: Pose<f64>,
    /// The outputs.
    pub attitude: Attitude<f64>,
    /// One standard deviation of each output.
    pub sigma: Attitude<f64>,
    /// What the variance of each is beyond that by slopes, where it was looked for.
    bends: Attitude<f64>,
    /// Each uncertain input with the slope of every output by it.
    slopes: Vec<Slope>,
    /// What binds inputs to each other, where readings do.
    joint: Option<Arc<Joint>>,
}

/// An uncertain input, where it stands among those that are known together, and the slope of every
/// output by it.
#[derive(Debug, Clone)]
struct Slope {
    input: Input,
    bound: Option<usize>,
    by: Attitude<f64>,
}

/// An uncertain input and what hangs on it.
#[derive(Clone, Copy)]
pub(crate) struct Lean<'a> {
    /// The input.
    pub input: &'a Input,
    /// Where it stands among those that are known together.
    pub bound: Option<usize>,
    /// The slope of every output by it.
    pub by: &'a Attitude<f64>,
}

/// A value with its uncertainty and what it leans on.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Best value.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
    /// The input it leans on most; `None` when nothing it depends on is uncertain.
    pub driver: Option<Driver>,
}

impl Answer {
    /// An output with its uncertainty; `None` where it has no meaning.
    pub fn spread(&self, output: Output) -> Option<Spread> {
        let value = self.attitude.get(output)?;
        let slopes = self.slopes.iter().map(|s| (s, s.by.get(output).unwrap_or(0.0)));
        let by_slopes = spread(value, slopes, self.joint.as_deref());
        Some(by_slopes.bent(self.bends.get(output).unwrap_or(0.0)))
    }

    /// Takes over what is known of how much an output varies where slopes do not tell.
    pub(crate) fn take_sigma(&mut self, output: Output, sigma: f64) {
        let by_slopes = self.sigma.get(output).unwrap_or(0.0);
        self.bends.set(output, sigma * sigma - by_slopes * by_slopes);
        self.sigma.set(output, sigma);
    }

    /// The uncertain inputs, in the order they are read.
    pub fn inputs(&self) -> impl Iterator<Item = &Input> {
        self.slopes.iter().map(|slope| &slope.input)
    }

    /// The uncertain inputs with what hangs on them, in the same order.
    pub(crate) fn leans(&self) -> impl Iterator<Item = Lean<'_>> {
        self.slopes.iter().map(|Slope { input, bound, by }| Lean { input, bound: *bound, by })
    }

    /// What binds inputs to each other, where readings do.
    pub(crate) fn joint(&self) -> Option<&Joint> {
        self.joint.as_deref()
    }

    /// An output's change per unit of an input, by the input's path; `None` where the input is exact
    /// or unknown, or the output has no meaning.
    pub fn slope(&self, path: &str, output: Output) -> Option<f64> {
        self.slopes.iter().find(|s| s.input.path == path).and_then(|s| s.by.get(output))
    }

    /// How much an output changed since `before`, with the uncertainty of the change: inputs both
    /// states share move both, so that much of what is unknown cancels. What slopes do not tell of
    /// either is in it as if it were independent: a little too much, for it is of the same inputs.
    pub fn change(&self, before: &Self, output: Output) -> Option<Spread> {
        let value = self.attitude.get(output)? - before.attitude.get(output)?;
        let shared = self.slopes.iter().map(|s| {
            let then = before.slope(&s.input.path, output).unwrap_or(0.0);
            (s, s.by.get(output).unwrap_or(0.0) - then)
        });
        let gone = before
            .slopes
            .iter()
            .filter(|s| !self.slopes.iter().any(|t| t.input.path == s.input.path))
            .map(|s| (s, -s.by.get(output).unwrap_or(0.0)));
        let bends = [self, before].map(|answer| answer.bends.get(output).unwrap_or(0.0));
        let by_slopes = spread(value, shared.chain(gone), self.joint.as_deref());
        Some(by_slopes.bent(bends[0] + bends[1]))
    }

    /// Slopes of some outputs (rows) by every uncertain input (columns).
    pub(crate) fn all_slopes(&self, outputs: &[Output]) -> DMatrix<f64> {
        DMatrix::from_fn(outputs.len(), self.slopes.len(), |row, column| {
            self.slopes[column].by.get(outputs[row]).unwrap_or(0.0)
        })
    }

    /// An output's slopes by the inputs that are known together, in their order; nothing without any.
    pub(crate) fn bound_slopes(&self, output: Output) -> Vec<f64> {
        let mut all = vec![0.0; self.joint.as_ref().map_or(0, |joint| joint.names().len())];
        for slope in &self.slopes {
            if let Some(place) = slope.bound.and_then(|at| all.get_mut(at)) {
                *place = slope.by.get(output).unwrap_or(0.0);
            }
        }
        all
    }
}

impl Spread {
    /// With so much variance more.
    fn bent(mut self, more: f64) -> Self {
        if more != 0.0 {
            self.sigma = (self.sigma * self.sigma + more).max(0.0).sqrt();
        }
        self
    }
}

/// Adds up inputs, independent (GUM eq. 10) but for those that `joint` binds (eq. 13), and keeps
/// the largest.
fn spread<'a>(
    value: f64,
    slopes: impl Iterator<Item = (&'a Slope, f64)>,
    joint: Option<&Joint>,
) -> Spread {
    let slopes: Vec<_> = slopes.collect();
    // An input's share is its slope times the covariance of the output with it.
    let together = joint.map(|joint| {
        let mut by = vec![0.0; joint.names().len()];
        for (slope, by_input) in &slopes {
            if let Some(place) = slope.bound.and_then(|at| by.get_mut(at)) {
                *place = *by_input;
            }
        }
        joint.with_each(&by)
    });
    let mut variance = 0.0;
    let mut most: Option<(f64, &Input, f64)> = None;
    for (slope, by_input) in slopes {
        let bound = slope.bound.and_then(|at| together.as_ref()?.get(at));
        let share = match bound {
            Some(with_it) => by_input * with_it,
            None => (by_input * slope.input.sigma).powi(2),
        };
        // An absent share; what is beyond numbers has none either.
        if !share.is_finite() || share == 0.0 {
            continue;
        }
        variance += share;
        if most.is_none_or(|(m, ..)| m < share) {
            most = Some((share, &slope.input, by_input));
        }
    }
    // Shares of bound inputs may be negative, their sum only by rounding.
    let variance = variance.max(0.0);
    let driver = most.filter(|(share, ..)| *share > 0.0).map(|(share, input, slope)| Driver {
        path: input.path.clone(),
        share: (share / variance).min(1.0),
        slope,
        origin: input.origin.clone(),
    });
    Spread { value, sigma: variance.sqrt(), driver }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoAnswer {
    /// The input does not make a model.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// The pose does not exist.
    #[error(transparent)]
    Unreachable(#[from] Unreachable),
}

/// The axle at rest in a state, wheels straight ahead.
///
/// # Errors
/// When the input does not make a model or the pose does not exist.
pub fn answer(truck: &Truck, end: End, state: State) -> Result<Answer, NoAnswer> {
    answer_at(truck, end, state, [None; 2], 0.0)
}

/// The axle in a state at given wheel travels from stock (mm, bump positive; `None` is the state's
/// own ride height) and mean steer of the wheels (rad, left positive).
///
/// # Errors
/// As [`answer`].
pub fn answer_at(
    truck: &Truck,
    end: End,
    state: State,
    travel: [Option<f64>; 2],
    steer: f64,
) -> Result<Answer, NoAnswer> {
    answer_under(truck, (end, state), travel, steer, None)
}

/// As [`answer_at`], with the best values and the covariance of the inputs that `joint` knows.
///
/// # Errors
/// As [`answer`].
pub fn answer_under(
    truck: &Truck,
    (end, state): (End, State),
    travel: [Option<f64>; 2],
    steer: f64,
    joint: Option<&Arc<Joint>>,
) -> Result<Answer, NoAnswer> {
    Ok(moving(truck, (end, state), travel, steer, joint)?.answer)
}

/// An answer with what is needed to look around it.
pub(crate) struct Moving<'a> {
    pub answer: Answer,
    pub posed: Posed<'a>,
    /// How the pose moves for a unit of each uncertain input; nothing where the axle does not hang on it.
    pub steps: Vec<Option<Step>>,
    pub wheels: Wheels<f64>,
}

/// As [`answer_under`], with the way there.
pub(crate) fn moving<'a>(
    truck: &'a Truck,
    at: (End, State),
    travel: [Option<f64>; 2],
    steer: f64,
    joint: Option<&Arc<Joint>>,
) -> Result<Moving<'a>, NoAnswer> {
    let posed = Posed::of(truck, at, travel, joint.map(|j| &**j))?;
    let (motions, by_wheel) = Motions::of(&posed.model, &posed.factored);
    let turn = Turn::Mean(steer);
    let wheels = Wheels::of(&posed.model, &posed.pose, turn);
    let outputs = read(&posed.model, &posed.pose, Some(&motions), &wheels);

    let (mut slopes, mut steps) = (Vec::new(), Vec::new());
    for (index, input) in posed.inputs.iter().enumerate().filter(|(_, i)| i.sigma > 0.0) {
        let Followed { model: dual, travel, pose, step } = posed.following(index)?;
        let (plain, factored) = (&posed.model, &posed.factored);
        let motions = match step {
            Some(_) => Motions::with_slopes(&dual, travel, &pose, &by_wheel, plain, factored),
            None => motions.still(),
        };
        let moved = read(&dual, &pose, Some(&motions), &wheels.carry(&dual, &pose, turn));
        let bound = joint.and_then(|joint| joint.position(&input.path));
        slopes.push(Slope { input: input.clone(), bound, by: moved.map(|v| v.map(Real::slope)) });
        steps.push(step);
    }
    let mut found = Answer {
        model: (*posed.model).clone(),
        travel: posed.travel,
        pose: posed.pose,
        attitude: outputs,
        sigma: Attitude::empty(),
        bends: Attitude::empty(),
        slopes,
        joint: joint.cloned(),
    };
    for output in Output::ALL {
        if let Some(Spread { sigma, .. }) = found.spread(output) {
            found.sigma.set(output, sigma);
        }
    }
    Ok(Moving { answer: found, posed, steps, wheels })
}
