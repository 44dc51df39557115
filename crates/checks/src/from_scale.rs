//! What a truck tells from the weighbridge, its springs' data and the tape beyond its axles.

use super::from_truck::{At, Tell, half, less, lift, output, plus, taller, tire};
use fitment::axle::Output;
use fitment::measure::{Known, units::DEG_PER_RAD};
use fitment::truck::{Axle, End, State};

impl At<'_> {
    /// Under the wheels of one end, kg.
    pub(super) fn weighed(&self, end: End) -> Option<&Known> {
        let weights = &self.truck.weights;
        match end {
            End::Front => weights.front_axle_kg.as_ref(),
            End::Rear => weights.rear_axle_kg.as_ref(),
        }
    }

    /// Under one wheel of the axle in view, kg.
    pub(super) fn wheel_load(&self) -> Option<Known> {
        self.weighed(self.end).map(half)
    }

    /// The whole truck, kg.
    pub(super) fn mass(&self) -> Option<Known> {
        Some(plus(self.weighed(End::Front)?, self.weighed(End::Rear)?))
    }

    /// What of an end's weight stands on its springs, kg.
    fn sprung(&self, end: End) -> Option<Known> {
        let axle = self.truck.axle(end)?;
        Some(less(self.weighed(end)?, axle.springing.unsprung_kg.as_ref()?))
    }

    /// Both ends' sprung mass, kg, and the front one's share, percent.
    fn body(&self) -> Option<[Known; 2]> {
        let (front, rear) = (self.sprung(End::Front)?, self.sprung(End::Rear)?);
        let mass = plus(&front, &rear);
        let share = 100.0 * front.value / mass.value;
        let sigma = (100.0 - share) * front.sigma.hypot(rear.sigma) / mass.value;
        let share = Known { value: share, sigma, ..front };
        Some([mass, share])
    }

    pub(super) fn masses(&self, tell: &mut Tell) {
        tell.some("mass", self.mass());
        if let (Some([body, _]), Some(all)) = (self.body(), self.mass()) {
            let share = 100.0 * body.value / all.value;
            tell.like("sprung", share, &Known { sigma: 0.02 * share, ..body });
        }
    }

    pub(super) fn weighing(&self, tell: &mut Tell) {
        let weights = &self.truck.weights;
        tell.some("mass", self.mass());
        tell.some("front", weights.front_axle_kg.clone());
        tell.some("front_raised", weights.front_raised_kg.clone());
        tell.some("rise", weights.rise_mm.clone());
        tell.own("wheelbase", &self.truck.wheelbase_mm);
        for (key, end) in [("front_radius", End::Front), ("rear_radius", End::Rear)] {
            let setup = self.truck.axle(end).map(|axle| axle.fitted(State::Sitting));
            tell.some(key, setup.and_then(|setup| tire(&setup)).map(|tire| tire.loaded_radius));
        }
    }

    pub(super) fn gears(&self, tell: &mut Tell) {
        let gears = &self.truck.gears;
        let (now, came) = (&gears.axle_ratio, &gears.stock_axle_ratio);
        // Nobody said that they were changed.
        tell.some("axle_ratio", now.clone().or_else(|| came.clone()));
        tell.some("stock_ratio", came.clone().or_else(|| now.clone()));
        tell.some("gear", gears.top_gear.clone());
        tell.some("first", gears.first_gear.clone());
        tell.some("low_range", gears.low_range.clone());
    }

    pub(super) fn body_on_springs(&self, tell: &mut Tell) {
        if let Some([mass, share]) = self.body() {
            tell.own("mass", &mass);
            tell.own("front_share", &share);
        }
        let names = [
            (End::Front, "front_spring", "front_spacing", "front_bar"),
            (End::Rear, "rear_spring", "rear_spacing", "rear_bar"),
        ];
        for (end, rate, spacing, bar) in names {
            let Some(axle) = self.truck.axle(end) else { continue };
            tell.some(rate, axle.springing.spring_rate_n_per_mm.clone());
            tell.some(spacing, spring_spacing(axle));
            tell.some(bar, axle.springing.sway_bar_nm_per_deg.clone());
        }
    }

    pub(super) fn springing(&self, tell: &mut Tell) {
        let own = &self.axle.springing;
        tell.some("known_rate", own.spring_rate_n_per_mm.clone());
        tell.some("solid", own.spring_solid_mm.clone());
        tell.some("shock_shortest", own.shock_shortest_mm.clone());
        tell.some("shock_longest", own.shock_longest_mm.clone());
        tell.some("stop_squash", own.stop_squash_mm.clone());
        tell.some("sprung", self.sprung(self.end).as_ref().map(half));
    }

    /// Bumper, hitch, belly and axle over the ground as they are in this state, and what twists the
    /// axles.
    pub(super) fn beyond(&self, tell: &mut Tell) {
        let names = [
            (End::Front, "front_ahead", "front_height", "front_load", "front_stiffness"),
            (End::Rear, "rear_behind", "rear_height", "rear_load", "rear_stiffness"),
        ];
        for (end, beyond, height, load, stiffness) in names {
            tell.some(load, self.weighed(end).cloned());
            let Some(axle) = self.truck.axle(end) else { continue };
            let own = &axle.overhang;
            tell.some(beyond, own.beyond_mm.clone());
            let raised = |known: &Known| Some(plus(known, &self.raised(axle)?));
            tell.some(height, own.above_ground_mm.as_ref().and_then(raised));
            tell.some(stiffness, self.roll_stiffness(end));
        }
        let lowest = [End::Front, End::Rear].into_iter().filter_map(|end| {
            let axle = self.truck.axle(end)?;
            let tires = taller(axle, State::Sitting, self.state)?;
            Some(plus(axle.overhang.diff_above_ground_mm.as_ref()?, &tires))
        });
        tell.some("axle_height", lowest.min_by(|a, b| a.value.total_cmp(&b.value)));
        let belly = &self.truck.belly;
        tell.some("belly_behind", belly.behind_front_wheel_mm.clone());
        let raised = self.over_axles(&|axle| self.raised(axle));
        if let (Some(height), Some(raised)) = (&belly.above_ground_mm, raised) {
            tell.own("belly_height", &plus(height, &raised));
        }
    }

    /// How much higher the body stands over an axle in this state than as it sits.
    fn raised(&self, axle: &Axle) -> Option<Known> {
        if self.state == State::Sitting {
            return Some(Known::exact(0.0));
        }
        let lifted = less(&lift(&axle.fitted(self.state)), &lift(&axle.fitted(State::Sitting)));
        Some(plus(&lifted, &taller(axle, State::Sitting, self.state)?))
    }

    /// Roll stiffness of an axle from its springs, its bar and its arms' rubber, N·m/°.
    fn roll_stiffness(&self, end: End) -> Option<Known> {
        let axle = self.truck.axle(end)?;
        let rate = axle.springing.spring_rate_n_per_mm.as_ref()?;
        let spacing = spring_spacing(axle)?;
        let springs = rate.value * spacing.value * spacing.value / 2000.0 / DEG_PER_RAD;
        let bar = axle.springing.sway_bar_nm_per_deg.as_ref().map_or(0.0, |bar| bar.value);
        let at = self.solved(end, self.state)?;
        let arms = output(&at, Output::RollStiffness).map_or(0.0, |arms| arms.value);
        let value = springs + bar + arms;
        Some(Known { value, sigma: 0.1 * value, entered: None, ..rate.clone() })
    }
}

