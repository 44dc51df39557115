//! What a truck tells of its driveshaft and its brake hose: joints and fittings as the solved pose
//! moves them.

use super::from_truck::{At, Tell, output};
use fitment::axle::{Answer, Output, solve};
use fitment::measure::{Known, units::DEG_PER_RAD};
use fitment::truck::{Point, ShaftKind};
use nalgebra::Vector3;

impl At<'_> {
    /// Where the case's joint is, which way it points, which joints there are and what the slip has
    /// left.
    pub(super) fn shaft(&self, at: &Answer, tell: &mut Tell) -> Option<()> {
        let (line, own) = (at.model.driveline.as_ref()?, self.axle.driveline.as_ref()?);
        let (flange, ..) = self.flange(at, &at.pose);
        let toward = self.toward();
        let span = flange - Vector3::new(line.case.x * toward, line.case.y, line.case.z);
        let Point { x_mm, y_mm, z_mm } = &own.case;
        tell.like("run", span.x, x_mm);
        tell.like("side", span.y, y_mm);
        tell.like("drop", -span.z, z_mm);
        let out = line.output;
        tell.like(
            "case_slope",
            (-out.z).atan2(out.x.hypot(out.y)) * DEG_PER_RAD,
            &own.case_slope_deg,
        );
        let plan = own.case_plan_deg.clone().unwrap_or(Known::assumed(0.0, 0.5));
        tell.like("case_plan", out.y.atan2(out.x * toward) * DEG_PER_RAD, &plan);
        let kind = match own.shaft {
            _ if line.double => 2,
            ShaftKind::InPhase | ShaftKind::DoubleCardan => 0,
            ShaftKind::OutOfPhase => 1,
        };
        tell.chosen("shaft", kind);
        tell.some("joint_limit", own.joint_limit_deg.clone());
        let left = [Output::SlipIn, Output::SlipOut].map(|slip| output(at, slip));
        let least = left.into_iter().flatten().min_by(|a, b| a.value.total_cmp(&b.value));
        tell.some("slip", least);
        Some(())
    }

    /// Both ends of the left hose at ride height, how the wheel's end moves, and what it turns about.
    pub(super) fn hose_ends(&self, at: &Answer, tell: &mut Tell) -> Option<()> {
        let (hose, own) = (at.model.hose.as_ref()?, self.axle.hose.as_ref()?);
        let ride = at.pose.axle.point(&hose.wheel);
        let span = ride - hose.frame;
        let sure = |a: &Known, b: &Known| Known { sigma: a.sigma.hypot(b.sigma), ..a.clone() };
        let (frame, wheel) = (&own.frame_end, &own.wheel_end);
        tell.like("ahead", span.x, &sure(&frame.x_mm, &wheel.x_mm));
        tell.like("outboard", span.y, &sure(&frame.y_mm, &wheel.y_mm));
        tell.like("below", -span.z, &sure(&frame.z_mm, &wheel.z_mm));
        tell.like("hose", hose.length, &own.length_mm);
        let (bump, droop) = (self.bump(), self.axle.limits.droop_mm.value);
        let hung = solve(&at.model, [-droop, bump]).ok()?.axle;
        let bumped = solve(&at.model, [bump, bump]).ok()?.axle;
        let end = hung.point(&hose.wheel);
        let down = end - ride;
        tell.posed("droop", -down.z, 3.0);
        tell.posed("droop_ahead", down.x, 3.0);
        tell.posed("droop_outboard", down.y, 3.0);
        tell.posed("bump", bumped.point(&hose.wheel).z - ride.z, 3.0);
        let axis = at.model.steering.as_ref().filter(|_| hose.on_knuckle);
        let Some([left, _]) = axis else {
            // On the axle itself nothing turns it.
            for key in ["axis_ahead", "axis_outboard"] {
                tell.own(key, &Known::exact(0.0));
            }
            return Some(());
        };
        // As it leans hanging, where the hose is longest.
        let (up, foot) = (hung.direction(&left.direction), hung.point(&left.point));
        let level = foot + up * ((end.z - foot.z) / up.z);
        tell.posed("axis_ahead", end.x - level.x, 3.0);
        tell.posed("axis_outboard", end.y - level.y, 3.0);
        tell.posed("caster", (-up.x).atan2(up.z) * DEG_PER_RAD, 0.5);
        tell.posed("inclination", (-up.y).atan2(up.z) * DEG_PER_RAD, 0.5);
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use crate::{Answered, card, of_truck};
    use fitment::axle::{Output, answer_at};
    use fitment::measure::Known;
    use fitment::truck::{Driveline, End, Hose, Mount, State, Truck};

    /// Our truck with shaft, hose and slip as they are usual.
    fn truck() -> Truck {
        let mut truck = Truck::example();
        let axle = truck.front.as_mut().unwrap();
        let mut shaft = Driveline::typical(End::Front);
        shaft.slip_in_mm = Some(Known::assumed(60.0, 2.0));
        shaft.slip_out_mm = Some(Known::assumed(45.0, 2.0));
        axle.driveline = Some(shaft);
        axle.hose = Some(Hose::typical());
        truck
    }

    fn asked(truck: &Truck, slug: &str, state: State) -> Answered {
        let card = card(slug).unwrap();
        card.answer(&card.with(&card.from_truck(truck, End::Front, state))).unwrap()
    }

    fn value(answered: &Answered, key: &str) -> f64 {
        answered.lines.iter().find(|line| line.key == key).unwrap().value.unwrap()
    }

    fn engine(
        truck: &Truck,
        state: State,
        travel: [Option<f64>; 2],
        steer: f64,
        output: Output,
    ) -> f64 {
        let found = answer_at(truck, End::Front, state, travel, steer).unwrap();
        found.attitude.get(output).unwrap()
    }

    /// The card's own sums of joints and slip against the engine's, in every state.
    #[test]
    fn the_shaft_is_the_poses() {
        let truck = truck();
        for state in State::ALL {
            let found = asked(&truck, "driveline", state);
            for (key, output) in
                [("case_angle", Output::JointCase), ("axle_angle", Output::JointAxle)]
            {
                let want = engine(&truck, state, [None; 2], 0.0, output);
                assert!((value(&found, key) - want).abs() < 1e-6, "{state:?} {key}: {want}");
            }
            let slip = |output| engine(&truck, state, [None; 2], 0.0, output);
            let least = slip(Output::SlipIn).min(slip(Output::SlipOut));
            let told = card("driveline").unwrap().from_truck(&truck, End::Front, state);
            let (_, entry) = told.iter().find(|(key, _)| *key == "slip").unwrap();
            assert!(
                matches!(entry, crate::Entry::Number(slip) if (slip.value - least).abs() < 1e-9)
            );
        }
    }

    /// The card's spans against the engine's own turn of the knuckle about its leaning axis, hanging on
    /// the left with the right in bump.
    #[test]
    fn the_hose_spans_what_the_pose_says() {
        for on in [Mount::Knuckle, Mount::Axle] {
            let mut truck = truck();
            let axle = truck.front.as_mut().unwrap();
            axle.hose.as_mut().unwrap().on = on;
            // Without a linkage both wheels turn by what is asked.
            axle.steering = None;
            let (length, lock) =
                (axle.hose.as_ref().unwrap().length_mm.value, axle.limits.lock_deg.value);
            let crossed = [-axle.limits.droop_mm.value, axle.bump_mm(State::Sitting).value];
            let found = asked(&truck, "hose", State::Sitting);
            for (key, steer) in [("drooped", 0.0), ("steered_out", lock), ("steered_in", -lock)] {
                // The engine's steer is a turn to the left: the front of the left wheel outward.
                let steer = steer.to_radians();
                let slack =
                    engine(&truck, State::Sitting, crossed.map(Some), steer, Output::HoseSlack);
                let span = value(&found, key);
                assert!(
                    (length - span - slack).abs() < 1e-6,
                    "{on:?} {key}: {} {slack}",
                    length - span
                );
            }
        }
    }

    #[test]
    fn shaft_and_hose_come_out_of_a_build() {
        let found = of_truck(&truck(), End::Front, State::Planned);
        for wanted in [
            ("driveline", "case_angle"),
            ("driveline", "difference"),
            ("driveline", "slip_out"),
            ("hose", "slack"),
        ] {
            assert!(found.iter().any(|of| (of.card.slug, of.line.key) == wanted), "{wanted:?}");
        }
    }
}
