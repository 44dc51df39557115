//! Where a new build starts: an assumed axle for each layout, and the example truck.
//!
//! Every figure here is invented for the example or a typical stand-in; none is a real truck's.

use super::{
    Arch, Axis, Axle, Balance, Bar, Belly, BushRates, Carrier, DragLink, End, Gears, Hole, Joins,
    Kingpin, Layout, LeafRates, LeafSpring, Limits, Member, Overhang, Part, Pinion, Pitman, Pivot,
    Point, RadiusArm, Rail, Readings, Setup, Shaft, Shelf, Side, Springing, Steering, Step,
    Surroundings, Thing, ThingKind, TieRod, Tire, Truck, Turning, Watts, Weights, Wheel,
};
use crate::measure::{Instrument, Known};

/// The layouts a new axle can start from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LayoutKind {
    /// Two radius arms and a Panhard bar.
    RadiusArms,
    /// Two lower links, one upper and a Panhard bar.
    ThreeLink,
    /// Two lower links, two upper and a Panhard bar.
    FourLink,
    /// Two lower links and two upper that hold the axle sideways by themselves.
    Triangulated,
    /// A leaf spring each side.
    Leaf,
}

impl LayoutKind {
    /// All of them, commonest first.
    pub const ALL: [Self; 5] =
        [Self::RadiusArms, Self::ThreeLink, Self::FourLink, Self::Triangulated, Self::Leaf];
}

impl Axle {
    /// Which kind of layout it has.
    pub const fn kind(&self) -> LayoutKind {
        match self.layout {
            Layout::RadiusArms { .. } => LayoutKind::RadiusArms,
            Layout::ThreeLink { .. } => LayoutKind::ThreeLink,
            Layout::FourLink { .. } if self.panhard.is_none() && self.watts.is_none() => {
                LayoutKind::Triangulated
            }
            Layout::FourLink { .. } => LayoutKind::FourLink,
            Layout::LeafSprings { .. } => LayoutKind::Leaf,
        }
    }
}

/// A stand-in hardpoint: how far such points lie apart between trucks, fore-aft and across 40 mm,
/// in height 25 mm (one standard deviation; our assumption, no source).
const fn point(x: f64, y: f64, z: f64) -> Point {
    Point {
        x_mm: Known::assumed(x, 40.0),
        y_mm: Known::assumed(y, 40.0),
        z_mm: Known::assumed(z, 25.0),
    }
}

const fn bar(axle: Point, chassis: Point) -> Bar {
    Bar { axle, chassis }
}

/// Typical members of a layout, all assumed.
fn members(kind: LayoutKind, end: End) -> Layout {
    let aft = aft(end);
    // Beside wheels that steer, links keep well inboard.
    let inner = match end {
        End::Front => 380.0,
        End::Rear => 470.0,
    };
    match kind {
        LayoutKind::RadiusArms => Layout::RadiusArms {
            left: RadiusArm {
                axle_far: point(-aft * 85.0, 375.0, -30.0),
                axle_near: point(aft * 85.0, 375.0, -30.0),
                chassis: point(aft * 890.0, 325.0, 60.0),
            },
            right: None,
            axle_bush: bush(6000.0, 1500.0),
            chassis_bush: bush(4000.0, 1000.0),
        },
        LayoutKind::ThreeLink => Layout::ThreeLink {
            lower_left: bar(
                point(aft * 20.0, inner, -60.0),
                point(aft * 880.0, inner - 45.0, 10.0),
            ),
            lower_right: None,
            upper: bar(point(aft * 40.0, -230.0, 160.0), point(aft * 720.0, -240.0, 190.0)),
        },
        LayoutKind::FourLink => Layout::FourLink {
            lower_left: bar(
                point(aft * 20.0, inner, -60.0),
                point(aft * 900.0, inner - 45.0, -10.0),
            ),
            lower_right: None,
            upper_left: bar(point(aft * 30.0, 310.0, 140.0), point(aft * 720.0, 320.0, 165.0)),
            upper_right: None,
        },
        LayoutKind::Triangulated => Layout::FourLink {
            lower_left: bar(
                point(aft * 20.0, inner, -60.0),
                point(aft * 900.0, inner - 90.0, -10.0),
            ),
            lower_right: None,
            upper_left: bar(point(aft * 10.0, 110.0, 170.0), point(aft * 680.0, 380.0, 160.0)),
            upper_right: None,
        },
        LayoutKind::Leaf => Layout::LeafSprings {
            left: LeafSpring {
                seat: point(0.0, 420.0, 70.0),
                fixed_eye: point(aft * 560.0, 420.0, 110.0),
                shackle_eye: point(-aft * 620.0, 420.0, 130.0),
                shackle_chassis: point(-aft * 650.0, 420.0, 235.0),
            },
            right: None,
            rates: LeafRates {
                vertical_n_per_mm: Known::assumed(32.0, 8.0),
                lateral_n_per_mm: Known::assumed(300.0, 150.0),
                twist_nm_per_deg: Known::assumed(8.0, 4.0),
                clamped_mm: Known::assumed(110.0, 15.0),
            },
            eye_bush: bush(8000.0, 2000.0),
        },
    }
}

