//! Where the tires and arms are: the solved axle seen from the clearance side.

use super::domain::Domain;
use super::solid::{PosedTire, TireSolid};
use super::survey::Survey;
use crate::axle::{
    AxleModel, Body, Members, Pose, Spindle, Step, Travel, Turn, Unreachable, factored, motion,
    reached_between, reached_near, solve, solve_near, solve_next,
};
use crate::truck::Side;
use nalgebra::Vector3;

/// One axle in one state, and the domain it moves in.
#[derive(Debug, Clone)]
pub(super) struct Motion {
    pub model: AxleModel<f64>,
    pub solid: TireSolid,
    pub domain: Domain,
    /// The axle farther forward by this than the truck has it, mm.
    pub forward: f64,
    /// How the left and the right wheel are carried.
    spindles: [Spindle<f64>; 2],
    /// Its poses, where they can be read off.
    survey: Option<Survey>,
}

/// The axle with its wheels at two travels: solved once, used for every steer and both sides.
#[derive(Debug, Clone)]
pub(super) struct Station {
    /// Travel of the left and the right wheel, mm.
    pub travel: Travel,
    pub pose: Pose<f64>,
    /// Centreline of the left and the right arm or lower link, point by point, mm.
    arms: [Line; 2],
}

/// Most points of an arm's centreline: a leaf spring's.
const POINTS: usize = 4;

/// A centreline, point by point.
#[derive(Debug, Clone, Copy)]
struct Line {
    points: [Vector3<f64>; POINTS],
    count: usize,
}

impl Line {
    fn of(from: &[Vector3<f64>]) -> Self {
        let mut points = [Vector3::zeros(); POINTS];
        let mut count = 0;
        for (to, from) in points.iter_mut().zip(from) {
            *to = *from;
            count += 1;
        }
        Self { points, count }
    }
}

impl Station {
    /// A side's arm at a station, by its centreline's points.
    pub fn arm(&self, side: Side) -> &[Vector3<f64>] {
        let Line { points, count } = &self.arms[side.index()];
        points.get(..*count).unwrap_or_default()
    }
}

/// One tire at one position, with everything that moves as it stands there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place<'a> {
    pub motion: &'a Motion,
    pub station: &'a Station,
    pub side: Side,
    /// Steer of this wheel about its own axis, rad, left positive.
    pub steer: f64,
    pub tire: PosedTire,
}

impl<'a> Place<'a> {
    /// A side's tire at a station, its wheel turned by `steer`, rad.
    pub fn of(motion: &'a Motion, station: &'a Station, side: Side, steer: f64) -> Self {
        Self::turned(motion, station, side, (steer, steer.sin_cos()))
    }

    /// The same where the steer's sine and cosine are known.
    pub fn turned(
        motion: &'a Motion,
        station: &'a Station,
        side: Side,
        (steer, turn): (f64, (f64, f64)),
    ) -> Self {
        let [centre, axis] = motion.spindles[side.index()].at(&station.pose.axle, turn);
        Self { motion, station, side, steer, tire: motion.solid.at(centre, axis) }
    }

    /// The same place with another tire there.
    pub const fn with(self, tire: PosedTire) -> Self {
        Self { tire, ..self }
    }

    /// The axle, from its stock position.
    pub const fn axle(&self) -> &'a Body<f64> {
        &self.station.pose.axle
    }

    /// The knuckle, from its stock straight-ahead position.
    pub fn knuckle(&self) -> Body<f64> {
        self.motion.model.knuckle(&self.station.pose, self.side, self.steer)
    }

    /// This side's arm or lower link, by its centreline's points.
    pub fn arm(&self) -> &'a [Vector3<f64>] {
        self.station.arm(self.side)
    }
}

impl Motion {
    /// Of an axle and its tires, farther forward by so many mm.
    pub fn new(model: AxleModel<f64>, solid: TireSolid, domain: Domain, forward: f64) -> Self {
        let spindles = Side::BOTH.map(|side| model.spindle(side));
        Self { model, solid, domain, forward, spindles, survey: None }
    }

    /// Makes all of its poses ready to read off, where that can be: for whoever asks for hundreds.
    pub fn survey(&mut self) {
        self.survey = Survey::of(&self.model, [self.domain.droop_mm, self.domain.bump_mm]);
    }

    /// The axle at two travels read off, where that can be, to within [`read_off_mm`](Self::read_off_mm).
    pub fn station_read(&self, travel: Travel) -> Option<Station> {
        Some(self.standing(travel, self.survey.as_ref()?.pose(travel)?))
    }

    /// How far stations that are read off may be off, mm.
    pub fn read_off_mm(&self) -> f64 {
        self.survey.as_ref().map_or(0.0, Survey::off_mm)
    }

    /// About how many positions of a map take as long as one station that is not asked for exactly.
    pub const fn station_cost(&self) -> usize {
        if self.survey.is_some() { 1 } else { self.pose_cost() }
    }

