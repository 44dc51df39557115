//! Each output's formula with this truck's numbers in it, so that anyone can check it by hand.

use crate::{
    axle::{Answer, Output},
    measure::format::number,
    source::{self, Source},
    truck::Side,
};

/// The source of an output's formula.
pub(super) const fn source(output: Output) -> Source {
    match output {
        Output::RollCentreHeight => source::GILLESPIE_ROLL_CENTRE,
        Output::TrailLeft | Output::TrailRight | Output::ScrubLeft | Output::ScrubRight => {
            source::TRAIL_SCRUB
        }
        Output::Caster | Output::CasterLeft | Output::CasterRight | Output::Panhard => {
            source::ISO_8855
        }
        _ => source::POSE,
    }
}

/// The formula of an output with the numbers of `answer` in it; lengths in mm.
pub fn formula(output: Output, answer: &Answer) -> String {
    let value = answer.attitude.get(output);
    let shown = |decimals| value.map_or_else(|| "—".to_owned(), |v| number(v, decimals));
    let n = |v: f64| number(v, 1);
    let bar = &answer.model.fitted.panhard;
    let low = answer.pose.axle.point(&bar.axle);
    let high = bar.chassis;
    let pitch = (-answer.pose.axle.turn[(2, 0)]).atan2(answer.pose.axle.turn[(2, 2)]).to_degrees();
    match output {
        Output::Panhard => format!(
            "atan(rise / span) = atan({} / {}) = {}°",
            n(high.z - low.z),
            n((high.y - low.y).abs()),
            shown(2)
        ),
        Output::LateralShift => {
            let arc = |p: &nalgebra::Vector3<f64>| (high.y - p.y).abs();
            let stock = arc(&answer.model.design.panhard.axle);
            let now = (high.y - low.y).abs();
            format!(
                "the bar, {} long, spans {} sideways where it spanned {} stock; solved with the whole linkage the axle moves {}",
                n(bar.length),
                n(now),
                n(stock),
                shown(1)
            )
        }
        Output::Caster | Output::CasterLeft | Output::CasterRight => format!(
            "stock caster less the axle's turn: the axle's top has turned {}° forward; axis against vertical = {}°",
            number(pitch, 2),
            shown(2)
        ),
        Output::Pinion => format!(
            "stock pinion angle turned with the axle, which has turned {}°: {}°",
            number(pitch.abs(), 2),
            shown(2)
        ),
        Output::RollCentreHeight => format!(
            "bar at the centre plane: {} + (0 − {})·({} − {})/({} − {}), above ground at {} = {}",
            n(low.z),
            n(low.y),
            n(high.z),
            n(low.z),
            n(high.y),
            n(low.y),
            n(answer.pose.axle.shift.z - answer.model.loaded_radius),
            shown(1)
        ),
        Output::TrailLeft => offsets(answer, Side::Left, true, &shown(1)),
        Output::TrailRight => offsets(answer, Side::Right, true, &shown(1)),
        Output::ScrubLeft => offsets(answer, Side::Left, false, &shown(1)),
        Output::ScrubRight => offsets(answer, Side::Right, false, &shown(1)),
        Output::AxleSteer => format!("atan2(−R₀₁, R₁₁) of the solved axle = {}°", shown(2)),
        Output::Roll => format!(
            "asin((travel left − travel right)/track) with travels {} and {} = {}°",
            n(answer.travel[0]),
            n(answer.travel[1]),
            shown(2)
        ),
        Output::WheelbaseLeft | Output::WheelbaseRight => format!(
            "fore-aft movement of the stock wheel centre, solved with the whole linkage = {}",
            shown(1)
        ),
        Output::ArmLeft | Output::ArmRight => {
            format!("atan(rise / length along) of the arm in side view = {}°", shown(2))
        }
    }
}

/// Trail or scrub of a side: the axis carried down to the ground.
fn offsets(answer: &Answer, side: Side, trail: bool, shown: &str) -> String {
    let Some((point, k)) = answer.model.steering_axis(&answer.pose, side) else {
        return shown.to_owned();
    };
    let wheel = answer.model.wheel(&answer.pose, side, 0.0);
    let drop = point.z - wheel.contact.z;
    let n = |v: f64| number(v, 1);
    if trail {
        let caster = (-k.x).atan2(k.z).to_degrees();
        format!(
            "axis ahead of the wheel centre + height·tan(caster) = {} + {}·tan({}°) = {shown}",
            n(point.x - wheel.centre.x),
            n(drop),
            number(caster, 2)
        )
    } else {
        let lean = (-k.y * side.sign()).atan2(k.z).to_degrees();
        format!(
            "axis to wheel plane at hub height − height·tan(kingpin inclination) = {} − {}·tan({}°) = {shown}",
            n((wheel.centre.y - point.y) * side.sign()),
            n(drop),
            number(lean, 2)
        )
    }
}
