//! What comes out on top, on six invented trucks, is what somebody who does this for a living would
//! do first. The reasons stand beside each; they are common practice, no source.

use fitment::{
    axle::{Output, answer},
    measure::{Known, System},
    remedy::{Found, Plan, Search, Target},
    truck::{
        Axle, Driveline, End, LayoutKind, Member, Offer, Part, PartKind, Pivot, Side, State,
        Steering, Step, Truck, Turning,
    },
};

const RAISED: PartKind = PartKind::Bracket(Pivot::PanhardAxle);
const DROPPED: PartKind = PartKind::Bracket(Pivot::PanhardChassis);
const BAR: PartKind = PartKind::Length(Member::Panhard);
const ON_TOP: PartKind = PartKind::Bracket(Pivot::DragLink);
const PITMAN: PartKind = PartKind::Step(Step::Pitman);
const DRAG_LINK: PartKind = PartKind::Length(Member::DragLink);
const ARM_DROP: PartKind = PartKind::Bracket(Pivot::Arm);
const BUSHES: PartKind = PartKind::Turn(Turning::CasterBush);
const WEDGES: PartKind = PartKind::Turn(Turning::Wedge);
const KNUCKLES: PartKind = PartKind::Turn(Turning::KnuckleFlange);
const UPPER: PartKind = PartKind::Length(Member::UpperLink);

/// A typical axle, lifted on its stock tires, with one of each kind on its shelf.
fn lifted(layout: LayoutKind, end: End, lift_mm: f64, shelf: &[PartKind]) -> Axle {
    let mut axle = Axle::typical(layout, end);
    axle.sitting.lift_mm = Known::exact(lift_mm);
    axle.planned = axle.sitting.clone();
    axle.shelf = shelf.iter().map(|kind| Part::typical(*kind, &axle)).collect();
    axle
}

/// Everything found for an axle, with the best plan.
struct Top {
    found: Found,
    best: Plan,
}

impl Top {
    fn of(truck: &Truck, end: End) -> Self {
        let stock = answer(truck, end, State::Stock).expect("it stands when stock");
        let targets = Target::usual(end, &stock, &[]);
        let mut search = Search::begin(truck, end, &stock, &targets).expect("it reads");
        while !search.is_settled() {
            search.step(100_000);
        }
        let found = search.so_far();
        let best = found.ranked.first().expect("doing nothing stands").clone();
        Self { found, best }
    }

    fn has(&self, kind: PartKind) -> bool {
        self.best.parts.iter().any(|part| part.kind() == kind)
    }

    /// Fails with all that was found.
    fn must(&self, holds: bool, why: &str) {
        let plans = self.found.ranked.iter().map(|plan| plan.words(System::Metric));
        assert!(holds, "{why}:\n{}", plans.collect::<Vec<_>>().join("\n"));
    }

    /// No target of these is missed.
    fn meets(&self, outputs: &[Output]) {
        for output in outputs {
            let met = self.best.misses.iter().all(|miss| miss.output != *output);
            self.must(met, output.label());
        }
    }
}

const STRAIGHT: [Output; 3] = [Output::LateralShift, Output::SteeringWheel, Output::BumpSteerLeft];

#[test]
fn the_example_keeps_bar_and_drag_link_alike_and_presses_bushes() {
    // 75 mm on radius arms took nearly 5° of caster: below zero, dangerous, first of all. Bushes give
    // it back without a torch. Bar and drag link came down alike and still lie parallel; nothing on
    // the shelf moves the drag link, so a fabricator leaves the bar's ends alone rather than buy bump
    // steer with a level bar, and centers axle and steering wheel on the threads.
    let top = Top::of(&Truck::example(), End::Front);
    top.must(top.has(BUSHES), "caster by bushes");
    top.must(top.has(BAR) && top.has(DRAG_LINK), "centered on the threads");
    top.must(!top.has(RAISED) && !top.has(DROPPED), "the bar stays beside the drag link");
    top.must(!top.has(ARM_DROP), "no brackets welded for what bushes do");
    top.meets(&STRAIGHT);
    top.meets(&[Output::Caster, Output::DragAngle]);
}

/// Radius arms lifted by 50 mm, everything on the shelf.
fn on_radius_arms() -> Axle {
    let shelf = [RAISED, DROPPED, BAR, ON_TOP, PITMAN, DRAG_LINK, ARM_DROP, BUSHES, KNUCKLES];
    lifted(LayoutKind::RadiusArms, End::Front, 50.0, &shelf)
}

/// What is right for it on either side.
fn levels_both_and_presses_bushes(top: &Top) {
    // Level the bar by a bracket at one end, and the drag link by as much, or the two no longer swing
    // alike: one without the other is the usual mistake. A few degrees of caster are bushes; arm
    // brackets are for more lift than this, and nobody cuts knuckles off for three degrees.
    top.must(top.has(RAISED) != top.has(DROPPED), "a bracket at one end of the bar");
    top.must(top.has(ON_TOP) != top.has(PITMAN), "the drag link follows the bar");
    top.must(top.has(BUSHES) && !top.has(ARM_DROP), "caster by bushes");
    top.must(!top.has(KNUCKLES), "no knuckles cut off");
    top.meets(&STRAIGHT);
    top.meets(&[Output::Caster, Output::Panhard, Output::DragAngle]);
}

#[test]
fn radius_arms_get_a_level_bar_with_its_drag_link_and_bushes() {
    let truck = Truck::with_axle(on_radius_arms(), End::Front);
    levels_both_and_presses_bushes(&Top::of(&truck, End::Front));
}

