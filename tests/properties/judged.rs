//! Plans judged by their tires, against each plan's own fit.

use fitment::{
    axle::{Answer, answer},
    clearance::{Options, fit, nearest},
    finding::{self, Aim, Goal, aim},
    remedy::{Found, Plan, Search, Target},
    truck::{End, State, Truck},
};

/// The example with the things of its shelf that put geometry right, on tires that nothing touches.
fn example() -> Truck {
    let mut truck = Truck::example();
    let front = truck.front.as_mut().expect("it has one");
    front.shelf.parts.truncate(6);
    front.planned.tire.size = "305/75R16".into();
    truck
}

const FRONT: (End, State) = (End::Front, State::Planned);

fn found(truck: &Truck, stock: &Answer, room: Option<Aim>) -> Found {
    let targets = Target::usual(End::Front, stock, &[]);
    let search = Search::begin(truck, End::Front, stock, &targets).expect("it reads");
    let mut search = search.judging(truck, End::Front, room);
    while !search.step(100_000) {}
    search.so_far()
}

/// The least clearance with a plan fitted, by a fit of its own.
fn room_of(truck: &Truck, plan: &Plan) -> f64 {
    let truck = plan.planned_on(truck, End::Front);
    let found = nearest(&truck, FRONT, &Options::coarse()).expect("there are things to clear");
    found.expect("it is reached").clearance_mm
}

/// What a miss of the room counts: in watch zones, tenfold and after all else where it is a must, and
/// five times its weight besides where the tire touches.
fn counted(aim: &Aim, clearance_mm: f64) -> f64 {
    let short = (aim.band.low - clearance_mm).max(0.0);
    let must = if aim.must { 10.0 } else { 1.0 };
    let stop = if clearance_mm < 0.0 { 5.0 * aim.weight } else { 0.0 };
    let missed = if aim.must && short > 0.0 { 1e6 } else { 0.0 };
    short / aim.band.slack * aim.weight * must + stop + missed
}

#[test]
fn the_tires_count_as_much_as_their_plans_own_fit_says() {
    let truck = example();
    let stock = answer(&truck, End::Front, State::Stock).unwrap();
    let plain = found(&truck, &stock, None);
    assert_eq!((plain.judged, plain.clear), (0, None));
    let rooms: Vec<f64> = plain.front.iter().map(|plan| room_of(&truck, plan)).collect();
    let [low, high] = [f64::min, f64::max].map(|f| rooms.iter().copied().reduce(f).unwrap());
    // As it is aimed at usually, and as a must that some of the plans keep and some do not.
    let own = |mm| finding::Target {
        must: true,
        ..finding::Target::new(End::Front, Goal::Clearance, Some(mm), None)
    };
    assert!(high - low > 1.0 && low > 0.0, "{rooms:?}");
    for own in [vec![], vec![own(0.5 * (low + high))]] {
        let aim = aim(Goal::Clearance, End::Front, &stock, &own).unwrap();
        let judged = found(&truck, &stock, Some(aim));
        assert!(judged.done && judged.judged > 0, "{judged:?}");
        // No plan of the geometry's front is better than what came out on top.
        let best = judged.ranked[0].score();
        for (plan, room) in plain.front.iter().zip(&rooms) {
            let score = plan.score() + counted(&aim, *room);
            assert!(best <= score + 1e-6, "{best} {score} {plan:?}");
        }
        assert!(judged.ranked.windows(2).all(|w| w[0].score() <= w[1].score()));
        let mut clear = 0;
        for plan in &judged.front {
            let nearest = plan.clearance.as_ref().expect("it was judged");
            assert!((nearest.clearance_mm - room_of(&truck, plan)).abs() < 1e-9, "{plan:?}");
            clear += usize::from(nearest.clears());
            let misses = plan.misses.iter().filter(|miss| miss.must).count();
            assert_eq!(plan.musts_missed, misses + usize::from(aim.must && !nearest.clears()));
        }
        assert!(judged.clear.unwrap() >= clear);
        // A whole fit of the plan on top says the same.
        let top = judged.ranked[0].planned_on(&truck, End::Front);
        let whole = fit(&top, End::Front, State::Planned, &Options::coarse()).unwrap();
        let said = judged.ranked[0].clearance.as_ref().unwrap();
        assert!((whole.contacts[0].clearance_mm - said.clearance_mm).abs() < 0.05);
        if aim.must {
            assert!(said.clears() && judged.ranked[0].musts_missed == 0, "{said:?}");
        }
    }
}

#[test]
fn a_search_in_small_steps_judges_alike_and_a_copy_goes_on_by_itself() {
    let truck = example();
    let stock = answer(&truck, End::Front, State::Stock).unwrap();
    let aim = aim(Goal::Clearance, End::Front, &stock, &[]);
    let whole = found(&truck, &stock, aim);
    let targets = Target::usual(End::Front, &stock, &[]);
    let search = Search::begin(&truck, End::Front, &stock, &targets).unwrap();
    let mut search = search.judging(&truck, End::Front, aim);
    let mut copied = None;
    let mut steps = 0;
    while !search.step(2000) {
        steps += 1;
        if search.so_far().judged == 2 && copied.is_none() {
            copied = Some(search.clone());
        }
    }
    assert!(steps > 100, "{steps}");
    let mut copied = copied.expect("more than two are judged");
    while !copied.step(1_000_000) {}
    for other in [search.so_far(), copied.so_far()] {
        assert_eq!((other.ranked, other.judged), (whole.ranked.clone(), whole.judged));
    }
}
