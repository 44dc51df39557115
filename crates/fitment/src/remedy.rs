//! Corrections: which combination of the parts on the shelf puts the geometry right.
//!
//! Every combination of holes, bushes and lengths is judged by targets at the planned ride height. A
//! length that can be set is set for what it serves on the solved pose. [`Search`] goes through all
//! of them in pieces: what each choice and each two choices do is solved (`table`), any other
//! combination is foreseen from that and passed over where it cannot be better than what is known
//! (`walk`), and what may be better is solved in full. What comes back is the front of plans that
//! no other beats on misses, work, parts and side effects.

mod bench;
mod conflict;
mod cut_list;
mod even;
mod front;
mod ground;
mod job;
mod judge;
mod odds;
mod order;
mod plan;
mod search;
mod slots;
mod table;
mod target;
mod totals;
mod walk;
mod why_not;
mod words;
mod work;

pub use conflict::{Conflict, Relax};
pub use cut_list::{Item, Length};
pub use ground::Ground;
pub use job::{Job, Totals, job, totals};
pub use judge::{MOST_JUDGED, Nearest};
pub use odds::{Odds, odds};
pub use order::{Stage, Task};
pub use plan::Plan;
pub use search::{Found, MOST_CHOICES, MOST_PLANS, Search};
pub use slots::is_searched;
pub use target::{Miss, SideEffect, Target};
pub use totals::Sum;
pub use why_not::{Change, WhyNot};
pub use work::Work;

use crate::{
    axle::{Answer, NoAnswer},
    finding,
    truck::{End, Truck},
};

/// Combinations looked at before it is asked again whether the ranking is settled.
const PIECE: usize = 10_000;

