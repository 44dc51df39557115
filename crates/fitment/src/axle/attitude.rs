//! What a pose means: the outputs people ask for, each with its key, unit and sign.

use super::{
    linkage::{Link, Members},
    model::AxleModel,
    pose::Pose,
    real::Real,
    rotation::steer_roll_pitch,
};
use crate::truck::{End, Side};
use nalgebra::Vector3;

/// One output of a pose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Output {
    /// Axle centre left of its stock place, mm.
    LateralShift,
    /// Axle turned left, deg.
    AxleSteer,
    /// Left wheel up, deg.
    Roll,
    /// Mean caster of the two steering axes, deg; on an axle that does not steer, how far its top
    /// leans rearward of stock.
    Caster,
    /// Left caster, deg.
    CasterLeft,
    /// Right caster, deg.
    CasterRight,
    /// Elevation of the direction from the axle to the pinion flange, deg.
    Pinion,
    /// Panhard bar against horizontal in front view, chassis end higher positive, deg.
    Panhard,
    /// Height above ground at which the bar's line crosses the chassis centre plane, mm.
    RollCentreHeight,
    /// Left wheel centre: growth of the wheelbase, mm.
    WheelbaseLeft,
    /// Right wheel centre: growth of the wheelbase, mm.
    WheelbaseRight,
    /// Left mechanical trail, mm.
    TrailLeft,
    /// Right mechanical trail, mm.
    TrailRight,
    /// Left scrub radius, mm.
    ScrubLeft,
    /// Right scrub radius, mm.
    ScrubRight,
    /// Left arm or lower link against horizontal in side view, chassis end higher positive, deg.
    ArmLeft,
    /// Right arm or lower link, deg.
    ArmRight,
}

/// The unit of an output.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Degrees.
    Deg,
}

impl Output {
    /// How many there are.
    pub const COUNT: usize = 17;

    /// All outputs, in reading order.
    pub const ALL: [Self; Self::COUNT] = [
        Self::LateralShift,
        Self::AxleSteer,
        Self::Roll,
        Self::Caster,
        Self::CasterLeft,
        Self::CasterRight,
        Self::Pinion,
        Self::Panhard,
        Self::RollCentreHeight,
        Self::WheelbaseLeft,
        Self::WheelbaseRight,
        Self::TrailLeft,
        Self::TrailRight,
        Self::ScrubLeft,
        Self::ScrubRight,
        Self::ArmLeft,
        Self::ArmRight,
    ];

    /// Name in files, with its unit.
    pub const fn key(self) -> &'static str {
        match self {
            Self::LateralShift => "lateral_shift_mm",
            Self::AxleSteer => "axle_steer_deg",
            Self::Roll => "roll_deg",
            Self::Caster => "caster_deg",
            Self::CasterLeft => "caster_left_deg",
            Self::CasterRight => "caster_right_deg",
            Self::Pinion => "pinion_deg",
            Self::Panhard => "panhard_deg",
            Self::RollCentreHeight => "roll_centre_height_mm",
            Self::WheelbaseLeft => "wheelbase_change_left_mm",
            Self::WheelbaseRight => "wheelbase_change_right_mm",
            Self::TrailLeft => "trail_left_mm",
            Self::TrailRight => "trail_right_mm",
            Self::ScrubLeft => "scrub_radius_left_mm",
            Self::ScrubRight => "scrub_radius_right_mm",
            Self::ArmLeft => "arm_left_deg",
            Self::ArmRight => "arm_right_deg",
        }
    }

    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Self::LateralShift => "Axle to the left",
            Self::AxleSteer => "Axle steer",
            Self::Roll => "Roll",
            Self::Caster => "Caster",
            Self::CasterLeft => "Caster, left",
            Self::CasterRight => "Caster, right",
            Self::Pinion => "Pinion angle",
            Self::Panhard => "Panhard angle",
            Self::RollCentreHeight => "Roll centre height",
            Self::WheelbaseLeft => "Wheelbase change, left",
            Self::WheelbaseRight => "Wheelbase change, right",
            Self::TrailLeft => "Trail, left",
            Self::TrailRight => "Trail, right",
            Self::ScrubLeft => "Scrub radius, left",
            Self::ScrubRight => "Scrub radius, right",
            Self::ArmLeft => "Arm angle, left",
            Self::ArmRight => "Arm angle, right",
        }
    }

    /// Its unit.
    pub const fn unit(self) -> Unit {
        match self {
            Self::LateralShift
            | Self::RollCentreHeight
            | Self::WheelbaseLeft
            | Self::WheelbaseRight
            | Self::TrailLeft
            | Self::TrailRight
            | Self::ScrubLeft
            | Self::ScrubRight => Unit::Mm,
            _ => Unit::Deg,
        }
    }
}

