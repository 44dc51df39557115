//! One tire on one wheel, in millimetres: the designation's figures with measured ones in place.

use super::designation::{Designation, DesignationError};
use super::profile::Profile;
use super::size::{
    growth_limit_mm, loaded_radius, measuring_rim_code, overall_diameter, rim_diameter_mm,
    rolling_circumference, section_on_rim,
};
use crate::measure::{Known, combined};
use crate::truck;

/// Width of the flat of the tread over the section width, and its standard deviation: tread about
/// three quarters of the section, the rest shoulder. Common practice, no source.
const TREAD: [f64; 2] = [0.76, 0.08];
/// How far each sidewall stands out farther beside the ground than elsewhere, as a share of what
/// the tire sinks under load, and its standard deviation. Our assumption, no source: it gives
/// 14 mm for an LT235/85R16, whose tires mounted in pairs must stand 17 mm clear on each side of
/// the middle between them (least spacing 269 mm, value from memory).
const BULGE: [f64; 2] = [0.5, 0.2];

/// A tire on its wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct TireDims {
    /// What the sidewall says.
    pub designation: Designation,
    /// Overall diameter, mm, unloaded.
    pub diameter: Known,
    /// Section width on this wheel, mm.
    pub section: Known,
    /// Wheel centre to ground under load, mm.
    pub loaded_radius: Known,
    /// Width of the flat of the tread, edge to edge, mm.
    pub tread: Known,
    /// How far the tread's edge lies below its middle, mm; 0, the most room it can take, where not
    /// measured.
    pub crown: Known,
    /// Shoulder lugs, where they were measured.
    pub shoulder: Option<Shoulder>,
    /// Distance rolled in one turn, mm.
    pub rolling_circumference: Known,
    /// Rim diameter at the bead seat, mm.
    pub rim_diameter_mm: f64,
    /// Width code, in, of the rim a new tire of this size is measured on.
    pub measuring_rim_code: f64,
    /// Diameter to leave room for, mm: what a tire of this size may grow to, or the measured
    /// diameter where that is larger.
    pub grown_diameter_mm: f64,
}

/// The widest place of the tread's side lugs.
#[derive(Debug, Clone, PartialEq)]
pub struct Shoulder {
    /// Width over the lugs, mm.
    pub width: Known,
    /// How far below the middle of the tread they stand widest, mm; 0, the most room they can
    /// take, where not measured.
    pub drop: Known,
}

/// A tire and wheel that cannot be worked with.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TireError {
    /// The designation does not read.
    #[error("tire size {text:?}: {source}")]
    Size {
        /// The designation as written.
        text: String,
        /// Where and why.
        source: DesignationError,
    },
    /// A number that is not finite or outside what exists.
    #[error(
        "{field} is {found} mm, outside {low} to {high} mm: measure it again, or check its unit"
    )]
    Range {
        /// The field, such as `tire.diameter_mm`.
        field: &'static str,
        /// What it holds.
        found: f64,
        /// Smallest accepted.
        low: f64,
        /// Largest accepted.
        high: f64,
    },
    /// An uncertainty that is negative or not finite.
    #[error("{field} has an uncertainty of {found} mm: give zero or more")]
    Sigma {
        /// The field.
        field: &'static str,
        /// What it holds.
        found: f64,
    },
    /// The loaded radius exceeds half the diameter by more than their uncertainties explain.
    #[error(
        "tire.loaded_radius_mm is {loaded} mm but half the diameter is only {half} mm: measure \
         the loaded radius again, or measure the diameter of this tire"
    )]
    LoadedRadius {
        /// Loaded radius.
        loaded: f64,
        /// Half the unloaded diameter.
        half: f64,
    },
}

