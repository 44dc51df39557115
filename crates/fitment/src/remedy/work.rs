//! The work that parts take.

use crate::truck::{self, Part};

/// The work a combination takes, least first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Work {
    /// Points, as [`truck::Work::points`] counts them, summed over the parts.
    pub points: u32,
    /// The heaviest kind of work in it; `None` where there is nothing to do.
    pub heaviest: Option<truck::Work>,
}

impl Work {
    /// No work at all.
    pub const NONE: Self = Self { points: 0, heaviest: None };

    /// The work in words.
    pub const fn words(self) -> &'static str {
        match self.heaviest {
            None => "nothing to do",
            Some(heaviest) => heaviest.words(),
        }
    }

    /// The work that one part takes.
    pub const fn of(part: &Part) -> Self {
        let work = part.kind().traits().work;
        Self { points: work.points(), heaviest: Some(work) }
    }

    /// Both, one after the other.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { points: self.points + other.points, heaviest: self.heaviest.max(other.heaviest) }
    }
}
