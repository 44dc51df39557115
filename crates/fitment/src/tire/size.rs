//! How large a tire is: diameter, section on a rim, loaded radius, rolling circumference.
//!
//! A designation names a size class, not one tire: makers and wear spread around it. Every result
//! carries that spread; a tape on the real tire beats all of them.

use super::designation::{Construction, Designation, Size};
use crate::measure::units::MM_PER_INCH;
use crate::measure::{Known, Origin, combined};

/// Section grows by this much of the rim's growth. UN Regulation 30, 6.1.1.1: K = 0.4.
const SECTION_PER_RIM: f64 = 0.4;
/// A new tire's section may be this much above the design's. UN Regulation 30, 6.1.4.2
/// (value from memory).
const SECTION_TOLERANCE: f64 = 0.04;
/// Section height limits of a new tire over the design's. UN Regulation 54, 6.1.4 and 6.1.5
/// (value from memory): 0.97 and 1.04.
const HEIGHT_LIMITS: [f64; 2] = [0.97, 1.04];
/// A new flotation tire stands this far under the diameter it is called by, mm: the table of UN
/// Regulation 54, annex 5, part II gives 31 in 775, 33 in 826, 35 in 877 mm (value from memory).
const FLOTATION_SHORTFALL_MM: f64 = 12.0;
/// Half-width of the spread of flotation diameters. Common practice, no source.
const FLOTATION_TOLERANCE: f64 = 0.015;
/// Measuring rim of inch sizes over the nominal section. It gives 8.5, 10 and 10 in for 10.50 R15,
/// 12.50 R15 and 12.50 R17, and 6.00 for 7.50 R16, as the tables do (value from memory).
const INCH_RIM_RATIO: f64 = 0.80;
/// Real section of a numeric size over its nominal one, and height over real section. Fitted by us
/// to the table values of 6.00, 7.00, 7.50 and 9.00 R16 (values from memory).
const NUMERIC_SECTION: f64 = 1.10;
const NUMERIC_ASPECT: f64 = 0.95;
/// Standard deviation of a numeric size's diameter and section. Our assumption, no source.
const NUMERIC_SPREAD: f64 = 0.02;
/// Share of the section height left under load, and its standard deviation. Textbooks give 0.80 to
/// 0.90 (value from memory; common practice, no source).
const LOADED_HEIGHT: [f64; 2] = [0.86, 0.03];
/// Standard deviation of a rectangular spread of half-width 1. JCGM 100:2008 (GUM) 4.3.7.
const RECTANGULAR: f64 = 0.577_350_269_189_625_8;

/// Rim diameter of a rim code, mm: the code in inches, rounded to a whole millimetre.
/// UN Regulation 54, 6.1.2 and ISO 4000-1 (value from memory): 15 → 381, 16 → 406, 17 → 432.
pub fn rim_diameter_mm(code: f64) -> f64 {
    (code * MM_PER_INCH).round()
}

/// Section height of the design, mm, where the designation states it: section × aspect / 100,
/// rounded to a whole millimetre. UN Regulation 54, 6.1.2 (value from memory).
fn design_height_mm(size: Size) -> Option<f64> {
    match size {
        Size::Metric { section_mm, aspect_pct } => Some((section_mm * aspect_pct / 100.0).round()),
        Size::Flotation { .. } | Size::Numeric { .. } => None,
    }
}

/// Overall diameter of a new tire, mm, unloaded.
///
/// Metric: rim + 2 × section height (UN Regulation 54, 6.1.2), spread over the limits of 6.1.4 and
/// 6.1.5. Flotation: the nominal diameter less 12 mm, ±1.5 %. Numeric: no rule exists, so an
/// assumed section and height stand in.
pub fn overall_diameter(tire: &Designation) -> Known {
    let rim = rim_diameter_mm(tire.rim_code);
    match tire.size {
        Size::Metric { .. } => {
            let height = design_height_mm(tire.size).unwrap_or_default();
            let [low, high] = HEIGHT_LIMITS;
            Known::published(2.0f64.mul_add(height, rim), (high - low) * height * RECTANGULAR)
        }
        Size::Flotation { diameter_in, .. } => {
            let diameter = diameter_in * MM_PER_INCH;
            let sigma = FLOTATION_TOLERANCE * diameter * RECTANGULAR;
            Known::published(diameter - FLOTATION_SHORTFALL_MM, sigma)
        }
        Size::Numeric { section_in } => {
            let height = section_in * MM_PER_INCH * NUMERIC_SECTION * NUMERIC_ASPECT;
            let diameter = 2.0f64.mul_add(height, rim);
            Known::assumed(diameter, NUMERIC_SPREAD * diameter)
        }
    }
}

