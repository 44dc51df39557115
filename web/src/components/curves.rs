//! The answers over the travel: pick what moves and what to see; stock, as it sits and planned lie
//! over each other, and a cursor reads all three.

use super::answer_table;
use super::choice::choice;
use super::slider::{Slide, slider};
use crate::answers::Bench;
use crate::drawing::chart::{self, Chart, Curves as Lines};
use crate::hooks::{use_desk, use_width};
use crate::infra::window;
use crate::state::edit::Quantity;
use crate::words;
use buildfile::Units;
use fitment::axle::{Output, Path, Sweep, Unit, sweep};
use fitment::clearance::Domain;
use fitment::measure::format;
use fitment::truck::State;
use yew::prelude::*;

/// The answers.
#[derive(Properties, PartialEq)]
pub struct CurvesProps {
    /// The answers.
    pub bench: Bench,
}

/// Answers that belong together, and what they are called.
type Group = (&'static str, &'static [Output]);

/// What the travel changes.
const TRAVEL: [Group; 6] = [
    ("Bump steer, toe", &[Output::Toe, Output::SteerLeft, Output::SteerRight]),
    ("Caster, pinion", &[Output::Caster, Output::Pinion]),
    ("Sideways, axle steer", &[Output::LateralShift, Output::AxleSteer]),
    (
        "Roll and instant center",
        &[Output::RollCentreHeight, Output::InstantCentreX, Output::InstantCentreZ],
    ),
    ("Panhard, drag link", &[Output::Panhard, Output::DragLink]),
    ("Wheelbase", &[Output::WheelbaseLeft, Output::WheelbaseRight]),
];

/// What the steering changes.
const STEERING: [Group; 2] = [
    ("Ackermann", &[Output::Ackermann, Output::SteerLeft, Output::SteerRight]),
    ("Trail, scrub", &[Output::TrailLeft, Output::ScrubLeft]),
];

const fn path_name(path: Path) -> &'static str {
    match path {
        Path::Heave => "Both wheels",
        Path::Roll => "Roll",
        Path::Left => "Left wheel",
        Path::Right => "Right wheel",
        Path::Steer => "Steering",
    }
}

/// The three states along one path.
struct Swept {
    sweeps: [Option<Sweep>; 3],
    /// The furthest any of them goes.
    along: [f64; 2],
    step: f64,
}

impl Swept {
    fn of(bench: &Bench, path: Path, units: Units) -> Option<Self> {
        let step = match (path, units) {
            (Path::Steer, _) => 1.0,
            (_, Units::Metric) => 5.0,
            (_, Units::Inch) => 25.4 / 4.0,
        };
        let mut along = [0.0_f64; 2];
        let sweeps = State::ALL.map(|state| {
            let standing = bench.state(state).ok()?;
            let domain = Domain::of(&standing.axle, state).ok()?;
            let ride = standing.answer.travel;
            // Down to full droop and up to the stops, from where the truck rests.
            let low = domain.droop_mm - ride[0].min(ride[1]);
            let high = domain.bump_mm - ride[0].max(ride[1]);
            let [from, to] = match path {
                Path::Heave | Path::Left | Path::Right => [low, high],
                // One wheel down as far as the other goes up.
                Path::Roll => {
                    let reach = high.min(-low).max(30.0);
                    [-reach, reach]
                }
                Path::Steer => {
                    let lock = domain.lock_rad.to_degrees();
                    [-lock, lock]
                }
            };
            let [from, to] = [(from / step).ceil() * step, (to / step).floor() * step];
            along = [along[0].min(from), along[1].max(to)];
            sweep(&standing.answer.model, path, from, to, step).ok()
        });
        (along[1] > along[0]).then_some(Self { sweeps, along, step })
    }

    /// The three curves of an output; `None` when no state has it.
    fn curves(&self, output: Output) -> Option<Lines> {
        let curves = self.sweeps.each_ref().map(|sweep| {
            let points = sweep.iter().flat_map(|sweep| &sweep.points);
            points
                .map(|point| (point.at, point.found.ok().and_then(|found| found.get(output))))
                .collect::<Vec<_>>()
        });
        curves.iter().flatten().any(|(_, value)| value.is_some()).then_some(curves)
    }
}

