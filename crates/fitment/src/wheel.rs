//! The wheel on its hub: offset and backspacing, spacers, where the edges come to lie, track.
//!
//! Offset is positive when the mounting face lies outboard of the rim's centreline (the sense of
//! ISO 3911 "inset"; ISO 8855 axes). A spacer or adapter of thickness s acts as s less offset.
//! Distances from the hub's mounting face are positive outboard.
//!
//! Cautions: a spacer or a wheel of other offset moves the load on bearings, studs and steering;
//! it must be centred, clamp on clean metal and leave full thread engagement. Local rules and the
//! maker's figures come before anything worked out here.

use crate::measure::units::MM_PER_INCH;
use crate::measure::{Known, combined};
use crate::truck::{self, Setup};

/// One rim flange outside the bead seat, mm: overall width is width + 2 of these (25.4 mm).
/// Common practice, no source; measure the wheel where a few millimetres matter.
pub const FLANGE_MM: f64 = 12.7;

/// How far from its measuring rim a tire is commonly mounted, in inches of rim width either way.
/// Common practice, no source: the tire maker's own range decides.
pub const RIM_RANGE_IN: f64 = 1.0;

/// What a wheel's barrel leaves of the rim's diameter where it was not measured, mm, and its standard
/// deviation. Our assumption, no source; measure a wheel that has a brake inside.
const BARREL_MM: [f64; 2] = [50.0, 12.0];
/// Standard deviation of where the spokes' inner face stands where it was not measured, mm: taken as
/// level with the mounting face. Our assumption, no source.
const SPOKE_SIGMA_MM: f64 = 10.0;

/// Clear diameter inside a wheel's barrel, mm: as measured, or assumed from the rim's diameter.
pub fn inside(wheel: &truck::Wheel, rim_diameter_mm: f64) -> Known {
    let [less, sigma] = BARREL_MM;
    wheel.inside_mm.clone().unwrap_or_else(|| Known::assumed(rim_diameter_mm - less, sigma))
}

/// Inner face of a wheel's spokes outboard of its mounting face, mm: as measured, or assumed level
/// with it.
pub fn spoke(wheel: &truck::Wheel) -> Known {
    wheel.spoke_mm.clone().unwrap_or_else(|| Known::assumed(0.0, SPOKE_SIGMA_MM))
}

/// Width between the bead seats of a wheel called `code` inches wide, mm.
pub fn width_mm(code: f64) -> f64 {
    code * MM_PER_INCH
}

/// Width code of a wheel, in, to the nearest half inch.
pub fn width_code(width_mm: f64) -> f64 {
    (width_mm / MM_PER_INCH * 2.0).round() / 2.0
}

/// Backspacing, mm: mounting face to the inboard edge of the whole rim, flange included.
///
/// (width + 25.4) / 2 + offset; geometry, with the flanges of [`FLANGE_MM`].
///
/// ```
/// // 8 in wheel, offset +25: (203.2 + 25.4)/2 + 25 = 139.3
/// assert!((fitment::wheel::backspacing_mm(203.2, 25.0) - 139.3).abs() < 1e-9);
/// ```
pub fn backspacing_mm(width_mm: f64, offset_mm: f64) -> f64 {
    width_mm / 2.0 + FLANGE_MM + offset_mm
}

/// Offset, mm, of a wheel with this backspacing; the inverse of [`backspacing_mm`].
pub fn offset_from_backspacing_mm(width_mm: f64, backspacing_mm: f64) -> f64 {
    backspacing_mm - width_mm / 2.0 - FLANGE_MM
}

/// Offset of wheel and spacer together, mm: what a wheel alone would need to sit in that place.
pub fn effective_offset_mm(offset_mm: f64, spacer_mm: f64) -> f64 {
    offset_mm - spacer_mm
}

/// Where a wheel and its tire sit, from the hub's mounting face; mm, positive outboard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Rim centreline: the wheel centre.
    pub centre_mm: f64,
    /// Outer edge of the tire's section.
    pub outer_mm: f64,
    /// Inner edge of the tire's section; negative is inboard of the mounting face.
    pub inner_mm: f64,
}

impl Seat {
    /// The seat of a tire `section_mm` wide on a wheel of this offset behind this spacer.
    pub fn new(section_mm: f64, offset_mm: f64, spacer_mm: f64) -> Self {
        let centre_mm = -effective_offset_mm(offset_mm, spacer_mm);
        Self {
            centre_mm,
            outer_mm: centre_mm + section_mm / 2.0,
            inner_mm: centre_mm - section_mm / 2.0,
        }
    }

    /// What changes for the eye and the frame when this seat takes the place of `before`.
    pub fn change_from(&self, before: &Self) -> SeatChange {
        SeatChange {
            poke_mm: self.outer_mm - before.outer_mm,
            inner_room_mm: self.inner_mm - before.inner_mm,
            track_mm: 2.0 * (self.centre_mm - before.centre_mm),
        }
    }
}

