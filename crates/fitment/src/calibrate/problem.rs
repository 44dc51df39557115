//! The truck's side of the fit: inputs by their paths, every state that was measured, and what each
//! reading says of them.

use super::{
    kind::{Kind, Member},
    log::{Log, Standing, Taken, Trust},
    solver::{Gauss, Predict},
    stand::{AROUND, Stand, around, straight},
};
use crate::{
    axle::{AxleModel, Followed, NoAnswer, Pose, Posed, Real, Turn, Turned, solve_ride},
    measure::{Joint, Known, Origin},
    truck::{Axle, End, Layout, Point, Side, State, Truck},
};
use nalgebra::DMatrix;
use num_dual::Dual64;
use std::sync::Arc;

/// Which reading of the log: its set and its place there; the truck's own readings have no set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Index of the set; `None` for a reading kept with the axle itself.
    pub set: Option<usize>,
    /// Index within the set, or among the axle's own.
    pub index: usize,
}

/// One reading as the fit takes it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Datum {
    pub place: Place,
    pub kind: Kind,
    pub value: f64,
    pub sigma: f64,
    pub confirmed: bool,
    /// Which of the problem's standings it was taken in.
    standing: usize,
}

/// Values of an axle's inputs, and the model and pose that come of them.
type Found = (Arc<[f64]>, Box<AxleModel<f64>>, Pose<f64>);

/// How the truck stood while some readings were taken.
struct Stood {
    /// Which of the problem's states.
    state: usize,
    around: [Known; AROUND.len()],
    /// Index of its first number among the inputs.
    first: usize,
}

/// An input of the fit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Input {
    pub path: String,
    pub value: f64,
    pub sigma: f64,
    pub origin: Origin,
}

/// Everything the fit is about.
pub(super) struct Problem<'a> {
    pub inputs: Vec<Input>,
    pub data: Vec<Datum>,
    /// Readings that count now, by their index among the data.
    pub active: Vec<usize>,
    /// Readings of things this axle has not got.
    pub strange: Vec<Place>,
    posed: Vec<Posed<'a>>,
    /// For each state, which input of the fit each of the axle's own inputs is.
    of_fit: Vec<Vec<Option<usize>>>,
    stood: Vec<Stood>,
    /// Where the last prediction found each state to stand.
    found: Vec<Found>,
}

/// The axle's own readings as data, and the truck without them: the hardpoints they had pinned down
/// are as uncertain again as such a hardpoint is, so that nothing counts twice.
pub(super) fn unpinned(truck: &Truck, end: End) -> (Truck, Vec<(Kind, Known)>) {
    let mut truck = truck.clone();
    let mut data = Vec::new();
    let Some(axle) = truck.axle_mut(end) else { return (truck, data) };
    let readings = std::mem::take(&mut axle.readings);
    let mut take = |kind, known: Option<Known>| {
        let there = known.is_some();
        data.extend(known.map(|known| (kind, known)));
        there
    };
    let bar_length = take(Kind::Length(Member::Panhard), readings.panhard_length_mm);
    let bar_rise = take(Kind::Rise(Member::Panhard), readings.panhard_rise_mm);
    let arm_length = take(Kind::Length(Member::ArmLeft), readings.arm_length_mm);
    let arm_rise = take(Kind::Rise(Member::ArmLeft), readings.arm_rise_mm);
    if let Some(bar) = &mut axle.panhard {
        loosen(&mut bar.chassis.y_mm, bar_length, ACROSS_MM);
        loosen(&mut bar.chassis.z_mm, bar_rise, HEIGHT_MM);
    }
    for end in chassis_ends(&mut axle.layout) {
        loosen(&mut end.x_mm, arm_length, ACROSS_MM);
        loosen(&mut end.z_mm, arm_rise, HEIGHT_MM);
    }
    (truck, data)
}

/// How far hardpoints that nobody read lie apart between trucks, as a new axle assumes it, mm.
const ACROSS_MM: f64 = 40.0;
const HEIGHT_MM: f64 = 25.0;

fn loosen(known: &mut Known, pinned: bool, sigma: f64) {
    if pinned {
        known.sigma = sigma;
    }
}

