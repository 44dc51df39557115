//! Where to hold the tape for a thing beside the wheels, on the driver's left.

use super::{Run, View};
use fitment::measure::Known;
use fitment::truck::{Axle, Shape};

/// What a dimension of a drawing runs along.
type Placed = (View, [f64; 3], [f64; 3], Run);

/// The dimension of a thing's field; `None` for an outline's, which is drawn as it is typed.
pub fn of_thing(axle: &Axle, index: usize, field: &str) -> Option<Placed> {
    let field = field.strip_prefix("shape.")?;
    match &axle.surroundings.things.get(index)?.shape {
        Shape::Box { front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm } => {
            let middle = |a: &Known, b: &Known| f64::midpoint(a.value, b.value);
            let at = [middle(front_mm, rear_mm), outer_mm.value, bottom_mm.value];
            Some(match field {
                "front_mm" => fore_and_aft(front_mm.value, at),
                "rear_mm" => fore_and_aft(rear_mm.value, at),
                "inner_mm" => across(inner_mm.value, at, -14.0),
                "outer_mm" => across(outer_mm.value, at, 14.0),
                "bottom_mm" => upright(bottom_mm.value, at),
                _ => upright(top_mm.value, at),
            })
        }
        Shape::Bar { from, to, .. } => {
            let at = if field.starts_with("to.") { to } else { from }.mm();
            Some(match field.rsplit_once('.') {
                Some((_, "x_mm")) => fore_and_aft(at[0], at),
                Some((_, "y_mm")) => across(at[1], at, 14.0),
                Some((_, "z_mm")) => upright(at[2], at),
                _ => (View::Across, at, at, Run::Note),
            })
        }
        Shape::InsideWheel { reach_mm, inboard_mm, outboard_mm } => {
            let face = axle.hub_face_width_mm.value / 2.0;
            let reach = reach_mm.value;
            Some(match field {
                "reach_mm" => {
                    (View::Side, [0.0, face, 0.0], [0.0, face, reach], Run::Upright(18.0))
                }
                "inboard_mm" => past(face, -inboard_mm.value, reach, -14.0),
                _ => past(face, outboard_mm.value, reach, -34.0),
            })
        }
        Shape::Outline { .. } => None,
    }
}

fn fore_and_aft(x: f64, [_, y, z]: [f64; 3]) -> Placed {
    (View::Side, [0.0, y, z], [x, y, z], Run::Level(16.0))
}

fn across(y: f64, [x, _, z]: [f64; 3], off: f64) -> Placed {
    (View::Across, [x, 0.0, z], [x, y, z], Run::Level(off))
}

fn upright(z: f64, [x, y, _]: [f64; 3]) -> Placed {
    (View::Across, [x, y, 0.0], [x, y, z], Run::Upright(18.0))
}

/// From the mounting face outward along the axle, above what stands there.
fn past(face: f64, outward: f64, reach: f64, off: f64) -> Placed {
    (View::Across, [0.0, face, reach], [0.0, face + outward, reach], Run::Level(off))
}
