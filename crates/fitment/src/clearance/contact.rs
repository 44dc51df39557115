//! Where the tire comes nearest to each obstacle, found between the map's positions too.

use super::map::{Spot, Sweep};
use super::motion::{Motion, Station};
use super::obstacle::{Fixed, Obstacle};
use super::segment::Least;
use crate::truck::Side;
use nalgebra::Vector3;

/// The least clearance of one tire to one obstacle over the whole domain.
#[derive(Debug, Clone, PartialEq)]
pub struct Contact {
    /// To what.
    pub obstacle: Obstacle,
    /// Whose tire.
    pub side: Side,
    /// Clearance, mm; negative is overlap: how deep the obstacle's deepest point lies in the tire.
    pub clearance_mm: f64,
    /// One standard deviation of the clearance, mm, from the inputs it hangs on most directly.
    pub sigma_mm: f64,
    /// The input that adds most to `sigma_mm`: its dotted path within the axle.
    pub driver: Option<String>,
    /// The tire's point nearest the obstacle, axle's stock frame, mm.
    pub at_tire: Vector3<f64>,
    /// The obstacle's point nearest the tire, axle's stock frame, mm.
    pub at_truck: Vector3<f64>,
    /// Steer of the wheel, rad, left positive.
    pub steer_rad: f64,
    /// Travel of this side's wheel from stock, mm, bump positive.
    pub travel_mm: f64,
    /// Travel of this side's wheel above the middle of both, mm.
    pub articulation_mm: f64,
}

/// A contact found, with the position it was found at.
pub(super) struct Found {
    pub contact: Contact,
    pub station: Station,
}

/// Accuracy of a contact's clearance at its position, mm.
pub(super) const CONTACT_TOLERANCE_MM: f64 = 0.01;
/// The position is refined to this, mm of travel and rad of steer.
const TRAVEL_STEP_MM: f64 = 0.05;
const STEER_STEP_RAD: f64 = 1e-4;
/// Most rounds of refinement; each halves the steps or moves to a better position.
const ROUNDS: usize = 80;

/// Refines the least place a sweep found for one obstacle by smaller and smaller steps in steer
/// and travel, within the domain.
pub(super) fn refine(
    motion: &Motion,
    fixed: &Fixed,
    sweep: &Sweep,
    spot: &Spot,
    obstacle: Obstacle,
    (mut steer_step, mut travel_step): (f64, f64),
) -> Option<Found> {
    let domain = &motion.domain;
    let at = |station: &Station, steer: f64| {
        let tire = motion.tire(station, steer);
        fixed.least(obstacle, &station.arm, &tire, CONTACT_TOLERANCE_MM, f64::INFINITY)
    };
    let mut station = sweep.stations.get(spot.station)?.clone();
    let mut steer = spot.steer;
    let mut least = at(&station, steer)?;
    for _ in 0..ROUNDS {
        let mut moved = false;
        for way in [-1.0, 1.0] {
            let turned = (steer + way * steer_step).clamp(-domain.lock_rad, domain.lock_rad);
            if (turned - steer).abs() > 0.0
                && let Some(found) = at(&station, turned)
                && found.distance < least.distance
            {
                (steer, least, moved) = (turned, found, true);
            }
            let travel =
                (station.travel + way * travel_step).clamp(domain.droop_mm, domain.bump_mm);
            if (travel - station.travel).abs() > 0.0
                && let Ok(other) =
                    motion.station(station.side, travel, station.crossed, Some(&station.pose))
                && let Some(found) = at(&other, steer)
                && found.distance < least.distance
            {
                (station, least, moved) = (other, found, true);
            }
        }
        if !moved {
            if steer_step <= STEER_STEP_RAD && travel_step <= TRAVEL_STEP_MM {
                break;
            }
            steer_step *= 0.5;
            travel_step *= 0.5;
        }
    }
    let contact = contact(motion, &station, steer, obstacle, &least);
    Some(Found { contact, station })
}

fn contact(
    motion: &Motion,
    station: &Station,
    steer: f64,
    obstacle: Obstacle,
    least: &Least,
) -> Contact {
    let tire = motion.tire(station, steer);
    let (_, outward) = tire.distance_and_slope(&least.point);
    let other = motion.domain.other_mm(station.travel, station.crossed);
    Contact {
        obstacle,
        side: station.side,
        clearance_mm: least.distance,
        sigma_mm: 0.0,
        driver: None,
        at_tire: least.point - outward * least.distance,
        at_truck: least.point,
        steer_rad: steer,
        travel_mm: station.travel,
        articulation_mm: 0.5 * (station.travel - other),
    }
}