#[test]
fn a_right_hand_drive_truck_gets_the_mirrored_plan() {
    // Box, drag link, bar and pinion on the other side: the same remedy, mirrored.
    let left = Top::of(&Truck::with_axle(on_radius_arms(), End::Front), End::Front);
    let mut axle = on_radius_arms();
    let bar = axle.panhard.as_mut().unwrap();
    for y in [&mut bar.axle.y_mm, &mut bar.chassis.y_mm, &mut axle.pinion.y_mm] {
        y.value = -y.value;
    }
    axle.steering = Some(Steering::typical(Side::Right));
    let right = Top::of(&Truck::with_axle(axle, End::Front), End::Front);
    levels_both_and_presses_bushes(&right);
    right
        .must((left.best.score() - right.best.score()).abs() < 1e-6, "as good as its mirror image");
    let shift = |top: &Top| top.best.value(Output::LateralShift).unwrap();
    right.must((shift(&left) + shift(&right)).abs() < 0.11, "and mirrored");
}

#[test]
fn a_three_link_gets_a_raised_bar_and_a_drag_link_to_match() {
    // Three links hold caster through 75 mm, so the upper link is left as it is. The bar's axle end
    // goes up by about the lift, the drag link's slope is taken out by as much, and both are as they
    // were when stock.
    let shelf = [RAISED, DROPPED, BAR, ON_TOP, PITMAN, DRAG_LINK, UPPER, ARM_DROP];
    let truck =
        Truck::with_axle(lifted(LayoutKind::ThreeLink, End::Front, 75.0, &shelf), End::Front);
    let top = Top::of(&truck, End::Front);
    top.must(top.has(RAISED) || top.has(DROPPED), "the bar leveled");
    top.must(top.has(ON_TOP) || top.has(PITMAN), "the drag link with it");
    top.must(!top.has(UPPER) && !top.has(ARM_DROP), "caster is left alone");
    let slope = top.best.value(Output::Panhard).unwrap();
    top.must(slope.abs() < 5.0, "a slope as when stock");
    top.meets(&STRAIGHT);
    top.meets(&[Output::Caster, Output::DragAngle]);
}

#[test]
fn leaves_get_a_pitman_arm_and_no_wedges() {
    // Longer leaves leave caster alone: wedges would spoil it. What a lift spoils on leaves is the
    // steering: the drag link alone went steep. A pitman arm dropped by the lift puts it back; no
    // torch, no reaming.
    let shelf = [WEDGES, KNUCKLES, ON_TOP, PITMAN, DRAG_LINK];
    let truck = Truck::with_axle(lifted(LayoutKind::Leaf, End::Front, 75.0, &shelf), End::Front);
    let top = Top::of(&truck, End::Front);
    let dropped = top.best.parts.iter().find(|part| part.kind() == PITMAN);
    let right =
        matches!(dropped, Some(Part::Step { step_mm, .. }) if (step_mm.value - 75.0).abs() < 1e-9);
    top.must(right, "a pitman arm dropped by the lift");
    top.must(!top.has(WEDGES) && !top.has(KNUCKLES), "caster is left alone");
    top.meets(&STRAIGHT[1..]);
    top.meets(&[Output::Caster]);
}

#[test]
fn a_rear_four_link_gets_a_raised_bar_and_its_pinion_is_left_where_it_was() {
    // Four links of about a length hold the pinion through 75 mm: nothing to turn. The bar's bracket
    // goes up on the axle by the lift, which levels the bar and centers the axle at once; a longer
    // bar alone would center it and leave the bar steep, for the body to be thrown about by.
    let shelf = [RAISED, DROPPED, BAR, UPPER, PartKind::Bracket(Pivot::LowerAxle), ARM_DROP];
    let truck = Truck::with_axle(lifted(LayoutKind::FourLink, End::Rear, 75.0, &shelf), End::Rear);
    let top = Top::of(&truck, End::Rear);
    top.must(top.has(RAISED), "the bar's bracket raised");
    top.must(!top.has(UPPER) && !top.has(ARM_DROP), "the links are left alone");
    top.meets(&[Output::LateralShift, Output::Pinion]);
    let slope = top.best.value(Output::Panhard).unwrap();
    top.must(slope.abs() < 5.0, "a slope near that when stock");
}

#[test]
fn a_steep_rear_shaft_gets_a_double_joint_and_a_pinion_that_points_at_it() {
    // With the driveshaft known, its joints are judged and the pinion's own angle is not: a
    // double-Cardan joint asks for a pinion that points at the case, whatever it was when stock.
    let mut axle = lifted(LayoutKind::FourLink, End::Rear, 75.0, &[RAISED, UPPER]);
    axle.driveline = Some(Driveline::typical(End::Rear));
    axle.shelf.parts.push(Offer::of(Part::DoubleCardan {}));
    let top = Top::of(&Truck::with_axle(axle, End::Rear), End::Rear);
    let before = top.found.front.iter().find(|plan| plan.parts.is_empty()).unwrap();
    let turned = |plan: &Plan| plan.value(Output::Pinion).unwrap();
    top.must(
        top.has(PartKind::DoubleCardan) && top.has(UPPER),
        "a joint more and the links for it",
    );
    top.must(turned(&top.best) > turned(before), "the pinion turned up");
    let own = top.best.misses.iter().all(|miss| miss.output != Output::Pinion);
    top.must(own, "the pinion is judged by its joint");
}
