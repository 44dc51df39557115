//! Where on the map a finger stands, and how that reads.

use crate::words;
use buildfile::Units;

/// A place on the map: from full right (0) to full left (1), from full droop (0) to full bump (1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Along the steering.
    pub across: f64,
    /// Along the travel.
    pub up: f64,
}

impl Spot {
    /// Moved by shares of the map, and kept on it.
    #[must_use]
    pub fn moved(self, across: f64, up: f64) -> Self {
        Self { across: (self.across + across).clamp(0.0, 1.0), up: (self.up + up).clamp(0.0, 1.0) }
    }
}

/// The value so far along a rising axis; 0 on an empty one.
pub fn value_at(axis: &[f64], share: f64) -> f64 {
    let last = axis.len().saturating_sub(1);
    let place = share.clamp(0.0, 1.0) * last as f64;
    // Within the axis by the clamp above.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let below = place.floor() as usize;
    let low = axis.get(below).copied().unwrap_or_default();
    let high = axis.get(below + 1).copied().unwrap_or(low);
    low + (high - low) * (place - below as f64)
}

/// How far along a rising axis a value lies; the middle of one that has a single value.
pub fn share_of(axis: &[f64], value: f64) -> f64 {
    let last = axis.len().saturating_sub(1);
    if last == 0 {
        return 0.5;
    }
    let above = axis.iter().position(|at| *at >= value).unwrap_or(last).max(1);
    let (low, high) = (axis[above - 1], axis[above]);
    let within = if high > low { ((value - low) / (high - low)).clamp(0.0, 1.0) } else { 0.0 };
    ((above - 1) as f64 + within) / last as f64
}

/// At which steer and travel, in words.
pub fn place(steer_rad: f64, travel_mm: f64, units: Units) -> String {
    let steer = steer_rad.to_degrees();
    let turned = match steer {
        s if s > 0.5 => format!("{s:.0}° left"),
        s if s < -0.5 => format!("{:.0}° right", -s),
        _ => "straight ahead".into(),
    };
    let up = match travel_mm {
        t if t > 0.5 => format!("{} up", words::length(t, units)),
        t if t < -0.5 => format!("{} down", words::length(-t, units)),
        _ => "at stock height".into(),
    };
    format!("{turned}, wheel {up}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_reads_both_ways() {
        // Uneven, as a wheel's is that turns further one way.
        let axis = [-30.0, -15.0, 0.0, 20.0, 40.0];
        for (share, value) in [(0.0, -30.0), (0.125, -22.5), (0.5, 0.0), (0.625, 10.0), (1.0, 40.0)]
        {
            assert!((value_at(&axis, share) - value).abs() < 1e-12, "{share}");
            assert!((share_of(&axis, value) - share).abs() < 1e-12, "{value}");
        }
        assert!((share_of(&axis, 99.0) - 1.0).abs() < 1e-12);
        assert!(share_of(&axis, -99.0).abs() < 1e-12);
        // An axle that does not steer has one column.
        assert!((share_of(&[0.0], 0.0) - 0.5).abs() < 1e-12);
        assert!(value_at(&[0.0], 0.5).abs() < 1e-12);
        assert!(value_at(&[], 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_spot_stays_on_the_map() {
        let spot = Spot { across: 0.9, up: 0.1 }.moved(0.3, -0.3);
        assert!((spot.across - 1.0).abs() < 1e-12 && spot.up.abs() < 1e-12, "{spot:?}");
    }
}
