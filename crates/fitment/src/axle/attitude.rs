//! What a pose means: every output read off the pose and off how it moves.

mod steered;
mod travel;

pub(crate) use travel::on_side;

use super::{
    line,
    linkage::{Limb, Link, Members},
    model::AxleModel,
    motion::Motions,
    output::{Attitude, Output},
    pose::{Body, Pose},
    real::Real,
    rotation::steer_roll_pitch,
    solve::factored,
    steering::{Gear, Turn, Turned},
    watts,
};
use crate::truck::{End, Side};
use nalgebra::Vector3;
use std::f64::consts::PI;

/// Below this sideways distance between its ends, mm, a bar has no roll centre to speak of.
const UPRIGHT_BAR: f64 = 1.0;

/// All outputs of `model` at `pose`, wheels turned by `steer` on average (rad, left positive).
pub fn attitude(model: &AxleModel<f64>, pose: &Pose<f64>, steer: f64) -> Attitude<f64> {
    attitude_turned(model, pose, Turn::Mean(steer))
}

/// All outputs of `model` at `pose` with the steering asked for.
pub fn attitude_turned(model: &AxleModel<f64>, pose: &Pose<f64>, turn: Turn<f64>) -> Attitude<f64> {
    let motions = factored(model, pose).map(|f| Motions::of(model, &f).0);
    read(model, pose, motions.as_ref(), &Wheels::of(model, pose, turn))
}

/// Only where the axle stands and leans: what a length is set by, many times over.
pub(crate) fn stance_of(model: &AxleModel<f64>, pose: &Pose<f64>) -> Attitude<f64> {
    let mut out = Sheet(Attitude::empty());
    stance(&mut out, model, pose);
    out.0
}

/// All outputs with the inner wheel against its stop, `lock` (rad, positive) from straight ahead: a
/// left turn and a right turn.
pub fn at_lock(model: &AxleModel<f64>, pose: &Pose<f64>, lock: f64) -> [Attitude<f64>; 2] {
    [Turn::Knuckle(Side::Left, lock), Turn::Knuckle(Side::Right, -lock)]
        .map(|turn| attitude_turned(model, pose, turn))
}

/// How the wheels are turned at a pose, and how they would be straight ahead.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wheels<T> {
    /// `None` where the linkage does not get there.
    pub turned: Option<Turned<T>>,
    /// With the road wheels straight on average; `None` where no linkage is known or it does not reach.
    straight: Option<Turned<T>>,
}

impl<T: Real> Wheels<T> {
    /// Both wheels turned alike: where no linkage is known.
    fn alike(turn: &Turn<T>) -> Self {
        let turned = Turned::alike(turn);
        Self { turned: Some(turned), straight: None }
    }
}

impl Wheels<f64> {
    /// Works out both wheels.
    pub fn of(model: &AxleModel<f64>, pose: &Pose<f64>, turn: Turn<f64>) -> Self {
        let Some(gear) = model.gear(pose) else { return Self::alike(&turn) };
        Self { turned: gear.solve(turn), straight: gear.solve(Turn::Straight) }
    }

    /// The same from how they stood at a pose near by.
    pub fn near(model: &AxleModel<f64>, pose: &Pose<f64>, turn: Turn<f64>, near: &Self) -> Self {
        let Some(gear) = model.gear(pose) else { return Self::alike(&turn) };
        let solve = |turn, near: &Option<Turned<f64>>| match near {
            Some(near) => gear.solve_near(turn, near),
            None => gear.solve(turn),
        };
        Self { turned: solve(turn, &near.turned), straight: solve(Turn::Straight, &near.straight) }
    }

    /// The same with the slopes of `model` and `pose`.
    pub fn carry<T: Real>(
        &self,
        model: &AxleModel<T>,
        pose: &Pose<T>,
        turn: Turn<f64>,
    ) -> Wheels<T> {
        let drive = match turn {
            Turn::Mean(steer) => Turn::Mean(T::from(steer)),
            Turn::Pitman(angle) => Turn::Pitman(T::from(angle)),
            Turn::Knuckle(side, steer) => Turn::Knuckle(side, T::from(steer)),
            Turn::Straight => Turn::Straight,
        };
        let Some(gear) = model.gear(pose) else { return Wheels::alike(&drive) };
        Wheels {
            turned: self.turned.as_ref().and_then(|plain| gear.carry(plain, &drive)),
            straight: self.straight.as_ref().and_then(|p| gear.carry(p, &Turn::Straight)),
        }
    }
}

