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
        Least { distance: sample.distance, lower: sample.lower, point: self.point(&sample) }
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

    fn point(&self, sample: &Sample) -> Vector3<f64> {
        self.at(sample.turn, self.across.0 + (self.across.1 - self.across.0) * sample.t)
    }

    /// The least across the band at an angle, looked for from a share of the way across.
    fn sample(&self, tire: &PosedTire, turn: Turn, near: f64, fine: f64) -> Sample {
        let from = self.at(turn, self.across.0);
        let tangent = Vector3::new(-turn.sin, 0.0, turn.cos) * self.radius;
        let wide = self.across.1 - self.across.0;
        let found = search_across(tire, (&from, wide), &tangent, near, fine);
        let Along { t, least, lower, aside, .. } = found;
        Sample { turn, distance: least, lower, slope: aside, t }
    }
}

/// An angle with its sine and cosine.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Turn {
    angle: f64,
    sin: f64,
    cos: f64,
}

impl Turn {
    /// The ends of parts of equal length between two angles.
    fn parts([first, last]: [f64; 2]) -> [Self; PARTS + 1] {
        std::array::from_fn(|end| Self::by(first + (last - first) * (end as f64 / PARTS as f64)))
    }

    fn by(angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { angle, sin, cos }
    }

    /// Onward to an angle not far from it: sooner found than a sine.
    fn on_to(self, angle: f64) -> Self {
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
struct Sample {
    turn: Turn,
    distance: f64,
    lower: f64,
    slope: f64,
    t: f64,
}

/// Parts the band starts out in.
const PARTS: usize = 6;
/// Samples after which the search settles for the bound it has.
const SAMPLES: usize = 2000;

/// What a search of the band leaves behind for the next, of a tire near by.
#[derive(Debug, Clone, Copy)]
pub struct ArchTrace {
    /// No distance within each part of the band is below this, mm.
    parts: [f64; PARTS],
    /// Where the least was, and what share of the way across.
    least: (Turn, f64),
}

impl ArchTrace {
    /// With nothing known of the band.
    pub const fn new(arch: &ArchBand) -> Self {
        Self { parts: [f64::NEG_INFINITY; PARTS], least: (arch.ends[PARTS / 2], 0.5) }
    }

    /// For a tire no point of which is farther than `moved`, mm, from where this was left.
    #[must_use]
    pub fn after(self, moved: f64) -> Self {
        Self { parts: self.parts.map(|known| known - moved), ..self }
    }

    /// With what else is known of the same tire.
    #[must_use]
    pub fn with(self, other: &Self) -> Self {
        let parts = std::array::from_fn(|part| self.parts[part].max(other.parts[part]));
        Self { parts, ..self }
    }
}

/// Least signed distance from the tire to the arch, within `tolerance` mm (not below a thousandth),
/// or proof that it is above `enough`, mm: then the value returned may be any on the band, and
/// only `lower` counts.
pub fn tire_arch(tire: &PosedTire, arch: &ArchBand, tolerance: f64, enough: f64) -> Least {
    tire_arch_next(tire, arch, (tolerance, enough), &mut ArchTrace::new(arch))
}

/// The same, going on from what is known already: where that is enough, a part is not searched.
pub fn tire_arch_next(
    tire: &PosedTire,
    arch: &ArchBand,
    (tolerance, enough): (f64, f64),
    trace: &mut ArchTrace,
) -> Least {
    let tolerance = tolerance.max(1e-3);
    let fine = tolerance / 4.0;
    let (turn, near) = trace.least;
    let best = arch.sample(tire, turn, near, fine);
    let mut search = Search { tire, arch, tolerance, enough, best, left: SAMPLES };
    let mut lower = f64::INFINITY;
    let mut end: Option<Sample> = None;
    for (known, ends) in trace.parts.iter_mut().zip(arch.ends.windows(2)) {
        if search.settled(*known) {
            end = None;
        } else if let [from, to] = ends {
            let left = end.unwrap_or_else(|| search.take(*from));
            let right = search.take(*to);
            end = Some(right);
            // What is known of the part's inside already halves it.
            let inside = left.turn.angle < best.turn.angle && best.turn.angle < right.turn.angle;
            *known = if inside {
                search.between(&left, &best).min(search.between(&best, &right))
            } else {
                search.between(&left, &right)
            };
        }
        lower = lower.min(*known);
    }
    let best = search.best;
    trace.least = (best.turn, best.t);
    Least { distance: best.distance, lower: lower.min(best.distance), point: arch.point(&best) }
}

/// A search of the band under way.
struct Search<'a> {
    tire: &'a PosedTire,
    arch: &'a ArchBand,
    tolerance: f64,
    enough: f64,
    best: Sample,
    /// Samples that may still be taken.
    left: usize,
}

impl Search<'_> {
    /// Whether what is no nearer than this need not be looked at.
    fn settled(&self, bound: f64) -> bool {
        bound >= self.best.distance - self.tolerance || bound > self.enough
    }

