//! Tire load and pressure: what a tire carries at a pressure, the pressure a load asks for, a
//! passenger tire on a truck, and what warmth does to a gauge.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number, tire_size};
use fitment::{finding::Band, measure::Known, source::Source};
use num_dual::DualNum;

const POWER: Source = Source::Published(
    "TRA load tables (exponent 0.7 for light truck radials from memory; fits LT235/85R16 within 0.7 %): load = load on the sidewall · (pressure / its pressure)ⁿ",
);
const P_METRIC: Source = Source::Published(
    "TRA, load of a P-metric tire (as quoted by engineers; value from memory): 6.67e-5 · P^0.5 · Sd^1.39 · (rim + Sd) kg, Sd = (0.34848 + 0.6497 · aspect) · section, P in kPa, mm",
);
const SPREAD: Source = Source::Published(
    "the exponents in use, 0.5 (P-metric formula) to 1 (linear, Daws, Tire Society 2009, the cautious one)",
);
const TRUCK: Source = Source::Published(
    "49 CFR 571.120, S5.1.2: a passenger tire on a truck carries its load / 1.10",
);
const GAS: Source = Source::Derived("a gas shut in: absolute pressure ~ absolute temperature");
/// The air outside, kPa: standard atmosphere.
const OUTSIDE: f64 = 101.325;
const ZERO_CELSIUS: f64 = 273.15;

