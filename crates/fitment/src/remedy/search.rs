//! The search in pieces: a page asks for a little, shows what there is, and asks for more; to cancel
//! it, drop it.

use super::{
    bench::{Bench, Pick, Setting},
    conflict::{Conflict, Conflicts},
    front::{Cost, Front, front_of, thinned},
    judge::Judge,
    plan::{Plan, Tried},
    slots::{is_searched, slots},
    table::{Table, families},
    target::Target,
    walk::{Candidate, Known, Walk},
    words,
};
use crate::{
    axle::{Answer, Attitude, AxleModel, ModelError, NoAnswer, Output},
    finding::Aim,
    measure::System,
    truck::{End, Part, State, Truck},
};
use std::collections::{BTreeMap, BTreeSet};

/// Most plans listed.
pub const MOST_PLANS: usize = 10;
/// Most choices a shelf may offer, all kinds together; a longer one is cut and [`Found::cut`] says so.
pub const MOST_CHOICES: usize = 250;

/// What a solved combination takes as long as, in combinations foreseen.
const SOLVE_COST: usize = 300;
/// How often the walk is repeated when a solved combination lies further off than was foreseen.
const MOST_ROUNDS: usize = 8;

/// What a search has found so far.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each is an answer of its own")]
pub struct Found {
    /// The best, best first: none that another beats on misses, work, parts and side effects at
    /// once, nor by more than a builder would notice.
    pub ranked: Vec<Plan>,
    /// Every plan that no other beats, best first.
    pub front: Vec<Plan>,
    /// Combinations there are on the shelf.
    pub combinations: f64,
    /// Combinations looked at, or left out because nothing among them could be better.
    pub passed: f64,
    /// Combinations solved.
    pub solved: usize,
    /// Choices, and pairs of choices, that do not stand: out of reach, bound, or torn.
    pub torn: usize,
    /// True when only the first [`MOST_CHOICES`] of the shelf were taken.
    pub cut: bool,
    /// How much of the search is done, 0 to 1.
    pub progress: f64,
    /// Whether the ranking is the last one; what fights may still be being found out.
    pub settled: bool,
    /// Whether all is done.
    pub done: bool,
    /// Whether the ranking is the true one, up to the remainder below.
    pub proven: bool,
    /// Plans whose tires were judged; where any were, only those are listed once the ranking is settled.
    pub judged: usize,
    /// How many of those have the room asked for; `None` where room was not asked for.
    pub clear: Option<usize>,
    /// Targets that the best plan misses and that no plan meets along with all it meets.
    pub conflicts: Vec<Conflict>,
    /// Targets that the best plan misses although more work would meet them.
    pub for_more_work: Vec<Output>,
    /// How far an output of any combination may lie from what was foreseen of it, as measured and
    /// doubled: the ranking rests on this where a combination was not solved itself.
    pub remainder: Vec<(Output, f64)>,
}

impl Found {
    /// What to put on besides a plan's own parts to bring the first of its misses in band that more
    /// parts can: taken from the best plan that has all its kinds of parts, misses no more musts, and
    /// meets that target.
    pub fn to_add(&self, plan: &Plan) -> Option<(Output, Vec<Part>)> {
        let has = |other: &Plan, part: &Part| other.parts.iter().any(|p| p.kind() == part.kind());
        plan.misses.iter().find_map(|miss| {
            let meets = |other: &&Plan| {
                other.musts_missed <= plan.musts_missed
                    && other.misses.iter().all(|m| m.output != miss.output)
                    && plan.parts.iter().all(|part| has(other, part))
            };
            let better = self.front.iter().find(meets)?;
            let more: Vec<Part> =
                better.parts.iter().filter(|part| !has(plan, part)).cloned().collect();
            (!more.is_empty()).then_some((miss.output, more))
        })
    }

    /// One of its plans in plain words, with what to add where something still misses.
    pub fn words(&self, plan: &Plan, system: System) -> String {
        words::plan_among(self, plan, system)
    }
}

/// A search under way.
#[derive(Debug, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "each is noted at a time of its own")]
pub struct Search {
    bench: Bench,
    tables: Vec<Table>,
    walk: Option<Walk>,
    /// What walks over earlier families came to.
    known: Known,
    prunes: bool,
    tried: Vec<Tried>,
    /// What was solved, with its place among those tried where it stands.
    seen: BTreeMap<Pick, Option<usize>>,
    /// What none of those tried beats.
    exact: Front,
    judge: Option<Judge>,
    conflicts: Option<Conflicts>,
    banned: BTreeSet<Pick>,
    /// The truck with nothing fitted, where it stands at all.
    before: Option<Attitude<f64>>,
    stage: Stage,
    rounds: usize,
    guessed: bool,
    surprised: bool,
    cut: bool,
    /// Combinations passed in earlier families.
    passed: f64,
}