/// The difference between two seats, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeatChange {
    /// The tire's outer edge stands this much further out.
    pub poke_mm: f64,
    /// The tire's inner edge stands this much further out: room gained at frame and arm.
    pub inner_room_mm: f64,
    /// The track is this much wider.
    pub track_mm: f64,
}

/// Distance of one wheel centre from the axle's middle, mm: half the hub-face width, less the
/// effective offset.
pub fn wheel_centre(hub_face_width: &Known, setup: &Setup) -> Known {
    let offset = &setup.wheel.offset_mm;
    combined(
        hub_face_width.value / 2.0 - effective_offset_mm(offset.value, setup.spacer_mm.value),
        &[(0.5, hub_face_width), (-1.0, offset), (1.0, &setup.spacer_mm)],
    )
}

/// Track, mm: the distance between the two wheel centres of an axle; the same wheel both sides.
pub fn track(hub_face_width: &Known, setup: &Setup) -> Known {
    let half = wheel_centre(hub_face_width, setup);
    Known { value: 2.0 * half.value, sigma: 2.0 * half.sigma, ..half }
}

/// How a wheel's width suits a tire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RimFit {
    /// Within the range in common use.
    Usual,
    /// Narrower than that, by so many inches.
    Narrow(f64),
    /// Wider than that, by so many inches.
    Wide(f64),
}

/// The rim width codes in common use for a tire measured on `measuring_rim_code`, in.
/// Common practice, no source: ask the tire maker.
pub fn rim_range_code(measuring_rim_code: f64) -> [f64; 2] {
    [measuring_rim_code - RIM_RANGE_IN, measuring_rim_code + RIM_RANGE_IN]
}

/// Whether a wheel's width is in common use for a tire; see [`rim_range_code`].
pub fn rim_fit(measuring_rim_code: f64, wheel: &truck::Wheel) -> RimFit {
    let [low, high] = rim_range_code(measuring_rim_code);
    let code = width_code(wheel.width_mm.value);
    if code < low {
        RimFit::Narrow(low - code)
    } else if code > high {
        RimFit::Wide(code - high)
    } else {
        RimFit::Usual
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Instrument, Origin};
    use crate::truck::{Tire, Wheel};
    use proptest::prelude::*;

    fn setup(offset: Known, spacer: Known) -> Setup {
        Setup {
            lift_mm: Known::exact(0.0),
            lift_right_mm: None,
            tire: Tire::sized("265/75R16"),
            wheel: Wheel::new(Known::exact(203.2), offset),
            spacer_mm: spacer,
            packing_mm: None,
            parts: Vec::new(),
        }
    }

    #[test]
    fn track_carries_its_spread_and_origin() {
        let hub = Known::measured(1500.0, Instrument::Tape);
        let fitted = setup(Known::published(-10.0, 0.5), Known::exact(30.0));
        let track = track(&hub, &fitted);
        // 1500 + 2·(10 + 30) = 1580; √(2² + (2·0.5)²) = √5
        assert!((track.value - 1580.0).abs() < 1e-9);
        assert!((track.sigma - 5f64.sqrt()).abs() < 1e-12);
        assert_eq!(track.origin, Origin::Measured(Instrument::Tape));
        assert!((wheel_centre(&hub, &fitted).value - 790.0).abs() < 1e-9);
    }

    #[test]
    fn rims_out_of_the_usual_range_are_named() {
        let fit = |code| rim_fit(7.5, &Wheel::new(Known::exact(width_mm(code)), Known::exact(0.0)));
        assert_eq!(fit(6.0), RimFit::Narrow(0.5));
        assert_eq!(fit(6.5), RimFit::Usual);
        assert_eq!(fit(8.5), RimFit::Usual);
        assert_eq!(fit(10.0), RimFit::Wide(1.5));
    }

    proptest! {
        #[test]
        fn backspacing_and_offset_are_inverse(width in 100.0..400.0_f64, offset in -150.0..150.0_f64) {
            let back = offset_from_backspacing_mm(width, backspacing_mm(width, offset));
            prop_assert!((back - offset).abs() < 1e-9);
        }

        #[test]
        fn a_spacer_is_so_much_less_offset(
            section in 150.0..450.0_f64, offset in -150.0..150.0_f64, spacer in 0.0..80.0_f64,
        ) {
            let with = Seat::new(section, offset, spacer);
            let without = Seat::new(section, offset - spacer, 0.0);
            prop_assert!((with.outer_mm - without.outer_mm).abs() < 1e-9);
            prop_assert!((with.inner_mm - without.inner_mm).abs() < 1e-9);
            prop_assert!((with.outer_mm - with.inner_mm - section).abs() < 1e-9);
        }
    }
}