/// Whether links run rearward (front axle) or forward (rear axle) from it.
const fn aft(end: End) -> f64 {
    match end {
        End::Front => -1.0,
        End::Rear => 1.0,
    }
}

impl Axle {
    /// An axle of which nothing is measured yet: typical values, all marked as assumed.
    pub fn typical(kind: LayoutKind, end: End) -> Self {
        let aft = aft(end);
        let layout = members(kind, end);
        let lateral = match end {
            End::Front => bar(point(95.0, -470.0, 90.0), point(95.0, 360.0, 150.0)),
            End::Rear => bar(point(-140.0, 455.0, 60.0), point(-140.0, -430.0, 115.0)),
        };
        let panhard =
            (!matches!(kind, LayoutKind::Triangulated | LayoutKind::Leaf)).then_some(lateral);
        let setup = Setup {
            lift_mm: Known::exact(0.0),
            lift_right_mm: None,
            tire: Tire::sized("235/85R16"),
            wheel: Wheel::new(Known::assumed(177.8, 1.0), Known::assumed(31.0, 6.0)),
            spacer_mm: Known::exact(0.0),
            packing_mm: None,
            parts: Vec::new(),
        };
        Self {
            hub_face_width_mm: Known::assumed(1480.0, 40.0),
            layout,
            panhard,
            watts: None,
            kingpin: (end == End::Front).then(|| Kingpin {
                caster_deg: Known::assumed(3.5, 0.8),
                inclination_deg: Known::assumed(9.0, 1.5),
                hub_offset_mm: Known::assumed(113.0, 10.0),
                hub_trail_mm: Known::assumed(0.0, 4.0),
            }),
            steering: (end == End::Front).then(|| Steering::typical(Side::Left)),
            spring: (kind != LayoutKind::Leaf)
                .then(|| bar(point(0.0, 400.0, 60.0), point(0.0, 400.0, 320.0))),
            shock: Some(bar(point(-aft * 90.0, 430.0, -40.0), point(-aft * 120.0, 400.0, 420.0))),
            pinion: Pinion {
                angle_deg: Known::assumed(3.0, 1.5),
                length_mm: Known::assumed(280.0, 25.0),
                y_mm: Known::assumed(if end == End::Front { -130.0 } else { 0.0 }, 40.0),
            },
            limits: Limits {
                bump_mm: Known::assumed(80.0, 15.0),
                droop_mm: Known::assumed(100.0, 20.0),
                lock_deg: Known::assumed(if end == End::Front { 30.0 } else { 0.0 }, 2.0),
            },
            surroundings: Surroundings {
                rail: Some(Rail {
                    outer_mm: Known::assumed(375.0, 25.0),
                    bottom_mm: Known::assumed(130.0, 25.0),
                    top_mm: Known::assumed(270.0, 25.0),
                    front_mm: Known::assumed(550.0, 50.0),
                    rear_mm: Known::assumed(-650.0, 50.0),
                }),
                arch: Some(Arch {
                    top_mm: Known::assumed(560.0, 25.0),
                    front_mm: Known::assumed(545.0, 25.0),
                    rear_mm: Known::assumed(560.0, 25.0),
                    lip_mm: Known::assumed(840.0, 25.0),
                    inner_mm: Known::assumed(600.0, 30.0),
                }),
                arm_radius_mm: Some(Known::assumed(22.0, 4.0)),
                things: Vec::new(),
            },
            stock: setup.clone(),
            sitting: setup.clone(),
            planned: setup,
            shelf: Shelf::default(),
            readings: Readings::default(),
            driveline: None,
            hose: None,
            springing: Springing::default(),
            overhang: Overhang::default(),
        }
    }
}

