//! The range each number of a truck may lie in, in one table.
//!
//! The ranges are wide: they hold every solid-axle truck and trailer-sized oddity we could think
//! of, and keep out slips such as inches typed as millimetres, a lost sign or a value in the
//! wrong box. They are our own judgement (common practice, no source) and say nothing about
//! whether a dimension is a good one.

/// The accepted range of one kind of number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// What it is, as a person calls it.
    pub name: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Smallest accepted value.
    pub min: f64,
    /// Largest accepted value.
    pub max: f64,
    /// How it is measured or what usually goes wrong, as an instruction.
    pub hint: &'static str,
}

impl Bound {
    /// Whether a value is finite and within the range, ends included.
    pub fn holds(&self, value: f64) -> bool {
        self.min <= value && value <= self.max
    }

    /// What would mend a value outside.
    pub fn remedy(&self) -> String {
        let Self { name, unit, min, max, hint } = self;
        format!("{name} must be {min} to {max} {unit}. {hint}")
    }
}

const fn bound(
    name: &'static str,
    unit: &'static str,
    min: f64,
    max: f64,
    hint: &'static str,
) -> Bound {
    Bound { name, unit, min, max, hint }
}

/// Writes the table once, as references, so that no call carries a copy, and as a list.
macro_rules! table {
    ($($(#[$doc:meta])* $id:ident = $name:literal, $unit:literal, $min:literal .. $max:literal, $hint:literal;)*) => {
        $($(#[$doc])* pub const $id: &Bound = &bound($name, $unit, $min, $max, $hint);)*
        /// Every range, in the order of the fields.
        pub const ALL: &[&Bound] = &[$($id),*];
    };
}

table! {
    /// [`Truck::wheelbase_mm`](super::Truck::wheelbase_mm).
    WHEELBASE = "Wheelbase", "mm", 1200.0..6500.0, "Measure from hub centre to hub centre on one side.";
    /// [`Balance::cg_height_mm`](super::Balance::cg_height_mm).
    CG_HEIGHT = "Center of gravity above ground", "mm", 200.0..2500.0, "Measure or look it up with the truck stock; most are 600 to 900.";
    /// [`Balance::front_brake_percent`](super::Balance::front_brake_percent).
    FRONT_BRAKE = "Front wheels' share of the braking", "%", 0.0..100.0, "Two thirds is 67, not 0.67.";
    /// [`Balance::front_drive_percent`](super::Balance::front_drive_percent).
    FRONT_DRIVE = "Front wheels' share of the drive", "%", 0.0..100.0, "0 in two-wheel drive, 50 with the transfer case locked.";
    /// [`Axle::hub_face_width_mm`](super::Axle::hub_face_width_mm).
    HUB_FACE_WIDTH = "Width between the wheel mounting faces", "mm", 800.0..2600.0, "Measure from one face a wheel bolts against to the other.";
    /// [`Point::x_mm`](super::Point::x_mm).
    POINT_X = "Distance ahead of the axle", "mm", -2500.0..2500.0, "Measure fore and aft from the axle centreline to the bolt; behind it is negative.";
    /// [`Point::y_mm`](super::Point::y_mm).
    POINT_Y = "Distance left of centre", "mm", -1300.0..1300.0, "Measure sideways from the truck's centreline to the bolt; the driver's right is negative.";
    /// [`Point::z_mm`](super::Point::z_mm).
    POINT_Z = "Height above the axle centreline", "mm", -800.0..1000.0, "Measure up from the axle centreline to the bolt; below it is negative.";
    /// [`BushRates::radial_n_per_mm`](super::BushRates::radial_n_per_mm).
    BUSH_RADIAL = "Stiffness across the bush", "N/mm", 50.0..1_000_000.0, "Rubber is a few thousand; a spherical bearing some hundred thousand.";
    /// [`BushRates::axial_n_per_mm`](super::BushRates::axial_n_per_mm).
    BUSH_AXIAL = "Stiffness along the bush", "N/mm", 10.0..1_000_000.0, "Rubber is some hundred to a few thousand.";
    /// [`BushRates::conical_nm_per_deg`](super::BushRates::conical_nm_per_deg).
    BUSH_CONICAL = "Cocking stiffness", "N·m/°", 0.0..5000.0, "Rubber is some ten; a spherical bearing 0.";
    /// [`BushRates::torsion_nm_per_deg`](super::BushRates::torsion_nm_per_deg).
    BUSH_TORSION = "Twisting stiffness", "N·m/°", 0.0..5000.0, "Rubber is a few; a spherical bearing 0.";
    /// [`LeafRates::vertical_n_per_mm`](super::LeafRates::vertical_n_per_mm).
    LEAF_VERTICAL = "Spring rate up and down", "N/mm", 2.0..1000.0, "Most are 15 to 60; 1 lb/in is 0.175 N/mm.";
    /// [`LeafRates::lateral_n_per_mm`](super::LeafRates::lateral_n_per_mm).
    LEAF_LATERAL = "Spring rate sideways", "N/mm", 5.0..100_000.0, "Leaves are wide and thin: some ten times the rate up and down.";
    /// [`LeafRates::twist_nm_per_deg`](super::LeafRates::twist_nm_per_deg).
    LEAF_TWIST = "Twisting stiffness of half a spring", "N·m/°", 0.1..5000.0, "Most are some 5 to 20.";
    /// [`LeafRates::clamped_mm`](super::LeafRates::clamped_mm).
    LEAF_CLAMPED = "Length held between the U-bolts", "mm", 0.0..300.0, "Measure along the spring over which it is held flat.";
    /// [`Kingpin::caster_deg`](super::Kingpin::caster_deg).
    CASTER = "Caster", "°", -15.0..25.0, "The top of the steering axis leaning rearward is positive.";
    /// [`Kingpin::inclination_deg`](super::Kingpin::inclination_deg).
    INCLINATION = "Kingpin inclination", "°", -5.0..30.0, "The top of the steering axis leaning inboard is positive.";
    /// [`Kingpin::hub_offset_mm`](super::Kingpin::hub_offset_mm).
    HUB_OFFSET = "Mounting face outboard of the steering axis", "mm", -100.0..400.0, "Measure at hub height from the axis out to the face a wheel bolts against.";
    /// [`Kingpin::hub_trail_mm`](super::Kingpin::hub_trail_mm).
    HUB_TRAIL = "Hub behind the steering axis", "mm", -100.0..100.0, "Measure fore and aft at hub height; 0 on most knuckles.";
    /// [`Steering::ratio`](super::Steering::ratio).
    STEERING_RATIO = "Steering ratio", "turns", 2.0..60.0, "Turns of the steering wheel for one turn of the pitman arm; most boxes have 12 to 24.";
    /// [`Pinion::angle_deg`](super::Pinion::angle_deg).
    PINION_ANGLE = "Pinion angle", "°", -45.0..45.0, "The flange higher than the axle is positive.";
    /// [`Pinion::length_mm`](super::Pinion::length_mm).
    PINION_LENGTH = "Axle centreline to flange", "mm", 50.0..900.0, "Measure along the pinion from the axle tube's centre to the flange face.";
    /// [`Pinion::y_mm`](super::Pinion::y_mm).
    PINION_Y = "Flange left of centre", "mm", -900.0..900.0, "Measure sideways from the truck's centreline; the driver's right is negative.";
    /// [`Limits::bump_mm`](super::Limits::bump_mm).
    BUMP = "Travel up to the bump stop", "mm", 0.0..500.0, "Measure with the truck stock; up is positive here.";
    /// [`Limits::droop_mm`](super::Limits::droop_mm).
    DROOP = "Travel down to full droop", "mm", 0.0..600.0, "Measure with the truck stock; down is positive here.";
    /// [`Limits::lock_deg`](super::Limits::lock_deg).
    LOCK = "Largest steer", "°", 0.0..55.0, "The same number serves both ways; 0 on an axle that does not steer.";
    /// [`Rail::outer_mm`](super::Rail::outer_mm).
    RAIL_OUTER = "Frame rail's outer face from centre", "mm", 100.0..1200.0, "Measure sideways from the truck's centreline.";
    /// [`Rail::bottom_mm`](super::Rail::bottom_mm) and [`Rail::top_mm`](super::Rail::top_mm).
    RAIL_HEIGHT = "Frame rail's edge above the axle centreline", "mm", -600.0..1200.0, "Measure with the truck stock; below the axle is negative.";
    /// [`Rail::front_mm`](super::Rail::front_mm) and [`Rail::rear_mm`](super::Rail::rear_mm).
    RAIL_END = "Frame rail's end ahead of the axle", "mm", -3000.0..3000.0, "Measure fore and aft from the axle centreline; behind it is negative.";
    /// [`Arch::top_mm`](super::Arch::top_mm).
    ARCH_TOP = "Arch above the wheel centre", "mm", 150.0..1500.0, "Measure straight up with the truck stock.";
    /// [`Arch::front_mm`](super::Arch::front_mm) and [`Arch::rear_mm`](super::Arch::rear_mm).
    ARCH_END = "Arch from the wheel centre", "mm", 150.0..1500.0, "Measure level at hub height; both ends are positive.";
    /// [`Arch::lip_mm`](super::Arch::lip_mm).
    ARCH_LIP = "Arch lip from centre", "mm", 200.0..1500.0, "Measure sideways from the truck's centreline.";
    /// [`Arch::inner_mm`](super::Arch::inner_mm).
    ARCH_INNER = "Inner end of the arch from centre", "mm", 50.0..1500.0, "Measure sideways from the truck's centreline.";
    /// [`Surroundings::arm_radius_mm`](super::Surroundings::arm_radius_mm).
    ARM_RADIUS = "Half the arm's thickness", "mm", 2.0..150.0, "Measure the thickness beside the tire and halve it.";
    /// A place of a [`Thing`](super::Thing) fore and aft.
    THING_ALONG = "Its place ahead of the axle", "mm", -3000.0..3000.0, "Measure fore and aft from the axle centreline; behind it is negative.";
    /// A place of a [`Thing`](super::Thing) sideways.
    THING_OUT = "Its place out from centre", "mm", -1300.0..1500.0, "Measure sideways from the truck's centreline, positive on either side.";
    /// A place of a [`Thing`](super::Thing) up and down.
    THING_HEIGHT = "Its height above the axle centreline", "mm", -800.0..1500.0, "Measure with the truck stock; below the axle is negative.";
    /// The radius of a [`Shape::Bar`](super::Shape::Bar).
    THING_RADIUS = "Half its thickness", "mm", 0.5..300.0, "Measure across it and halve that.";
    /// Corners and sweep of a [`Shape::Outline`](super::Shape::Outline).
    OUTLINE = "A place on the outline", "mm", -3000.0..3000.0, "Trace it again with the tape in view.";
    /// The reach of a [`Shape::InsideWheel`](super::Shape::InsideWheel).
    INSIDE_REACH = "Its reach from the hub's middle", "mm", 20.0..400.0, "Measure with the wheel off, from the spindle's axis.";
    /// The ends of a [`Shape::InsideWheel`](super::Shape::InsideWheel).
    INSIDE_END = "Its end from the mounting face", "mm", -400.0..400.0, "Measure from the face a wheel bolts against.";
    /// [`Setup::lift_mm`](super::Setup::lift_mm).
    LIFT = "Lift", "mm", -300.0..600.0, "Raised above stock is positive, lowered negative.";
    /// [`Wheel::width_mm`](super::Wheel::width_mm).
    WHEEL_WIDTH = "Wheel width", "mm", 90.0..420.0, "Measure between the bead seats, not over the lips.";
    /// [`Wheel::offset_mm`](super::Wheel::offset_mm).
    WHEEL_OFFSET = "Wheel offset", "mm", -250.0..250.0, "The mounting face outboard of the rim's middle is positive.";
    /// [`Setup::spacer_mm`](super::Setup::spacer_mm).
    SPACER = "Spacer", "mm", 0.0..200.0, "Measure its thickness; 0 for none.";
    /// [`Wheel::inside_mm`](super::Wheel::inside_mm).
    WHEEL_INSIDE = "Clear diameter inside the wheel", "mm", 150.0..700.0, "Measure across the barrel where the brake goes.";
    /// [`Wheel::spoke_mm`](super::Wheel::spoke_mm).
    WHEEL_SPOKE = "Spokes' inner face from the mounting face", "mm", -250.0..250.0, "Lay the wheel face down and measure from a straightedge over the mounting face; outboard is positive.";
    /// [`Setup::packing_mm`](super::Setup::packing_mm).
    PACKING = "Room for chains, mud or snow", "mm", 0.0..150.0, "Measure what stands proud of the bare tire.";
    /// [`Tire::tread_mm`](super::Tire::tread_mm).
    TREAD = "Tread width", "mm", 40.0..500.0, "Measure the flat of the tread, edge to edge.";
    /// [`Tire::crown_mm`](super::Tire::crown_mm).
    CROWN = "Tread's edge below its middle", "mm", 0.0..100.0, "Lay a straightedge across the middle of the tread and measure down to its edge.";
    /// [`Tire::shoulder_mm`](super::Tire::shoulder_mm).
    SHOULDER = "Width over the shoulder lugs", "mm", 40.0..550.0, "Measure between two straightedges held against the lugs.";
    /// [`Tire::shoulder_drop_mm`](super::Tire::shoulder_drop_mm).
    SHOULDER_DROP = "Shoulder lugs below the tread", "mm", 0.0..300.0, "Measure down from the middle of the tread to where the lugs are widest.";
    /// [`Hole::x_mm`](super::Hole::x_mm) and its fellows.
    HOLE = "Hole from the stock hole", "mm", -400.0..400.0, "Measure from the stock hole to this one.";
    /// [`Part::Length`](super::Part::Length) of whatever has no range of its own.
    LENGTH_CHANGE = "Change of length", "mm", -300.0..300.0, "Longer than stock is positive.";
    /// [`Part::Turn`](super::Part::Turn).
    CASTER_BUSH = "Angle turned", "°", -15.0..15.0, "Adding caster is positive.";
    /// [`Part::ArchTrim`](super::Part::ArchTrim).
    ARCH_TRIM = "Trim of the arch", "mm", 0.0..300.0, "Measure how far the edge is cut back.";
    /// [`Part::Bend`](super::Part::Bend).
    ARM_BEND = "Bend of the arm", "mm", -200.0..200.0, "Lay a straightedge from eye to eye and measure to the arm's middle.";
    /// [`Step::Pitman`](super::Step::Pitman).
    PITMAN_DROP = "Drop of the pitman arm", "mm", -150.0..200.0, "Lower than stock is positive; measure from the splines to the joint on both arms.";
    /// [`Step::TransferCase`](super::Step::TransferCase).
    CASE_DROP = "Drop of the transfer case", "mm", 0.0..150.0, "Measure the spacers on its mounts.";
    /// [`Part::Tire`](super::Part::Tire), its overall diameter.
    TIRE_DIAMETER = "Tire's diameter", "mm", 300.0..1500.0, "Measure it standing free, without load.";
    /// [`Driveline::joint_limit_deg`](super::Driveline::joint_limit_deg).
    JOINT_LIMIT = "Joint's own angle limit", "°", 5.0..90.0, "Turn the joint by hand on the bench until its yokes touch.";
    /// [`Driveline::case_slope_deg`](super::Driveline::case_slope_deg) and its plan angle.
    CASE_ANGLE = "Angle of the case's output", "°", -45.0..45.0, "Lay the level on the machined face of the yoke or flange.";
    /// [`Driveline::slip_in_mm`](super::Driveline::slip_in_mm) and its fellow.
    SLIP = "Slip left", "mm", 0.0..600.0, "Measure with the truck stock; what the splines can still slide.";
    /// [`Hose::length_mm`](super::Hose::length_mm).
    HOSE = "Brake hose", "mm", 50.0..2500.0, "Measure along it between its two fittings.";
    /// Weights of [`Weights`](super::Weights) and [`Springing::unsprung_kg`](super::Springing::unsprung_kg).
    WEIGHT = "Weight", "kg", 10.0..20_000.0, "Read it off a weighbridge; 1 lb is 0.4536 kg.";
    /// [`Weights::rise_mm`](super::Weights::rise_mm) and heights of [`Belly`](super::Belly) and [`Overhang`](super::Overhang).
    GROUND = "Height above ground", "mm", 0.0..3000.0, "Measure straight up from level ground as the truck sits.";
    /// [`Belly::behind_front_wheel_mm`](super::Belly::behind_front_wheel_mm) and [`Overhang::beyond_mm`](super::Overhang::beyond_mm).
    ALONG = "Distance from the wheel center", "mm", 0.0..6000.0, "Measure level, along the truck.";
    /// Ratios of [`Gears`](super::Gears).
    GEAR = "Gear ratio", "to 1", 0.3..20.0, "Turns going in for one coming out.";
    /// [`Springing::spring_rate_n_per_mm`](super::Springing::spring_rate_n_per_mm).
    SPRING_RATE = "Spring rate", "N/mm", 2.0..1000.0, "1 lb/in is 0.175 N/mm.";
    /// Lengths of [`Springing`](super::Springing).
    SPRING_LENGTH = "Length of spring or shock", "mm", 0.0..1500.0, "Measure seat to seat, or eye to eye.";
    /// [`Springing::sway_bar_nm_per_deg`](super::Springing::sway_bar_nm_per_deg).
    SWAY_BAR = "Stiffness of the sway bar", "N·m/°", 0.0..10_000.0, "About the roll axis, at the axle.";
    /// [`Offer::price`](super::Offer::price).
    PRICE = "Price", "units of money", 0.0..10_000_000.0, "In your own currency.";
    /// [`Offer::hours`](super::Offer::hours).
    HOURS = "Hours", "h", 0.0..1000.0, "As long as it takes you.";
    /// [`Part::Length`](super::Part::Length) of the bump stop.
    BUMP_STOP = "Change of the bump stop", "mm", -200.0..300.0, "Longer than stock is positive.";
    /// [`Readings::panhard_length_mm`](super::Readings::panhard_length_mm).
    PANHARD_LENGTH = "Panhard bar, eye to eye", "mm", 150.0..2500.0, "Measure from bolt centre to bolt centre.";
    /// [`Readings::arm_length_mm`](super::Readings::arm_length_mm).
    ARM_LENGTH = "Arm, eye to eye", "mm", 150.0..2500.0, "Measure from bolt centre to bolt centre.";
    /// [`Readings::panhard_rise_mm`](super::Readings::panhard_rise_mm) and [`Readings::arm_rise_mm`](super::Readings::arm_rise_mm).
    RISE = "Rise to the chassis end", "mm", -1000.0..1000.0, "Measure both bolts' heights and take the difference; the chassis end higher is positive.";
}

/// Most entries of any list: parts, holes, spacers, wheels, choices.
pub const LIST: usize = 64;
/// Longest text of a name or a typed entry, characters.
pub const TEXT: usize = 200;
/// Fewest corners of a traced outline.
pub const FEWEST_CORNERS: usize = 3;
/// Shortest side of a traced outline and shortest bar beside the wheel, mm.
pub const SHORTEST_SIDE_MM: f64 = 1.0;
/// Shortest link or bar, mm; two ends nearer than this are one point.
pub const SHORTEST_LINK_MM: f64 = 100.0;
/// Least distance between the two bushes of a radius arm at the axle, mm.
pub const SHORTEST_CLAMP_MM: f64 = 20.0;
/// Least share of a Panhard bar's length that must run sideways: at half, it stands at 60°.
pub const PANHARD_SIDEWAYS: f64 = 0.5;
/// Least sideways run of a pair of links per length fore and aft for them to hold the axle
/// sideways by themselves: about 10° in plan.
pub const TRIANGULATED: f64 = 0.18;
/// Shortest arm of a Watts linkage's crank, mm.
pub const SHORTEST_CRANK_ARM_MM: f64 = 20.0;
/// Shortest length of a leaf spring from the clamp to an eye, level, mm.
pub const SHORTEST_LEAF_MM: f64 = 200.0;
/// Largest height of a leaf spring's eye over its seat per length from the clamp: past it the
/// three-link equivalent of the spring is out of its range.
pub const LEAF_HEIGHT: f64 = 0.45;
/// Shortest shackle, mm.
pub const SHORTEST_SHACKLE_MM: f64 = 30.0;
/// Shortest pitman arm, as it swings, mm.
pub const SHORTEST_PITMAN_MM: f64 = 50.0;
/// Least distance of a joint on a knuckle from the steering axis, mm.
pub const SHORTEST_STEERING_ARM_MM: f64 = 40.0;
/// Largest distance of a drag link's joint from the line of the tie rod that carries it, mm.
pub const BESIDE_TIE_ROD_MM: f64 = 250.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_range_is_a_range_and_has_words() {
        for bound in ALL {
            let Bound { name, unit, min, max, hint } = bound;
            assert!(min < max && min.is_finite() && max.is_finite(), "{name}");
            assert!(!unit.is_empty() && hint.ends_with('.'), "{name}");
            assert!(bound.holds(*min) && bound.holds(*max), "{name}");
            for out in [min - 1.0, max + 1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                assert!(!bound.holds(out), "{name} {out}");
            }
        }
    }

    #[test]
    fn the_remedy_names_range_and_unit() {
        assert_eq!(
            SPACER.remedy(),
            "Spacer must be 0 to 200 mm. Measure its thickness; 0 for none."
        );
    }
}
