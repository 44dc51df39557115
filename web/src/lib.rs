//! The page: state, views and effects.
pub mod state;
/// Mounts the app.
pub fn mount() {}
