//! Ride: spring rate, ride frequency, and whether spring, shock, bump stop and strap agree.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, number, within};
use fitment::{
    finding::Band,
    measure::{Known, units::N_PER_KGF},
    source::Source,
};
use num_dual::DualNum;
use std::f64::consts::PI;

const COIL: Source = Source::Published(
    "Shigley, Mechanical Engineering Design, ch. 10 (value from memory): k = G d⁴ / (8 D³ n)",
);
const RIDE: Source = Source::Published(
    "Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (value from memory): f = √(k/m) / 2π; wheel rate = k · (motion ratio)², tire in series",
);
const ROLL: Source = Source::Derived("two springs at their spacing: k · s² / 2 per radian");
const TRAVEL: Source = Source::Derived("differences of length over the motion ratio");

/// Springs and shocks of one axle.
pub(super) static CARD: Card = Card {
    slug: "ride",
    title: "Springs, shocks and bump stops",
    about: "Spring rate and ride frequency of a coil, and whether coil, shock, bump stop and travel fit together.",
    words: &[
        "coil spring",
        "spring rate",
        "shock length",
        "bump stop",
        "limit strap",
        "coil bind",
        "ride height",
    ],
    fields: &[
        number(
            "wire",
            "Wire of the coil",
            Quantity::Length,
            Known::assumed(16.0, 0.1),
            [4.0, 40.0],
            "By caliper, paint off.",
        ),
        number(
            "coil",
            "Mean diameter of the coil",
            Quantity::Length,
            Known::assumed(120.0, 0.5),
            [30.0, 300.0],
            "Outside diameter less one wire.",
        ),
        number(
            "turns",
            "Working turns",
            Quantity::Ratio,
            Known::assumed(9.0, 0.2),
            [1.0, 30.0],
            "Turns free to move: all turns less about two for closed ends.",
        ),
        number(
            "all_turns",
            "All turns",
            Quantity::Ratio,
            Known::assumed(11.0, 0.2),
            [1.0, 32.0],
            "End to end.",
        ),
        number(
            "modulus",
            "Shear modulus",
            Quantity::Stress,
            Known::assumed(79_300.0, 0.0),
            [60_000.0, 90_000.0],
            "Spring steel 79 300 MPa.",
        ),
        number(
            "sprung",
            "Body's mass on this wheel",
            Quantity::Mass,
            Known::assumed(400.0, 15.0),
            [50.0, 2500.0],
            "Wheel's load less its share of axle and wheel.",
        ),
        number(
            "ratio",
            "Spring moves for each of wheel",
            Quantity::Ratio,
            Known::assumed(1.0, 0.0),
            [0.2, 1.2],
            "1 for a coil on the axle; less where it stands on an arm.",
        ),
        number(
            "tire_rate",
            "Tire's rate",
            Quantity::Rate,
            Known::assumed(250.0, 30.0),
            [50.0, 1000.0],
            "200 to 300 N/mm at road pressure (common practice, no source).",
        ),
        number(
            "spacing",
            "Spring to spring",
            Quantity::Length,
            Known::assumed(1000.0, 5.0),
            [200.0, 2000.0],
            "Across the axle.",
        ),
        number(
            "spring_length",
            "Spring's length at ride height",
            Quantity::Length,
            Known::assumed(300.0, 3.0),
            [50.0, 900.0],
            "Seat to seat.",
        ),
        number(
            "shock_ride",
            "Shock's length at ride height",
            Quantity::Length,
            Known::assumed(480.0, 3.0),
            [100.0, 1500.0],
            "Eye to eye.",
        ),
        number(
            "shock_shortest",
            "Shock, pushed in",
            Quantity::Length,
            Known::assumed(360.0, 2.0),
            [80.0, 1400.0],
            "Eye to eye.",
        ),
        number(
            "shock_longest",
            "Shock, pulled out",
            Quantity::Length,
            Known::assumed(555.0, 2.0),
            [100.0, 1800.0],
            "Eye to eye.",
        ),
        number(
            "shock_ratio",
            "Shock moves for each of wheel",
            Quantity::Ratio,
            Known::assumed(0.9, 0.03),
            [0.2, 1.2],
            "1 upright at the wheel; leaning or inboard less.",
        ),
        number(
            "bump_gap",
            "Wheel travel to the bump stop",
            Quantity::Length,
            Known::assumed(75.0, 3.0),
            [0.0, 400.0],
            "Gap at the stop, over its own ratio if it stands inboard.",
        ),
        number(
            "stop_squash",
            "Wheel travel the stop gives",
            Quantity::Length,
            Known::assumed(25.0, 5.0),
            [0.0, 150.0],
            "How far the rubber is squashed at full bump.",
        ),
        number(
            "added",
            "Load added on this wheel",
            Quantity::Mass,
            Known::assumed(50.0, 0.0),
            [-300.0, 1500.0],
            "Bumper, winch, drawers: its share.",
        ),
    ],
    cautions: &[
        "Springs under load and gas shocks store enough force to kill: use a spring compressor and stands, and let the axle hang on nothing but its own links while you work.",
        "A shock that is the stop, a spring that falls out, and a hose or a shaft that runs out of length are found by cycling the axle on stands, springs out, before driving.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let spring = springs(given, out);
    frequency(given, spring, out);
    travel(given, spring, out);
}

fn springs(given: &Given, out: &mut Report) -> N {
    let (wire, coil, turns) = (given.number("wire"), given.number("coil"), given.number("turns"));
    let modulus = given.number("modulus");
    let rate = modulus * wire.powi(4) / (coil.powi(3) * turns * 8.0);
    out.line(
        "rate",
        "Spring rate",
        Quantity::Rate,
        rate,
        COIL,
        "{0} · {2}⁴ / (8 · {1}³ · {2}) = {2}",
        &[n(modulus), n(wire), n(coil), n(turns), n(rate)],
    );
    rate
}

fn frequency(given: &Given, rate: N, out: &mut Report) {
    let ratio = given.number("ratio");
    let wheel = rate * ratio * ratio;
    out.line(
        "wheel_rate",
        "Rate at the wheel",
        Quantity::Rate,
        wheel,
        RIDE,
        "{2} · {3}² = {2}",
        &[n(rate), n(ratio), n(wheel)],
    );
    let tire = given.number("tire_rate");
    let series = wheel * tire / (wheel + tire);
    out.line(
        "ride_rate",
        "Rate with the tire",
        Quantity::Rate,
        series,
        RIDE,
        "{2} · {0} / ({2} + {0}) = {2}",
        &[n(wheel), n(tire), n(wheel), n(tire), n(series)],
    );
    let mass = given.number("sprung");
    let hertz = (wheel * 1000.0 / mass).sqrt() / (2.0 * PI);
    out.line(
        "frequency",
        "Ride frequency",
        Quantity::Frequency,
        hertz,
        RIDE,
        "√({2} N/mm · 1000 / {0} kg) / 2π = {4}",
        &[n(wheel), n(mass), n(hertz)],
    );
    out.judge(within(1.0, 2.0, 0.3, Source::CommonPractice, "Slower than about 1 Hz it wallows and bottoms; faster than about 2 Hz it is harsh and skips on washboard."));
    let added = given.number("added");
    let laden = (wheel * 1000.0 / (mass + added)).sqrt() / (2.0 * PI);
    out.line(
        "frequency_laden",
        "Ride frequency with the load added",
        Quantity::Frequency,
        laden,
        RIDE,
        "√({2} · 1000 / {0}) / 2π = {4}",
        &[n(wheel), n(mass + added), n(laden)],
    );
    let sag = added * N_PER_KGF / wheel;
    out.line(
        "sag",
        "Sinks under the load added by",
        Quantity::Length,
        sag,
        RIDE,
        "{0} kg · 9.807 / {2} = {1}",
        &[n(added), n(wheel), n(sag)],
    );
    let spacing = given.number("spacing");
    let roll = rate * spacing * spacing / 2000.0 * (PI / 180.0);
    out.line(
        "roll_rate",
        "Roll stiffness of the two springs",
        Quantity::TurnRate,
        roll,
        ROLL,
        "{2} · {0}² / 2 · π/180 = {1}",
        &[n(rate), n(spacing), n(roll)],
    );
}

fn travel(given: &Given, rate: N, out: &mut Report) {
    let ratio = given.number("ratio");
    let squashed = given.number("sprung") * N_PER_KGF / ratio / rate;
    out.line(
        "squashed",
        "Spring squashed at ride height",
        Quantity::Length,
        squashed,
        RIDE,
        "{0} · 9.807 / {2} / {2} = {2}",
        &[n(given.number("sprung")), n(ratio), n(rate), n(squashed)],
    );
    let length = given.number("spring_length");
    let free = length + squashed;
    out.line(
        "free_length",
        "Free length that gives this ride height",
        Quantity::Length,
        free,
        TRAVEL,
        "{1} + {1} = {1}",
        &[n(length), n(squashed), n(free)],
    );
    let shocks = given.number("shock_ratio");
    let bump = given.number("bump_gap") + given.number("stop_squash");
    out.line(
        "bump",
        "Wheel travel to full bump",
        Quantity::Length,
        bump,
        TRAVEL,
        "{0} + {0} = {1}",
        &[n(given.number("bump_gap")), n(given.number("stop_squash")), n(bump)],
    );
    let in_hand = (given.number("shock_ride") - given.number("shock_shortest")) / shocks - bump;
    out.line(
        "shock_bump",
        "Shock left at full bump, at the wheel",
        Quantity::Length,
        in_hand,
        TRAVEL,
        "({0} − {0}) / {2} − {0} = {1}",
        &[
            n(given.number("shock_ride")),
            n(given.number("shock_shortest")),
            n(shocks),
            n(bump),
            n(in_hand),
        ],
    );
    out.judge(margin(10.0, "The bump stop must meet before the shock does: a shock that bottoms bends, or tears its mount off."));
    let solid = given.number("all_turns") * given.number("wire");
    let bind = (length - solid) / ratio - bump;
    out.line(
        "bind",
        "Spring left at full bump, at the wheel",
        Quantity::Length,
        bind,
        TRAVEL,
        "({0} − {1} · {1}) / {2} − {0} = {1}",
        &[
            n(length),
            n(given.number("all_turns")),
            n(given.number("wire")),
            n(ratio),
            n(bump),
            n(bind),
        ],
    );
    out.judge(margin(
        10.0,
        "Turns that touch make the spring a block: it breaks, and so does what holds it.",
    ));
    hanging(given, squashed, out);
}

/// Full droop: how far, and whether the spring stays in its seats.
fn hanging(given: &Given, squashed: N, out: &mut Report) {
    let (ratio, shocks) = (given.number("ratio"), given.number("shock_ratio"));
    let droop = (given.number("shock_longest") - given.number("shock_ride")) / shocks;
    out.line(
        "droop",
        "Wheel travel to full droop, by the shock",
        Quantity::Length,
        droop,
        TRAVEL,
        "({0} − {0}) / {2} = {1}",
        &[n(given.number("shock_longest")), n(given.number("shock_ride")), n(shocks), n(droop)],
    );
    out.judge(within(60.0, f64::INFINITY, 20.0, Source::CommonPractice, "With little droop the wheel leaves the ground over crests and the shock tops out with a bang."));
    let held = squashed / ratio - droop;
    out.line(
        "held",
        "Spring still squashed at full droop, at the wheel",
        Quantity::Length,
        held,
        TRAVEL,
        "{1} / {2} − {1} = {1}",
        &[n(squashed), n(ratio), n(droop), n(held)],
    );
    out.judge(Band { stop: (Some(-40.0), None), ..within(0.0, f64::INFINITY, 20.0, Source::CommonPractice, "A spring that comes loose at droop can fall out or land beside its seat: hold it, or limit droop with a strap.") });
    let strap = droop - 10.0;
    out.line(
        "strap",
        "Droop a limit strap should leave",
        Quantity::Length,
        strap,
        Source::CommonPractice,
        "{1} − 10, so the strap and not the shock is the stop = {1}",
        &[n(droop), n(strap)],
    );
}

fn margin(least: f64, why: &'static str) -> Band {
    Band {
        stop: (Some(-25.0), None),
        ..within(least, f64::INFINITY, least, Source::CommonPractice, why)
    }
}