/// Load against pressure.
pub(super) static CARD: Card = Card {
    slug: "tire-load",
    title: "Tire load and pressure",
    about: "What a tire carries at a pressure, the pressure your axle load asks for, and the pressure that replaces the old tire's load.",
    words: &[
        "tire pressure",
        "psi",
        "load range",
        "load index",
        "p-metric",
        "lt tire",
        "air down",
        "inflation",
    ],
    fields: &[
        choice(
            "kind",
            "New tire",
            &[("lt", "Light truck (LT)"), ("p", "Passenger (P or no letters)")],
            "Off the sidewall.",
        ),
        number(
            "max_load",
            "Load on its sidewall, single",
            Quantity::Mass,
            Known::assumed(1380.0, 0.0),
            [200.0, 4000.0],
            "Max load single; 3042 lb is 1380 kg.",
        ),
        number(
            "max_pressure",
            "At this pressure",
            Quantity::Pressure,
            Known::assumed(550.0, 0.0),
            [150.0, 900.0],
            "Beside it on the sidewall; 80 psi is 552 kPa. The load range's letter does not fix it.",
        ),
        number(
            "pressure",
            "Pressure you run",
            Quantity::Pressure,
            Known::assumed(380.0, 7.0),
            [30.0, 900.0],
            "Cold, by your own gauge.",
        ),
        number(
            "axle_load",
            "Load of the axle",
            Quantity::Mass,
            Known::assumed(1300.0, 20.0),
            [200.0, 8000.0],
            "From a weighbridge, the truck laden as you drive it.",
        ),
        choice(
            "old_kind",
            "Old tire",
            &[("p", "Passenger (P or no letters)"), ("lt", "Light truck (LT)")],
            "Off its sidewall or the placard.",
        ),
        number(
            "old_load",
            "Old tire's load at its placard pressure",
            Quantity::Mass,
            Known::assumed(1120.0, 0.0),
            [200.0, 4000.0],
            "By its load index, when the placard asks for its full pressure.",
        ),
        tire_size(
            "old_size",
            "Old tire's size, to work its load out",
            "",
            "Passenger sizes such as P235/75R15; leave it empty where the load index is known.",
        ),
        number(
            "old_pressure",
            "Old tire's placard pressure",
            Quantity::Pressure,
            Known::assumed(240.0, 0.0),
            [100.0, 350.0],
            "For the size above; 35 psi is 241 kPa.",
        ),
        number(
            "cold",
            "Temperature when set",
            Quantity::Temperature,
            Known::assumed(20.0, 3.0),
            [-40.0, 60.0],
            "Of the tire, standing for hours in the shade.",
        ),
        number(
            "warm",
            "Temperature now",
            Quantity::Temperature,
            Known::assumed(40.0, 5.0),
            [-40.0, 120.0],
            "Of the air in the tire.",
        ),
    ],
    cautions: &[
        "Never below the pressure on the placard, or the pressure that replaces the old tire's load; never above the sidewall's or the wheel's. The tire maker's load table comes first.",
        "An underinflated tire overheats and comes apart at speed; aired down it can leave its rim. Air down only off the road and slow, and air up again before you drive on. Never bleed a warm tire.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let is_lt = given.choice("kind") == "lt";
    let exponent = if is_lt { 0.7 } else { 0.5 };
    let (most, at) = (given.number("max_load"), given.number("max_pressure"));
    let rated = most / derate(is_lt);
    out.line(
        "rated",
        "May carry on a truck",
        Quantity::Mass,
        rated,
        TRUCK,
        "{0} / {2} = {1}",
        &[n(most), n(N::from(derate(is_lt))), n(rated)],
    );
    let pressure = given.number("pressure");
    let carries = rated * (pressure / at).powf(exponent);
    out.line(
        "carries",
        "Carries at the pressure you run",
        Quantity::Mass,
        carries,
        POWER,
        "{1} · ({0} / {0})^{1} = {0}",
        &[n(rated), n(pressure), n(at), n(N::from(exponent)), n(carries)],
    );
    let wheel = given.number("axle_load") / 2.0;
    let in_hand = carries - wheel;
    out.line(
        "in_hand",
        "More than the wheel's load",
        Quantity::Mass,
        in_hand,
        POWER,
        "{0} − {0} / 2 = {0}",
        &[n(carries), n(given.number("axle_load")), n(in_hand)],
    );
    out.judge(Band {
        low: 0.0,
        high: f64::INFINITY,
        slack: 0.0,
        stop: (Some(0.0), None),
        source: POWER,
        why: "The tire carries more than its pressure allows: it overheats and comes apart.",
    });
    let needed = |load: N, power: f64| at * (load / rated).powf(1.0 / power);
    for (key, label, power, source) in [
        ("pressure_needed", "Pressure for the axle's load", exponent, POWER),
        ("pressure_linear", "The same, by the cautious linear rule", 1.0, SPREAD),
        ("pressure_low", "The same, by the lowest rule in use", 0.5, SPREAD),
    ] {
        let value = needed(wheel, power);
        out.line(
            key,
            label,
            Quantity::Pressure,
            value,
            source,
            "{0} · ({0} / {1})^(1/{1}) = {1}",
            &[n(at), n(wheel), n(rated), n(N::from(power)), n(value)],
        );
        // The lowest rule is there to show the spread, not to be run.
        if key == "pressure_low" {
            continue;
        }
        out.judge(Band {
            low: 0.0,
            high: at.re,
            slack: 0.0,
            stop: (None, Some(at.re)),
            source: POWER,
            why: "The load asks for more than the sidewall's pressure: the tire is too small for it.",
        });
    }
    p_metric(given, out);
    replacing(given, needed, exponent, out);
    warmth(given, out);
}

/// What the old tire's size carries by the formula its table is made with.
fn p_metric(given: &Given, out: &mut Report) {
    let Some(tire) = given.tire_if_any("old_size") else { return };
    let Some([section, aspect]) = tire.metric else {
        out.note("The load of an inch size stands in no formula: go by its sidewall.");
        return;
    };
    let effective = (0.34848 + 0.6497 * aspect) * section;
    let pressure = given.number("old_pressure");
    let load = pressure.sqrt() * (6.67e-5 * effective.powf(1.39) * (tire.rim + effective));
    out.line(
        "old_by_size",
        "Old tire carries by its size",
        Quantity::Mass,
        load,
        P_METRIC,
        "6.67e-5 · √{0} · {1}^1.39 · ({0} + {1}) = {0}; its sidewall's load index comes first",
        &[n(pressure), n(N::from(effective)), n(N::from(tire.rim)), n(N::from(effective)), n(load)],
    );
}

/// A passenger tire on a truck may carry less than its sidewall says.
const fn derate(lt: bool) -> f64 {
    if lt { 1.0 } else { 1.10 }
}

/// The pressure at which the new tire carries what the old one could.
fn replacing(given: &Given, needed: impl Fn(N, f64) -> N, exponent: f64, out: &mut Report) {
    let (most, at) = (given.number("max_load"), given.number("max_pressure"));
    let rated = most / derate(given.choice("kind") == "lt");
    let old_lt = given.choice("old_kind") == "lt";
    let old = given.number("old_load") / derate(old_lt);
    out.line(
        "old_rated",
        "The old tire might carry",
        Quantity::Mass,
        old,
        TRUCK,
        "{0} / {2} = {1}",
        &[n(given.number("old_load")), n(N::from(derate(old_lt))), n(old)],
    );
    let replaces = needed(old, exponent);
    out.line(
        "pressure_replaces",
        "Pressure that replaces the old tire's load",
        Quantity::Pressure,
        replaces,
        POWER,
        "{0} · ({1} / {1})^(1/{1}) = {1}",
        &[n(at), n(old), n(rated), n(N::from(exponent)), n(replaces)],
    );
    out.judge(Band {
        low: 0.0,
        high: at.re,
        slack: 0.0,
        stop: (None, Some(at.re)),
        source: POWER,
        why: "The new tire cannot carry what the old one could.",
    });
    let over = given.number("pressure") - replaces;
    out.line(
        "over",
        "You run more than that by",
        Quantity::Pressure,
        over,
        POWER,
        "{1} − {1} = {1}",
        &[n(given.number("pressure")), n(replaces), n(over)],
    );
    out.judge(Band {
        low: 0.0,
        high: f64::INFINITY,
        slack: 20.0,
        stop: (Some(-100.0), None),
        source: Source::CommonPractice,
        why: "On the road the new tire is not to carry less than the old one could, whatever the axle weighs today.",
    });
}

/// What the gauge shows when the air has warmed.
fn warmth(given: &Given, out: &mut Report) {
    let pressure = given.number("pressure");
    let kelvin = |key: &str| given.number(key) + ZERO_CELSIUS;
    let warm = (pressure + OUTSIDE) * kelvin("warm") / kelvin("cold") - OUTSIDE;
    out.line(
        "warm",
        "The gauge shows when warm",
        Quantity::Pressure,
        warm,
        GAS,
        "({1} + 101.3) · {2} K / {2} K − 101.3 = {1}",
        &[n(pressure), n(kelvin("warm")), n(kelvin("cold")), n(warm)],
    );
}
