//! Roll: how stiffly each axle holds the body, rubber in the arms included, and what load a corner
//! moves across.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, number};
use super::shared::WHEELBASE;
use fitment::{
    finding::Band,
    measure::{Known, units::N_PER_KGF},
    source::Source,
};
use std::f64::consts::PI;

const SPRINGS: Source = Source::Derived("two springs at their spacing: k · s² / 2 per radian");
const SHARE: Source =
    Source::Derived("stiffnesses of one axle side by side add: springs, bar and the arms' rubber");
const TRANSFER: Source = Source::Published(
    "Milliken & Milliken, Race Car Vehicle Dynamics, ch. 18 (value from memory): ΔF = side force / track · (H · share of roll stiffness + share of weight · roll center height); both axles together give side force · height of the center of gravity",
);
const ANGLE: Source = Source::Published(
    "Gillespie, Fundamentals of Vehicle Dynamics, ch. 6 (value from memory): φ = W · a · H / (K − W · H)",
);

/// Roll stiffness and load transfer.
pub(super) static CARD: Card = Card {
    slug: "roll",
    title: "Roll stiffness and load transfer",
    about: "How much of the roll each axle holds, arms' rubber included, how far the body leans and what load a corner moves across.",
    words: &["body roll", "sway bar", "anti-roll bar", "lean", "weight transfer", "roll center"],
    fields: &[
        WHEELBASE,
        number(
            "mass",
            "Body's mass on the springs",
            Quantity::Mass,
            Known::assumed(1650.0, 50.0),
            [300.0, 8000.0],
            "The truck less axles and wheels.",
        ),
        number(
            "front_share",
            "Of it on the front axle",
            Quantity::Percent,
            Known::assumed(52.0, 3.0),
            [10.0, 90.0],
            "From a weighbridge, axle by axle.",
        ),
        number(
            "cg_height",
            "Center of gravity above ground",
            Quantity::Length,
            Known::assumed(800.0, 40.0),
            [200.0, 1600.0],
            "As it stands, raised.",
        ),
        number(
            "corner",
            "Corner",
            Quantity::Ratio,
            Known::assumed(0.5, 0.0),
            [0.0, 1.2],
            "Side force over weight; 0.5 is hard for a tall truck.",
        ),
        number(
            "front_track",
            "Track, front",
            Quantity::Length,
            Known::assumed(1540.0, 5.0),
            [900.0, 2500.0],
            "Middle to middle of the tires.",
        ),
        number(
            "front_center",
            "Roll center, front",
            Quantity::Length,
            Known::assumed(560.0, 20.0),
            [-200.0, 1500.0],
            "Above ground; with a Panhard bar where it crosses the middle.",
        ),
        number(
            "front_spring",
            "Spring rate, front",
            Quantity::Rate,
            Known::assumed(35.0, 2.0),
            [1.0, 500.0],
            "Of one spring; see the springs' look-up.",
        ),
        number(
            "front_spacing",
            "Spring to spring, front",
            Quantity::Length,
            Known::assumed(1000.0, 5.0),
            [200.0, 2000.0],
            "Across the axle.",
        ),
        number(
            "front_bar",
            "Sway bar, front",
            Quantity::TurnRate,
            Known::assumed(0.0, 0.0),
            [0.0, 3000.0],
            "Its roll stiffness; 0 without one or disconnected.",
        ),
        number(
            "front_rubber",
            "Arms' rubber, front",
            Quantity::TurnRate,
            Known::assumed(120.0, 60.0),
            [0.0, 3000.0],
            "What wound-up bushes of radius arms add; 0 for links on ball joints.",
        ),
        number(
            "rear_track",
            "Track, rear",
            Quantity::Length,
            Known::assumed(1540.0, 5.0),
            [900.0, 2500.0],
            "Middle to middle of the tires.",
        ),
        number(
            "rear_center",
            "Roll center, rear",
            Quantity::Length,
            Known::assumed(600.0, 20.0),
            [-200.0, 1500.0],
            "Above ground; with a Panhard bar where it crosses the middle.",
        ),
        number(
            "rear_spring",
            "Spring rate, rear",
            Quantity::Rate,
            Known::assumed(40.0, 2.0),
            [1.0, 500.0],
            "Of one spring; see the springs' look-up.",
        ),
        number(
            "rear_spacing",
            "Spring to spring, rear",
            Quantity::Length,
            Known::assumed(1000.0, 5.0),
            [200.0, 2000.0],
            "Across the axle.",
        ),
        number(
            "rear_bar",
            "Sway bar, rear",
            Quantity::TurnRate,
            Known::assumed(0.0, 0.0),
            [0.0, 3000.0],
            "Its roll stiffness; 0 without one or disconnected.",
        ),
        number(
            "rear_rubber",
            "Arms' rubber, rear",
            Quantity::TurnRate,
            Known::assumed(0.0, 30.0),
            [0.0, 3000.0],
            "What wound-up bushes of radius arms add; 0 for links on ball joints.",
        ),
    ],
    cautions: &[
        "A comparison of one set-up with another, on a stiff frame and level ground. Dampers, tires, ruts and a swerve tip a truck well before these figures; a lifted truck rolls over sooner.",
        "A sway bar left off or disconnected for a trail goes back on before the road. Check local codes.",
    ],
    work,
    drawing: None,
};

