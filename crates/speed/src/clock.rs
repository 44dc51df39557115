//! How a workload is timed.

use crate::Work;
use std::hint::black_box;

/// What a workload took.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timed {
    /// Median of one run, s.
    pub seconds: f64,
    /// What one run came to: the same wherever it runs.
    pub result: f64,
}

/// A host compiles what is called often once more, and better: it gets this long to, ms.
const WARM_UP_MS: f64 = 600.0;
/// The shortest sample, ms: a browser's clock may tick as coarsely as 0.1 ms.
const SAMPLE_MS: f64 = 10.0;
/// Samples whose median counts.
const SAMPLES: usize = 41;
/// No more samples are begun after this, ms, once there are a few.
const ENOUGH_MS: f64 = 1500.0;
const FEW: usize = 5;

/// Runs of a work in steps; the shortest of their longest steps counts, for what else the machine does
/// only ever adds.
const STEPPED: usize = 4;

/// The median time of a run of `work`, by a clock in ms; of one in steps, the longest step's.
pub fn measure(work: &Work, now_ms: impl Fn() -> f64) -> Timed {
    let stepped = (0..STEPPED).filter_map(|_| work.longest_step(&now_ms));
    if let Some((ms, result)) = stepped.min_by(|a, b| a.0.total_cmp(&b.0)) {
        return Timed { seconds: ms / 1000.0, result };
    }
    let started = now_ms();
    let mut result = work.run();
    let mut runs = 1;
    while runs < 2 || now_ms() - started < WARM_UP_MS {
        result = black_box(work).run();
        runs += 1;
    }
    // The second half of the warming up tells better than the first, but this is near enough.
    let each = (now_ms() - started) / f64::from(runs);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 1 up; a cast saturates"
    )]
    let times = (SAMPLE_MS / each).ceil().max(1.0) as u32;
    let mut samples = Vec::with_capacity(SAMPLES);
    let started = now_ms();
    while samples.len() < FEW || (samples.len() < SAMPLES && now_ms() - started < ENOUGH_MS) {
        let start = now_ms();
        for _ in 0..times {
            black_box(black_box(work).run());
        }
        samples.push((now_ms() - start) / f64::from(times));
    }
    samples.sort_by(f64::total_cmp);
    let median = samples.get(samples.len() / 2).copied().unwrap_or(f64::NAN);
    Timed { seconds: median / 1000.0, result }
}
