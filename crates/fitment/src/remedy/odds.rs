//! How likely a plan meets its targets, the measurements being as sure as they are.
//!
//! The outputs' joint uncertainty follows from the inputs' by exact slopes (GUM, JCGM 100:2008,
//! F.1.2.3), those that readings bind to each other by their covariance (eq. 13), and how much of it lies within all bands at once is counted over evenly spread points,
//! turned normal by the transform of Box and Muller (Ann. Math. Stat. 29, 1958) and correlated by
//! Cholesky's factor.

use super::{even::even, judge::Nearest, target::Target, words};
use crate::{
    axle::{Answer, Lean, Output},
    finding::Band,
    measure::Joint,
    source::Source,
};
use std::{borrow::Cow, f64::consts::TAU, sync::OnceLock};

/// How likely targets are met.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    /// All musts at once, 0 to 1; `None` when nothing is a must.
    pub musts: Option<f64>,
    /// Every target at once.
    pub all: f64,
    /// Each target by itself.
    pub each: Vec<(Output, f64)>,
    /// The tire's clearance by itself, where it was judged.
    pub clearance: Option<f64>,
}

impl Odds {
    /// In plain words.
    pub fn words(&self) -> String {
        words::odds(self)
    }
}

/// Points that are counted.
const POINTS: usize = 4096;

/// How likely an answer meets targets; `stock` is what bands around the stock figure are measured
/// from, with which it shares inputs, and `nearest` where its tires come nearest to anything.
pub fn odds(now: &Answer, stock: &Answer, targets: &[Target], nearest: Option<&Nearest>) -> Odds {
    let known: Vec<(&Target, f64)> = targets
        .iter()
        .filter_map(|target| Some((target, now.attitude.get(target.output)?)))
        .collect();
    let mut rows = leanings(now, stock, &known);
    rows.extend(nearest.map(|nearest| room(now, stock, nearest)));
    let joint = now.joint();
    let covariance: Vec<Vec<f64>> =
        rows.iter().map(|a| rows.iter().map(|b| a.covariance(b, joint)).collect()).collect();
    let bands: Vec<(f64, Band)> = known
        .iter()
        .map(|(target, v)| (*v, target.band))
        .chain(nearest.map(|nearest| (nearest.clearance_mm, nearest.band)))
        .collect();
    let inside = within(&bands, &covariance);
    let count = |which: &dyn Fn(usize) -> bool| {
        let mask = (0..bands.len()).filter(|at| which(*at)).fold(0, |mask, at| mask | bit(at));
        share(&inside, mask)
    };
    let is_must = |at: usize| {
        known.get(at).map_or(nearest.is_some_and(|it| it.must), |(target, _)| target.must)
    };
    let alone = |at: usize| count(&|one| one == at);
    Odds {
        musts: (0..bands.len()).any(is_must).then(|| count(&is_must)),
        all: count(&|_| true),
        each: known
            .iter()
            .enumerate()
            .map(|(at, (target, _))| (target.output, alone(at)))
            .collect(),
        clearance: nearest.map(|_| alone(known.len())),
    }
}

/// What a judged value hangs on.
#[derive(Default)]
struct Leaning {
    /// What one standard deviation of each input that is known by itself moves it by; one that is
    /// shorter leans on nothing beyond its end.
    free: Vec<f64>,
    /// What one unit of each input that readings bind to others moves it by.
    bound: Vec<f64>,
}

impl Leaning {
    fn add(&mut self, at: Option<usize>, slope: f64, sigma: f64) {
        match at {
            None => self.free.push(slope * sigma),
            Some(at) => {
                self.bound.resize(self.bound.len().max(at + 1), 0.0);
                self.bound[at] += slope;
            }
        }
    }

    fn covariance(&self, other: &Self, joint: Option<&Joint>) -> f64 {
        let free: f64 = self.free.iter().zip(&other.free).map(|(a, b)| a * b).sum();
        free + joint.map_or(0.0, |joint| joint.covariance(&self.bound, &other.bound))
    }
}

