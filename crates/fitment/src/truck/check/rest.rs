//! Checks of what no pose needs: driveline, brake hose, weights, gears, ground clearances.

use super::{Check, Rule, bounds, shape};
use crate::truck::{Driveline, Hose, Mount, Overhang, Springing, Truck};

#[inline]
pub(super) fn truck(check: &mut Check, truck: &Truck) {
    let (weights, belly, gears) = (&truck.weights, &truck.belly, &truck.gears);
    let all = [
        ("weights.front_axle_kg", &weights.front_axle_kg, bounds::WEIGHT),
        ("weights.rear_axle_kg", &weights.rear_axle_kg, bounds::WEIGHT),
        ("weights.front_raised_kg", &weights.front_raised_kg, bounds::WEIGHT),
        ("weights.rise_mm", &weights.rise_mm, bounds::GROUND),
        ("belly.behind_front_wheel_mm", &belly.behind_front_wheel_mm, bounds::ALONG),
        ("belly.above_ground_mm", &belly.above_ground_mm, bounds::GROUND),
        ("gears.axle_ratio", &gears.axle_ratio, bounds::GEAR),
        ("gears.stock_axle_ratio", &gears.stock_axle_ratio, bounds::GEAR),
        ("gears.top_gear", &gears.top_gear, bounds::GEAR),
        ("gears.first_gear", &gears.first_gear, bounds::GEAR),
        ("gears.low_range", &gears.low_range, bounds::GEAR),
    ];
    for (name, known, bound) in all {
        check.maybe(name, known.as_ref(), bound);
    }
}

#[inline]
pub(super) fn driveline(check: &mut Check, line: &Driveline) {
    shape::point(check, "case", &line.case);
    check.known("case_slope_deg", &line.case_slope_deg, bounds::CASE_ANGLE);
    check.maybe("case_plan_deg", line.case_plan_deg.as_ref(), bounds::CASE_ANGLE);
    check.maybe("slip_in_mm", line.slip_in_mm.as_ref(), bounds::SLIP);
    check.maybe("slip_out_mm", line.slip_out_mm.as_ref(), bounds::SLIP);
    check.maybe("joint_limit_deg", line.joint_limit_deg.as_ref(), bounds::JOINT_LIMIT);
}

#[inline]
pub(super) fn hose(check: &mut Check, hose: &Hose, steers: bool) {
    let fine = shape::point(check, "frame_end", &hose.frame_end)
        & shape::point(check, "wheel_end", &hose.wheel_end)
        & check.known("length_mm", &hose.length_mm, bounds::HOSE);
    let apart = shape::distance(&hose.frame_end, &hose.wheel_end);
    if fine && apart > hose.length_mm.value {
        check.problem(
            "length_mm",
            format!("{} mm, its ends {apart:.0} mm apart", hose.length_mm.value),
            Rule::Agrees,
            "A hose is at least as long as its ends are apart. Measure along it again, and check \
             the two ends."
                .into(),
        );
    }
    if !(hose.on == Mount::Axle || hose.on == Mount::Knuckle && steers) {
        check.problem(
            "on",
            format!("{:?}", hose.on).to_ascii_lowercase(),
            Rule::Agrees,
            "The lower end rides on the axle, or on the knuckle of an axle that steers.".into(),
        );
    }
}

#[inline]
pub(super) fn springing(check: &mut Check, it: &Springing) {
    let all = [
        ("spring_rate_n_per_mm", &it.spring_rate_n_per_mm, bounds::SPRING_RATE),
        ("spring_solid_mm", &it.spring_solid_mm, bounds::SPRING_LENGTH),
        ("shock_shortest_mm", &it.shock_shortest_mm, bounds::SPRING_LENGTH),
        ("shock_longest_mm", &it.shock_longest_mm, bounds::SPRING_LENGTH),
        ("stop_squash_mm", &it.stop_squash_mm, bounds::SPRING_LENGTH),
        ("sway_bar_nm_per_deg", &it.sway_bar_nm_per_deg, bounds::SWAY_BAR),
        ("unsprung_kg", &it.unsprung_kg, bounds::WEIGHT),
    ];
    for (name, known, bound) in all {
        check.maybe(name, known.as_ref(), bound);
    }
    if let (Some(shortest), Some(longest)) = (&it.shock_shortest_mm, &it.shock_longest_mm)
        && shortest.value > longest.value
    {
        check.problem(
            "shock_longest_mm",
            format!("{} mm, pushed in {} mm", longest.value, shortest.value),
            Rule::Agrees,
            "Pulled out a shock is longer than pushed in. Check which is which.".into(),
        );
    }
}

#[inline]
pub(super) fn overhang(check: &mut Check, it: &Overhang) {
    check.maybe("beyond_mm", it.beyond_mm.as_ref(), bounds::ALONG);
    check.maybe("above_ground_mm", it.above_ground_mm.as_ref(), bounds::GROUND);
    check.maybe("diff_above_ground_mm", it.diff_above_ground_mm.as_ref(), bounds::GROUND);
}
