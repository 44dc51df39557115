//! The sheet's table: what is fitted and what comes of it, in the three states side by side, each
//! length in both unit systems, because paper has no switch.

use super::answer_table::{FIRST, has, name, text};
use super::severity::severity;
use crate::answers::{Bench, Standing};
use crate::words;
use buildfile::Units;
use fitment::axle::Output;
use fitment::finding::Finding;
use fitment::truck::{Setup, State};
use yew::prelude::*;

/// Rows of the steering, after those of the axle.
const STEERING: [Output; 2] = [Output::BumpSteerLeft, Output::SteeringWheel];

/// The other unit system.
pub const fn other(units: Units) -> Units {
    match units {
        Units::Metric => Units::Inch,
        Units::Inch => Units::Metric,
    }
}

/// A length in both unit systems, the person's first.
pub fn both(mm: f64, units: Units) -> String {
    format!("{} ({})", words::length(mm, units), words::length(mm, other(units)))
}

/// The table; `findings` are those of the state as it sits and of the planned one.
pub fn table(bench: &Bench, findings: [&[Finding]; 2], units: Units) -> Html {
    let standing = State::ALL.map(|state| bench.state(state).ok());
    let fitted = |what: &dyn Fn(&Setup, &Standing) -> String| {
        standing
            .iter()
            .map(|s| {
                let said = s.map_or_else(|| "—".into(), |s| what(&s.axle.fitted(s.state), s));
                html! { <td class="fitted">{ said }</td> }
            })
            .collect::<Html>()
    };
    html! {
        <table class="sheet-table">
            <caption class="unseen">{ "What is fitted and what comes of it: stock, as it sits, planned" }</caption>
            <thead>
                <tr><td></td><th scope="col">{ "Stock" }</th><th scope="col">{ "As it sits" }</th><th scope="col">{ "Planned" }</th></tr>
            </thead>
            <tbody class="fitted-rows">
                <tr><th scope="row">{ "Lift" }</th>{ fitted(&|setup, _| lift(setup, units)) }</tr>
                <tr><th scope="row">{ "Tire" }</th>{ fitted(&|setup, s| format!("{}, {} tall", setup.tire.size, words::length(s.tire.diameter.value, units))) }</tr>
                <tr><th scope="row">{ "Wheel" }</th>{ fitted(&|setup, _| wheel(setup, units)) }</tr>
            </tbody>
            <tbody>
                { for FIRST.iter().chain(&STEERING).filter(|o| standing.iter().flatten().any(|s| has(s, **o))).map(|output| html! {
                    <tr>
                        <th scope="row">{ name(*output) }</th>
                        { for standing.iter().map(|s| cell(*output, *s, standing[0], findings, units)) }
                    </tr>
                }) }
            </tbody>
        </table>
    }
}

fn lift(setup: &Setup, units: Units) -> String {
    match setup.lift() {
        (left, right) if (left.value - right.value).abs() < 0.05 => both(left.value, units),
        (left, right) => format!(
            "{} left, {} right",
            words::length(left.value, units),
            words::length(right.value, units)
        ),
    }
}

fn wheel(setup: &Setup, units: Units) -> String {
    let offset = setup.wheel.offset_mm.value;
    let sign = if offset > 0.0 { "+" } else { "" };
    // Wheels are stamped in inches of width and millimetres of offset wherever they are sold.
    let width = words::length(setup.wheel.width_mm.value, Units::Inch);
    let wheel = format!("{width} wide, offset {sign}{}", words::length(offset, Units::Metric));
    match setup.spacer_mm.value {
        spacer if spacer > 0.0 => format!("{wheel}, spacer {}", words::length(spacer, units)),
        _ => wheel,
    }
}

fn cell(
    output: Output,
    standing: Option<&Standing>,
    stock: Option<&Standing>,
    findings: [&[Finding]; 2],
    units: Units,
) -> Html {
    let Some((s, value)) = standing.and_then(|s| Some((s, s.value(output)?))) else {
        return html! { <td>{ "—" }</td> };
    };
    let sigma = s.sigma(output).filter(|sigma| *sigma > 0.0);
    let second = text(output, value, other(units));
    let told = second == text(output, value, units) || second == text(output, 0.0, other(units));
    let second = (!told).then_some(second);
    let judged = match s.state {
        State::Stock => None,
        State::Sitting => findings[0].iter().find(|f| f.output == output),
        State::Planned => findings[1].iter().find(|f| f.output == output),
    };
    let change = stock
        .filter(|_| s.state != State::Stock)
        .and_then(|stock| s.sure().change(stock.sure(), output))
        .map(|change| {
            let said = signed(output, change.value, units);
            format!("change {said} {}", words::output_spread(change.sigma, output, units))
        });
    html! {
        <td>
            <div class="sheet-cell">
                <span><b>{ text(output, value, units) }</b>
                    if let Some(sigma) = sigma { { format!(" {}", words::output_spread(sigma, output, units)) } }
                </span>
                if let Some(finding) = judged { { severity(finding.verdict.severity) } }
                if let Some(second) = second { <span class="sheet-second">{ second }</span> }
                if let Some(change) = change { <span class="sheet-change">{ change }</span> }
            </div>
        </td>
    }
}

/// A change with its sign; sideways ones say their side instead.
fn signed(output: Output, value: f64, units: Units) -> String {
    let said = text(output, value, units);
    let plus = value > 0.0 && output != Output::LateralShift && said != text(output, 0.0, units);
    if plus { format!("+{said}") } else { said }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paper_carries_both_unit_systems() {
        assert_eq!(both(76.2, Units::Inch), "3\" (76 mm)");
        assert_eq!(both(76.2, Units::Metric), "76 mm (3\")");
    }

    #[test]
    fn a_change_has_a_sign_or_a_side() {
        assert_eq!(signed(Output::Caster, 1.24, Units::Metric), "+1.2°");
        assert_eq!(signed(Output::Caster, -1.24, Units::Metric), "−1.2°");
        assert_eq!(signed(Output::Caster, 0.01, Units::Metric), "0.0°");
        assert_eq!(signed(Output::LateralShift, -14.0, Units::Metric), "14 mm R");
    }
}
