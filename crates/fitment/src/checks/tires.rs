//! Tires side by side: how much taller, wider and slower-turning one size is than another.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, tire_size};
use crate::source::Source;
use num_dual::DualNum;

const SIZE: Source = Source::Published(
    "UN Regulation 54, 6.1.2 (value from memory): rim + 2 · section · aspect / 100; section by UN Regulation 30, 6.1.1.1",
);
const ROLLED: Source = Source::Published(
    "ETRTO (value from memory): rolling circumference 3.05 · diameter for a radial, 2.99 for a bias tire",
);
const LOADED: Source = Source::CommonPractice;
const DERIVED: Source = Source::Derived("ratio or difference of the two tires");

/// Two sizes side by side.
pub(super) static CARD: Card = Card {
    slug: "tires",
    title: "Tire sizes side by side",
    about: "Two sizes compared: diameter, width, height of the axle, turns per kilometer, and what that does to speedometer and brakes.",
    words: &["tire size", "wheel size", "diameter", "revs per mile", "plus size", "flotation"],
    fields: &[
        tire_size(
            "stock_tire",
            "Tire it had",
            "235/85R16",
            "Off the sidewall or the placard; each on the rim it is measured on.",
        ),
        tire_size("tire", "Tire it gets", "315/75R16", "Off the sidewall."),
    ],
    cautions: &[
        "A designation names a class of tires: makers differ by a percent and more. Measure the real tire before you cut or order anything.",
        "A larger tire asks more of brakes, bearings and steering, and must carry the axle's load at its pressure. Check the load index, and local codes for how much larger is allowed.",
    ],
    work,
};

fn work(given: &Given, out: &mut Report) {
    let (old, new) = (given.tire("stock_tire"), given.tire("tire"));
    let turns = |circumference: N| circumference.recip() * 1e6;
    for (key, label, value, source) in [
        ("stock_diameter", "Diameter, old", old.diameter, SIZE),
        ("diameter", "Diameter, new", new.diameter, SIZE),
        ("stock_section", "Section width, old", old.section, SIZE),
        ("section", "Section width, new", new.section, SIZE),
        ("stock_loaded", "Axle above ground, old", old.loaded_radius, LOADED),
        ("loaded", "Axle above ground, new", new.loaded_radius, LOADED),
    ] {
        out.line(key, label, Quantity::Length, value, source, || {
            format!("from the size = {}", n(value, 1))
        });
    }
    for (key, label, rolled) in [
        ("stock_turns", "Turns per km, old", old.circumference),
        ("turns", "Turns per km, new", new.circumference),
    ] {
        let value = turns(rolled);
        out.line(key, label, Quantity::Count, value, ROLLED, || {
            format!("1 km / {} mm = {}", n(rolled, 0), n(value, 1))
        });
    }
    let taller = new.diameter - old.diameter;
    out.line("taller", "Taller by", Quantity::Length, taller, DERIVED, || {
        format!("{} − {} = {}", n(new.diameter, 1), n(old.diameter, 1), n(taller, 1))
    });
    let wider = new.section - old.section;
    out.line("wider", "Wider by", Quantity::Length, wider, DERIVED, || {
        format!("{} − {} = {}", n(new.section, 1), n(old.section, 1), n(wider, 1))
    });
    let raised = new.loaded_radius - old.loaded_radius;
    out.line("raised", "Axle and truck raised by", Quantity::Length, raised, DERIVED, || {
        format!("{} − {} = {}", n(new.loaded_radius, 1), n(old.loaded_radius, 1), n(raised, 1))
    });
    let faster = (new.circumference / old.circumference - N::from(1.0)) * 100.0;
    out.line("faster", "True speed over the one shown", Quantity::Percent, faster, DERIVED, || {
        format!(
            "{} / {} − 1 = {} %",
            n(new.circumference, 0),
            n(old.circumference, 0),
            n(faster, 2)
        )
    });
    let torque = (new.loaded_radius / old.loaded_radius - N::from(1.0)) * 100.0;
    out.line(
        "brake_torque",
        "Brake torque needed for the same stop",
        Quantity::Percent,
        torque,
        DERIVED,
        || {
            format!(
                "lever {} / {} − 1 = {} % more",
                n(new.loaded_radius, 1),
                n(old.loaded_radius, 1),
                n(torque, 2)
            )
        },
    );
}
