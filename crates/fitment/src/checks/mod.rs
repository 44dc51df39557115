//! The rest of the truck: one small room for each check that a lift or a tire change touches.
//!
//! A room is a [`Card`]: what it asks, what it answers, with formula, source and cautions. Every
//! answer carries its uncertainty and the input it hangs on, by exact slopes (dual numbers).

mod angles;
mod bolts;
mod bracket;
mod card;
mod caster;
mod cg;
mod driveline;
mod gearing;
mod hose;
mod hub;
mod pattern;
mod quantity;
mod read;
mod ride;
mod stability;
mod tire_load;
mod tires;
mod toe;
mod weld;
mod welder;

pub use card::{Answered, Card, CardError, Entry, Field, Given, Kind, Line, Report, Tire};
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
    &ride::CARD,
    &hub::CARD,
    &pattern::CARD,
    &bolts::CARD,
    &toe::CARD,
    &caster::CARD,
    &hose::CARD,
    &bracket::CARD,
    &weld::CARD,
    &welder::CARD,
];

/// The card of a name.
pub fn card(slug: &str) -> Option<&'static Card> {
    ALL.iter().copied().find(|card| card.slug == slug)
}
