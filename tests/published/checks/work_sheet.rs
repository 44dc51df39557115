//! Work sheet: torques and the order of the job.

use super::{ask, value};
use crate::close;

/// N·m in a pound-force foot (NIST SP 811).
const LBFT: f64 = 1.355_818;

/// Source: SAE J429 and T = K·F·d (Shigley, ch. 8, value from memory): 1/2-20 grade 8, dry, 0.75 of proof: 120.0
/// lb·ft; M14 × 1.5 of 10.9: 217 N·m.
#[test]
fn torques_of_the_strong_grade() {
    let found = ask("work-sheet", &[]);
    close("1/2-20", value(&found, "1/2-20") / LBFT, 120.0, 0.5);
    close("m14x1.5", value(&found, "m14x1.5"), 217.0, 1.0);
    // ISO 898-1: proof load of M16 of 10.9 is 130 000 N.
    close("m16", value(&found, "m16"), 0.2 * 0.75 * 130_000.0 * 0.016, 1.0);
}

/// Source: ISO 898-1 table: proof load of M12 of 8.8 is 48 900 N, of M10 33 700 N; SAE J429 grade 5, 1/2-13: 85 ksi on
/// 0.1419 in².
#[test]
fn torques_of_the_usual_grade() {
    let found = ask("work-sheet", &[("grade", "8.8")]);
    close("m12", value(&found, "m12"), 0.15 * 48_900.0 * 0.012, 0.2);
    close("m10", value(&found, "m10"), 0.15 * 33_700.0 * 0.010, 0.2);
    let half_inch = 0.15 * 85_000.0 * 0.1419 * 0.5 / 12.0;
    close("1/2-13", value(&found, "1/2-13") / LBFT, half_inch, 0.1);
}

/// Source: ISO 898-1: proof load of M12 of 12.9 is 81 800 N; SAE J429 has no such grade for inch bolts.
#[test]
fn the_hardest_grade_is_metric() {
    let found = ask("work-sheet", &[("grade", "12.9")]);
    close("m12", value(&found, "m12"), 0.15 * 81_800.0 * 0.012, 0.2);
    assert!(found.lines.iter().all(|line| !line.key.contains('/')));
}

/// Source: nut factors about 0.20 dry and 0.15 oiled (Shigley, ch. 8, value from memory): oil takes a quarter off.
#[test]
fn oil_takes_a_quarter_off() {
    let (dry, oiled) = (ask("work-sheet", &[]), ask("work-sheet", &[("threads", "oiled")]));
    for line in &dry.lines {
        close(line.key, value(&oiled, line.key), 0.75 * line.value.unwrap(), 1e-9);
    }
}

/// Source: common practice, no source: tightened at ride height, worn bushings replaced with the job, a spacing
/// tube while welding, washers alike on both sides, and everything again after 50 to 100 km.
#[test]
fn the_order_says_what_the_trade_says() {
    let notes = ask("work-sheet", &[]).notes.join("\n");
    let place = |words: &str| notes.find(words).unwrap_or_else(|| panic!("{words}: {notes}"));
    let order = [
        "bushings come out worn",
        "washers, alike on both sides",
        "spacing tube or through-bar",
        "at ride height",
        "lock to lock",
        "star",
        "50 to 100 km",
    ];
    assert!(order.windows(2).all(|pair| place(pair[0]) < place(pair[1])), "{notes}");
}