/// Spring to spring across an axle, mm.
fn spring_spacing(axle: &Axle) -> Option<Known> {
    let across = &axle.spring.as_ref()?.axle.y_mm;
    Some(Known {
        value: 2.0 * across.value.abs(),
        sigma: 2.0 * across.sigma,
        entered: None,
        ..across.clone()
    })
}

#[cfg(test)]
mod tests {
    use crate::{card, of_truck};
    use fitment::measure::{Instrument, Known};
    use fitment::truck::{End, State, Truck};

    /// Our truck, weighed, with its springs' data, its overhangs and its gears.
    fn truck() -> Truck {
        let mut truck = Truck::example();
        let read = |value| Some(Known::measured(value, Instrument::Tape));
        truck.weights.front_axle_kg = read(1050.0);
        truck.weights.rear_axle_kg = read(950.0);
        truck.weights.front_raised_kg = read(1126.0);
        truck.weights.rise_mm = read(700.0);
        truck.belly.behind_front_wheel_mm = read(1300.0);
        truck.belly.above_ground_mm = read(300.0);
        truck.gears.axle_ratio = read(4.56);
        for axle in [truck.front.as_mut(), truck.rear.as_mut()].into_iter().flatten() {
            axle.springing.spring_rate_n_per_mm = read(35.0);
            axle.springing.spring_solid_mm = read(150.0);
            axle.springing.shock_shortest_mm = read(330.0);
            axle.springing.shock_longest_mm = read(560.0);
            axle.springing.stop_squash_mm = read(25.0);
            axle.springing.unsprung_kg = read(200.0);
            axle.overhang.beyond_mm = read(650.0);
            axle.overhang.above_ground_mm = read(560.0);
            axle.overhang.diff_above_ground_mm = read(230.0);
        }
        truck
    }

