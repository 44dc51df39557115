//! Finds a number in the truck by its dotted path, such as `front.panhard.axle.y_mm`.

use fitment::measure::Known;
use fitment::truck::{
    Arch, Axle, Balance, Bar, BushRates, End, Hole, Kingpin, Layout, LeafRates, LeafSpring, Limits,
    Part, Pinion, Pitman, Point, RadiusArm, Rail, Readings, Setup, Shelf, Steering, Truck, Watts,
    Wheel,
};

/// A number's place, to read it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slot<'a> {
    /// Always there.
    Must(&'a Known),
    /// There once somebody gave it.
    May(Option<&'a Known>),
}

impl<'a> Slot<'a> {
    #[expect(clippy::ref_option, reason = "the same walk writes, and then needs the place itself")]
    const fn may(known: &'a Option<Known>) -> Self {
        Self::May(known.as_ref())
    }

    /// The number, if there is one.
    pub const fn known(self) -> Option<&'a Known> {
        match self {
            Self::Must(known) => Some(known),
            Self::May(known) => known,
        }
    }
}

/// A number's place, to change it.
pub enum SlotMut<'a> {
    /// Always there.
    Must(&'a mut Known),
    /// There once somebody gave it.
    May(&'a mut Option<Known>),
}

impl<'a> SlotMut<'a> {
    const fn may(known: &'a mut Option<Known>) -> Self {
        Self::May(known)
    }
}

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
    read::truck(truck, path)
}

/// The number at a path, to change it; `None` where the truck has no such place.
pub fn slot_mut<'a>(truck: &'a mut Truck, path: &str) -> Option<SlotMut<'a>> {
    write::truck(truck, path)
}

/// The number at a path, if it was given.
pub fn known<'a>(truck: &'a Truck, path: &str) -> Option<&'a Known> {
    slot(truck, path).and_then(Slot::known)
}

/// First name of a path and the rest.
fn split(path: &str) -> (&str, &str) {
    path.split_once('.').unwrap_or((path, ""))
}

/// A name with an index, such as `parts[2]`.
fn indexed(name: &str) -> Option<(&str, usize)> {
    let (list, rest) = name.split_once('[')?;
    Some((list, rest.strip_suffix(']')?.parse().ok()?))
}

