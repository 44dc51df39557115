//! An axle's outputs with their uncertainty and the input each leans on most.
//!
//! Uncertainty is propagated to first order (GUM, JCGM 100:2008, eq. 10) with exact slopes: each
//! input's derivative is carried through the converged pose by dual numbers.

use super::{
    attitude::{Attitude, Output, attitude},
    model::{AxleModel, ModelError},
    pose::Pose,
    reader::{Input, Reader},
    real::Real,
    solve::{Travel, Unreachable, solve, with_slopes},
};
use crate::{
    measure::Origin,
    truck::{Axle, End, State},
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
    drivers: [Option<Driver>; Output::COUNT],
}

impl Answer {
    /// The input an output leans on most; `None` when nothing it depends on is uncertain.
    pub const fn driver(&self, output: Output) -> Option<&Driver> {
        self.drivers[output as usize].as_ref()
    }
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
pub fn answer(axle: &Axle, end: End, state: State) -> Result<Answer, NoAnswer> {
    let model = AxleModel::of(axle, end, state)?;
    let ride = model.ride;
    finish(axle, end, state, model, ride, [true; 2], 0.0)
}

/// The axle in a state at given wheel travels from stock (mm, bump positive; `None` is the state's
/// own ride height) and steer (rad, left positive).
///
/// # Errors
/// As [`answer`].
pub fn answer_at(
    axle: &Axle,
    end: End,
    state: State,
    travel: [Option<f64>; 2],
    steer: f64,
) -> Result<Answer, NoAnswer> {
    let model = AxleModel::of(axle, end, state)?;
    let at = [0, 1].map(|i| travel[i].unwrap_or(model.ride[i]));
    finish(axle, end, state, model, at, travel.map(|t| t.is_none()), steer)
}

fn finish(
    axle: &Axle,
    end: End,
    state: State,
    model: AxleModel<f64>,
    travel: Travel,
    at_ride: [bool; 2],
    steer: f64,
) -> Result<Answer, NoAnswer> {
    let pose = solve(&model, travel)?;
    let outputs = attitude(&model, &pose, steer);
    let inputs = AxleModel::inputs(axle, end, state)?;

    let mut variance = [0.0; Output::COUNT];
    let mut drivers: [Option<Driver>; Output::COUNT] = std::array::from_fn(|_| None);
    for (index, input) in inputs.iter().enumerate().filter(|(_, i)| i.sigma > 0.0) {
        let mut reader = Reader::following(index);
        let dual = AxleModel::<Dual64>::read(axle, end, state, &mut reader)?;
        // A travel set by hand is exact; at ride it follows the measured lift.
        let at = [0, 1].map(|i| if at_ride[i] { dual.ride[i] } else { Dual64::from(travel[i]) });
        let Some(pose) = with_slopes(&dual, at, &pose) else { continue };
        let slopes = attitude(&dual, &pose, steer);
        for output in Output::ALL {
            let Some(slope) = slopes.get(output).map(Real::slope) else { continue };
            lean(&mut variance, &mut drivers, output, input, slope);
        }
    }
    for (driver, variance) in drivers.iter_mut().zip(variance) {
        if let Some(driver) = driver {
            driver.share /= variance;
        }
    }
    let mut spread = variance.into_iter();
    let sigma = outputs.map(|value| {
        let variance = spread.next().unwrap_or(0.0);
        value.map(|_| variance.sqrt())
    });
    Ok(Answer { model, travel, pose, attitude: outputs, sigma, drivers })
}

/// Adds one input's share to an output's variance and keeps the largest.
fn lean(
    variance: &mut [f64; Output::COUNT],
    drivers: &mut [Option<Driver>; Output::COUNT],
    output: Output,
    input: &Input,
    slope: f64,
) {
    let share = (slope * input.sigma).powi(2);
    if share <= 0.0 || share.is_nan() {
        return;
    }
    let i = output as usize;
    variance[i] += share;
    if drivers[i].as_ref().is_none_or(|d| d.share < share) {
        drivers[i] =
            Some(Driver { path: input.path.clone(), share, slope, origin: input.origin.clone() });
    }
}
