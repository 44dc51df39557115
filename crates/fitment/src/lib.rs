//! Geometry, statics and fit of a solid-axle truck.
//!
//! # Frame
//! Axes follow ISO 8855: x forward, y left, z up, right-handed, fixed to the chassis.
//! Left and right are the driver's. Each axle has its own frame, whose origin is the stock axle
//! centre: the mid-point between its two wheel centres as the truck left the factory.
//!
//! # Units
//! Inside: mm, rad, N, kg, s. Input structs in [`truck`] carry the unit in the field's name
//! (`_mm`, `_deg`), because people and files speak degrees.
//!
//! # Signs
//! | quantity | positive when |
//! |---|---|
//! | wheel travel | in bump: wheel moves up toward the chassis |
//! | lateral shift | axle moves left |
//! | axle steer | axle turns left |
//! | roll | left wheel up |
//! | caster | steering axis's top leans rearward |
//! | kingpin inclination | steering axis's top leans inboard |
//! | trail | ground contact lies behind the steering axis |
//! | scrub radius | steering axis meets ground inboard of the contact |
//! | wheel offset | mounting face lies outboard of the rim centreline |
//! | Panhard and link angles | chassis end is higher |
//! | wheelbase change | wheelbase grows, front and rear alike |
//! | clearance | a gap is left; negative is overlap |
//!
//! # What this crate never does
//! No input or output, no clock, no randomness, no web types, and no panic on any input.

#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod axle;
pub mod calibrate;
pub mod caution;
pub mod clearance;
pub mod few;
pub mod finding;
pub mod measure;
pub mod remedy;
pub mod source;
pub mod symptom;
pub mod tire;
pub mod truck;
pub mod wheel;
pub mod words;
