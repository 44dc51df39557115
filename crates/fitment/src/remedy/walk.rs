//! All combinations, walked depth first over the foreseen outputs; whole branches are left out when
//! nothing in them can be better than what is known already.

use super::{
    bench::{Pick, ROUNDING},
    front::{Cost, Front},
    table::{Table, add},
    target::{Count, Scale},
};
use crate::few;
use std::collections::BTreeSet;

/// What is walked over: the table's columns that count, and each choice's work.
#[derive(Debug, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "two say how to walk, two how it went")]
pub(super) struct Walk {
    /// Columns with their scales.
    aims: Vec<(usize, Scale)>,
    /// Whether work, parts and side effects count besides the misses.
    only_misses: bool,
    /// False to try every combination one by one: what pruning must come to as well.
    pub prunes: bool,
    /// The slots in the order they are filled, the most telling first.
    order: Vec<usize>,
    levels: Vec<Level>,
    depth: usize,
    /// Least and greatest that pairs among the slots from each depth on may add.
    rest: Vec<[Vec<f64>; 2]>,
    /// Combinations below one choice at each depth.
    below: Vec<f64>,
    /// Rows to work in.
    rows: [Vec<f64>; 4],
    /// What no combination needs to be looked at for that is covered by it.
    front: Front,
    /// Combinations that may be better than all that is known for sure.
    candidates: Vec<Candidate>,
    /// Combinations looked at or left out for a reason.
    pub passed: f64,
    /// Whether candidates had to be let go of.
    overflowed: bool,
    done: bool,
}

/// What one family's walk hands on to the next.
#[derive(Debug, Clone, Default)]
pub(super) struct Known {
    /// What no combination needs to be looked at for that is covered by it.
    pub front: Front,
    /// Combinations that may be better than all that is known for sure.
    pub candidates: Vec<Candidate>,
    /// Whether candidates had to be let go of.
    pub overflowed: bool,
}

/// A combination worth solving, as the bench counts its choices.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub pick: Pick,
    /// The least it can cost.
    pub least: Cost,
}

/// One slot being filled.
#[derive(Debug, Clone, Default)]
struct Level {
    /// The choice to try next.
    next: u16,
    /// Choices made before.
    chosen: Vec<usize>,
    /// Columns summed so far.
    sum: Vec<f64>,
    /// For each choice number of the slots to come: what it adds to what was chosen.
    adds: Vec<f64>,
    points: u32,
    parts: u32,
}

/// Most candidates kept; more than this and the worst are let go of.
const MOST_CANDIDATES: usize = 20_000;

impl Walk {
    /// At the beginning. `aims` are columns with their scales.
    pub fn new(table: &Table, aims: Vec<(usize, Scale)>, known: Known, only_misses: bool) -> Self {
        let Known { front, candidates, overflowed } = known;
        let slots = table.nominal.len();
        let telling = |slot: usize| {
            let span = |(column, scale): &(usize, Scale)| {
                let each =
                    (table.start[slot]..table.start[slot + 1]).map(|c| table.single(c)[*column]);
                let (low, high) =
                    each.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
                scale.width(high - low)
            };
            aims.iter().map(span).sum::<f64>()
        };
        let mut order: Vec<usize> = (0..slots).collect();
        few::sort(&mut order, &|a, b| telling(*b).total_cmp(&telling(*a)));
        let columns = table.columns;
        let mut rest = vec![[vec![0.0; columns], vec![0.0; columns]]; slots + 1];
        for depth in (0..slots).rev() {
            let mut bounds = rest[depth + 1].clone();
            for later in &order[depth + 1..] {
                let (low, high) = between(table, order[depth], *later);
                add(&mut bounds[0], &low);
                add(&mut bounds[1], &high);
            }
            rest[depth] = bounds;
        }
        let mut below = vec![1.0; slots + 1];
        for depth in (0..slots).rev() {
            let slot = order[depth];
            below[depth] = below[depth + 1] * (table.start[slot + 1] - table.start[slot]) as f64;
        }
        let level = Level {
            sum: vec![0.0; columns],
            adds: vec![0.0; columns * table.choices()],
            ..Level::default()
        };
        let mut levels = vec![level; slots.max(1)];
        levels[0].sum.copy_from_slice(table.base());
        for choice in 0..table.choices() {
            levels[0].adds[choice * columns..][..columns].copy_from_slice(table.single(choice));
        }
        Self {
            aims,
            only_misses,
            prunes: true,
            order,
            levels,
            depth: 0,
            rest,
            below,
            rows: [(); 4].map(|()| vec![0.0; columns]),
            front,
            candidates,
            passed: 0.0,
            overflowed,
            done: slots == 0,
        }
    }

