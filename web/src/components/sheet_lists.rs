//! The sheet's lists: what to bolt on, what to measure next, what nobody measured yet.

use super::answer_table::name;
use super::job::item_words;
use super::part_card::part_words;
use crate::answers::Bench;
use crate::state::catalog::{self, Part as Section};
use crate::state::{edit, field};
use crate::words;
use buildfile::Units;
use fitment::finding::Finding;
use fitment::measure::Origin;
use fitment::remedy::Job;
use fitment::truck::{End, Truck};
use fitment::words::{capital, inside};
use yew::prelude::*;

/// The planned parts, those that go on with how long they are.
pub fn parts(bench: &Bench, job: Option<&Job>, units: Units) -> Html {
    let lines: Vec<String> = match job {
        Some(job) => job.items.iter().map(item_words).collect(),
        None => bench.axle.planned.parts.iter().map(|part| part_words(part, units)).collect(),
    };
    html! {
        if lines.is_empty() {
            <p>{ "No correction is planned." }</p>
        } else {
            <ol>{ for lines.into_iter().map(|words| html! { <li>{ words }</li> }) }</ol>
        }
    }
}

/// The measurements that would sharpen the answers most, worst findings first.
pub fn next(findings: &[Finding], most: usize) -> Vec<String> {
    let mut seen: Vec<&str> = Vec::new();
    let mut lines = Vec::new();
    for finding in findings {
        let Some(driver) = finding.driver.as_ref().filter(|d| d.origin != Origin::Published) else {
            continue;
        };
        if seen.contains(&driver.path.as_str()) || lines.len() == most {
            continue;
        }
        if let Some(helps) = finding.helps() {
            seen.push(&driver.path);
            lines.push(format!("{} of {}", capital(&helps), inside(name(finding.output))));
        }
    }
    lines
}

/// Every assumed number of an axle, under the headings of the Truck page.
pub fn assumed(truck: &Truck, end: End, units: Units) -> Vec<(&'static str, String)> {
    let Some(axle) = truck.axle(end) else { return Vec::new() };
    let section = |part: &Section| {
        let stand_ins: Vec<(&str, String)> = part
            .specs
            .iter()
            .filter_map(|spec| {
                let known = field::known(truck, &spec.path).filter(|known| known.is_assumed())?;
                let text = words::field_text(known, edit::quantity(&spec.path), units);
                Some((spec.label, text))
            })
            .collect();
        let title = part.title.strip_suffix(", truck stock").unwrap_or(part.title);
        // Points and bushes by their numbers alone, in a fixed order.
        let ends = |name: &str| part.specs.iter().any(|s| s.path.ends_with(name));
        let point =
            stand_ins.len() == part.specs.len() && (ends(".x_mm") || ends(".radial_n_per_mm"));
        let said: Vec<String> = if point {
            vec![stand_ins.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(" / ")]
        } else {
            stand_ins.iter().map(|(label, text)| format!("{} {text}", inside(label))).collect()
        };
        let title = match (title, point) {
            ("", _) => String::new(),
            (title, true) => format!("{} ", inside(title)),
            (title, false) => format!("{}: ", inside(title)),
        };
        (!said.is_empty()).then(|| format!("{title}{}", said.join(", ")))
    };
    // No answer on the sheet leans on springs, shocks and the balance.
    catalog::groups(axle, end)
        .iter()
        .filter(|group| !matches!(group.slug, "mounts" | "balance"))
        .filter_map(|group| {
            let sections: Vec<String> = group.parts.iter().filter_map(section).collect();
            (!sections.is_empty()).then(|| (group.title, sections.join("; ")))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use buildfile::Build;
    use fitment::truck::LayoutKind;

    #[test]
    fn an_empty_build_lists_more_stand_ins_than_a_measured_one() {
        let count = |build: &Build| {
            assumed(&build.truck, End::Front, Units::Metric)
                .iter()
                .map(|(_, said)| said.matches([',', '/', ';']).count() + 1)
                .sum::<usize>()
        };
        let (example, blank) = (Build::example(), Build::blank(LayoutKind::RadiusArms));
        assert!(count(&example) > 0 && count(&blank) > count(&example) + 10);
    }

    #[test]
    fn a_measured_number_leaves_the_list() {
        let mut build = Build::blank(LayoutKind::FourLink);
        let has = |build: &Build| {
            assumed(&build.truck, End::Front, Units::Metric)
                .iter()
                .any(|(_, said)| said.contains("hub face to hub face"))
        };
        assert!(has(&build));
        let axle = build.truck.front.as_mut().expect("front");
        axle.hub_face_width_mm.origin = Origin::Measured(fitment::measure::Instrument::Tape);
        assert!(!has(&build));
    }
}
