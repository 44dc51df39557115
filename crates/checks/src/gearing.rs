//! Gearing: what another tire or axle ratio does to speedometer, engine speed and crawl.
//!
//! v = C·n / (i·i_t·i_a) with the rolling circumference C; derived.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, number, tire_size};
use fitment::{finding::Band, measure::Known, source::Source};

/// Tires, axle ratio and gears against speedometer and engine speed.
pub(super) static CARD: Card = Card {
    slug: "gearing",
    title: "Gearing and speedometer",
    about: "What a taller tire does to the speedometer, engine speed and crawl, and the axle ratio that puts it back.",
    words: &["speedo", "odometer", "axle ratio", "rpm", "crawl ratio", "transfer case", "gear"],
    fields: &[
        tire_size(
            "stock_tire",
            "Tire the speedometer was made for",
            "235/85R16",
            "From the placard.",
        ),
        tire_size("tire", "Tire fitted", "315/75R16", "Off the sidewall."),
        number(
            "axle_ratio",
            "Axle ratio fitted",
            Quantity::Ratio,
            Known::assumed(4.1, 0.0),
            [1.5, 9.0],
            "From the tag on the cover or the tooth counts: ring gear over pinion.",
        ),
        number(
            "stock_ratio",
            "Axle ratio the speedometer was made for",
            Quantity::Ratio,
            Known::assumed(4.1, 0.0),
            [1.5, 9.0],
            "As the truck left the factory.",
        ),
        number(
            "gear",
            "Gear",
            Quantity::Ratio,
            Known::assumed(1.0, 0.0),
            [0.3, 12.0],
            "Ratio of the gear you cruise in; 1 for direct, below 1 for overdrive.",
        ),
        number(
            "first",
            "First gear",
            Quantity::Ratio,
            Known::assumed(4.02, 0.0),
            [1.0, 15.0],
            "Ratio of the lowest gear.",
        ),
        number(
            "low_range",
            "Low range",
            Quantity::Ratio,
            Known::assumed(2.72, 0.0),
            [1.0, 6.0],
            "Ratio of the transfer case in low.",
        ),
        number(
            "speed",
            "Road speed",
            Quantity::Speed,
            Known::assumed(100.0, 0.0),
            [1.0, 200.0],
            "True speed to work the engine speed out for.",
        ),
        number(
            "slip",
            "Converter slip",
            Quantity::Percent,
            Known::assumed(0.0, 0.0),
            [0.0, 30.0],
            "0 for a manual gearbox or with the converter locked up; an automatic slips a few percent.",
        ),
    ],
    cautions: &[
        "Brakes, speedometer and load limits stay those of the original tire: check local codes before driving on another size, and have the speedometer corrected where they ask for it.",
    ],
    work,
    drawing: None,
};

/// Speedometer error allowed: UN R39, 5.3: never under the true speed, and over it by at most a
/// tenth and 4 km/h.
const UN_R39: Source =
    Source::Published("UN Regulation No. 39, 5.3: 0 ≤ V1 − V2 ≤ V2/10 + 4 km/h, V1 shown, V2 true");

const DERIVED: Source = Source::Derived("distance = turns × rolling circumference");

fn work(given: &Given, out: &mut Report) {
    let (old, new) = (given.tire("stock_tire"), given.tire("tire"));
    let (ratio, stock_ratio) = (given.number("axle_ratio"), given.number("stock_ratio"));
    let speed = given.number("speed");

    // The speedometer counts turns of the shaft ahead of the axle.
    let grown = new.circumference / old.circumference;
    let geared = stock_ratio / ratio;
    let travelled = grown * geared;
    let shown = speed / travelled;
    out.line(
        "speedometer",
        "Speedometer shows",
        Quantity::Speed,
        shown,
        DERIVED,
        "true {1} · (old circumference {0} / new {0}) · (ratio {3} / stock {3}) = {2}",
        &[n(speed), n(old.circumference), n(new.circumference), n(ratio), n(stock_ratio), n(shown)],
    );
    out.judge(Band {
        low: speed.re,
        high: speed.re * 1.1 + 4.0,
        slack: 0.0,
        stop: (None, None),
        source: UN_R39,
        why: "A speedometer that shows less than the true speed gets you booked and hides how fast the brakes have to work.",
    });
    let error = (N::from(1.0) / travelled - N::from(1.0)) * 100.0;
    out.line(
        "speedometer_error",
        "Speedometer error",
        Quantity::Percent,
        error,
        DERIVED,
        "shown / true − 1 = {2} %",
        &[n(error)],
    );
    let odometer = travelled * 100.0;
    out.line(
        "odometer",
        "Driven for every 100 km on the odometer",
        Quantity::Road,
        odometer,
        DERIVED,
        "100 · {4} = {2}",
        &[n(travelled), n(odometer)],
    );

    engine(given, grown, out);
}

