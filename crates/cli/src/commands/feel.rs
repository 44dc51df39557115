//! `tapewright feel`: from what the driver feels to what this truck's numbers say may cause it.

use super::solve::{missing, no_answer};
use super::text::system;
use crate::args::FeelArgs;
use crate::failure::{Failure, pretty};
use crate::input;
use fitment::calibrate::answer_surely;
use fitment::clearance::{Options, fit};
use fitment::finding::findings;
use fitment::measure::System;
use fitment::symptom::{Cause, Evidence, Seen, Symptom, causes};
use fitment::truck::State;
use fitment::words::capital;
use serde_json::{Value, json};
use std::fmt::Write;

pub(crate) fn run(args: &FeelArgs) -> Result<String, Failure> {
    let (Some(file), Some(symptom)) = (&args.build, args.symptom) else {
        return Ok(list(args.json));
    };
    let build = input::build(file)?;
    let (end, state) = (args.axle.of_truck(), args.state.of_truck());
    let Some(axle) = build.truck.axle(end) else {
        return Err(missing(format!("truck.{}", args.axle.name())));
    };
    let solved = |state| {
        answer_surely(&build.truck, end, state).map_err(|error| no_answer(args.axle, &error))
    };
    let (stock, now) = (solved(State::Stock)?, solved(state)?);
    let findings = findings(end, state, &stock, &now, &build.own_targets());
    // A truck whose tire or surroundings are not filled in still has its other numbers.
    let fitted = symptom
        .asks_for_contacts()
        .then(|| fit(&build.truck, end, state, &Options::default()).map(|fit| fit.contacts))
        .transpose();
    let (contacts, why_no_fit) = match fitted {
        Ok(contacts) => (contacts.unwrap_or_default(), None),
        Err(why) => (Vec::new(), Some(why.to_string())),
    };
    let evidence = Evidence { axle, now: &now, findings: &findings, contacts: &contacts };
    let found = causes(symptom, &evidence);
    let system = system(build.units);
    Ok(if args.json {
        pretty(&json!({
            "axle": args.axle.name(),
            "state": args.state.name(),
            "symptom": symptom.key(),
            "label": symptom.label(),
            "no_fit": why_no_fit,
            "causes": found.iter().map(to_json).collect::<Vec<_>>(),
            "unseen": symptom.unseen(),
            "caution": symptom.caution(),
        }))
    } else {
        to_text(symptom, &found, why_no_fit.as_deref(), system)
    })
}

fn list(as_json: bool) -> String {
    if as_json {
        let all = Symptom::ALL.iter().map(|it| json!({ "key": it.key(), "label": it.label() }));
        return pretty(&all.collect());
    }
    Symptom::ALL.iter().fold(String::new(), |mut text, it| {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{:<14} {}", it.key(), it.label());
        text
    })
}

fn to_json(cause: &Cause) -> Value {
    let seen = match &cause.seen {
        Seen::Number { output, value, sigma, band } => json!({
            "output": output.key(),
            "value": value,
            "uncertainty": sigma,
            "unit": output.unit().symbol(),
            "low": Some(band.low).filter(|it| it.is_finite()),
            "high": Some(band.high).filter(|it| it.is_finite()),
        }),
        Seen::Near { name, side, clearance_mm, sigma_mm } => json!({
            "near": name,
            "side": side.word(),
            "clearance_mm": clearance_mm,
            "uncertainty_mm": sigma_mm,
        }),
        Seen::Nothing => Value::Null,
    };
    json!({
        "what": cause.what,
        "standing": cause.standing.word(),
        "strength": cause.strength,
        "seen": seen,
        "confirm": cause.confirm,
        "helps": cause.helps.iter().map(|kind| kind.traits().label).collect::<Vec<_>>(),
        "source": cause.source.words(),
    })
}

fn to_text(symptom: Symptom, found: &[Cause], no_fit: Option<&str>, system: System) -> String {
    let mut text = format!("{}\n\n", symptom.label());
    if let Some(why) = no_fit {
        let _ = writeln!(text, "No tire fit to go by: {why}.\n");
    }
    for (place, cause) in found.iter().enumerate() {
        let _ = writeln!(text, "{}. {}: {}", place + 1, cause.what, cause.standing.word());
        let numbers = cause.numbers(system);
        if !numbers.is_empty() {
            let _ = writeln!(text, "   {} ({})", capital(&numbers), cause.source.words());
        }
        let _ = writeln!(text, "   To confirm: {}", cause.confirm);
        if !cause.helps.is_empty() {
            let helps: Vec<_> = cause.helps.iter().map(|kind| kind.traits().label).collect();
            let _ = writeln!(text, "   What helps: {}", helps.join("; "));
        }
    }
    if found.is_empty() {
        text.push_str("No number of this axle bears on it.\n");
    }
    let _ = writeln!(
        text,
        "\n{}\n{}\nWhich number may cause what is common practice, no source.",
        symptom.unseen(),
        symptom.caution()
    );
    text
}
