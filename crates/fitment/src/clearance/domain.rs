//! Over what the tire is tried: steer, travel and how far the axle is crossed up.

use super::fit::FitError;
use crate::axle::{AxleModel, Pose, Turn};
use crate::truck::{Axle, Side, State};

/// How fine and over what to look, and how much room to ask for.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Steer angles tried, from full right to full left; on an axle that does not steer, one.
    pub steers: usize,
    /// Wheel travels tried, from full droop to full bump.
    pub travels: usize,
    /// How far the axle is crossed up: 0 moves both wheels alike, 1 moves the other wheel the
    /// opposite way from the middle of the travel, and so on between.
    pub crossed: Vec<f64>,
    /// Leave room for the growth a tire of this size is allowed in service, not only for its size
    /// when new.
    pub grown: bool,
    /// Find the largest tires that fit, too; takes about as long again as the window.
    pub sizes: bool,
    /// Draw where each thing by itself is first touched, too: see [`Fit::touches`](super::Fit::touches).
    pub touches: bool,
    /// The axle farther forward by so much, mm, than the truck has it: on longer arms or moved brackets.
    /// Its angles are left alone.
    pub forward_mm: f64,
    /// Room asked for when finding the window of wheel offsets and the stops, mm. Common practice,
    /// no source.
    pub margin_mm: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            steers: 31,
            travels: 15,
            crossed: vec![0.0, 0.5, 1.0],
            grown: false,
            sizes: false,
            touches: false,
            forward_mm: 0.0,
            margin_mm: 10.0,
        }
    }
}

impl Options {
    /// Coarse enough to follow a finger: a seventh of the default's positions.
    pub fn coarse() -> Self {
        Self { steers: 13, travels: 8, crossed: vec![0.0, 1.0], ..Self::default() }
    }
}

/// Most steps along one direction, and most crossings.
const MOST_STEPS: usize = 1000;
/// Most positions of one side's maps together.
const MOST_POSITIONS: usize = 250_000;

/// What the wheels can do, in a state.
///
/// Bump stops sit on the frame, so a lift does not change where they stop the wheel: full bump is
/// the stock figure. Full droop is the stock figure too, or 25 mm below where the truck now rests
/// if that is lower: a lifted truck on its wheels is not at full droop (our assumption).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Domain {
    /// Full droop, mm of travel from stock.
    pub droop_mm: f64,
    /// Full bump, mm of travel from stock.
    pub bump_mm: f64,
    /// Full lock of the wheel that is the inner one, either way, rad.
    pub lock_rad: f64,
    /// From where to where the left and the right wheel turn, rad, left positive. The inner wheel
    /// turns up to the lock; the outer one as far as the tie rod turns it then.
    pub steer_rad: [[f64; 2]; 2],
}

/// Largest lift taken for one, mm.
const MOST_LIFT_MM: f64 = 1000.0;

/// Least droop below where the truck rests, mm.
const REST_DROOP_MM: f64 = 25.0;

impl Domain {
    /// Reads an axle's limits in a state.
    ///
    /// # Errors
    /// [`FitError::Limit`] when a limit or lift is not finite or out of range.
    pub fn of(axle: &Axle, state: State) -> Result<Self, FitError> {
        let limits = &axle.limits;
        let check = |what, value: f64, most: f64| {
            if (0.0..=most).contains(&value) {
                Ok(value)
            } else {
                Err(FitError::Limit { what, value, most })
            }
        };
        let bump_mm = check("bump travel, mm", axle.bump_mm(state).value, 1000.0)?;
        let droop = check("droop travel, mm", limits.droop_mm.value, 1000.0)?;
        let lock = check("steering lock, degrees", axle.lock_deg(state).value, 80.0)?;
        let setup = axle.fitted(state);
        let (left, right) = setup.lift();
        let lift = left.value.max(right.value);
        if !left.value.is_finite() || !right.value.is_finite() || lift > MOST_LIFT_MM {
            return Err(FitError::Limit { what: "lift, mm", value: lift, most: MOST_LIFT_MM });
        }
        let lock_rad = if axle.kingpin.is_some() { lock.to_radians() } else { 0.0 };
        Ok(Self {
            droop_mm: -droop.max(lift + REST_DROOP_MM),
            bump_mm,
            lock_rad,
            steer_rad: [[-lock_rad, lock_rad]; 2],
        })
    }

    /// The same with the outer wheel turned as the tie rod turns it. Where no linkage is known, or
    /// it does not get there, both wheels keep turning up to the lock.
    pub(super) fn turned_by(mut self, model: &AxleModel<f64>) -> Self {
        let home = Pose::home();
        let outer = |inner: Side, lock: f64| {
            let turned = model.gear(&home)?.solve(Turn::Knuckle(inner, lock))?;
            Some([turned.right, turned.left][inner.index()])
        };
        if self.lock_rad > 0.0 {
            let [left, right] = &mut self.steer_rad;
            if let Some(steer) = outer(Side::Right, -self.lock_rad) {
                left[0] = steer.min(0.0);
            }
            if let Some(steer) = outer(Side::Left, self.lock_rad) {
                right[1] = steer.max(0.0);
            }
        }
        self
    }

