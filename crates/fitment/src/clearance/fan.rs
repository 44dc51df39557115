//! The least distance from a tire to a wheel arch, by planes between them.
//!
//! Each angle of the band that is looked at gives a plane behind which the tire lies, and with it the
//! parabola of `arch.rs` below which no distance near by can be. A tire that has moved a little lies as
//! good as behind the same planes, so the next search asks first what they say now, and looks anew only
//! where that leaves too much open.

use super::arch::{ArchBand, Plane, Sample, Turn};
use super::segment::Least;
use super::solid::{PosedTire, lesser};
use std::rc::Rc;

/// Samples after which the search settles for the bound it has.
const SAMPLES: usize = 2000;
/// How far above what is needed a bound must lie without a plane for that to be forgotten, mm.
const SPARE_MM: f64 = 0.3;
/// What a plane may say less than is so once the tire has moved, mm: where more is missing, another angle
/// is looked at rather than the same again.
const STALE_MM: f64 = 1.0;

/// What a search of the band leaves behind for the next, of a tire near by.
#[derive(Debug, Clone)]
pub struct ArchTrace {
    /// From the front lip to the rear one, both included.
    fan: Rc<Vec<Blade>>,
    /// The angle where the least was, and what share of the way across.
    least: (Turn, f64),
}

/// An angle, the share of the way across where the band was nearest, and a plane between, if one is known.
#[derive(Debug, Clone, Copy)]
struct Blade {
    turn: Turn,
    t: f64,
    plane: Option<Plane>,
}

impl ArchTrace {
    /// With nothing known of the band.
    pub fn new(arch: &ArchBand) -> Self {
        let ends = arch.ends();
        let fan = ends.iter().map(|turn| Blade { turn: *turn, t: 0.5, plane: None }).collect();
        Self { fan: Rc::new(fan), least: (ends[ends.len() / 2], 0.5) }
    }
}

/// What is known of one angle for the tire in question.
#[derive(Debug, Clone, Copy)]
struct Known {
    blade: Blade,
    /// Whether it was looked at with the tire where it is.
    fresh: bool,
    lower: f64,
    slope: f64,
}

impl Known {
    /// What a plane says that was found with the tire elsewhere.
    fn of(blade: &Blade, tire: &PosedTire) -> Self {
        let (lower, slope) = match &blade.plane {
            Some(Plane { way, begins, slope }) => (begins - tire.reaches(way), *slope),
            None => (f64::NEG_INFINITY, 0.0),
        };
        Self { blade: *blade, fresh: false, lower, slope }
    }
}

/// The angles being looked at, kept from search to search for the room they take.
#[derive(Debug, Clone, Default)]
pub struct Fan(Vec<Known>);

/// Least signed distance from the tire to the arch, within `tolerance` mm (not below a thousandth),
/// or proof that it is above `enough`, mm: then the value returned may be any on the band, and
/// only `lower` counts.
pub fn tire_arch(tire: &PosedTire, arch: &ArchBand, tolerance: f64, enough: f64) -> Least {
    let (goal, known) = ((tolerance, enough), ArchTrace::new(arch));
    tire_arch_next(tire, arch, goal, &known, &mut Fan::default()).0
}

/// The same, going on from what is known of a tire near by; with what the next can go on from.
pub fn tire_arch_next(
    tire: &PosedTire,
    arch: &ArchBand,
    (tolerance, enough): (f64, f64),
    known: &ArchTrace,
    fan: &mut Fan,
) -> (Least, ArchTrace) {
    let (turn, t) = known.least;
    let best = Best { distance: tire.distance(&arch.place(turn, t)), turn, t };
    fan.0.clear();
    fan.0.extend(known.fan.iter().map(|blade| Known::of(blade, tire)));
    let tolerance = tolerance.max(1e-3);
    let fan = &mut fan.0;
    let mut search = Search { tire, arch, tolerance, enough, best, left: SAMPLES, fan };
    let lower = search.lower();
    let fan = if search.left < SAMPLES { Rc::new(search.kept()) } else { known.fan.clone() };
    let Best { distance, turn, t } = search.best;
    let least = Least { distance, lower: lower.min(distance), point: arch.place(turn, t) };
    (least, ArchTrace { fan, least: (turn, t) })
}

/// The nearest place found.
#[derive(Debug, Clone, Copy)]
struct Best {
    distance: f64,
    turn: Turn,
    t: f64,
}

/// A search of the band under way.
struct Search<'a> {
    tire: &'a PosedTire,
    arch: &'a ArchBand,
    tolerance: f64,
    enough: f64,
    best: Best,
    /// Samples that may still be taken.
    left: usize,
    /// What is known, in order of the angle.
    fan: &'a mut Vec<Known>,
}

