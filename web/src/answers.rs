//! What the engine says about the build on the bench, worked out once for each change.

use buildfile::Build;
use checks::{OfTruck, of_truck};
use fitment::axle::{
    self, Answer, Attitude, AxleModel, Output, Pose, RollAxis, SceneItem, Travel, Turn, scene,
    scene_beside, solve, solve_near, solve_ride, wheel_scene,
};
use fitment::calibrate::{
    Calibration, Foretold, Log, Next, Settles, answer_surely, calibrate, calibrate_after, foretell,
};
use fitment::clearance::{Fit, FitError, Look, Looker, Near, Obstacle, Options, fit};
use fitment::finding::{Aim, Finding, Goal, Target, aim, findings};
use fitment::tire::{self, TireDims};
use fitment::truck::{Axle, End, Part, Side, State, Truck};
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

/// One axle in one state: the answer at rest and the means to move it.
pub struct Standing {
    /// The truck as the engine reads it.
    pub truck: Rc<Truck>,
    /// Its axle at this end.
    pub axle: Rc<Axle>,
    /// Which end.
    pub end: End,
    /// Which state.
    pub state: State,
    /// Pose, outputs and how sure, by slopes.
    pub answer: Answer,
    /// The same where slopes do not tell how sure, once it was looked at.
    sure: OnceCell<Answer>,
    /// The tire on its wheel.
    pub tire: TireDims,
    /// At rest, to draw.
    pub scene: Rc<Vec<SceneItem>>,
    near: RefCell<Pose<f64>>,
}

/// A pose a slider asked for.
#[derive(Clone, PartialEq)]
pub struct Moved {
    /// To draw.
    pub scene: Rc<Vec<SceneItem>>,
    /// Its outputs.
    pub attitude: Attitude<f64>,
}

/// One tire at a place of the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Which end of the truck.
    pub end: End,
    /// Which state of it.
    pub state: State,
    /// Whose tire.
    pub side: Side,
    /// Steer of its wheel, rad, left positive.
    pub steer_rad: f64,
    /// Travel of the left and right wheel from stock, mm, bump positive.
    pub travel: Travel,
    /// The axle there.
    pub pose: Pose<f64>,
    /// What is near, the nearest first, and last what turns with the wheel.
    pub near: Vec<Near>,
}

impl Seen {
    /// What is nearest, or how near one thing is.
    pub fn nearest(&self, of: Option<Obstacle>) -> Option<&Near> {
        self.near.iter().find(|near| of.is_none_or(|of| near.obstacle == of))
    }

    /// Travel of its own wheel from stock, mm, bump positive.
    pub const fn travel_mm(&self) -> f64 {
        self.travel[self.side.index()]
    }
}

/// One axle in its three states, each of which may have no answer and says why; and what follows
/// from them, worked out once it is asked for.
pub struct Axles {
    /// Stock, as it sits, planned.
    pub states: [Result<Standing, String>; 3],
    /// The truck.
    pub truck: Rc<Truck>,
    /// Its axle in view.
    pub axle: Rc<Axle>,
    /// Which end that is.
    pub end: End,
    /// As it was assumed, before any reading.
    assumed: Rc<Truck>,
    /// What was read.
    pub log: Log,
    fitted: OnceCell<Result<Calibration, String>>,
    next: OnceCell<Vec<Next>>,
    targets: Vec<Target>,
    fits: [OnceCell<Result<Rc<Fit>, FitError>>; 3],
    lookers: [OnceCell<Result<Box<Looker>, FitError>>; 3],
    /// By slopes, and as well as it can be known.
    found: [[OnceCell<Vec<Finding>>; 3]; 2],
    roll_axes: OnceCell<[Option<RollAxis>; 3]>,
    rest: [OnceCell<Vec<OfTruck>>; 3],
}

impl Standing {
    fn of(
        truck: &Rc<Truck>,
        axle: &Rc<Axle>,
        (end, state): (End, State),
        fitted: Option<&Calibration>,
    ) -> Result<Self, String> {
        let answer = match fitted {
            Some(fitted) => fitted.answer(state),
            None => axle::answer(truck, end, state),
        };
        let answer = answer.map_err(|error| error.to_string())?;
        let setup = axle.fitted(state);
        let tire = tire::resolve(&setup.tire, &setup.wheel).map_err(|error| error.to_string())?;
        let mut axle = Rc::clone(axle);
        if axle.arch_trim_mm(state).value > 0.0 {
            // The arch is drawn as it is cut in this state.
            let surroundings = axle.around(state);
            Rc::make_mut(&mut axle).surroundings = surroundings;
        }
        let drawn =
            scene(&axle, &answer.model, &tire, &answer.pose, Turn::Mean(0.0), &answer.attitude);
        let near = RefCell::new(answer.pose);
        let truck = Rc::clone(truck);
        let (sure, scene) = (OnceCell::new(), Rc::new(drawn));
        Ok(Self { truck, axle, end, state, answer, sure, tire, scene, near })
    }

