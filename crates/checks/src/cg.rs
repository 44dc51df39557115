//! Center of gravity by weighing: one axle on scales, level and with the other end raised.

use super::Quantity;
use super::card::{Card, Given, Report, n, number};
use super::shared::WHEELBASE;
use fitment::{
    measure::{Known, units::DEG_PER_RAD},
    source::Source,
};
use num_dual::DualNum;

const WEIGHED: Source = Source::Published(
    "ISO 10392, cl. 6: axle lift, springs blocked; h = r + (Wf′ − Wf) · wheelbase / (W · tan θ), sin θ = rise / wheelbase",
);
const RADII: Source = Source::Derived(
    "wheels of unlike radius: r = (rf · b + rr · a) / wheelbase, a and b from center of gravity to the axles",
);

/// Center of gravity.
pub(super) static CARD: Card = Card {
    slug: "cg-height",
    title: "Center of gravity by weighing",
    about: "Height of the center of gravity from the front axle's load, level and with the rear end raised.",
    words: &["center of gravity", "scales", "corner weight", "weighbridge", "balance"],
    fields: &[
        number(
            "mass",
            "Whole truck",
            Quantity::Mass,
            Known::assumed(2000.0, 5.0),
            [300.0, 8000.0],
            "Both axles on the scales.",
        ),
        number(
            "front",
            "Front axle, level",
            Quantity::Mass,
            Known::assumed(1050.0, 2.0),
            [100.0, 5000.0],
            "Front wheels on the scales, handbrake off, gear out.",
        ),
        number(
            "front_raised",
            "Front axle, rear raised",
            Quantity::Mass,
            Known::assumed(1126.0, 2.0),
            [100.0, 6000.0],
            "The same with the rear wheels raised, springs blocked front and rear.",
        ),
        WHEELBASE,
        number(
            "rise",
            "Rear raised by",
            Quantity::Length,
            Known::assumed(700.0, 5.0),
            [100.0, 2000.0],
            "At the wheel centers. More rise, better answer.",
        ),
        number(
            "front_radius",
            "Front wheel center above its scale",
            Quantity::Length,
            Known::assumed(380.0, 3.0),
            [200.0, 750.0],
            "Level.",
        ),
        number(
            "rear_radius",
            "Rear wheel center above ground",
            Quantity::Length,
            Known::assumed(380.0, 3.0),
            [200.0, 750.0],
            "Level.",
        ),
    ],
    cautions: &[
        "A truck with one end raised rolls off its supports. This is work for a workshop with proper stands, chocks and a crane or lift, and nobody under or in the truck.",
        "Block springs and shocks solid, fill or empty the tank, and repeat at several heights and with the other axle: a few percent is the best to be had.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let (mass, front) = (given.number("mass"), given.number("front"));
    let base = given.number("wheelbase");
    let behind = base * (mass - front) / mass;
    out.line(
        "behind",
        "Behind the front axle",
        Quantity::Length,
        behind,
        WEIGHED,
        "{0} · ({1} − {1}) / {1} = {1}",
        &[n(base), n(mass), n(front), n(mass), n(behind)],
    );
    let angle = (given.number("rise") / base).asin();
    out.line(
        "angle",
        "Truck tipped by",
        Quantity::Angle,
        angle * DEG_PER_RAD,
        WEIGHED,
        "asin({0} / {0}) = {3}°",
        &[n(given.number("rise")), n(base), n(angle * DEG_PER_RAD)],
    );
    let (rf, rr) = (given.number("front_radius"), given.number("rear_radius"));
    let radius = (rf * (base - behind) + rr * behind) / base;
    out.line(
        "radius",
        "Height of the wheels' line at it",
        Quantity::Length,
        radius,
        RADII,
        "({0} · {0} + {0} · {0}) / {0} = {1}",
        &[n(rf), n(base - behind), n(rr), n(behind), n(base), n(radius)],
    );
    let per_kg = base / (mass * angle.tan());
    let gained = given.number("front_raised") - front;
    let height = radius + gained * per_kg;
    out.line(
        "height",
        "Center of gravity above ground",
        Quantity::Length,
        height,
        WEIGHED,
        "{1} + {1} · {0} / ({0} · tan {2}°) = {1}",
        &[n(radius), n(gained), n(base), n(mass), n(angle * DEG_PER_RAD), n(height)],
    );
    out.line(
        "per_kg",
        "Moved by each kg on the scale",
        Quantity::Length,
        per_kg,
        WEIGHED,
        "{0} / ({0} · tan θ) = {3}",
        &[n(base), n(mass), n(per_kg)],
    );
    if gained.re <= 0.0 {
        out.note("The front axle must gain load when the rear is raised: check the readings, the springs' blocks and that no brake or gear holds a wheel.");
    }
}
