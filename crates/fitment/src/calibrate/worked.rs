//! What some readings of one set say together, worked by hand's formulas beside the fit: caster by
//! sweep, against the frame and on a level floor, whether the axle is centered and square to the frame and
//! to the other one, how the body leans, toe as an angle.

use super::{
    kind::{Kind, STRING_MM, Spot},
    log::{Set, Taken, Trust},
    solver::Gauss,
    stand::toe_reach,
    sweep::Sweep,
};
use crate::{
    axle::{AxleModel, Pose, lower_members, steer_roll_pitch},
    measure::format::degrees,
    truck::{Axle, End, Side},
};

/// Something worked out of two readings or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// What it is, with its sign.
    pub what: String,
    /// A kind of reading in the same unit, mm or degrees.
    pub like: Kind,
    /// Its value.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
    /// What it comes of, and what to make of it.
    pub how: String,
}

/// How well a wheel's heading is known on turn plates and on a taped floor, degrees, one standard
/// deviation: common practice, no source.
const HEADING_DEG: [f64; 2] = [0.5, 1.0];

/// Everything that a set's readings at one axle say together, on the axle as it stood then.
pub fn worked(set: &Set, axle: &Axle, (model, pose): (&AxleModel<f64>, &Pose<f64>)) -> Vec<Worked> {
    let set = Readings { set, end: model.end };
    let mut all = Vec::new();
    for side in Side::BOTH {
        let sweep = by_sweep(&set, side, axle);
        let caster = sweep.as_ref().map(|it| (it.value, it.sigma));
        all.extend(sweep);
        if let Some(caster) = caster.or_else(|| set.of(Kind::Caster(side))) {
            leveled(&set, side, caster, &mut all);
        }
    }
    all.extend(off_center(&set));
    all.extend(out_of_square(&set, model));
    all.extend(by_string(&set));
    all.extend(turned(&set, model, pose));
    corners(&set, &mut all);
    toe(&set, model, &mut all);
    all
}

/// The readings of one set at one axle.
struct Readings<'a> {
    set: &'a Set,
    end: End,
}

impl<'a> Readings<'a> {
    fn all(&self) -> impl Iterator<Item = &'a Taken> {
        let end = self.end;
        let counts = move |taken: &&Taken| taken.end == end && taken.trust != Trust::LeftOut;
        self.set.readings.iter().filter(counts)
    }

    fn of(&self, kind: Kind) -> Option<Gauss> {
        self.all().find(|taken| taken.what == kind)?.mean()
    }

    /// Left less right, with its deviation.
    fn across(&self, kind: fn(Side) -> Kind) -> Option<Gauss> {
        let ((left, a), (right, b)) = (self.of(kind(Side::Left))?, self.of(kind(Side::Right))?);
        Some((left - right, a.hypot(b)))
    }
}

/// Caster out of the cambers at the two headings that lie furthest apart.
fn by_sweep(set: &Readings<'_>, of: Side, axle: &Axle) -> Option<Worked> {
    let mut ends: [Option<(f64, Gauss)>; 2] = [None; 2];
    for taken in set.all() {
        let Kind::Turned { side, steer_deg } = taken.what else { continue };
        let Some(mean) = taken.mean().filter(|_| side == of) else { continue };
        if ends[0].is_none_or(|(most, _)| steer_deg > most) {
            ends[0] = Some((steer_deg, mean));
        }
        if ends[1].is_none_or(|(least, _)| steer_deg < least) {
            ends[1] = Some((steer_deg, mean));
        }
    }
    let [Some((left, out)), Some((right, back))] = ends else { return None };
    let (inclination, unsure) = set.of(Kind::Inclination(of)).or_else(|| {
        let known = &axle.kingpin.as_ref()?.inclination_deg;
        Some((known.value, known.sigma))
    })?;
    let sweep = Sweep {
        heading: [left, right].map(f64::to_radians),
        camber: [out.0, back.0].map(f64::to_radians),
        inclination: inclination.to_radians(),
    };
    let camber = f64::midpoint(out.1.powi(2), back.1.powi(2)).sqrt();
    let budget = HEADING_DEG.map(|heading| {
        let [heading, camber, unsure] = [heading, camber, unsure].map(f64::to_radians);
        sweep.budget(of, heading, camber, unsure)
    });
    let value = budget[0].caster.to_degrees();
    if !(value.is_finite() && left > right) {
        return None;
    }
    let twice = |of: f64| degrees(2.0 * of.to_degrees(), 2);
    let [plates, floor] = budget.each_ref().map(|it| twice(it.parts[0].hypot(it.parts[1])));
    let how = format!(
        "By the exact form; the one for small angles gives {}. The ± is made of {} by the cambers, {} by the kingpin inclination and {plates} by the headings on turn plates. On a taped floor the headings make it {floor}, and the whole {}.",
        degrees(sweep.caster_small(of).to_degrees(), 2),
        twice(budget[0].parts[2].hypot(budget[0].parts[3])),
        twice(budget[0].parts[4]),
        twice(budget[1].sigma),
    );
    Some(Worked {
        what: format!("Caster by sweep, {}", of.word()),
        like: Kind::Caster(of),
        value,
        sigma: budget[0].sigma.to_degrees(),
        how,
    })
}

