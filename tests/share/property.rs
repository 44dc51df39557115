//! What holds of every build: it comes back from file and link to the bit.

use buildfile::{Build, Claim, Problem, Target, Units, json, link};
use fitment::finding::Goal;
use fitment::measure::{Instrument, Known, Origin};
use fitment::truck::{
    Axle, Bar, Corner, Driveline, End, Hole, Hose, Layout, LayoutKind, LeafSpring, Member, Mount,
    Offer, Part, Pivot, Point, RadiusArm, Setup, ShaftKind, Shape, Side, Steering, Step, Thing,
    ThingKind, ThingSide, Tire, Truck, Turning, View, Watts, Wheel,
};
use proptest::prelude::*;
use serde_json::Value;
use tapewright_tests::samples::{fore_and_aft, inverted_y, turned, without_typed};

fn origin() -> impl Strategy<Value = Origin> {
    prop_oneof![
        Just(Origin::Assumed),
        Just(Origin::Published),
        Just(Origin::Measured(Instrument::Tape)),
        Just(Origin::Measured(Instrument::AngleGauge)),
        Just(Origin::Measured(Instrument::PhoneLevel)),
        Just(Origin::Measured(Instrument::PlumbLine)),
        Just(Origin::Measured(Instrument::Caliper)),
    ]
}

/// A small change as people make them: halves, sixteenths of an inch, or anything.
fn nudge() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        (-10_i32..10).prop_map(|steps| f64::from(steps) * 0.5),
        (-10_i32..10).prop_map(|steps| f64::from(steps) / 16.0 * 25.4),
        -1.0..1.0,
    ]
}

/// What to do to each number of a build in turn.
type Change = Option<(f64, Option<f64>, Origin, Option<String>)>;

fn change() -> impl Strategy<Value = Change> {
    let sigma = prop_oneof![Just(None), Just(Some(0.0)), (0.0..50.0).prop_map(Some)];
    let typed = prop_oneof![3 => Just(None), 1 => "[ -~½°é]{0,12}".prop_map(Some)];
    proptest::option::weighted(0.4, (nudge(), sigma, origin(), typed))
}

fn known(most: f64) -> impl Strategy<Value = Known> {
    (-most..most, 0.0..5.0, origin()).prop_map(|(value, sigma, origin)| Known {
        value,
        sigma,
        origin,
        entered: None,
    })
}

fn holes() -> impl Strategy<Value = (Vec<Hole>, usize)> {
    let hole = ("[ -~]{0,8}", known(100.0), known(100.0), known(100.0))
        .prop_map(|(name, x_mm, y_mm, z_mm)| Hole { name, x_mm, y_mm, z_mm });
    (proptest::collection::vec(hole, 1..5), any::<proptest::sample::Index>())
        .prop_map(|(holes, index)| (holes.clone(), index.index(holes.len())))
}

