//! Builds that tests share: ones with everything filled in, and the documented form of a link.

use buildfile::{Build, Claim, Target, Units, json};
use data_encoding::BASE64URL_NOPAD;
use fitment::calibrate::Log;
use fitment::measure::{Instrument, Known, Origin};
use fitment::truck::{
    Axle, Bar, Belly, Carrier, Corner, Driveline, End, Gears, Hole, Hose, Joins, Layout,
    LayoutKind, LeafSpring, Member, Mount, Offer, Overhang, Part, Pivot, Point, RadiusArm,
    Readings, Shaft, ShaftKind, Shape, Side, Springing, State, Steering, Step, Thing, ThingKind,
    ThingSide, Tire, Truck, Turning, View, Watts, Weights, Wheel,
};
use serde_json::{Value, json};

/// The version of the links these tests wrap and unwrap, the one that is written.
const NEWEST: u8 = 4;

/// Radius arms and three links with every field there is filled in: right sides of their own, a
/// steering linkage, a Watts linkage, every kind of part and of thing beside the wheel, every origin
/// and instrument, typed text, numbers awkward to write.
pub fn everything() -> Build {
    let mut truck = Truck::typical(LayoutKind::RadiusArms, Some(LayoutKind::ThreeLink));
    truck.wheelbase_mm = Known {
        value: 102.375 * 25.4,
        sigma: 1.0 / 3.0,
        origin: Origin::Measured(Instrument::PlumbLine),
        entered: Some("102 3/8\"".into()),
    };
    truck.balance.cg_height_mm = Known { entered: Some("2' 4 1/2\"".into()), ..tape(723.9) };
    truck.balance.front_brake_percent = Known::published(66.6, 0.1);
    truck.balance.front_drive_percent = Known::exact(50.0);
    weighed(&mut truck);
    if let Some(front) = &mut truck.front {
        fill(front, End::Front);
        if let Layout::RadiusArms { left, right, .. } = &mut front.layout {
            *right = Some(RadiusArm {
                axle_far: opposite(&left.axle_far),
                axle_near: opposite(&left.axle_near),
                chassis: opposite(&left.chassis),
            });
        }
        if let Some(bar) = &mut front.panhard {
            bar.axle.z_mm = Known::published(88.900_000_000_000_02, 1e-7);
        }
        if let Some(steering) = &mut front.steering {
            steering.tie_rod.right = Some(opposite(&steering.tie_rod.left));
            steering.ratio = Known { entered: Some("17.5".into()), ..Known::published(17.5, 0.0) };
        }
        front.planned.parts = vec![
            Part::Bracket {
                moves: Pivot::PanhardAxle,
                holes: holes("stud", [30.0, 55.0, 80.0]),
                hole: 2,
            },
            Part::Bracket {
                moves: Pivot::PanhardChassis,
                holes: holes("low", [-30.0, -60.0, -90.0]),
                hole: 0,
            },
            Part::length(Member::Panhard, -3.5, [-25.0, 40.0]),
            Part::Bracket {
                moves: Pivot::Arm,
                holes: holes("Loch №", [-40.0, -60.0, -80.5]),
                hole: 1,
            },
            Part::turn(Turning::CasterBush, 3.0, vec![2.0, 3.0, 4.5]),
            Part::Length { of: Member::DragLink, change_mm: tape(-4.5), range_mm: [-30.0, 30.0] },
            Part::ArchTrim { depth_mm: tape(22.0) },
            Part::length(Member::BumpStop, 25.4, [0.0, 50.8]),
            Part::SteeringStop { lock_deg: Known::exact(27.5), range_deg: [24.0, 30.5] },
            Part::turn(Turning::KnuckleFlange, 1.5, vec![]),
            Part::step(Step::Spring, 12.7, vec![-25.4, 12.7]),
            Part::step(Step::Pitman, 50.0, vec![50.0, 75.0]),
            Part::Bend { x_mm: Known::exact(0.0), y_mm: tape(-22.0), z_mm: Known::exact(0.0) },
            Part::DoubleCardan {},
            Part::length(Member::Driveshaft, 12.0, [0.0, 40.0]),
            Part::length(Member::BrakeHose, 0.0, [0.0, 40.0]),
            Part::Wheel { wheel: Wheel::new(Known::exact(203.2), Known::exact(-19.0)) },
            Part::Tire {
                tire: Tire { diameter_mm: Some(tape(840.0)), ..Tire::sized("33x12.50R15") },
            },
        ];
        front.readings.panhard_length_mm = Some(tape(901.0));
        front.readings.panhard_rise_mm = Some(tape(138.5));
    }
    if let Some(rear) = &mut truck.rear {
        fill(rear, End::Rear);
        if let Layout::ThreeLink { lower_left, lower_right, .. } = &mut rear.layout {
            *lower_right = Some(opposite_bar(lower_left));
        }
        rear.panhard = None;
        rear.watts = Some(turned(&Watts::typical(End::Rear)));
        rear.planned.parts = vec![Part::Length {
            of: Member::UpperLink,
            change_mm: tape(6.35),
            range_mm: [6.35, 6.35],
        }];
    }
    Build {
        name: "Möhrenwagen #2 – “everything”".into(),
        note: "Spring pads\nwelded in May; check again at 500 mi. ½ in shim left.".into(),
        units: Units::Inch,
        truck,
        targets: vec![
            Target {
                claim: Claim::Must,
                weight: Some(2.5),
                ..Target::new(End::Front, "caster_deg".into(), Some(2.5), None)
            },
            Target::new(End::Rear, "panhard_deg".into(), Some(-0.0), Some(7.125)),
            Target::new(End::Front, "tire_clearance_mm".into(), Some(12.0), None),
        ],
        log: Log::default(),
    }
}

