//! What the shelf offers: the same kind of part is one slot, a slot is filled once, and each hole,
//! angle and way of setting a length is a choice.

use super::target::Target;
use crate::{
    axle::{Answer, Output},
    truck::{Member, Part, PartKind, Shelf, Step},
};

/// Parts of one kind, of which at most one is fitted.
#[derive(Debug, Clone)]
pub(super) struct Slot {
    /// What the truck wears of this kind: stays on where nothing is chosen.
    pub worn: Vec<Part>,
    /// The choices; fitting none of them is not among them.
    pub choices: Vec<Choice>,
}

/// One way to fill a slot.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// The part as it is fitted.
    pub part: Part,
    /// What its length is set to serve; `None` for a part that is as it is.
    pub set: Option<Set>,
}

/// What a length is set for: the output that is to come to a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Set {
    pub output: Output,
    pub want: f64,
    /// Shortest and longest change it can be set to, mm.
    pub range: [f64; 2],
}

/// True when two parts are of one kind and so exclude each other.
pub(super) fn same_slot(a: &Part, b: &Part) -> bool {
    a.kind() == b.kind()
}

/// Whether a part can put the geometry right: not what only makes room for the tire, nor what rolls or
/// sets the height, which the person has decided on.
pub const fn is_searched(part: &Part) -> bool {
    let kind = part.kind();
    let decided = matches!(
        kind,
        PartKind::Wheel | PartKind::Tire | PartKind::Step(Step::Spacer | Step::Spring)
    );
    !(decided || part.makes_room())
}

/// The shelf sorted into slots, in its order.
pub(super) fn slots(shelf: &Shelf, worn: &[Part], stock: &Answer, targets: &[Target]) -> Vec<Slot> {
    let mut slots: Vec<(&Part, Slot)> = Vec::new();
    for part in shelf.parts.iter().map(|offer| &offer.part).filter(|part| is_searched(part)) {
        let found = slots.iter().position(|(kind, _)| same_slot(kind, part));
        let index = found.unwrap_or_else(|| {
            let worn = worn.iter().filter(|worn| same_slot(worn, part)).cloned().collect();
            slots.push((part, Slot { worn, choices: Vec::new() }));
            slots.len() - 1
        });
        let Some((_, slot)) = slots.get_mut(index) else { continue };
        slot.choices.extend(choices(part, stock, targets));
    }
    slots.into_iter().map(|(_, slot)| slot).filter(|slot| !slot.choices.is_empty()).collect()
}

/// The ways to fit a part.
fn choices(part: &Part, stock: &Answer, targets: &[Target]) -> Vec<Choice> {
    let fixed = |part| Choice { part, set: None };
    match part {
        Part::Bracket { moves, holes, .. } => {
            (0..holes.len()).map(|hole| fixed(Part::bracket(*moves, holes.clone(), hole))).collect()
        }
        Part::Turn { by, angle_deg, choices_deg } => {
            let own = [angle_deg.value];
            let angles = if choices_deg.is_empty() { &own[..] } else { choices_deg };
            let turn = |angle: &f64| fixed(Part::turn(*by, *angle, choices_deg.clone()));
            angles.iter().map(turn).collect()
        }
        Part::Step { of, step_mm, choices_mm } => {
            let own = [step_mm.value];
            let sizes = if choices_mm.is_empty() { &own[..] } else { choices_mm };
            let step = |size: &f64| fixed(Part::step(*of, *size, choices_mm.clone()));
            sizes.iter().map(step).collect()
        }
        Part::Length { of, range_mm, .. } => lengths(part, *of, *range_mm, stock, targets),
        Part::DoubleCardan {} => vec![fixed(part.clone())],
        Part::Bend { .. }
        | Part::ArchTrim { .. }
        | Part::SteeringStop { .. }
        | Part::Wheel { .. }
        | Part::Tire { .. } => Vec::new(),
    }
}

/// A length that can be set is set for what it serves, or goes to an end of its thread; one of a
/// single length is fitted as it is.
fn lengths(
    part: &Part,
    of: Member,
    range: [f64; 2],
    stock: &Answer,
    targets: &[Target],
) -> Vec<Choice> {
    let fixed = |part| Choice { part, set: None };
    if !range.iter().all(|end| end.is_finite()) {
        return Vec::new();
    }
    let range = [range[0].min(range[1]), range[0].max(range[1])];
    if range[0] >= range[1] {
        return vec![fixed(part.clone())];
    }
    let served: &[Output] = match of {
        Member::Panhard => &[Output::LateralShift],
        Member::DragLink => &[Output::SteeringWheel],
        // On an axle that does not steer caster is how far it leans, and nobody asks for that.
        Member::UpperLink if stock.model.steering.is_some() => &[Output::Caster, Output::Pinion],
        Member::UpperLink => &[Output::Pinion],
        Member::Arm | Member::BumpStop | Member::Driveshaft | Member::BrakeHose => &[],
    };
    let set = |output: &Output| {
        let want = wanted(*output, stock, targets)?;
        let set = Some(Set { output: *output, want, range });
        Some(Choice { part: part.clone(), set })
    };
    let ends = range.map(|end| fixed(with_length(part, end)));
    served.iter().filter_map(set).chain(ends).collect()
}

/// What an output is to come to: what it was when stock, or as near to that as its target lets it
/// be. The steering wheel is always set straight.
fn wanted(output: Output, stock: &Answer, targets: &[Target]) -> Option<f64> {
    let stock = stock.attitude.get(output)?;
    let target = targets.iter().find(|target| target.output == output);
    Some(match target {
        Some(target) if output != Output::SteeringWheel => {
            // Not `clamp`, which wants its ends in order.
            stock.max(target.band.low).min(target.band.high)
        }
        _ => stock,
    })
}

/// A settable part at another length, mm from stock.
pub(super) fn with_length(part: &Part, change: f64) -> Part {
    match part {
        Part::Length { of, range_mm, .. } => Part::length(*of, change, *range_mm),
        other => other.clone(),
    }
}
