//! What stands beside the wheels, one by one: its fields, and what a person does to the list.

use super::catalog::Spec;
use super::field::end_name;
use fitment::measure::Known;
use fitment::truck::{
    Axle, Corner, End, KINDS, Measure, Mount, Point, Shape, Thing, ThingKind, ThingSide, View,
};

/// What can be done to the list of things; each is told by its place in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThingChange {
    /// One more of a kind, every figure a stand-in.
    Add(ThingKind),
    /// Takes one away.
    Remove(usize),
    /// Which side has it.
    Side(usize, ThingSide),
    /// What carries it.
    On(usize, Mount),
    /// As what it is measured.
    As(usize, Form),
    /// One more corner of an outline.
    Corner(usize),
}

/// As what a thing is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A block.
    Block,
    /// A round bar.
    Bar,
    /// An outline seen from the side.
    Outline,
}

impl Form {
    /// Of a shape; something inside the wheel is always that.
    pub const fn of(shape: &Shape) -> Option<Self> {
        match shape {
            Shape::Box { .. } => Some(Self::Block),
            Shape::Bar { .. } => Some(Self::Bar),
            Shape::Outline { .. } => Some(Self::Outline),
            Shape::InsideWheel { .. } => None,
        }
    }
}

impl ThingChange {
    /// Makes the change; `None` when there is no such thing.
    pub fn apply(self, axle: &mut Axle, end: End) -> Option<()> {
        let things = &mut axle.surroundings.things;
        match self {
            Self::Add(kind) => things.push(Thing::new(kind, end)),
            Self::Remove(index) => {
                things.get(index)?;
                things.remove(index);
            }
            Self::Side(index, side) => things.get_mut(index)?.side = side,
            Self::On(index, on) => things.get_mut(index)?.on = on,
            Self::As(index, form) => {
                let thing = things.get_mut(index)?;
                if Form::of(&thing.shape) != Some(form) {
                    thing.shape = started(form, end);
                }
            }
            Self::Corner(index) => {
                let Shape::Outline { corners, .. } = &mut things.get_mut(index)?.shape else {
                    return None;
                };
                let (last, first) = (corners.last()?, corners.first()?);
                // Half way back to the first, from where it is moved to its place.
                let half = |a: &Known, b: &Known| {
                    Known::assumed(f64::midpoint(a.value, b.value), a.sigma.max(b.sigma))
                };
                let next = Corner {
                    a_mm: half(&last.a_mm, &first.a_mm),
                    b_mm: half(&last.b_mm, &first.b_mm),
                };
                corners.push(next);
            }
        }
        Some(())
    }
}

/// A shape of this form to start from: a block as typically found, a bar along its length, its
/// outline from the side.
fn started(form: Form, end: End) -> Shape {
    let block = Thing::new(ThingKind::Other, end).shape;
    let Shape::Box { front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm } = &block else {
        return block;
    };
    let middle = |a: &Known, b: &Known| Known::assumed(f64::midpoint(a.value, b.value), a.sigma);
    match form {
        Form::Block => block,
        Form::Bar => {
            let end = |x_mm: &Known| Point {
                x_mm: x_mm.clone(),
                y_mm: middle(inner_mm, outer_mm),
                z_mm: middle(bottom_mm, top_mm),
            };
            let half = (top_mm.value - bottom_mm.value) / 2.0;
            let radius_mm = Known::assumed(half, half / 4.0);
            Shape::Bar { from: end(rear_mm), to: end(front_mm), radius_mm }
        }
        Form::Outline => {
            let corner = |a: &Known, b: &Known| Corner { a_mm: a.clone(), b_mm: b.clone() };
            Shape::Outline {
                view: View::Side,
                corners: vec![
                    corner(rear_mm, bottom_mm),
                    corner(front_mm, bottom_mm),
                    corner(front_mm, top_mm),
                    corner(rear_mm, top_mm),
                ],
                from_mm: inner_mm.clone(),
                to_mm: outer_mm.clone(),
            }
        }
    }
}

/// Words of a field that is not among the first a person measures: the end of its path, its name
/// and how to take it.
const WORDS: [(&str, &str, &str); 20] = [
    ("front_mm", "Front face", "Ahead of the axle's centerline; negative when behind."),
    ("rear_mm", "Rear face", "Ahead of the axle's centerline; negative when behind."),
    ("inner_mm", "Inner side", "Out from the truck's centerline."),
    ("outer_mm", "Outer side", "Out from the truck's centerline."),
    ("bottom_mm", "Bottom", "Above the axle's centerline; negative when below."),
    ("top_mm", "Top", "Above the axle's centerline; negative when below."),
    ("from.x_mm", "First end, forward", "Ahead of the axle's centerline; negative when behind."),
    ("from.y_mm", "First end, out", "Out from the truck's centerline."),
    ("from.z_mm", "First end, up", "Above the axle's centerline; negative when below."),
    ("to.x_mm", "Other end, forward", "Ahead of the axle's centerline; negative when behind."),
    ("to.y_mm", "Other end, out", "Out from the truck's centerline."),
    ("to.z_mm", "Other end, up", "Above the axle's centerline; negative when below."),
    ("radius_mm", "Half its thickness", "Across it where it is thickest, then halved."),
    ("reach_mm", "Farthest from the hub", "From the hub's middle to its farthest corner."),
    ("inboard_mm", "Inboard end", "Inboard of the wheel's mounting face; negative when outboard."),
    (
        "outboard_mm",
        "Outboard end",
        "Outboard of the wheel's mounting face; negative when inboard.",
    ),
    ("from_mm", "Inner side", "Where it begins, out from the truck's centerline."),
    ("to_mm", "Outer side", "Where it ends, out from the truck's centerline."),
    ("a_mm", "Corner, forward", "Ahead of the axle's centerline; negative when behind."),
    ("b_mm", "Corner, up", "Above the axle's centerline; negative when below."),
];

