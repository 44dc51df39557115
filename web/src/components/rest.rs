//! The rest of the truck: what the look-ups find about the build, on the Lift page and on the sheet.

use super::card_answers::{answer, limits, value};
use super::el::{el, say, text, with};
use super::severity::severity;
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

/// What of it is not in band on paper, with the cautions of what is out.
pub fn rest_on_sheet(found: &[OfTruck], system: System) -> Html {
    // What is in band takes no room on the one page there is.
    let beyond = found
        .iter()
        .filter(|of| of.line.verdict.is_some_and(|(_, v)| v.severity > Severity::InBand));
    let row = |of: &OfTruck| {
        let band = of.line.verdict.map(|(band, _)| limits(&of.line, &band, system));
        let mark = of.line.verdict.map(|(_, verdict)| severity(verdict.severity));
        el(
            "tr",
            "",
            vec![
                with("th", &[("scope", "row")], vec![text(of.line.label)]),
                say("td", "", &value(&of.line, system)),
                say("td", "", &band.unwrap_or_default()),
                el("td", "", mark.into_iter().collect()),
            ],
        )
    };
    let rows: Vec<Html> = beyond.map(row).collect();
    if rows.is_empty() {
        return html! {};
    }
    let loud =
        found.iter().filter(|of| of.line.verdict.is_some_and(|(_, v)| v.severity >= Severity::Out));
    let cautions = cards(loud).into_iter().filter_map(|card| card.cautions.first());
    with(
        "section",
        &[("aria-label", "The rest of the truck")],
        vec![
            say("h2", "", "The rest of the truck"),
            el("table", "sheet-table", vec![el("tbody", "", rows)]),
            el("ul", "sheet-cautions", cautions.map(|words| say("li", "", words)).collect()),
        ],
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
