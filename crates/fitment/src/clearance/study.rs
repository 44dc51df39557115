//! A fit worked out in pieces: a coarse picture at once, certainty and detail while a person looks.

use super::bracket::{Continuum, Measure};
use super::contact::Contact;
use super::domain::Options;
use super::fit::{Fit, FitError, Setting, Touch};
use super::largest::largest;
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
        let fit = Fit {
            maps: Vec::new(),
            touches: Vec::new(),
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
    pub fn mapped(&self) -> bool {
        self.has(Stage::Mapped)
    }

    fn has(&self, stage: Stage) -> bool {
        self.known.borrow().stage >= stage
    }

    /// What is known so far: the coarse map until the fine one is whole, the contacts that are
    /// certain already, and the rest when it is done.
    pub fn fit(&self) -> Fit {
        self.known.borrow().fit.clone()
    }
}

/// Works everything out, telling what is known as it goes.
async fn work(
    mut setting: Setting,
    options: Options,
    known: Rc<RefCell<Known>>,
    pace: Pace,
) -> Result<(), FitError> {
    setting.motion.survey();
    pace.rest().await;
    let Setting { motion, around, .. } = &setting;
    let coarse = Sweep::new(motion, around, &coarser(&options));
    let coarse = swept(&setting, coarse, &pace).await;
    tell(&known, |known| show(known, &coarse, Stage::Pictured));
    if coarse.stations.is_empty()
        && let Some(why) = coarse.unreachable.1
    {
        return Err(FitError::Unreachable(why));
    }
    // Whoever waits for the picture has it now.
    pace.rest().await;
    let mut lattice = Lattice::new(motion);
    let continuum = &mut Continuum::new(motion, around, &mut lattice, &pace);
    for side in Side::BOTH {
        for (obstacle, hint) in coarse.worst[side.index()].iter().enumerate() {
            let contact = setting.contact(continuum, (side, obstacle), *hint).await;
            tell(&known, |known| known.fit.contacts.extend(contact));
        }
    }
    let mut contacts = known.borrow().fit.contacts.clone();
    sort_few(&mut contacts, |a, b| a.clearance_mm.total_cmp(&b.clearance_mm));
    tell(&known, |known| {
        known.fit.contacts.clone_from(&contacts);
        known.stage = Stage::Certain;
    });
    let fine = Sweep::new(motion, around, &options).of_map();
    let mut fine = swept(&setting, fine, &pace).await;
    // Where the truck is known to be worst counts, whatever positions the map tries.
    for contact in &contacts {
        let around = setting.around(contact.side);
        fine.note(motion, around, contact.side, &contact.reached());
    }
    tell(&known, |known| show(known, &fine, Stage::Mapped));
    if options.touches {
        let touches = touches(&setting, &options, &contacts, &pace).await;
        tell(&known, |known| known.fit.touches = touches);
    }
    let margin = options.margin_mm;
    let offset_mm = setting.axle.fitted(setting.state).wheel.offset_mm.value;
    let found = loop {
        if let Some(found) = window(continuum, &mut fine, margin, offset_mm).await {
            break found;
        }
    };
    tell(&known, |known| {
        let sigmas = &mut known.fit.sigmas;
        [sigmas.inboard_mm, sigmas.outboard_mm] = sure::of_window(&contacts, &found, margin);
        known.fit.window = Some(found);
    });
    let (steer_rad, steer_sigma) = stopped(continuum, Measure::Lock, margin, &contacts).await;
    let (bump_mm, bump_sigma) = stopped(continuum, Measure::Bump, margin, &contacts).await;
    tell(&known, |known| {
        [known.fit.sigmas.steer_rad, known.fit.sigmas.bump_mm] = [steer_sigma, bump_sigma];
        known.fit.stops = Some(Stops { steer_rad, bump_mm });
    });
    if options.sizes {
        let found = largest(continuum, &mut fine, margin).await;
        let now = [motion.solid.radius_mm(), motion.solid.half_width_mm()];
        tell(&known, |known| {
            let sigmas = &mut known.fit.sigmas;
            [sigmas.diameter_mm, sigmas.width_mm] = sure::of_sizes(&contacts, &found, now, margin);
            known.fit.largest = Some(found);
        });
    }
    Ok(())
}

/// The picture that comes first, no finer than the one asked for.
fn coarser(options: &Options) -> Options {
    let rough = Options::coarse();
    Options {
        steers: rough.steers.min(options.steers),
        travels: rough.travels.min(options.travels),
        crossed: options.crossed.clone(),
        ..rough
    }
}

/// A sweep gone through.
pub(super) async fn swept(setting: &Setting, mut sweep: Sweep, pace: &Pace) -> Sweep {
    let Setting { motion, around, .. } = setting;
    let steers = sweep.maps.first().map_or(0, |map| map.steer_rad.len());
    while sweep.next(motion, around) {
        pace.spend(steers + motion.station_cost()).await;
    }
    sweep
}

/// Where each thing that touches first does so, were it there alone.
async fn touches(
    setting: &Setting,
    options: &Options,
    contacts: &[Contact],
    pace: &Pace,
) -> Vec<Touch> {
    let Setting { motion, around, .. } = setting;
    let mut touches = Vec::new();
    for contact in contacts.iter().filter(|contact| contact.clearance_mm < 0.0) {
        let here = setting.around(contact.side);
        let Some(obstacle) = here.find(contact.obstacle).filter(|it| !here.turns(*it)) else {
            continue;
        };
        let alone = Sweep::alone(motion, around, options, (contact.side, obstacle));
        for map in swept(setting, alone, pace).await.maps {
            let (side, crossed) = (map.side, map.crossed);
            let lines = map.contours(0.0).into_iter();
            touches.extend(lines.map(|line| Touch { side, crossed, line }));
        }
    }
    touches
}

