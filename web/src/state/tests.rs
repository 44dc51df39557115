//! What happens when: the journeys of a person through the state, without a browser.

use super::*;
use crate::state::store::{BOOK, build_key, entry_text};
use crate::state::things::{Form, ThingChange};
use fitment::measure::Known;
use fitment::truck::{Carrier, End, Part, Side, ThingKind};

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
    for part in &shelf {
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
    let part = state.entry().build.truck.front.as_ref().expect("front").shelf.parts[0].clone();
    let state = run(
        &state,
        [
            Action::Change(Change::PlanAsItSits(End::Front)),
            Action::Change(Change::Fit(End::Front, part)),
            typed("front.shelf.parts[0].holes[1].z_mm", "61"),
        ],
    );
    assert_eq!(value(&state, "front.planned.parts[0].holes[1].z_mm"), Some(61.0));
    let state = run(&state, [Action::Change(Change::Unshelve(End::Front, 0))]);
    assert!(state.entry().build.truck.front.as_ref().expect("front").planned.parts.is_empty());
}

#[test]
fn a_limit_of_one_s_own_comes_and_goes() {
    let set = |low, high| {
        Action::Change(Change::Band(End::Front, fitment::axle::Output::Caster, low, high))
    };
    let state = run(&fresh(), [set(Some(4.0), Some(6.0))]);
    let bands = &state.entry().build.bands;
    assert_eq!(bands.len(), 1);
    assert_eq!((bands[0].low, bands[0].high), (Some(4.0), Some(6.0)));
    let wrong = run(&state, [set(Some(9.0), Some(6.0))]);
    assert_eq!(wrong.entry().build, state.entry().build, "low above high changes nothing");
    assert_eq!(wrong.notices.last().map(|n| n.tone), Some(Tone::Trouble));
    assert!(run(&state, [set(None, None)]).entry().build.bands.is_empty());
}