    /// Travel of the other wheel, mm, when this one is at `travel` and the axle crossed up so far.
    pub fn other_mm(&self, travel: f64, crossed: f64) -> f64 {
        (1.0 - crossed) * travel + crossed * (self.bump_mm + self.droop_mm - travel)
    }

    /// Steer angles of a side's wheel to try: as many to the right of straight ahead as to the left,
    /// so that a column stands for about the same turn of the steering wheel on both sides.
    pub(super) fn steers(&self, side: Side, options: &Options) -> Vec<f64> {
        if self.lock_rad <= 0.0 {
            return vec![0.0];
        }
        let [right, left] = self.steer_rad[side.index()];
        let before = (options.steers.max(2) - 1) / 2;
        let mut steers = spread(right, 0.0, before + 1);
        steers.truncate(before);
        steers.extend(spread(0.0, left, options.steers.max(2) - before));
        steers
    }

    pub(super) fn travels(&self, options: &Options) -> Vec<f64> {
        if self.bump_mm > self.droop_mm {
            spread(self.droop_mm, self.bump_mm, options.travels)
        } else {
            vec![self.bump_mm]
        }
    }
}

impl Options {
    /// # Errors
    /// [`FitError::Option`] when a count or share is out of range.
    pub(super) fn check(&self) -> Result<(), FitError> {
        let count = |what, n: usize, least: usize, most: usize| {
            if (least..=most).contains(&n) {
                Ok(())
            } else {
                Err(FitError::Option {
                    what,
                    value: n as f64,
                    least: least as f64,
                    most: most as f64,
                })
            }
        };
        count("steers", self.steers, 2, MOST_STEPS)?;
        count("travels", self.travels, 2, MOST_STEPS)?;
        count("number of crossings", self.crossed.len(), 1, MOST_STEPS)?;
        let positions = self.steers * self.travels * self.crossed.len();
        count("steers × travels × crossings", positions, 1, MOST_POSITIONS)?;
        let range = |what, value: f64, least: f64, most: f64| {
            if (least..=most).contains(&value) {
                Ok(())
            } else {
                Err(FitError::Option { what, value, least, most })
            }
        };
        self.crossed.iter().try_for_each(|&c| range("crossed", c, 0.0, 1.0))?;
        range("forward_mm", self.forward_mm, -300.0, 300.0)?;
        range("margin_mm", self.margin_mm, -500.0, 500.0)
    }
}

fn spread(from: f64, to: f64, count: usize) -> Vec<f64> {
    let last = (count.max(2) - 1) as f64;
    (0..count.max(2)).map(|i| from + (to - from) * (i as f64 / last)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::Truck;

    #[test]
    fn a_lift_leaves_bump_alone_and_may_deepen_droop() {
        let mut axle = Truck::example().front.expect("a front axle");
        axle.limits.bump_mm.value = 80.0;
        axle.limits.droop_mm.value = 90.0;
        let check = |axle: &Axle, state, droop: f64| {
            let got = Domain::of(axle, state).expect("a domain");
            assert!((got.droop_mm - droop).abs() < 1e-12, "{got:?}, want droop {droop}");
            assert!((got.bump_mm - 80.0).abs() < 1e-12, "{got:?}");
        };
        check(&axle, State::Stock, -90.0);
        check(&axle, State::Sitting, -100.0); // lifted by 75: 25 below that
    }

    #[test]
    fn the_other_wheel_follows_or_opposes() {
        let domain =
            Domain { droop_mm: -100.0, bump_mm: 80.0, lock_rad: 0.5, steer_rad: [[-0.5, 0.5]; 2] };
        let check = |travel: f64, crossed: f64, want: f64| {
            let got = domain.other_mm(travel, crossed);
            assert!((got - want).abs() < 1e-12, "{travel} {crossed}: {got}, want {want}");
        };
        check(80.0, 0.0, 80.0);
        check(80.0, 1.0, -100.0);
        check(80.0, 0.5, -10.0);
        check(-10.0, 1.0, -10.0);
    }

    #[test]
    fn limits_and_options_out_of_range_are_named() {
        let mut axle = Truck::example().front.expect("a front axle");
        axle.limits.lock_deg.value = f64::NAN;
        assert!(matches!(
            Domain::of(&axle, State::Stock),
            Err(FitError::Limit { what: "steering lock, degrees", .. })
        ));
        for bad in [
            Options { steers: 0, ..Options::default() },
            Options { travels: usize::MAX, ..Options::default() },
            Options { steers: 1000, travels: 1000, ..Options::default() },
            Options { crossed: vec![], ..Options::default() },
            Options { crossed: vec![f64::NAN], ..Options::default() },
            Options { margin_mm: f64::INFINITY, ..Options::default() },
        ] {
            assert!(matches!(bad.check(), Err(FitError::Option { .. })), "{bad:?}");
        }
    }
}