/// Everything a weighbridge, a gear count and a tape along the floor tell.
fn weighed(truck: &mut Truck) {
    let one = |value| Some(tape(value));
    truck.weights = Weights {
        front_axle_kg: one(1021.5),
        rear_axle_kg: one(874.0),
        front_raised_kg: one(1066.0),
        rise_mm: one(601.0),
    };
    truck.belly = Belly { behind_front_wheel_mm: one(1290.0), above_ground_mm: one(377.0) };
    truck.gears = Gears {
        axle_ratio: one(4.1),
        stock_axle_ratio: one(3.545),
        top_gear: one(0.83),
        first_gear: one(5.08),
        low_range: one(2.28),
    };
}

/// Leaf springs at both ends, spring-under ahead and spring-over behind, no two sides alike; right-
/// hand drive by an inverted Y.
pub fn leaves() -> Build {
    let mut truck = Truck::typical(LayoutKind::Leaf, Some(LayoutKind::Leaf));
    for end in [End::Front, End::Rear] {
        let Some(axle) = truck.axle_mut(end) else { continue };
        if let Layout::LeafSprings { left, right, rates, .. } = &mut axle.layout {
            if end == End::Front {
                let LeafSpring { seat, fixed_eye, shackle_eye, shackle_chassis } = left;
                for point in [seat, fixed_eye, shackle_eye, shackle_chassis] {
                    point.z_mm = tape(point.z_mm.value - 139.7);
                }
            }
            *right = Some(LeafSpring {
                seat: opposite(&left.seat),
                fixed_eye: opposite(&left.fixed_eye),
                shackle_eye: opposite(&left.shackle_eye),
                shackle_chassis: opposite(&left.shackle_chassis),
            });
            rates.vertical_n_per_mm = Known::published(27.5, 1.5);
            rates.clamped_mm = Known { entered: Some("4 1/2".into()), ..tape(4.5 * 25.4) };
        }
        axle.sitting.lift_mm = tape(50.8);
        axle.planned = axle.sitting.clone();
    }
    if let Some(front) = &mut truck.front {
        front.steering = Some(inverted_y(Side::Right));
        front.planned.parts = vec![Part::length(Member::DragLink, 8.0, [0.0, 25.4])];
    }
    Build { name: "Leaves".into(), truck, ..Build::blank(LayoutKind::Leaf) }
}

