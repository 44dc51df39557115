//! Brackets: pins, ears, washers.

use super::{ask, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Newtons in a kip.
const KIP: f64 = 4448.222;

/// Source: AISC Manual, table 7-1 (value from memory): A325-N bolts (120 ksi) in double shear may carry 10.6,
/// 16.6, 23.9, 32.5, 42.4 kip at 1/2, 5/8, 3/4, 7/8, 1 in.
#[test]
fn bolts_in_double_shear() {
    for (bolt, kip) in
        [("1/2 in", 10.6), ("5/8 in", 16.6), ("3/4 in", 23.9), ("7/8 in", 32.5), ("1 in", 42.4)]
    {
        let found = ask("bracket", &[("bolt", bolt), ("bolt_strength", "120 ksi")]);
        close(bolt, value(&found, "shear") / KIP, kip, 0.06);
    }
}

/// Source: AISC Manual, table 7-4 (value from memory): a 3/4 in bolt bears 52.2 kip on each inch of 58 ksi
/// plate; two ears of half an inch make one inch.
#[test]
fn ears_in_bearing() {
    let found =
        ask("bracket", &[("bolt", "3/4 in"), ("ear", "1/2 in"), ("plate_strength", "58 ksi")]);
    close("bearing", value(&found, "bearing") / KIP, 52.2, 0.05);
}

/// Source: AISC 360, J3.10 (value from memory), worked apart: 25 mm to the edge, hole 14, two ears of 5 mm of
/// 400 MPa: 1.2·18·5·400·2/2 = 43 200 N.
#[test]
fn ears_tearing_out() {
    let found = ask(
        "bracket",
        &[
            ("edge", "25"),
            ("hole", "14"),
            ("ear", "5"),
            ("plate_strength", "400"),
            ("force", "12000"),
            ("factor", "3"),
        ],
    );
    close("tear-out", value(&found, "tear_out"), 43200.0, 1e-6);
    close("used", value(&found, "tear_out_used"), 100.0 * 36000.0 / 43200.0, 1e-6);
    assert_eq!(severity(&found, "tear_out_used"), Severity::InBand);
}

/// `common practice, no source`: a bracket 1/8 in wider than the stock mount on each side takes one 1/8 in
/// washer a side.
#[test]
fn washers_fill_a_wider_bracket() {
    let found =
        ask("bracket", &[("held", "2 1/2 in"), ("inside", "2 3/4 in"), ("washer", "1/8 in")]);
    close("gap", value(&found, "gap"), 3.175, 1e-9);
    close("washers", value(&found, "washers"), 1.0, 1e-9);
    close("left", value(&found, "left"), 0.0, 1e-9);
    assert_eq!(severity(&found, "left"), Severity::InBand);
}

/// Source: common practice, no source: a bracket narrower than the sleeve cannot be fitted.
#[test]
fn a_narrow_bracket_is_out() {
    let found = ask("bracket", &[("held", "62"), ("inside", "59")]);
    close("gap", value(&found, "gap"), -1.5, 1e-9);
    assert_eq!(severity(&found, "left"), Severity::Out);
}

/// Source: the same sums as above: a pin far too small is to be stopped at; double the ear halves the share.
#[test]
fn an_overloaded_pin_is_a_stop() {
    let found = ask(
        "bracket",
        &[("bolt", "8"), ("bolt_strength", "830"), ("force", "20000"), ("factor", "3")],
    );
    assert_eq!(severity(&found, "shear_used"), Severity::Stop);
    let share = |ear| value(&ask("bracket", &[("ear", ear)]), "bearing_used");
    close("halved", share("10"), share("5") / 2.0, 1e-9);
}

/// `common practice, no source`: worn bushings are replaced with the job, and the bracket's ears are kept
/// parallel while it is welded.
#[test]
fn the_cautions_of_the_trade_are_there() {
    let cautions = &checks::card("bracket").unwrap().cautions;
    for words in ["High-mileage bushings", "parallel", "ride height"] {
        assert!(cautions.iter().any(|caution| caution.contains(words)), "{words}");
    }
}

/// Source: AISC 360, F11 (value from memory): yield stress · t · h² / 4 over 1.67; worked apart: two ears 5 × 80 of 250
/// MPa, 45 mm off: 2 · 250 · 8000 / 45 / 1.67 = 53 227 N. A plate's plastic moment is 1.5 times its yield moment.
#[test]
fn ears_bend_at_their_weld() {
    let given = [("yield_stress", "250"), ("ear", "5"), ("depth", "80"), ("stand", "45")];
    let found = ask("bracket", &given);
    close("bending", value(&found, "bending"), 53_227.0, 5.0);
    let yield_moment = 250.0 * 5.0 * 80.0 * 80.0 / 6.0;
    close("plastic", value(&found, "bending") * 1.67 * 45.0 / 2.0 / yield_moment, 1.5, 1e-3);
}

/// Source: Shigley, Mechanical Engineering Design, example 8-7 (value from memory): 16 kN with a lever of 425 mm on four bolts at
/// 120 by 150 mm: 4 kN each directly, 17.7 kN by the moment, 21.0 kN on the busiest.
#[test]
fn bolts_as_a_group() {
    let four = [
        ("force", "16000"),
        ("factor", "1"),
        ("group_rows", "2"),
        ("group_columns", "2"),
        ("row_pitch", "120"),
        ("column_pitch", "150"),
        ("group_arm", "425"),
        ("group_bolt", "16"),
    ];
    let found = ask("bracket", &four);
    close("busiest", value(&found, "group_most") / 1000.0, 21.0, 0.05);
    let straight = [&four[..6], &[("group_arm", "0")]].concat();
    close("direct", value(&ask("bracket", &straight), "group_most"), 4000.0, 1e-6);
    // One row of three, 100 apart: Σ r² = 2 · 100², the outer ones take moment / 200 square to the row.
    let row = [
        ("force", "3000"),
        ("factor", "1"),
        ("group_rows", "1"),
        ("group_columns", "3"),
        ("column_pitch", "100"),
        ("group_arm", "200"),
    ];
    close("row", value(&ask("bracket", &row), "group_most"), 1000.0 + 3000.0 * 200.0 / 200.0, 1e-6);
}

/// Source: AISC Manual, table 7-1 (value from memory): a 3/4 in A325-N bolt in single shear may carry 11.9 kip, half of the 23.9
/// in double.
#[test]
fn a_bolt_of_the_plate_in_single_shear() {
    let found = ask("bracket", &[("group_bolt", "3/4 in"), ("bolt_strength", "120 ksi")]);
    close("single", value(&found, "group_may") / KIP, 11.9, 0.05);
}
