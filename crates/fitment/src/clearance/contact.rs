//! Where the tire comes nearest to each obstacle.

use super::bracket::{Bracket, Reached};
use super::motion::{Motion, Place, Station};
use super::obstacle::{Around, Obstacle};
use super::segment::Least;
use super::slow::Pace;
use crate::axle::Travel;
use crate::truck::Side;
use nalgebra::Vector3;

/// The least clearance of one tire to one obstacle over the whole domain: every steer of its wheel
/// with every travel of both wheels.
#[derive(Debug, Clone, PartialEq)]
pub struct Contact {
    /// To what.
    pub obstacle: Obstacle,
    /// Whose tire.
    pub side: Side,
    /// Clearance, mm; negative is overlap: how deep the obstacle's deepest point lies in the tire.
    pub clearance_mm: f64,
    /// No position of the domain has less, mm: proven, not only tried. At most 1 mm below
    /// `clearance_mm`, but for deep overlap.
    pub lower_mm: f64,
    /// One standard deviation of the clearance, mm, from the inputs it hangs on most directly.
    pub sigma_mm: f64,
    /// The input that adds most to `sigma_mm`: its dotted path within the axle.
    pub driver: Option<String>,
    /// How the clearance moves with each input's sigma, mm, by its dotted path: `sigma_mm` is the root of
    /// their squares.
    pub shares: Vec<(String, f64)>,
    /// The tire's point nearest the obstacle, axle's stock frame, mm.
    pub at_tire: Vector3<f64>,
    /// The obstacle's point nearest the tire, axle's stock frame, mm.
    pub at_truck: Vector3<f64>,
    /// Steer of the wheel about its own axis, rad, left positive.
    pub steer_rad: f64,
    /// Travel of this side's wheel from stock, mm, bump positive.
    pub travel_mm: f64,
    /// Travel of this side's wheel above the middle of both, mm.
    pub articulation_mm: f64,
}

impl Contact {
    /// Travel of the left and the right wheel from stock, mm.
    pub fn travels_mm(&self) -> Travel {
        let other = self.travel_mm - 2.0 * self.articulation_mm;
        self.side.pair(self.travel_mm, other)
    }

    pub(super) fn reached(&self) -> Reached {
        Reached { clearance: self.clearance_mm, travel: self.travels_mm(), steer: self.steer_rad }
    }
}

/// A contact found, with the position it was found at.
pub(super) struct Found {
    pub contact: Contact,
    pub station: Station,
}

/// Accuracy of a contact's clearance at its position, mm.
pub(super) const CONTACT_TOLERANCE_MM: f64 = 0.01;
/// The position is refined from steps of this to a hundredth, mm of travel and rad of steer.
const TRAVEL_STEP_MM: f64 = 5.0;
const STEER_STEP_RAD: f64 = 0.01;
const HALVINGS: u32 = 7;
/// Most rounds of refinement; each halves the steps or moves to a better position.
const ROUNDS: usize = 80;
/// Positions tried in a round.
const TRIES: usize = 6;
/// About how long the links are that lead a wheel, mm: over a step of travel it strays from the straight
/// way by what a circle so large does. Where it strays farther, a smaller step finds what was missed.
const ROUND_MM: f64 = 1000.0;

/// Refines the best position a bracket found by smaller and smaller steps, within the domain.
///
/// A step of travel that would lead no nearer by far, were its way straight, is not solved: the
/// smaller the step, the straighter. `near` is a station not far from there.
pub(super) async fn refine(
    pace: &Pace,
    motion: &Motion,
    (around, side, obstacle): (&Around, Side, usize),
    (bracket, reached): (&Bracket, &Reached),
    near: Option<&Station>,
) -> Option<Found> {
    let domain = &motion.domain;
    let [right, left] = domain.steer_rad[side.index()];
    let at = |station: &Station, steer: f64| {
        let place = Place::of(motion, station, side, steer);
        around.least(obstacle, &place, CONTACT_TOLERANCE_MM, f64::INFINITY)
    };
    let mut station = motion.station(reached.travel, near.map(|near| &near.pose)).ok()?;
    let mut heading = motion.heading(&station);
    let mut steer = reached.steer;
    let mut least = at(&station, steer)?;
    let mut share = 1.0;
    let mut halved = 0;
    for _ in 0..ROUNDS {
        pace.spend(TRIES).await;
        let mut moved = false;
        for way in [-share, share] {
            let turned = (steer + way * STEER_STEP_RAD).clamp(right, left);
            if (turned - steer).abs() > 0.0
                && let Some(found) = at(&station, turned)
                && found.distance < least.distance
            {
                (steer, least, moved) = (turned, found, true);
            }
            for wheel in [0, 1] {
                let mut travel = station.travel;
                travel[wheel] =
                    (travel[wheel] + way * TRAVEL_STEP_MM).clamp(domain.droop_mm, domain.bump_mm);
                let by = (travel[wheel] - station.travel[wheel]).abs();
                if by <= 0.0 {
                    continue;
                }
                if let Some(heading) = &heading {
                    let about = motion.station_about(travel, &station, heading);
                    let stray = by * by / (2.0 * ROUND_MM);
                    if at(&about, steer).is_some_and(|at| at.distance > least.distance + stray) {
                        continue;
                    }
                }
                pace.spend(motion.pose_cost()).await;
                if let Some(other) = motion.station_near(travel, &station.pose)
                    && let Some(found) = at(&other, steer)
                    && found.distance < least.distance
                {
                    (station, least, moved) = (other, found, true);
                    heading = motion.heading(&station);
                }
            }
        }
        if !moved {
            if halved == HALVINGS {
                break;
            }
            halved += 1;
            share *= 0.5;
        }
    }
    let place = Place::of(motion, &station, side, steer);
    let contact = contact(&place, (around, obstacle), &least, bracket.lower)?;
    Some(Found { contact, station })
}

fn contact(
    place: &Place,
    (around, number): (&Around, usize),
    least: &Least,
    lower: f64,
) -> Option<Contact> {
    let outward = around.outward(number, place, &least.point);
    let own = place.side.index();
    let travel = place.station.travel;
    Some(Contact {
        obstacle: around.name(number)?,
        side: place.side,
        clearance_mm: least.distance,
        lower_mm: lower.min(least.lower),
        sigma_mm: 0.0,
        driver: None,
        shares: Vec::new(),
        at_tire: least.point - outward * least.distance,
        at_truck: least.point,
        steer_rad: place.steer,
        travel_mm: travel[own],
        articulation_mm: 0.5 * (travel[own] - travel[1 - own]),
    })
}
