//! Any card with any entries in range: it answers, and doubt adds up as it should.

use checks::{ALL, Answered, Card, Entry, Kind};
use fitment::measure::Known;
use proptest::prelude::*;

/// A card's entries at these parts of their ranges, each with this share of its range as doubt.
fn entries(card: &Card, parts: &[f64], doubt: f64) -> Vec<Entry> {
    let parts = parts.iter().cycle();
    let entry = |(field, part): (&checks::Field, &f64)| match &field.kind {
        Kind::Number { range: [least, most], .. } => {
            let wide = most - least;
            Entry::Number(Known::published((least + part * wide).min(*most), doubt * wide))
        }
        Kind::Choice(options) => {
            let share = part * options.len() as f64;
            Entry::Choice((0..options.len()).rev().find(|at| *at as f64 <= share).unwrap_or(0))
        }
        Kind::Tire(size) => Entry::Tire((*size).to_owned()),
    };
    card.fields.iter().zip(parts).map(entry).collect()
}

fn answer(card: &Card, parts: &[f64], doubt: f64) -> Answered {
    let found = card.answer(&entries(card, parts, doubt));
    found.unwrap_or_else(|error| panic!("{}: {error}", card.slug))
}

proptest! {
    /// No entry in range makes a card panic, judge what has no value, or give a doubt that is none.
    #[test]
    fn any_entries_are_answered(parts in prop::collection::vec(0.0..=1.0_f64, 24)) {
        for card in ALL.iter() {
            for line in answer(card, &parts, 0.01).lines {
                prop_assert!(line.sigma.is_finite() && line.sigma >= 0.0, "{} {}", card.slug, line.key);
                prop_assert!(line.value.is_some() || line.verdict.is_none(), "{} {}", card.slug, line.key);
                let share = line.driver.map_or(1.0, |(_, share)| share);
                prop_assert!(share > 0.0 && share <= 1.0 + 1e-12, "{} {}", card.slug, line.key);
            }
        }
    }

    /// Twice the doubt of every entry is twice the doubt of every answer, beside what the tires bring.
    #[test]
    fn doubt_grows_with_the_entries_own(parts in prop::collection::vec(0.0..=1.0_f64, 24)) {
        for card in ALL.iter() {
            let [none, once, twice] = [0.0, 0.001, 0.002].map(|doubt| answer(card, &parts, doubt).lines);
            for ((none, once), twice) in none.iter().zip(&once).zip(&twice) {
                let own = |sigma: f64| sigma.powi(2) - none.sigma.powi(2);
                let (one, two) = (own(once.sigma), own(twice.sigma));
                prop_assert!((two - 4.0 * one).abs() <= 1e-9 * two.abs() + 1e-12, "{} {}: {one} {two}", card.slug, once.key);
                prop_assert_eq!(none.value, twice.value);
            }
        }
    }
}
