//! How a wheel and what carries it shift with each of the axle's own inputs, the wheels' travels held.

use super::{
    attitude::lower_members,
    model::{AxleModel, ModelError, Source},
    pose::{Body, Pose},
    reader::{Input, Reader},
    real::Real,
    solve::{Travel, factored, with_slopes},
    wheel::WheelPose,
};
use crate::truck::{End, Side, State, Truck};
use nalgebra::Vector3;
use num_dual::Dual64;
use std::cell::OnceCell;

/// Slopes by one input, per unit of it.
#[derive(Debug, Clone)]
pub(crate) struct Moves {
    pub input: Input,
    /// The wheel's centre and its spin axis.
    centre: Vector3<f64>,
    outboard: Vector3<f64>,
    /// The axle.
    axle: Body<f64>,
    /// The side's lower member: its axle end and its chassis end.
    arm: [Vector3<f64>; 2],
}

/// An axle in a state by each of its inputs: read where that is asked for first, and kept for every pose
/// after.
pub(crate) struct ByInput {
    plain: Box<AxleModel<f64>>,
    inputs: Vec<Input>,
    models: Vec<OnceCell<Option<Box<AxleModel<Dual64>>>>>,
}

impl ByInput {
    /// # Errors
    /// When the axle does not read.
    pub fn of(truck: &Truck, end: End, state: State) -> Result<Self, ModelError> {
        let (plain, inputs) = Source::of(truck, end, state)?.inputs(None)?;
        let models = inputs.iter().map(|_| OnceCell::new()).collect();
        Ok(Self { plain, inputs, models })
    }

    /// The axle with its slopes by the input of this index.
    fn model(&self, source: &Source, index: usize) -> Option<&AxleModel<Dual64>> {
        let read = || AxleModel::read(source, &mut Reader::following(index)).ok();
        self.models.get(index)?.get_or_init(read).as_deref()
    }
}

/// One wheel at one pose.
#[derive(Clone, Copy)]
pub(crate) struct At<'a> {
    pub truck: &'a Truck,
    pub end: End,
    pub state: State,
    /// The same axle by its inputs.
    pub by_input: &'a ByInput,
    pub travel: Travel,
    pub pose: &'a Pose<f64>,
    pub side: Side,
    /// Steer of the wheel about its own axis, rad.
    pub steer: f64,
}

impl Moves {
    /// Of a point of the tire, as it slides with the tire's surface: the wheel may spin.
    pub fn of_tire(&self, wheel: &WheelPose<f64>, point: &Vector3<f64>) -> Vector3<f64> {
        let turn = wheel.outboard.cross(&self.outboard);
        self.centre + turn.cross(&(point - wheel.centre))
    }

    /// Of a point that the axle carries, where it stands now.
    pub fn of_axle(&self, axle: &Body<f64>, point: &Vector3<f64>) -> Vector3<f64> {
        let stock = axle.turn.tr_mul(&(point - axle.shift));
        self.axle.shift + self.axle.turn * stock
    }

    /// Of a point of the lower member, so far along from its axle end.
    pub fn of_arm(&self, share: f64) -> Vector3<f64> {
        self.arm[0].lerp(&self.arm[1], share)
    }
}

/// Slopes by every input that is not certain, each worked out when it is asked for; none where the
/// axle is not held every way.
pub(crate) fn moves<'a>(at: &'a At<'a>) -> Box<dyn Iterator<Item = Moves> + 'a> {
    let ByInput { plain, inputs, .. } = at.by_input;
    let ready = || {
        let source = Source::of(at.truck, at.end, at.state).ok()?;
        Some((source, factored(plain, at.pose)?))
    };
    // In a box: what it keeps is large for a search that rests meanwhile.
    Box::new(ready().into_iter().flat_map(move |(source, factored)| {
        let unsure = inputs.iter().enumerate().filter(|(_, input)| input.sigma > 0.0);
        unsure.filter_map(move |(index, input)| {
            let dual = at.by_input.model(&source, index)?;
            let (posed, _) =
                with_slopes(dual, at.travel.map(Dual64::from), at.pose, plain, &factored);
            let wheel = dual.wheel(&posed, at.side, Dual64::from(at.steer));
            let slope = |v: Vector3<Dual64>| v.map(Real::slope);
            let (from, to) = lower_members(dual, &posed)[at.side.index()];
            Some(Moves {
                input: input.clone(),
                centre: slope(wheel.centre),
                outboard: slope(wheel.outboard),
                axle: Body {
                    shift: slope(posed.axle.shift),
                    turn: posed.axle.turn.map(Real::slope),
                },
                arm: [slope(from), slope(to)],
            })
        })
    }))
}
