//! Tire against a wheel arch: a round band about a crosswise axis, seen from inside.
//!
//! The band is a patch of a cylinder, so it is not convex. But adding R·θ²/2 to the tire's
//! distance makes it a convex function of the angle θ and the place across, because the patch
//! bends by exactly R per radian² and distance changes by at most 1 per mm (derived here). So each
//! angle tried gives a parabola the distance cannot fall below, and the band is split where those
//! parabolas leave room for less than the best found.

use super::convex::Along;
use super::error::{MOST_MM, ShapeError, ordered, within};
use super::segment::{Least, search_across};
use super::solid::{PosedTire, beyond};
use crate::truck::Side;
use nalgebra::Vector3;
use std::f64::consts::TAU;

/// A wheel arch of one side, in the axle's stock frame; mm and rad.
///
/// Invariant: finite, radius positive, angles and places across in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArchBand {
    /// Centre of the circle: forward of and above the stock axle centre.
    centre: (f64, f64),
    radius: f64,
    /// Where its parts begin and end, by angles from straight ahead upward: from the front to the rear lip.
    ends: [Turn; PARTS + 1],
    /// Right and left end of the band.
    across: (f64, f64),
}

impl ArchBand {
    /// The band on the arc through three lip points: `front` ahead of the stock wheel centre at
    /// hub height, `top` straight above it, `rear` behind it at hub height; across it runs from
    /// `inner` to `lip`, both from the truck's centreline. All mm and positive.
    ///
    /// # Errors
    /// [`ShapeError`] when a number is not finite, not between 1 mm and 20 m (`inner` may be 0), or
    /// `lip` does not lie beyond `inner`.
    pub fn try_new(
        [front, top, rear]: [f64; 3],
        inner: f64,
        lip: f64,
        side: Side,
    ) -> Result<Self, ShapeError> {
        let front = within("arch lip ahead of the hub", front, 1.0, MOST_MM)?;
        let top = within("arch lip above the hub", top, 1.0, MOST_MM)?;
        let rear = within("arch lip behind the hub", rear, 1.0, MOST_MM)?;
        let inner = within("inner end of the arch", inner, 0.0, MOST_MM)?;
        let lip = within("arch lip from the centreline", lip, 1.0, MOST_MM)?;
        ordered(("inner end of the arch", inner), ("arch lip from the centreline", lip))?;
        // Equal distances to the three points: x half-way between the ends, z from the top.
        let x = 0.5 * (front - rear);
        let z = (top * top - front * rear) / (2.0 * top);
        let radius = x.hypot(top - z);
        let at_front = (-z).atan2(front - x);
        let at_rear = (-z).atan2(-rear - x).rem_euclid(std::f64::consts::TAU);
        let across = match side {
            Side::Left => (inner, lip),
            Side::Right => (-lip, -inner),
        };
        Ok(Self { centre: (x, z), radius, ends: Turn::parts([at_front, at_rear]), across })
    }

    /// Radius of the arc, mm.
    pub const fn radius_mm(&self) -> f64 {
        self.radius
    }

    fn at(&self, turn: Turn, across: f64) -> Vector3<f64> {
        let (ahead, up) = (self.radius * turn.cos, self.radius * turn.sin);
        Vector3::new(self.centre.0 + ahead, across, self.centre.1 + up)
    }

    /// A number no larger than the distance from the tire to the band, found at once.
    ///
    /// The tire lies inside the sphere of its reach, hence inside a cylinder about the arch's
    /// axis, and the band outside one.
    pub fn quick_bound(&self, tire: &PosedTire) -> f64 {
        let (ahead, up) = (tire.centre.x - self.centre.0, tire.centre.z - self.centre.1);
        // Lengths of a truck neither overflow nor vanish when squared; `hypot` would guard for it.
        let round = self.radius - (ahead * ahead + up * up).sqrt();
        let beside = beyond(tire.centre.y, self.across);
        (round * round + beside * beside).sqrt() - tire.reach
    }

