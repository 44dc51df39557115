//! Loads at the brackets: what a corner puts on the Panhard bar's and what braking puts on the arms',
//! by statics; every assumption is a field.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number};
use super::shared::WHEELBASE;
use fitment::{
    measure::{Known, units::DEG_PER_RAD, units::N_PER_KGF},
    source::Source,
};
use num_dual::DualNum;

const BAR: Source =
    Source::Derived("the bar carries the axle's side force alone: mass · g · corner / cos(angle)");
const BRAKES: Source = Source::Derived(
    "weight moved forward by braking: W · a · h / wheelbase; each axle brakes with its share; brakes on the axle, so the whole moment goes into the arms",
);
const ARMS: Source =
    Source::Derived("moments of force and couple about the joints, both sides alike");

/// Loads from a corner and from braking.
pub(super) static CARD: Card = Card {
    slug: "loads",
    title: "Loads at Panhard and arm brackets",
    about: "What a hard corner puts on the Panhard brackets and hard braking on those of the arms, to hold a bracket or a weld against.",
    words: &[
        "bracket load",
        "force",
        "track bar",
        "control arm",
        "radius arm",
        "braking",
        "side load",
    ],
    fields: &[
        WHEELBASE,
        number(
            "mass",
            "Whole truck, laden",
            Quantity::Mass,
            Known::assumed(2000.0, 50.0),
            [300.0, 8000.0],
            "From a weighbridge.",
        ),
        number(
            "axle_mass",
            "Of it on this axle",
            Quantity::Mass,
            Known::assumed(1050.0, 30.0),
            [100.0, 6000.0],
            "From a weighbridge.",
        ),
        number(
            "cg_height",
            "Center of gravity above ground",
            Quantity::Length,
            Known::assumed(780.0, 40.0),
            [200.0, 1600.0],
            "As it stands, raised.",
        ),
        number(
            "corner",
            "Corner",
            Quantity::Ratio,
            Known::assumed(0.8, 0.0),
            [0.0, 2.0],
            "Side force over weight; a pothole in a bend is more.",
        ),
        number(
            "panhard",
            "Panhard angle",
            Quantity::Angle,
            Known::assumed(8.0, 0.5),
            [-45.0, 45.0],
            "From level, in front view.",
        ),
        choice(
            "axle",
            "Axle",
            &[("front", "Front"), ("rear", "Rear")],
            "Braking loads the front and unloads the rear.",
        ),
        number(
            "braking",
            "Braking",
            Quantity::Ratio,
            Known::assumed(0.8, 0.0),
            [0.0, 1.5],
            "Braking force over weight.",
        ),
        number(
            "brake_share",
            "This axle's share of the braking",
            Quantity::Percent,
            Known::assumed(65.0, 5.0),
            [0.0, 100.0],
            "About 65 % in front; all of it for the cautious.",
        ),
        number(
            "radius",
            "Wheel center above ground",
            Quantity::Length,
            Known::assumed(400.0, 5.0),
            [200.0, 750.0],
            "As it stands.",
        ),
        choice(
            "arms",
            "Held fore and aft by",
            &[("radius", "Radius arms"), ("links", "Upper and lower links")],
            "Radius arms have two bushes on the axle and one eye on the frame.",
        ),
        number(
            "arm",
            "Arm, axle center to eye",
            Quantity::Length,
            Known::assumed(890.0, 5.0),
            [200.0, 2000.0],
            "Radius arms only.",
        ),
        number(
            "bushes",
            "Between the two axle bushes",
            Quantity::Length,
            Known::assumed(150.0, 5.0),
            [40.0, 500.0],
            "Radius arms only.",
        ),
        number(
            "lower",
            "Lower link's axle end above ground",
            Quantity::Length,
            Known::assumed(330.0, 10.0),
            [50.0, 900.0],
            "Links only.",
        ),
        number(
            "upper",
            "Upper link's axle end above ground",
            Quantity::Length,
            Known::assumed(530.0, 10.0),
            [60.0, 1200.0],
            "Links only; two uppers are taken.",
        ),
        number(
            "standing",
            "Carried standing still",
            Quantity::Force,
            Known::assumed(0.0, 0.0),
            [0.0, 50000.0],
            "What wound-up rubber already puts on the arm's eye.",
        ),
    ],
    cautions: &[
        "Statics of one corner and one stop on a level road. Ruts, a wheel dropped off a ledge and years of both are many times worse: hold the part against these with a load factor, and have brackets and welds looked at by someone qualified.",
        "A bracket that lets go takes the steering or the brakes with it. Check local codes.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let side = given.number("axle_mass") * N_PER_KGF * given.number("corner");
    let bar = side / (given.number("panhard") / DEG_PER_RAD).cos();
    out.line(
        "panhard_force",
        "Along the Panhard bar",
        Quantity::Force,
        bar,
        BAR,
        "{0} kg · 9.807 · {2} / cos {1}° = {0}",
        &[
            n(given.number("axle_mass")),
            n(given.number("corner")),
            n(given.number("panhard")),
            n(bar),
        ],
    );
    let jack = side * (given.number("panhard") / DEG_PER_RAD).tan();
    out.line(
        "jacking",
        "Of it up or down on the bracket",
        Quantity::Force,
        jack,
        BAR,
        "{0} · tan {1}° = {0}",
        &[n(side), n(given.number("panhard")), n(jack)],
    );
    let weight = given.number("mass") * N_PER_KGF;
    let moved =
        weight * given.number("braking") * given.number("cg_height") / given.number("wheelbase");
    let still = given.number("axle_mass") * N_PER_KGF;
    let loaded = if given.choice("axle") == "rear" { still - moved } else { still + moved };
    out.line(
        "axle_load",
        "Load of the axle while braking",
        Quantity::Force,
        loaded,
        BRAKES,
        "{0} with {0} moved forward = {0}",
        &[n(still), n(moved), n(loaded)],
    );
    let force = weight * given.number("braking") * given.number("brake_share") / 100.0;
    out.line(
        "brake_force",
        "Braking force of the axle",
        Quantity::Force,
        force,
        BRAKES,
        "{0} N · {2} · {0} % = {0}",
        &[n(weight), n(given.number("braking")), n(given.number("brake_share")), n(force)],
    );
    arms(given, force, out);
}

/// What braking puts on links or arms.
fn arms(given: &Given, force: N, out: &mut Report) {
    let half = force / 2.0;
    let radius = given.number("radius");
    if given.choice("arms") == "links" {
        let (low, high) = (given.number("lower"), given.number("upper"));
        let apart = high - low;
        for (key, label, lever) in [
            ("lower_force", "Along each lower link", high),
            ("upper_force", "Along each upper link", low),
        ] {
            let along = half * lever / apart;
            out.line(
                key,
                label,
                Quantity::Force,
                along,
                ARMS,
                "{0} / 2 · {0} / ({0} − {0}) = {0}",
                &[n(force), n(lever), n(high), n(low), n(along)],
            );
        }
        return;
    }
    let couple = half * radius / 1000.0;
    out.line(
        "couple",
        "Moment in each arm",
        Quantity::Torque,
        couple,
        ARMS,
        "{0} / 2 · {0} mm / 1000 = {0}",
        &[n(force), n(radius), n(couple)],
    );
    let up = couple * 1000.0 / given.number("arm");
    let eye = (half * half + up * up).sqrt() + given.number("standing");
    out.line(
        "eye_force",
        "On each frame eye's bracket",
        Quantity::Force,
        eye,
        ARMS,
        "√({0}² along + {0}² up) + {0} standing = {0}",
        &[n(half), n(up), n(given.number("standing")), n(eye)],
    );
    let bush = couple * 1000.0 / given.number("bushes") + half / 2.0;
    out.line(
        "bush_force",
        "On the busier axle bracket",
        Quantity::Force,
        bush,
        ARMS,
        "{0} N·m / {0} mm + {0} / 2 = {0}",
        &[n(couple), n(given.number("bushes")), n(half), n(bush)],
    );
}
