//! The tire in space: its section turned about the wheel's axis.

use super::error::{ShapeError, within};
use crate::tire::{Profile, TireDims};
use crate::truck::Setup;
use nalgebra::Vector3;

/// Size of a tire as a solid of revolution; all lengths mm.
///
/// Invariant: all finite, radius and half width between 1 mm and 2 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TireSolid {
    profile: Profile,
    reach: f64,
}

impl TireSolid {
    /// A tire from its outer radius, half its section width and the radius its shoulder is rounded
    /// to, all mm. A shoulder larger than the radius or the half width is cut down to the smaller.
    ///
    /// # Errors
    /// A [`ShapeError`] when a number is not finite, the radius or half width is not between 1 mm
    /// and 2 m, or the shoulder is negative.
    pub fn try_new(radius: f64, half_width: f64, shoulder: f64) -> Result<Self, ShapeError> {
        let shoulder = within("tire shoulder radius", shoulder, 0.0, 2000.0)?;
        // Before the rounding takes the least of them, so that none hides.
        within("tire radius", radius, 1.0, 2000.0)?;
        within("half the tire's section width", half_width, 1.0, 2000.0)?;
        Self::of(Profile::rounded(radius, half_width, shoulder))
    }

    /// A tire from its section.
    ///
    /// # Errors
    /// A [`ShapeError`] when its radius or half its width is not between 1 mm and 2 m.
    pub fn of(profile: Profile) -> Result<Self, ShapeError> {
        within("tire radius", profile.radius_mm(), 1.0, 2000.0)?;
        within("half the tire's section width", profile.half_width_mm(), 1.0, 2000.0)?;
        Ok(Self { profile, reach: profile.reach_mm() })
    }

    /// The tire of a setup with what it carries all round, at its best values; `grown` leaves room
    /// for its growth in service.
    ///
    /// # Errors
    /// As [`TireSolid::of`].
    pub(super) fn fitted(dims: &TireDims, setup: &Setup, grown: bool) -> Result<Self, ShapeError> {
        let growth = if grown { dims.growth_mm() } else { 0.0 };
        let packing = setup.packing_mm.as_ref().map_or(0.0, |packing| packing.value);
        Self::of(dims.profile().grown(growth, 0.0).packed(packing))
    }

    /// The section.
    pub const fn profile(&self) -> &Profile {
        &self.profile
    }

    /// Outer radius, mm.
    pub const fn radius_mm(&self) -> f64 {
        self.profile.radius_mm()
    }

    /// Half the section width, mm.
    pub const fn half_width_mm(&self) -> f64 {
        self.profile.half_width_mm()
    }

    /// Radius its core is rounded by, mm.
    pub const fn shoulder_mm(&self) -> f64 {
        self.profile.rounding_mm()
    }

    /// Radius of the smallest sphere about the centre that holds the tire, mm.
    pub const fn reach_mm(&self) -> f64 {
        self.reach
    }

    /// The tire taller by `radius_mm` all round and wider by `half_width_mm` to each side.
    ///
    /// # Errors
    /// As [`TireSolid::of`].
    pub fn grown(&self, radius_mm: f64, half_width_mm: f64) -> Result<Self, ShapeError> {
        Self::of(self.profile.grown(radius_mm, half_width_mm))
    }

    /// The tire with its centre and spin axis in place. `axis` must be of unit length; which way
    /// it points does not matter.
    pub const fn at(&self, centre: Vector3<f64>, axis: Vector3<f64>) -> PosedTire {
        PosedTire { solid: *self, reach: self.reach, centre, axis }
    }
}

/// A tire in place. Its signed distance is a convex function of the point, which everything
/// else here leans on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PosedTire {
    pub(super) solid: TireSolid,
    pub(super) reach: f64,
    /// Centre of the tire, mm.
    pub centre: Vector3<f64>,
    /// Unit spin axis.
    pub axis: Vector3<f64>,
}

