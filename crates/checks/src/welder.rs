//! Welder: settings to start practice from, by wire, gas and thickness, and the heat put in.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number, within};
use fitment::{
    measure::{Known, units::MM_PER_INCH},
    source::Source,
};

const CURRENT: Source = Source::Published(
    "wire welder makers' manuals, setting tables: 1 A for each 0.001 in of thickness; wire feed, in/min per A: 0.024 in 3.5, 0.030 in 2, 0.035 in 1.6, 0.045 in 1",
);
const HEAT: Source = Source::Published(
    "ISO/TR 18491 and EN 1011-1 (efficiency of wire welding 0.8, value from memory): Q = k · U · I / v",
);

/// Wires: key, in/min per A, least and most A.
const WIRES: [(&str, f64, f64, f64); 4] = [
    ("0.035", 1.6, 50.0, 180.0),
    ("0.024", 3.5, 30.0, 90.0),
    ("0.030", 2.0, 40.0, 145.0),
    ("0.045", 1.0, 75.0, 250.0),
];

/// Settings to start from.
pub(super) static CARD: Card = Card {
    slug: "welder",
    title: "Wire welder: where to start",
    about: "Current, wire feed and volts to start practicing from on a coupon of the same thickness, and the heat a pass puts in.",
    words: &["mig", "wire speed", "voltage", "heat input", "75/25", "flux", "preheat", "amps"],
    fields: &[
        choice(
            "wire",
            "Solid wire",
            &[
                ("0.035", "0.035 in (0.9 mm)"),
                ("0.024", "0.024 in (0.6 mm)"),
                ("0.030", "0.030 in (0.8 mm)"),
                ("0.045", "0.045 in (1.2 mm)"),
            ],
            "On the spool.",
        ),
        choice("gas", "Gas", &[("mix", "75/25 argon and CO₂"), ("co2", "CO₂")], "On the bottle."),
        choice(
            "position",
            "Position",
            &[
                ("flat", "Flat or level"),
                ("up", "Upright, upward"),
                ("down", "Upright, downward"),
                ("overhead", "Overhead"),
            ],
            "How the joint lies while you weld it.",
        ),
        number(
            "thickness",
            "Steel",
            Quantity::Length,
            Known::assumed(4.76, 0.2),
            [0.5, 30.0],
            "Of the thinner plate; 3/16 in is 4.76 mm.",
        ),
        number(
            "steel_temperature",
            "Steel's temperature",
            Quantity::Temperature,
            Known::assumed(15.0, 5.0),
            [-40.0, 300.0],
            "Before you strike the arc.",
        ),
        number(
            "feed",
            "Wire feed you settled on",
            Quantity::Feed,
            Known::assumed(6.55, 0.0),
            [0.5, 25.0],
            "From the machine: 258 in/min is 6.55 m/min.",
        ),
        number(
            "volts",
            "Volts you settled on",
            Quantity::Voltage,
            Known::assumed(19.5, 0.0),
            [10.0, 40.0],
            "From the machine.",
        ),
        number(
            "amps",
            "Amps while welding",
            Quantity::Current,
            Known::assumed(160.0, 10.0),
            [10.0, 500.0],
            "Read while the arc burns.",
        ),
        number(
            "travel",
            "Travel speed",
            Quantity::Travel,
            Known::assumed(5.0, 0.5),
            [0.5, 30.0],
            "Length of bead over its time: 12 in/min is 5 mm/s.",
        ),
    ],
    cautions: &[
        "These are settings to start practicing from, on a coupon of the same steel and position: cut it, bend it, and show it to someone who knows before you touch the truck. No setting makes a weld good.",
        "Suspension, steering and frame welds are work for a qualified welder; overhead and upright ones above all. Have them inspected, and ask your local rules.",
        "Helmet, gloves, air and a fire watch; never weld galvanized, painted or fuel-wet metal.",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let found = WIRES.iter().find(|(key, ..)| *key == given.choice("wire"));
    let (_, per_amp, least, most) = found.copied().unwrap_or(("", f64::NAN, f64::NAN, f64::NAN));
    let thickness = given.number("thickness");
    let amps = thickness / MM_PER_INCH * 1000.0;
    out.line(
        "current",
        "Current for the thickness",
        Quantity::Current,
        amps,
        CURRENT,
        "1000 A/in · {2} mm / 25.4 = {0}",
        &[n(thickness), n(amps)],
    );
    out.judge(within(
        least,
        most,
        0.0,
        CURRENT,
        "Outside what the wire is for: take another wire, or more passes on prepared edges.",
    ));
    let within_wire = if amps.re > most {
        N::from(most)
    } else if amps.re < least {
        N::from(least)
    } else {
        amps
    };
    let metres = MM_PER_INCH / 1000.0;
    let full_feed = amps * per_amp * metres;
    out.line(
        "full_feed",
        "Wire feed for that current",
        Quantity::Feed,
        full_feed,
        CURRENT,
        "{0} A · {1} in/min per A · 0.0254 = {2} m/min",
        &[n(amps), n(N::from(per_amp)), n(full_feed)],
    );
    let start = within_wire * per_amp * metres;
    out.line(
        "start_feed",
        "Wire feed to start from",
        Quantity::Feed,
        start,
        CURRENT,
        "{0} A, inside the wire's {0} to {0} A, · {1} · 0.0254 = {2}",
        &[n(within_wire), n(N::from(least)), n(N::from(most)), n(N::from(per_amp)), n(start)],
    );
    let gas = if given.choice("gas") == "co2" { 2.0 } else { 0.0 };
    let volts = within_wire * 0.035 + (14.0 + gas);
    out.line(
        "start_volts",
        "Volts to start from",
        Quantity::Voltage,
        volts,
        Source::CommonPractice,
        "14 + 0.035 · {0} A + {0} for the gas = {1}",
        &[n(within_wire), n(N::from(gas)), n(volts)],
    );
    let feed = given.number("feed");
    out.line(
        "feed",
        "Wire feed you settled on",
        Quantity::Feed,
        feed,
        Source::CommonPractice,
        "{2} m/min against {2}",
        &[n(feed), n(start)],
    );
    out.judge(within(start.re * 0.8, start.re * 1.2, start.re * 0.1, Source::CommonPractice, "Far from the usual start: too slow spatters and lies cold on top, too fast stubs and burns through."));
    let own = given.number("volts");
    out.line(
        "volts",
        "Volts you settled on",
        Quantity::Voltage,
        own,
        Source::CommonPractice,
        "{1} V against {1}",
        &[n(own), n(volts)],
    );
    out.judge(within(
        volts.re - 1.5,
        volts.re + 1.5,
        0.75,
        Source::CommonPractice,
        "Low volts pile the bead up without taking the edges; high ones undercut them.",
    ));
    heat(given, out);
    notes(given, out);
}

fn heat(given: &Given, out: &mut Report) {
    let (volts, amps, travel) =
        (given.number("volts"), given.number("amps"), given.number("travel"));
    let arc = volts * amps / travel / 1000.0;
    out.line(
        "arc_energy",
        "Arc energy",
        Quantity::Heat,
        arc,
        HEAT,
        "{1} V · {0} A / {2} mm/s / 1000 = {3}",
        &[n(volts), n(amps), n(travel), n(arc)],
    );
    let heat = arc * 0.8;
    out.line(
        "heat",
        "Heat put in",
        Quantity::Heat,
        heat,
        HEAT,
        "0.8 · {3} = {4}",
        &[n(arc), n(heat)],
    );
}

fn notes(given: &Given, out: &mut Report) {
    match given.choice("position") {
        "down" => out.note("A downhill run penetrates less than an uphill one: leave it for thin sheet, not for brackets (common practice, no source)."),
        "up" => out.note("Uphill penetrates well and is hard to learn: one to hand to a qualified welder (common practice, no source)."),
        "overhead" => out.note("Overhead is the position to hand over to a qualified welder (common practice, no source)."),
        _ => {}
    }
    if given.number("thickness").re <= 3.2 {
        out.note("1/8 in (3.2 mm) steel is the thin side of the job (common practice, no source).");
    }
    if given.number("steel_temperature").re < 0.0 {
        out.note("Below 0 °C warm the steel to 20 °C or more before welding, and below −20 °C do not weld (AWS D1.1, value from memory).");
    }
    if given.number("thickness").re > 20.0 {
        out.note("Over 20 mm mild steel wants preheat, 65 °C or more up to 38 mm without low-hydrogen filler (AWS D1.1, value from memory).");
    }
}