/// What is worked out next.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    /// The family of this number.
    Table(usize),
    Walk(usize),
    /// The candidate of this number.
    Verify(usize),
    Judge,
    Conflicts,
    Done,
}

impl Search {
    /// Begins a search for an axle: what its shelf offers, at its planned ride height.
    ///
    /// # Errors
    /// When the axle does not read.
    pub fn begin(
        truck: &Truck,
        end: End,
        stock: &Answer,
        targets: &[Target],
    ) -> Result<Self, NoAnswer> {
        let axle = truck.axle(end).ok_or(ModelError::NoAxle { end })?;
        let mut bare = truck.clone();
        if let Some(axle) = bare.axle_mut(end) {
            axle.planned.parts.retain(|part| !is_searched(part));
        }
        let model = AxleModel::of(&bare, end, State::Planned)?;
        let worn = &axle.sitting.parts;
        let mut slots = slots(&axle.shelf, worn, (stock, &model), targets);
        let mut room = MOST_CHOICES;
        let mut cut = false;
        for slot in &mut slots {
            cut |= slot.choices.len() > room;
            slot.choices.truncate(room);
            room -= slot.choices.len();
        }
        slots.retain(|slot| !slot.choices.is_empty());
        let decided = axle.planned.parts.iter().filter(|part| !is_searched(part));
        let stays = worn
            .iter()
            .filter(|part| is_searched(part) && !slots.iter().any(|slot| slot.worn.contains(part)))
            .chain(decided)
            .cloned()
            .collect();
        let mut bench = Bench::new(model, slots, stays, targets.to_vec());
        // Nothing fitted comes first: it is what the plans are compared with, and a plan itself.
        let nothing = vec![0; bench.slots.len()];
        bench.targets.clear();
        let stood = bench.stand(&nothing, Setting::Thread);
        bench.targets = targets.to_vec();
        if let Some(stood) = &stood {
            bench.compare_with(&stood.attitude);
        }
        let tables = families(&bench);
        let mut search = Self {
            tables,
            walk: None,
            known: Known::default(),
            prunes: true,
            tried: Vec::new(),
            seen: BTreeMap::new(),
            exact: Front::default(),
            judge: None,
            conflicts: None,
            banned: BTreeSet::new(),
            before: stood.map(|stood| stood.attitude),
            stage: if bench.slots.is_empty() { Stage::Done } else { Stage::Table(0) },
            bench,
            rounds: 0,
            guessed: false,
            surprised: false,
            cut,
            passed: 0.0,
        };
        search.solve(&nothing);
        Ok(search)
    }

    /// The same without leaving anything out: slower by far, and the same in the end.
    #[must_use]
    pub const fn trying_all(mut self) -> Self {
        self.prunes = false;
        self
    }

    /// The same with the finalists' tires judged by their least clearance to anything beside them, over
    /// all of their travel and steer; nothing changes where nothing is aimed at.
    #[must_use]
    pub fn judging(mut self, truck: &Truck, end: End, clearance: Option<Aim>) -> Self {
        self.judge = clearance.map(|aim| Judge::new(truck, end, aim));
        if self.stage == Stage::Done {
            self.judge_next();
        }
        self
    }

    /// Goes on for about as long as so many combinations take to look at; true when all is done.
    pub fn step(&mut self, combinations: usize) -> bool {
        let mut spent = 0;
        while spent < combinations.max(1) && self.stage != Stage::Done {
            spent += self.piece(combinations.max(1) - spent);
        }
        self.stage == Stage::Done
    }

    /// Whether the ranking is the last one.
    pub const fn is_settled(&self) -> bool {
        matches!(self.stage, Stage::Conflicts | Stage::Done)
    }

    /// Whether there is a plan worth showing: a first guess at the best one was solved.
    pub const fn has_guess(&self) -> bool {
        self.guessed || self.is_settled()
    }

    /// What everything is tried on.
    pub(super) const fn bench(&self) -> &Bench {
        &self.bench
    }

    /// The truck with nothing fitted.
    pub(super) const fn before(&self) -> Option<&Attitude<f64>> {
        self.before.as_ref()
    }

