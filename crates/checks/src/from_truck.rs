//! What a truck tells a card: numbers as they were measured, or from the solved pose, each with
//! where it came from.

use super::card::{Card, Entry};
use fitment::axle::{Answer, Output, Place, Pose, answer, at_lock, reactions, solve};
use fitment::measure::{Known, Origin, units::DEG_PER_RAD};
use fitment::tire::{TireDims, resolve};
use fitment::truck::{Axle, Bar, End, Setup, State, Truck};
use nalgebra::Vector3;

/// Entries by field.
pub type Told = Vec<(&'static str, Entry)>;

impl Card {
    /// What the truck tells this card about one of its axles in a state, as far as it is filled in
    /// and stands; nothing where the card asks for what no build holds.
    pub fn from_truck(&self, truck: &Truck, end: End, state: State) -> Told {
        let Some(axle) = truck.axle(end) else { return Told::new() };
        let at = At { truck, axle, end, state };
        match self.slug {
            "tires" | "gearing" => at.sizes(),
            "driveline" => at.driveline().unwrap_or_default(),
            "angles" => at.angles(),
            "stability" => at.stability(),
            "roll" => at.roll(),
            "loads" => at.loads(),
            "ride" => at.ride(),
            "hub" => at.hub(),
            "toe" => at.toe(),
            "turning" => at.turning(),
            "hose" => at.hose().unwrap_or_default(),
            _ => Told::new(),
        }
    }
}

/// The axle in view.
struct At<'a> {
    truck: &'a Truck,
    axle: &'a Axle,
    end: End,
    state: State,
}

/// A number from the pose: as good as a tape under the truck, and assumed because nobody read it.
const fn posed(value: f64, sigma: f64) -> Entry {
    Entry::Number(Known::assumed(value, sigma))
}

const fn number(known: Known) -> Entry {
    Entry::Number(known)
}

/// The difference of two, assumed as soon as one of them is.
fn less(a: &Known, b: &Known) -> Known {
    let origin = if b.is_assumed() { b.origin.clone() } else { a.origin.clone() };
    Known { value: a.value - b.value, sigma: a.sigma.hypot(b.sigma), origin, entered: None }
}

/// The mean of two.
fn mean(a: &Known, b: &Known) -> Known {
    let sum = less(a, &Known { value: -b.value, ..b.clone() });
    Known { value: sum.value / 2.0, sigma: sum.sigma / 2.0, ..sum }
}

/// An output of a solved axle; assumed where its weightiest input is.
fn output(answer: &Answer, output: Output) -> Option<Known> {
    let spread = answer.spread(output)?;
    let origin = spread.driver.map_or(Origin::Published, |driver| driver.origin);
    Some(Known { value: spread.value, sigma: spread.sigma, origin, entered: None })
}

