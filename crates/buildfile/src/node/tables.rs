//! The document's types by the names of their fields, in the order they are written.

use super::kinds::Blank;
use super::{About, Fields, How, Node, See, Tagged, Touch, Word};
use crate::build::{Build, Claim, Target, Units, VERSION};
use crate::json::FORMAT;
use fitment::calibrate::{Log, Set, Standing, Taken, Trust, log};
use fitment::measure::Instrument;
use fitment::truck::{
    Arch, Axis, Axle, Balance, Bar, Belly, BushRates, Carrier, Corner, DragLink, Driveline, End,
    Gears, Hole, Hose, Joins, Kingpin, Layout, LeafRates, LeafSpring, Limits, Member, Mount, Offer,
    Overhang, Part, Pinion, Pitman, Pivot, Point, RadiusArm, Rail, Readings, Setup, Shaft,
    ShaftKind, Shape, Shelf, Springing, State, Steering, Step, Surroundings, Thing, ThingKind,
    ThingSide, TieRod, Tire, Truck, Turning, View, Watts, Weights, Wheel,
};

/// The document as it is written; [`Build`](crate::Build) without the ceremony.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(title = "Tapewright build"))]
#[cfg_attr(feature = "schema", serde(deny_unknown_fields))]
pub(crate) struct Document {
    /// Always `tapewright-build`.
    pub format: String,
    /// Version of this form; 4.
    #[cfg_attr(feature = "schema", schemars(with = "u32"))]
    pub version: usize,
    /// What the person calls the build.
    pub name: String,
    /// Anything they want to remember about it.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "String::is_empty"))]
    pub note: String,
    /// Units for reading and typing; every number in the document is mm or degrees as named.
    #[cfg_attr(feature = "schema", serde(default))]
    pub units: Units,
    /// The truck.
    pub truck: Truck,
    /// Targets of the person's own, in place of the usual ones.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "Vec::is_empty"))]
    pub targets: Vec<Target>,
    /// What was read under the truck, set by set.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "Vec::is_empty"))]
    pub log: Vec<Set>,
}

impl Document {
    /// With nothing in it.
    pub(crate) fn blank() -> Self {
        Blank::blank()
    }

    /// A build's.
    pub(crate) fn of(build: Build) -> Self {
        let Build { name, note, units, truck, targets, log } = build;
        let version = VERSION as usize;
        Self { format: FORMAT.into(), version, name, note, units, truck, targets, log: log.sets }
    }
}

impl From<Document> for Build {
    fn from(document: Document) -> Self {
        let Document { format: _, version: _, name, note, units, truck, targets, log: sets } =
            document;
        Self { name, note, units, truck, targets, log: Log { version: log::VERSION, sets } }
    }
}

/// The field with a number, among some.
macro_rules! nth {
    ($at:ident: $($field:ident)*) => {{
        let n = 0;
        $(
            if $at == n {
                return Some($field);
            }
            let n = n + 1;
        )*
        let _ = n;
        None
    }};
}

/// What is known of an object with these fields.
macro_rules! about {
    ($what:expr; $($how:ident $field:ident)*) => {
        &About {
            what: $what,
            names: &[$(stringify!($field)),*],
            how: &[$(How::$how),*],
        }
    };
}

/// An object, except for what it is before it is read and when it is left out.
macro_rules! object {
    ($kind:ident { $($how:ident $field:ident)* } $($idle:item)?) => {
        impl Node for $kind {
            fn see(&self) -> See<'_> {
                See::Fields(self)
            }
            fn touch(&mut self) -> Touch<'_> {
                Touch::Fields(self)
            }
        }

        impl Fields for $kind {
            fn about(&self) -> &'static About {
                about!(concat!("struct ", stringify!($kind)); $($how $field)*)
            }
            fn field(&self, at: usize) -> Option<&dyn Node> {
                let Self { $($field),* } = self;
                nth!(at: $($field)*)
            }
            fn field_mut(&mut self, at: usize) -> Option<&mut dyn Node> {
                let Self { $($field),* } = self;
                nth!(at: $($field)*)
            }
            $($idle)?
        }
    };
}

/// Objects.
macro_rules! objects {
    ($($kind:ident { $($how:ident $field:ident)* })*) => {$(
        object! { $kind { $($how $field)* } }

        impl Blank for $kind {
            #[inline(never)]
            fn blank() -> Self {
                Self { $($field: Blank::blank()),* }
            }
        }
    )*};
}

