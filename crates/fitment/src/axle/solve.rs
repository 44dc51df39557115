//! Finds the pose for prescribed wheel travels, following the straight path from the design
//! position so that the answer stays on the assembly the truck was built in.

use super::{
    linkage::{Linkage, Members},
    model::AxleModel,
    pose::{MAX_HARD, Pose},
    real::Real,
    system::{ArmTerms, Equations, binding, equations, hard_conditions},
};
use nalgebra::{Matrix6, SMatrix, SVector, Vector6};

/// Wheel travels from the stock position, mm, bump positive: left, right.
pub type Travel = [f64; 2];

/// Exact conditions are met to this, mm.
const MISS_TOLERANCE: f64 = 1e-10;
/// An elastic pose has settled when its last step is under this, mm (rotations count 1 m of lever).
const STEP_TOLERANCE: f64 = 1e-10;
/// An elastic step this small, mm, that no longer shrinks is rounding.
const ROUNDING: f64 = 1e-7;
/// Slopes have settled when their last step is under this share of the whole.
const SLOPE_TOLERANCE: f64 = 1e-10;
/// Newton steps allowed at one point of the path; elastic steps shrink by a ratio that nears 1 where
/// the assembly nears the end of what it can give.
const MAX_STEPS: usize = 30;
const MAX_ELASTIC_STEPS: usize = 100;
/// Longest stretch of the path taken at once, mm of wheel travel.
const MAX_STRIDE: f64 = 40.0;
/// Shortest stretch tried before the path counts as ended, as a share of the whole.
const MIN_STRIDE: f64 = 1.0 / 4096.0;
/// Furthest a body may move in one stretch, as a multiple of the stretch plus a little slack, mm.
const LEAP: f64 = 3.0;
/// Ratio of the smallest to the largest pivot below which the conditions no longer fix the pose.
const SINGULAR: f64 = 1e-9;
/// An elastic member strained by more than this, mm, is broken or torn: the pose does not exist.
const TORN: f64 = 25.0;

/// Why a pose does not exist.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Unreachable {
    /// The links run out, or lock, on the way.
    #[error("the links run out after {:.1} % of the way to this position: they are too short, or lock in line", fraction * 100.0)]
    OutOfReach {
        /// Share of the straight path that was reached, 0 to 1.
        fraction: f64,
    },
    /// Rubber or links would have to give more than they can.
    #[error("the arms or links bind: something would have to give {strain_mm:.0} mm, more than rubber can ({:.1} % of the way reached)", fraction * 100.0)]
    Binds {
        /// Share of the straight path that was reached, 0 to 1.
        fraction: f64,
        /// Largest strain at the position asked for, mm.
        strain_mm: f64,
    },
    /// The hardpoints leave the axle free to move some way even with both wheels held.
    #[error(
        "the hardpoints do not locate the axle: two links lie in one line, coincide or have no length; check the points"
    )]
    Loose,
}

impl Unreachable {
    /// Share of the straight path that was reached, 0 to 1.
    pub const fn fraction(&self) -> f64 {
        match self {
            Self::OutOfReach { fraction } | Self::Binds { fraction, .. } => *fraction,
            Self::Loose => 0.0,
        }
    }
}

/// The pose of `model` with its parts fitted, at the wheel travels asked for.
///
/// # Errors
/// [`Unreachable`] when no such pose exists on the design assembly.
pub fn solve(model: &AxleModel<f64>, travel: Travel) -> Result<Pose<f64>, Unreachable> {
    if !travel.iter().all(|t| t.is_finite()) {
        return Err(Unreachable::OutOfReach { fraction: 0.0 });
    }
    let home = Pose::home(matches!(model.design.members, Members::Arms(_)));
    // Parts first, at stock height, then the travel.
    let start = if model.fitted == model.design {
        home
    } else {
        follow(model, &home, 60.0, |s| (model.design.toward(&model.fitted, s), [0.0, 0.0]))
            .map_err(restart)?
    };
    let far = travel[0].abs().max(travel[1].abs());
    let pose = follow(model, &start, far, |s| (model.fitted, travel.map(|t| t * s)))?;
    let strain_mm = binding(&model.fitted, &pose);
    if strain_mm > TORN {
        return Err(Unreachable::Binds { fraction: tears_at(model, &start, travel), strain_mm });
    }
    Ok(pose)
}

