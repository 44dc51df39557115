//! The usual bands, each with its source; a person may set their own.

use super::Severity;
use crate::{
    axle::{Answer, Output, Unit},
    caution,
    source::Source,
    truck::End,
};

/// Where an output should lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lowest value in band.
    pub low: f64,
    /// Highest value in band.
    pub high: f64,
    /// How far outside still counts as *watch*.
    pub slack: f64,
    /// Below the first or above the second: stop and check.
    pub stop: (Option<f64>, Option<f64>),
    /// Where the band comes from.
    pub source: Source,
    /// Why it matters, for a person.
    pub why: &'static str,
}

impl Band {
    /// How far outside a value lies; 0 in band.
    pub fn miss(&self, value: f64) -> f64 {
        (self.low - value).max(value - self.high).max(0.0)
    }

    /// Its ends in words, each as `number` writes it.
    pub fn words(&self, number: &dyn Fn(f64) -> String) -> String {
        match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) => format!("{} to {}", number(self.low), number(self.high)),
            (true, false) => format!("{} or more", number(self.low)),
            (false, true) => format!("{} or less", number(self.high)),
            (false, false) => "open".into(),
        }
    }

    /// How a value without uncertainty comes out.
    pub fn severity(&self, value: f64) -> Severity {
        let beyond =
            self.stop.0.is_some_and(|s| value < s) || self.stop.1.is_some_and(|s| value > s);
        let miss = self.miss(value);
        if beyond {
            Severity::Stop
        } else if miss <= 0.0 {
            Severity::InBand
        } else if miss <= self.slack {
            Severity::Watch
        } else {
            Severity::Out
        }
    }

    /// A value in band: the middle, or one end where the other is open.
    pub(super) fn middle(&self) -> f64 {
        match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) => f64::midpoint(self.low, self.high),
            (true, false) => self.low,
            (false, true) => self.high,
            (false, false) => 0.0,
        }
    }
}

/// What a target is set on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Goal {
    /// An output at ride height.
    Output(Output),
    /// The tire's least clearance to anything, over all of its travel and steer, mm.
    Clearance,
}

impl Goal {
    /// Everything a target can be set on, in reading order.
    pub fn all() -> impl Iterator<Item = Self> {
        Output::ALL.into_iter().map(Self::Output).chain([Self::Clearance])
    }

    /// Name in files, with its unit.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Output(output) => output.key(),
            Self::Clearance => "tire_clearance_mm",
        }
    }

    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Output(output) => output.label(),
            Self::Clearance => "Tire clearance, least",
        }
    }

    /// Its unit.
    pub const fn unit(self) -> Unit {
        match self {
            Self::Output(output) => output.unit(),
            Self::Clearance => Unit::Mm,
        }
    }
}

/// A person's own target: a band in place of the usual one, and how much it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Which axle.
    pub end: End,
    /// Of what.
    pub goal: Goal,
    /// Lowest value in band; `None` when open below.
    pub low: Option<f64>,
    /// Highest value in band; `None` when open above.
    pub high: Option<f64>,
    /// What a miss weighs beside others; 1 unless somebody said otherwise.
    pub weight: f64,
    /// True when a plan that misses it is no plan.
    pub must: bool,
}

impl Target {
    /// A band that weighs as much as any other.
    pub const fn new(end: End, goal: Goal, low: Option<f64>, high: Option<f64>) -> Self {
        Self { end, goal, low, high, weight: 1.0, must: false }
    }
}

/// The band of an output on this truck; `None` where there is nothing to judge.
pub fn band(output: Output, end: End, stock: &Answer, own: &[Target]) -> Option<Band> {
    aim(Goal::Output(output), end, stock, own).map(|aim| aim.band)
}

/// A band with how much it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Where the value should lie.
    pub band: Band,
    /// What a miss weighs beside others.
    pub weight: f64,
    /// True when a plan that misses it is no plan.
    pub must: bool,
}

