//! Checks of one state: ride height, tire, wheel, spacer, and the arms' reach at that height.

use super::{Check, Problem, Rule, bounds, part};
use crate::tire::{TireError, resolve};
use crate::truck::{Axle, Layout, Part, Pivot, Point, Setup, State, Tire, Wheel};

#[inline]
pub(super) fn check(check: &mut Check, axle: &Axle, state: State) {
    let setup = axle.setup(state);
    let left = check.known("lift_mm", &setup.lift_mm, bounds::LIFT);
    check.maybe("lift_right_mm", setup.lift_right_mm.as_ref(), bounds::LIFT);
    if left {
        reach(check, &axle.layout, &axle.fitted(state));
    }
    tire_and_wheel(check, setup);
    check.known("spacer_mm", &setup.spacer_mm, bounds::SPACER);
    check.maybe("packing_mm", setup.packing_mm.as_ref(), bounds::PACKING);
    check.each("parts", &setup.parts, |check, it| {
        part::check(check, it);
        part::fits(check, it, axle);
    });
    if state == State::Stock {
        untouched(check, setup);
    }
}

/// Where a wheel sits and what is inside it; its width belongs with the tire it carries.
#[inline]
pub(super) fn wheel_on_hub(check: &mut Check, wheel: &Wheel) {
    check.known("offset_mm", &wheel.offset_mm, bounds::WHEEL_OFFSET);
    check.maybe("inside_mm", wheel.inside_mm.as_ref(), bounds::WHEEL_INSIDE);
    check.maybe("spoke_mm", wheel.spoke_mm.as_ref(), bounds::WHEEL_SPOKE);
}

#[inline]
fn tire_and_wheel(check: &mut Check, setup: &Setup) {
    tire_on(check, &setup.tire, &setup.wheel);
    check.within("wheel", |check| wheel_on_hub(check, &setup.wheel));
}

/// A tire on a wheel; what is wrong with the wheel's width or inside is told beside the tire.
#[inline]
pub(super) fn tire_on(check: &mut Check, tire: &Tire, wheel: &Wheel) {
    let measured = [
        ("tire.diameter_mm", &tire.diameter_mm),
        ("tire.section_mm", &tire.section_mm),
        ("tire.loaded_radius_mm", &tire.loaded_radius_mm),
    ];
    check.text("tire.size", &tire.size);
    for (name, known) in measured {
        if let Some(known) = known {
            check.uncertainty(name, known, "mm");
        }
    }
    check.uncertainty("wheel.width_mm", &wheel.width_mm, "mm");
    check.within("tire", |check| section(check, tire));
    match resolve(tire, wheel) {
        Ok(dims) => inside_the_rim(check, wheel, dims.rim_diameter_mm),
        // The uncertainties are found above already, all of them at once.
        Err(TireError::Sigma { .. }) => {}
        Err(error) => {
            let Problem { path, found, rule, remedy } = tire_problem(&tire.size, &error);
            // Out of the range trucks come in, it is found above already.
            let at = check.to(&path);
            if check.problems.iter().all(|problem| problem.path != at) {
                check.problem(&path, found, rule, remedy);
            }
        }
    }
}

/// The inside of a wheel is less across than the rim its tire sits on.
#[inline]
fn inside_the_rim(check: &mut Check, wheel: &Wheel, rim_mm: f64) {
    if let Some(inside) = &wheel.inside_mm
        && bounds::WHEEL_INSIDE.holds(inside.value)
        && inside.value >= rim_mm
    {
        check.problem(
            "wheel.inside_mm",
            format!("{} mm", inside.value),
            Rule::Agrees,
            format!(
                "The tire sits on a rim {rim_mm:.1} mm across, so the clear diameter inside it is \
                 less. Measure across the barrel again, or check the tire's size."
            ),
        );
    }
}

/// What a straightedge reads on the tire.
#[inline]
fn section(check: &mut Check, tire: &Tire) {
    check.maybe("tread_mm", tire.tread_mm.as_ref(), bounds::TREAD);
    check.maybe("crown_mm", tire.crown_mm.as_ref(), bounds::CROWN);
    check.maybe("shoulder_mm", tire.shoulder_mm.as_ref(), bounds::SHOULDER);
    check.maybe("shoulder_drop_mm", tire.shoulder_drop_mm.as_ref(), bounds::SHOULDER_DROP);
    if let (Some(tread), Some(shoulder)) = (&tire.tread_mm, &tire.shoulder_mm)
        && tread.value > shoulder.value
    {
        check.problem(
            "tread_mm",
            format!("{} mm, shoulder_mm {} mm", tread.value, shoulder.value),
            Rule::Agrees,
            "The tread is no wider than the tire is over its shoulder lugs. Measure both again."
                .into(),
        );
    }
}

