//! A fit worked out in pieces: a coarse picture at once, certainty and detail while a person looks.

use super::bracket::{Continuum, Measure};
use super::contact::Contact;
use super::domain::Options;
use super::fit::{Fit, FitError, Setting};
use super::largest::{Largest, largest};
use super::lattice::Lattice;
use super::map::Sweep;
use super::stops::{self, Stop, Stops};
use super::sure::{self, Sigmas};
use super::window::{Window, window};
use crate::few::sort_few;
use crate::truck::{End, Side, State, Truck};

/// A fit under way.
pub struct Study {
    setting: Setting,
    options: Options,
    lattice: Lattice,
    /// The picture that is whole, and the finer one that grows.
    coarse: Sweep,
    fine: Sweep,
    contacts: Vec<Contact>,
    window: Option<Window>,
    largest: Option<Largest>,
    steer: Option<Stop>,
    bump: Option<Stop>,
    sigmas: Sigmas,
    stage: Stage,
}

/// What is worked out next.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    /// The certain contact of this side with this obstacle.
    Contact(Side, usize),
    /// The map's next row.
    Rows,
    Window,
    /// A stop, and once it is known how sure it is.
    Stop(stops::Search, Option<f64>),
    Largest,
    Done,
}

/// What follows a stop.
const fn after(measure: Measure, sizes: bool) -> Stage {
    match (measure, sizes) {
        (Measure::Lock, _) => Stage::Stop(stops::Search::new(Measure::Bump), None),
        (Measure::Bump, true) => Stage::Largest,
        (Measure::Bump, false) => Stage::Done,
    }
}

/// About how many positions of a map take as long as one contact, one window and so on.
const CONTACT_COST: usize = 1000;
const WINDOW_COST: usize = 5000;

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
            steer: None,
            bump: None,
            sigmas: Sigmas::default(),
            stage: Stage::Contact(Side::Left, 0),
        })
    }

    /// Goes on for about as long as so many positions of a map take; true when all is done.
    pub fn step(&mut self, positions: usize) -> bool {
        let mut spent = 0;
        while spent < positions.max(1) && self.stage != Stage::Done {
            spent += self.piece();
        }
        self.stage == Stage::Done
    }

    /// Whether every contact is in: until then the nearest of all may still be missing.
    pub const fn certain(&self) -> bool {
        !matches!(self.stage, Stage::Contact(..))
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
            Stage::Done => 0,
        }
    }

    /// What is known so far: the coarse map until the fine one is whole, the contacts that are
    /// certain already, and the rest when it is done.
    pub fn fit(&self) -> Fit {
        let sweep = if self.mapped() { &self.fine } else { &self.coarse };
        Fit {
            maps: sweep.maps.clone(),
            contacts: self.contacts.clone(),
            window: self.window,
            largest: self.largest,
            stops: self
                .steer
                .zip(self.bump)
                .map(|(steer_rad, bump_mm)| Stops { steer_rad, bump_mm }),
            sigmas: self.sigmas,
            domain: self.setting.motion.domain,
            unreachable_rows: sweep.unreachable.0,
        }
    }
}
