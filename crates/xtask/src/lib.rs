//! What runs, builds, tests and serves the project. The command line is `main.rs`; the browser
//! journeys use [`server`] and [`tools`] too, so that they test what `serve` serves.

pub mod bench;
pub mod bundle;
pub mod finish;
pub mod house;
pub mod page;
pub mod server;
pub mod sizes;
mod slim;
pub mod speed;
pub mod step;
pub mod suite;
pub mod tools;
