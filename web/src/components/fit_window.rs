//! How far in or out the wheel may sit: the window of wheel offsets, drawn to scale.

use super::fit_map::obstacle;
use crate::state::edit::Quantity;
use crate::words;
use buildfile::Units;
use fitment::clearance::{Sigmas, Window, WindowEnd};
use fitment::truck::{Axle, Setup, Side, Step};
use yew::prelude::*;

fn limit(end: &WindowEnd, axle: &Axle) -> String {
    match end.limited_by {
        Some((what, Side::Left)) => {
            format!("then the left tire meets the {}", obstacle(axle, what))
        }
        Some((what, Side::Right)) => {
            format!("then the right tire meets the {}", obstacle(axle, what))
        }
        None => "and nothing in the way that was measured".into(),
    }
}

fn signed(mm: f64, units: Units) -> String {
    let text = words::length(mm, units);
    if mm > 0.0 { format!("+{text}") } else { text }
}

/// A length and how far it may be off.
pub fn off(mm: f64, sigma: Option<f64>, units: Units) -> String {
    let text = words::length(mm, units);
    match sigma {
        Some(sigma) => {
            let spread = words::spread((2.0 * sigma).round(), Quantity::Length, units);
            format!("{text} ({spread})")
        }
        None => text,
    }
}

/// The window in words and as a scale.
pub fn fit_window(
    (window, sure): (&Window, &Sigmas),
    axle: &Axle,
    setup: &Setup,
    margin_mm: f64,
    units: Units,
) -> Html {
    let offset_mm = setup.wheel.offset_mm.value;
    let margin = words::length(margin_mm, units);
    let (low, high) = (offset_mm - 75.0, offset_mm + 75.0);
    // A scale reads inboard (more offset) to the left, like a left tire seen from the front.
    let at = |offset: f64| 12.0 + (high - offset.clamp(low, high)) / (high - low) * 336.0;
    let words_of = match window {
        Window::Clears { inboard, outboard } => html! {
            <>
                <p class="verdict">{ format!("Offsets from {} to {} clear everything by {margin}.", signed(outboard.offset_mm, units), signed(inboard.offset_mm, units)) }</p>
                <ul class="plain">
                    <li>{ format!("Inboard: {} of room, {}.", off(-inboard.shift_mm, sure.inboard_mm, units), limit(inboard, axle)) }</li>
                    <li>{ format!("Outboard: {} of room, {}.", off(outboard.shift_mm, sure.outboard_mm, units), limit(outboard, axle)) }</li>
                </ul>
            </>
        },
        Window::Never { best, clearance_mm } => html! {
            <p class="verdict">{ format!("No offset clears everything by {margin}. The best, {}, leaves {}.", signed(best.offset_mm, units), words::length(*clearance_mm, units)) }</p>
        },
    };
    let open = match window {
        Window::Clears { inboard, outboard } => {
            Some((at(inboard.offset_mm), at(outboard.offset_mm)))
        }
        Window::Never { .. } => None,
    };
    let now = at(offset_mm);
    html! {
        <section class="window" aria-labelledby="window-title">
            <h2 id="window-title">{ "Offset window" }</h2>
            { words_of }
            <svg class="scale" viewBox="0 0 360 64" aria-hidden="true">
                <path class="scale-line" d="M12 36H348" />
                { for (0..=10).map(|i| { let x = 12.0 + 33.6 * f64::from(i); html! { <path class="scale-tick" d={format!("M{x:.1} 36v{}", if i % 5 == 0 { 9 } else { 5 })} /> } }) }
                if let Some((from, to)) = open {
                    <rect class="scale-open" x={format!("{from:.1}")} y="30" width={format!("{:.1}", (to - from).max(1.0))} height="12" />
                }
                <path class="scale-now" d={format!("M{now:.1} 46v-26l-5 -8h10l-5 8")} />
                <text class="axis-text middle" x={format!("{:.1}", now.clamp(40.0, 320.0))} y="9">{ format!("now {}", signed(offset_mm, units)) }</text>
                <text class="axis-text start" x="12" y="60">{ "inboard" }</text>
                <text class="axis-text end" x="348" y="60">{ "outboard" }</text>
            </svg>
            { spacers(window, axle, setup, units) }
            <p class="help">{ "A thicker spacer moves the wheel outboard by its thickness and lowers the effective offset by as much." }</p>
        </section>
    }
}

/// The offsets that clear, short, and below them how sure each end is.
pub fn range((window, sure): (&Window, &Sigmas), units: Units) -> Html {
    match window {
        Window::Clears { inboard, outboard } => {
            let ends = [(outboard, sure.outboard_mm), (inboard, sure.inboard_mm)];
            let off = |sigma: f64| words::spread((2.0 * sigma).round(), Quantity::Length, units);
            let spreads: Vec<String> =
                ends.into_iter().map(|(_, sigma)| sigma.map_or("—".into(), off)).collect();
            let [outboard, inboard] = ends.map(|(end, _)| signed(end.offset_mm, units));
            html! { <>{ format!("{outboard} to {inboard}") }<span class="spread">{ spreads.join(" to ") }</span></> }
        }
        Window::Never { best, clearance_mm } => html! {
            { format!("none; best {} leaves {}", signed(best.offset_mm, units), words::length(*clearance_mm, units)) }
        },
    }
}

/// Usual thicknesses, where none are on the shelf, mm. Common practice, no source.
const USUAL_MM: [f64; 5] = [0.0, 25.4, 31.75, 38.1, 50.8];

/// Which spacers put the wheel inside the window.
fn spacers(window: &Window, axle: &Axle, setup: &Setup, units: Units) -> Html {
    let mut sizes = axle.shelf.steps(Step::Spacer);
    if sizes.is_empty() {
        sizes.extend(USUAL_MM);
    } else {
        sizes.insert(0, 0.0);
    }
    let clears = |mm: f64| match window {
        Window::Clears { inboard, outboard } => {
            let shift = mm - setup.spacer_mm.value;
            inboard.shift_mm <= shift && shift <= outboard.shift_mm
        }
        Window::Never { .. } => false,
    };
    html! {
        <dl class="limits-list">
            { for sizes.into_iter().map(|mm| html! {
                <div><dt>{ if mm > 0.0 { format!("Spacer {}", words::length(mm, units)) } else { "No spacer".into() } }</dt><dd>{ if clears(mm) { "clears" } else { "short of room" } }</dd></div>
            }) }
        </dl>
    }
}
