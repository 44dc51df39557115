//! A fit worked out in pieces: a coarse picture at once, certainty and detail while a person looks.

use super::bracket::{Continuum, Measure};
use super::contact::Contact;
use super::domain::Options;
use super::fit::{Fit, FitError, Setting};
use super::largest::{Largest, largest};
use super::lattice::Lattice;
use super::map::Sweep;
use super::slow::{Pace, Slow};
use super::stops::{Stop, Stops, stop};
use super::sure::{self, Sigmas};
use super::window::window;
use crate::few::sort_few;
use crate::truck::{End, Side, State, Truck};
use std::cell::RefCell;
use std::rc::Rc;

/// A fit under way.
pub struct Study {
    known: Rc<RefCell<Known>>,
    work: Slow<Result<(), FitError>>,
    /// How it ended, once it has.
    ended: Option<Result<(), FitError>>,
}

/// What is known so far.
struct Known {
    /// The coarse map until the fine one is whole, the contacts that are certain already, and the rest
    /// as it comes in.
    fit: Fit,
    stage: Stage,
}

/// How far it has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Stage {
    Begun,
    /// There is a coarse picture.
    Pictured,
    /// Every contact is in.
    Certain,
    /// The fine map is whole.
    Mapped,
}

impl Study {
    /// Begins with the coarse picture.
    ///
    /// # Errors
    /// As [`fit`](super::fit).
    pub fn begin(
        truck: &Truck,
        end: End,
        state: State,
        options: &Options,
    ) -> Result<Self, FitError> {
        let mut study = Self::start(truck, end, state, options)?;
        while !study.has(Stage::Pictured) && !study.step(usize::MAX) {}
        match study.ended {
            Some(Err(why)) => Err(why),
            _ => Ok(study),
        }
    }

