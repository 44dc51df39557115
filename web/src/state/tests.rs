//! What happens when: the journeys of a person through the state, without a browser.

use super::*;
use crate::state::shelf::ShelfChange;
use crate::state::store::{BOOK, build_key, entry_text};
use crate::state::things::{Form, ThingChange};
use buildfile::{Claim, Target};
use fitment::measure::Known;
use fitment::truck::{
    Carrier, End, Member, Mount, Part, PartKind, Pivot, Side, Step, ThingKind, Turning, Wheel,
};

const NOW: f64 = 1_000_000.0;

fn fresh() -> State {
    State::start(&[], NOW).0
}

fn run(state: &State, actions: impl IntoIterator<Item = Action>) -> State {
    let mut now_ms = NOW;
    actions.into_iter().fold(state.clone(), |state, action| {
        now_ms += 1000.0;
        state.after(Timed { now_ms, action })
    })
}

fn typed(path: &str, text: &str) -> Action {
    Action::Type { path: path.into(), text: text.into() }
}

fn value(state: &State, path: &str) -> Option<f64> {
    field::known(&state.entry().build.truck, path).map(|known| known.value)
}

const LIFT: &str = "front.sitting.lift_mm";

#[test]
fn a_first_visit_shows_the_example() {
    let state = fresh();
    assert_eq!(state.entries.len(), 1);
    assert_eq!(state.entry().kind, Kind::Example);
    assert!(state.notices.is_empty());
}

#[test]
fn half_typed_text_stays_and_the_last_good_number_too() {
    let before = value(&fresh(), LIFT);
    let state = run(&fresh(), [typed(LIFT, "3 1/")]);
    assert_eq!(value(&state, LIFT), before);
    assert_eq!(state.entry().drafts[LIFT].text, "3 1/");
    let state = run(&state, [typed(LIFT, "3 1/2\"")]);
    assert_eq!(value(&state, LIFT), Some(88.9));
    assert!(state.entry().drafts.is_empty());
}

#[test]
fn half_typed_text_survives_the_tab() {
    let state = run(&fresh(), [typed(LIFT, "3 1/")]);
    let items = vec![(build_key(state.open), entry_text(state.entry()).expect("writes"))];
    let (again, unread) = State::start(&items, NOW);
    assert!(unread.is_empty());
    assert_eq!(again.entry().drafts[LIFT].text, "3 1/");
    assert!(again.entry().drafts[LIFT].why.message().contains("number"));
}

#[test]
fn units_change_without_drift() {
    let mut state = run(&fresh(), [Action::Units(Units::Inch), typed(LIFT, "3 1/8")]);
    let start = value(&state, LIFT);
    assert_eq!(start, Some(79.375));
    for _ in 0..50 {
        state = run(&state, [Action::Units(Units::Metric), Action::Units(Units::Inch)]);
    }
    assert_eq!(value(&state, LIFT), start);
    let known = field::known(&state.entry().build.truck, LIFT).expect("there");
    assert_eq!(known.entered.as_deref(), Some("3 1/8 in"));
}

#[test]
fn undo_and_redo_walk_the_steps() {
    let start = value(&fresh(), LIFT);
    let state =
        run(&fresh(), [typed(LIFT, "5"), typed(LIFT, "50"), Action::Leave, typed(LIFT, "60")]);
    let back = run(&state, [Action::Undo]);
    assert_eq!(value(&back, LIFT), Some(50.0));
    let back = run(&back, [Action::Undo]);
    assert_eq!(value(&back, LIFT), start);
    let forth = run(&back, [Action::Redo, Action::Redo]);
    assert_eq!(value(&forth, LIFT), Some(60.0));
}

#[test]
fn a_deleted_build_comes_back() {
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::ThreeLink)]);
    let id = state.open;
    let state = run(&state, [Action::Delete(id)]);
    assert_ne!(state.open, id);
    assert_eq!(state.notices.last().and_then(|n| n.offer), Some(Offer::Undelete));
    let state = run(&state, [Action::Undelete]);
    assert_eq!(state.open, id);
    assert_eq!(state.entries.len(), 2);
    assert!(state.notices.is_empty());
}