    fn told(truck: &Truck, slug: &str, key: &str, end: End, state: State) -> f64 {
        let told = card(slug).unwrap().from_truck(truck, end, state);
        match told.iter().find(|(known, _)| *known == key) {
            Some((_, crate::Entry::Number(known))) => known.value,
            other => panic!("{slug} {key}: {other:?}"),
        }
    }

    #[test]
    fn the_scales_are_shared_out() {
        let truck = truck();
        for (slug, key, end, want) in [
            ("tire-load", "axle_load", End::Rear, 950.0),
            ("hub", "load", End::Front, 525.0),
            ("turning", "load", End::Front, 525.0),
            ("loads", "mass", End::Front, 2000.0),
            ("loads", "axle_mass", End::Rear, 950.0),
            ("ride", "sprung", End::Front, 425.0),
            ("stability", "sprung", End::Front, 80.0),
            ("roll", "mass", End::Front, 1600.0),
            ("roll", "front_share", End::Front, 100.0 * 850.0 / 1600.0),
            ("cg-height", "front_raised", End::Front, 1126.0),
            ("gearing", "axle_ratio", End::Front, 4.56),
            // Nobody said that the ratio was changed.
            ("gearing", "stock_ratio", End::Front, 4.56),
            ("ride", "known_rate", End::Front, 35.0),
        ] {
            let got = told(&truck, slug, key, end, State::Sitting);
            assert!((got - want).abs() < 1e-9, "{slug} {key}: {got}, not {want}");
        }
    }

    /// What was read as it sits is as read; another state's tires raise the axle, its lift the body too.
    #[test]
    fn heights_follow_the_state() {
        let truck = truck();
        let at = |key, state| told(&truck, "angles", key, End::Front, state);
        assert!((at("front_height", State::Sitting) - 560.0).abs() < 1e-9);
        assert!((at("axle_height", State::Sitting) - 230.0).abs() < 1e-9);
        let axle = truck.front.as_ref().unwrap();
        let up = |state| {
            let setup = axle.fitted(state);
            let radius = super::tire(&setup).unwrap().loaded_radius.value;
            [radius, radius + super::lift(&setup).value]
        };
        let [tires, body] = [0, 1].map(|of| up(State::Stock)[of] - up(State::Sitting)[of]);
        assert!((at("front_height", State::Stock) - 560.0 - body).abs() < 1e-9);
        assert!(at("axle_height", State::Stock) - 230.0 <= tires.max(0.0) + 1e-9);
    }

    #[test]
    fn angles_and_springs_come_out_of_a_build() {
        let found = of_truck(&truck(), End::Front, State::Sitting);
        for wanted in [
            ("angles", "approach"),
            ("angles", "breakover"),
            ("angles", "axle_clearance"),
            ("ride", "frequency"),
        ] {
            assert!(found.iter().any(|of| (of.card.slug, of.line.key) == wanted), "{wanted:?}");
        }
    }
}
