//! How sure an answer is where its inputs are uncertain and it may bend.
//!
//! First order is the rule (JCGM 100:2008, eq. 10 and 13). Pairs of points on opposite sides of the best
//! values tell whether it holds: what two of them have in common is what the slopes miss. Where that
//! is more than a trace, the distribution itself is sampled (JCGM 101:2008), at points that fill it
//! evenly and are always the same ones.

use super::{
    fit::Calibration,
    normal::{cube_points, quantile},
};
use crate::{
    axle::{NoAnswer, Output, Posed, attitude},
    truck::State,
};
use nalgebra::{DMatrix, DVector};
use std::sync::Arc;

/// How sure a value is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sure {
    /// Value at the inputs' best values.
    pub value: f64,
    /// Standard deviation: by slopes, or of the samples where slopes do not do.
    pub sigma: f64,
    /// What the samples say; `None` where slopes do.
    pub sampled: Option<Sampled>,
}

/// A distribution that slopes do not describe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sampled {
    /// Its mean, which is not the value at the best inputs.
    pub mean: f64,
    /// The shortest interval that holds 95 % of it (JCGM 101:2008, 5.3.4).
    pub between: [f64; 2],
    /// The standard deviation that slopes alone would have given.
    pub by_slopes: f64,
}

/// Pairs of points that look whether slopes do.
const LOOKS: usize = 16;
/// Pairs of points that sample where they do not: with a truck's many inputs, and with so few that more
/// cost nothing.
const PAIRS: usize = 128;
const PAIRS_OF_FEW: usize = 384;
/// Inputs that are few.
const FEW: usize = 8;
/// Slopes do where what they miss adds less than this share to the variance: 1 % of the deviation.
const TRACE: f64 = 0.02;
/// Below this share of the largest, a direction of the covariance is rounding.
const ROUNDING: f64 = 1e-13;

/// How sure some values are that depend on inputs of a covariance.
///
/// `slopes` has a row for each value, `at` gives the values at inputs; `None` where there are none,
/// which are then left out of the samples.
pub fn propagate(
    best: &[f64],
    covariance: &DMatrix<f64>,
    slopes: &DMatrix<f64>,
    mut at: impl FnMut(&[f64]) -> Option<Vec<f64>>,
) -> Vec<Sure> {
    let Some(values) = at(best) else { return Vec::new() };
    let root = root(covariance);
    // The slopes in independent standard normal directions.
    let along = slopes * &root;
    let by_slopes: Vec<f64> = along.row_iter().map(|row| row.norm()).collect();
    let mut pair = |z: &DVector<f64>| -> Option<[Vec<f64>; 2]> {
        let step = &root * z;
        let mut side = |sign: f64| {
            let there: Vec<f64> = best.iter().zip(step.iter()).map(|(b, s)| b + sign * s).collect();
            at(&there)
        };
        Some([side(1.0)?, side(-1.0)?])
    };

    let mut missed = vec![0.0; values.len()];
    let mut looks = 0.0_f64;
    for z in normal_points(root.ncols(), LOOKS) {
        let Some([plus, minus]) = pair(&z) else { continue };
        looks += 1.0;
        let linear = &along * &z;
        for (k, missed) in missed.iter_mut().enumerate() {
            let even = (plus[k] + minus[k]) * 0.5 - values[k];
            let odd = (plus[k] - minus[k]) * 0.5 - linear[k];
            *missed += even * even + odd * odd;
        }
    }
    let bends: Vec<bool> = missed
        .iter()
        .zip(&by_slopes)
        .map(|(missed, sigma)| missed / looks.max(1.0) > TRACE * sigma * sigma + f64::MIN_POSITIVE)
        .collect();
    let mut samples: Vec<[Vec<f64>; 2]> = Vec::new();
    let mut linear: Vec<DVector<f64>> = Vec::new();
    if bends.iter().any(|bends| *bends) {
        let pairs = if root.ncols() <= FEW { PAIRS_OF_FEW } else { PAIRS };
        for z in normal_points(root.ncols(), pairs) {
            if let Some(pair) = pair(&z) {
                samples.push(pair);
                linear.push(&along * &z);
            }
        }
    }
    values
        .iter()
        .enumerate()
        .map(|(k, value)| {
            let by_slopes = by_slopes[k];
            let plain = Sure { value: *value, sigma: by_slopes, sampled: None };
            if !bends[k] || samples.is_empty() {
                return plain;
            }
            let of = samples.iter().map(|[plus, minus]| [plus[k], minus[k]]);
            let along = linear.iter().map(|linear| linear[k]);
            sampled(*value, by_slopes, of.zip(along)).map_or(plain, |(sigma, sampled)| Sure {
                value: *value,
                sigma,
                sampled: Some(sampled),
            })
        })
        .collect()
}

