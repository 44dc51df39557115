//! One combination on the real pose solve: parts fitted, lengths set for what they serve.

use super::{
    plan::Tried,
    slots::{Choice, Set, Slot, same_slot, with_length},
    target::{Count, Scale, Target},
    work::Work,
};
use crate::{
    axle::{
        Attitude, AxleModel, Freedom, NoAnswer, Output, Pose, Unreachable, attitude, solve_near,
        solve_ride, stance_of,
    },
    truck::Part,
};

/// Which choice fills each slot; 0 for none.
pub(super) type Pick = Vec<u16>;

/// Most lengths set at once; of more, the later stay as they are.
const MOST_SETS: usize = 4;
/// Newton steps allowed to set them.
const MOST_STEPS: usize = 12;
/// A length is set when its last correction is under this, mm.
const SETTLED_MM: f64 = 1e-3;
/// Longest correction in one step, mm.
const STRIDE_MM: f64 = 60.0;
/// Change of a length that slopes are taken over, mm.
const PROBE_MM: f64 = 2.0;

/// What every combination is tried on.
#[derive(Debug, Clone)]
pub(super) struct Bench {
    /// The planned truck with nothing from the shelf.
    model: AxleModel<f64>,
    pub slots: Vec<Slot>,
    /// What the truck wears that no slot can take the place of.
    stays: Vec<Part>,
    pub targets: Vec<Target>,
    /// The targets' scales, side effects against nothing fitted.
    pub scales: Vec<Scale>,
    /// What was learned of lengths set together.
    learned: Vec<Learned>,
    /// The pose solved last: neighbors on the bench stand nearly alike.
    last: Option<Pose<f64>>,
}

/// Slots, and the change of length that was set in each, mm.
pub(super) type Lengths = Vec<(usize, f64)>;

type Slopes = [[f64; MOST_SETS]; MOST_SETS];

/// Lengths set together, by slot and choice: where they went the last time, and the slopes of what
/// they serve by each of them.
#[derive(Debug, Clone)]
struct Learned {
    of: Vec<[usize; 2]>,
    lengths: Lengths,
    slopes: Slopes,
}

/// How lengths are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Setting {
    /// As exactly as can be and whatever the thread allows: what is interpolated must be smooth.
    Ideal,
    /// To 0.1 mm, as a thread can be set, but whatever its range.
    Tenth,
    /// To 0.1 mm and within its range; without an answer beyond it.
    Thread,
}

/// A combination as it stands.
#[derive(Debug, Clone)]
pub(super) struct Stood {
    pub attitude: Attitude<f64>,
    /// The lengths that were set.
    pub lengths: Lengths,
}

impl Bench {
    /// A bench for a bare planned model; `stays` is worn and never comes off.
    pub fn new(
        model: AxleModel<f64>,
        slots: Vec<Slot>,
        stays: Vec<Part>,
        targets: Vec<Target>,
    ) -> Self {
        let scales = targets.iter().map(|target| Scale::of(target, None)).collect();
        Self { model, slots, stays, targets, scales, learned: Vec::new(), last: None }
    }

    /// Keeps the targets that can be read off `before`, the truck with nothing fitted, and measures
    /// side effects from there.
    pub fn compare_with(&mut self, before: &Attitude<f64>) {
        self.targets.retain(|target| before.get(target.output).is_some());
        let scale = |target: &Target| Scale::of(target, before.get(target.output));
        self.scales = self.targets.iter().map(scale).collect();
    }

    /// The choice a pick makes in a slot.
    fn choice(&self, pick: &[u16], slot: usize) -> Option<&Choice> {
        let index = usize::from(*pick.get(slot)?).checked_sub(1)?;
        self.slots.get(slot)?.choices.get(index)
    }

    /// What a pick fits besides what is worn, with lengths as they were set.
    pub fn parts(&self, pick: &[u16], lengths: &[(usize, f64)]) -> Vec<Part> {
        (0..self.slots.len()).filter_map(|slot| self.part_of(pick, slot, lengths)).collect()
    }

