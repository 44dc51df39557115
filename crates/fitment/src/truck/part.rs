//! Corrections: generic parts that move a hardpoint, change a length or turn the axle.
//!
//! There are few forms of them ([`Part`]) and many kinds ([`PartKind`]); what each kind does, costs
//! elsewhere and needs is a row of [`traits`](PartKind::traits).

use super::{Tire, Wheel};
use crate::measure::Known;

/// A hole to choose on a bracket: where it puts the pivot, relative to the stock hole.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Hole {
    /// What is stamped beside it or how the person calls it.
    pub name: String,
    /// Forward of the stock hole, mm.
    pub x_mm: Known,
    /// Left of the stock hole, mm; for a paired bracket, outboard on both sides.
    pub y_mm: Known,
    /// Above the stock hole, mm.
    pub z_mm: Known,
}

/// The pivot that a bracket moves. What comes in pairs is moved on both sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Pivot {
    /// The Panhard bar's on the axle.
    PanhardAxle,
    /// The Panhard bar's on the chassis.
    PanhardChassis,
    /// Chassis eyes of both radius arms or both lower links.
    Arm,
    /// Axle ends of both lower links.
    LowerAxle,
    /// Chassis end of the upper link or links.
    UpperChassis,
    /// Axle end of the upper link or links.
    UpperAxle,
    /// The drag link's joint away from the pitman arm: a taper reamed from the other side, or an
    /// arm on top of the knuckle.
    DragLink,
}

/// What a length is the length of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Member {
    /// The Panhard bar.
    Panhard,
    /// The drag link.
    DragLink,
    /// The upper link or links.
    UpperLink,
    /// Both radius arms or both lower links.
    Arm,
    /// The bump stops: positive takes travel in bump.
    BumpStop,
    /// The driveshaft.
    Driveshaft,
    /// The brake hose.
    BrakeHose,
}

/// What turns, and in what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Turning {
    /// The axle in its radius arms, by eccentric bushes.
    CasterBush,
    /// The axle on its spring seats, or on its arms' pads, by wedges or plates.
    Wedge,
    /// The knuckles on the ends of the axle housing, all they carry with them; the pinion stays.
    KnuckleFlange,
}

/// What comes in a few sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Step {
    /// Spacers between hub and wheel, in place of what is there: their thickness.
    Spacer,
    /// Springs, spring spacers or blocks: how much higher the chassis rides.
    Spring,
    /// The pitman arm: how much lower its joint is.
    Pitman,
    /// The transfer case on its mounts: how much lower it hangs.
    TransferCase,
}

/// A correction. A bracket moves a hardpoint and never changes a length; a length change is a
/// part of its own.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case", deny_unknown_fields))]
pub enum Part {
    /// Moves a pivot.
    Bracket {
        /// Which one.
        moves: Pivot,
        /// Holes offered.
        holes: Vec<Hole>,
        /// Index of the hole in use.
        hole: usize,
    },
    /// Makes something longer (positive) or shorter than stock.
    Length {
        /// What.
        of: Member,
        /// Change of its length, eye to eye, mm.
        change_mm: Known,
        /// Shortest and longest change it can be set to, mm; equal for what cannot be set.
        range_mm: [f64; 2],
    },
    /// Turns something; positive adds caster.
    Turn {
        /// What.
        by: Turning,
        /// By how much, degrees.
        angle_deg: Known,
        /// Angles offered for sale or on the bench, degrees.
        choices_deg: Vec<f64>,
    },
    /// Has one of a few sizes.
    Step {
        /// Of what.
        of: Step,
        /// The size in use, mm.
        step_mm: Known,
        /// Sizes offered for sale or on the bench, mm.
        choices_mm: Vec<f64>,
    },
    /// Bends both arms: how far their middle stands off the straight line. Its ends stay.
    Bend {
        /// Forward, mm.
        x_mm: Known,
        /// Outboard, mm; negative is away from the tire.
        y_mm: Known,
        /// Up, mm.
        z_mm: Known,
    },
    /// Cuts the wheel arch's opening back all round.
    ArchTrim {
        /// How much, mm; 0 or more.
        depth_mm: Known,
    },
    /// Sets the steering stops, in place of the largest steer as measured.
    SteeringStop {
        /// Largest steer of a wheel either way, degrees.
        lock_deg: Known,
        /// Smallest and largest steer the stop can be set to, degrees.
        range_deg: [f64; 2],
    },
    /// A double-Cardan joint at the driveshaft's transfer-case end, in place of the single one.
    DoubleCardan {},
    /// Another wheel.
    Wheel {
        /// It.
        wheel: Wheel,
    },
    /// Another tire.
    Tire {
        /// It.
        tire: Tire,
    },
}

/// The kinds of correction. Of each kind one is fitted at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PartKind {
    /// A bracket.
    Bracket(Pivot),
    /// Another length.
    Length(Member),
    /// A turn.
    Turn(Turning),
    /// A size.
    Step(Step),
    /// Bent arms.
    Bend,
    /// A trimmed arch.
    ArchTrim,
    /// Steering stops.
    SteeringStop,
    /// A double-Cardan joint.
    DoubleCardan,
    /// A wheel.
    Wheel,
    /// A tire.
    Tire,
}

