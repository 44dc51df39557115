//! Calibration: the hardpoints that agree with the tape, what each reading thinks of them, and how
//! sure everything is then.

use super::{
    field,
    kind::Kind,
    log::{Log, LogError},
    normal::quantile,
    problem::{Place, Problem, unpinned},
    slip::{Slip, explain},
    solver::{Gauss, Predict, Settled, Unsettled, oddities, scaled, settle},
};
use crate::{
    axle::{Answer, ModelError, NoAnswer, Unreachable, answer_under},
    few,
    measure::{Joint, Known, Origin},
    truck::{End, Side, State, Truck},
};
use nalgebra::DVector;
use std::sync::Arc;

/// An axle fitted to its readings.
#[derive(Debug, Clone)]
pub struct Calibration {
    /// Which axle.
    pub end: End,
    /// The truck with the fitted values in place, each with its own standard deviation. What is known
    /// together is in `joint` alone.
    pub truck: Truck,
    /// All inputs with their covariance.
    pub joint: Arc<Joint>,
    /// Each input before and after.
    pub inputs: Vec<Learned>,
    /// Each reading and how it fits.
    pub readings: Vec<Checked>,
    /// Sum of the squares of what readings and priors miss, in their own deviations.
    pub cost: f64,
    /// Steps the fit took.
    pub steps: usize,
    /// What else there is to know.
    pub notes: Vec<Note>,
    /// The truck as the fit started from: its own readings taken as data.
    pub(super) prior: Truck,
    pub(super) own: Vec<(Kind, Known)>,
    pub(super) log: Log,
}

/// An input before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// Its path within the axle; `now.` or `sets[0].` leads what the truck stood on.
    pub path: String,
    /// Value and standard deviation as assumed or loosely measured.
    pub before: (f64, f64),
    /// Value and standard deviation now.
    pub after: (f64, f64),
    /// Where the value before came from.
    pub origin: Origin,
}

impl Learned {
    /// Share of the doubt that is gone, 0 to 1.
    pub fn shrunk(&self) -> f64 {
        1.0 - self.after.1 / self.before.1
    }

    fn is_touched(&self) -> bool {
        self.shrunk() >= 1e-9
    }
}

/// A reading beside what the fitted truck reads.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// Which reading.
    pub place: Place,
    /// What was read.
    pub what: Kind,
    /// Mean of what was read and its standard deviation.
    pub read: (f64, f64),
    /// What the fitted truck reads.
    pub fitted: f64,
    /// What everything else foretells, and how far the reading may be off that, its own error
    /// included; one standard deviation.
    pub foretold: (f64, f64),
    /// Its misfit as a share of what the misfit should be: a standard normal number when all is
    /// well (studentized residual). `None` where nothing else knows anything of it.
    pub odd: Option<f64>,
    /// What to think of it.
    pub doubt: Doubt,
    /// The slip that would explain it best, where it is in doubt.
    pub slip: Option<Slip>,
}

/// What to think of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// It agrees with the rest.
    Agrees,
    /// It does not agree, and is left out of the fit until it was looked at again.
    SetAside,
    /// It or another of those marked so is wrong: the rest cannot tell which.
    OneOfSeveral,
    /// It does not agree, and the person says it stands.
    Confirmed,
}

/// Something to know about the fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Note {
    /// The axle has not got what this reading is of.
    NotOnThisAxle(Place),
    /// More readings disagree than should: a wrong layout or state is likelier than so many slips.
    ManyDisagree,
    /// No reading bears on this input: it is as it was assumed.
    Untouched(String),
}

/// Why there is no calibration; what was there before stays.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CalibrateError {
    /// The log itself is not in order.
    #[error(transparent)]
    Log(#[from] LogError),
    /// The truck as assumed makes no model.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// The truck as assumed does not stand.
    #[error("as it is filled in the axle does not stand, so nothing can be fitted to it: {0}")]
    Unreachable(#[from] Unreachable),
    /// Readings contradict each other too far.
    #[error(
        "the readings contradict each other beyond what any such axle can be; the furthest off is {worst} ({off:.0} times its expected spread): measure it again, or leave it out"
    )]
    Contradiction {
        /// The reading furthest off.
        worst: String,
        /// How many standard deviations.
        off: f64,
    },
    /// A number is not finite.
    #[error("a prior or a reading is not a finite number: correct it first")]
    NotFinite,
}

