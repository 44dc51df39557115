//! Which of a truck's numbers may cause what a driver feels, how much each matters, and the look or
//! measurement that confirms it. Common practice, no source.

use super::Symptom;
use crate::axle::Output;
use crate::caution;
use crate::truck::{Member, PartKind, Pivot, Step, Turning};

/// What tells a cause.
#[derive(Debug, Clone, Copy)]
pub(super) enum Sign {
    /// One of these outputs under its band.
    Low(&'static [Output]),
    /// One of these over its band.
    High(&'static [Output]),
    /// One of these off its band either way.
    Off(&'static [Output]),
    /// A tire that comes near something, wheels turned or above where the truck rests.
    Near { turned: bool, in_bump: bool },
    /// Only a look, on an axle that has this output.
    Look(Option<Output>),
}

/// A cause as it is looked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clue {
    pub sign: Sign,
    /// What it is.
    pub what: &'static str,
    /// How much a miss of one watch zone counts beside the symptom's other causes.
    pub weight: f64,
    /// Lowest and highest in band and the width of the watch zone, for an output that findings do
    /// not judge.
    pub own: Option<[f64; 3]>,
    pub confirm: &'static str,
    pub helps: &'static [PartKind],
}

const TRAIL: &[Output] = &[Output::TrailLeft, Output::TrailRight];
const SCRUB: &[Output] = &[Output::ScrubLeft, Output::ScrubRight];
const BUMP_STEER: &[Output] = &[Output::BumpSteerLeft, Output::BumpSteerRight];
const JOINTS: &[Output] = &[Output::JointCase, Output::JointAxle];
const SLIP: &[Output] = &[Output::SlipIn, Output::SlipOut];

const MORE_CASTER: &[PartKind] = &[
    PartKind::Turn(Turning::CasterBush),
    PartKind::Turn(Turning::Wedge),
    PartKind::Length(Member::UpperLink),
    PartKind::Bracket(Pivot::Arm),
    PartKind::Turn(Turning::KnuckleFlange),
];
const LEVEL_BAR: &[PartKind] =
    &[PartKind::Bracket(Pivot::PanhardAxle), PartKind::Bracket(Pivot::PanhardChassis)];
const PARALLEL: &[PartKind] = &[
    PartKind::Bracket(Pivot::DragLink),
    PartKind::Step(Step::Pitman),
    PartKind::Bracket(Pivot::PanhardAxle),
];
const LESS_SCRUB: &[PartKind] = &[PartKind::Wheel, PartKind::Step(Step::Spacer)];
const STRAIGHT: &[PartKind] =
    &[PartKind::Length(Member::DragLink), PartKind::Length(Member::Panhard)];
const ROOM: &[PartKind] = &[
    PartKind::Step(Step::Spacer),
    PartKind::Wheel,
    PartKind::SteeringStop,
    PartKind::Length(Member::BumpStop),
    PartKind::ArchTrim,
    PartKind::Bend,
];
const JOINT_ANGLE: &[PartKind] = &[
    PartKind::DoubleCardan,
    PartKind::Step(Step::TransferCase),
    PartKind::Length(Member::UpperLink),
    PartKind::Turn(Turning::Wedge),
    PartKind::Turn(Turning::KnuckleFlange),
];

const fn clue(
    sign: Sign,
    what: &'static str,
    weight: f64,
    confirm: &'static str,
    helps: &'static [PartKind],
) -> Clue {
    Clue { sign, what, weight, own: None, confirm, helps }
}

const fn judged(clue: Clue, low: f64, high: f64, slack: f64) -> Clue {
    Clue { own: Some([low, high, slack]), ..clue }
}

const LITTLE_CASTER: Clue = clue(
    Sign::Low(&[Output::Caster]),
    "Too little caster",
    1.0,
    "Measure caster on both sides by the steering sweep, or off a machined face of the knuckle.",
    MORE_CASTER,
);
const LITTLE_TRAIL: Clue = clue(
    Sign::Low(TRAIL),
    "Too little trail",
    0.9,
    "Measure caster and the loaded radius: trail follows from both.",
    MORE_CASTER,
);
const STEERS_ON_BUMPS: Clue = clue(
    Sign::Off(BUMP_STEER),
    "The wheels steer themselves on bumps",
    0.8,
    "Read toe and the heading of one wheel at ride height and with the axle 50 mm up and down, steering wheel held.",
    PARALLEL,
);
const NOT_PARALLEL: Clue = clue(
    Sign::Off(&[Output::DragAngle]),
    "Drag link and Panhard bar do not lie parallel",
    0.7,
    "Lay the angle gauge on drag link and bar, truck at ride height.",
    PARALLEL,
);
const NOT_SQUARE: Clue = clue(
    Sign::Off(&[Output::AxleSteer]),
    "The axle does not stand square",
    0.7,
    "Measure the wheelbase on both sides, wheels straight.",
    &[PartKind::Length(Member::Arm)],
);
const SLOPED_BAR: Clue = clue(
    Sign::Off(&[Output::Panhard]),
    "A sloped Panhard bar",
    1.0,
    "Lay the angle gauge on the bar at ride height; measure each tire to the frame at full bump and full droop.",
    LEVEL_BAR,
);
const LONG_SCRUB: Clue = clue(
    Sign::High(SCRUB),
    "A long lever from steering axis to tire",
    0.5,
    "Measure the wheel's offset and the spacer; compare with stock.",
    LESS_SCRUB,
);
const TOE: Clue = judged(
    clue(
        Sign::Off(&[Output::Toe]),
        "Toe is off",
        0.7,
        "Measure toe with two tapes or boards, front and rear of the tires at hub height, after rolling forward.",
        &[],
    ),
    -0.05,
    0.35,
    0.2,
);
const WORN_ARMS: Clue = clue(
    Sign::Look(Some(Output::RollStiffness)),
    "Worn rubber in arms or springs",
    1.0,
    "Wheels chocked, a helper rocks the truck on the brake: watch each bush. High-mileage rubber is replaced with the job.",
    &[PartKind::Turn(Turning::CasterBush)],
);
const LOOSE_BAR: Clue = clue(
    Sign::Look(Some(Output::Panhard)),
    "Play in the Panhard bar's ends or brackets",
    1.6,
    "Engine running, a helper turns the steering wheel to and fro: neither bolt nor bush nor bracket may move before the axle does.",
    LEVEL_BAR,
);
const ROLL_STEER: Clue = judged(
    clue(
        Sign::Off(&[Output::RollSteer]),
        "The axle steers as the body rolls",
        0.4,
        "Measure both arms' angles at ride height.",
        &[PartKind::Bracket(Pivot::Arm), PartKind::Bracket(Pivot::LowerAxle)],
    ),
    -10.0,
    10.0,
    8.0,
);
const PINION: Clue = clue(
    Sign::Off(&[Output::Pinion]),
    "The pinion has tipped",
    1.0,
    "Lay the angle gauge on the pinion flange and on the shaft, truck on its wheels.",
    JOINT_ANGLE,
);

/// What may cause a symptom.
#[expect(clippy::too_many_lines, reason = "one table, read from top to bottom")]
pub(super) const fn clues(symptom: Symptom) -> &'static [Clue] {
    match symptom {
        Symptom::Wanders => {
            const ALL: &[Clue] = &[
                LITTLE_CASTER,
                LITTLE_TRAIL,
                STEERS_ON_BUMPS,
                TOE,
                NOT_SQUARE,
                ROLL_STEER,
                LOOSE_BAR,
                WORN_ARMS,
            ];
            ALL
        }
        Symptom::Shakes => {
            const ALL: &[Clue] = &[
                LOOSE_BAR,
                LITTLE_TRAIL,
                Clue { weight: 0.6, ..LITTLE_CASTER },
                Clue { weight: 0.6, ..LONG_SCRUB },
                Clue { weight: 0.5, ..STEERS_ON_BUMPS },
                WORN_ARMS,
                Clue { weight: 0.4, ..TOE },
            ];
            ALL
        }
        Symptom::Darts => {
            const ALL: &[Clue] = &[
                STEERS_ON_BUMPS,
                NOT_PARALLEL,
                NOT_SQUARE,
                Clue { weight: 0.6, ..LITTLE_CASTER },
                Clue { weight: 0.6, ..LONG_SCRUB },
                WORN_ARMS,
                LOOSE_BAR,
            ];
            ALL
        }
        Symptom::Jumps => {
            const ALL: &[Clue] =
                &[SLOPED_BAR, STEERS_ON_BUMPS, NOT_PARALLEL, LOOSE_BAR, ROLL_STEER];
            ALL
        }
        Symptom::Crooked => {
            const ALL: &[Clue] = &[
                clue(
                    Sign::Off(&[Output::SteeringWheel]),
                    "The drag link's length no longer suits the axle's place",
                    1.0,
                    "Set the box on its middle, then read where the road wheels point.",
                    STRAIGHT,
                ),
                clue(
                    Sign::Off(&[Output::LateralShift]),
                    "The axle stands to one side",
                    0.8,
                    "Measure from each wheel to the frame at the same height on both sides.",
                    &[PartKind::Length(Member::Panhard)],
                ),
                NOT_SQUARE,
                Clue { weight: 0.3, ..TOE },
            ];
            ALL
        }
        Symptom::Stays => {
            const ALL: &[Clue] = &[LITTLE_CASTER, LITTLE_TRAIL, LONG_SCRUB];
            ALL
        }
        Symptom::RubsTurned => {
            const ALL: &[Clue] = &[clue(
                Sign::Near { turned: true, in_bump: false },
                "The tire meets it with the wheels turned",
                1.0,
                "Turn lock to lock at ride height with chalk on the tire's shoulder, then over a ramp.",
                ROOM,
            )];
            ALL
        }
        Symptom::RubsInBump => {
            const ALL: &[Clue] = &[clue(
                Sign::Near { turned: false, in_bump: true },
                "The tire meets it as the wheel comes up",
                1.0,
                "Take the spring out or lift one wheel on a ramp, and bring the axle to its bump stop with a jack.",
                ROOM,
            )];
            ALL
        }
        Symptom::Clunks => {
            const ALL: &[Clue] = &[
                LOOSE_BAR,
                WORN_ARMS,
                judged(
                    clue(
                        Sign::Low(SLIP),
                        "The driveshaft's slip runs out",
                        1.0,
                        "Mark the slip at full droop and full bump and see how much is left each way.",
                        &[PartKind::Length(Member::Driveshaft)],
                    ),
                    15.0,
                    f64::INFINITY,
                    10.0,
                ),
                clue(
                    Sign::Near { turned: false, in_bump: true },
                    "The tire or wheel strikes something in bump",
                    0.5,
                    "Look for bright metal and rubber marks.",
                    ROOM,
                ),
            ];
            ALL
        }
        Symptom::Vibrates => {
            const ALL: &[Clue] = &[
                judged(
                    clue(
                        Sign::Off(&[Output::JointOpen]),
                        "The shaft's joints do not cancel",
                        1.0,
                        "Lay the angle gauge on case flange, shaft and pinion flange, truck on its wheels.",
                        JOINT_ANGLE,
                    ),
                    -1.5,
                    1.5,
                    1.0,
                ),
                judged(
                    clue(
                        Sign::High(JOINTS),
                        "A driveshaft joint works at a large angle",
                        0.8,
                        "Lay the angle gauge on case flange, shaft and pinion flange, truck on its wheels.",
                        JOINT_ANGLE,
                    ),
                    f64::NEG_INFINITY,
                    4.0,
                    3.0,
                ),
                PINION,
                Clue { weight: 0.4, ..WORN_ARMS },
            ];
            ALL
        }
    }
}

/// Causes that geometry cannot see.
pub(super) const fn unseen(symptom: Symptom) -> &'static str {
    match symptom {
        Symptom::Wanders => {
            "Not seen by geometry: play in box, joints and bearings, tire pressure, worn or mixed tires, side wind."
        }
        Symptom::Shakes => {
            "Not seen by geometry: balance and roundness of tires and wheels, tire pressure, play in tie-rod ends, ball joints and wheel bearings, a worn box, worn dampers. A steering damper hides the shake and does not cure it."
        }
        Symptom::Darts => {
            "Not seen by geometry: a brake that pulls harder on one side, a sticking caliper, a kinked hose, unequal tires or pressure."
        }
        Symptom::Jumps => "Not seen by geometry: worn dampers, unequal springs, tire pressure.",
        Symptom::Crooked => {
            "Not seen by geometry: a steering wheel set wrong on its splines, a bent tie rod, unequal tires."
        }
        Symptom::Stays => {
            "Not seen by geometry: tight ball joints or kingpins, a box set too tight, a dry steering shaft joint, low tire pressure."
        }
        Symptom::RubsTurned | Symptom::RubsInBump => {
            "Not seen here: what was not measured beside the wheel, mud flaps and linings, a tire larger than its data sheet."
        }
        Symptom::Clunks => {
            "Not seen by geometry: loose bolts, ball joints, driveshaft joints, shock ends, a loose body mount."
        }
        Symptom::Vibrates => {
            "Not seen by geometry: a shaft out of balance or bent, worn joints, tires and wheels out of round, engine and gearbox mounts."
        }
    }
}

/// What to be careful of.
pub(super) const fn caution(symptom: Symptom) -> &'static str {
    match symptom {
        Symptom::Shakes => {
            "A shake that will not stop by itself is a matter to stop driving for: slow down gently without braking hard, and have the truck brought to someone licensed before it is driven again."
        }
        Symptom::Darts => caution::BRAKES,
        Symptom::Wanders | Symptom::Crooked | Symptom::Stays => caution::ALIGNMENT,
        Symptom::Jumps | Symptom::Clunks => caution::AXLE_HELD,
        Symptom::RubsTurned | Symptom::RubsInBump => caution::STOPS,
        Symptom::Vibrates => caution::DRIVESHAFT,
    }
}
