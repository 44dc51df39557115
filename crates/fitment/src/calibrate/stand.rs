//! What each kind of measurement reads on an axle as it stands: exact, and for any [`Real`], so that
//! dual numbers give its slopes.
//!
//! Three frames meet here. The chassis is where the pose is solved. The floor runs through both
//! tires' contacts and leans against the chassis by the frame's rake. Plumb lines and gauges follow
//! gravity, against which the floor slopes.

use super::{
    kind::{Kind, Member, STRING_MM, Spot},
    log::Standing,
};
use crate::{
    axle::{AxleModel, Members, Pose, Real, Turned, lower_members},
    measure::Known,
    truck::{Axle, End, Side},
};
use nalgebra::Vector3;
use std::f64::consts::PI;

/// What a steer is moved by to see how the heading follows, rad.
const STEP: f64 = 1e-6;
/// Degrees per radian.
const DEG: f64 = 180.0 / PI;

/// What else a reading hangs on besides the axle: how the truck stood, and where on it the tape was
/// held. Names, then numbers in the same order.
pub(super) const AROUND: [&str; 10] = [
    "rake_deg",
    "floor_along_deg",
    "floor_across_deg",
    "arch_mm",
    "rail_gap_mm",
    "camber_left_deg",
    "camber_right_deg",
    "toe_deg",
    "other_axle_left_mm",
    "other_axle_right_mm",
];

/// What is known of each of [`AROUND`] before anything is read; spreads are common practice, no
/// source, where nobody looked.
pub(super) fn around(standing: &Standing, axle: &Axle, other: [Known; 2]) -> [Known; 10] {
    let or = |known: &Option<Known>, sigma| known.clone().unwrap_or(Known::assumed(0.0, sigma));
    let arch = axle.surroundings.arch.as_ref().map(|arch| arch.top_mm.clone());
    let [left, right] = other;
    [
        or(&standing.rake_deg, 0.7),
        or(&standing.floor_along_deg, 0.5),
        or(&standing.floor_across_deg, 0.5),
        arch.unwrap_or(Known::assumed(560.0, 80.0)),
        Known::assumed(300.0, 150.0),
        // Bent or worn: what is built into housings and hubs.
        Known::assumed(0.0, 0.3),
        Known::assumed(0.0, 0.3),
        Known::assumed(0.0, 0.3),
        left,
        right,
    ]
}

/// An axle as it stands, with what its readings hang on.
pub(super) struct Stand<'a, T> {
    model: &'a AxleModel<T>,
    pose: &'a Pose<T>,
    /// How the knuckles stand with the wheels straight ahead.
    turned: Turned<T>,
    around: [T; 10],
    floor: Axes<T>,
    plumb: Axes<T>,
    /// The middle between both contacts.
    ground: Vector3<T>,
}

/// How far ahead of the wheel's middle its tread meets a tape at hub height or so far above the floor, mm;
/// `None` where the tire does not reach.
pub(super) fn toe_reach<T: Real>(model: &AxleModel<T>, height_mm: Option<f64>) -> Option<T> {
    let radius = model.around.tire_diameter * 0.5;
    let Some(height) = height_mm else { return Some(radius) };
    let off = model.loaded_radius - height;
    let square = radius * radius - off * off;
    (square.re() > 0.0).then(|| square.sqrt())
}

/// Forward, left and up, of unit length, in the chassis frame.
struct Axes<T> {
    forward: Vector3<T>,
    left: Vector3<T>,
    up: Vector3<T>,
}

impl<T: Real> Axes<T> {
    /// Level axes under an upward direction, ahead as near `forward` as level allows.
    fn under(up: Vector3<T>, forward: &Vector3<T>) -> Self {
        let up = unit(&up);
        let forward = unit(&(forward - up * up.dot(forward)));
        let left = up.cross(&forward);
        Self { forward, left, up }
    }
}

fn unit<T: Real>(v: &Vector3<T>) -> Vector3<T> {
    v / v.dot(v).sqrt()
}

/// Rotating parts straight ahead where no linkage says how they stand.
pub(super) fn straight<T: Real>(turned: Option<Turned<T>>) -> Turned<T> {
    let zero = T::from(0.0);
    turned.unwrap_or(Turned { left: zero, right: zero, pitman: zero })
}

