//! What every output comes to for any combination, foreseen from a few thousand solved ones.
//!
//! An output of a combination is taken apart into what a middling combination gives, what each
//! choice by itself changes on that, and what each two choices change together beyond that: the
//! decomposition that the functional analysis of variance anchored at a point makes, cut after its
//! second order (Rabitz and Aliş, "General foundations of high-dimensional model representations",
//! J. Math. Chem. 25, 1999). Base, single choices and pairs are solved exactly. What three and more
//! choices do together is left out; how much that is, is measured at combinations spread over all of
//! them and doubled: that is not interval arithmetic, so what is foreseen only says which
//! combinations are worth solving, and a solved one that lies further off widens the measure.

use super::{
    bench::{Bench, Pick, Setting, Stood},
    even::even,
    work::Work,
};

/// What the largest remainder that was measured is multiplied by.
const UNEVEN: f64 = 2.0;
/// Combinations of a family that the remainder is measured at.
const SAMPLES: usize = 32;
/// The least remainder, as a share of the largest change by any single choice: what rounding does.
const LEAST: f64 = 1e-9;

/// The foreseen outputs of every combination of a family: in each slot with a length to set, either
/// one way of setting it or all that is as it is. Across that divide two choices would do together
/// what otherwise takes three.
#[derive(Debug, Clone)]
pub(super) struct Table {
    /// The slots' choices in the family, as the bench counts them. What a slot's choice is called in
    /// here is its place in the list.
    family: Vec<Vec<u16>>,
    /// Columns: each target's output, then each set length by its choice.
    pub columns: usize,
    /// Number of each slot's first choice; the others follow. One more entry ends the last slot.
    pub start: Vec<usize>,
    /// For each choice number the column its set length is in, with its range.
    pub set: Vec<Option<(usize, [f64; 2])>>,
    /// For each choice number whether it fits nothing.
    pub nothing: Vec<bool>,
    /// For each choice number the points of work it takes.
    pub points: Vec<u32>,
    /// The combination in the middle.
    pub nominal: Pick,
    base: Vec<f64>,
    single: Vec<f64>,
    pair: Vec<f64>,
    /// Two choices that do not stand together, or one by itself.
    torn: Vec<bool>,
    /// How far an output may lie from what is foreseen, by column.
    pub radius: Vec<f64>,
    job: Job,
}

/// What is solved next.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Job {
    Base,
    Single(usize),
    Pair(usize, usize),
    Sample(usize),
    Done,
    /// Nothing of it stands.
    Void,
}

/// Most families that a shelf is taken apart into.
const MOST_FAMILIES: usize = 48;

/// The families of a shelf, the one with most lengths set first.
pub(super) fn families(bench: &Bench) -> Vec<Table> {
    let mut families: Vec<Vec<Vec<u16>>> = vec![Vec::new()];
    for slot in &bench.slots {
        let all = 0..=u16::try_from(slot.choices.len()).unwrap_or(0);
        let is_set = |choice: &u16| {
            let index = usize::from(*choice).checked_sub(1);
            index.and_then(|at| slot.choices.get(at)).is_some_and(|choice| choice.set.is_some())
        };
        let (set, fixed): (Vec<u16>, Vec<u16>) = all.clone().partition(is_set);
        let mut ways: Vec<Vec<u16>> = set.into_iter().map(|one| vec![one]).collect();
        ways.push(fixed);
        if families.len() * ways.len() > MOST_FAMILIES {
            ways = vec![all.collect()];
        }
        families = ways
            .iter()
            .flat_map(|way| {
                families.iter().map(|before| {
                    let mut family = before.clone();
                    family.push(way.clone());
                    family
                })
            })
            .collect();
    }
    families.into_iter().map(|family| Table::new(bench, family)).collect()
}

