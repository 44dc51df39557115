//! How sure an answer is where its inputs are uncertain and it may bend.
//!
//! First order is the rule (JCGM 100:2008, eq. 10 and 13). Pairs of points on opposite sides of the best
//! values tell whether it holds: what the slopes miss there. Where that is more than a trace, the values
//! are followed along each input that bends them (`bent.rs`) and the distribution is sampled from that
//! (JCGM 101:2008); where the same points say that this misses more than a trace as well, the truck
//! itself is, at points that fill the distribution evenly and are always the same ones.

use super::{
    bent::{Bent, Ground},
    fit::Calibration,
    normal::{cube_points, quantile},
};
use crate::{
    axle::{Answer, Moving, Nearby, NoAnswer, Output, Step, moving},
    measure::Joint,
    truck::{End, State, Truck},
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
/// Pairs of points that sample where neither slopes do nor following each input: with a truck's many
/// inputs, and with so few that more cost nothing.
const PAIRS: usize = 128;
const PAIRS_OF_FEW: usize = 384;
/// Inputs that are few.
const FEW: usize = 8;
/// Slopes do where what they miss adds less than this share to the variance: 1 % of the deviation.
const TRACE: f64 = 0.02;
/// What was followed tells enough where it misses less than this share; that is added.
const TOLD: f64 = 0.06;
/// What is missed by less than this is rounding, in any unit: poses are solved to about 1e-10 mm.
const NOISE: f64 = 1e-8;
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
    at: impl FnMut(&[f64]) -> Option<Vec<f64>>,
) -> Vec<Sure> {
    let natures = vec![Nature { floor: f64::NEG_INFINITY, moves: true }; best.len()];
    propagate_above(best, &natures, covariance, slopes, Some(DRAW), at)
}

/// How samples are drawn of values that bend.
type Draw = fn(&Bent) -> Vec<Vec<f64>>;
const DRAW: Draw = |bent| bent.samples();

/// Half of what holds 95 % of a normal distribution, in deviations.
const HALF_95: f64 = 1.959_964;

/// What else there is to an input.
#[derive(Debug, Clone, Copy)]
pub(super) struct Nature {
    /// It never falls below: what is drawn lower lies there.
    pub floor: f64,
    /// Whether it takes long to find out what it does.
    pub moves: bool,
}

