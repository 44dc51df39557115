//! The one measurement that would sharpen the answers most.

use super::findings::{full_path, measure_button};
use crate::answers::Bench;
use crate::hooks::Desk;
use crate::infra::address;
use crate::state::{Action, LogAct, Page, catalog};
use crate::words;
use fitment::calibrate::Settles;
use fitment::finding::{Finding, Severity};
use fitment::measure::Origin;
use fitment::words::inside;
use yew::prelude::*;

/// The input that most of the findings lean on, those that are open counting double; assumed ones
/// only, as a number somebody measured is better measured last.
fn most_wanted(findings: &[Finding]) -> Option<(String, Vec<&Finding>)> {
    let mut wanted: Vec<(String, f64, Vec<&Finding>)> = Vec::new();
    for finding in findings {
        let Some(driver) = &finding.driver else { continue };
        if driver.origin != Origin::Assumed {
            continue;
        }
        let open = finding.verdict.severity == Severity::Unknown;
        let (path, share) =
            (full_path(finding.end, &driver.path), driver.share * if open { 2.0 } else { 1.0 });
        if let Some((_, shares, leaning)) = wanted.iter_mut().find(|(known, ..)| *known == path) {
            *shares += share;
            leaning.push(finding);
        } else {
            wanted.push((path, share, vec![finding]));
        }
    }
    wanted
        .into_iter()
        .max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.cmp(&b.0)))
        .map(|(path, _, leaning)| (path, leaning))
}

/// A short strip; nothing once no stand-in decides anything. Where readings were taken, the one that
/// settles an open finding.
pub fn measure_next(findings: &[Finding], bench: &Bench, desk: &Desk) -> Html {
    if bench.read().is_some() {
        return settles(bench, desk);
    }
    let Some((path, leaning)) = most_wanted(findings) else { return html! {} };
    let name = catalog::long_name(&desk.state().entry().build.truck, &path);
    let mut what: Vec<String> = leaning
        .iter()
        .map(|finding| super::answer_table::name(finding.output))
        .filter(|name| !name.ends_with(", right"))
        .take(3)
        .map(inside)
        .collect();
    if what.is_empty() {
        what.push("the answers".to_owned());
    }
    html! {
        <aside class="next" aria-label="What to measure next">
            <p><b>{ "Measure next: " }</b>{ name }{ "." }<small>{ format!("A stand-in now; it decides most of the ± of {}.", what.join(", ")) }</small></p>
            { measure_button(path, desk) }
        </aside>
    }
}

/// For each finding that the uncertainty leaves open, what to measure.
fn settles(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    // What helps by less than a twentieth is not worth lying down for.
    let mut worth: Vec<Settles> = Vec::new();
    for it in bench.settles().into_iter().filter(|it| it.sigma[1] < 0.95 * it.sigma[0]) {
        if worth.len() < 3 && worth.iter().all(|there| there.what != it.what) {
            worth.push(it);
        }
    }
    let rows = worth.into_iter().map(|it| {
        let kind = it.what;
        let [now, after] = it.sigma.map(|sigma| words::output_spread(sigma, it.output, units));
        let verb = if it.enough { "likely settles" } else { "helps most with" };
        let onclick = {
            let desk = desk.clone();
            Callback::from(move |_: MouseEvent| {
                desk.act(Action::Log(LogAct::Pick(Some(kind))));
                address::go(Page::Measure.slug());
            })
        };
        html! {
            <p><b>{ "Measure next: " }</b>{ kind.label() }{ "." }<small>{ format!("It {verb} {}, unknown now: {now} becomes {after}.", inside(it.output.label())) }</small>
            <button type="button" class="inline" {onclick}>{ "Go to it" }</button></p>
        }
    });
    let rows: Vec<Html> = rows.collect();
    if rows.is_empty() {
        return html! {};
    }
    html! { <aside class="next" aria-label="What to measure next">{ for rows }</aside> }
}
