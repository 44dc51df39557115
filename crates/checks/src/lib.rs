//! The rest of the truck: one small room for each check that a lift or a tire change touches.
//!
//! A room is a [`Card`]: what it asks, what it answers, with formula, source and cautions. Every
//! answer carries its uncertainty and the input it hangs on, by exact slopes (dual numbers).

#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod angles;
mod bolts;
mod bracket;
mod card;
mod caster;
mod cg;
mod drawing;
mod driveline;
mod find;
mod from_truck;
mod gearing;
mod hose;
mod hub;
mod loads;
mod of_truck;
mod pattern;
mod quantity;
mod read;
mod ride;
mod roll;
mod shared;
mod stability;
mod tire_load;
mod tires;
mod toe;
mod turning;
mod weld;
mod welder;
mod work_sheet;

pub use card::{Answered, Card, CardError, Entry, Field, Given, Kind, Line, Report, Tire};
pub use drawing::{Dimension, Drawing, Thing};
pub use find::find;
pub use from_truck::Told;
pub use of_truck::{OfTruck, of_truck};
pub use quantity::Quantity;

/// Every card, in reading order.
pub const ALL: &[&Card] = &[
    &tires::CARD,
    &tire_load::CARD,
    &gearing::CARD,
    &driveline::CARD,
    &angles::CARD,
    &stability::CARD,
    &cg::CARD,
    &roll::CARD,
    &ride::CARD,
    &hub::CARD,
    &pattern::CARD,
    &bolts::CARD,
    &toe::CARD,
    &caster::CARD,
    &turning::CARD,
    &hose::CARD,
    &loads::CARD,
    &bracket::CARD,
    &weld::CARD,
    &welder::CARD,
    &work_sheet::CARD,
];

/// The card of a name.
pub fn card(slug: &str) -> Option<&'static Card> {
    ALL.iter().copied().find(|card| card.slug == slug)
}

#[cfg(test)]
mod tests {
    use super::*;
    use fitment::measure::Known;
    use std::collections::BTreeSet;

    /// What a card starts from, without any doubt.
    fn exact(card: &Card) -> Vec<Entry> {
        let mut entries = card.start();
        for entry in &mut entries {
            if let Entry::Number(known) = entry {
                *known = Known::exact(known.value);
            }
        }
        entries
    }

    fn numbers(card: &Card) -> impl Iterator<Item = (usize, f64, [f64; 2])> {
        card.fields.iter().enumerate().filter_map(|(at, field)| match &field.kind {
            Kind::Number { start, range, .. } => Some((at, start.value, *range)),
            _ => None,
        })
    }

    #[test]
    fn names_are_single_and_words_are_there() {
        let slugs: BTreeSet<&str> = ALL.iter().map(|card| card.slug).collect();
        assert_eq!(slugs.len(), ALL.len());
        for card in ALL {
            let keys: BTreeSet<&str> = card.fields.iter().map(|field| field.key).collect();
            assert_eq!(keys.len(), card.fields.len(), "{}", card.slug);
            let answered = card.answer(&card.start()).unwrap();
            let keys: BTreeSet<&str> = answered.lines.iter().map(|line| line.key).collect();
            assert_eq!(keys.len(), answered.lines.len(), "{}", card.slug);
            assert!(!card.cautions.is_empty() && !card.words.is_empty(), "{}", card.slug);
            for field in card.fields {
                assert!(!field.help.is_empty() && !field.label.is_empty(), "{}", field.key);
            }
        }
    }

    #[test]
    fn the_ends_of_every_range_are_answered() {
        for card in ALL {
            for (at, _, range) in numbers(card) {
                for end in range {
                    let mut entries = card.start();
                    entries[at] = Entry::Number(Known::published(end, 0.1));
                    let answered = card.answer(&entries).unwrap();
                    for line in answered.lines {
                        let what = format!("{} {} = {end}: {}", card.slug, at, line.key);
                        assert!(line.sigma.is_finite(), "{what}");
                        // What has no value is not judged.
                        assert!(line.value.is_some() || line.verdict.is_none(), "{what}");
                    }
                }
            }
        }
    }

    #[test]
    fn every_choice_is_answered() {
        for card in ALL {
            for (at, field) in card.fields.iter().enumerate() {
                let Kind::Choice(options) = &field.kind else { continue };
                for index in 0..options.len() {
                    let mut entries = card.start();
                    entries[at] = Entry::Choice(index);
                    let answered = card.answer(&entries).unwrap();
                    for line in answered.lines {
                        assert!(line.value.is_some(), "{} {index}: {}", card.slug, line.key);
                    }
                }
            }
        }
    }

    /// The spread of an answer is the slope, which a difference of two answers gives as well.
    #[test]
    fn spreads_follow_the_slopes() {
        let mut compared = 0;
        for card in ALL {
            for (at, value, [least, most]) in numbers(card) {
                let step = 1e-4 * (most - least).min(1.0);
                // A little inside, where both ways are open and no corner is.
                let middle = (value + 0.003 * (most - least)).clamp(least + step, most - step);
                let with = |value: f64, sigma: f64| {
                    let mut entries = exact(card);
                    entries[at] = Entry::Number(Known::published(value, sigma));
                    card.answer(&entries).unwrap().lines
                };
                let tires = with(middle, 0.0);
                let (below, above) = (with(middle - step, 0.0), with(middle + step, 0.0));
                for (i, line) in with(middle, 1.0).iter().enumerate() {
                    let (Some(a), Some(b)) = (below[i].value, above[i].value) else { continue };
                    let slope = (b - a) / (2.0 * step);
                    let own = (line.sigma.powi(2) - tires[i].sigma.powi(2)).max(0.0).sqrt();
                    let tolerance = 1e-3 * slope.abs() + 1e-6 * line.value.unwrap().abs() + 1e-9;
                    let what = format!("{} {}: {}", card.slug, card.fields[at].key, line.key);
                    assert!((own - slope.abs()).abs() <= tolerance, "{what}: {own}, not {slope}");
                    compared += 1;
                }
            }
        }
        assert!(compared > 1000, "{compared}");
    }
}
