//! A look-up's answers: each opens to its formula with numbers, source, limit, and what its ± hangs
//! on.

use super::severity::severity;
use fitment::checks::{Answered, Card, Line};
use fitment::finding::{Band, Severity};
use fitment::measure::{System, format};
use yew::prelude::*;

/// The answers and what follows from what was put in.
pub fn answers(card: &'static Card, answered: &Answered, system: System) -> Html {
    html! {
        <>
            <ul class="findings" aria-live="polite">
                { for answered.lines.iter().map(|line| answer(card, line, system)) }
            </ul>
            { for answered.notes.iter().map(|words| html! { <p class="caution">{ *words }</p> }) }
            <p class="help">{ "± covers about 95 % (two standard deviations)." }</p>
        </>
    }
}

/// One answer.
pub fn answer(card: &'static Card, line: &Line, system: System) -> Html {
    let loud =
        line.verdict.is_some_and(|(_, v)| matches!(v.severity, Severity::Out | Severity::Stop));
    html! {
        <li key={line.key} class={classes!("finding", loud.then_some("loud"))}>
            <details>
                <summary>
                    <span class="finding-name">{ line.label }</span>
                    <span class="finding-value">{ value(line, system) }</span>
                    if let Some((_, verdict)) = line.verdict { { severity(verdict.severity) } }
                </summary>
                { why(card, line, system) }
            </details>
        </li>
    }
}

/// The value at two standard deviations.
pub fn value(line: &Line, system: System) -> String {
    line.value.map_or_else(
        || "no meaning here".to_owned(),
        |value| line.quantity.words(value, 2.0 * line.sigma, system),
    )
}

fn why(card: &'static Card, line: &Line, system: System) -> Html {
    let driver = line.driver.and_then(|(field, share)| {
        let field = card.field(field)?;
        Some(format!("{} ({} %)", field.label, format::number(share * 100.0, 0)))
    });
    html! {
        <div class="why">
            // Beside a value in band, what lies outside would read as if it were so.
            if let Some((band, _)) = line.verdict.filter(|(_, v)| v.severity != Severity::InBand) { <p>{ band.why }</p> }
            <dl>
                if let Some((band, _)) = &line.verdict { <dt>{ "Band" }</dt><dd>{ limits(line, band, system) }<small>{ band.source.words() }</small></dd> }
                <dt>{ "Formula" }</dt><dd class="formula">{ line.formula.clone() }<small>{ line.source.words() }</small></dd>
                if let Some(driver) = driver { <dt>{ "± hangs on" }</dt><dd>{ driver }</dd> }
            </dl>
        </div>
    }
}

/// A band's ends in words.
pub fn limits(line: &Line, band: &Band, system: System) -> String {
    let words = |value| line.quantity.words(value, 0.0, system);
    match (band.low.is_finite(), band.high.is_finite()) {
        (true, true) => format!("{} to {}", words(band.low), words(band.high)),
        (true, false) => format!("{} or more", words(band.low)),
        (false, true) => format!("{} or less", words(band.high)),
        (false, false) => "open".into(),
    }
}