    /// The axle with its wheels moved and turned.
    ///
    /// # Errors
    /// In words, when it cannot get there.
    pub fn moved(&self, travel: Travel, steer_deg: f64) -> Result<Moved, String> {
        let model: &AxleModel<f64> = &self.answer.model;
        let pose = self.posed(travel)?;
        let steer = steer_deg.to_radians();
        let attitude = axle::attitude(model, &pose, steer);
        let turn = Turn::Mean(steer);
        let drawn = scene(&self.axle, model, &self.tire, &pose, turn, &attitude);
        Ok(Moved { scene: Rc::new(drawn), attitude })
    }

    /// The axle at a pose with one of its wheels turned by `steer` rad, to draw, without what belongs to
    /// the other side; of the outputs only those at rest.
    fn turned(&self, pose: &Pose<f64>, side: Side, steer: f64) -> Vec<SceneItem> {
        let (model, outputs) = (&self.answer.model, &self.answer.attitude);
        let turn = Turn::Knuckle(side, steer);
        scene_beside(&self.axle, model, &self.tire, pose, turn, outputs, Some(side))
    }

    /// One tire with its wheel turned by `steer` rad and the wheels at their travels; nothing where the
    /// axle cannot get.
    pub fn reached(&self, travel: Travel, side: Side, steer: f64) -> Vec<SceneItem> {
        let wheel = |pose| wheel_scene(&self.answer.model, &self.tire, &pose, side, steer);
        self.posed(travel).map(wheel).unwrap_or_default()
    }

    fn posed(&self, travel: Travel) -> Result<Pose<f64>, String> {
        let model = &self.answer.model;
        let near = *self.near.borrow();
        let pose = solve_near(model, travel, &near)
            .or_else(|_| solve(model, travel))
            .map_err(|error| error.to_string())?;
        self.near.replace(pose);
        Ok(pose)
    }

    /// The outputs at rest with other parts fitted; `None` where it cannot rest.
    pub fn with_parts(&self, parts: &[Part]) -> Option<Attitude<f64>> {
        let model = self.answer.model.with_parts(parts).ok()?;
        let pose = solve_ride(&model).ok()?;
        Some(axle::attitude(&model, &pose, 0.0))
    }

    /// The outputs at rest with every rubber bush so much softer.
    pub fn worn(&self, share: f64) -> Option<Attitude<f64>> {
        let model = self.answer.model.with_rubber(share);
        let pose = solve_ride(&model).ok()?;
        Some(axle::attitude(&model, &pose, 0.0))
    }

    /// The outputs at rest with the inner wheel at its stop, turned left and turned right.
    pub fn at_lock(&self) -> [Attitude<f64>; 2] {
        let lock = self.axle.lock_deg(self.state).value.to_radians();
        axle::at_lock(&self.answer.model, &self.answer.pose, lock)
    }

    /// How much longer the drag link would have to be for the steering wheel to stand straight, mm.
    pub fn drag_link_short(&self) -> Option<f64> {
        let model = &self.answer.model;
        let straight = model.straight_drag_length(&self.answer.pose)?;
        Some(straight - model.turning.as_ref()?.drag_length)
    }

    /// The truck's roll axis in this state; `None` on a truck of which one axle is known.
    fn roll_axis(&self) -> Option<RollAxis> {
        let other = axle::answer(&self.truck, self.end.other(), self.state).ok()?;
        match self.end {
            End::Front => axle::roll_axis(&self.answer, &other),
            End::Rear => axle::roll_axis(&other, &self.answer),
        }
    }

    /// One output at rest.
    pub fn value(&self, output: Output) -> Option<f64> {
        self.answer.attitude.get(output)
    }

    /// The answer with how sure, as well as that is known by now.
    pub fn sure(&self) -> &Answer {
        self.sure.get().unwrap_or(&self.answer)
    }

    /// One output's standard deviation at rest.
    pub fn sigma(&self, output: Output) -> Option<f64> {
        self.sure().sigma.get(output)
    }
}