#[test]
fn every_typical_part_can_be_shelved_and_fitted() {
    for kind in LayoutKind::ALL {
        let axle = fitment::truck::Axle::typical(kind, End::Front);
        for part in change::typical_parts(&axle) {
            let state = run(
                &fresh(),
                [
                    Action::NewEmpty(kind),
                    Action::Change(Change::Shelve(End::Front, part.clone())),
                    Action::Change(Change::Fit(End::Front, part.clone())),
                ],
            );
            assert_eq!(state.notices, [], "{part:?}");
            assert_eq!(
                state.entry().build.truck.front.as_ref().expect("front").planned.parts,
                [part]
            );
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
    use arrange::Mount;
    let state = run(&fresh(), [Action::NewEmpty(LayoutKind::FourLink)]);
    for mount in [Mount::Spring, Mount::Shock] {
        let gone = choose(&state, &[Change::Mount(End::Front, mount, false)]);
        assert_ne!(front(&gone), front(&state));
        let back = choose(&gone, &[Change::Mount(End::Front, mount, true)]);
        assert_eq!(front(&back), front(&state));
    }
}

#[test]
fn what_a_part_offers_grows_and_the_plan_follows() {
    let state = fresh();
    let shelf = |state: &State| state.entry().build.truck.front.clone().expect("front").shelf.parts;
    let place = |wanted: fn(&Part) -> bool| shelf(&state).iter().position(wanted).expect("there");
    let bush = place(|part| matches!(part, Part::CasterBush { .. }));
    let bar = place(|part| matches!(part, Part::PanhardLength { .. }));

    let angle = format!("front.shelf.parts[{bush}].angle_deg");
    let offer = Action::Change(Change::OfferAngle(End::Front, bush));
    let after = run(&state, [typed(&angle, "3.5"), offer.clone()]);
    let Part::CasterBush { choices_deg, .. } = &shelf(&after)[bush] else { panic!("a bush") };
    assert_eq!(choices_deg, &[2.0, 3.0, 3.5, 4.0]);
    let planned = &after.entry().build.truck.front.as_ref().expect("front").planned.parts;
    assert!(planned.iter().any(
        |part| matches!(part, Part::CasterBush { choices_deg, .. } if choices_deg.len() == 4)
    ));
    // Offered once already: nothing more happens.
    assert_eq!(shelf(&run(&after, [offer])), shelf(&after));

    let reach = |mm| Action::Change(Change::Reach(End::Front, bar, mm));
    let after = run(&state, [reach(10.0)]);
    let Part::PanhardLength { range_mm, .. } = &shelf(&after)[bar] else { panic!("a bar") };
    assert_eq!(range_mm.map(f64::to_bits), [-35.0, 50.0].map(f64::to_bits));
    let after = run(&after, [reach(9000.0)]);
    assert!(after.entry().build.validate().is_empty(), "{:?}", after.entry().build.validate());
}

#[test]
fn spacers_and_wheels_of_the_shelf_come_and_go() {
    let state = fresh();
    let of = |state: &State| state.entry().build.truck.front.clone().expect("a front axle");
    let before = of(&state);
    let act = |state: &State, change| run(state, [Action::Change(change)]);
    let more = act(&state, Change::ShelfSpacer(End::Front, None));
    let more = act(&more, Change::ShelfWheel(End::Front, None));
    let axle = of(&more);
    assert_eq!(axle.shelf.spacers_mm.len(), before.shelf.spacers_mm.len() + 1);
    assert_eq!(axle.shelf.wheels.last(), Some(&before.planned.wheel));
    let last = axle.shelf.wheels.len() - 1;
    let offset = format!("front.shelf.wheels[{last}].offset_mm");
    let planned = act(&run(&more, [typed(&offset, "-19 mm")]), Change::PlanWheel(End::Front, last));
    assert_eq!(value(&planned, "front.planned.wheel.offset_mm"), Some(-19.0));
    let fewer = act(&planned, Change::ShelfWheel(End::Front, Some(last)));
    assert_eq!(of(&fewer).shelf.wheels, before.shelf.wheels);
    assert!(Change::ShelfSpacer(End::Front, Some(99)).apply(&fewer.entry().build).is_err());
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
    actions.extend(
        [Change::ShelfSpacer(end, None), Change::ShelfWheel(end, None)].map(Action::Change),
    );
    run(&fresh(), actions)
}

/// Paths of everything beside the wheels, of the tire's section, and of wheels and spacers to
/// choose from.
fn new_numbers(state: &State) -> Vec<String> {
    let truck = &state.entry().build.truck;
    let shelf = &truck.front.as_ref().expect("front").shelf;
    let wheels = (0..shelf.wheels.len()).flat_map(|at| {
        ["width_mm", "offset_mm", "inside_mm", "spoke_mm"]
            .map(|name| format!("front.shelf.wheels[{at}].{name}"))
    });
    let spacers = (0..shelf.spacers_mm.len()).map(|at| format!("front.shelf.spacers_mm[{at}]"));
    let ends = ["tread_mm", "crown_mm", "shoulder_mm", "shoulder_drop_mm", "packing_mm"];
    let listed = catalog::paths(truck).into_iter().filter(|path| {
        path.contains(".things[")
            || ends.iter().any(|end| path.ends_with(end))
            || path.ends_with("inside_mm")
            || path.ends_with("spoke_mm")
    });
    listed.chain(wheels.chain(spacers)).collect()
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
    let state = run(&state, [Action::Change(Change::ShelfWheel(End::Front, None))]);
    let (mount, wheel) =
        ("front.surroundings.things[1].shape.front_mm", "front.shelf.wheels[1].offset_mm");
    let half = run(&state, [typed(mount, "-9999 mm"), typed(wheel, "900 mm"), typed(LIFT, "3 1/")]);
    assert_eq!(half.entry().drafts.len(), 3);
    let gone = |change| run(&half, [Action::Change(change)]).entry().drafts.clone();
    let drafts = gone(Change::Thing(End::Front, ThingChange::Remove(0)));
    assert_eq!(drafts.keys().collect::<Vec<_>>(), [wheel, LIFT]);
    let drafts = gone(Change::ShelfWheel(End::Front, Some(0)));
    assert_eq!(drafts.keys().collect::<Vec<_>>(), [LIFT, mount]);
    // One more at the end moves nothing.
    assert_eq!(gone(Change::ShelfSpacer(End::Front, None)).len(), 3);
}

#[test]
fn a_full_shelf_takes_no_more_and_says_so() {
    let add = Action::Change(Change::ShelfWheel(End::Front, None));
    let most = fitment::truck::bounds::LIST;
    let state = run(&fresh(), vec![add; most + 1]);
    let shelf = &state.entry().build.truck.front.as_ref().expect("front").shelf;
    assert_eq!(shelf.wheels.len(), most);
    assert!(!state.notices.is_empty());
}

#[test]
fn parts_that_make_room_are_set_in_the_plan_and_outlive_a_suggestion() {
    let end = End::Front;
    let fit = |part| Action::Change(Change::Fit(end, part));
    let stop = Part::SteeringStop { lock_deg: Known::exact(28.0), range_deg: [20.0, 30.0] };
    let bump = Part::BumpStop { change_mm: Known::exact(20.0), range_mm: [0.0, 60.0] };
    let trim = Part::ArchTrim { depth_mm: Known::exact(15.0) };
    let plan = Action::Change(Change::PlanAsItSits(end));
    let state = run(&fresh(), [plan, fit(stop), fit(bump), fit(trim)]);
    let axle = |state: &State| state.entry().build.truck.front.clone().expect("front");
    let state = run(
        &state,
        [
            Action::Change(Change::Lock(end, 0, 12.0)),
            Action::Change(Change::Length(end, 1, 25.0)),
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
