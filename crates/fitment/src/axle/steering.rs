//! The steering linkage: how far each knuckle turns, and what the pitman arm has to do with it.
//!
//! Everything here stands in the axle's own frame, where the knuckles turn about fixed axes and the
//! pitman arm's end comes and goes with the axle. Unknown are the steer of both knuckles and the
//! turn of the pitman arm; the tie rod and the drag link keep their lengths, and the drive says what
//! is asked for. Derivation: Rodrigues' formula and the two length conditions.

use super::{
    linkage::vector,
    members::{mirrored, point},
    model::SteeringAxis,
    pose::Body,
    reader::Reader,
    real::{Real, norm},
};
use crate::truck::{Joins, Shaft, Side, Steering};
use nalgebra::Vector3;

/// The steering linkage as numbers, stock frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteeringLinkage<T> {
    /// The pitman arm's pivot, on the chassis, mm.
    pub pitman: Vector3<T>,
    /// The pitman arm's end with the wheels straight ahead, mm.
    pub pitman_end: Vector3<T>,
    /// Which way the box's output shaft lies.
    pub shaft: Shaft,
    /// The drag link's far joint, mm.
    pub drag_end: Vector3<T>,
    /// What that joint is fixed to.
    pub joins: Joins,
    /// The drag link's length as fitted, mm.
    pub drag_length: T,
    /// Its length as designed, mm.
    pub design_length: T,
    /// The tie rod's left and right joint, mm.
    pub tie: [Vector3<T>; 2],
    /// The tie rod's length, mm.
    pub tie_length: T,
    /// Turns of the steering wheel for one of the pitman arm.
    pub ratio: T,
}

/// What the steering is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Turn<T> {
    /// The mean steer of the two knuckles relative to the axle, rad, left positive.
    Mean(T),
    /// The pitman arm's turn from its stock straight-ahead place, rad.
    Pitman(T),
    /// One knuckle's own steer, rad, left positive: against its stop, say.
    Knuckle(Side, T),
    /// Road wheels that point straight ahead on average, axle steer included.
    Straight,
}

/// How far everything turned, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turned<T> {
    /// Left knuckle about its axis, left positive.
    pub left: T,
    /// Right knuckle.
    pub right: T,
    /// The pitman arm about its shaft: +z, or +y for a shaft across.
    pub pitman: T,
}

impl<T: Real> Turned<T> {
    /// Both knuckles turned by what was asked for of one or of their mean; straight ahead otherwise.
    pub(super) fn alike(turn: &Turn<T>) -> Self {
        let steer = match turn {
            Turn::Mean(steer) | Turn::Knuckle(_, steer) => *steer,
            Turn::Pitman(_) | Turn::Straight => T::from(0.0),
        };
        Self { left: steer, right: steer, pitman: T::from(0.0) }
    }
}

/// Newton steps allowed.
const MAX_STEPS: usize = 25;
/// The furthest a joint may turn in one step, rad: keeps to the assembly it started on.
const MAX_TURN: f64 = 0.3;
/// Steering asked for is approached in steps of this, rad.
const STRIDE: f64 = 0.2;
/// A turn has settled when its last step is under this, rad.
const SETTLED: f64 = 1e-8;
/// No knuckle or pitman arm turns further, rad.
const FURTHEST: f64 = 1.4;

impl<T: Real> SteeringLinkage<T> {
    pub(crate) fn read(s: &Steering, r: &mut Reader) -> Self {
        let (pitman, pitman_end) = r.within("pitman", |r| {
            let pivot = r.within("pivot", |r| point(&s.pitman.pivot, r));
            (pivot, r.within("end", |r| point(&s.pitman.end, r)))
        });
        let drag_end = r.within("drag_link", |r| r.within("end", |r| point(&s.drag_link.end, r)));
        let tie = r.within("tie_rod", |r| {
            let left = r.within("left", |r| point(&s.tie_rod.left, r));
            let right = s
                .tie_rod
                .right
                .as_ref()
                .map_or_else(|| mirrored(&left), |p| r.within("right", |r| point(p, r)));
            [left, right]
        });
        let design_length = norm(&(drag_end - pitman_end));
        Self {
            pitman,
            pitman_end,
            shaft: s.pitman.shaft,
            drag_end,
            joins: s.drag_link.joins,
            drag_length: design_length,
            design_length,
            tie,
            tie_length: norm(&(tie[0] - tie[1])),
            ratio: r.read("ratio", &s.ratio),
        }
    }