impl Axles {
    /// Everything about an axle of the build, with what was worked out before the last change; `None`
    /// when it has no such axle.
    fn of(build: &Build, end: End, last: Option<&Self>) -> Option<Self> {
        let given = build.truck.axle(end)?;
        let fitted = OnceCell::new();
        if build.log.reads(end) {
            let last = last.and_then(|last| last.fitted.get()?.as_ref().ok());
            let fit = calibrate_after(&build.truck, end, &build.log, last);
            let _ = fitted.set(fit.map_err(|why| why.to_string()));
        }
        // With readings, every answer is the fitted truck's; without a fit, what was assumed stands.
        let by = fitted.get().and_then(|fitted| fitted.as_ref().ok());
        let truck = by.map_or(&build.truck, |by| &by.truck);
        let axle = Rc::new(truck.axle(end).unwrap_or(given).clone());
        let truck = Rc::new(truck.clone());
        let states = State::ALL.map(|state| Standing::of(&truck, &axle, (end, state), by));
        let targets = build.own_targets();
        Some(Self {
            assumed: Rc::new(build.truck.clone()),
            log: build.log.clone(),
            fitted,
            next: OnceCell::new(),
            states,
            truck,
            axle,
            end,
            targets,
            fits: [const { OnceCell::new() }; 3],
            lookers: [const { OnceCell::new() }; 3],
            found: [const { [const { OnceCell::new() }; 3] }; 2],
            roll_axes: OnceCell::new(),
            rest: [const { OnceCell::new() }; 3],
        })
    }

    /// One state.
    ///
    /// # Errors
    /// In words, why it has no answer.
    pub const fn state(&self, state: State) -> Result<&Standing, &String> {
        self.states[state as usize].as_ref()
    }

    /// The axle fitted to what was read of it, if anything was.
    pub fn read(&self) -> Option<&Calibration> {
        let fitted = self.fitted.get()?.as_ref().ok()?;
        fitted.readings.iter().any(|read| read.place.set.is_some()).then_some(fitted)
    }

    /// The axle fitted to whatever was read, be it nothing.
    ///
    /// # Errors
    /// In words, when readings contradict each other too far.
    pub fn fitted(&self) -> Result<&Calibration, &String> {
        let fit = || calibrate(&self.assumed, self.end, &self.log).map_err(|why| why.to_string());
        self.fitted.get_or_init(fit).as_ref()
    }

    /// What the sets before one foretold for it.
    ///
    /// # Errors
    /// In words.
    pub fn foretold(&self, set: usize) -> Result<Vec<Foretold>, String> {
        foretell(&self.assumed, self.end, &self.log, set).map_err(|why| why.to_string())
    }

    /// Everything that can be measured and was not, the worthiest first.
    pub fn next(&self) -> &[Next] {
        self.next.get_or_init(|| {
            self.fitted().ok().and_then(|it| it.next(&self.targets).ok()).unwrap_or_default()
        })
    }

    /// What settles the answers whose band is in doubt; nothing before anything was read.
    pub fn settles(&self) -> Vec<Settles> {
        let settles = || {
            let answers = [State::Stock, State::Sitting].map(|state| self.state(state).ok());
            let [stock, now] = answers.map(|it| it.map(Standing::sure));
            self.read()?.settles_of(&self.targets, [stock?, now?]).ok()
        };
        settles().unwrap_or_default()
    }

    /// Keeps a fit that was worked out in pieces.
    pub fn keep(&self, state: State, fit: &Rc<Fit>) {
        // One that is there already says the same.
        let _ = self.fits[state as usize].set(Ok(Rc::clone(fit)));
    }

    /// The fit in a state, if it was worked out before.
    pub fn kept(&self, state: State) -> Option<&Rc<Fit>> {
        self.fits[state as usize].get()?.as_ref().ok()
    }

    /// Whether the tire fits in a state.
    ///
    /// # Errors
    /// When the engine has no answer.
    pub fn fit(&self, state: State) -> Result<&Rc<Fit>, &FitError> {
        let fit = || fit(&self.truck, self.end, state, &Options::default()).map(Rc::new);
        self.fits[state as usize].get_or_init(fit).as_ref()
    }

    /// One tire with its wheel at this steer, and the left and right wheel at their travels.
    ///
    /// # Errors
    /// In words, when it cannot get there.
    pub fn seen(
        &self,
        state: State,
        side: Side,
        steer_rad: f64,
        travel: Travel,
    ) -> Result<Seen, String> {
        let standing = self.state(state).map_err(Clone::clone)?;
        let looker = self.lookers[state as usize]
            .get_or_init(|| Looker::of(&self.truck, self.end, state).map(Box::new))
            .as_ref()
            .map_err(FitError::to_string)?;
        let near = *standing.near.borrow();
        let Look { pose, near } = looker
            .at(side, steer_rad, travel, Some(&near))
            .or_else(|_| looker.at(side, steer_rad, travel, None))
            .map_err(|why| why.to_string())?;
        standing.near.replace(pose);
        Ok(Seen { end: self.end, state, side, steer_rad, travel, pose, near })
    }