/// Engine speed and what the ratios feel like, on a tire that rolls so much further.
fn engine(given: &Given, grown: N, out: &mut Report) {
    let (ratio, stock_ratio) = (given.number("axle_ratio"), given.number("stock_ratio"));
    let (speed, rolled) = (given.number("speed"), given.tire("tire").circumference);
    let slip = N::from(1.0) + given.number("slip") / 100.0;
    // mm per turn and km/h: n = v / C · ratios, per minute.
    let per_minute = speed * (1e6 / 60.0);
    let wheel = per_minute / rolled;
    let engine = wheel * ratio * given.number("gear") * slip;
    out.line(
        "engine_speed",
        "Engine speed",
        Quantity::Rpm,
        engine,
        DERIVED,
        "{0} mm/min / {0} · {3} · {3} · {3} = {0}",
        &[n(per_minute), n(rolled), n(ratio), n(given.number("gear")), n(slip), n(engine)],
    );
    let effective = ratio / grown;
    out.line(
        "effective_ratio",
        "Axle ratio it feels like",
        Quantity::Ratio,
        effective,
        DERIVED,
        "{3} / {4} = {3}",
        &[n(ratio), n(grown), n(effective)],
    );
    let restoring = stock_ratio * grown;
    out.line(
        "restoring_ratio",
        "Axle ratio that restores stock",
        Quantity::Ratio,
        restoring,
        DERIVED,
        "{3} · {4} = {3}",
        &[n(stock_ratio), n(grown), n(restoring)],
    );
    let crawl = given.number("first") * given.number("low_range") * ratio;
    out.line(
        "crawl",
        "Crawl ratio",
        Quantity::Ratio,
        crawl,
        DERIVED,
        "{3} · {3} · {3} = {2}",
        &[n(given.number("first")), n(given.number("low_range")), n(ratio), n(crawl)],
    );
}

#[cfg(test)]
mod tests {
    use super::super::{Answered, Entry};
    use super::*;

    fn with(changes: &[(&str, Entry)]) -> Answered {
        let mut entries = CARD.start();
        for (key, entry) in changes {
            let at = CARD.fields.iter().position(|field| field.key == *key).unwrap();
            entries[at] = entry.clone();
        }
        CARD.answer(&entries).unwrap()
    }

    fn value(answered: &Answered, key: &str) -> f64 {
        answered.lines.iter().find(|line| line.key == key).unwrap().value.unwrap()
    }

    #[test]
    fn a_tire_of_the_same_size_changes_nothing() {
        let same = with(&[("tire", Entry::Tire("235/85R16".into()))]);
        assert!((value(&same, "speedometer") - 100.0).abs() < 1e-9);
        assert!(value(&same, "speedometer_error").abs() < 1e-9);
        assert!((value(&same, "effective_ratio") - 4.1).abs() < 1e-9);
    }

    #[test]
    fn the_restoring_ratio_restores() {
        let found = with(&[]);
        let ratio = value(&found, "restoring_ratio");
        let mended = with(&[("axle_ratio", Entry::Number(Known::exact(ratio)))]);
        assert!((value(&mended, "speedometer") - 100.0).abs() < 1e-9);
    }
}