impl Steering {
    /// Cross-steer with the box on the driver's side, tie rod behind the axle: typical values, all
    /// assumed.
    ///
    /// The tie rod's joints lie on the lines from the steering axes to the middle of the rear axle
    /// of a truck of usual wheelbase, as the textbook trapezium has them.
    pub const fn typical(driver: Side) -> Self {
        let side = driver.sign();
        Self {
            pitman: Pitman {
                pivot: point(330.0, 370.0 * side, 190.0),
                end: point(170.0, 370.0 * side, 150.0),
                shaft: Shaft::Upright,
            },
            drag_link: DragLink {
                end: point(170.0, -555.0 * side, 85.0),
                joins: match driver {
                    Side::Left => Joins::RightKnuckle,
                    Side::Right => Joins::LeftKnuckle,
                },
            },
            tie_rod: TieRod { left: point(-150.0, 594.0, -20.0), right: None },
            ratio: Known::assumed(16.0, 2.0),
        }
    }
}

impl Watts {
    /// A crank upright on the axle's middle, links as far as the rails: typical values, all assumed.
    pub const fn typical(end: End) -> Self {
        let x = match end {
            End::Front => 110.0,
            End::Rear => -140.0,
        };
        Self {
            crank_on: Carrier::Axle,
            pivot: point(x, 0.0, 60.0),
            left: bar(point(x, 0.0, 120.0), point(x, 430.0, 120.0)),
            right: bar(point(x, 0.0, 0.0), point(x, -430.0, 0.0)),
        }
    }
}

/// Rubber of the common size; the spread between makers and ages is wide (our assumption).
const fn bush(radial: f64, axial: f64) -> BushRates {
    BushRates {
        radial_n_per_mm: Known::assumed(radial, 2000.0),
        axial_n_per_mm: Known::assumed(axial, 500.0),
        conical_nm_per_deg: Known::assumed(15.0, 6.0),
        torsion_nm_per_deg: Known::assumed(2.0, 1.0),
        axis: Axis::Lateral,
    }
}

impl Truck {
    /// A truck of which nothing is known: typical front and rear axles, every figure assumed.
    pub fn typical(front: LayoutKind, rear: Option<LayoutKind>) -> Self {
        Self {
            wheelbase_mm: Known::assumed(2600.0, 60.0),
            balance: Balance::assumed(),
            weights: Weights::default(),
            belly: Belly::default(),
            gears: Gears::default(),
            front: Some(Axle::typical(front, End::Front)),
            rear: rear.map(|kind| Axle::typical(kind, End::Rear)),
        }
    }

    /// A truck of which one axle is given and nothing else known.
    pub fn with_axle(axle: Axle, end: End) -> Self {
        let (front, rear) = match end {
            End::Front => (Some(axle), None),
            End::Rear => (None, Some(axle)),
        };
        Self {
            wheelbase_mm: Known::assumed(2600.0, 60.0),
            balance: Balance::assumed(),
            weights: Weights::default(),
            belly: Belly::default(),
            gears: Gears::default(),
            front,
            rear,
        }
    }

    /// The example: an invented orchard truck, lifted by 75 mm on taller and wider tires, whose
    /// owner has measured the front and is weighing up what to bolt on.
    pub fn example() -> Self {
        let mut truck = Self::typical(LayoutKind::RadiusArms, Some(LayoutKind::FourLink));
        truck.wheelbase_mm = tape(2600.0);
        if let Some(front) = &mut truck.front {
            example_front(front);
        }
        if let Some(rear) = &mut truck.rear {
            example_rear(rear);
        }
        truck
    }
}

const fn tape(value: f64) -> Known {
    Known::measured(value, Instrument::Tape)
}

const fn taped(x: f64, y: f64, z: f64) -> Point {
    Point { x_mm: tape(x), y_mm: tape(y), z_mm: tape(z) }
}

fn hole(name: &str, x: f64, y: f64, z: f64) -> Hole {
    Hole { name: name.into(), x_mm: Known::exact(x), y_mm: Known::exact(y), z_mm: Known::exact(z) }
}

