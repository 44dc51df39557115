//! Calibration on invented trucks whose truth is known: do the intervals hold it, is a wrong reading
//! found, and is the measurement that is chosen next the better one?

mod chance;
mod invented;
mod truth;
