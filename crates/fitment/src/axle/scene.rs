//! What a drawing shows: the solved axle and its surroundings as named points in the chassis
//! frame (axle's stock origin), mm. A view drops one coordinate; nothing is computed there.

use super::{
    attitude::{Wheels, on_side},
    linkage::{Link, Members},
    model::AxleModel,
    output::{Attitude, Output},
    pose::Pose,
    scene_things::things,
    steering::{Turn, Turned},
    watts,
    wheel::WheelPose,
};
use crate::{
    tire::TireDims,
    truck::{Axle, Side, Surroundings},
};
use nalgebra::Vector3;
use std::f64::consts::TAU;

/// What a scene item depicts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// The tire's outer shape.
    Tire,
    /// The rim's two edges.
    Rim,
    /// Axle tube from wheel to wheel.
    AxleTube,
    /// A link.
    Link,
    /// A radius arm.
    Arm,
    /// A leaf spring: eye, seat, eye.
    LeafSpring,
    /// A leaf spring's shackle.
    Shackle,
    /// The Panhard bar.
    Panhard,
    /// A Watts linkage: far end, crank joint, pivot, crank joint, far end.
    Watts,
    /// The pitman arm.
    PitmanArm,
    /// The drag link.
    DragLink,
    /// The tie rod.
    TieRod,
    /// A coil spring, seat to seat.
    Spring,
    /// A shock, eye to eye.
    Shock,
    /// Axle centreline to pinion flange.
    Pinion,
    /// Driveshaft, joint to joint.
    Driveshaft,
    /// A brake hose, straight from end to end.
    Hose,
    /// Steering axis, down to the ground.
    SteeringAxis,
    /// Frame rail.
    Rail,
    /// Wheel arch.
    Arch,
    /// Ground line under both wheels.
    Ground,
    /// What else stands beside the wheels: its place in the list.
    Thing(u8),
    /// Chassis centre plane's line, ground to rail height.
    CentrePlane,
    /// Roll centre.
    RollCentre,
    /// Instant centre of both wheels' travel, side view.
    InstantCentre,
}

/// How an item's points make its shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Form {
    /// Joined one after the other.
    Line,
    /// Joined, and the last to the first.
    Loop,
    /// The outline around all of them, whatever the view.
    Hull,
    /// Marks.
    Dots,
}

/// One thing to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct SceneItem {
    /// What it is.
    pub kind: Kind,
    /// Which side it belongs to, where it has one.
    pub side: Option<Side>,
    /// How the points make its shape.
    pub form: Form,
    /// Points, mm: forward, left, up.
    pub points: Vec<[f64; 3]>,
}

/// Points on a full circle.
pub(super) const ROUND: u32 = 40;

/// Everything to draw of one axle at a pose, the steering turned as asked, with the outputs that
/// were worked out there.
#[inline]
pub fn scene(
    axle: &Axle,
    model: &AxleModel<f64>,
    tire: &TireDims,
    pose: &Pose<f64>,
    turn: Turn<f64>,
    outputs: &Attitude<f64>,
) -> Vec<SceneItem> {
    scene_beside(axle, model, tire, pose, turn, outputs, None)
}

/// One tire and its rim, the wheel turned by `steer`, rad.
#[inline]
pub fn wheel_scene(
    model: &AxleModel<f64>,
    tire: &TireDims,
    pose: &Pose<f64>,
    side: Side,
    steer: f64,
) -> Vec<SceneItem> {
    let mut items = Vec::new();
    let mut put = |kind, side, form, points: Vec<Vector3<f64>>| {
        items.push(item(kind, side, form, &points));
    };
    draw_wheel(side, &model.wheel(pose, side, steer), tire, &mut put);
    items
}