/// Paths within a shape, in the order of its parts.
fn fields(shape: &Shape) -> Vec<String> {
    let named = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
    match shape {
        Shape::Box { .. } => {
            named(&["front_mm", "rear_mm", "inner_mm", "outer_mm", "bottom_mm", "top_mm"])
        }
        Shape::Bar { .. } => named(&[
            "from.x_mm",
            "from.y_mm",
            "from.z_mm",
            "to.x_mm",
            "to.y_mm",
            "to.z_mm",
            "radius_mm",
        ]),
        Shape::Outline { corners, .. } => {
            let mut names: Vec<String> = named(&["from_mm", "to_mm"]);
            for index in 0..corners.len() {
                names.extend(["a_mm", "b_mm"].map(|axis| format!("corners[{index}].{axis}")));
            }
            names
        }
        Shape::InsideWheel { .. } => named(&["reach_mm", "inboard_mm", "outboard_mm"]),
    }
}

/// What is measured first on a thing, in the shape it has.
pub fn measures(thing: &Thing) -> impl Iterator<Item = &'static Measure> {
    let fields = fields(&thing.shape);
    let all = KINDS.iter().filter(|info| info.kind == thing.kind).flat_map(|info| info.measures);
    all.filter(move |measure| fields.iter().any(|field| field == measure.field))
}

/// Where a thing's numbers live.
pub fn path(end: End, index: usize) -> String {
    format!("{}.surroundings.things[{index}]", end_name(end))
}

/// A thing's fields: what is measured first, then the rest.
pub fn specs(thing: &Thing, end: End, index: usize) -> Vec<Spec> {
    let shape = format!("{}.shape", path(end, index));
    let mut specs: Vec<Spec> = measures(thing)
        .map(|measure| Spec {
            path: format!("{shape}.{}", measure.field),
            label: measure.label,
            help: measure.hold,
        })
        .collect();
    for field in fields(&thing.shape) {
        let path = format!("{shape}.{field}");
        let words = WORDS.iter().find(|(end, ..)| path.ends_with(&format!(".{end}")));
        if let Some((_, label, help)) = words
            && specs.iter().all(|spec| spec.path != path)
        {
            specs.push(Spec { path, label, help });
        }
    }
    specs
}

/// A path within the things of an axle: which one, and its field.
pub fn of_path(path: &str) -> Option<(usize, &str)> {
    let (index, field) = path.split_once(".surroundings.things[")?.1.split_once("].")?;
    Some((index.parse().ok()?, field))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::field;
    use fitment::truck::{LayoutKind, Truck};

    fn with(kind: ThingKind) -> Truck {
        let mut truck = Truck::typical(LayoutKind::RadiusArms, None);
        let axle = truck.front.as_mut().expect("a front axle");
        axle.surroundings.things.clear();
        ThingChange::Add(kind).apply(axle, End::Front).expect("it is added");
        truck
    }

    #[test]
    fn every_field_of_every_kind_has_words_and_a_place() {
        for kind in ThingKind::ALL {
            let truck = with(kind);
            let thing = &truck.front.as_ref().expect("there").surroundings.things[0];
            let specs = specs(thing, End::Front, 0);
            assert_eq!(specs.len(), fields(&thing.shape).len(), "{kind:?}");
            assert!(measures(thing).count() >= 2, "{kind:?}");
            for spec in specs {
                assert!(field::known(&truck, &spec.path).is_some(), "{}", spec.path);
                let (index, _) = of_path(&spec.path).expect("a thing's");
                assert_eq!(index, 0);
            }
        }
    }

    #[test]
    fn a_thing_takes_any_form_and_goes_again() {
        let mut truck = with(ThingKind::Other);
        let axle = truck.front.as_mut().expect("there");
        for form in [Form::Bar, Form::Outline, Form::Block] {
            ThingChange::As(0, form).apply(axle, End::Front).expect("there");
            assert_eq!(Form::of(&axle.surroundings.things[0].shape), Some(form));
            let more = ThingChange::Corner(0).apply(axle, End::Front);
            assert_eq!(more.is_some(), form == Form::Outline);
        }
        ThingChange::Side(0, ThingSide::Left).apply(axle, End::Front).expect("there");
        ThingChange::On(0, Mount::Axle).apply(axle, End::Front).expect("there");
        assert_eq!(axle.surroundings.things[0].on, Mount::Axle);
        assert_eq!(truck.check(), []);
        let axle = truck.front.as_mut().expect("there");
        ThingChange::Remove(0).apply(axle, End::Front).expect("there");
        assert!(ThingChange::Remove(0).apply(axle, End::Front).is_none());
    }
}
