//! How likely a plan meets its targets, the measurements being as sure as they are.
//!
//! The outputs' joint uncertainty follows from the inputs' by exact slopes (GUM, JCGM 100:2008,
//! F.1.2.3), and how much of it lies within all bands at once is counted over evenly spread points,
//! turned normal by the transform of Box and Muller (Ann. Math. Stat. 29, 1958) and correlated by
//! Cholesky's factor.

use super::{even::even, judge::Nearest, target::Target, words};
use crate::{
    axle::{Answer, Output},
    finding::Band,
    source::Source,
};
use std::f64::consts::TAU;

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
    let mut rows: Vec<Vec<f64>> =
        known.iter().map(|(target, _)| leaning(now, stock, target)).collect();
    rows.extend(nearest.map(|nearest| room(now, stock, nearest)));
    // A row that is shorter leans on nothing beyond its end.
    let covariance: Vec<Vec<f64>> = rows
        .iter()
        .map(|a| rows.iter().map(|b| a.iter().zip(b).map(|(a, b)| a * b).sum()).collect())
        .collect();
    let bands: Vec<(f64, Band)> = known
        .iter()
        .map(|(target, v)| (*v, target.band))
        .chain(nearest.map(|nearest| (nearest.clearance_mm, nearest.band)))
        .collect();
    let inside = within(&bands, &covariance);
    let count = |which: &dyn Fn(usize) -> bool| {
        let good = inside
            .iter()
            .filter(|point| point.iter().enumerate().all(|(at, inside)| *inside || !which(at)));
        good.count() as f64 / inside.len().max(1) as f64
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

/// What one standard deviation of each input moves the clearance by, in the places of [`leaning`]; what
/// no output leans on comes last, together.
fn room(now: &Answer, stock: &Answer, nearest: &Nearest) -> Vec<f64> {
    let shares = &nearest.shares;
    let share = |path: &str| shares.iter().find(|(p, _)| p == path).map_or(0.0, |(_, by)| *by);
    let mut row: Vec<f64> = now.inputs().map(|input| share(&input.path)).collect();
    row.resize(row.len() + stock.inputs().count(), 0.0);
    let own = shares.iter().filter(|(path, _)| !now.inputs().any(|input| input.path == *path));
    row.push(own.map(|(_, by)| by * by).sum::<f64>().sqrt());
    row
}

/// What one standard deviation of each input moves an output by; of what is judged against stock,
/// the change alone.
fn leaning(now: &Answer, stock: &Answer, target: &Target) -> Vec<f64> {
    let judged = target.band.source == Source::ThisTruckStock;
    let mut row: Vec<f64> = now
        .inputs()
        .map(|input| {
            let slope = now.slope(&input.path, target.output).unwrap_or(0.0);
            let then = stock.slope(&input.path, target.output).filter(|_| judged);
            (slope - then.unwrap_or(0.0)) * input.sigma
        })
        .collect();
    // What only the stock truck leans on; the same places for every target.
    row.extend(stock.inputs().map(|input| {
        let shared = now.inputs().any(|other| other.path == input.path);
        let slope = stock.slope(&input.path, target.output).filter(|_| judged && !shared);
        slope.unwrap_or(0.0) * input.sigma
    }));
    row
}

/// For points spread evenly over the joint distribution of some values: which lie within their
/// bands.
fn within(bands: &[(f64, Band)], covariance: &[Vec<f64>]) -> Vec<Vec<bool>> {
    let factor = cholesky(covariance);
    (0..POINTS)
        .map(|point| {
            let even = normals(point, bands.len());
            let inside = |((value, band), row): (&(f64, Band), &Vec<f64>)| {
                let off: f64 = row.iter().zip(&even).map(|(l, z)| l * z).sum();
                band.low <= value + off && value + off <= band.high
            };
            bands.iter().zip(&factor).map(inside).collect()
        })
        .collect()
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

/// Standard normal numbers of one point.
fn normals(point: usize, count: usize) -> Vec<f64> {
    let pair = |at: usize| {
        let (u, v) = (even(point, 2 * at), even(point, 2 * at + 1));
        let radius = (-2.0 * u.ln()).sqrt();
        let (sine, cosine) = (TAU * v).sin_cos();
        [radius * cosine, radius * sine]
    };
    (0..count.div_ceil(2)).flat_map(pair).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(low: f64, high: f64) -> Band {
        Band { low, high, slack: 1.0, stop: (None, None), source: Source::Person, why: "" }
    }

    fn share(bands: &[(f64, Band)], covariance: &[Vec<f64>]) -> f64 {
        let inside = within(bands, covariance);
        inside.iter().filter(|point| point.iter().all(|i| *i)).count() as f64 / inside.len() as f64
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
            let got = share(&[(value, band(low, high))], &[vec![sigma * sigma]]);
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
        let got = share(&bands, &covariance);
        assert!((got - want).abs() < 0.01, "{got}, want {want}");
    }

    #[test]
    fn correlated_values_are_both_positive_as_often_as_sheppard_says() {
        // W. F. Sheppard, Phil. Trans. R. Soc. A 192 (1899): 1/4 + asin(r)/(2 pi).
        let positive = [(0.0, band(0.0, f64::INFINITY)); 2];
        for r in [-1.0_f64, -0.6, 0.0, 0.5, 0.95, 1.0] {
            let got = share(&positive, &[vec![4.0, 2.0 * r], vec![2.0 * r, 1.0]]);
            let want = 0.25 + r.asin() / TAU;
            assert!((got - want).abs() < 0.01, "{r}: {got}, want {want}");
        }
    }

    #[test]
    fn what_is_exact_is_certain() {
        assert!((share(&[(0.5, band(0.0, 1.0))], &[vec![0.0]]) - 1.0).abs() < 1e-12);
        assert!(share(&[(1.5, band(0.0, 1.0))], &[vec![0.0]]) < 1e-12);
    }
}