impl<'a, T: Real> Stand<'a, T> {
    pub fn of(
        model: &'a AxleModel<T>,
        pose: &'a Pose<T>,
        turned: Turned<T>,
        around: [T; 10],
    ) -> Self {
        let zero = T::from(0.0);
        let contact = Side::BOTH.map(|side| model.wheel(pose, side, zero).contact);
        let [rake, along, across, ..] = around.map(|v| v * (PI / 180.0));
        let forward = Vector3::new(rake.cos(), zero, rake.sin());
        let floor = Axes::under(forward.cross(&(contact[0] - contact[1])), &forward);
        // Gravity's up leans the way the floor rises.
        let (a, b) = (along.sin(), across.sin());
        let rest = (T::from(1.0) - a * a - b * b).sqrt();
        let up = floor.up * rest + floor.forward * a + floor.left * b;
        let plumb = Axes::under(up, &floor.forward);
        let ground = (contact[0] + contact[1]) * T::from(0.5);
        Self { model, pose, turned, around, floor, plumb, ground }
    }

    /// What a measurement reads, mm or degrees; `None` where this axle has no such thing.
    pub fn read(&self, kind: Kind) -> Option<T> {
        let value = match kind {
            Kind::Length(member) => self.length(member)?,
            Kind::Rise(member) => {
                let (low, high) = self.rise_ends(member)?;
                (high - low).dot(&self.plumb.up)
            }
            Kind::Angle(member) => self.elevation(&self.along(member)?),
            Kind::Height(spot) => (self.spot(spot)? - self.ground).dot(&self.floor.up),
            Kind::Ahead(spot) => {
                let p = self.spot(spot)?;
                let zero = T::from(0.0);
                // The axle's centerline beside the point.
                let axle = self.pose.axle.point(&Vector3::new(zero, p.y, zero));
                (p - axle).dot(&self.floor.forward)
            }
            Kind::Left(spot) => self.spot(spot)?.y,
            Kind::Tape(from, to) => {
                let d = self.spot(to)? - self.spot(from)?;
                d.dot(&d).sqrt()
            }
            Kind::Arch(side) => self.around[3] - self.wheel_centre(side).z,
            Kind::Rail(side) => {
                let moved = self.wheel_centre(side).y - self.model.wheel_y * side.sign();
                self.around[4] + moved * side.sign()
            }
            Kind::String(side) => self.outward(side).tan() * STRING_MM,
            Kind::Wheelbase(side) => {
                let longer = if self.model.end == End::Front { 1.0 } else { -1.0 };
                let stock = self.model.stock_wheel(side);
                let own = self.pose.axle.point(&stock).x * longer;
                self.model.around.wheelbase + own + self.around[8 + side.index()]
            }
            Kind::Caster(side) => {
                let (_, k) = self.model.steering_axis(self.pose, side)?;
                (-k.dot(&self.plumb.forward)).atan2(k.dot(&self.plumb.up)) * DEG
            }
            Kind::Inclination(side) => {
                let (_, k) = self.model.steering_axis(self.pose, side)?;
                let inward = -k.dot(&self.plumb.left) * side.sign();
                inward.atan2(k.dot(&self.plumb.up)) * DEG
            }
            Kind::Camber(side) => self.camber(side, self.straight_steer(side)),
            Kind::Turned { side, steer_deg } => {
                self.model.steering.as_ref()?;
                self.camber(side, self.steer_for(side, steer_deg / DEG)?)
            }
            Kind::Toe { height_mm } => self.toe(height_mm)?,
            // A gauge on the frame reads its rake and the floor's slope together.
            Kind::Frame => -self.elevation(&Vector3::x().map(T::from)),
            Kind::FloorAlong => self.around[1],
            Kind::FloorAcross => self.around[2],
        };
        value.re().is_finite().then_some(value)
    }

