//! What a truck tells a card: numbers as they were measured, or from the solved pose, each with
//! where it came from.

use super::card::{Card, Entry};
use fitment::axle::{Answer, Output, Place, Pose, answer, at_lock, reactions, solve};
use fitment::measure::{Known, Origin, units::DEG_PER_RAD};
use fitment::tire::{TireDims, resolve};
use fitment::truck::{Axle, Bar, End, Layout, Point, Setup, State, Truck};
use nalgebra::Vector3;
use std::borrow::Cow;
use std::cell::RefCell;
use std::rc::Rc;

/// Entries by field.
pub type Told = Vec<(&'static str, Entry)>;

impl Card {
    /// What the truck tells this card about one of its axles in a state, as far as it is filled in
    /// and stands; nothing where the card asks for what no build holds.
    pub fn from_truck(&self, truck: &Truck, end: End, state: State) -> Told {
        At::of(truck, end, state).map_or_else(Told::new, |at| self.told(&at))
    }

    /// The same by someone who has been asked before and need not solve the axle again.
    pub(super) fn told(&self, at: &At) -> Told {
        let mut tell = Tell::default();
        // What an axle that does not stand leaves out is left out.
        let _ = match self.slug {
            "tires" => {
                at.sizes(&mut tell);
                None
            }
            "gearing" => {
                at.sizes(&mut tell);
                at.gears(&mut tell);
                None
            }
            "tire-load" => {
                tell.some("axle_load", at.weighed(at.end).cloned());
                None
            }
            "cg-height" => {
                at.weighing(&mut tell);
                None
            }
            "driveline" => at.driveline(&mut tell),
            "angles" => at.angles(&mut tell),
            "stability" => {
                at.stability(&mut tell);
                None
            }
            "roll" => at.roll(&mut tell),
            "loads" => at.loads(&mut tell),
            "ride" => at.ride(&mut tell),
            "hub" => at.hub(&mut tell),
            "toe" => at.toe(&mut tell),
            "turning" => at.turning(&mut tell),
            "hose" => at.hose(&mut tell),
            _ => None,
        };
        tell.0
    }
}

/// An axle in a state, and its answer where it stands.
type Solved = (End, State, Option<Rc<Answer>>);

/// The axle in view, and every axle solved so far.
pub(super) struct At<'a> {
    pub truck: &'a Truck,
    pub axle: &'a Axle,
    pub end: End,
    pub state: State,
    solved: RefCell<Vec<Solved>>,
}

/// What is told, one call for each.
#[derive(Default)]
pub(super) struct Tell(Told);

impl Tell {
    /// A number of the truck's own.
    #[inline(never)]
    pub(super) fn own(&mut self, key: &'static str, known: &Known) {
        self.0.push((key, Entry::Number(known.clone())));
    }

    /// A number, where there is one.
    #[inline(never)]
    pub(super) fn some(&mut self, key: &'static str, known: Option<Known>) {
        self.0.extend(known.map(|known| (key, Entry::Number(known))));
    }

    /// A number from the pose: as good as a tape under the truck, and assumed because nobody read
    /// it.
    #[inline(never)]
    pub(super) fn posed(&mut self, key: &'static str, value: f64, sigma: f64) {
        self.0.push((key, Entry::Number(Known::assumed(value, sigma))));
    }

    /// A number from the pose that is as well known as the one it hangs on.
    #[inline(never)]
    pub(super) fn like(&mut self, key: &'static str, value: f64, known: &Known) {
        self.own(key, &Known { value, entered: None, ..known.clone() });
    }

    /// One of a card's few.
    #[inline(never)]
    pub(super) fn chosen(&mut self, key: &'static str, which: usize) {
        self.0.push((key, Entry::Choice(which)));
    }

    fn size(&mut self, key: &'static str, setup: &Setup) {
        self.0.push((key, Entry::Tire(setup.tire.size.clone())));
    }
}

/// The difference of two, assumed as soon as one of them is.
pub(super) fn less(a: &Known, b: &Known) -> Known {
    let origin = if b.is_assumed() { b.origin.clone() } else { a.origin.clone() };
    Known { value: a.value - b.value, sigma: a.sigma.hypot(b.sigma), origin, entered: None }
}

