//! What stands out, worst first; each can be opened to see why, by what formula and how sure.

use super::answer_table;
use super::own_band::OwnBand;
use super::severity::severity;
use crate::hooks::Desk;
use crate::infra::{address, window};
use crate::state::field::end_name;
use crate::state::{Action, Page};
use crate::words;
use fitment::axle::Output;
use fitment::finding::{Band, Finding, Goal, Severity};
use fitment::truck::End;
use yew::prelude::*;

/// A list of findings.
pub fn findings_list(findings: &[Finding], desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    html! {
        <ul class="findings">
            { for findings.iter().filter(|finding| !said_already(finding, findings)).map(|finding| {
                let value = answer_table::text(finding.output, finding.value, units);
                let loud = matches!(finding.verdict.severity, Severity::Out | Severity::Stop);
                html! {
                    <li key={finding.output.key()} class={classes!("finding", loud.then_some("loud"))}>
                        <details>
                            <summary>
                                <span class="finding-name">{ answer_table::name(finding.output) }</span>
                                <span class="finding-value">{ value }
                                    if finding.sigma > 0.0 { <span class="spread">{ words::output_spread(finding.sigma, finding.output, units) }</span> }
                                </span>
                                { severity(finding.verdict.severity) }
                            </summary>
                            { why(finding, units, desk) }
                        </details>
                    </li>
                }
            }) }
        </ul>
    }
}

/// True for a right side whose left comes out alike.
pub fn said_already(finding: &Finding, all: &[Finding]) -> bool {
    let left = match finding.output {
        Output::CasterRight => Output::CasterLeft,
        Output::TrailRight => Output::TrailLeft,
        Output::ScrubRight => Output::ScrubLeft,
        Output::WheelbaseRight => Output::WheelbaseLeft,
        Output::ArmRight => Output::ArmLeft,
        Output::BumpSteerRight => Output::BumpSteerLeft,
        _ => return false,
    };
    all.iter()
        .any(|other| other.output == left && other.verdict.severity == finding.verdict.severity)
}

/// Where a value should be, in words.
pub fn band_words(band: &Band, of: Output, units: buildfile::Units) -> String {
    band.words(&|value| words::output(value, of, units))
}

fn why(finding: &Finding, units: buildfile::Units, desk: &Desk) -> Html {
    let band = &finding.band;
    let between = band_words(band, finding.output, units);
    let change = finding.change.map(|(value, sigma)| {
        format!(
            "{} since stock, {}",
            answer_table::text(finding.output, value, units),
            words::output_spread(sigma, finding.output, units)
        )
    });
    let helps = finding.helps().map(|text| {
        let path = finding.driver.as_ref().map(|driver| full_path(finding.end, &driver.path));
        html! { <p>{ sentence(&text) }{ " " }if let Some(path) = path { { measure_button(path, desk) } }</p> }
    });
    html! {
        <div class="why">
            <p>{ band.why }</p>
            <dl>
                <dt>{ "Band" }</dt><dd>{ between }<small>{ band.source.words() }</small></dd>
                if let Some(change) = change { <><dt>{ "Change" }</dt><dd>{ change }</dd></> }
                <dt>{ "Formula" }</dt><dd class="formula">{ finding.formula.clone() }<small>{ finding.source.words() }</small></dd>
            </dl>
            { helps }
            <OwnBand end={finding.end} goal={Goal::Output(finding.output)} />
            if let Some(caution) = finding.caution { <p class="caution">{ caution }</p> }
        </div>
    }
}

fn sentence(text: &str) -> String {
    format!("{}.", fitment::words::capital(text))
}

/// A path within an axle, or of the truck around it, made whole.
pub fn full_path(end: End, path: &str) -> String {
    match path.strip_prefix("truck.") {
        Some(path) => path.to_owned(),
        None => format!("{}.{path}", end_name(end)),
    }
}

/// Goes to a field on the Truck page.
pub fn measure_button(path: String, desk: &Desk) -> Html {
    if crate::state::catalog::spec(&desk.state().entry().build.truck, &path).is_none() {
        return html! {};
    }
    let desk = desk.clone();
    let onclick = Callback::from(move |_: MouseEvent| {
        desk.act(Action::Guide(None));
        desk.act(Action::Focus(Some(path.clone())));
        address::go(Page::Truck.slug());
        let id = format!("f-{path}");
        // The page is drawn before the field can be found on it.
        gloo::timers::callback::Timeout::new(80, move || window::focus(&id)).forget();
    });
    html! { <button type="button" class="inline" {onclick}>{ "Go to it" }</button> }
}
