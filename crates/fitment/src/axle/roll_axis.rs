//! The truck's roll axis: the line through the roll centres of both axles.

use super::{Answer, Output};

/// The roll axis with the truck at rest in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RollAxis {
    /// Front roll centre above ground, mm.
    pub front_mm: f64,
    /// Rear roll centre above ground, mm.
    pub rear_mm: f64,
    /// How the axis lies, deg: positive when it rises toward the rear.
    pub inclination_deg: f64,
    /// One standard deviation of the inclination, deg.
    pub sigma_deg: f64,
}

/// The roll axis of a truck whose two axles stand as answered; `None` where either has no roll
/// centre.
///
/// Source: the axis through both roll centres, ISO 8855:2011; Gillespie, Fundamentals of Vehicle
/// Dynamics, ch. 7 (value from memory). The axles' inputs count as independent of each other.
pub fn roll_axis(front: &Answer, rear: &Answer) -> Option<RollAxis> {
    let height = |a: &Answer| {
        let output = Output::RollCentreHeight;
        Some((a.attitude.get(output)?, a.sigma.get(output)?))
    };
    let ((front_mm, front_sigma), (rear_mm, rear_sigma)) = (height(front)?, height(rear)?);
    let between = |a: &Answer| a.pose.axle.shift.x;
    let length = front.model.around.wheelbase + between(front) - between(rear);
    let rise = rear_mm - front_mm;
    // d atan(rise / length) = length / (length² + rise²) for each millimetre of rise.
    let slope = length / (length * length + rise * rise);
    Some(RollAxis {
        front_mm,
        rear_mm,
        inclination_deg: rise.atan2(length).to_degrees(),
        sigma_deg: (slope * front_sigma.hypot(rear_sigma)).to_degrees(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::answer,
        truck::{End, State, Truck},
    };

    #[test]
    fn the_axis_rises_toward_the_higher_roll_centre() {
        let truck = Truck::example();
        let at = |end| answer(&truck, end, State::Stock).unwrap();
        let (front, rear) = (at(End::Front), at(End::Rear));
        let axis = roll_axis(&front, &rear).unwrap();
        // Tangent by hand: rise over the stock wheelbase.
        let want = ((axis.rear_mm - axis.front_mm) / 2600.0).atan().to_degrees();
        assert!((axis.inclination_deg - want).abs() < 1e-9, "{axis:?}");
        assert!(axis.sigma_deg > 0.0 && axis.sigma_deg < 3.0, "{axis:?}");
        let mirror = roll_axis(&rear, &front).unwrap();
        assert!((mirror.inclination_deg + want).abs() < 1e-9, "{mirror:?}");
    }
}