    /// What to draw of a tire at a place of the map, and the stock tire there to lay over it: nothing
    /// where that is the same. What belongs to the other side is left out.
    pub fn drawn(&self, seen: &Seen) -> [Vec<SceneItem>; 2] {
        let &Seen { state, side, steer_rad, travel, ref pose, .. } = seen;
        let scene = self.state(state).map(|standing| standing.turned(pose, side, steer_rad));
        let stock = self.state(State::Stock).ok().filter(|_| state != State::Stock);
        let stock = stock.map(|stock| stock.reached(travel, side, steer_rad));
        [scene.unwrap_or_default(), stock.unwrap_or_default()]
    }

    /// What stands out in a state, worst first; nothing while it or the stock one has no answer.
    pub fn findings(&self, state: State) -> &[Finding] {
        self.found[usize::from(self.is_sure())][state as usize].get_or_init(|| {
            match (self.state(State::Stock), self.state(state)) {
                (Ok(stock), Ok(now)) => {
                    findings(self.end, state, stock.sure(), now.sure(), &self.targets)
                }
                _ => Vec::new(),
            }
        })
    }

    /// Looks how sure one more answer is where slopes do not tell; true when nothing is left to look at.
    pub fn look_closer(&self) -> bool {
        let unsure = |at: &&Standing| at.sure.get().is_none();
        if let Some(at) = self.states.iter().flatten().find(unsure) {
            let by = self.fitted.get().filter(|_| self.log.reads(self.end));
            let found = match by.and_then(|by| by.as_ref().ok()) {
                Some(fitted) => fitted.answer_surely(at.state),
                None => answer_surely(&self.truck, self.end, at.state),
            };
            // An answer that was there by slopes is there; what cannot be known better stands.
            let _ = at.sure.set(found.unwrap_or_else(|_| at.answer.clone()));
        }
        self.is_sure()
    }

    fn is_sure(&self) -> bool {
        self.states.iter().flatten().all(|at| at.sure.get().is_some())
    }

    /// What plans are judged by; nothing while the stock axle has no answer.
    pub fn aims(&self) -> Vec<(Goal, Aim)> {
        let Ok(stock) = self.state(State::Stock) else { return Vec::new() };
        let aim = |goal| Some((goal, aim(goal, self.end, &stock.answer, &self.targets)?));
        Goal::all().filter_map(aim).collect()
    }

    /// What the look-ups find about this axle in a state, worst first.
    pub fn rest(&self, state: State) -> &[OfTruck] {
        self.rest[state as usize].get_or_init(|| of_truck(&self.truck, self.end, state))
    }

    /// The truck's roll axis in each state; `None` on a truck of which one axle is known.
    pub fn roll_axes(&self) -> &[Option<RollAxis>; 3] {
        self.roll_axes.get_or_init(|| State::ALL.map(|state| self.state(state).ok()?.roll_axis()))
    }
}

/// The answers about the axle in view, shared by the page's parts; and whether it was looked how sure
/// they are where slopes do not tell.
#[derive(Clone)]
pub struct Bench(Rc<Axles>, bool);

impl Bench {
    /// Works everything out for an axle of the build; `None` when it has no such axle.
    pub fn of(build: &Build, end: End) -> Option<Self> {
        Self::after(build, end, None)
    }

    /// The same with the answers before the last change at hand: a fit that nothing changed is kept.
    pub fn after(build: &Build, end: End, last: Option<&Self>) -> Option<Self> {
        Axles::of(build, end, last.map(|last| &*last.0)).map(|axles| Self(Rc::new(axles), false))
    }

    /// True when two are about one build, however sure.
    pub fn is_of(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }

    /// The same for what does not hang on how sure they are.
    #[must_use]
    pub fn plain(&self) -> Self {
        Self(Rc::clone(&self.0), false)
    }

    /// The same to be shown anew, where it was looked how sure the answers are.
    #[must_use]
    pub fn sure(&self) -> Self {
        Self(Rc::clone(&self.0), true)
    }
}

impl PartialEq for Bench {
    fn eq(&self, other: &Self) -> bool {
        self.is_of(other) && self.1 == other.1
    }
}

impl std::ops::Deref for Bench {
    type Target = Axles;

    fn deref(&self) -> &Axles {
        &self.0
    }
}
