//! What else stands beside the wheels, drawn where it is at a pose.

use super::{
    model::AxleModel,
    pose::Pose,
    scene::{Form, Kind, Put, ROUND},
    steering::Turned,
    wheel::WheelPose,
};
use crate::truck::{Axle, Mount, Shape, Side, Thing, View};
use nalgebra::Vector3;
use std::f64::consts::TAU;

/// Draws every thing on each side that has it, moved by what carries it.
#[inline]
pub(super) fn things(
    axle: &Axle,
    model: &AxleModel<f64>,
    pose: &Pose<f64>,
    turned: &Turned<f64>,
    wheels: &[WheelPose<f64>; 2],
    put: &mut Put<'_>,
) {
    for (index, thing) in axle.surroundings.things.iter().enumerate() {
        // A truck has no more things than fit in its list, far fewer than 256.
        let Ok(index) = u8::try_from(index) else { return };
        let steers = [turned.left, turned.right];
        for ((side, wheel), steer) in Side::BOTH.into_iter().zip(wheels).zip(steers) {
            if thing.side.has(side) {
                let carried = Carried { model, pose, side, steer, wheel };
                let face = axle.hub_face_width_mm.value / 2.0 - model.wheel_y;
                carried.draw(thing, face, &mut |form, points| {
                    put(Kind::Thing(index), Some(side), form, points);
                });
            }
        }
    }
}

/// How one side's things are carried at a pose.
struct Carried<'a> {
    model: &'a AxleModel<f64>,
    pose: &'a Pose<f64>,
    side: Side,
    steer: f64,
    wheel: &'a WheelPose<f64>,
}

impl Carried<'_> {
    /// Draws a thing; the hub's mounting face lies `face` mm outboard of the rim's centre.
    #[inline]
    fn draw(&self, thing: &Thing, face: f64, put: &mut dyn FnMut(Form, Vec<Vector3<f64>>)) {
        let at = |x: f64, y: f64, z: f64| self.moved(thing.on, Vector3::new(x, y, z));
        match &thing.shape {
            Shape::Box { front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm } => {
                let mut corners = Vec::with_capacity(8);
                for x in [front_mm.value, rear_mm.value] {
                    for y in [inner_mm.value, outer_mm.value] {
                        for z in [bottom_mm.value, top_mm.value] {
                            corners.push(at(x, y, z));
                        }
                    }
                }
                put(Form::Hull, corners);
            }
            Shape::Bar { from, to, radius_mm } => {
                let (first, last) = match thing.on {
                    Mount::Between => (Mount::Axle, Mount::Chassis),
                    on => (on, on),
                };
                let ends =
                    [(from, first), (to, last)].map(|(end, on)| self.moved(on, end.mm().into()));
                let round = ends.into_iter().flat_map(|end| ball(end, radius_mm.value));
                put(Form::Hull, round.collect());
            }
            Shape::Outline { view, corners, from_mm, to_mm } => {
                for sweep in [from_mm.value, to_mm.value] {
                    let corners = corners.iter().map(|corner| {
                        let (a, b) = (corner.a_mm.value, corner.b_mm.value);
                        match view {
                            View::Side => at(a, sweep, b),
                            View::Front => at(sweep, a, b),
                            View::Plan => at(a, b, sweep),
                        }
                    });
                    put(Form::Loop, corners.collect());
                }
            }
            Shape::InsideWheel { reach_mm, inboard_mm, outboard_mm } => {
                let up = self.wheel.outboard.cross(&self.wheel.heading);
                let ends = [face - inboard_mm.value, face + outboard_mm.value];
                let ring = |along: f64| {
                    (0..ROUND).map(move |i| {
                        let a = TAU * f64::from(i) / f64::from(ROUND);
                        let out = self.wheel.heading * a.cos() + up * a.sin();
                        self.wheel.centre + self.wheel.outboard * along + out * reach_mm.value
                    })
                };
                put(Form::Hull, ends.into_iter().flat_map(ring).collect());
            }
        }
    }

    /// Where a point measured as on the left, truck stock and wheels straight, is now on this side.
    #[inline]
    fn moved(&self, on: Mount, point: Vector3<f64>) -> Vector3<f64> {
        let point = Vector3::new(point.x, point.y * self.side.sign(), point.z);
        match on {
            Mount::Chassis => point,
            Mount::Knuckle => self.model.knuckle(self.pose, self.side, self.steer).point(&point),
            Mount::Axle | Mount::Between => self.pose.axle.point(&point),
        }
    }
}

