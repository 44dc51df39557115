//! Every field of the Truck page in the order a person meets them, with its words.

use super::field::end_name;
use fitment::truck::{Axle, End, Layout, Truck};

/// One field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spec {
    /// Dotted path in the truck.
    pub path: String,
    /// Its name.
    pub label: &'static str,
    /// How to take the measurement.
    pub help: &'static str,
}

/// Fields under one small heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The heading; empty where the group's own is enough.
    pub title: &'static str,
    /// Its fields.
    pub specs: Vec<Spec>,
}

/// Fields that are taken in one go under the truck.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// Short name for the address of the group.
    pub slug: &'static str,
    /// Heading.
    pub title: &'static str,
    /// What it is good for.
    pub why: &'static str,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// The eight that matter first.
pub fn first(end: End) -> Vec<Spec> {
    let e = Under(end_name(end));
    vec![
        e.spec("sitting.lift_mm", "Lift over stock",
            "How much higher the chassis sits over this axle than it left the factory: hub center to fender lip, now against stock. No stock figure? Type what the springs are sold as."),
        e.spec("stock.tire.size", "Stock tire size",
            "From the door-jamb placard or the handbook. Read it off like 235/85R16, 31x10.50R15 or 7.50R16."),
        e.spec("sitting.tire.size", "Tire fitted now",
            "Off the sidewall, as molded there."),
        e.spec("sitting.wheel.offset_mm", "Wheel offset",
            "Stamped inside the wheel, often as ET. Positive when the mounting face is outboard of the rim's middle; 0 when level with it. Two tape readings give it too: rear rim edge to mounting face, less half the overall width."),
        e.spec("readings.panhard_length_mm", "Panhard bar, eye to eye",
            "Bolt center to bolt center along the bar, as it sits."),
        e.spec("readings.panhard_rise_mm", "Panhard chassis end above axle end",
            "Both bolt centers from a level floor, subtract. Positive when the chassis end is higher."),
        e.spec("readings.arm_length_mm", "Arm length",
            "Axle centerline to the arm's chassis bolt for a radius arm; bolt to bolt for a lower link."),
        e.spec("readings.arm_rise_mm", "Arm chassis end above axle end",
            "Chassis bolt and axle end (axle centerline on a radius arm) from a level floor, subtract. Positive when the chassis end is higher."),
    ]
}

/// Every group of an axle.
#[expect(clippy::too_many_lines, reason = "one list, read from top to bottom")]
pub fn groups(axle: &Axle, end: End) -> Vec<Group> {
    let e = Under(end_name(end));
    let mut groups = vec![
        Group {
            slug: "now",
            title: "As it sits",
            why: "Ride height, tires and wheels on the truck today.",
            parts: setup_parts(e, "sitting"),
        },
        Group {
            slug: "stock",
            title: "As it left the factory",
            why: "What today is compared against.",
            parts: vec![Part {
                title: "",
                specs: vec![
                    e.spec("stock.tire.size", "Tire size", "From the placard or handbook."),
                    e.spec(
                        "stock.wheel.width_mm",
                        "Wheel width",
                        "Between the bead seats, inside the flanges. An 8 in wheel is 203.2 mm.",
                    ),
                    e.spec(
                        "stock.wheel.offset_mm",
                        "Wheel offset",
                        "Positive when the mounting face is outboard of the rim's middle.",
                    ),
                    e.spec(
                        "hub_face_width_mm",
                        "Hub face to hub face",
                        "Across the axle between the two wheel mounting faces.",
                    ),
                ],
            }],
        },
        Group {
            slug: "panhard",
            title: "Panhard bar",
            why: "Sets how far the axle walks sideways, and its angle is what the driver feels.",
            parts: vec![
                readings(e, "panhard", "Straight off the truck as it sits"),
                e.point("panhard.axle", "Axle end, truck stock"),
                e.point("panhard.chassis", "Chassis end, truck stock"),
            ],
        },
        Group {
            slug: "arms",
            title: match axle.layout {
                Layout::RadiusArms { .. } => "Radius arms",
                Layout::ThreeLink { .. } | Layout::FourLink { .. } => "Links",
            },
            why: "Set caster, pinion angle and wheelbase as the truck rises and falls. The right side mirrors the left.",
            parts: arm_parts(e, &axle.layout),
        },
    ];
    if axle.kingpin.is_some() {
        groups.push(Group {
            slug: "steering",
            title: "Steering axis",
            why: "Caster, trail and scrub; and where the tire goes at full lock.",
            parts: vec![Part {
                title: "",
                specs: vec![
                    e.spec("kingpin.caster_deg", "Caster, stock", "From an alignment sheet, or the factory figure. Positive when the axis's top leans rearward."),
                    e.spec("kingpin.inclination_deg", "Kingpin inclination", "Factory figure. Positive when the axis's top leans inboard."),
                    e.spec("kingpin.hub_offset_mm", "Hub face out from the axis", "At hub height, from the steering axis to the wheel mounting face."),
                    e.spec("kingpin.hub_trail_mm", "Hub behind the axis", "At hub height; 0 on most axles."),
                ],
            }],
        });
    }
    groups.push(Group {
        slug: "pinion",
        title: "Pinion",
        why: "The arms tip it as they swing; the driveshaft joints feel it.",
        parts: vec![Part {
            title: "",
            specs: vec![
                e.spec("pinion.angle_deg", "Pinion angle, stock", "Level on the flange face or the pinion housing. Positive when the flange is higher than the axle."),
                e.spec("pinion.length_mm", "Axle centerline to flange", "Along the pinion."),
                e.spec("pinion.y_mm", "Flange left of center", "Negative when it is right of the truck's centerline."),
            ],
        }],
    });
    groups.push(Group {
        slug: "travel",
        title: "Travel and lock",
        why: "How far the wheels go; the tire must clear everywhere in between.",
        parts: vec![Part {
            title: "",
            specs: {
                let mut specs = vec![
                    e.spec("limits.bump_mm", "Stock height to bump stop", "Up-travel of a wheel from the stock position until the axle meets the stop."),
                    e.spec("limits.droop_mm", "Stock height to full droop", "Down-travel of a wheel from the stock position."),
                ];
                if axle.kingpin.is_some() {
                    specs.push(e.spec("limits.lock_deg", "Full lock", "Largest steer of a wheel either way, against its stop."));
                }
                specs
            },
        }],
    });
    groups.push(around(e, axle));
    if let Layout::RadiusArms { .. } = axle.layout {
        groups.push(bushes(e));
    }
    groups
}

