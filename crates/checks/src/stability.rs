//! Stability: static stability factor before and after, tilt angle, load moved across in a corner, a
//! load on the roof.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, number, within};
use fitment::{
    finding::Band,
    measure::{Known, units::DEG_PER_RAD},
    source::Source,
};
use num_dual::DualNum;

const SSF: Source = Source::Published(
    "NHTSA, rollover resistance, ch. V: static stability factor = track / (2 · height of the center of gravity)",
);
const TILT: Source = Source::Derived("a stiff truck on a tilt table tips at atan(SSF)");
const BANDS: Source =
    Source::Published("NHTSA rating limits for stock vehicles, 1.04 and 1.13 (values from memory)");
const FIT: Source = Source::Published(
    "NHTSA, 2001 (value from memory): 13.25 · exp(−3.3760 · SSF), share of single-vehicle crashes of stock vehicles that roll",
);
const MASSES: Source = Source::Derived("moments of masses about the ground");

/// Rollover.
pub(super) static CARD: Card = Card {
    slug: "stability",
    title: "Stability and side slope",
    about: "What lift, tires, track and roof load do to how easily the truck tips: a comparison of before and after.",
    words: &["rollover", "ssf", "center of gravity", "side slope", "roof rack", "tip", "tilt"],
    fields: &[
        number(
            "track",
            "Track",
            Quantity::Length,
            Known::assumed(1524.0, 5.0),
            [900.0, 2500.0],
            "Middle to middle of the tires, mean of front and rear.",
        ),
        number(
            "cg_height",
            "Center of gravity above ground",
            Quantity::Length,
            Known::assumed(700.0, 30.0),
            [200.0, 1600.0],
            "From weighing (see that card), or the truck's data.",
        ),
        number(
            "mass",
            "Truck's mass",
            Quantity::Mass,
            Known::assumed(2000.0, 30.0),
            [500.0, 8000.0],
            "As it stands, from a weighbridge.",
        ),
        number(
            "sprung",
            "Share of it on the springs",
            Quantity::Percent,
            Known::assumed(80.0, 4.0),
            [40.0, 100.0],
            "The rest is axles and wheels: about 80 % with solid axles.",
        ),
        number(
            "lift",
            "Lift",
            Quantity::Length,
            Known::assumed(100.0, 0.0),
            [-200.0, 500.0],
            "Of the body over the axles.",
        ),
        number(
            "taller",
            "Tires raise the truck by",
            Quantity::Length,
            Known::assumed(0.0, 0.0),
            [-150.0, 300.0],
            "Difference of the loaded radii.",
        ),
        number(
            "wider",
            "Track wider by",
            Quantity::Length,
            Known::assumed(0.0, 0.0),
            [-200.0, 500.0],
            "From wheel offset and spacers.",
        ),
        number(
            "roof_mass",
            "Load on the roof",
            Quantity::Mass,
            Known::assumed(0.0, 0.0),
            [0.0, 1000.0],
            "Rack, tent and what lies in it.",
        ),
        number(
            "roof_height",
            "Its middle above ground",
            Quantity::Length,
            Known::assumed(2000.0, 30.0),
            [800.0, 3500.0],
            "Before the lift.",
        ),
        number(
            "corner",
            "Corner",
            Quantity::Ratio,
            Known::assumed(0.3, 0.0),
            [0.0, 1.2],
            "Side force over weight; 0.3 is a brisk bend.",
        ),
    ],
    cautions: &[
        "A lifted truck rolls over sooner, on the road too. No angle here may be driven to: tires, springs and a rut on the low side tip a truck well before its rigid tilt angle. Turn back long before.",
        "The share of crashes is a comparison of stock vehicles, not a forecast for this one. Springs, sway bars and tires decide as well; check local codes on lift height.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let (track, height) = (given.number("track"), given.number("cg_height"));
    let share = given.number("sprung") / 100.0;
    let (lift, taller) = (given.number("lift"), given.number("taller"));
    let before = factor("ssf", "Static stability factor, before", track, height, out);
    let raised = height + share * lift + taller;
    out.line(
        "cg_after",
        "Center of gravity, raised",
        Quantity::Length,
        raised,
        MASSES,
        "{0} + {2} · {0} + {0} = {1}",
        &[n(height), n(share), n(lift), n(taller), n(raised)],
    );
    let wide = track + given.number("wider");
    let after = factor("ssf_after", "Static stability factor, raised", wide, raised, out);
    let (mass, roof) = (given.number("mass"), given.number("roof_mass"));
    let roof_height = given.number("roof_height") + lift + taller;
    let loaded = (mass * raised + roof * roof_height) / (mass + roof);
    out.line(
        "cg_roof",
        "Center of gravity with the roof load",
        Quantity::Length,
        loaded,
        MASSES,
        "({0} · {0} + {0} · {0}) / {0} = {1}",
        &[n(mass), n(raised), n(roof), n(roof_height), n(mass + roof), n(loaded)],
    );
    let topped =
        factor("ssf_roof", "Static stability factor with the roof load", wide, loaded, out);
    for (key, label, ssf) in [
        ("tilt", "Rigid tilt angle, before", before),
        ("tilt_after", "Rigid tilt angle, raised", after),
        ("tilt_roof", "Rigid tilt angle with the roof load", topped),
    ] {
        let angle = ssf.atan() * DEG_PER_RAD;
        out.line(key, label, Quantity::Angle, angle, TILT, "atan {4} = {2}°", &[n(ssf), n(angle)]);
    }
    for (key, label, ssf) in [
        ("risk", "Stock vehicles of this factor that roll, before", before),
        ("risk_after", "Stock vehicles of this factor that roll, raised", after),
    ] {
        let risk = (ssf * -3.3760).exp() * 1325.0;
        out.line(
            key,
            label,
            Quantity::Percent,
            risk,
            FIT,
            "100 · 13.25 · exp(−3.3760 · {4}) = {1} %",
            &[n(ssf), n(risk)],
        );
    }
    // The inner wheels carry half the weight less this much of it.
    let moved = given.number("corner") * loaded / wide * 100.0;
    out.line(
        "moved",
        "Weight moved to the outer wheels in the corner",
        Quantity::Percent,
        moved,
        MASSES,
        "100 · {2} · {0} / {0} = {1} % of the weight",
        &[n(given.number("corner")), n(loaded), n(wide), n(moved)],
    );
    out.judge(Band {
        stop: (None, Some(45.0)),
        ..within(
            0.0,
            30.0,
            10.0,
            Source::CommonPractice,
            "At 50 % the inner wheels lift. Springs and tires give way and lift them sooner.",
        )
    });
}

fn factor(key: &'static str, label: &'static str, track: N, height: N, out: &mut Report) -> N {
    let ssf = track / (height * 2.0);
    out.line(
        key,
        label,
        Quantity::Ratio,
        ssf,
        SSF,
        "{0} / (2 · {1}) = {4}",
        &[n(track), n(height), n(ssf)],
    );
    out.judge(Band {
        stop: (Some(0.9), None),
        ..within(
            1.13,
            f64::INFINITY,
            0.09,
            BANDS,
            "Stock vehicles below these figures roll most often in crashes.",
        )
    });
    ssf
}
