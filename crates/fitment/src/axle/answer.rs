//! An axle's outputs with their uncertainty and the input each leans on most.
//!
//! Uncertainty is propagated to first order (GUM, JCGM 100:2008, eq. 10) with exact slopes: each
//! input's derivative is carried through the converged pose by dual numbers.

use super::{
    attitude::{Wheels, read},
    model::{AxleModel, ModelError, Source},
    motion::Motions,
    output::{Attitude, Output},
    pose::Pose,
    reader::{Input, Reader},
    real::Real,
    solve::{Travel, Unreachable, factored, solve, with_slopes},
    steering::Turn,
};
use crate::{
    measure::Origin,
    truck::{End, State, Truck},
};
use num_dual::Dual64;

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
    /// Each uncertain input with the slope of every output by it.
    slopes: Vec<(Input, Attitude<f64>)>,
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
        Some(spread(value, self.slopes.iter().map(|(i, s)| (i, s.get(output).unwrap_or(0.0)))))
    }

    /// The uncertain inputs, in the order they are read.
    pub fn inputs(&self) -> impl Iterator<Item = &Input> {
        self.slopes.iter().map(|(input, _)| input)
    }

    /// An output's change per unit of an input, by the input's path; `None` where the input is exact
    /// or unknown, or the output has no meaning.
    pub fn slope(&self, path: &str, output: Output) -> Option<f64> {
        self.slopes.iter().find(|(i, _)| i.path == path).and_then(|(_, s)| s.get(output))
    }

    /// How much an output changed since `before`, with the uncertainty of the change: inputs both
    /// states share move both, so that much of what is unknown cancels.
    pub fn change(&self, before: &Self, output: Output) -> Option<Spread> {
        let value = self.attitude.get(output)? - before.attitude.get(output)?;
        let shared = self.slopes.iter().map(|(i, s)| {
            let then = before.slope(&i.path, output).unwrap_or(0.0);
            (i, s.get(output).unwrap_or(0.0) - then)
        });
        let gone = before
            .slopes
            .iter()
            .filter(|(i, _)| !self.slopes.iter().any(|(j, _)| j.path == i.path))
            .map(|(i, s)| (i, -s.get(output).unwrap_or(0.0)));
        Some(spread(value, shared.chain(gone)))
    }
}

/// Adds up independent inputs (GUM eq. 10) and keeps the largest.
fn spread<'a>(value: f64, slopes: impl Iterator<Item = (&'a Input, f64)>) -> Spread {
    let mut variance = 0.0;
    let mut most: Option<(f64, &Input, f64)> = None;
    for (input, slope) in slopes {
        let share = (slope * input.sigma).powi(2);
        // A negligible or absent share; what is beyond numbers has none either.
        if !share.is_finite() || share <= 0.0 {
            continue;
        }
        variance += share;
        if most.is_none_or(|(m, ..)| m < share) {
            most = Some((share, input, slope));
        }
    }
    let driver = most.map(|(share, input, slope)| Driver {
        path: input.path.clone(),
        share: share / variance,
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
    let source = Source::of(truck, end, state)?;
    let (model, inputs) = source.inputs()?;
    let at = [0, 1].map(|i| travel[i].unwrap_or(model.ride[i]));
    let pose = solve(&model, at)?;
    // A pose that is not held every way has no slopes; leaving one out would understate the ±.
    let factored = factored(&model, &pose).ok_or(Unreachable::Loose(super::Freedom::NONE))?;
    let (motions, steps) = Motions::of(&model, &factored);
    let turn = Turn::Mean(steer);
    let wheels = Wheels::of(&model, &pose, turn);
    let outputs = read(&model, &pose, Some(&motions), &wheels);

    let mut slopes = Vec::new();
    for (index, input) in inputs.into_iter().enumerate().filter(|(_, i)| i.sigma > 0.0) {
        let dual = AxleModel::<Dual64>::read(&source, &mut Reader::following(index))?;
        // A travel set by hand is exact; at ride it follows the measured lift.
        let at = [0, 1].map(|i| travel[i].map_or_else(|| dual.ride[i], Dual64::from));
        let posed = with_slopes(&dual, at, &pose, &model, &factored);
        let motions = Motions::with_slopes(&dual, at, &posed, &steps, &model, &factored);
        let moved = read(&dual, &posed, Some(&motions), &wheels.carry(&dual, &posed, turn));
        slopes.push((input, moved.map(|v| v.map(Real::slope))));
    }
    let mut sigma = Attitude::empty();
    for output in Output::ALL {
        if outputs.get(output).is_some() {
            sigma.set(output, deviation(slopes.iter().map(|(i, s)| (i, s.get(output)))));
        }
    }
    Ok(Answer { model, travel: at, pose, attitude: outputs, sigma, slopes })
}

/// Independent inputs added up (GUM eq. 10).
fn deviation<'a>(slopes: impl Iterator<Item = (&'a Input, Option<f64>)>) -> f64 {
    let square = |(i, s): (&Input, Option<f64>)| (s.unwrap_or(0.0) * i.sigma).powi(2);
    slopes.map(square).filter(|v| !v.is_nan()).sum::<f64>().sqrt()
}