    fn take(&mut self, turn: Turn) -> Sample {
        let sample = self.arch.sample(self.tire, turn, self.best.t, self.tolerance / 4.0);
        self.left = self.left.saturating_sub(1);
        if sample.distance < self.best.distance {
            self.best = sample;
        }
        sample
    }

    /// No distance between two samples is below this, as far as that needs to be known.
    fn between(&mut self, a: &Sample, b: &Sample) -> f64 {
        let (bound, angle) = bound_between(a, b, self.arch.radius);
        // A bound that is no number settles nothing, and nothing would.
        if self.settled(bound) || bound.is_nan() || self.left == 0 {
            return bound;
        }
        let middle = self.take(a.turn.on_to(angle));
        // The half that may hold less is opened first.
        let halves = [(a, &middle), (&middle, b)];
        let order = if a.distance < b.distance { [0, 1] } else { [1, 0] };
        order
            .map(|half| self.between(halves[half].0, halves[half].1))
            .into_iter()
            .fold(f64::INFINITY, f64::min)
    }
}

/// A bound from below between two samples, and the angle to try next.
fn bound_between(a: &Sample, b: &Sample, radius: f64) -> (f64, f64) {
    let span = b.turn.angle - a.turn.angle;
    let below = |s: &Sample, angle: f64| {
        let d = angle - s.turn.angle;
        s.lower + d * (s.slope - 0.5 * radius * d)
    };
    // Both parabolas bend alike, so they cross once.
    let rate = a.slope - b.slope - radius * span;
    let crossing =
        a.turn.angle + (b.lower - a.lower - span * (b.slope + 0.5 * radius * span)) / rate;
    let inside = a.turn.angle < crossing && crossing < b.turn.angle;
    if !inside {
        let by_a = a.lower.min(below(a, b.turn.angle));
        let by_b = b.lower.min(below(b, a.turn.angle));
        return (by_a.max(by_b), 0.5 * (a.turn.angle + b.turn.angle));
    }
    let next = crossing.clamp(a.turn.angle + 0.1 * span, b.turn.angle - 0.1 * span);
    (below(a, crossing).min(a.lower).min(b.lower), next)
}

#[cfg(test)]
mod tests {
    use super::super::solid::TireSolid;
    use super::*;
    use proptest::prelude::*;

    fn arch(side: Side) -> ArchBand {
        ArchBand::try_new([545.0, 560.0, 560.0], 600.0, 840.0, side).expect("an arch")
    }

    fn tire(centre: [f64; 3], steer: f64) -> PosedTire {
        TireSolid::try_new(400.0, 140.0, 35.0)
            .expect("a tire")
            .at(centre.into(), Vector3::new(-steer.sin(), steer.cos(), 0.0))
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
    fn concentric_and_offset_tires_worked_by_hand() {
        let round = ArchBand::try_new([560.0; 3], 600.0, 840.0, Side::Left).expect("an arch");
        let check = |centre: [f64; 3], want: f64| {
            let got = tire_arch(&tire(centre, 0.0), &round, 0.01, f64::INFINITY);
            assert!((got.distance - want).abs() < 0.01 + 1e-9, "{centre:?}: {got:?}, want {want}");
            assert!(got.distance - got.lower <= 0.01 + 1e-9, "{centre:?}: {got:?}");
        };
        check([0.0, 720.0, 0.0], 160.0); // concentric: 560 − 400 all round
        check([0.0, 720.0, 80.0], 80.0); // up by 80 takes 80 from the top
        check([0.0, 720.0, 200.0], -40.0); // up by 200 overlaps by 40
        check([-60.0, 720.0, 0.0], 100.0); // back by 60 takes 60 from the rear
        // Hanging 400 below, outside the arc's ends: nearest are the ends, by Pythagoras.
        check([0.0, 720.0, -400.0], 560.0_f64.hypot(400.0) - 400.0);
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

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(96))]