/// The sum of two.
pub(super) fn plus(a: &Known, b: &Known) -> Known {
    less(a, &Known { value: -b.value, ..b.clone() })
}

/// Half of one.
pub(super) fn half(known: &Known) -> Known {
    Known { value: known.value / 2.0, sigma: known.sigma / 2.0, entered: None, ..known.clone() }
}

/// The mean of two.
pub(super) fn mean(a: &Known, b: &Known) -> Known {
    half(&plus(a, b))
}

/// An output of a solved axle; assumed where its weightiest input is.
pub(super) fn output(answer: &Answer, output: Output) -> Option<Known> {
    let spread = answer.spread(output)?;
    let origin = spread.driver.map_or(Origin::Published, |driver| driver.origin);
    Some(Known { value: spread.value, sigma: spread.sigma, origin, entered: None })
}

pub(super) fn tire(setup: &Setup) -> Option<TireDims> {
    resolve(&setup.tire, &setup.wheel).ok()
}

/// Track of a setup, mm: between the middles of the tires.
fn track(axle: &Axle, setup: &Setup) -> Known {
    let out = less(&setup.spacer_mm, &setup.wheel.offset_mm);
    let width = &axle.hub_face_width_mm;
    let sigma = width.sigma.hypot(2.0 * out.sigma);
    let origin = if out.is_assumed() { out.origin } else { width.origin.clone() };
    Known { value: width.value + 2.0 * out.value, sigma, origin, entered: None }
}

pub(super) fn lift(setup: &Setup) -> Known {
    let (left, right) = setup.lift();
    mean(left, right)
}

/// How much taller the truck stands on one state's tire than on another's.
pub(super) fn taller(axle: &Axle, from: State, to: State) -> Option<Known> {
    let radius = |state| tire(&axle.fitted(state)).map(|tire| tire.loaded_radius);
    Some(less(&radius(to)?, &radius(from)?))
}

impl<'a> At<'a> {
    /// `None` where the truck has no such axle.
    pub(super) fn of(truck: &'a Truck, end: End, state: State) -> Option<Self> {
        let axle = truck.axle(end)?;
        Some(Self { truck, axle, end, state, solved: RefCell::default() })
    }
}