    /// Shows every number to `look`.
    pub(crate) fn each(&self, look: &mut impl FnMut(T) -> T) {
        for v in [&self.pitman, &self.pitman_end, &self.drag_end, &self.tie[0], &self.tie[1]] {
            vector(v, look);
        }
        for v in [self.drag_length, self.design_length, self.tie_length, self.ratio] {
            look(v);
        }
    }

    /// The pitman arm's end, chassis frame, mm, and its slope by the arm's turn.
    pub(crate) fn pitman_at(&self, turn: T) -> (Vector3<T>, Vector3<T>) {
        let shaft = match self.shaft {
            Shaft::Upright => Vector3::z(),
            Shaft::Across => Vector3::y(),
        };
        let arm = turned(&(self.pitman_end - self.pitman), &shaft.map(T::from), turn);
        (self.pitman + arm, shaft.map(T::from).cross(&arm))
    }
}

/// `v` turned about the unit axis `k` by `angle` (Rodrigues' formula).
pub(crate) fn turned<T: Real>(v: &Vector3<T>, k: &Vector3<T>, angle: T) -> Vector3<T> {
    let (s, c) = angle.sin_cos();
    turned_by(v, k, s, c)
}

/// The same by an angle's sine and cosine.
pub(crate) fn turned_by<T: Real>(v: &Vector3<T>, k: &Vector3<T>, sine: T, cosine: T) -> Vector3<T> {
    v * cosine + k.cross(v) * sine + k * (k.dot(v) * (T::from(1.0) - cosine))
}

/// A point on a knuckle, axle's frame, and its slope by the knuckle's steer.
fn on_knuckle<T: Real>(
    axis: &SteeringAxis<T>,
    p: &Vector3<T>,
    steer: T,
) -> (Vector3<T>, Vector3<T>) {
    let k = axis.unit();
    let arm = turned(&(p - axis.point), &k, steer);
    (axis.point + arm, k.cross(&arm))
}

impl<T: Real> SteeringAxis<T> {
    /// Its direction, of unit length.
    pub(crate) fn unit(&self) -> Vector3<T> {
        self.direction / norm(&self.direction)
    }
}

/// The two lengths and the drive: what is missed, and the slopes by left, right and pitman.
struct Equations<T> {
    miss: [T; 3],
    slope: [[T; 3]; 3],
    /// Unit vector along the drag link, from the pitman arm's end, axle's frame.
    along_drag: Vector3<T>,
}

/// The knuckles, the linkage and where the axle stands: what a turn is worked out from.
#[derive(Clone, Copy)]
pub(crate) struct Gear<'a, T> {
    pub axes: &'a [SteeringAxis<T>; 2],
    pub linkage: &'a SteeringLinkage<T>,
    pub axle: &'a Body<T>,
}

