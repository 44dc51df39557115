//! Caster from camber read with the wheel turned two ways.
//!
//! The angle between steering axis and spindle never changes. For a left wheel heading δ (left
//! positive) with camber γ, caster τ and inclination σ that says
//! tan τ·(cos γ₁ sin δ₁ − cos γ₂ sin δ₂) − tan σ·(cos γ₁ cos δ₁ − cos γ₂ cos δ₂) = sin γ₁ − sin γ₂
//! (after D. B. January, SAE 850219, which takes caster from the change of camber; exact form
//! derived here and checked against the 3D steering model). A right wheel is its mirror image: its
//! headings count the other way.

use crate::{axle::Real, truck::Side};
use num_dual::Dual64;

/// One wheel's camber at two headings, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sweep<T> {
    /// How far the wheel itself is turned from straight ahead, left positive.
    pub heading: [T; 2],
    /// Camber there, top outward positive.
    pub camber: [T; 2],
    /// Kingpin inclination, as far as it is known; it matters little to a sweep both ways alike.
    pub inclination: T,
}

/// What a caster by sweep leans on, rad: slope and standard deviation added by each reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Budget {
    /// Caster by the exact form.
    pub caster: f64,
    /// Its standard deviation.
    pub sigma: f64,
    /// Deviation that the headings, the cambers and the inclination add, in that order.
    pub parts: [f64; 5],
}

impl<T: Real> Sweep<T> {
    /// The same wheel seen in a mirror.
    fn as_left(self, side: Side) -> Self {
        let heading = self.heading.map(|heading| heading * side.sign());
        Self { heading, ..self }
    }

    /// Caster by the exact form, rad; not a number where both headings are alike.
    pub fn caster(self, side: Side) -> T {
        let Self { heading: [d1, d2], camber: [g1, g2], inclination } = self.as_left(side);
        let sines = g1.sin() - g2.sin();
        let along = g1.cos() * d1.cos() - g2.cos() * d2.cos();
        let across = g1.cos() * d1.sin() - g2.cos() * d2.sin();
        ((sines + inclination.tan() * along) / across).atan()
    }

    /// Caster by the form for small angles, rad: (γ₁ − γ₂) / (sin δ₁ − sin δ₂).
    pub fn caster_small(self, side: Side) -> T {
        let Self { heading: [d1, d2], camber: [g1, g2], .. } = self.as_left(side);
        (g1 - g2) / (d1.sin() - d2.sin())
    }
}

impl Sweep<f64> {
    /// Caster with what each reading's error adds, rad: deviation of a heading, of a camber and of the
    /// inclination (JCGM 100:2008, eq. 10, with exact slopes).
    pub fn budget(self, side: Side, heading: f64, camber: f64, inclination: f64) -> Budget {
        let numbers =
            [self.heading[0], self.heading[1], self.camber[0], self.camber[1], self.inclination];
        let errors = [heading, heading, camber, camber, inclination];
        let slope = |of: usize| {
            let n: [Dual64; 5] = std::array::from_fn(|i| Dual64::input(numbers[i], i == of));
            let sweep = Sweep { heading: [n[0], n[1]], camber: [n[2], n[3]], inclination: n[4] };
            sweep.caster(side).slope()
        };
        let parts: [f64; 5] = std::array::from_fn(|i| slope(i).abs() * errors[i]);
        let sigma = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
        Budget { caster: self.caster(side), sigma, parts }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers of a wheel turned about a leaning axis in 3D, worked apart: caster 6°, inclination 9°,
    /// camber 3.1177° and −1.0111° at ±20°.
    fn six(side: Side) -> Sweep<f64> {
        let rad = |deg: f64| deg.to_radians();
        let sign = side.sign();
        Sweep {
            heading: [rad(20.0) * sign, rad(-20.0) * sign],
            camber: [rad(3.1177), rad(-1.0111)],
            inclination: rad(9.0),
        }
    }

    #[test]
    fn either_side_gives_the_caster_back() {
        for side in Side::BOTH {
            assert!((six(side).caster(side).to_degrees() - 6.0).abs() < 0.002);
            assert!((six(side).caster_small(side).to_degrees() - 6.036).abs() < 0.002);
        }
    }

    #[test]
    fn the_cambers_make_up_the_budget() {
        // Each camber's slope is about 1/(2 sin 20°) = 1.462; a tenth of a degree each: 0.207°.
        let tenth = 0.1_f64.to_radians();
        let budget = six(Side::Left).budget(Side::Left, 0.0, tenth, 0.0);
        assert!((budget.sigma.to_degrees() - 0.1462 * 2.0_f64.sqrt()).abs() < 0.004);
        // A heading's error turns into camber by tan τ·cos δ + tan σ·sin δ; inclination cancels but for
        // what the two cambers' cosines differ by.
        let half = 0.5_f64.to_radians();
        let all = six(Side::Left).budget(Side::Left, half, tenth, 1.0_f64.to_radians());
        let (sine, cosine) = 20.0_f64.to_radians().sin_cos();
        let (caster, inclination) = (6.0_f64.to_radians().tan(), 9.0_f64.to_radians().tan());
        for (part, sign) in [(all.parts[0], 1.0), (all.parts[1], -1.0)] {
            let want = (caster * cosine + sign * inclination * sine) * half / (2.0 * sine);
            assert!((part / want - 1.0).abs() < 0.03, "{part}, want {want}");
        }
        assert!(all.parts[4] < 0.02 * all.parts[2], "{all:?}");
    }
}