impl From<NoAnswer> for CalibrateError {
    fn from(why: NoAnswer) -> Self {
        match why {
            NoAnswer::Model(error) => Self::Model(error),
            NoAnswer::Unreachable(error) => Self::Unreachable(error),
        }
    }
}

/// A reading this odd by the slopes at the start alone is looked at after the rest has been fitted; room
/// is left for what the way there bends.
const GROSS: f64 = 8.0;
/// Chance that any reading of a good log is pointed out (for all of them together).
const FALSE_ALARM: f64 = 0.02;
/// Readings that are looked at in turn as the culprit.
const SUSPECTS: usize = 3;
/// A culprit must explain this much more of the cost than the next: odds of about 7 to 1.
const CLEARLY: f64 = 4.0;
/// Least share of a reading's variance its misfit must keep for it to be checked at all.
const CHECKED: f64 = 1e-6;
/// The last step of a fit at rest wins no more than this of the sum of squares.
const AT_REST: f64 = 1e-2;
/// Most rounds of setting aside and taking back.
const ROUNDS: usize = 8;

/// How odd a reading must be, in standard deviations, to be pointed out among so many (Bonferroni's
/// bound over all readings, as in Baarda's data snooping).
pub fn odd_beyond(readings: usize) -> f64 {
    quantile(1.0 - FALSE_ALARM / (2.0 * readings.max(1) as f64))
}

/// Fits one axle to everything that was read of it. Without readings, what was assumed stands.
///
/// # Errors
/// [`CalibrateError`]: a log out of order, a truck that does not stand, readings that contradict each
/// other beyond the model.
pub fn calibrate(truck: &Truck, end: End, log: &Log) -> Result<Calibration, CalibrateError> {
    calibrate_after(truck, end, log, None)
}

/// The same with the last fit at hand: where nothing that it hung on changed (what was read, in which
/// states, and the axle's own numbers there), it is not worked out again.
///
/// # Errors
/// As [`calibrate`].
pub fn calibrate_after(
    truck: &Truck,
    end: End,
    log: &Log,
    last: Option<&Calibration>,
) -> Result<Calibration, CalibrateError> {
    log.check()?;
    let (prior, own) = unpinned(truck, end);
    let mut problem = Problem::of(&prior, end, &own, log)?;
    if let Some(last) = last
        && Problem::of(&last.prior, last.end, &last.own, &last.log)
            .is_ok_and(|before| before.is_of(&problem))
    {
        let truck = placed(&prior, end, &last.inputs);
        let last = last.clone();
        let log = log.clone();
        drop(problem);
        return Ok(Calibration { end, truck, prior, own, log, ..last });
    }
    let mut fit = Fit::of(&mut problem)?;
    fit.look(&mut problem)?;
    if fit.settled.won > AT_REST {
        return Err(contradiction(&problem));
    }
    Ok(fit.finish(&problem, Kept { end, prior: prior.clone(), own: own.clone(), log: log.clone() }))
}

/// What was measured beside what everything measured before foretold.
#[derive(Debug, Clone, PartialEq)]
pub struct Foretold {
    /// Which reading.
    pub place: Place,
    /// What was read.
    pub what: Kind,
    /// Mean of what was read.
    pub read: f64,
    /// What the sets before foretold.
    pub foretold: f64,
    /// One standard deviation of the difference: what is known of the truck, the reading's own error,
    /// and how the truck may have stood.
    pub sigma: f64,
}

impl Foretold {
    /// Whether it was read as foretold: within two deviations.
    pub fn holds(&self) -> bool {
        (self.read - self.foretold).abs() <= 2.0 * self.sigma
    }
}

/// A reading whose spread would be this many times its instrument's is not foretold at all.
const VAGUE: f64 = 20.0;