/// Four triangulated links behind, and ahead four with a bar, pushed by a fore-and-aft drag link.
pub fn four_links() -> Build {
    let mut truck = Truck::typical(LayoutKind::FourLink, Some(LayoutKind::Triangulated));
    if let Some(front) = &mut truck.front {
        front.steering = Some(fore_and_aft(Side::Left));
    }
    for end in [End::Front, End::Rear] {
        let Some(axle) = truck.axle_mut(end) else { continue };
        if let Layout::FourLink { lower_left, lower_right, upper_left, upper_right } =
            &mut axle.layout
        {
            *lower_right = Some(opposite_bar(lower_left));
            *upper_right = Some(opposite_bar(upper_left));
        }
    }
    Build { name: "Four links".into(), truck, ..Build::blank(LayoutKind::FourLink) }
}

/// A build as people leave it after an afternoon with a tape: the example, every number read.
pub fn afternoon() -> Build {
    let mut build = Build::example();
    for end in [End::Front, End::Rear] {
        let Some(axle) = build.truck.axle_mut(end) else { continue };
        axle.sitting.tire.diameter_mm = Some(tape(868.0));
        axle.sitting.tire.loaded_radius_mm = Some(tape(415.5));
        axle.planned.tire = axle.sitting.tire.clone();
        axle.readings = Readings {
            panhard_length_mm: Some(tape(898.0)),
            panhard_rise_mm: Some(tape(135.0)),
            arm_length_mm: Some(tape(893.5)),
            arm_rise_mm: Some(tape(160.0)),
        };
    }
    every_number_read(&build)
}

/// The fullest truck a person is likely to describe: radius arms at both ends, no two sides alike,
/// steering and all, half a dozen things beside every wheel, every number read, a full shelf in use.
pub fn weekend() -> Build {
    let mut build = afternoon();
    let shelf = build.truck.front.as_ref().map(|front| front.shelf.clone()).unwrap_or_default();
    let mut rear = Axle::typical(LayoutKind::RadiusArms, End::Rear);
    if let Some(old) = build.truck.rear.take() {
        rear.sitting = old.sitting;
        rear.planned = old.planned;
        rear.readings = old.readings;
    }
    rear.planned.parts = shelf.parts.iter().map(|offer| offer.part.clone()).collect();
    let bare = rear.clone();
    rear.planned.parts.retain(|part| part.kind().traits().needs.met(&bare));
    rear.shelf = shelf;
    rear.surroundings.things = [
        ThingKind::InnerPanel,
        ThingKind::PinchWeld,
        ThingKind::SwayBarLink,
        ThingKind::BumpStop,
        ThingKind::Shock,
        ThingKind::BrakeCaliper,
    ]
    .map(|kind| Thing::new(kind, End::Rear))
    .to_vec();
    build.truck.rear = Some(rear);
    for end in [End::Front, End::Rear] {
        let Some(axle) = build.truck.axle_mut(end) else { continue };
        if let Layout::RadiusArms { left, right, .. } = &mut axle.layout {
            *right = Some(RadiusArm {
                axle_far: opposite(&left.axle_far),
                axle_near: opposite(&left.axle_near),
                chassis: opposite(&left.chassis),
            });
        }
        if let Some(steering) = &mut axle.steering {
            steering.tie_rod.right = Some(opposite(&steering.tie_rod.left));
        }
        axle.sitting.lift_right_mm = Some(tape(axle.sitting.lift_mm.value - 4.0));
        axle.planned.lift_right_mm = axle.sitting.lift_right_mm.clone();
        axle.driveline = Some(Driveline {
            slip_in_mm: Some(tape(40.0)),
            slip_out_mm: Some(tape(55.0)),
            ..Driveline::typical(end)
        });
        let on = if axle.kingpin.is_some() { Mount::Knuckle } else { Mount::Axle };
        axle.hose = Some(Hose { on, ..Hose::typical() });
        let wheel = Wheel::new(Known::exact(203.2), Known::exact(-12.0));
        axle.shelf.parts.push(Offer::of(Part::Wheel { wheel }));
    }
    every_number_read(&build)
}

