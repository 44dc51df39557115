//! Hooks: where components meet effects.

pub mod use_desk;
pub mod use_search;
pub mod use_surely;
pub mod use_update;
pub mod use_width;

pub use use_desk::{Desk, use_desk, use_new_desk};
pub use use_search::use_search;
pub use use_surely::use_surely;
pub use use_update::use_update;
pub use use_width::use_width;
