//! How values bend along each input by itself, and how the input they bend along most changes what the
//! others do: enough to draw as many samples as are wanted without asking anew.
//!
//! With z independent standard normal directions,
//! f(z) ≈ f(0) + Σ gᵢ(zᵢ) + Σ (zᵢ·tᵢ(zₚ) + zᵢ²·qᵢ(zₚ)) + Σ hᵢⱼ·zᵢ·zⱼ: the values followed along each direction
//! that bends, slopes along the others, how every slope turns and bends with the direction p that bends
//! most, and what two of those that bend do together (an expansion about
//! a point, cut after two inputs: Rabitz and Aliş, J. Math. Chem. 25 (1999) 197). What it leaves is for
//! the caller to look at.

use super::normal::{cube_points, quantile};
use nalgebra::{DMatrix, DVector};
use std::f64::consts::PI;

/// Where a direction is followed: at even steps of its normal number, or, for an input that has a floor,
/// of the logarithm of the input, for what is soft gives in proportion to one over it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ground {
    /// The normal number at which an input with a floor would vanish.
    zero: Option<f64>,
    /// The number at its floor.
    floor: f64,
    first: f64,
    step: f64,
    nodes: usize,
}

/// Points along the direction that bends most, or that has a floor, and along another.
const NODES: usize = 9;
const FEWER: usize = 5;
/// Most directions that are followed: those that bend most.
const FOLLOWED: usize = 12;
/// Points of the first at which what the other directions do is looked at: of one with a floor, and of
/// another. At its best value nothing turns.
const TURNS: usize = 2;
const TURN_NODES: [[usize; TURNS]; 2] = [[0, 3], [0, 4]];
/// How far a direction is followed, in deviations: without a floor, twice as far as it is looked at aside.
const REACH: f64 = 2.0 * ASIDE;
/// Where a direction is looked at on both sides: with these two and the middle, the weights of a normal
/// number are right to the fifth power (Gauss and Hermite's three points).
const ASIDE: f64 = 1.732_050_807_568_877_2;
/// A direction bends that is off its slope by more than this share of the value's deviation.
const NOTABLE: f64 = 0.06;
/// One that is off by less on one side is no more on the other.
const QUIET: f64 = 0.01;
/// A direction that adds less than this share to the deviation turns with nothing; one that turns by less,
/// not at all; by less than the other, without bending.
const IDLE: f64 = 0.01;
const TURNS_LITTLE: [f64; 2] = [0.03, 0.15];
/// Directions so few that none is idle.
const FEW: usize = 8;
/// Samples drawn.
const DRAWN: usize = 1024;

impl Ground {
    /// Of a direction that moves an input by `by`, from its best value.
    pub fn of(best: f64, floor: f64, by: f64) -> Self {
        let lowest = (floor - best) / by;
        let zero = -best / by;
        if floor > 0.0 && lowest > -2.0 * REACH && lowest < 0.0 {
            let first = (lowest - zero).ln();
            let step = ((REACH - zero).ln() - first) / (NODES - 1) as f64;
            return Self { zero: Some(zero), floor: lowest, first, step, nodes: NODES };
        }
        Self::PLAIN
    }

    /// Of a direction without a floor.
    pub const PLAIN: Self =
        Self { zero: None, floor: f64::NEG_INFINITY, first: -REACH, step: ASIDE, nodes: FEWER };

    /// Whether it has one within reach.
    pub const fn has_floor(self) -> bool {
        self.zero.is_some()
    }

    /// The normal number of a point.
    fn z(self, node: usize) -> f64 {
        let t = self.first + self.step * node as f64;
        self.zero.map_or(t, |zero| zero + t.exp())
    }

    /// What slopes turn with, 0 at the best value: how much more an input with a floor gives way, or the
    /// number itself.
    fn gives(self, z: f64) -> f64 {
        self.zero.map_or(z, |zero| -zero / (z.max(self.floor) - zero) - 1.0)
    }

    /// The normal numbers at which turns are looked at.
    fn turns_at(self) -> [f64; TURNS] {
        TURN_NODES[usize::from(self.zero.is_none())].map(|node| self.z(node))
    }

