//! What a look-up compares, drawn to scale from the engine's outlines.

use checks::{Dimension, Drawing, Quantity, Thing};
use fitment::measure::{System, format};
use std::fmt::Write;
use yew::prelude::*;

/// How wide the drawing's own units are; the page stretches it to its place.
const WIDE: f64 = 360.0;
const MARGIN: f64 = 14.0;

/// From the engine's mm, y up, to the drawing's units, y down.
struct Scale {
    left: f64,
    top: f64,
    per_mm: f64,
}

impl Scale {
    fn x(&self, mm: f64) -> f64 {
        (mm - self.left) * self.per_mm + MARGIN
    }

    fn y(&self, mm: f64) -> f64 {
        (self.top - mm) * self.per_mm + MARGIN
    }

    fn path(&self, points: &[[f64; 2]]) -> String {
        let mut path = String::new();
        for (at, [x, y]) in points.iter().enumerate() {
            let letter = if at == 0 { 'M' } else { 'L' };
            // Writing to a string does not fail.
            let _ = write!(path, "{letter}{:.1} {:.1}", self.x(*x), self.y(*y));
        }
        path
    }
}

/// The drawing with its legend.
pub fn card_drawing(drawing: &Drawing, system: System) -> Html {
    let [[left, low], [right, top]] = drawing.bounds();
    let per_mm = (WIDE - 2.0 * MARGIN) / (right - left);
    let high = (top - low) * per_mm + 2.0 * MARGIN;
    if !(per_mm.is_finite() && high.is_finite() && high < 4.0 * WIDE) {
        return html! {};
    }
    let scale = Scale { left, top, per_mm };
    html! {
        <figure class="paper overlay">
            <svg class="drawing" viewBox={format!("0 0 {WIDE} {high:.1}")} role="img" aria-label={words(drawing, system)}>
                <path class="ground" d={scale.path(&drawing.shared)} />
                { for drawing.things.iter().enumerate().map(|(at, it)| thing(at, it, &scale)) }
                { for drawing.dims.iter().filter(|dim| dim.value.abs() * per_mm > 0.5).map(|it| dim(it, &scale, system)) }
            </svg>
            <figcaption>
                { format!("{}. ", drawing.words) }
                { for drawing.things.iter().enumerate().map(|(at, it)| html! {
                    <span class={format!("overlay-name t{at}")}>
                        <svg viewBox="0 0 24 8" width="24" height="8" aria-hidden="true"><path d="M0 4h24" /></svg>{ it.name.clone() }
                    </span>
                }) }
            </figcaption>
        </figure>
    }
}

/// The differences, for the ear.
fn words(drawing: &Drawing, system: System) -> String {
    let dims = drawing.dims.iter().map(|dim| Quantity::Length.words(dim.value, 0.0, system));
    format!("{}: {}", drawing.words, dims.collect::<Vec<_>>().join(", "))
}

fn thing(at: usize, thing: &Thing, scale: &Scale) -> Html {
    html! {
        <g class={format!("overlay-thing t{at}")}>
            { for thing.circles.iter().map(|([x, y], r)| html! {
                <circle cx={format!("{:.1}", scale.x(*x))} cy={format!("{:.1}", scale.y(*y))} r={format!("{:.1}", r * scale.per_mm)} />
            }) }
            { for thing.lines.iter().map(|line| html! { <path d={scale.path(line)} /> }) }
        </g>
    }
}

/// A tick at each end and the number beside.
fn dim(dim: &Dimension, scale: &Scale, system: System) -> Html {
    let ([x1, y1], [x2, y2]) =
        ([scale.x(dim.from[0]), scale.y(dim.from[1])], [scale.x(dim.to[0]), scale.y(dim.to[1])]);
    let upright = (x2 - x1).abs() < (y2 - y1).abs();
    let tick = if upright { "h10" } else { "v10" };
    let back = if upright { (-5.0, 0.0) } else { (0.0, -5.0) };
    let d = format!(
        "M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}M{:.1} {:.1}{tick}M{:.1} {:.1}{tick}",
        x1 + back.0,
        y1 + back.1,
        x2 + back.0,
        y2 + back.1,
    );
    let text = match system {
        System::Metric => format!("{} mm", format::number(dim.value, 0)),
        System::Inch => format::inches_decimal(dim.value, 2),
    };
    let (x, y) =
        if upright { (x1 + 8.0, y1.midpoint(y2) + 4.0) } else { (x1.midpoint(x2), y1 - 8.0) };
    let anchor = if upright { "start" } else { "middle" };
    html! {
        <g class="overlay-dim" aria-hidden="true">
            <path {d} />
            <text x={format!("{x:.1}")} y={format!("{y:.1}")} text-anchor={anchor}>{ text }</text>
        </g>
    }
}
