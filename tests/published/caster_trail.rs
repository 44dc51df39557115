//! Caster, steering-axis inclination, trail and scrub radius.

use crate::{
    close,
    simple_axle::{BarEnd, at, get, lift_table, stiff_arms},
};
use fitment::{
    axle::{AxleModel, Output, solve},
    calibrate::sweep::Sweep,
    measure::Known,
    truck::{Axle, End, Kingpin, Side, State, Truck},
};

/// An axle whose steering axis leans by `caster` and `inclination` (degrees) and stands `inboard` of
/// the wheel's centre plane at hub height, on tires of loaded radius 400.
fn steered(caster: f64, inclination: f64, inboard: f64) -> Axle {
    let mut axle = lift_table(900.0, 60.0, BarEnd::Left);
    axle.stock.wheel.offset_mm = Known::exact(20.0);
    axle.stock.tire.loaded_radius_mm = Some(Known::exact(400.0));
    axle.kingpin = Some(Kingpin {
        caster_deg: Known::exact(caster),
        inclination_deg: Known::exact(inclination),
        hub_offset_mm: Known::exact(inboard + 20.0),
        hub_trail_mm: Known::exact(0.0),
    });
    axle
}

/// Source: trail = r·tan τ and scrub = q − r·tan σ (Dixon, Suspension Geometry and Computation, and
/// Reimpell, The Automotive Chassis, ch. 3; from memory): r 400, τ 4° gives 27.97; σ 9°, q 90 gives
/// 26.65, and 25 more of q 25 more of scrub.
#[test]
fn trail_and_scrub() {
    for (inboard, scrub) in [(90.0, 26.65), (115.0, 51.65)] {
        let stock = at(&steered(4.0, 9.0, inboard), State::Stock, [0.0; 2]);
        for (output, want) in [
            (Output::TrailLeft, 27.97),
            (Output::TrailRight, 27.97),
            (Output::ScrubLeft, scrub),
            (Output::ScrubRight, scrub),
        ] {
            close(output.key(), get(&stock, output), want, 0.02);
        }
    }
}

/// Source: the same; a spacer adds itself to the scrub radius.
#[test]
fn a_spacer_adds_to_the_scrub_radius() {
    let mut axle = steered(4.0, 9.0, 90.0);
    axle.sitting = axle.stock.clone();
    axle.sitting.spacer_mm = Known::exact(25.0);
    let spaced = at(&axle, State::Sitting, [0.0; 2]);
    close("scrub", get(&spaced, Output::ScrubLeft), 51.65, 0.02);
    close("trail", get(&spaced, Output::TrailLeft), 27.97, 0.02);
}

/// Source: plane geometry of an arm clamped to the axle, asin(v₂/L) − asin(v₁/L): L 890 from 60 to 110
/// loses 3.234°, L 900 from 80 to 180 loses 6.437°; on a front axle the pinion's nose rises by as much.
#[test]
fn rigid_radius_arms_lose_caster_with_lift() {
    for (length, before, after, want) in [(890.0, 60.0, 110.0, 3.234), (900.0, 80.0, 180.0, 6.437)]
    {
        let axle = stiff_arms(length, before);
        let (stock, lifted) =
            (at(&axle, State::Stock, [0.0; 2]), at(&axle, State::Stock, [before - after; 2]));
        let change = |output| get(&lifted, output) - get(&stock, output);
        close("caster", change(Output::Caster), -want, 0.005);
        close("pinion", change(Output::Pinion), want, 0.005);
    }
}

/// Camber (top outboard positive) of the left wheel with the wheel heading `heading`, degrees.
fn camber(model: &AxleModel<f64>, heading: f64) -> f64 {
    let pose = solve(model, [0.0; 2]).expect("stock is within reach");
    let at = |steer: f64| {
        let wheel = model.wheel(&pose, Side::Left, steer);
        let heads = wheel.heading.y.atan2(wheel.heading.x).to_degrees();
        (heads, -wheel.outboard.z.asin().to_degrees())
    };
    // The turn about the leaning axis that makes the wheel head there.
    let (mut low, mut high) = (-1.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if at(middle).0 < heading {
            low = middle;
        } else {
            high = middle;
        }
    }
    at(low).1
}

