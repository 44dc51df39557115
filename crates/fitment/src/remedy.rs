//! Corrections: which combination of the parts on the shelf puts the geometry right.
//!
//! Every combination of holes, bushes and lengths is put on the real pose solve at the planned
//! ride height and judged by the same bands as the findings. A bar or link that can be set is set
//! to the length that serves best, found on the solved pose. What comes back is ranked, and a
//! combination is left out when another one misses no more and is no more work.

mod choices;
mod words;

pub use choices::{Work, WorkKind};

use crate::few::sort_few;
use crate::{
    axle::{
        Answer, Attitude, AxleModel, ModelError, NoAnswer, Output, Pose, attitude, solve_near,
        solve_ride,
    },
    finding::{Band, BandChange, Severity, band},
    measure::{Known, System},
    truck::{End, Part, State, Truck},
};
use choices::{Slot, slots};
use std::cell::Cell;

/// One combination of parts with what it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion {
    /// Parts to fit, besides what the truck wears already.
    pub parts: Vec<Part>,
    /// Outputs with them fitted, at the planned ride height.
    pub attitude: Attitude<f64>,
    /// Judged outputs that still miss their band, worst first.
    pub misses: Vec<Miss>,
    /// Sum of the misses, each counted in widths of its *watch* zone.
    pub total_miss: f64,
    /// The work it takes.
    pub work: Work,
}

/// An output that misses its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// Which output.
    pub output: Output,
    /// Its value.
    pub value: f64,
    /// The band.
    pub band: Band,
    /// How it is judged, taken at its best value.
    pub severity: Severity,
}

impl Suggestion {
    /// What the ranking goes by, least best: the misses, and a little for the work.
    pub fn score(&self) -> f64 {
        self.total_miss + WORK_WEIGHT * f64::from(self.work.points)
    }

    /// The suggestion in plain words, in the person's units.
    pub fn words(&self, system: System) -> String {
        words::suggestion(self, system)
    }
}

/// Most combinations tried; a longer shelf is cut here and [`Suggestions::cut`] says so.
pub const MOST_COMBINATIONS: usize = 2_000;
/// Most suggestions returned.
pub const MOST_SUGGESTIONS: usize = 10;

/// What a point of work weighs against a miss: a bolt-on is worth a twentieth of a watch zone.
const WORK_WEIGHT: f64 = 0.05;

/// Misses this near each other, in watch zones, are the same to a builder: more work for less gain
/// than this is not suggested.
const SAME_MISS: f64 = 0.02;

/// The ranked suggestions.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestions {
    /// Best first. The first entry that fits nothing is the truck as planned without shelf parts.
    pub ranked: Vec<Suggestion>,
    /// Combinations that exist on the shelf.
    pub combinations: usize,
    /// True when only the first [`MOST_COMBINATIONS`] were tried.
    pub cut: bool,
}

/// Ranks the combinations of the shelf's parts for an axle.
///
/// # Errors
/// When the axle does not read or even the stock pose does not exist.
pub fn suggest(
    truck: &Truck,
    end: End,
    stock: &Answer,
    changes: &[BandChange],
) -> Result<Suggestions, NoAnswer> {
    let mut bare = truck.clone();
    if let Some(axle) = bare.axle_mut(end) {
        axle.planned.parts.clear();
    }
    let model = AxleModel::of(&bare, end, State::Planned)?;
    let axle = truck.axle(end).ok_or(ModelError::NoAxle { end })?;
    let bands: Vec<(Output, Band)> = Output::ALL
        .into_iter()
        .filter_map(|output| Some((output, band(output, end, stock, changes)?)))
        .collect();
    let bench = Bench { model, bands, worn: &axle.sitting.parts, stock, last: Cell::new(None) };

    let slots = slots(&axle.shelf.parts);
    let combinations = slots.iter().map(|s| s.fixed.len() + 1).product::<usize>();
    let mut tried: Vec<Suggestion> = Vec::new();
    let mut pick = vec![0usize; slots.len()];
    for _ in 0..combinations.min(MOST_COMBINATIONS) {
        tried.extend(bench.try_on(&slots, &pick));
        // Count up like an odometer, one wheel per slot.
        for (wheel, slot) in pick.iter_mut().zip(&slots) {
            *wheel += 1;
            if *wheel <= slot.fixed.len() {
                break;
            }
            *wheel = 0;
        }
    }
    Ok(Suggestions { ranked: rank(tried), combinations, cut: combinations > MOST_COMBINATIONS })
}

