//! The fit itself: the inputs that agree best with what was assumed and with what was read.
//!
//! Inputs are counted in their prior standard deviations, readings in their own, so that the sum of
//! all squares is twice the negative logarithm of the posterior density. Its least value is found by
//! Levenberg and Marquardt's method with exact slopes (Nocedal & Wright, Numerical Optimization, 2nd
//! ed., 10.3), each step bent along with the readings; the steps are solved among the readings, which are fewer than the inputs, and whose
//! matrix 1 + A·Aᵀ is never singular: what no reading bears on keeps its prior.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// What predicts readings from inputs.
pub trait Predict {
    /// Why inputs may have no prediction.
    type Why;

    /// The readings at these inputs.
    ///
    /// # Errors
    /// When these inputs make no truck.
    fn predict(&mut self, inputs: &[f64]) -> Result<Vec<f64>, Self::Why>;

    /// The slope of each reading (row) by each input (column), at inputs just predicted from.
    ///
    /// # Errors
    /// As [`Predict::predict`].
    fn slopes(&mut self, inputs: &[f64]) -> Result<DMatrix<f64>, Self::Why>;
}

/// A best value with its standard deviation.
pub type Gauss = (f64, f64);

/// Where the fit came to rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The inputs' best values.
    pub inputs: Vec<f64>,
    /// The readings predicted from them.
    pub predicted: Vec<f64>,
    /// What was learned, a row for each reading, as [`Joint`](crate::measure::Joint) keeps it.
    pub learned: DMatrix<f64>,
    /// Slope of each reading by each input, in readings' deviations per input's deviation.
    pub slopes: DMatrix<f64>,
    /// For each reading the share of its variance that its misfit keeps: near 1 where the other
    /// readings and the priors foretell it, near 0 where nothing else knows.
    pub checked: Vec<f64>,
    /// Sum of all squares: readings and inputs, each in its own deviations.
    pub cost: f64,
    /// Steps it took.
    pub steps: usize,
    /// What the last step won of the sum of squares; more than a trace where it was cut short in a long
    /// bent valley, as readings that contradict each other dig one.
    pub won: f64,
}

impl Settled {
    /// Covariance of the inputs.
    pub fn covariance(&self, prior: &[Gauss]) -> DMatrix<f64> {
        let less = self.learned.tr_mul(&self.learned);
        DMatrix::from_fn(prior.len(), prior.len(), |i, j| {
            let own = if i == j { 1.0 } else { 0.0 };
            prior[i].1 * prior[j].1 * (own - less[(i, j)])
        })
    }
}

/// Why a fit has no result.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unsettled<W> {
    /// The priors themselves make no truck.
    #[error("{0}")]
    Start(W),
    /// No inputs were found that readings and priors agree on.
    #[error(
        "the fit does not settle after {steps} steps: two readings contradict each other beyond what the model can follow; check the largest misfit"
    )]
    Steps {
        /// Steps tried.
        steps: usize,
    },
    /// A number is not finite, or a reading has no error at all.
    #[error("a prior or reading is not a finite number with a positive deviation")]
    NotFinite,
}

/// Steps allowed.
const MOST_STEPS: usize = 60;
/// The fit has settled when no input moves further, in its own standard deviations.
const SETTLED: f64 = 1e-6;
/// Or when a step wins less than this share of the sum of squares: a ten-thousandth of a deviation.
const WON: f64 = 1e-8;
/// The same for a step held short: where the model bends as sharply as it misses, steps overshoot and are
/// cut down again and again.
const FLAT: f64 = 1e-6;
/// A step longer than this, in deviations, is bent along the readings' curvature (geodesic acceleration:
/// Transtrum and Sethna, 2012), which is looked at this share of the step ahead; bent by no more than
/// this share of itself.
const BENDS: f64 = 1e-2;
const PROBE: f64 = 0.1;
const MOST_BENT: f64 = 0.75;
/// A fit cut short is still of use to point out the reading that keeps it from settling, as long as its
/// last step won no more than this of the sum of squares.
const CUT_SHORT: f64 = 1.0;
/// Share of the sum of squares that is rounding: poses are solved to about 1e-10 mm.
const ROUNDING: f64 = 1e-9;
/// Damping that a refused step starts with, and the most that is tried.
const DAMPING: [f64; 2] = [1e-2, 1e9];

