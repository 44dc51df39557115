//! Which measurement to take next: the one that makes the answers people care about surest.
//!
//! What a reading will say nobody knows beforehand, but what it will leave of each answer's variance
//! does not hang on that (linear and Gaussian): the variance falls by the square of its covariance
//! with the reading, over the reading's own variance, error included.

use super::{fit::Calibration, kind::Kind, problem::Problem};
use crate::{
    axle::{Answer, NoAnswer, Output},
    few,
    finding::{Band, Severity, Target, band, judge},
    measure::Joint,
    source::Source,
    truck::State,
};

/// A measurement not taken yet and what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Next {
    /// What to measure.
    pub what: Kind,
    /// Typical standard deviation of one reading.
    pub sigma: f64,
    /// What it will about read.
    pub about: f64,
    /// Share of all doubt that it takes away, 0 to 1: of the answers' deviations, each by the width of
    /// its band, those whose band is in doubt counting four times.
    pub worth: f64,
    /// The answers it helps most: deviation before and after.
    pub helps: Vec<(Output, f64, f64)>,
}

/// What settles a finding whose band the uncertainty straddles.
#[derive(Debug, Clone, PartialEq)]
pub struct Settles {
    /// The answer in doubt.
    pub output: Output,
    /// The measurement that leaves least doubt of it.
    pub what: Kind,
    /// Its standard deviation now and after.
    pub sigma: [f64; 2],
    /// True when that is likely to be enough: the value keeps clear of the limits by two standard
    /// deviations then, if it stays where it is.
    pub enough: bool,
}

/// An answer people care about.
struct Want {
    output: Output,
    value: f64,
    band: Band,
    /// By the inputs that are known together.
    slopes: Vec<f64>,
    /// Variance that no measurement of this axle changes.
    fixed: f64,
    /// What a deviation is measured by: half the band and its slack.
    scale: f64,
    weight: f64,
    open: bool,
}

impl Want {
    fn deviation(&self, joint: &Joint) -> f64 {
        (self.fixed + joint.covariance(&self.slopes, &self.slopes).max(0.0)).sqrt()
    }

    /// What a reading of covariance `with` and variance `spread` would leave.
    fn after(&self, variance: f64, with: f64, spread: f64) -> f64 {
        (self.fixed + (variance - with * with / spread).max(0.0)).sqrt()
    }
}

/// What may be measured, with its slopes.
struct Offer {
    kind: Kind,
    about: f64,
    sigma: f64,
    slopes: Vec<f64>,
}

/// How much more an answer counts whose band is in doubt.
const IN_DOUBT: f64 = 4.0;
/// A deviation is measured by no less than this, in the output's unit.
const LEAST_SCALE: f64 = 1e-3;
/// Answers named beside a measurement.
const NAMED: usize = 3;

impl Calibration {
    /// Every measurement not taken yet, the worthiest first.
    ///
    /// # Errors
    /// When the fitted axle does not stand, stock or as it sits.
    pub fn next(&self, changes: &[Target]) -> Result<Vec<Next>, NoAnswer> {
        let (wants, offers) = (self.wants(changes)?, self.offers()?);
        let mut ranked: Vec<Next> = offers.iter().map(|offer| self.worth(&wants, offer)).collect();
        few::sort(&mut ranked, &|a, b| b.worth.total_cmp(&a.worth));
        Ok(ranked)
    }

    /// The measurements to take in turn, each the worthiest after those before it, and what is then
    /// left of all doubt as a share of what there is now.
    ///
    /// # Errors
    /// As [`Calibration::next`].
    pub fn plan(&self, changes: &[Target], count: usize) -> Result<Vec<(Kind, f64)>, NoAnswer> {
        let (wants, offers) = (self.wants(changes)?, self.offers()?);
        let mut joint = (*self.joint).clone();
        let start = doubt(&wants, &joint);
        let mut left: Vec<&Offer> = offers.iter().collect();
        let mut plan = Vec::new();
        while plan.len() < count {
            let after = |offer: &Offer| {
                let with = joint.with_each(&offer.slopes);
                doubt_after(&wants, &joint, offer, &with)
            };
            let best = (0..left.len()).min_by(|a, b| after(left[*a]).total_cmp(&after(left[*b])));
            let Some(best) = best else { break };
            let offer = left.remove(best);
            joint.learn(&offer.slopes, offer.sigma);
            plan.push((offer.kind, doubt(&wants, &joint) / start.max(f64::MIN_POSITIVE)));
        }
        Ok(plan)
    }

    /// What is left of all doubt after some measurements, in their order, as a share of what there is
    /// now; what the axle has not got is passed over.
    ///
    /// # Errors
    /// As [`Calibration::next`].
    pub fn after(&self, changes: &[Target], order: &[Kind]) -> Result<Vec<(Kind, f64)>, NoAnswer> {
        let (wants, offers) = (self.wants(changes)?, self.offers()?);
        let mut joint = (*self.joint).clone();
        let start = doubt(&wants, &joint);
        let mut left = Vec::new();
        for kind in order {
            if let Some(offer) = offers.iter().find(|offer| offer.kind == *kind) {
                joint.learn(&offer.slopes, offer.sigma);
                left.push((*kind, doubt(&wants, &joint) / start.max(f64::MIN_POSITIVE)));
            }
        }
        Ok(left)
    }

    /// For every answer whose band is in doubt, the measurement that settles it best.
    ///
    /// # Errors
    /// As [`Calibration::next`].
    pub fn settles(&self, changes: &[Target]) -> Result<Vec<Settles>, NoAnswer> {
        let [stock, now] = [State::Stock, State::Sitting].map(|state| self.answer_surely(state));
        self.settles_of(changes, [&stock?, &now?])
    }