#[test]
fn deleting_the_last_leaves_the_example() {
    let state = fresh();
    let state = run(&state, [Action::Delete(state.open)]);
    assert_eq!(state.entries.len(), 1);
    assert_eq!(state.entry().kind, Kind::Example);
}

#[test]
fn a_link_opens_beside_and_once() {
    let mine = run(&fresh(), [Action::NewEmpty(LayoutKind::FourLink), typed(LIFT, "50")]);
    let link = link::encode(&Build::example()).expect("encodes");
    let state = run(&mine, [Action::OpenLink(link.clone())]);
    assert_eq!(state.entries.len(), mine.entries.len() + 1);
    assert_eq!(state.entry().kind, Kind::Received);
    let own = mine.entry();
    assert!(state.entries.contains(own), "the person's own build is as it was");
}

#[test]
fn what_does_not_open_changes_nothing() {
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::RadiusArms)]);
    for action in [
        Action::OpenLink("#b=nonsense".into()),
        Action::Import("{".into()),
        Action::Import("x".repeat(2 << 20)),
        Action::Import(
            "{\"format\":\"tapewright-build\",\"version\":1,\"truck\":{\"wheelbase_mm\":NaN}}"
                .into(),
        ),
    ] {
        let after = run(&state, [action.clone()]);
        assert_eq!(after.entries, state.entries, "{action:?}");
        assert_eq!(after.open, state.open);
        assert_eq!(after.notices.last().map(|n| n.tone), Some(Tone::Trouble));
    }
}

#[test]
fn a_broken_store_is_told_and_the_rest_opens() {
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::RadiusArms)]);
    let items = vec![
        (BOOK.to_owned(), "{{{".to_owned()),
        (build_key(state.open), entry_text(state.entry()).expect("writes")),
    ];
    let (again, unread) = State::start(&items, NOW);
    assert_eq!(unread.len(), 1);
    assert_eq!(again.entry().build, state.entry().build);
    assert_eq!(again.notices.last().map(|n| n.tone), Some(Tone::Trouble));
}

#[test]
fn an_earlier_version_can_be_restored_and_that_undone() {
    let state = run(&fresh(), [typed(LIFT, "50")]);
    let old = value(&fresh(), LIFT);
    let back = run(&state, [Action::Restore(0)]);
    assert_eq!(value(&back, LIFT), old);
    let again = run(&back, [Action::Undo]);
    assert_eq!(value(&again, LIFT), Some(50.0));
}

#[test]
fn mine_from_the_example_has_nothing_measured() {
    let state = run(&fresh(), [Action::MineFromExample]);
    assert_eq!(state.entry().kind, Kind::Own);
    assert_eq!(state.guide, Some(0));
    for path in catalog::paths(&state.entry().build.truck) {
        if let Some(known) = field::known(&state.entry().build.truck, &path) {
            assert!(!matches!(known.origin, Origin::Measured(_)), "{path}");
        }
    }
}

#[test]
fn names_stay_apart() {
    let state = run(
        &fresh(),
        [
            Action::NewEmpty(LayoutKind::RadiusArms),
            Action::NewEmpty(LayoutKind::RadiusArms),
            Action::NewEmpty(LayoutKind::RadiusArms),
        ],
    );
    let mut names: Vec<_> = state.entries.iter().map(|e| e.build.name.clone()).collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), 4);
}

#[test]
fn parts_go_in_and_out_of_the_plan() {
    let state = fresh();
    let shelf = state.entry().build.truck.front.as_ref().expect("front").shelf.parts.clone();
    let start = run(&state, [Action::Change(Change::PlanAsItSits(End::Front))]);
    let fitted = |state: &State| {
        state.entry().build.truck.front.as_ref().expect("front").planned.parts.clone()
    };
    assert!(fitted(&start).is_empty());
    for part in shelf.iter().map(|offer| &offer.part) {
        let one = run(&start, [Action::Change(Change::Fit(End::Front, part.clone()))]);
        assert_eq!(fitted(&one), std::slice::from_ref(part));
        let twice = run(&one, [Action::Change(Change::Fit(End::Front, part.clone()))]);
        assert_eq!(fitted(&twice).len(), 1);
        let none = run(&one, [Action::Change(Change::Remove(End::Front, 0))]);
        assert!(fitted(&none).is_empty());
    }
}