/// The same walk twice, once to read and once to change.
macro_rules! walk {
    ($module:ident, $slot:ident, [$($mutable:tt)?], $axle_fn:ident, $option:ident, $get:ident) => {
        mod $module {
            use super::*;

            type Found<'a> = Option<$slot<'a>>;

            pub fn truck<'a>(truck: &'a $($mutable)? Truck, path: &str) -> Found<'a> {
                match split(path) {
                    ("wheelbase_mm", "") => Some($slot::Must(&$($mutable)? truck.wheelbase_mm)),
                    ("balance", rest) => balance(&$($mutable)? truck.balance, rest),
                    ("front", rest) => axle(truck.$axle_fn(End::Front)?, rest),
                    ("rear", rest) => axle(truck.$axle_fn(End::Rear)?, rest),
                    _ => None,
                }
            }

            fn axle<'a>(axle: &'a $($mutable)? Axle, path: &str) -> Found<'a> {
                match split(path) {
                    ("hub_face_width_mm", "") => Some($slot::Must(&$($mutable)? axle.hub_face_width_mm)),
                    ("layout", rest) => layout(&$($mutable)? axle.layout, rest),
                    ("panhard", rest) => bar(axle.panhard.$option()?, rest),
                    ("watts", rest) => watts(axle.watts.$option()?, rest),
                    ("steering", rest) => steering(axle.steering.$option()?, rest),
                    ("spring", rest) => bar(axle.spring.$option()?, rest),
                    ("shock", rest) => bar(axle.shock.$option()?, rest),
                    ("kingpin", rest) => kingpin(axle.kingpin.$option()?, rest),
                    ("pinion", rest) => pinion(&$($mutable)? axle.pinion, rest),
                    ("limits", rest) => limits(&$($mutable)? axle.limits, rest),
                    ("surroundings", rest) => match split(rest) {
                        ("arm_radius_mm", "") => Some($slot::may(&$($mutable)? axle.surroundings.arm_radius_mm)),
                        ("rail", rest) => rail(axle.surroundings.rail.$option()?, rest),
                        ("arch", rest) => arch(axle.surroundings.arch.$option()?, rest),
                        _ => None,
                    },
                    ("stock", rest) => setup(&$($mutable)? axle.stock, rest),
                    ("sitting", rest) => setup(&$($mutable)? axle.sitting, rest),
                    ("planned", rest) => setup(&$($mutable)? axle.planned, rest),
                    ("shelf", rest) => shelf(&$($mutable)? axle.shelf, rest),
                    ("readings", rest) => readings(&$($mutable)? axle.readings, rest),
                    _ => None,
                }
            }

            fn layout<'a>(layout: &'a $($mutable)? Layout, path: &str) -> Found<'a> {
                let (name, rest) = split(path);
                match layout {
                    Layout::RadiusArms { left, right, axle_bush, chassis_bush } => match name {
                        "left" => arm(left, rest),
                        "right" => arm(right.$option()?, rest),
                        "axle_bush" => bush(axle_bush, rest),
                        "chassis_bush" => bush(chassis_bush, rest),
                        _ => None,
                    },
                    Layout::ThreeLink { lower_left, lower_right, upper } => match name {
                        "lower_left" => bar(lower_left, rest),
                        "lower_right" => bar(lower_right.$option()?, rest),
                        "upper" => bar(upper, rest),
                        _ => None,
                    },
                    Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => match name {
                        "lower_left" => bar(lower_left, rest),
                        "lower_right" => bar(lower_right.$option()?, rest),
                        "upper_left" => bar(upper_left, rest),
                        "upper_right" => bar(upper_right.$option()?, rest),
                        _ => None,
                    },
                    Layout::LeafSprings { left, right, rates, eye_bush } => match name {
                        "left" => leaf(left, rest),
                        "right" => leaf(right.$option()?, rest),
                        "rates" => leaf_rates(rates, rest),
                        "eye_bush" => bush(eye_bush, rest),
                        _ => None,
                    },
                }
            }

            fn leaf<'a>(spring: &'a $($mutable)? LeafSpring, path: &str) -> Found<'a> {
                match split(path) {
                    ("seat", rest) => point(&$($mutable)? spring.seat, rest),
                    ("fixed_eye", rest) => point(&$($mutable)? spring.fixed_eye, rest),
                    ("shackle_eye", rest) => point(&$($mutable)? spring.shackle_eye, rest),
                    ("shackle_chassis", rest) => point(&$($mutable)? spring.shackle_chassis, rest),
                    _ => None,
                }
            }

            fn watts<'a>(watts: &'a $($mutable)? Watts, path: &str) -> Found<'a> {
                match split(path) {
                    ("pivot", rest) => point(&$($mutable)? watts.pivot, rest),
                    ("left", rest) => bar(&$($mutable)? watts.left, rest),
                    ("right", rest) => bar(&$($mutable)? watts.right, rest),
                    _ => None,
                }
            }

            fn steering<'a>(steering: &'a $($mutable)? Steering, path: &str) -> Found<'a> {
                match split(path) {
                    ("pitman", rest) => pitman(&$($mutable)? steering.pitman, rest),
                    ("drag_link", rest) => {
                        point(&$($mutable)? steering.drag_link.end, rest.strip_prefix("end.")?)
                    }
                    ("tie_rod", rest) => match split(rest) {
                        ("left", rest) => point(&$($mutable)? steering.tie_rod.left, rest),
                        ("right", rest) => point(steering.tie_rod.right.$option()?, rest),
                        _ => None,
                    },
                    ("ratio", "") => Some($slot::Must(&$($mutable)? steering.ratio)),
                    _ => None,
                }
            }

            fn pitman<'a>(pitman: &'a $($mutable)? Pitman, path: &str) -> Found<'a> {
                match split(path) {
                    ("pivot", rest) => point(&$($mutable)? pitman.pivot, rest),
                    ("end", rest) => point(&$($mutable)? pitman.end, rest),
                    _ => None,
                }
            }

            fn arm<'a>(arm: &'a $($mutable)? RadiusArm, path: &str) -> Found<'a> {
                match split(path) {
                    ("axle_far", rest) => point(&$($mutable)? arm.axle_far, rest),
                    ("axle_near", rest) => point(&$($mutable)? arm.axle_near, rest),
                    ("chassis", rest) => point(&$($mutable)? arm.chassis, rest),
                    _ => None,
                }
            }

            fn bar<'a>(bar: &'a $($mutable)? Bar, path: &str) -> Found<'a> {
                match split(path) {
                    ("axle", rest) => point(&$($mutable)? bar.axle, rest),
                    ("chassis", rest) => point(&$($mutable)? bar.chassis, rest),
                    _ => None,
                }
            }

            fn setup<'a>(setup: &'a $($mutable)? Setup, path: &str) -> Found<'a> {
                match split(path) {
                    ("lift_mm", "") => Some($slot::Must(&$($mutable)? setup.lift_mm)),
                    ("lift_right_mm", "") => Some($slot::may(&$($mutable)? setup.lift_right_mm)),
                    ("spacer_mm", "") => Some($slot::Must(&$($mutable)? setup.spacer_mm)),
                    ("wheel", rest) => wheel(&$($mutable)? setup.wheel, rest),
                    ("tire", "diameter_mm") => Some($slot::may(&$($mutable)? setup.tire.diameter_mm)),
                    ("tire", "section_mm") => Some($slot::may(&$($mutable)? setup.tire.section_mm)),
                    ("tire", "loaded_radius_mm") => Some($slot::may(&$($mutable)? setup.tire.loaded_radius_mm)),
                    (name, rest) => match indexed(name)? {
                        ("parts", index) => part(setup.parts.$get(index)?, rest),
                        _ => None,
                    },
                }
            }

            fn shelf<'a>(shelf: &'a $($mutable)? Shelf, path: &str) -> Found<'a> {
                let (name, rest) = split(path);
                match indexed(name)? {
                    ("parts", index) => part(shelf.parts.$get(index)?, rest),
                    ("spacers_mm", index) => Some($slot::Must(shelf.spacers_mm.$get(index)?)),
                    ("wheels", index) => wheel(shelf.wheels.$get(index)?, rest),
                    _ => None,
                }
            }

            fn part<'a>(part: &'a $($mutable)? Part, path: &str) -> Found<'a> {
                match (part, path) {
                    (
                        Part::PanhardLength { change_mm, .. }
                        | Part::DragLinkLength { change_mm, .. }
                        | Part::UpperLinkLength { change_mm, .. },
                        "change_mm",
                    ) => Some($slot::Must(change_mm)),
                    (Part::CasterBush { angle_deg, .. }, "angle_deg") => Some($slot::Must(angle_deg)),
                    (
                        Part::PanhardAxleBracket { holes, .. }
                        | Part::PanhardChassisBracket { holes, .. }
                        | Part::ArmBracket { holes, .. },
                        path,
                    ) => {
                        let (name, rest) = split(path);
                        match indexed(name)? {
                            ("holes", index) => hole(holes.$get(index)?, rest),
                            _ => None,
                        }
                    }
                    _ => None,
                }
            }

            flat! { $slot [$($mutable)?] point Point: x_mm y_mm z_mm }
            flat! { $slot [$($mutable)?] balance Balance: cg_height_mm front_brake_percent front_drive_percent }
            flat! { $slot [$($mutable)?] leaf_rates LeafRates: vertical_n_per_mm lateral_n_per_mm twist_nm_per_deg clamped_mm }
            flat! { $slot [$($mutable)?] kingpin Kingpin: caster_deg inclination_deg hub_offset_mm hub_trail_mm }
            flat! { $slot [$($mutable)?] pinion Pinion: angle_deg length_mm y_mm }
            flat! { $slot [$($mutable)?] limits Limits: bump_mm droop_mm lock_deg }
            flat! { $slot [$($mutable)?] rail Rail: outer_mm bottom_mm top_mm front_mm rear_mm }
            flat! { $slot [$($mutable)?] arch Arch: top_mm front_mm rear_mm lip_mm inner_mm }
            flat! { $slot [$($mutable)?] wheel Wheel: width_mm offset_mm }
            flat! { $slot [$($mutable)?] hole Hole: x_mm y_mm z_mm }
            flat! { $slot [$($mutable)?] bush BushRates: radial_n_per_mm axial_n_per_mm conical_nm_per_deg torsion_nm_per_deg }

            fn readings<'a>(it: &'a $($mutable)? Readings, path: &str) -> Found<'a> {
                Some($slot::may(match path {
                    "panhard_length_mm" => &$($mutable)? it.panhard_length_mm,
                    "panhard_rise_mm" => &$($mutable)? it.panhard_rise_mm,
                    "arm_length_mm" => &$($mutable)? it.arm_length_mm,
                    "arm_rise_mm" => &$($mutable)? it.arm_rise_mm,
                    _ => return None,
                }))
            }
        }
    };
}

/// A plain struct of numbers: its fields by their own names.
macro_rules! flat {
    ($slot:ident [$($mutable:tt)?] $name:ident $kind:ident: $($field:ident)+) => {
        fn $name<'a>(it: &'a $($mutable)? $kind, path: &str) -> Found<'a> {
            let $kind { $($field,)+ .. } = it;
            match path {
                $(stringify!($field) => Some($slot::Must($field)),)+
                _ => None,
            }
        }
    };
}

walk!(read, Slot, [], axle, as_ref, get);
walk!(write, SlotMut, [mut], axle_mut, as_mut, get_mut);

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
            "front.shelf.spacers_mm[2]",
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
