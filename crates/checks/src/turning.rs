//! Turning: Ackermann's angles, the turning circle, and what trail and scrub do to steering effort.

use super::Quantity;
use super::card::{Card, Given, Report, n, number, within};
use super::shared::WHEELBASE;
use fitment::{
    finding::Band,
    measure::{Known, units::DEG_PER_RAD, units::N_PER_KGF},
    source::{ACKERMANN, Source},
};
use num_dual::DualNum;

const MOMENT: Source =
    Source::Derived("moment about the steering axis = force · lever at the ground");
const ARMS: Source = Source::Derived(
    "steering arms that point at the middle of the rear axle: atan(spacing / 2 / wheelbase)",
);

/// Steering.
pub(super) static CARD: Card = Card {
    slug: "turning",
    title: "Turning circle and steering effort",
    about: "The outer wheel's angle that rolls without scrubbing, the turning circle, and how another trail or scrub radius loads steering and box.",
    words: &[
        "ackermann",
        "turning radius",
        "steering box",
        "sector",
        "toe out on turns",
        "heavy steering",
    ],
    fields: &[
        WHEELBASE,
        number(
            "spacing",
            "Steering axis to steering axis",
            Quantity::Length,
            Known::assumed(1400.0, 10.0),
            [500.0, 2500.0],
            "Where the two axes meet the ground.",
        ),
        number(
            "inner",
            "Inner wheel at full lock",
            Quantity::Angle,
            Known::assumed(35.0, 0.5),
            [1.0, 60.0],
            "Read at turn plates.",
        ),
        number(
            "outer",
            "Outer wheel at full lock",
            Quantity::Angle,
            Known::assumed(30.0, 0.5),
            [1.0, 60.0],
            "Read at turn plates.",
        ),
        number(
            "load",
            "Load on the wheel",
            Quantity::Mass,
            Known::assumed(600.0, 30.0),
            [50.0, 3000.0],
            "Axle load by two.",
        ),
        number(
            "lateral",
            "Cornering, of the wheel's load",
            Quantity::Ratio,
            Known::assumed(0.5, 0.0),
            [0.0, 1.2],
            "Side force over load.",
        ),
        number(
            "braking",
            "Uneven braking, of the wheel's load",
            Quantity::Ratio,
            Known::assumed(0.3, 0.0),
            [0.0, 1.2],
            "How much more one front wheel brakes than the other: a puddle on one side.",
        ),
        number(
            "trail_stock",
            "Trail, old",
            Quantity::Length,
            Known::assumed(28.0, 4.0),
            [-100.0, 200.0],
            "Ground contact behind the steering axis.",
        ),
        number(
            "trail",
            "Trail, new",
            Quantity::Length,
            Known::assumed(28.0, 4.0),
            [-100.0, 200.0],
            "The same.",
        ),
        number(
            "scrub_stock",
            "Scrub radius, old",
            Quantity::Length,
            Known::assumed(27.0, 4.0),
            [-150.0, 250.0],
            "Steering axis meets ground this far inboard of the contact.",
        ),
        number(
            "scrub",
            "Scrub radius, new",
            Quantity::Length,
            Known::assumed(60.0, 4.0),
            [-150.0, 250.0],
            "The same.",
        ),
        number(
            "arm",
            "Pitman arm",
            Quantity::Length,
            Known::assumed(150.0, 3.0),
            [50.0, 400.0],
            "Middle of the sector shaft to the joint.",
        ),
        number(
            "steering_arm",
            "Steering arm",
            Quantity::Length,
            Known::assumed(160.0, 3.0),
            [50.0, 400.0],
            "Steering axis to the drag link's joint.",
        ),
    ],
    cautions: &[
        "Steering decides whether the truck can be driven at all. Have any change of linkage, box, arms or stops inspected by someone licensed for it, and turn lock to lock at full droop and bump before driving.",
        "Larger tires and wheels set further out load box, joints and knuckles beyond what they were made for: look for play and cracks at every service. Never bend or weld a steering part.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    circle(given, out);
    effort(given, out);
}

fn circle(given: &Given, out: &mut Report) {
    let (base, spacing) = (given.number("wheelbase"), given.number("spacing"));
    let inner = given.number("inner");
    let across = base / (inner / DEG_PER_RAD).tan() + spacing;
    let free = (base / across).atan() * DEG_PER_RAD;
    out.line(
        "ackermann",
        "Outer wheel that rolls freely",
        Quantity::Angle,
        free,
        ACKERMANN,
        "acot(cot {2}° + {0} / {0}) = {3}°",
        &[n(inner), n(spacing), n(base), n(free)],
    );
    let off = given.number("outer") - free;
    out.line(
        "off",
        "Outer wheel is turned further by",
        Quantity::Angle,
        off,
        ACKERMANN,
        "{2} − {2} = {2}°",
        &[n(given.number("outer")), n(free), n(off)],
    );
    out.judge(within(-2.0, 5.0, 3.0, Source::CommonPractice, "Most trucks turn the outer wheel a little further than rolls freely; far off, the tires scrub in every tight turn, and a bent arm or a wrong tie rod is likely."));
    let to_axis = base / (free / DEG_PER_RAD).sin();
    out.line(
        "radius_axis",
        "Turning radius of the outer steering axis",
        Quantity::Length,
        to_axis,
        ACKERMANN,
        "{0} / sin {3}° = {1}",
        &[n(base), n(free), n(to_axis)],
    );
    let radius = to_axis + given.number("scrub");
    out.line(
        "radius",
        "Turning radius of the outer wheel",
        Quantity::Length,
        radius,
        ACKERMANN,
        "{1} + {1} = {1}",
        &[n(to_axis), n(given.number("scrub")), n(radius)],
    );
    let arms = (spacing / (base * 2.0)).atan() * DEG_PER_RAD;
    out.line(
        "arms",
        "Steering arms turned in by",
        Quantity::Angle,
        arms,
        ARMS,
        "atan({0} / 2 / {0}) = {3}°",
        &[n(spacing), n(base), n(arms)],
    );
}

fn effort(given: &Given, out: &mut Report) {
    let force = given.number("load") * N_PER_KGF;
    let levers = [
        (
            "corner",
            "Moment of a corner, by trail",
            "corner_more",
            "More than before",
            "lateral",
            "trail_stock",
            "trail",
        ),
        (
            "brake",
            "Kick of uneven braking, by scrub",
            "brake_more",
            "More kick than before",
            "braking",
            "scrub_stock",
            "scrub",
        ),
    ];
    let mut largest = given.number("load") * 0.0;
    for (key, label, key_more, label_more, share, old, new) in levers {
        let pull = force * given.number(share);
        let moment = pull * given.number(new) / 1000.0;
        out.line(
            key,
            label,
            Quantity::Torque,
            moment,
            MOMENT,
            "{0} N · {1} mm / 1000 = {1}",
            &[n(pull), n(given.number(new)), n(moment)],
        );
        let more = pull * (given.number(new) - given.number(old)) / 1000.0;
        out.line(
            key_more,
            label_more,
            Quantity::Torque,
            more,
            MOMENT,
            "{0} N · ({1} − {1}) / 1000 = {1}",
            &[n(pull), n(given.number(new)), n(given.number(old)), n(more)],
        );
        largest = if moment.re > largest.re { moment } else { largest };
    }
    out.note("Compare before and after: the tire's own trail and the friction of a standing tire come on top, so the wheel's real effort is not here.");
    let at_box = largest * given.number("arm") / given.number("steering_arm");
    out.line(
        "sector",
        "The larger of the two at the box's sector shaft",
        Quantity::Torque,
        at_box,
        MOMENT,
        "{1} · {0} / {0} = {1}",
        &[n(largest), n(given.number("arm")), n(given.number("steering_arm")), n(at_box)],
    );
    let trail = given.number("trail");
    out.line(
        "trail",
        "Trail, new",
        Quantity::Length,
        trail,
        MOMENT,
        "as put in = {1}",
        &[n(trail)],
    );
    out.judge(Band {
        stop: (Some(0.0), None),
        ..within(10.0, 60.0, 10.0, Source::CommonPractice, "Trail pulls the wheels straight: too little and the truck wanders, none and it runs away to one side; much of it makes the steering heavy.")
    });
}