    /// What the turns there weigh at a normal number: the polynomial through them and nothing at the best
    /// value.
    fn turned(self, z: f64) -> [f64; TURNS] {
        let at = self.turns_at().map(|z| self.gives(z));
        let here = self.gives(z);
        std::array::from_fn(|i| {
            let others = (0..TURNS).filter(|j| *j != i).map(|j| (here - at[j]) / (at[i] - at[j]));
            others.product::<f64>() * here / at[i]
        })
    }

    /// Where a normal number lies among the points.
    fn place(self, z: f64) -> f64 {
        let t = self.zero.map_or(z, |zero| (z.max(self.floor) - zero).ln());
        (t - self.first) / self.step
    }
}

/// The first of the four of `count` even points that lie about `place`, and what each of them weighs in the
/// cubic through them.
fn cubic(count: usize, place: f64) -> (usize, [f64; 4]) {
    let first = (2..count.saturating_sub(2)).take_while(|point| place >= *point as f64).count();
    let s = place - first as f64;
    let [p, q, r] = [s - 1.0, s - 2.0, s - 3.0];
    (first, [-p * q * r / 6.0, s * q * r / 2.0, -s * p * r / 2.0, s * p * q / 6.0])
}

/// The cubic through the four of some even points that lie about `place`.
fn through(points: &[f64], place: f64) -> f64 {
    let (first, weights) = cubic(points.len(), place);
    points.iter().skip(first).zip(weights).map(|(point, weight)| point * weight).sum()
}

/// What is expected of curves through points, linear in these, under a normal number.
struct Expected {
    /// Weight of each point in the mean.
    mean: DVector<f64>,
    /// Of each two in the mean square.
    square: DMatrix<f64>,
    /// Of each in the mean of the curve times the number.
    with: DVector<f64>,
    /// Of each in the mean of the curve times its square.
    with_square: DVector<f64>,
}

/// How finely and how far the normal density is added up.
const FINE: f64 = 0.025;
const FAR: i32 = 200;

impl Expected {
    /// `weights` says of a normal number the first point that counts, and what it and the next ones weigh.
    fn of<const N: usize>(count: usize, weights: impl Fn(f64) -> (usize, [f64; N])) -> Self {
        let mut found = Self {
            mean: DVector::zeros(count),
            square: DMatrix::zeros(count, count),
            with: DVector::zeros(count),
            with_square: DVector::zeros(count),
        };
        for n in -FAR..=FAR {
            let z = f64::from(n) * FINE;
            let density = FINE * (-0.5 * z * z).exp() / (2.0 * PI).sqrt();
            let (first, weights) = weights(z);
            for (i, a) in weights.iter().enumerate() {
                found.mean[first + i] += density * a;
                found.with[first + i] += density * a * z;
                found.with_square[first + i] += density * a * z * z;
                for (j, b) in weights.iter().enumerate() {
                    found.square[(first + i, first + j)] += density * a * b;
                }
            }
        }
        found
    }

    fn mean(&self, points: &[f64]) -> f64 {
        weighed(&self.mean, points)
    }

    fn with(&self, points: &[f64]) -> f64 {
        weighed(&self.with, points)
    }

    fn with_square(&self, points: &[f64]) -> f64 {
        weighed(&self.with_square, points)
    }

    fn square(&self, points: &[f64]) -> f64 {
        let points = DVector::from_column_slice(points);
        points.dot(&(&self.square * &points))
    }
}

fn weighed(weights: &DVector<f64>, points: &[f64]) -> f64 {
    weights.iter().zip(points).map(|(weight, point)| weight * point).sum()
}

/// One value along one direction.
struct Along {
    direction: usize,
    /// Off the best value at each point, a row for each value.
    off: Vec<Vec<f64>>,
    expected: Expected,
}