    /// What a pick fits in one slot.
    pub fn part_of(&self, pick: &[u16], slot: usize, lengths: &[(usize, f64)]) -> Option<Part> {
        let choice = self.choice(pick, slot)?;
        let set = lengths.iter().find(|(at, _)| *at == slot);
        Some(set.map_or_else(|| choice.part.clone(), |(_, l)| with_length(&choice.part, *l)))
    }

    /// Everything on the truck with a pick fitted: what is worn and stays, and what is chosen.
    pub fn fitted_parts(&self, pick: &[u16], lengths: &[(usize, f64)]) -> Vec<Part> {
        let slot = |slot| {
            let chosen = self.part_of(pick, slot, lengths);
            chosen.map_or_else(|| self.slots[slot].worn.clone(), |part| vec![part])
        };
        self.stays.iter().cloned().chain((0..self.slots.len()).flat_map(slot)).collect()
    }

    /// A slot more, for a kind of part that the shelf does not have.
    pub fn open_slot(&mut self, kind: &Part) {
        let (worn, stays) =
            std::mem::take(&mut self.stays).into_iter().partition(|worn| same_slot(worn, kind));
        self.stays = stays;
        self.slots.push(Slot { worn, choices: Vec::new() });
    }

    /// Solves a combination as it would be built.
    ///
    /// # Errors
    /// Why it does not stand.
    pub fn try_on(&mut self, pick: &[u16]) -> Result<Tried, NoAnswer> {
        if let Some(stood) = self.stand(pick, Setting::Thread) {
            return Ok(Tried::of(self, pick, stood));
        }
        // Without its lengths set, the axle itself says why.
        let parts = self.fitted_parts(pick, &[]);
        solve_ride(&self.model.with_parts(&parts)?)?;
        Err(NoAnswer::Unreachable(Unreachable::OutOfReach {
            fraction: 1.0,
            freedom: Freedom::NONE,
        }))
    }

    /// The work a pick takes, and how many parts it is.
    pub fn work(&self, pick: &[u16]) -> (Work, usize) {
        (0..self.slots.len())
            .filter_map(|slot| self.choice(pick, slot))
            .fold((Work::NONE, 0), |(work, n), choice| (work.and(Work::of(&choice.part)), n + 1))
    }

    /// A combination's outputs; `None` where it does not stand, a length cannot be set, or a target
    /// has no value.
    pub fn stand(&mut self, pick: &[u16], setting: Setting) -> Option<Stood> {
        let (mut model, mut pose, mut lengths) = self.set(pick)?;
        for (slot, length) in &mut lengths {
            *length = setting.of(*length, self.choice(pick, *slot)?.set?.range)?;
        }
        if setting == Setting::Thread {
            // A plan stands where the whole way from stock leads.
            model = self.fitted(pick, &lengths)?;
            pose = solve_ride(&model).ok()?;
        } else if setting == Setting::Tenth && !lengths.is_empty() {
            (model, pose) = self.posed(pick, &lengths)?;
        }
        // The drag link comes last: what the others do to the axle it has to follow.
        for slot in 0..self.slots.len() {
            let Some(set) = self.choice(pick, slot).and_then(|choice| choice.set) else { continue };
            if !is_direct(&set) {
                continue;
            }
            let turning = model.turning.as_ref()?;
            let change = model.straight_drag_length(&pose)? - turning.design_length;
            lengths.push((slot, setting.of(change, set.range)?));
            model = self.fitted(pick, &lengths)?;
        }
        self.last = Some(pose);
        let attitude = attitude(&model, &pose, 0.0);
        let whole = self.targets.iter().all(|target| attitude.get(target.output).is_some());
        whole.then_some(Stood { attitude, lengths })
    }

