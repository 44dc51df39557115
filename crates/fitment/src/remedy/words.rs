//! A plan in plain words.

use super::{Change, Conflict, Found, Miss, Nearest, Odds, Plan, Relax, SideEffect, WhyNot};
use crate::{
    axle::Output,
    finding::plain,
    measure::{System, format},
    truck::{Hole, Part},
    words::{capital, inside},
};
use std::fmt::Write;

/// What to fit, what it gives and what still misses.
pub(super) fn plan(s: &Plan, system: System) -> String {
    format!("{}: {}", capital(&parts(&s.parts, system)), outcome(s, system))
}

/// Parts, one after the other.
fn parts(all: &[Part], system: System) -> String {
    if all.is_empty() {
        return "fit nothing".to_owned();
    }
    all.iter().map(|p| part(p, system)).collect::<Vec<_>>().join(" + ")
}

/// What a plan gives and what still misses.
fn outcome(s: &Plan, system: System) -> String {
    let mut got: Vec<String> = [Output::Panhard, Output::LateralShift, Output::Caster]
        .into_iter()
        .filter_map(|output| got(s, output, system))
        .collect();
    got.extend(s.clearance.as_ref().map(|nearest| clearance(nearest, system)));
    let rest = if s.misses.is_empty() {
        "everything judged at ride height is in band".to_owned()
    } else {
        let listed = s.misses.iter().take(3).map(|m| miss(m, system)).collect::<Vec<_>>();
        let more = match s.misses.len() {
            0..=3 => String::new(),
            all => format!("; and {} more", all - 3),
        };
        format!("still off: {}{more}", listed.join("; "))
    };
    let worse = s.side_effects.iter().map(|side| side_effect(side, system)).collect::<Vec<_>>();
    let worse = match worse.as_slice() {
        [] => String::new(),
        some => format!(" It costs: {}.", some.join("; ")),
    };
    format!("{}; {rest}.{worse}", got.join(", "))
}

/// A plan among all that were found: with what would bring the first of its misses in band.
pub(super) fn plan_among(found: &Found, s: &Plan, system: System) -> String {
    let mut words = plan(s, system);
    if let Some((output, more)) = found.to_add(s) {
        let name = inside(output.label());
        let _ = write!(words, " To bring {name} in band, add {}.", parts(&more, system));
    }
    words
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

/// Why a combination picked by hand is not the best, or that nothing beats it.
pub(super) fn why_not(w: &WhyNot, system: System) -> String {
    let mut words = plan(&w.plan, system);
    let musts: Vec<String> =
        w.plan.misses.iter().filter(|m| m.must).map(|m| miss(m, system)).collect();
    if !musts.is_empty() {
        let _ = write!(words, " It misses what you called a must: {}.", musts.join("; "));
    }
    match &w.beaten_by {
        Some(better) => {
            let (over, parts) = (better_by(better, &w.plan), parts(&better.parts, system));
            let _ = write!(words, " Another plan is nowhere worse, and {over}: {parts}.");
        }
        None => words.push_str(" No plan found is better everywhere at once."),
    }
    match &w.change {
        Some(one) => {
            let (change, then) = (change(one, system), outcome(&one.plan, system));
            let _ = write!(words, " The one change that helps most: {change}; then {then}");
        }
        None => words.push_str(" No single change makes it better."),
    }
    words
}

/// What a plan has over another that it covers.
fn better_by(better: &Plan, than: &Plan) -> String {
    let (a, b) = (&better.cost, &than.cost);
    let mut said = Vec::new();
    let mut put = |is: bool, what: &'static str| {
        if is {
            said.push(what);
        }
    };
    put(a.miss < b.miss, "misses its targets by less");
    put(a.work < b.work, "is less work");
    put(a.parts < b.parts, "needs fewer parts");
    put(a.side < b.side, "makes fewer things worse");
    said.join(", ")
}

fn change(c: &Change, system: System) -> String {
    let named = |p: &Part| part(p, system);
    match (&c.off, &c.on) {
        (Some(off), Some(on)) => format!("in place of {}, {}", named(off), named(on)),
        (None, Some(on)) => format!("add {}", named(on)),
        (Some(off), None) => format!("leave out {}", named(off)),
        (None, None) => "none".to_owned(),
    }
}

