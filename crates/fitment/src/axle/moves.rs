//! How a wheel and what carries it shift with each of the axle's own inputs, the wheels' travels held.

use super::{
    attitude::lower_members,
    model::{AxleModel, Source},
    pose::{Body, Pose},
    reader::{Input, Reader},
    real::Real,
    solve::{Travel, factored, with_slopes},
    wheel::WheelPose,
};
use crate::truck::{End, Side, State, Truck};
use nalgebra::Vector3;
use num_dual::Dual64;

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

/// One wheel at one pose.
#[derive(Debug, Clone, Copy)]
pub(crate) struct At<'a> {
    pub truck: &'a Truck,
    pub end: End,
    pub state: State,
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
    let ready = || {
        let source = Source::of(at.truck, at.end, at.state).ok()?;
        let (model, inputs) = source.inputs(None).ok()?;
        let factored = factored(&model, at.pose)?;
        Some((source, model, factored, inputs))
    };
    // In a box: what it keeps is large for a search that rests meanwhile.
    Box::new(ready().into_iter().flat_map(move |(source, model, factored, inputs)| {
        let unsure = inputs.into_iter().enumerate().filter(|(_, input)| input.sigma > 0.0);
        unsure.filter_map(move |(index, input)| {
            let dual = AxleModel::<Dual64>::read(&source, &mut Reader::following(index)).ok()?;
            let (posed, _) =
                with_slopes(&dual, at.travel.map(Dual64::from), at.pose, &model, &factored);
            let wheel = dual.wheel(&posed, at.side, Dual64::from(at.steer));
            let slope = |v: Vector3<Dual64>| v.map(Real::slope);
            let (from, to) = lower_members(&dual, &posed)[at.side.index()];
            Some(Moves {
                input,
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
