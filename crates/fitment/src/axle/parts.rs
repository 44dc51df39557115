//! Fits corrections to an axle: a bracket moves a pivot, a longer bar is longer, a bush turns the
//! axle in its arms, another wheel stands elsewhere.

use super::{
    linkage::{Link, Members},
    members::turn_on_bushes,
    model::{AxleModel, ModelError, Rolling},
    reader::Reader,
    real::{Real, norm},
    rotation::about_y,
    steering::SteeringLinkage,
};
use crate::{
    measure::Known,
    tire,
    truck::{Hole, Member, Part, Pivot, Step, Tire, Turning, Wheel},
};
use nalgebra::Vector3;

/// Fits `parts` in order to an axle that wears none.
pub(super) fn fit<'a, T: Real>(
    model: &mut AxleModel<T>,
    parts: impl IntoIterator<Item = &'a Part>,
    r: &mut Reader,
) -> Result<(), ModelError> {
    let mut rolling = model.bare.rolling;
    for (part, it) in parts.into_iter().enumerate() {
        r.within("parts", |r| fit_one(model, &mut rolling, it, r)).map_err(|why| match why {
            Misfit::Why(why) => ModelError::Part { part, why },
            Misfit::Hole { hole, holes } => ModelError::Hole { part, hole, holes },
        })?;
    }
    model.roll_on(&rolling);
    Ok(())
}

/// Why a part does not fit.
enum Misfit {
    Why(&'static str),
    Hole { hole: usize, holes: usize },
}

fn fit_one<T: Real>(
    model: &mut AxleModel<T>,
    rolling: &mut Rolling<T>,
    part: &Part,
    r: &mut Reader,
) -> Result<(), Misfit> {
    match part {
        Part::Bracket { moves, holes, hole } => {
            let shift = shift::<T>(holes, *hole, r)?;
            return bracket(model, *moves, shift);
        }
        Part::Length { of, change_mm, .. } => return length(model, *of, change_mm, r),
        Part::Turn { by, angle_deg, .. } => {
            let name = match by {
                Turning::CasterBush => "caster_bush_deg",
                Turning::Wedge => "wedge_deg",
                Turning::KnuckleFlange => "knuckle_flange_deg",
            };
            return turn(model, *by, r.read_deg::<T>(name, angle_deg));
        }
        Part::Step { of, step_mm, .. } => match of {
            Step::Spacer => rolling.spacer = r.read("spacer_mm", step_mm),
            Step::Spring => {
                let raised = r.read::<T>("spring_height_mm", step_mm);
                rolling.lift = rolling.lift.map(|lift| lift + raised);
            }
            Step::Pitman => {
                steering(model)?.pitman_end.z -= r.read::<T>("pitman_drop_mm", step_mm);
            }
            Step::TransferCase => {
                let drop = r.read::<T>("case_drop_mm", step_mm);
                model.driveline.as_mut().ok_or(DRIVELINE)?.case.z -= drop;
            }
        },
        Part::Bend { x_mm, y_mm, z_mm } => {
            if matches!(model.fitted.members, Members::Leaves(_)) {
                return Err(Misfit::Why("leaf springs have no arms to bend"));
            }
            let bend = r.within("bend", |r| {
                Vector3::new(r.read("x_mm", x_mm), r.read("y_mm", y_mm), r.read("z_mm", z_mm))
            });
            model.bend = Some(bend);
        }
        Part::DoubleCardan {} => model.driveline.as_mut().ok_or(DRIVELINE)?.double = true,
        Part::Wheel { wheel } => {
            rolling.offset = r.within("wheel", |r| r.read("offset_mm", &wheel.offset_mm));
        }
        Part::Tire { tire } => {
            let [radius, diameter] =
                sizes(tire).ok_or(Misfit::Why("the size of its tire does not read"))?;
            r.within("tire", |r| {
                rolling.loaded_radius = r.read("loaded_radius_mm", &radius);
                rolling.tire_diameter = r.read("diameter_mm", &diameter);
            });
        }
        // These make room for the tire and move nothing.
        Part::ArchTrim { .. } | Part::SteeringStop { .. } => {}
    }
    Ok(())
}

const DRIVELINE: Misfit = Misfit::Why("there is no driveline: describe it first");

fn bracket<T: Real>(
    model: &mut AxleModel<T>,
    moves: Pivot,
    shift: Vector3<T>,
) -> Result<(), Misfit> {
    // Across, a hole of a pair counts outboard on both sides.
    let sides = [shift, Vector3::new(shift.x, -shift.y, shift.z)];
    let members = &mut model.fitted.members;
    match (moves, members) {
        (Pivot::PanhardAxle, _) => panhard(model)?.axle += shift,
        (Pivot::PanhardChassis, _) => panhard(model)?.chassis += shift,
        (Pivot::DragLink, _) => steering(model)?.drag_end += shift,
        (Pivot::Arm, Members::Leaves(_)) => {
            return Err(Misfit::Why("leaf springs have no arm brackets"));
        }
        (Pivot::Arm, Members::Arms(arms)) => {
            for (arm, shift) in arms.iter_mut().zip(sides) {
                if let Some(eye) = &mut arm.to_chassis {
                    eye.on_body += shift;
                }
            }
        }
        (_, Members::Arms(_) | Members::Leaves(_)) => {
            return Err(Misfit::Why("radius arms and leaf springs have no such links"));
        }
        (
            Pivot::Arm | Pivot::LowerAxle,
            Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]),
        ) => {
            for (link, shift) in [left, right].into_iter().zip(sides) {
                *end(link, moves == Pivot::Arm) += shift;
            }
        }
        (Pivot::UpperChassis | Pivot::UpperAxle, Members::ThreeLinks([_, _, upper])) => {
            *end(upper, moves == Pivot::UpperChassis) += shift;
        }
        (Pivot::UpperChassis | Pivot::UpperAxle, Members::FourLinks([_, _, uppers @ ..])) => {
            for (link, shift) in uppers.iter_mut().zip(sides) {
                *end(link, moves == Pivot::UpperChassis) += shift;
            }
        }
    }
    Ok(())
}