/// A choice between objects.
macro_rules! tagged {
    ($($kind:ident { $($tag:literal $variant:ident { $($how:ident $field:ident)* })* })*) => {$(
        impl Node for $kind {
            fn see(&self) -> See<'_> {
                See::Tagged(self)
            }
            fn touch(&mut self) -> Touch<'_> {
                Touch::Tagged(self)
            }
        }

        impl Fields for $kind {
            fn about(&self) -> &'static About {
                match self {
                    $(Self::$variant { .. } => about!(
                        concat!("struct variant ", stringify!($kind), "::", stringify!($variant));
                        $($how $field)*
                    ),)*
                }
            }
            fn field(&self, at: usize) -> Option<&dyn Node> {
                match self {
                    $(Self::$variant { $($field),* } => nth!(at: $($field)*),)*
                }
            }
            fn field_mut(&mut self, at: usize) -> Option<&mut dyn Node> {
                match self {
                    $(Self::$variant { $($field),* } => nth!(at: $($field)*),)*
                }
            }
        }

        impl Tagged for $kind {
            fn tags(&self) -> &'static [&'static str] {
                &[$($tag),*]
            }
            fn tag(&self) -> &'static str {
                match self {
                    $(Self::$variant { .. } => $tag,)*
                }
            }
            #[inline(never)]
            fn choose(&mut self, at: usize) {
                let n = 0;
                $(
                    if at == n {
                        *self = Self::$variant { $($field: Blank::blank()),* };
                    }
                    let n = n + 1;
                )*
                let _ = n;
            }
        }
    )*};
}

/// A choice between words; the first is what it is before it is read.
macro_rules! words {
    ($($kind:ident { $first_word:literal $first:ident, $($word:literal $variant:ident,)* })*) => {$(
        impl Node for $kind {
            fn see(&self) -> See<'_> {
                See::Word(match self {
                    Self::$first => $first_word,
                    $(Self::$variant => $word,)*
                })
            }
            fn touch(&mut self) -> Touch<'_> {
                Touch::Word(self)
            }
        }

        impl Blank for $kind {
            fn blank() -> Self {
                Self::$first
            }
        }

        impl Word for $kind {
            fn words(&self) -> &'static [&'static str] {
                &[$first_word, $($word),*]
            }
            fn choose(&mut self, at: usize) {
                if let Some(choice) = [Self::$first, $(Self::$variant),*].get(at) {
                    *self = *choice;
                }
            }
        }
    )*};
}

objects! {
    Document { Must format Must version Must name May note Wrote units Must truck May targets
        May log }
    Target { Must end Must of May low May high May weight Wrote claim }
    Set { May name May date Wrote state May standing May note Must readings }
    Standing { May rake_deg May floor_along_deg May floor_across_deg }
    Taken { Must what Wrote end Must read May with May entered Wrote trust }
    Truck { Must wheelbase_mm May balance May weights May belly May gears May front May rear }
    Weights { May front_axle_kg May rear_axle_kg May front_raised_kg May rise_mm }
    Belly { May behind_front_wheel_mm May above_ground_mm }
    Gears { May axle_ratio May stock_axle_ratio May top_gear May first_gear May low_range }
    Axle {
        Must hub_face_width_mm Must layout May panhard May watts May kingpin May steering
        May spring May shock Must pinion May driveline May hose May springing May overhang
        Must limits Must surroundings
        Must stock Must sitting Must planned May shelf May readings
    }
    Kingpin { Must caster_deg Must inclination_deg Must hub_offset_mm Must hub_trail_mm }
    Pinion { Must angle_deg Must length_mm Must y_mm }
    Driveline { Must case Must case_slope_deg May case_plan_deg Must shaft
        May slip_in_mm May slip_out_mm May joint_limit_deg }
    Hose { Must frame_end Must wheel_end Must on Must length_mm }
    Springing {
        May spring_rate_n_per_mm May spring_solid_mm May shock_shortest_mm May shock_longest_mm
        May stop_squash_mm May sway_bar_nm_per_deg May unsprung_kg
    }
    Overhang { May beyond_mm May above_ground_mm May diff_above_ground_mm }
    Limits { Must bump_mm Must droop_mm Must lock_deg }
    Readings { May panhard_length_mm May panhard_rise_mm May arm_length_mm May arm_rise_mm }
    Point { Must x_mm Must y_mm Must z_mm }
    Bar { Must axle Must chassis }
    RadiusArm { Must axle_far Must axle_near Must chassis }
    LeafSpring { Must seat Must fixed_eye Must shackle_eye Must shackle_chassis }
    LeafRates {
        Must vertical_n_per_mm Must lateral_n_per_mm Must twist_nm_per_deg Must clamped_mm
    }
    BushRates {
        Must radial_n_per_mm Must axial_n_per_mm Must conical_nm_per_deg Must torsion_nm_per_deg
        Must axis
    }
    Watts { Must crank_on Must pivot Must left Must right }
    Steering { Must pitman Must drag_link Must tie_rod Must ratio }
    Pitman { Must pivot Must end Must shaft }
    DragLink { Must end Must joins }
    TieRod { Must left May right }
    Surroundings { May rail May arch May arm_radius_mm May things }
    Thing { Must kind May name Wrote side Must on Must shape }
    Corner { Must a_mm Must b_mm }
    Rail { Must outer_mm Must bottom_mm Must top_mm Must front_mm Must rear_mm }
    Arch { Must top_mm Must front_mm Must rear_mm Must lip_mm Must inner_mm }
    Setup { Must lift_mm May lift_right_mm Must tire Must wheel Must spacer_mm May packing_mm
        May parts }
    Tire { Must size May diameter_mm May section_mm May loaded_radius_mm
        May tread_mm May crown_mm May shoulder_mm May shoulder_drop_mm }
    Wheel { Must width_mm Must offset_mm May inside_mm May spoke_mm }
    Hole { Must name Must x_mm Must y_mm Must z_mm }
    Offer { Must part May name May price May hours }
    Shelf { May parts }
}

