//! The work that parts take.

use crate::truck::{self, Part};

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
    /// No work at all.
    pub const NONE: Self = Self { points: 0, heaviest: WorkKind::Nothing };

    /// The work in words.
    pub const fn words(self) -> &'static str {
        match self.heaviest {
            WorkKind::Nothing => "nothing to do",
            WorkKind::Bolt => "bolts only",
            WorkKind::PressOrDrill => "pressing or drilling",
            WorkKind::Weld => "welding on axle or frame: for a qualified welder",
        }
    }

    /// The work that one part takes.
    pub const fn of(part: &Part) -> Self {
        let heaviest = match part.kind().traits().work {
            truck::Work::Bolt => WorkKind::Bolt,
            truck::Work::Press | truck::Work::Drill => WorkKind::PressOrDrill,
            truck::Work::WeldFrame | truck::Work::WeldAxle => WorkKind::Weld,
        };
        let points = match heaviest {
            WorkKind::Nothing => 0,
            WorkKind::Bolt => 1,
            WorkKind::PressOrDrill => 2,
            WorkKind::Weld => 4,
        };
        Self { points, heaviest }
    }

    /// Both, one after the other.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { points: self.points + other.points, heaviest: self.heaviest.max(other.heaviest) }
    }
}