/// [`scene`], and where one side alone is asked for, nothing that belongs to the other.
#[inline]
pub fn scene_beside(
    axle: &Axle,
    model: &AxleModel<f64>,
    tire: &TireDims,
    pose: &Pose<f64>,
    turn: Turn<f64>,
    outputs: &Attitude<f64>,
    only: Option<Side>,
) -> Vec<SceneItem> {
    let wanted = |side: Side| only.is_none_or(|only| only == side);
    let mut items = Vec::new();
    let mut put = |kind, side: Option<Side>, form, points: Vec<Vector3<f64>>| {
        if side.is_none_or(wanted) {
            items.push(item(kind, side, form, &points));
        }
    };

    surroundings(&axle.surroundings, &mut put);
    // Where the linkage locks before it gets there, both wheels are drawn turned alike.
    let linked = Wheels::of(model, pose, turn).turned;
    let turned = linked.unwrap_or_else(|| Turned::alike(&turn));
    let wheels =
        [model.wheel(pose, Side::Left, turned.left), model.wheel(pose, Side::Right, turned.right)];
    things(axle, model, pose, &turned, &wheels, &mut put);
    let low = wheels[0].contact.z.min(wheels[1].contact.z);
    put(Kind::Ground, None, Form::Line, {
        let reach = 1.15;
        let (l, r) = (wheels[0].contact, wheels[1].contact);
        let middle = (l + r) * 0.5;
        vec![middle + (l - middle) * reach, middle + (r - middle) * reach]
    });
    put(
        Kind::CentrePlane,
        None,
        Form::Line,
        vec![Vector3::new(0.0, 0.0, low), Vector3::new(0.0, 0.0, 300.0)],
    );

    for (side, wheel) in Side::BOTH.into_iter().zip(&wheels).filter(|(side, _)| wanted(*side)) {
        draw_wheel(side, wheel, tire, &mut put);
        if let Some((point, k)) = model.steering_axis(pose, side) {
            let at = |z: f64| point + k * ((z - point.z) / k.z);
            put(
                Kind::SteeringAxis,
                Some(side),
                Form::Line,
                vec![at(wheel.contact.z), at(point.z + 160.0)],
            );
        }
    }

    let hub =
        |side: Side| pose.axle.point(&Vector3::new(0.0, model.stock_wheel_y * side.sign(), 0.0));
    put(Kind::AxleTube, None, Form::Line, vec![hub(Side::Left), hub(Side::Right)]);
    let root = Vector3::new(0.0, model.pinion_y, 0.0);
    put(
        Kind::Pinion,
        None,
        Form::Line,
        vec![pose.axle.point(&root), pose.axle.point(&(root + model.pinion))],
    );

    members(model, pose, &mut put);
    if let Some(gear) = model.gear(pose).filter(|_| linked.is_some()) {
        let (joint, end) = gear.drag_ends(&turned);
        let tie = gear.tie_ends(&turned).map(|p| pose.axle.point(&p));
        put(Kind::TieRod, None, Form::Line, tie.to_vec());
        put(Kind::DragLink, None, Form::Line, vec![pose.axle.point(&joint), end]);
        put(Kind::PitmanArm, None, Form::Line, vec![end, gear.linkage.pitman]);
    }
    if let Some(line) = &model.driveline {
        let joint = pose.axle.point(&model.pinion_joint());
        put(Kind::Driveshaft, None, Form::Line, vec![line.case, joint]);
    }
    for (side, steer) in [(Side::Left, turned.left), (Side::Right, turned.right)] {
        if let Some([frame, wheel]) = model.hose_ends(pose, side, steer) {
            put(Kind::Hose, Some(side), Form::Line, vec![frame, wheel]);
        }
    }
    for (mount, kind) in [(&model.spring, Kind::Spring), (&model.shock, Kind::Shock)] {
        for side in Side::BOTH.into_iter().filter(|_| mount.is_some()) {
            let Some(mount) = mount else { continue };
            let (axle, chassis) = on_side(mount, side);
            put(kind, Some(side), Form::Line, vec![pose.axle.point(&axle), chassis]);
        }
    }
    centres(model, pose, outputs, &mut put);
    items
}

// Once in the page, not once for each kind.
#[inline(never)]
fn item(kind: Kind, side: Option<Side>, form: Form, points: &[Vector3<f64>]) -> SceneItem {
    let points = points.iter().map(|p| [p.x, p.y, p.z]).collect();
    SceneItem { kind, side, form, points }
}

/// Adds an item.
pub(super) type Put<'a> = dyn FnMut(Kind, Option<Side>, Form, Vec<Vector3<f64>>) + 'a;

/// What locates the axle.
#[inline]
fn members(model: &AxleModel<f64>, pose: &Pose<f64>, put: &mut Put<'_>) {
    let mut link = |l: &Link<f64>, kind, side| {
        put(kind, side, Form::Line, vec![pose.axle.point(&l.axle), l.chassis]);
    };
    let fitted = &model.fitted;
    if let Some(bar) = &fitted.panhard {
        link(bar, Kind::Panhard, None);
    }
    let lower = match &fitted.members {
        Members::ThreeLinks(_) | Members::FourLinks(_) => Some(Kind::Link),
        Members::Arms(_) => Some(Kind::Arm),
        Members::Leaves(_) => None,
    };
    match &fitted.members {
        Members::ThreeLinks([.., upper]) => link(upper, Kind::Link, None),
        Members::FourLinks([.., left, right]) => {
            link(left, Kind::Link, Some(Side::Left));
            link(right, Kind::Link, Some(Side::Right));
        }
        Members::Arms(_) => {}
        Members::Leaves(leaves) => {
            for ((leaf, bodies), side) in
                leaves.iter().zip(pose.limbs.as_chunks::<3>().0).zip(Side::BOTH)
            {
                let [fixed, hung, shackle] = leaf;
                let at = |i: usize, bush: &Option<super::Bush<f64>>| {
                    bush.as_ref().map(|bush| bodies[i].point(&bush.on_limb))
                };
                let spring = [
                    at(0, &fixed.to_chassis),
                    at(0, &fixed.to_axle[0]),
                    at(1, &hung.to_axle[0]),
                    at(1, &hung.to_next),
                ];
                put(
                    Kind::LeafSpring,
                    Some(side),
                    Form::Line,
                    spring.into_iter().flatten().collect(),
                );
                let plate = [at(1, &hung.to_next), at(2, &shackle.to_chassis)];
                put(Kind::Shackle, Some(side), Form::Line, plate.into_iter().flatten().collect());
            }
        }
    }
    if let Some(kind) = lower {
        for side in Side::BOTH {
            put(kind, Some(side), Form::Line, model.lower_line(pose, side));
        }
    }
    if let Some(w) = &fitted.watts {
        let [left, pivot, right] = watts::joints(w, &pose.axle, pose.crank);
        let far = w
            .links
            .each_ref()
            .map(|l| if w.on_axle { l.chassis } else { pose.axle.point(&l.axle) });
        put(Kind::Watts, None, Form::Line, vec![far[0], left, pivot, right, far[1]]);
    }
}