/// What is aimed at on this truck, the usual or the person's own; `None` where there is nothing to
/// judge. A target with neither end only says how much the usual band counts.
pub fn aim(goal: Goal, end: End, stock: &Answer, own: &[Target]) -> Option<Aim> {
    let usual = match goal {
        Goal::Output(output) => usual(output, stock),
        Goal::Clearance => Some(CLEARANCE),
    };
    let Some(own) = own.iter().rev().find(|it| it.end == end && it.goal == goal) else {
        return usual.map(|band| Aim { band, weight: 1.0, must: false });
    };
    let counted = |band| Aim { band, weight: own.weight, must: own.must };
    if let (Some(band), None, None) = (usual, own.low, own.high) {
        return Some(counted(band));
    }
    let base = usual.unwrap_or(Band {
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
        slack: 0.0,
        stop: (None, None),
        source: Source::Person,
        why: "You set this limit yourself.",
    });
    Some(counted(Band {
        low: own.low.unwrap_or(f64::NEG_INFINITY),
        high: own.high.unwrap_or(f64::INFINITY),
        source: Source::Person,
        ..base
    }))
}

/// Room for what a tire gathers and for what flexes.
const CLEARANCE: Band = Band {
    low: 10.0,
    high: f64::INFINITY,
    slack: 10.0,
    stop: (Some(0.0), None),
    source: Source::CommonPractice,
    why: "A tire that touches at full bump or at lock cuts itself or is stopped by it: leave room for mud, for rubber that gives and for the tire's own growth.",
};

/// What driveshaft joints may run at.
const JOINTS: Source = Source::Published(
    "driveshaft maker's installation manual J3311-1, p. 10: 3° or less for continuous running, the pair equal within 1°",
);