/// The pose at `travel` from a solved pose near by, as when a slider moves; falls back to the
/// whole path when the near pose does not lead there.
///
/// # Errors
/// As [`solve`].
pub fn solve_near(
    model: &AxleModel<f64>,
    travel: Travel,
    near: &Pose<f64>,
) -> Result<Pose<f64>, Unreachable> {
    match newton(model, &model.fitted, travel, near) {
        Some((pose, _))
            if close(near, &pose, MAX_STRIDE) && binding(&model.fitted, &pose) <= TORN =>
        {
            Ok(pose)
        }
        _ => solve(model, travel),
    }
}

/// The truck's own rest position in the model's state.
///
/// # Errors
/// As [`solve`].
pub fn solve_ride(model: &AxleModel<f64>) -> Result<Pose<f64>, Unreachable> {
    solve(model, model.ride)
}

/// Carries the solution `pose` of the plain model over to one whose inputs carry derivatives, by
/// the implicit function theorem: Newton steps in dual numbers with the plain matrix.
pub(crate) fn with_slopes<T: Real>(
    model: &AxleModel<T>,
    travel: [T; 2],
    pose: &Pose<f64>,
) -> Option<Pose<T>> {
    let plain = model.plain();
    let at = travel.map(|t| t.re());
    let system = Factored::of(&equations(&plain, &plain.fitted, at, pose))?;
    let mut dual: Pose<T> = pose.lift();
    // One step is exact for rigid links. On rubber the matrix leaves out the curvature of the
    // strains, so the slopes settle by a few more steps, each shrinking the rest.
    let steps = if hard_conditions(&plain.fitted) == MAX_HARD { 1 } else { MAX_ELASTIC_STEPS };
    let mut whole = 0.0_f64;
    for _ in 0..steps {
        let e = equations(model, &model.fitted, travel, &dual);
        let rest = Rest::of(&e, &dual.holding).slopes();
        let step = system.solve(&rest);
        let size = step.size();
        dual.advance_slopes(&step);
        whole = whole.max(size);
        if size <= SLOPE_TOLERANCE * whole {
            break;
        }
    }
    Some(dual)
}

/// Walks from `start` along `path(s)`, s from 0 to 1, halving the stride where it must.
fn follow(
    model: &AxleModel<f64>,
    start: &Pose<f64>,
    length: f64,
    path: impl Fn(f64) -> (Linkage<f64>, Travel),
) -> Result<Pose<f64>, Unreachable> {
    let mut here = *start;
    let mut done = 0.0_f64;
    let mut stride = (MAX_STRIDE / length.max(1e-12)).min(1.0);
    let orientation = Factored::of(&{
        let (linkage, travel) = path(0.0);
        equations(model, &linkage, travel, &here)
    })
    .ok_or(Unreachable::Loose)?
    .orientation();
    while done < 1.0 {
        let next = if 1.0 - done <= stride * 1.000_001 { 1.0 } else { done + stride };
        let (linkage, travel) = path(next);
        let reached = newton(model, &linkage, travel, &here).filter(|(pose, side)| {
            side.is_none_or(|side| side == orientation)
                && close(&here, pose, (next - done) * length)
        });
        if let Some((pose, _)) = reached {
            here = pose;
            done = next;
            stride = (stride * 2.0).min(MAX_STRIDE / length.max(1e-12)).min(1.0);
        } else {
            stride = (next - done) * 0.5;
            if stride < MIN_STRIDE {
                return Err(Unreachable::OutOfReach { fraction: done });
            }
        }
    }
    Ok(here)
}

