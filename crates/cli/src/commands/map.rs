//! `tapewright map`: how the tires of one axle clear the truck over steering and travel.

use super::fit::{Asked, CAUTION, failure, key, question, sigmas_json, sure};
use super::text::fixed;
use super::{largest, window};
use crate::args::MapArgs;
use crate::failure::{Failure, pretty};
use fitment::clearance::{
    Beside, Cell, ClearanceMap, Contact, Sigmas, Stop, Touch, Trim, TrimLine, beside, trim_line,
};
use serde_json::{Value, json};
use std::fmt::Write;

pub(crate) fn run(args: &MapArgs) -> Result<String, Failure> {
    let mut asked = Asked::of(&args.fit, true, true)?;
    if let Some(side) = args.side {
        asked.fit.maps.retain(|map| map.side == side.of_truck());
        asked.fit.touches.retain(|touch| touch.side == side.of_truck());
        asked.fit.contacts.retain(|contact| contact.side == side.of_truck());
    }
    let (truck, (end, state)) = (&asked.truck, asked.at);
    let failed = |error| failure(&args.fit, &error);
    let steering = asked.fit.stops.map(|stops| stops.steer_rad);
    let beside = beside(truck, (end, state), &asked.options, steering).map_err(failed)?;
    let trim = trim_line(truck, end, state, &asked.options).map_err(failed)?;
    let extra = Extra { beside, trim };
    Ok(if args.fit.json {
        pretty(&to_json(args, &asked, &extra))
    } else {
        to_text(args, &asked, &extra)
    })
}

/// What goes with the maps.
struct Extra {
    beside: Beside,
    trim: Option<TrimLine>,
}

fn to_json(args: &MapArgs, asked: &Asked, extra: &Extra) -> Value {
    let found = &asked.fit;
    let mut answer = question(&args.fit);
    answer["domain"] = json!({
        "bump_mm": found.domain.bump_mm,
        "droop_mm": found.domain.droop_mm,
        "lock_deg": found.domain.lock_rad.to_degrees(),
    });
    answer["maps"] = found.maps.iter().map(map_json).collect();
    answer["first_contact"] =
        found.touches.iter().map(|it| touch_json(asked, it)).collect::<Vec<_>>().into();
    answer["contacts"] = found.contacts.iter().map(|it| contact_json(asked, it)).collect();
    answer["window"] = window::to_json(asked, found);
    answer["largest"] = largest::to_json(asked, found);
    answer["stops"] = stops_json(asked);
    answer["sigmas"] = sigmas_json(&asked.fit);
    answer["beside"] = beside_json(asked, &extra.beside);
    answer["trim"] = extra.trim.as_ref().map_or(Value::Null, trim_json);
    answer["unreachable_rows"] = found.unreachable_rows.into();
    answer
}

/// Rows are travels, columns steers; `null` where the axle cannot get.
fn map_json(map: &ClearanceMap) -> Value {
    let rows = |of: fn(&Cell) -> Value| -> Vec<Vec<Value>> {
        (0..map.travel_mm.len())
            .map(|row| {
                let cell = |column| map.cell(row, column).map_or(Value::Null, of);
                (0..map.steer_rad.len()).map(cell).collect()
            })
            .collect()
    };
    json!({
        "side": map.side.word(),
        "crossed": map.crossed,
        "steer_deg": map.steer_rad.iter().map(|steer| steer.to_degrees()).collect::<Vec<_>>(),
        "travel_mm": map.travel_mm,
        "clearance_mm": rows(|cell| cell.clearance_mm.into()),
        "obstacle": rows(|cell| key(cell.obstacle).into()),
    })
}

/// A line of first contact, each point by steer and travel.
fn touch_json(asked: &Asked, touch: &Touch) -> Value {
    let mut maps = asked.fit.maps.iter();
    let map =
        maps.find(|map| map.side == touch.side && map.crossed.total_cmp(&touch.crossed).is_eq());
    let point = |at: &[f64; 2]| {
        let [steer, travel] = map?.place(*at);
        Some(json!([steer.to_degrees(), travel]))
    };
    json!({
        "obstacle": key(touch.line.obstacle),
        "name": asked.name(touch.line.obstacle),
        "side": touch.side.word(),
        "crossed": touch.crossed,
        "steer_deg_travel_mm": touch.line.points.iter().filter_map(point).collect::<Vec<_>>(),
    })
}

