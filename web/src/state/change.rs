//! Changes a person makes by choosing rather than typing: parts, holes, spacers, what is there.

use super::arrange::{self, Mount, Pair, Sideways, Steers};
use super::edit::{self, assumed_sigma};
use super::things::ThingChange;
use super::{catalog, field};
use buildfile::{Band, Build};
use fitment::axle::Output;
use fitment::measure::{Known, Origin};
use fitment::truck::{
    Arch, Axle, Carrier, Corner, End, Hole, LayoutKind, Part, Rail, Readings, Shape, Side, State,
    Steering, Truck, View, bounds,
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
    Mount(End, Mount, bool),
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
    /// A caster bush's angle, from its choices, degrees.
    BushAngle(End, usize, f64),
    /// The length change of an adjustable bar, link or bump stop, mm.
    Length(End, usize, f64),
    /// The largest steer a planned steering stop allows, degrees.
    Lock(End, usize, f64),
    /// The planned spacer, mm; 0 for none.
    Spacer(End, f64),
    /// One more spacer on the shelf, or the one there away.
    ShelfSpacer(End, Option<usize>),
    /// One more wheel on the shelf, like the planned one, or the one there away.
    ShelfWheel(End, Option<usize>),
    /// A wheel of the shelf into the plan.
    PlanWheel(End, usize),
    /// Puts a part on the shelf, to choose from.
    Shelve(End, Part),
    /// Takes a part off the shelf, and out of the plan.
    Unshelve(End, usize),
    /// Another hole on a bracket on the shelf.
    AddHole(End, usize),
    /// Offers the angle typed for the caster bushes on the shelf among those to choose from.
    OfferAngle(End, usize),
    /// An adjustable bar or link on the shelf that sets so much further each way, mm.
    Reach(End, usize, f64),
    /// The parts to bolt on, besides what the truck wears.
    Parts(End, Vec<Part>),
    /// The person's own limits on an answer; neither means the usual ones.
    Band(End, Output, Option<f64>, Option<f64>),
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
            | (Part::DragLinkLength { .. }, Part::DragLinkLength { .. })
            | (Part::UpperLinkLength { .. }, Part::UpperLinkLength { .. })
            | (Part::ArchTrim { .. }, Part::ArchTrim { .. })
            | (Part::BumpStop { .. }, Part::BumpStop { .. })
            | (Part::SteeringStop { .. }, Part::SteeringStop { .. })
    )
}

impl Change {
    /// The build after the choice.
    ///
    /// # Errors
    /// In words, when the choice brings in something that cannot be right.
    pub fn apply(&self, build: &Build) -> Result<Build, String> {
        let mut next = build.clone();
        if let Self::Band(end, output, low, high) = *self {
            next.bands.retain(|band| band.end != end || band.output != output.key());
            if low.is_some() || high.is_some() {
                next.bands.push(Band { end, output: output.key().into(), low, high });
            }
        }
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
                    Mount::Spring => (&mut axle.spring, typical.spring),
                    Mount::Shock => (&mut axle.shock, typical.shock),
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
                    | Part::DragLinkLength { change_mm, range_mm }
                    | Part::UpperLinkLength { change_mm, range_mm }
                    | Part::BumpStop { change_mm, range_mm } => {
                        let [low, high] = *range_mm;
                        *change_mm = Known::exact(change.max(low).min(high));
                    }
                    _ => return None,
                }
            }
            Self::Lock(end, index, lock) => {
                match truck.axle_mut(*end)?.planned.parts.get_mut(*index)? {
                    Part::SteeringStop { lock_deg, range_deg } => {
                        let [low, high] = *range_deg;
                        *lock_deg = Known::exact(lock.max(low).min(high));
                    }
                    _ => return None,
                }
            }
            Self::Spacer(end, spacer) => {
                truck.axle_mut(*end)?.planned.spacer_mm = Known::exact(*spacer);
            }
            Self::ShelfSpacer(end, index) => {
                // Round, and of our choosing.
                let typical = || Known::exact(30.0);
                add_or_take(&mut truck.axle_mut(*end)?.shelf.spacers_mm, *index, typical)?;
            }
            Self::ShelfWheel(end, index) => {
                let axle = truck.axle_mut(*end)?;
                let like = &axle.planned.wheel;
                add_or_take(&mut axle.shelf.wheels, *index, || like.clone())?;
            }
            Self::PlanWheel(end, index) => {
                let axle = truck.axle_mut(*end)?;
                axle.planned.wheel = axle.shelf.wheels.get(*index)?.clone();
            }
            Self::Shelve(end, part) => truck.axle_mut(*end)?.shelf.parts.push(part.clone()),
            Self::Unshelve(end, index) => {
                let axle = truck.axle_mut(*end)?;
                if *index >= axle.shelf.parts.len() {
                    return None;
                }
                let gone = axle.shelf.parts.remove(*index);
                axle.planned.parts.retain(|part| !same_kind(part, &gone));
            }
            Self::AddHole(end, index) => {
                let axle = truck.axle_mut(*end)?;
                match axle.shelf.parts.get_mut(*index)? {
                    Part::PanhardAxleBracket { holes, .. }
                    | Part::PanhardChassisBracket { holes, .. }
                    | Part::ArmBracket { holes, .. } => {
                        let mut next = holes.last()?.clone();
                        next.name = format!("hole {}", holes.len() + 1);
                        holes.push(next);
                    }
                    _ => return None,
                }
                follow_shelf(axle);
            }
            Self::OfferAngle(end, index) => {
                let axle = truck.axle_mut(*end)?;
                let Part::CasterBush { angle_deg, choices_deg } =
                    axle.shelf.parts.get_mut(*index)?
                else {
                    return None;
                };
                let angle = angle_deg.value;
                if choices_deg.iter().any(|choice| (choice - angle).abs() < 1e-6) {
                    return None;
                }
                let place = choices_deg.iter().take_while(|choice| **choice < angle).count();
                choices_deg.insert(place, angle);
                follow_shelf(axle);
            }
            Self::Reach(end, index, further) => {
                let axle = truck.axle_mut(*end)?;
                let part = axle.shelf.parts.get_mut(*index)?;
                let bound = match part {
                    Part::BumpStop { .. } => bounds::BUMP_STOP,
                    _ => bounds::LENGTH_CHANGE,
                };
                match part {
                    Part::PanhardLength { range_mm, .. }
                    | Part::DragLinkLength { range_mm, .. }
                    | Part::UpperLinkLength { range_mm, .. }
                    | Part::BumpStop { range_mm, .. } => {
                        let [low, high] = *range_mm;
                        *range_mm =
                            [(low - further).max(bound.min), (high + further).min(bound.max)];
                    }
                    _ => return None,
                }
                follow_shelf(axle);
            }
            Self::Parts(end, parts) => {
                let axle = truck.axle_mut(*end)?;
                // What makes room for the tire is not of the geometry, and stays.
                let room: Vec<_> =
                    axle.planned.parts.iter().filter(|part| part.makes_room()).cloned().collect();
                axle.planned.parts.clone_from(&axle.sitting.parts);
                for part in room {
                    axle.planned.parts.retain(|there| !same_kind(there, &part));
                    axle.planned.parts.push(part);
                }
                for part in parts {
                    axle.planned.parts.retain(|there| !same_kind(there, part));
                    axle.planned.parts.push(part.clone());
                }
            }
            // Not of the truck but of the person.
            Self::Band(..) => {}
            Self::PlanAsItSits(end) => {
                let axle = truck.axle_mut(*end)?;
                *axle.setup_mut(State::Planned) = axle.sitting.clone();
            }
        }
        Some(())
    }
}

