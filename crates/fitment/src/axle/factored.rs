//! The matrix of a Newton step, factored, and what it leaves free where it cannot be.

use super::{
    linkage::Linkage,
    pose::{Pose, Step},
    system::{Crank, Rest, Stiffness, parent, rigid_crank},
};
use nalgebra::{Cholesky, Const, LU, Matrix6, SMatrix, SVector, U6, Vector6};
use std::fmt;

/// Ratio of the smallest to the largest pivot below which the conditions no longer fix the pose.
const SINGULAR: f64 = 1e-9;

/// Room for the axle's six freedoms and the holding forces of an elastic layout: two wheels, a bar
/// and a Watts linkage.
const SADDLE: usize = 10;

/// Rotations are weighed as if by a lever of this length, mm, so that the pivots of the matrices
/// compare.
const LEVER: f64 = 500.0;

const fn weight(column: usize) -> f64 {
    if column < 3 { 1.0 } else { 1.0 / LEVER }
}

/// A limb's own matrix, factored, and how the step of the body it hangs on leads its own.
type Condensed = (Cholesky<f64, U6>, Matrix6<f64>);

/// The matrix of a step, factored.
#[expect(
    clippy::large_enum_variant,
    reason = "lives on the stack for one step; a box would cost more than the copy"
)]
pub(crate) enum Factored {
    /// As many exact conditions as freedoms.
    Rigid { lu: LU<f64, U6, U6>, crank: Option<Crank> },
    /// Least energy under fewer conditions; limbs are condensed out, the last in the list first.
    Elastic {
        limbs: Vec<Condensed>,
        saddle: LU<f64, Const<SADDLE>, Const<SADDLE>>,
        scale: f64,
        count: usize,
        crank: Option<Crank>,
    },
}

impl Factored {
    /// `None` when the conditions leave a motion free.
    pub fn of(
        linkage: &Linkage<f64>,
        rest: &Rest<f64>,
        stiffness: Option<&Stiffness>,
        pose: &Pose<f64>,
    ) -> Option<Self> {
        let lost = |crank: &Option<Crank>| {
            crank.as_ref().is_some_and(|crank| crank.rate == 0.0 || crank.rate.is_nan())
        };
        let Some(stiffness) = stiffness else {
            let crank = rigid_crank(linkage, pose);
            let lu = rigid(rest).lu();
            let pivots = lu.lu_internal().diagonal();
            let held = regular(pivots.as_slice()) && !lost(&crank);
            return held.then_some(Self::Rigid { lu, crank });
        };
        let crank = stiffness.crank;
        // Fewer links than freedoms and no rubber: nothing to factor.
        if lost(&crank) || 6 + rest.count > SADDLE {
            return None;
        }
        let (limbs, rate) = condensed(linkage, stiffness)?;
        let (matrix, scale) = saddle(&rate, rest);
        let saddle = matrix.lu();
        let pivots = saddle.lu_internal().diagonal();
        let count = rest.count;
        regular(pivots.as_slice()).then_some(Self::Elastic { limbs, saddle, scale, count, crank })
    }

    /// Which way round the conditions stand; it never changes along one assembly.
    pub fn orientation(&self) -> bool {
        let (determinant, crank) = match self {
            Self::Rigid { lu, crank } => (lu.determinant(), crank),
            Self::Elastic { saddle, crank, .. } => (saddle.determinant(), crank),
        };
        (determinant > 0.0) == crank.as_ref().is_none_or(|crank| crank.rate > 0.0)
    }

    /// The step that makes `rest` vanish.
    pub fn solve(&self, linkage: &Linkage<f64>, rest: &Rest<f64>) -> Step {
        let mut step = Step::none();
        let turned = match self {
            Self::Rigid { lu, crank } => {
                let mut x = Vector6::from_column_slice(&rest.hard.map(|c| -c));
                // A regular matrix was checked for when it was factored.
                lu.solve_mut(&mut x);
                step.axle = Vector6::from_fn(|j, _| x[j] * weight(j));
                crank
            }
            Self::Elastic { limbs, saddle, scale, count, crank } => {
                let mut push = rest.limbs;
                let mut axle = rest.axle;
                for (i, (_, lead)) in limbs.iter().enumerate().rev() {
                    let passed = lead.tr_mul(&push[i]);
                    match parent(linkage, i) {
                        None => axle -= passed,
                        Some(on) => push[on] -= passed,
                    }
                }
                if let Some(crank) = crank {
                    axle -= crank.bend * (rest.crank / crank.rate);
                }
                let mut x = SVector::<f64, SADDLE>::zeros();
                for j in 0..6 {
                    x[j] = -axle[j] * weight(j) / scale;
                }
                for h in 0..*count {
                    x[6 + h] = -rest.hard[h];
                }
                saddle.solve_mut(&mut x);
                step.axle = Vector6::from_fn(|j, _| x[j] * weight(j));
                for h in 0..*count {
                    step.holding[h] = x[6 + h] * scale;
                }
                for (i, (own, lead)) in limbs.iter().enumerate() {
                    let led = match parent(linkage, i) {
                        None => lead * step.axle,
                        Some(on) => lead * step.limbs[on],
                    };
                    step.limbs[i] = -own.solve(&push[i]) - led;
                }
                crank
            }
        };
        if let Some(crank) = turned {
            step.crank = -(rest.crank + crank.slope.dot(&step.axle)) / crank.rate;
        }
        step
    }
}