impl Search<'_> {
    /// Whether what is no nearer than this need not be looked at.
    fn settled(&self, bound: f64) -> bool {
        bound >= self.best.distance - self.tolerance || bound > self.enough
    }

    /// No distance is below this, as far as that needs to be known.
    fn lower(&mut self) -> f64 {
        let mut lower = f64::INFINITY;
        let mut at = 0;
        while let Some([left, right]) = self.fan.get(at..at + 2) {
            let (bound, angle) = bound_between(left, right, self.arch.radius_mm());
            // A bound that is no number settles nothing, and nothing would.
            if self.settled(bound) || bound.is_nan() || self.left == 0 {
                lower = lower.min(bound);
                at += 1;
                continue;
            }
            let little = self.settled(bound + STALE_MM);
            let worth = |it: &Known| !it.fresh && (little || it.blade.plane.is_none());
            // Of two the one that may hold less.
            let lesser = usize::from(right.lower < left.lower);
            let again = [lesser, 1 - lesser].into_iter().find(|i| worth([left, right][*i]));
            let Blade { turn, t, .. } = [left, right][again.unwrap_or(0)].blade;
            if let Some(i) = again {
                let known = self.look(turn, t);
                if let Some(old) = self.fan.get_mut(at + i) {
                    *old = known;
                }
            } else {
                let known = self.look(turn.on_to(angle), t);
                self.fan.insert(at + 1, known);
            }
        }
        lower
    }

    /// Looks at an angle, from a share of the way across where the band is likely to be nearest.
    fn look(&mut self, turn: Turn, near: f64) -> Known {
        let sample = self.arch.sample(self.tire, turn, near, self.tolerance / 4.0);
        let Sample { t, distance, lower, slope, plane } = sample;
        self.left = self.left.saturating_sub(1);
        if distance < self.best.distance {
            self.best = Best { distance, turn, t };
        }
        Known { blade: Blade { turn, t, plane }, fresh: true, lower, slope }
    }

    /// What a tire near by is likely to need: without what lies between two others that say enough by
    /// themselves.
    fn kept(&self) -> Vec<Blade> {
        let mut kept: Vec<Blade> = Vec::with_capacity(self.fan.len());
        let mut last: Option<&Known> = None;
        for (at, known) in self.fan.iter().enumerate() {
            let beside = last.zip(self.fan.get(at + 1));
            let needless = beside.is_some_and(|(left, right)| {
                let (bound, _) = bound_between(left, right, self.arch.radius_mm());
                self.settled(bound - SPARE_MM)
            });
            if !needless {
                last = Some(known);
                kept.push(known.blade);
            }
        }
        kept
    }
}

/// A bound from below between two angles, and the angle to try next.
fn bound_between(a: &Known, b: &Known, radius: f64) -> (f64, f64) {
    let (from, to) = (a.blade.turn.angle, b.blade.turn.angle);
    let span = to - from;
    let below = |known: &Known, by: f64| known.lower + by * (known.slope - 0.5 * radius * by);
    // Both parabolas bend alike, so they cross once.
    let rate = a.slope - b.slope - radius * span;
    let crossing = (b.lower - a.lower - span * (b.slope + 0.5 * radius * span)) / rate;
    let inside = 0.0 < crossing && crossing < span;
    if !inside {
        let by_a = lesser(a.lower, below(a, span));
        let by_b = lesser(b.lower, below(b, -span));
        return (if by_b > by_a { by_b } else { by_a }, from + 0.5 * span);
    }
    let next = from + crossing.clamp(0.1 * span, 0.9 * span);
    (lesser(below(a, crossing), lesser(a.lower, b.lower)), next)
}

#[cfg(test)]
mod tests {
    use super::super::solid::TireSolid;
    use super::*;
    use crate::truck::Side;
    use nalgebra::Vector3;
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
            let [from, to] = arch.angles([0.0, 1.0]);
            for i in 0..=300 {
                let angle = from + (to - from) * f64::from(i) / 300.0;
                for j in 0..=20 {
                    let p = arch.place(Turn::by(angle), f64::from(j) / 20.0);
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
            let (mut known, mut fan) = (ArchTrace::new(&arch), Fan::default());
            for steer in steers {
                let tire = tire([centre.0, centre.1, centre.2 + 20.0 * steer], steer);
                let (next, trace) = tire_arch_next(&tire, &arch, (0.05, enough), &known, &mut fan);
                let full = tire_arch(&tire, &arch, 0.001, f64::INFINITY);
                prop_assert!(next.lower <= full.distance + 1e-9, "{next:?} {full:?}");
                prop_assert!(next.distance >= full.distance - 0.0011, "{next:?} {full:?}");
                prop_assert!(next.lower > enough || next.distance - full.distance <= 0.051, "{next:?} {full:?}");
                known = trace;
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