#[expect(clippy::too_many_lines, reason = "one table, read from top to bottom")]
fn usual(output: Output, stock: &Answer) -> Option<Band> {
    let fixed = |reach: f64, slack: f64, why| Band {
        low: -reach,
        high: reach,
        slack,
        stop: (None, None),
        source: Source::CommonPractice,
        why,
    };
    // Around what the truck had when stock.
    let around = |below: f64, above: f64, slack: f64, why| {
        let middle = stock.attitude.get(output)?;
        Some(Band {
            low: middle - below,
            high: middle + above,
            slack,
            stop: (None, None),
            source: Source::ThisTruckStock,
            why,
        })
    };
    let steers = stock.model.steering.is_some();
    match output {
        Output::Panhard => {
            // A bar that was never level when stock is judged by what it was.
            let stock = stock.attitude.get(output)?.abs();
            let mut band = fixed(
                stock.max(3.0),
                3.0,
                "A sloped bar drags the axle sideways on every bump and lifts the body in a corner; near level it hardly does.",
            );
            if stock > 3.0 {
                band.source = Source::ThisTruckStock;
            }
            Some(band)
        }
        Output::LateralShift => Some(fixed(
            6.5,
            6.5,
            "The axle stands to one side: the truck tracks off its own centre and one tire is nearer the frame.",
        )),
        Output::AxleSteer => Some(fixed(
            0.25,
            0.25,
            "An axle that is not square steers the truck, and the steering wheel sits off centre to make up for it.",
        )),
        Output::Caster if steers => {
            let mut band = around(
                1.0,
                2.5,
                1.0,
                "Caster brings the wheels back to straight ahead. With too little the truck wanders and does not return by itself.",
            )?;
            band.stop.0 = Some(0.0_f64.min(stock.attitude.get(output)? - 2.0));
            Some(band)
        }
        Output::TrailLeft | Output::TrailRight => {
            let stock = stock.attitude.get(output)?;
            Some(Band {
                low: (stock * 0.6).min(stock),
                high: f64::INFINITY,
                slack: (stock * 0.3).abs(),
                stop: (Some(0.0_f64.min(stock)), None),
                source: Source::ThisTruckStock,
                why: "Trail is the lever that pulls the wheel straight. Without it the steering does not return; negative, it runs away to one side.",
            })
        }
        Output::ScrubLeft | Output::ScrubRight => around(
            15.0,
            15.0,
            15.0,
            "A longer lever from steering axis to tire: heavier steering, more kick from ruts, more load on bearings and ball joints.",
        ),
        Output::Pinion => around(
            2.0,
            2.0,
            2.0,
            "The pinion sets the driveshaft joint's angle; a changed one vibrates and wears the joint.",
        ),
        Output::JointCase | Output::JointAxle => {
            // A joint that ran at more when stock is judged by what it was.
            let stock = stock.attitude.get(output)?;
            let source = if stock > 3.0 { Source::ThisTruckStock } else { JOINTS };
            Some(Band {
                low: 0.0,
                high: stock.max(3.0),
                slack: 3.0,
                stop: (None, None),
                source,
                why: "The larger a joint's angle, the less even it turns and the sooner it wears; past its own limit its yokes touch.",
            })
        }
        Output::JointOpen => Some(Band {
            low: 0.0,
            high: stock.attitude.get(output)?.max(1.0),
            slack: 1.0,
            stop: (None, None),
            source: JOINTS,
            why: "What one joint speeds up the other should slow down by as much; what is left shakes the truck twice a turn.",
        }),
        Output::SlipIn | Output::SlipOut => Some(Band {
            low: 15.0,
            high: f64::INFINITY,
            slack: 10.0,
            stop: (Some(0.0), None),
            source: Source::CommonPractice,
            why: "Splines that run out push the shaft through its bearings or let it drop.",
        }),
        Output::HoseSlack => Some(Band {
            low: 20.0,
            high: f64::INFINITY,
            slack: 15.0,
            stop: (Some(0.0), None),
            source: Source::CommonPractice,
            why: "A hose that is tight at ride height tears at droop and lock.",
        }),
        Output::WheelbaseLeft | Output::WheelbaseRight => Some(fixed(
            12.0,
            12.0,
            "The wheel stands off the middle of its arch and rubs one end of it first.",
        )),
        Output::BumpSteerLeft | Output::BumpSteerRight => {
            // A truck that always steered on bumps is judged by what it was.
            let stock = stock.attitude.get(output)?.abs();
            let mut band = fixed(
                stock.max(0.15),
                0.15,
                "The wheels steer by themselves on every bump, because drag link and Panhard bar swing the two ends of the steering along different arcs.",
            );
            if stock > 0.15 {
                band.source = Source::ThisTruckStock;
            }
            Some(band)
        }
        Output::SteeringWheel => Some(fixed(
            5.0,
            10.0,
            "The axle has moved sideways under the box, so the steering wheel points off center on a straight road, and the box works beside its tight middle.",
        )),
        Output::DragAngle => around(
            1.5,
            1.5,
            1.5,
            "Drag link and Panhard bar are meant to lie parallel; what they differ by steers the wheels on bumps.",
        ),
        _ => None,
    }
}

/// The usual caution where an output bears on steering or wheels.
pub(super) const fn caution(output: Output) -> Option<&'static str> {
    Some(match output {
        Output::Caster
        | Output::CasterLeft
        | Output::CasterRight
        | Output::TrailLeft
        | Output::TrailRight => caution::ALIGNMENT,
        Output::Panhard | Output::LateralShift | Output::AxleSteer => caution::AXLE_HELD,
        Output::ScrubLeft | Output::ScrubRight => caution::WHEEL_OUT,
        Output::BumpSteerLeft
        | Output::BumpSteerRight
        | Output::SteeringWheel
        | Output::DragAngle => caution::LINKAGE,
        Output::Pinion
        | Output::JointCase
        | Output::JointAxle
        | Output::JointOpen
        | Output::SlipIn
        | Output::SlipOut => caution::DRIVESHAFT,
        Output::HoseSlack => caution::BRAKES,
        _ => return None,
    })
}