/// Where along a path, in words.
fn place(path: Path, at: f64, units: Units) -> String {
    let far = words::length(at.abs(), units);
    let (positive, negative) = match path {
        Path::Heave => ("up", "down"),
        Path::Roll => ("left up, right down", "left down, right up"),
        Path::Left => ("left up", "left down"),
        Path::Right => ("right up", "right down"),
        Path::Steer => ("left", "right"),
    };
    if at.abs() < 1e-6 {
        return if path == Path::Steer { "straight ahead" } else { "at ride height" }.into();
    }
    let far = if path == Path::Steer { format::degrees(at.abs(), 0) } else { far };
    format!("{far} {}", if at > 0.0 { positive } else { negative })
}

/// A chart's name: both sides have one of their own here.
fn title_of(output: Output) -> &'static str {
    match output.label() {
        label if label.ends_with(", left") => label,
        _ => answer_table::name(output),
    }
}

/// An output at the side of a chart, as short as it can be.
fn level(value: f64, output: Output, units: Units) -> String {
    match (output.unit(), units) {
        (Unit::Mm, Units::Inch) => format::number(value / 25.4, 1),
        (Unit::Mm, Units::Metric) => format::number(value, 0),
        _ => format!("{}°", format::number(value, 2).trim_end_matches('0').trim_end_matches('.')),
    }
}

/// Round places along the path, each with its number.
fn ticks(path: Path, [from, to]: [f64; 2], units: Units) -> Vec<(f64, String)> {
    let unit = if path != Path::Steer && units == Units::Inch { 25.4 } else { 1.0 };
    let step = chart::round_step((to - from) / unit);
    let first = (from / unit / step).ceil();
    std::iter::successors(Some(first), |n| Some(n + 1.0))
        .map(|n| n * step)
        .take_while(|at| at * unit <= to + 1e-9)
        .map(|at| (at * unit, format::number(at, 0)))
        .collect()
}

