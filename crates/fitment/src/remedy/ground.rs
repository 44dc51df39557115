//! What plans are tried on: the truck as it was entered, or, where its axle was read, as the readings say
//! it is.

use super::plan::Plan;
use crate::{
    axle::{Answer, NoAnswer, answer_under},
    calibrate::{CalibrateError, Log, answer_surely_under, calibrate},
    measure::Joint,
    truck::{End, State, Truck},
};
use std::sync::Arc;

/// A truck to try plans on.
#[derive(Debug, Clone)]
pub struct Ground {
    /// It, with the best values there are.
    pub truck: Truck,
    /// Which axle of it.
    pub end: End,
    /// Why readings there are were not heeded; what was entered stands then.
    pub unheeded: Option<CalibrateError>,
    joint: Option<Arc<Joint>>,
}

impl Ground {
    /// Fits the axle to what was read of it, where that is anything.
    pub fn of(truck: &Truck, end: End, log: &Log) -> Self {
        let fitted = log.reads(end).then(|| calibrate(truck, end, log));
        let (truck, joint, unheeded) = match fitted {
            Some(Ok(fitted)) => (fitted.truck, Some(fitted.joint), None),
            Some(Err(why)) => (truck.clone(), None, Some(why)),
            None => (truck.clone(), None, None),
        };
        Self { truck, end, unheeded, joint }
    }

    /// The axle at rest in a state.
    ///
    /// # Errors
    /// When it does not stand.
    pub fn answer(&self, state: State) -> Result<Answer, NoAnswer> {
        answer_under(&self.truck, (self.end, state), [None; 2], 0.0, self.joint.as_ref())
    }

    /// The same with how sure every output is where slopes do not tell.
    ///
    /// # Errors
    /// When it does not stand.
    pub fn answer_surely(&self, state: State) -> Result<Answer, NoAnswer> {
        answer_surely_under(&self.truck, (self.end, state), self.joint.as_ref())
    }

    /// The axle at rest with a plan in its planned state, and how sure every output is where slopes do
    /// not tell.
    ///
    /// # Errors
    /// When it does not stand, which a solved plan's does.
    pub fn with(&self, plan: &Plan) -> Result<Answer, NoAnswer> {
        // What was read of the parts that are planned now says nothing of another plan's.
        let of_parts = |joint: &&Arc<Joint>| {
            joint.names().iter().any(|name| name.starts_with("planned.parts"))
        };
        let joint = self.joint.as_ref().filter(|joint| !of_parts(joint));
        let truck = plan.planned_on(&self.truck, self.end);
        answer_surely_under(&truck, (self.end, State::Planned), joint)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Output, answer},
        calibrate::{Kind, Member, Set, Taken},
        finding::Band,
        remedy::{Target, odds},
        source::Source,
    };

    #[test]
    fn what_was_read_is_what_plans_are_tried_on_and_how_sure_they_are() {
        let truck = Truck::example();
        let end = End::Front;
        let bare = Ground::of(&truck, end, &Log::default());
        let entered = answer(&truck, end, State::Sitting).unwrap();
        assert_eq!(bare.answer(State::Sitting).unwrap().attitude, entered.attitude);
        // The bar's rise, read 12 mm beyond what the numbers come to.
        let rise = entered.attitude.get(Output::Panhard).unwrap().to_radians().tan() * 850.0;
        let taken = Taken::once(Kind::Rise(Member::Panhard), rise + 12.0);
        let mut log = Log::default();
        log.sets.push(Set::of(State::Sitting, vec![taken]));
        let read = Ground::of(&truck, end, &log);
        let now = read.answer(State::Sitting).unwrap();
        let (was, is) = (entered.sigma.get(Output::Panhard), now.sigma.get(Output::Panhard));
        assert!(is < was, "{is:?} {was:?}");
        assert_ne!(now.attitude.get(Output::Panhard), entered.attitude.get(Output::Panhard));
        // One deviation either way holds 68.27 % of a normal distribution: the readings' covariance
        // is in the odds as it is in the ±.
        let sigma = is.unwrap();
        let value = now.attitude.get(Output::Panhard).unwrap();
        let band = Band {
            low: value - sigma,
            high: value + sigma,
            slack: 1.0,
            stop: (None, None),
            source: Source::Person,
            why: "",
        };
        let target = Target { output: Output::Panhard, band, weight: 1.0, must: false };
        let all = odds(&now, &read.answer(State::Stock).unwrap(), &[target], None).all;
        assert!((all - 0.6827).abs() < 0.005, "{all}");
    }
}