/// All outputs at one pose; `None` where an output has no meaning there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attitude<T>([Option<T>; Output::COUNT]);

impl<T: Copy> Attitude<T> {
    /// One output, in its own unit (mm or degrees).
    pub const fn get(&self, output: Output) -> Option<T> {
        self.0[output as usize]
    }

    /// The outputs mapped one by one.
    pub fn map<U>(&self, f: impl FnMut(Option<T>) -> Option<U>) -> Attitude<U> {
        Attitude(self.0.map(f))
    }
}

/// Below this sideways distance between its ends, mm, a bar has no roll centre to speak of.
const UPRIGHT_BAR: f64 = 1.0;

/// All outputs of `model` at `pose`, wheels turned by `steer` (rad, left positive).
pub fn attitude<T: Real>(model: &AxleModel<T>, pose: &Pose<T>, steer: f64) -> Attitude<T> {
    let deg = |rad: T| rad * (180.0 / std::f64::consts::PI);
    let mut out = Attitude([None; Output::COUNT]);
    let mut put = |output: Output, value: T| {
        // A value that is not a number is no answer.
        out.0[output as usize] = value.re().is_finite().then_some(value);
    };

    let (axle_steer, roll, _) = steer_roll_pitch(&pose.axle.turn);
    put(Output::LateralShift, pose.axle.shift.y);
    put(Output::AxleSteer, deg(axle_steer));
    put(Output::Roll, deg(roll));

    let upright = || pose.axle.direction(&Vector3::new(T::from(0.0), T::from(0.0), T::from(1.0)));
    let caster = |side| {
        let k = model.steering_axis(pose, side).map_or_else(upright, |(_, k)| k);
        deg((-k.x).atan2(k.z))
    };
    let casters = Side::BOTH.map(caster);
    put(Output::Caster, (casters[0] + casters[1]) * 0.5);
    if model.steering.is_some() {
        put(Output::CasterLeft, casters[0]);
        put(Output::CasterRight, casters[1]);
    }

    let pinion = pose.axle.direction(&model.pinion);
    let level = (pinion.x * pinion.x + pinion.y * pinion.y).sqrt();
    put(Output::Pinion, deg(pinion.z.atan2(level)));

    let bar = &model.fitted.panhard;
    let (low, high) = (pose.axle.point(&bar.axle), bar.chassis);
    put(Output::Panhard, deg((high.z - low.z).atan2((high.y - low.y).abs())));
    if (high.y - low.y).re().abs() > UPRIGHT_BAR {
        let crossing = low.z - low.y * (high.z - low.z) / (high.y - low.y);
        let ground = pose.axle.shift.z - model.loaded_radius;
        put(Output::RollCentreHeight, crossing - ground);
    }

    let longer = if model.end == End::Front { 1.0 } else { -1.0 };
    for (side, output) in
        Side::BOTH.into_iter().zip([Output::WheelbaseLeft, Output::WheelbaseRight])
    {
        put(output, pose.axle.point(&model.stock_wheel(side)).x * longer);
    }

    for (side, (trail, scrub)) in Side::BOTH
        .into_iter()
        .zip([(Output::TrailLeft, Output::ScrubLeft), (Output::TrailRight, Output::ScrubRight)])
    {
        if let Some(offsets) = model.ground_offsets(pose, side, steer) {
            put(trail, offsets.trail);
            put(scrub, offsets.scrub);
        }
    }

    for (ends, output) in
        lower_members(model, pose).into_iter().zip([Output::ArmLeft, Output::ArmRight])
    {
        let d = ends.1 - ends.0;
        put(output, deg(d.z.atan2(d.x.abs())));
    }
    out
}

/// Left and right lower member, axle end then chassis end, chassis frame. A radius arm runs from
/// the middle of its axle bushes to its eye.
pub(crate) fn lower_members<T: Real>(
    model: &AxleModel<T>,
    pose: &Pose<T>,
) -> [(Vector3<T>, Vector3<T>); 2] {
    let link = |l: &Link<T>| (pose.axle.point(&l.axle), l.chassis);
    match &model.fitted.members {
        Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]) => {
            [link(left), link(right)]
        }
        Members::Arms(arms) => {
            let bodies = pose.arms.unwrap_or([pose.axle; 2]);
            [0, 1].map(|i| {
                let (arm, body) = (&arms[i], &bodies[i]);
                let middle = (arm.far.on_arm + arm.near.on_arm) * T::from(0.5);
                (body.point(&middle), body.point(&arm.eye.on_arm))
            })
        }
    }
}

/// Length of the Panhard bar as fitted, mm.
pub fn panhard_length<T: Real>(model: &AxleModel<T>) -> T {
    model.fitted.panhard.length
}
