//! Tires side by side: how much taller, wider and slower-turning each size is than the first, and
//! the rims it may go on.

use super::card::{Card, Given, N, Report, Tire, n, tire_size};
use super::drawing::{Dimension, Thing};
use super::{Drawing, Quantity};
use fitment::measure::units::MM_PER_INCH;
use fitment::source::Source;
use num_dual::DualNum;

const SIZE: Source = Source::Published(
    "UN Regulation 54, 6.1.2 (value from memory): rim + 2 · section · aspect / 100; section by UN Regulation 30, 6.1.1.1",
);
const ROLLED: Source = Source::Published(
    "ETRTO (value from memory): rolling circumference 3.05 · diameter for a radial, 2.99 for a bias tire",
);
const LOADED: Source = Source::CommonPractice;
/// Half an inch under the measuring rim to one inch over it: inside what makers' pages list for the
/// usual light truck sizes.
const RIMS: Source = Source::CommonPractice;
const DERIVED: Source = Source::Derived("ratio or difference of the two tires");

/// Two sizes side by side.
pub(super) static CARD: Card = Card {
    slug: "tires",
    title: "Tire sizes side by side",
    about: "Up to six sizes compared: diameter, width, rims, height of the axle, turns per kilometer, and what that does to speedometer and brakes.",
    words: &[
        "tire size",
        "wheel size",
        "diameter",
        "revs per mile",
        "plus size",
        "flotation",
        "rim width",
        "compare",
    ],
    fields: &[
        tire_size(
            "stock_tire",
            "Tire it had",
            "235/85R16",
            "Off the sidewall or the placard; each on the rim it is measured on.",
        ),
        tire_size("tire", "Tire it gets", "315/75R16", "Off the sidewall."),
        tire_size("third", "A third tire", "", OR_NOTHING),
        tire_size("fourth", "A fourth tire", "", OR_NOTHING),
        tire_size("fifth", "A fifth tire", "", OR_NOTHING),
        tire_size("sixth", "A sixth tire", "", OR_NOTHING),
    ],
    cautions: &[
        "A designation names a class of tires: makers differ by a percent and more. Measure the real tire before you cut or order anything.",
        "A larger tire asks more of brakes, bearings and steering, and must carry the axle's load at its pressure. Check the load index, and local codes for how much larger is allowed.",
    ],
    work,
    drawing: Some(drawing),
};

const OR_NOTHING: &str = "Off the sidewall; leave it empty where there is none.";

