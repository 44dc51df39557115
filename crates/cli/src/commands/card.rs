//! `tapewright card`: a check of the rest of the truck, by itself.

use crate::args::CardArgs;
use crate::failure::{Failure, pretty};
use crate::input;
use checks::{Answered, Card, CardError, Entry, Field, Kind, Line, OfTruck};
use fitment::finding::{Band, Severity};
use fitment::measure::{System, format};
use serde_json::{Map, Value, json};
use std::fmt::Write;

pub(crate) fn run(args: &CardArgs) -> Result<String, Failure> {
    let build = args.build.as_deref().map(input::build).transpose()?;
    let (end, state) = (args.axle.of_truck(), args.state.of_truck());
    let system = if args.inch { System::Inch } else { System::Metric };
    let Some(name) = &args.name else {
        return Ok(match build {
            None => list(args.json),
            Some(build) => about(&checks::of_truck(&build.truck, end, state), args.json, system),
        });
    };
    let card = checks::card(name).ok_or_else(|| unknown(name))?;
    let told = build.map(|build| card.from_truck(&build.truck, end, state));
    let given = args.given.iter().map(|(key, text)| (key.as_str(), text.as_str()));
    let start = card.with(&told.unwrap_or_default());
    let entries = card.entries_on(start, given, system).map_err(|error| wrong(card, &error))?;
    let answered = card.answer(&entries).map_err(|error| wrong(card, &error))?;
    Ok(if args.json {
        pretty(&to_json(card, &entries, &answered))
    } else {
        to_text(card, &entries, &answered, system)
    })
}

fn list(json: bool) -> String {
    if json {
        let card = |card: &Card| json!({ "card": card.slug, "title": card.title, "about": card.about, "words": card.words });
        return pretty(&checks::ALL.iter().map(card).collect());
    }
    let lines = checks::ALL.iter().map(|card| format!("{:<12} {}\n", card.slug, card.about));
    lines
        .chain(["\nAnswer one with `tapewright card NAME [KEY=VALUE ...]`.\n".to_owned()])
        .collect()
}

/// What the cards find about a build, with every caution that goes with it.
fn about(found: &[OfTruck], json: bool, system: System) -> String {
    let mut cautions: Vec<&str> = Vec::new();
    for caution in found.iter().flat_map(|of| &of.card.cautions) {
        if !cautions.contains(caution) {
            cautions.push(caution);
        }
    }
    if json {
        let line = |of: &OfTruck| {
            let mut line = line_json(&of.line);
            line["card"] = of.card.slug.into();
            line
        };
        let answers: Vec<Value> = found.iter().map(line).collect();
        return pretty(&json!({ "answers": answers, "cautions": cautions }));
    }
    let mut text = String::new();
    for of in found {
        let _ = writeln!(text, "  {}:", of.card.title);
        line_text(&mut text, &of.line, system);
    }
    text.push('\n');
    for caution in cautions {
        let _ = writeln!(text, "{caution}");
    }
    text
}

fn unknown(name: &str) -> Failure {
    let names: Vec<&str> = checks::ALL.iter().map(|card| card.slug).collect();
    Failure::Field {
        path: "card".into(),
        what: format!("there is no card {name:?}"),
        remedy: format!("take one of {}", names.join(", ")),
    }
}

/// A card's error already says what would fix it; the path is the field.
fn wrong(card: &Card, error: &CardError) -> Failure {
    let words = error.to_string();
    let (path, what) = words.split_once(": ").unwrap_or((card.slug, &words));
    Failure::Field {
        path: format!("{}.{path}", card.slug),
        what: what.to_owned(),
        remedy: format!("see `tapewright card {}`", card.slug),
    }
}

