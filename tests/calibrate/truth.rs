//! Three hundred invented trucks, measured with errors as stated.

use crate::{
    chance::Chance,
    invented::{Invented, each, log},
};
use fitment::{
    axle::Output,
    calibrate::{CalibrateError, Calibration, Doubt, Kind, Taken, calibrate},
    truck::State,
};
use std::collections::BTreeMap;

const TRUCKS: usize = 300;
const READINGS: usize = 15;
/// Two-sided 95 % of a normal distribution.
const NINETY_FIVE: f64 = 1.959_964;

/// Deviations below this are rounding, in any unit.
const CERTAIN: f64 = 1e-6;

/// Counts of hits among tries.
#[derive(Default)]
struct Tally {
    hits: usize,
    tries: usize,
}

impl Tally {
    fn add(&mut self, hit: bool) {
        self.hits += usize::from(hit);
        self.tries += 1;
    }

    const fn join(&mut self, other: &Self) {
        self.hits += other.hits;
        self.tries += other.tries;
    }

    fn share(&self) -> f64 {
        self.hits as f64 / self.tries.max(1) as f64
    }
}

fn try_fit(truck: &Invented, readings: &[Taken]) -> Result<Calibration, CalibrateError> {
    calibrate(&truck.truck, truck.end, &log(readings.to_vec()))
}

fn fit(truck: &Invented, readings: &[Taken]) -> Calibration {
    try_fit(truck, readings)
        .unwrap_or_else(|why| panic!("{:?} {:?}: {why}", truck.layout, truck.end))
}

/// What one truck has to say.
#[derive(Default)]
struct Said {
    inputs: Tally,
    answers: Tally,
    alarms: Tally,
    alone: Tally,
    among: Tally,
    explained: Tally,
    of_output: BTreeMap<Output, Tally>,
}

impl Said {
    fn join(&mut self, other: Self) {
        for (mine, theirs) in [
            (&mut self.inputs, other.inputs),
            (&mut self.answers, other.answers),
            (&mut self.alarms, other.alarms),
            (&mut self.alone, other.alone),
            (&mut self.among, other.among),
            (&mut self.explained, other.explained),
        ] {
            mine.join(&theirs);
        }
        for (output, tally) in other.of_output {
            self.of_output.entry(output).or_default().join(&tally);
        }
    }

    /// A truck read once as it should be and once with a gross error.
    fn of(i: usize) -> Self {
        let mut said = Self::default();
        let truck = Invented::number(i);
        let mut chance = Chance::new(i as u64);
        let mut readings = truck.read(&truck.walk(READINGS), &mut chance);
        assert_eq!(readings.len(), READINGS);

        let clean = fit(&truck, &readings);
        said.alarms.add(!clean.in_doubt().is_empty());
        for (learned, truth) in clean.inputs.iter().zip(&truck.inputs) {
            // What no reading bears on is as good as its prior, and no merit of the fit.
            if learned.shrunk() > 0.01 {
                said.inputs.add((learned.after.0 - truth).abs() <= NINETY_FIVE * learned.after.1);
            }
        }
        for (output, sure) in clean.sure(State::Sitting).expect("the fitted axle stands") {
            let Some(truth) = truck.outputs.get(output) else { continue };
            // A symmetric axle stands in the middle, sure as geometry.
            if sure.sigma > CERTAIN {
                let reach = NINETY_FIVE * sure.sigma;
                let [low, high] = sure
                    .sampled
                    .map_or([sure.value - reach, sure.value + reach], |sampled| sampled.between);
                let held = (low..=high).contains(&truth);
                said.answers.add(held);
                said.of_output.entry(output).or_default().add(held);
            }
        }

        let wrong = chance.below(READINGS);
        let spoiled = slip(&readings[wrong], &mut chance);
        readings[wrong].read = vec![spoiled];
        // Readings that contradict each other past fitting are refused, which counts as not found.
        let Ok(spoiled) = try_fit(&truck, &readings) else {
            println!("no fit: {:?} {:?} {:?}", truck.layout, truck.end, readings[wrong]);
            said.alone.add(false);
            said.among.add(false);
            return said;
        };
        let doubt = spoiled.in_doubt();
        let found = doubt
            .iter()
            .any(|checked| checked.place.index == wrong && checked.doubt == Doubt::SetAside);
        said.alone.add(found && doubt.len() == 1);
        said.among.add(doubt.iter().any(|checked| checked.place.index == wrong));
        if found {
            said.explained.add(doubt.iter().any(|c| c.place.index == wrong && c.slip.is_some()));
        }
        if !doubt.iter().any(|checked| checked.place.index == wrong)
            && std::env::var("SHOW").is_ok()
        {
            let checked = &spoiled.readings[wrong];
            println!(
                "{:?} {:?} {:?} {:?}",
                truck.layout, truck.end, checked, clean.readings[wrong]
            );
        }
        said
    }
}