/// The share of the path after which something would have torn, to a thousandth.
fn tears_at(model: &AxleModel<f64>, start: &Pose<f64>, travel: Travel) -> f64 {
    let far = travel[0].abs().max(travel[1].abs());
    let holds = |share: f64| {
        follow(model, start, far * share, |s| (model.fitted, travel.map(|t| t * s * share)))
            .is_ok_and(|pose| binding(&model.fitted, &pose) <= TORN)
    };
    let (mut whole, mut torn) = (0.0, 1.0);
    for _ in 0..10 {
        let middle = f64::midpoint(whole, torn);
        if holds(middle) {
            whole = middle;
        } else {
            torn = middle;
        }
    }
    whole
}

/// Fitting parts is the start of the path: nothing of the travel was reached.
const fn restart(why: Unreachable) -> Unreachable {
    match why {
        Unreachable::OutOfReach { .. } => Unreachable::OutOfReach { fraction: 0.0 },
        other => other,
    }
}

/// True when no body leapt: it moved about as far as the wheels did.
fn close(from: &Pose<f64>, to: &Pose<f64>, stretch: f64) -> bool {
    let limit = LEAP * stretch + 20.0;
    let near = |a: &super::pose::Body<f64>, b: &super::pose::Body<f64>| {
        (a.shift - b.shift).norm() < limit && (a.turn - b.turn).norm() < 0.5
    };
    near(&from.axle, &to.axle)
}

/// Newton's method from `near`, with the orientation of the last matrix used; `None` when it does
/// not settle.
fn newton(
    model: &AxleModel<f64>,
    linkage: &Linkage<f64>,
    travel: Travel,
    near: &Pose<f64>,
) -> Option<(Pose<f64>, Option<bool>)> {
    let mut pose = *near;
    let mut side = None;
    let rigid = hard_conditions(linkage) == MAX_HARD;
    let mut before = f64::INFINITY;
    for _ in 0..if rigid { MAX_STEPS } else { MAX_ELASTIC_STEPS } {
        let e = equations(model, linkage, travel, &pose);
        let miss = e.miss[..e.hard].iter().fold(0.0_f64, |m, c| m.max(c.abs()));
        if !miss.is_finite() {
            return None;
        }
        if rigid && miss < MISS_TOLERANCE {
            return Some((pose, side));
        }
        let factored = Factored::of(&e)?;
        side = Some(factored.orientation());
        let step = factored.solve(&Rest::of(&e, &pose.holding));
        let size = step.size();
        if !size.is_finite() || size > 2000.0 {
            return None;
        }
        pose.advance(&step);
        // On rubber the steps shrink by a steady ratio; stop once they are as small as rounding.
        if !rigid
            && miss < MISS_TOLERANCE
            && (size < STEP_TOLERANCE || (size < ROUNDING && size >= before))
        {
            return Some((pose, side));
        }
        // A rigid system that has hit the floor of rounding is as solved as it gets.
        if rigid && size < 1e-12 && miss < 1e-9 {
            return Some((pose, side));
        }
        before = size;
    }
    None
}

/// What is left of the equations at a pose: the right-hand side of a step.
struct Rest<T> {
    axle: Vector6<T>,
    arms: [Vector6<T>; 2],
    hard: [T; MAX_HARD],
}

impl<T: Real> Rest<T> {
    fn of(e: &Equations<T>, holding: &[T; MAX_HARD]) -> Self {
        let mut axle = e.pull;
        for (slope, force) in e.slope.iter().zip(holding).take(e.hard) {
            axle += slope * *force;
        }
        let zero = Vector6::from_element(T::from(0.0));
        let arms = e.arms.as_ref().map_or([zero; 2], |arms| [arms[0].pull, arms[1].pull]);
        Self { axle, arms, hard: e.miss }
    }

    /// The derivative part alone.
    fn slopes(&self) -> Rest<f64> {
        Rest {
            axle: self.axle.map(Real::slope),
            arms: self.arms.map(|a| a.map(Real::slope)),
            hard: self.hard.map(Real::slope),
        }
    }
}

/// A Newton step.
struct Step {
    axle: Vector6<f64>,
    arms: [Vector6<f64>; 2],
    holding: [f64; MAX_HARD],
}

