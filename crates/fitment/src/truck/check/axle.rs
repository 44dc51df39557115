//! Checks of one axle: hardpoints, knuckle, pinion, limits, surroundings, readings.

use super::{Check, Rule, bounds, part, setup};
use crate::measure::Known;
use crate::truck::{
    Arch, Axle, Bar, BushRates, Kingpin, Layout, Limits, Pinion, Point, RadiusArm, Rail, Readings,
    Side, State, Surroundings,
};

pub(super) fn check(check: &mut Check, axle: &Axle) {
    check.known("hub_face_width_mm", &axle.hub_face_width_mm, bounds::HUB_FACE_WIDTH);
    check.within("layout", |check| layout(check, &axle.layout));
    if let Some(bar) = &axle.panhard {
        check.within("panhard", |check| panhard(check, bar));
    }
    if let Some(pin) = &axle.kingpin {
        check.within("kingpin", |check| kingpin(check, pin));
    }
    check.within("pinion", |check| pinion(check, &axle.pinion));
    check.within("limits", |check| limits(check, &axle.limits, axle.kingpin.is_some()));
    check.within("surroundings", |check| surroundings(check, &axle.surroundings));
    for (name, state) in
        [("stock", State::Stock), ("sitting", State::Sitting), ("planned", State::Planned)]
    {
        check.within(name, |check| setup::check(check, axle, state));
    }
    check.within("shelf", |check| part::shelf(check, &axle.shelf));
    check.within("readings", |check| readings(check, &axle.readings));
}

fn layout(check: &mut Check, layout: &Layout) {
    match layout {
        Layout::RadiusArms { left, right, axle_bush, chassis_bush } => {
            check.within("radius_arms", |check| {
                check.within("left", |check| radius_arm(check, left, Side::Left));
                if let Some(right) = right {
                    check.within("right", |check| radius_arm(check, right, Side::Right));
                }
                check.within("axle_bush", |check| bush(check, axle_bush));
                check.within("chassis_bush", |check| bush(check, chassis_bush));
            });
        }
        Layout::ThreeLink { lower_left, lower_right, upper } => {
            check.within("three_link", |check| {
                pair(check, ["lower_left", "lower_right"], lower_left, lower_right.as_ref());
                check.within("upper", |check| {
                    link(check, upper);
                });
            });
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            check.within("four_link", |check| {
                pair(check, ["lower_left", "lower_right"], lower_left, lower_right.as_ref());
                pair(check, ["upper_left", "upper_right"], upper_left, upper_right.as_ref());
            });
        }
        Layout::LeafSprings { .. } => {}
    }
}

/// A left link and, where it differs from the mirror image, the right one.
fn pair(check: &mut Check, names: [&str; 2], left: &Bar, right: Option<&Bar>) {
    let sides = [(names[0], Some(left), Side::Left), (names[1], right, Side::Right)];
    for (name, bar, side) in sides {
        if let Some(bar) = bar {
            check.within(name, |check| {
                link(check, bar);
                on_side(check, "axle.y_mm", &bar.axle.y_mm, side);
                on_side(check, "chassis.y_mm", &bar.chassis.y_mm, side);
            });
        }
    }
}

fn radius_arm(check: &mut Check, arm: &RadiusArm, side: Side) {
    let RadiusArm { axle_far, axle_near, chassis } = arm;
    let points = [("axle_far", axle_far), ("axle_near", axle_near), ("chassis", chassis)];
    let mut fine = true;
    for (name, at) in points {
        fine &= point(check, name, at);
        on_side(check, &format!("{name}.y_mm"), &at.y_mm, side);
    }
    if !fine {
        return;
    }
    let (far, near) = (distance(axle_far, chassis), distance(axle_near, chassis));
    let clamp = distance(axle_far, axle_near);
    if clamp < bounds::SHORTEST_CLAMP_MM {
        check.problem(
            "axle_near",
            format!("{clamp:.1} mm from axle_far"),
            Rule::Apart,
            format!(
                "The two axle bushes of an arm sit ahead of and behind the axle, at least {} mm \
                 apart. Measure both again.",
                bounds::SHORTEST_CLAMP_MM
            ),
        );
    } else if near >= far {
        check.problem(
            "axle_near",
            format!("{near:.0} mm from the chassis eye, axle_far {far:.0} mm"),
            Rule::Agrees,
            "The near bush is the one closer to the chassis eye. Swap the two.".into(),
        );
    }
    if near < bounds::SHORTEST_LINK_MM {
        too_short(check, "chassis", near);
    }
}

