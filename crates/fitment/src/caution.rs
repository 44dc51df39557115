//! Cautions that belong beside an answer or a correction, each written once.

/// Caster, trail, kingpin.
pub const ALIGNMENT: &str = "Steering geometry: after any change have the alignment measured on a rig by someone licensed for it, and drive slowly first. Local codes may ask for an engineer's approval.";
/// What holds the axle under the truck.
pub const AXLE_HELD: &str = "The bar and its brackets hold the axle under the truck. Brackets welded to frame or axle are work for a qualified welder; check local codes before you cut.";
/// Arms, links and their brackets.
pub const ARMS_HELD: &str = "Arms and links carry braking and driving forces. Brackets welded to frame or axle are work for a qualified welder, bolts must be of the grade and torque their maker names; check local codes before you cut.";
/// Wheels set farther out.
pub const WHEEL_OUT: &str = "Spacers and changed offset load wheel bearings, studs and steering beyond what they were made for; some places forbid them. Check local codes and torque again after the first drive.";
/// Joints, lengths and clearances of the steering linkage.
pub const LINKAGE: &str = "Steering linkage: joints, lengths and clearances decide whether the truck can be steered. Have any change inspected by someone licensed for it, turn lock to lock at full droop and full bump before driving, and check local codes.";
/// The driveshaft.
pub const DRIVESHAFT: &str =
    "Check both driveshaft joints and the slip's travel at full droop before driving.";
/// Cut or welded axle ends.
pub const AXLE_END: &str = "Cutting an axle's ends and welding them back decides whether the wheels stay on. It is work for an axle shop, with the housing held straight and the welds inspected; check local codes.";
/// Springs and what sits in them.
pub const SPRINGS: &str = "Springs hold the truck up and can fly when they come loose: compress them only with the proper tool, and stand the frame on stands. A higher truck rolls over sooner; check local codes for how high it may be.";
/// Brake hoses.
pub const BRAKES: &str = "Brakes: only hoses made and marked for brakes, routed clear of the tire at lock, droop and bump, and the system bled. Have the work inspected by someone licensed for brakes before driving.";
/// Tires of another size.
pub const TIRES: &str = "Other tires change braking distance, gearing, speedometer and how soon the truck rolls over. Load and speed rating must serve the truck; check local codes.";
/// Cut bodywork.
pub const CUTTING: &str = "Cut only what carries no load, look behind it for wiring, lines and tanks first, and leave no sharp edge beside the tire.";
/// Stops.
pub const STOPS: &str = "A stop set short wears out nothing, one set long lets the tire meet what it must clear: turn lock to lock at full bump and full droop before driving. A wider turning circle changes how the truck can be moved out of trouble.";