/// The inputs that agree best with priors and data.
///
/// # Errors
/// [`Unsettled`] when the priors make no truck or the fit does not come to rest.
pub fn settle<P: Predict>(
    prior: &[Gauss],
    data: &[Gauss],
    model: &mut P,
) -> Result<Settled, Unsettled<P::Why>> {
    let fine = |(value, sigma): &Gauss| value.is_finite() && sigma.is_finite() && *sigma > 0.0;
    if !prior.iter().chain(data).all(fine) {
        return Err(Unsettled::NotFinite);
    }
    let at = |u: &DVector<f64>| -> Vec<f64> {
        prior.iter().zip(u.iter()).map(|((value, sigma), u)| value + sigma * u).collect()
    };
    let misfit = |predicted: &[f64]| -> DVector<f64> {
        let each = data.iter().zip(predicted).map(|((value, sigma), p)| (value - p) / sigma);
        DVector::from_iterator(data.len(), each)
    };
    let mut u = DVector::zeros(prior.len());
    let mut inputs = at(&u);
    let mut predicted = model.predict(&inputs).map_err(Unsettled::Start)?;
    let mut rest = misfit(&predicted);
    if !rest.iter().all(|r| r.is_finite()) {
        return Err(Unsettled::NotFinite);
    }
    let mut cost = rest.norm_squared();
    let mut slopes = scaled(model.slopes(&inputs).map_err(Unsettled::Start)?, prior, data);
    let mut damping = 0.0;
    let mut settled = false;
    let (mut steps, mut won) = (0, f64::INFINITY);
    while !settled && steps < MOST_STEPS {
        steps += 1;
        if damping > DAMPING[1] {
            return Err(Unsettled::Steps { steps });
        }
        let downhill = slopes.tr_mul(&rest) - &u;
        let Some(factor) = among_readings(&slopes, 1.0 + damping) else {
            return Err(Unsettled::NotFinite);
        };
        let solve = |push: &DVector<f64>| {
            let passed = factor.solve(&(&slopes * push));
            (push - slopes.tr_mul(&passed)) / (1.0 + damping)
        };
        let mut step = solve(&downhill);
        let size = step.amax();
        if size > BENDS {
            // How the readings bend along the step, and the step bent with them.
            let bent = model.predict(&at(&(&u + &step * PROBE))).ok().map(|near| {
                let along = &slopes * &step;
                let each = near.iter().zip(&predicted).zip(data).zip(along.iter());
                let second = each.map(|(((near, here), (_, sigma)), along)| {
                    ((near - here) / sigma - PROBE * along) * 2.0 / (PROBE * PROBE)
                });
                solve(&slopes.tr_mul(&-DVector::from_iterator(data.len(), second))) * 0.5
            });
            if let Some(bent) = bent.filter(|bent| bent.norm() < MOST_BENT * step.norm()) {
                step += bent;
            }
        }
        let there = &u + &step;
        let tried = at(&there);
        let better = model.predict(&tried).ok().and_then(|predicted| {
            let rest = misfit(&predicted);
            let cost_there = rest.norm_squared() + there.norm_squared();
            // Near the end only rounding is left to win.
            (cost_there <= cost + ROUNDING * (1.0 + cost)).then_some((predicted, rest, cost_there))
        });
        let Some((predicted_there, rest_there, cost_there)) = better else {
            damping = (damping * 5.0).max(DAMPING[0]);
            continue;
        };
        won = cost - cost_there;
        (u, inputs, predicted, rest, cost) =
            (there, tried, predicted_there, rest_there, cost_there);
        slopes = scaled(model.slopes(&inputs).map_err(Unsettled::Start)?, prior, data);
        let flat = |share: f64| won < share * (1.0 + cost);
        settled = damping < 1.0 && (size < SETTLED || flat(WON)) || damping < 100.0 && flat(FLAT);
        damping = if damping > DAMPING[0] { damping * 0.2 } else { 0.0 };
    }
    if !(settled || won < CUT_SHORT) {
        return Err(Unsettled::Steps { steps });
    }
    // Looking ahead and refused steps have left the model elsewhere.
    predicted = model.predict(&inputs).map_err(Unsettled::Start)?;
    let Some(factor) = among_readings(&slopes, 1.0) else { return Err(Unsettled::NotFinite) };
    let mut learned = slopes.clone();
    factor.l_dirty().solve_lower_triangular_mut(&mut learned);
    let checked = factor.inverse().diagonal().iter().copied().collect();
    Ok(Settled { inputs, predicted, learned, slopes, checked, cost, steps, won })
}

/// Slopes in deviations per deviation.
pub(super) fn scaled(mut slopes: DMatrix<f64>, prior: &[Gauss], data: &[Gauss]) -> DMatrix<f64> {
    for (mut row, (_, sigma)) in slopes.row_iter_mut().zip(data) {
        row /= *sigma;
    }
    for (mut column, (_, sigma)) in slopes.column_iter_mut().zip(prior) {
        column *= *sigma;
    }
    slopes
}

/// How odd each reading is by the slopes at the start alone, without going anywhere: its studentized
/// misfit, 0 where nothing else knows of it. `rest` are the misfits there, in readings' deviations.
pub(super) fn oddities(slopes: &DMatrix<f64>, rest: &DVector<f64>) -> Option<Vec<f64>> {
    let factor = among_readings(slopes, 1.0)?;
    let left = factor.solve(rest);
    let checked = factor.inverse().diagonal();
    Some(left.iter().zip(checked.iter()).map(|(l, c)| l / c.max(1e-12).sqrt()).collect())
}