/// A bar that is there at all.
fn link(check: &mut Check, bar: &Bar) -> bool {
    let axle = point(check, "axle", &bar.axle);
    let chassis = point(check, "chassis", &bar.chassis);
    if !(axle && chassis) {
        return false;
    }
    let length = distance(&bar.axle, &bar.chassis);
    let fine = length >= bounds::SHORTEST_LINK_MM;
    if !fine {
        too_short(check, "chassis", length);
    }
    fine
}

fn panhard(check: &mut Check, bar: &Bar) {
    if !link(check, bar) {
        return;
    }
    let [_, across, _] = between(&bar.axle, &bar.chassis);
    let share = across.abs() / distance(&bar.axle, &bar.chassis);
    if share < bounds::PANHARD_SIDEWAYS {
        check.problem(
            "",
            format!("{:.0}° from straight across", share.acos().to_degrees()),
            Rule::Agrees,
            "A Panhard bar runs across the truck, one end on each side; this one stands nearly \
             upright or lengthwise and would not hold the axle sideways. Check the ends' left \
             (positive) and right (negative), and which number is height."
                .into(),
        );
    }
}

fn too_short(check: &mut Check, name: &str, length: f64) {
    check.problem(
        name,
        format!("{length:.1} mm from the axle end"),
        Rule::Apart,
        format!(
            "The two ends must be at least {} mm apart. Check the signs of the distances ahead of \
             the axle: behind it is negative.",
            bounds::SHORTEST_LINK_MM
        ),
    );
}

fn point(check: &mut Check, name: &str, point: &Point) -> bool {
    let before = check.problems.len();
    check.within(name, |check| {
        check.known("x_mm", &point.x_mm, bounds::POINT_X);
        check.known("y_mm", &point.y_mm, bounds::POINT_Y);
        check.known("z_mm", &point.z_mm, bounds::POINT_Z);
    });
    check.problems.len() == before
}

/// A left part must lie left of the centreline, a right one right of it.
fn on_side(check: &mut Check, name: &str, y: &Known, side: Side) {
    if y.value.is_finite() && y.value * side.sign() <= 0.0 {
        let (which, sign) = match side {
            Side::Left => ("left", "positive"),
            Side::Right => ("right", "negative"),
        };
        check.problem(
            name,
            format!("{} mm", y.value),
            Rule::Agrees,
            format!("This is the {which} side: its distance left of centre must be {sign}."),
        );
    }
}

fn bush(check: &mut Check, bush: &BushRates) {
    check.known("radial_n_per_mm", &bush.radial_n_per_mm, bounds::BUSH_RADIAL);
    check.known("axial_n_per_mm", &bush.axial_n_per_mm, bounds::BUSH_AXIAL);
    check.known("conical_nm_per_deg", &bush.conical_nm_per_deg, bounds::BUSH_CONICAL);
    check.known("torsion_nm_per_deg", &bush.torsion_nm_per_deg, bounds::BUSH_TORSION);
}

fn kingpin(check: &mut Check, pin: &Kingpin) {
    check.known("caster_deg", &pin.caster_deg, bounds::CASTER);
    check.known("inclination_deg", &pin.inclination_deg, bounds::INCLINATION);
    check.known("hub_offset_mm", &pin.hub_offset_mm, bounds::HUB_OFFSET);
    check.known("hub_trail_mm", &pin.hub_trail_mm, bounds::HUB_TRAIL);
}

fn pinion(check: &mut Check, pinion: &Pinion) {
    check.known("angle_deg", &pinion.angle_deg, bounds::PINION_ANGLE);
    check.known("length_mm", &pinion.length_mm, bounds::PINION_LENGTH);
    check.known("y_mm", &pinion.y_mm, bounds::PINION_Y);
}

fn limits(check: &mut Check, limits: &Limits, steers: bool) {
    check.known("bump_mm", &limits.bump_mm, bounds::BUMP);
    check.known("droop_mm", &limits.droop_mm, bounds::DROOP);
    let lock = check.known("lock_deg", &limits.lock_deg, bounds::LOCK);
    if lock && !steers && limits.lock_deg.value > 0.0 {
        check.problem(
            "lock_deg",
            format!("{} °", limits.lock_deg.value),
            Rule::Agrees,
            "This axle has no steering axis, so its largest steer must be 0. Fill in `kingpin` if \
             it steers."
                .into(),
        );
    }
}