/// The sign of `x`, and 0 for 0: a valid slope of |x|.
pub(super) fn slope_of_abs(x: f64) -> f64 {
    if x > 0.0 {
        1.0
    } else if x < 0.0 {
        -1.0
    } else {
        0.0
    }
}

// Here numbers are compared, not by `max` and `min`: those are calls in WASM.

/// The greater of two numbers, or the second where the first is none.
pub(super) fn greater(a: f64, b: f64) -> f64 {
    if b > a || a.is_nan() { b } else { a }
}

/// The lesser of two numbers, or the first where one is none.
pub(super) fn lesser(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}

/// How far a number lies outside an interval.
pub(super) fn beyond(at: f64, (low, high): (f64, f64)) -> f64 {
    if at < low {
        low - at
    } else if at > high {
        at - high
    } else {
        0.0
    }
}

impl PosedTire {
    /// Distance from a point to the tire's surface, mm; negative inside. Exact.
    pub fn distance(&self, point: &Vector3<f64>) -> f64 {
        self.distance_and_slope(point).0
    }

    /// Distance and its gradient (of unit length outside the core: the outward normal).
    pub fn distance_and_slope(&self, point: &Vector3<f64>) -> (f64, Vector3<f64>) {
        let from = point - self.centre;
        let u = from.dot(&self.axis);
        let radial = from - self.axis * u;
        let rho = radial.norm();
        let (d, per_along, per_out) = self.solid.profile.distance(u.abs(), rho);
        let outward = if rho > 0.0 { radial / rho } else { Vector3::zeros() };
        let slope = self.axis * (slope_of_abs(u) * per_along) + outward * per_out;
        (d, slope)
    }

    /// The tire's farthest point in a unit direction.
    pub fn support(&self, direction: &Vector3<f64>) -> Vector3<f64> {
        let along = direction.dot(&self.axis);
        let across = direction - self.axis * along;
        let norm = across.norm();
        let [aside, out] = self.solid.profile.support(along.abs(), norm);
        let mut point = self.centre + self.axis * (slope_of_abs(along) * aside);
        if norm > 1e-12 {
            point += across * (out / norm);
        }
        point
    }

    /// How far along a unit direction the tire reaches, mm.
    pub fn reaches(&self, direction: &Vector3<f64>) -> f64 {
        let along = direction.dot(&self.axis);
        let out = (direction - self.axis * along).norm();
        direction.dot(&self.centre) + self.solid.profile.reaches(along.abs(), out)
    }

    /// The same tire standing out farther on each side by so much, mm.
    #[must_use]
    pub(super) fn wider(&self, by: f64) -> Self {
        let profile = self.solid.profile.grown(0.0, by);
        let solid = TireSolid { profile, reach: profile.reach_mm() };
        solid.at(self.centre, self.axis)
    }

    /// A number no larger than the distance from the tire to anything inside the sphere given.
    pub fn distance_to_sphere(&self, centre: &Vector3<f64>, radius: f64) -> f64 {
        (centre - self.centre).norm() - radius - self.reach
    }

    /// A number no larger than the distance from the tire to anything inside the box given, along the axes.
    pub fn distance_to_box(&self, low: &Vector3<f64>, high: &Vector3<f64>) -> f64 {
        let apart = Vector3::from_fn(|i, _| beyond(self.centre[i], (low[i], high[i])));
        apart.norm() - self.reach
    }