/// Points on a ball, enough for a round outline from each of the three sides.
#[inline]
fn ball(centre: Vector3<f64>, radius: f64) -> impl Iterator<Item = Vector3<f64>> {
    const AROUND: u32 = 16;
    (0..AROUND).flat_map(move |i| {
        let (s, c) = (TAU * f64::from(i) / f64::from(AROUND)).sin_cos();
        [[0.0, c, s], [c, 0.0, s], [c, s, 0.0]]
            .map(|[x, y, z]| centre + Vector3::new(x, y, z) * radius)
    })
}

#[cfg(test)]
mod tests {
    use super::super::{SceneItem, Turn, attitude, scene, solve};
    use super::*;
    use crate::tire;
    use crate::truck::{End, State, ThingKind, ThingSide, Truck};

    /// The example's front axle with one thing of a kind, drawn at a travel and a steer.
    fn drawn(kind: ThingKind, on: ThingSide, travel: [f64; 2], steer: f64) -> Vec<SceneItem> {
        let mut truck = Truck::example();
        let axle = truck.front.as_mut().expect("a front axle");
        axle.surroundings.things = vec![Thing { side: on, ..Thing::new(kind, End::Front) }];
        let model = AxleModel::of(&truck, End::Front, State::Stock).expect("it reads");
        let pose = solve(&model, travel).expect("it gets there");
        let axle = truck.front.as_ref().expect("a front axle");
        let tire = tire::resolve(&axle.stock.tire, &axle.stock.wheel).expect("a tire");
        let outputs = attitude(&model, &pose, steer);
        let mut items = scene(axle, &model, &tire, &pose, Turn::Mean(steer), &outputs);
        items.retain(|item| item.kind == Kind::Thing(0));
        items
    }

    fn middle(item: &SceneItem) -> Vector3<f64> {
        let sum: Vector3<f64> = item.points.iter().map(|p| Vector3::from(*p)).sum();
        sum / item.points.len() as f64
    }

    #[test]
    fn a_thing_is_drawn_on_the_sides_that_have_it() {
        for (on, want) in [
            (ThingSide::Both, vec![Side::Left, Side::Right]),
            (ThingSide::Left, vec![Side::Left]),
            (ThingSide::Right, vec![Side::Right]),
        ] {
            let items = drawn(ThingKind::BodyMount, on, [0.0; 2], 0.0);
            let sides: Vec<_> = items.iter().filter_map(|item| item.side).collect();
            assert_eq!(sides, want);
            for item in &items {
                let sign = item.side.map_or(0.0, Side::sign);
                assert!(item.points.iter().all(|p| p[1] * sign > 0.0), "{on:?}");
            }
        }
    }

    #[test]
    fn what_carries_a_thing_moves_it() {
        let moved = |kind| {
            let [rest, up, turned] = [([0.0; 2], 0.0), ([60.0; 2], 0.0), ([0.0; 2], 0.4)]
                .map(|(travel, steer)| middle(&drawn(kind, ThingSide::Left, travel, steer)[0]));
            ((up - rest).z, (turned - rest).norm())
        };
        let (up, turned) = moved(ThingKind::InnerPanel);
        assert!(up.abs() < 1e-9 && turned < 1e-9, "a panel stays: {up} {turned}");
        // One end of two rides on the axle, which also tips a little on its arms.
        let (up, turned) = moved(ThingKind::Shock);
        assert!((up - 30.0).abs() < 6.0 && turned < 1e-9, "a shock goes half way: {up} {turned}");
        let (up, turned) = moved(ThingKind::BrakeCaliper);
        assert!((up - 60.0).abs() < 3.0 && turned > 5.0, "a caliper goes along: {up} {turned}");
    }
}
