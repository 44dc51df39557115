//! The tallest and the widest tire that clear everything by a margin, the wheel staying as it is.

use super::map::Sweep;
use super::motion::Motion;
use super::obstacle::{Around, Obstacle};
use super::search::{Change, Search};
use super::solid::TireSolid;
use crate::truck::Side;

/// The largest tires that fit, one dimension at a time; new sizes have the same shoulder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Largest {
    /// Largest diameter at the width as it is, mm.
    pub diameter_mm: Size,
    /// Largest section width at the diameter as it is, mm.
    pub width_mm: Size,
}

/// The end of what fits in one dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// This size clears by the margin and no larger one does.
    UpTo {
        /// The size, mm.
        mm: f64,
        /// What a larger one would meet; `None` where the search ended without meeting anything.
        limited_by: Option<(Obstacle, Side)>,
    },
    /// No size looked at clears by the margin.
    Never,
}

/// How far from the size as it is to look either way: of the radius and of half the width, mm.
const RANGE_MM: f64 = 75.0;

pub(super) fn largest(
    found: (&Motion, &Sweep, &[Around; 2]),
    margin_mm: f64,
    now: &TireSolid,
) -> Largest {
    let size = |change: Change, half_now: f64| {
        let mut search = Search::new(found, change, margin_mm);
        let here = search.room(0.0);
        let range = RANGE_MM.min(half_now / 2.0);
        let found = if here.spare >= 0.0 {
            Some(search.end(here, 1.0, range))
        } else {
            search.first(here, -1.0, range, &mut Vec::new())
        };
        found.map_or(Size::Never, |room| Size::UpTo {
            mm: 2.0 * (half_now + room.by),
            limited_by: room.least,
        })
    };
    Largest {
        diameter_mm: size(Change::Radius, now.radius_mm()),
        width_mm: size(Change::HalfWidth, now.half_width_mm()),
    }
}