    /// The axle at two travels, from a solved pose near by if there is one.
    pub fn station(
        &self,
        travel: Travel,
        near: Option<&Pose<f64>>,
    ) -> Result<Station, Unreachable> {
        let pose = match near {
            Some(near) => solve_near(&self.model, travel, &self.backward(near))?,
            None => solve(&self.model, travel)?,
        };
        Ok(self.standing(travel, pose))
    }

    /// The same where nobody asks why there is none: sooner known.
    pub fn station_near(&self, travel: Travel, near: &Pose<f64>) -> Option<Station> {
        let pose = reached_near(&self.model, travel, &self.backward(near))?;
        Some(self.standing(travel, pose))
    }

    /// The axle at the next of evenly spaced travels, from the last three, the last one first.
    pub fn station_next(
        &self,
        travel: Travel,
        last: [&Pose<f64>; 3],
    ) -> Result<Station, Unreachable> {
        let [a, b, c] = last.map(|pose| self.backward(pose));
        Ok(self.standing(travel, solve_next(&self.model, travel, [&a, &b, &c])?))
    }

    /// The axle at travels half-way between two that it was solved at, if it gets there.
    pub fn station_between(&self, travel: Travel, ends: [&Pose<f64>; 2]) -> Option<Station> {
        let [a, b] = ends.map(|pose| self.backward(pose));
        Some(self.standing(travel, reached_between(&self.model, travel, [&a, &b])?))
    }

    /// How everything moves from a station for each wheel's travel; `None` where some motion is free.
    pub fn heading(&self, station: &Station) -> Option<[Step; 2]> {
        let matrix = factored(&self.model, &self.backward(&station.pose))?;
        Some([[1.0, 0.0], [0.0, 1.0]].map(|travel| motion(&self.model, &matrix, travel)))
    }

    /// About how the axle stands at travels near by, straight on as it is heading from a station.
    pub fn station_about(&self, travel: Travel, from: &Station, heading: &[Step; 2]) -> Station {
        let limbs = self.model.fitted.limbs().len();
        let mut pose = self.backward(&from.pose);
        let mut on = Step::none();
        for ((step, to), from) in heading.iter().zip(travel).zip(from.travel) {
            on.add(step, limbs, to - from);
        }
        pose.advance(&on, limbs, 1.0);
        self.standing(travel, pose)
    }

    /// A station's pose before the axle was moved forward.
    fn backward(&self, pose: &Pose<f64>) -> Pose<f64> {
        let mut pose = *pose;
        pose.axle.shift.x -= self.forward;
        pose
    }

    fn standing(&self, travel: Travel, mut pose: Pose<f64>) -> Station {
        let mut arms = Side::BOTH.map(|side| Line::of(&self.model.lower_line(&pose, side)));
        pose.axle.shift.x += self.forward;
        // The arm's end at the axle goes along; a leaf spring stays where its eyes are.
        let leaves = matches!(self.model.fitted.members, Members::Leaves(_));
        for arm in arms.iter_mut().filter(|_| !leaves) {
            let moved = arm.count.saturating_sub(1);
            for point in arm.points.iter_mut().take(moved) {
                point.x += self.forward;
            }
        }
        Station { travel, pose, arms }
    }

    /// About how many positions of a map take as long as one pose: on rubber, limb by limb, longer.
    pub const fn pose_cost(&self) -> usize {
        match self.model.fitted.members {
            Members::ThreeLinks(_) | Members::FourLinks(_) => 1,
            Members::Arms(_) => 6,
            Members::Leaves(_) => 20,
        }
    }

    /// Left and right wheel travel, mm, with one side's wheel at `travel`.
    pub fn travels(&self, side: Side, travel: f64, crossed: f64) -> Travel {
        side.pair(travel, self.domain.other_mm(travel, crossed))
    }

    /// The inner wheel's steer, rad, when a side's wheel is turned by `steer`: where it is the outer
    /// one, the tie rod says how much farther the other is turned.
    pub fn lock_of(&self, side: Side, steer: f64) -> f64 {
        let inner = (steer >= 0.0) == (side == Side::Left);
        let other = || {
            let home = Pose::home();
            let turned = self.model.gear(&home)?.solve(Turn::Knuckle(side, steer))?;
            Some([turned.right, turned.left][side.index()])
        };
        if inner { steer.abs() } else { other().unwrap_or(steer).abs().max(steer.abs()) }
    }

    /// How many straight pieces a side's arm has.
    pub fn arm_pieces(&self, side: Side) -> usize {
        self.model.lower_line(&Pose::home(), side).len().saturating_sub(1)
    }

    /// How far a wheel's centre lies from its own steering axis, mm; 0 where it does not steer.
    pub fn swing(&self, side: Side) -> f64 {
        let Some(axes) = &self.model.steering else { return 0.0 };
        let axis = &axes[side.index()];
        let hub = Vector3::new(0.0, side.sign() * self.model.wheel_y, 0.0);
        (hub - axis.point).cross(&axis.unit()).norm()
    }
}