fn part() -> impl Strategy<Value = Part> {
    let pivot = proptest::sample::select(vec![
        Pivot::PanhardAxle,
        Pivot::PanhardChassis,
        Pivot::Arm,
        Pivot::LowerAxle,
        Pivot::UpperChassis,
        Pivot::UpperAxle,
        Pivot::DragLink,
    ]);
    let member = proptest::sample::select(vec![
        Member::Panhard,
        Member::DragLink,
        Member::UpperLink,
        Member::Arm,
        Member::BumpStop,
        Member::Driveshaft,
        Member::BrakeHose,
    ]);
    let turning = vec![Turning::CasterBush, Turning::Wedge, Turning::KnuckleFlange];
    let step = vec![Step::Spacer, Step::Spring, Step::Pitman, Step::TransferCase];
    let choices = || proptest::collection::vec(0.0..15.0, 0..4);
    let positive = |most: f64| {
        known(most).prop_map(|mut known| {
            known.value = known.value.abs();
            known
        })
    };
    prop_oneof![
        (pivot, holes()).prop_map(|(moves, (holes, hole))| Part::Bracket { moves, holes, hole }),
        (member, known(40.0)).prop_map(|(of, change_mm)| Part::Length {
            of,
            change_mm,
            range_mm: [-40.0, 40.5]
        }),
        (proptest::sample::select(turning), known(15.0), choices())
            .prop_map(|(by, angle_deg, choices_deg)| Part::Turn { by, angle_deg, choices_deg }),
        (proptest::sample::select(step), positive(60.0), choices())
            .prop_map(|(of, step_mm, choices_mm)| Part::Step { of, step_mm, choices_mm }),
        (known(40.0), known(40.0), known(40.0)).prop_map(|(x_mm, y_mm, z_mm)| Part::Bend {
            x_mm,
            y_mm,
            z_mm
        }),
        positive(40.0).prop_map(|depth_mm| Part::ArchTrim { depth_mm }),
        Just(Part::DoubleCardan {}),
        wheel().prop_map(|wheel| Part::Wheel { wheel }),
        (
            proptest::sample::select(vec!["315/75R16", "33x12.50R15"]),
            proptest::option::of(known(3.0))
        )
            .prop_map(|(size, crown)| Part::Tire {
                tire: Tire {
                    crown_mm: crown.map(|known| Known { value: known.value.abs(), ..known }),
                    ..Tire::sized(size)
                }
            }),
        known(20.0).prop_map(|mut lock_deg| {
            lock_deg.value += 20.0;
            Part::SteeringStop { lock_deg, range_deg: [0.0, 40.0] }
        }),
    ]
}

fn wheel() -> impl Strategy<Value = Wheel> {
    known(60.0).prop_map(|offset| Wheel::new(Known::exact(203.2), offset))
}

/// A part on the shelf, with or without name, price and hours.
fn offer() -> impl Strategy<Value = Offer> {
    let priced = || proptest::option::of(known(500.0));
    (part(), "[ -~½é]{0,9}", priced(), priced()).prop_map(|(part, name, price, hours)| Offer {
        part,
        name,
        price: price.map(|known| Known { value: known.value.abs(), ..known }),
        hours: hours.map(|known| Known { value: known.value.abs(), ..known }),
    })
}

/// What no pose needs: driveline, hose and readings that somebody took or did not.
fn rest(axle: &mut Axle, end: End, known: Option<Known>) {
    let taken = known.map(|known| Known { value: known.value.abs() + 50.0, ..known });
    axle.driveline = taken.clone().map(|slip| Driveline {
        slip_in_mm: Some(slip),
        shaft: ShaftKind::DoubleCardan,
        ..Driveline::typical(end)
    });
    axle.hose = taken.clone().map(|length| Hose {
        length_mm: Known { value: length.value + 400.0, ..length },
        on: Mount::Axle,
        ..Hose::typical()
    });
    axle.springing.spring_rate_n_per_mm.clone_from(&taken);
    axle.overhang.beyond_mm = taken;
}

fn shape() -> impl Strategy<Value = Shape> {
    let point = || {
        (known(900.0), known(900.0), known(700.0)).prop_map(|(x_mm, y_mm, z_mm)| Point {
            x_mm,
            y_mm,
            z_mm,
        })
    };
    let two = || (known(500.0), known(500.0));
    let corner = (known(900.0), known(900.0)).prop_map(|(a_mm, b_mm)| Corner { a_mm, b_mm });
    let view = proptest::sample::select(vec![View::Side, View::Front, View::Plan]);
    prop_oneof![
        (two(), two(), two()).prop_map(
            |((front_mm, rear_mm), (inner_mm, outer_mm), (bottom_mm, top_mm))| Shape::Box {
                front_mm,
                rear_mm,
                inner_mm,
                outer_mm,
                bottom_mm,
                top_mm,
            }
        ),
        (point(), point(), known(50.0)).prop_map(|(from, to, radius_mm)| Shape::Bar {
            from,
            to,
            radius_mm
        }),
        (view, proptest::collection::vec(corner, 3..7), two()).prop_map(
            |(view, corners, (from_mm, to_mm))| Shape::Outline { view, corners, from_mm, to_mm }
        ),
        (known(300.0), known(200.0), known(200.0)).prop_map(
            |(reach_mm, inboard_mm, outboard_mm)| Shape::InsideWheel {
                reach_mm,
                inboard_mm,
                outboard_mm,
            }
        ),
    ]
}

