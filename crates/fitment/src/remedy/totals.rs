//! What parts cost and how long they take, by what the person entered for each.

use crate::{
    measure::{Known, format},
    truck::{Offer, Part, Shelf},
};

/// A sum over parts, of which some may have nothing entered.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Sum {
    /// What was entered, together.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
    /// Parts it was entered for.
    pub entered: usize,
    /// Parts with nothing entered: the sum is short by theirs.
    pub missing: usize,
}

impl Sum {
    /// Of what was entered, part by part.
    pub fn of<'a>(entries: impl IntoIterator<Item = Option<&'a Known>>) -> Self {
        entries.into_iter().fold(Self::default(), |sum, entry| match entry {
            Some(known) => Self {
                value: sum.value + known.value,
                sigma: sum.sigma.hypot(known.sigma),
                entered: sum.entered + 1,
                ..sum
            },
            None => Self { missing: sum.missing + 1, ..sum },
        })
    }

    /// `330, and 1 part with none entered`; `None` where nothing at all was entered.
    pub fn words(&self) -> Option<String> {
        if self.entered == 0 {
            return None;
        }
        let sum = format::with_uncertainty(self.value, self.sigma)
            .unwrap_or_else(|| format::brief(self.value));
        Some(match self.missing {
            0 => sum,
            1 => format!("{sum}, and 1 part with none entered"),
            several => format!("{sum}, and {several} parts with none entered"),
        })
    }
}

/// The offer on a shelf that a fitted part is: whatever hole, angle, size or length it is set to.
pub(super) fn offer_of<'a>(shelf: &'a Shelf, part: &Part) -> Option<&'a Offer> {
    shelf.parts.iter().find(|offer| part.comes_from(&offer.part))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::{Member, Truck, Turning};

    #[test]
    fn what_has_no_price_is_counted_and_not_guessed() {
        let [a, b] = [Known::published(120.0, 3.0), Known::published(180.0, 4.0)];
        let sum = Sum::of([Some(&a), None, Some(&b)]);
        assert_eq!((sum.value, sum.sigma, sum.entered, sum.missing), (300.0, 5.0, 2, 1));
        assert_eq!(sum.words().unwrap(), "300 ± 5, and 1 part with none entered");
        assert_eq!(Sum::of([None, None]).words(), None);
        assert_eq!(Sum::of([Some(&Known::exact(6.5))]).words().unwrap(), "6.5");
    }

    #[test]
    fn a_part_is_its_offer_however_it_is_set() {
        let shelf = Truck::example().front.unwrap().shelf;
        for offer in &shelf.parts {
            let set = match offer.part.clone() {
                Part::Bracket { moves, holes, .. } => Part::bracket(moves, holes, 1),
                Part::Length { of, range_mm, .. } => Part::length(of, 7.3, range_mm),
                Part::Turn { by, choices_deg, .. } => Part::turn(by, 3.0, choices_deg),
                Part::Step { of, choices_mm, .. } => Part::step(of, 31.75, choices_mm),
                other => other,
            };
            assert_eq!(offer_of(&shelf, &set), Some(offer));
        }
        // What cannot be set is what it is, though the search knows its number exactly.
        let wedge =
            |deg: Known| Part::Turn { by: Turning::Wedge, angle_deg: deg, choices_deg: vec![] };
        let two: Shelf = [wedge(Known::published(2.0, 0.1)), wedge(Known::published(3.0, 0.1))]
            .into_iter()
            .collect();
        assert_eq!(offer_of(&two, &wedge(Known::exact(3.0))), two.parts.get(1));
        assert_eq!(offer_of(&two, &wedge(Known::exact(4.0))), None);
        // A bar of another thread, bushes sold in other angles: not these.
        assert_eq!(offer_of(&shelf, &Part::length(Member::Panhard, 7.3, [-5.0, 5.0])), None);
        assert_eq!(offer_of(&shelf, &Part::turn(Turning::CasterBush, 2.0, vec![2.0])), None);
    }
}
