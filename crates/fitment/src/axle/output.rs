//! The outputs people ask for, each with its key, name and unit: one table.

/// The unit of an output.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Degrees.
    Deg,
    /// Percent.
    Percent,
    /// Newton metres per degree.
    NmPerDeg,
    /// Newtons per kilonewton.
    NPerKn,
    /// Degrees per 25 mm of travel.
    DegPer25,
    /// Millimetres per 25 mm of travel.
    MmPer25,
    /// Of the wheel's travel.
    Ratio,
}

impl Unit {
    /// How it is written after a number.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Deg => "°",
            Self::Percent => "%",
            Self::NmPerDeg => "N·m/°",
            Self::NPerKn => "N/kN",
            Self::DegPer25 => "°/25 mm",
            Self::MmPer25 => "mm/25 mm",
            Self::Ratio => "",
        }
    }

    /// Decimals that mean something under a truck.
    pub const fn decimals(self) -> usize {
        match self {
            Self::Mm | Self::Deg | Self::Percent => 1,
            Self::NmPerDeg | Self::NPerKn => 0,
            Self::DegPer25 | Self::MmPer25 | Self::Ratio => 2,
        }
    }
}

macro_rules! outputs {
    ($($(#[$doc:meta])* $name:ident = $key:literal, $label:literal, $unit:ident;)*) => {
        /// One output of a pose.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Output {
            $($(#[$doc])* $name,)*
        }

        impl Output {
            /// All outputs, in reading order.
            pub const ALL: [Self; Self::COUNT] = [$(Self::$name),*];
            /// How many there are.
            pub const COUNT: usize = [$($key),*].len();

            /// Name in files, with its unit.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)* }
            }

            /// Name for people.
            pub const fn label(self) -> &'static str {
                match self { $(Self::$name => $label,)* }
            }

            /// Its unit.
            pub const fn unit(self) -> Unit {
                match self { $(Self::$name => Unit::$unit,)* }
            }
        }
    };
}

outputs! {
    /// Axle centre left of its stock place, mm.
    LateralShift = "lateral_shift_mm", "Axle to the left", Mm;
    /// Axle turned left, deg.
    AxleSteer = "axle_steer_deg", "Axle steer", Deg;
    /// Left wheel up, deg.
    Roll = "roll_deg", "Roll", Deg;
    /// Mean caster of the two steering axes, deg; on an axle that does not steer, how far its top
    /// leans rearward of stock.
    Caster = "caster_deg", "Caster", Deg;
    /// Left caster, deg.
    CasterLeft = "caster_left_deg", "Caster, left", Deg;
    /// Right caster, deg.
    CasterRight = "caster_right_deg", "Caster, right", Deg;
    /// Elevation of the direction from the axle to the pinion flange, deg.
    Pinion = "pinion_deg", "Pinion angle", Deg;
    /// Panhard bar against horizontal in front view, chassis end higher positive, deg.
    Panhard = "panhard_deg", "Panhard angle", Deg;
    /// Height above ground at which the bar's line crosses the chassis centre plane; a Watts
    /// linkage's pivot; with neither, the kinematic roll centre; mm.
    RollCentreHeight = "roll_centre_height_mm", "Roll centre height", Mm;
    /// Height above ground, on the centre plane over the axle, of the point with no sideways velocity
    /// under opposite travel, mm.
    RollCentreKinematic = "roll_centre_kinematic_mm", "Roll centre, by motion", Mm;
    /// Left wheel centre: growth of the wheelbase, mm.
    WheelbaseLeft = "wheelbase_change_left_mm", "Wheelbase change, left", Mm;
    /// Right wheel centre: growth of the wheelbase, mm.
    WheelbaseRight = "wheelbase_change_right_mm", "Wheelbase change, right", Mm;
    /// Left mechanical trail, mm.
    TrailLeft = "trail_left_mm", "Trail, left", Mm;
    /// Right mechanical trail, mm.
    TrailRight = "trail_right_mm", "Trail, right", Mm;
    /// Left scrub radius, mm.
    ScrubLeft = "scrub_radius_left_mm", "Scrub radius, left", Mm;
    /// Right scrub radius, mm.
    ScrubRight = "scrub_radius_right_mm", "Scrub radius, right", Mm;
    /// Left arm, lower link or link of the leaf's fixed half against horizontal in side view, chassis
    /// end higher positive, deg.
    ArmLeft = "arm_left_deg", "Arm angle, left", Deg;
    /// The same on the right, deg.
    ArmRight = "arm_right_deg", "Arm angle, right", Deg;
    /// Left or single upper link against horizontal in side view, chassis end higher positive, deg.
    UpperLeft = "upper_link_left_deg", "Upper link angle, left", Deg;
    /// Right upper link, deg.
    UpperRight = "upper_link_right_deg", "Upper link angle, right", Deg;
    /// Instant centre of both wheels' travel in side view: ahead of the stock axle centre, mm.
    InstantCentreX = "instant_centre_x_mm", "Instant centre ahead of the axle", Mm;
    /// The same: above ground, mm.
    InstantCentreZ = "instant_centre_z_mm", "Instant centre above ground", Mm;
    /// How much of the dive under braking the front linkage takes, percent.
    AntiDive = "anti_dive_percent", "Anti-dive", Percent;
    /// How much of the tail's rise under braking the rear linkage takes, percent.
    AntiLift = "anti_lift_percent", "Anti-lift", Percent;
    /// How much of the squat under drive the rear linkage takes, percent.
    AntiSquat = "anti_squat_percent", "Anti-squat", Percent;
    /// Axle steer for each degree of roll, percent.
    RollSteer = "roll_steer_percent", "Axle roll steer", Percent;
    /// Roll stiffness that arms or leaves on rubber add, N·m per degree.
    RollStiffness = "arm_roll_stiffness_nm_per_deg", "Roll stiffness the arms add", NmPerDeg;
    /// Lift of the body for each kilonewton of side force through a sloped bar, N.
    Jacking = "jacking_n_per_kn", "Jacking of the sloped bar", NPerKn;
    /// Spring shortening for each millimetre of both wheels' travel, left.
    SpringRatioLeft = "spring_ratio_left", "Spring motion ratio, left", Ratio;
    /// The same, right.
    SpringRatioRight = "spring_ratio_right", "Spring motion ratio, right", Ratio;
    /// Shock shortening for each millimetre of both wheels' travel, left.
    ShockRatioLeft = "shock_ratio_left", "Shock motion ratio, left", Ratio;
    /// The same, right.
    ShockRatioRight = "shock_ratio_right", "Shock motion ratio, right", Ratio;
    /// Where the left road wheel heads, axle steer included, left positive, deg.
    SteerLeft = "steer_left_deg", "Left wheel heads", Deg;
    /// The right road wheel, deg.
    SteerRight = "steer_right_deg", "Right wheel heads", Deg;
    /// Total toe-in: how much the wheels head toward each other, deg.
    Toe = "toe_deg", "Toe-in, total", Deg;
    /// Left road wheel's steer for 25 mm of both wheels' travel, pitman arm held, deg.
    BumpSteerLeft = "bump_steer_left_deg_per_25mm", "Bump steer, left", DegPer25;
    /// The right, deg.
    BumpSteerRight = "bump_steer_right_deg_per_25mm", "Bump steer, right", DegPer25;
    /// Total toe-in over the tire's diameter for 25 mm of both wheels' travel, mm.
    BumpToe = "bump_toe_mm_per_25mm", "Toe change in bump", MmPer25;
    /// Turn of the steering wheel at which the road wheels point straight on average, against stock,
    /// left positive, deg.
    SteeringWheel = "steering_wheel_deg", "Steering wheel off center", Deg;
    /// Drag link against horizontal in front view, pitman end higher positive, deg.
    DragLink = "drag_link_deg", "Drag link angle", Deg;
    /// Drag link's slope less the Panhard bar's in front view, deg.
    DragAngle = "drag_panhard_deg", "Drag link against Panhard bar", Deg;
    /// Drag link's front-view length less the Panhard bar's, mm.
    DragLength = "drag_panhard_length_mm", "Drag link longer than Panhard bar", Mm;
    /// Angle of the driveshaft's joint at the transfer case, of each of its two joints where it is a
    /// double-Cardan, deg.
    JointCase = "joint_case_deg", "Driveshaft joint, case end", Deg;
    /// Angle of the joint at the axle, deg.
    JointAxle = "joint_axle_deg", "Driveshaft joint, axle end", Deg;
    /// What no other joint cancels: the difference of the two angles; behind a double-Cardan joint the
    /// axle's own, deg.
    JointOpen = "joint_open_deg", "Joint angle not canceled", Deg;
    /// How far the driveshaft's splines can still slide in, mm.
    SlipIn = "slip_in_mm", "Slip left, inward", Mm;
    /// How far they can still slide out and hold, mm.
    SlipOut = "slip_out_mm", "Slip left, outward", Mm;
    /// Length of the brake hose over the straight line between its ends, on the tauter side, mm.
    HoseSlack = "hose_slack_mm", "Brake hose slack", Mm;
    /// Outer wheel's steer less what rolling without scrub asks of it, wheels turned, deg.
    Ackermann = "ackermann_deg", "Ackermann error", Deg;
    /// Diameter of the outer front wheel's circle at the ground, wheels turned, mm.
    TurningCircle = "turning_circle_mm", "Turning circle", Mm;
}

/// All outputs at one pose; `None` where an output has no meaning there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attitude<T>([Option<T>; Output::COUNT]);

impl<T: Copy> Attitude<T> {
    /// Nothing yet.
    pub(crate) const fn empty() -> Self {
        Self([None; Output::COUNT])
    }

    /// One output, in its own unit.
    pub const fn get(&self, output: Output) -> Option<T> {
        self.0[output as usize]
    }

    pub(crate) const fn set(&mut self, output: Output, value: T) {
        self.0[output as usize] = Some(value);
    }

    /// The outputs mapped one by one, in their order.
    pub fn map<U>(&self, f: impl FnMut(Option<T>) -> Option<U>) -> Attitude<U> {
        Attitude(self.0.map(f))
    }
}