fn contact_json(asked: &Asked, contact: &Contact) -> Value {
    json!({
        "obstacle": key(contact.obstacle),
        "name": asked.name(contact.obstacle),
        "side": contact.side.word(),
        "clearance_mm": contact.clearance_mm,
        "lower_mm": contact.lower_mm,
        "sigma_mm": contact.sigma_mm,
        "driver": contact.driver,
        "steer_deg": contact.steer_rad.to_degrees(),
        "travel_mm": contact.travel_mm,
        "travels_mm": contact.travels_mm(),
        "articulation_mm": contact.articulation_mm,
        "at_tire_mm": contact.at_tire.as_slice(),
        "at_truck_mm": contact.at_truck.as_slice(),
    })
}

fn beside_json(asked: &Asked, beside: &Beside) -> Value {
    json!({
        "poke_mm": beside.poke_mm,
        "poke_sigma_mm": beside.poke_sigma_mm,
        "scuff": beside.scuff.iter().map(|it| contact_json(asked, it)).collect::<Vec<_>>(),
        "turning_circle_mm": beside.turning_circle_mm,
        "turning_sigma_mm": beside.turning_sigma_mm,
        "stopped_circle_mm": beside.stopped_circle_mm,
    })
}

/// Angles from straight ahead upward, about the arch's own center.
fn trim_json(trim: &TrimLine) -> Value {
    let sector = |it: &Trim| {
        let [from, to] = it.angle_rad.map(f64::to_degrees);
        json!({ "from_deg": from, "to_deg": to, "depth_mm": it.depth_mm })
    };
    json!({
        "centre_mm": trim.centre_mm,
        "radius_mm": trim.radius_mm,
        "deepest_mm": trim.deepest_mm(),
        "sigma_mm": trim.sigma_mm,
        "sectors": trim.sectors.iter().map(sector).collect::<Vec<_>>(),
        "points_mm": trim.points_mm(),
    })
}

/// Stops that would help, each by itself.
fn stops_json(asked: &Asked) -> Value {
    let stop = |stop: Stop, field: &str, shown: fn(f64) -> f64| match stop {
        Stop::NotNeeded => json!({ "answer": "not_needed" }),
        Stop::At(at) => json!({ "answer": "at", field: shown(at) }),
        Stop::NoneHelps => json!({ "answer": "none_helps" }),
    };
    asked.fit.stops.as_ref().map_or(Value::Null, |stops| {
        json!({
            "steering": stop(stops.steer_rad, "lock_deg", f64::to_degrees),
            "bump": stop(stops.bump_mm, "bump_mm", |mm| mm),
        })
    })
}

fn to_text(args: &MapArgs, asked: &Asked, extra: &Extra) -> String {
    let found = &asked.fit;
    let mut text = asked.headline(&args.fit);
    // Writing to a string cannot fail.
    let _ = writeln!(text, "  least clearance       ±  not below  at travel    steer  crossed up");
    for contact in &found.contacts {
        let _ = writeln!(
            text,
            "  {:>8} mm {:>6} {:>7} mm {:>8} mm {:>7}° {:>8} mm  {} {}{}",
            fixed(contact.clearance_mm, 1),
            fixed(contact.sigma_mm, 1),
            fixed(contact.lower_mm, 1),
            fixed(contact.travel_mm, 1),
            fixed(contact.steer_rad.to_degrees(), 1),
            fixed(contact.articulation_mm, 1),
            contact.side.word(),
            asked.name(contact.obstacle),
            contact.driver.as_deref().map_or_else(String::new, |it| format!(", by {it}"))
        );
    }
    text.push_str(&window::to_text(asked, found));
    text.push_str(&stops_text(asked));
    text.push_str(&largest::to_text(asked, found));
    text.push_str(&trim_text(asked, extra.trim.as_ref()));
    text.push_str(&beside_text(&extra.beside));
    if found.unreachable_rows > 0 {
        let _ = writeln!(
            text,
            "  {} positions of the travel could not be reached and were left out",
            found.unreachable_rows
        );
    }
    text.push_str(
        "Negative is overlap. ± is one standard deviation, mostly by the input named last; over all \
         of the travel and steer\nthe clearance is not below the third number.\n",
    );
    text.push_str(CAUTION);
    text
}

