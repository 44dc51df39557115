//! Clearances of random axles: no point of the truck, sampled by brute force and measured by a
//! formula of its own, comes nearer than the answer says; mirror images answer alike; no number
//! panics or comes out as NaN.

use crate::any_axle::{credible, mirrored, truck, wild};
use fitment::{
    axle::{AxleModel, Pose, solve},
    clearance::{Contact, Fit, Obstacle, Options, Window, fit},
    measure::Known,
    tire,
    truck::{Axle, Side, State},
};
use nalgebra::Vector3;
use proptest::{collection::vec, prelude::*};

/// From a point to the tire: first to the nearest point of the cylinder the shoulder is rolled
/// around, then less the shoulder. `None` inside that cylinder.
struct Tire {
    centre: Vector3<f64>,
    axis: Vector3<f64>,
    radius: f64,
    half_width: f64,
    shoulder: f64,
}

impl Tire {
    fn distance(&self, p: &Vector3<f64>) -> Option<f64> {
        let (r, w) = (self.radius - self.shoulder, self.half_width - self.shoulder);
        let u = (p - self.centre).dot(&self.axis);
        let foot = self.centre + self.axis * u;
        let out = p - foot;
        let share = (r / out.norm()).min(1.0);
        let nearest = self.centre + self.axis * u.clamp(-w, w) + out * share;
        let gap = (p - nearest).norm();
        (gap > 0.0).then_some(gap - self.shoulder)
    }
}

fn between(a: f64, b: f64, i: u32, n: u32) -> f64 {
    a + (b - a) * f64::from(i) / f64::from(n)
}

/// Points of the left rail's outer and lower face, and of the left arch.
fn chassis_points(axle: &Axle) -> Vec<(Obstacle, Vector3<f64>)> {
    let mut points = vec![];
    let rail = axle.surroundings.rail.as_ref().expect("a rail");
    let arch = axle.surroundings.arch.as_ref().expect("an arch");
    let ([x, z], radius) = arch.circle().expect("three points apart");
    for i in 0..=90 {
        let along = between(rail.rear_mm.value, rail.front_mm.value, i, 90);
        for j in 0..=10 {
            let up = between(rail.bottom_mm.value, rail.top_mm.value, j, 10);
            let across = rail.outer_mm.value - 10.0 * f64::from(j);
            let face = Vector3::new(along, rail.outer_mm.value, up);
            let under = Vector3::new(along, across, rail.bottom_mm.value);
            points.extend([(Obstacle::Rail, face), (Obstacle::Rail, under)]);
        }
        // From straight ahead over the top to straight behind, as far as it is above the hub.
        let angle = between(-1.0, 1.0 + std::f64::consts::PI, i, 90);
        for j in 0..=24 {
            let across = between(arch.inner_mm.value, arch.lip_mm.value, j, 24);
            let p = Vector3::new(x + radius * angle.cos(), across, z + radius * angle.sin());
            if p.z >= 0.0 {
                points.push((Obstacle::Arch, p));
            }
        }
    }
    points
}

fn of(fit: &Fit, obstacle: Obstacle, side: Side) -> &Contact {
    let found = fit.contacts.iter().find(|c| c.obstacle == obstacle && c.side == side);
    found.expect("a contact of each tire with each obstacle")
}