/// How some values bend.
pub(super) struct Bent {
    grounds: Vec<Ground>,
    /// Slopes, a row for each value.
    slopes: DMatrix<f64>,
    /// Deviations of the values, about.
    scale: Vec<f64>,
    /// What the values are off on both sides of each direction that is not idle.
    asides: Vec<Option<[Vec<f64>; 2]>>,
    /// Directions that bend, the one that bends most first.
    along: Vec<Along>,
    /// The others.
    straight: Vec<usize>,
    /// For each direction and value, how its slope turns and bends at [`TURNS`] points of the first.
    turns: Vec<Vec<[[f64; TURNS]; 2]>>,
    /// What two directions that bend do together, the first left out: their places among those, and the
    /// value's second slope.
    pairs: Vec<([usize; 2], Vec<f64>)>,
    /// What is expected of what turns.
    turned: Option<Expected>,
}

/// How far the values are off their best ones, so far along each direction.
type Off<'a> = &'a mut dyn FnMut(&DVector<f64>) -> Option<Vec<f64>>;

impl Bent {
    /// Follows the values of `slopes`' rows, whose deviations are about `scale`; `off` says how far they
    /// are off the best ones. `None` where there are none.
    pub fn follow(
        grounds: Vec<Ground>,
        slopes: DMatrix<f64>,
        scale: Vec<f64>,
        off: Off<'_>,
    ) -> Option<Self> {
        let directions = slopes.ncols();
        let mut bent = Self {
            grounds,
            slopes,
            scale,
            asides: Vec::new(),
            along: Vec::new(),
            straight: Vec::new(),
            turns: Vec::new(),
            pairs: Vec::new(),
            turned: None,
        };
        let mut bending: Vec<(f64, usize)> = Vec::new();
        for i in 0..directions {
            let idle = directions > FEW && bent.most(|k| bent.slopes[(k, i)]) < IDLE;
            let by = if idle { 0.0 } else { bent.look_aside(i, off)? };
            bent.asides.resize(i + 1, None);
            if by > NOTABLE {
                bending.push((by, i));
            }
        }
        crate::few::sort_few(&mut bending, |a, b| b.0.total_cmp(&a.0));
        bending.truncate(FOLLOWED);
        for (_, direction) in &bending {
            bent.walk(*direction, off)?;
        }
        let is_straight = |i: &usize| bent.along.iter().all(|along| along.direction != *i);
        bent.straight = (0..directions).filter(is_straight).collect();
        if let Some(first) = bent.along.first() {
            let ground = bent.grounds[first.direction];
            bent.turned = Some(Expected::of(TURNS, |z| (0, ground.turned(z))));
        }
        for i in 0..directions {
            let turns = bent.look_turned(i, off)?;
            bent.turns.push(turns);
        }
        for n in 1..bent.along.len() {
            bent.look_together(n, off)?;
        }
        Some(bent)
    }

    /// The largest of a number of each value, in its deviations.
    fn most(&self, of: impl Fn(usize) -> f64) -> f64 {
        let share = |(k, scale): (usize, &f64)| (of(k) / scale.max(f64::MIN_POSITIVE)).abs();
        self.scale.iter().enumerate().map(share).fold(0.0, f64::max)
    }

    /// So far along one direction alone.
    fn alone(&self, i: usize, z: f64) -> DVector<f64> {
        let mut all = DVector::zeros(self.slopes.ncols());
        all[i] = z;
        all
    }

    /// Looks on both sides of a direction; how far it is off its slope there. One that follows it well on
    /// one side is taken to do so on the other.
    fn look_aside(&mut self, i: usize, off: Off<'_>) -> Option<f64> {
        let line: Vec<f64> = self.slopes.column(i).iter().map(|slope| slope * ASIDE).collect();
        let plus = off(&self.alone(i, ASIDE))?;
        let by = self.most(|k| plus[k] - line[k]);
        let minus = if by < QUIET && !self.grounds[i].has_floor() {
            plus.iter().zip(&line).map(|(plus, line)| plus - 2.0 * line).collect()
        } else {
            off(&self.alone(i, -ASIDE))?
        };
        let by = by.max(self.most(|k| minus[k] + line[k]));
        self.asides.push(Some([plus, minus]));
        Some(by)
    }

