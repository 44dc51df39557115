//! The work sheet: what the look-ups find out of band with every caution that goes with it, the order
//! of the job with room for a tick, and starting torques by size and grade. A page of paper of its
//! own. Without order and torques, what is out of band still comes with its cautions.

use super::card_answers::{limits, value};
use super::el::{el, say, text, with};
use super::rest::{cautions_of, is_off, is_out};
use super::severity::severity;
use checks::{Entry, OfTruck};
use fitment::measure::System;
use yew::prelude::*;

/// The sheet for a build's axle, or what of it nobody may leave out; nothing where that is nothing, or
/// without the card it prints.
pub fn work_sheet(name: &str, found: &[OfTruck], system: System, whole: bool) -> Html {
    let Some(card) = checks::card("work-sheet") else { return html! {} };
    let off: Vec<&OfTruck> =
        found.iter().filter(|of| if whole { is_off(of) } else { is_out(of) }).collect();
    if off.is_empty() && !whole {
        return html! {};
    }
    let title = if whole { "Work sheet" } else { "Besides" };
    let mut head = vec![say("h2", "", &format!("{title}: {name}"))];
    if whole {
        head.push(say("p", "", "Done by, and when:"));
    }
    let mut parts = vec![el("section", "sheet-work-title", head)];
    if !off.is_empty() {
        let items = off.iter().map(|of| {
            let line = &of.line;
            let mut words = vec![say("b", "", &format!("{} {} ", line.label, value(line, system)))];
            if let Some((band, verdict)) = &line.verdict {
                words.push(severity(verdict.severity));
                let limits = limits(line, band, system);
                words.push(text(&format!(
                    " Limit {limits}. {} ({})",
                    band.why,
                    band.source.words()
                )));
            }
            el("li", "", words)
        });
        parts.push(section(
            "The rest of the truck, as planned",
            el("ul", "sheet-cautions", items.collect()),
        ));
    }
    let mut said = cautions_of(off.iter().copied());
    if whole {
        let notes = card.answer(&card.start()).map(|answered| answered.notes).unwrap_or_default();
        let steps = notes.iter().map(|step| say("li", "", step)).collect();
        parts.push(section("In this order", el("ul", "sheet-steps", steps)));
        parts.push(torques(card, system));
        said.extend(&card.cautions);
    }
    let cautions = said.into_iter().map(|words| say("li", "", words)).collect();
    parts.push(section("Before you trust this", el("ul", "sheet-cautions", cautions)));
    with("article", &[("class", "sheet sheet-work"), ("aria-label", title)], parts)
}

fn section(title: &str, content: Html) -> Html {
    el("section", "", vec![say("h2", "", title), content])
}

/// Sizes down, grades and threads across, as the card answers them.
fn torques(card: &'static checks::Card, system: System) -> Html {
    let columns = [
        ("8.8, grade 5, dry", 1, 0),
        ("oiled", 1, 1),
        ("10.9, grade 8, dry", 0, 0),
        ("oiled", 0, 1),
        ("12.9, dry", 2, 0),
        ("oiled", 2, 1),
    ];
    let answered: Vec<_> = columns
        .iter()
        .filter_map(|(_, grade, threads)| {
            card.answer(&[Entry::Choice(*grade), Entry::Choice(*threads)]).ok()
        })
        .collect();
    let head = columns.iter().map(|(name, ..)| with("th", &[("scope", "col")], vec![text(name)]));
    let head = std::iter::once(say("td", "", "")).chain(head).collect();
    let Some(sizes) = answered.iter().max_by_key(|column| column.lines.len()) else {
        return html! {};
    };
    let rows = sizes.lines.iter().map(|size| {
        let cells = answered.iter().map(|column| {
            let line = column.lines.iter().find(|line| line.key == size.key);
            say("td", "", &line.map_or_else(|| "—".to_owned(), |line| value(line, system)))
        });
        let name = with("th", &[("scope", "row")], vec![text(size.label)]);
        el("tr", "", std::iter::once(name).chain(cells).collect())
    });
    let source = sizes.lines.first().map_or("", |line| line.source.words());
    el(
        "section",
        "sheet-answers",
        vec![
            say("h2", "", "Torque to start from"),
            el(
                "table",
                "sheet-table sheet-torque",
                vec![el("thead", "", vec![el("tr", "", head)]), el("tbody", "", rows.collect())],
            ),
            say("p", "sheet-note", source),
        ],
    )
}
