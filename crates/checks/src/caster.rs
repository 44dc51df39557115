//! Caster and kingpin inclination from camber read with the wheel steered out and in.
//!
//! The angle between steering axis and spindle never changes, which gives, for sweeps of ±d:
//! tan τ · sin d · (cos γ₁ + cos γ₂) − tan σ · cos d · (cos γ₁ − cos γ₂) = sin γ₁ − sin γ₂.

use super::Quantity;
use super::card::{Card, Given, Report, n, number};
use fitment::{
    measure::{Known, units::DEG_PER_RAD},
    source::Source,
};
use num_dual::DualNum;

const SWEEP: Source = Source::Published(
    "D. B. January, SAE 850219: caster from the change of camber over a steering sweep; exact form from axis · spindle = constant",
);
const INCLINATION: Source = Source::Derived(
    "the same with the brakes locked: (ψ₁ − ψ₂) / (2 sin d), ψ the spindle's turn seen from the side",
);
const FROM_CAMBER: Source = Source::Derived("from camber alone: ((γ₁ + γ₂)/2 − γ₀) / (1 − cos d)");

/// Caster by steering sweep.
pub(super) static CARD: Card = Card {
    slug: "caster-sweep",
    title: "Caster by steering sweep",
    about: "Caster and kingpin inclination of one front wheel from camber read with the wheel steered out and in.",
    words: &["caster gauge", "camber", "kingpin", "sai", "kpi", "alignment", "turn plates"],
    fields: &[
        number(
            "sweep",
            "Steered each way",
            Quantity::Angle,
            Known::assumed(20.0, 0.2),
            [5.0, 30.0],
            "The wheel's own angle, read at turn plates; the same out and in.",
        ),
        number(
            "camber_out",
            "Camber, wheel steered out",
            Quantity::Angle,
            Known::assumed(3.1, 0.1),
            [-20.0, 20.0],
            "Front of the wheel turned away from the truck; top outward is positive.",
        ),
        number(
            "camber_in",
            "Camber, wheel steered in",
            Quantity::Angle,
            Known::assumed(-1.0, 0.1),
            [-20.0, 20.0],
            "Front of the wheel turned toward the truck.",
        ),
        number(
            "camber_ahead",
            "Camber, straight ahead",
            Quantity::Angle,
            Known::assumed(0.5, 0.1),
            [-10.0, 10.0],
            "Before the sweep.",
        ),
        number(
            "inclination",
            "Kingpin inclination",
            Quantity::Angle,
            Known::assumed(9.0, 1.0),
            [0.0, 25.0],
            "From the truck's data; it matters little to caster.",
        ),
        number(
            "spindle_out",
            "Spindle turned, steered out",
            Quantity::Angle,
            Known::assumed(2.7, 0.1),
            [-20.0, 20.0],
            "Brakes locked, gauge across the hub seen from the side, zeroed straight ahead.",
        ),
        number(
            "spindle_in",
            "Spindle turned, steered in",
            Quantity::Angle,
            Known::assumed(-3.5, 0.1),
            [-20.0, 20.0],
            "The same, steered in.",
        ),
    ],
    cautions: &[
        "Steering geometry: a home reading shows what changed, not that it is right. After any change have the alignment measured on a rig by someone licensed for it, and drive slowly first.",
        "Chock the wheels, stand the truck on level turn plates, and never work under it on a jack alone.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let rad = |key: &str| given.number(key) / DEG_PER_RAD;
    let (sin_d, cos_d) = rad("sweep").sin_cos();
    let (sin_1, cos_1) = rad("camber_out").sin_cos();
    let (sin_2, cos_2) = rad("camber_in").sin_cos();
    let (out_deg, in_deg) = (given.number("camber_out"), given.number("camber_in"));
    let sum = sin_1 - sin_2 + rad("inclination").tan() * cos_d * (cos_1 - cos_2);
    let caster = (sum / (sin_d * (cos_1 + cos_2))).atan() * DEG_PER_RAD;
    out.line("caster", "Caster", Quantity::Angle, caster, SWEEP, "atan((sin γ₁ − sin γ₂ + tan σ cos d (cos γ₁ − cos γ₂)) / (sin d (cos γ₁ + cos γ₂))), γ {3}° and {3}°, σ {2}° = {3}°", &[n(out_deg), n(in_deg), n(given.number("inclination")), n(caster)]);
    let simple = (out_deg - in_deg) / (sin_d * 2.0);
    out.line(
        "simple",
        "Caster by the short form",
        Quantity::Angle,
        simple,
        SWEEP,
        "({3} − {3}) / (2 sin d) = {3}°",
        &[n(out_deg), n(in_deg), n(simple)],
    );
    let factor = (sin_d * 2.0).recip();
    out.line(
        "factor",
        "Degrees of caster for each of camber",
        Quantity::Ratio,
        factor,
        SWEEP,
        "1 / (2 sin {2}°) = {4}",
        &[n(given.number("sweep")), n(factor)],
    );
    let turned = given.number("spindle_out") - given.number("spindle_in");
    let spindle = turned * factor;
    out.line(
        "inclination_spindle",
        "Kingpin inclination, from the spindle",
        Quantity::Angle,
        spindle,
        INCLINATION,
        "{3} · {4} = {3}°",
        &[n(turned), n(factor), n(spindle)],
    );
    let middle = (out_deg + in_deg) / 2.0 - given.number("camber_ahead");
    let camber = middle / (-cos_d + 1.0);
    out.line(
        "inclination_camber",
        "Kingpin inclination, from camber alone",
        Quantity::Angle,
        camber,
        FROM_CAMBER,
        "{3} / (1 − cos {2}°) = {2}°",
        &[n(middle), n(given.number("sweep")), n(camber)],
    );
    out.note("Inclination from camber alone multiplies every error of reading: at a 20° sweep a tenth of a degree becomes 1.7°. Use the spindle's turn with the brakes locked.");
}