/// The same for inputs of such natures. Without a way
/// to draw, what was followed tells deviation and mean alone, and its intervals are a normal's.
pub(super) fn propagate_above(
    best: &[f64],
    natures: &[Nature],
    covariance: &DMatrix<f64>,
    slopes: &DMatrix<f64>,
    draw: Option<Draw>,
    mut at: impl FnMut(&[f64]) -> Option<Vec<f64>>,
) -> Vec<Sure> {
    let Some(values) = at(best) else { return Vec::new() };
    let (root, pivots) = root(covariance, natures);
    // The slopes in independent standard normal directions.
    let along = slopes * &root;
    let by_slopes: Vec<f64> = along.row_iter().map(|row| row.norm()).collect();
    let mut off = |z: &DVector<f64>| -> Option<Vec<f64>> {
        // Most go along one or two directions.
        let mut step = DVector::zeros(best.len());
        for (column, z) in root.column_iter().zip(z.iter()).filter(|(_, z)| **z != 0.0) {
            step.axpy(*z, &column, 1.0);
        }
        let moved = best.iter().zip(step.iter()).zip(natures);
        let there: Vec<f64> = moved.map(|((b, s), of)| (b + s).max(of.floor)).collect();
        Some(at(&there)?.iter().zip(&values).map(|(there, here)| there - here).collect())
    };
    let mut looks = pairs(root.ncols(), LOOKS, &mut off);
    let by_line = |z: &DVector<f64>| -> Vec<f64> { (&along * z).iter().copied().collect() };
    let slopes_miss = squares(&missed(&looks, by_line), values.len());
    let bends: Vec<usize> = (0..values.len())
        .filter(|k| slopes_miss[*k] > TRACE * by_slopes[*k].powi(2) + NOISE * NOISE)
        .collect();
    let plain = values.iter().zip(&by_slopes);
    let mut sure: Vec<Sure> =
        plain.map(|(value, sigma)| Sure { value: *value, sigma: *sigma, sampled: None }).collect();
    if bends.is_empty() {
        return sure;
    }
    let these = |all: &[f64]| -> Vec<f64> { bends.iter().map(|k| all[*k]).collect() };
    for (_, off) in &mut looks {
        *off = these(off);
    }
    let slopes_miss = these(&slopes_miss);
    let along = along.select_rows(&bends);
    let ground =
        |(i, of): (usize, &usize)| Ground::of(best[*of], natures[*of].floor, root[(*of, i)]);
    let grounds: Vec<Ground> = pivots.iter().enumerate().map(ground).collect();
    let sizes = bends.iter().zip(&slopes_miss);
    let scale = sizes.map(|(k, miss)| (by_slopes[*k].powi(2) + miss).sqrt()).collect();
    let bent = Bent::follow(grounds, along.clone(), scale, &mut |z| Some(these(&off(z)?)));
    let left = bent.as_ref().map(|bent| squares(&missed(&looks, |z| bent.at(z)), bends.len()));
    // What is known well enough by what was followed; the rest is sampled, and the better of slopes and
    // that carries what is known already.
    let drawn = draw.zip(bent.as_ref()).map(|(draw, bent)| draw(bent));
    let told = |n: usize| {
        let (sigma, mean) = bent.as_ref()?.moments(n);
        let (of_samples, middle, between) = match &drawn {
            Some(drawn) => spread(drawn.get(n)?)?,
            None => (1.0, 0.0, [-HALF_95, HALF_95]),
        };
        let between = between.map(|end| mean + (end - middle) * sigma / of_samples);
        Some((left.as_ref()?[n], (sigma, mean, between)))
    };
    let mut samples = None;
    for (n, k) in bends.iter().copied().enumerate() {
        let found = told(n);
        if let Some((left, (sigma, mean, between))) = found
            && left <= TOLD * sigma * sigma
        {
            sure[k].take((sigma.hypot(left.sqrt()), mean, between));
            continue;
        }
        let count = if root.ncols() <= FEW { PAIRS_OF_FEW } else { PAIRS };
        let samples = samples.get_or_insert_with(|| pairs(root.ncols(), count, &mut off));
        let drawn: Vec<f64> = samples.iter().map(|(_, off)| off[k]).collect();
        let Some((_, mean, between)) = spread(&drawn) else { continue };
        let better = found.filter(|(left, _)| *left < slopes_miss[n]);
        let known = better.map_or(by_slopes[k], |(_, (sigma, ..))| sigma);
        let model = |z: &DVector<f64>| match &bent {
            Some(bent) if better.is_some() => bent.at(z)[n],
            _ => along.row(n).transpose().dot(z),
        };
        // The model's variance is known: of the samples come how much of it there is in the value, and
        // what is left.
        let (mut square, mut cross, mut own) = (0.0, 0.0, f64::MIN_POSITIVE);
        let each: Vec<(f64, f64)> = samples.iter().map(|(z, off)| (off[k], model(z))).collect();
        let count = each.len() as f64;
        let middle = each.iter().map(|(_, model)| model / count).sum::<f64>();
        for (off, model) in each {
            let (off, model) = (off - mean, model - middle);
            square += off * off / count;
            cross += off * model / count;
            own += model * model / count;
        }
        let share = cross / own;
        let variance = (share * known).powi(2) + (square - share * cross).max(0.0);
        sure[k].take((variance.sqrt(), mean, between));
    }
    sure
}

impl Sure {
    /// Takes over what samples say of how far it is off: deviation, mean and interval.
    fn take(&mut self, (sigma, mean, [low, high]): Spread) {
        let between = [self.value + low, self.value + high];
        self.sampled = Some(Sampled { mean: self.value + mean, between, by_slopes: self.sigma });
        self.sigma = sigma;
    }
}

/// Points on both sides of the middle, with how far the values are off there; without those where one
/// side has none.
fn pairs(
    directions: usize,
    count: usize,
    off: &mut impl FnMut(&DVector<f64>) -> Option<Vec<f64>>,
) -> Vec<Look> {
    let mut all = Vec::with_capacity(2 * count);
    for z in normal_points(directions, count) {
        let other = -&z;
        if let (Some(plus), Some(minus)) = (off(&z), off(&other)) {
            all.extend([(z, plus), (other, minus)]);
        }
    }
    all
}

/// Deviation, mean and shortest interval of 95 %.
type Spread = (f64, f64, [f64; 2]);

/// What samples say; `None` for too few, or where one is no number.
fn spread(all: &[f64]) -> Option<Spread> {
    let n = all.len() as f64;
    if n < 40.0 || !all.iter().all(|v| v.is_finite()) {
        return None;
    }
    let mean = all.iter().sum::<f64>() / n;
    let square = all.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / n;
    // An interval that holds so many begins among the lowest and ends among the highest of the others.
    let ends = all.len() - (all.len() * 19).div_ceil(20) + 1;
    let lows = lowest(all.iter().copied(), ends);
    let highs = lowest(all.iter().map(|v| -v), ends);
    let each = lows.iter().zip(highs.iter().rev()).map(|(low, high)| [*low, -high]);
    let shortest = each.min_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    Some((square.sqrt(), mean, shortest))
}

