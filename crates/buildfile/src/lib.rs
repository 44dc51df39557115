//! The build document.
