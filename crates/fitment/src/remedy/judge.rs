//! The finalists under the real tire: where each comes nearest to anything, over all of its travel and
//! steer.
//!
//! A clearance takes as long as thousands of poses, so only solved combinations are judged, and of
//! those only as many as the ranking needs. Room that is missing can only add to what a combination
//! misses: its geometry alone is the least it may cost. So they are taken by that, least first; one
//! that a judged plan covers already is passed over, and it ends when as many plans as are listed stand
//! before all that is left. Combinations that the search never solved, because the geometry of another
//! is nowhere worse, are not judged: where all that was solved touches, one of them might clear.

use super::{
    bench::Bench,
    front::{Cost, front_of, thinned},
    plan::Tried,
    search::MOST_PLANS,
    target::Scale,
};
use crate::{
    clearance::{Contact, FitError, Obstacle, Options, Slow, nearest_slowly},
    finding::{Aim, Band, Severity},
    truck::{Axle, End, Part, Side, State, Truck},
};

/// Most plans judged: then the list is what it is.
pub const MOST_JUDGED: usize = 40;

/// Combinations looked at in the time of one position of a tire.
const POSITION_COST: usize = 150;

/// Where the tires come nearest to anything with a plan fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Nearest {
    /// The least clearance over all of the travel and steer, mm; negative is overlap.
    pub clearance_mm: f64,
    /// No position has less, mm.
    pub lower_mm: f64,
    /// One standard deviation, mm.
    pub sigma_mm: f64,
    /// To what.
    pub obstacle: Obstacle,
    /// What that is called.
    pub name: String,
    /// Whose tire.
    pub side: Side,
    /// What it should be.
    pub band: Band,
    /// How it is judged, taken at its best value.
    pub severity: Severity,
    /// Whether it is a must.
    pub must: bool,
    /// How it moves with each input's sigma, mm, by the input's path.
    pub(super) shares: Vec<(String, f64)>,
}

impl Nearest {
    fn of(contact: Contact, axle: Option<&Axle>, aim: &Aim) -> Self {
        let Contact { clearance_mm, lower_mm, sigma_mm, obstacle, side, shares, .. } = contact;
        let Aim { band, must, .. } = *aim;
        let severity = band.severity(clearance_mm);
        let name =
            axle.map(|axle| obstacle.name(&axle.surroundings).into_owned()).unwrap_or_default();
        Self {
            clearance_mm,
            lower_mm,
            sigma_mm,
            obstacle,
            name,
            side,
            band,
            severity,
            must,
            shares,
        }
    }

    /// Whether it is in band.
    pub fn clears(&self) -> bool {
        self.severity == Severity::InBand
    }
}

/// A finalist with what its tire adds to its cost.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    /// Its place among those tried.
    pub at: usize,
    pub cost: Cost,
    pub nearest: Option<Nearest>,
}

/// Judging under way.
#[derive(Debug, Clone)]
pub(super) struct Judge {
    truck: Truck,
    end: End,
    aim: Aim,
    scale: Scale,
    /// Those tried, the least geometry first, and how many of them are dealt with.
    order: Vec<usize>,
    next: usize,
    pub judged: Vec<Judged>,
    work: Work,
    pub done: bool,
}

/// A clearance being worked out; begun anew in a copy.
#[derive(Default)]
struct Work(Option<Slow<Result<Option<Contact>, FitError>>>);

impl Clone for Work {
    fn clone(&self) -> Self {
        Self(None)
    }
}

impl std::fmt::Debug for Work {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Work").field(&self.0.is_some()).finish()
    }
}

impl Judge {
    /// Nothing judged yet.
    pub fn new(truck: &Truck, end: End, aim: Aim) -> Self {
        Self {
            truck: truck.clone(),
            end,
            scale: Scale::of_band(&aim.band, aim.weight, aim.must),
            aim,
            order: Vec::new(),
            next: 0,
            judged: Vec::new(),
            work: Work(None),
            done: false,
        }
    }

    /// Begins with what was solved.
    pub fn take(&mut self, tried: &[Tried]) {
        let mut order: Vec<usize> = (0..tried.len()).collect();
        crate::few::sort(&mut order, &|a, b| tried[*a].cost.order(&tried[*b].cost));
        self.order = order;
        self.next = 0;
    }

    /// Goes on for about so many combinations; what it cost.
    pub fn step(&mut self, bench: &Bench, tried: &[Tried], most: usize) -> usize {
        let Some(one) = self.order.get(self.next).and_then(|at| tried.get(*at)) else {
            self.done = true;
            return 1;
        };
        if self.work.0.is_none() {
            if self.judged.iter().any(|held| held.cost.covers(&one.cost, 0.0)) {
                self.next += 1;
                return 1;
            }
            if self.judged.len() >= MOST_JUDGED || self.settled(&one.cost) {
                self.done = true;
                return 1;
            }
            let mut truck = self.truck.clone();
            if let Some(axle) = truck.axle_mut(self.end) {
                axle.planned.parts.retain(Part::makes_room);
                let fitted = bench.fitted_parts(&one.pick, &one.stood.lengths);
                axle.planned.parts.extend(fitted.into_iter().filter(|part| !part.makes_room()));
            }
            self.work.0 =
                Some(nearest_slowly(&truck, (self.end, State::Planned), &Options::coarse()));
        }
        let positions = (most / POSITION_COST).max(1);
        let answer = self.work.0.as_mut().and_then(|work| work.step(positions));
        if let Some(answer) = answer {
            self.work.0 = None;
            if matches!(answer, Err(FitError::NothingAround)) {
                // There is nothing to clear: the geometry is all there is.
                self.done = true;
                return 1;
            }
            let mut cost = one.cost;
            let axle = self.truck.axle(self.end);
            let found = answer.ok().flatten();
            let nearest = found.map(|contact| Nearest::of(contact, axle, &self.aim));
            if let Some(nearest) = &nearest {
                cost.miss += self.scale.least(nearest.clearance_mm, nearest.clearance_mm).miss;
            }
            self.judged.push(Judged { at: self.order[self.next], cost, nearest });
            self.next += 1;
        }
        positions * POSITION_COST
    }

    /// Whether as many plans as are listed stand before anything that costs at least so much.
    fn settled(&self, least: &Cost) -> bool {
        let front = front_of(&self.judged, |one| one.cost);
        let listed = thinned(&front, |at| self.judged[at].cost, MOST_PLANS);
        listed.len() >= MOST_PLANS
            && listed.iter().all(|at| self.judged[*at].cost.score() <= least.score())
    }

    /// What is known of one of those tried.
    pub fn of(&self, at: usize) -> Option<&Judged> {
        self.judged.iter().find(|one| one.at == at)
    }

    /// How many of those judged are in band.
    pub fn clear(&self) -> usize {
        let clears = |one: &&Judged| one.nearest.as_ref().is_some_and(Nearest::clears);
        self.judged.iter().filter(clears).count()
    }
}
