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
