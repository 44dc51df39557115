//! What a drawing shows: the solved axle and its surroundings as named points in the chassis
//! frame (axle's stock origin), mm. A view drops one coordinate; nothing is computed there.

use super::{
    linkage::{Link, Members},
    model::AxleModel,
    pose::Pose,
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
    /// The Panhard bar.
    Panhard,
    /// Axle centreline to pinion flange.
    Pinion,
    /// Steering axis, down to the ground.
    SteeringAxis,
    /// Frame rail.
    Rail,
    /// Wheel arch.
    Arch,
    /// Ground line under both wheels.
    Ground,
    /// Chassis centre plane's line, ground to rail height.
    CentrePlane,
    /// Roll centre.
    RollCentre,
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
const ROUND: u32 = 40;

/// Everything to draw of one axle at a pose, wheels turned by `steer` (rad, left positive).
pub fn scene(
    axle: &Axle,
    model: &AxleModel<f64>,
    tire: &TireDims,
    pose: &Pose<f64>,
    steer: f64,
) -> Vec<SceneItem> {
    let mut items = Vec::new();
    let mut put = |kind, side, form, points: Vec<Vector3<f64>>| {
        let points = points.into_iter().map(|p| [p.x, p.y, p.z]).collect();
        items.push(SceneItem { kind, side, form, points });
    };

    surroundings(&axle.surroundings, &mut put);
    let wheels = Side::BOTH.map(|side| model.wheel(pose, side, steer));
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

    for (side, wheel) in Side::BOTH.into_iter().zip(&wheels) {
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

    let mut link = |l: &Link<f64>, kind, side| {
        put(kind, side, Form::Line, vec![pose.axle.point(&l.axle), l.chassis]);
    };
    link(&model.fitted.panhard, Kind::Panhard, None);
    match &model.fitted.members {
        Members::ThreeLinks([left, right, upper]) => {
            link(left, Kind::Link, Some(Side::Left));
            link(right, Kind::Link, Some(Side::Right));
            link(upper, Kind::Link, None);
        }
        Members::FourLinks(links) => {
            for (i, l) in links.iter().enumerate() {
                link(l, Kind::Link, Some(Side::BOTH[i % 2]));
            }
        }
        Members::Arms(arms) => {
            let bodies = pose.arms.unwrap_or([pose.axle; 2]);
            for ((arm, body), side) in arms.iter().zip(bodies).zip(Side::BOTH) {
                let points = [&arm.far, &arm.near, &arm.eye].map(|b| body.point(&b.on_arm));
                put(Kind::Arm, Some(side), Form::Line, points.to_vec());
            }
        }
    }

    if let Some(height) = super::attitude(model, pose, steer).get(super::Output::RollCentreHeight) {
        let ground = pose.axle.shift.z - model.loaded_radius;
        let bar = &model.fitted.panhard;
        put(
            Kind::RollCentre,
            None,
            Form::Dots,
            vec![Vector3::new(bar.chassis.x, 0.0, ground + height)],
        );
    }
    items
}

/// One wheel: the tire's outer shape and its rim.
fn draw_wheel(
    side: Side,
    wheel: &WheelPose<f64>,
    tire: &TireDims,
    put: &mut impl FnMut(Kind, Option<Side>, Form, Vec<Vector3<f64>>),
) {
    let (r, half) = (tire.diameter.value * 0.5, tire.section.value * 0.5);
    let shoulder = tire.shoulder_radius.value.min(half).min(r);
    let up = wheel.outboard.cross(&wheel.heading);
    let ring = |radius: f64, along: f64| {
        (0..ROUND).map(move |i| {
            let a = TAU * f64::from(i) / f64::from(ROUND);
            wheel.centre
                + wheel.outboard * along
                + (wheel.heading * a.cos() + up * a.sin()) * radius
        })
    };
    let flat = half - shoulder;
    let side_wall = r - shoulder;
    // Tread edges, shoulders at 45° and sidewalls: enough for a true outline in every view.
    let slant = shoulder * std::f64::consts::FRAC_1_SQRT_2;
    let tire_points = [
        (r, flat),
        (side_wall + slant, flat + slant),
        (side_wall, half),
        (r, -flat),
        (side_wall + slant, -flat - slant),
        (side_wall, -half),
    ]
    .into_iter()
    .flat_map(|(radius, along)| ring(radius, along))
    .collect();
    put(Kind::Tire, Some(side), Form::Hull, tire_points);
    let rim = tire.rim_diameter_mm * 0.5;
    put(Kind::Rim, Some(side), Form::Loop, ring(rim, half * 0.7).collect());
}

/// The chassis around the wheels; it stays where it is whatever the axle does.
fn surroundings(
    s: &Surroundings,
    put: &mut impl FnMut(Kind, Option<Side>, Form, Vec<Vector3<f64>>),
) {
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