/// How closely a contact is bracketed, mm, where the tire does not lie deep in the obstacle.
const BRACKET_MM: f64 = 1.0;
/// The nearest sampled point is at most this much farther than the nearest point, mm.
const APART_MM: f64 = 6.0;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_sampled_point_comes_nearer_than_the_contacts(
        (axle, end) in credible(),
        positions in vec(
            (
                prop_oneof![Just(0.0), Just(1.0), 0.0..=1.0_f64],
                prop_oneof![Just(0.0), Just(1.0), 0.0..=1.0_f64],
                prop_oneof![Just(0.0), Just(1.0), 0.0..=1.0_f64],
            ),
            32,
        ),
    ) {
        let state = State::Planned;
        let found = fit(&truck(&axle, end), end, state, &few(10.0));
        prop_assume!(found.is_ok());
        let found = found.expect("just checked");
        let model = AxleModel::of(&truck(&axle, end), end, state).expect("it fitted");
        let setup = axle.setup(state);
        let solid = tire::resolve(&setup.tire, &setup.wheel).expect("it fitted").profile();
        let tire_at = |pose: &Pose<f64>, steer: f64| {
            let wheel = model.wheel(pose, Side::Left, steer);
            Tire {
                centre: wheel.centre,
                axis: wheel.outboard,
                radius: solid.radius_mm(),
                half_width: solid.half_width_mm(),
                shoulder: solid.rounding_mm(),
            }
        };
        let points = chassis_points(&axle);
        // Where the answer says the tire comes nearest, it does.
        for obstacle in [Obstacle::Rail, Obstacle::Arch] {
            let c = of(&found, obstacle, Side::Left);
            prop_assert!(c.lower_mm <= c.clearance_mm, "{c:?}");
            prop_assert!(
                c.clearance_mm < 0.0 || c.clearance_mm - c.lower_mm <= BRACKET_MM,
                "{c:?}"
            );
            let pose = solve(&model, c.travels_mm()).expect("the answer got there");
            let tire = tire_at(&pose, c.steer_rad);
            let own = points.iter().filter(|(of, _)| *of == obstacle);
            let least = own.filter_map(|(_, p)| tire.distance(p)).min_by(f64::total_cmp);
            let least = least.expect("a point outside the tire");
            prop_assert!(c.clearance_mm < 0.0 || least <= c.clearance_mm + APART_MM, "{least} {c:?}");
        }
        // And nowhere in all of the travel and steer is anything nearer than what is certain.
        for (turn, left, right) in positions {
            let d = &found.domain;
            let [from, to] = d.steer_rad[0];
            let steer = from + turn * (to - from);
            let travel = [left, right].map(|share| d.droop_mm + share * (d.bump_mm - d.droop_mm));
            let Ok(pose) = solve(&model, travel) else { continue };
            let tire = tire_at(&pose, steer);
            for (obstacle, p) in &points {
                let least = of(&found, *obstacle, Side::Left).lower_mm;
                if let Some(gap) = tire.distance(p) {
                    prop_assert!(gap >= least, "{obstacle:?} {gap} under {least} at {p}");
                }
            }
            let centreline = model.lower_line(&pose, Side::Left);
            let thick = axle.surroundings.arm_radius_mm.as_ref().expect("an arm").value;
            let least = of(&found, Obstacle::Arm, Side::Left).lower_mm;
            for ends in centreline.windows(2) {
                for i in 0..=100 {
                    let p = ends[0].lerp(&ends[1], f64::from(i) / 100.0);
                    if let Some(gap) = tire.distance(&p) {
                        prop_assert!(gap - thick >= least, "arm {gap} under {least}");
                    }
                }
            }
        }
    }
}

