//! The one place where a tire comes nearest to anything: all that a plan is judged by.

use super::bracket::{Bracket, Continuum};
use super::contact::Contact;
use super::domain::Options;
use super::fit::{BRACKET_MM, FitError, Setting};
use super::lattice::Lattice;
use super::map::Sweep;
use super::slow::{Pace, Slow, at_once};
use super::study::swept;
use crate::few::sort_few;
use crate::truck::{End, Side, State, Truck};

/// The least of all the contacts that [`fit`](super::fit) finds, in a fraction of its time: of any
/// other thing it is only made certain that it is no nearer. `None` where the axle reaches nothing.
///
/// # Errors
/// As [`fit`](super::fit).
pub fn nearest(
    truck: &Truck,
    at: (End, State),
    options: &Options,
) -> Result<Option<Contact>, FitError> {
    at_once(|pace| work(truck.clone(), at, options.clone(), pace))
}

/// The same a little at a time.
pub fn nearest_slowly(
    truck: &Truck,
    at: (End, State),
    options: &Options,
) -> Slow<Result<Option<Contact>, FitError>> {
    let (truck, options) = (truck.clone(), options.clone());
    Slow::new(|pace| work(truck, at, options, pace))
}

async fn work(
    truck: Truck,
    (end, state): (End, State),
    options: Options,
    pace: Pace,
) -> Result<Option<Contact>, FitError> {
    options.check()?;
    let setting = Setting::of(&truck, end, state, &options)?;
    let Setting { motion, around, .. } = &setting;
    let coarse = swept(&setting, Sweep::new(motion, around, &options), &pace).await;
    if coarse.stations.is_empty()
        && let Some(why) = coarse.unreachable.1
    {
        return Err(FitError::Unreachable(why));
    }
    let mut all: Vec<_> = Side::BOTH
        .into_iter()
        .flat_map(|side| {
            let hints = coarse.worst[side.index()].iter().enumerate();
            hints.map(move |(obstacle, hint)| (side, obstacle, *hint))
        })
        .collect();
    // What seems nearest first: it settles most others at a glance.
    let seems = |hint: &Option<_>| {
        hint.as_ref().map_or(f64::INFINITY, |hint: &super::bracket::Reached| hint.clearance)
    };
    sort_few(&mut all, |a, b| seems(&a.2).total_cmp(&seems(&b.2)));
    let mut lattice = Lattice::new(motion);
    let continuum = &mut Continuum::new(motion, around, &mut lattice, &pace);
    let mut least: Option<(Side, usize, Bracket)> = None;
    let mut ceiling = f64::INFINITY;
    for (side, obstacle, hint) in all {
        let found = continuum.least(side, obstacle, (BRACKET_MM, ceiling), hint).await;
        if let Some(reached) = found.found.filter(|reached| reached.clearance < ceiling) {
            ceiling = reached.clearance;
            least = Some((side, obstacle, found));
        }
    }
    let Some((side, obstacle, bracket)) = least else { return Ok(None) };
    Ok(setting.contact_at(continuum, (side, obstacle), &bracket).await)
}

#[cfg(test)]
mod tests {
    use super::super::fit;
    use super::*;

    #[test]
    fn it_is_the_first_contact_of_a_whole_fit() {
        let options = Options::coarse();
        for (end, state) in [(End::Front, State::Stock), (End::Front, State::Planned)] {
            let truck = Truck::example();
            let whole = fit(&truck, end, state, &options).unwrap();
            let found = nearest(&truck, (end, state), &options).unwrap().unwrap();
            let want = &whole.contacts[0];
            assert_eq!((found.obstacle, found.side), (want.obstacle, want.side));
            assert!((found.clearance_mm - want.clearance_mm).abs() < 0.05, "{found:?} {want:?}");
            assert!((found.sigma_mm - want.sigma_mm).abs() < 0.2, "{found:?} {want:?}");
            let mut slow = nearest_slowly(&truck, (end, state), &options);
            let stepped = std::iter::repeat_with(|| slow.step(20)).flatten().next().unwrap();
            assert_eq!(stepped.unwrap().unwrap(), found);
        }
    }

    #[test]
    fn nothing_to_clear_is_said() {
        let mut truck = Truck::example();
        truck.front.as_mut().unwrap().surroundings = crate::truck::Surroundings::default();
        let found = nearest(&truck, (End::Front, State::Planned), &Options::coarse());
        assert!(matches!(found, Err(FitError::NothingAround)), "{found:?}");
    }
}
