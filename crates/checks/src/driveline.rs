//! Driveline: what the joints of a driveshaft see at ride height, bump and droop, and how far its
//! slip must travel.
//!
//! Shaft directions are unit vectors in the truck's axes, so side-view and plan-view angles add up
//! as they do in the truck. Two joints are taken together exactly: a joint maps the yoke's angle by
//! diag(1, cos β) in the axes of its plane, and a chain of two is one such map again.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number, size, within};
use fitment::{
    finding::Band,
    measure::{Known, units::DEG_PER_RAD},
    source::Source,
};
use nalgebra::Vector3;
use num_dual::DualNum;
use std::f64::consts::PI;

const JOINT: Source = Source::Published(
    "Shigley, Mechanical Engineering Design, universal joint (value from memory): ω₂/ω₁ = cos β / (1 − sin² β cos² θ)",
);
const ANGLE_3D: Source =
    Source::Derived("cos β = u₁ · u₂, unit directions of the two shafts in 3D");
const PAIR: Source = Source::Derived(
    "two joints as one: yoke angles map by diag(1, cos β) in each joint's plane; checked against √|β₁² ∓ β₂²|",
);
/// The table itself lies a quarter of a degree lower at 5000 rpm and agrees from 3500 rpm down.
const INERTIA: Source = Source::Published(
    "driveshaft handbooks' table of angle against speed (value from memory): ω²β² up to about 1000 rad/s²",
);
const RESIDUAL: Source = Source::Published(
    "SAE Universal Joint and Driveshaft Design Manual, AE-7, 3.1.1 (value from memory): two joints together up to about 400 rad/s²",
);
const INSTALLATION: Source = Source::Published(
    "driveshaft maker's installation manual J3311-1, p. 10: at least 0.5° at each joint, the pair equal within 1°, 3° or less for continuous running",
);

