//! What crosses crates lives in the test targets beside this file.
