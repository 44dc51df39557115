//! What each kind of thing is called, where it usually sits and where to hold the tape, in one
//! table.
//!
//! The typical figures are round numbers of our own with a wide spread (common practice, no
//! source): they give the drawing something to show until the tape takes their place.

use super::{Mount, Point, Shape, ThingKind};
use crate::measure::Known;

/// What is known of one kind of thing before anybody measures it.
#[derive(Debug)]
pub struct KindInfo {
    /// The kind.
    pub kind: ThingKind,
    /// What the trade calls it.
    pub name: &'static str,
    /// What usually carries it.
    pub on: Mount,
    /// The two or three figures worth measuring first.
    pub measures: &'static [Measure],
    /// Its shape as typically found beside a front wheel, every figure assumed.
    pub(super) typical: fn() -> Shape,
    /// Whether its place ahead of or behind the wheel is the other way round at the rear axle.
    pub(super) ends_of_truck: bool,
}

/// One figure a person measures.
#[derive(Debug)]
pub struct Measure {
    /// Path within the thing's shape, such as `outer_mm` or `from.y_mm`.
    pub field: &'static str,
    /// What it is, short.
    pub label: &'static str,
    /// Where to hold the tape, in one line.
    pub hold: &'static str,
}

impl ThingKind {
    /// What is known of this kind.
    pub const fn info(self) -> &'static KindInfo {
        // In the order of the kinds, which a test holds it to.
        match self {
            Self::InnerPanel => &KINDS[0],
            Self::BodyMount => &KINDS[1],
            Self::PinchWeld => &KINDS[2],
            Self::BumperCorner => &KINDS[3],
            Self::SwayBar => &KINDS[4],
            Self::SwayBarLink => &KINDS[5],
            Self::Spring => &KINDS[6],
            Self::BumpStop => &KINDS[7],
            Self::Shock => &KINDS[8],
            Self::BrakeCaliper => &KINDS[9],
            Self::SteeringArm => &KINDS[10],
            Self::ArchLip => &KINDS[11],
            Self::Other => &KINDS[12],
        }
    }
}

