//! What the tire must clear, each from a few tape measurements on the truck standing stock.

use super::Thing;
use crate::measure::Known;

/// Obstacles around the wheels; the right side mirrors the left.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Surroundings {
    /// Frame rail beside the wheel.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub rail: Option<Rail>,
    /// Wheel arch opening.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub arch: Option<Arch>,
    /// Half the thickness of the arm or lower link, mm: its radius as a round bar.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub arm_radius_mm: Option<Known>,
    /// Whatever else is there.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub things: Vec<Thing>,
}

/// A frame rail as a straight box along x.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Rail {
    /// Outer face from the truck's centreline, mm, positive.
    pub outer_mm: Known,
    /// Bottom edge above the stock axle centreline, mm.
    pub bottom_mm: Known,
    /// Top edge above the stock axle centreline, mm.
    pub top_mm: Known,
    /// Front end of the straight part ahead of the axle centreline, mm.
    pub front_mm: Known,
    /// Rear end of the straight part ahead of the axle centreline, mm (negative when behind).
    pub rear_mm: Known,
}

/// A wheel arch as a round band: the arc through three lip points, as deep as it is wide.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Arch {
    /// Lip above the stock wheel centre, straight up, mm.
    pub top_mm: Known,
    /// Lip ahead of the stock wheel centre, at hub height, mm, positive.
    pub front_mm: Known,
    /// Lip behind the stock wheel centre, at hub height, mm, positive.
    pub rear_mm: Known,
    /// Outer edge of the lip from the truck's centreline, mm, positive.
    pub lip_mm: Known,
    /// Inner end of the band from the truck's centreline, mm, positive.
    pub inner_mm: Known,
}

impl Arch {
    /// Centre (forward, up of the stock wheel centre) and radius of the lip's circle, mm; `None`
    /// when the three points lie in a line.
    ///
    /// The circle through (−rear, 0), (0, top) and (front, 0): its centre lies midway between the
    /// two points at hub height, and by intersecting chords front · rear = top · (top − 2·up).
    pub fn circle(&self) -> Option<([f64; 2], f64)> {
        let (front, rear, top) = (self.front_mm.value, self.rear_mm.value, self.top_mm.value);
        let x = (front - rear) * 0.5;
        let z = (top * top - front * rear) / (2.0 * top);
        let radius = (front - x).hypot(z);
        (radius.is_finite() && radius > 0.0).then_some(([x, z], radius))
    }

    /// The opening cut back all round by `depth_mm`: its circle about the same centre, so much
    /// larger. What it reaches at hub height and above the hub keeps its uncertainty; `None` when
    /// the three points lie in a line.
    pub fn trimmed(&self, depth_mm: f64) -> Option<Self> {
        let ([x, z], radius) = self.circle()?;
        let radius = radius + depth_mm;
        // Half the chord of the larger circle at hub height, and its rise straight above the hub.
        let half = (radius * radius - z * z).max(0.0).sqrt();
        let rise = (radius * radius - x * x).max(0.0).sqrt();
        let to = |known: &Known, value: f64| Known { value, ..known.clone() };
        Some(Self {
            top_mm: to(&self.top_mm, z + rise),
            front_mm: to(&self.front_mm, half + x),
            rear_mm: to(&self.rear_mm, half - x),
            lip_mm: self.lip_mm.clone(),
            inner_mm: self.inner_mm.clone(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arch(front: f64, top: f64, rear: f64) -> Arch {
        let [front_mm, top_mm, rear_mm, lip_mm, inner_mm] =
            [front, top, rear, 840.0, 600.0].map(Known::exact);
        Arch { top_mm, front_mm, rear_mm, lip_mm, inner_mm }
    }

    #[test]
    fn a_trimmed_arch_is_the_same_circle_larger() {
        // 3-4-5 triangles: the circle of radius 500 about (0, 300) meets hub height at ±400 and
        // stands 800 above; trimmed by 100 it meets it at √(600² − 300²) and stands 900 above.
        let trimmed = arch(400.0, 800.0, 400.0).trimmed(100.0).unwrap();
        let half = (600.0_f64.powi(2) - 300.0_f64.powi(2)).sqrt();
        for (got, want) in
            [(&trimmed.front_mm, half), (&trimmed.rear_mm, half), (&trimmed.top_mm, 900.0)]
        {
            assert!((got.value - want).abs() < 1e-9, "{got:?} {want}");
        }
        for (front, top, rear) in [(545.0, 560.0, 560.0), (480.0, 700.0, 600.0)] {
            let (before, after) = (arch(front, top, rear), arch(front, top, rear).trimmed(25.0));
            let (centre, radius) = before.circle().unwrap();
            let (moved, larger) = after.unwrap().circle().unwrap();
            assert!((larger - radius - 25.0).abs() < 1e-9, "{radius} {larger}");
            assert!(centre.iter().zip(moved).all(|(a, b)| (a - b).abs() < 1e-9), "{moved:?}");
        }
    }

    #[test]
    fn an_arch_not_trimmed_is_as_it_was() {
        let arch = arch(545.0, 560.0, 560.0);
        let same = arch.trimmed(0.0).unwrap();
        for (a, b) in [
            (&arch.front_mm, same.front_mm),
            (&arch.top_mm, same.top_mm),
            (&arch.rear_mm, same.rear_mm),
        ] {
            assert!((a.value - b.value).abs() < 1e-9);
        }
    }
}
