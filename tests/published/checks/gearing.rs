//! Gearing: speed, ratio and the speedometer's limits.

use super::{ask, line, severity, value};
use crate::close;
use fitment::finding::Severity;

/// Source: v = 0.06·n·C/(i·i_a) with ETRTO's 3.05 · diameter (value from memory): 2000 rpm, direct, 4.10,
/// 803.9 mm gives 71.76 km/h = 44.59 mph; the size itself says 804 mm, 0.01 km/h more.
#[test]
fn road_speed_gives_the_engine_speed() {
    for speed in ["71.76 km/h", "44.59 mph"] {
        let found = ask(
            "gearing",
            &[("tire", "265/75R16"), ("axle_ratio", "4.10"), ("gear", "1"), ("speed", speed)],
        );
        close(speed, value(&found, "engine_speed"), 2000.0, 0.6);
    }
}

/// Source: the same, worked apart: an overdrive of 0.75 and a converter slipping 4 % turn 2000 into
/// 2000 · 0.75 · 1.04 = 1560.
#[test]
fn overdrive_and_slip_multiply() {
    let found = ask(
        "gearing",
        &[
            ("tire", "265/75R16"),
            ("axle_ratio", "4.10"),
            ("gear", "0.75"),
            ("slip", "4 %"),
            ("speed", "71.76"),
        ],
    );
    close("engine speed", value(&found, "engine_speed"), 1560.0, 0.5);
}

/// Source: true = indicated · C₂/C₁ for 265/75R16 (804 mm) to 305/75R17 (432 + 2·229 = 890 mm), worked
/// apart: 890/804 = 1.106965; and the published pair 803.9 → 889 mm, 110.59 / −9.57 % / 3.708 / 4.534,
/// which that pair of sizes meets to a tenth of a percent.
#[test]
fn a_taller_tire_fools_the_speedometer() {
    let found = ask(
        "gearing",
        &[
            ("stock_tire", "265/75R16"),
            ("tire", "305/75R17"),
            ("axle_ratio", "4.10"),
            ("stock_ratio", "4.10"),
            ("speed", "100"),
        ],
    );
    for (key, apart, published) in [
        ("odometer", 110.6965, 110.59),
        ("speedometer_error", -9.6629, -9.57),
        ("effective_ratio", 3.70382, 3.708),
        ("restoring_ratio", 4.53856, 4.534),
    ] {
        close(key, value(&found, key), apart, 1e-4 * apart.abs());
        close(key, value(&found, key), published, 0.12);
    }
    close("restoring", value(&found, "restoring_ratio"), 4.534, 0.006);
}

/// Source: product of the ratios, 4.02 · 2.72 · 4.10 = 44.83.
#[test]
fn crawl_is_the_product_of_the_ratios() {
    let found = ask("gearing", &[("first", "4.02"), ("low_range", "2.72"), ("axle_ratio", "4.10")]);
    close("crawl", value(&found, "crawl"), 44.83, 0.005);
}

/// Source: UN Regulation 39, 5.3: the most a speedometer may show at 50, 70, 80, 90, 110 and 130 km/h is
/// 59, 81, 92, 103, 125 and 147 km/h, and it may never show less than the true speed.
#[test]
fn the_regulations_limits_are_the_bands() {
    for (speed, most) in
        [(50.0, 59.0), (70.0, 81.0), (80.0, 92.0), (90.0, 103.0), (110.0, 125.0), (130.0, 147.0)]
    {
        let found = ask("gearing", &[("speed", &format!("{speed}"))]);
        let (band, _) = line(&found, "speedometer").verdict.unwrap();
        close("least", band.low, speed, 1e-9);
        close("most", band.high, most, 1e-9);
    }
}

/// Source: the same. A tire a tenth taller shows less than the truth; a much shorter one shows too much.
#[test]
fn sizes_far_off_are_out_of_the_regulation() {
    let of = |stock: &str, tire: &str| {
        severity(&ask("gearing", &[("stock_tire", stock), ("tire", tire)]), "speedometer")
    };
    assert_eq!(of("265/75R16", "315/75R16"), Severity::Out);
    assert_eq!(of("315/75R16", "205/55R16"), Severity::Out);
    assert_eq!(of("315/75R16", "265/75R16"), Severity::InBand);
}

/// Source: ETRTO (value from memory): a bias tire rolls 2.99 and a radial 3.05 of its diameter, so at one
/// size the shaft turns 3.05/2.99 = 1.02007 as often on bias tires.
#[test]
fn a_bias_tire_rolls_less_far() {
    let found =
        ask("gearing", &[("stock_tire", "31x10.50R15"), ("tire", "31x10.50-15"), ("speed", "100")]);
    close("shows", value(&found, "speedometer"), 102.007, 0.01);
}

/// Source: mph = engine speed · diameter / (336.135 · ratio), engineers' handbooks, with 336.135 = 63360 / (60 π), the
/// diameter that of the rolling circle: 750 rpm through 44.83 on 877 mm (3.05 · 877 = 2675 mm) is 2.69 km/h; at
/// 100 km/h the locked engine turns as fast as one without slip.
#[test]
fn idling_in_the_lowest_gear() {
    let given = [
        ("tire", "35x12.50R15"),
        ("axle_ratio", "4.1"),
        ("first", "4.02"),
        ("low_range", "2.72"),
        ("idle", "750"),
        ("slip", "5"),
    ];
    let found = ask("gearing", &given);
    let rolled = value(&ask("tires", &[("tire", "35x12.50R15")]), "turns");
    let inches = 1e6 / rolled / std::f64::consts::PI / 25.4;
    let mph = 750.0 * inches / (336.135 * 4.02 * 2.72 * 4.1);
    close("crawl", value(&found, "crawl_speed"), mph * 1.609_344, 1e-4);
    close("locked", value(&found, "engine_speed"), 1.05 * value(&found, "engine_locked"), 1e-6);
    close(
        "feels",
        value(&found, "crawl_feels") * rolled,
        value(&found, "crawl") * value(&found, "engine_locked") / value(&found, "engine_stock")
            * rolled,
        1e-6,
    );
}