/// The diameter a grown tire may reach, mm: rim + 1.04 × (diameter − rim). UN Regulation 54, 6.1.5
/// (value from memory). Leave room for it.
pub fn growth_limit_mm(diameter_mm: f64, rim_mm: f64) -> f64 {
    HEIGHT_LIMITS[1].mul_add(diameter_mm - rim_mm, rim_mm)
}

/// The width the section is quoted at, mm, before it is rounded to a rim that exists.
///
/// Metric: x × section, with x by aspect ratio: 75 and more 0.70, 60–70 0.75, 50–55 0.80, 45 0.85,
/// less 0.90. UN Regulation 30, 6.1.1.1 leaves x to the tire's maker; these are the usual values
/// (values from memory). Inch sizes: 0.8 × section.
fn theoretical_rim_mm(size: Size) -> f64 {
    match size {
        Size::Metric { section_mm, aspect_pct } => {
            let ratio = match aspect_pct {
                a if a >= 75.0 => 0.70,
                a if a >= 60.0 => 0.75,
                a if a >= 50.0 => 0.80,
                a if a >= 45.0 => 0.85,
                _ => 0.90,
            };
            ratio * section_mm
        }
        Size::Flotation { section_in, .. } | Size::Numeric { section_in } => {
            INCH_RIM_RATIO * section_in * MM_PER_INCH
        }
    }
}

/// Width code, in, of the rim a new tire is measured on: to the nearest half.
pub fn measuring_rim_code(tire: &Designation) -> f64 {
    (theoretical_rim_mm(tire.size) / MM_PER_INCH * 2.0).round() / 2.0
}

/// Section width on the measuring rim, mm.
pub fn section_on_measuring_rim(tire: &Designation) -> Known {
    section_on_rim(tire, &Known::exact(measuring_rim_code(tire) * MM_PER_INCH))
}

/// Section width on a rim `rim_width` mm wide between its bead seats, mm.
///
/// S = S₁ + 0.4 (A − A₁): section S₁ on theoretical rim A₁, chosen rim A. UN Regulation 30,
/// 6.1.1.1. For inch sizes S₁ is the nominal section and A₁ the measuring rim. Assumed when the
/// rim's width is, or when the size is numeric.
pub fn section_on_rim(tire: &Designation, rim_width: &Known) -> Known {
    let (own, quoted_on) = match tire.size {
        Size::Metric { section_mm, .. } => {
            let sigma = SECTION_TOLERANCE * section_mm * RECTANGULAR;
            (Known::published(section_mm, sigma), theoretical_rim_mm(tire.size))
        }
        Size::Flotation { section_in, .. } => {
            let section = section_in * MM_PER_INCH;
            let sigma = SECTION_TOLERANCE * section * RECTANGULAR;
            (Known::published(section, sigma), measuring_rim_code(tire) * MM_PER_INCH)
        }
        Size::Numeric { section_in } => {
            let section = section_in * MM_PER_INCH * NUMERIC_SECTION;
            let own = Known::assumed(section, NUMERIC_SPREAD * section);
            (own, measuring_rim_code(tire) * MM_PER_INCH)
        }
    };
    let value = SECTION_PER_RIM.mul_add(rim_width.value - quoted_on, own.value);
    combined(value, &[(1.0, &own), (SECTION_PER_RIM, rim_width)])
}

/// Wheel centre to ground with the truck's weight on the tire, mm: always an assumption.
///
/// r = d/2 + 0.86 H with section height H = (D − d)/2: textbooks put the share left at 0.80 to
/// 0.90, by load and pressure (value from memory; common practice, no source).
pub fn loaded_radius(diameter: &Known, rim_mm: f64) -> Known {
    let [share, sigma] = LOADED_HEIGHT;
    let height = (diameter.value - rim_mm) / 2.0;
    let share = Known::assumed(share, sigma);
    combined(
        share.value.mul_add(height, rim_mm / 2.0),
        &[(height, &share), (share.value / 2.0, diameter)],
    )
}

