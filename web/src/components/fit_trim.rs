//! Where to cut the arch: its edge, the line to cut along, and that line's corners measured from the
//! hub's center.

use super::fit_window::off;
use crate::answers::Bench;
use crate::drawing::{Dim, Drawing, Frame, Mark, Run, View, drawing};
use crate::words;
use buildfile::Units;
use fitment::axle::{Form, Kind, SceneItem};
use fitment::clearance::TrimLine;
use fitment::truck::{Side, State};
use yew::prelude::*;

/// Size of the drawing, px.
const SIZE: [f64; 2] = [344.0, 240.0];

/// The drawing and the numbers to mark it out by.
pub fn fit_trim(line: &TrimLine, bench: &Bench, state: State, units: Units) -> Html {
    let deepest = line.deepest_mm();
    if deepest <= 0.0 {
        return html! { <p class="help">{ "The arch needs no cutting." }</p> };
    }
    let (Ok(stock), Ok(now)) = (bench.state(State::Stock), bench.state(state)) else {
        return html! {};
    };
    // As it is cut already in this state.
    let edge =
        now.scene.iter().find(|item| item.kind == Kind::Arch && item.side == Some(Side::Left));
    let Some(edge) = edge else { return html! {} };
    let more = if bench.axle.arch_trim_mm(state).value > 0.0 { "another " } else { "" };
    let y = edge.points.first().map_or(0.0, |point| point[1]);
    // Two points to a sector, from its one end to its other.
    let points: Vec<[f64; 3]> = line.points_mm().into_iter().map(|[x, z]| [x, y, z]).collect();
    // Drawn as a shock is: a line without pivots.
    let line_of_cut = SceneItem {
        kind: Kind::Shock,
        side: Some(Side::Left),
        form: Form::Line,
        points: points.clone(),
    };
    let wheel = |item: &&SceneItem| {
        matches!(item.kind, Kind::Rim | Kind::Tire) && item.side == Some(Side::Left)
    };
    let mut scene: Vec<SceneItem> = stock.scene.iter().filter(wheel).cloned().collect();
    scene.extend([edge.clone(), line_of_cut]);
    let around = scene.iter().filter(|item| item.kind != Kind::Tire);
    let frame = Frame::filled(View::Side, bench.end, around, SIZE, 0.8);
    let cut: Vec<(usize, f64)> = line
        .sectors
        .iter()
        .enumerate()
        .filter(|(_, trim)| trim.depth_mm > 0.0)
        .map(|(index, trim)| (index, trim.depth_mm))
        .collect();
    let corner = |index: usize| points.get(index).copied().unwrap_or_default();
    let said = |mm: f64| words::length(mm, units);
    let worst = cut.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
    let dims: Vec<Dim> = worst
        .into_iter()
        .flat_map(|(index, _)| {
            let at = corner(2 * index);
            [
                (Run::Level(16.0), at[0], [at[0], y, 0.0]),
                (Run::Upright(-14.0), at[2], [0.0, y, at[2]]),
            ]
            .map(|(run, mm, to)| Dim {
                view: View::Side,
                from: [0.0, y, 0.0],
                to,
                run,
                name: "hub center to the deepest cut".into(),
                text: said(mm),
                mark: Mark::Computed,
                path: None,
            })
        })
        .collect();
    let words = format!(
        "The arch from the left with the line to cut along, at the deepest {}",
        said(deepest)
    );
    html! {
        <>
            <h3>{ format!("Cut the arch back by {more}{} at the deepest", off(deepest, Some(line.sigma_mm), units)) }</h3>
            <figure class="paper trim">
                { drawing(&Drawing { lit: Some(""), ..Drawing::new(frame, &scene, &dims, words) }) }
                <figcaption>{ "From the left, truck at stock height; the heavy line is the cut edge, the same on both sides." }</figcaption>
            </figure>
            <table class="answers map-table">
                <caption>{ "Corners of the cut, from the hub's center with the truck at stock height" }</caption>
                <thead><tr><th scope="col">{ "Cut back" }</th><th scope="col">{ "Ahead" }</th><th scope="col">{ "Up" }</th></tr></thead>
                <tbody>
                    { for cut.iter().map(|(index, depth)| {
                        let (from, to) = (corner(2 * index), corner(2 * index + 1));
                        html! {
                            <tr>
                                <th scope="row">{ said(*depth) }</th>
                                <td>{ format!("{} to {}", said(from[0]), said(to[0])) }</td>
                                <td>{ format!("{} to {}", said(from[2]), said(to[2])) }</td>
                            </tr>
                        }
                    }) }
                </tbody>
            </table>
            <p class="caution">{ "Find what runs behind the panel before you cut: brake and fuel lines, wiring, seams that carry the body." }</p>
        </>
    }
}
