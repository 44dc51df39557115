//! Each output's formula with this truck's numbers in it, so that anyone can check it by hand.

use crate::{
    axle::{Answer, Output, steer_roll_pitch},
    measure::format::number,
    source::{self, Source},
    truck::Side,
};

/// The source of an output's formula.
#[inline]
pub const fn source(output: Output) -> Source {
    match output {
        Output::RollCentreHeight | Output::RollCentreKinematic | Output::RollSteer => {
            source::GILLESPIE_ROLL_CENTRE
        }
        Output::InstantCentreX
        | Output::InstantCentreZ
        | Output::AntiDive
        | Output::AntiLift
        | Output::AntiSquat => source::MILLIKEN_ANTI,
        Output::Ackermann | Output::TurningCircle => source::ACKERMANN,
        Output::BumpSteerLeft
        | Output::BumpSteerRight
        | Output::BumpToe
        | Output::SteeringWheel
        | Output::DragLink
        | Output::DragAngle
        | Output::DragLength => source::BUMP_STEER,
        Output::Jacking => source::JACKING,
        Output::JointCase
        | Output::JointAxle
        | Output::JointOpen
        | Output::SlipIn
        | Output::SlipOut
        | Output::HoseSlack => source::LINES,
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
#[expect(clippy::too_many_lines, reason = "one table, read from top to bottom")]
#[inline]
pub fn formula(output: Output, answer: &Answer) -> String {
    let value = answer.attitude.get(output);
    let shown = |decimals| value.map_or_else(|| "—".to_owned(), |v| number(v, decimals));
    let n = |v: f64| number(v, 1);
    let a = &answer.model.around;
    let get = |output| answer.attitude.get(output).unwrap_or(0.0);
    let (_, _, pitch) = steer_roll_pitch(&answer.pose.axle.turn);
    let pitch = pitch.to_degrees();
    match output {
        Output::Panhard | Output::LateralShift | Output::Jacking => {
            bar_formula(output, answer, &shown)
        }
        Output::RollCentreHeight if answer.model.fitted.panhard.is_some() => {
            bar_formula(output, answer, &shown)
        }
        Output::Caster | Output::CasterLeft | Output::CasterRight => format!(
            "stock caster less the axle's turn: the axle's top has turned {}° forward{}; axis against vertical = {}°",
            number(pitch, 2),
            match answer.model.flange {
                0.0 => String::new(),
                turn => format!(", the knuckles on it {}° rearward", number(turn.to_degrees(), 2)),
            },
            shown(2)
        ),
        Output::Pinion => format!(
            "stock pinion angle turned with the axle, which has turned {}°: {}°",
            number(pitch.abs(), 2),
            shown(2)
        ),
        Output::RollCentreHeight if answer.model.fitted.watts.is_some() => {
            format!("the Watts linkage's pivot above ground = {}", shown(1))
        }
        Output::RollCentreHeight | Output::RollCentreKinematic => format!(
            "where the centre plane has no sideways velocity while one wheel rises and the other falls, above ground = {}",
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
        Output::ArmLeft | Output::ArmRight | Output::UpperLeft | Output::UpperRight => {
            format!("atan(rise / length along) of the member in side view = {}°", shown(2))
        }
        Output::InstantCentreX | Output::InstantCentreZ => format!(
            "side-view pole of both wheels' travel: {} ahead of the axle, {} above ground",
            n(get(Output::InstantCentreX)),
            n(get(Output::InstantCentreZ))
        ),
        Output::AntiDive => anti(answer, a.front_brake, value),
        Output::AntiLift => anti(answer, 1.0 - a.front_brake, value),
        Output::AntiSquat => anti(answer, 1.0 - a.front_drive, value),
        Output::RollSteer => {
            format!("axle steer / roll, one wheel up and the other down = {} %", shown(2))
        }
        Output::RollStiffness => format!(
            "couple of the wheels' forces against the rubber, for each degree of roll = {} N·m/°",
            shown(1)
        ),
        Output::SpringRatioLeft
        | Output::SpringRatioRight
        | Output::ShockRatioLeft
        | Output::ShockRatioRight => {
            format!("shortening / travel of both wheels = {}", shown(3))
        }
        Output::SteerLeft | Output::SteerRight => {
            format!("heading of the wheel, axle steer included = {}°", shown(2))
        }
        Output::Toe => format!(
            "right heading − left heading = {}° − {}° = {}°",
            number(get(Output::SteerRight), 2),
            number(get(Output::SteerLeft), 2),
            shown(2)
        ),
        Output::BumpSteerLeft | Output::BumpSteerRight => format!(
            "knuckle turned by the drag link with the pitman arm held, and the axle's own steer, for 25 mm = {}°",
            shown(3)
        ),
        Output::BumpToe => format!(
            "change of toe for 25 mm · tire diameter = ({}° − {}°)·π/180·{} = {}",
            number(get(Output::BumpSteerRight), 3),
            number(get(Output::BumpSteerLeft), 3),
            n(a.tire_diameter),
            shown(2)
        ),
        Output::SteeringWheel => format!(
            "pitman turn that points the road wheels straight · steering ratio {} = {}°",
            answer.model.turning.map_or_else(|| "—".to_owned(), |t| n(t.ratio)),
            shown(1)
        ),
        Output::DragLink => {
            format!("atan(rise / span) of the drag link in front view = {}°", shown(2))
        }
        Output::DragAngle => format!(
            "slope of the drag link − slope of the Panhard bar in front view = {}°",
            shown(2)
        ),
        Output::DragLength => {
            format!("front-view length of the drag link − that of the Panhard bar = {}", shown(1))
        }
        Output::JointCase | Output::JointAxle | Output::JointOpen => {
            joints(output, answer, &shown(2))
        }
        Output::SlipIn | Output::SlipOut => {
            let (line, length) = (answer.model.driveline, shaft_length(answer));
            let stock = line.map_or(0.0, |line| line.stock_length);
            let longer = line.map_or(0.0, |line| line.longer);
            format!(
                "slip at stock {} what the splines are pulled out by, {} − {} − {} = {}",
                if output == Output::SlipIn { "+" } else { "−" },
                n(length),
                n(stock),
                n(longer),
                shown(1)
            )
        }
        Output::HoseSlack => format!(
            "length of the hose {} − straight line between its ends = {}",
            n(answer.model.hose.map_or(0.0, |hose| hose.length)),
            shown(1)
        ),
        Output::Ackermann => format!(
            "outer steer − arccot(cot(inner) + axis spacing / wheelbase {}) = {}°",
            n(a.wheelbase),
            shown(2)
        ),
        Output::TurningCircle => format!(
            "2·(wheelbase / sin(outer steer) + scrub) with wheelbase {} = {}",
            n(a.wheelbase),
            shown(0)
        ),
    }
}

/// Formulas that read the Panhard bar's ends.
#[inline]
fn bar_formula(output: Output, answer: &Answer, shown: &dyn Fn(usize) -> String) -> String {
    let n = |v: f64| number(v, 1);
    let (Some(bar), Some(design)) = (&answer.model.fitted.panhard, &answer.model.design.panhard)
    else {
        return format!("solved with the whole linkage = {}", shown(1));
    };
    let (low, high) = (answer.pose.axle.point(&bar.axle), bar.chassis);
    let span = (high.y - low.y).abs();
    match output {
        Output::Panhard => {
            format!("atan(rise / span) = atan({} / {}) = {}°", n(high.z - low.z), n(span), shown(2))
        }
        Output::Jacking => format!(
            "1000 N · rise / span = 1000·{} / {} = {}",
            n(high.z - low.z),
            n(span),
            shown(0)
        ),
        Output::LateralShift => format!(
            "the bar, {} long, spans {} sideways where it spanned {} stock; solved with the whole linkage the axle moves {}",
            n(bar.length),
            n(span),
            n((design.chassis.y - design.axle.y).abs()),
            shown(1)
        ),
        _ => format!(
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
    }
}

/// From joint to joint of the driveshaft, mm.
#[inline]
fn shaft_length(answer: &Answer) -> f64 {
    let joint = answer.pose.axle.point(&answer.model.pinion_joint());
    answer.model.driveline.map_or(0.0, |line| (joint - line.case).norm())
}

/// Angles of the driveshaft's joints.
#[inline]
fn joints(output: Output, answer: &Answer, shown: &str) -> String {
    let double = answer.model.driveline.is_some_and(|line| line.double);
    match output {
        Output::JointCase if double => format!(
            "half of acos(case output · shaft), a double-Cardan joint, in 3D over {} mm = {shown}°",
            number(shaft_length(answer), 0)
        ),
        Output::JointOpen if double => {
            format!("behind a double-Cardan joint, the axle joint's own = {shown}°")
        }
        Output::JointOpen => {
            let angle = |output| number(answer.attitude.get(output).unwrap_or(0.0), 2);
            let (case, axle) = (angle(Output::JointCase), angle(Output::JointAxle));
            format!("|case joint − axle joint| = |{case}° − {axle}°| = {shown}°")
        }
        _ => format!(
            "acos of the two shafts' directions, in 3D over {} mm from joint to joint = {shown}°",
            number(shaft_length(answer), 0)
        ),
    }
}

/// Anti-dive, -lift or -squat: share · slope · wheelbase / height.
#[inline]
fn anti(answer: &Answer, share: f64, percent: Option<f64>) -> String {
    let a = &answer.model.around;
    let Some(percent) = percent else { return "—".to_owned() };
    let slope = percent / 100.0 * a.cg_height / (share * a.wheelbase);
    format!(
        "share {} · fore-aft slope of the contact {} · wheelbase {} / height of the center of gravity {} = {} %",
        number(share, 2),
        number(slope, 4),
        number(a.wheelbase, 0),
        number(a.cg_height, 0),
        number(percent, 1),
    )
}

/// Trail or scrub of a side: the axis carried down to the ground.
#[inline]
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
