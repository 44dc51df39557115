//! Changes a person makes by choosing rather than typing: parts, holes, spacers, what is there.

use super::arrange::{self, Pair, Sideways, Spring, Steers};
use super::edit::{self, assumed_sigma};
use super::shelf::{self, ShelfChange};
use super::things::ThingChange;
use super::{catalog, field};
use buildfile::{Build, Target};
use fitment::measure::{Known, Origin};
use fitment::truck::{
    Arch, Axle, Carrier, Corner, Driveline, End, Hose, LayoutKind, Mount, Part, Rail, Readings,
    ShaftKind, Shape, Side, State, Steering, Step, Truck, View,
};

/// One choice.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Another layout for an axle; the rest of the axle stays.
    Layout(End, LayoutKind),
    /// What holds an axle sideways.
    Sideways(End, Sideways),
    /// Arms or leaf springs turned end for end.
    TurnRound(End),
    /// Leaf springs from over the axle tube to under it, or back.
    TurnOver(End),
    /// Whether the right one of a pair has numbers of its own.
    Right(End, Pair, bool),
    /// What the crank of a Watts linkage rides on.
    Crank(End, Carrier),
    /// The steering linkage, by what its drag link pushes on, or none.
    Linkage(End, Option<Steers>),
    /// The side the driver sits on.
    Driver(End, Side),
    /// The tie rod ahead of the axle or behind it, whichever it is not now.
    MoveRod(End),
    /// Whether coil springs or shocks are there.
    Mount(End, Spring, bool),
    /// A second axle of this layout, or none.
    Axle(End, Option<LayoutKind>),
    /// Whether a frame rail is there to clear.
    Rail(End, bool),
    /// Whether a wheel arch is there to clear.
    Arch(End, bool),
    /// Something else beside the wheels.
    Thing(End, ThingChange),
    /// The corners of a thing's outline, as traced in its side view.
    Traced(End, usize, Vec<Corner>),
    /// Bolts a part into the plan, or takes the one of its kind out.
    Fit(End, Part),
    /// Takes a part out of the plan.
    Remove(End, usize),
    /// A hole of a planned bracket.
    Hole(End, usize, usize),
    /// The number of a planned part that can be set: a length's change, an angle, a size, a lock.
    Set(End, usize, f64),
    /// The planned spacer, mm; 0 for none.
    Spacer(End, f64),
    /// What is on the shelf, to choose from.
    Shelf(End, ShelfChange),
    /// Whether a driveshaft is described.
    Driveline(End, bool),
    /// Which joints the driveshaft has.
    Shaft(End, ShaftKind),
    /// The brake hose by what its lower end rides on; none when it is not described.
    Hose(End, Option<Mount>),
    /// The parts to bolt on, besides what the truck wears.
    Parts(End, Vec<Part>),
    /// The person's own target for an answer; one without limits, weight or claim is the usual one.
    Target(Target),
    /// The plan back to how the truck sits.
    PlanAsItSits(End),
}