impl Step {
    /// Size in mm; a rotation counts by a lever of one metre.
    fn size(&self) -> f64 {
        let one = |v: &Vector6<f64>| {
            let shift = v.fixed_rows::<3>(0).amax();
            let turn = v.fixed_rows::<3>(3).amax() * 1000.0;
            shift.max(turn)
        };
        one(&self.axle).max(one(&self.arms[0])).max(one(&self.arms[1]))
    }
}

impl Pose<f64> {
    fn advance(&mut self, step: &Step) {
        self.axle.step(&step.axle);
        if let Some(arms) = &mut self.arms {
            for (arm, step) in arms.iter_mut().zip(&step.arms) {
                arm.step(step);
            }
        }
        for (h, d) in self.holding.iter_mut().zip(step.holding) {
            *h += d;
        }
    }
}

impl<T: Real> Pose<T> {
    /// Adds a step to the derivative parts only.
    fn advance_slopes(&mut self, step: &Step) {
        let unit = T::input(0.0, true);
        let dual = |v: &Vector6<f64>| v.map(|c| unit * c);
        self.axle.step(&dual(&step.axle));
        if let Some(arms) = &mut self.arms {
            for (arm, step) in arms.iter_mut().zip(&step.arms) {
                arm.step(&dual(step));
            }
        }
        for (h, d) in self.holding.iter_mut().zip(step.holding) {
            *h += unit * d;
        }
    }
}

/// Room for the axle's six freedoms and the holding forces of an elastic layout.
const SADDLE: usize = 9;

/// Rotations are weighed as if by a lever of this length, mm, so that the pivots of the matrices
/// compare.
const LEVER: f64 = 500.0;

const fn weight(column: usize) -> f64 {
    if column < 3 { 1.0 } else { 1.0 / LEVER }
}

/// An arm's own matrix, factored, and how the axle's step leads the arm's.
type Condensed = (nalgebra::Cholesky<f64, nalgebra::U6>, Matrix6<f64>);

/// The matrix of a step, factored.
#[expect(
    clippy::large_enum_variant,
    reason = "lives on the stack for one step; a box would cost more than the copy"
)]
enum Factored {
    /// As many exact conditions as freedoms.
    Rigid(nalgebra::LU<f64, nalgebra::U6, nalgebra::U6>),
    /// Least energy under fewer conditions; arms are condensed out, since each touches only the axle.
    Elastic {
        arms: Option<[Condensed; 2]>,
        saddle: nalgebra::LU<f64, nalgebra::Const<SADDLE>, nalgebra::Const<SADDLE>>,
        scale: f64,
        hard: usize,
    },
}

impl Factored {
    /// `None` when the conditions leave a motion free.
    fn of(e: &Equations<f64>) -> Option<Self> {
        if e.hard == MAX_HARD {
            let lu = Matrix6::from_fn(|i, j| e.slope[i][j] * weight(j)).lu();
            let pivots = lu.lu_internal().diagonal();
            return regular(pivots.as_slice()).then_some(Self::Rigid(lu));
        }
        let mut rate = e.rate;
        let arms = match &e.arms {
            None => None,
            Some([left, right]) => {
                let mut condense = |t: &ArmTerms<f64>| {
                    let own = t.rate.cholesky()?;
                    let lead = own.solve(&t.cross);
                    rate -= t.cross.tr_mul(&lead);
                    Some((own, lead))
                };
                Some([condense(left)?, condense(right)?])
            }
        };
        // Energies scaled to the conditions, so that the pivots compare.
        let scale = rate.fixed_view::<3, 3>(0, 0).amax().max(f64::MIN_POSITIVE);
        let mut m = SMatrix::<f64, SADDLE, SADDLE>::identity();
        for i in 0..6 {
            for j in 0..6 {
                m[(i, j)] = rate[(i, j)] * weight(i) * weight(j) / scale;
            }
        }
        for (h, slope) in e.slope.iter().enumerate().take(e.hard) {
            m[(6 + h, 6 + h)] = 0.0;
            for j in 0..6 {
                m[(6 + h, j)] = slope[j] * weight(j);
                m[(j, 6 + h)] = slope[j] * weight(j);
            }
        }
        let saddle = m.lu();
        let pivots = saddle.lu_internal().diagonal();
        regular(pivots.as_slice()).then_some(Self::Elastic { arms, saddle, scale, hard: e.hard })
    }

