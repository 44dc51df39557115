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

/// What of it is not in band on paper, in as few lines as it takes; on the screen with the cautions of
/// what is out.
pub fn rest_on_sheet(found: &[OfTruck], system: System) -> Html {
    let title = "The rest of the truck, where not in band";
    let mut words = vec![say("b", "", title), text(": ")];
    for OfTruck { line, .. } in found {
        let Some((band, verdict)) = line.verdict.filter(|(_, v)| v.severity > Severity::InBand)
        else {
            continue;
        };
        let (value, limits) = (value(line, system), limits(line, &band, system));
        let word = verdict.severity.word();
        words.push(text(&format!("{} {value} ({limits}): {word}. ", line.label)));
    }
    if words.len() == 2 {
        return html! {};
    }
    let loud =
        found.iter().filter(|of| of.line.verdict.is_some_and(|(_, v)| v.severity >= Severity::Out));
    let cautions = cards(loud).into_iter().flat_map(|card| card.cautions);
    // Paper carries the sheet's own cautions; these and more stand with each look-up.
    let cautions = cautions.map(|words| say("li", "", words)).collect();
    with(
        "section",
        &[("class", "sheet-assumed"), ("aria-label", title)],
        vec![el("p", "", words), el("ul", "sheet-cautions on-screen", cautions)],
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
