//! `tapewright remedy`: which combination of the shelf's parts puts an axle's geometry right.

use super::solve::missing;
use super::text::fixed;
use crate::args::{Axle, RemedyArgs};
use crate::failure::{Failure, pretty};
use crate::input;
use buildfile::{Build, Units, json as document};
use fitment::axle::{Answer, NoAnswer, Output, answer};
use fitment::measure::System;
use fitment::remedy::{Conflict, Found, Odds, Plan, Search, Target};
use fitment::truck::{Part, State};
use fitment::words::capital;
use serde_json::{Map, Value, json};
use std::fmt::Write;

/// Combinations between two looks at how far it is.
const PIECE: usize = 100_000;

const CAUTION: &str = "Steering and brackets carry the truck: have welding done by a qualified welder, have the alignment \
     measured after any change, and ask what your local rules allow.\n";

pub(crate) fn run(args: &RemedyArgs) -> Result<String, Failure> {
    let build = input::build(&args.build)?;
    let end = args.axle.of_truck();
    let path = format!("truck.{}", args.axle.name());
    if build.truck.axle(end).is_none() {
        return Err(missing(path));
    }
    let failed = |error: &NoAnswer| failure(args.axle, error);
    let stock = answer(&build.truck, end, State::Stock).map_err(|error| failed(&error))?;
    let targets = Target::usual(end, &stock, &build.own_targets());
    let mut search =
        Search::begin(&build.truck, end, &stock, &targets).map_err(|error| failed(&error))?;
    while !search.step(PIECE) {}
    let found = search.so_far();
    if found.ranked.is_empty() {
        // Nothing stands, not even without a part: its own error says how far it gets.
        answer(&build.truck, end, State::Planned).map_err(|error| failed(&error))?;
    }
    let odds: Vec<Option<Odds>> = found
        .ranked
        .iter()
        .map(|plan| plan.odds(&build.truck, end, &stock, &targets).ok())
        .collect();
    let asked = Asked { args, build: &build, stock: &stock, targets: &targets };
    if args.json { asked.to_json(&found, &odds) } else { Ok(asked.to_text(&found, &odds)) }
}

fn failure(axle: Axle, error: &NoAnswer) -> Failure {
    match error {
        NoAnswer::Unreachable(why) => Failure::Unreachable {
            why: format!("{} axle: {why}", axle.name()),
            answer: json!({ "unreachable": [format!("{} axle: {why}", axle.name())] }),
        },
        NoAnswer::Model(error) => Failure::Field {
            path: format!("truck.{}", axle.name()),
            what: error.to_string(),
            remedy: "correct it, and run `tapewright check` on the file".into(),
        },
    }
}

/// What was asked for, and of what.
struct Asked<'a> {
    args: &'a RemedyArgs,
    build: &'a Build,
    stock: &'a Answer,
    targets: &'a [Target],
}

