//! Angles and clearance: approach, departure, breakover by tangents to the tires, and the ramp index.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number, within};
use super::shared::WHEELBASE;
use fitment::{
    measure::{Known, units::DEG_PER_RAD},
    source::Source,
};
use num_dual::DualNum;

const TANGENT: Source = Source::Published(
    "49 CFR 523.2: angle between the ground and the line tangent to the loaded tire's arc that touches the underside; asin(r/ρ) + atan((h − r)/a), ρ from wheel center to the point",
);
const OFF_ROAD: Source = Source::Published(
    "49 CFR 523.5(b)(2): off-road class by four of five, approach 28°, breakover 14°, departure 20°, running clearance 200 mm, axle clearance 180 mm (figures from memory)",
);
const RAISED: Source = Source::Derived("body up by lift and tire, axle by the tire alone");
const RAMP: Source = Source::Published(
    "magazine convention, no standard: 1000 · distance climbed along the ramp / wheelbase; figures of ramps of other slopes do not compare",
);

/// Angles under the truck.
pub(super) static CARD: Card = Card {
    slug: "angles",
    title: "Approach, departure, breakover, ramp index",
    about: "The truck's angles as it sits and with more lift or tire, clearance under axle and belly, and the ramp travel index.",
    words: &[
        "approach angle",
        "departure angle",
        "breakover",
        "ramp",
        "rti",
        "ground clearance",
        "flex",
    ],
    fields: &[
        WHEELBASE,
        number(
            "radius",
            "Wheel center above ground",
            Quantity::Length,
            Known::assumed(380.0, 3.0),
            [200.0, 750.0],
            "As it stands.",
        ),
        number(
            "front_ahead",
            "Bumper ahead of the front wheel",
            Quantity::Length,
            Known::assumed(650.0, 5.0),
            [50.0, 2500.0],
            "From the wheel's center, level, to the lowest point that would touch first.",
        ),
        number(
            "front_height",
            "Bumper above ground",
            Quantity::Length,
            Known::assumed(500.0, 5.0),
            [50.0, 1500.0],
            "That same point.",
        ),
        number(
            "rear_behind",
            "Rear end behind the rear wheel",
            Quantity::Length,
            Known::assumed(850.0, 5.0),
            [50.0, 3500.0],
            "From the wheel's center, level, to the point that would touch first.",
        ),
        number(
            "rear_height",
            "Rear end above ground",
            Quantity::Length,
            Known::assumed(520.0, 5.0),
            [50.0, 1500.0],
            "That same point; mind the hitch.",
        ),
        number(
            "belly_behind",
            "Belly's lowest point behind the front wheel",
            Quantity::Length,
            Known::assumed(1315.0, 5.0),
            [100.0, 5500.0],
            "From the front wheel's center, level.",
        ),
        number(
            "belly_height",
            "Belly above ground",
            Quantity::Length,
            Known::assumed(280.0, 5.0),
            [50.0, 1500.0],
            "That same point.",
        ),
        number(
            "axle_height",
            "Axle's lowest point above ground",
            Quantity::Length,
            Known::assumed(215.0, 5.0),
            [20.0, 800.0],
            "Under the differential.",
        ),
        number(
            "lift",
            "More lift",
            Quantity::Length,
            Known::assumed(50.0, 0.0),
            [-200.0, 500.0],
            "Of the body over the axles.",
        ),
        number(
            "taller",
            "Tires raise the axle by",
            Quantity::Length,
            Known::assumed(20.0, 0.0),
            [-150.0, 300.0],
            "Difference of the loaded radii.",
        ),
        choice(
            "ramp",
            "Ramp",
            &[("20", "20°"), ("23", "23°"), ("30", "30°")],
            "Most figures are for 20°.",
        ),
        number(
            "climbed",
            "Wheel raised on the ramp",
            Quantity::Length,
            Known::assumed(600.0, 10.0),
            [0.0, 2000.0],
            "Height of the tire's contact over the ground when another wheel starts to lift.",
        ),
    ],
    cautions: &[
        "A truck that can climb something can also roll off it: more angle comes with a higher center of gravity. Use a spotter, and never test a ramp alone.",
        "Bumpers, underrun guards and lamps moved for an angle fall under local codes.",
    ],
    work,
    drawing: None,
};