/// The lowest few, in order.
fn lowest(all: impl Iterator<Item = f64>, few: usize) -> Vec<f64> {
    let mut kept: Vec<f64> = Vec::with_capacity(few + 1);
    for value in all {
        let at = kept.partition_point(|lower| *lower <= value);
        if at < few {
            kept.insert(at, value);
            kept.truncate(few);
        }
    }
    kept
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

/// A point and how far the values are off there.
type Look = (DVector<f64>, Vec<f64>);

/// What a model misses of the values at each look.
fn missed(looks: &[Look], model: impl Fn(&DVector<f64>) -> Vec<f64>) -> Vec<Vec<f64>> {
    let of = |(z, off): &Look| off.iter().zip(model(z)).map(|(off, model)| off - model).collect();
    looks.iter().map(of).collect()
}

/// Mean square of each of so many values.
fn squares(all: &[Vec<f64>], values: usize) -> Vec<f64> {
    let of = |k: usize| all.iter().map(|each| each[k] * each[k]).sum::<f64>();
    (0..values).map(|k| of(k) / all.len().max(1) as f64).collect()
}

/// A matrix whose square is the covariance, and which input each of its columns is of: Cholesky's, those
/// with floors and those that move things first, the largest remaining variance before others, ended where
/// only rounding is left: what comes late does nothing that comes early.
fn root(covariance: &DMatrix<f64>, natures: &[Nature]) -> (DMatrix<f64>, Vec<usize>) {
    let n = covariance.nrows();
    let mut rest = covariance.clone();
    // Pivots compare as shares of each input's own variance.
    let own: Vec<f64> = (0..n).map(|i| covariance[(i, i)].max(f64::MIN_POSITIVE)).collect();
    let mut columns: Vec<DVector<f64>> = Vec::new();
    let mut pivots = Vec::new();
    for _ in 0..n {
        let share = |i: usize| Some(rest[(i, i)] / own[i]).filter(|share| *share > ROUNDING);
        let first = |i: usize| (natures[i].floor.is_finite(), natures[i].moves);
        let rank = |i: &usize| Some((first(*i), share(*i)?));
        let ranked = (0..n).filter_map(|i| Some((rank(&i)?, i)));
        let best = ranked.max_by(|(a, _), (b, _)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let Some((_, pivot)) = best else { break };
        let column: DVector<f64> = rest.column(pivot) / rest[(pivot, pivot)].sqrt();
        rest.ger(-1.0, &column, &column, 1.0);
        for i in 0..n {
            rest[(pivot, i)] = 0.0;
            rest[(i, pivot)] = 0.0;
        }
        columns.push(column);
        pivots.push(pivot);
    }
    let root =
        if columns.is_empty() { DMatrix::zeros(n, 0) } else { DMatrix::from_columns(&columns) };
    (root, pivots)
}

/// Rubber is never softer than this share of what it is most likely: normal spreads of a half or a third
/// reach below nothing (our choice, no source).
const SOFTEST: f64 = 0.05;

/// The axle at rest in a state as it was given, as [`answer`](crate::axle::answer) has it, with how sure
/// every output is where slopes do not tell.
///
/// # Errors
/// When the input does not make a model or the pose does not exist.
pub fn answer_surely(truck: &Truck, end: End, state: State) -> Result<Answer, NoAnswer> {
    answer_surely_under(truck, (end, state), None)
}

/// The same with the best values and the covariance of the inputs that `joint` knows.
pub(crate) fn answer_surely_under(
    truck: &Truck,
    at: (End, State),
    joint: Option<&Arc<Joint>>,
) -> Result<Answer, NoAnswer> {
    Ok(surely(truck, at, joint, None)?.0)
}

impl Calibration {
    /// Every output of the axle at rest in a state with how sure it is, by slopes where they do.
    ///
    /// # Errors
    /// When the fitted axle does not stand in that state.
    pub fn sure(&self, state: State) -> Result<Vec<(Output, Sure)>, NoAnswer> {
        Ok(surely(&self.prior, (self.end, state), Some(&self.joint), Some(DRAW))?.1)
    }

    /// The fitted axle at rest in a state, with how sure every output is where slopes do not tell.
    ///
    /// # Errors
    /// When the fitted axle does not stand in that state.
    pub fn answer_surely(&self, state: State) -> Result<Answer, NoAnswer> {
        answer_surely_under(&self.prior, (self.end, state), Some(&self.joint))
    }
}

/// An answer, and every output of it with how sure it is.
fn surely(
    truck: &Truck,
    at: (End, State),
    joint: Option<&Arc<Joint>>,
    draw: Option<Draw>,
) -> Result<(Answer, Vec<(Output, Sure)>), NoAnswer> {
    let Moving { mut answer, posed, steps, wheels } = moving(truck, at, [None; 2], 0.0, joint)?;
    // The uncertain inputs, by their place in the walk.
    let uncertain: Vec<usize> =
        (0..posed.inputs.len()).filter(|i| posed.inputs[*i].sigma > 0.0).collect();
    let place = |i: &usize| joint.and_then(|joint| joint.position(&posed.inputs[*i].path));
    let known: Vec<Option<usize>> = uncertain.iter().map(place).collect();
    let together = joint.map(|joint| joint.matrix());
    let together = |a, b| together.as_ref().map_or(0.0, |it| it[(a, b)]);
    let covariance =
        DMatrix::from_fn(uncertain.len(), uncertain.len(), |i, j| match (known[i], known[j]) {
            (Some(a), Some(b)) => together(a, b),
            _ if i == j => posed.inputs[uncertain[i]].sigma.powi(2),
            _ => 0.0,
        });
    let outputs: Vec<Output> =
        Output::ALL.into_iter().filter(|o| answer.attitude.get(*o).is_some()).collect();
    let slopes = answer.all_slopes(&outputs);
    let best: Vec<f64> = uncertain.iter().map(|i| posed.inputs[*i].value).collect();
    let mut values: Vec<f64> = posed.inputs.iter().map(|input| input.value).collect();
    let limbs = posed.model.fitted.limbs().len();
    let floored: Vec<bool> = posed
        .inputs
        .iter()
        .map(|input| input.path.ends_with("_n_per_mm") || input.path.ends_with("_nm_per_deg"))
        .collect();
    let floor = |of: &usize| {
        if floored[*of] { SOFTEST * posed.inputs[*of].value } else { f64::NEG_INFINITY }
    };
    let natures = uncertain.iter().zip(&steps);
    let natures: Vec<Nature> =
        natures.map(|(of, step)| Nature { floor: floor(of), moves: step.is_some() }).collect();
    let mut nearby = Nearby::of(&posed, &wheels);
    let found = propagate_above(&best, &natures, &covariance, &slopes, draw, |inputs| {
        let mut off = Step::none();
        for (((at, value), best), step) in uncertain.iter().zip(inputs).zip(&best).zip(&steps) {
            values[*at] = *value;
            // What is soft gives in proportion to one over it.
            let by = (value - best) * if floored[*at] { best / value } else { 1.0 };
            if let Some(step) = step {
                off.add(step, limbs, by);
            }
        }
        let read = nearby.read(&Arc::from(values.as_slice()), &off)?;
        outputs.iter().map(|output| read.get(*output)).collect()
    });
    let sure: Vec<(Output, Sure)> = outputs.into_iter().zip(found).collect();
    for (output, sure) in &sure {
        if sure.sampled.is_some() {
            answer.take_sigma(*output, sure.sigma);
        }
    }
    Ok((answer, sure))
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
    fn an_answer_carries_what_slopes_miss() {
        // Against 10⁵ draws slopes tell a third of the example's roll steer; see the oracle tests.
        let truck = Truck::example();
        let [by_slopes, surely] = [crate::axle::answer, answer_surely]
            .map(|of| State::ALL.map(|state| of(&truck, End::Front, state).unwrap()));
        let sigma = |answer: &Answer, output| answer.spread(output).unwrap().sigma;
        let now = State::Sitting as usize;
        let (plain, sure) = (&by_slopes[now], &surely[now]);
        assert_eq!(plain.attitude, sure.attitude);
        assert!(sigma(sure, Output::RollSteer) > 2.0 * sigma(plain, Output::RollSteer));
        // What does not bend stays as it was.
        assert!((sigma(sure, Output::Caster) - sigma(plain, Output::Caster)).abs() < 1e-12);
        for output in Output::ALL.into_iter().filter(|output| sure.sigma.get(*output).is_some()) {
            assert!((sigma(sure, output) - sure.sigma.get(output).unwrap()).abs() < 1e-9);
            // A change is no surer than by slopes where either end bends the wider way.
            let [plain, sure] = [&by_slopes, &surely]
                .map(|of| of[now].change(&of[State::Stock as usize], output).unwrap().sigma);
            assert!(sure >= 0.99 * plain, "{output:?} {sure} {plain}");
        }
        let leans = |answer: &Answer| answer.spread(Output::RollSteer).unwrap().driver;
        assert_eq!(leans(plain), leans(sure));
    }

    #[test]
    fn a_singular_covariance_has_a_root() {
        let cov = DMatrix::from_row_slice(2, 2, &[4.0, 2.0, 2.0, 1.0]);
        let (r, _) = root(&cov, &[Nature { floor: f64::NEG_INFINITY, moves: true }; 2]);
        assert_eq!(r.ncols(), 1);
        assert!((&r * r.transpose() - cov).amax() < 1e-12);
    }
}
