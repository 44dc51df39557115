//! Following a path point by point: where the next point must be, from how the last ones moved.

use super::{
    pose::{Pose, Step},
    solve::Travel,
};

/// How many points back the prediction looks.
const MEMORY: usize = 3;

/// How a path went so far.
pub(crate) struct Track {
    /// The last point.
    pub pose: Pose<f64>,
    travel: Travel,
    /// How everything moved there for each wheel's travel; the points before it behind.
    motions: [[Step; 2]; MEMORY],
    points: usize,
}

impl Track {
    /// A path's first point.
    pub fn begin(pose: &Pose<f64>, travel: Travel, motion: &[Step; 2]) -> Self {
        Self { pose: *pose, travel, motions: [*motion; MEMORY], points: 1 }
    }

    /// Another point.
    pub fn go(&mut self, pose: &Pose<f64>, travel: Travel, motion: &[Step; 2]) {
        self.motions.rotate_right(1);
        self.motions[0] = *motion;
        self.pose = *pose;
        self.travel = travel;
        self.points = MEMORY.min(self.points + 1);
    }

    /// About where the point at `travel` is. The formulas of Adams and Bashforth take the points as
    /// evenly spaced; where they are not, the prediction is only less good.
    pub fn ahead(&self, travel: Travel, limbs: usize) -> Pose<f64> {
        let shares: &[f64] = match self.points {
            1 => &[1.0],
            2 => &[1.5, -0.5],
            _ => &[23.0 / 12.0, -16.0 / 12.0, 5.0 / 12.0],
        };
        let mut ahead = Step::none();
        for (motion, share) in self.motions.iter().zip(shares) {
            for wheel in [0, 1] {
                let by = share * (travel[wheel] - self.travel[wheel]);
                if by != 0.0 {
                    ahead.add(&motion[wheel], limbs, by);
                }
            }
        }
        let mut pose = self.pose;
        pose.advance(&ahead, limbs, 1.0);
        pose
    }
}