    /// Begins with nothing: the coarse picture, too, is left to [`step`](Self::step). Where the axle
    /// reaches nothing there will be neither a map nor a contact.
    ///
    /// # Errors
    /// As [`fit`](super::fit), but for what the axle reaches.
    pub fn start(
        truck: &Truck,
        end: End,
        state: State,
        options: &Options,
    ) -> Result<Self, FitError> {
        options.check()?;
        let setting = Setting::of(truck, end, state, options)?;
        let Setting { motion, around, .. } = &setting;
        let rough = Options::coarse();
        let rough = Options {
            steers: rough.steers.min(options.steers),
            travels: rough.travels.min(options.travels),
            crossed: options.crossed.clone(),
            ..rough
        };
        let coarse = Sweep::whole(motion, around, &rough);
        if coarse.stations.is_empty()
            && let Some(why) = coarse.unreachable.1
        {
            return Err(FitError::Unreachable(why));
        }
        let lattice = Lattice::new(motion);
        let fine = Sweep::new(motion, around, options);
        Ok(Self {
            setting,
            options: options.clone(),
            lattice,
            coarse,
            fine,
            contacts: Vec::new(),
            window: None,
            largest: None,
            stops: None,
            sigmas: Sigmas::default(),
            domain: setting.motion.domain,
            unreachable_rows: 0,
        };
        let known = Rc::new(RefCell::new(Known { fit, stage: Stage::Begun }));
        let (of, options) = (Rc::clone(&known), options.clone());
        let work = Slow::new(|pace| work(setting, options, of, pace));
        Ok(Self { known, work, ended: None })
    }

    /// Goes on for about as long as so many positions of a map take; true when all is done.
    pub fn step(&mut self, positions: usize) -> bool {
        self.ended = self.ended.take().or_else(|| self.work.step(positions));
        self.ended.is_some()
    }

    /// Whether every contact is in: until then the nearest of all may still be missing.
    pub fn certain(&self) -> bool {
        self.has(Stage::Certain)
    }

    /// Whether the fine map is whole.
    pub const fn mapped(&self) -> bool {
        !matches!(self.stage, Stage::Contact(..) | Stage::Rows)
    }

    /// One piece of the work, and what it cost.
    fn piece(&mut self) -> usize {
        let Self { setting, options, lattice, coarse, fine, .. } = self;
        let Setting { motion, around, axle, state, .. } = &*setting;
        match self.stage {
            Stage::Contact(side, obstacle) => {
                if obstacle < around[side.index()].len() {
                    let hint = coarse.worst[side.index()].get(obstacle).copied().flatten();
                    let mut continuum = Continuum::new(motion, around, lattice);
                    let found = setting.contact(&mut continuum, (side, obstacle), hint);
                    self.contacts.extend(found);
                    self.stage = Stage::Contact(side, obstacle + 1);
                    return CONTACT_COST;
                }
                self.stage = match side {
                    Side::Left => Stage::Contact(Side::Right, 0),
                    Side::Right => {
                        sort_few(&mut self.contacts, |a, b| {
                            a.clearance_mm.total_cmp(&b.clearance_mm)
                        });
                        Stage::Rows
                    }
                };
                1
            }
            Stage::Rows => {
                if !fine.next(motion, around) {
                    // Where the truck is known to be worst counts, whatever positions the map tries.
                    for contact in &self.contacts {
                        let around = &around[contact.side.index()];
                        fine.note(motion, around, contact.side, &contact.reached());
                    }
                    self.stage = Stage::Window;
                }
                options.steers
            }
            Stage::Window => {
                let mut continuum = Continuum::new(motion, around, lattice);
                let offset_mm = axle.setup(*state).wheel.offset_mm.value;
                self.window = window(&mut continuum, fine, options.margin_mm, offset_mm);
                if self.window.is_some() {
                    let window = self.window.as_ref();
                    [self.sigmas.inboard_mm, self.sigmas.outboard_mm] =
                        sure::of_window(&self.contacts, window, options.margin_mm);
                    self.stage = Stage::Stop(stops::Search::new(Measure::Lock), None);
                }
                WINDOW_COST
            }
            Stage::Stop(mut search, first) => {
                let mut continuum = Continuum::new(motion, around, lattice);
                // The second time with as much more room asked for as the nearest contact may be off.
                let more = first.and(sure::of_shortest(&self.contacts)).unwrap_or_default();
                let found = search.go(&mut continuum, options.margin_mm + more);
                let measure = search.measure();
                self.stage = match (found, first) {
                    (None, _) => Stage::Stop(search, first),
                    (Some(stop), None) => {
                        match measure {
                            Measure::Lock => self.steer = Some(stop),
                            Measure::Bump => self.bump = Some(stop),
                        }
                        match stop {
                            Stop::At(at) => Stage::Stop(stops::Search::new(measure), Some(at)),
                            _ => after(measure, options.sizes),
                        }
                    }
                    (Some(then), Some(at)) => {
                        let off = match then {
                            Stop::At(then) => Some((at - then).abs()),
                            _ => None,
                        };
                        match measure {
                            Measure::Lock => self.sigmas.steer_rad = off,
                            Measure::Bump => self.sigmas.bump_mm = off,
                        }
                        after(measure, options.sizes)
                    }
                };
                CONTACT_COST
            }
            Stage::Largest => {
                let mut continuum = Continuum::new(motion, around, lattice);
                self.largest = Some(largest(&mut continuum, fine, options.margin_mm));
                let now = [motion.solid.radius_mm(), motion.solid.half_width_mm()];
                let found = self.largest.as_ref();
                [self.sigmas.diameter_mm, self.sigmas.width_mm] =
                    sure::of_sizes(&self.contacts, found, now, options.margin_mm);
                self.stage = Stage::Done;
                WINDOW_COST
            }
        }
        assert!(hidden > 0, "no line is hidden behind another thing's: {:?}", found.contacts);
    }

    #[test]
    fn more_is_known_as_it_goes() {
        let truck = Truck::example();
        let options = Options::coarse();
        let mut study = Study::begin(&truck, End::Front, State::Planned, &options).unwrap();
        assert!(
            study.fit().contacts.is_empty() && study.fit().maps.iter().any(|m| m.least().is_some())
        );
        let mut before = (false, false, false);
        loop {
            let done = study.step(100);
            let fit = study.fit();
            let now = (study.certain(), study.mapped(), fit.stops.is_some());
            assert!(now >= before && (now.0 || !now.1) && (now.1 || !now.2), "{before:?} {now:?}");
            before = now;
            if done {
                break;
            }
        }
        assert_eq!(before, (true, true, true));
    }
}
