//! The axle: its pose under prescribed wheel travels, and everything that follows from it.
//!
//! [`AxleModel::of`] turns a person's [`Axle`](crate::truck::Axle) in one state into numbers,
//! [`solve`] finds the pose, [`attitude`] reads the outputs off it and [`answer`] adds how sure
//! they are.

mod answer;
mod attitude;
mod linkage;
mod model;
mod parts;
mod pose;
mod reader;
mod readings;
mod real;
mod rotation;
mod scene;
mod solve;
mod system;
mod wheel;

pub use answer::{Answer, Driver, NoAnswer, Spread, answer, answer_at};
pub use attitude::{Attitude, Output, Unit, attitude, panhard_length};
pub use linkage::{Arm, Bush, Link, Linkage, Members, Rates};
pub(crate) use model::state_name;
pub use model::{AxleModel, ModelError, SteeringAxis};
pub use pose::{Body, Pose};
pub use reader::Input;
pub use readings::{ReadingError, apply_readings};
pub use real::Real;
pub use scene::{Form, Kind, SceneItem, scene};
pub use solve::{Travel, Unreachable, solve, solve_near, solve_ride};
pub use wheel::{GroundOffsets, WheelPose};
