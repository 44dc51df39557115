//! The shape of a version 3 document, field by field. Frozen: a changed document is a version 4.

use crate::limits;
use crate::link::shape::Kind::{
    self, Again, Float, Known, List, Sorted, Struct, Tagged, Text, Word,
};
use crate::link::shape::{self, Near, maybe, one, seldom};
use crate::link::v1::shape::{
    ARCH, BAND, BAR, BRACKET, KINGPIN, LENGTH, LIMITS, PINION, POINT, RAIL, READINGS,
};
use crate::link::v2::shape::{BALANCE, LAYOUT, STEERING, WATTS};

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

pub(in crate::link) const SURROUNDINGS: Kind = Struct(&[
    maybe("rail", &RAIL),
    maybe("arch", &ARCH),
    maybe("arm_radius_mm", &Known),
    maybe("things", &THINGS),
]);

const THINGS: Kind = Sorted(&shape::Sorted {
    name: "things",
    key: "kind",
    words: &[
        "inner_panel",
        "body_mount",
        "pinch_weld",
        "bumper_corner",
        "sway_bar",
        "sway_bar_link",
        "spring",
        "bump_stop",
        "shock",
        "brake_caliper",
        "steering_arm",
        "arch_lip",
        "other",
    ],
    fields: &[
        seldom("name", &Text(limits::TEXT)),
        one("side", &Word(&["both", "left", "right"])),
        one("on", &Word(&["chassis", "axle", "knuckle", "between"])),
        one("shape", &SHAPE),
    ],
});

const SHAPE: Kind = Tagged(&[
    (
        "box",
        &[
            one("front_mm", &Known),
            one("rear_mm", &Known),
            one("inner_mm", &Known),
            one("outer_mm", &Known),
            one("bottom_mm", &Known),
            one("top_mm", &Known),
        ],
    ),
    ("bar", &[one("from", &POINT), one("to", &POINT), one("radius_mm", &Known)]),
    (
        "outline",
        &[
            one("view", &Word(&["side", "front", "plan"])),
            one("corners", &List(&CORNER)),
            one("from_mm", &Known),
            one("to_mm", &Known),
        ],
    ),
    (
        "inside_wheel",
        &[one("reach_mm", &Known), one("inboard_mm", &Known), one("outboard_mm", &Known)],
    ),
]);

const CORNER: Kind = Struct(&[one("a_mm", &Known), one("b_mm", &Known)]);

const SETUP: Kind = Struct(&[
    one("lift_mm", &Known),
    maybe("lift_right_mm", &Known).near(Near::Before("lift_mm")),
    one("tire", &TIRE),
    one("wheel", &WHEEL),
    one("spacer_mm", &Known),
    seldom("packing_mm", &Known),
    maybe("parts", &PARTS),
]);

pub(in crate::link) const TIRE: Kind = Struct(&[
    one("size", &Text(limits::TEXT)),
    maybe("diameter_mm", &Known),
    maybe("section_mm", &Known),
    maybe("loaded_radius_mm", &Known),
    seldom("tread_mm", &Known),
    seldom("crown_mm", &Known),
    seldom("shoulder_mm", &Known),
    seldom("shoulder_drop_mm", &Known),
]);

pub(in crate::link) const WHEEL: Kind = Struct(&[
    one("width_mm", &Known),
    one("offset_mm", &Known),
    seldom("inside_mm", &Known),
    seldom("spoke_mm", &Known),
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
    ("arch_trim", &[one("depth_mm", &Known)]),
    ("bump_stop", LENGTH),
    ("steering_stop", &[one("lock_deg", &Known), one("range_deg", &List(&Float))]),
]);

const SHELF: Kind = Struct(&[
    maybe("parts", &PARTS),
    maybe("spacers_mm", &List(&Known)),
    maybe("wheels", &List(&WHEEL)),
]);
