//! Calibration: assumed numbers are priors, what was read under the truck is data, and the fit says
//! which hardpoints agree with both, which reading does not, how sure every answer is, and what to
//! measure next.
//!
//! [`Kind`] lists what can be measured, [`Log`] keeps what was, [`calibrate`] fits an axle to it.

mod bent;
mod field;
mod fit;
pub mod gauge;
mod kind;
pub mod log;
mod next;
mod normal;
mod problem;
mod slip;
mod solver;
mod stand;
mod sure;
pub mod sweep;
mod worked;

pub use fit::{
    CalibrateError, Calibration, Checked, Doubt, Foretold, Learned, Note, calibrate,
    calibrate_after, foretell, odd_beyond,
};
pub use kind::{Kind, Member, SWEEP_DEG, Spot, TOE_LOW_MM};
pub use log::{Log, LogError, Set, Standing, Taken, Trust};
pub use next::{Next, Settles};
pub use problem::Place;
pub use slip::{How, Slip};
pub use solver::{Gauss, Predict, Settled, Unsettled, settle};
pub(crate) use sure::answer_surely_under;
pub use sure::{Sampled, Sure, answer_surely, propagate};
pub use worked::{Worked, worked};