        #[test]
        fn no_sample_is_nearer_than_the_bound(
            lips in prop::array::uniform3(380.0..800.0_f64),
            inner in 450.0..700.0_f64,
            deep in 5.0..300.0_f64,
            centre in (-120.0..120.0_f64, 550.0..900.0_f64, -200.0..200.0_f64),
            steer in -0.7..0.7_f64,
        ) {
            let arch = ArchBand::try_new(lips, inner, inner + deep, Side::Left).expect("an arch");
            let tire = tire([centre.0, centre.1, centre.2], steer);
            let got = tire_arch(&tire, &arch, 0.01, f64::INFINITY);
            prop_assert!(got.distance - got.lower <= 0.01 + 1e-9, "{got:?}");
            prop_assert!((tire.distance(&got.point) - got.distance).abs() < 1e-6);
            prop_assert!(got.lower >= arch.quick_bound(&tire) - 0.02);
            for i in 0..=300 {
                let angle = arch.angle(f64::from(i) / 300.0);
                for j in 0..=20 {
                    let p = arch.at(Turn::by(angle), inner + deep * f64::from(j) / 20.0);
                    prop_assert!(tire.distance(&p) >= got.lower - 1e-7, "{angle} {j} {got:?}");
                }
            }
        }

        #[test]
        fn proof_that_it_is_enough_is_proof(
            centre in (-120.0..120.0_f64, 600.0..850.0_f64, -200.0..150.0_f64),
            steer in -0.7..0.7_f64,
            enough in -50.0..150.0_f64,
        ) {
            let tire = tire([centre.0, centre.1, centre.2], steer);
            let full = tire_arch(&tire, &arch(Side::Left), 0.01, f64::INFINITY);
            let quick = tire_arch(&tire, &arch(Side::Left), 0.01, enough);
            prop_assert!(quick.lower <= full.distance + 1e-9);
            prop_assert!(quick.lower > enough || (quick.distance - full.distance).abs() <= 0.011);
        }

        #[test]
        fn going_on_from_a_tire_near_by_finds_the_same(
            centre in (-120.0..120.0_f64, 600.0..850.0_f64, -200.0..150.0_f64),
            steers in prop::collection::vec(-0.7..0.7_f64, 1..12),
            enough in prop_oneof![Just(f64::INFINITY), -50.0..150.0_f64],
        ) {
            let arch = arch(Side::Left);
            // What is known from the last tire, and from the one before that.
            let mut known: Vec<(PosedTire, ArchTrace)> = Vec::new();
            for steer in steers {
                let tire = tire([centre.0, centre.1, centre.2 + 20.0 * steer], steer);
                let of = |(before, trace): &(PosedTire, ArchTrace)| {
                    trace.after(before.displacement(&tire.centre, &tire.axis))
                };
                let known_here = known.iter().rev().take(2).map(of).reduce(|a, b| a.with(&b));
                let mut trace = known_here.unwrap_or(ArchTrace::new(&arch));
                let next = tire_arch_next(&tire, &arch, (0.05, enough), &mut trace);
                let full = tire_arch(&tire, &arch, 0.001, f64::INFINITY);
                prop_assert!(next.lower <= full.distance + 1e-9, "{next:?} {full:?}");
                prop_assert!(next.distance >= full.distance - 0.0011, "{next:?} {full:?}");
                prop_assert!(next.lower > enough || next.distance - full.distance <= 0.051, "{next:?} {full:?}");
                known.push((tire, trace));
            }
        }

        #[test]
        fn left_and_right_mirror(
            centre in (-120.0..120.0_f64, 600.0..850.0_f64, -200.0..150.0_f64),
            steer in -0.7..0.7_f64,
        ) {
            let left = tire_arch(&tire([centre.0, centre.1, centre.2], steer), &arch(Side::Left), 0.01, f64::INFINITY);
            let right = tire_arch(&tire([centre.0, -centre.1, centre.2], -steer), &arch(Side::Right), 0.01, f64::INFINITY);
            prop_assert!((left.distance - right.distance).abs() <= 0.011);
        }
    }
}