/// Best first, without those that another beats on both counts.
fn rank(mut tried: Vec<Suggestion>) -> Vec<Suggestion> {
    let mut kept: Vec<Suggestion> = Vec::new();
    while kept.len() < MOST_SUGGESTIONS {
        let order = |a: &Suggestion, b: &Suggestion| {
            a.score()
                .total_cmp(&b.score())
                .then(a.work.cmp(&b.work))
                .then(a.parts.len().cmp(&b.parts.len()))
        };
        let best = tried.iter().enumerate().min_by(|a, b| order(a.1, b.1));
        let Some((at, _)) = best else { break };
        let best = tried.remove(at);
        tried.retain(|s| best.work > s.work || best.total_miss > s.total_miss + SAME_MISS);
        kept.push(best);
    }
    kept
}

/// What every combination is tried on.
struct Bench<'a> {
    model: AxleModel<f64>,
    bands: Vec<(Output, Band)>,
    worn: &'a [Part],
    stock: &'a Answer,
    /// The pose solved last: neighbours on the bench stand nearly alike.
    last: Cell<Option<Pose<f64>>>,
}

impl Bench<'_> {
    /// One combination, and its lengths where it has any to set; every subset of the settable
    /// lengths is tried. Unreachable combinations give nothing.
    fn try_on(&self, slots: &[Slot], pick: &[usize]) -> Vec<Suggestion> {
        let mut parts = Vec::new();
        let mut settable = Vec::new();
        for (slot, pick) in slots.iter().zip(pick) {
            if let Some(part) = pick.checked_sub(1).and_then(|i| slot.fixed.get(i)) {
                parts.push(part.clone());
            }
            settable.extend(slot.settable.iter());
        }
        // The drag link comes last: what the others do to the axle it has to follow.
        let (drag, mut settable): (Vec<_>, Vec<_>) =
            settable.into_iter().partition(|part| matches!(part, Part::DragLinkLength { .. }));
        settable.extend(drag);
        let mut found = Vec::new();
        for subset in 0..1_usize << settable.len().min(3) {
            let mut with = parts.clone();
            let mut set = true;
            for (bit, part) in settable.iter().enumerate() {
                if subset & (1 << bit) != 0 {
                    match self.set_length(&with, part) {
                        Some(part) => with.push(part),
                        None => set = false,
                    }
                }
            }
            if set {
                found.extend(self.judge(with));
            }
        }
        found
    }

    fn outputs(&self, parts: &[Part]) -> Option<Attitude<f64>> {
        let (model, pose) = self.stand(parts)?;
        Some(attitude(&model, &pose, 0.0))
    }

    /// The truck at its planned ride height with parts fitted.
    fn stand(&self, parts: &[Part]) -> Option<(AxleModel<f64>, Pose<f64>)> {
        // What the truck wears stays on unless a part of the same kind takes its place.
        let mut all: Vec<Part> = self
            .worn
            .iter()
            .filter(|worn| !parts.iter().any(|p| choices::same_slot(p, worn)))
            .cloned()
            .collect();
        all.extend_from_slice(parts);
        let model = self.model.with_parts(&all).ok()?;
        let pose = match self.last.get() {
            Some(last) => solve_near(&model, model.ride, &last),
            None => solve_ride(&model),
        }
        .ok()?;
        self.last.set(Some(pose));
        Some((model, pose))
    }

    fn judge(&self, parts: Vec<Part>) -> Option<Suggestion> {
        let attitude = self.outputs(&parts)?;
        let mut total_miss = 0.0;
        let mut misses = Vec::new();
        for (output, band) in &self.bands {
            let Some(value) = attitude.get(*output) else { continue };
            let severity = band.severity(value);
            if severity > Severity::InBand {
                let miss = band.miss(value);
                // A limit that says stop counts heavier than any width of the watch zone.
                let stop = if severity == Severity::Stop { 5.0 } else { 0.0 };
                total_miss += miss / band.slack.max(0.1) + stop;
                misses.push(Miss { output: *output, value, band: *band, severity });
            }
        }
        sort_few(&mut misses, |a, b| b.severity.cmp(&a.severity));
        let work = choices::work(&parts);
        Some(Suggestion { parts, attitude, misses, total_miss, work })
    }

    /// A settable part at the length that serves best with `parts` fitted: the bar's centres the
    /// axle, the upper link's brings back stock caster (or pinion angle where nothing steers).
    fn set_length(&self, parts: &[Part], part: &Part) -> Option<Part> {
        let (output, want, range) = match part {
            Part::PanhardLength { range_mm, .. } => (Output::LateralShift, 0.0, *range_mm),
            Part::DragLinkLength { range_mm, .. } => {
                // It moves nothing but the steering: its length follows from the pose directly.
                let (model, pose) = self.stand(parts)?;
                let change = model.straight_drag_length(&pose)? - model.turning?.design_length;
                return Some(with_length(part, to_thread(change, *range_mm)));
            }
            Part::UpperLinkLength { range_mm, .. } => {
                let output =
                    if self.model.steering.is_some() { Output::Caster } else { Output::Pinion };
                (output, self.stock.attitude.get(output)?, *range_mm)
            }
            _ => return Some(part.clone()),
        };
        let at = |change: f64| {
            let mut with = parts.to_vec();
            with.push(with_length(part, change));
            let (model, pose) = self.stand(&with)?;
            let got = match output {
                // Read straight off the pose; the rest of the outputs would cost more than it.
                Output::LateralShift => pose.axle.shift.y,
                output => attitude(&model, &pose, 0.0).get(output)?,
            };
            Some(got - want)
        };
        let change = secant(at, range)?;
        Some(with_length(part, change))
    }
}

