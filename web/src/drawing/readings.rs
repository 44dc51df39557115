//! Where a reading is taken, as a dimension in a drawing: the engine says from where to where.

use super::{Dim, Mark, Run, View};
use fitment::axle::{Kind as Item, SceneItem};
use fitment::calibrate::{Kind, Member, Spot};
use fitment::truck::Side;

/// The dimension of a reading with its number; `None` for what has no place in a drawing.
pub fn of_reading(
    kind: Kind,
    held: Option<[[f64; 3]; 2]>,
    scene: &[SceneItem],
    text: String,
) -> Option<Dim> {
    let across = |member| matches!(member, Member::Panhard | Member::DragLink);
    let beside = |member| match member {
        Member::ArmRight | Member::UpperRight => View::Right,
        member if across(member) => View::Across,
        _ => View::Side,
    };
    let of_side = |side| if side == Side::Left { View::Side } else { View::Right };
    let of_spot = |spot: Spot| if spot.key().ends_with("right") { View::Right } else { View::Side };
    let (view, run) = match kind {
        Kind::Length(member) => (beside(member), Run::Along(-34.0)),
        Kind::Rise(member) => (beside(member), Run::Upright(24.0)),
        Kind::Angle(member) => (beside(member), Run::Tilt(70.0)),
        Kind::Height(spot) => (of_spot(spot), Run::Upright(30.0)),
        Kind::Ahead(spot) => (of_spot(spot), Run::Level(34.0)),
        Kind::Left(_) => (View::Across, Run::Level(-30.0)),
        Kind::Tape(..) => (View::Plan, Run::Along(24.0)),
        Kind::Arch(side) => (of_side(side), Run::Upright(20.0)),
        Kind::Rail(_) => (View::Across, Run::Level(-18.0)),
        Kind::Wheelbase(side) => (of_side(side), Run::Level(24.0)),
        Kind::Caster(side) => (of_side(side), Run::Lean(0.0)),
        Kind::Inclination(_) | Kind::Camber(_) | Kind::Turned { .. } => {
            (View::Across, Run::Lean(0.0))
        }
        Kind::String(_) => (View::Plan, Run::Along(20.0)),
        Kind::Toe { .. } => (View::Plan, Run::Level(-26.0)),
        Kind::Frame | Kind::FloorAlong => (View::Side, Run::Tilt(70.0)),
        Kind::FloorAcross => (View::Across, Run::Tilt(70.0)),
    };
    let rail = || {
        let rail = scene.iter().find(|item| item.kind == Item::Rail)?;
        Some([*rail.points.last()?, *rail.points.first()?])
    };
    let [from, to] = held.or_else(|| rail().filter(|_| kind == Kind::Frame))?;
    let mark = if text == "?" { Mark::Assumed } else { Mark::Measured };
    Some(Dim { view, from, to, run, name: kind.label(), text, mark, path: Some(kind.key()) })
}