    /// Where a tape, a plumb line or a gauge is held for it: from, to.
    pub fn held(&self, kind: Kind) -> Option<[Vector3<T>; 2]> {
        let zero = T::from(0.0);
        let under = |p: Vector3<T>| p - self.floor.up * (p - self.ground).dot(&self.floor.up);
        Some(match kind {
            Kind::Rise(member) => self.rise_ends(member)?.into(),
            Kind::Angle(Member::Pinion) => {
                let axle = Vector3::new(zero, self.model.pinion_y, zero);
                [self.pose.axle.point(&axle), self.spot(Spot::Flange)?]
            }
            Kind::Length(member) | Kind::Angle(member) => self.ends(member)?.into(),
            Kind::Height(spot) => [under(self.spot(spot)?), self.spot(spot)?],
            Kind::Ahead(spot) => {
                let p = self.spot(spot)?;
                [self.pose.axle.point(&Vector3::new(zero, p.y, zero)), p]
            }
            Kind::Left(spot) => {
                let p = self.spot(spot)?;
                [Vector3::new(p.x, zero, p.z), p]
            }
            Kind::Tape(from, to) => [self.spot(from)?, self.spot(to)?],
            Kind::Arch(side) => {
                let hub = self.wheel_centre(side);
                [hub, Vector3::new(hub.x, hub.y, self.around[3])]
            }
            Kind::Rail(side) => {
                let hub = self.wheel_centre(side);
                let gap = self.read(kind)? * side.sign();
                [Vector3::new(hub.x, hub.y - gap, hub.z), hub]
            }
            Kind::String(side) => {
                let hub = self.wheel_centre(side);
                let aside = self.read(kind)? * (0.5 * side.sign());
                let half = Vector3::new(T::from(0.5 * STRING_MM), aside, zero);
                [hub - half, hub + half]
            }
            Kind::Wheelbase(side) => {
                let hub = self.wheel_centre(side);
                let away = if self.model.end == End::Front { -1.0 } else { 1.0 };
                // As far as the paper reaches: the other axle is off it.
                [under(hub) + self.floor.forward * T::from(away * 400.0), under(hub)]
            }
            Kind::Caster(side) | Kind::Inclination(side) => {
                let (low, k) = self.model.steering_axis(self.pose, side)?;
                [low, low + k * T::from(200.0)]
            }
            Kind::Camber(side) | Kind::Turned { side, .. } => {
                let hub = self.wheel_centre(side);
                [hub, hub + self.floor.up * T::from(300.0)]
            }
            Kind::Toe { .. } => {
                let [l, r] = Side::BOTH.map(|side| self.wheel_centre(side));
                [l, r].map(|p| p + self.floor.forward * (self.model.around.tire_diameter * 0.5))
            }
            // Anywhere along the rail.
            Kind::Frame => return None,
            Kind::FloorAlong => {
                let reach = self.floor.forward * T::from(400.0);
                [self.ground - reach, self.ground + reach]
            }
            Kind::FloorAcross => Side::BOTH.map(|side| under(self.wheel_centre(side))),
        })
    }

    /// Degrees above level.
    fn elevation(&self, d: &Vector3<T>) -> T {
        let up = d.dot(&self.plumb.up);
        let level = (d.dot(d) - up * up).sqrt();
        up.atan2(level) * DEG
    }

    fn wheel_centre(&self, side: Side) -> Vector3<T> {
        self.model.wheel(self.pose, side, self.straight_steer(side)).centre
    }

    const fn straight_steer(&self, side: Side) -> T {
        match side {
            Side::Left => self.turned.left,
            Side::Right => self.turned.right,
        }
    }

    /// A link's two pivots where they stand, axle end first.
    fn ends(&self, member: Member) -> Option<(Vector3<T>, Vector3<T>)> {
        let fitted = &self.model.fitted;
        let link = |l: &crate::axle::Link<T>| (self.pose.axle.point(&l.axle), l.chassis);
        match member {
            Member::Panhard => fitted.panhard.as_ref().map(link),
            Member::ArmLeft => Some(lower_members(self.model, self.pose)[0]),
            Member::ArmRight => Some(lower_members(self.model, self.pose)[1]),
            Member::UpperLeft | Member::UpperRight => {
                let right = member == Member::UpperRight;
                match &fitted.members {
                    Members::ThreeLinks([.., upper]) if !right => Some(link(upper)),
                    Members::FourLinks([.., left, own]) => {
                        Some(link(if right { own } else { left }))
                    }
                    _ => None,
                }
            }
            Member::DragLink => {
                let gear = self.model.gear(self.pose)?;
                let (joint, end) = gear.drag_ends(&self.turned);
                Some((self.pose.axle.point(&joint), end))
            }
            Member::Pinion => None,
        }
    }

    /// Along a member, toward its chassis end or flange.
    fn along(&self, member: Member) -> Option<Vector3<T>> {
        if member == Member::Pinion {
            return Some(self.pose.axle.direction(&self.model.pinion));
        }
        let (low, high) = self.ends(member)?;
        Some(high - low)
    }

    /// The ends whose heights are compared: of a radius arm, the axle's centerline and the eye.
    fn rise_ends(&self, member: Member) -> Option<(Vector3<T>, Vector3<T>)> {
        let (low, high) = self.ends(member)?;
        Some(match (&self.model.fitted.members, member) {
            (Members::Arms(_), Member::ArmLeft | Member::ArmRight) => {
                let zero = T::from(0.0);
                (self.pose.axle.point(&Vector3::new(zero, high.y, zero)), high)
            }
            (Members::Leaves(_), Member::ArmLeft | Member::ArmRight) => return None,
            _ => (low, high),
        })
    }