fn chassis_ends(layout: &mut Layout) -> Vec<&mut Point> {
    match layout {
        Layout::RadiusArms { left, right, .. } => {
            std::iter::once(left).chain(right).map(|arm| &mut arm.chassis).collect()
        }
        Layout::ThreeLink { lower_left, lower_right, .. }
        | Layout::FourLink { lower_left, lower_right, .. } => {
            std::iter::once(lower_left).chain(lower_right).map(|bar| &mut bar.chassis).collect()
        }
        Layout::LeafSprings { .. } => Vec::new(),
    }
}

impl<'a> Problem<'a> {
    /// The fit of one axle of a truck that keeps no readings of its own any more.
    ///
    /// # Errors
    /// When the truck as assumed does not stand in a state that was measured.
    pub fn of(
        truck: &'a Truck,
        end: End,
        own: &[(Kind, Known)],
        log: &Log,
    ) -> Result<Self, NoAnswer> {
        let axle = truck.axle(end).ok_or(crate::axle::ModelError::NoAxle { end })?;
        let mut problem = Self {
            inputs: Vec::new(),
            data: Vec::new(),
            active: Vec::new(),
            strange: Vec::new(),
            posed: Vec::new(),
            of_fit: Vec::new(),
            stood: Vec::new(),
            found: Vec::new(),
        };
        // The truck as it sits comes first: the axle's own readings, and what may be read next.
        let now = problem.state(truck, end, State::Sitting)?;
        let mut standings = vec![(None, now, Standing::default())];
        for (s, set) in log.sets.iter().enumerate() {
            if set.readings.iter().any(|taken| taken.end == end) {
                let state = problem.state(truck, end, set.state)?;
                standings.push((Some(s), state, set.standing.clone()));
            }
        }
        for (set, state, standing) in &standings {
            problem.stand(truck, end, axle, *set, *state, standing);
        }
        for (index, (kind, known)) in own.iter().enumerate() {
            let place = Place { set: None, index };
            problem.take(place, 0, *kind, (known.value, known.sigma), false);
        }
        for (standing, (set, ..)) in standings.iter().enumerate().skip(1) {
            let readings = set.and_then(|s| log.sets.get(s)).map_or(&[][..], |s| &s.readings);
            for (index, taken) in readings.iter().enumerate() {
                if taken.end == end && taken.trust != Trust::LeftOut {
                    let place = Place { set: *set, index };
                    problem.take_taken(place, standing, taken);
                }
            }
        }
        problem.active = (0..problem.data.len()).collect();
        Ok(problem)
    }

    /// The same with every input at its best value.
    ///
    /// # Errors
    /// When the fitted truck does not stand.
    pub fn fitted(
        truck: &'a Truck,
        end: End,
        own: &[(Kind, Known)],
        log: &Log,
        joint: &Joint,
    ) -> Result<Self, NoAnswer> {
        let mut problem = Self::of(truck, end, own, log)?;
        problem.predict(joint.values())?;
        problem.settle()?;
        Ok(problem)
    }

    /// True when another problem asks the same of the same axle, standing the same way.
    pub fn is_of(&self, other: &Self) -> bool {
        let stands = |(a, b): (&Posed<'_>, &Posed<'_>)| {
            a.state() == b.state() && a.inputs == b.inputs && a.model == b.model
        };
        self.inputs == other.inputs
            && self.data == other.data
            && self.strange == other.strange
            && self.posed.len() == other.posed.len()
            && self.posed.iter().zip(&other.posed).all(stands)
    }

    fn take_taken(&mut self, place: Place, standing: usize, taken: &Taken) {
        if let Some(gauss) = taken.mean() {
            self.take(place, standing, taken.what, gauss, taken.trust == Trust::Confirmed);
        }
    }

    fn take(
        &mut self,
        place: Place,
        standing: usize,
        kind: Kind,
        (value, sigma): Gauss,
        confirmed: bool,
    ) {
        let readable = self
            .plain(standing, None)
            .is_some_and(|stand| stand.with(|stand| stand.read(kind)).is_some());
        if readable && sigma > 0.0 {
            self.data.push(Datum { place, kind, value, sigma, confirmed, standing });
        } else {
            self.strange.push(place);
        }
    }