/// Roll centre and instant centre.
#[inline]
fn centres(model: &AxleModel<f64>, pose: &Pose<f64>, outputs: &Attitude<f64>, put: &mut Put<'_>) {
    let ground = pose.axle.shift.z - model.loaded_radius;
    if let Some(height) = outputs.get(Output::RollCentreHeight) {
        let x = model.fitted.panhard.map_or(pose.axle.shift.x, |bar| bar.chassis.x);
        put(Kind::RollCentre, None, Form::Dots, vec![Vector3::new(x, 0.0, ground + height)]);
    }
    if let (Some(x), Some(z)) =
        (outputs.get(Output::InstantCentreX), outputs.get(Output::InstantCentreZ))
    {
        put(Kind::InstantCentre, None, Form::Dots, vec![Vector3::new(x, 0.0, ground + z)]);
    }
}

/// One wheel: the tire's outer shape, standing on the ground under load, and its rim.
#[inline]
fn draw_wheel(side: Side, wheel: &WheelPose<f64>, tire: &TireDims, put: &mut Put<'_>) {
    let up = wheel.outboard.cross(&wheel.heading);
    let ring = |radius: f64, along: f64| {
        (0..ROUND).map(move |i| {
            let a = TAU * f64::from(i) / f64::from(ROUND);
            wheel.centre
                + wheel.outboard * along
                + (wheel.heading * a.cos() + up * a.sin()) * radius
        })
    };
    // The very section that clearance is measured to.
    let profile = tire.profile();
    let (sunk, bulge) = (tire.loaded_radius.value, tire.bulge().value);
    let half_way = profile.radius_mm() * 0.5;
    // Flat where it stands; toward the ground it widens by the bulge.
    let loaded = |p: Vector3<f64>, way: f64| {
        let below = wheel.centre.z - p.z;
        let share = ((below - half_way) / (sunk - half_way).max(1.0)).clamp(0.0, 1.0);
        let aside = p + wheel.outboard * (way * share * bulge);
        Vector3::new(aside.x, aside.y, aside.z.max(wheel.centre.z - sunk))
    };
    // Two parts of each rounding are enough for a true outline in every view.
    let tire_points = profile
        .outline(2)
        .into_iter()
        .flat_map(|[along, out]| [(out, along, 1.0), (out, -along, -1.0)])
        .flat_map(|(out, along, way)| ring(out, along).map(move |p| loaded(p, way)))
        .collect();
    put(Kind::Tire, Some(side), Form::Hull, tire_points);
    let rim = tire.rim_diameter_mm * 0.5;
    put(Kind::Rim, Some(side), Form::Loop, ring(rim, tire.section.value * 0.35).collect());
}

/// The chassis around the wheels; it stays where it is whatever the axle does.
#[inline]
fn surroundings(s: &Surroundings, put: &mut Put<'_>) {
    for side in Side::BOTH {
        let y = |mm: f64| mm * side.sign();
        if let Some(rail) = &s.rail {
            // A rail's inner face is not asked for; it is drawn this deep.
            const DEPTH: f64 = 60.0;
            let mut corners = Vec::with_capacity(8);
            for x in [rail.front_mm.value, rail.rear_mm.value] {
                for across in [rail.outer_mm.value, rail.outer_mm.value - DEPTH] {
                    for z in [rail.bottom_mm.value, rail.top_mm.value] {
                        corners.push(Vector3::new(x, y(across), z));
                    }
                }
            }
            put(Kind::Rail, Some(side), Form::Hull, corners);
        }
        if let Some(arch) = &s.arch {
            let Some((centre, radius)) = arch.circle() else { continue };
            let at = |a: f64, across: f64| {
                Vector3::new(centre[0] + radius * a.cos(), y(across), centre[1] + radius * a.sin())
            };
            // From hub height at the front, over the top, to hub height at the rear.
            let from = (-centre[1]).atan2(arch.front_mm.value - centre[0]);
            let to = (-centre[1]).atan2(-arch.rear_mm.value - centre[0]);
            let to = if to < from { to + TAU } else { to };
            let band = |across: f64| {
                (0..=24).map(move |i| at(from + (to - from) * f64::from(i) / 24.0, across))
            };
            put(Kind::Arch, Some(side), Form::Line, band(arch.lip_mm.value).collect());
            put(Kind::Arch, Some(side), Form::Line, band(arch.inner_mm.value).collect());
        }
    }
}