/// Standard deviation of the rolling circumference by load and pressure, as a share of it. Our
/// assumption, no source.
pub const ROLLING_SPREAD: f64 = 0.01;

/// Distance rolled in one turn, mm: 3.05 × diameter for a radial, 2.99 for a bias tire.
///
/// The factors are ETRTO's (values from memory); load and pressure move the truth by about 1 %, our
/// assumption.
pub fn rolling_circumference(diameter: &Known, construction: Construction) -> Known {
    let factor = match construction {
        Construction::Radial => 3.05,
        Construction::Diagonal | Construction::BiasBelted => 2.99,
    };
    let factor =
        Known { origin: Origin::Published, ..Known::assumed(factor, ROLLING_SPREAD * factor) };
    combined(factor.value * diameter.value, &[(diameter.value, &factor), (factor.value, diameter)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn tire(text: &str) -> Designation {
        text.parse().unwrap()
    }

    #[test]
    fn a_wider_rim_widens_the_section_by_two_fifths() {
        let tire = tire("265/75R16");
        let at = |width| section_on_rim(&tire, &Known::exact(width)).value;
        assert!((at(228.6) - at(203.2) - 0.4 * 25.4).abs() < 1e-9);
    }

    #[test]
    fn spreads_follow_their_rules() {
        for (text, diameter, section) in [
            // √((1.04 − 0.97)²·199²/3); 0.04·265/√3
            ("265/75R16", 8.0425, 6.1199),
            // 0.015·838.2/√3; 0.04·317.5/√3
            ("33x12.50R15", 7.2590, 7.3324),
            // 0.02·(406 + 2·0.95·209.55); 0.02·209.55
            ("7.50R16", 16.0829, 4.1910),
        ] {
            let tire = tire(text);
            let got = overall_diameter(&tire).sigma;
            assert!((got - diameter).abs() < 1e-3, "{text}: diameter {got}");
            let got = section_on_measuring_rim(&tire).sigma;
            assert!((got - section).abs() < 1e-3, "{text}: section {got}");
        }
    }

    #[test]
    fn origins_and_spreads_are_honest() {
        let metric = tire("265/75R16");
        let wheel = Known::assumed(203.2, 12.7);
        assert_eq!(overall_diameter(&metric).origin, Origin::Published);
        assert_eq!(section_on_rim(&metric, &wheel).origin, Origin::Assumed);
        assert_eq!(section_on_rim(&metric, &Known::exact(203.2)).origin, Origin::Published);
        assert_eq!(overall_diameter(&tire("7.50R16")).origin, Origin::Assumed);
        let loaded = loaded_radius(&overall_diameter(&metric), 406.0);
        assert_eq!(loaded.origin, Origin::Assumed);
        // H = 199, D: sigma 0.07·199/√3 = 8.0425; √((199·0.03)² + (0.43·8.0425)²) = 6.900
        assert!((loaded.sigma - 6.900).abs() < 1e-3, "{}", loaded.sigma);
    }

    proptest! {
        #[test]
        fn sizes_are_ordered(section in 25_u16..91, aspect in 5_u16..20, rim in 10_u16..26) {
            let tire = tire(&format!("{}/{}R{rim}", section * 5, aspect * 5));
            let diameter = overall_diameter(&tire);
            let rim_mm = rim_diameter_mm(tire.rim_code);
            let loaded = loaded_radius(&diameter, rim_mm);
            prop_assert!(rim_mm / 2.0 < loaded.value && loaded.value < diameter.value / 2.0);
            prop_assert!(growth_limit_mm(diameter.value, rim_mm) > diameter.value);
            prop_assert!(diameter.sigma > 0.0 && loaded.sigma > 0.0);
            let rolled = rolling_circumference(&diameter, tire.construction).value;
            prop_assert!(rolled < std::f64::consts::PI * diameter.value);
        }
    }
}