impl At<'_> {
    fn now(&self) -> Cow<'_, Setup> {
        self.axle.fitted(self.state)
    }

    /// An axle's answer in a state, worked out once.
    #[inline(never)]
    pub(super) fn solved(&self, end: End, state: State) -> Option<Rc<Answer>> {
        let mut solved = self.solved.borrow_mut();
        let known = solved.iter().find(|(e, s, _)| (*e, *s) == (end, state));
        if let Some((.., known)) = known {
            return known.clone();
        }
        let found = answer(self.truck, end, state).ok().map(Rc::new);
        solved.push((end, state, found.clone()));
        found
    }

    fn answer(&self, state: State) -> Option<Rc<Answer>> {
        self.solved(self.end, state)
    }

    /// Mean over the axles the truck has of something of each.
    pub(super) fn over_axles(&self, of: &dyn Fn(&Axle) -> Option<Known>) -> Option<Known> {
        let each = |end| self.truck.axle(end).and_then(of);
        match (each(End::Front), each(End::Rear)) {
            (Some(front), Some(rear)) => Some(mean(&front, &rear)),
            (one, other) => one.or(other),
        }
    }

    fn sizes(&self, tell: &mut Tell) {
        tell.size("stock_tire", &self.axle.stock);
        tell.size("tire", &self.now());
    }

    /// +1 where the shaft runs forward from the case to the axle, −1 where it runs back.
    pub(super) const fn toward(&self) -> f64 {
        match self.end {
            End::Front => 1.0,
            End::Rear => -1.0,
        }
    }

    /// The pinion's flange and what it points along, in the card's axes: from the case toward the
    /// axle, to the left, up.
    pub(super) fn flange(&self, at: &Answer, pose: &Pose<f64>) -> (Vector3<f64>, f64, f64) {
        let model = &at.model;
        let toward = self.toward();
        let home = model.pinion + Vector3::new(0.0, model.pinion_y - model.pinion.y, 0.0);
        let point = pose.axle.point(&home);
        // Into the axle, against the direction from its middle to the flange.
        let along = Vector3::new(-model.pinion.x, 0.0, -model.pinion.z);
        let into = pose.axle.direction(&along);
        let slope = (-into.z).atan2(into.x.hypot(into.y)) * DEG_PER_RAD;
        let plan = into.y.atan2(into.x * toward) * DEG_PER_RAD;
        (Vector3::new(point.x * toward, point.y, point.z), slope, plan)
    }

    /// Wheel travel up to the bump stop as it is in this state, mm.
    pub(super) fn bump(&self) -> f64 {
        self.axle.bump_mm(self.state).value
    }

    /// Wheel travels at the stops: droop, bump, and crossed up.
    fn stops(&self) -> [[f64; 2]; 3] {
        let (bump, droop) = (self.bump(), self.axle.limits.droop_mm.value);
        [[-droop, -droop], [bump, bump], [bump, -droop]]
    }

    fn driveline(&self, tell: &mut Tell) -> Option<()> {
        let at = self.answer(self.state)?;
        let (ride, slope, plan) = self.flange(&at, &at.pose);
        let pinion = output(&at, Output::Pinion)?;
        let sigma = pinion.sigma.max(0.3);
        tell.own("pinion_slope", &Known { value: slope, ..pinion });
        tell.posed("pinion_plan", plan, 0.2);
        self.shaft(&at, tell);
        let names = [
            ["droop", "droop_along", "pinion_droop"],
            ["bump", "bump_along", "pinion_bump"],
            ["crossed_drop", "crossed_along", "crossed_slope"],
        ];
        for (travel, [rise, along, slopes]) in self.stops().into_iter().zip(names) {
            let Ok(pose) = solve(&at.model, travel) else { continue };
            let (point, slope, plan) = self.flange(&at, &pose);
            let moved = point - ride;
            tell.posed(rise, if rise == "bump" { moved.z } else { -moved.z }, 3.0);
            tell.posed(along, moved.x, 3.0);
            tell.posed(slopes, slope, sigma);
            if rise == "crossed_drop" {
                tell.posed("crossed_side", moved.y, 3.0);
                tell.posed("crossed_plan", plan, 0.3);
            }
        }
        Some(())
    }

    fn angles(&self, tell: &mut Tell) -> Option<()> {
        self.beyond(tell);
        tell.own("wheelbase", &self.truck.wheelbase_mm);
        tell.some("radius", tire(&self.now()).map(|tire| tire.loaded_radius));
        // What is still to come.
        let more = |axle: &Axle| {
            Some(less(&lift(&axle.fitted(State::Planned)), &lift(&axle.fitted(self.state))))
        };
        let higher = |axle: &Axle| taller(axle, self.state, State::Planned);
        tell.some("lift", self.over_axles(&more));
        tell.some("taller", self.over_axles(&higher));
        tell.some("track", self.over_axles(&|axle| Some(track(axle, &axle.fitted(self.state)))));
        let flex = [End::Front, End::Rear].map(|end| self.flex(end));
        for (key, flex) in ["front_flex", "rear_flex"].into_iter().zip(flex) {
            tell.some(key, flex.map(|flex| Known::assumed(flex, 0.5)));
        }
        let climb = self.climb(flex)?;
        tell.posed("climbed", climb, 0.1 * climb);
        Some(())
    }

    /// How far an axle rolls against the frame from stop to stop, degrees.
    fn flex(&self, end: End) -> Option<f64> {
        let axle = self.truck.axle(end)?;
        let at = self.solved(end, self.state)?;
        let travel = [axle.bump_mm(self.state).value, -axle.limits.droop_mm.value];
        let pose = solve(&at.model, travel).ok()?;
        // The left wheel up: the axle's y axis points up by its roll.
        Some(pose.axle.direction(&Vector3::y()).z.asin() * DEG_PER_RAD)
    }

    /// Height of one wheel at which another lifts: the axles rolled against each other as far as
    /// their stops let them, on a frame that does not twist.
    fn climb(&self, flex: [Option<f64>; 2]) -> Option<f64> {
        let wide = self.over_axles(&|axle| Some(track(axle, &axle.fitted(self.state))))?;
        let [front, rear] = flex;
        let turned = front.or(rear).and(Some(front.unwrap_or(0.0) + rear.unwrap_or(0.0)))?;
        Some(wide.value * (turned / DEG_PER_RAD).sin())
    }

    fn stability(&self, tell: &mut Tell) {
        self.masses(tell);
        tell.own("cg_height", &self.truck.balance.cg_height_mm);
        let now = |axle: &Axle| Some(track(axle, &axle.fitted(self.state)));
        let stock = |axle: &Axle| Some(track(axle, &axle.stock));
        let wider = |axle: &Axle| Some(less(&now(axle)?, &stock(axle)?));
        let lift = |axle: &Axle| Some(lift(&axle.fitted(self.state)));
        let higher = |axle: &Axle| taller(axle, State::Stock, self.state);
        tell.some("track", self.over_axles(&stock));
        tell.some("wider", self.over_axles(&wider));
        tell.some("lift", self.over_axles(&lift));
        tell.some("taller", self.over_axles(&higher));
    }

    fn roll(&self, tell: &mut Tell) -> Option<()> {
        let names = [
            (End::Front, "front_track", "front_center", "front_rubber"),
            (End::Rear, "rear_track", "rear_center", "rear_rubber"),
        ];
        tell.own("wheelbase", &self.truck.wheelbase_mm);
        self.body_on_springs(tell);
        for (end, wide, center, rubber) in names {
            let Some(axle) = self.truck.axle(end) else { continue };
            tell.own(wide, &track(axle, &axle.fitted(self.state)));
            let Some(at) = self.solved(end, self.state) else { continue };
            tell.some(center, output(&at, Output::RollCentreHeight));
            tell.some(rubber, output(&at, Output::RollStiffness));
        }
        let at = self.answer(self.state)?;
        tell.posed("cg_height", at.model.around.cg_height, self.truck.balance.cg_height_mm.sigma);
        Some(())
    }

    fn loads(&self, tell: &mut Tell) -> Option<()> {
        tell.some("mass", self.mass());
        tell.some("axle_mass", self.weighed(self.end).cloned());
        let at = self.answer(self.state)?;
        tell.some("panhard", output(&at, Output::Panhard));
        tell.some("radius", tire(&self.now()).map(|tire| tire.loaded_radius));
        tell.posed("cg_height", at.model.around.cg_height, self.truck.balance.cg_height_mm.sigma);
        tell.own("wheelbase", &self.truck.wheelbase_mm);
        let front = &self.truck.balance.front_brake_percent;
        tell.chosen("axle", usize::from(self.end == End::Rear));
        let share = if self.end == End::Front { front.value } else { 100.0 - front.value };
        tell.own("brake_share", &Known { value: share, ..front.clone() });
        self.arms(&at, tell);
        // What the arms' rubber carries already, standing still.
        let wound = reactions(&at.model, &at.pose)
            .into_iter()
            .filter(|reaction| reaction.place == Place::ArmEye)
            .map(|reaction| reaction.force.norm())
            .fold(0.0, f64::max);
        if wound > 0.0 {
            tell.posed("standing", wound, 0.5 * wound);
        }
        Some(())
    }

    /// How the axle is held fore and aft, and the levers that braking works on.
    fn arms(&self, at: &Answer, tell: &mut Tell) {
        let height = |p: &Point| {
            at.model.loaded_radius + at.pose.axle.point(&point(p)).z
                - at.pose.axle.point(&Vector3::zeros()).z
        };
        match &self.axle.layout {
            Layout::RadiusArms { left, .. } => {
                let far = |a: &Point, b: &Point| (point(a) - point(b)).norm();
                let eye = point(&left.chassis);
                tell.chosen("arms", 0);
                tell.posed("arm", eye.x.hypot(eye.z), 5.0);
                tell.posed("bushes", far(&left.axle_far, &left.axle_near), 3.0);
            }
            Layout::ThreeLink { lower_left: lower, upper, .. }
            | Layout::FourLink { lower_left: lower, upper_left: upper, .. } => {
                tell.chosen("arms", 1);
                tell.posed("lower", height(&lower.axle), 5.0);
                tell.posed("upper", height(&upper.axle), 5.0);
            }
            Layout::LeafSprings { .. } => {}
        }
    }

    fn ride(&self, tell: &mut Tell) -> Option<()> {
        self.springing(tell);
        let raised = lift(&self.now());
        let lowered = Known { value: -raised.value, ..raised };
        tell.own("bump_gap", &less(&self.axle.bump_mm(self.state), &lowered));
        let at = self.answer(self.state)?;
        tell.some("ratio", output(&at, Output::SpringRatioLeft));
        tell.some("shock_ratio", output(&at, Output::ShockRatioLeft));
        let length =
            |bar: &Bar| (point(&bar.chassis) - at.pose.axle.point(&point(&bar.axle))).norm();
        if let Some(spring) = &self.axle.spring {
            tell.posed("spring_length", length(spring), 4.0);
            tell.posed("spacing", 2.0 * spring.axle.y_mm.value.abs(), 4.0);
        }
        if let Some(shock) = &self.axle.shock {
            tell.posed("shock_ride", length(shock), 4.0);
        }
        Some(())
    }

    fn hub(&self, tell: &mut Tell) -> Option<()> {
        tell.some("load", self.wheel_load());
        let (stock, now) = (&self.axle.stock, &self.now());
        tell.own("stock_width", &stock.wheel.width_mm);
        tell.own("stock_offset", &stock.wheel.offset_mm);
        tell.own("width", &now.wheel.width_mm);
        tell.own("offset", &now.wheel.offset_mm);
        tell.own("spacer", &now.spacer_mm);
        let tire = tire(now)?;
        tell.own("rim", &Known::exact(tire.rim_diameter_mm));
        tell.own("radius", &tire.loaded_radius);
        Some(())
    }

    fn toe(&self, tell: &mut Tell) -> Option<()> {
        tell.own("diameter", &tire(&self.now())?.diameter);
        Some(())
    }

    fn turning(&self, tell: &mut Tell) -> Option<()> {
        tell.some("load", self.wheel_load());
        tell.own("wheelbase", &self.truck.wheelbase_mm);
        if self.end == End::Rear {
            return None;
        }
        let (stock, now) = (self.answer(State::Stock)?, self.answer(self.state)?);
        let tread = |setup| tire(setup).map(|tire| tire.tread);
        tell.some("tread_stock", tread(&self.axle.stock));
        tell.some("tread", tread(&self.now()));
        tell.some("trail_stock", output(&stock, Output::TrailLeft));
        tell.some("scrub_stock", output(&stock, Output::ScrubLeft));
        tell.some("trail", output(&now, Output::TrailLeft));
        tell.some("scrub", output(&now, Output::ScrubLeft));
        if let Some(scrub) = output(&now, Output::ScrubLeft) {
            let wide = track(self.axle, &self.now());
            let sigma = wide.sigma.hypot(2.0 * scrub.sigma);
            tell.posed("spacing", wide.value - 2.0 * scrub.value, sigma);
        }
        let lock = &self.axle.lock_deg(self.state);
        tell.own("inner", lock);
        if now.model.turning.is_some() {
            let [left, _] = at_lock(&now.model, &now.pose, lock.value.to_radians());
            let outer = left.get(Output::SteerRight)?;
            tell.posed("outer", outer.abs(), lock.sigma.max(0.3));
        }
        let pitman = &self.axle.steering.as_ref()?.pitman;
        tell.posed("arm", (point(&pitman.end) - point(&pitman.pivot)).norm(), 3.0);
        Some(())
    }

    /// How the axle beside the wheel moves, from ride to droop with the other wheel in bump, and to
    /// bump.
    fn hose(&self, tell: &mut Tell) -> Option<()> {
        tell.own("lock", &self.axle.lock_deg(self.state));
        let at = self.answer(self.state)?;
        if self.hose_ends(&at, tell).is_some() {
            return Some(());
        }
        tell.some("caster", output(&at, Output::Caster));
        let leans = self.axle.kingpin.as_ref().map(|pin| pin.inclination_deg.clone());
        tell.some("inclination", leans);
        let beside = Vector3::new(0.0, at.model.wheel_y, 0.0);
        let moved = |travel: [f64; 2]| {
            let pose = solve(&at.model, travel).ok()?;
            Some(pose.axle.point(&beside) - at.pose.axle.point(&beside))
        };
        let (bump, droop) = (self.bump(), self.axle.limits.droop_mm.value);
        if let Some(down) = moved([-droop, bump]) {
            tell.posed("droop", -down.z, 3.0);
            tell.posed("droop_ahead", down.x, 3.0);
            tell.posed("droop_outboard", down.y, 3.0);
        }
        tell.posed("bump", moved([bump, bump])?.z, 3.0);
        Some(())
    }
}