impl Change {
    /// The build after the choice.
    ///
    /// # Errors
    /// In words, when the choice brings in something that cannot be right.
    pub fn apply(&self, build: &Build) -> Result<Build, String> {
        let mut next = build.clone();
        if let Self::Target(target) = self {
            let usual = Target::new(target.end, target.of.clone(), None, None);
            next.targets.retain(|there| there.end != target.end || there.of != target.of);
            if *target != usual {
                next.targets.push(target.clone());
            }
        }
        self.apply_to(&mut next.truck).ok_or("The truck has no such axle or part.")?;
        shelf::follow(&build.truck, &mut next.truck);
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

    #[expect(clippy::too_many_lines, reason = "one arm for each choice, in the order of the list")]
    fn apply_to(&self, truck: &mut Truck) -> Option<()> {
        match self {
            Self::Layout(end, kind) => {
                arrange::set_layout(truck.axle_mut(*end)?, *end, *kind);
            }
            Self::Sideways(end, by) => arrange::set_sideways(truck.axle_mut(*end)?, *end, *by),
            Self::TurnRound(end) => arrange::turn_round(&mut truck.axle_mut(*end)?.layout),
            Self::TurnOver(end) => arrange::turn_over(&mut truck.axle_mut(*end)?.layout),
            Self::Right(end, pair, own) => {
                arrange::set_right(truck.axle_mut(*end)?, *pair, *own)?;
            }
            Self::Crank(end, on) => {
                arrange::move_crank(truck.axle_mut(*end)?.watts.as_mut()?, *on);
            }
            Self::Linkage(end, on) => {
                let axle = truck.axle_mut(*end)?;
                match on {
                    None => axle.steering = None,
                    Some(on) => {
                        let typical = Steering::typical(Side::Left);
                        let steering = axle.steering.get_or_insert(typical);
                        if arrange::steers(steering) != *on {
                            arrange::set_steers(steering, *on);
                        }
                    }
                }
                arrange::tidy(axle);
            }
            Self::Driver(end, side) => {
                let steering = truck.axle_mut(*end)?.steering.as_mut()?;
                if arrange::driver(steering) != *side {
                    arrange::swap_driver(steering);
                }
            }
            Self::MoveRod(end) => arrange::move_rod(truck.axle_mut(*end)?),
            Self::Mount(end, mount, there) => {
                let axle = truck.axle_mut(*end)?;
                let typical = Axle::typical(LayoutKind::FourLink, *end);
                let (place, typical) = match mount {
                    Spring::Coil => (&mut axle.spring, typical.spring),
                    Spring::Shock => (&mut axle.shock, typical.shock),
                };
                *place = typical.filter(|_| *there);
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
                let axle = truck.axle_mut(*end)?;
                axle.surroundings.arch = typical.filter(|_| *there);
                arrange::tidy(axle);
            }
            Self::Thing(end, change) => change.apply(truck.axle_mut(*end)?, *end)?,
            Self::Traced(end, index, traced) => {
                let things = &mut truck.axle_mut(*end)?.surroundings.things;
                let Shape::Outline { view: View::Side, corners, .. } =
                    &mut things.get_mut(*index)?.shape
                else {
                    return None;
                };
                corners.clone_from(traced);
            }
            Self::Fit(end, part) => {
                let parts = &mut truck.axle_mut(*end)?.planned.parts;
                match parts.iter_mut().find(|there| there.kind() == part.kind()) {
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
                    Part::Bracket { hole, .. } => *hole = *choice,
                    _ => return None,
                }
            }
            Self::Set(end, index, to) => {
                let part = truck.axle_mut(*end)?.planned.parts.get_mut(*index)?;
                let (known, [low, high]) = match part {
                    Part::Length { change_mm: known, range_mm: range, .. }
                    | Part::SteeringStop { lock_deg: known, range_deg: range } => (known, *range),
                    Part::Turn { angle_deg: known, .. } | Part::Step { step_mm: known, .. } => {
                        (known, [f64::NEG_INFINITY, f64::INFINITY])
                    }
                    _ => return None,
                };
                *known = Known::exact(to.max(low).min(high));
            }
            Self::Spacer(end, spacer) => {
                let planned = &mut truck.axle_mut(*end)?.planned;
                planned.spacer_mm = Known::exact(*spacer);
                let spacers = |part: &Part| matches!(part, Part::Step { of: Step::Spacer, .. });
                planned.parts.retain(|part| !spacers(part));
            }
            Self::Shelf(end, change) => change.apply(truck.axle_mut(*end)?)?,
            Self::Driveline(end, there) => {
                let axle = truck.axle_mut(*end)?;
                axle.driveline = there.then(|| Driveline::typical(*end));
                arrange::tidy(axle);
            }
            Self::Shaft(end, shaft) => {
                truck.axle_mut(*end)?.driveline.as_mut()?.shaft = *shaft;
            }
            Self::Hose(end, on) => {
                let axle = truck.axle_mut(*end)?;
                match on {
                    None => axle.hose = None,
                    Some(on) => axle.hose.get_or_insert(Hose::typical()).on = *on,
                }
                arrange::tidy(axle);
            }
            Self::Parts(end, parts) => {
                let axle = truck.axle_mut(*end)?;
                // What makes room for the tire is not of the geometry, and stays.
                let room: Vec<_> =
                    axle.planned.parts.iter().filter(|part| part.makes_room()).cloned().collect();
                axle.planned.parts.clone_from(&axle.sitting.parts);
                for part in room {
                    axle.planned.parts.retain(|there| there.kind() != part.kind());
                    axle.planned.parts.push(part);
                }
                for part in parts {
                    axle.planned.parts.retain(|there| there.kind() != part.kind());
                    axle.planned.parts.push(part.clone());
                }
            }
            // Not of the truck but of the person.
            Self::Target(..) => {}
            Self::PlanAsItSits(end) => {
                let axle = truck.axle_mut(*end)?;
                *axle.setup_mut(State::Planned) = axle.sitting.clone();
            }
        }
        Some(())
    }
}

/// A truck whose every measured number becomes a stand-in, so that what the person measures
/// stands out.
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