    /// What an outcome counts over all targets.
    pub fn count(&self, attitude: &Attitude<f64>) -> Count {
        let each = self.targets.iter().zip(&self.scales).filter_map(|(target, scale)| {
            let value = attitude.get(target.output)?;
            Some(scale.least(value, value))
        });
        each.fold(Count::default(), |sum, one| Count {
            miss: sum.miss + one.miss,
            side: sum.side + one.side,
        })
    }

    /// The lengths that move the axle set for what they serve.
    fn set(&mut self, pick: &[u16]) -> Option<(AxleModel<f64>, Pose<f64>, Lengths)> {
        let sets: Vec<(usize, Set)> = (0..self.slots.len())
            .filter_map(|slot| Some((slot, self.choice(pick, slot)?.set?)))
            .filter(|(_, set)| !is_direct(set))
            .take(MOST_SETS)
            .collect();
        let of: Vec<[usize; 2]> =
            sets.iter().map(|(slot, _)| [*slot, usize::from(pick[*slot])]).collect();
        let known = self.learned.iter().position(|learned| learned.of == of);
        let mut lengths: Lengths = match known {
            Some(known) => self.learned[known].lengths.clone(),
            None => sets.iter().map(|(slot, _)| (*slot, 0.0)).collect(),
        };
        let (mut model, mut pose) = self.posed(pick, &lengths)?;
        if sets.is_empty() {
            return Some((model, pose, lengths));
        }
        let off = |model: &AxleModel<f64>, pose: &Pose<f64>| {
            let stance = stance_of(model, pose);
            let mut off = [0.0; MOST_SETS];
            for (off, (_, set)) in off.iter_mut().zip(&sets) {
                *off = stance.get(set.output)? - set.want;
            }
            Some(off)
        };
        let mut missed = off(&model, &pose)?;
        let mut slopes = if let Some(known) = known {
            self.learned[known].slopes
        } else {
            let mut slopes = [[0.0; MOST_SETS]; MOST_SETS];
            for by in 0..sets.len() {
                let mut probe = lengths.clone();
                probe[by].1 += PROBE_MM;
                let (model, pose) = self.posed(pick, &probe)?;
                for ((row, now), then) in slopes.iter_mut().zip(off(&model, &pose)?).zip(missed) {
                    row[by] = (now - then) / PROBE_MM;
                }
            }
            slopes
        };
        for _ in 0..MOST_STEPS {
            let step = solved(&slopes, &missed, sets.len())?;
            let size = step.iter().fold(0.0_f64, |most, by| most.max(by.abs()));
            if !size.is_finite() {
                return None;
            }
            if size < SETTLED_MM {
                let learned = Learned { of, lengths: lengths.clone(), slopes };
                match known {
                    Some(known) => self.learned[known] = learned,
                    None => self.learned.push(learned),
                }
                return Some((model, pose, lengths));
            }
            let share = (STRIDE_MM / size).min(1.0);
            for ((_, length), by) in lengths.iter_mut().zip(step) {
                *length -= by * share;
            }
            (model, pose) = self.posed(pick, &lengths)?;
            let now = off(&model, &pose)?;
            // Broyden: the slopes that this step has shown.
            let square: f64 = step.iter().map(|by| (by * share).powi(2)).sum();
            for ((row, now), then) in slopes.iter_mut().zip(now).zip(missed) {
                let foreseen: f64 =
                    row.iter().zip(step).map(|(slope, by)| -slope * by * share).sum();
                let wrong = (now - then - foreseen) / square;
                for (slope, by) in row.iter_mut().zip(step) {
                    *slope -= wrong * by * share;
                }
            }
            missed = now;
        }
        None
    }