/// Paths of every field of the truck.
pub fn paths(truck: &Truck) -> Vec<String> {
    let mut paths = vec!["wheelbase_mm".to_owned()];
    for end in [End::Front, End::Rear] {
        if let Some(axle) = truck.axle(end) {
            for group in groups(axle, end) {
                for part in group.parts {
                    paths.extend(part.specs.into_iter().map(|spec| spec.path));
                }
            }
        }
    }
    paths.sort();
    paths.dedup();
    paths
}

/// The words of a field, wherever it is.
pub fn spec(truck: &Truck, path: &str) -> Option<Spec> {
    if path == "wheelbase_mm" {
        return Some(wheelbase());
    }
    let end = super::field::end_of(path)?;
    let axle = truck.axle(end)?;
    first(end)
        .into_iter()
        .chain(groups(axle, end).into_iter().flat_map(|g| g.parts).flat_map(|p| p.specs))
        .find(|spec| spec.path == path)
}

/// Paths of the fields under the same small heading as a field.
pub fn beside(truck: &Truck, path: &str) -> Vec<String> {
    let axle = super::field::end_of(path).and_then(|end| Some((end, truck.axle(end)?)));
    let Some((end, axle)) = axle else { return Vec::new() };
    groups(axle, end)
        .into_iter()
        .flat_map(|group| group.parts)
        .find(|part| part.specs.iter().any(|spec| spec.path == path))
        .map(|part| part.specs.into_iter().map(|spec| spec.path).collect())
        .unwrap_or_default()
}

/// What a field is called away from its group, such as beside an uncertainty.
pub fn long_name(truck: &Truck, path: &str) -> String {
    let Some(end) = super::field::end_of(path) else {
        return spec(truck, path).map_or_else(|| path.to_owned(), |spec| spec.label.to_owned());
    };
    let found = truck.axle(end).and_then(|axle| {
        let first =
            first(end).into_iter().find(|spec| spec.path == path).map(|s| s.label.to_owned());
        first.or_else(|| {
            groups(axle, end).into_iter().find_map(|group| {
                group.parts.iter().find_map(|part| {
                    let spec = part.specs.iter().find(|spec| spec.path == path)?;
                    Some(match (part.title, group.title) {
                        ("", title) => format!("{title}: {}", spec.label),
                        (part, title) => {
                            format!("{title}, {}: {}", part.to_ascii_lowercase(), spec.label)
                        }
                    })
                })
            })
        })
    });
    found.unwrap_or_else(|| path.to_owned())
}

/// The distance between the axles.
pub fn wheelbase() -> Spec {
    Spec {
        path: "wheelbase_mm".into(),
        label: "Wheelbase, stock",
        help: "Front hub center to rear hub center along the floor.",
    }
}