/// What the sets before one foretold for each of its readings: the work against the plan. How far it is from
/// the rail to the place where a wheel is measured nobody foretells, so the right wheel's reading says that
/// and the left one's is foretold; what nothing before bears on is left out.
///
/// # Errors
/// As [`calibrate`].
pub fn foretell(
    truck: &Truck,
    end: End,
    log: &Log,
    set: usize,
) -> Result<Vec<Foretold>, CalibrateError> {
    let sets = |count: usize| Log {
        version: log.version,
        sets: log.sets.iter().take(count).cloned().collect(),
    };
    let before = calibrate(truck, end, &sets(set))?;
    let (prior, own) = unpinned(truck, end);
    let log = sets(set + 1);
    log.check()?;
    let mut problem = Problem::of(&prior, end, &own, &log)?;
    let aside = before.readings.iter().filter(|it| it.doubt == Doubt::SetAside);
    let aside: Vec<Place> = aside.map(|it| it.place).collect();
    let (now, then): (Vec<usize>, Vec<usize>) = (0..problem.data.len()).partition(|i| {
        let datum = &problem.data[*i];
        datum.place.set == Some(set) && datum.kind != Kind::Rail(Side::Right)
    });
    problem.active = then;
    problem.active.retain(|i| !aside.contains(&problem.data[*i].place));
    let settled = run(&mut problem)?;
    let fit = Fit { settled, aside: Vec::new(), suspects: Vec::new() };
    let foretold = fit.foretold(&problem, &now)?;
    let each = now.iter().zip(foretold).map(|(i, (foretold, sigma))| {
        let datum = &problem.data[*i];
        Foretold { place: datum.place, what: datum.kind, read: datum.value, foretold, sigma }
    });
    Ok(each.filter(|it| it.sigma < VAGUE * it.what.instrument().typical_sigma()).collect())
}

/// A truck with what readings taught of its inputs in place.
fn placed(prior: &Truck, end: End, inputs: &[Learned]) -> Truck {
    let mut truck = prior.clone();
    for it in inputs.iter().filter(|it| it.is_touched()) {
        field::put(&mut truck, end, &it.path, it.after.0, it.after.1);
    }
    truck
}

/// What a calibration keeps to be asked further.
struct Kept {
    end: End,
    prior: Truck,
    own: Vec<(Kind, Known)>,
    log: Log,
}

/// A fit under way.
struct Fit {
    settled: Settled,
    aside: Vec<usize>,
    suspects: Vec<usize>,
}

impl Fit {
    /// The first fit, without what is grossly off.
    fn of(problem: &mut Problem<'_>) -> Result<Self, CalibrateError> {
        let aside = gross(problem)?;
        problem.active.retain(|i| !aside.contains(i));
        let settled = run(problem)?;
        Ok(Self { settled, aside, suspects: Vec::new() })
    }

    /// Takes back what agrees after all, and sets aside what does not.
    fn look(&mut self, problem: &mut Problem<'_>) -> Result<(), CalibrateError> {
        let limit = odd_beyond(problem.data.len());
        let mut taken_back: Vec<usize> = Vec::new();
        for _ in 0..ROUNDS {
            let good = self.foretold(problem, &self.aside)?;
            let back: Vec<usize> = self
                .aside
                .iter()
                .zip(&good)
                .filter(|(i, (foretold, spread))| {
                    let off = (problem.data[**i].value - foretold) / spread;
                    off.abs() < limit && !taken_back.contains(i)
                })
                .map(|(i, _)| *i)
                .collect();
            if !back.is_empty() {
                self.aside.retain(|i| !back.contains(i));
                taken_back.extend(&back);
                self.refit(problem)?;
                continue;
            }
            let mut worst: Vec<(f64, usize)> = self
                .oddities(problem)
                .into_iter()
                .filter_map(|(i, odd)| Some((odd?.abs(), i)))
                .filter(|(_, i)| !problem.data[*i].confirmed)
                .collect();
            few::sort(&mut worst, &|a, b| b.0.total_cmp(&a.0));
            worst.truncate(SUSPECTS);
            if worst.first().is_none_or(|(odd, _)| *odd <= limit) {
                break;
            }
            let mut tried: Vec<(f64, usize)> = Vec::new();
            for (_, i) in &worst {
                problem.active = self.without(problem, &[*i]);
                if let Ok(settled) = run(problem) {
                    tried.push((settled.cost, *i));
                }
            }
            few::sort(&mut tried, &|a, b| a.0.total_cmp(&b.0));
            let Some((least, culprit)) = tried.first().copied() else {
                self.refit(problem)?;
                break;
            };
            let alike: Vec<usize> =
                tried.iter().filter(|(c, _)| c - least < CLEARLY).map(|(_, i)| *i).collect();
            if alike.len() > 1 {
                self.suspects = alike;
                self.refit(problem)?;
                break;
            }
            self.aside.push(culprit);
            self.refit(problem)?;
        }
        Ok(())
    }