/// Mean, spread and interval of sampled pairs, each with what the slopes give for its first point.
fn sampled(
    value: f64,
    by_slopes: f64,
    pairs: impl Iterator<Item = ([f64; 2], f64)>,
) -> Option<(f64, Sampled)> {
    let (mut all, mut sum, mut square, mut cross) = (Vec::new(), 0.0, 0.0, 0.0);
    for ([plus, minus], linear) in pairs {
        all.extend([plus, minus]);
        // What the slopes miss, on either side.
        for (missed, linear) in [(plus - value - linear, linear), (minus - value + linear, -linear)]
        {
            sum += missed;
            square += missed * missed;
            cross += missed * linear;
        }
    }
    let n = all.len() as f64;
    if n < 40.0 || !all.iter().all(|v| v.is_finite()) {
        return None;
    }
    let bias = sum / n;
    // The linear part's variance is known; only what it misses is estimated from the samples.
    let variance = by_slopes * by_slopes + 2.0 * cross / n + (square / n - bias * bias);
    crate::few::sort(&mut all, &f64::total_cmp);
    let hold = (all.len() * 19).div_ceil(20);
    let ends = |start: usize| [all.get(start).copied(), all.get(start + hold - 1).copied()];
    let shortest = (0..=all.len() - hold)
        .filter_map(|start| match ends(start) {
            [Some(low), Some(high)] => Some([low, high]),
            _ => None,
        })
        .min_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let found = Sampled { mean: value + bias, between: shortest, by_slopes };
    Some((variance.max(0.0).sqrt(), found))
}

/// Standard normal points, their moments up to the fourth made exact where there are enough of them: no
/// few points reach far enough out by themselves.
fn normal_points(dimensions: usize, count: usize) -> Vec<DVector<f64>> {
    let points = cube_points(dimensions, count)
        .map(|p| DVector::from_iterator(dimensions, p.into_iter().map(quantile)));
    let mut points: Vec<DVector<f64>> = points.collect();
    if count < 100 {
        return points;
    }
    for at in 0..dimensions {
        stretch(&mut points, at);
    }
    if count < 3 * dimensions {
        return points;
    }
    let mut moments = DMatrix::zeros(dimensions, dimensions);
    for p in &points {
        moments.ger(1.0 / count as f64, p, p, 1.0);
    }
    let Some(factor) = moments.cholesky() else { return points };
    let lower = factor.l();
    points.into_iter().map(|p| lower.solve_lower_triangular(&p).unwrap_or(p)).collect()
}

/// Puts a·z + b·z³ in place of one coordinate z, a and b such that its mean square is 1 and its mean
/// fourth power 3, as of a standard normal (Newton's method).
fn stretch(points: &mut [DVector<f64>], at: usize) {
    let (mut a, mut b) = (1.0, 0.0);
    let n = points.len() as f64;
    for _ in 0..8 {
        let mut sums = [0.0; 6];
        for p in points.iter() {
            let z = p[at];
            let (w, cube) = (a * z + b * z * z * z, z * z * z);
            let square = w * w;
            for (sum, term) in sums.iter_mut().zip([
                square,
                square * square,
                2.0 * w * z,
                2.0 * w * cube,
                4.0 * square * w * z,
                4.0 * square * w * cube,
            ]) {
                *sum += term / n;
            }
        }
        let [second, fourth, aa, ab, ba, bb] = sums;
        let whole = aa * bb - ab * ba;
        let (miss, far) = (second - 1.0, fourth - 3.0);
        let (da, db) = ((miss * bb - ab * far) / whole, (aa * far - ba * miss) / whole);
        if !(da.abs() < 1.0 && db.abs() < 1.0) {
            return;
        }
        a -= da;
        b -= db;
    }
    for p in points {
        let z = p[at];
        p[at] = a * z + b * z * z * z;
    }
}

/// A matrix whose square is the covariance: Cholesky's, the largest remaining variance first, ended
/// where only rounding is left.
fn root(covariance: &DMatrix<f64>) -> DMatrix<f64> {
    let n = covariance.nrows();
    let mut rest = covariance.clone();
    // Pivots compare as shares of each input's own variance.
    let own: Vec<f64> = (0..n).map(|i| covariance[(i, i)].max(f64::MIN_POSITIVE)).collect();
    let mut columns: Vec<DVector<f64>> = Vec::new();
    for _ in 0..n {
        let share = |i: usize| rest[(i, i)] / own[i];
        let Some(pivot) = (0..n).max_by(|a, b| share(*a).total_cmp(&share(*b))) else { break };
        if share(pivot).is_nan() || share(pivot) <= ROUNDING {
            break;
        }
        let column: DVector<f64> = rest.column(pivot) / rest[(pivot, pivot)].sqrt();
        rest.ger(-1.0, &column, &column, 1.0);
        for i in 0..n {
            rest[(pivot, i)] = 0.0;
            rest[(i, pivot)] = 0.0;
        }
        columns.push(column);
    }
    if columns.is_empty() { DMatrix::zeros(n, 0) } else { DMatrix::from_columns(&columns) }
}