#[inline]
fn tire_problem(size: &str, error: &TireError) -> Problem {
    let (path, found, rule) = match error {
        TireError::Size { .. } => {
            let found = match size.chars().take(bounds::TEXT).collect::<String>() {
                text if text.trim().is_empty() => "nothing written".into(),
                text => text,
            };
            ("tire.size", found, Rule::Reads)
        }
        TireError::Range { field, found, .. } => {
            let rule = if found.is_finite() { Rule::Range } else { Rule::Finite };
            (*field, format!("{found} mm"), rule)
        }
        TireError::Sigma { field, found } => (*field, format!("± {found} mm"), Rule::Range),
        TireError::LoadedRadius { loaded, .. } => {
            ("tire.loaded_radius_mm", format!("{loaded} mm"), Rule::Agrees)
        }
    };
    Problem { path: path.into(), found, rule, remedy: sentence(&error.to_string()) }
}

/// The stock state is the reference the others are told against.
#[inline]
fn untouched(check: &mut Check, setup: &Setup) {
    let remedy = |what: &str| {
        format!(
            "The stock state is the truck as it left the factory: {what}. Change `sitting` or `planned` instead."
        )
    };
    let right = setup.lift_right_mm.as_ref();
    for (name, lift) in [("lift_mm", Some(&setup.lift_mm)), ("lift_right_mm", right)] {
        if let Some(lift) = lift
            && lift.value.abs() > 0.0
        {
            check.problem(
                name,
                format!("{} mm", lift.value),
                Rule::Agrees,
                remedy("its lift is 0"),
            );
        }
    }
    if !setup.parts.is_empty() {
        let found = format!("{} parts", setup.parts.len());
        check.problem("parts", found, Rule::Agrees, remedy("no corrections are fitted"));
    }
}

/// An arm or link whose chassis eye would have to stand higher above its axle end than it is long.
#[inline]
fn reach(check: &mut Check, layout: &Layout, setup: &Setup) {
    let (left, right) = setup.lift();
    let bracket: f64 = setup.parts.iter().filter_map(arm_bracket_z).sum();
    for (axle_end, chassis_end) in arms(layout) {
        let length = {
            let x = chassis_end.x_mm.value - axle_end.x_mm.value;
            let y = chassis_end.y_mm.value - axle_end.y_mm.value;
            let z = chassis_end.z_mm.value - axle_end.z_mm.value;
            x.hypot(y).hypot(z)
        };
        let stock_rise = chassis_end.z_mm.value - axle_end.z_mm.value;
        for (name, lift) in [("lift_mm", left), ("lift_right_mm", right)] {
            let drop = (stock_rise + bracket + lift.value).abs();
            if drop >= length && length.is_finite() && lift.value.abs() > 0.0 {
                check.problem(
                    name,
                    format!("{} mm", lift.value),
                    Rule::Agrees,
                    format!(
                        "Impossible: at this lift the arm's ends would be {drop:.0} mm apart in \
                         height, but it is only {length:.0} mm long: shorter than its drop. Check \
                         the lift and the arm's points."
                    ),
                );
                return;
            }
        }
    }
}

/// The arms, lower links or fixed halves of leaf springs as lines from axle to chassis; enough for
/// both sides.
#[inline]
fn arms(layout: &Layout) -> Vec<(&Point, &Point)> {
    match layout {
        Layout::RadiusArms { left, right, .. } => [Some(left), right.as_ref()]
            .into_iter()
            .flatten()
            .map(|arm| (&arm.axle_far, &arm.chassis))
            .collect(),
        Layout::ThreeLink { lower_left, lower_right, .. }
        | Layout::FourLink { lower_left, lower_right, .. } => {
            [Some(lower_left), lower_right.as_ref()]
                .into_iter()
                .flatten()
                .map(|bar| (&bar.axle, &bar.chassis))
                .collect()
        }
        Layout::LeafSprings { left, right, .. } => [Some(left), right.as_ref()]
            .into_iter()
            .flatten()
            .map(|spring| (&spring.seat, &spring.fixed_eye))
            .collect(),
    }
}

#[inline]
fn arm_bracket_z(part: &Part) -> Option<f64> {
    match part {
        Part::Bracket { moves: Pivot::Arm, holes, hole } => {
            holes.get(*hole).map(|hole| hole.z_mm.value)
        }
        _ => None,
    }
}

/// An error's words as a sentence of its own.
#[inline]
fn sentence(words: &str) -> String {
    let end = if words.ends_with('.') { "" } else { "." };
    format!("{}{end}", crate::words::capital(words))
}
