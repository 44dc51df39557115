//! Where the tires and arms are: the solved axle seen from the clearance side.

use super::domain::Domain;
use super::solid::{PosedTire, TireSolid};
use crate::axle::{AxleModel, Pose, Travel, Unreachable, solve, solve_near};
use crate::truck::Side;
use nalgebra::Vector3;

/// One axle in one state, and the domain it moves in.
#[derive(Debug, Clone)]
pub(super) struct Motion {
    pub model: AxleModel<f64>,
    pub solid: TireSolid,
    pub domain: Domain,
}

/// The axle at one travel of one wheel, crossed up so far: solved once, used for every steer.
#[derive(Debug, Clone)]
pub(super) struct Station {
    pub side: Side,
    /// Travel of this side's wheel, mm.
    pub travel: f64,
    pub crossed: f64,
    pub pose: Pose<f64>,
    /// Centreline of this side's arm or lower link, point by point, mm.
    pub arm: Vec<Vector3<f64>>,
}

impl Motion {
    /// The axle at one travel, from a solved pose near by if there is one.
    pub fn station(
        &self,
        side: Side,
        travel: f64,
        crossed: f64,
        near: Option<&Pose<f64>>,
    ) -> Result<Station, Unreachable> {
        let travels = self.travels(side, travel, crossed);
        let pose = match near {
            Some(near) => solve_near(&self.model, travels, near)?,
            None => solve(&self.model, travels)?,
        };
        Ok(self.posed(side, travel, crossed, &pose))
    }

    /// A station whose pose is solved already.
    pub fn posed(&self, side: Side, travel: f64, crossed: f64, pose: &Pose<f64>) -> Station {
        Station { side, travel, crossed, pose: *pose, arm: self.arm(pose, side) }
    }

    /// Left and right wheel travel, mm, with one side's wheel at `travel`.
    pub fn travels(&self, side: Side, travel: f64, crossed: f64) -> Travel {
        let other = self.domain.other_mm(travel, crossed);
        match side {
            Side::Left => [travel, other],
            Side::Right => [other, travel],
        }
    }

    /// The tire of a station's side at a steer angle, rad; its axis points outboard.
    pub fn tire(&self, station: &Station, steer: f64) -> PosedTire {
        let wheel = self.model.wheel(&station.pose, station.side, steer);
        self.solid.at(wheel.centre, wheel.outboard)
    }

    fn arm(&self, pose: &Pose<f64>, side: Side) -> Vec<Vector3<f64>> {
        self.model.lower_line(pose, side)
    }
}