    /// Follows a direction from end to end.
    fn walk(&mut self, direction: usize, off: Off<'_>) -> Option<()> {
        let ground = self.grounds[direction];
        let mut rows = vec![Vec::with_capacity(ground.nodes); self.scale.len()];
        // Without a floor three of the points are known already.
        let known = self.asides[direction].clone().filter(|_| !ground.has_floor());
        for node in 0..ground.nodes {
            let there = match (&known, node) {
                (Some([_, minus]), 1) => minus.clone(),
                (Some([plus, _]), 3) => plus.clone(),
                (Some(_), 2) => vec![0.0; self.scale.len()],
                _ => off(&self.alone(direction, ground.z(node)))?,
            };
            rows.iter_mut().zip(there).for_each(|(row, off)| row.push(off));
        }
        let expected = Expected::of(ground.nodes, |z| cubic(ground.nodes, ground.place(z)));
        self.along.push(Along { direction, off: rows, expected });
        Some(())
    }

    /// How the slopes along a direction turn and bend with the first; nothing where they hardly do.
    fn look_turned(&self, i: usize, off: Off<'_>) -> Option<Vec<[[f64; TURNS]; 2]>> {
        let (Some(first), Some(Some(aside))) = (self.along.first(), self.asides.get(i)) else {
            return Some(Vec::new());
        };
        if i == first.direction {
            return Some(Vec::new());
        }
        let ground = self.grounds[first.direction];
        let mut bends = false;
        let mut rows = vec![[[0.0; TURNS]; 2]; self.scale.len()];
        for (turn, at) in ground.turns_at().into_iter().enumerate() {
            // Together they do so much more than each alone.
            let mut more = |side: f64, aside: &[f64]| -> Option<Vec<f64>> {
                let mut z = self.alone(first.direction, at);
                z[i] = side;
                let here = |k: usize| through(&first.off[k], ground.place(at)) + aside[k];
                Some(off(&z)?.iter().enumerate().map(|(k, there)| there - here(k)).collect())
            };
            let plus = more(ASIDE, &aside[0])?;
            let far = self.most(|k| plus[k]);
            // What does nothing at the far end does nothing on the way.
            if turn == 0 && far < TURNS_LITTLE[0] {
                return Some(Vec::new());
            }
            let minus = if turn == 0 && far < TURNS_LITTLE[1] || turn > 0 && !bends {
                plus.iter().map(|plus| -plus).collect()
            } else {
                bends = true;
                more(-ASIDE, &aside[1])?
            };
            for (k, [turns, second]) in rows.iter_mut().enumerate() {
                turns[turn] = (plus[k] - minus[k]) / (2.0 * ASIDE);
                second[turn] = (plus[k] + minus[k]) / (2.0 * ASIDE * ASIDE);
            }
        }
        Some(rows)
    }

    /// What one that bends does together with those before it that bend the same values.
    fn look_together(&mut self, n: usize, off: Off<'_>) -> Option<()> {
        for m in 1..n {
            let [one, other] = [n, m].map(|n| self.along[n].direction);
            let [Some(a), Some(b)] = [one, other].map(|it| self.asides[it].as_ref()) else {
                continue;
            };
            // The curvature of both sides together.
            let both = |k: usize| {
                let [a, b] = [a, b].map(|sides| (sides[0][k] + sides[1][k]).abs());
                a.min(b)
            };
            if self.most(both) < NOTABLE {
                continue;
            }
            let mut z = self.alone(one, ASIDE);
            z[other] = ASIDE;
            let there = off(&z)?;
            let second = there.iter().zip(a[0].iter().zip(&b[0]));
            let second = second.map(|(there, (a, b))| (there - a - b) / (ASIDE * ASIDE));
            let second = second.collect();
            self.pairs.push(([n, m], second));
        }
        Some(())
    }

    /// How much the slope of a value along a direction turns and bends, where turns weigh so much.
    fn turn(&self, k: usize, i: usize, weights: &[f64; TURNS]) -> [f64; 2] {
        let Some(turns) = self.turns[i].get(k) else { return [0.0; 2] };
        turns.map(|turns| turns.iter().zip(weights).map(|(turn, weight)| turn * weight).sum())
    }

