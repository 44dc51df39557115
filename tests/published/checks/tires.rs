//! Tires side by side.

use super::{ask, value};
use crate::close;
use fitment::measure::System;

/// Source: UN Regulation 54, 6.1.2 (value from memory): 235/85R16 806, 285/75R16 834, 315/75R16 878,
/// 265/75R16 804 mm on their measuring rims; makers' sheets agree to a millimeter.
#[test]
fn diameters_are_those_of_the_sizes() {
    for (stock, new, old_mm, new_mm) in
        [("235/85R16", "315/75R16", 806.0, 878.0), ("265/75R16", "285/75R16", 804.0, 834.0)]
    {
        let found = ask("tires", &[("stock_tire", stock), ("tire", new)]);
        close(stock, value(&found, "stock_diameter"), old_mm, 1.0);
        close(new, value(&found, "diameter"), new_mm, 1.0);
        close("taller", value(&found, "taller"), new_mm - old_mm, 1.0);
    }
}

/// Source: UN Regulation 30, 6.1.1.1, section on the measuring rim: 265/75R16 on 7½ in is 267 mm.
#[test]
fn sections_are_those_on_the_measuring_rim() {
    let found = ask("tires", &[("stock_tire", "265/75R16"), ("tire", "33x12.50R15")]);
    close("metric", value(&found, "stock_section"), 267.0, 0.5);
    close("flotation", value(&found, "section"), 318.0, 1.0);
}

/// Source: ETRTO's 3.05 · diameter (value from memory): 804 mm turns 407.8 times a km, 877 mm 601.7 times a
/// mile, which is 373.9 a km.
#[test]
fn turns_per_km_follow_the_circumference() {
    let found = ask("tires", &[("stock_tire", "265/75R16"), ("tire", "35x12.50R15")]);
    close("804 mm", value(&found, "stock_turns"), 407.8, 0.3);
    close("877 mm", value(&found, "turns"), 601.7 / 1.609_344, 0.3);
    let line = super::line(&found, "turns");
    let a_mile = line.quantity.words(601.7 / 1.609_344, 0.0, System::Inch);
    assert_eq!(a_mile, "602 per mile");
}

/// Source: UN Regulation 54, annex 5, part II (value from memory): a new flotation tire stands under its
/// name: 31 in 775, 33 in 826, 35 in 877 mm.
#[test]
fn flotation_sizes_stand_under_their_name() {
    for (size, mm) in [("31x10.50R15", 775.0), ("33x12.50R15", 826.0), ("35x12.50R15", 877.0)] {
        close(size, value(&ask("tires", &[("tire", size)]), "diameter"), mm, 1.0);
    }
}

/// Source: worked apart with 0.86 of the section height left under load (textbooks 0.80 to 0.90, value
/// from memory): 804 mm: 203 + 0.86·199 = 374.14; 834 mm: 203 + 0.86·214 = 387.04; so 12.9 mm up, and
/// brakes 387.04/374.14 = 3.448 % more.
#[test]
fn the_truck_rises_by_the_loaded_radius() {
    let found = ask("tires", &[("stock_tire", "265/75R16"), ("tire", "285/75R16")]);
    close("old", value(&found, "stock_loaded"), 374.14, 0.01);
    close("new", value(&found, "loaded"), 387.04, 0.01);
    close("raised", value(&found, "raised"), 12.9, 0.01);
    close("brakes", value(&found, "brake_torque"), 3.448, 0.002);
    close("speed", value(&found, "faster"), 100.0 * (834.0 / 804.0 - 1.0), 1e-6);
}

/// Source: makers' data pages (values from memory): rims listed for 265/75R16 7 to 8 in, 285/75R16 7.5 to 9, 315/75R16
/// 8 to 10, 265/70R17 7 to 9, 33x12.50R15 8.5 to 11: half an inch under the measuring rim to an inch over it overlaps
/// each, and holds the measuring rim.
#[test]
fn rims_lie_inside_what_makers_list() {
    for (size, measured, least, most) in [
        ("265/75R16", 7.5, 7.0, 8.0),
        ("285/75R16", 8.0, 7.5, 9.0),
        ("315/75R16", 8.5, 8.0, 10.0),
        ("265/70R17", 8.0, 7.0, 9.0),
        ("33x12.50R15", 10.0, 8.5, 11.0),
    ] {
        let found = ask("tires", &[("tire", size)]);
        close(size, value(&found, "rim_measured") / 25.4, measured, 1e-9);
        let (low, high) = (value(&found, "rim_least") / 25.4, value(&found, "rim_most") / 25.4);
        assert!(least <= low + 1e-9 && high <= most + 0.5 + 1e-9, "{size}: {low} to {high}");
    }
}

/// Source: the sizes' own arithmetic (UN Regulation 54, 6.1.2): every further tire is held against the first.
#[test]
fn six_tires_side_by_side() {
    let found = ask(
        "tires",
        &[
            ("stock_tire", "265/75R16"),
            ("tire", "285/75R16"),
            ("third", "315/75R16"),
            ("sixth", "235/85R16"),
        ],
    );
    close("third", value(&found, "third_taller"), 878.0 - 804.0, 1.0);
    close("sixth", value(&found, "sixth_taller"), 806.0 - 804.0, 1.0);
    assert!(!found.lines.iter().any(|line| line.key.starts_with("fourth")));
}

/// Source: UN Regulation 54, 6.1.2 (value from memory): 255/85R16 is 406 + 2 · 217 = 840 mm, as the twelfth of twelve.
#[test]
fn twelve_sizes_at_once() {
    let keys = [
        "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
        "twelfth",
    ];
    let given: Vec<(&str, &str)> = keys.iter().map(|key| (*key, "255/85R16")).collect();
    let found = ask("tires", &given);
    for key in keys {
        close(key, value(&found, &format!("{key}_diameter")), 840.0, 1e-9);
        close(key, value(&found, &format!("{key}_taller")), 840.0 - 806.0, 1e-9);
    }
}