    /// One piece of the work, and what it cost.
    fn piece(&mut self, most: usize) -> usize {
        match self.stage {
            Stage::Table(at) => {
                let Some(table) = self.tables.get_mut(at) else {
                    let best = self.tried.iter().min_by(|a, b| a.cost.order(&b.cost));
                    let nothing = || vec![0; self.bench.slots.len()];
                    let from = best.map_or_else(nothing, |best| best.pick.clone());
                    self.climb(from);
                    self.guessed = true;
                    self.start_walk();
                    return 1;
                };
                let foresaw = table.foresees();
                table.step(&mut self.bench);
                if table.is_done() {
                    self.stage = Stage::Table(at + 1);
                } else if !self.guessed && !foresaw && table.foresees() {
                    // A first guess at once: each choice counted by itself.
                    let middle = table.on_bench(&table.nominal);
                    self.guessed = self.climb(middle);
                }
                SOLVE_COST
            }
            Stage::Walk(at) => {
                let Some(table) = self.tables.get(at) else {
                    self.known.sift();
                    self.surprised = self.known.overflowed;
                    self.stage = Stage::Verify(0);
                    return 1;
                };
                let walk = self.walk.get_or_insert_with(|| {
                    let aims = self.bench.scales.iter().copied().enumerate().collect();
                    let mut walk = Walk::new(table, aims, std::mem::take(&mut self.known), false);
                    walk.prunes = self.prunes;
                    walk
                });
                if table.is_void() || walk.step(table, &self.banned, most) {
                    self.passed += table.combinations();
                    if let Some(walk) = self.walk.take() {
                        self.known = walk.known();
                    }
                    self.stage = Stage::Walk(at + 1);
                }
                most
            }
            Stage::Verify(at) => {
                let Some(candidate) = self.known.candidates.get(at) else {
                    self.rounds += 1;
                    if self.surprised && self.rounds < MOST_ROUNDS {
                        self.start_walk();
                    } else {
                        self.judge_next();
                    }
                    return 1;
                };
                let Candidate { pick, least } = candidate.clone();
                self.stage = Stage::Verify(at + 1);
                if self.exact.covers(&least) {
                    return 1;
                }
                self.verify(&pick);
                SOLVE_COST
            }
            Stage::Judge => match &mut self.judge {
                Some(judge) if !judge.done => judge.step(&self.bench, &self.tried, most),
                _ => {
                    self.conclude();
                    1
                }
            },
            Stage::Conflicts => {
                let Self { bench, tables, tried, banned, .. } = self;
                let done =
                    self.conflicts.as_mut().is_none_or(|c| c.step(bench, tables, tried, banned));
                if done {
                    self.stage = Stage::Done;
                }
                most
            }
            Stage::Done => 0,
        }
    }

    /// After what was solved is final: the tires, where they count.
    fn judge_next(&mut self) {
        match &mut self.judge {
            Some(judge) => {
                judge.take(&self.tried);
                self.stage = Stage::Judge;
            }
            None => self.conclude(),
        }
    }

    /// After the ranking is final: what fights.
    fn conclude(&mut self) {
        if self.bench.slots.is_empty() {
            self.stage = Stage::Done;
            return;
        }
        let best = self.listed()[0].first().and_then(|(at, _)| self.tried.get(*at));
        self.conflicts = Some(Conflicts::new(&self.bench, best));
        self.stage = Stage::Conflicts;
    }

    /// Those tried that are listed, and the front, each with what it costs.
    fn listed(&self) -> [Vec<(usize, Cost)>; 2] {
        let judge = self.judge.as_ref().filter(|judge| !judge.judged.is_empty());
        let cost = |(at, tried): (usize, &Tried)| {
            let judged = judge.and_then(|judge| judge.of(at));
            // What was not judged may cost more: it is listed only until the judging is over.
            let listed = judged.is_some() || judge.is_none_or(|judge| !judge.done);
            listed.then(|| (at, judged.map_or(tried.cost, |judged| judged.cost)))
        };
        let costs: Vec<(usize, Cost)> = self.tried.iter().enumerate().filter_map(cost).collect();
        let front = front_of(&costs, |one| one.1);
        let ranked = thinned(&front, |at| costs[at].1, MOST_PLANS);
        [ranked, front].map(|list| list.iter().map(|at| costs[*at]).collect())
    }

    /// Solves a candidate and takes note when it is not what was foreseen.
    fn verify(&mut self, pick: &Pick) {
        let Some(at) = self.solve(pick) else {
            self.banned.insert(pick.clone());
            self.surprised = true;
            return;
        };
        if let Some(tried) = self.tried.get(at)
            && let Some((family, local)) = self.family_of(pick)
            && let Some(table) = self.tables.get_mut(family)
        {
            self.surprised |= table.widen(&self.bench, &local, &tried.stood);
        }
    }

    /// Solves a combination as it would be built; where it stands, its place among those tried.
    fn solve(&mut self, pick: &Pick) -> Option<usize> {
        if let Some(known) = self.seen.get(pick) {
            return *known;
        }
        let stood = self.bench.stand(pick, Setting::Thread);
        let at = stood.map(|stood| {
            let tried = Tried::of(&self.bench, pick, stood);
            self.exact.take(tried.cost);
            self.tried.push(tried);
            self.tried.len() - 1
        });
        self.seen.insert(pick.clone(), at);
        at
    }

