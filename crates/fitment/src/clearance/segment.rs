//! Tire against a straight segment, and against a round bar along one.

use super::convex::{Along, minimise};
use super::solid::{PosedTire, slope_of_abs};
use nalgebra::Vector3;

/// A round bar: all points within `radius` of a segment; mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capsule {
    /// One end of the bar's centreline.
    pub from: Vector3<f64>,
    /// The other end.
    pub to: Vector3<f64>,
    /// Half the bar's thickness, mm; not negative.
    pub radius: f64,
}

/// The least distance found, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Least {
    /// Least signed distance found, mm; negative is overlap.
    pub distance: f64,
    /// The true least is not below this, mm.
    pub lower: f64,
    /// The obstacle's point where it was found.
    pub point: Vector3<f64>,
}

/// Signed distance of the tire along a line, by its five scalars.
struct Line<'a> {
    tire: &'a PosedTire,
    u: f64,
    du: f64,
    rr: f64,
    rd: f64,
    dd: f64,
}

impl<'a> Line<'a> {
    fn new(tire: &'a PosedTire, from: &Vector3<f64>, to: &Vector3<f64>) -> Self {
        let start = from - tire.centre;
        let step = to - from;
        let (u, du) = (start.dot(&tire.axis), step.dot(&tire.axis));
        let radial = start - tire.axis * u;
        let across = step - tire.axis * du;
        Self {
            tire,
            u,
            du,
            rr: radial.norm_squared(),
            rd: radial.dot(&across),
            dd: across.norm_squared(),
        }
    }

    /// The same of a line straight across the truck, to the left by so much.
    fn across(tire: &'a PosedTire, from: &Vector3<f64>, wide: f64) -> Self {
        let start = from - tire.centre;
        let (u, du) = (start.dot(&tire.axis), wide * tire.axis.y);
        let (rr, rd) = (start.norm_squared() - u * u, wide * start.y - u * du);
        Self { tire, u, du, rr, rd, dd: wide * wide - du * du }
    }

    /// Distance and slope at the fraction `t` of the line, and how much of the tire's axis, of the way to
    /// the line's start and of the line itself make up the distance's gradient.
    #[inline]
    fn at(&self, t: f64) -> (f64, f64, [f64; 3]) {
        let u = self.u + t * self.du;
        let squared = self.rr + t * (2.0 * self.rd + t * self.dd);
        let rho = if squared > 0.0 { squared.sqrt() } else { 0.0 };
        let (d, per_along, per_out) = self.tire.solid.profile().distance(u.abs(), rho);
        let per_along = per_along * slope_of_abs(u);
        let per_out = if rho > 0.0 { per_out / rho } else { 0.0 };
        let slope = per_along * self.du + per_out * (self.rd + t * self.dd);
        (d, slope, [per_along - per_out * u, per_out, per_out * t])
    }
}

/// Least distance from the tire to a segment, within `tolerance` mm of the true one.
pub fn tire_segment(
    tire: &PosedTire,
    from: &Vector3<f64>,
    to: &Vector3<f64>,
    tolerance: f64,
) -> Least {
    let found = search(tire, from, to, tolerance);
    let point = from + (to - from) * found.t;
    Least { distance: found.least, lower: found.lower, point }
}

/// Least distance from the tire to a round bar. The bar's own surface point is given.
pub fn tire_capsule(tire: &PosedTire, bar: &Capsule, tolerance: f64) -> Least {
    let core = tire_segment(tire, &bar.from, &bar.to, tolerance);
    let (_, outward) = tire.distance_and_slope(&core.point);
    Least {
        distance: core.distance - bar.radius,
        lower: core.lower - bar.radius,
        point: core.point - outward * bar.radius,
    }
}

/// Search along a segment; the result's `t` runs from `from` (0) to `to` (1).
pub(super) fn search(
    tire: &PosedTire,
    from: &Vector3<f64>,
    to: &Vector3<f64>,
    tolerance: f64,
) -> Along {
    let line = Line::new(tire, from, to);
    let at = |t| {
        let (distance, slope, _) = line.at(t);
        (distance, slope, ())
    };
    minimise(at, (0.0, 1.0), tolerance)
}

