//! All outputs of an axle near a position it was solved at, for one set of inputs after the other. Where
//! nothing changed that a pose hangs on, as where only a spring is mounted elsewhere, the pose is not
//! looked for again.

use super::{
    attitude::{Wheels, read},
    linkage::Linkage,
    model::AxleModel,
    motion::Motions,
    output::Attitude,
    pose::{Pose, Step},
    posed::Posed,
    solve::{Reached, Travel, factored, solve_ahead},
    steering::Turn,
};
use std::sync::Arc;

/// A matrix of a pose nearer than this, mm, tells how an axle moves to a ten thousandth: far less than
/// anything it is asked for here is known by.
const LIKE_MATRIX: f64 = 0.1;
/// Poses that are kept: who looks at some places in turn finds them again.
const KEPT: usize = 4;

/// An axle at a position, and where it stood lately near by.
pub(crate) struct Nearby<'a> {
    posed: &'a Posed<'a>,
    wheels: &'a Wheels<f64>,
    kept: Vec<Kept>,
    /// Which of those goes next.
    oldest: usize,
}

/// Where an axle stands, how it moves there, and all that this hangs on.
struct Kept {
    linkage: Linkage<f64>,
    stock_wheel_y: f64,
    travel: Travel,
    pose: Pose<f64>,
    motions: Option<Motions<f64>>,
}

impl Kept {
    #[expect(clippy::float_cmp, reason = "only the very same numbers have the very same pose")]
    fn is_of(&self, model: &AxleModel<f64>, travel: Travel) -> bool {
        self.travel == travel
            && self.stock_wheel_y == model.stock_wheel_y
            && self.linkage == model.fitted
    }
}

impl<'a> Nearby<'a> {
    /// Near a solved position, the wheels turned as they are there.
    pub fn of(posed: &'a Posed<'a>, wheels: &'a Wheels<f64>) -> Self {
        Self { posed, wheels, kept: Vec::new(), oldest: 0 }
    }

    /// Every output at other values of the inputs, where the pose is about so far `off`; `None` where
    /// there is none.
    pub fn read(&mut self, values: &Arc<[f64]>, off: &Step) -> Option<Attitude<f64>> {
        let (model, travel) = self.posed.with(values).ok()?;
        let at = match self.kept.iter().position(|kept| kept.is_of(&model, travel)) {
            Some(at) => at,
            None => self.keep(self.reach(&model, travel, off)?),
        };
        let Kept { pose, motions, .. } = &self.kept[at];
        let wheels = Wheels::near(&model, pose, Turn::Mean(0.0), self.wheels);
        Some(read(&model, pose, motions.as_ref(), &wheels))
    }

    fn reach(&self, model: &AxleModel<f64>, travel: Travel, off: &Step) -> Option<Kept> {
        let near = &self.posed.pose;
        let mut ahead = *near;
        ahead.advance(off, model.fitted.limbs().len(), 1.0);
        let Reached { pose, matrix } = solve_ahead(model, travel, near, &ahead).ok()?;
        let like = matrix.filter(|(_, off)| *off < LIKE_MATRIX).map(|(matrix, _)| matrix);
        let matrix = like.or_else(|| factored(model, &pose));
        let motions = matrix.map(|matrix| Motions::of(model, &matrix).0);
        let (linkage, stock_wheel_y) = (model.fitted, model.stock_wheel_y);
        Some(Kept { linkage, stock_wheel_y, travel, pose, motions })
    }

    /// Keeps it in place of the oldest; where.
    fn keep(&mut self, kept: Kept) -> usize {
        let at = self.oldest;
        self.oldest = (at + 1) % KEPT;
        match self.kept.get_mut(at) {
            Some(oldest) => *oldest = kept,
            None => self.kept.push(kept),
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Moving, Output, attitude, moving, solve},
        truck::{End, State, Truck},
    };

    #[test]
    fn a_kept_pose_reads_as_one_looked_for() {
        let truck = Truck::example();
        let at = (End::Front, State::Planned);
        let Moving { posed, steps, wheels, .. } = moving(&truck, at, [None; 2], 0.0, None).unwrap();
        let best: Vec<f64> = posed.inputs.iter().map(|input| input.value).collect();
        let uncertain = posed.inputs.iter().enumerate().filter(|(_, input)| input.sigma > 0.0);
        let limbs = posed.model.fitted.limbs().len();
        let mut nearby = Nearby::of(&posed, &wheels);
        let (mut still, mut looked_for) = (0, 0);
        for ((at, input), step) in uncertain.zip(&steps) {
            let mut values = best.clone();
            values[at] += input.sigma;
            let mut off = Step::none();
            if let Some(step) = step {
                off.add(step, limbs, input.sigma);
            }
            let values = Arc::from(values);
            let before = nearby.oldest;
            let found = nearby.read(&values, &off).unwrap();
            still += usize::from(step.is_none());
            looked_for += usize::from(nearby.oldest != before);
            assert_eq!(Nearby::of(&posed, &wheels).read(&values, &off), Some(found), "{input:?}");
            let (model, travel) = posed.with(&values).unwrap();
            let alone = attitude(&model, &solve(&model, travel).unwrap(), 0.0);
            for output in Output::ALL {
                let (got, want) = (found.get(output), alone.get(output).unwrap_or(0.0));
                let off = (got.unwrap_or(0.0) - want).abs();
                assert!(off < 1e-3 * (1.0 + want.abs()), "{input:?} {output:?} {got:?} {want}");
            }
        }
        // Those that move nothing share one pose.
        assert!(still > 20 && looked_for == steps.len() - still + 1, "{still} {looked_for}");
    }
}