#[test]
fn another_tab_s_edit_is_taken_over_and_never_the_older() {
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::RadiusArms)]);
    let other = state.after(Timed { now_ms: NOW * 1.5, action: typed(LIFT, "40") });
    let items = vec![(build_key(other.open), entry_text(other.entry()).expect("writes"))];
    let later = run(&state, [Action::Adopt(items.clone())]);
    assert_eq!(value(&later, LIFT), Some(40.0));
    let newer = state.after(Timed { now_ms: NOW * 2.0, action: typed(LIFT, "30") });
    let kept = run(&newer, [Action::Adopt(items)]);
    assert_eq!(value(&kept, LIFT), Some(30.0));
}

#[test]
fn a_planned_bracket_follows_its_like_on_the_shelf() {
    let state = fresh();
    let part = state.entry().build.truck.front.as_ref().expect("front").shelf.parts[0].part.clone();
    let state = run(
        &state,
        [
            Action::Change(Change::PlanAsItSits(End::Front)),
            Action::Change(Change::Fit(End::Front, part)),
            typed("front.shelf.parts[0].part.holes[1].z_mm", "61"),
        ],
    );
    assert_eq!(value(&state, "front.planned.parts[0].holes[1].z_mm"), Some(61.0));
    let state = run(&state, [on_shelf(ShelfChange::Remove(0))]);
    assert!(state.entry().build.truck.front.as_ref().expect("front").planned.parts.is_empty());
}

#[test]
fn a_target_of_one_s_own_comes_and_goes() {
    let own = |low, high| Target::new(End::Front, "caster_deg".into(), low, high);
    let set = |target: Target| Action::Change(Change::Target(target));
    let state = run(&fresh(), [set(own(Some(4.0), Some(6.0)))]);
    let targets = &state.entry().build.targets;
    assert_eq!(targets.len(), 1);
    assert_eq!((targets[0].low, targets[0].high), (Some(4.0), Some(6.0)));
    let wrong = run(&state, [set(own(Some(9.0), Some(6.0)))]);
    assert_eq!(wrong.entry().build, state.entry().build, "low above high changes nothing");
    assert_eq!(wrong.notices.last().map(|n| n.tone), Some(Tone::Trouble));
    let must = Target { claim: Claim::Must, ..own(None, None) };
    let must = run(&state, [set(must.clone())]).entry().build.targets.clone();
    assert_eq!(must.len(), 1, "it may be a must and keep the usual band");
    assert!(run(&state, [set(own(None, None))]).entry().build.targets.is_empty());
}

/// A change of the front shelf.
const fn on_shelf(change: ShelfChange) -> Action {
    Action::Change(Change::Shelf(End::Front, change))
}

