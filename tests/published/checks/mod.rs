//! The checks of the rest of the truck, one file a room.

mod angles;
mod bolts;
mod bracket;
mod caster_sweep;
mod cg_height;
mod driveline;
mod gearing;
mod hose;
mod hub;
mod loads;
mod pattern;
mod ride;
mod roll;
mod stability;
mod tire_load;
mod tires;
mod toe;
mod turning;
mod weld;
mod welder;
mod work_sheet;

use checks::{Answered, Line, card};
use fitment::finding::Severity;
use fitment::measure::System;

/// A card's answers with these things set, in words; what is not set is as the card starts.
#[track_caller]
fn ask(name: &str, given: &[(&str, &str)]) -> Answered {
    let card = card(name).unwrap_or_else(|| panic!("no card {name}"));
    let entries = card.entries(given.iter().copied(), System::Metric);
    entries.and_then(|entries| card.answer(&entries)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

#[track_caller]
fn line<'a>(answered: &'a Answered, key: &str) -> &'a Line {
    answered.lines.iter().find(|line| line.key == key).unwrap_or_else(|| panic!("no line {key}"))
}

#[track_caller]
fn value(answered: &Answered, key: &str) -> f64 {
    line(answered, key).value.unwrap_or_else(|| panic!("{key} has no value"))
}

#[track_caller]
fn severity(answered: &Answered, key: &str) -> Severity {
    line(answered, key).verdict.unwrap_or_else(|| panic!("{key} is not judged")).1.severity
}
