//! A look-up's answers: each opens to its formula with numbers, source, limit, and what its ± hangs
//! on.

use super::el::{el, say, text, with};
use super::severity::severity;
use checks::{Answered, Card, Line};
use fitment::finding::{Band, Severity};
use fitment::measure::{System, format};
use yew::prelude::*;

/// The answers and what follows from what was put in.
pub fn answers(card: &'static Card, answered: &Answered, system: System) -> Html {
    let lines = answered.lines.iter().map(|line| answer(card, line, system));
    let mut all =
        vec![with("ul", &[("class", "findings"), ("aria-live", "polite")], lines.collect())];
    all.extend(answered.notes.iter().map(|words| say("p", "caution", words)));
    all.push(say(
        "p",
        "help",
        "± covers about 95 % (two standard deviations). Formulas are in mm, kg, N and degrees.",
    ));
    el("div", "card-answers", all)
}

/// One answer.
pub fn answer(card: &'static Card, line: &Line, system: System) -> Html {
    let loud =
        line.verdict.is_some_and(|(_, v)| matches!(v.severity, Severity::Out | Severity::Stop));
    let mut short = vec![
        say("span", "finding-name", line.label),
        say("span", "finding-value", &value(line, system)),
    ];
    short.extend(line.verdict.map(|(_, verdict)| severity(verdict.severity)));
    let class = if loud { "finding loud" } else { "finding" };
    let details = vec![el("summary", "", short), why(card, line, system)];
    el("li", class, vec![el("details", "", details)])
}

/// The value at two standard deviations.
pub fn value(line: &Line, system: System) -> String {
    line.value.map_or_else(
        || "no meaning here".to_owned(),
        |value| line.quantity.words(value, 2.0 * line.sigma, system),
    )
}

fn why(card: &'static Card, line: &Line, system: System) -> Html {
    let mut all = Vec::new();
    let mut list = Vec::new();
    let mut row = |name: &str, words: &str, source: &str| {
        list.push(say("dt", "", name));
        let mut told = vec![text(words)];
        if !source.is_empty() {
            told.push(say("small", "", source));
        }
        list.push(el("dd", "formula", told));
    };
    if let Some((band, verdict)) = &line.verdict {
        // Beside a value in band, what lies outside would read as if it were so.
        if verdict.severity != Severity::InBand {
            all.push(say("p", "", band.why));
        }
        row("Band", &limits(line, band, system), band.source.words());
    }
    row("Formula", &line.formula, line.source.words());
    if let Some((Some(field), share)) = line.driver.map(|(field, share)| (card.field(field), share))
    {
        let share = format::number(share * 100.0, 0);
        row("± hangs on", &format!("{} ({share} %)", field.label), "");
    }
    all.push(el("dl", "", list));
    el("div", "why", all)
}

/// A band's ends in words.
pub fn limits(line: &Line, band: &Band, system: System) -> String {
    band.words(&|value| line.quantity.words(value, 0.0, system))
}
