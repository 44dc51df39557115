//! The usual bands, each with its source; a person may set their own.

use super::Severity;
use crate::{
    axle::{Answer, Output},
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

/// A person's own limits for one output.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandChange {
    /// Which axle.
    pub end: End,
    /// Which output.
    pub output: Output,
    /// Lowest value in band; `None` when open below.
    pub low: Option<f64>,
    /// Highest value in band; `None` when open above.
    pub high: Option<f64>,
}

/// The band of an output on this truck; `None` where there is nothing to judge.
pub fn band(output: Output, end: End, stock: &Answer, changes: &[BandChange]) -> Option<Band> {
    let usual = usual(output, stock);
    let own = changes.iter().rev().find(|c| c.end == end && c.output == output);
    match own {
        None => usual,
        Some(own) => {
            let base = usual.unwrap_or(Band {
                low: f64::NEG_INFINITY,
                high: f64::INFINITY,
                slack: 0.0,
                stop: (None, None),
                source: Source::Person,
                why: "You set this limit yourself.",
            });
            Some(Band {
                low: own.low.unwrap_or(f64::NEG_INFINITY),
                high: own.high.unwrap_or(f64::INFINITY),
                source: Source::Person,
                ..base
            })
        }
    }
}

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
    match output {
        Output::Caster
        | Output::CasterLeft
        | Output::CasterRight
        | Output::TrailLeft
        | Output::TrailRight => Some(
            "Steering geometry: after any change have the alignment measured on a rig by someone licensed for it, and drive slowly first. Local codes may ask for an engineer's approval.",
        ),
        Output::Panhard | Output::LateralShift | Output::AxleSteer => Some(
            "The bar and its brackets hold the axle under the truck. Brackets welded to frame or axle are work for a qualified welder; check local codes before you cut.",
        ),
        Output::ScrubLeft | Output::ScrubRight => Some(
            "Spacers and changed offset load wheel bearings, studs and steering beyond what they were made for; some places forbid them. Check local codes and torque again after the first drive.",
        ),
        Output::BumpSteerLeft
        | Output::BumpSteerRight
        | Output::SteeringWheel
        | Output::DragAngle => Some(
            "Steering linkage: joints, lengths and clearances decide whether the truck can be steered. Have any change inspected by someone licensed for it, turn lock to lock at full droop and full bump before driving, and check local codes.",
        ),
        Output::Pinion => {
            Some("Check both driveshaft joints and the slip's travel at full droop before driving.")
        }
        _ => None,
    }
}