impl AxleModel<f64> {
    /// The drag link's length at a pose, mm, at which the steering wheel stands straight while the
    /// road wheels point straight on average; `None` without a linkage or where it does not reach.
    pub fn straight_drag_length(&self, pose: &Pose<f64>) -> Option<f64> {
        let gear = self.gear(pose)?;
        // Where the wheels stand depends on the tie rod alone; the drag link only turns the box.
        let straight = gear.solve(Turn::Straight)?;
        let (joint, end) = gear.drag_ends(&Turned { pitman: 0.0, ..straight });
        Some((pose.axle.point(&joint) - end).norm())
    }
}

impl<T: Real> AxleModel<T> {
    /// What a turn of the wheels is worked out from; `None` where no steering linkage is known.
    pub(crate) fn gear<'a>(&'a self, pose: &'a Pose<T>) -> Option<Gear<'a, T>> {
        let (Some(axes), Some(linkage)) = (&self.steering, &self.turning) else { return None };
        Some(Gear { axes, linkage, axle: &pose.axle })
    }
}

pub(super) fn degrees<T: Real>(rad: T) -> T {
    rad * (180.0 / PI)
}

/// Collects outputs; a value that is not a number is no answer.
pub(super) struct Sheet<T>(Attitude<T>);

impl<T: Real> Sheet<T> {
    pub(super) fn put(&mut self, output: Output, value: T) {
        if value.re().is_finite() {
            self.0.set(output, value);
        }
    }
}

/// Reads every output.
pub(crate) fn read<T: Real>(
    model: &AxleModel<T>,
    pose: &Pose<T>,
    motions: Option<&Motions<T>>,
    wheels: &Wheels<T>,
) -> Attitude<T> {
    let mut out = Sheet(Attitude::empty());
    let ground = pose.axle.shift.z - model.loaded_radius;
    stance(&mut out, model, pose);
    members(&mut out, model, pose);
    line::driveshaft(&mut out, model, pose);
    if let Some(turned) = &wheels.turned {
        steered::steered(&mut out, model, pose, turned);
        line::hose(&mut out, model, pose, turned);
    }
    if let (Some(gear), Some(straight)) = (model.gear(pose), &wheels.straight) {
        let wheel = straight.pitman * gear.linkage.ratio * gear.sense();
        out.put(Output::SteeringWheel, degrees(wheel));
    }
    if let Some(motions) = motions {
        travel::roll(&mut out, model, pose, &motions.roll, ground);
        travel::heave(&mut out, model, pose, &motions.heave, ground);
        travel::anti(&mut out, model, pose, &motions.heave);
        if let Some(turned) = &wheels.turned {
            steered::bump_steer(&mut out, model, pose, &motions.heave, turned);
        }
    }
    roll_centre(&mut out, model, pose, ground);
    out.0
}

/// Where the axle stands and leans.
fn stance<T: Real>(out: &mut Sheet<T>, model: &AxleModel<T>, pose: &Pose<T>) {
    let (axle_steer, roll, _) = steer_roll_pitch(&pose.axle.turn);
    out.put(Output::LateralShift, pose.axle.shift.y);
    out.put(Output::AxleSteer, degrees(axle_steer));
    out.put(Output::Roll, degrees(roll));

    let upright = || pose.axle.direction(&Vector3::z().map(T::from));
    let caster = |side| {
        let k = model.steering_axis(pose, side).map_or_else(upright, |(_, k)| k);
        degrees((-k.x).atan2(k.z))
    };
    let casters = Side::BOTH.map(caster);
    out.put(Output::Caster, (casters[0] + casters[1]) * 0.5);
    if model.steering.is_some() {
        out.put(Output::CasterLeft, casters[0]);
        out.put(Output::CasterRight, casters[1]);
    }

    let pinion = pose.axle.direction(&model.pinion);
    let level = (pinion.x * pinion.x + pinion.y * pinion.y).sqrt();
    out.put(Output::Pinion, degrees(pinion.z.atan2(level)));

    let longer = if model.end == End::Front { 1.0 } else { -1.0 };
    for (side, output) in
        Side::BOTH.into_iter().zip([Output::WheelbaseLeft, Output::WheelbaseRight])
    {
        out.put(output, pose.axle.point(&model.stock_wheel(side)).x * longer);
    }
}

/// The bar, arms and links.
fn members<T: Real>(out: &mut Sheet<T>, model: &AxleModel<T>, pose: &Pose<T>) {
    if let Some(bar) = &model.fitted.panhard {
        let d = bar.chassis - pose.axle.point(&bar.axle);
        let slope = d.z / across(d.y);
        out.put(Output::Panhard, degrees(d.z.atan2(across(d.y))));
        if d.y.re().abs() > UPRIGHT_BAR {
            out.put(Output::Jacking, slope * 1000.0);
        }
    }
    let side_angle = |(low, high): (Vector3<T>, Vector3<T>)| {
        let d = high - low;
        degrees(d.z.atan2(across(d.x)))
    };
    for (ends, output) in
        lower_members(model, pose).into_iter().zip([Output::ArmLeft, Output::ArmRight])
    {
        out.put(output, side_angle(ends));
    }
    let upper: &[Link<T>] = match &model.fitted.members {
        Members::ThreeLinks([_, _, upper]) => std::slice::from_ref(upper),
        Members::FourLinks([_, _, uppers @ ..]) => uppers,
        Members::Arms(_) | Members::Leaves(_) => &[],
    };
    for (link, output) in upper.iter().zip([Output::UpperLeft, Output::UpperRight]) {
        out.put(output, side_angle((pose.axle.point(&link.axle), link.chassis)));
    }
}