#[derive(Clone, Copy)]
struct Under(&'static str);

impl Under {
    fn spec(self, path: &str, label: &'static str, help: &'static str) -> Spec {
        Spec { path: format!("{}.{path}", self.0), label, help }
    }

    fn point(self, path: &str, title: &'static str) -> Part {
        Part {
            title,
            specs: vec![
                self.spec(&format!("{path}.x_mm"), "Forward", "Ahead of the axle centerline, along the floor; negative when behind."),
                self.spec(&format!("{path}.y_mm"), "Left", "From the truck's centerline; negative when on the right."),
                self.spec(&format!("{path}.z_mm"), "Up", "Above the axle centerline with the truck at stock height; negative when below."),
            ],
        }
    }
}

fn readings(e: Under, which: &str, title: &'static str) -> Part {
    let specs = if which == "panhard" {
        vec![
            e.spec(
                "readings.panhard_length_mm",
                "Bar, eye to eye",
                "Bolt center to bolt center along the bar.",
            ),
            e.spec(
                "readings.panhard_rise_mm",
                "Chassis end above axle end",
                "Both bolt centers from a level floor, subtract.",
            ),
        ]
    } else {
        vec![
            e.spec("readings.arm_length_mm", "Arm length", "Axle centerline to the chassis bolt for a radius arm; bolt to bolt for a lower link."),
            e.spec("readings.arm_rise_mm", "Chassis end above axle end", "Both from a level floor, subtract."),
        ]
    };
    Part { title, specs }
}

fn setup_parts(e: Under, state: &str) -> Vec<Part> {
    let at = |name: &str| format!("{state}.{name}");
    vec![
        Part {
            title: "Ride height",
            specs: vec![
                e.spec(&at("lift_mm"), "Lift over stock", "Hub center to fender lip, now against stock; left side where they differ."),
                e.spec(&at("lift_right_mm"), "Lift, right side", "Only where it differs from the left; leave empty otherwise."),
            ],
        },
        Part {
            title: "Tire",
            specs: vec![
                e.spec(&at("tire.size"), "Size", "Off the sidewall, such as 265/75R16, 33x12.50R15 or 7.50R16."),
                e.spec(&at("tire.diameter_mm"), "Measured diameter", "Unloaded, across the tread. Leave empty to use the size's own."),
                e.spec(&at("tire.section_mm"), "Measured section width", "Widest point of the sidewalls on this wheel. Leave empty to use the size's own."),
                e.spec(&at("tire.loaded_radius_mm"), "Hub center to ground", "With the truck's weight on it. Leave empty to estimate."),
            ],
        },
        Part {
            title: "Wheel",
            specs: vec![
                e.spec(&at("wheel.width_mm"), "Wheel width", "Between the bead seats. An 8 in wheel is 203.2 mm."),
                e.spec(&at("wheel.offset_mm"), "Offset", "Positive when the mounting face is outboard of the rim's middle."),
                e.spec(&at("spacer_mm"), "Spacer or adapter", "Thickness between hub and wheel; 0 for none."),
            ],
        },
    ]
}

fn arm_parts(e: Under, layout: &Layout) -> Vec<Part> {
    let mut parts = vec![readings(e, "arm", "Straight off the truck as it sits")];
    match layout {
        Layout::RadiusArms { right, .. } => {
            parts.push(e.point("layout.left.axle_far", "Left arm, far axle bush"));
            parts.push(e.point("layout.left.axle_near", "Left arm, near axle bush"));
            parts.push(e.point("layout.left.chassis", "Left arm, chassis eye"));
            if right.is_some() {
                parts.push(e.point("layout.right.axle_far", "Right arm, far axle bush"));
                parts.push(e.point("layout.right.axle_near", "Right arm, near axle bush"));
                parts.push(e.point("layout.right.chassis", "Right arm, chassis eye"));
            }
        }
        Layout::ThreeLink { lower_right, .. } => {
            parts.push(e.point("layout.lower_left.axle", "Left lower link, axle end"));
            parts.push(e.point("layout.lower_left.chassis", "Left lower link, chassis end"));
            if lower_right.is_some() {
                parts.push(e.point("layout.lower_right.axle", "Right lower link, axle end"));
                parts.push(e.point("layout.lower_right.chassis", "Right lower link, chassis end"));
            }
            parts.push(e.point("layout.upper.axle", "Upper link, axle end"));
            parts.push(e.point("layout.upper.chassis", "Upper link, chassis end"));
        }
        Layout::FourLink { lower_right, upper_right, .. } => {
            parts.push(e.point("layout.lower_left.axle", "Left lower link, axle end"));
            parts.push(e.point("layout.lower_left.chassis", "Left lower link, chassis end"));
            parts.push(e.point("layout.upper_left.axle", "Left upper link, axle end"));
            parts.push(e.point("layout.upper_left.chassis", "Left upper link, chassis end"));
            if lower_right.is_some() {
                parts.push(e.point("layout.lower_right.axle", "Right lower link, axle end"));
                parts.push(e.point("layout.lower_right.chassis", "Right lower link, chassis end"));
            }
            if upper_right.is_some() {
                parts.push(e.point("layout.upper_right.axle", "Right upper link, axle end"));
                parts.push(e.point("layout.upper_right.chassis", "Right upper link, chassis end"));
            }
        }
    }
    parts
}

fn around(e: Under, axle: &Axle) -> Group {
    let mut parts = Vec::new();
    if axle.surroundings.rail.is_some() {
        parts.push(Part {
            title: "Frame rail, truck stock",
            specs: vec![
                e.spec(
                    "surroundings.rail.outer_mm",
                    "Outer face from center",
                    "Half the width across the rails beside the tire.",
                ),
                e.spec(
                    "surroundings.rail.bottom_mm",
                    "Bottom above axle centerline",
                    "Negative when below.",
                ),
                e.spec("surroundings.rail.top_mm", "Top above axle centerline", ""),
                e.spec(
                    "surroundings.rail.front_mm",
                    "Front end ahead of axle",
                    "Where the straight part ends.",
                ),
                e.spec(
                    "surroundings.rail.rear_mm",
                    "Rear end ahead of axle",
                    "Negative when behind.",
                ),
            ],
        });
    }
    if axle.surroundings.arch.is_some() {
        parts.push(Part {
            title: "Wheel arch, truck stock",
            specs: vec![
                e.spec("surroundings.arch.top_mm", "Lip above hub center", "Straight up."),
                e.spec("surroundings.arch.front_mm", "Lip ahead of hub center", "At hub height."),
                e.spec("surroundings.arch.rear_mm", "Lip behind hub center", "At hub height."),
                e.spec(
                    "surroundings.arch.lip_mm",
                    "Lip from truck's center",
                    "Outer edge; half the width across the lips.",
                ),
                e.spec(
                    "surroundings.arch.inner_mm",
                    "Inner end from truck's center",
                    "Where the inner panel starts.",
                ),
            ],
        });
    }
    parts.push(Part {
        title: "Arm",
        specs: vec![e.spec(
            "surroundings.arm_radius_mm",
            "Half its thickness",
            "As a round bar; empty when the tire cannot reach it.",
        )],
    });
    Group {
        slug: "around",
        title: "Around the tire",
        why: "What the tire must clear, measured on the truck standing stock.",
        parts,
    }
}

fn bushes(e: Under) -> Group {
    let bush = |at: &str, title| Part {
        title,
        specs: vec![
            e.spec(
                &format!("layout.{at}.radial_n_per_mm"),
                "Across, N/mm",
                "Force to push it one millimetre off center.",
            ),
            e.spec(&format!("layout.{at}.axial_n_per_mm"), "Along, N/mm", ""),
            e.spec(&format!("layout.{at}.conical_nm_per_deg"), "Cocking, N·m per degree", ""),
            e.spec(&format!("layout.{at}.torsion_nm_per_deg"), "Twist, N·m per degree", ""),
        ],
    };
    Group {
        slug: "bushes",
        title: "Rubber bushes",
        why: "A pair of radius arms moves on its rubber. Few people know these; the stand-ins are wide.",
        parts: vec![bush("axle_bush", "At the axle"), bush("chassis_bush", "At the chassis")],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::field;
    use fitment::truck::LayoutKind;

    #[test]
    fn every_field_has_its_place_in_the_truck() {
        for front in LayoutKind::ALL {
            let truck = Truck::typical(front, Some(front));
            for path in paths(&truck) {
                if path.rsplit('.').next() == Some("size") {
                    continue;
                }
                assert!(field::slot(&truck, &path).is_some(), "{path}");
            }
        }
    }

    #[test]
    fn the_first_numbers_are_eight() {
        let truck = Truck::typical(LayoutKind::FourLink, None);
        assert_eq!(first(End::Front).len(), 8);
        for spec in first(End::Front) {
            assert!(paths(&truck).contains(&spec.path), "{}", spec.path);
        }
    }

    #[test]
    fn every_field_can_be_named_alone() {
        let truck = Truck::example();
        for path in paths(&truck) {
            assert_ne!(long_name(&truck, &path), path);
        }
    }
}
