//! One bush: what it pulls with, and how that changes.
//!
//! Strain, seen in the limb's frame: how far the body's centre of the bush has gone from the limb's,
//! and the rotation vector of the body relative to the limb. With limb (xₐ, Rₐ) and body (x_b, R_b):
//! s = Rₐᵀ(x_b + R_b·p_b − xₐ) − pₐ and θ = log(Rₐᵀ·R_b·S), S the set.

use super::{
    linkage::Bush,
    pose::Body,
    real::{Real, cross_matrix},
    rotation::{about_y, left_jacobian_inverse, left_jacobian_inverse_terms, log},
    system::bend,
};
use nalgebra::{Matrix3, Matrix6, Vector3, Vector6};

/// What a bush pulls with: the slope of its energy by the steps of its limb and its body.
pub(crate) struct Pull<T> {
    /// Translation strain along the limb's axes, mm.
    pub shift: Vector3<T>,
    /// Rotation strain along the limb's axes, rad.
    pub turn: Vector3<T>,
    /// Slope by the limb's step.
    pub on_limb: Vector6<T>,
    /// Slope by the body's step.
    pub on_body: Vector6<T>,
    /// Force on the limb's side of the strain, chassis axes, N: the body is pulled the other way.
    pub force: Vector3<T>,
    /// Moment likewise, N·mm.
    pub moment: Vector3<T>,
    /// From the limb's origin to the body's centre of the bush, chassis axes.
    reach: Vector3<T>,
    /// From the body's origin to its centre of the bush, chassis axes.
    lever: Vector3<T>,
}

/// What a bush pulls with at a pose of its two bodies.
pub(crate) fn pull<T: Real>(bush: &Bush<T>, limb: &Body<T>, body: &Body<T>) -> Pull<T> {
    let to_limb = limb.turn.transpose();
    let lever = body.turn * bush.on_body;
    let reach = body.shift + lever - limb.shift;
    let shift = to_limb * reach - bush.on_limb;
    let turn = log(&(to_limb * body.turn * about_y(-bush.set)));
    let force = limb.turn * shift.component_mul(&bush.rates.shift);
    let couple = turn.component_mul(&bush.rates.turn);
    let moment = limb.turn * (left_jacobian_inverse(&turn).tr_mul(&couple));
    let on_limb = six(&-force, &-(reach.cross(&force) + moment));
    let on_body = six(&force, &(lever.cross(&force) + moment));
    Pull { shift, turn, on_limb, on_body, force, moment, reach, lever }
}

fn six<T: Real>(force: &Vector3<T>, moment: &Vector3<T>) -> Vector6<T> {
    Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z)
}

/// How a bush's pull changes: second slopes of its energy.
pub(crate) struct Stiffness {
    /// By the limb's step twice.
    pub limb: Matrix6<f64>,
    /// By the body's step twice, and by the limb's (rows) and the body's (columns); absent where the
    /// body is held.
    pub body: Option<(Matrix6<f64>, Matrix6<f64>)>,
}

/// Second slopes of a bush's energy where it pulls as `p`; `held` when the body cannot move.
pub(crate) fn stiffness(
    bush: &Bush<f64>,
    p: &Pull<f64>,
    limb: &Body<f64>,
    held: bool,
) -> Stiffness {
    let spread = |rates: &Vector3<f64>, frame: &Matrix3<f64>| {
        let mut m = frame.transpose();
        for i in 0..3 {
            let mut row = m.row_mut(i);
            row *= rates[i];
        }
        frame * m
    };
    // Translation: the same lever law on both sides of the bush.
    let rate = spread(&bush.rates.shift, &limb.turn);
    let mut own = wrench(&rate, &p.reach, &p.reach);
    // The force turns with the limb.
    bend(&mut own, &p.reach, &p.force);
    let f = cross_matrix(&p.force);
    let add = |m: &mut Matrix6<f64>, row: usize, col: usize, b: &Matrix3<f64>| {
        let mut view = m.fixed_view_mut::<3, 3>(row, col);
        view += b;
    };
    add(&mut own, 3, 0, &-f);
    add(&mut own, 0, 3, &f);

    // Rotation: first order, then the curvature of the logarithm under the couple.
    let couple = p.turn.component_mul(&bush.rates.turn);
    let terms = left_jacobian_inverse_terms(&p.turn);
    let j = terms.matrix;
    let second = {
        let (m, t) = (cross_matrix(&couple), cross_matrix(&p.turn));
        let a = m * -0.5 + (t * t * couple) * (2.0 * terms.second_slope) * p.turn.transpose()
            - t * m * terms.second
            + cross_matrix(&couple.cross(&p.turn)) * terms.second;
        let aj = a * j;
        (aj + aj.transpose()) * 0.5
    };
    let mut first = j;
    for i in 0..3 {
        let mut row = first.row_mut(i);
        row *= bush.rates.turn[i];
    }
    let turning = limb.turn * (j.tr_mul(&first) + second) * limb.turn.transpose();
    add(&mut own, 3, 3, &turning);
    if held {
        return Stiffness { limb: own, body: None };
    }
    let mut body = wrench(&rate, &p.lever, &p.lever);
    bend(&mut body, &p.lever, &p.force);
    add(&mut body, 3, 3, &turning);
    let mut cross = -wrench(&rate, &p.reach, &p.lever);
    add(&mut cross, 3, 0, &f);
    let both = cross_matrix(&p.moment) * 0.5 - turning - f * cross_matrix(&p.lever);
    add(&mut cross, 3, 3, &both);
    Stiffness { limb: own, body: Some((body, cross)) }
}

