//! What plans are compared by, and the front of those that no other beats.

use crate::few;
use std::cmp::Ordering;

/// What a plan costs, each the less the better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cost {
    /// Misses, musts first.
    pub miss: f64,
    /// Points of work.
    pub work: u32,
    /// Parts to fit.
    pub parts: u32,
    /// Targets that got worse.
    pub side: u32,
}

/// What a point of work weighs against a miss: a bolt-on is worth a twentieth of a watch zone.
const WORK_WEIGHT: f64 = 0.05;
/// What a side effect weighs.
const SIDE_WEIGHT: f64 = 0.05;
/// Misses this near each other, in watch zones, are the same to a builder: more work for less gain
/// than this is not suggested.
pub(super) const SAME_MISS: f64 = 0.02;

impl Cost {
    /// What the ranking goes by, least best: the misses, and a little for work and side effects.
    pub fn score(&self) -> f64 {
        self.miss + WORK_WEIGHT * f64::from(self.work) + SIDE_WEIGHT * f64::from(self.side)
    }

    /// Whether this is nowhere worse than another, misses as near as `same` being alike.
    pub fn covers(&self, other: &Self, same: f64) -> bool {
        self.miss <= other.miss + same
            && self.work <= other.work
            && self.parts <= other.parts
            && self.side <= other.side
    }

    /// The order of the ranking.
    pub fn order(&self, other: &Self) -> Ordering {
        self.score()
            .total_cmp(&other.score())
            .then(self.work.cmp(&other.work))
            .then(self.parts.cmp(&other.parts))
            .then(self.side.cmp(&other.side))
    }
}

/// Costs of which none covers another, the least score first.
#[derive(Debug, Clone, Default)]
pub(super) struct Front {
    pub costs: Vec<Cost>,
}

impl Front {
    /// Whether one of them covers a cost.
    #[inline]
    pub fn covers(&self, cost: &Cost) -> bool {
        self.costs.iter().any(|held| held.covers(cost, 0.0))
    }

    /// Takes a cost in, in place of those it covers; false when one covers it already.
    pub fn take(&mut self, cost: Cost) -> bool {
        if self.covers(&cost) {
            return false;
        }
        self.costs.retain(|held| !cost.covers(held, 0.0));
        let at =
            self.costs.iter().take_while(|held| held.order(&cost) != Ordering::Greater).count();
        self.costs.insert(at, cost);
        true
    }
}

/// Of things with their costs, those on the front: the first of equals, the least score first.
pub(super) fn front_of<T>(things: &[T], cost: impl Fn(&T) -> Cost) -> Vec<usize> {
    let mut order: Vec<usize> = (0..things.len()).collect();
    few::sort(&mut order, &|a, b| cost(&things[*a]).order(&cost(&things[*b])));
    let mut front: Vec<usize> = Vec::new();
    for at in order {
        let one = cost(&things[at]);
        // A cost that covers another never comes after it in the order.
        if !front.iter().any(|held| cost(&things[*held]).covers(&one, 0.0)) {
            front.push(at);
        }
    }
    front
}

/// Of a front, what is worth showing: nothing that costs more for no gain a builder would notice.
pub(super) fn thinned(front: &[usize], cost: impl Fn(usize) -> Cost, most: usize) -> Vec<usize> {
    let mut kept: Vec<usize> = Vec::new();
    for at in front {
        if kept.len() < most && !kept.iter().any(|held| cost(*held).covers(&cost(*at), SAME_MISS)) {
            kept.push(*at);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cost(miss: f64, work: u32) -> Cost {
        Cost { miss, work, parts: 1, side: 0 }
    }

    #[test]
    fn the_front_holds_what_no_other_beats() {
        let mut front = Front::default();
        assert!(front.take(cost(1.0, 4)));
        assert!(!front.take(cost(1.0, 5)), "more work for nothing");
        assert!(front.take(cost(2.0, 1)));
        assert!(front.take(cost(0.5, 4)), "less of a miss for the same work");
        assert_eq!(front.costs.len(), 2);
        let all = [cost(1.0, 4), cost(1.0, 5), cost(2.0, 1), cost(0.5, 4)];
        assert_eq!(front_of(&all, |c| *c), vec![3, 2]);
    }

    #[test]
    fn work_for_less_than_is_noticed_is_not_shown() {
        let all = [cost(1.0, 1), cost(0.99, 4), cost(0.5, 5)];
        let front = front_of(&all, |c| *c);
        assert_eq!(front.len(), 3);
        assert_eq!(thinned(&front, |at| all[at], 10), vec![2, 0]);
        assert_eq!(thinned(&front, |at| all[at], 1), vec![2]);
    }
}