    /// Which way round the conditions stand; it never changes along one assembly.
    fn orientation(&self) -> bool {
        match self {
            Self::Rigid(lu) => lu.determinant() > 0.0,
            Self::Elastic { saddle, .. } => saddle.determinant() > 0.0,
        }
    }

    /// The step that makes `rest` vanish.
    fn solve(&self, rest: &Rest<f64>) -> Step {
        let none = [Vector6::zeros(); 2];
        match self {
            Self::Rigid(lu) => {
                let mut x = Vector6::from_column_slice(&rest.hard.map(|c| -c));
                // A regular matrix was checked for when it was factored.
                lu.solve_mut(&mut x);
                let axle = Vector6::from_fn(|j, _| x[j] * weight(j));
                Step { axle, arms: none, holding: [0.0; MAX_HARD] }
            }
            Self::Elastic { arms, saddle, scale, hard } => {
                let mut push = -rest.axle;
                if let Some(arms) = arms {
                    for ((_, lead), r) in arms.iter().zip(&rest.arms) {
                        push += lead.tr_mul(r);
                    }
                }
                let mut x = SVector::<f64, SADDLE>::zeros();
                for j in 0..6 {
                    x[j] = push[j] * weight(j) / scale;
                }
                for h in 0..*hard {
                    x[6 + h] = -rest.hard[h];
                }
                saddle.solve_mut(&mut x);
                let axle = Vector6::from_fn(|j, _| x[j] * weight(j));
                let mut step = Step { axle, arms: none, holding: [0.0; MAX_HARD] };
                for h in 0..*hard {
                    step.holding[h] = x[6 + h] * scale;
                }
                if let Some(arms) = arms {
                    for ((own, lead), (out, r)) in
                        arms.iter().zip(step.arms.iter_mut().zip(&rest.arms))
                    {
                        *out = -own.solve(r) - lead * axle;
                    }
                }
                step
            }
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Output, answer, answer_at, attitude},
        measure::Known,
        truck::{Axle, Bar, End, Layout, LayoutKind, Part, Point, State, Truck},
    };

    fn point(x: f64, y: f64, z: f64) -> Point {
        Point { x_mm: Known::exact(x), y_mm: Known::exact(y), z_mm: Known::exact(z) }
    }

    fn bar(a: [f64; 3], c: [f64; 3]) -> Bar {
        Bar { axle: point(a[0], a[1], a[2]), chassis: point(c[0], c[1], c[2]) }
    }

    /// Three level, parallel links so long that the axle moves straight up and down.
    fn lift_table(length: f64, rise: f64) -> Axle {
        let mut axle = Axle::typical(LayoutKind::ThreeLink, End::Front);
        let far = -1e7;
        axle.layout = Layout::ThreeLink {
            lower_left: bar([0.0, 450.0, -50.0], [far, 450.0, -50.0]),
            lower_right: None,
            upper: bar([0.0, -200.0, 150.0], [far, -200.0, 150.0]),
        };
        let span = (length * length - rise * rise).sqrt();
        axle.panhard = bar([0.0, -450.0, 0.0], [0.0, -450.0 + span, rise]);
        axle
    }

    fn shift(axle: &Axle, travel: f64) -> f64 {
        let model = AxleModel::of(axle, End::Front, State::Stock).unwrap();
        let pose = solve(&model, [travel; 2]).unwrap();
        attitude(&model, &pose, 0.0).get(Output::LateralShift).unwrap()
    }