/// Angles of a shaft at ride height, bump and droop.
pub(super) static CARD: Card = Card {
    slug: "driveline",
    title: "Driveshaft joints and slip",
    about: "True joint angles of a driveshaft, what does not cancel, the shake at speed, and how far the slip must travel.",
    words: &["driveshaft", "u-joint", "pinion angle", "vibration", "double cardan", "slip yoke"],
    fields: &[
        choice(
            "shaft",
            "Shaft",
            &[
                ("in_phase", "Two joints, yokes in line"),
                ("out_of_phase", "Two joints, yokes crossed by 90°"),
                ("double_cardan", "Double-Cardan joint at the transfer case"),
            ],
            "Look along the tube: both its yokes in line, or one turned a quarter.",
        ),
        number(
            "run",
            "Joint to joint along the truck",
            Quantity::Length,
            Known::assumed(900.0, 2.0),
            [150.0, 3000.0],
            "Between the centers of the two joints, level, along the truck.",
        ),
        number(
            "drop",
            "Case joint above axle joint",
            Quantity::Length,
            Known::assumed(130.0, 2.0),
            [-500.0, 1000.0],
            "At ride height; the difference of the two heights over a level floor.",
        ),
        number(
            "side",
            "Axle joint out to one side",
            Quantity::Length,
            Known::assumed(0.0, 2.0),
            [-800.0, 800.0],
            "How far the axle's joint lies sideways of the case's, seen from above.",
        ),
        number(
            "case_slope",
            "Case output slopes down toward the axle",
            Quantity::Angle,
            Known::assumed(3.0, 0.5),
            [-30.0, 30.0],
            "On the machined face of the yoke or flange; positive when the shaft side points down.",
        ),
        number(
            "pinion_slope",
            "Pinion line slopes the same way",
            Quantity::Angle,
            Known::assumed(3.5, 0.5),
            [-45.0, 45.0],
            "Slope of the pinion in the same sense: 0 level, equal to the case's when the two are parallel. A pinion whose nose points up at the case is positive.",
        ),
        number(
            "case_plan",
            "Case output out to the side, from above",
            Quantity::Angle,
            Known::assumed(0.0, 0.5),
            [-30.0, 30.0],
            "Most point straight along the truck: 0.",
        ),
        number(
            "pinion_plan",
            "Pinion out to the side, from above",
            Quantity::Angle,
            Known::assumed(0.0, 0.5),
            [-30.0, 30.0],
            "Most point straight along the truck: 0.",
        ),
        number(
            "droop",
            "Axle drops at full droop",
            Quantity::Length,
            Known::assumed(100.0, 2.0),
            [0.0, 500.0],
            "From ride height, at the axle's joint.",
        ),
        number(
            "bump",
            "Axle rises at full bump",
            Quantity::Length,
            Known::assumed(75.0, 2.0),
            [0.0, 500.0],
            "From ride height, at the axle's joint.",
        ),
        number(
            "pinion_droop",
            "Pinion slope at full droop",
            Quantity::Angle,
            Known::assumed(6.0, 0.5),
            [-60.0, 60.0],
            "Read it with the axle hanging; the same sense as above.",
        ),
        number(
            "pinion_bump",
            "Pinion slope at full bump",
            Quantity::Angle,
            Known::assumed(2.5, 0.5),
            [-60.0, 60.0],
            "The same, on the bump stops.",
        ),
        number(
            "droop_along",
            "Axle joint moves away at full droop",
            Quantity::Length,
            Known::assumed(0.0, 5.0),
            [-300.0, 300.0],
            "Along the truck, away from the case; an arm that swings down pulls it nearer: negative.",
        ),
        number(
            "bump_along",
            "Axle joint moves away at full bump",
            Quantity::Length,
            Known::assumed(0.0, 5.0),
            [-300.0, 300.0],
            "The same, on the bump stops.",
        ),
        number(
            "crossed_drop",
            "Axle joint drops, crossed up",
            Quantity::Length,
            Known::assumed(10.0, 5.0),
            [-500.0, 500.0],
            "One wheel on its bump stop, the other hanging.",
        ),
        number(
            "crossed_along",
            "Axle joint moves away, crossed up",
            Quantity::Length,
            Known::assumed(0.0, 5.0),
            [-300.0, 300.0],
            "Along the truck.",
        ),
        number(
            "crossed_side",
            "Axle joint moves sideways, crossed up",
            Quantity::Length,
            Known::assumed(15.0, 5.0),
            [-300.0, 300.0],
            "To the same side as above.",
        ),
        number(
            "crossed_slope",
            "Pinion slope, crossed up",
            Quantity::Angle,
            Known::assumed(4.0, 0.5),
            [-60.0, 60.0],
            "The same sense as above.",
        ),
        number(
            "crossed_plan",
            "Pinion out to the side, crossed up",
            Quantity::Angle,
            Known::assumed(1.0, 0.5),
            [-40.0, 40.0],
            "The axle steers a little as it twists.",
        ),
        number(
            "speed",
            "Shaft speed",
            Quantity::Rpm,
            Known::assumed(2500.0, 0.0),
            [100.0, 8000.0],
            "Engine speed over the gear's ratio; in high range top gear, wheel speed times axle ratio.",
        ),
        number(
            "joint_limit",
            "Joint's own angle limit",
            Quantity::Angle,
            Known::assumed(30.0, 2.0),
            [5.0, 90.0],
            "Where the yokes touch: turn the joint by hand on the bench, or ask its maker.",
        ),
        number(
            "slip",
            "Slip left each way",
            Quantity::Length,
            Known::assumed(40.0, 2.0),
            [0.0, 400.0],
            "At ride height, the smaller of what can still slide in and what can still slide out with enough spline left.",
        ),
    ],
    cautions: &[
        "A driveshaft that binds, comes apart or hits something at speed can throw the truck or come through the floor. Turn it by hand through full droop, bump and crossed-up on stands before driving.",
        "Changing pinion or case angle moves caster and mount loads with it; have a shaft that was cut or welded balanced by a driveline shop.",
    ],
    work,
    drawing: None,
};

/// Unit direction of a shaft that slopes down toward the axle by `slope` and lies `plan` to the
/// side; along the truck toward the axle is x, z is up.
fn direction(slope_deg: N, plan_deg: N) -> Vector3<N> {
    let (sin_s, cos_s) = (slope_deg / DEG_PER_RAD).sin_cos();
    let (sin_p, cos_p) = (plan_deg / DEG_PER_RAD).sin_cos();
    Vector3::new(cos_s * cos_p, cos_s * sin_p, -sin_s)
}

/// Where the axle's joint has gone from ride height, and how its pinion then points.
struct Moved {
    along: N,
    side: N,
    up: N,
    slope: N,
    plan: N,
}

impl Moved {
    fn ride(given: &Given) -> Self {
        let (zero, plan) = (N::from(0.0), given.number("pinion_plan"));
        Self { along: zero, side: zero, up: zero, slope: given.number("pinion_slope"), plan }
    }
}

/// Both joints of the shaft in one position.
struct Joints {
    length: N,
    /// cos β at the case and at the axle.
    cos: [N; 2],
    /// cos² of the angle between the joints' planes.
    cos_planes_2: N,
}

