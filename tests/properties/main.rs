//! What must hold for every axle, tried on random ones of every layout.

mod any_axle;
mod cards;
mod clearance;
mod invariants;
mod laws;
mod remedy;
mod wild;