/// Every kind, in the order of [`ThingKind::ALL`].
pub static KINDS: [KindInfo; 13] = [
    KindInfo {
        kind: ThingKind::InnerPanel,
        name: "Inner panel",
        on: Mount::Chassis,
        measures: &[
            measure(
                "outer_mm",
                "Face from center",
                "From the truck's centerline out to the panel's face beside the tire.",
            ),
            measure(
                "bottom_mm",
                "Lowest edge",
                "From the axle's centerline straight up to the panel's lowest edge.",
            ),
        ],
        typical: || block([500.0, -500.0], [330.0, 430.0], [330.0, 700.0]),
        ends_of_truck: false,
    },
    KindInfo {
        kind: ThingKind::BodyMount,
        name: "Body mount",
        on: Mount::Chassis,
        measures: &[
            measure(
                "front_mm",
                "Front face",
                "From the axle's centerline back to the face the tire would meet; behind is negative.",
            ),
            measure(
                "outer_mm",
                "Outer end",
                "From the truck's centerline out to the bracket's outer end.",
            ),
            measure(
                "bottom_mm",
                "Bottom",
                "From the axle's centerline up to the bracket's underside; below is negative.",
            ),
        ],
        typical: || block([-480.0, -600.0], [375.0, 560.0], [60.0, 180.0]),
        ends_of_truck: true,
    },
    KindInfo {
        kind: ThingKind::PinchWeld,
        name: "Pinch weld",
        on: Mount::Chassis,
        measures: &[
            measure(
                "front_mm",
                "Edge toward the tire",
                "From the axle's centerline back to the seam's edge; behind is negative.",
            ),
            measure(
                "outer_mm",
                "Outer end",
                "From the truck's centerline out to the seam's outer end.",
            ),
            measure(
                "bottom_mm",
                "Lower end",
                "From the axle's centerline up to the seam's lower end; below is negative.",
            ),
        ],
        typical: || block([-500.0, -520.0], [520.0, 780.0], [20.0, 320.0]),
        ends_of_truck: true,
    },
    KindInfo {
        kind: ThingKind::BumperCorner,
        name: "Bumper corner",
        on: Mount::Chassis,
        measures: &[
            measure(
                "rear_mm",
                "Back edge",
                "From the axle's centerline forward to the bumper's edge toward the tire.",
            ),
            measure(
                "outer_mm",
                "Outer end",
                "From the truck's centerline out to the bumper's end.",
            ),
            measure(
                "bottom_mm",
                "Lower edge",
                "From the axle's centerline up to the bumper's lower edge; below is negative.",
            ),
        ],
        typical: || block([680.0, 560.0], [300.0, 850.0], [60.0, 320.0]),
        ends_of_truck: true,
    },
    KindInfo {
        kind: ThingKind::SwayBar,
        name: "Sway bar",
        on: Mount::Chassis,
        measures: &[
            measure(
                "to.y_mm",
                "Outer end from center",
                "From the truck's centerline out to the bar's outermost point beside the tire.",
            ),
            measure(
                "to.x_mm",
                "Ahead of the axle",
                "From the axle's centerline fore and aft to that point; behind is negative.",
            ),
            measure(
                "to.z_mm",
                "Height",
                "From the axle's centerline up to the middle of the bar there.",
            ),
        ],
        typical: || rod([460.0, 380.0, 90.0], [300.0, 470.0, 110.0], 14.0),
        ends_of_truck: true,
    },
    KindInfo {
        kind: ThingKind::SwayBarLink,
        name: "Sway bar link",
        on: Mount::Between,
        measures: &[
            measure(
                "from.y_mm",
                "Lower end from center",
                "From the truck's centerline out to the middle of the link's lower joint.",
            ),
            measure(
                "from.x_mm",
                "Ahead of the axle",
                "From the axle's centerline fore and aft to that joint; behind is negative.",
            ),
            measure(
                "radius_mm",
                "Half its thickness",
                "Across the link or its joint where that is thickest, then halved.",
            ),
        ],
        typical: || rod([180.0, 450.0, 20.0], [190.0, 455.0, 240.0], 16.0),
        ends_of_truck: true,
    },
    KindInfo {
        kind: ThingKind::Spring,
        name: "Coil spring",
        on: Mount::Between,
        measures: &[
            measure(
                "from.y_mm",
                "Middle from center",
                "From the truck's centerline out to the middle of the spring's seat on the axle.",
            ),
            measure(
                "radius_mm",
                "Half across the coil",
                "Across the outside of the coil, then halved.",
            ),
        ],
        typical: || rod([0.0, 400.0, 60.0], [0.0, 400.0, 320.0], 65.0),
        ends_of_truck: false,
    },
    KindInfo {
        kind: ThingKind::BumpStop,
        name: "Bump stop",
        on: Mount::Chassis,
        measures: &[
            measure(
                "outer_mm",
                "Outer side",
                "From the truck's centerline out to the outer side of the stop or its cup.",
            ),
            measure(
                "bottom_mm",
                "Lower end",
                "From the axle's centerline up to the stop's lower end.",
            ),
        ],
        typical: || block([40.0, -40.0], [360.0, 440.0], [150.0, 260.0]),
        ends_of_truck: false,
    },
    KindInfo {
        kind: ThingKind::Shock,
        name: "Shock",
        on: Mount::Between,
        measures: &[
            measure(
                "from.y_mm",
                "Lower eye from center",
                "From the truck's centerline out to the middle of the shock's lower eye.",
            ),
            measure(
                "from.x_mm",
                "Ahead of the axle",
                "From the axle's centerline fore and aft to that eye; behind is negative.",
            ),
            measure(
                "radius_mm",
                "Half across the body",
                "Across the shock's body or dust tube, then halved.",
            ),
        ],
        typical: || rod([90.0, 430.0, -40.0], [120.0, 400.0, 420.0], 30.0),
        ends_of_truck: true,
    },
    KindInfo {
        kind: ThingKind::BrakeCaliper,
        name: "Brake caliper",
        on: Mount::Knuckle,
        measures: &[
            measure(
                "reach_mm",
                "Farthest from the hub",
                "From the hub's middle out to the caliper's farthest corner, wheel off.",
            ),
            measure(
                "outboard_mm",
                "Past the mounting face",
                "From the face the wheel bolts against outward to the caliper's outermost point; inboard of it is negative.",
            ),
        ],
        typical: || ring(185.0, 90.0, 25.0),
        ends_of_truck: false,
    },
    KindInfo {
        kind: ThingKind::SteeringArm,
        name: "Steering arm",
        on: Mount::Knuckle,
        measures: &[
            measure(
                "reach_mm",
                "Farthest from the hub",
                "From the hub's middle out to the farthest part of the arm or its joint.",
            ),
            measure(
                "outboard_mm",
                "Short of the mounting face",
                "From the face the wheel bolts against inward to the nearest part of the arm or joint, as a negative number.",
            ),
        ],
        typical: || ring(170.0, 190.0, -70.0),
        ends_of_truck: false,
    },
    KindInfo {
        kind: ThingKind::ArchLip,
        name: "Arch lip",
        on: Mount::Chassis,
        measures: &[
            measure(
                "from.x_mm",
                "Lower end",
                "From the hub's middle level to the lip where it is nearest the tire; behind is negative.",
            ),
            measure(
                "from.y_mm",
                "From center",
                "From the truck's centerline out to the middle of the folded edge.",
            ),
            measure(
                "radius_mm",
                "Half its depth",
                "How far the folded edge reaches inward, then halved.",
            ),
        ],
        typical: || rod([545.0, 825.0, 0.0], [420.0, 825.0, 350.0], 10.0),
        ends_of_truck: false,
    },
    KindInfo {
        kind: ThingKind::Other,
        name: "Something else",
        on: Mount::Chassis,
        measures: &[
            measure(
                "outer_mm",
                "Outer side",
                "From the truck's centerline out to its side toward the tire.",
            ),
            measure(
                "bottom_mm",
                "Lower edge",
                "From the axle's centerline up to its lowest edge; below is negative.",
            ),
            measure(
                "front_mm",
                "Front end",
                "From the axle's centerline forward to its front end; behind is negative.",
            ),
        ],
        typical: || block([520.0, 420.0], [330.0, 450.0], [100.0, 250.0]),
        ends_of_truck: false,
    },
];

