//! What each bush carries at a pose.

use super::{
    bush,
    linkage::Members,
    model::AxleModel,
    pose::Pose,
    system::{Other, for_bushes},
};
use crate::truck::Side;
use nalgebra::Vector3;

/// Which bush.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Place {
    /// Radius arm, the axle bush farther from the chassis eye.
    ArmFar,
    /// Radius arm, the axle bush nearer the chassis eye.
    ArmNear,
    /// Radius arm, the chassis eye.
    ArmEye,
    /// Leaf spring, the fixed eye.
    FixedEye,
    /// Leaf spring, the eye on the shackle.
    ShackleEye,
    /// Shackle, its bolt on the chassis.
    ShackleChassis,
}

impl Place {
    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Self::ArmFar => "Far axle bush",
            Self::ArmNear => "Near axle bush",
            Self::ArmEye => "Chassis bush",
            Self::FixedEye => "Fixed eye",
            Self::ShackleEye => "Shackle eye",
            Self::ShackleChassis => "Shackle bolt",
        }
    }

    /// Name in files.
    pub const fn key(self) -> &'static str {
        match self {
            Self::ArmFar => "arm_far",
            Self::ArmNear => "arm_near",
            Self::ArmEye => "arm_eye",
            Self::FixedEye => "fixed_eye",
            Self::ShackleEye => "shackle_eye",
            Self::ShackleChassis => "shackle_chassis",
        }
    }
}

/// What a bush carries for having left its stock position: on top of the load it had there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reaction {
    /// Which bush.
    pub place: Place,
    /// Which side of the truck.
    pub side: Side,
    /// Force of the arm or leaf on what it is bolted to, chassis axes, N.
    pub force: Vector3<f64>,
    /// Moment likewise about the bush, N·mm.
    pub moment: Vector3<f64>,
    /// How far its two halves have moved apart, mm.
    pub strain_mm: f64,
    /// How far they have turned against each other, rad.
    pub twist_rad: f64,
}

