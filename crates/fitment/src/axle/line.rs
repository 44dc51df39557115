//! The driveshaft and the brake hose as numbers, and what the axle's pose does to them.

use super::{
    attitude::{Sheet, degrees},
    linkage::vector,
    members::point,
    model::AxleModel,
    output::Output,
    pose::Pose,
    reader::Reader,
    real::{Real, norm},
    steering::Turned,
};
use crate::truck::{Driveline, End, Hose, Mount, ShaftKind, Side};
use nalgebra::Vector3;

/// The driveshaft, stock frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriveLine<T> {
    /// Middle of the joint at the transfer case, mm.
    pub case: Vector3<T>,
    /// Unit direction of the case's output, toward the axle.
    pub output: Vector3<T>,
    /// True with a double-Cardan joint at the case.
    pub double: bool,
    /// From joint to joint with the truck stock, mm.
    pub stock_length: T,
    /// How much longer than stock the shaft is, mm.
    pub longer: T,
    /// How far the splines can still slide in and out with the truck stock, mm.
    pub slip: [Option<T>; 2],
}

/// The left brake hose, stock frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BrakeLine<T> {
    /// On the frame, mm.
    pub frame: Vector3<T>,
    /// At the axle or knuckle, mm.
    pub wheel: Vector3<T>,
    /// True when that end turns with the knuckle.
    pub on_knuckle: bool,
    /// Along it, mm.
    pub length: T,
}

impl<T: Real> DriveLine<T> {
    pub(super) fn read(line: &Driveline, flange: &Vector3<T>, end: End, r: &mut Reader) -> Self {
        let case = r.within("case", |r| point(&line.case, r));
        let slope = r.read_deg::<T>("case_slope_deg", &line.case_slope_deg);
        let plan = line.case_plan_deg.as_ref();
        let plan = plan.map_or(T::from(0.0), |k| r.read_deg("case_plan_deg", k));
        // The front axle lies ahead of the case, the rear one behind it.
        let ahead = if end == End::Front { 1.0 } else { -1.0 };
        let level = slope.cos();
        let output = Vector3::new(level * plan.cos() * ahead, level * plan.sin(), -slope.sin());
        let slip_in = line.slip_in_mm.as_ref().map(|k| r.read("slip_in_mm", k));
        let slip_out = line.slip_out_mm.as_ref().map(|k| r.read("slip_out_mm", k));
        Self {
            case,
            output,
            double: line.shaft == ShaftKind::DoubleCardan,
            stock_length: norm(&(flange - case)),
            longer: T::from(0.0),
            slip: [slip_in, slip_out],
        }
    }

    /// Shows every number to `look`.
    pub(super) fn each(&self, look: &mut impl FnMut(T) -> T) {
        vector(&self.case, look);
        vector(&self.output, look);
        for v in [self.stock_length, self.longer].into_iter().chain(self.slip.into_iter().flatten())
        {
            look(v);
        }
    }
}

impl<T: Real> BrakeLine<T> {
    pub(super) fn read(hose: &Hose, r: &mut Reader) -> Self {
        Self {
            frame: r.within("frame_end", |r| point(&hose.frame_end, r)),
            wheel: r.within("wheel_end", |r| point(&hose.wheel_end, r)),
            on_knuckle: hose.on == Mount::Knuckle,
            length: r.read("length_mm", &hose.length_mm),
        }
    }

    /// Shows every number to `look`.
    pub(super) fn each(&self, look: &mut impl FnMut(T) -> T) {
        vector(&self.frame, look);
        vector(&self.wheel, look);
        look(self.length);
    }
}

impl<T: Real> AxleModel<T> {
    /// A side's brake hose at a pose, its knuckle turned by `steer`, rad: its end on the frame and the
    /// one at the wheel, mm.
    pub(crate) fn hose_ends(
        &self,
        pose: &Pose<T>,
        side: Side,
        steer: T,
    ) -> Option<[Vector3<T>; 2]> {
        let hose = self.hose.as_ref()?;
        let mirrored = |v: &Vector3<T>| Vector3::new(v.x, v.y * side.sign(), v.z);
        let carrier = if hose.on_knuckle { self.knuckle(pose, side, steer) } else { pose.axle };
        Some([mirrored(&hose.frame), carrier.point(&mirrored(&hose.wheel))])
    }

    /// Middle of the driveshaft's joint at the axle, stock frame, mm.
    pub(crate) fn pinion_joint(&self) -> Vector3<T> {
        self.pinion + Vector3::new(T::from(0.0), self.pinion_y, T::from(0.0))
    }
}

impl AxleModel<f64> {
    /// The pinion angle at which the pinion points at the case's joint, so that the joint at the axle
    /// runs straight, degrees; `None` without a driveshaft. Across, no turn of the axle helps it.
    pub(crate) fn pinion_along_shaft(&self, pose: &Pose<f64>) -> Option<f64> {
        // Where the pinion's axis passes the axle's middle: it turns about there.
        let from = pose.axle.point(&Vector3::new(0.0, self.pinion_y, 0.0));
        let way = self.driveline.as_ref()?.case - from;
        Some(way.z.atan2(way.x.abs()).to_degrees())
    }
}

/// Angle between two directions, rad.
fn between<T: Real>(a: &Vector3<T>, b: &Vector3<T>) -> T {
    let across = a.cross(b);
    let square = across.dot(&across);
    // Parallel shafts have no slope to give.
    if square.re() <= 0.0 { T::from(0.0) } else { square.sqrt().atan2(a.dot(b)) }
}

/// Joint angles, and what is left of the slip.
pub(super) fn driveshaft<T: Real>(out: &mut Sheet<T>, model: &AxleModel<T>, pose: &Pose<T>) {
    let Some(line) = &model.driveline else { return };
    let shaft = pose.axle.point(&model.pinion_joint()) - line.case;
    let into_axle = -pose.axle.direction(&model.pinion);
    let mut case = between(&line.output, &shaft);
    let axle = between(&shaft, &into_axle);
    let apart = case - axle;
    let open = match (line.double, apart.re() < 0.0) {
        (true, _) => axle,
        (false, true) => -apart,
        (false, false) => apart,
    };
    if line.double {
        // Its two halves share the angle and cancel each other.
        case *= 0.5;
    }
    out.put(Output::JointCase, degrees(case));
    out.put(Output::JointAxle, degrees(axle));
    out.put(Output::JointOpen, degrees(open));
    let pulled = norm(&shaft) - line.stock_length - line.longer;
    let [slip_in, slip_out] = line.slip;
    if let Some(slip) = slip_in {
        out.put(Output::SlipIn, slip + pulled);
    }
    if let Some(slip) = slip_out {
        out.put(Output::SlipOut, slip - pulled);
    }
}

/// What the hose is longer than the straight line between its ends, on the side where that is less.
pub(super) fn hose<T: Real>(
    out: &mut Sheet<T>,
    model: &AxleModel<T>,
    pose: &Pose<T>,
    turned: &Turned<T>,
) {
    let Some(hose) = &model.hose else { return };
    let slack = |side, steer| {
        let [frame, wheel] = model.hose_ends(pose, side, steer)?;
        Some(hose.length - norm(&(wheel - frame)))
    };
    let both = (slack(Side::Left, turned.left), slack(Side::Right, turned.right));
    if let (Some(left), Some(right)) = both {
        out.put(Output::HoseSlack, if left.re() < right.re() { left } else { right });
    }
}