    #[test]
    fn panhard_arc_follows_its_closed_form() {
        // The axle end stays on a circle: span goes from sqrt(L² − v²) to sqrt(L² − (v − travel)²).
        let axle = lift_table(900.0, 60.0);
        for travel in [-100.0, -50.0, 60.0, 120.0] {
            let rise: f64 = 60.0 - travel;
            let want = (900.0_f64.powi(2) - 60.0_f64.powi(2)).sqrt()
                - (900.0_f64.powi(2) - rise * rise).sqrt();
            let got = shift(&axle, travel);
            assert!((got - want).abs() < 1e-6, "travel {travel}: got {got}, want {want}");
        }
    }

    #[test]
    fn a_bar_too_short_is_unreachable_and_says_how_far() {
        let axle = lift_table(200.0, 60.0);
        let model = AxleModel::of(&axle, End::Front, State::Stock).unwrap();
        // The bar stands upright when the axle has dropped 140 mm: 140 of 160.
        let why = solve(&model, [-160.0; 2]).unwrap_err();
        assert!(matches!(why, Unreachable::OutOfReach { .. }), "{why}");
        assert!((why.fraction() - 140.0 / 160.0).abs() < 1e-3, "{why:?}");
    }

    #[test]
    fn links_that_bind_say_how_far_they_gave() {
        // Upper links a third as long as the lower: the axle wants two pitches at once when it
        // is crossed up, until the links would have to stretch.
        let mut axle = Axle::typical(LayoutKind::FourLink, End::Rear);
        if let Layout::FourLink { upper_left, .. } = &mut axle.layout {
            upper_left.chassis.x_mm = Known::exact(260.0);
            upper_left.chassis.z_mm = Known::exact(230.0);
        }
        let model = AxleModel::of(&axle, End::Rear, State::Stock).unwrap();
        let whole = [420.0, -420.0];
        let Err(why @ Unreachable::Binds { .. }) = solve(&model, whole) else {
            panic!("{:?}", solve(&model, whole).map(|p| binding(&model.fitted, &p)));
        };
        let at = |share: f64| solve(&model, whole.map(|t| t * share));
        assert!(why.fraction() > 0.05 && why.fraction() < 1.0, "{why:?}");
        assert!(at(why.fraction()).is_ok(), "{why:?}");
        assert!(at(why.fraction() + 0.01).is_err(), "{why:?}");
    }

    #[test]
    fn every_layout_keeps_its_conditions_at_both_ends() {
        for kind in LayoutKind::ALL {
            for end in [End::Front, End::Rear] {
                let axle = Axle::typical(kind, end);
                let model = AxleModel::of(&axle, end, State::Stock).unwrap();
                for travel in [[0.0, 0.0], [-75.0, -75.0], [60.0, -40.0], [-120.0, 30.0]] {
                    let pose = solve(&model, travel).unwrap();
                    let e = equations(&model, &model.fitted, travel, &pose);
                    let miss = e.miss[..e.hard].iter().fold(0.0_f64, |m, c| m.max(c.abs()));
                    assert!(miss <= 1e-9, "{kind:?} {end:?} {travel:?} misses by {miss}");
                    let rest = Rest::of(&e, &pose.holding);
                    // Forces balance to a millinewton on bushes of kilonewtons per millimetre.
                    assert!(rest.axle.amax() < 1e-2, "{kind:?} {travel:?} {}", rest.axle);
                    let turn = pose.axle.turn;
                    assert!(
                        (turn * turn.transpose() - nalgebra::Matrix3::identity()).amax() < 1e-12
                    );
                }
            }
        }
    }