impl<T: Real> Gear<'_, T> {
    fn equations(&self, at: &Turned<T>, drive: &Turn<T>) -> Equations<T> {
        let o = T::from(0.0);
        let l = self.linkage;
        let ends = self.tie(at);
        let rod = ends[1].0 - ends[0].0;
        let length = norm(&rod);
        let t = rod / length;
        let tie = [-t.dot(&ends[0].1), t.dot(&ends[1].1), o];

        let (joint, by_left, by_right) = self.joint(at);
        let (end, by_pitman) = l.pitman_at(at.pitman);
        let to_axle = self.axle.turn.transpose();
        let drag = joint - to_axle * (end - self.axle.shift);
        let reach = norm(&drag);
        let d = drag / reach;
        let by_drag = [d.dot(&by_left), d.dot(&by_right), -d.dot(&(to_axle * by_pitman))];

        let (want, by_want) = match drive {
            Turn::Mean(steer) => {
                (at.left + at.right - *steer * 2.0, [T::from(1.0), T::from(1.0), o])
            }
            Turn::Pitman(angle) => (at.pitman - *angle, [o, o, T::from(1.0)]),
            Turn::Knuckle(Side::Left, steer) => (at.left - *steer, [T::from(1.0), o, o]),
            Turn::Knuckle(Side::Right, steer) => (at.right - *steer, [o, T::from(1.0), o]),
            Turn::Straight => {
                let left = self.heading(Side::Left, at.left);
                let right = self.heading(Side::Right, at.right);
                (left.0 + right.0, [left.1, right.1, o])
            }
        };
        Equations {
            miss: [length - l.tie_length, reach - l.drag_length, want],
            slope: [tie, by_drag, by_want],
            along_drag: d,
        }
    }

    /// A joint that rides on the tie rod: at its share of the rod, beside it as designed.
    fn on_rod(&self, ends: &[(Vector3<T>, Vector3<T>); 2]) -> (Vector3<T>, Vector3<T>, Vector3<T>) {
        let l = self.linkage;
        let design = Frame::of(&(l.tie[1] - l.tie[0]));
        let offset = l.drag_end - l.tie[0];
        let share = offset.dot(&design.along) / design.length;
        let beside = [offset.dot(&design.up), offset.dot(&design.across)];
        let now = Frame::of(&(ends[1].0 - ends[0].0));
        let side = now.up * beside[0] + now.across * beside[1];
        let joint = ends[0].0 + (ends[1].0 - ends[0].0) * share + side;
        let swing = |d: &Vector3<T>| {
            let (up, across) = now.swing(d);
            up * beside[0] + across * beside[1]
        };
        let by_left = ends[0].1 * (T::from(1.0) - share) + swing(&-ends[0].1);
        let by_right = ends[1].1 * share + swing(&ends[1].1);
        (joint, by_left, by_right)
    }

    /// Where a wheel heads, chassis frame, rad left of forward, and its slope by the knuckle's steer.
    pub fn heading(&self, side: Side, steer: T) -> (T, T) {
        let left = self.left(side, steer);
        let swing = (self.axle.turn * self.axis(side).unit()).cross(&left);
        let level = left.x * left.x + left.y * left.y;
        ((-left.x).atan2(left.y), (left.x * swing.y - left.y * swing.x) / level)
    }

    /// The left end of a wheel's spin axis, chassis frame.
    pub fn left(&self, side: Side, steer: T) -> Vector3<T> {
        let y = Vector3::y().map(T::from);
        self.axle.turn * turned(&y, &self.axis(side).unit(), steer)
    }

    const fn axis(&self, side: Side) -> &SteeringAxis<T> {
        &self.axes[side.index()]
    }

    /// The drag link's ends: its joint, axle's frame, and the pitman arm's end, chassis frame.
    pub fn drag_ends(&self, at: &Turned<T>) -> (Vector3<T>, Vector3<T>) {
        (self.joint(at).0, self.linkage.pitman_at(at.pitman).0)
    }

    /// The tie rod's two ends, axle's frame.
    pub fn tie_ends(&self, at: &Turned<T>) -> [Vector3<T>; 2] {
        self.tie(at).map(|(p, _)| p)
    }

    fn tie(&self, at: &Turned<T>) -> [(Vector3<T>, Vector3<T>); 2] {
        [(0, at.left), (1, at.right)]
            .map(|(i, steer)| on_knuckle(&self.axes[i], &self.linkage.tie[i], steer))
    }

    /// The drag link's joint, axle's frame, and its slopes by the steer of both knuckles.
    fn joint(&self, at: &Turned<T>) -> (Vector3<T>, Vector3<T>, Vector3<T>) {
        let none = Vector3::from_element(T::from(0.0));
        let end = &self.linkage.drag_end;
        match self.linkage.joins {
            Joins::LeftKnuckle => {
                let (p, d) = on_knuckle(&self.axes[0], end, at.left);
                (p, d, none)
            }
            Joins::RightKnuckle => {
                let (p, d) = on_knuckle(&self.axes[1], end, at.right);
                (p, none, d)
            }
            Joins::TieRod => self.on_rod(&self.tie(at)),
        }
    }

    /// How the knuckles turn while the axle moves by the twist (shift, rotation vector) and the pitman
    /// arm stays: left and right, relative to the axle.
    pub fn steer_rates(
        &self,
        at: &Turned<T>,
        shift: &Vector3<T>,
        turn: &Vector3<T>,
    ) -> Option<[T; 2]> {
        let e = self.equations(at, &Turn::Pitman(at.pitman));
        let (end, _) = self.linkage.pitman_at(at.pitman);
        // The arm's end as seen from the moving axle goes the other way.
        let passing = shift + turn.cross(&(end - self.axle.shift));
        let rate = e.along_drag.dot(&(self.axle.turn.transpose() * passing));
        let [[a, b, _], [c, d, _], _] = e.slope;
        let det = a * d - b * c;
        // tie: a·l + b·r = 0; drag: c·l + d·r + rate = 0.
        (det.re() != 0.0).then(|| [b * rate / det, -(a * rate) / det])
    }
}