    fn length(&self, member: Member) -> Option<T> {
        match (&self.model.fitted.members, member) {
            (Members::Arms([left, right]), Member::ArmLeft | Member::ArmRight) => {
                let arm = if member == Member::ArmLeft { left } else { right };
                let eye = arm.to_chassis.as_ref()?.on_limb;
                Some((eye.x * eye.x + eye.z * eye.z).sqrt())
            }
            (Members::Leaves(_), Member::ArmLeft | Member::ArmRight) => None,
            _ => {
                let (low, high) = self.ends(member)?;
                let d = high - low;
                Some(d.dot(&d).sqrt())
            }
        }
    }

    /// Where a point stands, chassis frame.
    fn spot(&self, spot: Spot) -> Option<Vector3<T>> {
        let low = |member| self.ends(member).map(|(low, _)| low);
        let high = |member| self.ends(member).map(|(_, high)| high);
        match spot {
            Spot::PanhardAxle => low(Member::Panhard),
            Spot::PanhardChassis => high(Member::Panhard),
            Spot::ArmAxleLeft => low(Member::ArmLeft),
            Spot::ArmAxleRight => low(Member::ArmRight),
            Spot::ArmChassisLeft => high(Member::ArmLeft),
            Spot::ArmChassisRight => high(Member::ArmRight),
            Spot::UpperAxleLeft => low(Member::UpperLeft),
            Spot::UpperAxleRight => low(Member::UpperRight),
            Spot::UpperChassisLeft => high(Member::UpperLeft),
            Spot::UpperChassisRight => high(Member::UpperRight),
            Spot::DragEnd => low(Member::DragLink),
            Spot::PitmanEnd => high(Member::DragLink),
            Spot::HubLeft => Some(self.wheel_centre(Side::Left)),
            Spot::HubRight => Some(self.wheel_centre(Side::Right)),
            Spot::Flange => {
                let m = self.model;
                let flange = m.pinion + Vector3::new(T::from(0.0), m.pinion_y, T::from(0.0));
                Some(self.pose.axle.point(&flange))
            }
        }
    }

    /// The left end of a wheel's spin axis with its built-in camber, turned by its knuckle.
    fn spin(&self, side: Side, steer: T) -> Vector3<T> {
        let (s, c) = (self.around[5 + side.index()] * (PI / 180.0)).sin_cos();
        // Top outward is the spindle's outer end down.
        let left = Vector3::new(T::from(0.0), c, -s * side.sign());
        self.model.knuckle(self.pose, side, steer).direction(&left)
    }

    /// Degrees, top outward positive.
    fn camber(&self, side: Side, steer: T) -> T {
        let up = self.spin(side, steer).dot(&self.plumb.up) * side.sign();
        -up.atan2((T::from(1.0) - up * up).sqrt()) * DEG
    }

    /// Where a wheel heads over the floor, rad left of straight ahead.
    fn heading(&self, side: Side, steer: T) -> T {
        let left = self.spin(side, steer);
        (-left.dot(&self.floor.forward)).atan2(left.dot(&self.floor.left))
    }

    /// How far a wheel that is straight ahead heads outward, rad: less what toe-in is built into it.
    fn outward(&self, side: Side) -> T {
        self.heading(side, self.straight_steer(side)) * side.sign() - self.around[7] * (PI / 360.0)
    }

    /// The knuckle's steer that turns its wheel by `turn` (rad, left positive) from straight ahead.
    fn steer_for(&self, side: Side, turn: f64) -> Option<T> {
        let aim = self.heading(side, self.straight_steer(side)) + turn;
        let mut steer = self.straight_steer(side) + turn;
        // Heading grows with steer by nearly 1: a secant's slope settles value and derivatives alike.
        for _ in 0..5 {
            let here = self.heading(side, steer);
            let slope = (self.heading(side, steer + STEP).re() - here.re()) / STEP;
            let miss = (here - aim) / slope;
            steer -= miss;
            if !steer.re().is_finite() {
                return None;
            }
        }
        Some(steer)
    }

    /// Rear distance less front distance between two scribed lines, mm.
    fn toe(&self, height_mm: Option<f64>) -> Option<T> {
        self.model.steering.as_ref()?;
        let reach = toe_reach(self.model, height_mm)?;
        let toe = |side: Side| -self.outward(side).sin();
        Some(reach * (toe(Side::Left) + toe(Side::Right)) * 2.0)
    }
}
