//! A leaf spring as three links: the seat, and a link for each half.
//!
//! The three-link equivalent of the SAE spring design manual (HS-788, value from memory): the eye
//! of a half of free length l moves on a circle of ¾·l about a point on the clamp's own line. It
//! follows from a leaf that bends to a circular arc, as a spring of uniform strength does: with
//! curvature κ the eye lies at (sin κl / κ, (1 − cos κl) / κ), whose fall short of l is ⅔·y²/l, that
//! of a link of ¾·l. The two part by 0.2 % of l where the eye stands 0.3·l off the line and by 1 % at
//! 0.45·l, the most that is taken.

use super::{
    linkage::{Bush, Limb, Rates},
    real::Real,
};
use nalgebra::Vector3;

/// A leaf spring's points, stock frame, mm.
pub(crate) struct LeafPoints<T> {
    pub seat: Vector3<T>,
    pub fixed_eye: Vector3<T>,
    pub shackle_eye: Vector3<T>,
    pub shackle_chassis: Vector3<T>,
}

/// What a leaf spring is made of.
#[derive(Clone, Copy)]
pub(crate) struct LeafStiffness<T> {
    /// At the seat, N/mm.
    pub vertical: T,
    /// At the seat, eyes held, N/mm.
    pub lateral: T,
    /// Of each half about its own length, N·mm/rad.
    pub twist: T,
    /// Held flat between the U-bolts, mm.
    pub clamped: T,
    /// In the eyes and the shackle.
    pub eye: Rates<T>,
}

/// The length of an equivalent link as a share of the half's free length.
const SHARE: f64 = 0.75;
/// Along its own line a leaf is as good as rigid, N/mm: E·A/l of a 60 × 7 mm leaf of 600 mm is
/// 144 000.
const RIGID: f64 = 1e5;

/// The half with the fixed eye, the half with the shackle's eye, and the shackle.
pub(crate) fn limbs<T: Real>(p: &LeafPoints<T>, stiffness: &LeafStiffness<T>) -> [Limb<T>; 3] {
    let fixed = half(&p.seat, &p.fixed_eye, stiffness);
    let hung = half(&p.seat, &p.shackle_eye, stiffness);
    // Halves of one section: the deflection of each goes with the cube of its length, and the two
    // in balance make up the spring's own rate.
    let (a, b) = (fixed.length, hung.length);
    let section = stiffness.vertical * a * a * b * b / (a + b);
    let pivot = |half: &Half<T>| {
        let l = half.length;
        let radius = l * SHARE;
        let square = radius * radius;
        let rates = Rates {
            shift: Vector3::from_element(T::from(RIGID)),
            turn: Vector3::new(
                stiffness.twist,
                section / (l * l * l) * square,
                stiffness.lateral * 0.5 * square,
            ),
        };
        bush(half.pivot, rates)
    };
    let none = Limb { to_axle: [None; 2], to_chassis: None, to_next: None };
    [
        Limb {
            to_axle: [Some(pivot(&fixed)), None],
            to_chassis: Some(bush(p.fixed_eye, stiffness.eye)),
            ..none
        },
        Limb {
            to_axle: [Some(pivot(&hung)), None],
            to_next: Some(bush(p.shackle_eye, stiffness.eye)),
            ..none
        },
        Limb { to_chassis: Some(bush(p.shackle_chassis, stiffness.eye)), ..none },
    ]
}

fn bush<T: Real>(at: Vector3<T>, rates: Rates<T>) -> Bush<T> {
    let set = T::from(0.0);
    Bush { on_limb: at, on_body: at, set, rates }
}

struct Half<T> {
    /// Free length along the leaf, mm.
    length: T,
    /// Where its link pivots on the clamp's line, stock frame.
    pivot: Vector3<T>,
}

fn half<T: Real>(seat: &Vector3<T>, eye: &Vector3<T>, stiffness: &LeafStiffness<T>) -> Half<T> {
    let ahead = if eye.x.re() < seat.x.re() { -1.0 } else { 1.0 };
    let x = (eye.x - seat.x) * ahead - stiffness.clamped * 0.5;
    let z = eye.z - seat.z;
    // The circular arc that leaves the clamp along x and ends at the eye.
    let rise = z / x;
    let square = rise * rise;
    let arc = if square.re() < 1e-4 {
        ((square * (-1.0 / 7.0) + 0.2) * square - 1.0 / 3.0) * square + 1.0
    } else {
        rise.atan() / rise
    };
    let length = x * (square + 1.0) * arc;
    let radius = length * SHARE;
    let reach = (radius * radius - z * z).sqrt() * ahead;
    let pivot_x = eye.x - reach;
    let share = (pivot_x - seat.x) / (eye.x - seat.x);
    let pivot = Vector3::new(pivot_x, seat.y + (eye.y - seat.y) * share, seat.z);
    Half { length, pivot }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_of_three_quarters_follows_the_arc_of_a_uniform_bend() {
        // The exact arc against the link's circle, over the range the module page claims.
        for (share, most) in [(0.1, 3e-5), (0.2, 5e-4), (0.3, 2.2e-3), (0.45, 1.1e-2)] {
            let (l, y) = (1.0_f64, share);
            // Curvature for a deflection y, by bisection: (1 − cos κ)/κ rises with κ up to κ = 2.3.
            let (mut low, mut high) = (0.0_f64, 2.0_f64);
            for _ in 0..60 {
                let k = f64::midpoint(low, high);
                if (1.0 - k.cos()) / k < y { low = k } else { high = k }
            }
            let arc = low.sin() / low;
            let link = l - 0.75 + (0.75_f64.powi(2) - y * y).sqrt();
            assert!((arc - link).abs() < most, "{share}: {}", (arc - link).abs());
        }
    }

    #[test]
    fn the_halves_make_up_the_springs_own_rate() {
        // Load in the middle of a beam on two halves: each bends by its share of the load.
        let eye = Rates { shift: Vector3::zeros(), turn: Vector3::zeros() };
        let stiffness =
            LeafStiffness { vertical: 30.0, lateral: 200.0, twist: 1e5, clamped: 100.0, eye };
        let p = LeafPoints {
            seat: Vector3::new(0.0, 400.0, 60.0),
            fixed_eye: Vector3::new(-500.0, 400.0, 60.0),
            shackle_eye: Vector3::new(650.0, 400.0, 60.0),
            shackle_chassis: Vector3::new(680.0, 400.0, 160.0),
        };
        let [fixed, hung, _] = limbs(&p, &stiffness);
        let rate = |limb: &Limb<f64>, length: f64| {
            limb.to_axle[0].unwrap().rates.turn.y / (SHARE * length).powi(2)
        };
        let (a, b) = (450.0, 600.0);
        let (ka, kb) = (rate(&fixed, a), rate(&hung, b));
        let fall = (b * b / ka + a * a / kb) / ((a + b) * (a + b));
        assert!((1.0 / fall - 30.0).abs() < 1e-9, "{}", 1.0 / fall);
        assert!((ka / kb - (b / a).powi(3)).abs() < 1e-12);
    }
}
