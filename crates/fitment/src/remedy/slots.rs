//! What the shelf offers: the same kind of part is one slot, a slot is filled once, and each hole,
//! angle and way of setting a length is a choice.

use super::target::Target;
use crate::{
    axle::{Answer, Output},
    truck::{Member, Offer, Part},
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

/// The shelf sorted into slots, in its order. What only makes room for the tire cannot put the
/// geometry right and is left out.
pub(super) fn slots(
    shelf: &[Offer],
    worn: &[Part],
    stock: &Answer,
    targets: &[Target],
) -> Vec<Slot> {
    let mut slots: Vec<(&Part, Slot)> = Vec::new();
    for part in shelf.iter().map(|offer| &offer.part).filter(|part| !part.makes_room()) {
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
        Part::Bracket { holes, .. } => {
            (0..holes.len()).map(|hole| fixed(in_hole(part, hole))).collect()
        }
        Part::Turn { by, angle_deg, choices_deg } => {
            let own = [angle_deg.value];
            let angles = if choices_deg.is_empty() { &own[..] } else { choices_deg };
            let turn = |&angle: &f64| fixed(Part::turn(*by, angle, choices_deg.clone()));
            angles.iter().map(turn).collect()
        }
        Part::Length {
            of: Member::Panhard | Member::DragLink | Member::UpperLink,
            range_mm,
            ..
        } => lengths(part, *range_mm, stock, targets),
        _ => Vec::new(),
    }
}

/// A length that can be set is set for what it serves, or goes to an end of its thread; one of a
/// single length is fitted as it is.
fn lengths(part: &Part, range: [f64; 2], stock: &Answer, targets: &[Target]) -> Vec<Choice> {
    let fixed = |part| Choice { part, set: None };
    if !range.iter().all(|end| end.is_finite()) {
        return Vec::new();
    }
    let range = [range[0].min(range[1]), range[0].max(range[1])];
    if range[0] >= range[1] {
        return vec![fixed(part.clone())];
    }
    let served: &[Output] = match part {
        Part::Length { of: Member::Panhard, .. } => &[Output::LateralShift],
        Part::Length { of: Member::DragLink, .. } => &[Output::SteeringWheel],
        // On an axle that does not steer caster is how far it leans, and nobody asks for that.
        Part::Length { of: Member::UpperLink, .. } if stock.model.steering.is_some() => {
            &[Output::Caster, Output::Pinion]
        }
        Part::Length { of: Member::UpperLink, .. } => &[Output::Pinion],
        _ => &[],
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

/// A bracket with the bolt in another hole.
fn in_hole(part: &Part, hole: usize) -> Part {
    match part {
        Part::Bracket { moves, holes, .. } => Part::bracket(*moves, holes.clone(), hole),
        other => other.clone(),
    }
}

/// A settable part at another length, mm from stock.
pub(super) fn with_length(part: &Part, change: f64) -> Part {
    match part {
        Part::Length { of, range_mm, .. } => Part::length(*of, change, *range_mm),
        other => other.clone(),
    }
}