/// What each target's output hangs on: of what is judged against stock, the change alone.
fn leanings(now: &Answer, stock: &Answer, known: &[(&Target, f64)]) -> Vec<Leaning> {
    let then: Vec<Lean<'_>> = stock.leans().collect();
    let same = |a: &Lean<'_>, b: &Lean<'_>| a.input.path == b.input.path;
    // Where the stock truck has each input, and what only that leans on.
    let now: Vec<(Lean<'_>, Option<usize>)> =
        now.leans().map(|one| (one, then.iter().position(|it| same(it, &one)))).collect();
    let only: Vec<&Lean<'_>> =
        then.iter().filter(|it| !now.iter().any(|(one, _)| same(one, it))).collect();
    let of = |(target, _): &(&Target, f64)| {
        let by = |lean: &Lean<'_>| lean.by.get(target.output).unwrap_or(0.0);
        let judged = target.band.source == Source::ThisTruckStock;
        let by_then =
            |at: Option<usize>| at.filter(|_| judged).and_then(|at| then.get(at)).map_or(0.0, by);
        let mut leaning = Leaning::default();
        for (one, at) in &now {
            leaning.add(one.bound, by(one) - by_then(*at), one.input.sigma);
        }
        // The same places for every target.
        for it in &only {
            leaning.add(it.bound, if judged { -by(it) } else { 0.0 }, it.input.sigma);
        }
        leaning
    };
    known.iter().map(of).collect()
}

/// What the clearance hangs on, in the places of [`leanings`]; what no output leans on comes last,
/// together.
fn room(now: &Answer, stock: &Answer, nearest: &Nearest) -> Leaning {
    let mut leaning = Leaning::default();
    let mut left: Vec<(&str, f64)> =
        nearest.shares.iter().map(|(path, by)| (path.as_str(), *by)).collect();
    for Lean { input, bound, .. } in now.leans() {
        let at = left.iter().position(|(path, _)| *path == input.path);
        let share = at.map_or(0.0, |at| left.swap_remove(at).1);
        leaning.add(bound, if input.sigma > 0.0 { share / input.sigma } else { 0.0 }, input.sigma);
    }
    let only = stock.leans().filter(|it| !now.inputs().any(|one| one.path == it.input.path));
    for it in only {
        leaning.add(it.bound, 0.0, it.input.sigma);
    }
    leaning.free.push(left.iter().map(|(_, by)| by * by).sum::<f64>().sqrt());
    leaning
}

/// For points spread evenly over the joint distribution of some values: which lie within their
/// bands, a bit each.
fn within(bands: &[(f64, Band)], covariance: &[Vec<f64>]) -> Vec<u64> {
    let factor = cholesky(covariance);
    let even: Vec<Cow<'_, [[f64; 2]]>> = (0..bands.len().div_ceil(2)).map(normals).collect();
    let mut inside = vec![0; POINTS];
    for (at, ((value, band), row)) in bands.iter().zip(&factor).enumerate() {
        // The factor is lower: nothing comes after its own place.
        let used = row.get(..=at).unwrap_or_default();
        for (point, inside) in inside.iter_mut().enumerate() {
            let one = |(of, l): (usize, &f64)| even[of / 2][point][of % 2] * l;
            let now = value + used.iter().enumerate().map(one).sum::<f64>();
            if band.low <= now && now <= band.high {
                *inside |= bit(at);
            }
        }
    }
    inside
}

/// The bit of a value; far fewer are judged than there are bits.
const fn bit(at: usize) -> u64 {
    1 << (at % 64)
}

/// The share of points with all these bits.
fn share(inside: &[u64], mask: u64) -> f64 {
    let good = inside.iter().filter(|point| *point & mask == mask).count();
    good as f64 / inside.len().max(1) as f64
}

/// The lower factor of a covariance; what hangs on the others altogether gets none of its own.
fn cholesky(covariance: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut factor: Vec<Vec<f64>> = Vec::new();
    for (i, row) in covariance.iter().enumerate() {
        let mut own = vec![0.0; covariance.len()];
        for j in 0..=i {
            let done: f64 =
                (0..j).map(|k| own[k] * if j < i { factor[j][k] } else { own[k] }).sum();
            let left = row[j] - done;
            own[j] = if j < i {
                let diagonal = factor[j][j];
                if diagonal > 0.0 { left / diagonal } else { 0.0 }
            } else if left > 1e-12 * row[i] {
                left.sqrt()
            } else {
                0.0
            };
        }
        factor.push(own);
    }
    factor
}

/// A pair of standard normal numbers for every point: the same for every plan, so kept.
fn normals(pair: usize) -> Cow<'static, [[f64; 2]]> {
    static KEPT: [OnceLock<Vec<[f64; 2]>>; 16] = [const { OnceLock::new() }; 16];
    let draw = || {
        let one = |point| {
            let (u, v) = (even(point, 2 * pair), even(point, 2 * pair + 1));
            let radius = (-2.0 * u.ln()).sqrt();
            let (sine, cosine) = (TAU * v).sin_cos();
            [radius * cosine, radius * sine]
        };
        (0..POINTS).map(one).collect()
    };
    match KEPT.get(pair) {
        Some(kept) => Cow::Borrowed(kept.get_or_init(draw)),
        None => Cow::Owned(draw()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(low: f64, high: f64) -> Band {
        Band { low, high, slack: 1.0, stop: (None, None), source: Source::Person, why: "" }
    }

    fn all(bands: &[(f64, Band)], covariance: &[Vec<f64>]) -> f64 {
        share(&within(bands, covariance), (0..bands.len()).fold(0, |mask, at| mask | bit(at)))
    }

    /// The normal distribution's share between two numbers of deviations, by Simpson's rule.
    fn normal(low: f64, high: f64) -> f64 {
        let (n, low, high) = (400, low.max(-9.0), high.min(9.0));
        let step = (high - low) / f64::from(n);
        let sum: f64 = (0..=n)
            .map(|i| {
                let weight = if i == 0 || i == n {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                let x = low + step * f64::from(i);
                weight * (-x * x / 2.0).exp()
            })
            .sum();
        sum * step / 3.0 / TAU.sqrt()
    }

    #[test]
    fn one_value_is_as_likely_in_band_as_the_closed_form_says() {
        for (value, low, high, sigma) in
            [(0.0, -1.0, 1.0, 1.0), (2.0, 0.0, f64::INFINITY, 1.5), (5.0, 0.0, 4.0, 2.0)]
        {
            let got = all(&[(value, band(low, high))], &[vec![sigma * sigma]]);
            let want = normal((low - value) / sigma, (high - value) / sigma);
            assert!((got - want).abs() < 0.005, "{value} in {low}..{high}: {got}, want {want}");
        }
    }

    #[test]
    fn independent_values_multiply() {
        let bands = [(0.0, band(-1.0, 1.0)), (0.5, band(0.0, 3.0)), (0.0, band(-2.0, 0.7))];
        let sigmas = [1.0, 2.0, 0.5];
        let covariance: Vec<Vec<f64>> = (0..3)
            .map(|i| (0..3).map(|j| if i == j { sigmas[i] * sigmas[i] } else { 0.0 }).collect())
            .collect();
        let want: f64 = bands
            .iter()
            .zip(sigmas)
            .map(|((v, b), s)| normal((b.low - v) / s, (b.high - v) / s))
            .product();
        let got = all(&bands, &covariance);
        assert!((got - want).abs() < 0.01, "{got}, want {want}");
    }

    #[test]
    fn correlated_values_are_both_positive_as_often_as_sheppard_says() {
        // W. F. Sheppard, Phil. Trans. R. Soc. A 192 (1899): 1/4 + asin(r)/(2 pi).
        let positive = [(0.0, band(0.0, f64::INFINITY)); 2];
        for r in [-1.0_f64, -0.6, 0.0, 0.5, 0.95, 1.0] {
            let got = all(&positive, &[vec![4.0, 2.0 * r], vec![2.0 * r, 1.0]]);
            let want = 0.25 + r.asin() / TAU;
            assert!((got - want).abs() < 0.01, "{r}: {got}, want {want}");
        }
    }

    #[test]
    fn what_is_exact_is_certain() {
        assert!((all(&[(0.5, band(0.0, 1.0))], &[vec![0.0]]) - 1.0).abs() < 1e-12);
        assert!(all(&[(1.5, band(0.0, 1.0))], &[vec![0.0]]) < 1e-12);
    }
}
