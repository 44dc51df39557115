//! The tallest and the widest tire that clear everything by a margin, the wheel staying as it is.

use super::bracket::Continuum;
use super::map::Sweep;
use super::obstacle::Obstacle;
use super::search::{Change, Search, note, short_of};
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

/// Both, made certain over all of the travel and steer.
pub(super) async fn largest(
    continuum: &mut Continuum<'_>,
    sweep: &mut Sweep,
    margin_mm: f64,
) -> Largest {
    let now = continuum.motion().solid;
    let (tall, wide) =
        ((Change::Radius, now.radius_mm()), (Change::HalfWidth, now.half_width_mm()));
    Largest {
        diameter_mm: size(continuum, sweep, tall, margin_mm).await,
        width_mm: size(continuum, sweep, wide, margin_mm).await,
    }
}

async fn size(
    continuum: &mut Continuum<'_>,
    sweep: &mut Sweep,
    (change, half_now): (Change, f64),
    margin_mm: f64,
) -> Size {
    let range = RANGE_MM.min(half_now / 2.0);
    loop {
        let mut search = Search::new(continuum, sweep, change, margin_mm);
        let here = search.room(0.0).await;
        let found = if here.spare >= 0.0 {
            Some(search.end(here, 1.0, range).await)
        } else {
            search.first(here, -1.0, range, &mut Vec::new()).await
        };
        let Some(room) = found else { return Size::Never };
        let now = continuum.motion().solid;
        let Some(solid) = change.solid(&now, room.by) else { return Size::Never };
        continuum.change(solid, 0.0);
        let short = short_of(continuum, margin_mm).await;
        continuum.change(now, 0.0);
        if !note(continuum, sweep, short) {
            return Size::UpTo { mm: 2.0 * (half_now + room.by), limited_by: room.least };
        }
    }
}
