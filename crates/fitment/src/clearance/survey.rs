//! All poses of an axle over its travel, read off some that are solved.
//!
//! On rubber arms a pose takes ten times as long to solve as to read off, and it changes as smoothly with
//! both wheels' travels as a polynomial. So it is solved at Chebyshev's points of either travel, and between
//! them the polynomial through them all is taken, by the barycentric formula (Trefethen, Approximation
//! Theory and Approximation Practice, ch. 2 to 5, value from memory). How far that is off is measured where
//! it is farthest off, half-way between the points; where it is more than what any distance is certain
//! to, poses are solved one by one as before. A leaf's shackle turns too sharply for this.

use crate::axle::{AxleModel, Members, Pose, Step, Travel, solve, solve_near};
use std::f64::consts::PI;

/// Chebyshev's points along either travel are this many and one.
const DEGREE: usize = 8;
/// The most that poses may be off, mm; a rotation counts by a lever of one metre.
const MOST_OFF_MM: f64 = 1e-4;
/// Arms, and the numbers of a pose on them: six for the axle and for each arm, and the forces that hold it.
const ARMS: usize = 2;
const WIDTH: usize = 24;

/// The poses of an axle.
#[derive(Debug, Clone)]
pub(super) struct Survey {
    /// Travels of the points, mm: from full droop to full bump.
    points: [f64; DEGREE + 1],
    /// Half-way along both.
    middle: Pose<f64>,
    /// From there to the poses at the points: by left travel, and within it by right.
    steps: Vec<[f64; WIDTH]>,
    /// How far they are off between them, mm.
    off_mm: f64,
}

impl Survey {
    /// Of an axle over some travel; `None` where it cannot be read off, or solving is as quick.
    pub fn of(model: &AxleModel<f64>, travel: [f64; 2]) -> Option<Self> {
        if !matches!(model.fitted.members, Members::Arms(_)) || travel[0] >= travel[1] {
            return None;
        }
        let middle = solve(model, [f64::midpoint(travel[0], travel[1]); 2]).ok()?;
        let points = std::array::from_fn(|point| along(travel, point as f64));
        let mut survey = Self { points, middle, steps: Vec::new(), off_mm: 0.0 };
        // Back and forth, so that each is near the one before.
        let mut near = middle;
        for left in 0..=DEGREE {
            let mut row = [[0.0; WIDTH]; DEGREE + 1];
            for right in 0..=DEGREE {
                let right = if left.is_multiple_of(2) { right } else { DEGREE - right };
                near = solve_near(model, [points[left], points[right]], &near).ok()?;
                let mut step = near.since(&middle, ARMS);
                row[right].iter_mut().zip(numbers(&mut step)).for_each(|(to, from)| *to = *from);
            }
            survey.steps.extend(row);
        }
        // Half-way between the points, with both wheels alike and against each other.
        for point in 0..DEGREE {
            let here = along(travel, point as f64 + 0.5);
            for other in [here, travel[0] + travel[1] - here] {
                let read = survey.read([here, other]);
                let solved = solve_near(model, [here, other], &read).ok()?;
                // Twice, for the places that are not looked at.
                survey.off_mm = survey.off_mm.max(2.0 * read.since(&solved, ARMS).size(ARMS));
            }
        }
        (survey.off_mm <= MOST_OFF_MM).then_some(survey)
    }

    /// How far poses may be off, mm.
    pub const fn off_mm(&self) -> f64 {
        self.off_mm
    }

    /// The pose at travels within those it was made for.
    pub fn pose(&self, travel: Travel) -> Option<Pose<f64>> {
        let held = |travel: &f64| (self.points[0]..=self.points[DEGREE]).contains(travel);
        travel.iter().all(held).then(|| self.read(travel))
    }

    fn read(&self, travel: Travel) -> Pose<f64> {
        let [left, right] = travel.map(|travel| self.weights(travel));
        let mut sum = [0.0; WIDTH];
        for (row, by_left) in self.steps.chunks_exact(DEGREE + 1).zip(left) {
            for (step, by_right) in row.iter().zip(right) {
                let share = by_left * by_right;
                for (sum, number) in sum.iter_mut().zip(step) {
                    *sum += share * number;
                }
            }
        }
        let mut step = Step::none();
        numbers(&mut step).zip(sum).for_each(|(slot, number)| *slot = number);
        let mut pose = self.middle;
        pose.advance(&step, ARMS, 1.0);
        pose
    }

    /// How much each of the points counts at a travel.
    fn weights(&self, travel: f64) -> [f64; DEGREE + 1] {
        let mut weights = [0.0; DEGREE + 1];
        let mut sum = 0.0;
        for (point, at) in self.points.iter().enumerate() {
            let away = travel - at;
            if away.abs() <= 0.0 {
                weights = [0.0; DEGREE + 1];
                weights[point] = 1.0;
                return weights;
            }
            let end = if point == 0 || point == DEGREE { 0.5 } else { 1.0 };
            let sign = if point.is_multiple_of(2) { 1.0 } else { -1.0 };
            weights[point] = sign * end / away;
            sum += weights[point];
        }
        weights.map(|weight| weight / sum)
    }
}

/// The travel so many points along from full droop, with fractions, mm.
fn along([low, high]: [f64; 2], points: f64) -> f64 {
    low + (high - low) * (0.5 - 0.5 * (PI * points / DEGREE as f64).cos())
}

/// The numbers of a step.
fn numbers(step: &mut Step) -> impl Iterator<Item = &mut f64> {
    let arms = step.limbs.iter_mut().take(ARMS).flat_map(|arm| arm.iter_mut());
    step.axle.iter_mut().chain(&mut step.holding).chain(arms)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axle::AxleModel;
    use crate::truck::{Axle, End, LayoutKind, State, Truck};

    fn survey(truck: &Truck, travel: [f64; 2]) -> (AxleModel<f64>, Option<Survey>) {
        let model = AxleModel::of(truck, End::Front, State::Planned).unwrap();
        let survey = Survey::of(&model, travel);
        (model, survey)
    }

    #[test]
    fn what_is_read_off_is_what_is_solved() {
        let arms = Truck::with_axle(Axle::typical(LayoutKind::RadiusArms, End::Front), End::Front);
        for (truck, travel) in [(&Truck::example(), [-140.0, 80.0]), (&arms, [-120.0, 100.0])] {
            let (model, survey) = survey(truck, travel);
            let survey = survey.expect("arms are read off");
            let share = |i: i32, by: f64| (f64::from(i) * by).fract();
            for i in 0..40 {
                let at = [share(i, 0.618), share(i, 0.377)];
                let at = at.map(|share| travel[0] + (travel[1] - travel[0]) * share);
                let (read, solved) = (survey.pose(at).unwrap(), solve(&model, at).unwrap());
                let off = read.since(&solved, ARMS).size(ARMS);
                assert!(off <= survey.off_mm(), "{at:?}: {off} {}", survey.off_mm());
            }
            assert_eq!(survey.pose([travel[0] - 1.0, 0.0]), None);
        }
    }

    #[test]
    fn what_does_not_go_smoothly_or_is_soon_solved_is_not_read_off() {
        for kind in [LayoutKind::Leaf, LayoutKind::ThreeLink] {
            let truck = Truck::with_axle(Axle::typical(kind, End::Front), End::Front);
            assert!(survey(&truck, [-100.0, 80.0]).1.is_none(), "{kind:?}");
        }
        // So far that polynomials of this degree do not follow.
        assert!(survey(&Truck::example(), [-330.0, 250.0]).1.is_none());
    }
}
