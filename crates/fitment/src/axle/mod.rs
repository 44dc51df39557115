//! The axle: its pose under prescribed wheel travels, and everything that follows from it.
//!
//! [`AxleModel::of`] turns a person's [`Axle`](crate::truck::Axle) in one state into numbers,
//! [`solve`] finds the pose, [`attitude`] reads the outputs off it and [`answer`] adds how sure
//! they are.

mod answer;
mod attitude;
mod bush;
mod eye_to_eye;
mod factored;
mod leaf;
mod line;
mod linkage;
mod members;
mod model;
mod motion;
mod moves;
mod nearby;
mod output;
mod parts;
mod pose;
mod posed;
mod reaction;
mod reader;
mod readings;
mod real;
mod roll_axis;
mod rotation;
mod scene;
mod scene_things;
mod solve;
mod steering;
mod sweep;
mod system;
mod track;
mod watts;
mod wheel;

pub use answer::{Answer, Driver, NoAnswer, Spread, answer, answer_at, answer_under};
pub(crate) use answer::{Lean, Moving, moving};
pub use attitude::{at_lock, attitude, attitude_turned};
pub(crate) use attitude::{lower_members, stance_of};
pub(crate) use eye_to_eye::eye_to_eye;
pub use factored::Freedom;
pub use line::{BrakeLine, DriveLine};
pub use linkage::{Bush, Limb, Link, Linkage, Members, Rates, Watts};
pub(crate) use model::state_name;
pub use model::{Around, AxleModel, ModelError, SteeringAxis};
pub(crate) use moves::{At, ByInput, Moves, moves};
pub(crate) use nearby::Nearby;
pub use output::{Attitude, Output, Unit};
pub(crate) use parts::length_name;
pub(crate) use pose::Step;
pub use pose::{Body, Pose};
pub(crate) use posed::{Followed, Posed};
pub use reaction::{Place, Reaction, reactions};
pub use reader::Input;
pub use readings::{ReadingError, apply_readings};
pub use real::Real;
pub use roll_axis::{RollAxis, roll_axis};
pub(crate) use rotation::steer_roll_pitch;
pub use scene::{Form, Kind, SceneItem, scene, scene_beside, wheel_scene};
pub use solve::{Travel, Unreachable, solve, solve_near, solve_ride};
pub(crate) use solve::{factored, motion, reached_between, reached_near, solve_next};
pub use steering::{SteeringLinkage, Turn, Turned};
pub use sweep::{Path, Sweep, SweepError, SweepPoint, sweep};
pub(crate) use wheel::Spindle;
pub use wheel::{GroundOffsets, WheelPose};