const fn measure(field: &'static str, label: &'static str, hold: &'static str) -> Measure {
    Measure { field, label, hold }
}

/// Spread of a stand-in place, and of a stand-in thickness, mm.
const PLACE_SIGMA_MM: f64 = 40.0;
const THICKNESS_SIGMA: f64 = 0.25;

const fn place(value: f64) -> Known {
    Known::assumed(value, PLACE_SIGMA_MM)
}

const fn thickness(value: f64) -> Known {
    Known::assumed(value, value * THICKNESS_SIGMA)
}

const fn point([x, y, z]: [f64; 3]) -> Point {
    Point { x_mm: place(x), y_mm: place(y), z_mm: place(z) }
}

const fn block(
    [front, rear]: [f64; 2],
    [inner, outer]: [f64; 2],
    [bottom, top]: [f64; 2],
) -> Shape {
    Shape::Box {
        front_mm: place(front),
        rear_mm: place(rear),
        inner_mm: place(inner),
        outer_mm: place(outer),
        bottom_mm: place(bottom),
        top_mm: place(top),
    }
}

const fn rod(from: [f64; 3], to: [f64; 3], radius: f64) -> Shape {
    Shape::Bar { from: point(from), to: point(to), radius_mm: thickness(radius) }
}

/// Calipers and arms differ less between trucks than where brackets sit: 15 mm.
const fn ring(reach: f64, inboard: f64, outboard: f64) -> Shape {
    Shape::InsideWheel {
        reach_mm: Known::assumed(reach, 15.0),
        inboard_mm: Known::assumed(inboard, 15.0),
        outboard_mm: Known::assumed(outboard, 15.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_kinds() {
        assert_eq!(KINDS.each_ref().map(|info| info.kind), ThingKind::ALL);
        for kind in ThingKind::ALL {
            assert_eq!(kind.info().kind, kind);
        }
    }

    #[test]
    fn each_kind_is_built_from_two_or_three_measurements() {
        for info in &KINDS {
            assert!((2..=3).contains(&info.measures.len()), "{}", info.name);
            for measure in info.measures {
                assert!(measure.field.ends_with("_mm"), "{} {}", info.name, measure.field);
                assert!(measure.hold.ends_with('.'), "{} {}", info.name, measure.hold);
            }
        }
    }
}
