//! The rest of the truck: what the look-ups find about the build, on the Lift page and on the sheet.

use super::card_answers::{answer, limits, value};
use super::el::{el, say, text, with};
use crate::state::Page;
use checks::OfTruck;
use fitment::finding::Severity;
use fitment::measure::System;
use yew::prelude::*;

/// Each finding, to be opened; each look-up it comes from, a tap away.
pub fn rest_of_truck(found: &[OfTruck], system: System) -> Html {
    if found.is_empty() {
        return html! {};
    }
    let items = found.iter().map(|of| answer(of.card, &of.line, system));
    let links = cards(found).into_iter().map(|card| {
        let href = format!("#{}/{}", Page::LookUps.slug(), card.slug);
        with("a", &[("class", "button"), ("href", &href)], vec![text(card.title)])
    });
    with(
        "section",
        &[("class", "rest"), ("aria-labelledby", "rest-title")],
        vec![
            with("h2", &[("id", "rest-title")], vec![text("The rest of the truck")]),
            say(
                "p",
                "help",
                "From the look-ups, as far as this build tells them enough. Each look-up takes more from you.",
            ),
            el("ul", "findings", items.collect()),
            el("div", "row-buttons", links.collect()),
        ],
    )
}

/// What of it is out of band, in a line of print; on the screen with its limits and cautions too.
pub fn rest_on_sheet(found: &[OfTruck], system: System) -> Html {
    let severity = |of: &OfTruck| of.line.verdict.map(|(_, verdict)| verdict.severity);
    let out: Vec<&OfTruck> =
        found.iter().filter(|of| severity(of) >= Some(Severity::Out)).collect();
    if out.is_empty() {
        return html! {};
    }
    let mut words = vec![say("b", "", "Out of band besides: ")];
    let mut list = Vec::new();
    for OfTruck { line, .. } in &out {
        let value = value(line, system);
        words.push(text(&format!("{} {value}. ", line.label)));
        if let Some((band, _)) = &line.verdict {
            let limits = limits(line, band, system);
            list.push(say("li", "", &format!("{}: {limits}. {}", line.label, band.why)));
        }
    }
    // Paper carries the sheet's own cautions; these and more stand with each look-up.
    let cautions = cards(out).into_iter().flat_map(|card| &card.cautions);
    list.extend(cautions.map(|words| say("li", "", words)));
    with(
        "section",
        &[("class", "sheet-assumed"), ("aria-label", "The rest of the truck")],
        vec![el("p", "", words), el("ul", "sheet-cautions on-screen", list)],
    )
}

/// The cards of some findings, each once.
fn cards<'a>(found: impl IntoIterator<Item = &'a OfTruck>) -> Vec<&'static checks::Card> {
    let mut cards: Vec<&'static checks::Card> = Vec::new();
    for of in found {
        if !cards.iter().any(|card| card.slug == of.card.slug) {
            cards.push(of.card);
        }
    }
    cards
}