/// Key and name of an axle's answers.
struct Names {
    spring: [&'static str; 2],
    stiffness: [&'static str; 2],
    moved: [&'static str; 2],
    left: [&'static str; 2],
}

const FRONT: Names = Names {
    spring: ["front_springs", "Roll stiffness of the springs, front"],
    stiffness: ["front_stiffness", "Roll stiffness, front"],
    moved: ["front_moved", "Load moved across, front"],
    left: ["front_left", "Inner front wheel still carries"],
};
const REAR: Names = Names {
    spring: ["rear_springs", "Roll stiffness of the springs, rear"],
    stiffness: ["rear_stiffness", "Roll stiffness, rear"],
    moved: ["rear_moved", "Load moved across, rear"],
    left: ["rear_left", "Inner rear wheel still carries"],
};

/// Roll stiffness of an axle, N·m/°.
fn stiffness(given: &Given, names: &Names, keys: [&str; 4], out: &mut Report) -> N {
    let [rate, spacing, bar, rubber] = keys.map(|key| given.number(key));
    let springs = rate * spacing * spacing / 2000.0 * (PI / 180.0);
    let [key, label] = names.spring;
    let figures = [n(rate), n(spacing), n(springs)];
    out.line(
        key,
        label,
        Quantity::TurnRate,
        springs,
        SPRINGS,
        "{2} · {0}² / 2 · π/180 = {1}",
        &figures,
    );
    let all = springs + bar + rubber;
    let [key, label] = names.stiffness;
    let figures = [n(springs), n(bar), n(rubber), n(all)];
    out.line(
        key,
        label,
        Quantity::TurnRate,
        all,
        SHARE,
        "springs {1} + bar {1} + rubber {1} = {1}",
        &figures,
    );
    all
}

fn work(given: &Given, out: &mut Report) {
    let front = stiffness(
        given,
        &FRONT,
        ["front_spring", "front_spacing", "front_bar", "front_rubber"],
        out,
    );
    let rear =
        stiffness(given, &REAR, ["rear_spring", "rear_spacing", "rear_bar", "rear_rubber"], out);
    let share = front / (front + rear);
    out.line(
        "share",
        "Front axle's share of the roll stiffness",
        Quantity::Percent,
        share * 100.0,
        SHARE,
        "{1} / ({1} + {1}) = {1} %",
        &[n(front), n(front), n(rear), n(share * 100.0)],
    );
    let rubber =
        (given.number("front_rubber") + given.number("rear_rubber")) / (front + rear) * 100.0;
    out.line(
        "rubber",
        "Held by the arms' rubber",
        Quantity::Percent,
        rubber,
        SHARE,
        "{1} / {1} = {1} %",
        &[
            n(given.number("front_rubber") + given.number("rear_rubber")),
            n(front + rear),
            n(rubber),
        ],
    );
    let weight = given.number("mass") * N_PER_KGF;
    let ahead = given.number("front_share") / 100.0;
    let behind = -ahead + 1.0;
    let (low, high) = (given.number("front_center"), given.number("rear_center"));
    let axis = low * ahead + high * behind;
    let lever = given.number("cg_height") - axis;
    out.line(
        "lever",
        "Center of gravity above the roll axis",
        Quantity::Length,
        lever,
        TRANSFER,
        "{0} − ({0} · {3} + {0} · {3}) = {1}",
        &[n(given.number("cg_height")), n(low), n(ahead), n(high), n(behind), n(lever)],
    );
    let force = weight * given.number("corner");
    // N·m per degree that gravity takes back as the body leans.
    let fall = weight * lever / 1000.0 * (PI / 180.0);
    let angle = force * lever / 1000.0 / (front + rear - fall);
    out.line(
        "angle",
        "Body leans by",
        Quantity::Angle,
        angle,
        ANGLE,
        "{0} N · {0} mm / 1000 / ({0} + {0} − {0}) = {2}°",
        &[n(force), n(lever), n(front), n(rear), n(fall), n(angle)],
    );
    across(given, share, lever, out);
}

/// The load each axle moves across.
fn across(given: &Given, share: N, lever: N, out: &mut Report) {
    let weight = given.number("mass") * N_PER_KGF;
    let force = weight * given.number("corner");
    let ahead = given.number("front_share") / 100.0;
    let (behind, low, high) =
        (-ahead + 1.0, given.number("front_center"), given.number("rear_center"));
    let axles = [
        (FRONT, given.number("front_track"), share, ahead, low),
        (REAR, given.number("rear_track"), -share + 1.0, behind, high),
    ];
    for (names, track, stiff, load, center) in axles {
        let moved = force / track * (lever * stiff + center * load);
        let [key, label] = names.moved;
        out.line(
            key,
            label,
            Quantity::Force,
            moved,
            TRANSFER,
            "{0} N / {0} · ({0} · {3} + {0} · {3}) = {0}",
            &[n(force), n(track), n(lever), n(stiff), n(center), n(load), n(moved)],
        );
        let left = weight * load / 2.0 - moved;
        let [key, label] = names.left;
        out.line(
            key,
            label,
            Quantity::Force,
            left,
            TRANSFER,
            "{0} N · {3} / 2 − {0} = {0}; axle and wheel come on top",
            &[n(weight), n(load), n(moved), n(left)],
        );
        out.judge(Band {
            low: 0.0,
            high: f64::INFINITY,
            slack: 0.0,
            stop: (Some(0.0), None),
            source: Source::CommonPractice,
            why: "The body no longer presses this wheel down in such a corner: it is about to lift.",
        });
    }
}
