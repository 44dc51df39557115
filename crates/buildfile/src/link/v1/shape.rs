//! The shape of a version 1 document, field by field. Frozen: a changed document is a version 2.

use crate::limits;

/// What a value is and how it travels.
#[derive(Debug)]
pub(super) enum Kind {
    /// A number with uncertainty and origin.
    Known,
    /// A plain number.
    Float,
    /// A small whole number.
    Whole,
    /// Text up to a length.
    Text(usize),
    /// One of a few words.
    Word(&'static [&'static str]),
    /// An object with these fields.
    Struct(&'static [Field]),
    /// An object with one key of these, and its fields inside.
    Tagged(&'static [(&'static str, &'static [Field])]),
    /// A list.
    List(&'static Kind),
    /// Something that tends to come again elsewhere; then only its number is sent.
    Again(&'static Kind),
}

/// A field of an object.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) name: &'static str,
    pub(super) kind: &'static Kind,
    /// False when the document may leave it out.
    pub(super) always: bool,
    /// The field before it that it most likely resembles.
    pub(super) like: Option<&'static str>,
}

const fn one(name: &'static str, kind: &'static Kind) -> Field {
    Field { name, kind, always: true, like: None }
}

const fn maybe(name: &'static str, kind: &'static Kind) -> Field {
    Field { name, kind, always: false, like: None }
}

const fn like(name: &'static str, kind: &'static Kind, before: &'static str) -> Field {
    Field { name, kind, always: true, like: Some(before) }
}

use Kind::{Again, Float, Known, List, Struct, Tagged, Text, Whole, Word};

/// Where a number can come from, by the codes of the walk.
pub(super) const INSTRUMENTS: [(&str, f64); 5] = [
    // The typical uncertainties as they were when version 1 was frozen.
    ("tape", 2.0),
    ("angle_gauge", 0.2),
    ("phone_level", 0.5),
    ("plumb_line", 3.0),
    ("caliper", 0.2),
];

pub(super) const DOCUMENT: Kind = Struct(&[
    one("name", &Text(limits::TEXT)),
    maybe("note", &Text(limits::NOTE)),
    one("units", &Word(&["metric", "inch"])),
    one("truck", &TRUCK),
    maybe("bands", &List(&BAND)),
]);

const BAND: Kind = Struct(&[
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
    like("sitting", &SETUP, "stock"),
    like("planned", &SETUP, "sitting"),
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

const POINT: Kind = Struct(&[one("x_mm", &Known), one("y_mm", &Known), one("z_mm", &Known)]);

const BAR: Kind = Struct(&[one("axle", &POINT), one("chassis", &POINT)]);

const RADIUS_ARM: Kind =
    Struct(&[one("axle_far", &POINT), one("axle_near", &POINT), one("chassis", &POINT)]);

const BUSH: Kind = Struct(&[
    one("radial_n_per_mm", &Known),
    one("axial_n_per_mm", &Known),
    one("conical_nm_per_deg", &Known),
    one("torsion_nm_per_deg", &Known),
    one("axis", &Word(&["lateral", "longitudinal"])),
]);

const KINGPIN: Kind = Struct(&[
    one("caster_deg", &Known),
    one("inclination_deg", &Known),
    one("hub_offset_mm", &Known),
    one("hub_trail_mm", &Known),
]);

const PINION: Kind =
    Struct(&[one("angle_deg", &Known), one("length_mm", &Known), one("y_mm", &Known)]);

const LIMITS: Kind =
    Struct(&[one("bump_mm", &Known), one("droop_mm", &Known), one("lock_deg", &Known)]);

const SURROUNDINGS: Kind =
    Struct(&[maybe("rail", &RAIL), maybe("arch", &ARCH), maybe("arm_radius_mm", &Known)]);

const RAIL: Kind = Struct(&[
    one("outer_mm", &Known),
    one("bottom_mm", &Known),
    one("top_mm", &Known),
    one("front_mm", &Known),
    one("rear_mm", &Known),
]);

const ARCH: Kind = Struct(&[
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

const TIRE: Kind = Struct(&[
    one("size", &Text(limits::TEXT)),
    maybe("diameter_mm", &Known),
    maybe("section_mm", &Known),
    maybe("loaded_radius_mm", &Known),
]);

const WHEEL: Kind = Struct(&[one("width_mm", &Known), one("offset_mm", &Known)]);

const PARTS: Kind = List(&Again(&PART));

const BRACKET: &[Field] = &[one("holes", &List(&HOLE)), one("hole", &Whole)];
const LENGTH: &[Field] = &[one("change_mm", &Known), one("range_mm", &List(&Float))];

const PART: Kind = Tagged(&[
    ("panhard_axle_bracket", BRACKET),
    ("panhard_chassis_bracket", BRACKET),
    ("panhard_length", LENGTH),
    ("arm_bracket", BRACKET),
    ("caster_bush", &[one("angle_deg", &Known), one("choices_deg", &List(&Float))]),
    ("upper_link_length", LENGTH),
]);

const HOLE: Kind = Struct(&[
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

const READINGS: Kind = Struct(&[
    maybe("panhard_length_mm", &Known),
    maybe("panhard_rise_mm", &Known),
    maybe("arm_length_mm", &Known),
    maybe("arm_rise_mm", &Known),
]);
