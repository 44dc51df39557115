//! Trucks that never were: each a typical axle whose every number is off by as much as is said of it,
//! and what would be read under it.

use crate::chance::Chance;
use fitment::{
    axle::{Attitude, answer_under},
    calibrate::{Calibration, Kind, Log, Set, Taken, calibrate, log},
    measure::{Instrument, Joint, Known},
    truck::{Axle, End, LayoutKind, State, Truck},
};
use std::sync::Arc;

/// A truck as its owner assumes it, and as it is.
pub struct Invented {
    pub truck: Truck,
    pub end: End,
    pub layout: LayoutKind,
    /// Every input as it truly is, in the order of the fit's names.
    pub inputs: Vec<f64>,
    /// What the axle as it sits truly does.
    pub outputs: Attitude<f64>,
    /// The axle as assumed, before anything is read.
    assumed: Calibration,
}

impl Invented {
    /// Truck number `i` of the family.
    pub fn number(i: usize) -> Self {
        let layout = LayoutKind::ALL[i % 5];
        let end = if i.is_multiple_of(2) { End::Front } else { End::Rear };
        let mut axle = Axle::typical(layout, end);
        let mut chance = Chance::new(1000 + i as u64);
        axle.sitting.lift_mm = Known::measured(30.0 + 60.0 * chance.even(), Instrument::Tape);
        let truck = Truck::with_axle(axle, end);
        let assumed = calibrate(&truck, end, &Log::default()).expect("a typical axle stands");
        // A draw that no axle has is drawn again.
        loop {
            let joint = &assumed.joint;
            let inputs: Vec<f64> = joint
                .values()
                .iter()
                .zip(joint.start())
                .map(|(value, sigma)| value + sigma * chance.normal())
                .collect();
            let known = joint.names().iter().zip(&inputs);
            let truth = Joint::independent(known.map(|(name, value)| (name.clone(), *value, 0.0)));
            let (at, truth) = ((end, State::Sitting), Arc::new(truth));
            if let Ok(answer) = answer_under(&truck, at, [None; 2], 0.0, Some(&truth)) {
                let outputs = answer.attitude;
                return Self { truck, end, layout, inputs, outputs, assumed };
            }
        }
    }

    /// The first so many things on a plain walk round that this axle has.
    pub fn walk(&self, count: usize) -> Vec<Kind> {
        let all = Kind::walk();
        let read = self.exact(&all);
        let there = all.into_iter().zip(read).filter_map(|(kind, read)| read.map(|_| kind));
        there.take(count).collect()
    }

    /// What a perfect instrument reads.
    pub fn exact(&self, kinds: &[Kind]) -> Vec<Option<f64>> {
        self.assumed.reads(&self.inputs, kinds).expect("its truth stands")
    }

    /// What is read, each with its instrument's typical error.
    pub fn read(&self, kinds: &[Kind], chance: &mut Chance) -> Vec<Taken> {
        let exact = self.exact(kinds);
        let taken = kinds.iter().zip(exact).filter_map(|(kind, exact)| {
            let value = exact? + kind.instrument().typical_sigma() * chance.normal();
            Some(Taken { end: self.end, ..Taken::once(*kind, value) })
        });
        taken.collect()
    }
}

/// One answer for each of so many trucks, worked out side by side.
pub fn each<T: Send>(count: usize, of: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    let (of, run) = (&of, |first: usize| move || (first..count).step_by(workers));
    std::thread::scope(|scope| {
        let started: Vec<_> = (0..workers)
            .map(|first| {
                let mine = run(first);
                scope.spawn(move || mine().map(|i| (i, of(i))).collect::<Vec<_>>())
            })
            .collect();
        let mut all: Vec<(usize, T)> =
            started.into_iter().flat_map(|it| it.join().expect("no truck panics")).collect();
        all.sort_by_key(|(i, _)| *i);
        all.into_iter().map(|(_, answer)| answer).collect()
    })
}

/// A log of one set, read as the truck sits.
pub fn log(readings: Vec<Taken>) -> Log {
    Log { version: log::VERSION, sets: vec![Set::of(State::Sitting, readings)] }
}
