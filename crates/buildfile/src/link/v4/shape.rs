//! The shape of a version 4 document, field by field. Frozen: a changed document is a version 5.

use crate::limits;
use crate::link::shape::Kind::{Again, Float, Known, List, Struct, Tagged, Text, Whole, Word};
use crate::link::shape::{Field, Kind, Near, maybe, one, seldom};
use crate::link::v1::shape::{BAR, HOLE, KINGPIN, LIMITS, PINION, POINT, READINGS};
use crate::link::v2::shape::{BALANCE, LAYOUT, STEERING, WATTS};
use crate::link::v3::shape::{SURROUNDINGS, TIRE, WHEEL};

pub(super) const DOCUMENT: Kind = Struct(&[
    one("name", &Text(limits::TEXT)),
    maybe("note", &Text(limits::NOTE)),
    one("units", &Word(&["metric", "inch"])),
    one("truck", &TRUCK),
    maybe("targets", &List(&TARGET)),
]);

const TARGET: Kind = Struct(&[
    one("end", &Word(&["front", "rear"])),
    one("of", &Text(limits::TEXT)),
    maybe("low", &Float),
    maybe("high", &Float),
    seldom("weight", &Float),
    one("claim", &Word(&["wish", "must"])),
]);

const TRUCK: Kind = Struct(&[
    one("wheelbase_mm", &Known),
    maybe("balance", &BALANCE),
    seldom("weights", &WEIGHTS),
    seldom("belly", &BELLY),
    seldom("gears", &GEARS),
    maybe("front", &AXLE),
    maybe("rear", &AXLE),
]);

const WEIGHTS: Kind = Struct(&[
    maybe("front_axle_kg", &Known),
    maybe("rear_axle_kg", &Known),
    maybe("front_raised_kg", &Known),
    maybe("rise_mm", &Known),
]);

const BELLY: Kind =
    Struct(&[maybe("behind_front_wheel_mm", &Known), maybe("above_ground_mm", &Known)]);

const GEARS: Kind = Struct(&[
    maybe("axle_ratio", &Known),
    maybe("stock_axle_ratio", &Known),
    maybe("top_gear", &Known),
    maybe("first_gear", &Known),
    maybe("low_range", &Known),
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
    seldom("driveline", &DRIVELINE),
    seldom("hose", &HOSE),
    seldom("springing", &SPRINGING),
    seldom("overhang", &OVERHANG),
    one("limits", &LIMITS),
    one("surroundings", &SURROUNDINGS),
    one("stock", &SETUP),
    one("sitting", &SETUP).near(Near::Before("stock")),
    one("planned", &SETUP).near(Near::Before("sitting")),
    maybe("shelf", &SHELF),
    maybe("readings", &READINGS),
]);

const DRIVELINE: Kind = Struct(&[
    one("case", &POINT),
    one("case_slope_deg", &Known),
    seldom("case_plan_deg", &Known),
    one("shaft", &Word(&["in_phase", "out_of_phase", "double_cardan"])),
    maybe("slip_in_mm", &Known),
    maybe("slip_out_mm", &Known),
    maybe("joint_limit_deg", &Known),
]);

const HOSE: Kind = Struct(&[
    one("frame_end", &POINT),
    one("wheel_end", &POINT),
    one("on", &Word(&["chassis", "axle", "knuckle", "between"])),
    one("length_mm", &Known),
]);

const SPRINGING: Kind = Struct(&[
    maybe("spring_rate_n_per_mm", &Known),
    maybe("spring_solid_mm", &Known),
    maybe("shock_shortest_mm", &Known),
    maybe("shock_longest_mm", &Known),
    maybe("stop_squash_mm", &Known),
    maybe("sway_bar_nm_per_deg", &Known),
    maybe("unsprung_kg", &Known),
]);

const OVERHANG: Kind = Struct(&[
    maybe("beyond_mm", &Known),
    maybe("above_ground_mm", &Known),
    maybe("diff_above_ground_mm", &Known),
]);

const SETUP: Kind = Struct(&[
    one("lift_mm", &Known),
    maybe("lift_right_mm", &Known).near(Near::Before("lift_mm")),
    one("tire", &TIRE),
    one("wheel", &WHEEL),
    one("spacer_mm", &Known),
    seldom("packing_mm", &Known),
    maybe("parts", &List(&Again(&PART))),
]);

const PART: Kind = Tagged(&[
    (
        "bracket",
        &[
            one(
                "moves",
                &Word(&[
                    "panhard_axle",
                    "panhard_chassis",
                    "arm",
                    "lower_axle",
                    "upper_chassis",
                    "upper_axle",
                    "drag_link",
                ]),
            ),
            one("holes", &List(&HOLE)),
            one("hole", &Whole),
        ],
    ),
    (
        "length",
        &[
            one(
                "of",
                &Word(&[
                    "panhard",
                    "drag_link",
                    "upper_link",
                    "arm",
                    "bump_stop",
                    "driveshaft",
                    "brake_hose",
                ]),
            ),
            one("change_mm", &Known),
            one("range_mm", &List(&Float)),
        ],
    ),
    (
        "turn",
        &[
            one("by", &Word(&["caster_bush", "wedge", "knuckle_flange"])),
            one("angle_deg", &Known),
            one("choices_deg", &List(&Float)),
        ],
    ),
    (
        "step",
        &[
            one("of", &Word(&["spacer", "spring", "pitman", "transfer_case"])),
            one("step_mm", &Known),
            one("choices_mm", &List(&Float)),
        ],
    ),
    ("bend", &[one("x_mm", &Known), one("y_mm", &Known), one("z_mm", &Known)]),
    ("arch_trim", &[one("depth_mm", &Known)]),
    ("steering_stop", &[one("lock_deg", &Known), one("range_deg", &List(&Float))]),
    ("double_cardan", NOTHING),
    ("wheel", &[one("wheel", &WHEEL)]),
    ("tire", &[one("tire", &TIRE)]),
]);

const NOTHING: &[Field] = &[];

const SHELF: Kind = Struct(&[maybe("parts", &List(&OFFER))]);

const OFFER: Kind = Struct(&[
    one("part", &Again(&PART)),
    seldom("name", &Text(limits::TEXT)),
    seldom("price", &Known),
    seldom("hours", &Known),
]);
