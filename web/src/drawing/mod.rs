//! The drawing: the solved axle seen from three sides, as SVG.
//!
//! Nothing is computed here but where a known point falls on the paper: a view drops one
//! coordinate, a frame scales the rest.

pub mod chart;
pub mod dim;
pub mod frame;
pub mod measures;
pub mod measures_things;
pub mod outline;
pub mod readings;
pub mod sheet;
pub mod view;

pub use dim::{Dim, Mark, Run};
pub use frame::Frame;
pub use sheet::{Drawing, drawing, ghost};
pub use view::View;