/// How likely targets are met, and which of them is least sure.
pub(super) fn odds(o: &Odds) -> String {
    let percent = |p: f64| format!("{} %", format::number(100.0 * p, 0));
    let mut words = match o.musts {
        Some(musts) => format!(
            "Given the ± of your measurements, it meets every must with {} likelihood, and everything judged with {}.",
            percent(musts),
            percent(o.all)
        ),
        None => format!(
            "Given the ± of your measurements, it meets everything judged with {} likelihood.",
            percent(o.all)
        ),
    };
    let room = o.clearance.map(|p| ("tire clearance".to_owned(), p));
    let each = o.each.iter().map(|(output, p)| (inside(output.label()), *p));
    let least = each.chain(room).min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((name, p)) = least.filter(|(_, p)| *p < 0.995) {
        let _ = write!(words, " Least sure: {name}, {}.", percent(p));
    }
    words
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
        Part::Wheel { wheel } => {
            format!("{label}, offset {}", format::length(wheel.offset_mm.value, system))
        }
        Part::Bend { .. } | Part::DoubleCardan {} => label,
    }
}

fn hole_name(holes: &[Hole], hole: usize) -> String {
    let name = holes.get(hole).map_or("", |h| h.name.as_str());
    if name.is_empty() || name.bytes().all(|b| b.is_ascii_digit()) {
        // A number needs no quotes, and no name is its number.
        let own = (hole + 1).to_string();
        return format!("hole {}", if name.is_empty() { &own } else { name });
    }
    format!("hole “{name}”")
}

/// Where a hole puts its pivot: `80 mm up, 25 mm forward`; nothing for what has no holes.
pub(super) fn place(part: &Part, system: System) -> String {
    let Part::Bracket { holes, hole, .. } = part else { return String::new() };
    let Some(hole) = holes.get(*hole) else { return String::new() };
    let ways = [
        (&hole.z_mm, "up", "down"),
        (&hole.x_mm, "forward", "back"),
        (&hole.y_mm, "outboard or left", "inboard or right"),
    ];
    let moved = ways.into_iter().filter(|(by, ..)| by.value.abs() >= 0.05);
    let each = moved.map(|(by, more, less)| {
        let size = format::length(by.value.abs(), system);
        format!("{size} {}", if by.value > 0.0 { more } else { less })
    });
    each.collect::<Vec<_>>().join(", ")
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
    let side = if m.band.low < 0.0 && m.band.high > 0.0 && m.band.high.is_finite() {
        "out by"
    } else if m.value < m.band.low {
        "short by"
    } else {
        "over by"
    };
    let (name, text) = (inside(m.output.label()), plain(m.output, by, system));
    if text == plain(m.output, 0.0, system) {
        return format!("{name} just out of band");
    }
    format!("{name} {side} {text}")
}

/// Where the tires come nearest to something.
fn clearance(nearest: &Nearest, system: System) -> String {
    let Nearest { clearance_mm, side, name, .. } = nearest;
    let side = side.word();
    let (size, name) = (format::length(clearance_mm.abs(), system), inside(name));
    let short = if nearest.clears() {
        String::new()
    } else {
        format!(", {} short", format::length(nearest.band.miss(*clearance_mm), system))
    };
    if *clearance_mm < 0.0 {
        format!("{side} tire {size} into the {name}{short}")
    } else {
        format!("tires clear by {size} at the {name}, {side}{short}")
    }
}

/// What an output comes to; sideways with its side instead of a sign, and in band by how much it is
/// within.
fn got(s: &Plan, output: Output, system: System) -> Option<String> {
    let value = s.attitude.get(output)?;
    let size = |value| plain(output, value, system);
    let missed = s.misses.iter().any(|miss| miss.output == output);
    let same = |before: f64| size(before) == size(value);
    let unchanged = s.before.and_then(|before| before.get(output)).is_some_and(same);
    Some(match output {
        Output::Panhard if missed => format!("Panhard bar still at {}", size(value)),
        Output::Panhard => format!("Panhard bar level within {}", size(value.abs())),
        Output::LateralShift if size(value.abs()) == size(0.0) => "axle centered".to_owned(),
        Output::LateralShift if !missed => format!("axle centered within {}", size(value.abs())),
        Output::LateralShift if value < 0.0 => format!("axle {} to the right", size(-value)),
        Output::LateralShift => format!("axle {} to the left", size(value)),
        // On an axle that does not steer, caster is how far it leans.
        Output::Caster if s.attitude.get(Output::CasterLeft).is_none() => return None,
        Output::Caster if unchanged => format!("caster unchanged at {}", size(value)),
        other => format!("{} {}", inside(other.label()), size(value)),
    })
}