    /// Changes one choice at a time of a combination while that is foreseen to be better, and solves
    /// where it ends; whether that stands.
    fn climb(&mut self, mut pick: Pick) -> bool {
        const SWEEPS: usize = 4;
        let mut score = self.foreseen(&pick).unwrap_or(f64::INFINITY);
        for _ in 0..SWEEPS {
            let before = score;
            for slot in 0..pick.len() {
                for choice in 0..=self.bench.slots[slot].choices.len() {
                    let held = pick[slot];
                    pick[slot] = u16::try_from(choice).unwrap_or(0);
                    match self.foreseen(&pick) {
                        Some(better) if better < score => score = better,
                        _ => pick[slot] = held,
                    }
                }
            }
            if score >= before {
                break;
            }
        }
        self.solve(&pick).is_some()
    }

    /// The family a combination is of, and what it is called there.
    fn family_of(&self, pick: &[u16]) -> Option<(usize, Pick)> {
        self.tables.iter().enumerate().find_map(|(at, table)| Some((at, table.of_bench(pick)?)))
    }

    /// The score foreseen of a combination; `None` where nothing is, it does not stand or cannot be
    /// set.
    fn foreseen(&self, pick: &[u16]) -> Option<f64> {
        let (family, local) = self.family_of(pick)?;
        let table = self.tables.get(family).filter(|table| table.foresees())?;
        if table.tears(&local) {
            return None;
        }
        let values = table.foresee(&local);
        for (slot, choice) in local.iter().enumerate() {
            if let Some((column, [low, high])) = table.set[table.number(slot, *choice)]
                && !(low <= values[column] && values[column] <= high)
            {
                return None;
            }
        }
        let each = self.bench.scales.iter().zip(&values);
        let miss: f64 = each.map(|(scale, v)| scale.least(*v, *v).miss).sum();
        let work = self.bench.work(pick).0.points;
        Some(Cost { miss, work, parts: 0, side: 0 }.score())
    }

    fn start_walk(&mut self) {
        self.known = Known { front: self.exact.clone(), ..Known::default() };
        self.surprised = false;
        self.passed = 0.0;
        self.stage = Stage::Walk(0);
    }

    /// What is known so far; once done, the answer.
    pub fn so_far(&self) -> Found {
        let judge = self.judge.as_ref();
        let plan = |(at, _): &(usize, Cost)| {
            let judged = judge.and_then(|judge| judge.of(*at));
            self.tried[*at].plan(&self.bench, self.before.as_ref(), judged)
        };
        let [ranked, front] = self.listed().map(|list| list.iter().map(plan).collect());
        let combinations: f64 = self.tables.iter().map(Table::combinations).sum();
        let walked = self.passed + self.walk.as_ref().map_or(0.0, |walk| walk.passed);
        let (settled, done) = (self.is_settled(), self.stage == Stage::Done);
        let progress = match self.stage {
            Stage::Table(_) => {
                let all: f64 = self.tables.iter().map(Table::size).sum();
                let done: f64 = self.tables.iter().map(|t| t.size() * t.progress()).sum();
                0.4 * done / all.max(1.0)
            }
            Stage::Walk(_) | Stage::Verify(_) if self.rounds > 0 => 0.9,
            Stage::Walk(_) => 0.4 + 0.5 * walked / combinations.max(1.0),
            Stage::Verify(_) => 0.9,
            Stage::Judge => 0.92,
            Stage::Conflicts => 0.95,
            Stage::Done => 1.0,
        };
        let remainder = |(column, target): (usize, &Target)| {
            let each = self.tables.iter().filter_map(|table| table.radius.get(column));
            (target.output, each.copied().fold(0.0, f64::max))
        };
        Found {
            ranked,
            front,
            combinations,
            passed: walked,
            solved: self.tried.len(),
            torn: self.tables.iter().map(Table::torn).sum(),
            cut: self.cut,
            progress,
            settled,
            done,
            conflicts: self.conflicts.as_ref().map_or_else(Vec::new, |c| c.found.clone()),
            for_more_work: self
                .conflicts
                .as_ref()
                .map_or_else(Vec::new, |c| c.for_more_work.clone()),
            proven: settled && !self.surprised && !self.tried.is_empty(),
            judged: judge.map_or(0, |judge| judge.judged.len()),
            clear: judge.map(Judge::clear),
            remainder: self.bench.targets.iter().enumerate().map(remainder).collect(),
        }
    }
}