    /// What was found.
    pub fn known(self) -> Known {
        let Self { front, candidates, overflowed, .. } = self;
        Known { front, candidates, overflowed }
    }

    /// Goes on for about so many combinations; true when all are done. None of `banned` is taken up.
    pub fn step(&mut self, table: &Table, banned: &BTreeSet<Pick>, budget: usize) -> bool {
        let mut spent = 0;
        while spent < budget.max(1) && !self.done {
            spent += self.piece(table, banned);
        }
        self.done
    }

    /// One choice at one depth, or all of the last slot's; what it cost.
    fn piece(&mut self, table: &Table, banned: &BTreeSet<Pick>) -> usize {
        let depth = self.depth;
        let slot = self.order[depth];
        if depth + 1 == self.order.len() {
            let count = table.start[slot + 1] - table.start[slot];
            for choice in table.start[slot]..table.start[slot + 1] {
                self.leaf(table, banned, choice);
            }
            self.up();
            return count;
        }
        let choice = table.start[slot] + usize::from(self.levels[depth].next);
        if choice >= table.start[slot + 1] {
            self.up();
            return 1;
        }
        self.levels[depth].next += 1;
        if self.level(depth).is_some_and(|level| tears(table, &level.chosen, choice))
            || !self.descend(table, choice)
        {
            self.passed += self.below[depth + 1];
            return 2;
        }
        self.depth += 1;
        2
    }

    fn level(&self, depth: usize) -> Option<&Level> {
        self.levels.get(depth)
    }

    /// Back to the slot before.
    fn up(&mut self) {
        self.levels[self.depth].next = 0;
        if self.depth == 0 {
            self.done = true;
        } else {
            self.depth -= 1;
        }
    }

    /// Makes a choice and readies the next slot; false when nothing below can be worth it.
    fn descend(&mut self, table: &Table, choice: usize) -> bool {
        let columns = table.columns;
        let depth = self.depth;
        let (before, after) = self.levels.split_at_mut(depth + 1);
        let (Some(here), Some(next)) = (before.last(), after.first_mut()) else { return false };
        next.sum.copy_from_slice(&here.sum);
        add(&mut next.sum, &here.adds[choice * columns..][..columns]);
        next.points = here.points + table.points[choice];
        next.parts = here.parts + u32::from(!table.nothing[choice]);
        next.chosen.clone_from(&here.chosen);
        next.chosen.push(choice);
        next.next = 0;
        let [low, high, least, most] = &mut self.rows;
        low.copy_from_slice(&self.rest[depth + 1][0]);
        high.copy_from_slice(&self.rest[depth + 1][1]);
        for slot in &self.order[depth + 1..] {
            least.fill(f64::INFINITY);
            most.fill(f64::NEG_INFINITY);
            for other in table.start[*slot]..table.start[slot + 1] {
                let adds = &mut next.adds[other * columns..][..columns];
                let known = &here.adds[other * columns..][..columns];
                let pair = table.pair(choice, other);
                let ends = least.iter_mut().zip(most.iter_mut());
                for (((adds, known), pair), (least, most)) in
                    adds.iter_mut().zip(known).zip(pair).zip(ends)
                {
                    *adds = known + pair;
                    *least = least.min(*adds);
                    *most = most.max(*adds);
                }
            }
            add(low, least);
            add(high, most);
        }
        if !self.prunes {
            return true;
        }
        add(low, &next.sum);
        add(high, &next.sum);
        let mut least = Count::default();
        for (column, scale) in &self.aims {
            let radius = table.radius[*column];
            let count = scale.least(low[*column] - radius, high[*column] + radius);
            least.miss += count.miss;
            least.side += count.side;
        }
        let cost = cost(self.only_misses, least, next.points, next.parts);
        !self.front.covers(&cost)
    }