/// The build with each number that may be off read with a tape, and a little off. What is there by
/// choice (a part, a spacer, the stock ride height, how far the wheels turn) stays.
///
/// # Panics
/// When the build holds a number that JSON cannot.
pub fn every_number_read(build: &Build) -> Build {
    let text = json::to_json(build).expect("a sample has plain numbers");
    let mut value: Value = serde_json::from_str(&text).expect("what was written is JSON");
    let mut step = 0.0;
    read_each(&mut value, &mut step);
    json::read_json(value.to_string()).expect("the form is the same")
}

fn read_each(value: &mut Value, step: &mut f64) {
    match value {
        Value::Object(fields) if fields.contains_key("origin") => {
            let old = fields.get("value").and_then(Value::as_f64).unwrap_or(0.0);
            *step += 1.0;
            let off = *step * 7.0 % 23.0 - 11.0;
            // What is read in mm is read to the half; shares, rates and angles to the tenth.
            let read = if old.abs() < 40.0 { old * 10.0 + off } else { (old * 2.0 + off) * 5.0 };
            let read = read.round() / 10.0;
            *value = json!({ "value": read, "sigma": 2.0, "origin": { "measured": "tape" } });
        }
        Value::Object(fields) => {
            for (key, field) in fields {
                // What is so by choice or by definition is not read.
                if !matches!(key.as_str(), "parts" | "lock_deg") {
                    read_each(field, step);
                }
            }
        }
        _ => {}
    }
}

/// The same build without the text that was typed, which links leave behind.
pub fn without_typed(build: &Build) -> Option<Build> {
    let text = json::to_json(build).ok()?;
    let mut value: Value = serde_json::from_str(&text).ok()?;
    forget_typed(&mut value);
    json::read_json(value.to_string()).ok()
}

/// Cross-steer whose drag link pushes the tie rod.
pub fn inverted_y(driver: Side) -> Steering {
    let mut steering = Steering::typical(driver);
    steering.drag_link.joins = Joins::TieRod;
    set(&mut steering.drag_link.end, [-130.0, -400.0 * driver.sign(), 5.0]);
    steering
}

/// A box ahead of the driver's wheel whose arm swings fore and aft.
pub fn fore_and_aft(driver: Side) -> Steering {
    let mut steering = Steering::typical(driver);
    let y = 520.0 * driver.sign();
    set(&mut steering.pitman.pivot, [720.0, y, 260.0]);
    set(&mut steering.pitman.end, [705.0, y, 95.0]);
    steering.pitman.shaft = Shaft::Across;
    set(&mut steering.drag_link.end, [130.0, 560.0 * driver.sign(), 85.0]);
    steering.drag_link.joins = match driver {
        Side::Left => Joins::LeftKnuckle,
        Side::Right => Joins::RightKnuckle,
    };
    steering
}

/// A Watts linkage with its crank on the other body.
pub fn turned(watts: &Watts) -> Watts {
    let swap = |bar: &Bar| Bar { axle: bar.chassis.clone(), chassis: bar.axle.clone() };
    Watts {
        crank_on: match watts.crank_on {
            Carrier::Axle => Carrier::Chassis,
            Carrier::Chassis => Carrier::Axle,
        },
        pivot: watts.pivot.clone(),
        left: swap(&watts.left),
        right: swap(&watts.right),
    }
}

/// A link of the newest version around any body, written from the description of the form.
pub fn wrap(body: &[u8]) -> String {
    wrap_as(NEWEST, body)
}

/// A link of any version around any body.
pub fn wrap_as(version: u8, body: &[u8]) -> String {
    let length = u16::try_from(body.len()).unwrap_or(u16::MAX).to_be_bytes();
    let mut bytes = vec![version];
    bytes.extend_from_slice(&length);
    bytes.extend_from_slice(body);
    let sum = crc32fast::hash(&bytes);
    bytes.extend_from_slice(&sum.to_be_bytes());
    format!("t{version}.{}", BASE64URL_NOPAD.encode(bytes.get(1..).unwrap_or_default()))
}

