//! The wheel seen from inside: the barrel, the spokes and the hole between them.
//!
//! What rides on the knuckle turns with the wheel and stands in its hole, so its clearance is the
//! same at every travel and steer. The wheel spins, so all that counts of a point is how far out it
//! lies along the axis and how far from it.
//!
//! Solid are the spokes, from their inner face outboard, and the ring of rim and tire: everything
//! within the tire's section that is farther from the axis than the barrel's clear radius. Near the
//! bead the section is wider than the rim, so the hole is taken as longer than it is: the ring
//! comes no less far inboard than the real one.

use crate::tire::Profile;

/// The hole in a wheel, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hollow {
    /// Clear radius of the barrel.
    pub radius: f64,
    /// Inner face of the spokes outboard of the tire's centre plane.
    pub spokes: f64,
}

/// A distance and its slopes per mm outboard and out from the axis.
pub(super) type Slope = (f64, f64, f64);

impl Hollow {
    /// Distance from a point to the nearest of spokes, barrel and tire, mm, negative within them. The
    /// point lies `along` outboard of the tire's centre plane and `out` from its axis.
    pub fn distance(&self, tire: &Profile, along: f64, out: f64) -> Slope {
        // How far it is from the spokes' face and from the barrel, toward either.
        let (spokes, barrel) = (self.spokes - along, self.radius - out);
        let beside = -tire.half_width_mm() - along;
        if spokes > 0.0 && barrel > 0.0 {
            // In the hole, or inboard of the tire and before it.
            let ring = if beside > 0.0 {
                let apart = beside.hypot(barrel);
                (apart, -beside / apart, -barrel / apart)
            } else {
                (barrel, 0.0, -1.0)
            };
            return if ring.0 < spokes { ring } else { (spokes, -1.0, 0.0) };
        }
        let (hull, per_along, per_out) = tire.distance(along.abs(), out);
        let hull = (hull, per_along * along.signum(), per_out);
        if hull.0 > 0.0 {
            return hull;
        }
        // Within: the nearest way out is that of the section or into the hole.
        let (past, above) = ((-spokes).max(0.0), (-barrel).max(0.0));
        let hole = past.hypot(above);
        if hole <= 0.0 {
            return (0.0, 0.0, -1.0);
        }
        if -hull.0 < hole { hull } else { (-hole, -past / hole, -above / hole) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A tire 280 wide on a wheel with 340 clear inside, its spokes 20 outboard of the middle.
    fn wheel() -> (Hollow, Profile) {
        (Hollow { radius: 170.0, spokes: 20.0 }, Profile::rounded(400.0, 140.0, 40.0))
    }

    #[test]
    fn distances_worked_by_hand() {
        let (hollow, tire) = wheel();
        let check = |along: f64, out: f64, want: f64| {
            let got = hollow.distance(&tire, along, out).0;
            assert!((got - want).abs() < 1e-12, "({along}, {out}): {got}, want {want}");
        };
        check(-50.0, 160.0, 10.0); // a caliper 10 under the barrel
        check(12.0, 100.0, 8.0); // and 8 short of the spokes
        check(25.0, 100.0, -5.0); // through them
        check(-50.0, 173.0, -3.0); // through the barrel
        check(-170.0, 130.0, 50.0); // inboard of it all: 3-4-5 to the hole's rim
        check(-160.0, 300.0, 20.0); // beside the sidewall
        check(-141.0, 170.0, 1.0);
    }

    proptest! {
        #[test]
        fn it_changes_by_no_more_than_the_way_moved(
            a in [-260.0..60.0_f64, 0.0..420.0_f64], b in [-260.0..60.0_f64, 0.0..420.0_f64],
        ) {
            let (hollow, tire) = wheel();
            let at = |p: [f64; 2]| hollow.distance(&tire, p[0], p[1]);
            let way = (a[0] - b[0]).hypot(a[1] - b[1]);
            prop_assert!((at(a).0 - at(b).0).abs() <= way + 1e-9);
            let (_, along, out) = at(a);
            prop_assert!((along.hypot(out) - 1.0).abs() < 1e-9);
        }
    }
}
