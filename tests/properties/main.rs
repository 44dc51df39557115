//! What must hold for every axle, tried on random ones of every layout.

mod any_axle;
mod cards;
mod clearance;
mod floor;
mod invariants;
mod judged;
mod laws;
mod remedy;
mod sensible;
mod wild;