/// A settable part at another length.
fn with_length(part: &Part, change: f64) -> Part {
    let change_mm = Known::exact(change);
    match part {
        Part::PanhardLength { range_mm, .. } => {
            Part::PanhardLength { change_mm, range_mm: *range_mm }
        }
        Part::DragLinkLength { range_mm, .. } => {
            Part::DragLinkLength { change_mm, range_mm: *range_mm }
        }
        Part::UpperLinkLength { range_mm, .. } => {
            Part::UpperLinkLength { change_mm, range_mm: *range_mm }
        }
        other => other.clone(),
    }
}

/// Where `f` is nearest zero within the range, to 0.1 mm: a thread is set no finer. `None` when
/// `f` has no value in the range.
fn secant(f: impl Fn(f64) -> Option<f64>, range: [f64; 2]) -> Option<f64> {
    if !range.iter().all(|end| end.is_finite()) {
        return None;
    }
    let (low, high) = (range[0].min(range[1]), range[0].max(range[1]));
    let mut a = 0.0_f64.clamp(low, high);
    let mut fa = f(a)?;
    let mut b = if a + 5.0 <= high { a + 5.0 } else { (a - 5.0).max(low) };
    for _ in 0..8 {
        if (b - a).abs() < 0.05 {
            break;
        }
        let Some(fb) = f(b) else { break };
        if (fb - fa).abs() < 1e-12 {
            break;
        }
        let next = (b - fb * (b - a) / (fb - fa)).clamp(low, high);
        (a, fa) = (b, fb);
        b = next;
    }
    Some(to_thread(b, range))
}