/// The 95 % intervals of inputs and answers hold the truth 93 to 97 times in a hundred; a clean log
/// is left alone at least 95 times in a hundred; and one gross error is pointed out at least 90 times.
#[test]
fn intervals_hold_the_truth_and_a_wrong_reading_is_found() {
    let mut all = Said::default();
    for said in each(TRUCKS, Said::of) {
        all.join(said);
    }
    let Said { inputs, answers, alarms, alone, among, explained, of_output } = all;
    println!("95 % intervals hold the truth: inputs {:.4} of {}", inputs.share(), inputs.tries);
    println!("                              answers {:.4} of {}", answers.share(), answers.tries);
    for (output, tally) in &of_output {
        println!("    {:<36} {:.3} of {}", output.label(), tally.share(), tally.tries);
    }
    println!("false alarms {:.4} of {} logs", alarms.share(), alarms.tries);
    println!("gross error pointed out {:.4}, alone {:.4}", among.share(), alone.share());
    println!("a usual slip explains it {:.4} of {}", explained.share(), explained.tries);
    for (name, tally) in [("inputs", &inputs), ("answers", &answers)] {
        assert!((0.93..=0.97).contains(&tally.share()), "{name}: {}", tally.share());
    }
    assert!(alarms.share() <= 0.05, "false alarms {}", alarms.share());
    assert!(among.share() >= 0.90, "pointed out {}", among.share());
}

/// A gross error: one of the usual slips where it changes the reading by ten of its deviations at
/// least, otherwise a plain blunder of 15 to 40 deviations.
fn slip(taken: &Taken, chance: &mut Chance) -> f64 {
    let (value, sigma) = (taken.read[0], taken.what.instrument().typical_sigma());
    let slips = if taken.what.is_angle() {
        vec![-value, 90.0 - value]
    } else {
        vec![-value, value / 25.4, value * 25.4, value + 25.4, value - 100.0]
    };
    let slipped = slips[chance.below(slips.len())];
    if chance.even() < 0.5 && (slipped - value).abs() > 10.0 * sigma {
        return slipped;
    }
    let way = if chance.even() < 0.5 { -1.0 } else { 1.0 };
    value + way * sigma * (15.0 + 25.0 * chance.even())
}

/// Measuring what is chosen leaves less doubt, and less error, than a fixed walk of as many readings.
#[test]
fn the_chosen_measurement_beats_the_fixed_walk() {
    const TAKEN: usize = 6;
    const TRUCKS: usize = 40;
    let each = each(TRUCKS, |i| {
        // Chosen and walked.
        let mut left = [[0.0; 2]; TAKEN];
        let mut error = [0.0; 2];
        let mut counted = 0.0;
        let truck = Invented::number(i);
        let mut chance = Chance::new(7000 + i as u64);
        let start = fit(&truck, &[]);
        let walk = truck.walk(TAKEN);
        let fixed = start.after(&[], &walk).unwrap();
        let mut chosen = Vec::new();
        for (k, left) in left.iter_mut().enumerate() {
            let now = fit(&truck, &chosen);
            let next = now.next(&[]).unwrap();
            chosen.extend(truck.read(&[next[0].what], &mut chance));
            let kinds: Vec<Kind> = chosen.iter().map(|taken| taken.what).collect();
            left[0] += start.after(&[], &kinds).unwrap()[k].1;
            left[1] += fixed[k].1;
        }
        let walked = truck.read(&walk, &mut chance);
        let at_start = start.answer(State::Sitting).unwrap();
        for (error, readings) in error.iter_mut().zip([&chosen, &walked]) {
            let answer = fit(&truck, readings).answer(State::Sitting).unwrap();
            for output in [Output::LateralShift, Output::Panhard, Output::Caster, Output::Pinion] {
                if let (Some(got), Some(truth), Some(sigma)) = (
                    answer.attitude.get(output),
                    truck.outputs.get(output),
                    at_start.sigma.get(output),
                ) && sigma > CERTAIN
                {
                    *error += ((got - truth) / sigma).powi(2);
                    counted += 0.5;
                }
            }
        }
        (left, error, counted)
    });
    for k in 0..TAKEN {
        let mean = |which: usize| {
            each.iter().map(|(left, ..)| left[k][which]).sum::<f64>() / TRUCKS as f64
        };
        let (chosen, walked) = (mean(0), mean(1));
        let less = 100.0 * (1.0 - chosen / walked);
        println!(
            "after {} readings: doubt left {chosen:.3} chosen, {walked:.3} walked: {less:.0} % less",
            k + 1
        );
        assert!(chosen < walked, "after {} readings", k + 1);
    }
    let counted: f64 = each.iter().map(|(.., counted)| counted).sum();
    let mean = |which: usize| {
        (each.iter().map(|(_, error, _)| error[which]).sum::<f64>() / counted).sqrt()
    };
    let (chosen, walked) = (mean(0), mean(1));
    println!("error of the answers, of what it was: {chosen:.3} chosen, {walked:.3} walked");
    assert!(chosen < walked);
}