    /// The index of a state, solved when it is new.
    fn state(&mut self, truck: &'a Truck, end: End, state: State) -> Result<usize, NoAnswer> {
        if let Some(known) = self.posed.iter().position(|posed| posed.state() == state) {
            return Ok(known);
        }
        let posed = Posed::of(truck, (end, state), [None; 2], None)?;
        let mut places = Vec::with_capacity(posed.inputs.len());
        for input in &posed.inputs {
            // A part's numbers are chosen, not measured; two parts may share a path.
            if input.sigma <= 0.0 || input.path.contains(".parts.") {
                places.push(None);
                continue;
            }
            let known = self.inputs.iter().position(|known| known.path == input.path);
            places.push(Some(known.unwrap_or_else(|| {
                self.inputs.push(Input {
                    path: input.path.clone(),
                    value: input.value,
                    sigma: input.sigma,
                    origin: input.origin.clone(),
                });
                self.inputs.len() - 1
            })));
        }
        let values = posed.inputs.iter().map(|input| input.value).collect();
        self.found.push((values, posed.model.clone(), posed.pose));
        self.posed.push(posed);
        self.of_fit.push(places);
        Ok(self.posed.len() - 1)
    }

    fn stand(
        &mut self,
        truck: &Truck,
        end: End,
        axle: &Axle,
        set: Option<usize>,
        state: usize,
        standing: &Standing,
    ) {
        let other = other_axle(truck, end, self.posed[state].state());
        let around = around(standing, axle, other);
        let first = self.inputs.len();
        let scope = set.map_or_else(|| "now".to_owned(), |s| format!("sets[{s}]"));
        for (name, known) in AROUND.iter().zip(&around) {
            self.inputs.push(Input {
                path: format!("{scope}.{name}"),
                value: known.value,
                // Exactly known it stays where it is.
                sigma: if known.sigma > 0.0 { known.sigma } else { 1e-9 },
                origin: known.origin.clone(),
            });
        }
        self.stood.push(Stood { state, around, first });
    }