/// The exact conditions' slopes, weighed.
fn rigid(rest: &Rest<f64>) -> Matrix6<f64> {
    Matrix6::from_fn(|i, j| rest.slope[i][j] * weight(j))
}

/// Each limb worked out of the way, and the stiffness that leaves at the axle; `None` when a limb
/// is not held.
fn condensed(
    linkage: &Linkage<f64>,
    stiffness: &Stiffness,
) -> Option<(Vec<Condensed>, Matrix6<f64>)> {
    let mut rate = stiffness.axle;
    // What hangs on a limb has come and gone before the limb itself is worked out.
    let mut taken = vec![Matrix6::zeros(); stiffness.limbs.len()];
    let mut limbs = Vec::with_capacity(stiffness.limbs.len());
    for (i, limb) in stiffness.limbs.iter().enumerate().rev() {
        let factor = (limb.own - taken[i]).cholesky()?;
        let lead = factor.solve(&limb.cross);
        let shared = limb.cross.tr_mul(&lead);
        match parent(linkage, i) {
            None => rate -= shared,
            Some(on) => taken[on] += shared,
        }
        limbs.push((factor, lead));
    }
    limbs.reverse();
    Some((limbs, rate))
}

/// Stiffness and exact conditions in one matrix, weighed, with the scale of the energies.
fn saddle(rate: &Matrix6<f64>, rest: &Rest<f64>) -> (SMatrix<f64, SADDLE, SADDLE>, f64) {
    // Energies scaled to the conditions, so that the pivots compare.
    let scale = rate.fixed_view::<3, 3>(0, 0).amax().max(f64::MIN_POSITIVE);
    let mut m = SMatrix::<f64, SADDLE, SADDLE>::identity();
    for i in 0..6 {
        for j in 0..6 {
            m[(i, j)] = rate[(i, j)] * weight(i) * weight(j) / scale;
        }
    }
    for (h, slope) in rest.slope.iter().enumerate().take(rest.count) {
        m[(6 + h, 6 + h)] = 0.0;
        for j in 0..6 {
            m[(6 + h, j)] = slope[j] * weight(j);
            m[(j, 6 + h)] = slope[j] * weight(j);
        }
    }
    (m, scale)
}

/// True when no pivot is lost in rounding; NaN counts as lost.
fn regular(pivots: &[f64]) -> bool {
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for p in pivots {
        least = least.min(p.abs());
        most = most.max(p.abs());
        if p.is_nan() {
            return false;
        }
    }
    least > SINGULAR * most
}

/// A motion of the axle that nothing holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Freedom {
    /// Shift of the axle's centre: forward, left, up; the largest part of the motion is 1.
    pub shift: [f64; 3],
    /// Turn about the same axes, in units of one radian for 500 mm of shift.
    pub turn: [f64; 3],
}

impl Freedom {
    /// Nothing in particular.
    pub(crate) const NONE: Self = Self { shift: [0.0; 3], turn: [0.0; 3] };

    /// The names of the parts, in the order of the fields.
    const WORDS: [&str; 6] = [
        "to slide fore and aft",
        "to slide sideways",
        "to rise and fall",
        "to roll",
        "to turn about its own tube",
        "to steer",
    ];
}

impl fmt::Display for Freedom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Every part that is a good half of the largest.
        let parts = self.shift.iter().chain(&self.turn).zip(Self::WORDS);
        let mut said = false;
        for (_, word) in parts.filter(|(size, _)| size.abs() > 0.5) {
            f.write_str(if said { " and " } else { "" })?;
            f.write_str(word)?;
            said = true;
        }
        if said { Ok(()) } else { f.write_str("to move") }
    }
}

/// The axle's motion that the conditions and the rubber resist least.
pub(crate) fn free_motion(
    linkage: &Linkage<f64>,
    rest: &Rest<f64>,
    stiffness: Option<&Stiffness>,
) -> Freedom {
    let mut held = Matrix6::zeros();
    if let Some(stiffness) = stiffness {
        let rate = condensed(linkage, stiffness).map_or(stiffness.axle, |(_, rate)| rate);
        let weighed = Matrix6::from_fn(|i, j| rate[(i, j)] * weight(i) * weight(j));
        held += weighed / weighed.amax().max(f64::MIN_POSITIVE);
    }
    for slope in rest.slope.iter().take(rest.count) {
        let row = Vector6::from_fn(|j, _| slope[j] * weight(j));
        held += row * row.transpose();
    }
    if !held.iter().all(|v| v.is_finite()) {
        return Freedom::NONE;
    }
    let Some(eigen) = nalgebra::SymmetricEigen::try_new(held, 1e-14, 500) else {
        return Freedom::NONE;
    };
    let v = eigen.eigenvectors.column(eigen.eigenvalues.imin());
    let most = v.amax().max(f64::MIN_POSITIVE);
    let [x, y, z, roll, pitch, yaw] = std::array::from_fn(|j| v[j] / most);
    Freedom { shift: [x, y, z], turn: [roll, pitch, yaw] }
}