/// A length change as a thread can be set: to 0.1 mm, within its range.
fn to_thread(change: f64, range: [f64; 2]) -> f64 {
    let (low, high) = (range[0].min(range[1]), range[0].max(range[1]));
    ((change * 10.0).round() / 10.0).max(low).min(high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::Axle;
    use crate::{axle::answer, truck::Truck};

    fn example() -> (Axle, Answer) {
        let front = Truck::example().front.unwrap();
        let stock =
            answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Stock).unwrap();
        (front, stock)
    }

    #[test]
    fn the_best_for_the_example_beats_doing_nothing() {
        let (front, stock) = example();
        let s =
            suggest(&Truck::with_axle(front.clone(), End::Front), End::Front, &stock, &[]).unwrap();
        let best = &s.ranked[0];
        let nothing =
            s.ranked.iter().find(|s| s.parts.is_empty()).expect("doing nothing is least work");
        assert!(
            best.total_miss < nothing.total_miss * 0.5,
            "{} {}",
            best.total_miss,
            nothing.total_miss
        );
        assert!(best.attitude.get(Output::LateralShift).unwrap().abs() < 1.0);
        assert!(!best.words(System::Metric).is_empty());
    }

    #[test]
    fn ranking_is_by_score_and_nothing_listed_is_beaten() {
        let (front, stock) = example();
        let s =
            suggest(&Truck::with_axle(front.clone(), End::Front), End::Front, &stock, &[]).unwrap();
        assert!(s.ranked.windows(2).all(|w| w[0].score() <= w[1].score()));
        for (i, a) in s.ranked.iter().enumerate() {
            for b in s.ranked.iter().skip(i + 1) {
                assert!(b.work < a.work || b.total_miss < a.total_miss);
            }
        }
    }

    #[test]
    fn the_best_is_the_best_of_all_when_counted_out_by_hand() {
        // A second method: every combination of fixed parts written out, each evaluated as a
        // planned state through the whole engine.
        let (mut front, stock) = example();
        front.shelf.parts.retain(|p| !matches!(p, Part::PanhardLength { .. }));
        let best = suggest(&Truck::with_axle(front.clone(), End::Front), End::Front, &stock, &[])
            .unwrap()
            .ranked[0]
            .score();
        let mut least = f64::INFINITY;
        let holes = |part: &Part| match part {
            Part::PanhardAxleBracket { holes, .. }
            | Part::PanhardChassisBracket { holes, .. }
            | Part::ArmBracket { holes, .. } => holes.len(),
            Part::CasterBush { choices_deg, .. } => choices_deg.len(),
            _ => 0,
        };
        let counts: Vec<usize> = front.shelf.parts.iter().map(|p| holes(p) + 1).collect();
        let all: usize = counts.iter().product();
        for mut n in 0..all {
            let mut trial = front.clone();
            trial.planned.parts.clear();
            for (part, count) in front.shelf.parts.iter().zip(&counts) {
                let pick = n % count;
                n /= count;
                if pick == 0 {
                    continue;
                }
                let mut part = part.clone();
                match &mut part {
                    Part::PanhardAxleBracket { hole, .. }
                    | Part::PanhardChassisBracket { hole, .. }
                    | Part::ArmBracket { hole, .. } => *hole = pick - 1,
                    Part::CasterBush { angle_deg, choices_deg } => {
                        *angle_deg = Known::exact(choices_deg[pick - 1]);
                    }
                    _ => {}
                }
                trial.planned.parts.push(part);
            }
            let Ok(model) = AxleModel::of(
                &Truck::with_axle(trial.clone(), End::Front),
                End::Front,
                State::Planned,
            ) else {
                continue;
            };
            let Ok(pose) = solve_ride(&model) else { continue };
            let outputs = attitude(&model, &pose, 0.0);
            let mut miss = 0.0;
            for output in Output::ALL {
                let Some(band) = band(output, End::Front, &stock, &[]) else { continue };
                let Some(value) = outputs.get(output) else { continue };
                miss += (band.low - value).max(value - band.high).max(0.0) / band.slack.max(0.1);
                if band.severity(value) == Severity::Stop {
                    miss += 5.0;
                }
            }
            let work = choices::work(&trial.planned.parts);
            least = least.min(miss + WORK_WEIGHT * f64::from(work.points));
        }
        assert!((best - least).abs() < 1e-9, "search {best}, by hand {least}");
    }

    #[test]
    fn an_unsettable_range_is_passed_over() {
        assert_eq!(secant(|x| Some(x - 3.0), [f64::NAN, 1.0]), None);
        assert_eq!(secant(|x| Some(x - 3.0), [-10.0, 10.0]), Some(3.0));
        assert_eq!(secant(|x| Some(x - 30.0), [-10.0, 10.0]), Some(10.0));
    }
}
