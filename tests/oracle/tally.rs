//! Adds comparisons up, layout by layout, and says how they came out.

use crate::{compare::Compared, fixture::Asked};
use fitment::axle::Output;
use std::collections::BTreeMap;

/// All comparisons of a run.
#[derive(Debug, Default)]
pub struct Tally {
    kinds: BTreeMap<String, Kind>,
    outputs: BTreeMap<Output, (usize, f64)>,
}

#[derive(Debug, Default)]
struct Kind {
    poses: usize,
    beyond: usize,
    mm: f64,
    rad: f64,
    fraction: f64,
    load: f64,
}

/// The second formulation's trucks have no driveshaft and no brake hose yet: these are held by closed
/// forms in `axle/parts/tests.rs` and by the look-ups' own formulas.
const ELSEWHERE: [Output; 6] = [
    Output::JointCase,
    Output::JointAxle,
    Output::JointOpen,
    Output::SlipIn,
    Output::SlipOut,
    Output::HoseSlack,
];

impl Tally {
    /// Adds one.
    pub fn add(&mut self, asked: &Asked, found: &Compared) {
        let kind = self.kinds.entry(asked.name()).or_default();
        if let Some(fraction) = found.fraction {
            kind.beyond += 1;
            kind.fraction = kind.fraction.max(fraction);
        } else {
            kind.poses += 1;
            kind.mm = kind.mm.max(found.mm);
            kind.rad = kind.rad.max(found.rad);
            kind.load = kind.load.max(found.load);
        }
        for (output, share) in &found.worst {
            let (count, worst) = self.outputs.entry(*output).or_default();
            *count += 1;
            *worst = worst.max(*share);
        }
    }

    /// Says how it came out.
    pub fn print(&self) {
        println!("layout: poses (furthest apart; loads by share), beyond reach (fractions apart)");
        for (name, k) in &self.kinds {
            println!(
                "  {name}: {} ({:.1e} mm, {:.1e} rad, loads {:.1e}), {} beyond ({:.1e})",
                k.poses, k.mm, k.rad, k.load, k.beyond, k.fraction
            );
        }
        println!("output: how often, furthest apart as a share of what it may be");
        for (output, (count, worst)) in &self.outputs {
            println!("  {}: {count}, {worst:.1e}", output.key());
        }
    }

    /// Poses compared, those beyond reach not counted.
    pub fn poses(&self) -> usize {
        self.kinds.values().map(|k| k.poses).sum()
    }

    /// Every layout must have been seen so often, and every output at least once.
    pub fn assert_covers(&self, poses: usize, layouts: usize) {
        assert_eq!(self.kinds.len(), layouts, "{:?}", self.kinds.keys());
        for (name, kind) in &self.kinds {
            assert!(kind.poses >= poses, "{name}: only {} poses", kind.poses);
        }
        for output in Output::ALL.into_iter().filter(|output| !ELSEWHERE.contains(output)) {
            assert!(self.outputs.contains_key(&output), "{} never compared", output.key());
        }
    }
}