    /// The angle at a share of the way from the front lip to the rear one.
    fn angle(&self, share: f64) -> f64 {
        let [Turn { angle: first, .. }, .., Turn { angle: last, .. }] = self.ends;
        first + (last - first) * share
    }

    /// The angles of a span of shares, rad.
    pub fn angles(&self, span: [f64; 2]) -> [f64; 2] {
        span.map(|share| self.angle(share))
    }

    /// A span of shares as a band of its own, farther out by `depth`, mm.
    #[must_use]
    pub fn sector(&self, span: [f64; 2], depth: f64) -> Self {
        Self { ends: Turn::parts(self.angles(span)), radius: self.radius + depth, ..*self }
    }

    /// Centre of the arc: ahead of and above the stock wheel centre, mm.
    pub const fn centre_mm(&self) -> [f64; 2] {
        [self.centre.0, self.centre.1]
    }

    /// Half the length along the arc of a span of shares, mm.
    pub fn half_length(&self, span: [f64; 2]) -> f64 {
        0.5 * self.radius * (self.angle(span[1]) - self.angle(span[0]))
    }

    /// Distance to the tire half-way along a span of shares, and the point there.
    pub fn middle(&self, span: [f64; 2], tire: &PosedTire, fine: f64) -> Least {
        let turn = Turn::by(self.angle(0.5 * (span[0] + span[1])));
        let sample = self.sample(tire, turn, 0.5, fine);
        Least { distance: sample.distance, lower: sample.lower, point: self.place(turn, sample.t) }
    }

    /// The edge across: where it starts, sideways only, and how it runs.
    pub fn across(&self) -> (Vector3<f64>, Vector3<f64>) {
        let (from, to) = self.across;
        (Vector3::new(0.0, from, 0.0), Vector3::new(0.0, to - from, 0.0))
    }

    /// The least of way · point over a span of shares of the band, mm.
    pub fn lowest(&self, span: [f64; 2], way: &Vector3<f64>) -> f64 {
        let [first, last] = span.map(|share| self.angle(share));
        let along = |angle: f64| {
            let p = self.at(Turn::by(angle), 0.0);
            way.x * p.x + way.z * p.z
        };
        // Straight against the way the arc lies farthest back.
        let back = (-way.z).atan2(-way.x);
        let turns = ((first - back) / TAU).ceil();
        let back = back + turns * TAU;
        let mut least = along(first).min(along(last));
        if back <= last {
            least = least.min(along(back));
        }
        least + (way.y * self.across.0).min(way.y * self.across.1)
    }

    /// The point at an angle, a share of the way across.
    pub(super) fn place(&self, turn: Turn, t: f64) -> Vector3<f64> {
        self.at(turn, self.across.0 + (self.across.1 - self.across.0) * t)
    }

    /// Where its parts begin and end.
    pub(super) const fn ends(&self) -> &[Turn] {
        &self.ends
    }

    /// The least across the band at an angle, looked for from a share of the way across.
    pub(super) fn sample(&self, tire: &PosedTire, turn: Turn, near: f64, fine: f64) -> Sample {
        let from = self.at(turn, self.across.0);
        let wide = self.across.1 - self.across.0;
        let (Along { t, least, lower, .. }, way) = search_across(tire, (&from, wide), near, fine);
        let (slope, long) = (self.slope(turn, &way), way.norm());
        // Where the nearest place lies on a crease deep in the tire, no plane says as much.
        let plane = (long > 0.9).then(|| {
            let way = way / long;
            let begins = way.dot(&from) + (way.y * wide).min(0.0);
            Plane { way, begins, slope: slope / long }
        });
        Sample { t, distance: least, lower, slope, plane }
    }

    /// How the place along a direction changes with the angle, mm a radian.
    fn slope(&self, turn: Turn, way: &Vector3<f64>) -> f64 {
        self.radius * (way.z * turn.cos - way.x * turn.sin)
    }
}

