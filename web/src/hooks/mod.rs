//! Hooks: where components meet effects.

pub mod use_bench;
pub mod use_desk;
pub mod use_fit;
pub mod use_suggestions;
pub mod use_update;
pub mod use_width;

pub use use_bench::{BenchProvider, use_bench};
pub use use_desk::{Desk, DeskProvider, use_desk};
pub use use_fit::use_fit;
pub use use_suggestions::use_suggestions;
pub use use_update::use_update;
pub use use_width::use_width;
