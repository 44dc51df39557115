//! Offset, spacer, bearings.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Source: rim geometry, worked apart: 8 in at +25 has 139.3 mm (5.48 in) of backspacing; 4.50 in of it is
/// offset 0.
#[test]
fn backspacing_from_offset() {
    let found = ask(
        "hub",
        &[("stock_width", "8 in"), ("stock_offset", "25"), ("width", "8 in"), ("offset", "0")],
    );
    close("+25", value(&found, "stock_backspacing"), 139.3, 0.01);
    close("0", value(&found, "backspacing"), 4.5 * 25.4, 0.01);
}

/// Source: the same: 7.0 in ET 31 to 8.5 in ET −10: outer edge +60.05, inner −21.95 outward, track +82 mm.
#[test]
fn edges_and_track() {
    let found = ask(
        "hub",
        &[
            ("stock_width", "7 in"),
            ("stock_offset", "31"),
            ("width", "8.5 in"),
            ("offset", "-10"),
            ("spacer", "0"),
        ],
    );
    close("outer", value(&found, "outer"), 60.05, 1e-9);
    close("inner", value(&found, "inner"), 21.95, 1e-9);
    close("track", value(&found, "track"), 82.0, 1e-9);
}

/// Source: scrub = q − r·tan σ: 9° at 400 mm, q = 90 gives 26.65 and q = 115 gives 51.65: each mm of spacer
/// is a mm of scrub.
#[test]
fn a_spacer_is_so_much_scrub() {
    let same = [
        ("stock_width", "8 in"),
        ("width", "8 in"),
        ("stock_offset", "0"),
        ("offset", "0"),
        ("spacer", "25"),
    ];
    let found = ask("hub", &same);
    close("scrub", value(&found, "scrub"), 51.65 - 26.65, 1e-9);
    close("track", value(&found, "track"), 50.0, 1e-9);
    assert_eq!(severity(&found, "scrub"), Severity::Watch);
}

/// Source: statics: 6000 N moved 41 mm is 246 N·m; a corner of 0.8 of it at 400 mm is 1920 N·m.
#[test]
fn moments_at_the_hub() {
    let load = format!("{} kg", 6000.0 / 9.80665);
    let found = ask(
        "hub",
        &[
            ("load", &load),
            ("stock_offset", "31"),
            ("offset", "-10"),
            ("lateral", "0.8"),
            ("radius", "400"),
        ],
    );
    close("moment", value(&found, "moment"), 246.0, 1e-6);
    close("corner", value(&found, "cornering"), 1920.0, 1e-6);
}

/// Source: ISO 281 (value from memory): a fifth more load leaves 0.579 of a ball bearing's life, 0.545 of a
/// roller's. Two rows 100 mm apart, moved 10 mm off their middle: 0.6 of the load instead of 0.5.
#[test]
fn life_of_the_bearings() {
    let found =
        ask("hub", &[("rows", "100"), ("line", "0"), ("stock_offset", "0"), ("offset", "-10")]);
    close("load", value(&found, "row_load"), 1.2, 1e-9);
    close("ball", value(&found, "life_ball"), 0.579, 0.0005);
    close("roller", value(&found, "life_roller"), 0.545, 0.0005);
}

/// Source: common practice, no source: a wheel centered by the hub sits without play to speak of.
#[test]
fn a_loose_bore_is_out() {
    assert_eq!(severity(&ask("hub", &[("bore_gap", "0.1")]), "bore_gap"), Severity::InBand);
    assert_eq!(severity(&ask("hub", &[("bore_gap", "3")]), "bore_gap"), Severity::Out);
}

/// Source: common practice, no source: a plain spacer takes the hub's spigot away from the wheel: 12 mm of it under a 10 mm
/// spacer leave 2.
#[test]
fn a_plain_spacer_takes_the_spigot() {
    let found = ask("hub", &[("spigot", "12 ± 0.1"), ("spacer", "10")]);
    close("left", value(&found, "spigot_left"), 2.0, 1e-9);
    assert!(severity(&found, "spigot_left") >= Severity::Watch);
    assert_eq!(severity(&ask("hub", &[("spigot", "12 ± 0.1")]), "spigot_left"), Severity::InBand);
}