/// Caster as gravity has it, freed of the frame's rake and of the floor's slope where those were read.
fn leveled(set: &Readings<'_>, of: Side, (caster, sigma): Gauss, all: &mut Vec<Worked>) {
    // Nose down takes from what a gauge reads; a floor that rises forward adds to it.
    let corrected = [
        (
            Kind::Frame,
            1.0,
            "against the frame",
            "The gauge's caster and how far the frame's nose is down: what the other pages call caster.",
        ),
        (
            Kind::FloorAlong,
            -1.0,
            "on a level floor",
            "The gauge's caster less what the floor rises forward: what an alignment rig would read.",
        ),
    ];
    for (kind, sign, words, how) in corrected {
        if let Some((by, unsure)) = set.of(kind) {
            all.push(Worked {
                what: format!("Caster {words}, {}", of.word()),
                like: kind,
                value: caster + sign * by,
                sigma: sigma.hypot(unsure),
                how: how.into(),
            });
        }
    }
}

/// Whether the axle is centered, both sides measured to the frame.
fn off_center(set: &Readings<'_>) -> Option<Worked> {
    let (more, sigma) = set.across(Kind::Rail)?;
    Some(Worked {
        what: "Axle off center, to the left".into(),
        like: Kind::Rail(Side::Left),
        value: more * 0.5,
        sigma: sigma * 0.5,
        how: "Half of what the left wheel stands farther from its rail than the right one; the rails must be alike."
            .into(),
    })
}

/// How far the axle stands out of parallel to the other one.
fn out_of_square(set: &Readings<'_>, model: &AxleModel<f64>) -> Option<Worked> {
    let (longer, sigma) = set.across(Kind::Wheelbase)?;
    let track = 2.0 * model.wheel_y;
    // A longer left side has the front axle's left wheel ahead, or the rear axle's behind.
    let left = if set.end == End::Front { -1.0 } else { 1.0 };
    Some(Worked {
        what: "Axle out of parallel to the other one, turned left".into(),
        like: Kind::FloorAcross,
        value: (left * longer).atan2(track).to_degrees(),
        sigma: (sigma / track).to_degrees(),
        how: "What both wheelbases differ by, over the track. The truck runs the way its rear axle heads, its thrust line: which of the two is turned, tapes from the arms' bolts on the frame to the hubs tell, both sides."
            .into(),
    })
}

/// How far the axle stands turned against the frame: strings along both wheels. Toe turns one as far out
/// as the other, and cancels.
fn by_string(set: &Readings<'_>) -> Option<Worked> {
    let (more, sigma) = set.across(Kind::String)?;
    let apart = 2.0 * STRING_MM;
    Some(Worked {
        what: "Axle turned left against the frame, by strings".into(),
        like: Kind::FloorAcross,
        value: more.atan2(apart).to_degrees(),
        sigma: (sigma / apart).to_degrees(),
        how: "Half of what the left string's reading is over the right one's, over the meter along the string; the rails must run straight there. At the rear axle it is the thrust angle: the truck runs the way that axle heads."
            .into(),
    })
}

