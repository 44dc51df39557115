//! The window: how far in or out the wheel may sit and still clear everything by a margin.

use super::bracket::Continuum;
use super::map::Sweep;
use super::obstacle::Obstacle;
use super::search::{Change, Room, Search, note, short_of};
use crate::few::sort_few;
use crate::truck::Side;

/// Where the wheel may sit, given the room asked for. The window found is the one that holds the
/// wheel as it is, or else the nearest to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Window {
    /// Everything clears by the margin between two ends.
    Clears {
        /// The end farthest inboard (largest offset).
        inboard: WindowEnd,
        /// The end farthest outboard (smallest offset).
        outboard: WindowEnd,
    },
    /// Nowhere within 150 mm of where the wheel is does everything clear by the margin.
    Never {
        /// The best place found.
        best: WindowEnd,
        /// Least clearance there, mm.
        clearance_mm: f64,
    },
}

/// One place the wheel may sit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindowEnd {
    /// Move of the wheel outboard from where it is now, mm: a spacer thicker by this.
    pub shift_mm: f64,
    /// The wheel offset that puts it there with the spacer as it is now, mm.
    pub offset_mm: f64,
    /// What would be met beyond; `None` where the search ended without meeting anything.
    pub limited_by: Option<(Obstacle, Side)>,
}

/// How far to look either way, mm.
const RANGE_MM: f64 = 150.0;
/// Places tried that are worked out in full when none of them has room.
const IN_FULL: usize = 16;

/// The window, if its ends are certain over all of the travel and steer; else the positions that
/// speak against it count from now on, and it is worth asking again.
pub(super) async fn window(
    continuum: &mut Continuum<'_>,
    sweep: &mut Sweep,
    margin_mm: f64,
    offset_now_mm: f64,
) -> Option<Window> {
    let mut search = Search::new(continuum, sweep, Change::Outboard, margin_mm);
    let found = among(&mut search, margin_mm, offset_now_mm).await;
    let Window::Clears { inboard, outboard } = found else { return Some(found) };
    let solid = continuum.motion().solid;
    let mut short = Vec::new();
    for end in [inboard, outboard] {
        continuum.change(solid, end.shift_mm);
        short.append(&mut short_of(continuum, margin_mm).await);
    }
    continuum.change(solid, 0.0);
    (!note(continuum, sweep, short)).then_some(found)
}

/// The window as far as the positions tried tell.
async fn among(search: &mut Search<'_>, margin_mm: f64, offset_now_mm: f64) -> Window {
    let place = |at: Room| WindowEnd {
        shift_mm: at.by,
        offset_mm: offset_now_mm - at.by,
        limited_by: at.least,
    };
    let here = search.room(0.0).await;
    if here.spare >= 0.0 {
        let inboard = search.end(here, -1.0, RANGE_MM).await;
        let outboard = search.end(here, 1.0, RANGE_MM).await;
        return Window::Clears { inboard: place(inboard), outboard: place(outboard) };
    }
    let mut tried = vec![here];
    let outward = search.first(here, 1.0, RANGE_MM, &mut tried).await;
    // Inboard only as far as the window already found outboard.
    let range = outward.map_or(RANGE_MM, |room| room.by);
    let inward = search.first(here, -1.0, range, &mut tried).await;
    if let Some(near) = inward {
        let far = search.end(near, -1.0, RANGE_MM).await;
        return Window::Clears { inboard: place(far), outboard: place(near) };
    }
    if let Some(near) = outward {
        let far = search.end(near, 1.0, RANGE_MM).await;
        return Window::Clears { inboard: place(near), outboard: place(far) };
    }
    let best = best_of(search, tried, here).await;
    Window::Never { best: place(best), clearance_mm: best.spare + margin_mm }
}

/// The place with most room of those tried, worked out in full.
async fn best_of(search: &mut Search<'_>, mut tried: Vec<Room>, here: Room) -> Room {
    sort_few(&mut tried, |a, b| b.spare.total_cmp(&a.spare));
    let mut best: Option<Room> = None;
    for room in tried.into_iter().take(IN_FULL) {
        if best.is_some_and(|best| best.spare >= room.spare) {
            break;
        }
        let full = search.room_in_full(room.by).await;
        if best.is_none_or(|best| full.spare > best.spare) {
            best = Some(full);
        }
    }
    best.unwrap_or(here)
}
