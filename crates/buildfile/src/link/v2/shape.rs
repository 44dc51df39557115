//! The shape of a version 2 document, field by field. Frozen; what version 3 kept is read by both.

use crate::limits;
use crate::link::shape::Kind::{Again, Float, Known, List, Struct, Tagged, Text, Word};
use crate::link::shape::{Field, Kind, Near, maybe, one};
use crate::link::v1::shape::{
    BAND, BAR, BRACKET, BUSH, KINGPIN, LENGTH, LIMITS, PINION, POINT, RADIUS_ARM, READINGS,
    SURROUNDINGS, TIRE, WHEEL,
};

pub(super) const DOCUMENT: Kind = Struct(&[
    one("name", &Text(limits::TEXT)),
    maybe("note", &Text(limits::NOTE)),
    one("units", &Word(&["metric", "inch"])),
    one("truck", &TRUCK),
    maybe("bands", &List(&BAND)),
]);

const TRUCK: Kind = Struct(&[
    one("wheelbase_mm", &Known),
    maybe("balance", &BALANCE),
    maybe("front", &AXLE),
    maybe("rear", &AXLE),
]);

pub(in crate::link) const BALANCE: Kind = Struct(&[
    one("cg_height_mm", &Known),
    one("front_brake_percent", &Known),
    one("front_drive_percent", &Known),
]);

const AXLE: Kind = Struct(&[
    one("hub_face_width_mm", &Known),
    one("layout", &LAYOUT).near(Near::Either("layout_2")),
    maybe("panhard", &BAR),
    maybe("watts", &WATTS),
    maybe("kingpin", &KINGPIN),
    maybe("steering", &STEERING).near(Near::Either("steering_2")),
    maybe("spring", &BAR),
    maybe("shock", &BAR),
    one("pinion", &PINION),
    one("limits", &LIMITS),
    one("surroundings", &SURROUNDINGS),
    one("stock", &SETUP),
    one("sitting", &SETUP).near(Near::Before("stock")),
    one("planned", &SETUP).near(Near::Before("sitting")),
    maybe("shelf", &SHELF),
    maybe("readings", &READINGS),
]);

pub(in crate::link) const LAYOUT: Kind = Tagged(&[
    (
        "radius_arms",
        &[
            one("left", &RADIUS_ARM),
            maybe("right", &RADIUS_ARM).near(Near::Mirror("left")),
            one("axle_bush", &BUSH),
            one("chassis_bush", &BUSH),
        ],
    ),
    (
        "three_link",
        &[one("lower_left", &BAR), other("lower_right", "lower_left"), one("upper", &BAR)],
    ),
    (
        "four_link",
        &[
            one("lower_left", &BAR),
            other("lower_right", "lower_left"),
            one("upper_left", &BAR),
            other("upper_right", "upper_left"),
        ],
    ),
    (
        "leaf_springs",
        &[
            one("left", &LEAF_SPRING),
            maybe("right", &LEAF_SPRING).near(Near::Mirror("left")),
            one("rates", &LEAF_RATES),
            one("eye_bush", &BUSH),
        ],
    ),
]);

/// A right-hand link, most often the left one's mirror image or nearly so.
const fn other(name: &'static str, left: &'static str) -> Field {
    maybe(name, &BAR).near(Near::Mirror(left))
}

const LEAF_SPRING: Kind = Struct(&[
    one("seat", &POINT),
    one("fixed_eye", &POINT),
    one("shackle_eye", &POINT),
    one("shackle_chassis", &POINT),
]);

const LEAF_RATES: Kind = Struct(&[
    one("vertical_n_per_mm", &Known),
    one("lateral_n_per_mm", &Known),
    one("twist_nm_per_deg", &Known),
    one("clamped_mm", &Known),
]);

pub(in crate::link) const WATTS: Kind = Struct(&[
    one("crank_on", &Word(&["axle", "chassis"])),
    one("pivot", &POINT),
    one("left", &BAR),
    one("right", &BAR),
]);

pub(in crate::link) const STEERING: Kind = Struct(&[
    one("pitman", &PITMAN),
    one("drag_link", &DRAG_LINK),
    one("tie_rod", &TIE_ROD),
    one("ratio", &Known),
]);

const PITMAN: Kind = Struct(&[
    one("pivot", &POINT),
    one("end", &POINT),
    one("shaft", &Word(&["upright", "across"])),
]);

const DRAG_LINK: Kind = Struct(&[
    one("end", &POINT),
    one("joins", &Word(&["left_knuckle", "right_knuckle", "tie_rod"])),
]);

const TIE_ROD: Kind =
    Struct(&[one("left", &POINT), maybe("right", &POINT).near(Near::Mirror("left"))]);

const SETUP: Kind = Struct(&[
    one("lift_mm", &Known),
    maybe("lift_right_mm", &Known).near(Near::Before("lift_mm")),
    one("tire", &TIRE),
    one("wheel", &WHEEL),
    one("spacer_mm", &Known),
    maybe("parts", &PARTS),
]);

const PARTS: Kind = List(&Again(&PART));

const PART: Kind = Tagged(&[
    ("panhard_axle_bracket", BRACKET),
    ("panhard_chassis_bracket", BRACKET),
    ("panhard_length", LENGTH),
    ("arm_bracket", BRACKET),
    ("caster_bush", &[one("angle_deg", &Known), one("choices_deg", &List(&Float))]),
    ("upper_link_length", LENGTH),
    ("drag_link_length", LENGTH),
]);

const SHELF: Kind = Struct(&[
    maybe("parts", &PARTS),
    maybe("spacers_mm", &List(&Known)),
    maybe("wheels", &List(&WHEEL)),
]);