/// The same straight across the truck, from a point to the left by so much: begun at a share of the way
/// near the least, and with the level mix of the distance's gradients that proves the least: no distance
/// is below the lower bound and that times the way from the line.
pub(super) fn search_across(
    tire: &PosedTire,
    (from, wide): (&Vector3<f64>, f64),
    near: f64,
    tolerance: f64,
) -> (Along<[f64; 3]>, Vector3<f64>) {
    /// How far from there the other side of the least is looked for.
    const REACH: f64 = 0.05;
    let line = Line::across(tire, from, wide);
    let along = minimise(|t| line.at(t), (near, REACH), tolerance);
    let (low, high) = along.beside;
    let mixed = |i: usize| along.share * low[i] + (1.0 - along.share) * high[i];
    let mut way = tire.axis * mixed(0) + (from - tire.centre) * mixed(1);
    way.y += wide * mixed(2);
    (along, way)
}

#[cfg(test)]
mod tests {
    use super::super::solid::TireSolid;
    use super::*;
    use proptest::prelude::*;

    fn tire() -> PosedTire {
        TireSolid::try_new(400.0, 140.0, 40.0).expect("a tire").at(Vector3::zeros(), Vector3::y())
    }

    #[test]
    fn bars_worked_by_hand() {
        let check = |from: [f64; 3], to: [f64; 3], radius: f64, want: f64| {
            let bar = Capsule { from: from.into(), to: to.into(), radius };
            let got = tire_capsule(&tire(), &bar, 1e-9);
            assert!((got.distance - want).abs() < 1e-8, "{from:?} {to:?}: {got:?}, want {want}");
            assert!((got.lower - want).abs() < 1e-8, "{from:?} {to:?}: {got:?}, want {want}");
        };
        // Parallel to the sidewall, crossing the hub: 200 − 140 − 25.
        check([-900.0, -200.0, 0.0], [300.0, -200.0, 0.0], 25.0, 35.0);
        // Parallel to the spin axis ahead of the tread: 450 − 400 − 10.
        check([450.0, -300.0, 0.0], [450.0, 300.0, 0.0], 10.0, 40.0);
        // Across the top: the tread at 400, the bar's underside at 420.
        check([-500.0, 20.0, 440.0], [700.0, 60.0, 440.0], 20.0, 20.0);
        // An end nearest: (600, 0) ahead, 600 − 400 − 5.
        check([600.0, 0.0, 0.0], [900.0, 0.0, 0.0], 5.0, 195.0);
        // Off the shoulder: core corner (y 100, z 360) to (130, 400) is 50; 50 − 40 − 4.
        check([-300.0, 130.0, 400.0], [300.0, 130.0, 400.0], 4.0, 6.0);
        // A segment of no length is a point.
        check([0.0, 0.0, 500.0], [0.0, 0.0, 500.0], 0.0, 100.0);
    }

    #[test]
    fn the_bars_own_surface_point_is_given() {
        let bar = Capsule {
            from: Vector3::new(-900.0, -200.0, 0.0),
            to: Vector3::new(300.0, -200.0, 0.0),
            radius: 25.0,
        };
        let got = tire_capsule(&tire(), &bar, 1e-9);
        assert!((tire().distance(&got.point) - got.distance).abs() < 1e-8, "{got:?}");
    }

    proptest! {
        #[test]
        fn no_sample_is_nearer_than_the_bound(
            a in prop::array::uniform3(-900.0..900.0_f64),
            b in prop::array::uniform3(-900.0..900.0_f64),
            tilt in -0.6..0.6_f64,
        ) {
            let (a, b) = (Vector3::from(a), Vector3::from(b));
            let tire = tire().solid.at(Vector3::new(5.0, 10.0, -20.0), Vector3::new(-tilt.sin(), tilt.cos(), 0.0));
            let got = tire_segment(&tire, &a, &b, 1e-6);
            prop_assert!(got.distance - got.lower <= 1e-6 + 1e-9);
            for i in 0..=500 {
                let d = tire.distance(&(a + (b - a) * (f64::from(i) / 500.0)));
                prop_assert!(d >= got.lower - 1e-8, "{d} below {got:?}");
            }
            prop_assert!((tire.distance(&got.point) - got.distance).abs() < 1e-7);
        }
    }
}
