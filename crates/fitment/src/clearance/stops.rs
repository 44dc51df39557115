//! What a steering stop or a bump stop would have to allow for everything to clear.
//!
//! Read off the maps: the first position short of room ends what is allowed, and where exactly is
//! taken on the straight line between that position and the last one with room.

use super::map::ClearanceMap;
use crate::few::sort_few;

/// Stops that would make everything clear by the margin, each by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stops {
    /// Largest steer either way, rad.
    pub steer_rad: Stop,
    /// Largest wheel travel from stock, mm, bump positive. It may lie below where the truck rests:
    /// then no bump stop is a cure.
    pub bump_mm: Stop,
}

/// One stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// Everything clears as it is.
    NotNeeded,
    /// Everything clears up to here.
    At(f64),
    /// Something is short of room wherever this stop is set.
    NoneHelps,
}

pub(super) fn stops(maps: &[ClearanceMap], margin_mm: f64) -> Stops {
    let mut by_steer = Vec::new();
    let mut by_travel = Vec::new();
    for map in maps {
        for (row, &travel) in map.travel_mm.iter().enumerate() {
            for (column, &steer) in map.steer_rad.iter().enumerate() {
                if let Some(cell) = map.cell(row, column) {
                    by_steer.push((steer.abs(), cell.clearance_mm));
                    by_travel.push((travel, cell.clearance_mm));
                }
            }
        }
    }
    Stops { steer_rad: stop(by_steer, margin_mm), bump_mm: stop(by_travel, margin_mm) }
}

/// The largest value up to which no clearance is below the margin.
fn stop(positions: Vec<(f64, f64)>, margin_mm: f64) -> Stop {
    // The least clearance of each value, in order; values that differ by rounding are one.
    let mut least: Vec<(f64, f64)> = Vec::new();
    for (value, clearance) in positions {
        match least.iter_mut().find(|(known, _)| (value - known).abs() < 1e-9) {
            Some((_, room)) => *room = room.min(clearance),
            None => least.push((value, clearance)),
        }
    }
    sort_few(&mut least, |a, b| a.0.total_cmp(&b.0));
    let Some(short) = least.iter().position(|(_, room)| *room < margin_mm) else {
        return Stop::NotNeeded;
    };
    let before = short.checked_sub(1).and_then(|i| least.get(i));
    match (before, least.get(short)) {
        (Some((good, room)), Some((bad, missing))) => {
            Stop::At(good + (bad - good) * (room - margin_mm) / (room - missing))
        }
        _ => Stop::NoneHelps,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stops_from_clearances_written_down() {
        let check = |positions: &[(f64, f64)], margin: f64, want: Stop| {
            let got = stop(positions.to_vec(), margin);
            assert_eq!(got, want, "{positions:?}");
        };
        let falling = [(0.0, 40.0), (0.3, 20.0), (0.1, 30.0), (0.3, 0.0), (0.2, 20.0)];
        check(&falling, -1.0, Stop::NotNeeded);
        check(&falling, 10.0, Stop::At(0.2 + (0.3 - 0.2) * (20.0 - 10.0) / 20.0));
        check(&falling, 45.0, Stop::NoneHelps);
        // Short once, everything beyond counts as out of reach.
        check(&[(0.0, 9.0), (1.0, -9.0), (2.0, 50.0)], 0.0, Stop::At(0.5));
        check(&[], 0.0, Stop::NotNeeded);
    }
}