fn stops_text(asked: &Asked) -> String {
    let Some(stops) = &asked.fit.stops else { return String::new() };
    let margin = fixed(asked.options.margin_mm, 0);
    let line = |what: &str, stop: Stop, shown: &dyn Fn(f64) -> String| match stop {
        Stop::NotNeeded => format!("  {what}: {margin} mm are left without one\n"),
        Stop::At(at) => format!("  {what}: leaves {margin} mm by itself at {}\n", shown(at)),
        Stop::NoneHelps => format!("  {what}: leaves no {margin} mm wherever it is set\n"),
    };
    let Sigmas { steer_rad, bump_mm, .. } = asked.fit.sigmas;
    let off = steer_rad.map(f64::to_degrees);
    let lock =
        |rad: f64| format!("{}° of the wheel that turns farther", sure(rad.to_degrees(), off, 1));
    let bump = |mm: f64| format!("{} mm of travel up from stock", sure(mm, bump_mm, 1));
    line("steering stop", stops.steer_rad, &lock) + &line("bump stop", stops.bump_mm, &bump)
}

/// The deepest cut, and where the edge has to be cut at all.
fn trim_text(asked: &Asked, trim: Option<&TrimLine>) -> String {
    let Some(trim) = trim else { return String::new() };
    let margin = fixed(asked.options.margin_mm, 0);
    let cut: Vec<&Trim> = trim.sectors.iter().filter(|it| it.depth_mm > 0.0).collect();
    let (Some(first), Some(last)) = (cut.first(), cut.last()) else {
        return format!("  arch: {margin} mm are left without cutting\n");
    };
    format!(
        "  arch: leaves {margin} mm cut back by up to {} mm (± {}), from {}° to {}° up from level ahead, as \
         seen from\n  {} mm ahead of and {} mm above the stock wheel's center\n",
        fixed(trim.deepest_mm(), 1),
        fixed(trim.sigma_mm, 1),
        fixed(first.angle_rad[0].to_degrees(), 0),
        fixed(last.angle_rad[1].to_degrees(), 0),
        fixed(trim.centre_mm[0], 0),
        fixed(trim.centre_mm[1], 0),
    )
}

fn beside_text(beside: &Beside) -> String {
    let mut text = String::new();
    if let Some([left, right]) = beside.poke_mm {
        let _ = writeln!(
            text,
            "  tire stands out past the arch: left {} mm, right {} mm{}",
            fixed(left, 1),
            fixed(right, 1),
            beside
                .poke_sigma_mm
                .map_or_else(String::new, |[l, r]| format!(" (± {})", fixed(l.max(r), 1)))
        );
    }
    if let Some(scuff) = beside.scuff.first() {
        let _ = writeln!(
            text,
            "  at full lock the {} arm is {} mm away (± {})",
            scuff.side.word(),
            fixed(scuff.clearance_mm, 1),
            fixed(scuff.sigma_mm, 1)
        );
    }
    let metres = |mm: f64| fixed(mm / 1000.0, 2);
    if let Some(circle) = beside.turning_circle_mm {
        let _ = write!(text, "  turning circle {} m", metres(circle));
        if let Some(sigma) = beside.turning_sigma_mm {
            let _ = write!(text, " (± {})", metres(sigma));
        }
        if let Some(stopped) = beside.stopped_circle_mm {
            let _ = write!(text, ", with that steering stop {} m", metres(stopped));
        }
        text.push('\n');
    }
    text
}