/// The dimensions of a tire on a wheel; measured figures on `tire` take the place of the
/// designation's, and keep their own origin.
///
/// ```
/// # use fitment::{measure::Known, tire::resolve, truck::{Tire, Wheel}};
/// let tire = Tire::sized("265/75R16");
/// let wheel = Wheel::new(Known::exact(228.6), Known::exact(0.0));
/// let dims = resolve(&tire, &wheel)?;
/// // 406 + 2·199 = 804; 265 + 0.4·(228.6 − 0.7·265) = 282.24
/// assert_eq!(dims.diameter.value, 804.0);
/// assert!((dims.section.value - 282.24).abs() < 1e-9);
/// # Ok::<(), fitment::tire::TireError>(())
/// ```
///
/// # Errors
/// [`TireError`] when the designation does not read; when the wheel is not 90 to 420 mm wide; when a
/// measured diameter is not 50 mm over the rim's to 1500 mm, a section not 90 to 500 mm, a loaded
/// radius less than half the rim or more than half the diameter; when an uncertainty is negative.
pub fn resolve(tire: &truck::Tire, wheel: &truck::Wheel) -> Result<TireDims, TireError> {
    let designation: Designation =
        tire.size.parse().map_err(|source| TireError::Size { text: shown(&tire.size), source })?;
    let rim = rim_diameter_mm(designation.rim_code);
    within("wheel.width_mm", &wheel.width_mm, 90.0, 420.0)?;

    let by_size = overall_diameter(&designation);
    let mut grown_diameter_mm = growth_limit_mm(by_size.value, rim);
    let diameter = match &tire.diameter_mm {
        Some(measured) => {
            within("tire.diameter_mm", measured, rim + 50.0, 1500.0)?;
            grown_diameter_mm = grown_diameter_mm.max(measured.value);
            measured.clone()
        }
        None => by_size,
    };
    let section = match &tire.section_mm {
        Some(measured) => {
            within("tire.section_mm", measured, 90.0, 500.0)?;
            measured.clone()
        }
        None => section_on_rim(&designation, &wheel.width_mm),
    };
    let loaded_radius = match &tire.loaded_radius_mm {
        Some(measured) => {
            within("tire.loaded_radius_mm", measured, rim / 2.0, 750.0)?;
            let half = diameter.value / 2.0;
            let slack = 3.0 * measured.sigma.hypot(diameter.sigma / 2.0);
            if measured.value > half + slack {
                return Err(TireError::LoadedRadius { loaded: measured.value, half });
            }
            measured.clone()
        }
        None => loaded_radius(&diameter, rim),
    };
    let height = (diameter.value - rim) / 2.0;
    let measured = |field, known: &Option<Known>, low: f64, high: f64| match known {
        Some(known) => within(field, known, low, high).map(|()| Some(known.clone())),
        None => Ok(None),
    };
    let [share, sigma] = TREAD;
    let tread = measured("tire.tread_mm", &tire.tread_mm, 20.0, 600.0)?.unwrap_or_else(|| {
        let share = Known::assumed(share, sigma);
        combined(share.value * section.value, &[(section.value, &share), (share.value, &section)])
    });
    let flat = || Known::assumed(0.0, 0.0);
    let crown = measured("tire.crown_mm", &tire.crown_mm, 0.0, height)?.unwrap_or_else(flat);
    let drop = measured("tire.shoulder_drop_mm", &tire.shoulder_drop_mm, 0.0, height)?;
    let shoulder = measured("tire.shoulder_mm", &tire.shoulder_mm, 20.0, 700.0)?
        .map(|width| Shoulder { width, drop: drop.unwrap_or_else(flat) });
    Ok(TireDims {
        rolling_circumference: rolling_circumference(&diameter, designation.construction),
        measuring_rim_code: measuring_rim_code(&designation),
        rim_diameter_mm: rim,
        designation,
        diameter,
        section,
        loaded_radius,
        tread,
        crown,
        shoulder,
        grown_diameter_mm,
    })
}

