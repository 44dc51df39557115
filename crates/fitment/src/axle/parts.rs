//! Fits corrections to a linkage: a bracket moves a pivot, a longer bar is longer, a bush turns
//! the axle in its arms.

use super::{
    linkage::{Link, Linkage, Members},
    members::turn_in_arms,
    model::ModelError,
    reader::Reader,
    real::Real,
    steering::SteeringLinkage,
};
use crate::truck::{Hole, Part};
use nalgebra::Vector3;

/// Fits `parts` in order.
pub(super) fn fit<'a, T: Real>(
    linkage: &mut Linkage<T>,
    turning: &mut Option<SteeringLinkage<T>>,
    parts: impl IntoIterator<Item = &'a Part>,
    r: &mut Reader,
) -> Result<(), ModelError> {
    parts.into_iter().enumerate().try_for_each(|(index, part)| {
        r.within("parts", |r| fit_one(linkage, turning, index, part, r))
    })
}

fn fit_one<T: Real>(
    linkage: &mut Linkage<T>,
    turning: &mut Option<SteeringLinkage<T>>,
    index: usize,
    part: &Part,
    r: &mut Reader,
) -> Result<(), ModelError> {
    let misfit = |why| Err(ModelError::Part { part: index, why });
    match part {
        Part::PanhardAxleBracket { holes, hole } => {
            let shift = shift::<T>(holes, *hole, index, r)?;
            panhard(linkage, index)?.axle += shift;
        }
        Part::PanhardChassisBracket { holes, hole } => {
            let shift = shift::<T>(holes, *hole, index, r)?;
            panhard(linkage, index)?.chassis += shift;
        }
        Part::PanhardLength { change_mm, .. } => {
            let change = r.read::<T>("panhard_length_mm", change_mm);
            panhard(linkage, index)?.length += change;
        }
        Part::DragLinkLength { change_mm, .. } => {
            let change = r.read::<T>("drag_link_length_mm", change_mm);
            let Some(turning) = turning else {
                return misfit("there is no steering linkage: describe it first");
            };
            turning.drag_length += change;
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
                Members::Arms(arms) => {
                    for (arm, s) in arms.iter_mut().zip(s) {
                        if let Some(eye) = &mut arm.to_chassis {
                            eye.on_body += s;
                        }
                    }
                }
                Members::Leaves(_) => return misfit("leaf springs have no arm brackets"),
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
                Members::Arms(_) | Members::Leaves(_) => {
                    return misfit("radius arms and leaf springs have no upper link");
                }
            }
        }
        // These make room for the tire and move nothing.
        Part::ArchTrim { .. } | Part::BumpStop { .. } | Part::SteeringStop { .. } => {}
    }
    Ok(())
}

fn panhard<T>(linkage: &mut Linkage<T>, part: usize) -> Result<&mut Link<T>, ModelError> {
    let why = "there is no Panhard bar";
    linkage.panhard.as_mut().ok_or(ModelError::Part { part, why })
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
