//! A photograph with a tape in it: places pointed out in the picture become corners of an outline.

use super::Corner;
use crate::measure::{Instrument, Known, Origin};

/// A photograph of the truck's side, taken square on and level, with a tape lying in it beside the
/// thing. Places are points of the picture, right and down.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// Two marks of the tape.
    pub tape: [[f64; 2]; 2],
    /// How far apart they are on the tape, mm.
    pub apart_mm: Known,
    /// The wheel's hub, its center.
    pub hub: [f64; 2],
    /// Whether the truck's front is to the left in the picture, as in one of its left side.
    pub front_left: bool,
    /// How closely a finger points, points of the picture; one standard deviation.
    pub finger: f64,
}

/// What lies nearer to the camera than the tape, or farther from it, looks larger or smaller by this
/// share; one standard deviation, our assumption: a hand's breadth at four paces.
const DEPTH: f64 = 0.03;
/// How far the camera is held out of level, rad; one standard deviation, our assumption: about a degree.
const TILT_RAD: f64 = 0.02;

impl Photo {
    /// The corner at a place, seen from the side, from the hub; `None` where the two marks are one.
    ///
    /// Its sigma is put together of the finger's, at the corner and at the hub, that of the scale, and
    /// what depth and tilt make of the distance.
    pub fn corner(&self, at: [f64; 2]) -> Option<Corner> {
        let [from, to] = self.tape;
        let long = (to[0] - from[0]).hypot(to[1] - from[1]);
        let (scale, tap) = (self.apart_mm.value / long, self.finger * 2.0_f64.sqrt());
        if !scale.is_finite() || scale <= 0.0 {
            return None;
        }
        let stretch = (self.apart_mm.sigma / self.apart_mm.value).hypot(tap / long).hypot(DEPTH);
        let ahead = if self.front_left { self.hub[0] - at[0] } else { at[0] - self.hub[0] };
        let (ahead, up) = (ahead * scale, (self.hub[1] - at[1]) * scale);
        let read = |along: f64, across: f64| Known {
            value: along,
            sigma: (tap * scale).hypot(along * stretch).hypot(across * TILT_RAD),
            origin: Origin::Measured(Instrument::Tape),
            entered: None,
        };
        Some(Corner { a_mm: read(ahead, up), b_mm: read(up, ahead) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn photo() -> Photo {
        Photo {
            tape: [[100.0, 700.0], [500.0, 700.0]],
            apart_mm: Known::measured(1000.0, Instrument::Tape),
            hub: [400.0, 500.0],
            front_left: true,
            finger: 2.0,
        }
    }

    #[test]
    fn a_place_is_as_far_from_the_hub_as_the_tape_says() {
        // 400 points are a metre: 2.5 mm each.
        let corner = photo().corner([300.0, 420.0]).unwrap();
        assert!((corner.a_mm.value - 250.0).abs() < 1e-9, "{corner:?}");
        assert!((corner.b_mm.value - 200.0).abs() < 1e-9, "{corner:?}");
        let other = Photo { front_left: false, ..photo() }.corner([300.0, 420.0]).unwrap();
        assert!((other.a_mm.value + 250.0).abs() < 1e-9, "{other:?}");
        // A tape at a slant is as long: 240 and 320 are 400.
        let slanted = Photo { tape: [[0.0, 0.0], [240.0, 320.0]], ..photo() };
        let slanted = slanted.corner([300.0, 420.0]).unwrap();
        assert!((slanted.a_mm.value - 250.0).abs() < 1e-9, "{slanted:?}");
    }

    #[test]
    fn a_corner_is_less_sure_the_shorter_the_tape_and_the_farther_it_is() {
        let near = photo().corner([395.0, 495.0]).unwrap();
        // Two taps of 2 points of 2.5 mm.
        assert!((near.a_mm.sigma - 50.0_f64.sqrt()).abs() < 0.5, "{near:?}");
        let far = photo().corner([100.0, 495.0]).unwrap();
        assert!(far.a_mm.sigma > 1.5 * near.a_mm.sigma, "{far:?}");
        let short = Photo {
            tape: [[100.0, 700.0], [140.0, 700.0]],
            apart_mm: Known::measured(100.0, Instrument::Tape),
            ..photo()
        };
        assert!(short.corner([100.0, 495.0]).unwrap().a_mm.sigma > far.a_mm.sigma);
    }

    #[test]
    fn without_two_marks_there_is_no_scale() {
        let one = Photo { tape: [[5.0, 5.0]; 2], ..photo() };
        assert_eq!(one.corner([1.0, 1.0]), None);
        let none = Photo { apart_mm: Known::exact(0.0), ..photo() };
        assert_eq!(none.corner([1.0, 1.0]), None);
        let no_number = Photo { tape: [[f64::NAN, 0.0], [1.0, 1.0]], ..photo() };
        assert_eq!(no_number.corner([1.0, 1.0]), None);
    }
}