    fn without(&self, problem: &Problem<'_>, also: &[usize]) -> Vec<usize> {
        (0..problem.data.len()).filter(|i| !self.aside.contains(i) && !also.contains(i)).collect()
    }

    fn refit(&mut self, problem: &mut Problem<'_>) -> Result<(), CalibrateError> {
        problem.active = self.without(problem, &[]);
        self.settled = run(problem)?;
        Ok(())
    }

    /// Studentized misfit of each reading that counts.
    fn oddities(&self, problem: &Problem<'_>) -> Vec<(usize, Option<f64>)> {
        let each = problem.active.iter().zip(&self.settled.predicted).zip(&self.settled.checked);
        each.map(|((i, predicted), checked)| {
            let datum = &problem.data[*i];
            let rest = (datum.value - predicted) / datum.sigma;
            (*i, (*checked > CHECKED).then(|| rest / checked.sqrt()))
        })
        .collect()
    }

    /// What the fit foretells for readings it left out, with the spread of the reading about it.
    fn foretold(
        &self,
        problem: &Problem<'_>,
        which: &[usize],
    ) -> Result<Vec<(f64, f64)>, CalibrateError> {
        if which.is_empty() {
            return Ok(Vec::new());
        }
        let joint = self.joint(problem);
        let inputs = &self.settled.inputs;
        let slopes = problem.slopes_at(inputs, which)?;
        let values = problem.reads(inputs, which);
        Ok(values
            .into_iter()
            .zip(which)
            .zip(slopes.row_iter())
            .map(|((value, i), row)| {
                let row: Vec<f64> = row.iter().copied().collect();
                let own = problem.data[*i].sigma;
                (value, (joint.covariance(&row, &row).max(0.0) + own * own).sqrt())
            })
            .collect())
    }

    fn joint(&self, problem: &Problem<'_>) -> Joint {
        let mut joint = problem.joint();
        joint.settle(self.settled.inputs.clone(), self.settled.learned.clone());
        joint
    }

    fn finish(self, problem: &Problem<'_>, kept: Kept) -> Calibration {
        let joint = self.joint(problem);
        let limit = odd_beyond(problem.data.len());
        let mut readings = Vec::with_capacity(problem.data.len());
        for ((i, odd), (fitted, checked)) in self
            .oddities(problem)
            .into_iter()
            .zip(self.settled.predicted.iter().zip(&self.settled.checked))
        {
            let datum = &problem.data[i];
            // What the others say: the misfit as it would be had this one not been heard.
            let misfit = datum.value - fitted;
            let foretold = if *checked > CHECKED {
                (datum.value - misfit / checked, datum.sigma / checked.sqrt())
            } else {
                (*fitted, f64::INFINITY)
            };
            let doubt = if self.suspects.contains(&i) {
                Doubt::OneOfSeveral
            } else if datum.confirmed && odd.is_some_and(|odd| odd.abs() > limit) {
                Doubt::Confirmed
            } else {
                Doubt::Agrees
            };
            readings.push((i, *fitted, foretold, odd, doubt));
        }
        let aside = self.foretold(problem, &self.aside).unwrap_or_default();
        for (i, foretold) in self.aside.iter().zip(aside) {
            let odd = (problem.data[*i].value - foretold.0) / foretold.1;
            readings.push((*i, foretold.0, foretold, Some(odd), Doubt::SetAside));
        }
        few::sort(&mut readings, &|a, b| a.0.cmp(&b.0));
        let readings: Vec<Checked> = readings
            .into_iter()
            .map(|(i, fitted, foretold, odd, doubt)| {
                let datum = &problem.data[i];
                let slip = (doubt != Doubt::Agrees).then(|| {
                    let twin = datum.kind.mirrored().and_then(|kind| {
                        problem
                            .data
                            .iter()
                            .find(|d| d.kind == kind && d.place.set == datum.place.set)
                    });
                    explain(datum.kind, datum.value, foretold, twin.map(|twin| twin.value))
                });
                Checked {
                    place: datum.place,
                    what: datum.kind,
                    read: (datum.value, datum.sigma),
                    fitted,
                    foretold,
                    odd,
                    doubt,
                    slip: slip.flatten(),
                }
            })
            .collect();

        let mut notes: Vec<Note> =
            problem.strange.iter().map(|place| Note::NotOnThisAxle(*place)).collect();
        let doubtful = readings.iter().filter(|r| r.doubt != Doubt::Agrees).count();
        if doubtful > 1 && doubtful * 4 > readings.len() {
            notes.push(Note::ManyDisagree);
        }
        let mut inputs = Vec::with_capacity(problem.inputs.len());
        for (at, input) in problem.inputs.iter().enumerate() {
            let after = (joint.values()[at], joint.deviation(at));
            let learned = Learned {
                path: input.path.clone(),
                before: (input.value, input.sigma),
                after,
                origin: input.origin.clone(),
            };
            if !learned.is_touched() {
                notes.push(Note::Untouched(input.path.clone()));
            }
            inputs.push(learned);
        }
        Calibration {
            end: kept.end,
            truck: placed(&kept.prior, kept.end, &inputs),
            joint: Arc::new(joint),
            inputs,
            readings,
            cost: self.settled.cost,
            steps: self.settled.steps,
            notes,
            prior: kept.prior,
            own: kept.own,
            log: kept.log,
        }
    }
}