fn to_json(card: &Card, entries: &[Entry], answered: &Answered) -> Value {
    let asked = card.fields.iter().zip(entries).map(|(field, entry)| {
        let value = match (entry, &field.kind) {
            (Entry::Number(known), Kind::Number { quantity, .. }) => json!({
                "value": known.value,
                "sigma": known.sigma,
                "unit": quantity.unit(System::Metric).1,
                "assumed": known.is_assumed(),
            }),
            (Entry::Choice(at), Kind::Choice(options)) => {
                json!({ "value": options.get(*at).map(|(key, _)| key) })
            }
            (Entry::Tire(size), _) => json!({ "value": size }),
            _ => Value::Null,
        };
        (field.key.to_owned(), value)
    });
    json!({
        "card": card.slug,
        "asked": asked.collect::<Map<_, _>>(),
        "answers": answered.lines.iter().map(line_json).collect::<Vec<_>>(),
        "notes": answered.notes,
        "cautions": card.cautions,
    })
}

fn line_json(line: &Line) -> Value {
    let verdict = line.verdict.map(|(band, verdict)| {
        json!({
            "word": verdict.severity.word(),
            "low": Some(band.low).filter(|low| low.is_finite()),
            "high": Some(band.high).filter(|high| high.is_finite()),
            "source": band.source.words(),
            "why": band.why,
        })
    });
    json!({
        "key": line.key,
        "label": line.label,
        "value": line.value,
        "sigma": line.sigma,
        "unit": line.quantity.unit(System::Metric).1,
        "driver": line.driver.map(|(field, share)| json!({ "field": field, "share": share })),
        "formula": line.formula,
        "source": line.source.words(),
        "verdict": verdict,
    })
}

fn to_text(card: &Card, entries: &[Entry], answered: &Answered, system: System) -> String {
    let mut text = format!("{}\n\n", card.title);
    // Writing to a string cannot fail.
    for (field, entry) in card.fields.iter().zip(entries) {
        let _ = writeln!(
            text,
            "  {:<16} {:<44} {}",
            field.key,
            field.label,
            entered(field, entry, system)
        );
    }
    text.push('\n');
    for line in &answered.lines {
        line_text(&mut text, line, system);
    }
    text.push('\n');
    for words in answered.notes.iter().chain(&card.cautions) {
        let _ = writeln!(text, "{words}");
    }
    text.push_str(
        "± is one standard deviation. What nobody measured is assumed: change it with KEY=VALUE.\n",
    );
    text
}

fn line_text(text: &mut String, line: &Line, system: System) {
    let value = line.value.map_or_else(
        || "has no meaning here".to_owned(),
        |value| line.quantity.words(value, line.sigma, system),
    );
    let _ = writeln!(text, "  {:<44} {value}", line.label);
    if let Some((band, verdict)) = &line.verdict {
        let _ = writeln!(text, "      {}: {}", verdict.severity.word(), limits(line, band, system));
        // Beside a value in band, what lies outside would read as if it were so.
        if verdict.severity != Severity::InBand {
            let _ = writeln!(text, "      why: {}", band.why);
        }
        let _ = writeln!(text, "      limit: {}", band.source.words());
    }
    let _ = writeln!(text, "      {}", line.formula);
    let _ = writeln!(text, "      source: {}", line.source.words());
    if let Some((field, share)) = line.driver {
        let _ =
            writeln!(text, "      ± hangs on {field} by {} %", format::number(share * 100.0, 0));
    }
}

fn entered(field: &Field, entry: &Entry, system: System) -> String {
    match (entry, &field.kind) {
        (Entry::Number(known), Kind::Number { quantity, .. }) => {
            let words = quantity.words(known.value, known.sigma, system);
            let mark = if known.is_assumed() { ", assumed" } else { "" };
            format!("{words}{mark}")
        }
        (Entry::Choice(at), Kind::Choice(options)) => {
            let chosen = options.get(*at).map_or("", |(key, _)| *key);
            let all: Vec<&str> = options.iter().map(|(key, _)| *key).collect();
            format!("{chosen} (of {})", all.join(", "))
        }
        (Entry::Tire(size), _) => size.clone(),
        _ => String::new(),
    }
}

fn limits(line: &Line, band: &Band, system: System) -> String {
    band.words(&|value| line.quantity.words(value, 0.0, system))
}