/// A thing of any kind: as typical, or of any shape, on any side and anything.
fn thing() -> impl Strategy<Value = Thing> {
    let kind = proptest::sample::select(ThingKind::ALL.to_vec());
    let side = vec![ThingSide::Both, ThingSide::Left, ThingSide::Right];
    let on = vec![Mount::Chassis, Mount::Axle, Mount::Knuckle, Mount::Between];
    let own = (proptest::sample::select(side), proptest::sample::select(on), shape());
    (kind, any::<bool>(), "[ -~½é]{0,9}", proptest::option::of(own)).prop_map(
        |(kind, front, name, own)| {
            let end = if front { End::Front } else { End::Rear };
            let typical = Thing { name, ..Thing::new(kind, end) };
            match own {
                Some((side, on, shape)) => Thing { side, on, shape, ..typical },
                None => typical,
            }
        },
    )
}

/// What a straightedge reads on a tire, what the wheel is like inside, chains or mud.
fn measured(
    setup: &mut Setup,
    [tread, crown, shoulder, drop, packing, inside, spoke]: [Option<Known>; 7],
) {
    let about = |known: Option<Known>, middle: f64| {
        known.map(|known| Known { value: known.value + middle, ..known })
    };
    setup.tire.tread_mm = about(tread, 230.0);
    setup.tire.crown_mm = about(crown, 10.0);
    setup.tire.shoulder_mm = about(shoulder, 290.0);
    setup.tire.shoulder_drop_mm = about(drop, 40.0);
    setup.packing_mm = about(packing, 25.0);
    setup.wheel.inside_mm = about(inside, 360.0);
    setup.wheel.spoke_mm = spoke;
}

fn layout() -> impl Strategy<Value = LayoutKind> {
    proptest::sample::select(LayoutKind::ALL.to_vec())
}

fn target() -> impl Strategy<Value = Target> {
    let goal = proptest::sample::select(Goal::all().collect::<Vec<_>>());
    let ends = (proptest::option::of(-50.0..0.0), proptest::option::of(0.0..50.0));
    let counts = (proptest::option::of(0.0..9.0), any::<bool>());
    (any::<bool>(), goal, ends, counts).prop_map(|(front, goal, (low, high), (weight, must))| {
        Target {
            end: if front { End::Front } else { End::Rear },
            of: goal.key().into(),
            low,
            high,
            weight,
            claim: if must { Claim::Must } else { Claim::Wish },
        }
    })
}

/// Ways an axle may differ from the typical one in what it has.
#[derive(Debug, Clone)]
struct Kit {
    lopsided: bool,
    /// 0 as typical, 1 none, 2 a Watts linkage on the axle, 3 on the chassis, 4 a Panhard bar.
    lateral: u8,
    /// 0 as typical, 1 none, and from 2 each kind of steering for each drive.
    steering: u8,
    springs: bool,
    shocks: bool,
}

fn kit() -> impl Strategy<Value = Kit> {
    (any::<bool>(), 0_u8..5, 0_u8..8, any::<bool>(), any::<bool>()).prop_map(
        |(lopsided, lateral, steering, springs, shocks)| Kit {
            lopsided,
            lateral,
            steering,
            springs,
            shocks,
        },
    )
}

fn fit_out(axle: &mut Axle, end: End, kit: &Kit) {
    if kit.lopsided {
        give_right_members(&mut axle.layout);
    }
    match kit.lateral {
        1 => axle.panhard = None,
        2 | 3 => {
            let watts = Watts::typical(end);
            axle.panhard = None;
            axle.watts = Some(if kit.lateral == 3 { turned(&watts) } else { watts });
        }
        4 => axle.panhard = Axle::typical(LayoutKind::ThreeLink, end).panhard,
        _ => {}
    }
    if axle.kingpin.is_some() && kit.steering > 0 {
        let driver = if kit.steering.is_multiple_of(2) { Side::Left } else { Side::Right };
        axle.steering = match kit.steering / 2 {
            0 => None,
            1 => Some(Steering::typical(driver)),
            2 => Some(inverted_y(driver)),
            _ => Some(fore_and_aft(driver)),
        };
        if let Some(steering) = &mut axle.steering
            && kit.lopsided
        {
            steering.tie_rod.right = Some(flipped(&steering.tie_rod.left));
        }
    }
    if !kit.springs {
        axle.spring = None;
    }
    if !kit.shocks {
        axle.shock = None;
    }
}