impl Asked<'_> {
    const fn system(&self) -> System {
        match self.build.units {
            Units::Metric => System::Metric,
            Units::Inch => System::Inch,
        }
    }

    fn to_json(&self, found: &Found, odds: &[Option<Odds>]) -> Result<String, Failure> {
        let plans = found
            .ranked
            .iter()
            .zip(odds)
            .map(|(plan, odds)| self.plan(plan, odds.as_ref()))
            .collect::<Result<Vec<_>, Failure>>()?;
        let remainder: Map<String, Value> =
            found.remainder.iter().map(|(output, by)| (output.key().into(), json!(by))).collect();
        Ok(pretty(&json!({
            "axle": self.args.axle.name(),
            "targets": self.targets.iter().map(|target| self.target(target)).collect::<Vec<_>>(),
            "combinations": found.combinations,
            "solved": found.solved,
            "torn": found.torn,
            "proven": found.proven,
            "cut": found.cut,
            "remainder": remainder,
            "plans": plans,
            "front": found.front.len(),
            "conflicts": found.conflicts.iter().map(conflict).collect::<Vec<_>>(),
            "for_more_work": found.for_more_work.iter().map(|o| o.key()).collect::<Vec<_>>(),
        })))
    }

    fn target(&self, target: &Target) -> Value {
        let end = |v: f64| if v.is_finite() { json!(v) } else { Value::Null };
        json!({
            "output": target.output.key(),
            "low": end(target.band.low),
            "high": end(target.band.high),
            "slack": target.band.slack,
            "weight": target.weight,
            "must": target.must,
            "stock": self.stock.attitude.get(target.output),
        })
    }

    fn plan(&self, plan: &Plan, odds: Option<&Odds>) -> Result<Value, Failure> {
        let outputs: Map<String, Value> = Output::ALL
            .into_iter()
            .filter_map(|output| Some((output.key().to_owned(), json!(plan.value(output)?))))
            .collect();
        let misses: Vec<Value> = plan
            .misses
            .iter()
            .map(|miss| {
                json!({
                    "output": miss.output.key(),
                    "value": miss.value,
                    "by": miss.band.miss(miss.value),
                    "must": miss.must,
                    "severity": miss.severity.word(),
                })
            })
            .collect();
        let worse: Vec<Value> = plan
            .side_effects
            .iter()
            .map(|side| {
                json!({ "output": side.output.key(), "before": side.before, "now": side.now })
            })
            .collect();
        Ok(json!({
            "words": plan.words(self.system()),
            "parts": self.parts(&plan.parts)?,
            "fitted": self.parts(&plan.fitted)?,
            "score": plan.score(),
            "musts_missed": plan.musts_missed,
            "miss": plan.total_miss,
            "misses": misses,
            "side_effects": worse,
            "work": { "points": plan.work.points, "words": plan.work.words() },
            "outputs": outputs,
            "odds": odds.map(|odds| {
                let each: Map<String, Value> =
                    odds.each.iter().map(|(o, p)| (o.key().to_owned(), json!(p))).collect();
                json!({ "musts": odds.musts, "all": odds.all, "each": each })
            }),
        }))
    }

    /// Parts as a build has them.
    fn parts(&self, parts: &[Part]) -> Result<Value, Failure> {
        let mut build = self.build.clone();
        if let Some(axle) = build.truck.axle_mut(self.args.axle.of_truck()) {
            axle.planned.parts = parts.to_vec();
        }
        let text = document::to_json(&build)?;
        let build: Value = serde_json::from_str(&text).unwrap_or_default();
        let list = &build["truck"][self.args.axle.name()]["planned"]["parts"];
        Ok(if list.is_null() { json!([]) } else { list.clone() })
    }

    fn to_text(&self, found: &Found, odds: &[Option<Odds>]) -> String {
        let mut text = format!(
            "{} axle, planned: {} combinations, {} of them solved{}\n",
            self.args.axle.name(),
            fixed(found.combinations, 0),
            found.solved,
            if found.proven { "" } else { "; the ranking is not proven" },
        );
        for (number, (plan, odds)) in found.ranked.iter().zip(odds).enumerate() {
            let _ = writeln!(text, "{:>2}. {}", number + 1, plan.words(self.system()));
            let sure = odds.as_ref().map_or_else(String::new, |odds| {
                let musts = odds.musts.map_or_else(String::new, |musts| {
                    format!("; musts met: {} % likely", fixed(musts * 100.0, 0))
                });
                format!("; all in band: {} % likely{musts}", fixed(odds.all * 100.0, 0))
            });
            let _ = writeln!(text, "    {}{sure}", capital(plan.work.words()));
        }
        for one in &found.conflicts {
            let _ = writeln!(text, "{}", one.words(self.system()));
        }
        text + CAUTION
    }
}

fn conflict(conflict: &Conflict) -> Value {
    conflict
        .between
        .iter()
        .map(|relax| {
            json!({
                "output": relax.output.key(),
                "nearest": relax.nearest,
                "relax_by": relax.by,
                "must": relax.must,
            })
        })
        .collect()
}