/// A rod's own directions: along it, up across it, and across both; with its length.
struct Frame<T> {
    along: Vector3<T>,
    up: Vector3<T>,
    across: Vector3<T>,
    length: T,
    lean: T,
}

impl<T: Real> Frame<T> {
    fn of(rod: &Vector3<T>) -> Self {
        let length = norm(rod);
        let along = rod / length;
        let z = Vector3::z().map(T::from);
        let w = z - along * along.z;
        let lean = norm(&w);
        let up = w / lean;
        Self { along, up, across: along.cross(&up), length, lean }
    }

    /// How `up` and `across` swing when the rod's far end moves by `d` relative to its near end.
    fn swing(&self, d: &Vector3<T>) -> (Vector3<T>, Vector3<T>) {
        let along = (d - self.along * self.along.dot(d)) / self.length;
        let w = -(self.along * along.z + along * self.along.z);
        let up = (w - self.up * self.up.dot(&w)) / self.lean;
        (up, along.cross(&self.up) + self.along.cross(&up))
    }
}

impl Gear<'_, f64> {
    /// Solves for what is asked; `None` where the linkage does not reach or locks.
    pub fn solve(&self, drive: Turn<f64>) -> Option<Turned<f64>> {
        let home = Turned { left: 0.0, right: 0.0, pitman: 0.0 };
        let far = match drive {
            Turn::Mean(steer) | Turn::Knuckle(_, steer) => steer,
            Turn::Pitman(_) | Turn::Straight => return self.settle(home, drive),
        };
        // Toward full lock step by step, so as to stay on the assembly the truck has.
        let mut at = home;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 10")]
        let steps = (far.abs() / STRIDE).ceil().clamp(1.0, 10.0) as u32;
        for i in 1..=steps {
            let steer = far * f64::from(i) / f64::from(steps);
            at = match drive {
                Turn::Knuckle(side, _) => self.settle(at, Turn::Knuckle(side, steer))?,
                _ => self.settle(at, Turn::Mean(steer))?,
            };
        }
        Some(at)
    }

    /// The same from how it stood at a pose near by.
    pub fn solve_near(&self, drive: Turn<f64>, near: &Turned<f64>) -> Option<Turned<f64>> {
        match drive {
            Turn::Pitman(_) | Turn::Straight => {
                self.settle(*near, drive).or_else(|| self.solve(drive))
            }
            Turn::Mean(_) | Turn::Knuckle(..) => self.solve(drive),
        }
    }

    fn settle(&self, start: Turned<f64>, drive: Turn<f64>) -> Option<Turned<f64>> {
        let mut at = start;
        for _ in 0..MAX_STEPS {
            let e = self.equations(&at, &drive);
            let step = cramer(&e.slope, &e.miss)?;
            let most = step.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
            if !most.is_finite() {
                return None;
            }
            let by = (MAX_TURN / most.max(1e-300)).min(1.0);
            at.left -= step[0] * by;
            at.right -= step[1] * by;
            at.pitman -= step[2] * by;
            // Steps shrink quadratically: after one this small nothing but rounding is left.
            if most < SETTLED {
                let far = at.left.abs().max(at.right.abs()).max(at.pitman.abs());
                return (far < FURTHEST).then_some(at);
            }
        }
        None
    }
}

