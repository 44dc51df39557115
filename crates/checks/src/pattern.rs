//! Bolt pattern: the circle through the studs from a distance between two of them.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number};
use fitment::{measure::Known, source::Source};
use std::f64::consts::PI;

const CHORD: Source =
    Source::Derived("studs on a circle: circle = chord / sin(π · steps between the studs / studs)");

/// Bolt circle.
pub(super) static CARD: Card = Card {
    slug: "pattern",
    title: "Bolt pattern",
    about: "The bolt circle of a wheel from the distance between two studs, and how far it is from another pattern.",
    words: &["lug pattern", "pcd", "bolt circle", "studs", "5x4.5", "6x5.5"],
    fields: &[
        choice("studs", "Studs", &[("6", "6"), ("5", "5"), ("8", "8"), ("4", "4")], "Count them."),
        choice(
            "across",
            "Measured",
            &[("next", "To the next stud"), ("second", "To the stud after next")],
            "On five studs the one after next is easier to measure well; on six and eight the next.",
        ),
        number(
            "distance",
            "Distance, middle to middle",
            Quantity::Length,
            Known::assumed(69.85, 0.3),
            [20.0, 400.0],
            "From one stud's left edge to the other's left edge.",
        ),
        number(
            "pattern",
            "Pattern to compare",
            Quantity::Length,
            Known::assumed(139.7, 0.0),
            [50.0, 400.0],
            "Of the wheel or adapter: 5 1/2 in is 139.7 mm, 4 1/2 in 114.3 mm.",
        ),
    ],
    cautions: &[
        "A wheel whose pattern is a millimeter off can be pulled onto its studs and will break them. The pattern must be the same, not near.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let studs = match given.choice("studs") {
        "4" => 4.0,
        "5" => 5.0,
        "8" => 8.0,
        _ => 6.0,
    };
    let steps = if given.choice("across") == "second" { 2.0 } else { 1.0 };
    let half = f64::sin(PI * steps / studs);
    let distance = given.number("distance");
    let circle = distance / half;
    out.line(
        "circle",
        "Bolt circle",
        Quantity::Length,
        circle,
        CHORD,
        "{2} / sin({0}·180° / {0}) = {2}",
        &[n(distance), n(N::from(steps)), n(N::from(studs)), n(circle)],
    );
    let off = circle - given.number("pattern");
    out.line(
        "off",
        "Off from the pattern to compare",
        Quantity::Length,
        off,
        CHORD,
        "{2} − {2} = {2}",
        &[n(circle), n(given.number("pattern")), n(off)],
    );
    out.judge(super::card::within(-0.3, 0.3, 0.0, Source::CommonPractice, "More than a few tenths off is another pattern, or a stud measured badly: measure all of them."));
}