impl Table {
    /// Nothing solved yet.
    fn new(bench: &Bench, family: Vec<Vec<u16>>) -> Self {
        let mut start = vec![0];
        let (mut set, mut nothing, mut points) = (Vec::new(), Vec::new(), Vec::new());
        let mut columns = bench.targets.len();
        let mut nominal = Vec::new();
        for (slot, choices) in bench.slots.iter().zip(&family) {
            for choice in choices {
                let choice =
                    usize::from(*choice).checked_sub(1).and_then(|at| slot.choices.get(at));
                nothing.push(choice.is_none());
                points.push(choice.map_or(0, |choice| Work::of(&choice.part).points));
                set.push(choice.and_then(|choice| choice.set).map(|set| {
                    columns += 1;
                    (columns - 1, set.range)
                }));
            }
            start.push(set.len());
            // The middle one of what is offered; of lengths none, which lies between them.
            let lengths = slot.choices.iter().any(|choice| choice.set.is_some());
            let middle = if lengths { 0 } else { choices.len() / 2 };
            nominal.push(u16::try_from(middle).unwrap_or(0));
        }
        let all = set.len();
        Self {
            family,
            columns,
            start,
            set,
            nothing,
            points,
            nominal,
            base: vec![0.0; columns],
            single: vec![0.0; columns * all],
            pair: vec![0.0; columns * all * all],
            torn: vec![false; all * all],
            radius: vec![0.0; columns],
            job: Job::Base,
        }
    }

    /// A combination as the bench counts its choices.
    pub fn on_bench(&self, pick: &[u16]) -> Pick {
        let choice = |(slot, pick): (&Vec<u16>, &u16)| slot.get(usize::from(*pick)).copied();
        self.family.iter().zip(pick).map(|pair| choice(pair).unwrap_or(0)).collect()
    }

    /// A combination of the bench's as it is called in here; `None` when it is of another family.
    pub fn of_bench(&self, pick: &[u16]) -> Option<Pick> {
        let place = |(slot, pick): (&Vec<u16>, &u16)| {
            u16::try_from(slot.iter().position(|choice| choice == pick)?).ok()
        };
        self.family.iter().zip(pick).map(place).collect()
    }

    /// How many combinations there are.
    pub fn combinations(&self) -> f64 {
        self.start.windows(2).map(|w| (w[1] - w[0]) as f64).product()
    }

    /// How many solved combinations it takes.
    pub fn size(&self) -> f64 {
        let all = self.choices() as f64;
        1.0 + all * all * 0.5
    }

    /// How many choice numbers there are.
    pub fn choices(&self) -> usize {
        self.set.len()
    }

    /// The choice number of a slot's pick.
    pub fn number(&self, slot: usize, pick: u16) -> usize {
        self.start[slot] + usize::from(pick)
    }

    /// What a choice by itself changes.
    pub fn single(&self, choice: usize) -> &[f64] {
        &self.single[choice * self.columns..][..self.columns]
    }

    /// What two choices change together, beyond what each does.
    pub fn pair(&self, a: usize, b: usize) -> &[f64] {
        &self.pair[(a * self.choices() + b) * self.columns..][..self.columns]
    }

    /// What the middling combination gives.
    pub fn base(&self) -> &[f64] {
        &self.base
    }

    /// Whether two choices do not stand together; a choice with itself: whether it does not stand.
    pub fn is_torn(&self, a: usize, b: usize) -> bool {
        self.torn[a * self.choices() + b]
    }

    /// How many choices or pairs of them do not stand.
    pub fn torn(&self) -> usize {
        let all = self.choices();
        (0..all).map(|a| (a..all).filter(|b| self.is_torn(a, *b)).count()).sum()
    }

    /// Whether every choice and every pair is solved, and the remainder measured.
    pub fn is_done(&self) -> bool {
        matches!(self.job, Job::Done | Job::Void)
    }

    /// Whether each choice by itself is solved: what pairs are not yet is taken for nothing.
    pub const fn foresees(&self) -> bool {
        matches!(self.job, Job::Pair(..) | Job::Sample(_) | Job::Done)
    }

    /// How much of it is done, 0 to 1.
    pub fn progress(&self) -> f64 {
        let all = self.choices() as f64;
        match self.job {
            Job::Base => 0.0,
            Job::Single(_) => 0.02,
            Job::Pair(a, _) => 0.05 + 0.85 * (1.0 - (1.0 - a as f64 / all).powi(2)),
            Job::Sample(i) => 0.9 + 0.1 * i as f64 / SAMPLES as f64,
            Job::Done | Job::Void => 1.0,
        }
    }