#[test]
fn every_kind_of_part_can_be_shelved_fitted_set_and_taken_off() {
    for layout in LayoutKind::ALL {
        let equip = [
            Action::NewEmpty(layout),
            Action::Change(Change::Driveline(End::Front, true)),
            Action::Change(Change::Hose(End::Front, Some(Mount::Knuckle))),
        ];
        let state = run(&fresh(), equip);
        let axle = front(&state);
        for kind in PartKind::ALL.into_iter().filter(|kind| kind.traits().needs.met(&axle)) {
            let part = Part::typical(kind, &axle);
            let fit = Action::Change(Change::Fit(End::Front, part.clone()));
            let fitted = run(&state, [on_shelf(ShelfChange::Add(Box::new(part.clone()))), fit]);
            assert_eq!(fitted.notices, [], "{kind:?}");
            assert_eq!(front(&fitted).planned.parts, [part]);
            let named = typed("front.shelf.parts[0].name", "from the yard");
            let priced = typed("front.shelf.parts[0].price", "249.90");
            let timed = typed("front.shelf.parts[0].hours", "3 1/2");
            let named = run(&fitted, [named, priced, timed]);
            assert!(named.entry().drafts.is_empty(), "{:?}", named.entry().drafts);
            let offer = &front(&named).shelf.parts[0];
            assert_eq!(offer.name, "from the yard");
            assert_eq!(offer.price.as_ref().map(|known| known.value), Some(249.9));
            assert_eq!(offer.hours.as_ref().map(|known| known.value), Some(3.5));
            assert_eq!(
                front(&run(&named, [Action::Undo, Action::Undo])).shelf.parts[0].price,
                None
            );
            let gone = run(&named, [on_shelf(ShelfChange::Remove(0))]);
            assert!(front(&gone).planned.parts.is_empty() && front(&gone).shelf.is_empty());
            assert_eq!(run(&gone, [Action::Undo]).entry().build, named.entry().build);
        }
    }
}

fn front(state: &State) -> fitment::truck::Axle {
    state.entry().build.truck.front.clone().expect("front")
}

/// The choices of the Truck page, and that the axle has an answer after each.
fn choose(state: &State, changes: &[Change]) -> State {
    let mut state = state.clone();
    for change in changes {
        let next = run(&state, [Action::Change(change.clone())]);
        assert_eq!(next.notices, state.notices, "{change:?}");
        assert_eq!(next.entry().build.validate(), [], "{change:?}");
        let bench = crate::answers::Bench::of(&next.entry().build, End::Front).expect("front");
        for stance in Stance::ALL {
            assert_eq!(bench.state(stance).err(), None, "{change:?} {stance:?}");
        }
        state = next;
    }
    state
}

#[test]
fn every_layout_can_be_chosen_from_every_other_and_undone() {
    for from in LayoutKind::ALL {
        let state = run(&fresh(), [Action::NewEmpty(from), typed(LIFT, "50")]);
        for to in LayoutKind::ALL {
            let there = choose(&state, &[Change::Layout(End::Front, to)]);
            assert_eq!(front(&there).kind(), to);
            for by in arrange::sideways_of(to) {
                let held = choose(&there, &[Change::Sideways(End::Front, *by)]);
                assert_eq!(arrange::sideways(&front(&held)), *by);
                assert_eq!(front(&held).kind(), to, "{by:?}");
            }
            if from != to {
                let back = run(&there, [Action::Undo]);
                assert_eq!(back.entry().build, state.entry().build);
            }
        }
    }
}

#[test]
fn what_was_typed_stays_where_both_layouts_have_it() {
    let path = "front.layout.lower_left.axle.z_mm";
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::FourLink), typed(path, "-77")]);
    let there = choose(&state, &[Change::Layout(End::Front, LayoutKind::ThreeLink)]);
    assert_eq!(value(&there, path), Some(-77.0));
}

#[test]
fn arms_and_springs_turn_round_and_back() {
    for kind in [LayoutKind::RadiusArms, LayoutKind::Leaf] {
        let state = run(&fresh(), [Action::NewEmpty(kind)]);
        let turned = choose(&state, &[Change::TurnRound(End::Front)]);
        assert_ne!(
            arrange::runs_forward(&front(&turned).layout),
            arrange::runs_forward(&front(&state).layout)
        );
        let back = choose(&turned, &[Change::TurnRound(End::Front)]);
        assert_eq!(front(&back).layout, front(&state).layout);
    }
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::Leaf)]);
    let under = choose(&state, &[Change::TurnOver(End::Front)]);
    assert!(arrange::springs_over(&front(&state).layout));
    assert!(!arrange::springs_over(&front(&under).layout));
}