/// The section.
#[component]
pub fn Curves(props: &CurvesProps) -> Html {
    let units = use_desk().state().preferences.units;
    let paper = use_node_ref();
    let paper_width = use_width(&paper, 360.0);
    // Two charts side by side where there is room.
    let two_up = paper_width > 800.0;
    let width = if two_up { (paper_width - 16.0) / 2.0 - 8.0 } else { paper_width };
    let path = use_state_eq(|| Path::Heave);
    let group = use_state_eq(|| 0_usize);
    let cursor = use_state_eq(|| 0.0_f64);
    let swept = use_memo((props.bench.clone(), *path, units), |(bench, path, units)| {
        Swept::of(bench, *path, *units)
    });

    let steers = props.bench.state(State::Stock).is_ok_and(|it| it.axle.kingpin.is_some());
    let paths: Vec<Path> =
        Path::ALL.into_iter().filter(|path| steers || *path != Path::Steer).collect();
    let groups: &[Group] = if *path == Path::Steer { &STEERING } else { &TRAVEL };
    // Only what this axle has an answer for.
    let shown = |outputs: &[Output]| -> Vec<(Output, Lines)> {
        let swept = (*swept).as_ref();
        outputs.iter().filter_map(|output| Some((*output, swept?.curves(*output)?))).collect()
    };
    let groups: Vec<&Group> =
        groups.iter().filter(|(_, outputs)| !shown(outputs).is_empty()).collect();
    let Some((title, outputs)) = groups.get(*group).or_else(|| groups.first()) else {
        return html! {};
    };
    let Some(swept) = &*swept else { return html! {} };
    let along = swept.along;
    let at = cursor.clamp(along[0], along[1]);
    let at = (at / swept.step).round() * swept.step;

    let pick_path = {
        let (path, group, cursor, paths) =
            (path.clone(), group.clone(), cursor.clone(), paths.clone());
        Callback::from(move |index: usize| {
            let next = paths.get(index).copied().unwrap_or(Path::Heave);
            if (next == Path::Steer) != (*path == Path::Steer) {
                group.set(0);
            }
            cursor.set(0.0);
            path.set(next);
        })
    };
    let pick_group = {
        let group = group.clone();
        Callback::from(move |index| group.set(index))
    };
    let touched = {
        let cursor = cursor.clone();
        Callback::from(move |event: PointerEvent| {
            let paper = window::around(&event, "chart");
            // A finger that only passes over does not count; nor does a mouse without its button.
            if let Some(paper) = paper.filter(|_| event.buttons() != 0) {
                let left = paper.get_bounding_client_rect().left();
                cursor.set(chart::along_at(f64::from(event.client_x()) - left, width, along));
            }
        })
    };
    let here = place(*path, at, units);
    let charts = shown(outputs);
    let value = |curve: &[(f64, Option<f64>)], output| {
        chart::value_at(curve, at)
            .map_or_else(|| "—".to_owned(), |value| answer_table::text(output, value, units))
    };
    let said: Vec<String> = charts
        .iter()
        .map(|(output, curves)| {
            let [stock, sits, planned] = curves.each_ref().map(|curve| value(curve, *output));
            format!("{} stock {stock}, sits {sits}, planned {planned}", title_of(*output))
        })
        .collect();
    let length_unit = words::unit(Quantity::Length, units);
    let (unit, runs) = if *path == Path::Steer {
        ("°", "Along the bottom: the wheels' mean steer, left positive, from stop to stop.")
    } else {
        (
            length_unit,
            "Along the bottom: travel from where each truck rests. Each curve runs from its full droop to its bump stop.",
        )
    };
    let ticks = ticks(*path, along, units);
    html! {
        <section class="curves" aria-labelledby="curves-title">
            <h2 id="curves-title">{ "Over the travel" }</h2>
            <div class="pair">
                { choice("curves-path", "Move", &paths.iter().map(|path| path_name(*path)).collect::<Vec<_>>(), paths.iter().position(|it| *it == *path).unwrap_or(0), pick_path) }
                { choice("curves-group", "Show", &groups.iter().map(|(name, _)| *name).collect::<Vec<_>>(), groups.iter().position(|(name, _)| name == title).unwrap_or(0), pick_group) }
            </div>
            <div ref={paper} class={classes!("papers", two_up.then_some("two-up"))}>
                { for charts.iter().map(|(output, curves)| {
                    let text = |value: f64| level(value, *output, units);
                    let least = if output.unit() == Unit::Mm { 4.0 } else { 0.2 };
                    let chart = Chart {
                        words: format!("{} over {}: the table below says the same in numbers", title_of(*output), path_name(*path)),
                        curves, along, ticks: &ticks, unit, least, text: &text, cursor: at, width,
                    };
                    html! {
                        <figure key={output.key()} class="paper">
                            <figcaption>{ title_of(*output) }if output.unit() == Unit::Mm { { format!(", {length_unit}") } }</figcaption>
                            <dl class="read">
                                { for curves.iter().enumerate().map(|(which, curve)| html! {
                                    <div><dt>{ chart::sample(which) }{ chart::NAMES[which].0 }</dt><dd>{ value(curve, *output) }</dd></div>
                                }) }
                            </dl>
                            { chart.draw(&touched) }
                        </figure>
                    }
                }) }
            </div>
            <div class="cursor-bar">
                { slider(&Slide {
                    id: "curves-cursor".into(),
                    label: "Read at",
                    text: here.clone().into(),
                    low: along[0],
                    high: along[1],
                    step: swept.step,
                    value: at,
                    moved: { let cursor = cursor.clone(); Callback::from(move |value| cursor.set(value)) },
                }) }
            </div>
            <p class="unseen" role="status">{ format!("{here}: {}", said.join("; ")) }</p>
            <p class="help">{ runs }</p>
            { as_table(swept, &charts, *path, units) }
        </section>
    }
}

/// The curves in numbers, at a dozen places.
fn as_table(swept: &Swept, charts: &[(Output, Lines)], path: Path, units: Units) -> Html {
    let count = ((swept.along[1] - swept.along[0]) / swept.step).round();
    let every = (count / 12.0).ceil().max(1.0);
    // Counted from the middle, so that the rest position is among them.
    let first = (swept.along[0] / swept.step / every).ceil();
    let places: Vec<f64> = std::iter::successors(Some(first), |n| Some(n + 1.0))
        .map(|n| n * every * swept.step)
        .take_while(|at| *at <= swept.along[1] + 1e-6)
        .collect();
    html! {
        <details>
            <summary>{ "The same as a table" }</summary>
            { for charts.iter().map(|(output, curves)| html! {
                <table class="answers map-table">
                    <caption>{ title_of(*output) }</caption>
                    { answer_table::head() }
                    <tbody>
                        { for places.iter().map(|at| html! {
                            <tr>
                                <th scope="row">{ place(path, *at, units) }</th>
                                { for curves.iter().map(|curve| html! { <td>{ chart::value_at(curve, *at).map_or_else(|| "—".to_owned(), |value| answer_table::text(*output, value, units)) }</td> }) }
                            </tr>
                        }) }
                    </tbody>
                </table>
            }) }
        </details>
    }
}