    /// Whether nothing in the middle of the family stands, so that nothing is foreseen of it.
    pub fn is_void(&self) -> bool {
        self.job == Job::Void
    }

    /// Solves the next combination.
    pub fn step(&mut self, bench: &mut Bench) {
        match self.job {
            Job::Base => {
                let Some(stood) = bench.stand(&self.on_bench(&self.nominal), Setting::Ideal) else {
                    // Nearer to nothing fitted, slot by slot; with nothing left there is no answer.
                    match self.nominal.iter_mut().find(|pick| **pick > 0) {
                        Some(on) => *on = 0,
                        None => self.job = Job::Void,
                    }
                    return;
                };
                self.base = self.values(bench, &self.nominal, &stood);
                self.job = self.next_single(0);
            }
            Job::Single(choice) => {
                let pick = self.with(&[choice]);
                if let Some(stood) = bench.stand(&self.on_bench(&pick), Setting::Ideal) {
                    let values = self.values(bench, &pick, &stood);
                    let at = choice * self.columns;
                    for (column, (value, base)) in values.iter().zip(&self.base).enumerate() {
                        self.single[at + column] = value - base;
                    }
                } else {
                    self.tear(choice, choice);
                }
                self.job = self.next_single(choice + 1);
            }
            Job::Pair(a, b) => {
                let pick = self.with(&[a, b]);
                if let Some(stood) = bench.stand(&self.on_bench(&pick), Setting::Ideal) {
                    let values = self.values(bench, &pick, &stood);
                    for (column, value) in values.iter().enumerate() {
                        let alone =
                            self.base[column] + self.single(a)[column] + self.single(b)[column];
                        for (a, b) in [(a, b), (b, a)] {
                            let at = (a * self.choices() + b) * self.columns + column;
                            self.pair[at] = value - alone;
                        }
                    }
                } else {
                    self.tear(a, b);
                }
                self.job = self.next_pair(a, b + 1);
            }
            Job::Sample(index) => {
                let pick = self.sample(index);
                let torn = self.tears(&pick);
                if let Some(stood) =
                    (!torn).then(|| bench.stand(&self.on_bench(&pick), Setting::Tenth)).flatten()
                {
                    self.widen(bench, &pick, &stood);
                }
                self.job =
                    if index + 1 < self.samples() { Job::Sample(index + 1) } else { Job::Done };
                if self.is_done() {
                    self.least_radius();
                }
            }
            Job::Done | Job::Void => {}
        }
    }

    /// What is foreseen for a combination, by column.
    pub fn foresee(&self, pick: &[u16]) -> Vec<f64> {
        let mut values = self.base.clone();
        let chosen: Vec<usize> =
            pick.iter().enumerate().map(|(slot, pick)| self.number(slot, *pick)).collect();
        for (i, a) in chosen.iter().enumerate() {
            add(&mut values, self.single(*a));
            for b in &chosen[..i] {
                add(&mut values, self.pair(*a, *b));
            }
        }
        values
    }

    /// Whether a combination has two choices that do not stand together.
    pub fn tears(&self, pick: &[u16]) -> bool {
        let number = |slot: usize| self.number(slot, pick[slot]);
        (0..pick.len()).any(|a| (a..pick.len()).any(|b| self.is_torn(number(a), number(b))))
    }

    /// Widens the radius where a solved combination lies further off than it says; true when it did.
    pub fn widen(&mut self, bench: &Bench, pick: &[u16], stood: &Stood) -> bool {
        let foreseen = self.foresee(pick);
        let solved = self.values(bench, pick, stood);
        let mut wider = false;
        for (column, radius) in self.radius.iter_mut().enumerate() {
            // The length of a choice that was not made is nothing.
            let meant =
                column < bench.targets.len() || stood_column(&self.set, &self.start, pick, column);
            let off = (foreseen[column] - solved[column]).abs();
            if meant && off > *radius {
                *radius = off * UNEVEN;
                wider = true;
            }
        }
        wider
    }