/// A stop, and how sure it is: solved for again with as much more room asked for as the nearest contact
/// may be off.
async fn stopped(
    continuum: &mut Continuum<'_>,
    measure: Measure,
    margin_mm: f64,
    contacts: &[Contact],
) -> (Stop, Option<f64>) {
    let found = stop(continuum, measure, margin_mm).await;
    let Stop::At(at) = found else { return (found, None) };
    let more = sure::of_shortest(contacts).unwrap_or_default();
    let Stop::At(then) = stop(continuum, measure, margin_mm + more).await else {
        return (found, None);
    };
    (found, Some((at - then).abs()))
}

fn tell(known: &RefCell<Known>, told: impl FnOnce(&mut Known)) {
    told(&mut known.borrow_mut());
}

fn show(known: &mut Known, sweep: &Sweep, stage: Stage) {
    known.fit.maps.clone_from(&sweep.maps);
    known.fit.unreachable_rows = sweep.unreachable.0;
    known.stage = stage;
}

#[cfg(test)]
mod tests {
    use super::super::Obstacle;
    use super::super::{beside, beside_slowly, fit, trim_line, trim_line_slowly};
    use super::*;
    use crate::measure::Known;
    use crate::truck::{Axle, LayoutKind};

    /// A truck on leaf springs with the example's things around its wheels.
    fn on_leaves() -> Truck {
        let mut leaves = Axle::typical(LayoutKind::Leaf, End::Front);
        leaves.surroundings = Truck::example().front.unwrap().surroundings;
        leaves.surroundings.things.truncate(2);
        Truck::with_axle(leaves, End::Front)
    }

    #[test]
    fn an_answer_in_small_steps_is_the_answer_at_once() {
        let at = (End::Front, State::Stock);
        let options = Options { sizes: true, ..Options::coarse() };
        for truck in [Truck::example, on_leaves] {
            let truck = truck();
            let whole = fit(&truck, at.0, at.1, &options).unwrap();
            let mut study = Study::start(&truck, at.0, at.1, &options).unwrap();
            let mut steps = 0;
            while !study.step(1) {
                steps += 1;
            }
            assert!(steps > 1000, "{steps} steps");
            assert_eq!(study.fit(), whole);

            let stop = whole.stops.map(|stops| stops.steer_rad);
            let mut slow = beside_slowly(&truck, at, &options, stop);
            let stepped = std::iter::repeat_with(|| slow.step(50)).flatten().next().unwrap();
            assert_eq!(stepped, beside(&truck, at, &options, stop));
            let mut slow = trim_line_slowly(&truck, at.0, at.1, &options);
            let stepped = std::iter::repeat_with(|| slow.step(50)).flatten().next().unwrap();
            assert_eq!(stepped, trim_line(&truck, at.0, at.1, &options));
        }
    }

    #[test]
    fn each_thing_that_touches_has_its_own_line() {
        let mut truck = Truck::example();
        // A tire far too large: it meets the arch where it has long met the rail.
        let tire = &mut truck.front.as_mut().unwrap().planned.tire;
        (tire.diameter_mm, tire.section_mm) =
            (Some(Known::exact(960.0)), Some(Known::exact(390.0)));
        let options = Options { touches: true, steers: 31, travels: 21, ..Options::coarse() };
        let found = fit(&truck, End::Front, State::Planned, &options).unwrap();
        let mut hidden = 0;
        for contact in found.contacts.iter().filter(|contact| contact.clearance_mm < -3.0) {
            let of = |touch: &&Touch| {
                touch.side == contact.side && touch.line.obstacle == contact.obstacle
            };
            // With nothing else there, the map's own contours are the same lines.
            let mut alone = truck.clone();
            let around = &mut alone.front.as_mut().unwrap().surroundings;
            match contact.obstacle {
                Obstacle::Rail => (around.arch, around.arm_radius_mm) = (None, None),
                Obstacle::Arch => (around.rail, around.arm_radius_mm) = (None, None),
                Obstacle::Arm => (around.rail, around.arch) = (None, None),
                Obstacle::Thing(_) => continue,
            }
            around.things.clear();
            let plain = Options { touches: false, ..options.clone() };
            let alone = fit(&alone, End::Front, State::Planned, &plain).unwrap();
            for map in alone.maps.iter().filter(|map| map.side == contact.side) {
                let same = |crossed: f64| (crossed - map.crossed).abs() < 1e-9;
                let own = found.maps.iter().find(|m| m.side == map.side && same(m.crossed));
                let length = |lines: &mut dyn Iterator<Item = usize>| lines.sum::<usize>();
                let want = length(&mut map.contours(0.0).iter().map(|line| line.points.len()));
                let got = found.touches.iter().filter(of).filter(|t| same(t.crossed));
                let got = length(&mut got.map(|touch| touch.line.points.len()));
                // Each clearance of a map is known to half a millimeter.
                let apart = got.abs_diff(want);
                assert!(apart <= 4 + want / 10, "{:?} {got} {want}", contact.obstacle);
                let shown = own.unwrap().contours(0.0);
                let shown = shown.iter().filter(|line| line.obstacle == contact.obstacle);
                let shown = length(&mut shown.map(|line| line.points.len()));
                hidden += usize::from(shown < want);
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