impl TireDims {
    /// The section clearance is measured to, new and unloaded, at its best values.
    ///
    /// Where the shoulder lugs were not measured, the shoulder is one rounded edge from the tread's
    /// edge to the sidewall. Where they were, the section runs straight from the middle of the tread
    /// to its edge and on to the lug, and from there round to the sidewall: that is drawn by the two
    /// tangents that hold the circle through the lug and the sidewall's widest place, half-way up
    /// from the rim, so no less than the circle.
    pub fn profile(&self) -> Profile {
        let (radius, half) = (self.diameter.value / 2.0, self.section.value / 2.0);
        let tread = self.tread.value / 2.0;
        let edge = radius - self.crown.value;
        let Some(shoulder) = &self.shoulder else {
            let rounding = self.shoulder_radius_mm();
            let aside = half.max(tread) - rounding;
            return Profile::around(
                &[[aside, edge - rounding], [0.0, radius - rounding]],
                rounding,
            );
        };
        let (lug, at) = (shoulder.width.value / 2.0, radius - shoulder.drop.value);
        let widest = f64::midpoint(radius, self.rim_diameter_mm / 2.0);
        let (inward, up) = (half - lug, at - widest);
        // Tangent of the circle from the widest place, its length by the half-angle formula.
        let tangent = if up > inward.abs() { (inward * inward + up * up) / (2.0 * up) } else { up };
        let sidewall = [half, widest + tangent.max(0.0)];
        Profile::around(&[sidewall, [lug, at], [tread, edge], [0.0, radius]], 0.0)
    }

    /// What the diameter to leave room for adds to the radius, mm.
    pub fn growth_mm(&self) -> f64 {
        (self.grown_diameter_mm - self.diameter.value) / 2.0
    }

    /// How far each sidewall stands out farther beside the ground under load, mm: a share of what
    /// the tire sinks, always an assumption.
    pub fn bulge(&self) -> Known {
        let [share, sigma] = BULGE;
        let share = Known::assumed(share, sigma);
        let sunk = (self.diameter.value / 2.0 - self.loaded_radius.value).max(0.0);
        combined(
            share.value * sunk,
            &[
                (sunk, &share),
                (share.value / 2.0, &self.diameter),
                (-share.value, &self.loaded_radius),
            ],
        )
    }

    /// Radius of the edge between tread and sidewall where no lugs were measured, mm: what the
    /// section is wider than the tread on each side, and no more than half the section or the
    /// height above the rim.
    pub fn shoulder_radius_mm(&self) -> f64 {
        let half = self.section.value / 2.0;
        let most = half.min((self.diameter.value - self.rim_diameter_mm) / 2.0);
        (half - self.tread.value / 2.0).min(most - self.crown.value).max(0.0)
    }
}

fn within(field: &'static str, known: &Known, low: f64, high: f64) -> Result<(), TireError> {
    // Written so that NaN fails too.
    if !(low <= known.value && known.value <= high) {
        return Err(TireError::Range { field, found: known.value, low, high });
    }
    if !(known.sigma >= 0.0 && known.sigma.is_finite()) {
        return Err(TireError::Sigma { field, found: known.sigma });
    }
    Ok(())
}

