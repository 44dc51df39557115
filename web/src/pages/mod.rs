//! The pages: each one view of the engine's answers.

pub mod corrections;
pub mod fit;
pub mod lift;
pub mod look_ups;
pub mod measure;
pub mod sheet;
pub mod truck;