/// How far the axle stands turned against the frame: two tapes from alike bolts on the frame to the hubs.
fn turned(set: &Readings<'_>, model: &AxleModel<f64>, pose: &Pose<f64>) -> Option<Worked> {
    let tape = |side: Side| match side {
        Side::Left => Kind::Tape(Spot::ArmChassisLeft, Spot::HubLeft),
        Side::Right => Kind::Tape(Spot::ArmChassisRight, Spot::HubRight),
    };
    let (longer, sigma) = set.across(tape)?;
    // A turn to the left takes the left hub back and brings the right one ahead; of that a tape sees the
    // share of its length that lies fore and aft. Counted from the pose as fitted, or a shift sideways
    // would be taken for a turn.
    let bolts = lower_members(model, pose).map(|(_, bolt)| bolt);
    let [(left, by_left), (right, by_right)] = Side::BOTH.map(|side| {
        let along = bolts[side.index()] - model.wheel(pose, side, 0.0).centre;
        (along.norm(), model.wheel_y * along.x / along.norm())
    });
    let seen = by_left + by_right;
    let (steer, ..) = steer_roll_pitch(&pose.axle.turn);
    let value = (steer + (longer - (left - right)) / seen).to_degrees();
    value.is_finite().then(|| Worked {
        what: match set.end {
            End::Front => "Axle turned left against the frame",
            End::Rear => "Thrust line left of the frame's",
        }
        .into(),
        like: Kind::FloorAcross,
        value,
        sigma: (sigma / seen.abs()).to_degrees(),
        how: "What both tapes from the arms' bolts on the frame to the hubs differ by; the bolts must be alike on both sides."
            .into(),
    })
}

/// How much higher the left side of the body stands, and whether it does so at the other axle.
fn corners(set: &Readings<'_>, all: &mut Vec<Worked>) {
    let Some((higher, sigma)) = set.across(Kind::Arch) else { return };
    let like = Kind::Arch(Side::Left);
    all.push(Worked {
        what: "Body higher on the left".into(),
        like,
        value: higher,
        sigma,
        how: "Hub to arch, left less right: the two corners of this axle.".into(),
    });
    let other = Readings { end: set.end.other(), ..*set };
    if let Some((there, unsure)) = other.across(Kind::Arch) {
        all.push(Worked {
            what: "The same, less what it is at the other axle".into(),
            like,
            value: higher - there,
            sigma: sigma.hypot(unsure),
            how: "All four corners. Alike at both axles it is a lean; where they differ, look at the springs, the arches and the floor."
                .into(),
        });
    }
}