pub(super) fn point(p: &Point) -> Vector3<f64> {
    p.mm().into()
}

#[cfg(test)]
mod tests {
    use super::super::ALL;
    use super::*;

    #[test]
    fn what_a_truck_tells_fits_the_card_and_is_answered() {
        let truck = Truck::example();
        let mut told_any = 0;
        for card in ALL.iter() {
            for end in [End::Front, End::Rear] {
                for state in State::ALL {
                    let told = card.from_truck(&truck, end, state);
                    told_any += usize::from(!told.is_empty());
                    let entries = card.with(&told);
                    let answered = card.answer(&entries);
                    assert!(answered.is_ok(), "{} {end:?} {state:?}: {answered:?}", card.slug);
                    for (key, _) in &told {
                        assert!(card.field(key).is_some(), "{}: {key}", card.slug);
                    }
                }
            }
        }
        assert!(told_any >= 60, "{told_any}");
    }

    #[test]
    fn the_pose_tells_flex_and_levers() {
        let truck = Truck::example();
        let told = |slug: &str, end| {
            super::super::card(slug).unwrap().from_truck(&truck, end, State::Sitting)
        };
        let value = |told: &Told, key: &str| match told.iter().find(|(k, _)| *k == key) {
            Some((_, Entry::Number(known))) => known.value,
            other => panic!("{key}: {other:?}"),
        };
        // Both wheels a stop apart on the track, to a degree: rubber and the bar ask a little more.
        let angles = told("angles", End::Front);
        let axle = truck.front.as_ref().unwrap();
        let apart = axle.bump_mm(State::Sitting).value + axle.limits.droop_mm.value;
        let flex = (apart / value(&angles, "track")).asin().to_degrees();
        assert!((value(&angles, "front_flex") - flex).abs() < 1.5, "{angles:?} {flex}");
        let loads = told("loads", End::Rear);
        assert!(loads.contains(&("axle", Entry::Choice(1))), "{loads:?}");
        let front = told("loads", End::Front);
        let both = value(&front, "brake_share") + value(&loads, "brake_share");
        assert!((both - 100.0).abs() < 1e-9, "{both}");
    }

    #[test]
    fn a_truck_without_lift_moves_its_pinion_by_the_stops_alone() {
        let truck = Truck::example();
        let card = super::super::card("driveline").unwrap();
        let value = |told: &Told, key: &str| {
            told.iter().find(|(k, _)| *k == key).map(|(_, entry)| match entry {
                Entry::Number(known) => known.value,
                other => panic!("{other:?}"),
            })
        };
        let told = card.from_truck(&truck, End::Front, State::Stock);
        let axle = truck.front.as_ref().unwrap();
        let slope = value(&told, "pinion_slope").unwrap();
        assert!((slope - axle.pinion.angle_deg.value).abs() < 1e-6, "{slope}");
        let droop = value(&told, "droop").unwrap();
        let wheel = axle.limits.droop_mm.value;
        // It lies toward the arms' eyes, so it moves less than the wheels, but most of it.
        assert!(0.5 * wheel < droop && droop < wheel, "{droop} of {wheel}");
    }
}