impl Joints {
    fn new(given: &Given, at: &Moved) -> Self {
        let case = direction(given.number("case_slope"), given.number("case_plan"));
        let pinion = direction(at.slope, at.plan);
        let along = Vector3::new(
            given.number("run") + at.along,
            given.number("side") + at.side,
            -(given.number("drop") - at.up),
        );
        let length = along.dot(&along).sqrt();
        let shaft = along / length;
        let planes = [case.cross(&shaft), shaft.cross(&pinion)];
        let size = planes[0].dot(&planes[0]) * planes[1].dot(&planes[1]);
        let cos_planes_2 = if size.re > 1e-18 {
            planes[0].dot(&planes[1]).powi(2) / size
        } else {
            // A straight joint has no plane, and adds nothing in any.
            N::from(1.0)
        };
        Self { length, cos: [case.dot(&shaft), shaft.dot(&pinion)], cos_planes_2 }
    }

    fn degrees(&self, joint: usize) -> N {
        let cos = self.cos.get(joint).copied().unwrap_or_else(|| N::from(1.0));
        arc(cos) * DEG_PER_RAD
    }

    /// cos β of the single joint that turns as unevenly as the pair.
    fn pair(&self, in_phase: bool) -> N {
        let [c1, c2] = self.cos;
        let one = N::from(1.0);
        let same = if in_phase { self.cos_planes_2 } else { one - self.cos_planes_2 };
        let squares = (c1 * c1 + c2 * c2) * same + (one + c1 * c1 * c2 * c2) * (one - same);
        // k + 1/k of the map's two stretches.
        let sum = squares / (c1 * c2);
        let difference = sum * sum - 4.0;
        if difference.re <= 0.0 {
            return one;
        }
        (sum - difference.sqrt()) / 2.0
    }
}

/// acos that stays on the number line where rounding leaves it.
fn arc(cos: N) -> N {
    if cos.re >= 1.0 { N::from(0.0) } else { cos.acos() }
}

/// Peak of the change of speed behind a joint, over ω².
fn unevenness(cos: N) -> N {
    let s = N::from(1.0) - cos * cos;
    let m = s / (-s + 2.0);
    // Where the derivative of sin x / (1 − m cos x)² is 0.
    let cos_x = m * 4.0 / ((m * m * 8.0 + 1.0).sqrt() + 1.0);
    let sin_x = (-(cos_x * cos_x) + 1.0).sqrt();
    let whole = (-(s / 2.0) + 1.0) * (-(m * cos_x) + 1.0);
    cos * s * sin_x / (whole * whole)
}

fn work(given: &Given, out: &mut Report) {
    let ride = Joints::new(given, &Moved::ride(given));
    let shaft = given.choice("shaft");
    let turning = given.number("speed") * (2.0 * PI / 60.0);
    angles(given, &ride, shaft, out);
    uneven(&ride, shaft, turning, out);
    travel(given, &ride, out);
}

/// The two joints at ride height.
fn angles(given: &Given, ride: &Joints, shaft: &str, out: &mut Report) {
    let names =
        [("case_angle", "Angle at the case joint"), ("axle_angle", "Angle at the axle joint")];
    let slopes = [given.number("case_slope"), given.number("pinion_slope")];
    let double = shaft == "double_cardan";
    // ω·β = √1000: the angle up to which a joint may shake a shaft at this speed.
    let turning = given.number("speed") * (2.0 * PI / 60.0);
    let allowed = turning.recip() * (1000.0_f64.sqrt() * DEG_PER_RAD);
    let most = allowed.re;
    for (joint, ((key, label), slope)) in names.into_iter().zip(slopes).enumerate() {
        let angle = ride.degrees(joint);
        out.line(
            key,
            label,
            Quantity::Angle,
            angle,
            ANGLE_3D,
            "acos(u₁ · u₂), slope {2}° against the shaft's {2}° = {2}°",
            &[n(slope), n(shaft_slope(given, ride)), n(angle)],
        );
        if double && joint == 1 {
            out.judge(within(0.0, 1.0, 1.0, Source::CommonPractice, "Behind a double-Cardan joint the pinion points at the case under load, within about 1°: this joint is not canceled by anything."));
        } else if !double {
            out.judge(within(0.5, most, most * 0.25, INSTALLATION_AND_SPEED, "Under half a degree the needles do not roll and dent their seats; over the angle for this speed the shaft shakes by its own inertia."));
        }
    }
    if !double {
        let difference = size(ride.degrees(0) - ride.degrees(1));
        out.line(
            "difference",
            "Difference of the two angles",
            Quantity::Angle,
            difference,
            ANGLE_3D,
            "|{2} − {2}| = {2}°",
            &[n(ride.degrees(0)), n(ride.degrees(1)), n(difference)],
        );
        out.judge(within(0.0, 1.0, 1.0, INSTALLATION, "What one joint speeds up the other should slow down by as much; unequal, the pinion is shaken twice a turn."));
    }
    out.line(
        "allowed_angle",
        "Angle a joint may have at this speed",
        Quantity::Angle,
        allowed,
        INERTIA,
        "√1000 / ({0} · 2π/60) = {2}°",
        &[n(given.number("speed")), n(allowed)],
    );
}