    #[test]
    fn stiff_rubber_turns_the_axle_as_a_rigid_arm_does() {
        // Caster lost = asin(v2/L) − asin(v1/L) for an arm clamped to the axle, pivot to axle
        // centreline v and L apart (derived from the rigid triangle).
        let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        if let Layout::RadiusArms { left, axle_bush, chassis_bush, .. } = &mut axle.layout {
            // Arms straight ahead and a bar too long to pull sideways: the triangle lies in a plane.
            axle.panhard = bar([95.0, -470.0, 90.0], [95.0, 1e6, 90.0]);
            left.chassis.y_mm.value = left.axle_far.y_mm.value;
            for b in [axle_bush, chassis_bush] {
                b.radial_n_per_mm = Known::exact(1e6);
                b.axial_n_per_mm = Known::exact(100.0);
                b.torsion_nm_per_deg = Known::exact(0.0);
                b.conical_nm_per_deg = Known::exact(15.0);
            }
        }
        let model = AxleModel::of(&axle, End::Front, State::Stock).unwrap();
        let caster = |drop: f64| {
            let pose = solve(&model, [-drop; 2]).unwrap();
            attitude(&model, &pose, 0.0).get(Output::Caster).unwrap()
        };
        let length = 890.0_f64.hypot(60.0);
        let want = ((135.0 / length).asin() - (60.0 / length).asin()).to_degrees();
        let got = caster(0.0) - caster(75.0);
        assert!((got - want).abs() < 0.001, "got {got}, want {want}");
    }

    #[test]
    fn stock_to_lift_and_back_returns() {
        let axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        let model = AxleModel::of(&axle, End::Front, State::Stock).unwrap();
        let up = solve(&model, [-75.0, -60.0]).unwrap();
        let back = solve_near(&model, [0.0, 0.0], &up).unwrap();
        assert!(back.axle.shift.amax() < 1e-8, "{}", back.axle.shift);
    }

    #[test]
    fn a_mirrored_truck_mirrors_exactly_the_odd_outputs() {
        let odd = [Output::LateralShift, Output::AxleSteer, Output::Roll];
        for kind in LayoutKind::ALL {
            let axle = Axle::typical(kind, End::Front);
            let mirror = mirrored(&axle);
            let at = |axle: &Axle, l, r| {
                answer_at(axle, End::Front, State::Stock, [Some(l), Some(r)], 0.0).unwrap().attitude
            };
            let (a, b) = (at(&axle, 40.0, -70.0), at(&mirror, -70.0, 40.0));
            for output in odd {
                let (a, b) = (a.get(output).unwrap(), b.get(output).unwrap());
                assert!((a + b).abs() < 1e-7, "{kind:?} {output:?}: {a} {b}");
            }
            for output in
                [Output::Caster, Output::Pinion, Output::Panhard, Output::RollCentreHeight]
            {
                let (a, b) = (a.get(output).unwrap(), b.get(output).unwrap());
                assert!((a - b).abs() < 1e-6, "{kind:?} {output:?}: {a} {b}");
            }
        }
    }

    fn mirrored(axle: &Axle) -> Axle {
        let flip = |p: &mut Point| p.y_mm.value = -p.y_mm.value;
        let flip_bar = |b: &mut Bar| {
            flip(&mut b.axle);
            flip(&mut b.chassis);
        };
        let mut m = axle.clone();
        flip_bar(&mut m.panhard);
        // Symmetric pairs mirror into themselves; only the single upper link is on one side.
        if let Layout::ThreeLink { upper, .. } = &mut m.layout {
            flip_bar(upper);
        }
        m
    }

    #[test]
    fn a_parallelogram_four_link_does_not_pitch() {
        let mut axle = Axle::typical(LayoutKind::FourLink, End::Rear);
        axle.layout = Layout::FourLink {
            lower_left: bar([0.0, 450.0, -60.0], [700.0, 450.0, -40.0]),
            lower_right: None,
            upper_left: bar([20.0, 300.0, 140.0], [720.0, 300.0, 160.0]),
            upper_right: None,
        };
        let model = AxleModel::of(&axle, End::Rear, State::Stock).unwrap();
        for travel in [-100.0, -30.0, 70.0] {
            let pose = solve(&model, [travel; 2]).unwrap();
            let pitch = pose.axle.turn[(0, 2)];
            assert!(pitch.abs() < 1e-9, "travel {travel}: pitch {pitch}");
        }
    }