/// A fit on a few positions; what is certain does not hang on them.
fn few(margin_mm: f64) -> Options {
    Options { steers: 5, travels: 4, crossed: vec![0.0, 1.0], margin_mm, ..Options::default() }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_mirrored_axle_answers_in_mirror_image((axle, end) in credible()) {
        let options = few(10.0);
        let Ok(here) = fit(&truck(&axle, end), end, State::Planned, &options) else { return Ok(()) };
        let there = fit(&truck(&mirrored(&axle), end), end, State::Planned, &options).expect("a mirror image");
        for obstacle in Obstacle::all(&axle.surroundings) {
            for (side, other) in [(Side::Left, Side::Right), (Side::Right, Side::Left)] {
                let (a, b) = (of(&here, obstacle, side), of(&there, obstacle, other));
                prop_assert!((a.clearance_mm - b.clearance_mm).abs() < 0.1, "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn a_larger_tire_never_clears_where_a_smaller_one_touches(
        (axle, end) in credible(),
        taller in 0.0..80.0_f64,
        wider in 0.0..60.0_f64,
    ) {
        let with = |diameter: f64, section: f64| {
            let mut axle = axle.clone();
            axle.planned.tire.diameter_mm = Some(Known::exact(820.0 + diameter));
            axle.planned.tire.section_mm = Some(Known::exact(270.0 + section));
            fit(&truck(&axle, end), end, State::Planned, &few(10.0))
        };
        let (Ok(small), Ok(large)) = (with(0.0, 0.0), with(taller, wider)) else { return Ok(()) };
        for contact in &small.contacts {
            let (there, here) = (of(&large, contact.obstacle, contact.side), contact);
            // Never by more than what is certain of either.
            prop_assert!(there.lower_mm <= here.clearance_mm + 0.05, "{here:?} {there:?}");
        }
    }

    #[test]
    fn a_thicker_spacer_never_costs_room_inboard_with_the_wheel_straight(
        (mut axle, end) in credible(),
        spacer in 0.0..60.0_f64,
    ) {
        axle.limits.lock_deg = Known::exact(0.0);
        axle.surroundings.arch = None;
        let mut spaced = axle.clone();
        spaced.planned.spacer_mm.value += spacer;
        let fitted = |axle: &Axle| fit(&truck(axle, end), end, State::Planned, &few(10.0));
        let (Ok(plain), Ok(spaced)) = (fitted(&axle), fitted(&spaced)) else { return Ok(()) };
        for side in Side::BOTH {
            let [before, after] =
                [&plain, &spaced].map(|fit| of(fit, Obstacle::Rail, side));
            prop_assert!(after.clearance_mm >= before.lower_mm - 0.05, "{before:?} {after:?}");
        }
    }

    #[test]
    fn a_larger_margin_never_widens_the_window(
        (axle, end) in credible(),
        margin in -10.0..30.0_f64,
        more in 0.0..20.0_f64,
    ) {
        let window = |margin| {
            let found = fit(&truck(&axle, end), end, State::Planned, &few(margin)).ok()?;
            found.window
        };
        let (Some(wide), Some(narrow)) = (window(margin), window(margin + more)) else {
            return Ok(());
        };
        if let (
            Window::Clears { inboard, outboard },
            Window::Clears { inboard: near, outboard: far },
        ) = (wide, narrow)
        {
            // Two windows apart hold different places: the one asked for is the nearest.
            let apart = far.shift_mm < inboard.shift_mm || near.shift_mm > outboard.shift_mm;
            let inside = near.shift_mm >= inboard.shift_mm - 0.5
                && far.shift_mm <= outboard.shift_mm + 0.5;
            prop_assert!(apart || inside, "{wide:?} {narrow:?}");
        }
    }
}

fn is_finite(contact: &Contact) -> bool {
    let points = contact.at_tire.iter().chain(&contact.at_truck);
    let numbers = [
        contact.clearance_mm,
        contact.sigma_mm,
        contact.steer_rad,
        contact.travel_mm,
        contact.articulation_mm,
    ];
    points.chain(&numbers).all(|v| v.is_finite())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn wild_numbers_never_panic_and_never_come_out_as_nan(
        (mut truck, end) in wild(),
        numbers in vec(
            prop_oneof![
                12 => Just(None),
                1 => prop::sample::select(vec![
                    0.0, -1.0, 1e-300, 1e9, -1e9, f64::MAX, f64::NAN, f64::INFINITY,
                ]).prop_map(Some),
                2 => (-1500.0..1500.0).prop_map(Some),
            ],
            16,
        ),
        margin_mm in prop_oneof![Just(10.0), Just(f64::NAN), -600.0..600.0_f64],
    ) {
        let axle = truck.axle_mut(end).expect("it has one");
        let around = &mut axle.surroundings;
        let (rail, arch) = (around.rail.as_mut(), around.arch.as_mut());
        let (rail, arch) = (rail.expect("a rail"), arch.expect("an arch"));
        let arm = around.arm_radius_mm.as_mut().expect("an arm");
        let limits = &mut axle.limits;
        for (number, known) in numbers.iter().zip([
            &mut rail.outer_mm, &mut rail.bottom_mm, &mut rail.top_mm, &mut rail.front_mm,
            &mut rail.rear_mm, &mut arch.top_mm, &mut arch.front_mm, &mut arch.rear_mm,
            &mut arch.lip_mm, &mut arch.inner_mm, arm, &mut limits.bump_mm, &mut limits.droop_mm,
            &mut limits.lock_deg, &mut axle.planned.wheel.offset_mm, &mut axle.planned.lift_mm,
        ]) {
            if let Some(number) = number {
                known.value = *number;
            }
        }
        let options = Options {
            steers: 5, travels: 4, crossed: vec![0.0, 1.0], sizes: true, margin_mm,
            ..Options::default()
        };
        if let Ok(found) = fit(&truck, end, State::Planned, &options) {
            prop_assert!(found.contacts.iter().all(is_finite), "{:?}", found.contacts);
            let cells = found.maps.iter().flat_map(|m| &m.cells).flatten();
            prop_assert!(cells.into_iter().all(|c| c.clearance_mm.is_finite()));
            let ends = match found.window.expect("it is done") {
                Window::Clears { inboard, outboard } => [inboard.shift_mm, outboard.shift_mm],
                Window::Never { best, clearance_mm } => [best.shift_mm, clearance_mm],
            };
            prop_assert!(ends.iter().all(|v| v.is_finite()), "{:?}", found.window);
        }
    }
}