fn flipped(point: &Point) -> Point {
    let mut flipped = point.clone();
    flipped.y_mm.value = -point.y_mm.value;
    flipped
}

fn give_right_members(layout: &mut Layout) {
    let bar = |bar: &Bar| Bar { axle: flipped(&bar.axle), chassis: flipped(&bar.chassis) };
    match layout {
        Layout::RadiusArms { left, right, .. } => {
            *right = Some(RadiusArm {
                axle_far: flipped(&left.axle_far),
                axle_near: flipped(&left.axle_near),
                chassis: flipped(&left.chassis),
            });
        }
        Layout::ThreeLink { lower_left, lower_right, .. } => *lower_right = Some(bar(lower_left)),
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            *lower_right = Some(bar(lower_left));
            *upper_right = Some(bar(upper_left));
        }
        Layout::LeafSprings { left, right, .. } => {
            *right = Some(LeafSpring {
                seat: flipped(&left.seat),
                fixed_eye: flipped(&left.fixed_eye),
                shackle_eye: flipped(&left.shackle_eye),
                shackle_chassis: flipped(&left.shackle_chassis),
            });
        }
    }
}

/// A build that `validate` may or may not like.
fn any_build() -> impl Strategy<Value = Build> {
    let text = ("[ -~½é№🚙]{0,20}", "[ -~\\n½é]{0,60}", any::<bool>());
    let truck = (any::<bool>(), layout(), proptest::option::of(layout()), kit(), kit());
    let parts = || proptest::collection::vec(part(), 0..4);
    let shelf = (proptest::collection::vec(offer(), 0..4), proptest::option::of(known(40.0)));
    let beside = (
        proptest::collection::vec(thing(), 0..6),
        proptest::array::uniform7(proptest::option::of(known(9.0))),
    );
    let changes = proptest::collection::vec(change(), 40..200);
    let targets = proptest::collection::vec(target(), 0..3);
    (text, truck, parts(), shelf, beside, changes, targets).prop_map(
        |(
            (name, note, inch),
            (example, front, rear, ahead, behind),
            parts,
            shelf,
            (things, measures),
            changes,
            targets,
        )| {
            let changes: Vec<Change> = changes;
            let mut truck = if example { Truck::example() } else { Truck::typical(front, rear) };
            if let Some(axle) = &mut truck.rear {
                fit_out(axle, End::Rear, &behind);
            }
            if let Some(axle) = &mut truck.front {
                fit_out(axle, End::Front, &ahead);
                axle.planned.parts = parts;
                axle.surroundings.things = things;
                measured(&mut axle.planned, measures);
                axle.shelf.parts = shelf.0;
                rest(axle, End::Front, shelf.1.clone());
            }
            truck.gears.top_gear = shelf.1.map(|known| Known { value: 1.0, ..known });
            if inch {
                truck.balance.front_drive_percent = Known::exact(50.0);
            }
            let units = if inch { Units::Inch } else { Units::Metric };
            let log = fitment::calibrate::Log::default();
            let build = Build { name, note, units, truck, targets, log };
            changed(&build, &changes)
        },
    )
}

/// One of these whose every value makes sense: parts that do not fit it are left off.
fn fit_build() -> impl Strategy<Value = Build> {
    any_build().prop_filter_map("makes no sense", |mut build| {
        let problems = build.truck.check();
        if let Some(axle) = &mut build.truck.front {
            for index in misfits(&problems, "front.planned.parts[") {
                axle.planned.parts.remove(index);
            }
            for index in misfits(&problems, "front.surroundings.things[") {
                axle.surroundings.things.remove(index);
            }
        }
        build.validate().is_empty().then_some(build)
    })
}