    /// A number no smaller than how far any point of the tire is from where it would be with its centre
    /// and its axis there.
    pub fn displacement(&self, centre: &Vector3<f64>, axis: &Vector3<f64>) -> f64 {
        // The tire is the same seen from either end of its axis.
        let along = self.axis.dot(axis);
        let axis = if along < 0.0 { -axis } else { *axis };
        (self.centre - centre).norm() + (self.axis - axis).norm() * self.reach
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn tire() -> PosedTire {
        TireSolid::try_new(400.0, 140.0, 40.0)
            .expect("a tire")
            .at(Vector3::new(10.0, 20.0, 30.0), Vector3::y())
    }

    /// The same place, its section measured: sidewall, shoulder lug, tread's edge and middle.
    fn measured() -> PosedTire {
        let section = [[140.0, 330.0], [130.0, 380.0], [105.0, 394.0], [0.0, 400.0]];
        let solid = TireSolid::of(Profile::around(&section, 0.0)).expect("a tire");
        solid.at(tire().centre, tire().axis)
    }

    fn either() -> impl Strategy<Value = PosedTire> {
        prop_oneof![Just(tire()), Just(measured())]
    }

    #[test]
    fn distance_from_points_worked_by_hand() {
        let check = |x: f64, y: f64, z: f64, want: f64| {
            let got = tire().distance(&Vector3::new(10.0 + x, 20.0 + y, 30.0 + z));
            assert!((got - want).abs() < 1e-12, "({x}, {y}, {z}): {got}, want {want}");
        };
        check(500.0, 0.0, 0.0, 100.0); // ahead of the tread: 500 − 400
        check(0.0, 200.0, 0.0, 60.0); // beside the sidewall: 200 − 140
        check(0.0, -200.0, 0.0, 60.0);
        check(390.0, 140.0, 0.0, 50.0 - 40.0); // off the shoulder: 3-4-5 from (360, 100)
        check(0.0, 0.0, 0.0, -140.0); // the middle is half a width from a sidewall
        check(0.0, 0.0, -395.0, -5.0);
    }

    #[test]
    fn sizes_that_are_no_tire_are_refused() {
        for (r, w, s) in [
            (f64::NAN, 100.0, 10.0),
            (400.0, f64::INFINITY, 10.0),
            (0.0, 100.0, 10.0),
            (400.0, 0.0, 10.0),
            (400.0, 100.0, -1.0),
        ] {
            assert!(TireSolid::try_new(r, w, s).is_err(), "{r} {w} {s}");
        }
        let blunt = TireSolid::try_new(400.0, 100.0, 150.0).expect("shoulder is cut down");
        assert!((blunt.shoulder_mm() - 100.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn slope_is_the_rate_of_distance(tire in either(), x in -800.0..800.0, y in -400.0..400.0, z in -800.0..800.0) {
            let p = Vector3::new(x, y, z);
            let (d, slope) = tire.distance_and_slope(&p);
            // Convexity: the tangent never lies above the distance anywhere else.
            for q in [Vector3::new(300.0, 0.0, 0.0), Vector3::zeros(), Vector3::new(x, -y, z + 50.0)] {
                prop_assert!(tire.distance(&q) >= d + slope.dot(&(q - p)) - 1e-9);
            }
        }

        #[test]
        fn support_lies_on_the_surface_and_is_farthest(tire in either(), x in -1.0..1.0, y in -1.0..1.0, z in 0.1..1.0) {
            let d = Vector3::<f64>::new(x, y, z).normalize();
            let s = tire.support(&d);
            prop_assert!(tire.distance(&s).abs() < 1e-9);
            // Every other point of it lies less far: the plane there touches and does not cut.
            for q in [-d, Vector3::x(), Vector3::y(), -Vector3::y(), -Vector3::z(), Vector3::new(0.3, 0.6, 0.9)] {
                prop_assert!((tire.support(&q.normalize()) - s).dot(&d) <= 1e-9);
            }
            prop_assert!((tire.distance(&(s + d * 5.0)) - 5.0).abs() < 1e-9);
            prop_assert!((tire.reaches(&d) - d.dot(&s)).abs() < 1e-9);
        }

        #[test]
        fn displacement_bounds_the_change_of_distance(a in either(), turn in -0.5..0.5, dx in -50.0..50.0, px in -900.0..900.0, py in -300.0..300.0) {
            let b = a.solid.at(
                a.centre + Vector3::new(dx, 0.0, 0.0),
                Vector3::new(-f64::sin(turn), f64::cos(turn), 0.0),
            );
            let p = Vector3::new(px, py, 40.0);
            prop_assert!((a.distance(&p) - b.distance(&p)).abs() <= a.displacement(&b.centre, &b.axis) + 1e-9);
        }
    }
}