/// How far apart, whichever way round.
fn across<T: Real>(d: T) -> T {
    if d.re() < 0.0 { -d } else { d }
}

/// The height at which the bar's line crosses the centre plane, or what stands for it.
fn roll_centre<T: Real>(out: &mut Sheet<T>, model: &AxleModel<T>, pose: &Pose<T>, ground: T) {
    let height = if let Some(bar) = &model.fitted.panhard {
        let (low, high) = (pose.axle.point(&bar.axle), bar.chassis);
        ((high.y - low.y).re().abs() > UPRIGHT_BAR)
            .then(|| low.z - low.y * (high.z - low.z) / (high.y - low.y))
    } else if let Some(w) = &model.fitted.watts {
        Some(watts::joints(w, &pose.axle, pose.crank)[1].z)
    } else {
        out.0.get(Output::RollCentreKinematic).map(|z| z + ground)
    };
    if let Some(height) = height {
        out.put(Output::RollCentreHeight, height - ground);
    }
}

impl AxleModel<f64> {
    /// The centreline of a side's arm, lower link or leaf spring at a pose, bent where it is, chassis
    /// frame, mm.
    pub fn lower_line(&self, pose: &Pose<f64>, side: Side) -> Vec<Vector3<f64>> {
        let mut line = self.straight_line(pose, side);
        // An arm bends between the chassis eye and what is next to it.
        if let (Some(bend), [.., from, to]) = (&self.bend, line.as_slice()) {
            let off = Vector3::new(bend.x, bend.y * side.sign(), bend.z);
            let middle = (from + to) * 0.5 + off;
            line.insert(line.len() - 1, middle);
        }
        line
    }

    fn straight_line(&self, pose: &Pose<f64>, side: Side) -> Vec<Vector3<f64>> {
        let index = side.index();
        let along = |limbs: &[Limb<f64>], bodies: &[Body<f64>]| {
            let points = limbs.iter().zip(bodies).flat_map(|(limb, body)| {
                let bushes = limb.to_axle.iter().chain([&limb.to_next, &limb.to_chassis]);
                bushes.flatten().map(|bush| body.point(&bush.on_limb))
            });
            points.collect::<Vec<_>>()
        };
        match &self.fitted.members {
            Members::ThreeLinks([left, right, ..]) | Members::FourLinks([left, right, ..]) => {
                let link = if index == 0 { left } else { right };
                vec![pose.axle.point(&link.axle), link.chassis]
            }
            Members::Arms(arms) => along(
                arms.get(index..=index).unwrap_or_default(),
                pose.limbs.get(index..=index).unwrap_or_default(),
            ),
            Members::Leaves(leaves) => {
                // Eye, inner pivots and the other eye: the leaf without its shackle.
                let limbs = leaves.get(index).map_or(&[][..], |leaf| &leaf[..2]);
                let bodies = pose.limbs.get(index * 3..).unwrap_or_default();
                let mut points = along(limbs, bodies);
                if points.len() == 4 {
                    points.swap(0, 1);
                }
                points
            }
        }
    }
}

/// Left and right lower member, axle end then chassis end, chassis frame. A radius arm runs from
/// the middle of its axle bushes to its eye, a leaf spring from its seat's pivot to its fixed eye.
pub(crate) fn lower_members<T: Real>(
    model: &AxleModel<T>,
    pose: &Pose<T>,
) -> [(Vector3<T>, Vector3<T>); 2] {
    let link = |l: &Link<T>| (pose.axle.point(&l.axle), l.chassis);
    // The first limb of a side.
    let limb = |i: usize| {
        let zero = Vector3::from_element(T::from(0.0));
        let (limbs, bodies) = (model.fitted.limbs(), &pose.limbs);
        limbs.get(i).zip(bodies.get(i)).map_or((zero, zero), |(limb, body)| {
            let eye = limb.to_chassis.as_ref().map_or(zero, |eye| eye.on_limb);
            (body.point(&limb.axle_end()), body.point(&eye))
        })
    };
    match &model.fitted.members {
        Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]) => {
            [link(left), link(right)]
        }
        Members::Arms(_) => [limb(0), limb(1)],
        Members::Leaves(_) => [limb(0), limb(3)],
    }
}
