//! Sharing a build: frozen files and links that must open forever, spoiled ones that must not,
//! and what holds of every build there can be.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod golden;
mod property;
mod spoiled;