    /// One whole combination.
    fn leaf(&mut self, table: &Table, banned: &BTreeSet<Pick>, choice: usize) {
        self.passed += 1.0;
        let columns = table.columns;
        let level = &self.levels[self.depth];
        let adds = &level.adds[choice * columns..][..columns];
        let (mut least, mut most) = (Count::default(), Count::default());
        for (column, scale) in &self.aims {
            let value = level.sum[*column] + adds[*column];
            let radius = table.radius[*column];
            let count = scale.least(value - radius, value + radius);
            least.miss += count.miss;
            least.side += count.side;
        }
        let points = level.points + table.points[choice];
        let parts = level.parts + u32::from(!table.nothing[choice]);
        let cheapest = cost(self.only_misses, least, points, parts);
        if self.front.covers(&cheapest) || tears(table, &level.chosen, choice) {
            return;
        }
        // A set length that no thread reaches is no combination; one that may be is not sure.
        let mut sure = true;
        for chosen in level.chosen.iter().chain([&choice]) {
            let Some((column, range)) = table.set[*chosen] else { continue };
            let value = level.sum[column] + adds[column];
            let radius = table.radius[column] + ROUNDING;
            if value + radius < range[0] || value - radius > range[1] {
                return;
            }
            sure &= range[0] <= value - radius && value + radius <= range[1];
        }
        let mut pick = vec![0; self.order.len()];
        for (slot, chosen) in self.order.iter().zip(level.chosen.iter().chain([&choice])) {
            pick[*slot] = u16::try_from(chosen - table.start[*slot]).unwrap_or(0);
        }
        let pick = table.on_bench(&pick);
        if banned.contains(&pick) {
            return;
        }
        if sure {
            for (column, scale) in &self.aims {
                let value = level.sum[*column] + adds[*column];
                let radius = table.radius[*column];
                let count = scale.most(value - radius, value + radius);
                most.miss += count.miss;
                most.side += count.side;
            }
            self.front.take(cost(self.only_misses, most, points, parts));
        }
        self.candidates.push(Candidate { pick, least: cheapest });
        if self.candidates.len() > MOST_CANDIDATES {
            sift(&mut self.candidates, &self.front);
            self.overflowed |= self.candidates.len() > MOST_CANDIDATES / 2;
            self.candidates.truncate(MOST_CANDIDATES / 2);
        }
    }
}

impl Known {
    /// Lets go of candidates that something found later covers, and sorts the rest.
    pub fn sift(&mut self) {
        sift(&mut self.candidates, &self.front);
    }
}

/// The least cost first, without what is covered for sure.
fn sift(candidates: &mut Vec<Candidate>, front: &Front) {
    // What a sure combination may cost at most does not cover what it costs at least.
    candidates.retain(|one| {
        !front.costs.iter().any(|held| held.covers(&one.least, 0.0) && *held != one.least)
    });
    few::sort(candidates, &|a, b| a.least.order(&b.least));
}

/// What a count, work and parts come to.
const fn cost(only_misses: bool, count: Count, work: u32, parts: u32) -> Cost {
    if only_misses {
        Cost { miss: count.miss, work: 0, parts: 0, side: 0 }
    } else {
        Cost { miss: count.miss, work, parts, side: count.side }
    }
}

/// Whether a choice does not stand with one of those before it, or by itself.
fn tears(table: &Table, chosen: &[usize], choice: usize) -> bool {
    table.is_torn(choice, choice) || chosen.iter().any(|other| table.is_torn(*other, choice))
}

/// The least and the most that the choices of two slots add together, by column.
fn between(table: &Table, a: usize, b: usize) -> (Vec<f64>, Vec<f64>) {
    let mut low = vec![f64::INFINITY; table.columns];
    let mut high = vec![f64::NEG_INFINITY; table.columns];
    for a in table.start[a]..table.start[a + 1] {
        for b in table.start[b]..table.start[b + 1] {
            for ((low, high), v) in low.iter_mut().zip(&mut high).zip(table.pair(a, b)) {
                *low = low.min(*v);
                *high = high.max(*v);
            }
        }
    }
    (low, high)
}
