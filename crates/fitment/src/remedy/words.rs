//! A plan in plain words.

use super::{Conflict, Miss, Plan, Relax, SideEffect};
use crate::{
    axle::Output,
    finding::plain,
    measure::{System, format},
    truck::{Hole, Part},
    words::{capital, inside},
};

/// What to fit, what it gives and what still misses.
pub(super) fn plan(s: &Plan, system: System) -> String {
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
    let worse = s.side_effects.iter().map(|side| side_effect(side, system)).collect::<Vec<_>>();
    let worse = match worse.as_slice() {
        [] => String::new(),
        some => format!(" It costs: {}.", some.join("; ")),
    };
    format!("{}: {got}; {rest}.{worse}", capital(&parts))
}

/// What fights, and by how much one of it would have to give.
pub(super) fn conflict(c: &Conflict, system: System) -> String {
    let name = |relax: &Relax| inside(relax.output.label());
    let by = |relax: &Relax| plain(relax.output, relax.by, system);
    match c.between.as_slice() {
        [] => String::new(),
        [alone] => format!(
            "{} cannot be brought in band with these parts: at its nearest it is {} off. Allow it that much, or put more on the shelf.",
            capital(&name(alone)),
            by(alone)
        ),
        several => {
            let names = several.iter().map(name).collect::<Vec<_>>().join(" and ");
            let ways = several
                .iter()
                .map(|relax| format!("allow {} {} more", name(relax), by(relax)))
                .collect::<Vec<_>>()
                .join(", or ");
            format!("{} cannot all be in band with these parts: {ways}.", capital(&names))
        }
    }
}

fn side_effect(side: &SideEffect, system: System) -> String {
    format!(
        "{} goes from {} to {}",
        inside(side.output.label()),
        plain(side.output, side.before, system),
        plain(side.output, side.now, system)
    )
}

/// One part in words.
pub(super) fn part(part: &Part, system: System) -> String {
    let label = inside(part.kind().label());
    match part {
        Part::Bracket { holes, hole, .. } => format!("{label}, {}", hole_name(holes, *hole)),
        Part::Length { change_mm, .. } => format!("{label} {}", longer(change_mm.value, system)),
        Part::Turn { angle_deg: deg, .. } | Part::SteeringStop { lock_deg: deg, .. } => {
            format!("{label}, {}", format::degrees(deg.value, 1))
        }
        Part::Step { step_mm: mm, .. } | Part::ArchTrim { depth_mm: mm } => {
            format!("{label}, {}", format::length(mm.value, system))
        }
        Part::Tire { tire } => format!("{label}, {}", tire.size),
        Part::Wheel { .. } | Part::Bend { .. } | Part::DoubleCardan {} => label,
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