#[test]
fn the_right_side_starts_as_the_mirror_image() {
    use arrange::Pair;
    for (kind, pair, left, right) in [
        (LayoutKind::RadiusArms, Pair::Lower, "layout.left.chassis", "layout.right.chassis"),
        (LayoutKind::ThreeLink, Pair::Lower, "layout.lower_left.axle", "layout.lower_right.axle"),
        (LayoutKind::FourLink, Pair::Upper, "layout.upper_left.axle", "layout.upper_right.axle"),
        (LayoutKind::Leaf, Pair::Lower, "layout.left.seat", "layout.right.seat"),
        (LayoutKind::Leaf, Pair::TieRod, "steering.tie_rod.left", "steering.tie_rod.right"),
    ] {
        let state = run(&fresh(), [Action::NewEmpty(kind)]);
        let at = |state: &State, point: &str, axis| value(state, &format!("front.{point}.{axis}"));
        assert_eq!(at(&state, right, "y_mm"), None);
        let own = choose(&state, &[Change::Right(End::Front, pair, true)]);
        assert_eq!(at(&own, right, "x_mm"), at(&own, left, "x_mm"));
        assert_eq!(at(&own, right, "y_mm"), at(&own, left, "y_mm").map(|y| -y));
        let paths = catalog::paths(&own.entry().build.truck);
        assert!(paths.contains(&format!("front.{right}.y_mm")), "{kind:?} {pair:?}");
        let gone = choose(&own, &[Change::Right(End::Front, pair, false)]);
        assert_eq!(front(&gone), front(&state));
    }
}

#[test]
fn every_steering_linkage_can_be_chosen() {
    use arrange::Steers;
    let all = [Steers::Far, Steers::Near, Steers::TieRod, Steers::ForeAft];
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::Leaf)]);
    for side in Side::BOTH {
        for rod in 0..2 {
            for on in all {
                let mut changes = vec![Change::Driver(End::Front, side)];
                changes.extend((0..rod).map(|_| Change::MoveRod(End::Front)));
                changes.push(Change::Linkage(End::Front, Some(on)));
                let there = choose(&state, &changes);
                let steering = front(&there).steering.expect("chosen");
                assert_eq!(arrange::steers(&steering), on, "{side:?} {rod}");
                assert_eq!(arrange::driver(&steering), side, "{on:?}");
                assert_eq!(arrange::rod_ahead(&steering), rod == 1, "{on:?}");
                let bench = crate::answers::Bench::of(&there.entry().build, End::Front);
                let bench = bench.expect("front");
                let stock = bench.state(Stance::Stock).expect("an answer");
                // Straight ahead when stock, and the wheels turn to either stop.
                let wheel = stock.value(fitment::axle::Output::SteeringWheel).expect("linked");
                assert!(wheel.abs() < 1e-6, "{on:?} {side:?}: {wheel}");
                for turned in stock.at_lock() {
                    let circle = turned.get(fitment::axle::Output::TurningCircle);
                    assert!(
                        circle.is_some_and(|mm| (6000.0..20000.0).contains(&mm)),
                        "{on:?} {side:?} {rod} {circle:?}"
                    );
                }
            }
        }
    }
    let none = choose(&state, &[Change::Linkage(End::Front, None)]);
    assert!(front(&none).steering.is_none());
}

#[test]
fn a_crank_moves_to_the_chassis_and_back() {
    let state = run(
        &fresh(),
        [
            Action::NewEmpty(LayoutKind::FourLink),
            Action::Change(Change::Sideways(End::Front, arrange::Sideways::Watts)),
        ],
    );
    let on = |carrier| Change::Crank(End::Front, carrier);
    let chassis = choose(&state, &[on(Carrier::Chassis)]);
    assert_ne!(front(&chassis).watts, front(&state).watts);
    let back = choose(&chassis, &[on(Carrier::Axle)]);
    assert_eq!(front(&back).watts, front(&state).watts);
}

#[test]
fn springs_and_shocks_come_and_go() {
    use arrange::Spring;
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::FourLink)]);
    for mount in [Spring::Coil, Spring::Shock] {
        let gone = choose(&state, &[Change::Mount(End::Front, mount, false)]);
        assert_ne!(front(&gone), front(&state));
        let back = choose(&gone, &[Change::Mount(End::Front, mount, true)]);
        assert_eq!(front(&back), front(&state));
    }
}

