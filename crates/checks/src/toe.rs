//! Toe: a length read at rim or tread to an angle, and back.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, number, within};
use fitment::{
    measure::{Known, units::DEG_PER_RAD},
    source::Source,
};
use num_dual::DualNum;

const TOE: Source = Source::Derived(
    "each wheel turns by asin(t / 2D): t the difference front to rear of the two wheels together, D the diameter it is read at; ISO 8855 sign, toe-in positive",
);

/// Toe as length and as angle.
pub(super) static CARD: Card = Card {
    slug: "toe",
    title: "Toe: length and angle",
    about: "Turns toe read with a tape into degrees and back, for whatever diameter it was read at.",
    words: &["toe in", "alignment", "tie rod", "tracking", "trammel"],
    fields: &[
        number(
            "length",
            "Total toe, a length",
            Quantity::Length,
            Known::assumed(3.0, 1.0),
            [-80.0, 80.0],
            "Distance between the two wheels behind the axle less the one ahead of it; positive is toe-in.",
        ),
        number(
            "diameter",
            "Diameter it is read at",
            Quantity::Length,
            Known::assumed(406.4, 5.0),
            [200.0, 1500.0],
            "Across the rim's edge, or the tread, wherever the tape touched.",
        ),
        number(
            "angle",
            "Total toe, an angle",
            Quantity::Angle,
            Known::assumed(0.2, 0.0),
            [-10.0, 10.0],
            "What an alignment sheet asks for, both wheels together, to turn into a length.",
        ),
    ],
    cautions: &[
        "Steering geometry: have toe, caster and the steering wheel's center measured on a rig by someone licensed for it after any change. Lock every jam nut and fit every split pin.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let (length, across) = (given.number("length"), given.number("diameter"));
    let wheel = (length / (across * 2.0)).asin() * DEG_PER_RAD;
    out.line(
        "per_wheel",
        "Toe of each wheel",
        Quantity::Angle,
        wheel,
        TOE,
        "asin({2} / (2 · {1})) = {4}°",
        &[n(length), n(across), n(wheel)],
    );
    let total = wheel * 2.0;
    out.line(
        "total",
        "Toe of both together",
        Quantity::Angle,
        total,
        TOE,
        "2 · {4} = {4}°",
        &[n(wheel), n(total)],
    );
    out.judge(within(0.0, 0.45, 0.2, Source::CommonPractice, "A solid axle with large tires usually runs a little toe-in, so that play in the linkage does not let it toe out and wander; too much scrubs the tread. The truck's own figure comes first."));
    let back = |total: N| (total / (2.0 * DEG_PER_RAD)).sin() * across * 2.0;
    let angle = given.number("angle");
    let as_length = back(angle);
    out.line(
        "as_length",
        "The angle as a length",
        Quantity::Length,
        as_length,
        TOE,
        "2 · {1} · sin({3}° / 2) = {3}",
        &[n(across), n(angle), n(as_length)],
    );
    let tenth = back(N::from(0.2));
    out.line(
        "tenth",
        "Length of 0.10° at each wheel",
        Quantity::Length,
        tenth,
        TOE,
        "2 · {1} · sin 0.1° = {3}",
        &[n(across), n(tenth)],
    );
}