    /// A place among all directions: the followed ones' normal numbers.
    fn spot(&self, z: Vec<f64>) -> Spot {
        let ground = |along: &Along| self.grounds[along.direction];
        let weigh = |(along, z): (&Along, &f64)| cubic(self.points(along), ground(along).place(*z));
        let curves = self.along.iter().zip(&z).map(weigh).collect();
        let turned = self.along.first().zip(z.first());
        let turned = turned.map_or([0.0; TURNS], |(along, z)| ground(along).turned(*z));
        Spot { z, curves, turned }
    }

    /// What bends adds up to.
    fn bends(&self, k: usize, spot: &Spot) -> f64 {
        let Spot { z, curves, turned } = spot;
        let each = self.along.iter().zip(z).zip(curves).enumerate();
        let along = each.map(|(n, ((along, z), (first, weights)))| {
            let off: f64 = along.off[k].iter().skip(*first).zip(weights).map(|(o, w)| o * w).sum();
            if n == 0 {
                return off;
            }
            let [turn, second] = self.turn(k, along.direction, turned);
            off + z * turn + z * z * second
        });
        let pairs = self.pairs.iter().map(|([n, m], second)| second[k] * z[*n] * z[*m]);
        along.sum::<f64>() + pairs.sum::<f64>()
    }

    /// Slope and second slope of a value along each direction that is not followed, where turns weigh so
    /// much.
    fn straight(&self, k: usize, weights: &[f64; TURNS]) -> impl Iterator<Item = [f64; 2]> {
        let slope = move |i: &usize| {
            let [turn, second] = self.turn(k, *i, weights);
            [self.slopes[(k, *i)] + turn, second]
        };
        self.straight.iter().map(slope)
    }

    /// How far the values are off their best ones.
    pub fn at(&self, z: &DVector<f64>) -> Vec<f64> {
        let spot = self.spot(self.along.iter().map(|along| z[along.direction]).collect());
        let of = |k: usize| {
            let straight = self.straight(k, &spot.turned).zip(&self.straight);
            let along = straight.map(|([slope, second], i)| (slope + second * z[*i]) * z[*i]);
            self.bends(k, &spot) + along.sum::<f64>()
        };
        (0..self.scale.len()).map(of).collect()
    }

    /// Deviation and mean of how far a value is off its best one.
    pub fn moments(&self, k: usize) -> (f64, f64) {
        let (Some(first), Some(turned)) = (self.along.first(), &self.turned) else {
            return (self.slopes.row(k).norm(), 0.0);
        };
        let ground = self.grounds[first.direction];
        let nodes: Vec<[f64; TURNS]> =
            (0..ground.nodes).map(|node| ground.turned(ground.z(node))).collect();
        // The first, and what is to be expected of the others where it stands.
        let mut lead = first.off[k].clone();
        let (mut mean, mut variance) = (0.0, 0.0);
        for i in (0..self.slopes.ncols()).filter(|i| *i != first.direction) {
            // Variance by itself, and covariance with the number and with its square.
            let (own, with, with_square) =
                match self.along.iter().find(|along| along.direction == i) {
                    Some(along) => {
                        let (off, of) = (&along.off[k], &along.expected);
                        let middle = of.mean(off);
                        mean += middle;
                        let own = of.square(off) - middle * middle;
                        (own, of.with(off), of.with_square(off) - middle)
                    }
                    None => (self.slopes[(k, i)].powi(2), self.slopes[(k, i)], 0.0),
                };
            variance += own;
            let Some([turns, second]) = self.turns[i].get(k) else { continue };
            variance += 2.0 * (with * turned.mean(turns) + with_square * turned.mean(second))
                + turned.square(turns)
                + 2.0 * turned.square(second);
            for (weights, lead) in nodes.iter().zip(&mut lead) {
                *lead += second.iter().zip(weights).map(|(it, weight)| it * weight).sum::<f64>();
            }
        }
        let middle = first.expected.mean(&lead);
        variance += first.expected.square(&lead) - middle * middle;
        variance += self.pairs.iter().map(|(_, second)| second[k] * second[k]).sum::<f64>();
        (variance.max(0.0).sqrt(), mean + middle)
    }

