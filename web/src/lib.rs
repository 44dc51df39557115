//! The page: state, views and effects.
pub mod state;
