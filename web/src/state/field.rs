//! Finds a number in the truck by its dotted path, such as `front.panhard.axle.y_mm`.

use buildfile::node;
use fitment::measure::Known;
use fitment::truck::{End, Truck};

pub use buildfile::node::{Slot, SlotMut};

/// The end of the truck a path starts at, if it starts at one.
pub fn end_of(path: &str) -> Option<End> {
    match path.split('.').next() {
        Some("front") => Some(End::Front),
        Some("rear") => Some(End::Rear),
        _ => None,
    }
}

/// How a path names an end.
pub const fn end_name(end: End) -> &'static str {
    match end {
        End::Front => "front",
        End::Rear => "rear",
    }
}

/// The number at a path; `None` where the truck has no such place.
pub fn slot<'a>(truck: &'a Truck, path: &str) -> Option<Slot<'a>> {
    node::slot(truck, path)
}

/// The number at a path, to change it; `None` where the truck has no such place.
pub fn slot_mut<'a>(truck: &'a mut Truck, path: &str) -> Option<SlotMut<'a>> {
    node::slot_mut(truck, path)
}

/// The number at a path, if it was given.
pub fn known<'a>(truck: &'a Truck, path: &str) -> Option<&'a Known> {
    slot(truck, path).and_then(Slot::known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reading_and_writing_meet_at_the_same_place() {
        let mut truck = Truck::example();
        for path in [
            "wheelbase_mm",
            "front.panhard.axle.y_mm",
            "front.layout.left.axle_far.z_mm",
            "front.layout.axle_bush.radial_n_per_mm",
            "front.kingpin.caster_deg",
            "front.limits.droop_mm",
            "front.surroundings.arm_radius_mm",
            "front.surroundings.arch.lip_mm",
            "front.sitting.wheel.offset_mm",
            "front.sitting.tire.diameter_mm",
            "front.planned.parts[0].holes[1].z_mm",
            "front.planned.parts[1].angle_deg",
            "front.shelf.parts[6].part.step_mm",
            "front.shelf.parts[6].price",
            "front.readings.panhard_rise_mm",
            "rear.layout.upper_left.chassis.x_mm",
            "balance.cg_height_mm",
            "front.steering.pitman.end.x_mm",
            "front.steering.drag_link.end.z_mm",
            "front.steering.tie_rod.left.y_mm",
            "front.steering.ratio",
            "front.shock.chassis.z_mm",
        ] {
            match slot_mut(&mut truck, path) {
                Some(SlotMut::Must(known)) => *known = Known::exact(1234.5),
                Some(SlotMut::May(known)) => *known = Some(Known::exact(1234.5)),
                None => panic!("no place {path}"),
            }
            assert_eq!(known(&truck, path).map(|k| k.value), Some(1234.5), "{path}");
        }
    }

    #[test]
    fn a_place_that_is_not_there_is_none() {
        let truck = Truck::example();
        for path in [
            "",
            "front",
            "front.nothing",
            "rear.kingpin.caster_deg",
            "front.planned.parts[9].angle_deg",
            "front.planned.parts[x].angle_deg",
            "front.panhard.axle.y_mm.more",
            "middle.panhard.axle.y_mm",
            "front.watts.pivot.y_mm",
            "front.steering.tie_rod.right.y_mm",
        ] {
            assert!(slot(&truck, path).is_none(), "{path}");
        }
    }
}