/// Indices of the items of a list with something wrong in them, last first.
fn misfits(problems: &[Problem], list: &str) -> Vec<usize> {
    let of = |problem: &Problem| {
        let (index, _) = problem.path.strip_prefix(list)?.split_once(']')?;
        index.parse().ok()
    };
    let mut indices: Vec<usize> = problems.iter().rev().filter_map(of).collect();
    indices.dedup();
    indices
}

/// The build with the changes applied to its numbers in turn, stock lift excepted.
fn changed(build: &Build, changes: &[Change]) -> Build {
    let mut value: Value = serde_json::from_str(&json::to_json(build).unwrap()).unwrap();
    let mut next = changes.iter().cycle();
    apply(&mut value["truck"], "", &mut next);
    json::read_json(value.to_string()).unwrap()
}

fn apply<'a>(value: &mut Value, key: &str, next: &mut impl Iterator<Item = &'a Change>) {
    match value {
        Value::Object(fields) if fields.contains_key("origin") => {
            let number = fields["value"].as_f64().unwrap();
            if let Some(change) = next.next().unwrap() {
                *value = replaced(number, change);
            }
        }
        Value::Object(fields) => {
            for (key, field) in fields.iter_mut().filter(|(key, _)| *key != "lift_mm") {
                apply(field, key, next);
            }
        }
        Value::Array(items)
            if !key.ends_with("range_mm")
                && !key.ends_with("range_deg")
                && !key.ends_with("choices_deg") =>
        {
            for item in items {
                apply(item, "", next);
            }
        }
        _ => {}
    }
}

fn replaced(
    number: f64,
    (nudge, sigma, origin, typed): &(f64, Option<f64>, Origin, Option<String>),
) -> Value {
    let known = Known {
        value: number + nudge,
        sigma: sigma.unwrap_or(2.0),
        origin: origin.clone(),
        entered: typed.clone(),
    };
    let origin = match &known.origin {
        Origin::Assumed => "assumed".into(),
        Origin::Published => "published".into(),
        Origin::Measured(with) => serde_json::json!({ "measured": match with {
            Instrument::Tape => "tape",
            Instrument::AngleGauge => "angle_gauge",
            Instrument::PhoneLevel => "phone_level",
            Instrument::PlumbLine => "plumb_line",
            Instrument::Caliper => "caliper",
        }}),
    };
    let mut value =
        serde_json::json!({ "value": known.value, "sigma": known.sigma, "origin": origin });
    if let Some(typed) = known.entered {
        value["entered"] = typed.into();
    }
    value
}

proptest! {
    #![proptest_config(ProptestConfig { max_global_rejects: 20_000, ..ProptestConfig::default() })]

    #[test]
    fn a_file_comes_back_whatever_its_values(build in any_build()) {
        let text = json::to_json(&build).unwrap();
        let back = json::read_json(&text).unwrap();
        prop_assert_eq!(&back, &build);
        // As text, so that −0 and 0 are told apart too.
        prop_assert_eq!(json::to_json(&back).unwrap(), text);
    }

    #[test]
    fn a_link_comes_back_to_the_bit(build in fit_build()) {
        let code = link::encode(&build).unwrap();
        let back = link::decode(&code).unwrap();
        let bare = without_typed(&build).unwrap();
        prop_assert_eq!(&back, &bare);
        prop_assert_eq!(json::to_json(&back).unwrap(), json::to_json(&bare).unwrap());
    }

    #[test]
    fn no_wrong_character_opens_as_another_build(
        build in fit_build(),
        at in any::<proptest::sample::Index>(),
        other in "[A-Za-z0-9_.#% -]",
    ) {
        let code = link::encode(&build).unwrap();
        let at = at.index(code.len());
        prop_assume!(!code[at..].starts_with(&other));
        let text = format!("{}{other}{}", &code[..at], &code[at + 1..]);
        prop_assert!(link::decode(&text).is_err(), "{} at {}", other, at);
    }
}