    /// The axle as it stands in a standing, at the last prediction; `None` for numbers to take what is
    /// around from the standing itself.
    fn plain(&self, standing: usize, inputs: Option<&[f64]>) -> Option<Standing64<'_>> {
        let stood = self.stood.get(standing)?;
        let (_, model, pose) = self.found.get(stood.state)?;
        let around = std::array::from_fn(|i| {
            inputs
                .and_then(|all| all.get(stood.first + i))
                .copied()
                .unwrap_or(stood.around[i].value)
        });
        Some(Standing64 { model, pose, around, turned: straight(turned(model, pose)) })
    }

    /// Priors of all inputs.
    pub fn priors(&self) -> Vec<Gauss> {
        self.inputs.iter().map(|input| (input.value, input.sigma)).collect()
    }

    /// The readings that count.
    pub fn active_data(&self) -> Vec<Gauss> {
        self.active.iter().map(|i| (self.data[*i].value, self.data[*i].sigma)).collect()
    }

    /// What is known of all inputs before anything is read.
    pub fn joint(&self) -> Joint {
        Joint::independent(self.inputs.iter().map(|i| (i.path.clone(), i.value, i.sigma)))
    }

    /// What some data read at the last prediction.
    pub fn reads(&self, inputs: &[f64], which: &[usize]) -> Vec<f64> {
        let kinds: Vec<_> =
            which.iter().map(|i| (self.data[*i].standing, self.data[*i].kind)).collect();
        self.read_kinds(inputs, &kinds)
    }

    fn read_kinds(&self, inputs: &[f64], kinds: &[(usize, Kind)]) -> Vec<f64> {
        let mut out = vec![f64::NAN; kinds.len()];
        for standing in 0..self.stood.len() {
            let Some(plain) = self.plain(standing, Some(inputs)) else { continue };
            plain.with(|stand| {
                for (out, (_, kind)) in
                    out.iter_mut().zip(kinds).filter(|(_, (at, _))| *at == standing)
                {
                    *out = stand.read(*kind).unwrap_or(f64::NAN);
                }
            });
        }
        out
    }

    /// What could be read of the truck as it sits, and the slopes of each by each input.
    pub fn offers(
        &self,
        inputs: &[f64],
        kinds: &[Kind],
    ) -> Result<(Vec<f64>, DMatrix<f64>), NoAnswer> {
        let kinds = self.now(kinds);
        Ok((self.read_kinds(inputs, &kinds), self.slopes_of(inputs, &kinds)?))
    }

    /// What the truck as it sits reads at the last prediction; not a number for what it has not got.
    pub fn read_now(&self, inputs: &[f64], kinds: &[Kind]) -> Vec<f64> {
        self.read_kinds(inputs, &self.now(kinds))
    }

    /// Where a measurement is taken on the truck as it sits, at the last prediction.
    pub fn held(&self, kind: Kind) -> Option<[[f64; 3]; 2]> {
        let (standing, _) = *self.now(&[kind]).first()?;
        let ends = self.plain(standing, None)?.with(|stand| stand.held(kind))?;
        Some(ends.map(Into::into))
    }

    /// As it sits, on the floor it was last measured on; on an unknown one before that.
    fn now(&self, kinds: &[Kind]) -> Vec<(usize, Kind)> {
        let now = |stood: &Stood| self.posed[stood.state].state() == State::Sitting;
        let standing = self.stood.iter().rposition(now).unwrap_or(0);
        kinds.iter().map(|kind| (standing, *kind)).collect()
    }

    /// Slopes of some data.
    pub fn slopes_at(&self, inputs: &[f64], which: &[usize]) -> Result<DMatrix<f64>, NoAnswer> {
        let kinds: Vec<_> =
            which.iter().map(|i| (self.data[*i].standing, self.data[*i].kind)).collect();
        self.slopes_of(inputs, &kinds)
    }

    /// Goes where the last prediction was.
    fn settle(&mut self) -> Result<(), NoAnswer> {
        for (posed, (values, model, pose)) in self.posed.iter_mut().zip(&self.found) {
            posed.move_to(values.clone(), (model.clone(), *pose))?;
        }
        Ok(())
    }

    fn slopes_of(&self, inputs: &[f64], kinds: &[(usize, Kind)]) -> Result<DMatrix<f64>, NoAnswer> {
        let mut slopes = DMatrix::zeros(kinds.len(), self.inputs.len());
        for (at, posed) in self.posed.iter().enumerate() {
            let straight_ahead = turned(&posed.model, &posed.pose);
            let here: Vec<usize> = (0..self.stood.len())
                .filter(|s| self.stood[*s].state == at && kinds.iter().any(|(of, _)| of == s))
                .collect();
            if here.is_empty() {
                continue;
            }
            let mut follow = |index: usize, column: Option<usize>| -> Result<(), NoAnswer> {
                let Followed { model, pose, .. } = posed.following(index)?;
                let turned = straight(straight_ahead.as_ref().and_then(|plain| {
                    model.gear(&pose).and_then(|gear| gear.carry(plain, &Turn::Straight))
                }));
                for standing in &here {
                    let first = self.stood[*standing].first;
                    let value = |i: usize| inputs.get(first + i).copied().unwrap_or(0.0);
                    let columns: Vec<Option<usize>> = match column {
                        // An input of the axle: what is around stays.
                        Some(_) => vec![None],
                        None => (0..AROUND.len()).map(Some).collect(),
                    };
                    for own in columns {
                        let around: [Dual64; AROUND.len()] =
                            std::array::from_fn(|i| Dual64::input(value(i), Some(i) == own));
                        let stand = Stand::of(&model, &pose, turned, around);
                        let column = own.map_or_else(|| column.unwrap_or(0), |i| first + i);
                        for (row, (of, kind)) in kinds.iter().enumerate() {
                            if of == standing {
                                let slope = stand.read(*kind).map_or(0.0, Real::slope);
                                slopes[(row, column)] = slope;
                            }
                        }
                    }
                }
                Ok(())
            };
            for (index, place) in self.of_fit[at].iter().enumerate() {
                if place.is_some() {
                    follow(index, *place)?;
                }
            }
            follow(usize::MAX, None)?;
        }
        Ok(slopes)
    }
}

