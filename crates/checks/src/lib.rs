//! The rest of the truck: one small room for each check that a lift or a tire change touches.
//!
//! A room is a [`Card`]: what it asks, what it answers, with formula, source and cautions. Each is a
//! text under `cards/` (see `text.rs`), its formulas written once and both worked out and printed
//! (`formula.rs`). Every answer carries its uncertainty and the input it hangs on, by exact slopes.

#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod card;
mod drawing;
mod find;
mod formula;
mod from_line;
mod from_scale;
mod from_truck;
mod of_truck;
mod overlay;
mod quantity;
mod read;
mod text;

use std::sync::LazyLock;

pub use card::{Answered, Card, CardError, Entry, Field, Kind, Line};
pub use drawing::{Dimension, Drawing, Thing};
pub use find::find;
pub use from_truck::Told;
pub use of_truck::{OfTruck, of_truck};
pub use quantity::Quantity;

/// The cards' texts, in reading order.
const TEXTS: [&str; 21] = [
    include_str!("cards/tires.txt"),
    include_str!("cards/tire-load.txt"),
    include_str!("cards/gearing.txt"),
    include_str!("cards/driveline.txt"),
    include_str!("cards/angles.txt"),
    include_str!("cards/stability.txt"),
    include_str!("cards/cg-height.txt"),
    include_str!("cards/roll.txt"),
    include_str!("cards/ride.txt"),
    include_str!("cards/hub.txt"),
    include_str!("cards/pattern.txt"),
    include_str!("cards/bolts.txt"),
    include_str!("cards/toe.txt"),
    include_str!("cards/caster-sweep.txt"),
    include_str!("cards/turning.txt"),
    include_str!("cards/hose.txt"),
    include_str!("cards/loads.txt"),
    include_str!("cards/bracket.txt"),
    include_str!("cards/weld.txt"),
    include_str!("cards/welder.txt"),
    include_str!("cards/work-sheet.txt"),
];

/// Every card, in reading order. A text that did not read would be left out; a test sees to it that
/// none is.
pub static ALL: LazyLock<Vec<Card>> =
    LazyLock::new(|| TEXTS.iter().filter_map(|text| text::card(text).ok()).collect());

/// The card of a name.
pub fn card(slug: &str) -> Option<&'static Card> {
    ALL.iter().find(|card| card.slug == slug)
}

#[cfg(test)]
mod tests {
    use super::*;
    use fitment::measure::Known;
    use std::collections::BTreeSet;

    #[test]
    fn every_text_reads() {
        for text in TEXTS {
            let name = text.lines().next().unwrap();
            if let Err(line) = text::card(text) {
                panic!("{name}, about line {line}");
            }
        }
        assert_eq!(ALL.len(), TEXTS.len());
    }

    /// A card whose answers bear on what can kill has a caution that names it and says who or what
    /// decides.
    #[test]
    fn what_can_kill_is_cautioned_about() {
        let dangers: [(&[&str], &[&str]); 5] = [
            (
                &["steer", "caster", "toe", "trail", "panhard"],
                &["steer", "alignment", "lock to lock"],
            ),
            (&["brake hose", "brake torque", "braking force"], &["brake"]),
            (
                &["wheel bearing", "stud", "bolt pattern", "tire load", "tire size", "offset"],
                &["wheel", "tire", "stud", "rim"],
            ),
            (&["weld"], &["weld"]),
            (&["center of gravity", "stability", "breakover", "ramp"], &["roll"]),
        ];
        let decides =
            ["licensed", "qualified", "inspect", "local", "maker", "before", "workshop", "must be"];
        for card in ALL.iter() {
            let answered = card.answer(&card.start()).unwrap();
            let labels = answered.lines.iter().map(|line| line.label);
            let about = [card.title, card.about].into_iter().chain(labels);
            let about = about.collect::<Vec<_>>().join(" ").to_lowercase();
            let cautions = card.cautions.join(" ").to_lowercase();
            let says = |words: &[&str]| words.iter().any(|word| cautions.contains(word));
            for (signs, names) in dangers {
                if signs.iter().any(|sign| about.contains(sign)) {
                    assert!(says(names), "{} bears on {signs:?}", card.slug);
                }
            }
            assert!(says(&decides), "{}", card.slug);
        }
    }

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
        for card in ALL.iter() {
            let keys: BTreeSet<&str> = card.fields.iter().map(|field| field.key).collect();
            assert_eq!(keys.len(), card.fields.len(), "{}", card.slug);
            let answered = card.answer(&card.start()).unwrap();
            let keys: BTreeSet<&str> = answered.lines.iter().map(|line| line.key).collect();
            assert_eq!(keys.len(), answered.lines.len(), "{}", card.slug);
            assert!(!card.cautions.is_empty() && !card.words.is_empty(), "{}", card.slug);
            for field in &card.fields {
                assert!(!field.help.is_empty() && !field.label.is_empty(), "{}", field.key);
            }
        }
    }

    #[test]
    fn the_ends_of_every_range_are_answered() {
        for card in ALL.iter() {
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
        for card in ALL.iter() {
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
        for card in ALL.iter() {
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