    /// The nominal combination but for some choices.
    fn with(&self, choices: &[usize]) -> Pick {
        let mut pick = self.nominal.clone();
        for choice in choices {
            let slot = self.slot_of(*choice);
            pick[slot] = u16::try_from(choice - self.start[slot]).unwrap_or(0);
        }
        pick
    }

    fn slot_of(&self, choice: usize) -> usize {
        self.start.iter().skip(1).take_while(|end| **end <= choice).count()
    }

    fn is_nominal(&self, choice: usize) -> bool {
        let slot = self.slot_of(choice);
        choice == self.number(slot, self.nominal[slot])
    }

    fn tear(&mut self, a: usize, b: usize) {
        let all = self.choices();
        for (a, b) in [(a, b), (b, a)] {
            self.torn[a * all + b] = true;
        }
    }

    fn next_single(&self, from: usize) -> Job {
        let next = (from..self.choices()).find(|choice| !self.is_nominal(*choice));
        next.map_or_else(|| self.next_pair(0, 1), Job::Single)
    }

    /// The next two choices of two slots that stand alone and are not nominal.
    fn next_pair(&self, mut a: usize, mut b: usize) -> Job {
        let fine = |c: usize| !self.is_nominal(c) && !self.is_torn(c, c);
        while a < self.choices() {
            let after = self.start[self.slot_of(a) + 1];
            b = b.max(after);
            if fine(a)
                && let Some(b) = (b..self.choices()).find(|b| fine(*b))
            {
                return Job::Pair(a, b);
            }
            (a, b) = (a + 1, 0);
        }
        Job::Sample(0)
    }

    fn samples(&self) -> usize {
        // Of three slots with a choice and more there is a remainder.
        let choices = self.family.iter().filter(|slot| slot.len() > 1).count();
        if choices < 3 { 1 } else { SAMPLES }
    }

    /// Combinations spread evenly over all, after the corners where everything is first or last.
    fn sample(&self, index: usize) -> Pick {
        let share = |slot: usize| match index {
            1 => 0.999,
            2 | 3 if slot % 2 == index % 2 => 0.999,
            0 | 2 | 3 => 0.0,
            _ => even(index, slot),
        };
        let pick = |slot: usize| {
            let count = self.start[slot + 1] - self.start[slot];
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "0 to count"
            )]
            let pick = (share(slot) * count as f64) as u16;
            pick
        };
        (0..self.nominal.len()).map(pick).collect()
    }

    /// The columns of a solved combination.
    fn values(&self, bench: &Bench, pick: &[u16], stood: &Stood) -> Vec<f64> {
        let mut values = vec![0.0; self.columns];
        for (value, target) in values.iter_mut().zip(&bench.targets) {
            *value = stood.attitude.get(target.output).unwrap_or(f64::NAN);
        }
        for (slot, length) in &stood.lengths {
            if let Some((column, _)) = self.set[self.number(*slot, pick[*slot])] {
                values[column] = *length;
            }
        }
        values
    }

    /// Rounding alone may tell a foreseen output from the solved one.
    fn least_radius(&mut self) {
        for column in 0..self.columns {
            let most = (0..self.choices())
                .map(|choice| self.single(choice)[column].abs())
                .fold(self.base[column].abs(), f64::max);
            self.radius[column] = self.radius[column].max(most * LEAST);
        }
    }
}

/// Adds one row to another.
#[inline]
pub(super) fn add(to: &mut [f64], by: &[f64]) {
    for (to, by) in to.iter_mut().zip(by) {
        *to += by;
    }
}

/// Whether a column is the length of a choice that a pick makes.
fn stood_column(
    set: &[Option<(usize, [f64; 2])>],
    start: &[usize],
    pick: &[u16],
    column: usize,
) -> bool {
    pick.iter().zip(start).any(|(pick, start)| {
        set.get(start + usize::from(*pick)).copied().flatten().is_some_and(|(of, _)| of == column)
    })
}
