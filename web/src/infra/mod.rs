//! The browser's side of things: every effect the page has, each failure a value.

pub mod address;
pub mod clipboard;
pub mod file;
pub mod room;
pub mod sensor;
pub mod slices;
pub mod storage;
pub mod window;