/// A further tire: its field, and key and name of each of its answers.
struct Further {
    field: &'static str,
    diameter: [&'static str; 2],
    section: [&'static str; 2],
    turns: [&'static str; 2],
    taller: [&'static str; 2],
    faster: [&'static str; 2],
}

const FURTHER: [Further; 4] = [
    Further {
        field: "third",
        diameter: ["third_diameter", "Diameter, third"],
        section: ["third_section", "Section width, third"],
        turns: ["third_turns", "Turns per km, third"],
        taller: ["third_taller", "Third taller by"],
        faster: ["third_faster", "Third: true speed over the one shown"],
    },
    Further {
        field: "fourth",
        diameter: ["fourth_diameter", "Diameter, fourth"],
        section: ["fourth_section", "Section width, fourth"],
        turns: ["fourth_turns", "Turns per km, fourth"],
        taller: ["fourth_taller", "Fourth taller by"],
        faster: ["fourth_faster", "Fourth: true speed over the one shown"],
    },
    Further {
        field: "fifth",
        diameter: ["fifth_diameter", "Diameter, fifth"],
        section: ["fifth_section", "Section width, fifth"],
        turns: ["fifth_turns", "Turns per km, fifth"],
        taller: ["fifth_taller", "Fifth taller by"],
        faster: ["fifth_faster", "Fifth: true speed over the one shown"],
    },
    Further {
        field: "sixth",
        diameter: ["sixth_diameter", "Diameter, sixth"],
        section: ["sixth_section", "Section width, sixth"],
        turns: ["sixth_turns", "Turns per km, sixth"],
        taller: ["sixth_taller", "Sixth taller by"],
        faster: ["sixth_faster", "Sixth: true speed over the one shown"],
    },
];

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
        out.line(key, label, Quantity::Length, value, source, "from the size = {1}", &[n(value)]);
    }
    for (key, label, rolled) in [
        ("stock_turns", "Turns per km, old", old.circumference),
        ("turns", "Turns per km, new", new.circumference),
    ] {
        let value = turns(rolled);
        out.line(
            key,
            label,
            Quantity::Count,
            value,
            ROLLED,
            "1 km / {0} mm = {1}",
            &[n(rolled), n(value)],
        );
    }
    let taller = new.diameter - old.diameter;
    out.line(
        "taller",
        "Taller by",
        Quantity::Length,
        taller,
        DERIVED,
        "{1} − {1} = {1}",
        &[n(new.diameter), n(old.diameter), n(taller)],
    );
    let wider = new.section - old.section;
    out.line(
        "wider",
        "Wider by",
        Quantity::Length,
        wider,
        DERIVED,
        "{1} − {1} = {1}",
        &[n(new.section), n(old.section), n(wider)],
    );
    let raised = new.loaded_radius - old.loaded_radius;
    out.line(
        "raised",
        "Axle and truck raised by",
        Quantity::Length,
        raised,
        DERIVED,
        "{1} − {1} = {1}",
        &[n(new.loaded_radius), n(old.loaded_radius), n(raised)],
    );
    let faster = (new.circumference / old.circumference - N::from(1.0)) * 100.0;
    out.line(
        "faster",
        "True speed over the one shown",
        Quantity::Percent,
        faster,
        DERIVED,
        "{0} / {0} − 1 = {2} %",
        &[n(new.circumference), n(old.circumference), n(faster)],
    );
    let torque = (new.loaded_radius / old.loaded_radius - N::from(1.0)) * 100.0;
    out.line(
        "brake_torque",
        "Brake torque needed for the same stop",
        Quantity::Percent,
        torque,
        DERIVED,
        "lever {1} / {1} − 1 = {2} % more",
        &[n(new.loaded_radius), n(old.loaded_radius), n(torque)],
    );
    for (key, label, rim) in [
        ("rim_least", "Narrowest rim, new", new.measuring_rim - MM_PER_INCH / 2.0),
        ("rim_measured", "Rim it is measured on, new", new.measuring_rim),
        ("rim_most", "Widest rim, new", new.measuring_rim + MM_PER_INCH),
    ] {
        out.line(key, label, Quantity::Length, N::from(rim), RIMS, "measuring rim {1} in; from 1/2 in under it to 1 in over it; {1} in. The tire maker's own list decides", &[n(N::from(new.measuring_rim / MM_PER_INCH)), n(N::from(rim / MM_PER_INCH))]);
    }
    for further in &FURTHER {
        if let Some(tire) = given.tire_if_any(further.field) {
            beside(further, old, tire, out);
        }
    }
}

/// A further tire against the first.
fn beside(names: &Further, old: Tire, new: Tire, out: &mut Report) {
    for ([key, label], value) in [(names.diameter, new.diameter), (names.section, new.section)] {
        out.line(key, label, Quantity::Length, value, SIZE, "from the size = {1}", &[n(value)]);
    }
    let [key, label] = names.turns;
    let turns = new.circumference.recip() * 1e6;
    out.line(
        key,
        label,
        Quantity::Count,
        turns,
        ROLLED,
        "1 km / {0} mm = {1}",
        &[n(new.circumference), n(turns)],
    );
    let [key, label] = names.taller;
    let taller = new.diameter - old.diameter;
    out.line(
        key,
        label,
        Quantity::Length,
        taller,
        DERIVED,
        "{1} − {1} = {1}",
        &[n(new.diameter), n(old.diameter), n(taller)],
    );
    let [key, label] = names.faster;
    let faster = (new.circumference / old.circumference - N::from(1.0)) * 100.0;
    out.line(
        key,
        label,
        Quantity::Percent,
        faster,
        DERIVED,
        "{0} / {0} − 1 = {2} %",
        &[n(new.circumference), n(old.circumference), n(faster)],
    );
}

/// What each tire is called in the drawing.
const NAMES: [&str; 6] = ["it had", "it gets", "third", "fourth", "fifth", "sixth"];

/// From the side and, beside it, from ahead, all standing on one ground.
fn drawing(given: &Given) -> Drawing {
    let fields = ["stock_tire", "tire"].into_iter().chain(FURTHER.iter().map(|f| f.field));
    let tires: Vec<(usize, Tire)> = fields
        .enumerate()
        .filter_map(|(at, field)| Some((at, given.tire_if_any(field)?)))
        .collect();
    let most = |of: fn(&Tire) -> f64| tires.iter().map(|(_, tire)| of(tire)).fold(0.0, f64::max);
    let (tallest, widest) = (most(|tire| tire.diameter.re), most(|tire| tire.section.re));
    let gap = 0.1 * tallest;
    let ahead = tallest / 2.0 + gap + widest / 2.0;
    let things = tires.iter().map(|(at, tire)| {
        let (high, half) = (tire.diameter.re, tire.section.re / 2.0);
        let corner = half * 0.35;
        let corners = [
            [ahead - half + corner, 0.0],
            [ahead + half - corner, 0.0],
            [ahead + half, corner],
            [ahead + half, high - corner],
            [ahead + half - corner, high],
            [ahead - half + corner, high],
            [ahead - half, high - corner],
            [ahead - half, corner],
            [ahead - half + corner, 0.0],
        ];
        Thing {
            name: NAMES.get(*at).copied().unwrap_or_default().to_owned(),
            circles: vec![([0.0, high / 2.0], high / 2.0), ([0.0, high / 2.0], tire.rim / 2.0)],
            lines: vec![corners.to_vec()],
        }
    });
    let (old, new) = (given.tire("stock_tire"), given.tire("tire"));
    let dims = vec![
        Dimension {
            from: [0.0, old.diameter.re],
            to: [0.0, new.diameter.re],
            value: (new.diameter - old.diameter).re,
        },
        Dimension {
            from: [ahead + old.section.re / 2.0, old.diameter.re / 2.0],
            to: [ahead + new.section.re / 2.0, old.diameter.re / 2.0],
            value: (new.section - old.section).re / 2.0,
        },
    ];
    let side = tallest / 2.0 + gap / 2.0;
    Drawing {
        words: "The tires from the side and from ahead, to scale, on one ground",
        things: things.collect(),
        shared: [[-side, 0.0], [ahead + widest / 2.0 + gap / 2.0, 0.0]],
        shared_words: "ground",
        dims,
    }
}
