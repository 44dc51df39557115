//! The fit and its uncertainties against worked examples of the Guide to the Expression of Uncertainty
//! in Measurement (JCGM 100:2008) and its first supplement (JCGM 101:2008).

use crate::close;
use fitment::calibrate::{Gauss, Predict, Settled, propagate, settle};
use nalgebra::DMatrix;

/// A straight line, y₁ + y₂·(t − 20 °C).
struct Thermometer(Vec<f64>);

impl Predict for Thermometer {
    type Why = std::convert::Infallible;

    fn predict(&mut self, y: &[f64]) -> Result<Vec<f64>, Self::Why> {
        Ok(self.0.iter().map(|t| y[0] + y[1] * (t - 20.0)).collect())
    }

    fn slopes(&mut self, _: &[f64]) -> Result<DMatrix<f64>, Self::Why> {
        Ok(DMatrix::from_fn(self.0.len(), 2, |i, j| if j == 0 { 1.0 } else { self.0[i] - 20.0 }))
    }
}

/// Source: JCGM 100:2008, H.3, calibration of a thermometer by least squares (table H.6 and H.3.3,
/// H.3.4, from memory): y₁ = −0.1712 °C, s 0.0029; y₂ = 0.00218, s 0.00067; r = −0.930; s = 0.0035 °C;
/// the correction at 30 °C is −0.1494 °C, u 0.0041.
#[test]
fn h3_a_line_by_least_squares() {
    let t =
        [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
    let b =
        [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
    // The guide's readings are of one unknown spread, and nothing is known beforehand.
    let (guess, prior) = (0.0035, [(0.0, 10.0), (0.0, 10.0)]);
    let data: Vec<Gauss> = b.iter().map(|b| (*b, guess)).collect();
    let found: Settled = settle(&prior, &data, &mut Thermometer(t.to_vec())).unwrap();
    let squares: f64 = b.iter().zip(&found.predicted).map(|(b, p)| (b - p).powi(2)).sum();
    let s = (squares / 9.0).sqrt();
    close("s", s, 0.0035, 0.00005);
    close("y1", found.inputs[0], -0.1712, 0.00005);
    close("y2", found.inputs[1], 0.00218, 0.000_005);
    let covariance = found.covariance(&prior) * (s / guess).powi(2);
    let (s1, s2) = (covariance[(0, 0)].sqrt(), covariance[(1, 1)].sqrt());
    close("s(y1)", s1, 0.0029, 0.00005);
    close("s(y2)", s2, 0.00067, 0.000_005);
    close("r", covariance[(0, 1)] / (s1 * s2), -0.930, 0.0005);
    let at_30 =
        propagate(&found.inputs, &covariance, &DMatrix::from_row_slice(1, 2, &[1.0, 10.0]), |y| {
            Some(vec![y[0] + 10.0 * y[1]])
        });
    close("b(30)", at_30[0].value, -0.1494, 0.00005);
    close("u(b(30))", at_30[0].sigma, 0.0041, 0.00005);
}

/// Resistance, reactance and impedance of V, I and φ.
fn circuit(x: &[f64]) -> Vec<f64> {
    let z = x[0] / x[1];
    vec![z * x[2].cos(), z * x[2].sin(), z]
}

fn of_circuit(correlated: f64) -> Vec<f64> {
    let best: [f64; 3] = [4.999, 0.019_661, 1.044_46];
    let u = [0.0032, 9.5e-6, 0.00075];
    let r = [[1.0, -0.36, 0.86], [-0.36, 1.0, -0.65], [0.86, -0.65, 1.0]];
    let covariance = DMatrix::from_fn(3, 3, |i, j| {
        u[i] * u[j] * if i == j { 1.0 } else { correlated * r[i][j] }
    });
    let [v, i, phi] = best;
    let (s, c) = phi.sin_cos();
    #[rustfmt::skip]
    let slopes = DMatrix::from_row_slice(3, 3, &[
        c / i, -v * c / (i * i), -v / i * s,
        s / i, -v * s / (i * i), v / i * c,
        1.0 / i, -v / (i * i), 0.0,
    ]);
    let found = propagate(&best, &covariance, &slopes, |x| Some(circuit(x)));
    for (value, want) in found.iter().zip([127.732, 219.847, 254.260]) {
        close("value", value.value, want, 0.001);
        // So small against the values that slopes do.
        assert_eq!(value.sampled, None);
    }
    found.iter().map(|value| value.sigma).collect()
}

/// Source: JCGM 100:2008, H.2, simultaneous resistance and reactance measurement (table H.4, approach
/// 1): u 0.071, 0.295 and 0.236 Ω from unrounded data; 0.070, 0.2957 and 0.2366 from the printed ones.
/// Without the correlations it would be 0.194, 0.201 and 0.204.
#[test]
fn h2_correlated_inputs() {
    for (got, want) in of_circuit(1.0).into_iter().zip([0.0700, 0.2957, 0.2366]) {
        close("u", got, want, 0.0005);
    }
    for (got, want) in of_circuit(0.0).into_iter().zip([0.194, 0.201, 0.204]) {
        close("u without correlation", got, want, 0.001);
    }
}

/// Source: JCGM 100:2008, H.1, end-gauge calibration: u 32 nm to first order; H.1.7 adds the two terms
/// of second order, 11.7 nm and 1.7 nm, which makes it 34 nm. Values in nm, °C.
#[test]
fn h1_second_order_terms_are_noticed() {
    let length = 50_000_623.0;
    let alpha = 11.5e-6;
    // Standard length, difference, expansion, its difference, temperature, its difference.
    let best = [length, 215.0, alpha, 0.0, -0.1, 0.0];
    let u = [25.0, 9.7, 1.2e-6, 0.58e-6, 0.41, 0.029];
    let covariance = DMatrix::from_fn(6, 6, |i, j| if i == j { u[i] * u[i] } else { 0.0 });
    let slopes =
        DMatrix::from_row_slice(1, 6, &[1.0, 1.0, 0.0, length * 0.1, 0.0, -length * alpha]);
    let found = propagate(&best, &covariance, &slopes, |x| {
        let [l, d, alpha, alpha_off, theta, theta_off] = x else { return None };
        Some(vec![l + d - l * (alpha_off * theta + alpha * theta_off)])
    });
    close("length", found[0].value, 50_000_838.0, 0.5);
    let sampled = found[0].sampled.expect("what slopes miss is a tenth of the variance");
    close("u to first order", sampled.by_slopes, 31.7, 0.2);
    close("u", found[0].sigma, 33.8, 0.5);
}

/// Source: JCGM 101:2008, 9.4, comparison loss in microwave power meter calibration, uncorrelated (table
/// 6, in units of 1e-6, from memory): Y = X₁² + X₂², both of standard uncertainty 0.005, x₂ = 0. Slopes
/// give 0, 100 and 500; sampled it is 50, 112 and 502 about means of 50, 150 and 2550, with shortest
/// 95 % intervals 0 to 150, 0 to 367 and 1590 to 3543.
#[test]
fn s1_9_4_where_slopes_mislead() {
    for (x1, by_slopes, mean, u, between) in [
        (0.0, 0.0, 50.0, 50.0, [0.0, 150.0]),
        (0.010, 100.0, 150.0, 112.0, [0.0, 367.0]),
        (0.050, 500.0, 2550.0, 502.0, [1590.0, 3543.0]),
    ] {
        let covariance = DMatrix::from_diagonal_element(2, 2, 0.005 * 0.005);
        let slopes = DMatrix::from_row_slice(1, 2, &[2.0 * x1, 0.0]);
        let found = propagate(&[x1, 0.0], &covariance, &slopes, |x| {
            Some(vec![x.iter().map(|x| x * x).sum::<f64>()])
        });
        let scale = 1e6;
        let Some(sampled) = found[0].sampled else {
            // At 0.050 what slopes miss is a hundredth of the variance: they do, to 1 %.
            close("u", found[0].sigma * scale, u, 0.01 * u);
            continue;
        };
        close("by slopes", sampled.by_slopes * scale, by_slopes, 1e-6);
        close("mean", sampled.mean * scale, mean, 0.01 * mean);
        close("u", found[0].sigma * scale, u, 0.02 * u);
        for (got, want) in sampled.between.into_iter().zip(between) {
            close("interval", got * scale, want, 0.05 * between[1]);
        }
    }
}

/// Source: JCGM 101:2008, 9.2.2, additive model of four normal inputs of standard uncertainty 1: u = 2.0.
#[test]
fn s1_9_2_a_sum_of_four() {
    let found =
        propagate(&[0.0; 4], &DMatrix::identity(4, 4), &DMatrix::from_element(1, 4, 1.0), |x| {
            Some(vec![x.iter().sum()])
        });
    close("u", found[0].sigma, 2.0, 1e-12);
    assert_eq!(found[0].sampled, None);
}