/// [1, −l₁×]ᵀ · k · [1, −l₂×]: a symmetric stiffness at the ends of two levers.
pub(crate) fn wrench(k: &Matrix3<f64>, l1: &Vector3<f64>, l2: &Vector3<f64>) -> Matrix6<f64> {
    let mut m = Matrix6::zeros();
    m.fixed_view_mut::<3, 3>(0, 0).copy_from(k);
    // Rows and columns of k are alike: −k·(l₂×) by rows, (l₁×)·k by columns.
    let rows = [0, 1, 2].map(|i| l2.cross(&k.column(i)).transpose());
    let right = Matrix3::from_rows(&rows);
    for i in 0..3 {
        m.fixed_view_mut::<3, 1>(0, 3 + i).copy_from(&right.column(i));
        m.fixed_view_mut::<3, 1>(3, i).copy_from(&l1.cross(&k.column(i)));
        m.fixed_view_mut::<3, 1>(3, 3 + i).copy_from(&l1.cross(&right.column(i)));
    }
    m
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axle::linkage::Rates;
    use nalgebra::Vector6;
    use num_dual::Dual64;

    fn bush() -> Bush<f64> {
        Bush {
            on_limb: Vector3::new(80.0, 370.0, -30.0),
            on_body: Vector3::new(82.0, 371.0, -28.0),
            set: 0.05,
            rates: Rates {
                shift: Vector3::new(6000.0, 1500.0, 5000.0),
                turn: Vector3::new(9e5, 1e5, 8e5),
            },
        }
    }

    fn bodies() -> (Body<f64>, Body<f64>) {
        let mut limb = Body::home();
        limb.step(&Vector6::new(3.0, -2.0, 5.0, 0.05, 0.11, -0.07));
        let mut body = Body::home();
        body.step(&Vector6::new(-1.0, 4.0, 2.0, -0.09, 0.02, 0.12));
        (limb, body)
    }

    fn energy(bush: &Bush<f64>, limb: &Body<f64>, body: &Body<f64>) -> f64 {
        let p = pull(bush, limb, body);
        0.5 * (p.shift.component_mul(&p.shift).dot(&bush.rates.shift)
            + p.turn.component_mul(&p.turn).dot(&bush.rates.turn))
    }

    #[test]
    fn the_pull_is_the_slope_of_the_energy() {
        let (bush, (limb, body)) = (bush(), bodies());
        let p = pull(&bush, &limb, &body);
        for j in 0..6 {
            let by = |limb_moves: bool| {
                let at = |d: f64| {
                    let (mut limb, mut body) = (limb, body);
                    let mut step = Vector6::zeros();
                    step[j] = d;
                    if limb_moves {
                        limb.step(&step);
                    } else {
                        body.step(&step);
                    }
                    energy(&bush, &limb, &body)
                };
                let h = if j < 3 { 1e-3 } else { 1e-6 };
                (at(h) - at(-h)) / (2.0 * h)
            };
            for (got, want) in [(p.on_limb[j], by(true)), (p.on_body[j], by(false))] {
                assert!((got - want).abs() < 1e-6 * (1.0 + want.abs()), "{j}: {got} {want}");
            }
        }
    }

    #[test]
    fn the_stiffness_is_the_symmetric_second_slope() {
        // Derivatives of the pull by dual numbers; their symmetric part is the second slope along
        // the exponential map.
        let (bush, (limb, body)) = (bush(), bodies());
        let dual = Bush {
            on_limb: bush.on_limb.map(Dual64::from),
            on_body: bush.on_body.map(Dual64::from),
            set: Dual64::from(bush.set),
            rates: Rates {
                shift: bush.rates.shift.map(Dual64::from),
                turn: bush.rates.turn.map(Dual64::from),
            },
        };
        let mut want = nalgebra::SMatrix::<f64, 12, 12>::zeros();
        for j in 0..12 {
            let (mut limb, mut body) = (limb.lift::<Dual64>(), body.lift::<Dual64>());
            let mut step = Vector6::from_element(Dual64::from(0.0));
            step[j % 6] = Dual64::input(0.0, true);
            if j < 6 {
                limb.step(&step);
            } else {
                body.step(&step);
            }
            let p = pull(&dual, &limb, &body);
            for i in 0..6 {
                want[(i, j)] = p.on_limb[i].eps;
                want[(6 + i, j)] = p.on_body[i].eps;
            }
        }
        let want = (want + want.transpose()) * 0.5;
        let k = stiffness(&bush, &pull(&bush, &limb, &body), &limb, false);
        let (of_body, cross) = k.body.unwrap();
        let mut got = nalgebra::SMatrix::<f64, 12, 12>::zeros();
        got.fixed_view_mut::<6, 6>(0, 0).copy_from(&k.limb);
        got.fixed_view_mut::<6, 6>(6, 6).copy_from(&of_body);
        got.fixed_view_mut::<6, 6>(0, 6).copy_from(&cross);
        got.fixed_view_mut::<6, 6>(6, 0).copy_from(&cross.transpose());
        let scale = want.amax();
        for i in 0..12 {
            for j in 0..12 {
                let (g, w) = (got[(i, j)], want[(i, j)]);
                assert!((g - w).abs() < 1e-11 * scale, "({i}, {j}): got {g}, want {w}");
            }
        }
    }
}