#[test]
fn what_a_part_offers_grows_and_the_plan_follows() {
    let state = fresh();
    let shelf = |state: &State| front(state).shelf.parts;
    let place = |kind| shelf(&state).iter().position(|it| it.part.kind() == kind).expect("there");
    let bush = place(PartKind::Turn(Turning::CasterBush));
    let bar = place(PartKind::Length(Member::Panhard));
    let bracket = place(PartKind::Bracket(Pivot::PanhardAxle));

    let angle = format!("front.shelf.parts[{bush}].part.angle_deg");
    let offer = on_shelf(ShelfChange::AddChoice(bush));
    let after = run(&state, [typed(&angle, "3.5"), offer.clone()]);
    let choices = |parts: &[Part]| {
        let found = parts.iter().find_map(|part| match part {
            Part::Turn { choices_deg, .. } => Some(choices_deg.clone()),
            _ => None,
        });
        found.expect("a bush")
    };
    assert_eq!(choices(&[shelf(&after)[bush].part.clone()]), [2.0, 3.0, 3.5, 4.0]);
    assert_eq!(choices(&front(&after).planned.parts).len(), 4);
    // Offered once already: nothing more happens.
    assert_eq!(shelf(&run(&after, [offer])), shelf(&after));
    let without = run(&after, [on_shelf(ShelfChange::TakeChoice(bush, 0))]);
    assert_eq!(choices(&front(&without).planned.parts), [3.0, 3.5, 4.0]);

    let fit = Action::Change(Change::Fit(End::Front, shelf(&state)[bar].part.clone()));
    let fitted = run(&state, [fit, on_shelf(ShelfChange::Range(bar, [5.0, 50.0]))]);
    let planned = front(&fitted).planned.parts.pop();
    let want = Part::length(Member::Panhard, 5.0, [5.0, 50.0]);
    assert_eq!(planned, Some(want), "the plan follows, as near as it can be set");
    let wild = run(&state, [on_shelf(ShelfChange::Range(bar, [-9000.0, 0.0]))]);
    assert_eq!(shelf(&wild), shelf(&state), "out of all reason");

    let more = run(&state, [on_shelf(ShelfChange::AddHole(bracket))]);
    let name = format!("front.shelf.parts[{bracket}].part.holes[3].name");
    let more = run(&more, [typed(&name, "drilled")]);
    let holes = |state: &State| match front(state).planned.parts.first() {
        Some(Part::Bracket { holes, hole, .. }) => {
            (holes.len(), *hole, holes[holes.len() - 1].name.clone())
        }
        other => panic!("{other:?}"),
    };
    assert_eq!(holes(&more), (4, 2, "drilled".into()));
    let fewer = [3, 2].map(|hole| on_shelf(ShelfChange::TakeHole(bracket, hole)));
    assert_eq!(holes(&run(&more, fewer)), (2, 1, "middle".into()));
}

#[test]
fn wheels_of_the_shelf_are_told_apart() {
    let wheel =
        |offset| Part::Wheel { wheel: Wheel::new(Known::exact(203.2), Known::exact(offset)) };
    let state = run(
        &fresh(),
        [-12.0, 0.0].map(|offset| on_shelf(ShelfChange::Add(Box::new(wheel(offset))))),
    );
    let last = front(&state).shelf.parts.len() - 1;
    let state = run(&state, [Action::Change(Change::Fit(End::Front, wheel(0.0)))]);
    let on = |state: &State, index: usize| {
        let axle = front(state);
        shelf::fitted_like(&axle, &axle.shelf.parts[index].part).is_some()
    };
    assert!(on(&state, last) && !on(&state, last - 1));
    // The one fitted keeps up with its measurements, the other does not touch it.
    let at = |index| format!("front.shelf.parts[{index}].part.wheel.offset_mm");
    let state = run(&state, [typed(&at(last), "-19 mm"), typed(&at(last - 1), "-40 mm")]);
    let planned = fitment::truck::State::Planned;
    assert_eq!(front(&state).fitted(planned).wheel.offset_mm.value, -19.0);
    let state = run(&state, [on_shelf(ShelfChange::Remove(last - 1))]);
    assert!(on(&state, last - 1), "the other one may go");
    // A spacer of the look-up takes the place of one that is a part.
    let spacer = Action::Change(Change::Fit(End::Front, Part::step(Step::Spacer, 38.1, vec![])));
    let state = run(&state, [spacer]);
    assert_eq!(front(&state).fitted(planned).spacer_mm.value, 38.1);
    let state = run(&state, [Action::Change(Change::Spacer(End::Front, 25.4))]);
    assert_eq!(front(&state).fitted(planned).spacer_mm.value, 25.4);
}

