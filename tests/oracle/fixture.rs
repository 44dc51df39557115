//! The stored poses, as `make.py` writes them.

use fitment::truck::{Axle, End, LayoutKind, State};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What `make.py` writes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fixture {
    /// Seed of the random family.
    pub seed: u64,
    /// The trucks asked for.
    pub trucks: Vec<Truck>,
}

/// One axle and where it stands in several positions.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Truck {
    /// Number within the family.
    pub number: usize,
    kind: String,
    /// Which axle it is.
    pub end: End,
    /// The axle.
    pub axle: Axle,
    /// Its positions.
    pub positions: Vec<Position>,
}

/// One position and the answer expected.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Position {
    /// State whose parts are fitted.
    pub state: State,
    /// Left and right wheel travel from stock.
    pub travel_mm: [f64; 2],
    /// Wheels turned, left positive.
    pub steer_deg: f64,
    /// Translation of the axle from its stock place.
    pub shift_mm: [f64; 3],
    /// Rotation, chassis from axle, row by row.
    pub turn: [[f64; 3]; 3],
    /// Outputs by their key.
    pub outputs: BTreeMap<String, f64>,
}

impl Fixture {
    /// The poses kept beside this file.
    pub fn stored() -> Self {
        serde_json::from_str(include_str!("pose.json")).expect("pose.json reads")
    }
}

impl Truck {
    /// Layout, by the engine's own reading of the axle; it must be what the family meant.
    pub fn kind(&self) -> LayoutKind {
        let kind = self.axle.layout.kind();
        let name = match kind {
            LayoutKind::RadiusArms => "radius_arms",
            LayoutKind::ThreeLink => "three_link",
            LayoutKind::FourLink => "four_link",
        };
        assert_eq!(self.kind, name);
        kind
    }
}
