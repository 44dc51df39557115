//! First-order uncertainty against plain Monte Carlo (JCGM 101:2008), worked out by `uncertain.py` and,
//! for the example truck on its rubber, by `uncertain_rubber.py`.

use fitment::{
    axle::{Output, answer},
    calibrate::{Log, calibrate},
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

/// What `uncertain_rubber.py` writes of the frozen example's front axle.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rubber {
    /// How many trials were drawn.
    #[serde(rename = "trials")]
    pub drawn: usize,
    /// How many of them have no answer.
    lost: usize,
    /// Standard deviation of each output over the trials.
    pub sigma: BTreeMap<String, f64>,
    mean: BTreeMap<String, f64>,
}

impl Rubber {
    /// The trials kept beside this file.
    pub fn stored() -> Self {
        serde_json::from_str(include_str!("uncertain_rubber.json"))
            .expect("uncertain_rubber.json reads")
    }
}

/// The example truck as it sits, against 100 000 trials: the spread is within 2 % whether slopes do or the
/// tool notices that they do not and follows what bends, and the mean is where it says.
#[test]
fn the_examples_spread_agrees_with_monte_carlo() {
    let trials = Rubber::stored();
    // A spread from n trials is itself sure to 1/√(2n): here 0.2 %.
    assert!(trials.drawn >= 100_000 && trials.lost * 2000 <= trials.drawn);
    let example = include_bytes!("../golden/v3/example.json");
    let build = buildfile::json::from_json(example).expect("the frozen example opens");
    let found = calibrate(&build.truck, End::Front, &Log::default()).expect("it stands");
    let sure = found.sure(State::Sitting).expect("it stands");
    assert!(trials.sigma.len() >= 7);
    let mut noticed = 0;
    for (key, want) in &trials.sigma {
        let (_, sure) = sure.iter().find(|(output, _)| output.key() == key).expect(key);
        let mean = sure.sampled.map_or(sure.value, |sampled| sampled.mean);
        let how = if sure.sampled.is_some() { "sampled" } else { "by slopes" };
        println!(
            "{key}: {mean:.4} ± {:.4} {how}, Monte Carlo {:.4} ± {want:.4}",
            sure.sigma, trials.mean[key]
        );
        let off = |sigma: f64| (sigma / want - 1.0).abs();
        assert!(off(sure.sigma) <= 0.02, "{key}: ± {}", sure.sigma);
        if let Some(sampled) = sure.sampled {
            noticed += 1;
            assert!(off(sampled.by_slopes) > 0.02, "{key}: slopes would have done");
        }
        assert!((mean - trials.mean[key]).abs() <= 0.05 * want, "{key}: {mean}");
    }
    assert!(noticed > 0, "the example bends somewhere, and nobody noticed");
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