/// Adds one to a list, or takes the one at a place out; `None` when there is none.
fn add_or_take<T>(list: &mut Vec<T>, index: Option<usize>, more: impl FnOnce() -> T) -> Option<()> {
    match index {
        None => list.push(more()),
        Some(index) if index < list.len() => drop(list.remove(index)),
        Some(_) => return None,
    }
    Some(())
}

/// Lets planned parts have the holes, angles and reach of their like on the shelf.
pub fn follow_shelf(axle: &mut Axle) {
    for planned in &mut axle.planned.parts {
        let Some(like) = axle.shelf.parts.iter().find(|part| same_kind(part, planned)) else {
            continue;
        };
        match (planned, like) {
            (
                Part::PanhardAxleBracket { holes, .. },
                Part::PanhardAxleBracket { holes: offered, .. },
            )
            | (
                Part::PanhardChassisBracket { holes, .. },
                Part::PanhardChassisBracket { holes: offered, .. },
            )
            | (Part::ArmBracket { holes, .. }, Part::ArmBracket { holes: offered, .. })
                if holes.len() <= offered.len() =>
            {
                holes.clone_from(offered);
            }
            (
                Part::CasterBush { choices_deg, .. },
                Part::CasterBush { choices_deg: offered, .. },
            ) => choices_deg.clone_from(offered),
            (
                Part::PanhardLength { range_mm, .. },
                Part::PanhardLength { range_mm: offered, .. },
            )
            | (
                Part::DragLinkLength { range_mm, .. },
                Part::DragLinkLength { range_mm: offered, .. },
            )
            | (
                Part::UpperLinkLength { range_mm, .. },
                Part::UpperLinkLength { range_mm: offered, .. },
            )
            | (Part::BumpStop { range_mm, .. }, Part::BumpStop { range_mm: offered, .. })
                if offered[0] <= range_mm[0] && range_mm[1] <= offered[1] =>
            {
                *range_mm = *offered;
            }
            _ => {}
        }
    }
}

/// A part of each kind that this axle can wear, to start from, with round figures of our choosing.
pub fn typical_parts(axle: &Axle) -> Vec<Part> {
    let hole = |name: &str, z: f64| Hole {
        name: name.into(),
        x_mm: Known::exact(0.0),
        y_mm: Known::exact(0.0),
        z_mm: Known::exact(z),
    };
    let unchanged = || Known::exact(0.0);
    let lock = axle.limits.lock_deg.value;
    let mut parts = vec![
        Part::PanhardAxleBracket {
            holes: vec![hole("low", 25.0), hole("middle", 50.0), hole("high", 75.0)],
            hole: 0,
        },
        Part::PanhardChassisBracket {
            holes: vec![hole("upper", -30.0), hole("lower", -60.0)],
            hole: 0,
        },
        Part::PanhardLength { change_mm: unchanged(), range_mm: [-25.0, 40.0] },
        Part::ArmBracket { holes: vec![hole("down 40", -40.0), hole("down 60", -60.0)], hole: 0 },
        Part::CasterBush { angle_deg: Known::exact(2.0), choices_deg: vec![2.0, 3.0, 4.0] },
        Part::UpperLinkLength { change_mm: unchanged(), range_mm: [-20.0, 20.0] },
        Part::DragLinkLength { change_mm: unchanged(), range_mm: [-20.0, 40.0] },
        Part::ArchTrim { depth_mm: Known::exact(20.0) },
        Part::BumpStop { change_mm: Known::exact(20.0), range_mm: [-20.0, 75.0] },
        Part::SteeringStop {
            lock_deg: Known::exact((lock - 2.0).max(0.0)),
            range_deg: [(lock - 15.0).max(0.0), lock],
        },
    ];
    parts.retain(|part| arrange::suits(axle, part));
    parts
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