/// The start of a text, for a message that stays readable whatever was pasted in.
fn shown(text: &str) -> String {
    text.chars().take(48).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Instrument, Origin};
    use crate::truck::{Tire, Wheel};
    use proptest::prelude::*;

    fn tire(size: &str) -> Tire {
        Tire::sized(size)
    }

    fn wheel(width_mm: f64) -> Wheel {
        Wheel::new(Known::exact(width_mm), Known::exact(0.0))
    }

    fn tape(mm: f64) -> Known {
        Known::measured(mm, Instrument::Tape)
    }

    #[test]
    fn a_measured_figure_takes_the_place_of_the_designations() {
        let measured = Tire {
            diameter_mm: Some(tape(795.0)),
            section_mm: Some(tape(271.0)),
            loaded_radius_mm: Some(tape(376.0)),
            ..tire("265/75R16")
        };
        let dims = resolve(&measured, &wheel(203.2)).unwrap();
        assert_eq!(dims.diameter, tape(795.0));
        assert_eq!(dims.section, tape(271.0));
        assert_eq!(dims.loaded_radius, tape(376.0));
        assert!((dims.rolling_circumference.value - 2424.75).abs() < 1e-9);
        // The room to leave is still what the size may grow to: 406 + 1.04·398 = 819.92.
        assert!((dims.grown_diameter_mm - 819.92).abs() < 1e-9);
        assert!(dims.tread.is_assumed());
        let tall = Tire { diameter_mm: Some(tape(830.0)), ..tire("265/75R16") };
        let grown = resolve(&tall, &wheel(203.2)).unwrap().grown_diameter_mm;
        assert!((grown - 830.0).abs() < 1e-9);
    }

    #[test]
    fn without_measurements_the_designation_stands_with_its_origin() {
        let dims = resolve(&tire("33x12.50R15LT"), &wheel(254.0)).unwrap();
        assert_eq!(dims.diameter.origin, Origin::Published);
        assert!((dims.diameter.value - 826.2).abs() < 1e-9);
        assert!((dims.section.value - 317.5).abs() < 1e-9);
        assert!(dims.loaded_radius.is_assumed());
        let solid = dims.profile();
        assert!((solid.radius_mm() - 413.1).abs() < 1e-9);
        assert!((solid.half_width_mm() - 158.75).abs() < 1e-9);
    }

    #[test]
    fn the_shoulder_is_what_the_tread_leaves_of_the_section() {
        let wide = Tire { section_mm: Some(Known::exact(300.0)), ..tire("265/75R16") };
        let dims = resolve(&wide, &wheel(203.2)).unwrap();
        // 0.76·300 = 228, 0.08·300 = 24; (300 − 228)/2 = 36
        assert!((dims.tread.value - 228.0).abs() < 1e-9 && (dims.tread.sigma - 24.0).abs() < 1e-9);
        assert!(dims.tread.is_assumed());
        assert_eq!(dims.profile(), Profile::rounded(402.0, 150.0, dims.shoulder_radius_mm()));
        assert!((dims.shoulder_radius_mm() - 36.0).abs() < 1e-9);
        // A sidewall of (460 − 406)/2 = 27 mm leaves no more.
        let flat = Tire { diameter_mm: Some(Known::exact(460.0)), ..wide.clone() };
        let dims = resolve(&flat, &wheel(203.2)).unwrap();
        assert!((dims.shoulder_radius_mm() - 27.0).abs() < 1e-9);
        assert!((dims.profile().half_width_mm() - 150.0).abs() < 1e-9);
        // A measured tread, crowned by 8: (300 − 250)/2 = 25, its corner 8 lower at the edge.
        let crowned = Tire { tread_mm: Some(tape(250.0)), crown_mm: Some(tape(8.0)), ..wide };
        let profile = resolve(&crowned, &wheel(203.2)).unwrap().profile();
        assert_eq!(profile.corners(), [[125.0, 369.0], [0.0, 377.0]]);
        assert!((profile.radius_mm() - 402.0).abs() < 1e-9);
        assert!((profile.rounding_mm() - 25.0).abs() < 1e-9);
    }

    #[test]
    fn measured_lugs_draw_the_section_from_sidewall_to_crown() {
        let lugged = Tire {
            diameter_mm: Some(tape(806.0)),
            section_mm: Some(tape(300.0)),
            tread_mm: Some(tape(230.0)),
            crown_mm: Some(tape(6.0)),
            shoulder_mm: Some(tape(276.0)),
            shoulder_drop_mm: Some(tape(20.0)),
            ..tire("265/75R16")
        };
        let dims = resolve(&lugged, &wheel(203.2)).unwrap();
        let profile = dims.profile();
        // Widest at (403 + 203)/2 = 303; the lug 12 in and 383 − 303 = 80 up. The circle through
        // both, upright at the widest: radius (12² + 80²)/24 = 272⅔; tangent (12² + 80²)/160 = 40.9.
        assert_eq!(
            profile.corners(),
            [[150.0, 343.9], [138.0, 383.0], [115.0, 397.0], [0.0, 403.0]]
        );
        assert!(profile.rounding_mm().abs() < 1e-12);
        // It holds the circle: at 40 up the circle has drawn in by 272.67 − √(272.67² − 40²) = 2.95.
        assert!(profile.distance(150.0 - 2.950, 343.0).0 <= 0.0);
        // Lugs that overhang the sidewall are the widest there is.
        let mud = Tire { shoulder_mm: Some(tape(312.0)), ..lugged.clone() };
        let profile = resolve(&mud, &wheel(203.2)).unwrap().profile();
        assert_eq!(profile.corners().first(), Some(&[156.0, 383.0]));
        // Sunk by 403 − 375 = 28: half of that on each side.
        let loaded = Tire { loaded_radius_mm: Some(tape(375.0)), ..lugged };
        let bulge = resolve(&loaded, &wheel(203.2)).unwrap().bulge();
        assert!((bulge.value - 14.0).abs() < 1e-9 && bulge.is_assumed());
    }

    #[test]
    fn what_cannot_be_is_named() {
        let check = |tire: &Tire, width: f64, says: &str| {
            let error = resolve(tire, &wheel(width)).unwrap_err().to_string();
            assert!(error.contains(says), "{error}, wanted {says}");
        };
        let good = tire("265/75R16");
        check(&tire("265/75R"), 203.2, "a rim diameter should stand here");
        check(&good, 8.0, "wheel.width_mm is 8 mm, outside 90 to 420 mm");
        check(&good, f64::NAN, "wheel.width_mm is NaN");
        let short = Tire { diameter_mm: Some(tape(31.0)), ..good.clone() };
        check(&short, 203.2, "tire.diameter_mm is 31 mm, outside 456 to 1500");
        let wide = Tire { section_mm: Some(tape(f64::INFINITY)), ..good.clone() };
        check(&wide, 203.2, "tire.section_mm is inf");
        let high = Tire { loaded_radius_mm: Some(tape(440.0)), ..good.clone() };
        check(&high, 203.2, "half the diameter is only 402 mm");
        let vague = Tire { section_mm: Some(Known::assumed(270.0, -1.0)), ..good };
        let deep = Tire { shoulder_drop_mm: Some(tape(250.0)), ..vague.clone() };
        check(&Tire { section_mm: None, ..deep }, 203.2, "tire.shoulder_drop_mm is 250 mm");
        check(&vague, 203.2, "tire.section_mm has an uncertainty of -1 mm");
    }

    proptest! {
        #[test]
        fn any_input_gives_finite_dimensions_or_an_error(
            size in "(265/75R16|33x12\\.50R15|7\\.50-16|255/25R26|[0-9/xR.]{0,12})",
            width in any::<f64>(), sigma in any::<f64>(), diameter in proptest::option::of(any::<f64>()),
        ) {
            let tire = Tire { diameter_mm: diameter.map(tape), ..tire(&size) };
            let mut wheel = wheel(width);
            wheel.width_mm.sigma = sigma;
            if let Ok(dims) = resolve(&tire, &wheel) {
                for known in [&dims.diameter, &dims.section, &dims.loaded_radius, &dims.tread] {
                    prop_assert!(known.value > 0.0 && known.value.is_finite(), "{known:?}");
                    prop_assert!(known.sigma >= 0.0, "{known:?}");
                }
                let solid = dims.profile();
                prop_assert!(solid.rounding_mm() <= solid.half_width_mm().min(solid.radius_mm()));
            }
        }
    }
}