    /// The model with a pick's parts fitted, lengths as given.
    fn fitted(&self, pick: &[u16], lengths: &[(usize, f64)]) -> Option<AxleModel<f64>> {
        let set: Vec<(usize, Part)> = lengths
            .iter()
            .filter_map(|(slot, l)| Some((*slot, with_length(&self.choice(pick, *slot)?.part, *l))))
            .collect();
        let in_slots = self.slots.iter().enumerate().flat_map(|(at, slot)| {
            let chosen = self.choice(pick, at).map(|choice| {
                set.iter().find(|(of, _)| *of == at).map_or(&choice.part, |(_, part)| part)
            });
            let worn = if chosen.is_some() { &[][..] } else { &slot.worn[..] };
            chosen.into_iter().chain(worn)
        });
        self.model.with_parts(self.stays.iter().chain(in_slots)).ok()
    }

    /// The same at its ride height.
    fn posed(
        &mut self,
        pick: &[u16],
        lengths: &[(usize, f64)],
    ) -> Option<(AxleModel<f64>, Pose<f64>)> {
        let model = self.fitted(pick, lengths)?;
        let pose = match &self.last {
            Some(last) => solve_near(&model, model.ride, last),
            None => solve_ride(&model),
        }
        .ok()?;
        self.last = Some(pose);
        Some((model, pose))
    }
}

/// Whether a length follows from the pose directly, without moving it.
fn is_direct(set: &Set) -> bool {
    set.output == Output::SteeringWheel
}

impl Setting {
    /// A change of length as it can be set.
    fn of(self, change: f64, range: [f64; 2]) -> Option<f64> {
        let tenth = (change * 10.0).round() / 10.0;
        match self {
            Self::Ideal => Some(change),
            Self::Tenth => Some(tenth),
            Self::Thread => {
                let inside = range[0] - ROUNDING <= change && change <= range[1] + ROUNDING;
                inside.then(|| tenth.max(range[0]).min(range[1]))
            }
        }
    }
}

/// An end of a thread is reached when it is missed by rounding alone, mm.
pub(super) const ROUNDING: f64 = 0.05;

/// What `slopes` times what gives `missed`, by elimination with the largest pivot; `None` where the
/// lengths do not tell what they serve apart.
fn solved(slopes: &Slopes, missed: &[f64; MOST_SETS], count: usize) -> Option<[f64; MOST_SETS]> {
    let (mut a, mut b) = (*slopes, *missed);
    for column in 0..count {
        let pivot =
            (column..count).max_by(|i, j| a[*i][column].abs().total_cmp(&a[*j][column].abs()))?;
        a.swap(column, pivot);
        b.swap(column, pivot);
        let head = a[column];
        // Per mm of length: less than this serves nothing.
        if head[column].abs() < 1e-6 {
            return None;
        }
        for row in column + 1..count {
            let share = a[row][column] / head[column];
            for (entry, of) in a[row].iter_mut().zip(head).skip(column) {
                *entry -= share * of;
            }
            b[row] -= share * b[column];
        }
    }
    let mut x = [0.0; MOST_SETS];
    for row in (0..count).rev() {
        let rest: f64 = (row + 1..count).map(|column| a[row][column] * x[column]).sum();
        x[row] = (b[row] - rest) / a[row][row];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thread_is_set_to_a_tenth_within_its_range() {
        let on = |change| Setting::Thread.of(change, [-10.0, 10.0]);
        assert_eq!((on(3.04), on(3.06)), (Some(3.0), Some(3.1)));
        assert_eq!((on(10.04), on(10.06), on(f64::NAN)), (Some(10.0), None, None));
    }

    #[test]
    fn elimination_takes_the_largest_pivot() {
        let mut a = [[0.0; MOST_SETS]; MOST_SETS];
        (a[0][1], a[1][0], a[1][1]) = (2.0, 4.0, 6.0);
        // 2y = 4, 4x + 6y = 8.
        assert_eq!(solved(&a, &[4.0, 8.0, 0.0, 0.0], 2), Some([-1.0, 2.0, 0.0, 0.0]));
        assert_eq!(solved(&[[0.0; MOST_SETS]; MOST_SETS], &[1.0; MOST_SETS], 1), None);
    }
}