impl Part {
    /// Which kind it is: two of one kind exclude each other.
    pub const fn kind(&self) -> PartKind {
        match self {
            Self::Bracket { moves, .. } => PartKind::Bracket(*moves),
            Self::Length { of, .. } => PartKind::Length(*of),
            Self::Turn { by, .. } => PartKind::Turn(*by),
            Self::Step { of, .. } => PartKind::Step(*of),
            Self::Bend { .. } => PartKind::Bend,
            Self::ArchTrim { .. } => PartKind::ArchTrim,
            Self::SteeringStop { .. } => PartKind::SteeringStop,
            Self::DoubleCardan {} => PartKind::DoubleCardan,
            Self::Wheel { .. } => PartKind::Wheel,
            Self::Tire { .. } => PartKind::Tire,
        }
    }

    /// A bracket with the hole in use.
    pub const fn bracket(moves: Pivot, holes: Vec<Hole>, hole: usize) -> Self {
        Self::Bracket { moves, holes, hole }
    }

    /// A length that is `change` mm from stock and can be set within a range.
    pub const fn length(of: Member, change: f64, range_mm: [f64; 2]) -> Self {
        Self::Length { of, change_mm: Known::exact(change), range_mm }
    }

    /// A turn by so many degrees.
    pub const fn turn(by: Turning, angle: f64, choices_deg: Vec<f64>) -> Self {
        Self::Turn { by, angle_deg: Known::exact(angle), choices_deg }
    }

    /// A size of so many mm.
    pub const fn step(of: Step, step: f64, choices_mm: Vec<f64>) -> Self {
        Self::Step { of, step_mm: Known::exact(step), choices_mm }
    }

    /// Whether this is the part that is offered, whatever hole, angle, size or length it is set to.
    pub fn comes_from(&self, offered: &Self) -> bool {
        let mut comes = offered.clone();
        let set = match (&mut comes, self) {
            (Self::Bracket { hole, .. }, Self::Bracket { hole: set, .. }) => {
                *hole = *set;
                None
            }
            (Self::Length { change_mm, range_mm, .. }, Self::Length { change_mm: set, .. }) => {
                Some((range_mm[0] < range_mm[1], change_mm, set))
            }
            (Self::Turn { angle_deg, choices_deg, .. }, Self::Turn { angle_deg: set, .. }) => {
                Some((!choices_deg.is_empty(), angle_deg, set))
            }
            (Self::Step { step_mm, choices_mm, .. }, Self::Step { step_mm: set, .. }) => {
                Some((!choices_mm.is_empty(), step_mm, set))
            }
            (Self::SteeringStop { lock_deg, .. }, Self::SteeringStop { lock_deg: set, .. }) => {
                Some((true, lock_deg, set))
            }
            (Self::ArchTrim { depth_mm }, Self::ArchTrim { depth_mm: set }) => {
                Some((true, depth_mm, set))
            }
            _ => None,
        };
        // One that cannot be set is what it is, however its number was come by.
        if let Some((free, comes, set)) = set
            && (free || (comes.value - set.value).abs() < 1e-6)
        {
            comes.clone_from(set);
        }
        comes == *self
    }

    /// True for what only makes room for the tire: it moves no hardpoint and turns nothing.
    pub const fn makes_room(&self) -> bool {
        matches!(
            self.kind(),
            PartKind::Bend
                | PartKind::ArchTrim
                | PartKind::SteeringStop
                | PartKind::Length(Member::BumpStop)
        )
    }
}

/// A correction the person owns or could get.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Offer {
    /// The part, as it comes.
    pub part: Part,
    /// What the person calls it; empty when its kind says enough.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "String::is_empty"))]
    pub name: String,
    /// What it costs, in the person's own money.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub price: Option<Known>,
    /// Hours it takes to fit, by the person's own reckoning.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub hours: Option<Known>,
}

impl Offer {
    /// A part without name, price or hours.
    pub const fn of(part: Part) -> Self {
        Self { part, name: String::new(), price: None, hours: None }
    }
}

/// What is at hand or could be bought, for the suggestions to draw on.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Shelf {
    /// Corrections to choose from.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub parts: Vec<Offer>,
}

impl Shelf {
    /// True when there is nothing on it.
    pub const fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    /// The sizes offered of something, mm: every choice, and what is set where there is none.
    pub fn steps(&self, wanted: Step) -> Vec<f64> {
        let mut all = Vec::new();
        for offer in &self.parts {
            match &offer.part {
                Part::Step { of, step_mm, choices_mm } if *of == wanted => {
                    let own = [step_mm.value];
                    all.extend(if choices_mm.is_empty() { &own[..] } else { choices_mm });
                }
                _ => {}
            }
        }
        all
    }
}

impl FromIterator<Part> for Shelf {
    fn from_iter<I: IntoIterator<Item = Part>>(parts: I) -> Self {
        Self { parts: parts.into_iter().map(Offer::of).collect() }
    }
}
