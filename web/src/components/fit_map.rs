//! The map: least clearance over steering and travel, as colored squares with a hatch where the
//! tire touches, and the same as a table of words.

use super::segments::segments;
use crate::hooks::use_desk;
use crate::words;
use buildfile::Units;
use fitment::clearance::{Cell, Fit, Obstacle};
use std::rc::Rc;
use yew::prelude::*;

/// The map.
#[derive(Properties, PartialEq)]
pub struct FitMapProps {
    /// The engine's answer.
    pub fit: Rc<Fit>,
    /// Travel at which the truck rests, mm.
    pub rest_mm: f64,
}

/// An obstacle's name.
pub const fn obstacle(which: Obstacle) -> &'static str {
    match which {
        Obstacle::Rail => "frame rail",
        Obstacle::Arch => "wheel arch",
        Obstacle::Arm => "arm",
    }
}

/// Upper ends of the classes, mm, and their words; the last has no end.
const CLASSES: [(f64, &str, &str); 5] = [
    (0.0, "touches", "c0"),
    (10.0, "under 10 mm", "c1"),
    (25.0, "10–25 mm", "c2"),
    (50.0, "25–50 mm", "c3"),
    (f64::INFINITY, "over 50 mm", "c4"),
];

fn class(mm: f64) -> &'static str {
    CLASSES.iter().find(|(top, ..)| mm < *top).map_or("c4", |(_, _, class)| class)
}

/// The least of the maps at one position.
fn least(fit: &Fit, crossed: Option<f64>, row: usize, column: usize) -> Option<Cell> {
    fit.maps
        .iter()
        .filter(|map| crossed.is_none_or(|c| (map.crossed - c).abs() < 1e-9))
        .filter_map(|map| map.cell(row, column).copied())
        .min_by(|a, b| a.clearance_mm.total_cmp(&b.clearance_mm))
}

/// Size of the drawing, px.
const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 250.0;
/// Room for the axes' words.
const LEFT: f64 = 58.0;
const BELOW: f64 = 34.0;

/// The map and its table.
#[component]
pub fn FitMap(props: &FitMapProps) -> Html {
    let units = use_desk().state().preferences.units;
    let mut crossings: Vec<f64> = Vec::new();
    for map in &props.fit.maps {
        if !crossings.iter().any(|c| (c - map.crossed).abs() < 1e-9) {
            crossings.push(map.crossed);
        }
    }
    let chosen = use_state_eq(|| 0_usize);
    let crossed = chosen.checked_sub(1).and_then(|index| crossings.get(index).copied());
    let mut options: Vec<AttrValue> = vec!["Worst".into()];
    options.extend(crossings.iter().map(|c| match *c {
        c if c < 0.01 => AttrValue::from("Level"),
        c if c > 0.99 => AttrValue::from("Crossed"),
        _ => AttrValue::from("Half"),
    }));
    let pick = {
        let chosen = chosen.clone();
        Callback::from(move |index| chosen.set(index))
    };
    let Some(first) = props.fit.maps.first() else { return html! {} };
    let (columns, rows) = (first.steer_rad.len(), first.travel_mm.len());
    let across = (WIDTH - LEFT - 8.0) / columns as f64;
    let down = (HEIGHT - BELOW - 8.0) / rows as f64;
    // Left on the left, bump on top.
    let at = |row: usize, column: usize| {
        (LEFT + (columns - 1 - column) as f64 * across, 8.0 + (rows - 1 - row) as f64 * down)
    };
    let mut worst: Option<(usize, usize, Cell)> = None;
    let mut squares = Vec::with_capacity(columns * rows);
    for row in 0..rows {
        for column in 0..columns {
            let (x, y) = at(row, column);
            let cell = least(&props.fit, crossed, row, column);
            if let Some(cell) = cell
                && worst.is_none_or(|(_, _, least)| cell.clearance_mm < least.clearance_mm)
            {
                worst = Some((row, column, cell));
            }
            let class = cell.map_or("none", |cell| class(cell.clearance_mm));
            squares.push(html! {
                <rect class={class} x={format!("{x:.2}")} y={format!("{y:.2}")}
                    width={format!("{:.2}", across + 0.4)} height={format!("{:.2}", down + 0.4)} />
            });
        }
    }
    let rest = first
        .travel_mm
        .iter()
        .enumerate()
        .min_by(|a, b| (a.1 - props.rest_mm).abs().total_cmp(&(b.1 - props.rest_mm).abs()));
    let rest_y = rest.map_or(0.0, |(row, _)| at(row, 0).1 + down / 2.0);
    let lock = first.steer_rad.last().copied().unwrap_or(0.0).to_degrees();
    let (top, bottom) = (
        first.travel_mm.last().copied().unwrap_or(0.0),
        first.travel_mm.first().copied().unwrap_or(0.0),
    );
    html! {
        <section class="fit-map" aria-labelledby="map-title">
            <h2 id="map-title">{ "Steering × travel" }</h2>
            { segments("How far the axle is crossed up", "small", options, *chosen, &pick) }
            <div class="paper">
                <svg class="map" viewBox={format!("0 0 {WIDTH} {HEIGHT}")} role="img"
                    aria-label="Map of the least clearance; the table below says the same in words">
                    <defs>
                        <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                            <rect width="6" height="6" class="hatch-ground" /><path d="M0 0V6" class="hatch-line" />
                        </pattern>
                    </defs>
                    <g class="cells">{ for squares }</g>
                    <path class="rest" d={format!("M{LEFT} {rest_y:.1}H{:.1}", WIDTH - 8.0)} />
                    <text class="axis-text start" x="4" y={format!("{:.1}", rest_y + 4.0)}>{ "at rest" }</text>
                    <text class="axis-text start" x="4" y="18">{ words::length(top, units) }</text>
                    <text class="axis-text start" x="4" y={format!("{:.1}", HEIGHT - BELOW - 6.0)}>{ words::length(bottom, units) }</text>
                    if lock > 0.0 {
                        <text class="axis-text start" x={LEFT.to_string()} y={format!("{:.1}", HEIGHT - 12.0)}>{ format!("{lock:.0}° left") }</text>
                        <text class="axis-text middle" x={format!("{:.1}", (LEFT + WIDTH - 8.0) / 2.0)} y={format!("{:.1}", HEIGHT - 12.0)}>{ "straight" }</text>
                        <text class="axis-text end" x={format!("{:.1}", WIDTH - 8.0)} y={format!("{:.1}", HEIGHT - 12.0)}>{ format!("{lock:.0}° right") }</text>
                    }
                    if let Some((row, column, cell)) = worst {
                        { worst_mark(at(row, column), (across, down), cell, units) }
                    }
                </svg>
                <ul class="legend">
                    { for CLASSES.iter().map(|(_, words, class)| html! {
                        <li><svg viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" class="map"><rect class={*class} width="16" height="16" /></svg>{ *words }</li>
                    }) }
                </ul>
            </div>
            { map_table(&props.fit, crossed, props.rest_mm, units) }
        </section>
    }
}