/// Source: January, Steering geometry and caster measurement, SAE 850219, which takes caster from the
/// change of camber over a steering sweep. Numbers from a rotation about a leaning axis worked out
/// apart: at ±20° of heading τ 4, σ 9 cambers 1.9220 and −0.8220, τ 10 cambers 4.0184 and −2.8940, and
/// the rack's (γ₁ − γ₂)/(2 sin 20°) reads 4.011 and 10.105.
#[test]
fn a_steering_sweep_shows_the_caster() {
    for (caster, left, right, rack) in
        [(4.0, 1.9220, -0.8220, 4.011), (10.0, 4.0184, -2.8940, 10.105)]
    {
        let truck = Truck::with_axle(steered(caster, 9.0, 90.0), End::Front);
        let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
        let (a, b) = (camber(&model, 20.0), camber(&model, -20.0));
        close("camber, turned left", a, left, 0.002);
        close("camber, turned right", b, right, 0.002);
        close("as a rack reads", (a - b) / (2.0 * 20.0_f64.to_radians().sin()), rack, 0.002);
    }
}

/// Source: the same paper's exact relation, as the measuring room works it out, on the same model: either
/// wheel, swept unevenly, gives back its caster where the inclination is known.
#[test]
fn the_measuring_rooms_sweep_agrees_with_the_model() {
    for caster in [6.0, 3.5, -2.0] {
        let truck = Truck::with_axle(steered(caster, 9.0, 90.0), End::Front);
        let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
        let (d1, d2) = (22.0, -18.5);
        let camber = [d1, d2].map(|d| camber(&model, d).to_radians());
        let heading = [d1, d2].map(f64::to_radians);
        let sweep = Sweep { heading, camber, inclination: 9.0_f64.to_radians() };
        close("exact", sweep.caster(Side::Left).to_degrees(), caster, 1e-9);
        // The short form is off by what inclination and uneven headings add.
        let small = sweep.caster_small(Side::Left).to_degrees();
        assert!((small - caster).abs() > 0.05 && (small - caster).abs() < 1.0, "{small}");
    }
}

/// Source: the same paper's exact relation, since the angle between steering axis and spindle stays:
/// tan τ·(cos γ₁ sin δ₁ − cos γ₂ sin δ₂) − tan σ·(cos γ₁ cos δ₁ − cos γ₂ cos δ₂) = sin γ₁ − sin γ₂.
/// Two pairs of positions give back both angles.
#[test]
fn the_exact_sweep_gives_back_caster_and_inclination() {
    for (caster, inclination) in [(6.0, 9.0), (4.0, 9.0), (-2.0, 12.0)] {
        let truck = Truck::with_axle(steered(caster, inclination, 90.0), End::Front);
        let model = AxleModel::of(&truck, End::Front, State::Stock).unwrap();
        let row = |d1: f64, d2: f64| {
            let [(g1, d1), (g2, d2)] =
                [d1, d2].map(|d| (camber(&model, d).to_radians(), d.to_radians()));
            (
                g1.cos() * d1.sin() - g2.cos() * d2.sin(),
                -(g1.cos() * d1.cos() - g2.cos() * d2.cos()),
                g1.sin() - g2.sin(),
            )
        };
        let ((a, b, e), (c, d, f)) = (row(20.0, -20.0), row(20.0, 0.0));
        let whole = a * d - b * c;
        close("caster", ((e * d - b * f) / whole).atan().to_degrees(), caster, 1e-9);
        close("inclination", ((a * f - e * c) / whole).atan().to_degrees(), inclination, 1e-9);
    }
}
