//! The workloads.

use fitment::{
    axle::{Answer, Attitude, AxleModel, Output, Path, Pose, answer, solve, solve_near, sweep},
    calibrate::{Kind, Log, Set, Taken, calibrate},
    clearance::{self, Fit, Options, Study},
    measure::Known,
    remedy::{self, Plan, Search, Target},
    truck::{
        Axle, End, Hole, LayoutKind, Member, Part, Pivot, State, Thing, ThingKind, Truck, Turning,
    },
};

/// Something to time, with all it needs made ready.
#[derive(Debug, Clone)]
pub struct Work {
    name: &'static str,
    load: Load,
}

#[derive(Debug, Clone)]
#[expect(clippy::large_enum_variant, reason = "there are half a dozen of them, made once")]
enum Load {
    /// One pose from a near start.
    Pose(AxleModel<f64>, Pose<f64>),
    /// A thousand steps of both wheels' travel, every output.
    Sweep(AxleModel<f64>),
    /// The first coarse picture of how both tires fit.
    Picture(Truck, Options),
    /// The clearance map of both tires, and every contact certain.
    Map(Truck, Options),
    /// The whole answer: map, contacts, window, largest tires and stops.
    Fit(Truck, Options),
    /// The same with what goes with it and where to cut the arch, in the page's small steps.
    Steps(Truck, End, Options),
    /// The front axle fitted to its readings, and every answer of all three states with its ±.
    Calibrate(Truck, Log),
    /// Every combination of the shelf.
    Suggestions(Truck, Answer),
    /// The search over a long shelf, to its end or to its first plan worth showing.
    Search(Box<Search>, bool),
    /// One look-up, with every slope and all its words.
    Card(&'static checks::Card, Vec<checks::Entry>),
    /// Every look-up one after the other.
    Cards(Vec<(&'static checks::Card, Vec<checks::Entry>)>),
}

impl Work {
    /// All workloads.
    ///
    /// # Panics
    /// When the example or a typical axle does not stand, which the engine's tests rule out.
    #[expect(clippy::expect_used, reason = "fixed inputs")]
    pub fn all() -> Vec<Self> {
        let model = |kind| {
            let truck = Truck::with_axle(Axle::typical(kind, End::Front), End::Front);
            AxleModel::of(&truck, End::Front, State::Stock).expect("a typical axle reads")
        };
        let pose = |kind| {
            let model = model(kind);
            let near = solve(&model, [-73.0, -71.0]).expect("within reach");
            Load::Pose(model, near)
        };
        let example = Truck::example();
        let stock = answer(&example, End::Front, State::Stock).expect("the example stands");
        let options = Options {
            steers: 61,
            travels: 41,
            crossed: (0..9).map(|i| f64::from(i) / 8.0).collect(),
            ..Options::default()
        };
        let mut all = Vec::new();
        let mut add = |name, load| all.push(Self { name, load });
        add("pose/three_links", pose(LayoutKind::ThreeLink));
        add("pose/radius_arms", pose(LayoutKind::RadiusArms));
        add("sweep/three_links", Load::Sweep(model(LayoutKind::ThreeLink)));
        add("sweep/radius_arms", Load::Sweep(model(LayoutKind::RadiusArms)));
        let crowded = crowded(&example);
        add("picture/coarse", Load::Picture(crowded.clone(), options.clone()));
        add("map/61x41x9", Load::Map(crowded.clone(), options));
        let usual = Options { sizes: true, ..Options::default() };
        add("fit/usual", Load::Fit(crowded, usual.clone()));
        let mut surrounded = example.clone();
        if let Some(axle) = &mut surrounded.front {
            let all = ThingKind::ALL.into_iter();
            axle.surroundings.things = all.map(|kind| Thing::new(kind, End::Front)).collect();
        }
        let typical = |kind, end| {
            let mut axle = Axle::typical(kind, end);
            if let Some(front) = &example.front {
                axle.surroundings.clone_from(&front.surroundings);
            }
            Load::Steps(Truck::with_axle(axle, end), end, usual.clone())
        };
        add("step/example", Load::Steps(example.clone(), End::Front, usual.clone()));
        add("step/every_thing", Load::Steps(surrounded, End::Front, usual.clone()));
        add("step/leaf_front", typical(LayoutKind::Leaf, End::Front));
        add("step/leaf_rear", typical(LayoutKind::Leaf, End::Rear));
        add("step/arms_rear", typical(LayoutKind::RadiusArms, End::Rear));
        for (name, kind, first) in [
            ("search/million,links", LayoutKind::ThreeLink, false),
            ("search/million,rubber", LayoutKind::RadiusArms, false),
            ("search/first,rubber", LayoutKind::RadiusArms, true),
        ] {
            add(name, Load::Search(Box::new(million(kind)), first));
        }
        add("calibrate/example", Load::Calibrate(example.clone(), measured(&example)));
        add("suggestions/example", Load::Suggestions(example, stock));
        let card = checks::card("driveline").expect("there is such a card");
        add("card/driveline", Load::Card(card, card.start()));
        let all_cards = checks::ALL.iter().map(|card| (card, card.start())).collect();
        add("card/all", Load::Cards(all_cards));
        all
    }

    /// What it is called in tables.
    pub const fn name(&self) -> &'static str {
        self.name
    }

    /// The longest of its steps, ms by a clock, and what it comes to; `None` for what is done at once.
    pub fn longest_step(&self, now_ms: impl Fn() -> f64) -> Option<(f64, f64)> {
        let Load::Steps(truck, end, options) = &self.load else { return None };
        let mut longest = 0.0_f64;
        let mut from = now_ms();
        let result = in_steps(truck, *end, options, || {
            let now = now_ms();
            longest = longest.max(now - from);
            from = now;
        });
        Some((longest, result))
    }

    /// Runs it once; a number that depends on all of the outcome, NaN where there is none.
    // A call of its own each time: a host that compiles better meanwhile swaps code between calls.
    #[inline(never)]
    pub fn run(&self) -> f64 {
        match &self.load {
            Load::Pose(model, near) => solve_near(model, [-75.0, -72.0], near)
                .map_or(f64::NAN, |pose| pose.axle.shift.sum() + pose.axle.turn.sum()),
            Load::Sweep(model) => {
                sweep(model, Path::Heave, -80.0, 80.0, 0.16).map_or(f64::NAN, |swept| {
                    let each = |found: &Attitude<f64>| {
                        Output::ALL.iter().filter_map(|o| found.get(*o)).sum::<f64>()
                    };
                    swept.points.iter().map(|p| p.found.as_ref().map_or(f64::NAN, each)).sum()
                })
            }
            Load::Picture(truck, options) => {
                begun(truck, options).map_or(f64::NAN, |study| least_of_maps(&study.fit()))
            }
            Load::Map(truck, options) => begun(truck, options).map_or(f64::NAN, |mut study| {
                while !study.mapped() {
                    study.step(1);
                }
                let fit = study.fit();
                least_of_maps(&fit) + fit.contacts.iter().map(|c| c.clearance_mm).sum::<f64>()
            }),
            Load::Steps(truck, end, options) => in_steps(truck, *end, options, || {}),
            Load::Fit(truck, options) => clearance::fit(truck, End::Front, State::Planned, options)
                .map_or(f64::NAN, |fit| fit.contacts.iter().map(|c| c.clearance_mm).sum()),
            Load::Search(search, first) => {
                let mut search = search.clone();
                while !(search.is_settled() || *first && search.has_guess()) {
                    search.step(1000);
                }
                search.so_far().ranked.iter().map(Plan::score).sum()
            }
            Load::Calibrate(truck, log) => {
                calibrate(truck, End::Front, log).map_or(f64::NAN, |found| {
                    let answers = State::ALL.iter().filter_map(|s| found.answer_surely(*s).ok());
                    let spreads = |answer: &Answer| -> f64 {
                        let each = Output::ALL.iter().filter_map(|o| answer.spread(*o));
                        each.map(|spread| spread.value + spread.sigma).sum()
                    };
                    answers.map(|answer| spreads(&answer)).sum()
                })
            }
            Load::Card(card, entries) => answered(card, entries),
            Load::Cards(cards) => cards.iter().map(|(card, entries)| answered(card, entries)).sum(),
            Load::Suggestions(truck, stock) => remedy::suggest(truck, End::Front, stock, &[])
                .map_or(f64::NAN, |found| found.ranked.iter().map(Plan::score).sum()),
        }
    }
}

/// A search over a shelf of a million combinations: six kinds of parts, nine or ten choices each.
#[expect(clippy::expect_used, reason = "fixed inputs")]
fn million(kind: LayoutKind) -> Search {
    let mut axle = Axle::typical(kind, End::Front);
    axle.sitting.lift_mm = Known::exact(75.0);
    axle.planned = axle.sitting.clone();
    let holes = |step: f64, count: u32, ahead: f64| -> Vec<Hole> {
        let hole = |n: u32| Hole {
            name: String::new(),
            x_mm: Known::exact(ahead * f64::from(n % 3)),
            y_mm: Known::exact(0.0),
            z_mm: Known::exact(step * f64::from(n + 1)),
        };
        (0..count).map(hole).collect()
    };
    let zero = Known::exact(0.0);
    let fixed = |change: f64| [change, change];
    let mut shelf = vec![
        Part::Bracket { moves: Pivot::PanhardAxle, holes: holes(10.0, 9, 0.0), hole: 0 },
        Part::Bracket { moves: Pivot::PanhardChassis, holes: holes(-8.0, 9, 0.0), hole: 0 },
        Part::Bracket { moves: Pivot::Arm, holes: holes(-8.0, 9, 12.0), hole: 0 },
        Part::Length { of: Member::Panhard, change_mm: zero.clone(), range_mm: [-25.0, 40.0] },
        Part::Length { of: Member::DragLink, change_mm: zero.clone(), range_mm: [-30.0, 30.0] },
    ];
    for n in 0..6 {
        let change_mm = Known::exact(4.0 * f64::from(n) - 8.0);
        let range_mm = fixed(change_mm.value);
        shelf.push(Part::Length { of: Member::Panhard, change_mm: change_mm.clone(), range_mm });
        shelf.push(Part::Length { of: Member::DragLink, change_mm, range_mm });
    }
    let choices_deg: Vec<f64> = (0..9).map(|n| 1.0 + 0.5 * f64::from(n)).collect();
    if kind == LayoutKind::RadiusArms {
        shelf.push(Part::Turn {
            by: Turning::CasterBush,
            angle_deg: Known::exact(2.0),
            choices_deg,
        });
    } else {
        shelf.push(Part::Length {
            of: Member::UpperLink,
            change_mm: zero,
            range_mm: [-15.0, 15.0],
        });
        shelf.extend((0..5).map(|n| {
            let change_mm = Known::exact(3.0 * f64::from(n) - 6.0);
            Part::Length { of: Member::UpperLink, range_mm: fixed(change_mm.value), change_mm }
        }));
    }
    axle.shelf = shelf.into_iter().collect();
    let truck = Truck::with_axle(axle, End::Front);
    let stock = answer(&truck, End::Front, State::Stock).expect("a typical axle stands");
    let targets = Target::usual(End::Front, &stock, &[]);
    Search::begin(&truck, End::Front, &stock, &targets).expect("it reads")
}

/// A step of the page's.
const STEP: usize = 32;

/// A whole answer as the page works it out, `stepped` being told of every step.
fn in_steps(truck: &Truck, end: End, options: &Options, mut stepped: impl FnMut()) -> f64 {
    let at = (end, State::Planned);
    let mut answered = || {
        let mut study = Study::start(truck, at.0, at.1, options).ok()?;
        stepped();
        while !study.step(STEP) {
            stepped();
        }
        stepped();
        let fit = study.fit();
        let stop = fit.stops.map(|stops| stops.steer_rad);
        let mut beside = clearance::beside_slowly(truck, at, options, stop);
        let beside = finish(|| beside.step(STEP), &mut stepped).ok()?;
        let mut line = clearance::trim_line_slowly(truck, at.0, at.1, options);
        let line = finish(|| line.step(STEP), &mut stepped).ok()?;
        let contacts = fit.contacts.iter().chain(&beside.scuff).map(|it| it.clearance_mm);
        Some(contacts.sum::<f64>() + line.map_or(0.0, |line| line.deepest_mm()))
    };
    answered().unwrap_or(f64::NAN)
}

/// Steps until there is an answer.
fn finish<T>(mut step: impl FnMut() -> Option<T>, stepped: &mut impl FnMut()) -> T {
    loop {
        let found = step();
        stepped();
        if let Some(found) = found {
            return found;
        }
    }
}

/// All that a card answers, added up.
fn answered(card: &checks::Card, entries: &[checks::Entry]) -> f64 {
    let of = |line: &checks::Line| line.value.unwrap_or(0.0) + line.sigma;
    card.answer(entries).map_or(f64::NAN, |answered| answered.lines.iter().map(of).sum())
}

/// The truck with six obstacles about each front wheel: rail, arch, arm and three things more.
fn crowded(truck: &Truck) -> Truck {
    let mut truck = truck.clone();
    if let Some(axle) = &mut truck.front {
        let kinds = [ThingKind::BodyMount, ThingKind::PinchWeld, ThingKind::InnerPanel];
        axle.surroundings.things = kinds.map(|kind| Thing::new(kind, End::Front)).into();
    }
    truck
}

/// Fifteen readings of the front axle, each off by half its deviation.
#[expect(clippy::expect_used, reason = "fixed inputs")]
fn measured(truck: &Truck) -> Log {
    let assumed = calibrate(truck, End::Front, &Log::default()).expect("the example stands");
    let kinds = Kind::walk();
    let read = assumed.reads(assumed.joint.values(), &kinds).expect("as assumed it stands");
    let there = kinds.iter().zip(read).filter_map(|(kind, read)| Some((*kind, read?)));
    let off = |(i, (kind, value)): (usize, (Kind, f64))| {
        let half = kind.instrument().typical_sigma() * if i % 2 == 0 { 0.5 } else { -0.5 };
        Taken::once(kind, value + half)
    };
    let readings = there.take(15).enumerate().map(off).collect();
    Log { sets: vec![Set::of(State::Sitting, readings)], ..Log::default() }
}

fn begun(truck: &Truck, options: &Options) -> Option<Study> {
    Study::begin(truck, End::Front, State::Planned, options).ok()
}

fn least_of_maps(fit: &Fit) -> f64 {
    fit.maps.iter().filter_map(|map| map.least()).map(|(_, _, cell)| cell.clearance_mm).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_workload_comes_to_something() {
        for work in Work::all() {
            assert!(work.run().is_finite(), "{}", work.name());
        }
    }
}
