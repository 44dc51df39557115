//! What the shelf offers: the same kind of part is one slot, a slot is filled once, and each hole,
//! angle and way of setting a length is a choice.

use super::target::Target;
use crate::{
    axle::{Answer, AxleModel, Output, solve_ride},
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

/// What lengths are set by.
struct Aims<'a> {
    stock: &'a Answer,
    targets: &'a [Target],
    /// The pinion's angle to point along the shaft, and whether its joint at the case is a
    /// double-Cardan in any case; `None` where it is none and cannot become one.
    along: Option<(f64, bool)>,
}

/// A double-Cardan joint evens out what it speeds up by itself: the joint at the axle has nobody to
/// cancel and is to run straight, so the pinion is set along the shaft and not parallel to the case's
/// output (common practice, no source).
fn along(shelf: &Shelf, worn: &[Part], planned: &AxleModel<f64>) -> Option<(f64, bool)> {
    let double = |part: &Part| part.kind() == PartKind::DoubleCardan;
    let has = planned.driveline.as_ref()?.double || worn.iter().any(double);
    if !has && !shelf.parts.iter().any(|offer| double(&offer.part)) {
        return None;
    }
    Some((planned.pinion_along_shaft(&solve_ride(planned).ok()?)?, has))
}

/// The shelf sorted into slots, in its order; `planned` is the axle with nothing of it fitted.
pub(super) fn slots(
    shelf: &Shelf,
    worn: &[Part],
    (stock, planned): (&Answer, &AxleModel<f64>),
    targets: &[Target],
) -> Vec<Slot> {
    let aims = Aims { stock, targets, along: along(shelf, worn, planned) };
    let mut slots: Vec<(&Part, Slot)> = Vec::new();
    for part in shelf.parts.iter().map(|offer| &offer.part).filter(|part| is_searched(part)) {
        let found = slots.iter().position(|(kind, _)| same_slot(kind, part));
        let index = found.unwrap_or_else(|| {
            let worn = worn.iter().filter(|worn| same_slot(worn, part)).cloned().collect();
            slots.push((part, Slot { worn, choices: Vec::new() }));
            slots.len() - 1
        });
        let Some((_, slot)) = slots.get_mut(index) else { continue };
        slot.choices.extend(choices(part, &aims));
    }
    slots.into_iter().map(|(_, slot)| slot).filter(|slot| !slot.choices.is_empty()).collect()
}

/// The ways to fit a part.
fn choices(part: &Part, aims: &Aims<'_>) -> Vec<Choice> {
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
        Part::Length { of, range_mm, .. } => lengths(part, *of, *range_mm, aims),
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
fn lengths(part: &Part, of: Member, range: [f64; 2], aims: &Aims<'_>) -> Vec<Choice> {
    let Aims { stock, targets, along } = *aims;
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
    let to = |output, want| Choice { part: part.clone(), set: Some(Set { output, want, range }) };
    let along = along.filter(|_| of == Member::UpperLink);
    // With a double-Cardan joint fitted in any case, parallel is nobody's aim.
    let serves = |output: &&Output| **output != Output::Pinion || along.is_none_or(|(_, has)| !has);
    let set = |output: &Output| Some(to(*output, wanted(*output, stock, targets)?));
    let sets = served.iter().filter(serves).filter_map(set);
    let ends = range.map(|end| fixed(with_length(part, end)));
    sets.chain(along.map(|(want, _)| to(Output::Pinion, want))).chain(ends).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::{answer, attitude},
        measure::Known,
        truck::{Axle, Driveline, End, LayoutKind, ShaftKind, State, Truck},
    };

    /// A lifted rear axle on four links with a shaft; what its upper links are set to, beside the angle at
    /// the axle's joint then and how much of that lies across, where the bar holds the axle.
    fn set_to(shaft: ShaftKind, shelf: &[Part]) -> Vec<[f64; 3]> {
        let end = End::Rear;
        let mut axle = Axle::typical(LayoutKind::FourLink, end);
        axle.driveline = Some(Driveline { shaft, ..Driveline::typical(end) });
        axle.planned.lift_mm = Known::exact(90.0);
        axle.shelf = shelf.iter().cloned().collect();
        let truck = Truck::with_axle(axle.clone(), end);
        let stock = answer(&truck, end, State::Stock).unwrap();
        let planned = AxleModel::of(&truck, end, State::Planned).unwrap();
        let slots = slots(&axle.shelf, &[], (&stock, &planned), &[]);
        let sets = slots.iter().flat_map(|slot| &slot.choices).filter_map(|choice| choice.set);
        sets.map(|set| {
            assert_eq!(set.output, Output::Pinion);
            // The length that brings the pinion there, by halving.
            let at = |change: f64| {
                let part = Part::length(Member::UpperLink, change, [-200.0, 200.0]);
                let model = planned.with_parts(&[part]).unwrap();
                let pose = solve_ride(&model).unwrap();
                attitude(&model, &pose, 0.0)
            };
            let off = |change: f64| at(change).get(Output::Pinion).unwrap() - set.want;
            let (mut low, mut high) = (-60.0, 60.0);
            let rises = off(low) < off(high);
            for _ in 0..40 {
                let middle = f64::midpoint(low, high);
                if (off(middle) < 0.0) == rises { low = middle } else { high = middle }
            }
            let [joint, aside] = [Output::JointAxle, Output::LateralShift]
                .map(|output| at(low).get(output).unwrap());
            // From the case 1050 mm behind and 120 + 90 up, less the pinion's 280.
            let across = (aside / (1050.0_f64.hypot(210.0) - 280.0)).abs().asin().to_degrees();
            [set.want, joint, across]
        })
        .collect()
    }

    #[test]
    fn behind_a_double_cardan_the_pinion_is_set_along_the_shaft() {
        let link = Part::length(Member::UpperLink, 0.0, [-60.0, 60.0]);
        let single = set_to(ShaftKind::InPhase, std::slice::from_ref(&link));
        let offered = set_to(ShaftKind::InPhase, &[link.clone(), Part::DoubleCardan {}]);
        let built = set_to(ShaftKind::DoubleCardan, &[link]);
        // Parallel as it was stock leaves the lifted shaft its angle; pointed along it, none is left
        // but what lies across and what the axle moves by when it is turned.
        assert!(single.len() == 1 && single[0][1] > 3.0, "{single:?}");
        let [[_, joint, across]] = built[..] else { panic!("{built:?}") };
        assert!((joint - across).abs() < 0.2, "{built:?}");
        // Where it only may be fitted both are tried.
        assert_eq!(offered, [single, built].concat());
    }
}
