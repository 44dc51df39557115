//! First-order uncertainty against plain Monte Carlo (JCGM 101:2008), worked out by `uncertain.py`.

use fitment::{
    axle::{Output, answer},
    truck::{Axle, End, State, Truck},
};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What `uncertain.py` writes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trials {
    /// How many trials were drawn.
    #[serde(rename = "trials")]
    pub drawn: usize,
    /// The axle with its readings.
    pub axle: Axle,
    /// Standard deviation of each output over the trials.
    pub sigma: BTreeMap<String, f64>,
    mean: BTreeMap<String, f64>,
}

impl Trials {
    /// The trials kept beside this file.
    pub fn stored() -> Self {
        serde_json::from_str(include_str!("uncertain.json")).expect("uncertain.json reads")
    }
}

/// Spread of the outputs within 3 %, and the mean of the trials where the answer is.
#[test]
fn spread_agrees_with_monte_carlo() {
    let trials = Trials::stored();
    // A spread from n trials is itself sure to 1/√(2n): here 0.3 %.
    assert!(trials.drawn >= 50_000);
    let answer =
        answer(&Truck::with_axle(trials.axle.clone(), End::Front), End::Front, State::Sitting)
            .expect("the axle solves");
    assert!(trials.sigma.contains_key(Output::LateralShift.key()));
    for (key, want) in &trials.sigma {
        let output = Output::ALL.into_iter().find(|o| o.key() == key).expect(key);
        let (value, sigma) =
            (answer.attitude.get(output).expect(key), answer.sigma.get(output).expect(key));
        println!("{key}: {value:.4} ± {sigma:.4}, Monte Carlo {:.4} ± {want:.4}", trials.mean[key]);
        assert!((sigma / want - 1.0).abs() <= 0.03, "{key}: ± {sigma}, Monte Carlo ± {want}");
        assert!((value - trials.mean[key]).abs() <= 0.05 * want, "{key}: {value}");
    }
}
