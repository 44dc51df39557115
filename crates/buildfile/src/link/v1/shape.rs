//! The shape of a version 1 document, field by field. Frozen; what version 2 kept is read by both.

use crate::limits;
use crate::link::shape::Kind::{Again, Float, Known, List, Struct, Tagged, Text, Whole, Word};
use crate::link::shape::{Field, Kind, Near, maybe, one};

pub(super) const DOCUMENT: Kind = Struct(&[
    one("name", &Text(limits::TEXT)),
    maybe("note", &Text(limits::NOTE)),
    one("units", &Word(&["metric", "inch"])),
    one("truck", &TRUCK),
    maybe("bands", &List(&BAND)),
]);

pub(in crate::link) const BAND: Kind = Struct(&[
    one("end", &Word(&["front", "rear"])),
    one("output", &Text(limits::TEXT)),
    maybe("low", &Float),
    maybe("high", &Float),
]);

const TRUCK: Kind =
    Struct(&[one("wheelbase_mm", &Known), maybe("front", &AXLE), maybe("rear", &AXLE)]);

const AXLE: Kind = Struct(&[
    one("hub_face_width_mm", &Known),
    one("layout", &LAYOUT),
    one("panhard", &BAR),
    maybe("kingpin", &KINGPIN),
    one("pinion", &PINION),
    one("limits", &LIMITS),
    one("surroundings", &SURROUNDINGS),
    one("stock", &SETUP),
    one("sitting", &SETUP).near(Near::Before("stock")),
    one("planned", &SETUP).near(Near::Before("sitting")),
    maybe("shelf", &SHELF),
    maybe("readings", &READINGS),
]);

const LAYOUT: Kind = Tagged(&[
    (
        "radius_arms",
        &[
            one("left", &RADIUS_ARM),
            maybe("right", &RADIUS_ARM),
            one("axle_bush", &BUSH),
            one("chassis_bush", &BUSH),
        ],
    ),
    ("three_link", &[one("lower_left", &BAR), maybe("lower_right", &BAR), one("upper", &BAR)]),
    (
        "four_link",
        &[
            one("lower_left", &BAR),
            maybe("lower_right", &BAR),
            one("upper_left", &BAR),
            maybe("upper_right", &BAR),
        ],
    ),
]);

pub(in crate::link) const POINT: Kind =
    Struct(&[one("x_mm", &Known), one("y_mm", &Known), one("z_mm", &Known)]);

pub(in crate::link) const BAR: Kind = Struct(&[one("axle", &POINT), one("chassis", &POINT)]);

pub(in crate::link) const RADIUS_ARM: Kind =
    Struct(&[one("axle_far", &POINT), one("axle_near", &POINT), one("chassis", &POINT)]);

pub(in crate::link) const BUSH: Kind = Struct(&[
    one("radial_n_per_mm", &Known),
    one("axial_n_per_mm", &Known),
    one("conical_nm_per_deg", &Known),
    one("torsion_nm_per_deg", &Known),
    one("axis", &Word(&["lateral", "longitudinal"])),
]);

pub(in crate::link) const KINGPIN: Kind = Struct(&[
    one("caster_deg", &Known),
    one("inclination_deg", &Known),
    one("hub_offset_mm", &Known),
    one("hub_trail_mm", &Known),
]);

pub(in crate::link) const PINION: Kind =
    Struct(&[one("angle_deg", &Known), one("length_mm", &Known), one("y_mm", &Known)]);

pub(in crate::link) const LIMITS: Kind =
    Struct(&[one("bump_mm", &Known), one("droop_mm", &Known), one("lock_deg", &Known)]);

pub(in crate::link) const SURROUNDINGS: Kind =
    Struct(&[maybe("rail", &RAIL), maybe("arch", &ARCH), maybe("arm_radius_mm", &Known)]);

pub(in crate::link) const RAIL: Kind = Struct(&[
    one("outer_mm", &Known),
    one("bottom_mm", &Known),
    one("top_mm", &Known),
    one("front_mm", &Known),
    one("rear_mm", &Known),
]);

pub(in crate::link) const ARCH: Kind = Struct(&[
    one("top_mm", &Known),
    one("front_mm", &Known),
    one("rear_mm", &Known),
    one("lip_mm", &Known),
    one("inner_mm", &Known),
]);

const SETUP: Kind = Struct(&[
    one("lift_mm", &Known),
    maybe("lift_right_mm", &Known),
    one("tire", &TIRE),
    one("wheel", &WHEEL),
    one("spacer_mm", &Known),
    maybe("parts", &PARTS),
]);

pub(in crate::link) const TIRE: Kind = Struct(&[
    one("size", &Text(limits::TEXT)),
    maybe("diameter_mm", &Known),
    maybe("section_mm", &Known),
    maybe("loaded_radius_mm", &Known),
]);

pub(in crate::link) const WHEEL: Kind =
    Struct(&[one("width_mm", &Known), one("offset_mm", &Known)]);

const PARTS: Kind = List(&Again(&PART));

pub(in crate::link) const BRACKET: &[Field] = &[one("holes", &List(&HOLE)), one("hole", &Whole)];
pub(in crate::link) const LENGTH: &[Field] =
    &[one("change_mm", &Known), one("range_mm", &List(&Float))];

const PART: Kind = Tagged(&[
    ("panhard_axle_bracket", BRACKET),
    ("panhard_chassis_bracket", BRACKET),
    ("panhard_length", LENGTH),
    ("arm_bracket", BRACKET),
    ("caster_bush", &[one("angle_deg", &Known), one("choices_deg", &List(&Float))]),
    ("upper_link_length", LENGTH),
]);

pub(in crate::link) const HOLE: Kind = Struct(&[
    one("name", &Text(limits::TEXT)),
    one("x_mm", &Known),
    one("y_mm", &Known),
    one("z_mm", &Known),
]);

const SHELF: Kind = Struct(&[
    maybe("parts", &PARTS),
    maybe("spacers_mm", &List(&Known)),
    maybe("wheels", &List(&WHEEL)),
]);

pub(in crate::link) const READINGS: Kind = Struct(&[
    maybe("panhard_length_mm", &Known),
    maybe("panhard_rise_mm", &Known),
    maybe("arm_length_mm", &Known),
    maybe("arm_rise_mm", &Known),
]);
