//! What the shelf offers: the same kind of part is one slot, and a slot is filled once.

use crate::{measure::Known, truck::Part};

/// The work a combination takes, least first. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Work {
    /// Points: 1 for a bolt-on, 2 for pressing or drilling, 4 for welding, summed over the parts.
    pub points: u32,
    /// The heaviest kind of work in it.
    pub heaviest: WorkKind,
}

/// Kinds of work, lightest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WorkKind {
    /// Nothing to do.
    Nothing,
    /// Unbolt and bolt.
    Bolt,
    /// Press bushes or drill holes.
    PressOrDrill,
    /// Weld on axle or frame.
    Weld,
}

impl Work {
    /// The work in words.
    pub const fn words(self) -> &'static str {
        match self.heaviest {
            WorkKind::Nothing => "nothing to do",
            WorkKind::Bolt => "bolts only",
            WorkKind::PressOrDrill => "pressing or drilling",
            WorkKind::Weld => "welding on axle or frame: for a qualified welder",
        }
    }
}

/// Alternatives of one kind of part.
pub(super) struct Slot {
    /// Ready to fit as they are.
    pub fixed: Vec<Part>,
    /// Whose length can be set.
    pub settable: Option<Part>,
}

/// True when two parts are of one kind and so exclude each other.
pub(super) fn same_slot(a: &Part, b: &Part) -> bool {
    std::mem::discriminant(a) == std::mem::discriminant(b)
}

/// The shelf sorted into slots, each hole and each angle a choice of its own. What only makes room
/// for the tire cannot put the geometry right and is left out.
pub(super) fn slots(shelf: &[Part]) -> Vec<Slot> {
    let mut slots: Vec<(Part, Slot)> = Vec::new();
    for part in shelf.iter().filter(|part| !part.makes_room()) {
        let found = slots.iter().position(|(kind, _)| same_slot(kind, part));
        let index = found.unwrap_or_else(|| {
            slots.push((part.clone(), Slot { fixed: Vec::new(), settable: None }));
            slots.len() - 1
        });
        let Some((_, slot)) = slots.get_mut(index) else { continue };
        match part {
            Part::PanhardAxleBracket { holes, .. } => {
                slot.fixed.extend(
                    (0..holes.len())
                        .map(|hole| Part::PanhardAxleBracket { holes: holes.clone(), hole }),
                );
            }
            Part::PanhardChassisBracket { holes, .. } => {
                slot.fixed.extend(
                    (0..holes.len())
                        .map(|hole| Part::PanhardChassisBracket { holes: holes.clone(), hole }),
                );
            }
            Part::ArmBracket { holes, .. } => {
                slot.fixed.extend(
                    (0..holes.len()).map(|hole| Part::ArmBracket { holes: holes.clone(), hole }),
                );
            }
            Part::CasterBush { angle_deg, choices_deg } => {
                let own = [angle_deg.value];
                let angles = if choices_deg.is_empty() { &own[..] } else { choices_deg };
                slot.fixed.extend(angles.iter().map(|&angle| Part::CasterBush {
                    angle_deg: Known::exact(angle),
                    choices_deg: choices_deg.clone(),
                }));
            }
            Part::PanhardLength { range_mm, .. }
            | Part::DragLinkLength { range_mm, .. }
            | Part::UpperLinkLength { range_mm, .. } => {
                // Two equal ends are a bar of one length.
                if range_mm[0] < range_mm[1] && slot.settable.is_none() {
                    slot.settable = Some(part.clone());
                } else {
                    slot.fixed.push(part.clone());
                }
            }
            Part::ArchTrim { .. } | Part::BumpStop { .. } | Part::SteeringStop { .. } => {}
        }
    }
    slots.into_iter().map(|(_, slot)| slot).collect()
}

/// The work of a list of parts.
pub(super) fn work(parts: &[Part]) -> Work {
    let kinds = parts.iter().map(|part| match part {
        Part::PanhardLength { .. }
        | Part::DragLinkLength { .. }
        | Part::UpperLinkLength { .. }
        | Part::BumpStop { .. }
        | Part::SteeringStop { .. } => WorkKind::Bolt,
        Part::CasterBush { .. } | Part::ArchTrim { .. } => WorkKind::PressOrDrill,
        Part::PanhardAxleBracket { .. }
        | Part::PanhardChassisBracket { .. }
        | Part::ArmBracket { .. } => WorkKind::Weld,
    });
    kinds.fold(Work { points: 0, heaviest: WorkKind::Nothing }, |work, kind| Work {
        points: work.points
            + match kind {
                WorkKind::Nothing => 0,
                WorkKind::Bolt => 1,
                WorkKind::PressOrDrill => 2,
                WorkKind::Weld => 4,
            },
        heaviest: work.heaviest.max(kind),
    })
}