/// Readings so far off that a fit would break its neck over them: judged by the slopes at the start,
/// the oddest left out first and the rest judged anew.
fn gross(problem: &Problem<'_>) -> Result<Vec<usize>, CalibrateError> {
    let all: Vec<usize> = (0..problem.data.len()).collect();
    let start: Vec<f64> = problem.inputs.iter().map(|input| input.value).collect();
    let data: Vec<Gauss> = problem.data.iter().map(|d| (d.value, d.sigma)).collect();
    let slopes = scaled(problem.slopes_at(&start, &all)?, &problem.priors(), &data);
    let values = problem.reads(&start, &all);
    let rest = |i: &usize| (data[*i].0 - values[*i]) / data[*i].1;
    let (mut kept, mut aside) = (all, Vec::new());
    loop {
        let odd = oddities(
            &slopes.select_rows(&kept),
            &DVector::from_iterator(kept.len(), kept.iter().map(rest)),
        );
        let odd = odd.ok_or(CalibrateError::NotFinite)?;
        let worst = kept
            .iter()
            .zip(odd)
            .filter(|(i, odd)| odd.abs() > GROSS && !problem.data[**i].confirmed)
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        let Some((&worst, _)) = worst else { return Ok(aside) };
        kept.retain(|i| *i != worst);
        aside.push(worst);
    }
}

fn run(problem: &mut Problem<'_>) -> Result<Settled, CalibrateError> {
    let (priors, data) = (problem.priors(), problem.active_data());
    match settle(&priors, &data, problem) {
        Ok(settled) => Ok(settled),
        Err(Unsettled::Start(why)) => Err(why.into()),
        Err(Unsettled::NotFinite) => Err(CalibrateError::NotFinite),
        Err(Unsettled::Steps { .. }) => Err(contradiction(problem)),
    }
}

/// What to say of readings that no fit settles on: the one furthest off where the last try ended.
fn contradiction(problem: &Problem<'_>) -> CalibrateError {
    let start: Vec<f64> = problem.inputs.iter().map(|input| input.value).collect();
    let values = problem.reads(&start, &problem.active);
    let off = |(i, value): (&usize, f64)| {
        let datum = &problem.data[*i];
        (((datum.value - value) / datum.sigma).abs(), datum.kind)
    };
    let worst = problem.active.iter().zip(values).map(off).max_by(|a, b| a.0.total_cmp(&b.0));
    let (off, kind) = worst.unwrap_or((0.0, Kind::Frame));
    CalibrateError::Contradiction { worst: kind.label(), off }
}

impl Calibration {
    /// The axle at rest in a state, with the fitted inputs and what is known of them together.
    ///
    /// # Errors
    /// When the fitted axle does not stand in that state.
    pub fn answer(&self, state: State) -> Result<Answer, NoAnswer> {
        self.answer_at(state, [None; 2], 0.0)
    }

    /// The same at given wheel travels and steer; see [`answer_at`](crate::axle::answer_at).
    ///
    /// # Errors
    /// When the fitted axle does not stand there.
    pub fn answer_at(
        &self,
        state: State,
        travel: [Option<f64>; 2],
        steer: f64,
    ) -> Result<Answer, NoAnswer> {
        answer_under(&self.prior, (self.end, state), travel, steer, Some(&self.joint))
    }