/// The reaction at every bush; none where links locate the axle.
pub fn reactions(model: &AxleModel<f64>, pose: &Pose<f64>) -> Vec<Reaction> {
    let mut found = Vec::new();
    let mut axle_bushes = 0;
    for_bushes(&model.fitted, pose, |limb, bush, body, other| {
        let (place, side) = match (&model.fitted.members, other) {
            (Members::Arms(_), Other::Axle) => {
                axle_bushes += 1;
                let far = axle_bushes % 2 == 1;
                (if far { Place::ArmFar } else { Place::ArmNear }, limb)
            }
            (Members::Arms(_), _) => (Place::ArmEye, limb),
            // Where the links of a leaf's equivalent meet there is no bush in the steel.
            (_, Other::Axle) => return,
            (_, Other::Limb(_)) => (Place::ShackleEye, limb / 3),
            (_, Other::Chassis) if limb % 3 == 0 => (Place::FixedEye, limb / 3),
            (_, Other::Chassis) => (Place::ShackleChassis, limb / 3),
        };
        let Some(pulled) = pose.limbs.get(limb) else { return };
        let p = bush::pull(bush, pulled, body);
        found.push(Reaction {
            place,
            side: if side == 0 { Side::Left } else { Side::Right },
            force: -p.force,
            moment: -p.moment,
            strain_mm: p.shift.norm(),
            twist_rad: p.turn.norm(),
        });
    });
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{Output, attitude, solve},
        truck::{Axle, End, LayoutKind, State, Truck},
    };

    fn model(kind: LayoutKind) -> AxleModel<f64> {
        let truck = Truck::with_axle(Axle::typical(kind, End::Front), End::Front);
        AxleModel::of(&truck, End::Front, State::Stock).unwrap()
    }

    #[test]
    fn an_arm_is_in_balance() {
        // Nothing but its bushes holds an arm: what it gives to axle and chassis adds up to nothing.
        let m = model(LayoutKind::RadiusArms);
        let pose = solve(&m, [50.0, -60.0]).unwrap();
        let all = reactions(&m, &pose);
        assert_eq!(all.len(), 6);
        for side in Side::BOTH {
            let of_side = all.iter().filter(|r| r.side == side);
            let sum: Vector3<f64> = of_side.map(|r| r.force).sum();
            assert!(sum.norm() < 1e-3, "{side:?} {sum}");
            let most = all.iter().map(|r| r.force.norm()).fold(0.0, f64::max);
            assert!(most > 100.0, "crossed up the bushes are loaded: {most}");
        }
    }

    #[test]
    fn nothing_is_loaded_at_stock_height() {
        for kind in [LayoutKind::RadiusArms, LayoutKind::Leaf] {
            let m = model(kind);
            let all = reactions(&m, &solve(&m, [0.0, 0.0]).unwrap());
            assert_eq!(all.len(), 6, "three a side");
            assert!(all.iter().all(|r| r.force.norm() < 1e-6 && r.strain_mm < 1e-9), "{all:?}");
        }
        let m = model(LayoutKind::ThreeLink);
        assert!(reactions(&m, &solve(&m, [0.0, 0.0]).unwrap()).is_empty());
    }

    #[test]
    fn the_arms_roll_stiffness_is_the_couple_for_a_degree() {
        // A second way: what the wheels' holding forces come to at one degree either way.
        let m = model(LayoutKind::RadiusArms);
        let stiffness = |m: &AxleModel<f64>| {
            let pose = solve(m, [0.0, 0.0]).unwrap();
            attitude(m, &pose, 0.0).get(Output::RollStiffness).unwrap()
        };
        let travel = (0.1_f64).to_radians() * m.stock_wheel_y;
        let couple = |t: f64| {
            let pose = solve(&m, [t, -t]).unwrap();
            let roll = attitude(&m, &pose, 0.0).get(Output::Roll).unwrap();
            let force = pose.holding[0] - pose.holding[1];
            (-force * m.stock_wheel_y / 1000.0, roll)
        };
        let (up, down) = (couple(travel), couple(-travel));
        let want = (up.0 - down.0) / (up.1 - down.1);
        let got = stiffness(&m);
        assert!((got / want - 1.0).abs() < 1e-4, "{got} {want}");
        // Half the rubber, about half the stiffness: everything in the way is rubber.
        let soft = stiffness(&m.with_rubber(0.5));
        assert!((soft / got - 0.5).abs() < 1e-6, "{soft} {got}");
    }

    /// What the rubber has stored at a pose, N·mm.
    fn energy(m: &AxleModel<f64>, pose: &Pose<f64>) -> f64 {
        let mut sum = 0.0;
        for_bushes(&m.fitted, pose, |limb, b, body, _| {
            let p = bush::pull(b, &pose.limbs[limb], body);
            sum += 0.5 * p.shift.component_mul(&p.shift).dot(&b.rates.shift);
            sum += 0.5 * p.turn.component_mul(&p.turn).dot(&b.rates.turn);
        });
        sum
    }

    proptest::proptest! {
        #[test]
        fn energy_is_never_negative_and_is_the_work_of_the_wheels(
            travel in [-90.0..60.0, -90.0..60.0_f64],
        ) {
            for kind in [LayoutKind::RadiusArms, LayoutKind::Leaf] {
                let m = model(kind);
                let at = |d: f64| solve(&m, [travel[0] + d, travel[1]]);
                let (Ok(pose), Ok(up), Ok(down)) = (at(0.0), at(0.05), at(-0.05)) else { continue };
                proptest::prop_assert!(energy(&m, &pose) >= 0.0);
                // The left wheel is pushed by what its travel adds to the energy.
                let force = (energy(&m, &up) - energy(&m, &down)) / 0.1;
                let held = -pose.holding[0];
                proptest::prop_assert!(
                    (force - held).abs() < 1e-3 * (1.0 + held.abs()),
                    "{kind:?} {travel:?}: {force} {held}"
                );
            }
        }
    }
}