/// An angle with its sine and cosine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turn {
    pub angle: f64,
    sin: f64,
    cos: f64,
}

impl Turn {
    /// The ends of parts of equal length between two angles.
    fn parts([first, last]: [f64; 2]) -> [Self; PARTS + 1] {
        std::array::from_fn(|end| Self::by(first + (last - first) * (end as f64 / PARTS as f64)))
    }

    pub fn by(angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { angle, sin, cos }
    }

    /// Onward to an angle not far from it: sooner found than a sine.
    pub fn on_to(self, angle: f64) -> Self {
        /// Below this the first term left out of the series is under 1e-14.
        const NEAR: f64 = 0.45;
        let by = angle - self.angle;
        if by.abs() > NEAR {
            return Self::by(angle);
        }
        let (x, series) =
            (by * by, |c: [f64; 5], x: f64| c.into_iter().rev().fold(0.0, |sum, c| sum * x + c));
        let sin = by * series([1.0, -1.0 / 6.0, 1.0 / 120.0, -1.0 / 5040.0, 1.0 / 362_880.0], x);
        let cos = 1.0
            + x * series([-0.5, 1.0 / 24.0, -1.0 / 720.0, 1.0 / 40320.0, -1.0 / 3_628_800.0], x);
        let (from_sin, from_cos) = (self.sin, self.cos);
        Self { angle, sin: from_sin * cos + from_cos * sin, cos: from_cos * cos - from_sin * sin }
    }
}

/// What one angle tells: the distance there and the parabola below which no other can be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    /// Share of the way across where the band is nearest.
    pub t: f64,
    pub distance: f64,
    pub lower: f64,
    pub slope: f64,
    /// A plane with the tire behind it, if there is one that says as much.
    pub plane: Option<Plane>,
}

/// A plane that the band lies beyond at one angle; other angles by its slope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plane {
    /// Square to it, toward the band; of unit length.
    pub way: Vector3<f64>,
    /// How far along that the band begins, mm.
    pub begins: f64,
    /// How that changes with the angle, mm a radian.
    pub slope: f64,
}

/// Parts the band starts out in.
const PARTS: usize = 6;

#[cfg(test)]
mod tests {
    use super::*;

    fn arch(side: Side) -> ArchBand {
        ArchBand::try_new([545.0, 560.0, 560.0], 600.0, 840.0, side).expect("an arch")
    }

    #[test]
    fn the_arc_passes_through_the_three_lip_points() {
        let arch = arch(Side::Left);
        for (x, z) in [(545.0, 0.0), (0.0, 560.0), (-560.0, 0.0_f64)] {
            let got = (x - arch.centre.0).hypot(z - arch.centre.1);
            assert!((got - arch.radius_mm()).abs() < 1e-9, "({x}, {z}): {got} of {arch:?}");
        }
        let [from, to] = arch.angles([0.0, 1.0]);
        let ends = [(from, 545.0), (to, -560.0)];
        for (angle, x) in ends {
            let p = arch.at(Turn::by(angle), 700.0);
            assert!((p - Vector3::new(x, 700.0, 0.0)).norm() < 1e-9, "{p}");
        }
    }

    #[test]
    fn what_describes_no_arch_is_refused() {
        let bad = |lip: [f64; 3], inner: f64, outer: f64| {
            let got = ArchBand::try_new(lip, inner, outer, Side::Left);
            assert!(got.is_err(), "{lip:?} {inner} {outer}: {got:?}");
        };
        bad([f64::NAN, 560.0, 560.0], 600.0, 840.0);
        bad([545.0, 0.0, 560.0], 600.0, 840.0);
        bad([545.0, 560.0, -560.0], 600.0, 840.0);
        bad([545.0, 560.0, 560.0], 840.0, 840.0);
        bad([545.0, 560.0, 560.0], 600.0, f64::INFINITY);
    }
}