    /// What the truck as it sits would read with these values of all inputs, in the order of
    /// [`Joint::names`]; `None` for what it has not got. With [`Joint::values`] it is what the fit
    /// foretells.
    ///
    /// # Errors
    /// When the axle does not stand with them.
    pub fn reads(&self, inputs: &[f64], kinds: &[Kind]) -> Result<Vec<Option<f64>>, NoAnswer> {
        let mut problem = Problem::of(&self.prior, self.end, &self.own, &self.log)?;
        problem.predict(inputs)?;
        let read = problem.read_now(inputs, kinds).into_iter();
        Ok(read.map(|value| value.is_finite().then_some(value)).collect())
    }

    /// Where a measurement is taken on the truck as it sits: from, to, chassis frame, mm; `None` for
    /// what has no such place.
    ///
    /// # Errors
    /// When the fitted axle does not stand.
    pub fn held(&self, kind: Kind) -> Result<Option<[[f64; 3]; 2]>, NoAnswer> {
        let mut problem = Problem::of(&self.prior, self.end, &self.own, &self.log)?;
        problem.predict(self.joint.values())?;
        Ok(problem.held(kind))
    }

    /// The readings pointed out, oddest first.
    pub fn in_doubt(&self) -> Vec<&Checked> {
        let mut found: Vec<&Checked> =
            self.readings.iter().filter(|r| r.doubt != Doubt::Agrees).collect();
        let odd = |r: &Checked| r.odd.map_or(0.0, f64::abs);
        few::sort(&mut found, &|a, b| odd(b).total_cmp(&odd(a)));
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::{Member, Set, Taken};

    /// The work against the plan: how far off center the axle was to stand says the axle's own answer.
    #[test]
    fn the_planned_shift_is_foretold_beside_the_right_wheel() {
        let truck = Truck::example();
        let rail = |side, gap| Taken::once(Kind::Rail(side), gap);
        let shift = |state| {
            let answer = crate::axle::answer(&truck, End::Front, state).unwrap();
            answer.attitude.get(crate::axle::Output::LateralShift).unwrap()
        };
        let [before, after] = [State::Sitting, State::Planned].map(|state| {
            let off = shift(state);
            // The second time a hand's breadth nearer to the rail.
            let gap = if state == State::Sitting { 300.0 } else { 220.0 };
            Set::of(state, vec![rail(Side::Left, gap + off), rail(Side::Right, gap - off)])
        });
        let log = Log { sets: vec![before, after], ..Log::default() };
        let found = foretell(&truck, End::Front, &log, 1).unwrap();
        let [left] = found.as_slice() else { panic!("{found:?}") };
        assert!((left.foretold - left.read).abs() < 1.0, "{left:?}");
        assert!(left.sigma > 2.0 && left.sigma < 8.0, "{left:?}");
        assert!((shift(State::Sitting) - shift(State::Planned)).abs() > 5.0, "nothing is tested");
        // Alone it says nothing of where the axle stands.
        let mut alone = log;
        alone.sets[1].readings.truncate(1);
        assert_eq!(foretell(&truck, End::Front, &alone, 1), Ok(Vec::new()));
    }

    #[test]
    fn a_fit_is_kept_while_nothing_it_hangs_on_changes() {
        let mut truck = Truck::example();
        let reading = Taken::once(Kind::Length(Member::Panhard), 834.0);
        let mut log = Log { sets: vec![Set::of(State::Sitting, vec![reading])], ..Log::default() };
        let first = calibrate(&truck, End::Front, &log).unwrap();
        let after = |truck: &Truck, log: &Log| {
            let kept = calibrate_after(truck, End::Front, log, Some(&first)).unwrap();
            let fresh = calibrate(truck, End::Front, log).unwrap();
            assert_eq!((&kept.inputs, &kept.readings), (&fresh.inputs, &fresh.readings));
            assert_eq!((&kept.truck, &kept.prior, &kept.log), (&fresh.truck, &fresh.prior, log));
            Arc::ptr_eq(&kept.joint, &first.joint)
        };
        // What is planned and what is noted have no part in it.
        truck.front.as_mut().unwrap().planned.lift_mm = Known::assumed(120.0, 5.0);
        log.sets[0].note = "after rain".into();
        assert!(after(&truck, &log));
        log.sets[0].readings[0].read.push(835.0);
        assert!(!after(&truck, &log));
        log.sets[0].readings[0].read.pop();
        truck.wheelbase_mm.value += 1.0;
        assert!(!after(&truck, &log));
    }
}