object! {
    Balance { Must cg_height_mm Must front_brake_percent Must front_drive_percent }
    fn is_idle(&self) -> bool {
        self.is_assumed()
    }
}

impl Blank for Balance {
    fn blank() -> Self {
        Self::assumed()
    }
}

tagged! {
    Layout {
        "radius_arms" RadiusArms { Must left May right Must axle_bush Must chassis_bush }
        "three_link" ThreeLink { Must lower_left May lower_right Must upper }
        "four_link" FourLink { Must lower_left May lower_right Must upper_left May upper_right }
        "leaf_springs" LeafSprings { Must left May right Must rates Must eye_bush }
    }
    Part {
        "bracket" Bracket { Must moves Must holes Must hole }
        "length" Length { Must of Must change_mm Must range_mm }
        "turn" Turn { Must by Must angle_deg Must choices_deg }
        "step" Step { Must of Must step_mm Must choices_mm }
        "bend" Bend { Must x_mm Must y_mm Must z_mm }
        "arch_trim" ArchTrim { Must depth_mm }
        "steering_stop" SteeringStop { Must lock_deg Must range_deg }
        "double_cardan" DoubleCardan {}
        "wheel" Wheel { Must wheel }
        "tire" Tire { Must tire }
    }
    Shape {
        "box" Box {
            Must front_mm Must rear_mm Must inner_mm Must outer_mm Must bottom_mm Must top_mm
        }
        "bar" Bar { Must from Must to Must radius_mm }
        "outline" Outline { Must view Must corners Must from_mm Must to_mm }
        "inside_wheel" InsideWheel { Must reach_mm Must inboard_mm Must outboard_mm }
    }
}

impl Blank for Layout {
    fn blank() -> Self {
        Self::ThreeLink { lower_left: Blank::blank(), lower_right: None, upper: Blank::blank() }
    }
}

impl Blank for Part {
    fn blank() -> Self {
        Self::bracket(Pivot::PanhardAxle, Vec::new(), 0)
    }
}

impl Blank for Shape {
    fn blank() -> Self {
        Self::Bar { from: Blank::blank(), to: Blank::blank(), radius_mm: Blank::blank() }
    }
}

words! {
    Units { "metric" Metric, "inch" Inch, }
    Instrument {
        "tape" Tape, "angle_gauge" AngleGauge, "phone_level" PhoneLevel,
        "plumb_line" PlumbLine, "caliper" Caliper,
    }
    End { "front" Front, "rear" Rear, }
    Axis { "lateral" Lateral, "longitudinal" Longitudinal, }
    Carrier { "axle" Axle, "chassis" Chassis, }
    Shaft { "upright" Upright, "across" Across, }
    ThingKind {
        "inner_panel" InnerPanel, "body_mount" BodyMount, "pinch_weld" PinchWeld,
        "bumper_corner" BumperCorner, "sway_bar" SwayBar, "sway_bar_link" SwayBarLink,
        "spring" Spring, "bump_stop" BumpStop, "shock" Shock, "brake_caliper" BrakeCaliper,
        "steering_arm" SteeringArm, "arch_lip" ArchLip, "other" Other,
    }
    ThingSide { "both" Both, "left" Left, "right" Right, }
    Mount { "chassis" Chassis, "axle" Axle, "knuckle" Knuckle, "between" Between, }
    View { "side" Side, "front" Front, "plan" Plan, }
    Pivot {
        "panhard_axle" PanhardAxle, "panhard_chassis" PanhardChassis, "arm" Arm,
        "lower_axle" LowerAxle, "upper_chassis" UpperChassis, "upper_axle" UpperAxle,
        "drag_link" DragLink,
    }
    Member {
        "panhard" Panhard, "drag_link" DragLink, "upper_link" UpperLink, "arm" Arm,
        "bump_stop" BumpStop, "driveshaft" Driveshaft, "brake_hose" BrakeHose,
    }
    Turning { "caster_bush" CasterBush, "wedge" Wedge, "knuckle_flange" KnuckleFlange, }
    Step {
        "spacer" Spacer, "spring" Spring, "pitman" Pitman, "transfer_case" TransferCase,
    }
    ShaftKind {
        "in_phase" InPhase, "out_of_phase" OutOfPhase, "double_cardan" DoubleCardan,
    }
    State { "sitting" Sitting, "stock" Stock, "planned" Planned, }
    Trust { "usual" Usual, "confirmed" Confirmed, "left_out" LeftOut, }
    Claim { "wish" Wish, "must" Must, }
    Joins { "left_knuckle" LeftKnuckle, "right_knuckle" RightKnuckle, "tie_rod" TieRod, }
}
