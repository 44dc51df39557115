//! Where to cut the arch: how far back its edge must go, sector by sector, for the tire to clear.

use super::bracket::Continuum;
use super::domain::Options;
use super::fit::{FitError, Setting};
use super::lattice::Lattice;
use super::obstacle::{Around, Obstacle};
use super::slow::{Pace, Slow, at_once};
use crate::truck::{End, Side, State, Truck};

/// One sector of an arch's edge and how far back it must be cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trim {
    /// From and to which angle of the arch's own circle, rad from straight ahead upward.
    pub angle_rad: [f64; 2],
    /// How far outward along the circle's radius, mm; 0 where nothing has to be cut.
    pub depth_mm: f64,
}

/// The cut of both arches: one line that serves left and right.
#[derive(Debug, Clone, PartialEq)]
pub struct TrimLine {
    /// Centre of the arch's circle, ahead of and above the stock wheel centre, mm.
    pub centre_mm: [f64; 2],
    /// Radius of the edge as it is, mm.
    pub radius_mm: f64,
    /// Sectors from the front edge over the top to the rear.
    pub sectors: Vec<Trim>,
    /// One standard deviation of the depths, mm: of the clearance to the arch where it is least, as a
    /// cut gives about as much room as it is deep.
    pub sigma_mm: f64,
}

impl TrimLine {
    /// The deepest cut, mm.
    pub fn deepest_mm(&self) -> f64 {
        self.sectors.iter().map(|trim| trim.depth_mm).fold(0.0, f64::max)
    }

    /// The cut edge, point by point: ahead of and above the stock wheel centre, mm.
    pub fn points_mm(&self) -> Vec<[f64; 2]> {
        let at = |angle: f64, depth: f64| {
            let radius = self.radius_mm + depth;
            [self.centre_mm[0] + radius * angle.cos(), self.centre_mm[1] + radius * angle.sin()]
        };
        let ends =
            self.sectors.iter().flat_map(|trim| trim.angle_rad.map(|a| at(a, trim.depth_mm)));
        ends.collect()
    }
}

/// Sectors an arch is cut into.
const SECTORS: u32 = 16;
/// Deepest cut looked at, mm.
const MOST_MM: f64 = 200.0;
/// How exactly a depth is found, mm.
const FINE_MM: f64 = 0.5;
/// Most tries for one sector.
const TRIES: usize = 24;

/// The cut that leaves the margin of `options` everywhere, over all of the travel and steer; `None`
/// without an arch.
///
/// Moving a point outward by 1 mm gives it at most 1 mm of room, so cutting by what is missing never
/// cuts too deep, and is done again until nothing is missing.
///
/// # Errors
/// As [`fit`](super::fit).
pub fn trim_line(
    truck: &Truck,
    end: End,
    state: State,
    options: &Options,
) -> Result<Option<TrimLine>, FitError> {
    at_once(|pace| work(truck.clone(), (end, state), options.clone(), pace))
}

/// The same a little at a time.
pub fn trim_line_slowly(
    truck: &Truck,
    end: End,
    state: State,
    options: &Options,
) -> Slow<Result<Option<TrimLine>, FitError>> {
    let (truck, options) = (truck.clone(), options.clone());
    Slow::new(|pace| work(truck, (end, state), options, pace))
}

async fn work(
    truck: Truck,
    (end, state): (End, State),
    options: Options,
    pace: Pace,
) -> Result<Option<TrimLine>, FitError> {
    options.check()?;
    let setting = Setting::of(&truck, end, state, &options)?;
    let Setting { motion, around, .. } = &setting;
    let Some(arch) = around[0].arch().copied() else { return Ok(None) };
    let mut lattice = Lattice::new(motion);
    let mut sectors = Vec::new();
    for sector in 0..SECTORS {
        let span = [sector, sector + 1].map(|i| f64::from(i) / f64::from(SECTORS));
        let mut depth_mm = 0.0;
        for _ in 0..TRIES {
            let only = around
                .each_ref()
                .map(|around| Around::only(around.arch().map(|arch| arch.sector(span, depth_mm))));
            let mut continuum = Continuum::new(motion, &only, &mut lattice, &pace);
            let mut missing = 0.0_f64;
            for side in Side::BOTH.into_iter().filter(|side| only[side.index()].len() > 0) {
                let goal = (FINE_MM, options.margin_mm - FINE_MM);
                let found = continuum.least(side, 0, goal, None).await.found;
                missing = found.map_or(missing, |at| missing.max(options.margin_mm - at.clearance));
            }
            if missing <= 0.0 || depth_mm >= MOST_MM {
                break;
            }
            depth_mm = (depth_mm + missing).min(MOST_MM);
        }
        sectors.push(Trim { angle_rad: arch.angles(span), depth_mm });
    }
    let mut continuum = Continuum::new(motion, around, &mut lattice, &pace);
    let mut contacts = Vec::new();
    for side in Side::BOTH {
        if let Some(arch) = setting.around(side).find(Obstacle::Arch) {
            contacts.extend(setting.contact(&mut continuum, (side, arch), None).await);
        }
    }
    let nearest = contacts.iter().min_by(|a, b| a.clearance_mm.total_cmp(&b.clearance_mm));
    let sigma_mm = nearest.map_or(0.0, |contact| contact.sigma_mm);
    let (centre_mm, radius_mm) = (arch.centre_mm(), arch.radius_mm());
    Ok(Some(TrimLine { centre_mm, radius_mm, sectors, sigma_mm }))
}

#[cfg(test)]
mod tests {
    use super::super::{Relief, fit};
    use super::*;

    #[test]
    fn the_cut_is_as_deep_as_it_must_be() {
        let truck = Truck::example();
        let (end, state) = (End::Front, State::Planned);
        let options = Options::coarse();
        let line = trim_line(&truck, end, state, &options).unwrap().expect("an arch");
        let deepest = line.deepest_mm();
        assert!(deepest > 1.0, "the example's planned tire is short of room: {line:?}");
        // Cut all round by the deepest, the arch keeps the margin; by less, it does not.
        for (depth, keeps) in [(deepest + 0.5, true), (deepest - 3.0, false)] {
            let cut = Relief::ArchTrim(depth).fit(&truck, (end, state), &options).unwrap();
            let arch = cut.contacts.iter().filter(|c| c.obstacle == Obstacle::Arch);
            let least = arch.map(|c| c.clearance_mm).fold(f64::INFINITY, f64::min);
            assert_eq!(least >= options.margin_mm - 1.0, keeps, "{depth}: {least}");
        }
        assert!(line.sigma_mm > 1.0, "{}", line.sigma_mm);
        assert_eq!(line.points_mm().len(), 2 * line.sectors.len());
        let none = Options { margin_mm: -500.0, ..options };
        assert!(fit(&truck, end, state, &none).is_ok());
        assert!(
            trim_line(&truck, end, state, &none).unwrap().expect("an arch").deepest_mm() <= 0.0
        );
    }
}