    /// Samples of how far each value is off its best one, evenly spread and always the same.
    pub fn samples(&self) -> Vec<Vec<f64>> {
        let ground = self.along.first().map(|along| self.grounds[along.direction]);
        let nodes = ground.map_or(FEWER, |ground| ground.nodes);
        // What is not followed is one normal number together, its deviation and mean turning with the
        // first.
        let rest = |k: usize, node: usize| {
            let weights = ground.map_or([0.0; TURNS], |ground| ground.turned(ground.z(node)));
            let sums = self
                .straight(k, &weights)
                .map(|[slope, second]| (slope * slope + 2.0 * second * second, second));
            let (square, middle) = sums.fold((0.0, 0.0), |(a, b), (c, d)| (a + c, b + d));
            (f64::sqrt(square), middle)
        };
        // Every value is a sum of parts, a row of them for each weight that a sample gives to all values
        // alike.
        let values = self.slopes.nrows();
        let mut parts = Vec::new();
        let mut row = |part: &dyn Fn(usize) -> f64| parts.extend((0..values).map(part));
        let rests: Vec<Vec<(f64, f64)>> =
            (0..nodes).map(|node| (0..values).map(|k| rest(k, node)).collect()).collect();
        for rest in &rests {
            row(&|k| rest[k].0);
        }
        for (node, rest) in rests.iter().enumerate() {
            row(&|k| rest[k].1 + self.along.first().map_or(0.0, |first| first.off[k][node]));
        }
        for along in self.along.iter().skip(1) {
            (0..self.points(along)).for_each(|node| row(&|k| along.off[k][node]));
            let turns = &self.turns[along.direction];
            if !turns.is_empty() {
                (0..2 * TURNS).for_each(|i| row(&|k| turns[k][i / TURNS][i % TURNS]));
            }
        }
        self.pairs.iter().for_each(|(_, second)| row(&|k| second[k]));

        let mut drawn = vec![0.0; values * DRAWN];
        let points = cube_points(self.along.len().max(1), DRAWN).enumerate();
        for ((n, point), sums) in points.zip(drawn.chunks_exact_mut(values.max(1))) {
            let mut z: Vec<f64> = point.into_iter().map(quantile).collect();
            let other = z[0];
            z[0] = quantile((n as f64 + 0.5) / DRAWN as f64);
            let (first, lead) = cubic(nodes, ground.map_or(0.0, |ground| ground.place(z[0])));
            let Spot { z, curves, turned } = self.spot(z);
            let mut add = |row: usize, weight: f64| {
                let parts = parts.iter().skip(row * values);
                sums.iter_mut().zip(parts).for_each(|(sum, part)| *sum += weight * part);
            };
            for (i, weight) in lead.into_iter().enumerate() {
                add(first + i, weight * other);
                add(nodes + first + i, weight);
            }
            let mut row = 2 * nodes;
            for ((along, z), (first, curve)) in self.along.iter().zip(&z).zip(curves).skip(1) {
                for (i, weight) in curve.into_iter().enumerate() {
                    add(row + first + i, weight);
                }
                row += self.points(along);
                if !self.turns[along.direction].is_empty() {
                    for (i, weight) in turned.into_iter().enumerate() {
                        add(row + i, weight * z);
                        add(row + TURNS + i, weight * z * z);
                    }
                    row += 2 * TURNS;
                }
            }
            for (i, ([n, m], _)) in self.pairs.iter().enumerate() {
                add(row + i, z[*n] * z[*m]);
            }
        }
        (0..values).map(|k| drawn.iter().skip(k).step_by(values).copied().collect()).collect()
    }

    /// At how many points a direction was followed.
    fn points(&self, along: &Along) -> usize {
        self.grounds[along.direction].nodes
    }
}

/// Normal numbers of the directions that are followed, and what weighs there.
struct Spot {
    z: Vec<f64>,
    /// Of each direction's points.
    curves: Vec<(usize, [f64; 4])>,
    /// Of the turns.
    turned: [f64; TURNS],
}