impl Calibration {
    /// Every output of the axle at rest in a state with how sure it is, by slopes where they do.
    ///
    /// # Errors
    /// When the fitted axle does not stand in that state.
    pub fn sure(&self, state: State) -> Result<Vec<(Output, Sure)>, NoAnswer> {
        let answer = self.answer(state)?;
        let at = (self.end, state);
        let posed = Posed::of(&self.prior, at, [None; 2], Some(&self.joint), Some(&answer.pose))?;
        // The uncertain inputs, by their place in the walk.
        let uncertain: Vec<usize> =
            (0..posed.inputs.len()).filter(|i| posed.inputs[*i].sigma > 0.0).collect();
        let known: Vec<Option<usize>> =
            uncertain.iter().map(|i| self.joint.position(&posed.inputs[*i].path)).collect();
        let together = self.joint.matrix();
        let covariance =
            DMatrix::from_fn(uncertain.len(), uncertain.len(), |i, j| match (known[i], known[j]) {
                (Some(a), Some(b)) => together[(a, b)],
                _ if i == j => posed.inputs[uncertain[i]].sigma.powi(2),
                _ => 0.0,
            });
        let outputs: Vec<Output> =
            Output::ALL.into_iter().filter(|o| answer.attitude.get(*o).is_some()).collect();
        let slopes = answer.all_slopes(&outputs);
        let best: Vec<f64> = uncertain.iter().map(|i| posed.inputs[*i].value).collect();
        let mut values: Vec<f64> = posed.inputs.iter().map(|input| input.value).collect();
        let found = propagate(&best, &covariance, &slopes, |inputs| {
            for (at, value) in uncertain.iter().zip(inputs) {
                values[*at] = *value;
            }
            let (model, pose) = posed.at(&Arc::from(values.as_slice())).ok()?;
            let read = attitude(&model, &pose, 0.0);
            outputs.iter().map(|output| read.get(*output)).collect()
        });
        Ok(outputs.into_iter().zip(found).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(sigma: f64) -> DMatrix<f64> {
        DMatrix::from_element(1, 1, sigma * sigma)
    }

    #[test]
    fn a_straight_line_needs_no_samples() {
        let slopes = DMatrix::from_element(1, 1, 3.0);
        let found = propagate(&[2.0], &one(0.5), &slopes, |x| Some(vec![3.0 * x[0]]));
        assert_eq!(found[0].sampled, None);
        assert!((found[0].sigma - 1.5).abs() < 1e-12);
    }

    #[test]
    fn a_square_at_its_foot_is_sampled() {
        // x² of a normal x with deviation s: mean s², deviation √2·s² (chi-squared of one freedom).
        let slopes = DMatrix::from_element(1, 1, 0.0);
        let found = propagate(&[0.0], &one(2.0), &slopes, |x| Some(vec![x[0] * x[0]]));
        let sampled = found[0].sampled.unwrap();
        assert!((sampled.mean - 4.0).abs() < 0.02, "{sampled:?}");
        assert!((found[0].sigma / (4.0 * 2.0_f64.sqrt()) - 1.0).abs() < 0.02, "{found:?}");
        assert!(sampled.by_slopes < 1e-12);
    }

    #[test]
    fn a_product_bends_only_between_its_inputs() {
        let cov = DMatrix::from_diagonal(&DVector::from_vec(vec![1.0, 4.0]));
        let slopes = DMatrix::zeros(1, 2);
        let found = propagate(&[0.0, 0.0], &cov, &slopes, |x| Some(vec![x[0] * x[1]]));
        // Independent: deviation 1·2.
        assert!((found[0].sigma - 2.0).abs() < 0.06, "{found:?}");
    }

    #[test]
    fn a_singular_covariance_has_a_root() {
        let cov = DMatrix::from_row_slice(2, 2, &[4.0, 2.0, 2.0, 1.0]);
        let r = root(&cov);
        assert_eq!(r.ncols(), 1);
        assert!((&r * r.transpose() - cov).amax() < 1e-12);
    }
}
