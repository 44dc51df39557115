//! An axle at a position with all that is needed to follow any of its inputs through the pose.

use super::{
    answer::NoAnswer,
    factored::{Factored, Freedom},
    model::{AxleModel, ModelError, Source},
    pose::{Pose, Step},
    reader::{Input, Reader},
    solve::{Travel, Unreachable, factored, solve, solve_near, with_slopes},
};
use crate::{
    measure::Joint,
    truck::{End, State, Truck},
};
use num_dual::Dual64;
use std::sync::Arc;

/// An axle solved at a position.
pub(crate) struct Posed<'a> {
    source: Source<'a>,
    /// What stands in for the inputs' own values.
    values: Option<Arc<[f64]>>,
    /// Wheel travels set by hand; `None` is the state's own ride height.
    set: [Option<f64>; 2],
    /// The numbers it was solved from.
    pub model: Box<AxleModel<f64>>,
    /// Every input, in the order it is read.
    pub inputs: Vec<Input>,
    /// Wheel travels, mm.
    pub travel: Travel,
    /// Where the axle stands.
    pub pose: Pose<f64>,
    /// The pose's matrix.
    pub factored: Factored,
}

/// An axle's numbers and where it stands.
pub(crate) type Stands = (Box<AxleModel<f64>>, Pose<f64>);

/// An axle that carries the derivative by one input.
pub(crate) struct Followed {
    pub model: Box<AxleModel<Dual64>>,
    /// Wheel travels, mm.
    pub travel: [Dual64; 2],
    pub pose: Pose<Dual64>,
    /// How the pose moves for a unit of the input; nothing where the axle does not hang on it.
    pub step: Option<Step>,
}

impl<'a> Posed<'a> {
    /// Solves an axle in a state at given wheel travels, its inputs at their best values under
    /// `joint` where that knows them.
    pub fn of(
        truck: &'a Truck,
        (end, state): (End, State),
        set: [Option<f64>; 2],
        joint: Option<&Joint>,
    ) -> Result<Self, NoAnswer> {
        let source = Source::of(truck, end, state)?;
        let (mut model, mut inputs) = source.inputs(None)?;
        let values = joint.map(|joint| best_values(&inputs, joint));
        if values.is_some() {
            (model, inputs) = source.inputs(values.as_ref())?;
        }
        let travel = [0, 1].map(|i| set[i].unwrap_or(model.ride[i]));
        let pose = solve(&model, travel)?;
        // A pose that is not held every way has no slopes; leaving one out would understate the ±.
        let factored = factored(&model, &pose).ok_or(Unreachable::Loose(Freedom::NONE))?;
        Ok(Self { source, values, set, model, inputs, travel, pose, factored })
    }

    /// Which state it stands in.
    pub const fn state(&self) -> State {
        self.source.state
    }

    /// The same at other values of the inputs, in their order: model and pose alone.
    pub fn at(&self, values: &Arc<[f64]>) -> Result<Stands, NoAnswer> {
        let (model, travel) = self.with(values)?;
        let pose = solve_near(&model, travel, &self.pose)?;
        Ok((model, pose))
    }

    /// The model of other values, and its wheel travels.
    pub(super) fn with(
        &self,
        values: &Arc<[f64]>,
    ) -> Result<(Box<AxleModel<f64>>, Travel), ModelError> {
        let model = AxleModel::read(&self.source, &mut Reader::plain().with(Some(values)))?;
        let travel = [0, 1].map(|i| self.set[i].unwrap_or(model.ride[i]));
        Ok((model, travel))
    }

    /// Goes to where [`Posed::at`] found it to stand.
    pub fn move_to(&mut self, values: Arc<[f64]>, (model, pose): Stands) -> Result<(), NoAnswer> {
        self.factored = factored(&model, &pose).ok_or(Unreachable::Loose(Freedom::NONE))?;
        self.travel = [0, 1].map(|i| self.set[i].unwrap_or(model.ride[i]));
        (self.values, self.model, self.pose) = (Some(values), model, pose);
        Ok(())
    }

    /// Everything with its derivative by the input of this index; by none past the last.
    pub fn following(&self, index: usize) -> Result<Followed, ModelError> {
        let mut reader = Reader::following(index).with(self.values.as_ref());
        let model = AxleModel::<Dual64>::read(&self.source, &mut reader)?;
        // A travel set by hand is exact; at ride it follows the measured lift.
        let travel = [0, 1].map(|i| self.set[i].map_or_else(|| model.ride[i], Dual64::from));
        let (pose, step) = with_slopes(&model, travel, &self.pose, &self.model, &self.factored);
        Ok(Followed { model, travel, pose, step })
    }
}

/// The inputs' own values, and in place of those that `joint` knows the best values there.
fn best_values(inputs: &[Input], joint: &Joint) -> Arc<[f64]> {
    let best =
        |input: &Input| joint.position(&input.path).and_then(|at| joint.values().get(at)).copied();
    inputs.iter().map(|input| best(input).unwrap_or(input.value)).collect()
}
