//! The page: one pure state, views of the engine's answers, and effects kept apart.
//!
//! [`state`] knows what is true and how it changes, and runs anywhere; [`infra`] and [`hooks`] are
//! the only places that touch the browser; [`pages`] and [`components`] turn state into markup;
//! [`drawing`] puts the solved axle on paper. No geometry is computed here: every number on the
//! page is an answer of `fitment`.

pub mod drawing;
pub mod hooks;
pub mod infra;
pub mod state;

/// Mounts the app.
pub fn mount() {}
