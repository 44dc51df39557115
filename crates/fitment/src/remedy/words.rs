//! A suggestion in plain words.

use super::{Miss, Suggestion};
use crate::{
    axle::Output,
    finding::plain,
    measure::{System, format},
    truck::{Hole, Part},
    words::{capital, inside},
};

/// What to fit, what it gives and what still misses.
pub(super) fn suggestion(s: &Suggestion, system: System) -> String {
    let parts = if s.parts.is_empty() {
        "Fit nothing".to_owned()
    } else {
        s.parts.iter().map(|p| part(p, system)).collect::<Vec<_>>().join(" + ")
    };
    let got = [Output::Panhard, Output::LateralShift, Output::Caster]
        .into_iter()
        .filter_map(|o| Some(got(o, s.attitude.get(o)?, system)))
        .collect::<Vec<_>>()
        .join(", ");
    let rest = if s.misses.is_empty() {
        "everything judged is in band".to_owned()
    } else {
        let listed = s.misses.iter().take(3).map(|m| miss(m, system)).collect::<Vec<_>>();
        format!("still off: {}", listed.join("; "))
    };
    format!("{}: {got}; {rest}.", capital(&parts))
}

/// One part in words.
pub(super) fn part(part: &Part, system: System) -> String {
    match part {
        Part::PanhardAxleBracket { holes, hole } => {
            format!("axle bracket for the Panhard bar, {}", hole_name(holes, *hole))
        }
        Part::PanhardChassisBracket { holes, hole } => {
            format!("frame bracket for the Panhard bar, {}", hole_name(holes, *hole))
        }
        Part::PanhardLength { change_mm, .. } => {
            format!("Panhard bar {}", longer(change_mm.value, system))
        }
        Part::ArmBracket { holes, hole } => format!("arm brackets, {}", hole_name(holes, *hole)),
        Part::CasterBush { angle_deg, .. } => {
            format!("caster bushes of {}", format::degrees(angle_deg.value, 1))
        }
        Part::DragLinkLength { change_mm, .. } => {
            format!("drag link {}", longer(change_mm.value, system))
        }
        Part::UpperLinkLength { change_mm, .. } => {
            format!("upper link {}", longer(change_mm.value, system))
        }
        Part::ArchTrim { depth_mm } => {
            format!("wheel arch cut back by {}", format::length(depth_mm.value, system))
        }
        Part::BumpStop { change_mm, .. } => {
            format!("bump stop {}", longer(change_mm.value, system))
        }
        Part::SteeringStop { lock_deg, .. } => {
            format!("steering stop at {}", format::degrees(lock_deg.value, 1))
        }
    }
}

fn hole_name(holes: &[Hole], hole: usize) -> String {
    let name = holes.get(hole).map_or("", |h| h.name.as_str());
    if name.is_empty() { format!("hole {}", hole + 1) } else { format!("hole “{name}”") }
}

fn longer(change: f64, system: System) -> String {
    let size = format::length(change.abs(), system);
    match change {
        c if c > 0.0 => format!("{size} longer"),
        c if c < 0.0 => format!("{size} shorter"),
        _ => "at stock length".to_owned(),
    }
}

fn miss(m: &Miss, system: System) -> String {
    let by = m.band.miss(m.value);
    let side = if m.value < m.band.low { "short by" } else { "over by" };
    format!("{} {side} {}", inside(m.output.label()), plain(m.output, by, system))
}

/// What an output comes to; sideways with its side instead of a sign.
fn got(output: Output, value: f64, system: System) -> String {
    let size = |value| plain(output, value, system);
    match output {
        Output::LateralShift if size(value.abs()) == size(0.0) => "axle centered".to_owned(),
        Output::LateralShift if value < 0.0 => format!("axle {} to the right", size(-value)),
        Output::LateralShift => format!("axle {} to the left", size(value)),
        other => format!("{} {}", short(other), size(value)),
    }
}

const fn short(output: Output) -> &'static str {
    match output {
        Output::Panhard => "Panhard bar at",
        Output::Caster => "caster",
        other => other.label(),
    }
}