impl<T: Real> Gear<'_, T> {
    /// +1 where a left turn turns the pitman arm the positive way, −1 where the other.
    pub fn sense(&self) -> f64 {
        let o = T::from(0.0);
        let home = Turned { left: o, right: o, pitman: o };
        let e = self.equations(&home, &Turn::Mean(o));
        cramer(&e.slope, &[o, o, T::from(2.0)])
            .map_or(1.0, |by_steer| 1.0_f64.copysign(by_steer[2].re()))
    }

    /// Carries a plain solution over to inputs that carry derivatives: one Newton step with the plain
    /// slopes (implicit function theorem).
    pub fn carry(&self, plain: &Turned<f64>, drive: &Turn<T>) -> Option<Turned<T>> {
        let at = Turned {
            left: T::from(plain.left),
            right: T::from(plain.right),
            pitman: T::from(plain.pitman),
        };
        let e = self.equations(&at, drive);
        let slope = e.slope.map(|row| row.map(|v| T::from(v.re())));
        let step = cramer(&slope, &e.miss)?;
        Some(Turned {
            left: at.left - step[0],
            right: at.right - step[1],
            pitman: at.pitman - step[2],
        })
    }
}

/// Cramer's rule; `None` when the matrix is singular.
fn cramer<T: Real>(m: &[[T; 3]; 3], b: &[T; 3]) -> Option<[T; 3]> {
    let column = |j: usize| Vector3::new(m[0][j], m[1][j], m[2][j]);
    let (c0, c1, c2) = (column(0), column(1), column(2));
    let b = Vector3::new(b[0], b[1], b[2]);
    let cross = c1.cross(&c2);
    let det = c0.dot(&cross);
    // The columns carry mm/rad in two rows and plain numbers in one: compare with their own size.
    let size = (norm(&c0) * norm(&c1) * norm(&c2)).re();
    if det.re().is_nan() || det.re().abs() <= 1e-12 * size {
        return None;
    }
    Some([b.dot(&cross) / det, c0.dot(&b.cross(&c2)) / det, c0.dot(&c1.cross(&b)) / det])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Known;
    use crate::{
        axle::{AxleModel, Output, answer, at_lock, solve},
        truck::{Axle, DragLink, End, LayoutKind, Member, Part, Pitman, Point, State, Truck},
    };

    fn point(x: f64, y: f64, z: f64) -> Point {
        Point { x_mm: Known::exact(x), y_mm: Known::exact(y), z_mm: Known::exact(z) }
    }

    fn model(change: impl FnOnce(&mut Axle)) -> AxleModel<f64> {
        let mut axle = Axle::typical(LayoutKind::ThreeLink, End::Front);
        change(&mut axle);
        AxleModel::of(&Truck::with_axle(axle, End::Front), End::Front, State::Stock).unwrap()
    }

    /// Every way a drag link can push, driver left and right, tie rod behind and ahead.
    fn every_linkage() -> Vec<(String, Steering)> {
        let mut all = Vec::new();
        for driver in Side::BOTH {
            let side = driver.sign();
            let cross = Steering::typical(driver);
            let mut near = cross.clone();
            near.pitman = Pitman {
                pivot: point(520.0, 420.0 * side, 150.0),
                end: point(520.0, 420.0 * side, 10.0),
                shaft: Shaft::Across,
            };
            near.drag_link = DragLink {
                end: point(20.0, 480.0 * side, 20.0),
                joins: if driver == Side::Left { Joins::LeftKnuckle } else { Joins::RightKnuckle },
            };
            let mut rod = cross.clone();
            rod.drag_link =
                DragLink { end: point(-150.0, -420.0 * side, 10.0), joins: Joins::TieRod };
            let mut ahead = cross.clone();
            ahead.tie_rod.left = point(150.0, 660.0, -20.0);
            for (name, s) in [("far", cross), ("near", near), ("rod", rod), ("ahead", ahead)] {
                all.push((format!("{name} {driver:?}"), s));
            }
        }
        all
    }

    #[test]
    fn lengths_hold_whatever_is_asked() {
        for (name, steering) in every_linkage() {
            let m = model(|axle| axle.steering = Some(steering));
            let pose = solve(&m, [-60.0, -45.0]).unwrap();
            let gear = m.gear(&pose).unwrap();
            for turn in [
                Turn::Mean(0.4),
                Turn::Mean(-0.4),
                Turn::Straight,
                Turn::Pitman(0.1),
                Turn::Knuckle(Side::Right, -0.5),
            ] {
                let at = gear.solve(turn).unwrap_or_else(|| panic!("{name} {turn:?}"));
                let (joint, end) = gear.drag_ends(&at);
                let drag = (pose.axle.point(&joint) - end).norm();
                let tie = gear.tie_ends(&at);
                let l = gear.linkage;
                assert!((drag - l.drag_length).abs() < 1e-9, "{name} {turn:?} {drag}");
                assert!(((tie[0] - tie[1]).norm() - l.tie_length).abs() < 1e-9, "{name} {turn:?}");
            }
            let straight = gear.solve(Turn::Straight).unwrap();
            let sum = gear.heading(Side::Left, straight.left).0
                + gear.heading(Side::Right, straight.right).0;
            assert!(sum.abs() < 1e-12, "{name} {sum}");
        }
    }

    #[test]
    fn rates_are_the_slopes_of_the_solved_steer() {
        // A second method: the whole solve at neighbouring travels with the pitman arm held.
        for (name, steering) in every_linkage() {
            let m = model(|axle| axle.steering = Some(steering));
            let base = [-60.0, -45.0];
            let held = |d: f64| {
                let pose = solve(&m, base.map(|t| t + d)).unwrap();
                let gear = m.gear(&pose).unwrap();
                let at = gear.solve(Turn::Pitman(0.05)).unwrap_or_else(|| panic!("{name} {d}"));
                [
                    gear.heading(Side::Left, at.left).0.to_degrees(),
                    gear.heading(Side::Right, at.right).0.to_degrees(),
                ]
            };
            let pose = solve(&m, base).unwrap();
            let got = crate::axle::attitude_turned(&m, &pose, Turn::Pitman(0.05));
            let d = 0.5;
            for (i, output) in
                [Output::BumpSteerLeft, Output::BumpSteerRight].into_iter().enumerate()
            {
                let want = 25.0
                    * (held(-2.0 * d)[i] - held(2.0 * d)[i] + 8.0 * (held(d)[i] - held(-d)[i]))
                    / (12.0 * d);
                let Some(got) = got.get(output) else { panic!("{name} {output:?}: {got:?}") };
                assert!((got - want).abs() < 1e-7 * (1.0 + want.abs()), "{name}: {got} {want}");
            }
        }
    }

    #[test]
    fn at_lock_the_inner_wheel_stands_at_its_stop() {
        let m = model(|_| {});
        let pose = solve(&m, [0.0, 0.0]).unwrap();
        let [left, right] = at_lock(&m, &pose, 0.5);
        let get = |a: &crate::axle::Attitude<f64>, o| a.get(o).unwrap();
        // A symmetric tie rod turns left as it turns right; the drag link has no say in it.
        for (a, b) in
            [(Output::SteerLeft, Output::SteerRight), (Output::SteerRight, Output::SteerLeft)]
        {
            assert!((get(&left, a) + get(&right, b)).abs() < 1e-6);
        }
        assert!(get(&left, Output::SteerLeft) > get(&left, Output::SteerRight));
        let circles = [&left, &right].map(|a| get(a, Output::TurningCircle));
        assert!((circles[0] - circles[1]).abs() < 1e-3, "{circles:?}");
        assert!((9_000.0..14_000.0).contains(&circles[0]), "{circles:?}");
    }

    #[test]
    fn the_drag_link_set_straight_centers_the_steering_wheel() {
        let mut truck = Truck::example();
        let before = answer(&truck, End::Front, State::Planned).unwrap();
        let off = before.attitude.get(Output::SteeringWheel).unwrap();
        assert!(off.abs() > 1.0, "{off}");
        let change = before.model.straight_drag_length(&before.pose).unwrap()
            - before.model.turning.unwrap().design_length;
        truck.front.as_mut().unwrap().planned.parts.push(Part::length(
            Member::DragLink,
            change,
            [-50.0, 50.0],
        ));
        let after = answer(&truck, End::Front, State::Planned).unwrap();
        assert!(after.attitude.get(Output::SteeringWheel).unwrap().abs() < 1e-6);
    }

    #[test]
    fn a_linkage_that_cannot_reach_gives_no_answer() {
        let m = model(|axle| {
            // A pitman arm too short to follow the knuckle far.
            let s = axle.steering.as_mut().unwrap();
            s.pitman.pivot = point(200.0, 370.0, 190.0);
        });
        let pose = solve(&m, [0.0, 0.0]).unwrap();
        assert!(m.gear(&pose).unwrap().solve(Turn::Mean(0.6)).is_none());
        assert_eq!(crate::axle::attitude(&m, &pose, 0.6).get(Output::TrailLeft), None);
    }
}
