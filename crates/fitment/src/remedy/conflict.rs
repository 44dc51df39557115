//! Targets that cannot all be met with what the shelf offers: which fight, and by how much one of
//! them would have to give.
//!
//! For a target the best plan misses, all that it meets are asked for along with it. Where no
//! combination does that, each is left out in turn, and stays out where the rest is still too much:
//! what remains fights, and would not without any one of them (a deletion filter, after Chinneck and
//! Dravnieks, "Locating minimal infeasible constraint sets in linear programs", ORSA J. Comput. 3,
//! 1991).

use super::{
    bench::{Bench, Pick, Setting},
    front::Cost,
    plan::Tried,
    table::Table,
    target::{MISSED_MUST, Scale},
    walk::{Known, Walk},
    words,
};
use crate::{axle::Output, finding::Band, measure::System};
use std::collections::BTreeSet;

/// Targets that cannot be met at once; a single one cannot be met at all.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// What fights, the target that the best plan misses first.
    pub between: Vec<Relax>,
}

impl Conflict {
    /// In plain words, in the person's units.
    pub fn words(&self, system: System) -> String {
        words::conflict(self, system)
    }
}

/// How far one of them would have to give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relax {
    /// Which output.
    pub output: Output,
    /// Its band.
    pub band: Band,
    /// The nearest it comes to its band with all the others in theirs.
    pub nearest: f64,
    /// How far that is outside, in the output's unit.
    pub by: f64,
    /// Whether the person called it a must.
    pub must: bool,
}

/// What a piece of this takes as long as, in combinations.
const PIECE: usize = 20_000;

/// The question under way.
#[derive(Debug, Clone)]
pub(super) struct Conflicts {
    /// Columns the best plan misses and meets.
    missed: Vec<usize>,
    met: Vec<usize>,
    /// Columns that are asked for together, the missed one first.
    set: Vec<usize>,
    stage: Stage,
    probe: Option<Probe>,
    between: Vec<Relax>,
    pub found: Vec<Conflict>,
    /// Missed by the best plan, though it could be had with more work.
    pub for_more_work: Vec<Output>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    /// The next missed target.
    Next,
    /// Are all of the set too much?
    Whole,
    /// Is the set still too much without this one?
    Without(usize),
    /// How near this one of the set comes with the others met.
    Nearest(usize),
    Done,
}

/// The least that some columns come to over all combinations: all musts but one, perhaps.
#[derive(Debug, Clone)]
struct Probe {
    aims: Vec<(usize, Scale)>,
    /// The family being walked, and what came of those before.
    family: usize,
    walk: Option<Walk>,
    known: Known,
    at: usize,
    best: f64,
    /// The solved combination it is.
    of: Option<Tried>,
}

impl Probe {
    fn new(bench: &Bench, tried: &[Tried], musts: &[usize], soft: Option<usize>) -> Self {
        let scale = |column: &usize, must| Some((*column, bench.scales.get(*column)?.alone(must)));
        let aims: Vec<_> = musts
            .iter()
            .filter_map(|column| scale(column, true))
            .chain(soft.iter().filter_map(|column| scale(column, false)))
            .collect();
        let (walk, known) = (None, Known::default());
        let mut probe = Self { aims, family: 0, walk, known, at: 0, best: f64::INFINITY, of: None };
        for tried in tried {
            probe.consider(bench, tried);
        }
        let miss = probe.best;
        probe.known.front.take(Cost { miss, work: 0, parts: 0, side: 0 });
        probe
    }

    fn consider(&mut self, bench: &Bench, tried: &Tried) {
        let each = self.aims.iter().filter_map(|(column, scale)| {
            let value = tried.stood.attitude.get(bench.targets.get(*column)?.output)?;
            Some(scale.least(value, value).miss)
        });
        let miss: f64 = each.sum();
        if miss < self.best {
            self.best = miss;
            self.of = Some(tried.clone());
        }
    }

    /// Goes on; true when the least is known.
    fn step(&mut self, bench: &mut Bench, tables: &[Table], banned: &BTreeSet<Pick>) -> bool {
        if self.best <= 0.0 {
            return true;
        }
        if let Some(table) = tables.get(self.family) {
            let walk = self.walk.get_or_insert_with(|| {
                Walk::new(table, self.aims.clone(), std::mem::take(&mut self.known), true)
            });
            if table.is_void() || walk.step(table, banned, PIECE) {
                self.family += 1;
                if let Some(walk) = self.walk.take() {
                    self.known = walk.known();
                    self.known.sift();
                }
            }
            return false;
        }
        for _ in 0..PIECE / 200 {
            let Some(candidate) = self.known.candidates.get(self.at) else { return true };
            self.at += 1;
            if candidate.least.miss >= self.best {
                return true;
            }
            let pick = candidate.pick.clone();
            if let Some(stood) = bench.stand(&pick, Setting::Thread) {
                let tried = Tried::of(bench, &pick, stood);
                self.consider(bench, &tried);
            }
        }
        false
    }
}

