//! What may be done to make room, each by itself: the same fit with it done.

use super::domain::Options;
use super::fit::{Fit, FitError, fit};
use crate::measure::Known;
use crate::truck::{Axle, End, Member, Part, State, Truck};

/// One thing that makes room, on top of what is fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Relief {
    /// Cut the arch's opening back all round by so much more, mm.
    ArchTrim(f64),
    /// A bump stop longer by so much, mm.
    BumpStop(f64),
    /// A steering stop at this angle of the inner wheel, degrees.
    SteeringStop(f64),
    /// A spacer thicker by so much, mm; a wheel with so much less offset does the same.
    Spacer(f64),
    /// The axle farther forward by so much more, mm, on longer arms or moved brackets.
    Forward(f64),
}

/// How far each is tried, mm and degrees: an inch, or three degrees. Common practice, no source.
const INCH_MM: f64 = 25.4;
const STOP_DEG: f64 = 3.0;

impl Relief {
    /// What is worth trying on an axle: an inch of each, and a steering stop three degrees sooner.
    pub fn worth_trying(axle: &Axle, state: State) -> Vec<Self> {
        let mut all = vec![Self::Spacer(INCH_MM), Self::BumpStop(INCH_MM), Self::Forward(INCH_MM)];
        if axle.surroundings.arch.is_some() {
            all.push(Self::ArchTrim(INCH_MM));
        }
        let lock = axle.lock_deg(state).value;
        if axle.kingpin.is_some() && lock > STOP_DEG {
            all.push(Self::SteeringStop(lock - STOP_DEG));
        }
        all
    }

    /// The truck and the options with it done.
    pub fn done(
        self,
        truck: &Truck,
        (end, state): (End, State),
        options: &Options,
    ) -> (Truck, Options) {
        let (mut truck, mut options) = (truck.clone(), options.clone());
        if let Some(axle) = truck.axle_mut(end) {
            // Of several trims the deepest counts, so this one holds what is cut already.
            let cut = axle.arch_trim_mm(state);
            let mut setup = axle.fitted(state).into_owned();
            let fixed = |by: f64| [by, by];
            match self {
                Self::ArchTrim(mm) => {
                    let depth_mm = Known { value: cut.value + mm, ..cut };
                    setup.parts.push(Part::ArchTrim { depth_mm });
                }
                Self::BumpStop(mm) => {
                    setup.parts.push(Part::length(Member::BumpStop, mm, fixed(mm)));
                }
                Self::SteeringStop(deg) => setup.parts.push(Part::SteeringStop {
                    lock_deg: Known::exact(deg),
                    range_deg: fixed(deg),
                }),
                Self::Spacer(mm) => setup.spacer_mm.value += mm,
                Self::Forward(mm) => options.forward_mm += mm,
            }
            *axle.setup_mut(state) = setup;
        }
        (truck, options)
    }

    /// The fit with it done.
    ///
    /// # Errors
    /// As [`fit`].
    pub fn fit(
        self,
        truck: &Truck,
        (end, state): (End, State),
        options: &Options,
    ) -> Result<Fit, FitError> {
        let (truck, options) = self.done(truck, (end, state), options);
        fit(&truck, end, state, &options)
    }
}

/// The truck with a tire of another section width, all else as it is.
pub fn with_width(truck: &Truck, (end, state): (End, State), section_mm: f64) -> Truck {
    let mut truck = truck.clone();
    if let Some(axle) = truck.axle_mut(end) {
        let mut setup = axle.fitted(state).into_owned();
        setup.tire.section_mm = Some(Known::exact(section_mm));
        *axle.setup_mut(state) = setup;
    }
    truck
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clearance::Obstacle;

    fn least(fit: &Fit, obstacle: Obstacle) -> f64 {
        let of = fit.contacts.iter().filter(|c| c.obstacle == obstacle);
        of.map(|c| c.clearance_mm).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn each_relief_helps_where_it_should() {
        let truck = Truck::example();
        let at = (End::Front, State::Planned);
        let options = Options::coarse();
        let now = fit(&truck, at.0, at.1, &options).unwrap();
        let gain = |relief: Relief, obstacle| {
            let then = relief.fit(&truck, at, &options).unwrap();
            least(&then, obstacle) - least(&now, obstacle)
        };
        // Concentric growth of the opening gives all of itself where the tire meets it squarely.
        let trimmed = gain(Relief::ArchTrim(20.0), Obstacle::Arch);
        assert!((10.0..=20.5).contains(&trimmed), "{trimmed}");
        assert!(gain(Relief::BumpStop(20.0), Obstacle::Arch) > 5.0);
        assert!(gain(Relief::SteeringStop(20.0), Obstacle::Arm) > 1.0);
        assert!(gain(Relief::Spacer(20.0), Obstacle::Rail) > 5.0);
        // Forward the axle goes away from the arch's rear and toward its front.
        let (there, back) = (
            gain(Relief::Forward(20.0), Obstacle::Arch),
            gain(Relief::Forward(-20.0), Obstacle::Arch),
        );
        assert!(there * back < 0.0 || (there < 0.5 && back < 0.5), "{there} {back}");
        assert!(gain(Relief::Forward(20.0), Obstacle::Arm).abs() < 20.0);
    }

    /// A relief of a size.
    type Made = fn(f64) -> Relief;

    #[test]
    fn each_comes_on_top_of_what_is_fitted() {
        let truck = Truck::example();
        let at = (End::Front, State::Planned);
        let options = Options::coarse();
        let reliefs: [(Made, f64, f64); 4] = [
            (Relief::ArchTrim, 25.0, 18.0),
            (Relief::BumpStop, 12.0, 12.0),
            (Relief::Spacer, 7.0, 5.0),
            (Relief::Forward, 7.0, 5.0),
        ];
        for (relief, there, more) in reliefs {
            let (fitted, with) = relief(there).done(&truck, at, &options);
            let one_by_one = relief(more).fit(&fitted, at, &with).unwrap();
            let at_once = relief(there + more).fit(&truck, at, &options).unwrap();
            for (a, b) in one_by_one.contacts.iter().zip(&at_once.contacts) {
                assert!(
                    (a.clearance_mm - b.clearance_mm).abs() < 0.02,
                    "{:?} {a:?} {b:?}",
                    relief(more)
                );
            }
        }
        // A steering stop is worth trying where the wheel is stopped sooner than the one there.
        let stopped = Relief::SteeringStop(25.0).done(&truck, at, &options).0;
        let tried = Relief::worth_trying(stopped.front.as_ref().unwrap(), at.1);
        assert!(tried.contains(&Relief::SteeringStop(22.0)), "{tried:?}");
    }

    #[test]
    fn what_is_worth_trying_fits_the_axle() {
        let truck = Truck::example();
        let axle = truck.front.as_ref().unwrap();
        assert_eq!(Relief::worth_trying(axle, State::Planned).len(), 5);
        let mut rear = axle.clone();
        rear.kingpin = None;
        rear.surroundings.arch = None;
        assert_eq!(Relief::worth_trying(&rear, State::Planned).len(), 3);
    }
}