/// The body of a link of any version; none when it is not wrapped as described.
pub fn unwrap(code: &str) -> Option<Vec<u8>> {
    let (_, code) = code.split_once('.')?;
    let bytes = BASE64URL_NOPAD.decode(code.as_bytes()).ok()?;
    Some(bytes.get(2..bytes.len().checked_sub(4)?)?.to_vec())
}

fn forget_typed(value: &mut Value) {
    match value {
        Value::Array(items) => items.iter_mut().for_each(forget_typed),
        Value::Object(fields) => {
            fields.remove("entered");
            fields.values_mut().for_each(forget_typed);
        }
        _ => {}
    }
}

const fn tape(value: f64) -> Known {
    Known::measured(value, Instrument::Tape)
}

fn fill(axle: &mut Axle, end: End) {
    axle.surroundings.things = things(end);
    axle.pinion.angle_deg = Known::measured(3.4, Instrument::PhoneLevel);
    axle.pinion.length_mm = Known::measured(281.2, Instrument::Caliper);
    axle.pinion.y_mm = Known { entered: Some("-5 1/16".into()), ..tape(-5.0625 * 25.4) };
    if let Some(kingpin) = &mut axle.kingpin {
        kingpin.caster_deg = Known::measured(3.1, Instrument::AngleGauge);
        kingpin.hub_trail_mm = Known::exact(-0.0);
    }
    for bar in [&mut axle.spring, &mut axle.shock].into_iter().flatten() {
        bar.chassis.z_mm = tape(bar.chassis.z_mm.value + 6.35);
    }
    for (state, lift) in [(State::Sitting, 76.2), (State::Planned, 101.6)] {
        let setup = axle.setup_mut(state);
        setup.lift_mm = tape(lift);
        setup.lift_right_mm = Some(tape(lift - 12.7));
        setup.tire.size = "37x12.50R17LT".into();
        setup.tire.diameter_mm = Some(tape(927.1));
        setup.tire.section_mm = Some(Known::published(320.0, 2.5));
        setup.tire.loaded_radius_mm = Some(tape(441.3));
        setup.tire.tread_mm = Some(tape(264.0));
        setup.tire.crown_mm =
            Some(Known { entered: Some("3/16".into()), ..tape(3.0 / 16.0 * 25.4) });
        setup.tire.shoulder_mm = Some(Known::measured(311.5, Instrument::Caliper));
        setup.tire.shoulder_drop_mm = Some(tape(41.0));
        setup.packing_mm = Some(Known::published(25.0, 5.0));
        setup.wheel = Wheel {
            inside_mm: Some(tape(397.0)),
            spoke_mm: Some(tape(-19.05)),
            ..Wheel::new(Known::exact(228.6), Known::exact(-12.0))
        };
        setup.spacer_mm = Known::exact(25.4);
    }
    let wheels = [
        Wheel::new(Known::exact(203.2), Known::exact(0.0)),
        Wheel { spoke_mm: Some(tape(31.0)), ..Wheel::new(Known::exact(254.0), tape(-38.0)) },
    ];
    axle.shelf = [
        Part::bracket(Pivot::Arm, holes("drop", [-40.0, -60.0, -80.0]), 0),
        Part::step(Step::Spacer, 25.4, vec![25.4, 1.0 / 3.0]),
    ]
    .into_iter()
    .chain(wheels.map(|wheel| Part::Wheel { wheel }))
    .collect();
    for (offer, name) in axle.shelf.parts.iter_mut().zip(["№ 1", "bargain bin"]) {
        offer.name = name.into();
        offer.price = Some(Known { entered: Some("249,90".into()), ..Known::exact(249.9) });
        offer.hours = Some(Known::assumed(6.5, 1.5));
    }
    if end == End::Front {
        lines(axle, end);
    }
    axle.readings = Readings {
        arm_length_mm: Some(tape(893.0)),
        arm_rise_mm: Some(tape(-60.0)),
        ..Readings::default()
    };
}

