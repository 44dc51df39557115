//! Why not this one: a combination picked by hand, beside what the search found.

use super::{
    front::SAME_MISS,
    plan::{Plan, Tried},
    search::Search,
    slots::{Choice, Slot, is_searched, same_slot},
    words,
};
use crate::{axle::NoAnswer, measure::System, truck::Part};

/// What there is to say about a combination picked by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct WhyNot {
    /// What it does.
    pub plan: Plan,
    /// The best plan that is nowhere worse and somewhere better; `None` when there is none.
    pub beaten_by: Option<Plan>,
    /// The one change that makes the most of it; `None` when no single change makes it better.
    pub change: Option<Change>,
}

impl WhyNot {
    /// In plain words, in the person's units.
    pub fn words(&self, system: System) -> String {
        words::why_not(self, system)
    }
}

/// One part more, less or other.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What comes off.
    pub off: Option<Part>,
    /// What goes on.
    pub on: Option<Part>,
    /// What that does.
    pub plan: Plan,
}

/// A hand-picked combination among the slots of the shelf.
struct Picked {
    bench: super::bench::Bench,
    pick: Vec<u16>,
}

impl Search {
    /// Says why a combination picked by hand is not among the best, or that it is.
    ///
    /// # Errors
    /// When a part does not fit the axle, or the axle does not stand with them.
    pub fn why_not(&self, parts: &[Part]) -> Result<WhyNot, NoAnswer> {
        let Picked { mut bench, pick } = self.picked(parts);
        let tried = bench.try_on(&pick)?;
        let mut best: Option<(usize, Tried)> = None;
        for slot in 0..pick.len() {
            for choice in 0..=bench.slots[slot].choices.len() {
                let mut other = pick.clone();
                other[slot] = u16::try_from(choice).unwrap_or(0);
                if other == pick {
                    continue;
                }
                let Ok(changed) = bench.try_on(&other) else { continue };
                let bar =
                    best.as_ref().map_or(tried.cost.score() - SAME_MISS, |b| b.1.cost.score());
                if changed.cost.score() < bar {
                    best = Some((slot, changed));
                }
            }
        }
        let part = |pick: &[u16], slot: usize| {
            let index = usize::from(*pick.get(slot)?).checked_sub(1)?;
            bench.slots.get(slot)?.choices.get(index).map(|choice| choice.part.clone())
        };
        let change = best.map(|(slot, changed)| {
            // As it was set, not as it lies on the shelf.
            let on = bench.part_of(&changed.pick, slot, &changed.stood.lengths);
            Change { off: part(&pick, slot), on, plan: changed.plan(&bench, self.before(), None) }
        });
        let plan = tried.plan(&bench, self.before(), None);
        let beats = |other: &Plan| other.covers(&plan) && !plan.covers(other);
        let beaten_by = self.so_far().front.into_iter().find(beats);
        Ok(WhyNot { plan, beaten_by, change })
    }

    /// Hand-picked parts among the shelf's slots, with what the shelf does not have added to them.
    fn picked(&self, parts: &[Part]) -> Picked {
        let mut bench = self.bench().clone();
        let mut pick = vec![0; bench.slots.len()];
        for part in parts.iter().filter(|part| is_searched(part)) {
            let kind = |slot: &Slot| slot.choices.iter().any(|c| same_slot(&c.part, part));
            let slot = bench.slots.iter().position(kind).unwrap_or_else(|| {
                bench.open_slot(part);
                pick.push(0);
                bench.slots.len() - 1
            });
            let choices = &mut bench.slots[slot].choices;
            let known = choices.iter().position(|c| c.set.is_none() && c.part == *part);
            let at = known.unwrap_or_else(|| {
                choices.push(Choice { part: part.clone(), set: None });
                choices.len() - 1
            });
            pick[slot] = u16::try_from(at + 1).unwrap_or(0);
        }
        Picked { bench, pick }
    }
}
