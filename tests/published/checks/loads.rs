//! Loads at the brackets.

use super::{ask, value};
use crate::close;

const G: f64 = 9.80665;

/// Source: Reimpell, The Automotive Chassis (value from memory): a side force on a bar at 10.24° lifts by 180.7 N
/// for each kN.
#[test]
fn a_sloped_bar_lifts() {
    let found = ask("loads", &[("axle_mass", "101.9716"), ("corner", "1"), ("panhard", "10.24")]);
    close("jacking", value(&found, "jacking"), 180.7, 0.1);
    close("along", value(&found, "panhard_force"), 1000.0 / 10.24_f64.to_radians().cos(), 0.01);
}

/// Source: statics: a level bar carries the side force itself: 1050 kg at 0.8 are 8237.6 N.
#[test]
fn a_level_bar_carries_the_side_force() {
    let found = ask("loads", &[("panhard", "0"), ("axle_mass", "1050"), ("corner", "0.8")]);
    close("force", value(&found, "panhard_force"), 8237.6, 0.1);
    close("jacking", value(&found, "jacking"), 0.0, 1e-9);
}

/// Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 1 (value from memory): braking moves W · a · h /
/// wheelbase forward: 2000 kg · 0.8 · 780 / 2630 = 474.5 kg.
#[test]
fn braking_moves_load_forward() {
    let given = [("mass", "2000"), ("braking", "0.8"), ("cg_height", "780"), ("wheelbase", "2630")];
    for (axle, sign) in [("front", 1.0), ("rear", -1.0)] {
        let given: Vec<_> =
            given.into_iter().chain([("axle", axle), ("axle_mass", "1050")]).collect();
        let found = ask("loads", &given);
        close(axle, value(&found, "axle_load"), (1050.0 + sign * 474.525) * G, 0.5);
    }
}

/// Source: statics, a body at rest: pull of the lower link less push of the upper is the braking force, and their
/// moments about the tire's contact cancel.
#[test]
fn links_balance_the_braking_force() {
    let found =
        ask("loads", &[("arms", "links"), ("lower", "330"), ("upper", "530"), ("braking", "0.7")]);
    let (low, high) = (value(&found, "lower_force"), value(&found, "upper_force"));
    close("along", low - high, value(&found, "brake_force") / 2.0, 1e-6);
    close("moment", low * 330.0 - high * 530.0, 0.0, 1e-6);
}

/// Source: statics: half of 10 kN at 400 mm is 2000 N·m in each arm; over 890 mm that is 2247 N up at the eye,
/// √(5000² + 2247²) = 5482 N in all; at 150 mm apart 13 333 N and half of 5000 at the busier bush.
#[test]
fn a_radius_arm_takes_the_moment_over_its_length() {
    let found = ask(
        "loads",
        &[
            // 10 kN in all: 1 274.645 kg · 0.8 · 9.80665.
            ("mass", "1274.645"),
            ("braking", "0.8"),
            ("brake_share", "100"),
            ("radius", "400"),
            ("arm", "890"),
            ("bushes", "150"),
        ],
    );
    close("couple", value(&found, "couple"), 2000.0, 0.1);
    close("eye", value(&found, "eye_force"), 5481.7, 0.5);
    close("bush", value(&found, "bush_force"), 13333.3 + 2500.0, 1.0);
}

/// Source: addition: what the rubber carries standing still comes on top.
#[test]
fn standing_load_comes_on_top() {
    let still = value(&ask("loads", &[]), "eye_force");
    let wound = value(&ask("loads", &[("standing", "800 N")]), "eye_force");
    close("more", wound - still, 800.0, 1e-6);
}