fn example_front(front: &mut Axle) {
    front.hub_face_width_mm = tape(1480.0);
    front.panhard = Some(bar(taped(95.0, -470.0, 90.0), taped(95.0, 360.0, 150.0)));
    if let Layout::RadiusArms { left, .. } = &mut front.layout {
        *left = RadiusArm {
            axle_far: taped(85.0, 375.0, -30.0),
            axle_near: taped(-85.0, 375.0, -30.0),
            chassis: taped(-890.0, 325.0, 60.0),
        };
    }
    if let Some(s) = &mut front.steering {
        let taken =
            [&mut s.pitman.pivot, &mut s.pitman.end, &mut s.drag_link.end, &mut s.tie_rod.left];
        for point in taken {
            let [x, y, z] = point.mm();
            *point = taped(x, y, z);
        }
    }
    if let Some(kingpin) = &mut front.kingpin {
        kingpin.caster_deg = Known::published(3.5, 0.5);
    }
    front.limits.bump_mm = tape(80.0);
    front.limits.droop_mm = tape(100.0);
    front.limits.lock_deg = Known::measured(30.0, Instrument::PhoneLevel);
    let stock_wheel = Wheel::new(Known::published(177.8, 0.5), Known::published(31.0, 0.5));
    front.stock.wheel = stock_wheel;
    front.sitting.lift_mm = tape(75.0);
    front.sitting.tire.size = "315/75R16".into();
    front.sitting.wheel = Wheel::new(Known::published(203.2, 0.5), Known::published(0.0, 0.5));
    front.surroundings.rail = Some(Rail {
        outer_mm: tape(375.0),
        bottom_mm: tape(130.0),
        top_mm: tape(270.0),
        front_mm: tape(550.0),
        rear_mm: tape(-650.0),
    });
    front.surroundings.arch = Some(Arch {
        top_mm: tape(560.0),
        front_mm: tape(545.0),
        rear_mm: tape(560.0),
        lip_mm: tape(840.0),
        inner_mm: tape(600.0),
    });
    front.surroundings.things = example_things();
    // Read with the wheel off, for the caliper's sake.
    front.sitting.wheel.inside_mm = Some(tape(368.0));
    front.sitting.wheel.spoke_mm = Some(tape(22.0));
    let bracket = Part::bracket(
        Pivot::PanhardAxle,
        vec![
            hole("low", 0.0, 0.0, 30.0),
            hole("middle", 0.0, 0.0, 55.0),
            hole("high", 0.0, 0.0, 80.0),
        ],
        2,
    );
    let bush = Part::turn(Turning::CasterBush, 4.0, vec![2.0, 3.0, 4.0]);
    front.planned = front.sitting.clone();
    front.planned.parts = vec![bracket.clone(), bush.clone()];
    let arms = vec![
        hole("down 40", 0.0, 0.0, -40.0),
        hole("down 60", 0.0, 0.0, -60.0),
        hole("down 60, forward 25", 25.0, 0.0, -60.0),
    ];
    let frame = vec![hole("upper", 0.0, 0.0, -30.0), hole("lower", 0.0, 0.0, -60.0)];
    front.shelf = [
        bracket,
        Part::bracket(Pivot::PanhardChassis, frame, 0),
        Part::length(Member::Panhard, 0.0, [-25.0, 40.0]),
        Part::length(Member::DragLink, 0.0, [-25.0, 25.0]),
        Part::bracket(Pivot::Arm, arms, 0),
        bush,
        Part::step(Step::Spacer, 25.4, vec![25.4, 31.75, 38.1]),
    ]
    .into_iter()
    .collect();
    // What its owner was told at the counter, and reckons for an evening's work.
    for (offer, [price, hours]) in
        front.shelf.parts.iter_mut().zip([[180.0, 6.0], [150.0, 8.0], [120.0, 1.0]])
    {
        offer.price = Some(Known::exact(price));
        offer.hours = Some(Known::exact(hours));
    }
}

/// What else its owner found beside the front wheels, each by two or three readings of the tape.
fn example_things() -> Vec<Thing> {
    let read = |kind, readings: &[(usize, f64)]| {
        let mut thing = Thing::new(kind, End::Front);
        for (at, value) in readings {
            if let Some(known) = thing.shape.numbers_mut().into_iter().nth(*at) {
                *known = tape(*value);
            }
        }
        thing
    };
    vec![
        read(ThingKind::InnerPanel, &[(3, 408.0), (4, 330.0)]),
        read(ThingKind::BodyMount, &[(0, -482.0), (3, 545.0), (4, 62.0)]),
        read(ThingKind::PinchWeld, &[(0, -516.0), (3, 780.0), (4, 15.0)]),
        read(ThingKind::SwayBarLink, &[(0, 185.0), (1, 442.0), (4, 438.0), (6, 14.0)]),
        read(ThingKind::Spring, &[(1, 400.0), (6, 62.0)]),
        read(ThingKind::BrakeCaliper, &[(0, 166.0), (2, -12.0)]),
    ]
}

fn example_rear(rear: &mut Axle) {
    rear.hub_face_width_mm = tape(1480.0);
    rear.sitting.lift_mm = tape(65.0);
    rear.sitting.tire.size = "315/75R16".into();
    rear.sitting.wheel = Wheel::new(Known::published(203.2, 0.5), Known::published(0.0, 0.5));
    rear.planned = rear.sitting.clone();
}