impl Conflicts {
    /// Begins with the best plan.
    pub fn new(bench: &Bench, best: Option<&Tried>) -> Self {
        let missed = |column: &usize| {
            let value =
                best.and_then(|best| best.stood.attitude.get(bench.targets.get(*column)?.output));
            let scale = bench.scales.get(*column);
            scale.zip(value).is_some_and(|(scale, v)| scale.least(v, v).miss > 0.0)
        };
        let (missed, met): (Vec<_>, Vec<_>) = (0..bench.targets.len()).partition(missed);
        Self {
            missed,
            met,
            set: Vec::new(),
            stage: if best.is_some() { Stage::Next } else { Stage::Done },
            probe: None,
            between: Vec::new(),
            found: Vec::new(),
            for_more_work: Vec::new(),
        }
    }

    /// Goes on; true when all is known.
    pub fn step(
        &mut self,
        bench: &mut Bench,
        tables: &[Table],
        tried: &[Tried],
        banned: &BTreeSet<Pick>,
    ) -> bool {
        if let Some(probe) = &mut self.probe {
            if probe.step(bench, tables, banned) {
                self.conclude(bench);
            }
            return false;
        }
        let (musts, soft): (Vec<usize>, Option<usize>) = match self.stage {
            Stage::Done => return true,
            Stage::Next => {
                // Musts first, then the widest miss: in the order of the targets they come.
                let Some(next) = self.next_missed(bench) else {
                    self.stage = Stage::Done;
                    return true;
                };
                self.set = std::iter::once(next).chain(self.met.iter().copied()).collect();
                self.between.clear();
                self.stage = Stage::Whole;
                return false;
            }
            Stage::Whole => (self.set.clone(), None),
            Stage::Without(at) if at < self.set.len() => {
                let mut set = self.set.clone();
                set.remove(at);
                (set, None)
            }
            Stage::Without(_) => {
                self.stage = Stage::Nearest(0);
                return false;
            }
            Stage::Nearest(at) if at < self.set.len() => {
                let mut set = self.set.clone();
                let soft = set.remove(at);
                (set, Some(soft))
            }
            Stage::Nearest(_) => {
                let between = std::mem::take(&mut self.between);
                self.found.push(Conflict { between });
                self.stage = Stage::Next;
                return false;
            }
        };
        self.probe = Some(Probe::new(bench, tried, &musts, soft));
        false
    }

    fn next_missed(&mut self, bench: &Bench) -> Option<usize> {
        let must = |column: &usize| bench.targets.get(*column).is_some_and(|target| target.must);
        let at =
            self.missed.iter().position(must).or_else(|| (!self.missed.is_empty()).then_some(0))?;
        Some(self.missed.remove(at))
    }

    /// What the probe's answer means for the question that was asked.
    fn conclude(&mut self, bench: &Bench) {
        let Some(probe) = self.probe.take() else { return };
        let feasible = probe.best < MISSED_MUST;
        self.stage = match self.stage {
            Stage::Whole if feasible => {
                let missed = self.set.first().and_then(|column| bench.targets.get(*column));
                self.for_more_work.extend(missed.map(|target| target.output));
                Stage::Next
            }
            // The missed one stays: the best plan meets all the others.
            Stage::Whole => Stage::Without(1),
            Stage::Without(at) if feasible => Stage::Without(at + 1),
            Stage::Without(at) => {
                self.set.remove(at);
                Stage::Without(at)
            }
            Stage::Nearest(at) => {
                let target = self.set.get(at).and_then(|column| bench.targets.get(*column));
                let relax = target.zip(probe.of.as_ref()).and_then(|(target, tried)| {
                    let nearest = tried.stood.attitude.get(target.output)?;
                    let by = target.band.miss(nearest);
                    let (output, band, must) = (target.output, target.band, target.must);
                    Some(Relax { output, band, nearest, by, must })
                });
                self.between.extend(relax);
                Stage::Nearest(at + 1)
            }
            other => other,
        };
    }
}
