//! Whether the tire clears the truck: the turning, moving tire against rail, arch and arms.
//!
//! [`fit`] answers for one axle in one state. Below it, each shape has one file and a distance
//! that is certain to a stated tolerance: [`tire_segment`], [`tire_capsule`], [`tire_block`],
//! [`tire_arch`]. Everything is in the axle's stock frame, mm and rad.
//!
//! The clearance to an obstacle is the least signed distance from the tire's surface to any point
//! of the obstacle. When they overlap it is negative: how deep the obstacle's deepest point lies
//! in the tire. Its sign is certain; as a depth it is one measure among several possible.

mod arch;
mod beside;
mod block;
mod bracket;
#[cfg(test)]
mod bridge;
mod contact;
mod contour;
mod convex;
mod domain;
mod error;
mod face;
mod fan;
mod fit;
mod hollow;
mod hub;
mod largest;
mod lattice;
mod look;
mod map;
mod motion;
mod nearest;
mod obstacle;
mod piece;
mod relief;
mod search;
mod segment;
mod slow;
mod solid;
mod spread;
mod stops;
mod study;
mod sure;
mod survey;
mod thing;
mod trim;
mod window;

pub use arch::ArchBand;
pub use beside::{Beside, beside, beside_slowly};
pub use block::{Block, tire_block};
pub use contact::Contact;
pub use contour::Contour;
pub use domain::{Domain, Options};
pub use error::ShapeError;
pub use fan::tire_arch;
pub use fit::{Fit, FitError, Touch, fit};
pub use largest::{Largest, Size};
pub use look::{Look, Looker, Near};
pub use map::{Cell, ClearanceMap};
pub use nearest::{nearest, nearest_slowly};
pub use obstacle::Obstacle;
pub use piece::Piece;
pub use relief::{Relief, with_width};
pub use segment::{Capsule, Least, tire_capsule, tire_segment};
pub use slow::Slow;
pub use solid::{PosedTire, TireSolid};
pub use stops::{Stop, Stops};
pub use study::Study;
pub use sure::{Gain, Sigmas};
pub use trim::{Trim, TrimLine, trim_line, trim_line_slowly};
pub use window::{Window, WindowEnd};
