//! Inputs that are known together: what readings have taught of some of them binds them to each
//! other, so that a sum may be sure where its terms are not.

use nalgebra::{DMatrix, DVector};

/// The best values of some named inputs and their covariance.
///
/// The inputs start out independent, each with its own standard deviation; every reading takes one
/// direction's worth of doubt away. Covariance = D·(1 − LᵀL)·D, D the deviations at the start and a
/// row of L for each reading (the Woodbury identity), so that it never loses its sign to rounding.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    names: Vec<String>,
    values: Vec<f64>,
    start: Vec<f64>,
    learned: DMatrix<f64>,
}

impl Joint {
    /// Independent inputs: name, best value, standard deviation.
    pub fn independent(inputs: impl IntoIterator<Item = (String, f64, f64)>) -> Self {
        let (mut names, mut values, mut start) = (Vec::new(), Vec::new(), Vec::new());
        for (name, value, sigma) in inputs {
            names.push(name);
            values.push(value);
            start.push(sigma);
        }
        let learned = DMatrix::zeros(0, names.len());
        Self { names, values, start, learned }
    }

    /// Names, in their order.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// Best values, in the names' order and each in its own unit.
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Standard deviations before anything was read.
    pub fn start(&self) -> &[f64] {
        &self.start
    }

    /// Where a name stands in the order.
    pub fn position(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|known| known == name)
    }

    /// Standard deviation of one input now; 0 beyond the last.
    pub fn deviation(&self, at: usize) -> f64 {
        let Some(start) = self.start.get(at) else { return 0.0 };
        let learned = self.learned.column(at).norm_squared();
        start * (1.0 - learned).max(0.0).sqrt()
    }

    /// Covariance of two quantities by their slopes, in the names' order; inputs past the end of
    /// either count as 0.
    pub fn covariance(&self, a: &[f64], b: &[f64]) -> f64 {
        let (a, b) = (self.scaled(a), self.scaled(b));
        a.dot(&b) - (&self.learned * a).dot(&(&self.learned * b))
    }

    /// Covariance of a quantity with each input.
    pub fn with_each(&self, slopes: &[f64]) -> Vec<f64> {
        let scaled = self.scaled(slopes);
        let left = &scaled - self.learned.tr_mul(&(&self.learned * &scaled));
        left.iter().zip(&self.start).map(|(left, start)| left * start).collect()
    }

    /// The whole covariance.
    pub fn matrix(&self) -> DMatrix<f64> {
        let n = self.start.len();
        let less = self.learned.tr_mul(&self.learned);
        DMatrix::from_fn(n, n, |i, j| {
            let own = if i == j { 1.0 } else { 0.0 };
            self.start[i] * self.start[j] * (own - less[(i, j)])
        })
    }

    /// What one more reading would leave: of a quantity with these slopes, read to `sigma`. Best
    /// values stay, for nobody knows yet what it will say. A reading without slopes or error
    /// teaches nothing.
    pub fn learn(&mut self, slopes: &[f64], sigma: f64) {
        let scaled = self.scaled(slopes);
        let left = &scaled - self.learned.tr_mul(&(&self.learned * &scaled));
        let spread = scaled.dot(&left) + sigma * sigma;
        if !(spread > 0.0 && spread.is_finite()) {
            return;
        }
        let row = self.learned.nrows();
        let learned = std::mem::replace(&mut self.learned, DMatrix::zeros(0, 0));
        self.learned = learned.insert_row(row, 0.0);
        self.learned.row_mut(row).copy_from(&(left.transpose() / spread.sqrt()));
    }

    /// Sets best values and what was learned, a row for each reading.
    pub(crate) fn settle(&mut self, values: Vec<f64>, learned: DMatrix<f64>) {
        if values.len() == self.names.len() && learned.ncols() == self.names.len() {
            self.values = values;
            self.learned = learned;
        }
    }

    fn scaled(&self, slopes: &[f64]) -> DVector<f64> {
        DVector::from_iterator(
            self.start.len(),
            self.start
                .iter()
                .zip(slopes.iter().copied().chain(std::iter::repeat(0.0)))
                .map(|(start, slope)| start * slope),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, want: f64) {
        assert!((got - want).abs() < 1e-12, "{got}, want {want}");
    }

    fn two() -> Joint {
        Joint::independent([("a".into(), 10.0, 3.0), ("b".into(), 20.0, 4.0)])
    }

    #[test]
    fn independent_inputs_add_in_squares() {
        let joint = two();
        near(joint.covariance(&[1.0, 1.0], &[1.0, 1.0]), 25.0);
        near(joint.covariance(&[1.0], &[0.0, 1.0]), 0.0);
        near(joint.deviation(1), 4.0);
        near(joint.deviation(7), 0.0);
    }

    #[test]
    fn a_sum_that_was_read_is_surer_than_its_terms() {
        // Worked by hand: a + b read to 1; spread 25 + 1. Var a = 9 − 81/26, cov = −144/26.
        let mut joint = two();
        joint.learn(&[1.0, 1.0], 1.0);
        near(joint.deviation(0).powi(2), 9.0 - 81.0 / 26.0);
        near(joint.covariance(&[1.0, 0.0], &[0.0, 1.0]), -144.0 / 26.0);
        near(joint.covariance(&[1.0, 1.0], &[1.0, 1.0]), 25.0 / 26.0);
        near(joint.with_each(&[0.0, 1.0])[0], -144.0 / 26.0);
        near(joint.matrix()[(0, 1)], -144.0 / 26.0);
        // The same once more: two readings of sigma 1 are one of sigma √½.
        joint.learn(&[1.0, 1.0], 1.0);
        near(joint.covariance(&[1.0, 1.0], &[1.0, 1.0]), 25.0 * 0.5 / 25.5);
    }

    #[test]
    fn nothing_is_learned_from_what_is_no_number() {
        let mut joint = two();
        joint.learn(&[f64::NAN, 1.0], 1.0);
        joint.learn(&[0.0, 0.0], 0.0);
        assert_eq!(joint, two());
    }
}
