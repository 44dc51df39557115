//! The rest of the truck: what the look-ups find about the build, on the Lift page and on the sheet,
//! never without the cautions that go with it.

use super::card_answers::{answer, value};
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
    let cautions = cautions_of(found.iter().filter(|of| is_off(of)));
    let cautions = cautions.into_iter().map(|words| say("li", "", words)).collect::<Vec<_>>();
    let cautions = if cautions.is_empty() {
        html! {}
    } else {
        el("div", "cautions", vec![say("h3", "", "What goes with these"), el("ul", "", cautions)])
    };
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
            cautions,
            el("div", "row-buttons", links.collect()),
        ],
    )
}

/// What of it is out of band, in a line: the one page of paper has no room for limits, reasons and the
/// cautions that go with them. They follow on a page of their own.
pub fn rest_on_sheet(found: &[OfTruck], system: System) -> Html {
    let mut words = vec![say("b", "", "Out of band besides: ")];
    let out = found.iter().filter(|of| is_out(of));
    words.extend(
        out.map(|OfTruck { line, .. }| text(&format!("{} {}. ", line.label, value(line, system)))),
    );
    if words.len() == 1 {
        return html! {};
    }
    words.push(text("Why, and the cautions that go with it: on the sheet behind this one."));
    let label = ("aria-label", "The rest of the truck");
    with("section", &[("class", "sheet-assumed"), label], vec![el("p", "", words)])
}

/// True for what is out of band, or worse.
pub fn is_out(of: &OfTruck) -> bool {
    of.line.verdict.is_some_and(|(_, verdict)| verdict.severity >= Severity::Out)
}

/// True for what is not plainly in band.
pub fn is_off(of: &OfTruck) -> bool {
    of.line.verdict.is_some_and(|(_, verdict)| verdict.severity != Severity::InBand)
}

/// What must be said with some findings, each caution once.
pub fn cautions_of<'a>(found: impl IntoIterator<Item = &'a OfTruck>) -> Vec<&'static str> {
    let mut said: Vec<&'static str> = Vec::new();
    for caution in cards(found).into_iter().flat_map(|card| &card.cautions) {
        if !said.contains(caution) {
            said.push(caution);
        }
    }
    said
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