/// Ranks the combinations of the shelf's parts for an axle by the usual targets, all at once; what
/// fights is left to a [`Search`].
///
/// # Errors
/// When the axle does not read.
pub fn suggest(
    truck: &Truck,
    end: End,
    stock: &Answer,
    own: &[finding::Target],
) -> Result<Found, NoAnswer> {
    let mut search = Search::begin(truck, end, stock, &Target::usual(end, stock, own))?;
    while !search.is_settled() {
        search.step(PIECE);
    }
    Ok(search.so_far())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Output, answer},
        measure::{Known, System},
        truck::{Axle, Member, Part, State},
    };

    fn example() -> (Axle, Answer) {
        let front = Truck::example().front.unwrap();
        let stock =
            answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Stock).unwrap();
        (front, stock)
    }

    #[test]
    fn the_best_for_the_example_beats_doing_nothing() {
        let (front, stock) = example();
        let s =
            suggest(&Truck::with_axle(front.clone(), End::Front), End::Front, &stock, &[]).unwrap();
        let best = &s.ranked[0];
        let nothing =
            s.ranked.iter().find(|s| s.parts.is_empty()).expect("doing nothing is least work");
        assert!(
            best.total_miss < nothing.total_miss * 0.5,
            "{} {}",
            best.total_miss,
            nothing.total_miss
        );
        assert!(best.attitude.get(Output::LateralShift).unwrap().abs() < 1.0);
        assert!(!best.words(System::Metric).is_empty());
    }

    #[test]
    fn ranking_is_by_score_and_nothing_listed_is_beaten() {
        let (front, stock) = example();
        let s =
            suggest(&Truck::with_axle(front.clone(), End::Front), End::Front, &stock, &[]).unwrap();
        assert!(s.settled && s.proven, "{s:?}");
        assert!(s.ranked.windows(2).all(|w| w[0].score() <= w[1].score()));
        for (i, a) in s.ranked.iter().enumerate() {
            for (j, b) in s.ranked.iter().enumerate() {
                assert!(i == j || !a.covers(b), "{i} beats {j}");
            }
        }
    }

    #[test]
    fn a_search_in_pieces_comes_to_the_same_and_has_a_plan_from_the_first_piece_on() {
        let truck = Truck::example();
        let (_, stock) = example();
        let targets = Target::usual(End::Front, &stock, &[]);
        let whole = suggest(&truck, End::Front, &stock, &[]).unwrap();
        let mut search = Search::begin(&truck, End::Front, &stock, &targets).unwrap();
        let mut pieces = 0;
        let mut progress = 0.0;
        loop {
            let done = search.step(300);
            let found = search.so_far();
            assert!(!found.ranked.is_empty() && found.done == done, "{pieces}");
            assert!(found.progress >= progress, "{pieces}: {} < {progress}", found.progress);
            progress = found.progress;
            pieces += 1;
            if done {
                break;
            }
        }
        assert!(pieces > 10, "{pieces}");
        let found = search.so_far();
        assert_eq!((found.ranked, found.front), (whole.ranked, whole.front));
    }

    #[test]
    fn a_first_plan_is_there_long_before_every_pair_is_solved() {
        let truck = Truck::example();
        let (_, stock) = example();
        let targets = Target::usual(End::Front, &stock, &[]);
        let mut search = Search::begin(&truck, End::Front, &stock, &targets).unwrap();
        while !search.has_guess() {
            search.step(1);
        }
        let found = search.so_far();
        assert!(found.progress < 0.05, "{}", found.progress);
        let [first, nothing] = &found.ranked[..] else { panic!("{found:?}") };
        assert!(!first.parts.is_empty() && nothing.parts.is_empty());
        assert!(first.score() < nothing.score(), "{} {}", first.score(), nothing.score());
    }

    #[test]
    fn why_not_names_what_beats_a_pick_and_the_change_that_helps_most() {
        let truck = Truck::example();
        let (front, stock) = example();
        let targets = Target::usual(End::Front, &stock, &[]);
        let mut search = Search::begin(&truck, End::Front, &stock, &targets).unwrap();
        while !search.step(100_000) {}
        let best = search.so_far().ranked[0].clone();
        // The best as it is: nothing beats it, and no single change makes it better.
        let same = search.why_not(&best.parts).unwrap();
        assert!((same.plan.score() - best.score()).abs() < 1e-9, "{same:?}");
        assert!(same.beaten_by.is_none() && same.change.is_none(), "{same:?}");
        // What the owner had in mind: the high hole and bushes, the bar as it was.
        let owner = search.why_not(&front.planned.parts).unwrap();
        let planned = answer(&truck, End::Front, State::Planned).unwrap();
        for output in Output::ALL {
            let (a, b) = (owner.plan.value(output), planned.attitude.get(output));
            assert!(a.zip(b).is_none_or(|(a, b)| (a - b).abs() < 1e-9), "{output:?}");
        }
        let change = owner.change.expect("there is better to be had");
        assert!(change.plan.score() < owner.plan.score());
        assert!(change.off.is_some() || change.on.is_some());
        // What does not go with the axle says so.
        let upper = Part::length(Member::UpperLink, 5.0, [5.0, 5.0]);
        assert!(matches!(search.why_not(&[upper]), Err(NoAnswer::Model(_))));
    }

    #[test]
    fn a_range_that_is_no_range_is_passed_over() {
        let (mut front, stock) = example();
        let with = |range_mm| {
            let bar = Part::length(Member::Panhard, 0.0, range_mm);
            front.shelf = [bar].into_iter().collect();
            let truck = Truck::with_axle(front.clone(), End::Front);
            suggest(&truck, End::Front, &stock, &[]).unwrap()
        };
        let [none, some, fixed] = [[f64::NAN, 1.0], [-10.0, 40.0], [12.0, 12.0]]
            .map(with)
            .map(|found| found.combinations);
        // Nothing, set, at either end.
        assert!((none, some, fixed) == (1.0, 4.0, 2.0), "{none} {some} {fixed}");
    }

    #[test]
    fn a_truck_that_does_not_stand_has_no_plan_and_says_so() {
        let (mut front, stock) = example();
        front.planned.lift_mm = Known::exact(3000.0);
        let truck = Truck::with_axle(front, End::Front);
        let found = suggest(&truck, End::Front, &stock, &[]).unwrap();
        assert!(found.ranked.is_empty() && found.settled && !found.proven, "{found:?}");
    }
}