const INSTALLATION_AND_SPEED: Source = Source::Published(
    "driveshaft maker's installation manual J3311-1, p. 10: at least 0.5°; its table of angle against speed (value from memory)",
);

fn shaft_slope(given: &Given, ride: &Joints) -> N {
    (given.number("drop") / ride.length).asin() * DEG_PER_RAD
}

/// What is left at the pinion, and what shakes the shaft.
fn uneven(ride: &Joints, shaft: &str, turning: N, out: &mut Report) {
    let double = shaft == "double_cardan";
    let left = if double { ride.cos[1] } else { ride.pair(shaft == "in_phase") };
    let equivalent = arc(left) * DEG_PER_RAD;
    let (key, label) = ("equivalent", "Angle that does not cancel");
    if double {
        out.line(
            key,
            label,
            Quantity::Angle,
            equivalent,
            PAIR,
            "the axle joint alone = {2}°",
            &[n(equivalent)],
        );
    } else {
        out.line(
            key,
            label,
            Quantity::Angle,
            equivalent,
            PAIR,
            "{2}° and {2}°, planes at cos² {3} = {2}°",
            &[n(ride.degrees(0)), n(ride.degrees(1)), n(ride.cos_planes_2), n(equivalent)],
        );
    }
    let fluctuation = (left.recip() - left) * 100.0;
    out.line(
        "fluctuation",
        "Speed ripple at the pinion",
        Quantity::Percent,
        fluctuation,
        JOINT,
        "sin β · tan β at {2}° = {3} %",
        &[n(equivalent), n(fluctuation)],
    );
    let residual = turning * turning * unevenness(left);
    out.line(
        "residual",
        "Shake of the pinion",
        Quantity::TurnAcceleration,
        residual,
        JOINT,
        "peak of ω² · cos β sin² β sin 2θ / (1 − sin² β cos² θ)², ω = {1} rad/s, β = {2}° = {0}",
        &[n(turning), n(equivalent), n(residual)],
    );
    out.judge(band(
        400.0,
        100.0,
        RESIDUAL,
        "Past this the axle rumbles and the ring and pinion hammer.",
    ));
    if !double {
        // The joint at the case turns the tube unevenly, whatever the other one mends.
        let inertia = turning * turning * unevenness(ride.cos[0]);
        out.line(
            "inertia",
            "Shake of the shaft itself",
            Quantity::TurnAcceleration,
            inertia,
            JOINT,
            "the same, β = {2}° = {0}",
            &[n(ride.degrees(0)), n(inertia)],
        );
        out.judge(band(1000.0, 250.0, INERTIA, "The tube itself speeds up and slows down twice a turn; past this it shakes the truck even when the joints cancel."));
    }
}

fn band(high: f64, slack: f64, source: Source, why: &'static str) -> Band {
    within(0.0, high, slack, source, why)
}

