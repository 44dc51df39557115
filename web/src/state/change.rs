//! Changes a person makes by choosing rather than typing: parts, holes, spacers, what is there.

use super::edit::{self, assumed_sigma};
use super::{catalog, field};
use buildfile::Build;
use fitment::measure::{Known, Origin};
use fitment::truck::{Arch, Axle, End, LayoutKind, Part, Rail, Readings, Setup, State, Truck};

/// One choice.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Another layout for an axle; the rest of the axle stays.
    Layout(End, LayoutKind),
    /// A second axle of this layout, or none.
    Axle(End, Option<LayoutKind>),
    /// Whether a frame rail is there to clear.
    Rail(End, bool),
    /// Whether a wheel arch is there to clear.
    Arch(End, bool),
    /// Bolts a part into the plan, or takes the one of its kind out.
    Fit(End, Part),
    /// Takes a part out of the plan.
    Remove(End, usize),
    /// A hole of a planned bracket.
    Hole(End, usize, usize),
    /// A caster bush's angle, from its choices, degrees.
    BushAngle(End, usize, f64),
    /// The length change of an adjustable bar or link, mm.
    Length(End, usize, f64),
    /// The planned spacer, mm; 0 for none.
    Spacer(End, f64),
    /// The plan as it is.
    Plan(End, Setup),
    /// The plan back to how the truck sits.
    PlanAsItSits(End),
}

/// Two parts that cannot both be bolted on.
pub const fn same_kind(a: &Part, b: &Part) -> bool {
    matches!(
        (a, b),
        (Part::PanhardAxleBracket { .. }, Part::PanhardAxleBracket { .. })
            | (Part::PanhardChassisBracket { .. }, Part::PanhardChassisBracket { .. })
            | (Part::PanhardLength { .. }, Part::PanhardLength { .. })
            | (Part::ArmBracket { .. }, Part::ArmBracket { .. })
            | (Part::CasterBush { .. }, Part::CasterBush { .. })
            | (Part::UpperLinkLength { .. }, Part::UpperLinkLength { .. })
    )
}

impl Change {
    /// The build after the choice.
    ///
    /// # Errors
    /// In words, when the choice brings in something that cannot be right.
    pub fn apply(&self, build: &Build) -> Result<Build, String> {
        let mut next = build.clone();
        self.apply_to(&mut next.truck).ok_or("The truck has no such axle or part.")?;
        edit::settle(build, &mut next).map_err(|why| why.message())?;
        let old = build.validate();
        let fresh = next.validate().into_iter().find(|problem| !old.contains(problem));
        match fresh {
            None => Ok(next),
            Some(problem) => {
                Err(format!("{}: {}. {}", problem.path, problem.found, problem.remedy))
            }
        }
    }

    fn apply_to(&self, truck: &mut Truck) -> Option<()> {
        match self {
            Self::Layout(end, kind) => {
                let typical = Axle::typical(*kind, *end);
                let axle = truck.axle_mut(*end)?;
                axle.layout = typical.layout;
                axle.readings.arm_length_mm = None;
                axle.readings.arm_rise_mm = None;
                let fits = |part: &Part| match part {
                    Part::CasterBush { .. } => *kind == LayoutKind::RadiusArms,
                    Part::UpperLinkLength { .. } => *kind != LayoutKind::RadiusArms,
                    _ => true,
                };
                axle.sitting.parts.retain(fits);
                axle.planned.parts.retain(fits);
                axle.shelf.parts.retain(fits);
            }
            Self::Axle(end, kind) => {
                let axle = kind.map(|kind| Axle::typical(kind, *end));
                match end {
                    End::Front => truck.front = axle,
                    End::Rear => truck.rear = axle,
                }
                if truck.front.is_none() && truck.rear.is_none() {
                    return None;
                }
            }
            Self::Rail(end, there) => {
                let typical: Option<Rail> =
                    Axle::typical(LayoutKind::RadiusArms, *end).surroundings.rail;
                truck.axle_mut(*end)?.surroundings.rail = typical.filter(|_| *there);
            }
            Self::Arch(end, there) => {
                let typical: Option<Arch> =
                    Axle::typical(LayoutKind::RadiusArms, *end).surroundings.arch;
                truck.axle_mut(*end)?.surroundings.arch = typical.filter(|_| *there);
            }
            Self::Fit(end, part) => {
                let parts = &mut truck.axle_mut(*end)?.planned.parts;
                match parts.iter_mut().find(|there| same_kind(there, part)) {
                    Some(there) => *there = part.clone(),
                    None => parts.push(part.clone()),
                }
            }
            Self::Remove(end, index) => {
                let parts = &mut truck.axle_mut(*end)?.planned.parts;
                if *index >= parts.len() {
                    return None;
                }
                parts.remove(*index);
            }
            Self::Hole(end, index, choice) => {
                match truck.axle_mut(*end)?.planned.parts.get_mut(*index)? {
                    Part::PanhardAxleBracket { hole, .. }
                    | Part::PanhardChassisBracket { hole, .. }
                    | Part::ArmBracket { hole, .. } => *hole = *choice,
                    _ => return None,
                }
            }
            Self::BushAngle(end, index, angle) => {
                match truck.axle_mut(*end)?.planned.parts.get_mut(*index)? {
                    Part::CasterBush { angle_deg, .. } => *angle_deg = Known::exact(*angle),
                    _ => return None,
                }
            }
            Self::Length(end, index, change) => {
                match truck.axle_mut(*end)?.planned.parts.get_mut(*index)? {
                    Part::PanhardLength { change_mm, range_mm }
                    | Part::UpperLinkLength { change_mm, range_mm } => {
                        let [low, high] = *range_mm;
                        *change_mm = Known::exact(change.max(low).min(high));
                    }
                    _ => return None,
                }
            }
            Self::Spacer(end, spacer) => {
                truck.axle_mut(*end)?.planned.spacer_mm = Known::exact(*spacer);
            }
            Self::Plan(end, plan) => truck.axle_mut(*end)?.planned = plan.clone(),
            Self::PlanAsItSits(end) => {
                let axle = truck.axle_mut(*end)?;
                *axle.setup_mut(State::Planned) = axle.sitting.clone();
            }
        }
        Some(())
    }
}

/// Typical stand-in names for measured figures: a truck whose every measured number becomes a
/// stand-in, so that what the person has measured stands out.
pub fn all_assumed(mut truck: Truck) -> Truck {
    let typical_spread = |path: &str, known: &mut Known| {
        let quantity = edit::quantity(path);
        if matches!(known.origin, Origin::Measured(_)) {
            known.origin = Origin::Assumed;
            known.sigma = known.sigma.max(assumed_sigma(quantity, known.value));
        }
    };
    for end in [End::Front, End::Rear] {
        if let Some(axle) = truck.axle_mut(end) {
            axle.readings = Readings::default();
        }
    }
    for path in catalog::paths(&truck) {
        if let Some(slot) = field::slot_mut(&mut truck, &path) {
            match slot {
                field::SlotMut::Must(known) | field::SlotMut::May(Some(known)) => {
                    typical_spread(&path, known);
                }
                field::SlotMut::May(None) => {}
            }
        }
    }
    truck
}