impl Predict for Problem<'_> {
    type Why = NoAnswer;

    fn predict(&mut self, inputs: &[f64]) -> Result<Vec<f64>, NoAnswer> {
        for ((posed, places), found) in self.posed.iter().zip(&self.of_fit).zip(&mut self.found) {
            let values: Arc<[f64]> = posed
                .inputs
                .iter()
                .zip(places)
                .map(|(input, place)| {
                    place.and_then(|at| inputs.get(at)).copied().unwrap_or(input.value)
                })
                .collect();
            let (model, pose) = posed.at(&values)?;
            *found = (values, model, pose);
        }
        Ok(self.reads(inputs, &self.active))
    }

    fn slopes(&mut self, inputs: &[f64]) -> Result<DMatrix<f64>, NoAnswer> {
        self.settle()?;
        self.slopes_at(inputs, &self.active)
    }
}

/// A plain standing, ready to be read.
struct Standing64<'p> {
    model: &'p AxleModel<f64>,
    pose: &'p Pose<f64>,
    around: [f64; AROUND.len()],
    turned: Turned<f64>,
}

impl Standing64<'_> {
    fn with<R>(&self, read: impl FnOnce(&Stand<'_, f64>) -> R) -> R {
        read(&Stand::of(self.model, self.pose, self.turned, self.around))
    }
}

/// The knuckles with the wheels straight ahead; `None` where no linkage says.
fn turned(model: &AxleModel<f64>, pose: &Pose<f64>) -> Option<Turned<f64>> {
    model.gear(pose).and_then(|gear| gear.solve(Turn::Straight))
}

/// How far the other axle's wheels stand lengthways from stock, for the wheelbase of each side: as its
/// own numbers have it, to 5 mm (our assumption, no source).
fn other_axle(truck: &Truck, end: End, state: State) -> [Known; 2] {
    let other = end.other();
    let shift = || {
        let model = AxleModel::of(truck, other, state).ok()?;
        let pose = solve_ride(&model).ok()?;
        let longer = if other == End::Front { 1.0 } else { -1.0 };
        Some(Side::BOTH.map(|side| pose.axle.point(&model.stock_wheel(side)).x * longer))
    };
    shift().unwrap_or_default().map(|value| Known::assumed(value, 5.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::LayoutKind;

    /// Every kind's exact slope on every layout against central differences through the whole pose.
    #[test]
    fn slopes_are_what_the_readings_do() {
        let mut compared = 0;
        for kind in LayoutKind::ALL {
            for end in [End::Front, End::Rear] {
                let mut axle = Axle::typical(kind, end);
                axle.sitting.lift_mm = Known::measured(70.0, crate::measure::Instrument::Tape);
                axle.sitting.lift_right_mm = Some(Known::assumed(58.0, 3.0));
                let truck = Truck::with_axle(axle, end);
                let mut problem = Problem::of(&truck, end, &[], &Log::default()).unwrap();
                let mut start: Vec<f64> = problem.priors().iter().map(|(v, _)| *v).collect();
                // Nothing stands straight.
                let n = AROUND.len();
                for (at, value) in start.iter_mut().rev().take(n).enumerate() {
                    *value += 0.3 + 0.1 * at as f64;
                }
                problem.predict(&start).unwrap();
                problem.slopes(&start).unwrap();
                let kinds = Kind::walk();
                let (read, slopes) = problem.offers(&start, &kinds).unwrap();
                for column in 0..start.len() {
                    let step = problem.inputs[column].sigma * 1e-3;
                    let mut moved = |by: f64| {
                        let mut inputs = start.clone();
                        inputs[column] += by;
                        problem.predict(&inputs).unwrap();
                        problem.offers(&inputs, &kinds).unwrap().0
                    };
                    let (plus, minus) = (moved(step), moved(-step));
                    for (row, kind_read) in kinds.iter().enumerate() {
                        if read[row].is_nan() {
                            continue;
                        }
                        let want = (plus[row] - minus[row]) / (2.0 * step);
                        let got = slopes[(row, column)];
                        let path = &problem.inputs[column].path;
                        assert!(
                            (got - want).abs() < 1e-5 * want.abs() + 2e-6 / step,
                            "{kind:?} {end:?} {kind_read:?} by {path}: {got}, want {want}"
                        );
                        compared += usize::from(want != 0.0);
                    }
                }
            }
        }
        assert!(compared > 5000, "{compared}");
    }
}