    #[test]
    fn slopes_agree_with_differences() {
        // A second method: central differences of the whole solve.
        for kind in LayoutKind::ALL {
            let mut axle = Axle::typical(kind, End::Front);
            axle.sitting.lift_mm = Known::exact(75.0);
            axle.sitting.lift_right_mm = Some(Known::exact(60.0));
            let inputs = AxleModel::inputs(&axle, End::Front, State::Sitting).unwrap();
            let plain = AxleModel::of(&axle, End::Front, State::Sitting).unwrap();
            let pose = solve(&plain, plain.ride).unwrap();
            for path in ["panhard.axle.z_mm", "panhard.chassis.y_mm"] {
                let index = inputs.iter().position(|i| i.path == path).unwrap();
                let mut reader = super::super::reader::Reader::following(index);
                let dual = AxleModel::<num_dual::Dual64>::read(
                    &axle,
                    End::Front,
                    State::Sitting,
                    &mut reader,
                )
                .unwrap();
                let posed = with_slopes(&dual, dual.ride, &pose).unwrap();
                let slopes = attitude(&dual, &posed, 0.0);
                let moved = |d: f64| {
                    let mut axle = axle.clone();
                    if path == "panhard.axle.z_mm" {
                        axle.panhard.axle.z_mm.value += d;
                    } else {
                        axle.panhard.chassis.y_mm.value += d;
                    }
                    let m = AxleModel::of(&axle, End::Front, State::Sitting).unwrap();
                    attitude(&m, &solve(&m, m.ride).unwrap(), 0.0)
                };
                let (plus, minus) = (moved(0.01), moved(-0.01));
                for output in Output::ALL {
                    let Some(got) = slopes.get(output).map(Real::slope) else { continue };
                    let want = (plus.get(output).unwrap() - minus.get(output).unwrap()) / 0.02;
                    assert!(
                        (got - want).abs() < 1e-5 * (1.0 + want.abs()),
                        "{kind:?} {path} {output:?}: got {got}, want {want}"
                    );
                }
            }
        }
    }

    #[test]
    fn degenerate_hardpoints_are_named_not_solved() {
        let mut axle = lift_table(900.0, 60.0);
        // Two links in one place leave the axle free to turn.
        if let Layout::ThreeLink { lower_left, lower_right, upper } = &mut axle.layout {
            *lower_right = Some(lower_left.clone());
            *upper = lower_left.clone();
        }
        let model = AxleModel::of(&axle, End::Front, State::Stock).unwrap();
        assert_eq!(solve(&model, [-50.0; 2]), Err(Unreachable::Loose));
        assert!(solve(&model, [f64::NAN, 0.0]).is_err());
    }

    #[test]
    fn caster_bushes_turn_the_axle_by_their_angle() {
        let mut axle = Axle::typical(LayoutKind::RadiusArms, End::Front);
        let at = |axle: &Axle| {
            answer(axle, End::Front, State::Planned).unwrap().attitude.get(Output::Caster).unwrap()
        };
        let before = at(&axle);
        axle.planned.parts =
            vec![Part::CasterBush { angle_deg: Known::exact(3.0), choices_deg: vec![3.0] }];
        let after = at(&axle);
        // The axle turns about the middle of its bushes, which lie 30 mm under its centreline, so
        // at held wheel height the arm itself swings by only thousandths of a degree.
        assert!((after - before - 3.0).abs() < 0.05, "{before} -> {after}");
    }

    #[test]
    fn the_example_shows_what_a_lift_does() {
        let truck = Truck::example();
        let front = truck.front.as_ref().unwrap();
        let stock = answer(front, End::Front, State::Stock).unwrap();
        let now = answer(front, End::Front, State::Sitting).unwrap();
        let get = |a: &super::super::Answer, o| a.attitude.get(o).unwrap();
        assert!(get(&stock, Output::LateralShift).abs() < 1e-9);
        // The chassis end is on the left and the bar steepens: the axle goes left.
        assert!(get(&now, Output::LateralShift) > 4.0);
        assert!(get(&now, Output::Caster) < get(&stock, Output::Caster) - 3.0);
        assert!(get(&now, Output::Panhard) > get(&stock, Output::Panhard) + 3.0);
    }
}
