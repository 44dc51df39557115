//! Trucks, positions and answers, as `make.py` writes them.

use fitment::truck::{End, Side, State, Truck};
use serde::{Deserialize, Serialize};

/// What `make.py` writes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fixture {
    /// Seed of the random family.
    pub seed: u64,
    /// The outputs answered, by their key.
    pub keys: Vec<String>,
    /// The outputs answered along a sweep.
    pub swept: Vec<String>,
    /// The trucks asked for.
    pub trucks: Vec<Asked>,
}

/// One truck and where an axle of it stands in several positions.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// Number within the family.
    pub number: usize,
    /// Layout, as the family calls it.
    pub kind: String,
    /// What holds the axle sideways.
    pub sideways: Option<String>,
    /// Which axle.
    pub end: End,
    /// The truck, with that axle alone.
    pub truck: Truck,
    /// Its positions.
    pub positions: Vec<Position>,
    /// Steps from rest as planned, the pitman arm held where the wheels point straight there.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sweeps: Vec<Step>,
}

/// A step of a sweep: path, how far, and the outputs there, or none where there is no pose.
pub type Step = (String, f64, Option<Vec<Option<f64>>>);

/// One position and the answer expected.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Position {
    /// State whose parts are fitted.
    pub state: State,
    /// Left and right wheel travel from stock.
    pub travel_mm: [f64; 2],
    /// Mean steer of the knuckles, left positive.
    pub steer_deg: f64,
    /// Where the axle stands, when it can.
    pub answer: Option<Answer>,
}

/// What the reference says.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// The pose, and what it means.
    Pose(Posed),
    /// There is none: why not, and how far it got.
    Beyond(Beyond),
}

/// A pose and its outputs.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Posed {
    /// Translation of the axle from its stock place.
    pub shift_mm: [f64; 3],
    /// Rotation, chassis from axle: w, x, y, z.
    pub quaternion: [f64; 4],
    /// Outputs in the order of the keys.
    pub outputs: Vec<Option<f64>>,
    /// What each bush carries: place, side, force (N) and moment (N·mm), strain (mm), twist (rad).
    pub reactions: Vec<(String, Side, [f64; 6], f64, f64)>,
    /// How long SciPy took from a start near by; told only when asked afresh.
    pub scipy_us: Option<f64>,
}

/// Where the straight path to a position ends.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beyond {
    /// `out_of_reach`, `binds` or `unsteady`.
    pub why: String,
    /// Share of the path that was reached.
    pub fraction: f64,
}

impl Fixture {
    /// The poses kept beside this file.
    pub fn stored() -> Self {
        serde_json::from_str(include_str!("pose.json")).expect("pose.json reads")
    }

    /// How many positions there are.
    pub fn positions(&self) -> usize {
        self.trucks.iter().map(|t| t.positions.len()).sum()
    }
}

impl Asked {
    /// Layout with what holds it sideways.
    pub fn name(&self) -> String {
        match &self.sideways {
            Some(sideways) => format!("{} + {sideways}", self.kind),
            None => self.kind.clone(),
        }
    }
}
