//! A combination that was solved, with all that a person weighs it by.

use super::{
    bench::{Bench, Pick, Stood},
    front::Cost,
    judge::{Judged, Nearest},
    odds::{Odds, odds},
    target::{MISSED_MUST, Miss, SideEffect, Target, misses},
    words,
    work::Work,
};
use crate::{
    axle::{Answer, Attitude, Output},
    measure::System,
    truck::{End, Part, Truck},
};

/// One combination of parts with what it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Parts to fit, besides what the truck wears already.
    pub parts: Vec<Part>,
    /// Everything on the truck then, what only makes room for the tire aside.
    pub fitted: Vec<Part>,
    /// Outputs with them fitted, at the planned ride height.
    pub attitude: Attitude<f64>,
    /// Targets that it misses, musts first, then the worst.
    pub misses: Vec<Miss>,
    /// How many musts are among them.
    pub musts_missed: usize,
    /// Sum of the misses, each counted in widths of its *watch* zone by its weight, a must tenfold.
    pub total_miss: f64,
    /// The work it takes.
    pub work: Work,
    /// Targets that were in band with nothing fitted and got noticeably worse.
    pub side_effects: Vec<SideEffect>,
    /// Where its tires come nearest to anything; `None` where that is no target, is not known yet or
    /// there is nothing to clear.
    pub clearance: Option<Nearest>,
    /// Outputs with nothing fitted.
    pub(super) before: Option<Attitude<f64>>,
    pub(super) pick: Pick,
    pub(super) cost: Cost,
}

impl Plan {
    /// What the ranking goes by, least best: musts missed, then the misses, and a little for the work
    /// and for what gets worse.
    pub fn score(&self) -> f64 {
        self.cost.score()
    }

    /// The plan in plain words, in the person's units.
    pub fn words(&self, system: System) -> String {
        words::plan(self, system)
    }

    /// The truck with the plan in its planned state. What only makes room for the tire stays planned.
    pub fn planned_on(&self, truck: &Truck, end: End) -> Truck {
        let mut truck = truck.clone();
        if let Some(axle) = truck.axle_mut(end) {
            axle.planned.parts.retain(Part::makes_room);
            axle.planned.parts.extend(self.fitted.iter().cloned());
        }
        truck
    }

    /// How likely it meets its targets, the measurements being as sure as they are; `now` is the axle
    /// at rest [with it](super::Ground::with).
    pub fn odds(&self, now: &Answer, stock: &Answer, targets: &[Target]) -> Odds {
        odds(now, stock, targets, self.clearance.as_ref())
    }

    /// Whether this is nowhere worse than another: misses, work, parts and side effects.
    pub fn covers(&self, other: &Self) -> bool {
        self.cost.covers(&other.cost, 0.0)
    }
}

/// A solved combination, kept small.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    pub pick: Pick,
    pub stood: Stood,
    pub cost: Cost,
}

impl Tried {
    /// What a solved combination costs.
    pub fn of(bench: &Bench, pick: &[u16], stood: Stood) -> Self {
        let count = bench.count(&stood.attitude);
        let (work, parts) = bench.work(pick);
        let parts = u32::try_from(parts).unwrap_or(u32::MAX);
        let cost = Cost { miss: count.miss, work: work.points, parts, side: count.side };
        Self { pick: pick.to_vec(), stood, cost }
    }

    /// In full, beside the truck with nothing fitted, and as its tires were judged.
    pub fn plan(
        &self,
        bench: &Bench,
        before: Option<&Attitude<f64>>,
        judged: Option<&Judged>,
    ) -> Plan {
        let attitude = self.stood.attitude;
        let misses = misses(&bench.targets, &attitude);
        let clearance = judged.and_then(|judged| judged.nearest.clone());
        let cost = judged.map_or(self.cost, |judged| judged.cost);
        let touches = clearance.as_ref().is_some_and(|it| it.must && !it.clears());
        let musts_missed = misses.iter().filter(|miss| miss.must).count() + usize::from(touches);
        let side = |(target, scale): (&Target, &super::target::Scale)| {
            let (before, now) = (before?.get(target.output)?, attitude.get(target.output)?);
            let worse = scale.least(now, now).side > 0;
            worse.then_some(SideEffect { output: target.output, before, now })
        };
        Plan {
            parts: bench.parts(&self.pick, &self.stood.lengths),
            fitted: bench
                .fitted_parts(&self.pick, &self.stood.lengths)
                .into_iter()
                .filter(|part| !part.makes_room())
                .collect(),
            attitude,
            misses,
            musts_missed,
            total_miss: cost.miss - MISSED_MUST * musts_missed as f64,
            work: bench.work(&self.pick).0,
            side_effects: bench.targets.iter().zip(&bench.scales).filter_map(side).collect(),
            clearance,
            before: before.copied(),
            pick: self.pick.clone(),
            cost,
        }
    }
}

impl Plan {
    /// One output with the parts fitted.
    pub const fn value(&self, output: Output) -> Option<f64> {
        self.attitude.get(output)
    }
}