/// A driveshaft, a brake hose, and what no pose needs.
fn lines(axle: &mut Axle, end: End) {
    axle.driveline = Some(Driveline {
        case_plan_deg: Some(Known::exact(-1.5)),
        shaft: ShaftKind::OutOfPhase,
        slip_in_mm: Some(tape(38.0)),
        slip_out_mm: Some(tape(55.0)),
        joint_limit_deg: Some(Known::published(30.0, 1.0)),
        ..Driveline::typical(end)
    });
    axle.hose = Some(Hose { length_mm: tape(452.0), ..Hose::typical() });
    let one = |value| Some(tape(value));
    axle.springing = Springing {
        spring_rate_n_per_mm: one(31.5),
        spring_solid_mm: one(182.0),
        shock_shortest_mm: one(331.0),
        shock_longest_mm: one(537.0),
        stop_squash_mm: one(24.0),
        sway_bar_nm_per_deg: one(412.0),
        unsprung_kg: one(233.0),
    };
    axle.overhang = Overhang {
        beyond_mm: one(612.0),
        above_ground_mm: one(431.0),
        diff_above_ground_mm: one(238.5),
    };
}

/// One thing of every kind, then one of every shape and side, what carries it changed where it can
/// be.
fn things(end: End) -> Vec<Thing> {
    let mut things = ThingKind::ALL.map(|kind| Thing::new(kind, end)).to_vec();
    for (thing, side) in things.iter_mut().zip([ThingSide::Right, ThingSide::Left]) {
        thing.side = side;
        thing.name = format!("№ {:?}", thing.kind);
        if let Shape::Box { outer_mm, .. } = &mut thing.shape {
            *outer_mm = Known { entered: Some("18 7/8".into()), ..tape(18.875 * 25.4) };
        }
    }
    let corners = |points: &[[f64; 2]]| {
        points.iter().map(|&[a, b]| Corner { a_mm: tape(a), b_mm: Known::exact(b) }).collect()
    };
    let traced = |view, points: &[[f64; 2]]| Thing {
        name: "traced".into(),
        shape: Shape::Outline {
            view,
            corners: corners(points),
            from_mm: tape(402.5),
            to_mm: Known::assumed(511.0, 12.0),
        },
        ..Thing::new(ThingKind::Other, end)
    };
    things.extend([
        traced(View::Side, &[[430.0, 60.0], [512.5, 60.0], [512.5, 171.0], [466.0, 203.2]]),
        traced(View::Front, &[[402.0, 300.0], [460.0, 320.0], [440.0, 410.0]]),
        traced(View::Plan, &[[-430.0, 380.0], [-520.0, 380.0], [-520.0, 1.0 / 3.0 + 555.0]]),
    ]);
    let knuckle = Thing { on: Mount::Knuckle, ..Thing::new(ThingKind::Other, end) };
    let low = Thing { on: Mount::Axle, ..Thing::new(ThingKind::BumpStop, end) };
    things.extend([knuckle, low]);
    things
}

fn holes(name: &str, heights: [f64; 3]) -> Vec<Hole> {
    heights
        .iter()
        .enumerate()
        .map(|(index, z)| Hole {
            name: format!("{name} {}", index + 1),
            x_mm: Known::exact(0.0),
            y_mm: Known::exact(0.5 * index as f64),
            z_mm: tape(*z),
        })
        .collect()
}

fn opposite_bar(bar: &Bar) -> Bar {
    Bar { axle: opposite(&bar.axle), chassis: opposite(&bar.chassis) }
}

/// On the other side, a shade off as hand-made parts are.
fn opposite(point: &Point) -> Point {
    let mut other = point.clone();
    other.y_mm.value = 1.5 - point.y_mm.value;
    other
}

fn set(point: &mut Point, [x, y, z]: [f64; 3]) {
    point.x_mm.value = x;
    point.y_mm.value = y;
    point.z_mm.value = z;
}