/// Puts everything there is on the front axle by the person's own actions.
fn surrounded() -> State {
    let end = End::Front;
    let mut actions: Vec<Action> = ThingKind::ALL
        .map(|kind| Action::Change(Change::Thing(end, ThingChange::Add(kind))))
        .to_vec();
    // The last of them is of no kind, and takes any form.
    let there =
        fresh().entry().build.truck.front.as_ref().map_or(0, |it| it.surroundings.things.len());
    let other = there + ThingKind::ALL.len() - 1;
    actions.push(Action::Change(Change::Thing(end, ThingChange::As(other, Form::Outline))));
    let wheel = Wheel::new(Known::exact(203.2), Known::exact(0.0));
    actions.push(on_shelf(ShelfChange::Add(Box::new(Part::Wheel { wheel }))));
    actions.push(on_shelf(ShelfChange::Add(Box::new(Part::step(Step::Pitman, 50.0, vec![50.0])))));
    actions.push(Action::Change(Change::Driveline(end, true)));
    actions.push(Action::Change(Change::Hose(end, Some(Mount::Knuckle))));
    run(&fresh(), actions)
}

/// Paths of everything beside the wheels, of the tire's section, and of wheels and spacers to
/// choose from.
fn new_numbers(state: &State) -> Vec<String> {
    let truck = &state.entry().build.truck;
    let last = truck.front.as_ref().expect("front").shelf.parts.len() - 2;
    let wheels = ["width_mm", "offset_mm", "inside_mm", "spoke_mm"]
        .map(|name| format!("front.shelf.parts[{last}].part.wheel.{name}"));
    let drop = [format!("front.shelf.parts[{}].part.step_mm", last + 1)];
    let ends = ["tread_mm", "crown_mm", "shoulder_mm", "shoulder_drop_mm", "packing_mm"];
    let listed = catalog::paths(truck).into_iter().filter(|path| {
        path.contains(".things[")
            || ends.iter().any(|end| path.ends_with(end))
            || path.ends_with("inside_mm")
            || path.ends_with("spoke_mm")
            || path.contains(".driveline.") && path.ends_with("_mm")
            || path.contains(".hose.")
    });
    listed.chain(wheels).chain(drop).collect()
}

#[test]
fn every_number_beside_the_wheel_is_typed_in_either_unit_undone_and_stored() {
    let state = surrounded();
    assert!(state.notices.is_empty(), "{:?}", state.notices);
    let paths = new_numbers(&state);
    assert!(paths.len() > 80, "{}", paths.len());
    for path in paths {
        let before = value(&state, &path);
        // Near what is there, or where nothing is, what such a number usually is.
        let usual = match path.rsplit('.').next().unwrap_or_default() {
            "tread_mm" => 240.0,
            "shoulder_mm" => 290.0,
            "inside_mm" => 355.0,
            "length_mm" => 430.0,
            _ => 30.0,
        };
        let millimetres = before.unwrap_or(usual).round() + 3.0;
        let sixteenths = (millimetres / 25.4 * 16.0).round();
        let inches = format!("{sixteenths}/16\"");
        for (text, want) in
            [(format!("{millimetres} mm"), millimetres), (inches, sixteenths / 16.0 * 25.4)]
        {
            let after = run(&state, [typed(&path, &text)]);
            assert!(after.entry().drafts.is_empty(), "{path}: {text}: {:?}", after.entry().drafts);
            let got = value(&after, &path).expect("there");
            assert!((got - want).abs() < 1e-9, "{path}: {text} is {got}");
            let items = vec![(build_key(after.open), entry_text(after.entry()).expect("writes"))];
            let (again, unread) = State::start(&items, NOW);
            assert!(unread.is_empty());
            assert_eq!(again.entry().build, after.entry().build, "{path}");
            assert_eq!(value(&run(&after, [Action::Undo]), &path), before, "{path}");
        }
    }
}