/// Key and name of each answer in one position of the axle.
struct Names {
    case: [&'static str; 2],
    axle: [&'static str; 2],
    left: [&'static str; 2],
    plunge: [&'static str; 2],
    slip: [&'static str; 2],
}

const DROOP: Names = Names {
    case: ["droop_case_angle", "Case joint at full droop"],
    axle: ["droop_axle_angle", "Axle joint at full droop"],
    left: ["droop_left", "Joint angle left at full droop"],
    plunge: ["plunge_out", "Slip pulled out at full droop"],
    slip: ["slip_out", "Slip left at full droop"],
};
const BUMP: Names = Names {
    case: ["bump_case_angle", "Case joint at full bump"],
    axle: ["bump_axle_angle", "Axle joint at full bump"],
    left: ["bump_left", "Joint angle left at full bump"],
    plunge: ["plunge_in", "Slip pushed in at full bump"],
    slip: ["slip_in", "Slip left at full bump"],
};
const CROSSED: Names = Names {
    case: ["crossed_case_angle", "Case joint, crossed up"],
    axle: ["crossed_axle_angle", "Axle joint, crossed up"],
    left: ["crossed_left", "Joint angle left, crossed up"],
    plunge: ["crossed_plunge", "Slip moved, crossed up"],
    slip: ["crossed_slip", "Slip left, crossed up"],
};

/// Bump, droop and crossed up: largest angles and the slip.
fn travel(given: &Given, ride: &Joints, out: &mut Report) {
    let zero = N::from(0.0);
    let plan = given.number("pinion_plan");
    out.line(
        "length",
        "Shaft length at ride height",
        Quantity::Length,
        ride.length,
        ANGLE_3D,
        "√({1}² + {1}² + {1}²) = {2}",
        &[n(given.number("run")), n(given.number("side")), n(given.number("drop")), n(ride.length)],
    );
    let at = |up, along: &str, side, slope: &str, plan| Moved {
        along: given.number(along),
        side,
        up,
        slope: given.number(slope),
        plan,
    };
    let ends = [
        (DROOP, 1.0, at(-given.number("droop"), "droop_along", zero, "pinion_droop", plan)),
        (BUMP, -1.0, at(given.number("bump"), "bump_along", zero, "pinion_bump", plan)),
        (
            CROSSED,
            0.0,
            at(
                -given.number("crossed_drop"),
                "crossed_along",
                given.number("crossed_side"),
                "crossed_slope",
                given.number("crossed_plan"),
            ),
        ),
    ];
    let (limit, slip) = (given.number("joint_limit"), given.number("slip"));
    for (names, sense, moved) in ends {
        let at = Joints::new(given, &moved);
        for (joint, [key, label]) in [names.case, names.axle].into_iter().enumerate() {
            let angle = at.degrees(joint);
            out.line(
                key,
                label,
                Quantity::Angle,
                angle,
                ANGLE_3D,
                "acos(u₁ · u₂) with the joint {0} mm up and {0} away = {2}°",
                &[n(moved.up), n(moved.along), n(angle)],
            );
        }
        let [one, other] = [at.degrees(0), at.degrees(1)];
        let larger = if one.re > other.re { one } else { other };
        let left = limit - larger;
        let [key, label] = names.left;
        let figures = [n(limit), n(larger), n(left)];
        out.line(key, label, Quantity::Angle, left, ANGLE_3D, "{1} − {2} = {2}°", &figures);
        out.judge(Band {
            stop: (Some(0.0), None),
            ..within(2.0, f64::INFINITY, 2.0, Source::CommonPractice, "A joint bent to its limit binds and breaks its yoke or cross. Leave 2° or more; limit straps or a different joint give it back.")
        });
        let longer = at.length - ride.length;
        let plunge = if sense == 0.0 { size(longer) } else { longer * sense };
        let [key, label] = names.plunge;
        out.line(
            key,
            label,
            Quantity::Length,
            plunge,
            ANGLE_3D,
            "length {2} against {2} = {2}",
            &[n(at.length), n(ride.length), n(plunge)],
        );
        let [key, label] = names.slip;
        let left = slip - plunge;
        let figures = [n(slip), n(plunge), n(left)];
        out.line(key, label, Quantity::Length, left, ANGLE_3D, "{1} − {2} = {2}", &figures);
        out.judge(Band {
            stop: (Some(0.0), None),
            ..within(10.0, f64::INFINITY, 10.0, Source::CommonPractice, "A slip that runs out lets the shaft fall apart; one that bottoms out breaks the case. Keep 10 mm or more in hand each way.")
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_shaft_has_no_angles_and_no_ripple() {
        let one = N::from(1.0);
        let straight = Joints { length: N::from(800.0), cos: [one, one], cos_planes_2: one };
        assert!(arc(straight.pair(true)).re.abs() < 1e-9);
        assert!(unevenness(one).re.abs() < 1e-12);
    }

    #[test]
    fn the_peak_is_the_largest_of_a_whole_turn() {
        for degrees in [1.0_f64, 5.8, 15.0, 30.0] {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let at = |step: u32| {
                let theta = f64::from(step) * PI / 20000.0;
                let below = 1.0 - sin * sin * theta.cos().powi(2);
                cos * sin * sin * (2.0 * theta).sin() / (below * below)
            };
            let largest = (0..20000).map(at).fold(0.0, f64::max);
            assert!((unevenness(N::from(cos)).re - largest).abs() < 1e-6 * largest, "{degrees}");
        }
    }
}
