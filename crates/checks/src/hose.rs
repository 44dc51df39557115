//! Brake hose, ABS lead, breather: the longest straight line they must span.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, number};
use fitment::{
    finding::Band,
    measure::{Known, units::DEG_PER_RAD},
    source::Source,
};
use num_dual::DualNum;

const SPAN: Source = Source::Derived(
    "straight distance between the two ends; the wheel's end drops with the axle and turns about an upright steering axis",
);

/// A hose from frame to axle or knuckle.
pub(super) static CARD: Card = Card {
    slug: "hose",
    title: "Brake hose and ABS lead",
    about: "Whether a hose or lead still reaches at full droop and full steering, and the length it should have.",
    words: &["brake line", "abs", "extended hose", "droop", "breather", "slack"],
    fields: &[
        number(
            "ahead",
            "Wheel end ahead of the frame end",
            Quantity::Length,
            Known::assumed(50.0, 3.0),
            [-1000.0, 1000.0],
            "At ride height, wheels straight.",
        ),
        number(
            "outboard",
            "Wheel end outboard of the frame end",
            Quantity::Length,
            Known::assumed(296.0, 3.0),
            [-1000.0, 1000.0],
            "The same.",
        ),
        number(
            "below",
            "Wheel end below the frame end",
            Quantity::Length,
            Known::assumed(250.0, 3.0),
            [-500.0, 1000.0],
            "The same.",
        ),
        number(
            "droop",
            "Axle drops at full droop",
            Quantity::Length,
            Known::assumed(125.0, 3.0),
            [0.0, 600.0],
            "At this wheel, crossed up: more than with both hanging.",
        ),
        number(
            "droop_ahead",
            "Axle moves ahead at full droop",
            Quantity::Length,
            Known::assumed(0.0, 5.0),
            [-200.0, 200.0],
            "At this wheel: arms swing it fore and aft as it drops.",
        ),
        number(
            "droop_outboard",
            "Axle moves outboard at full droop",
            Quantity::Length,
            Known::assumed(0.0, 8.0),
            [-200.0, 200.0],
            "At this wheel: a Panhard bar pulls it sideways, and it leans.",
        ),
        number(
            "bump",
            "Axle rises at full bump",
            Quantity::Length,
            Known::assumed(75.0, 3.0),
            [0.0, 500.0],
            "At this wheel, onto its bump stop.",
        ),
        number(
            "axis_ahead",
            "Wheel end ahead of the steering axis",
            Quantity::Length,
            Known::assumed(60.0, 3.0),
            [-400.0, 400.0],
            "Seen from above; both 0 for an end on the axle itself.",
        ),
        number(
            "axis_outboard",
            "Wheel end outboard of the steering axis",
            Quantity::Length,
            Known::assumed(30.0, 3.0),
            [-400.0, 400.0],
            "Seen from above.",
        ),
        number(
            "lock",
            "Full steering",
            Quantity::Angle,
            Known::assumed(35.0, 1.0),
            [0.0, 60.0],
            "Of this wheel; 0 for an axle that does not steer.",
        ),
        number(
            "hose",
            "Length of the hose",
            Quantity::Length,
            Known::assumed(540.0, 3.0),
            [50.0, 3000.0],
            "Free length between its fittings, straight.",
        ),
    ],
    cautions: &[
        "A brake hose that pulls tight at droop tears, and the brakes are gone. Look at every hose and lead with the axle hanging and the wheels turned lock to lock, and again crossed up, before driving.",
        "Fit only hoses made and marked for brakes (FMVSS 106 or your own rules); never lengthen a lead by splicing unless its maker allows it. Have brake work done or checked by someone licensed for it.",
        "The straight line is the least: a hose also needs its bends, and must not rub, twist or hang where the tire reaches it.",
    ],
    work,
    drawing: None,
};

/// Span with the wheel steered by an angle and the axle moved from ride height.
fn span(given: &Given, steer_deg: N, drop: N, moved: [N; 2]) -> N {
    let (sin, cos) = (steer_deg / DEG_PER_RAD).sin_cos();
    let (x, y) = (given.number("axis_ahead"), given.number("axis_outboard"));
    let ahead = given.number("ahead") + moved[0] + x * cos - y * sin - x;
    let outboard = given.number("outboard") + moved[1] + x * sin + y * cos - y;
    let below = given.number("below") + drop;
    (ahead * ahead + outboard * outboard + below * below).sqrt()
}

fn work(given: &Given, out: &mut Report) {
    let zero = N::from(0.0);
    let (lock, droop) = (given.number("lock"), given.number("droop"));
    let mut longest = zero;
    let still = [zero, zero];
    let hung = [given.number("droop_ahead"), given.number("droop_outboard")];
    let bump = -given.number("bump");
    for (key, label, steer, drop, moved) in [
        ("ride", "Span at ride height", zero, zero, still),
        ("drooped", "Span at full droop", zero, droop, hung),
        ("steered_out", "Span at full droop, front of the wheel out", lock, droop, hung),
        ("steered_in", "Span at full droop, front of the wheel in", -lock, droop, hung),
        ("bumped_out", "Span at full bump, front of the wheel out", lock, bump, still),
        ("bumped_in", "Span at full bump, front of the wheel in", -lock, bump, still),
    ] {
        let length = span(given, steer, drop, moved);
        if length.re > longest.re {
            longest = length;
        }
        out.line(
            key,
            label,
            Quantity::Length,
            length,
            SPAN,
            "drop {0} mm, steer {1}°: √(ahead² + out² + down²) = {2}",
            &[n(drop), n(steer), n(length)],
        );
    }
    let hose = given.number("hose");
    let slack = hose - longest;
    out.line(
        "slack",
        "Slack at the worst",
        Quantity::Length,
        slack,
        SPAN,
        "{1} − {1} = {1}",
        &[n(hose), n(longest), n(slack)],
    );
    out.judge(Band {
        low: 25.0,
        high: f64::INFINITY,
        slack: 10.0,
        stop: (Some(5.0), None),
        source: Source::CommonPractice,
        why: "A hose needs slack for its bends and for the axle's twist; tight, it tears at its fitting.",
    });
    let wanted = longest + 40.0;
    out.line(
        "wanted",
        "Length to look for",
        Quantity::Length,
        wanted,
        Source::CommonPractice,
        "{1} + 40 for bends and twist = {1}",
        &[n(longest), n(wanted)],
    );
}