/// Toe of both wheels as an angle at each height, and whether two heights agree.
fn toe(set: &Readings<'_>, model: &AxleModel<f64>, all: &mut Vec<Worked>) {
    let like = Kind::FloorAcross;
    let mut angles: Vec<Gauss> = Vec::new();
    for taken in set.all() {
        let Kind::Toe { height_mm } = taken.what else { continue };
        let (Some((toe, sigma)), Some(reach)) = (taken.mean(), toe_reach(model, height_mm)) else {
            continue;
        };
        // Both wheels' lines together open by twice the angle whose sine is a quarter of it.
        let value = 2.0 * (toe / (4.0 * reach)).asin().to_degrees();
        let sigma = (sigma / (2.0 * reach)).to_degrees();
        if value.is_finite() {
            angles.push((value, sigma));
            let how = "Both wheels together, over the tire's length fore and aft at that height.";
            all.push(Worked {
                what: format!("{}, as an angle", taken.what.label()),
                like,
                value,
                sigma,
                how: how.into(),
            });
        }
    }
    if let [(first, a), (second, b), ..] = angles.as_slice() {
        let (value, sigma) = (second - first, a.hypot(*b));
        let how = if value.abs() <= 2.0 * sigma {
            "The two heights agree."
        } else {
            "The two heights do not agree: a slip of the tape, or a rim or tire that does not run true."
        };
        all.push(Worked {
            what: "Toe, second height less first".into(),
            like,
            value,
            sigma,
            how: how.into(),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        axle::solve_ride,
        truck::{LayoutKind, State, Truck},
    };
    use nalgebra::Vector3;

    fn of(readings: Vec<Taken>, end: End) -> Vec<Worked> {
        let readings = readings.into_iter().map(|taken| Taken { end, ..taken }).collect();
        let set = Set::of(State::Sitting, readings);
        let axle = Axle::typical(LayoutKind::RadiusArms, end);
        let truck = Truck::with_axle(axle.clone(), end);
        let mut model = AxleModel::of(&truck, end, State::Sitting).unwrap();
        let pose = solve_ride(&model).unwrap();
        model.wheel_y = 800.0;
        model.around.tire_diameter = 406.4;
        model.loaded_radius = 190.0;
        worked(&set, &axle, (&model, &pose))
    }

    fn read(kind: Kind, value: f64) -> Taken {
        Taken::once(kind, value)
    }

    /// Cambers of a wheel turned about a leaning axis in 3D, worked apart; see `sweep.rs`.
    #[test]
    fn two_cambers_make_a_caster() {
        let side = Side::Left;
        let turned = |steer_deg, value| read(Kind::Turned { side, steer_deg }, value);
        let inclined = read(Kind::Inclination(side), 9.0);
        let all = of(vec![turned(20.0, 3.1177), turned(-20.0, -1.0111), inclined], End::Front);
        assert!((all[0].value - 6.0).abs() < 0.002, "{all:?}");
        assert!(all[0].how.contains("small angles gives 6.04°"), "{}", all[0].how);
        // The gauge's 0.2° in both cambers: 0.2·1.462·√2, and the headings beside it.
        assert!(all[0].sigma > 0.413 && all[0].sigma < 0.46, "{}", all[0].sigma);
        assert!(of(vec![turned(20.0, 3.0)], End::Front).is_empty());
    }

    #[test]
    fn two_strings_tell_the_thrust_and_leave_toe_out() {
        // Turned left by 6 mm in the meter, 0.3438°; each wheel toed in by 2 mm in the meter.
        let strings =
            vec![read(Kind::String(Side::Left), 4.0), read(Kind::String(Side::Right), -8.0)];
        let all = of(strings, End::Rear);
        assert!((all[0].value - 0.343_77).abs() < 1e-4, "{all:?}");
        // The tape's 2 mm in both: √2·2/2000.
        assert!((all[0].sigma - 0.081_03).abs() < 1e-4, "{all:?}");
        assert!(of(vec![read(Kind::String(Side::Left), 4.0)], End::Rear).is_empty());
    }

    #[test]
    fn both_sides_say_where_the_axle_stands() {
        use Side::{Left, Right};
        let taken = |end| {
            let readings = vec![
                read(Kind::Rail(Left), 130.0),
                read(Kind::Rail(Right), 118.0),
                read(Kind::Wheelbase(Left), 2608.0),
                read(Kind::Wheelbase(Right), 2600.0),
                read(Kind::Arch(Left), 501.0),
                read(Kind::Arch(Right), 512.0),
            ];
            of(readings, end)
        };
        let front = taken(End::Front);
        let values: Vec<f64> = front.iter().map(|it| it.value).collect();
        // atan(8/1600) = 0.2865°; the front axle's left wheel ahead is a turn to the right.
        for (got, want) in values.iter().zip([6.0, -0.286_5, -11.0]) {
            assert!((got - want).abs() < 1e-4, "{values:?}");
        }
        assert!((front[0].sigma - 2.0_f64.sqrt()).abs() < 1e-12);
        assert!((taken(End::Rear)[1].value - 0.286_5).abs() < 1e-4);
    }

    /// A gauge on a level floor reads 4.5° where the frame's nose is down 1.5° and the axis leans 6° against
    /// it; the floor's 0.4° up forward makes that 4.9° and hides as much of the frame's.
    #[test]
    fn caster_is_freed_of_rake_and_floor() {
        let side = Side::Right;
        let readings = vec![
            read(Kind::Caster(side), 4.9),
            read(Kind::Frame, 1.1),
            read(Kind::FloorAlong, 0.4),
        ];
        let all = of(readings, End::Front);
        let [frame, floor] = all.as_slice() else { panic!("{all:?}") };
        assert!((frame.value - 6.0).abs() < 1e-9 && (floor.value - 4.5).abs() < 1e-9, "{all:?}");
        assert!(frame.what == "Caster against the frame, right", "{}", frame.what);
    }

    /// Tapes from the arms' bolts to hubs that stand where plain trigonometry puts them.
    #[test]
    fn two_tapes_tell_a_turn_from_a_shift() {
        for end in [End::Front, End::Rear] {
            let truck = Truck::with_axle(Axle::typical(LayoutKind::RadiusArms, end), end);
            let model = AxleModel::of(&truck, end, State::Sitting).unwrap();
            let at_rest = solve_ride(&model).unwrap();
            let bolts = lower_members(&model, &at_rest).map(|(_, bolt)| bolt);
            let hubs = Side::BOTH.map(|side| model.wheel(&at_rest, side, 0.0).centre);
            let middle = (hubs[0] + hubs[1]) * 0.5;
            let found = |turn_deg: f64, shift: f64, known: f64| {
                let (s, c) = turn_deg.to_radians().sin_cos();
                let tapes = [0, 1].map(|i| {
                    let d = hubs[i] - middle;
                    let hub =
                        middle + Vector3::new(c * d.x - s * d.y, s * d.x + c * d.y + shift, d.z);
                    (hub - bolts[i]).norm()
                });
                let mut pose = at_rest;
                pose.axle.shift.y += known;
                let set = Set::of(
                    State::Sitting,
                    vec![
                        Taken {
                            end,
                            ..read(Kind::Tape(Spot::ArmChassisLeft, Spot::HubLeft), tapes[0])
                        },
                        Taken {
                            end,
                            ..read(Kind::Tape(Spot::ArmChassisRight, Spot::HubRight), tapes[1])
                        },
                    ],
                );
                let all = worked(&set, truck.axle(end).unwrap(), (&model, &pose));
                assert_eq!(all.len(), 1);
                all[0].value
            };
            for (turn, shift) in [(0.5, 0.0), (-0.3, 0.0), (0.0, 15.0), (0.4, -15.0)] {
                let got = found(turn, shift, shift);
                assert!((got - turn).abs() < 0.02, "{end:?}: {got}, want {turn}");
            }
            // A shift that nobody knew of would pass for a turn.
            assert!(found(0.0, 15.0, 0.0).abs() > 0.1);
        }
    }

    /// A reading left out by the person is left out here too.
    #[test]
    fn what_is_left_out_counts_for_nothing() {
        let out = Taken { trust: Trust::LeftOut, ..read(Kind::Arch(Side::Left), 512.0) };
        assert!(of(vec![out, read(Kind::Arch(Side::Right), 500.0)], End::Front).is_empty());
    }

    #[test]
    fn four_corners_tell_a_lean_from_a_twist() {
        let mut readings =
            vec![read(Kind::Arch(Side::Left), 512.0), read(Kind::Arch(Side::Right), 500.0)];
        let rear = |side, value| Taken { end: End::Rear, ..read(Kind::Arch(side), value) };
        readings.extend([rear(Side::Left, 530.0), rear(Side::Right, 525.0)]);
        let truck = Truck::example();
        let model = AxleModel::of(&truck, End::Front, State::Sitting).unwrap();
        let pose = solve_ride(&model).unwrap();
        let set = Set::of(State::Sitting, readings);
        let all = worked(&set, truck.axle(End::Front).unwrap(), (&model, &pose));
        let values: Vec<f64> = all.iter().map(|it| it.value).collect();
        assert_eq!(values, [12.0, 7.0]);
    }

    /// 3 mm over 406.4 mm is 0.4230° of both wheels (asin by hand); nearer the floor the same angle opens
    /// less.
    #[test]
    fn toe_is_an_angle_at_either_height() {
        let toe = |height_mm, value| read(Kind::Toe { height_mm }, value);
        let off = 190.0_f64 - 254.0;
        let half = (203.2_f64 * 203.2 - off * off).sqrt();
        let same = 3.0 * half / 203.2;
        let all = of(vec![toe(None, 3.0), toe(Some(254.0), same)], End::Front);
        assert!((all[0].value - 0.423).abs() < 1e-4 && (all[1].value - 0.423).abs() < 1e-4);
        assert!(all[2].how.ends_with("agree.") && all[2].value.abs() < 1e-4);
        let all = of(vec![toe(None, 3.0), toe(Some(254.0), same + 20.0)], End::Front);
        assert!(all[2].how.contains("do not agree"), "{all:?}");
    }
}