const fn end<T>(link: &mut Link<T>, chassis: bool) -> &mut Vector3<T> {
    if chassis { &mut link.chassis } else { &mut link.axle }
}

/// The name a member's change of length is read by; none for a bump stop, which moves nothing: it
/// ends the travel.
pub(crate) const fn length_name(of: Member) -> Option<&'static str> {
    Some(match of {
        Member::Panhard => "panhard_length_mm",
        Member::DragLink => "drag_link_length_mm",
        Member::UpperLink => "upper_link_length_mm",
        Member::Arm => "arm_length_mm",
        Member::Driveshaft => "driveshaft_length_mm",
        Member::BrakeHose => "hose_length_mm",
        Member::BumpStop => return None,
    })
}

fn length<T: Real>(
    model: &mut AxleModel<T>,
    of: Member,
    change: &Known,
    r: &mut Reader,
) -> Result<(), Misfit> {
    let Some(name) = length_name(of) else { return Ok(()) };
    let change = r.read::<T>(name, change);
    match (of, &mut model.fitted.members) {
        (Member::Panhard, _) => panhard(model)?.length += change,
        (Member::DragLink, _) => steering(model)?.drag_length += change,
        (Member::Driveshaft, _) => model.driveline.as_mut().ok_or(DRIVELINE)?.longer += change,
        (Member::BrakeHose, _) => {
            let missing = Misfit::Why("there is no brake hose: describe it first");
            model.hose.as_mut().ok_or(missing)?.length += change;
        }
        (Member::Arm, Members::Arms(arms)) => {
            for arm in arms {
                let root = arm.axle_end();
                if let Some(eye) = &mut arm.to_chassis {
                    let along = eye.on_limb - root;
                    eye.on_limb += along * (change / norm(&along));
                }
            }
        }
        (Member::UpperLink, Members::ThreeLinks([_, _, upper])) => upper.length += change,
        (
            Member::Arm,
            Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]),
        )
        | (Member::UpperLink, Members::FourLinks([_, _, left, right])) => {
            left.length += change;
            right.length += change;
        }
        (Member::UpperLink, Members::Arms(_)) | (_, Members::Leaves(_)) => {
            return Err(Misfit::Why("radius arms and leaf springs have no such link"));
        }
        (Member::BumpStop, _) => {}
    }
    Ok(())
}

/// Turns by `angle`, rad; positive adds caster.
fn turn<T: Real>(model: &mut AxleModel<T>, by: Turning, angle: T) -> Result<(), Misfit> {
    match (by, &mut model.fitted.members) {
        (Turning::CasterBush | Turning::Wedge, Members::Arms(arms)) => {
            for arm in arms {
                if let [Some(far), Some(near)] = &mut arm.to_axle {
                    turn_on_bushes(far, near, angle);
                }
            }
        }
        (Turning::Wedge, Members::Leaves(leaves)) => {
            for [fixed, hung, _] in leaves {
                if let ([Some(a), _], [Some(b), _]) = (&mut fixed.to_axle, &mut hung.to_axle) {
                    turn_on_bushes(a, b, angle);
                }
            }
        }
        (Turning::CasterBush, _) => {
            return Err(Misfit::Why("eccentric caster bushes go into radius arms"));
        }
        (Turning::Wedge, _) => {
            return Err(Misfit::Why("caster wedges go on leaf springs or radius arms"));
        }
        (Turning::KnuckleFlange, _) => {
            let axes = model.steering.as_mut().ok_or(Misfit::Why("this axle does not steer"))?;
            // About the axle's own centreline; a positive turn about y leans the top forward.
            let turn = about_y(-angle);
            for axis in axes {
                axis.point = turn * axis.point;
                axis.direction = turn * axis.direction;
            }
            if let Some(linkage) = &mut model.turning {
                for joint in linkage.tie.iter_mut().chain([&mut linkage.drag_end]) {
                    *joint = turn * *joint;
                }
            }
            model.flange += angle;
        }
    }
    Ok(())
}

/// A tire's loaded radius and diameter. The wheel's width has no say in either.
fn sizes(it: &Tire) -> Option<[Known; 2]> {
    let usual = Wheel::new(Known::exact(203.2), Known::exact(0.0));
    let dims = tire::resolve(it, &usual).ok()?;
    Some([dims.loaded_radius, dims.diameter])
}

fn panhard<T>(model: &mut AxleModel<T>) -> Result<&mut Link<T>, Misfit> {
    model.fitted.panhard.as_mut().ok_or(Misfit::Why("there is no Panhard bar"))
}

fn steering<T>(model: &mut AxleModel<T>) -> Result<&mut SteeringLinkage<T>, Misfit> {
    let missing = Misfit::Why("there is no steering linkage: describe it first");
    model.turning.as_mut().ok_or(missing)
}

/// Where the chosen hole puts the pivot.
fn shift<T: Real>(holes: &[Hole], hole: usize, r: &mut Reader) -> Result<Vector3<T>, Misfit> {
    let chosen = holes.get(hole).ok_or(Misfit::Hole { hole, holes: holes.len() })?;
    Ok(r.within("hole", |r| {
        Vector3::new(
            r.read("x_mm", &chosen.x_mm),
            r.read("y_mm", &chosen.y_mm),
            r.read("z_mm", &chosen.z_mm),
        )
    }))
}

#[cfg(test)]
mod tests;
