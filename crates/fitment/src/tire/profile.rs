//! The tire as a solid of revolution: a cylinder whose two edges are rounded to one radius.

/// A rounded cylinder about the wheel's axis, centred on the rim's centreline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Profile {
    /// Largest radius, at the tread, mm.
    pub radius_mm: f64,
    /// Half the largest width, mm.
    pub half_width_mm: f64,
    /// Radius of the rounded edge, mm; at most the smaller of the other two.
    pub shoulder_radius_mm: f64,
}

impl Profile {
    /// Radius of the solid at a distance from its centre plane, mm; `None` beyond its width.
    ///
    /// ```
    /// use fitment::tire::Profile;
    /// let tire = Profile { radius_mm: 400.0, half_width_mm: 130.0, shoulder_radius_mm: 50.0 };
    /// assert_eq!(tire.radius_at(0.0), Some(400.0));
    /// // 30 mm into the shoulder: 350 + √(50² − 30²) = 390
    /// assert_eq!(tire.radius_at(110.0), Some(390.0));
    /// assert_eq!(tire.radius_at(131.0), None);
    /// ```
    pub fn radius_at(&self, from_centre_mm: f64) -> Option<f64> {
        let y = from_centre_mm.abs();
        if y > self.half_width_mm || y.is_nan() {
            return None;
        }
        let into = y - (self.half_width_mm - self.shoulder_radius_mm);
        if into <= 0.0 {
            return Some(self.radius_mm);
        }
        let rise = self.shoulder_radius_mm.mul_add(self.shoulder_radius_mm, -into * into);
        Some(self.radius_mm - self.shoulder_radius_mm + rise.max(0.0).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_solid_narrows_outward_and_is_its_own_mirror(
            radius in 250.0..550.0_f64, half in 60.0..220.0_f64, share in 0.0..1.0_f64, y in 0.0..1.0_f64,
        ) {
            let solid = Profile { radius_mm: radius, half_width_mm: half, shoulder_radius_mm: share * half };
            let inner = solid.radius_at(y * half).unwrap();
            prop_assert!(solid.radius_at(half).unwrap() <= inner + 1e-9 && inner <= radius);
            prop_assert_eq!(solid.radius_at(-y * half), Some(inner));
        }
    }
}
