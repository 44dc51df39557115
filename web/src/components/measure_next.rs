//! The one measurement that would sharpen the answers most.

use super::findings::{full_path, measure_button};
use crate::hooks::Desk;
use crate::state::catalog;
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

/// A short strip; nothing once no stand-in decides anything.
pub fn measure_next(findings: &[Finding], desk: &Desk) -> Html {
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