fn worst_mark((x, y): (f64, f64), (across, down): (f64, f64), cell: Cell, units: Units) -> Html {
    let (cx, cy) = (x + across / 2.0, y + down / 2.0);
    let text_x = cx.clamp(LEFT + 36.0, WIDTH - 44.0);
    let text_y = if cy < 40.0 { cy + 24.0 } else { cy - 12.0 };
    html! {
        <g class="worst">
            <circle cx={format!("{cx:.1}")} cy={format!("{cy:.1}")} r="6" />
            <text x={format!("{text_x:.1}")} y={format!("{text_y:.1}")}>{ words::length(cell.clearance_mm, units) }</text>
        </g>
    }
}

/// Nine places of the map in words.
fn map_table(fit: &Fit, crossed: Option<f64>, rest_mm: f64, units: Units) -> Html {
    let Some(first) = fit.maps.first() else { return html! {} };
    let (columns, rows) = (first.steer_rad.len(), first.travel_mm.len());
    let rest = (0..rows)
        .min_by(|a, b| {
            let miss = |row: &usize| {
                first.travel_mm.get(*row).map_or(f64::INFINITY, |t| (t - rest_mm).abs())
            };
            miss(a).total_cmp(&miss(b))
        })
        .unwrap_or(0);
    let heights = [("Full bump", rows.saturating_sub(1)), ("At rest", rest), ("Full droop", 0)];
    let steers: Vec<(&str, usize)> = if columns > 1 {
        vec![("Full left", columns - 1), ("Straight", columns / 2), ("Full right", 0)]
    } else {
        vec![("Straight", 0)]
    };
    html! {
        <table class="answers map-table">
            <caption>{ "Least clearance in words" }</caption>
            <thead><tr><td></td>{ for steers.iter().map(|(name, _)| html! { <th scope="col">{ *name }</th> }) }</tr></thead>
            <tbody>
                { for heights.iter().map(|(name, row)| html! {
                    <tr>
                        <th scope="row">{ *name }</th>
                        { for steers.iter().map(|(_, column)| match least(fit, crossed, *row, *column) {
                            None => html! { <td>{ "out of reach" }</td> },
                            Some(cell) => html! {
                                <td class={(cell.clearance_mm < 0.0).then_some("touch")}>
                                    <span class="value">{ words::length(cell.clearance_mm, units) }</span>
                                    <span class="spread">{ if cell.clearance_mm < 0.0 { format!("in the {}", obstacle(cell.obstacle)) } else { obstacle(cell.obstacle).to_owned() } }</span>
                                </td>
                            },
                        }) }
                    </tr>
                }) }
            </tbody>
        </table>
    }
}
