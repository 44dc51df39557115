//! Tire dimensions from the designation against regulation formulas and tables.

use crate::close;
use fitment::measure::Known;
use fitment::measure::units::{KM_PER_MILE, MM_PER_INCH};
use fitment::tire::{
    Construction, Designation, growth_limit_mm, loaded_radius, measuring_rim_code,
    overall_diameter, rim_diameter_mm, rolling_circumference, section_on_measuring_rim,
    section_on_rim,
};

fn tire(text: &str) -> Designation {
    text.parse().expect(text)
}

/// Source: UN Regulation 54, 6.1.2 (outer diameter) and UN Regulation 30, 6.1.1.1 (section width on
/// its measuring rim); the measuring rims by aspect ratio are values from memory.
#[test]
fn metric_sizes() {
    for (size, diameter, rim) in [
        ("265/75R16", 804.0, 7.5),
        ("LT235/85R16", 806.0, 6.5),
        ("LT285/75R16", 834.0, 8.0),
        ("LT315/75R16", 878.0, 8.5),
        ("P265/70R17", 804.0, 8.0),
        ("205/55R16", 632.0, 6.5),
        ("205/45R17", 616.0, 7.0),
        ("225/40R18", 637.0, 8.0),
    ] {
        let tire = tire(size);
        close(size, overall_diameter(&tire).value, diameter, 1.0);
        close(size, measuring_rim_code(&tire), rim, 0.0);
    }
}

/// Source: rim diameters by code in mm, UN Regulation 54, 6.1.2 and ISO 4000-1 (value from memory).
#[test]
fn rim_codes() {
    for (code, mm) in [
        (14.0, 356.0),
        (15.0, 381.0),
        (16.0, 406.0),
        (17.0, 432.0),
        (18.0, 457.0),
        (20.0, 508.0),
        (22.0, 559.0),
    ] {
        close("rim code", rim_diameter_mm(code), mm, 0.0);
    }
}

/// Source: UN Regulation 30, 6.1.1.1, S = S₁ + K(A − A₁) with K = 0.4 and the width code × 25.4, worked
/// by hand for 265/75R16: 265 + 0.4·(190.5 − 185.5) = 267.0 and 265 + 0.4·(228.6 − 185.5) = 282.24.
/// A tire dealer's data page says the same in words: about 5 mm for each half inch of rim.
#[test]
fn section_on_another_rim() {
    let tire = tire("265/75R16");
    let on = |code: f64| section_on_rim(&tire, &Known::exact(code * MM_PER_INCH)).value;
    close("on its measuring rim", section_on_measuring_rim(&tire).value, 267.0, 0.01);
    close("on 9.0", on(9.0), 282.24, 0.01);
    close("half an inch", on(8.5) - on(8.0), 5.0, 0.1);
}

/// Source: UN Regulation 54, 6.1.4 and 6.1.5 (values from memory): height ×0.97 and ×1.04 give 792 and
/// 820 mm for 265/75R16.
#[test]
fn growth() {
    let nominal = overall_diameter(&tire("265/75R16"));
    close("largest", growth_limit_mm(nominal.value, 406.0), 820.0, 0.5);
    // Both limits lie within two standard deviations, and neither within one.
    for limit in [792.0, 820.0] {
        let away = (limit - nominal.value).abs() / nominal.sigma;
        assert!((1.0..=2.0).contains(&away), "{limit} mm is {away} standard deviations off");
    }
}

/// Source: UN Regulation 54, annex 5, part II (values from memory), in mm; that a 31 in size stands
/// about half an inch under its name is also what builders report, `common practice, no source`.
#[test]
fn flotation_sizes() {
    for (size, diameter, section, rim) in [
        ("31x10.50R15LT", 775.0, Some(268.0), 8.5),
        ("33x12.50R15LT", 826.0, Some(318.0), 10.0),
        ("35x12.50R15LT", 877.0, None, 10.0),
    ] {
        let tire = tire(size);
        close(size, overall_diameter(&tire).value, diameter, 1.0);
        close(size, measuring_rim_code(&tire), rim, 0.0);
        if let Some(section) = section {
            close(size, section_on_measuring_rim(&tire).value, section, 2.0);
        }
    }
}

/// Source: table range of 7.50R16 (value from memory): 802–810 mm, 208–210 mm, rim 6.00.
#[test]
fn numeric_size() {
    for size in ["7.50R16", "7.50-16"] {
        let tire = tire(size);
        let diameter = overall_diameter(&tire);
        close(size, diameter.value, 806.0, 4.0);
        close(size, section_on_measuring_rim(&tire).value, 209.0, 1.0);
        close(size, measuring_rim_code(&tire), 6.0, 0.0);
        assert!(diameter.is_assumed(), "the code of {size} does not state its height");
    }
}

/// Source: rolled distance 3.05 × diameter for radials, 2.99 for bias (ETRTO, values from memory), and revolutions per
/// mile = 63360 in / circumference (a tire guide's glossary).
#[test]
fn rolling() {
    for (diameter, circumference, per_mile) in
        [(803.9, 2452.0, 656.4), (889.0, 2711.0, 593.5), (877.0, 2675.0, 601.7)]
    {
        let rolled = rolling_circumference(&Known::exact(diameter), Construction::Radial).value;
        close("circumference", rolled, circumference, 0.003 * circumference);
        close("turns per mile", KM_PER_MILE * 1e6 / rolled, per_mile, 0.003 * per_mile);
    }
    let bias = rolling_circumference(&Known::exact(800.0), Construction::Diagonal).value;
    close("bias tire of 800 mm", bias, 2392.0, 1e-9);
}

/// Source: a new light-truck tire at its rated load stands at about 0.92 to 0.96 of half its diameter,
/// `common practice, no source`.
#[test]
fn loaded() {
    for size in ["265/75R16", "LT235/85R16", "LT315/75R16", "33x12.50R15", "35x12.50R17", "7.50R16"]
    {
        let tire = tire(size);
        let diameter = overall_diameter(&tire);
        let loaded = loaded_radius(&diameter, rim_diameter_mm(tire.rim_code));
        close(size, loaded.value / (diameter.value / 2.0), 0.94, 0.02);
        assert!(loaded.is_assumed());
    }
}