/// `own`·1 + A·Aᵀ, factored; `None` where a slope is no number.
fn among_readings(slopes: &DMatrix<f64>, own: f64) -> Option<Cholesky<f64, Dyn>> {
    let m = slopes.nrows();
    let square = slopes * slopes.transpose() + DMatrix::identity(m, m) * own;
    square.iter().all(|v| v.is_finite()).then(|| square.cholesky()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A straight line through points, or the same bent by a square.
    struct Line {
        at: Vec<f64>,
        bend: f64,
    }

    impl Predict for Line {
        type Why = &'static str;

        fn predict(&mut self, p: &[f64]) -> Result<Vec<f64>, &'static str> {
            if p[1] < 0.0 {
                return Err("no such line");
            }
            Ok(self.at.iter().map(|t| p[0] + p[1] * t + self.bend * p[1] * p[1]).collect())
        }

        fn slopes(&mut self, p: &[f64]) -> Result<DMatrix<f64>, &'static str> {
            let bent = 2.0 * self.bend * p[1];
            Ok(DMatrix::from_fn(
                self.at.len(),
                2,
                |i, j| {
                    if j == 0 { 1.0 } else { self.at[i] + bent }
                },
            ))
        }
    }

    #[test]
    fn one_input_read_once_is_weighed_by_both_variances() {
        // Prior 10 ± 3 read as 14 ± 1.5: (10/9 + 14/2.25)/(1/9 + 1/2.25) = 13.2, ± √1.8.
        struct Same;
        impl Predict for Same {
            type Why = ();
            fn predict(&mut self, p: &[f64]) -> Result<Vec<f64>, ()> {
                Ok(p.to_vec())
            }
            fn slopes(&mut self, _: &[f64]) -> Result<DMatrix<f64>, ()> {
                Ok(DMatrix::identity(1, 1))
            }
        }
        let found = settle(&[(10.0, 3.0)], &[(14.0, 1.5)], &mut Same).unwrap();
        assert!((found.inputs[0] - 13.2).abs() < 1e-12);
        let less = found.learned[(0, 0)].powi(2);
        assert!((9.0 * (1.0 - less) - 1.8).abs() < 1e-12);
        // Of the misfit's variance 9 + 2.25 seen beforehand, 2.25²/11.25 stays: a fifth of 2.25.
        assert!((found.checked[0] - 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_bent_model_settles_where_the_slope_of_the_cost_vanishes() {
        let at = vec![0.0, 1.0, 2.0, 4.0];
        let mut line = Line { at, bend: 0.8 };
        let data: Vec<Gauss> = [1.0, 2.6, 3.1, 6.4].map(|y| (y, 0.2)).to_vec();
        let prior = [(0.0, 2.0), (0.1, 2.0)];
        let found = settle(&prior, &data, &mut line).unwrap();
        let cost = |p: [f64; 2]| {
            let y = line.at.iter().map(|t| p[0] + p[1] * t + line.bend * p[1] * p[1]);
            let read: f64 = y.zip(&data).map(|(y, (want, s))| ((want - y) / s).powi(2)).sum();
            read + p.iter().zip(prior).map(|(p, (v, s))| ((p - v) / s).powi(2)).sum::<f64>()
        };
        let best = [found.inputs[0], found.inputs[1]];
        assert!((cost(best) - found.cost).abs() < 1e-9);
        for (da, db) in [(1e-3, 0.0), (-1e-3, 0.0), (0.0, 1e-3), (0.0, -1e-3)] {
            assert!(cost([best[0] + da, best[1] + db]) > found.cost);
        }
    }

    #[test]
    fn what_cannot_be_is_an_error_and_no_panic() {
        let mut line = Line { at: vec![0.0, 1.0], bend: 0.0 };
        let start = settle(&[(0.0, 1.0), (-1.0, 1.0)], &[(1.0, 0.1), (2.0, 0.1)], &mut line);
        assert_eq!(start, Err(Unsettled::Start("no such line")));
        let none = settle(&[(0.0, 0.0), (1.0, 1.0)], &[(1.0, 0.1)], &mut line);
        assert_eq!(none, Err(Unsettled::NotFinite));
        let nan = settle(&[(0.0, 1.0), (1.0, 1.0)], &[(f64::NAN, 0.1)], &mut line);
        assert_eq!(nan, Err(Unsettled::NotFinite));
        // Pulled against the wall of what can be, it still comes to an end.
        let wall = settle(&[(0.0, 1.0), (1.0, 1.0)], &[(9.0, 0.01), (-9.0, 0.01)], &mut line);
        assert!(matches!(wall, Err(Unsettled::Steps { .. }) | Ok(_)));
    }

    #[test]
    fn without_readings_the_priors_stand() {
        let mut line = Line { at: vec![], bend: 0.0 };
        let found = settle(&[(1.0, 1.0), (2.0, 1.0)], &[], &mut line).unwrap();
        assert_eq!(found.inputs, [1.0, 2.0]);
        assert!(found.cost.abs() < 1e-12);
    }
}