    /// The same where the answers are there: stock, and as it sits.
    ///
    /// # Errors
    /// As [`Calibration::next`].
    pub fn settles_of(
        &self,
        changes: &[Target],
        answers: [&Answer; 2],
    ) -> Result<Vec<Settles>, NoAnswer> {
        let (wants, offers) = (self.wants_of(changes, answers), self.offers()?);
        let best = |want: &Want| {
            let now = self.joint.covariance(&want.slopes, &want.slopes);
            let after = |offer: &Offer| {
                let with = self.joint.covariance(&offer.slopes, &want.slopes);
                want.after(now, with, self.spread(offer))
            };
            let offer = offers.iter().min_by(|a, b| after(a).total_cmp(&after(b)))?;
            let (before, after) = (want.deviation(&self.joint), after(offer));
            // No measurement helps what hangs on other things.
            (after < 0.98 * before).then(|| Settles {
                output: want.output,
                what: offer.kind,
                sigma: [before, after],
                enough: judge(want.value, after, &want.band).severity != Severity::Unknown,
            })
        };
        Ok(wants.iter().filter(|want| want.open).filter_map(best).collect())
    }

    fn spread(&self, offer: &Offer) -> f64 {
        self.joint.covariance(&offer.slopes, &offer.slopes).max(0.0) + offer.sigma * offer.sigma
    }

    fn worth(&self, wants: &[Want], offer: &Offer) -> Next {
        let with = self.joint.with_each(&offer.slopes);
        let spread = self.spread(offer);
        let mut helps: Vec<(f64, Output, f64, f64)> = wants
            .iter()
            .map(|want| {
                let variance = self.joint.covariance(&want.slopes, &want.slopes);
                let before = want.deviation(&self.joint);
                let after = want.after(variance, dot(&want.slopes, &with), spread);
                (want.weight * (before - after) / want.scale, want.output, before, after)
            })
            .collect();
        few::sort(&mut helps, &|a, b| b.0.total_cmp(&a.0));
        let now = doubt(wants, &self.joint).max(f64::MIN_POSITIVE);
        let worth = helps.iter().map(|(gain, ..)| gain).sum::<f64>() / now;
        helps.truncate(NAMED);
        helps.retain(|(gain, ..)| *gain > 0.01 * now);
        Next {
            what: offer.kind,
            sigma: offer.sigma,
            about: offer.about,
            worth,
            helps: helps.into_iter().map(|(_, output, a, b)| (output, a, b)).collect(),
        }
    }

    /// The judged answers of the truck as it sits.
    fn wants(&self, changes: &[Target]) -> Result<Vec<Want>, NoAnswer> {
        let (stock, now) = (self.answer(State::Stock)?, self.answer(State::Sitting)?);
        Ok(self.wants_of(changes, [&stock, &now]))
    }

    fn wants_of(&self, changes: &[Target], [stock, now]: [&Answer; 2]) -> Vec<Want> {
        let wants = Output::ALL.into_iter().filter_map(|output| {
            let band = band(output, self.end, stock, changes)?;
            let spread = now.spread(output)?;
            let mut slopes = now.bound_slopes(output);
            let mut sigma = spread.sigma;
            // Bands around the stock figure judge the change.
            if band.source == Source::ThisTruckStock {
                for (slope, before) in slopes.iter_mut().zip(stock.bound_slopes(output)) {
                    *slope -= before;
                }
                sigma = now.change(stock, output)?.sigma;
            }
            let fixed = (sigma * sigma - self.joint.covariance(&slopes, &slopes)).max(0.0);
            let open = judge(spread.value, sigma, &band).severity == Severity::Unknown;
            let half = (band.high - band.low) * 0.5;
            let width = if half.is_finite() { half } else { 0.0 } + band.slack;
            Some(Want {
                output,
                value: spread.value,
                band,
                slopes,
                fixed,
                scale: width.max(LEAST_SCALE),
                weight: if open { IN_DOUBT } else { 1.0 },
                open,
            })
        });
        wants.collect()
    }

    /// Everything readable on the fitted axle that has not been read, under the truck as it stands in
    /// the last set of readings.
    fn offers(&self) -> Result<Vec<Offer>, NoAnswer> {
        let problem = Problem::fitted(&self.prior, self.end, &self.own, &self.log, &self.joint)?;
        let taken: Vec<Kind> = problem.data.iter().map(|datum| datum.kind).collect();
        let kinds: Vec<Kind> =
            Kind::walk().into_iter().filter(|kind| !taken.contains(kind)).collect();
        let (about, slopes) = problem.offers(self.joint.values(), &kinds)?;
        let offer = |(i, kind): (usize, Kind)| {
            let about = about.get(i).copied().filter(|about| about.is_finite())?;
            let slopes = slopes.row(i).iter().copied().collect();
            Some(Offer { kind, about, sigma: kind.instrument().typical_sigma(), slopes })
        };
        Ok(kinds.into_iter().enumerate().filter_map(offer).collect())
    }
}

/// All doubt: each answer's deviation by the width of its band.
fn doubt(wants: &[Want], joint: &Joint) -> f64 {
    wants.iter().map(|want| want.weight * want.deviation(joint) / want.scale).sum()
}

/// The same after one more reading, whose covariance with each input is `with`.
fn doubt_after(wants: &[Want], joint: &Joint, offer: &Offer, with: &[f64]) -> f64 {
    let spread = dot(&offer.slopes, with).max(0.0) + offer.sigma * offer.sigma;
    wants
        .iter()
        .map(|want| {
            let variance = joint.covariance(&want.slopes, &want.slopes);
            want.weight * want.after(variance, dot(&want.slopes, with), spread) / want.scale
        })
        .sum()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