#[test]
fn what_was_half_typed_never_comes_to_stand_in_the_neighbor() {
    let state = surrounded();
    let last = front(&state).shelf.parts.len() - 2;
    let offset = format!("front.shelf.parts[{last}].part.wheel.offset_mm");
    let (mount, wheel) = ("front.surroundings.things[1].shape.front_mm", offset.as_str());
    let half = run(&state, [typed(mount, "-9999 mm"), typed(wheel, "900 mm"), typed(LIFT, "3 1/")]);
    assert_eq!(half.entry().drafts.len(), 3);
    let gone = |change| run(&half, [Action::Change(change)]).entry().drafts.clone();
    let drafts = gone(Change::Thing(End::Front, ThingChange::Remove(0)));
    assert_eq!(drafts.keys().collect::<Vec<_>>(), [wheel, LIFT]);
    let drafts = gone(Change::Shelf(End::Front, ShelfChange::Remove(0)));
    assert_eq!(drafts.keys().collect::<Vec<_>>(), [LIFT, mount]);
    // One more at the end moves nothing.
    assert_eq!(
        gone(Change::Shelf(End::Front, ShelfChange::Add(Box::new(Part::DoubleCardan {})))).len(),
        3
    );
}

#[test]
fn a_full_shelf_takes_no_more_and_says_so() {
    let add = on_shelf(ShelfChange::Add(Box::new(Part::DoubleCardan {})));
    let most = fitment::truck::bounds::LIST;
    let state = run(&fresh(), vec![add; most + 1]);
    let shelf = &state.entry().build.truck.front.as_ref().expect("front").shelf;
    assert_eq!(shelf.parts.len(), most);
    assert!(!state.notices.is_empty());
}

#[test]
fn parts_that_make_room_are_set_in_the_plan_and_outlive_a_suggestion() {
    let end = End::Front;
    let fit = |part| Action::Change(Change::Fit(end, part));
    let stop = Part::SteeringStop { lock_deg: Known::exact(28.0), range_deg: [20.0, 30.0] };
    let bump = Part::length(Member::BumpStop, 20.0, [0.0, 60.0]);
    let trim = Part::ArchTrim { depth_mm: Known::exact(15.0) };
    let plan = Action::Change(Change::PlanAsItSits(end));
    let state = run(&fresh(), [plan, fit(stop), fit(bump), fit(trim)]);
    let axle = |state: &State| state.entry().build.truck.front.clone().expect("front");
    let state = run(
        &state,
        [
            Action::Change(Change::Set(end, 0, 12.0)),
            Action::Change(Change::Set(end, 1, 25.0)),
            typed("front.planned.parts[2].depth_mm", "3/4 in"),
            // A suggestion of the geometry's, such as none at all.
            Action::Change(Change::Parts(end, Vec::new())),
        ],
    );
    let planned = fitment::truck::State::Planned;
    let after = axle(&state);
    assert_eq!(after.planned.parts.len(), 3, "{:?}", after.planned.parts);
    let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-9, "{got}, want {want}");
    near(after.lock_deg(planned).value, 20.0); // as far as this stop sets
    near(after.bump_mm(planned).value, after.limits.bump_mm.value - 25.0);
    near(after.arch_trim_mm(planned).value, 19.05);
    // With the arch goes what was cut out of it.
    let bare = axle(&run(&state, [Action::Change(Change::Arch(end, false))]));
    assert_eq!(bare.planned.parts.len(), 2);
}
