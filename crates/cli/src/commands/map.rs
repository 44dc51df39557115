//! `tapewright map`: how the tires of one axle clear the truck over steering and travel.

use super::solve::missing;
use super::text::fixed;
use crate::args::MapArgs;
use crate::failure::{Failure, pretty};
use crate::input;
use fitment::clearance::{
    Cell, ClearanceMap, Contact, Fit, FitError, Obstacle, Options, Window, WindowEnd, fit,
};
use fitment::truck::Side;
use serde_json::{Value, json};
use std::fmt::Write;

pub(crate) fn run(args: &MapArgs) -> Result<String, Failure> {
    let build = input::build(&args.build)?;
    let path = format!("truck.{}", args.axle.name());
    let end = args.axle.of_truck();
    if build.truck.axle(end).is_none() {
        return Err(missing(path));
    }
    let options = Options::default();
    let mut found = fit(&build.truck, end, args.state.of_truck(), &options)
        .map_err(|error| failure(args, path, &error))?;
    if let Some(side) = args.side {
        found.maps.retain(|map| map.side == side.of_truck());
        found.contacts.retain(|contact| contact.side == side.of_truck());
    }
    Ok(if args.json {
        pretty(&to_json(args, &options, &found))
    } else {
        to_text(args, &options, &found)
    })
}

fn failure(args: &MapArgs, path: String, error: &FitError) -> Failure {
    match error {
        FitError::Unreachable(_) => {
            let why = error.to_string();
            let answer = json!({
                "state": args.state.name(),
                "axle": args.axle.name(),
                "unreachable": why,
            });
            Failure::Unreachable { why, answer }
        }
        FitError::NothingAround => Failure::Field {
            path: format!("{path}.surroundings"),
            what: "nothing to clear is given".into(),
            remedy: "measure the rail, the arch or the arm's thickness and fill one in".into(),
        },
        other => Failure::Field {
            path,
            what: other.to_string(),
            remedy: "correct it, and run `tapewright check` on the file".into(),
        },
    }
}

fn to_json(args: &MapArgs, options: &Options, found: &Fit) -> Value {
    json!({
        "state": args.state.name(),
        "axle": args.axle.name(),
        "domain": {
            "bump_mm": found.domain.bump_mm,
            "droop_mm": found.domain.droop_mm,
            "lock_deg": found.domain.lock_rad.to_degrees(),
        },
        "maps": found.maps.iter().map(map_json).collect::<Vec<_>>(),
        "contacts": found.contacts.iter().map(contact_json).collect::<Vec<_>>(),
        "window": found.window.as_ref().map(|window| window_json(options, window)),
        "unreachable_rows": found.unreachable_rows,
    })
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
        "side": side(map.side),
        "crossed": map.crossed,
        "steer_deg": map.steer_rad.iter().map(|steer| steer.to_degrees()).collect::<Vec<_>>(),
        "travel_mm": map.travel_mm,
        "clearance_mm": rows(|cell| cell.clearance_mm.into()),
        "obstacle": rows(|cell| obstacle(cell.obstacle).into()),
    })
}

fn contact_json(contact: &Contact) -> Value {
    json!({
        "obstacle": obstacle(contact.obstacle),
        "side": side(contact.side),
        "clearance_mm": contact.clearance_mm,
        "sigma_mm": contact.sigma_mm,
        "driver": contact.driver,
        "steer_deg": contact.steer_rad.to_degrees(),
        "travel_mm": contact.travel_mm,
        "articulation_mm": contact.articulation_mm,
        "at_tire_mm": contact.at_tire.as_slice(),
        "at_truck_mm": contact.at_truck.as_slice(),
    })
}

fn window_json(options: &Options, window: &Window) -> Value {
    let end = |end: &WindowEnd| {
        json!({
            "shift_mm": end.shift_mm,
            "offset_mm": end.offset_mm,
            "limited_by": end.limited_by.map(|(what, of)| {
                json!({ "obstacle": obstacle(what), "side": side(of) })
            }),
        })
    };
    match window {
        Window::Clears { inboard, outboard } => json!({
            "margin_mm": options.margin_mm,
            "clears": true,
            "inboard": end(inboard),
            "outboard": end(outboard),
        }),
        Window::Never { best, clearance_mm } => json!({
            "margin_mm": options.margin_mm,
            "clears": false,
            "best": end(best),
            "clearance_mm": clearance_mm,
        }),
    }
}

fn to_text(args: &MapArgs, options: &Options, found: &Fit) -> String {
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "{} axle, {}: travel {} to {} mm, steer {}° either way",
        args.axle.name(),
        args.state.name(),
        fixed(found.domain.droop_mm, 0),
        fixed(found.domain.bump_mm, 0),
        fixed(found.domain.lock_rad.to_degrees(), 1),
    );
    let _ = writeln!(text, "  least clearance                 at travel     steer  crossed up");
    for contact in &found.contacts {
        let _ = writeln!(
            text,
            "  {:<5} {:<5} {:>8} mm ± {:>5} {:>9} mm {:>8}° {:>8} mm  {}",
            side(contact.side),
            obstacle(contact.obstacle),
            fixed(contact.clearance_mm, 1),
            fixed(contact.sigma_mm, 1),
            fixed(contact.travel_mm, 1),
            fixed(contact.steer_rad.to_degrees(), 1),
            fixed(contact.articulation_mm, 1),
            contact.driver.as_deref().unwrap_or(""),
        );
    }
    let margin = fixed(options.margin_mm, 0);
    let _ = match &found.window {
        Some(Window::Clears { inboard, outboard }) => writeln!(
            text,
            "  with {margin} mm to spare the wheel's offset may be {} ({}) to {} mm ({})",
            fixed(outboard.offset_mm, 1),
            limited(outboard),
            fixed(inboard.offset_mm, 1),
            limited(inboard),
        ),
        Some(Window::Never { best, clearance_mm }) => writeln!(
            text,
            "  no wheel offset leaves {margin} mm to spare; best {} mm, where {} mm are left ({})",
            fixed(best.offset_mm, 1),
            fixed(*clearance_mm, 1),
            limited(best),
        ),
        None => Ok(()),
    };
    if found.unreachable_rows > 0 {
        let _ = writeln!(
            text,
            "  {} positions of the travel could not be reached and were left out",
            found.unreachable_rows
        );
    }
    text.push_str(
        "Negative is overlap. ± is one standard deviation; last, the input it hangs on most.\n\
         Turn the wheels lock to lock at full bump and droop on the truck before driving.\n",
    );
    text
}

fn limited(end: &WindowEnd) -> String {
    end.limited_by.map_or_else(
        || "nothing met".into(),
        |(what, of)| format!("{} {}", side(of), obstacle(what)),
    )
}

const fn obstacle(obstacle: Obstacle) -> &'static str {
    match obstacle {
        Obstacle::Rail => "rail",
        Obstacle::Arch => "arch",
        Obstacle::Arm => "arm",
    }
}

const fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}
