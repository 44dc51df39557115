//! What a person does to the parts on the shelf, and how the plan keeps up with them.

use fitment::truck::{Axle, End, Offer, Part, Truck};

/// One change of an axle's shelf.
#[derive(Debug, Clone, PartialEq)]
pub enum ShelfChange {
    /// Puts a part there, to choose from.
    Add(Box<Part>),
    /// Takes one off, and out of the plan.
    Remove(usize),
    /// Another hole on a bracket, like its last.
    AddHole(usize),
    /// A hole of a bracket away.
    TakeHole(usize, usize),
    /// Offers the angle or size typed for it among those to choose from.
    AddChoice(usize),
    /// A choice away.
    TakeChoice(usize, usize),
    /// How far an adjustable part can be set each way, mm or degrees.
    Range(usize, [f64; 2]),
}

impl ShelfChange {
    /// Makes it; `None` when there is no such part, or it has no such thing.
    pub fn apply(&self, axle: &mut Axle) -> Option<()> {
        let offers = &mut axle.shelf.parts;
        match self {
            Self::Add(part) => offers.push(Offer::of((**part).clone())),
            Self::Remove(index) => {
                offers.get(*index)?;
                let gone = offers.remove(*index);
                let left = offers.iter().any(|offer| offer.part.kind() == gone.part.kind());
                axle.planned.parts.retain(|part| {
                    part.kind() != gone.part.kind() || left && !part.comes_from(&gone.part)
                });
            }
            Self::AddHole(index) => {
                let holes = holes(offers, *index)?;
                let mut next = holes.last()?.clone();
                next.name = (holes.len() + 1).to_string();
                holes.push(next);
            }
            Self::TakeHole(index, hole) => {
                let holes = holes(offers, *index)?;
                if holes.len() < 2 || *hole >= holes.len() {
                    return None;
                }
                holes.remove(*hole);
                if let Part::Bracket { hole, holes, .. } = &mut offers.get_mut(*index)?.part {
                    *hole = (*hole).min(holes.len() - 1);
                }
            }
            Self::AddChoice(index) => {
                let (set, choices) = match &mut offers.get_mut(*index)?.part {
                    Part::Turn { angle_deg: set, choices_deg: choices, .. }
                    | Part::Step { step_mm: set, choices_mm: choices, .. } => (set.value, choices),
                    _ => return None,
                };
                if choices.iter().any(|choice| (choice - set).abs() < 1e-6) {
                    return None;
                }
                let place = choices.iter().take_while(|choice| **choice < set).count();
                choices.insert(place, set);
            }
            Self::TakeChoice(index, choice) => match &mut offers.get_mut(*index)?.part {
                Part::Turn { choices_deg: choices, .. }
                | Part::Step { choices_mm: choices, .. } => {
                    choices.get(*choice)?;
                    choices.remove(*choice);
                }
                _ => return None,
            },
            Self::Range(index, [low, high]) => {
                let part = &mut offers.get_mut(*index)?.part;
                let (Part::Length { change_mm: set, range_mm: range, .. }
                | Part::SteeringStop { lock_deg: set, range_deg: range }) = part
                else {
                    return None;
                };
                *range = [*low, *high];
                set.value = set.value.max(*low).min(*high);
            }
        }
        Some(())
    }
}

fn holes(offers: &mut [Offer], index: usize) -> Option<&mut Vec<fitment::truck::Hole>> {
    match &mut offers.get_mut(index)?.part {
        Part::Bracket { holes, .. } => Some(holes),
        _ => None,
    }
}

/// Where the plan has a part of the shelf: that one, or, where the shelf has no other of its kind,
/// any of its kind.
pub fn fitted_like(axle: &Axle, offer: &Part) -> Option<(usize, Part)> {
    let alone = axle.shelf.parts.iter().filter(|it| it.part.kind() == offer.kind()).count() < 2;
    let is = |part: &Part| part.kind() == offer.kind() && (alone || part.comes_from(offer));
    let found = axle.planned.parts.iter().enumerate().find(|(_, part)| is(part));
    found.map(|(index, part)| (index, part.clone()))
}

/// Lets planned parts have the holes, choices and reach of what they are on the shelf, where that
/// has changed; how they are set stays as far as it can.
pub fn follow(before: &Truck, truck: &mut Truck) {
    for end in [End::Front, End::Rear] {
        let (Some(old), Some(axle)) = (before.axle(end), truck.axle_mut(end)) else { continue };
        if old.shelf.parts.len() != axle.shelf.parts.len() {
            continue;
        }
        for (was, is) in old.shelf.parts.iter().zip(&axle.shelf.parts) {
            if was.part == is.part {
                continue;
            }
            let Some((index, _)) = fitted_like(old, &was.part) else { continue };
            if let Some(planned) = axle.planned.parts.get_mut(index) {
                *planned = set_as(planned, &is.part);
            }
        }
    }
}

/// A part of the shelf, set as another of its kind is.
fn set_as(like: &Part, offer: &Part) -> Part {
    let mut part = offer.clone();
    match (&mut part, like) {
        (Part::Bracket { hole, holes, .. }, Part::Bracket { hole: was, .. }) => {
            *hole = (*was).min(holes.len().saturating_sub(1));
        }
        (
            Part::Length { change_mm: set, range_mm: [low, high], .. },
            Part::Length { change_mm: was, .. },
        )
        | (
            Part::SteeringStop { lock_deg: set, range_deg: [low, high] },
            Part::SteeringStop { lock_deg: was, .. },
        ) => {
            set.clone_from(was);
            set.value = set.value.max(*low).min(*high);
        }
        (Part::Turn { angle_deg: set, .. }, Part::Turn { angle_deg: was, .. })
        | (Part::Step { step_mm: set, .. }, Part::Step { step_mm: was, .. })
        | (Part::ArchTrim { depth_mm: set }, Part::ArchTrim { depth_mm: was }) => {
            set.clone_from(was);
        }
        _ => {}
    }
    part
}