fn tire(setup: &Setup) -> Option<TireDims> {
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

fn lift(setup: &Setup) -> Known {
    let (left, right) = setup.lift();
    mean(left, right)
}

impl At<'_> {
    fn now(&self) -> &Setup {
        self.axle.setup(self.state)
    }

    fn answer(&self, state: State) -> Option<Answer> {
        answer(self.truck, self.end, state).ok()
    }

    /// Mean over the axles the truck has of something of each.
    fn over_axles(&self, of: impl Fn(&Axle) -> Option<Known>) -> Option<Known> {
        let each = |end| self.truck.axle(end).and_then(&of);
        match (each(End::Front), each(End::Rear)) {
            (Some(front), Some(rear)) => Some(mean(&front, &rear)),
            (one, other) => one.or(other),
        }
    }

    fn taller(&self, axle: &Axle, from: State, to: State) -> Option<Known> {
        let radius = |state| tire(axle.setup(state)).map(|tire| tire.loaded_radius);
        Some(less(&radius(to)?, &radius(from)?))
    }

    fn sizes(&self) -> Told {
        let size = |setup: &Setup| Entry::Tire(setup.tire.size.clone());
        vec![("stock_tire", size(&self.axle.stock)), ("tire", size(self.now()))]
    }

    /// The pinion's flange and what it points along, in the card's axes: from the case toward the
    /// axle, to the left, up.
    fn flange(&self, at: &Answer, pose: &Pose<f64>) -> (Vector3<f64>, f64, f64) {
        let model = &at.model;
        let toward = if self.end == End::Front { 1.0 } else { -1.0 };
        let home = model.pinion + Vector3::new(0.0, model.pinion_y - model.pinion.y, 0.0);
        let point = pose.axle.point(&home);
        // Into the axle, against the direction from its middle to the flange.
        let along = Vector3::new(-model.pinion.x, 0.0, -model.pinion.z);
        let into = pose.axle.direction(&along);
        let slope = (-into.z).atan2(into.x.hypot(into.y)) * DEG_PER_RAD;
        let plan = into.y.atan2(into.x * toward) * DEG_PER_RAD;
        (Vector3::new(point.x * toward, point.y, point.z), slope, plan)
    }

    /// Wheel travels at the stops: droop, bump, and crossed up.
    fn stops(&self) -> [[f64; 2]; 3] {
        let (bump, droop) = (self.axle.limits.bump_mm.value, self.axle.limits.droop_mm.value);
        [[-droop, -droop], [bump, bump], [bump, -droop]]
    }

    fn driveline(&self) -> Option<Told> {
        let at = self.answer(self.state)?;
        let (ride, slope, plan) = self.flange(&at, &at.pose);
        let pinion = output(&at, Output::Pinion);
        let sigma = pinion.as_ref().map_or(0.5, |known| known.sigma);
        let mut told = vec![
            ("pinion_slope", number(Known { value: slope, ..pinion? })),
            ("pinion_plan", posed(plan, 0.2)),
        ];
        let names = [
            ["droop", "droop_along", "pinion_droop"],
            ["bump", "bump_along", "pinion_bump"],
            ["crossed_drop", "crossed_along", "crossed_slope"],
        ];
        for (travel, [rise, along, slopes]) in self.stops().into_iter().zip(names) {
            let Ok(pose) = solve(&at.model, travel) else { continue };
            let (point, slope, plan) = self.flange(&at, &pose);
            let moved = point - ride;
            let up = if rise == "bump" { moved.z } else { -moved.z };
            told.push((rise, posed(up, 3.0)));
            told.push((along, posed(moved.x, 3.0)));
            told.push((slopes, posed(slope, sigma.max(0.3))));
            if rise == "crossed_drop" {
                told.push(("crossed_side", posed(moved.y, 3.0)));
                told.push(("crossed_plan", posed(plan, 0.3)));
            }
        }
        Some(told)
    }

    fn angles(&self) -> Told {
        let mut told = vec![("wheelbase", number(self.truck.wheelbase_mm.clone()))];
        if let Some(tire) = tire(self.now()) {
            told.push(("radius", number(tire.loaded_radius)));
        }
        // What is still to come.
        let more = |axle: &Axle| Some(less(&lift(&axle.planned), &lift(axle.setup(self.state))));
        let taller = |axle: &Axle| self.taller(axle, self.state, State::Planned);
        told.extend(self.over_axles(more).map(|known| ("lift", number(known))));
        told.extend(self.over_axles(taller).map(|known| ("taller", number(known))));
        told.extend(self.climb().map(|mm| ("climbed", posed(mm, 0.1 * mm))));
        told
    }

    /// Height of one wheel at which another lifts: the axles rolled against each other as far as
    /// their stops let them, on a frame that does not twist.
    fn climb(&self) -> Option<f64> {
        let roll = |end| {
            let axle = self.truck.axle(end)?;
            let at = answer(self.truck, end, self.state).ok()?;
            let travel = [axle.limits.bump_mm.value, -axle.limits.droop_mm.value];
            let pose = solve(&at.model, travel).ok()?;
            // The left wheel up: the axle's y axis points up by its roll.
            Some((pose.axle.direction(&Vector3::y()).z.asin(), track(axle, axle.setup(self.state))))
        };
        let (front, rear) = (roll(End::Front), roll(End::Rear));
        let (_, wide) = front.clone().or_else(|| rear.clone())?;
        let turned = front.map_or(0.0, |(roll, _)| roll) + rear.map_or(0.0, |(roll, _)| roll);
        Some(wide.value * turned.sin())
    }

    fn stability(&self) -> Told {
        let stock = self.over_axles(|axle| Some(track(axle, &axle.stock)));
        let wider = self.over_axles(|axle| {
            Some(less(&track(axle, axle.setup(self.state)), &track(axle, &axle.stock)))
        });
        let lift = self.over_axles(|axle| Some(lift(axle.setup(self.state))));
        let taller = self.over_axles(|axle| self.taller(axle, State::Stock, self.state));
        let mut told = vec![("cg_height", number(self.truck.balance.cg_height_mm.clone()))];
        let more = [("track", stock), ("wider", wider), ("lift", lift), ("taller", taller)];
        told.extend(more.into_iter().filter_map(|(key, known)| Some((key, number(known?)))));
        told
    }

    fn roll(&self) -> Told {
        let names = [
            (End::Front, "front_track", "front_center", "front_rubber"),
            (End::Rear, "rear_track", "rear_center", "rear_rubber"),
        ];
        let mut told = vec![("wheelbase", number(self.truck.wheelbase_mm.clone()))];
        for (end, wide, center, rubber) in names {
            let Some(axle) = self.truck.axle(end) else { continue };
            told.push((wide, number(track(axle, axle.setup(self.state)))));
            let Ok(at) = answer(self.truck, end, self.state) else { continue };
            told.extend(output(&at, Output::RollCentreHeight).map(|k| (center, number(k))));
            told.extend(output(&at, Output::RollStiffness).map(|k| (rubber, number(k))));
        }
        if let Some(at) = self.answer(self.state) {
            told.push(("cg_height", posed(at.model.around.cg_height, 60.0)));
        }
        told
    }

    fn loads(&self) -> Told {
        let mut told = Told::new();
        let Some(at) = self.answer(self.state) else { return told };
        told.extend(output(&at, Output::Panhard).map(|known| ("panhard", number(known))));
        if let Some(tire) = tire(self.now()) {
            told.push(("radius", number(tire.loaded_radius)));
        }
        told.push(("cg_height", posed(at.model.around.cg_height, 60.0)));
        told.push(("wheelbase", number(self.truck.wheelbase_mm.clone())));
        // What the arms' rubber carries already, standing still.
        let wound = reactions(&at.model, &at.pose)
            .into_iter()
            .filter(|reaction| reaction.place == Place::ArmEye)
            .map(|reaction| reaction.force.norm())
            .fold(0.0, f64::max);
        if wound > 0.0 {
            told.push(("standing", posed(wound, 0.5 * wound)));
        }
        told
    }

    fn ride(&self) -> Told {
        let mut told = Told::new();
        let raised = lift(self.now());
        let limits = &self.axle.limits;
        let bump = less(&limits.bump_mm, &Known { value: -raised.value, ..raised.clone() });
        told.push(("bump_gap", number(bump)));
        let Some(at) = self.answer(self.state) else { return told };
        let outputs = [("ratio", Output::SpringRatioLeft), ("shock_ratio", Output::ShockRatioLeft)];
        for (key, which) in outputs {
            told.extend(output(&at, which).map(|known| (key, number(known))));
        }
        let length = |bar: &Bar| {
            let [axle, chassis] = [&bar.axle, &bar.chassis]
                .map(|p| Vector3::new(p.x_mm.value, p.y_mm.value, p.z_mm.value));
            (chassis - at.pose.axle.point(&axle)).norm()
        };
        if let Some(spring) = &self.axle.spring {
            told.push(("spring_length", posed(length(spring), 4.0)));
            told.push(("spacing", posed(2.0 * spring.axle.y_mm.value.abs(), 4.0)));
        }
        if let Some(shock) = &self.axle.shock {
            told.push(("shock_ride", posed(length(shock), 4.0)));
        }
        told
    }

    fn hub(&self) -> Told {
        let (stock, now) = (&self.axle.stock, self.now());
        let mut told = vec![
            ("stock_width", number(stock.wheel.width_mm.clone())),
            ("stock_offset", number(stock.wheel.offset_mm.clone())),
            ("width", number(now.wheel.width_mm.clone())),
            ("offset", number(now.wheel.offset_mm.clone())),
            ("spacer", number(now.spacer_mm.clone())),
        ];
        if let Some(tire) = tire(now) {
            told.push(("rim", number(Known::exact(tire.rim_diameter_mm))));
            told.push(("radius", number(tire.loaded_radius)));
        }
        told
    }

    fn toe(&self) -> Told {
        tire(self.now()).map(|tire| ("diameter", number(tire.diameter))).into_iter().collect()
    }

    fn turning(&self) -> Told {
        let mut told = vec![("wheelbase", number(self.truck.wheelbase_mm.clone()))];
        if self.end == End::Rear {
            return told;
        }
        let (Some(stock), Some(now)) = (self.answer(State::Stock), self.answer(self.state)) else {
            return told;
        };
        let each = [
            ("trail_stock", output(&stock, Output::TrailLeft)),
            ("scrub_stock", output(&stock, Output::ScrubLeft)),
            ("trail", output(&now, Output::TrailLeft)),
            ("scrub", output(&now, Output::ScrubLeft)),
        ];
        told.extend(each.into_iter().filter_map(|(key, known)| Some((key, number(known?)))));
        if let Some(scrub) = output(&now, Output::ScrubLeft) {
            let wide = track(self.axle, self.now());
            let sigma = wide.sigma.hypot(2.0 * scrub.sigma);
            told.push(("spacing", posed(wide.value - 2.0 * scrub.value, sigma)));
        }
        let lock = &self.axle.limits.lock_deg;
        told.push(("inner", number(lock.clone())));
        if now.model.turning.is_some() {
            let [left, _] = at_lock(&now.model, &now.pose, lock.value.to_radians());
            let outer = left.get(Output::SteerRight).map(f64::abs);
            told.extend(outer.map(|outer| ("outer", posed(outer, lock.sigma.max(0.3)))));
        }
        if let Some(steering) = &self.axle.steering {
            let point =
                |p: &fitment::truck::Point| Vector3::new(p.x_mm.value, p.y_mm.value, p.z_mm.value);
            let arm = point(&steering.pitman.end) - point(&steering.pitman.pivot);
            told.push(("arm", posed(arm.norm(), 3.0)));
        }
        told
    }

    /// How the axle beside the wheel moves, from ride to droop with the other wheel in bump, and to
    /// bump.
    fn hose(&self) -> Option<Told> {
        let at = self.answer(self.state)?;
        let point = Vector3::new(0.0, at.model.wheel_y, 0.0);
        let moved = |travel: [f64; 2]| {
            let pose = solve(&at.model, travel).ok()?;
            Some(pose.axle.point(&point) - at.pose.axle.point(&point))
        };
        let (bump, droop) = (self.axle.limits.bump_mm.value, self.axle.limits.droop_mm.value);
        let mut told = Told::new();
        if let Some(down) = moved([-droop, bump]) {
            told.push(("droop", posed(-down.z, 3.0)));
            told.push(("droop_ahead", posed(down.x, 3.0)));
            told.push(("droop_outboard", posed(down.y, 3.0)));
        }
        if let Some(up) = moved([bump, bump]) {
            told.push(("bump", posed(up.z, 3.0)));
        }
        let lock = &self.axle.limits.lock_deg;
        told.push(("lock", number(lock.clone())));
        Some(told)
    }
}

#[cfg(test)]
mod tests {
    use super::super::ALL;
    use super::*;

    #[test]
    fn what_a_truck_tells_fits_the_card_and_is_answered() {
        let truck = Truck::example();
        let mut told_any = 0;
        for card in ALL {
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