/// Angle of the line that touches the tire's arc and a point, degrees.
fn tangent(ahead: N, height: N, radius: N) -> N {
    let up = height - radius;
    let far = (ahead * ahead + up * up).sqrt();
    ((radius / far).asin() + (up / ahead).atan()) * DEG_PER_RAD
}

fn work(given: &Given, out: &mut Report) {
    let (radius, taller) = (given.number("radius"), given.number("taller"));
    let raised = given.number("lift") + taller;
    let later = radius + taller;
    let ends = [
        (
            "approach",
            "Approach angle",
            "approach_after",
            "Approach angle, raised",
            "front_ahead",
            "front_height",
            28.0,
        ),
        (
            "departure",
            "Departure angle",
            "departure_after",
            "Departure angle, raised",
            "rear_behind",
            "rear_height",
            20.0,
        ),
    ];
    for (key, label, key_after, label_after, ahead, height, least) in ends {
        let (ahead, height) = (given.number(ahead), given.number(height));
        for (key, label, height, radius) in
            [(key, label, height, radius), (key_after, label_after, height + raised, later)]
        {
            let angle = tangent(ahead, height, radius);
            let (a, h, r) = (n(ahead), n(height), n(radius));
            out.line(
                key,
                label,
                Quantity::Angle,
                angle,
                TANGENT,
                "asin({0} / √({0}² + ({0} − {0})²)) + atan(({0} − {0}) / {0}) = {2}°",
                &[r, a, h, r, h, r, a, n(angle)],
            );
            out.judge(within(least, f64::INFINITY, 5.0, OFF_ROAD, "Below the figure of an off-road class the bumper meets the ground before the tire does."));
        }
    }
    let (along, height) = (given.number("belly_behind"), given.number("belly_height"));
    let rest = given.number("wheelbase") - along;
    for (key, label, height, radius) in [
        ("breakover", "Breakover angle", height, radius),
        ("breakover_after", "Breakover angle, raised", height + raised, later),
    ] {
        let (front, rear) = (tangent(along, height, radius), tangent(rest, height, radius));
        let angle = front + rear;
        out.line(
            key,
            label,
            Quantity::Angle,
            angle,
            TANGENT,
            "tangents of {2}° to the front and {2}° to the rear tire = {2}°",
            &[n(front), n(rear), n(angle)],
        );
        out.judge(within(
            14.0,
            f64::INFINITY,
            3.0,
            OFF_ROAD,
            "Below the figure of an off-road class the truck hangs on its belly over a crest.",
        ));
    }
    for (key, label, height, least) in [
        (
            "axle_clearance",
            "Clearance under the axle, raised",
            given.number("axle_height") + taller,
            180.0,
        ),
        ("belly_clearance", "Clearance under the belly, raised", height + raised, 200.0),
    ] {
        out.line(
            key,
            label,
            Quantity::Length,
            height,
            RAISED,
            "height and rise = {1}",
            &[n(height)],
        );
        out.judge(within(least, f64::INFINITY, 30.0, OFF_ROAD, "Below the figure of an off-road class it plows the middle of the track. Only taller tires raise an axle."));
    }
    ramp(given, out);
}

fn ramp(given: &Given, out: &mut Report) {
    let slope: f64 = match given.choice("ramp") {
        "23" => 23.0,
        "30" => 30.0,
        _ => 20.0,
    };
    let climbed = given.number("climbed");
    let along = climbed / slope.to_radians().sin();
    out.line(
        "along",
        "Distance along the ramp",
        Quantity::Length,
        along,
        RAMP,
        "{0} / sin {0}° = {0}",
        &[n(climbed), n(N::from(slope)), n(along)],
    );
    let index = along / given.number("wheelbase") * 1000.0;
    out.line(
        "ramp_index",
        "Ramp travel index",
        Quantity::Count,
        index,
        RAMP,
        "1000 · {0} / {0} = {1}",
        &[n(along), n(given.number("wheelbase")), n(index)],
    );
}
