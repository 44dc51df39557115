//! Fits corrections to a linkage: a bracket moves a pivot, a longer bar is longer, a bush turns
//! the axle in its arms.

use super::{
    linkage::{Linkage, Members},
    model::{ModelError, turn_in_arms},
    reader::Reader,
    real::Real,
};
use crate::truck::{End, Hole, Part};
use nalgebra::Vector3;

/// Fits `parts` in order.
pub(super) fn fit<T: Real>(
    linkage: &mut Linkage<T>,
    _end: End,
    parts: &[Part],
    r: &mut Reader,
) -> Result<(), ModelError> {
    parts
        .iter()
        .enumerate()
        .try_for_each(|(index, part)| r.within("parts", |r| fit_one(linkage, index, part, r)))
}

fn fit_one<T: Real>(
    linkage: &mut Linkage<T>,
    index: usize,
    part: &Part,
    r: &mut Reader,
) -> Result<(), ModelError> {
    let misfit = |why| Err(ModelError::Part { part: index, why });
    match part {
        Part::PanhardAxleBracket { holes, hole } => {
            linkage.panhard.axle += shift::<T>(holes, *hole, index, r)?;
        }
        Part::PanhardChassisBracket { holes, hole } => {
            linkage.panhard.chassis += shift::<T>(holes, *hole, index, r)?;
        }
        Part::PanhardLength { change_mm, .. } => {
            linkage.panhard.length += r.read::<T>("panhard_length_mm", change_mm);
        }
        Part::ArmBracket { holes, hole } => {
            let s = shift::<T>(holes, *hole, index, r)?;
            // Across, a hole counts outboard on both sides.
            let s = [s, Vector3::new(s.x, -s.y, s.z)];
            match &mut linkage.members {
                Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]) => {
                    left.chassis += s[0];
                    right.chassis += s[1];
                }
                Members::Arms([left, right]) => {
                    left.eye.on_body += s[0];
                    right.eye.on_body += s[1];
                }
            }
        }
        Part::CasterBush { angle_deg, .. } => {
            let angle = r.read_deg::<T>("caster_bush_deg", angle_deg);
            let Members::Arms(arms) = &mut linkage.members else {
                return misfit("eccentric caster bushes go into radius arms");
            };
            for arm in arms {
                turn_in_arms(arm, angle);
            }
        }
        Part::UpperLinkLength { change_mm, .. } => {
            let change = r.read::<T>("upper_link_length_mm", change_mm);
            match &mut linkage.members {
                Members::ThreeLinks([_, _, upper]) => upper.length += change,
                Members::FourLinks([_, _, left, right]) => {
                    left.length += change;
                    right.length += change;
                }
                Members::Arms(_) => return misfit("radius arms have no upper link"),
            }
        }
    }
    Ok(())
}

/// Where the chosen hole puts the pivot.
fn shift<T: Real>(
    holes: &[Hole],
    hole: usize,
    part: usize,
    r: &mut Reader,
) -> Result<Vector3<T>, ModelError> {
    let chosen = holes.get(hole).ok_or(ModelError::Hole { part, hole, holes: holes.len() })?;
    Ok(r.within("hole", |r| {
        Vector3::new(
            r.read("x_mm", &chosen.x_mm),
            r.read("y_mm", &chosen.y_mm),
            r.read("z_mm", &chosen.z_mm),
        )
    }))
}