fn surroundings(check: &mut Check, around: &Surroundings) {
    if let Some(it) = &around.rail {
        check.within("rail", |check| rail(check, it));
    }
    if let Some(it) = &around.arch {
        check.within("arch", |check| arch(check, it));
    }
    check.maybe("arm_radius_mm", around.arm_radius_mm.as_ref(), bounds::ARM_RADIUS);
}

fn rail(check: &mut Check, rail: &Rail) {
    check.known("outer_mm", &rail.outer_mm, bounds::RAIL_OUTER);
    check.known("bottom_mm", &rail.bottom_mm, bounds::RAIL_HEIGHT);
    check.known("top_mm", &rail.top_mm, bounds::RAIL_HEIGHT);
    above(check, "top_mm", &rail.top_mm, "bottom_mm", &rail.bottom_mm);
    check.known("front_mm", &rail.front_mm, bounds::RAIL_END);
    check.known("rear_mm", &rail.rear_mm, bounds::RAIL_END);
    above(check, "front_mm", &rail.front_mm, "rear_mm", &rail.rear_mm);
}

fn arch(check: &mut Check, arch: &Arch) {
    check.known("top_mm", &arch.top_mm, bounds::ARCH_TOP);
    check.known("front_mm", &arch.front_mm, bounds::ARCH_END);
    check.known("rear_mm", &arch.rear_mm, bounds::ARCH_END);
    check.known("lip_mm", &arch.lip_mm, bounds::ARCH_LIP);
    check.known("inner_mm", &arch.inner_mm, bounds::ARCH_INNER);
    above(check, "lip_mm", &arch.lip_mm, "inner_mm", &arch.inner_mm);
}

/// The first must be greater than the second, which says nothing when either is not a number.
fn above(check: &mut Check, name: &str, greater: &Known, other_name: &str, less: &Known) {
    let numbers = greater.value.is_finite() && less.value.is_finite();
    if numbers && greater.value <= less.value {
        check.problem(
            name,
            format!("{} mm, {other_name} {} mm", greater.value, less.value),
            Rule::Apart,
            format!("`{name}` must be greater than `{other_name}`. Measure both again."),
        );
    }
}

fn readings(check: &mut Check, readings: &Readings) {
    let Readings { panhard_length_mm, panhard_rise_mm, arm_length_mm, arm_rise_mm } = readings;
    let (panhard, panhard_rise) = (panhard_length_mm.as_ref(), panhard_rise_mm.as_ref());
    let (arm, arm_rise) = (arm_length_mm.as_ref(), arm_rise_mm.as_ref());
    check.maybe("panhard_length_mm", panhard, bounds::PANHARD_LENGTH);
    check.maybe("panhard_rise_mm", panhard_rise, bounds::RISE);
    slopes(check, ["panhard_length_mm", "panhard_rise_mm"], panhard, panhard_rise);
    check.maybe("arm_length_mm", arm, bounds::ARM_LENGTH);
    check.maybe("arm_rise_mm", arm_rise, bounds::RISE);
    slopes(check, ["arm_length_mm", "arm_rise_mm"], arm, arm_rise);
}

/// A bar cannot rise by more than it is long.
fn slopes(check: &mut Check, names: [&str; 2], length: Option<&Known>, rise: Option<&Known>) {
    let (Some(length), Some(rise)) = (length, rise) else { return };
    if rise.value.is_finite() && rise.value.abs() >= length.value {
        check.problem(
            names[0],
            format!("{} mm long, its ends {} mm apart in height", length.value, rise.value.abs()),
            Rule::Agrees,
            format!(
                "Impossible as measured: shorter than its own drop. Measure `{}` from bolt centre \
                 to bolt centre and `{}` as the difference of the two bolts' heights.",
                names[0], names[1]
            ),
        );
    }
}

fn between(a: &Point, b: &Point) -> [f64; 3] {
    [b.x_mm.value - a.x_mm.value, b.y_mm.value - a.y_mm.value, b.z_mm.value - a.z_mm.value]
}

fn distance(a: &Point, b: &Point) -> f64 {
    let [x, y, z] = between(a, b);
    x.hypot(y).hypot(z)
}
