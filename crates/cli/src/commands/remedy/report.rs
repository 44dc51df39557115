//! The answer for programs.

use super::{Answers, Asked, Listed};
use crate::failure::{Failure, pretty};
use buildfile::json as document;
use fitment::axle::Output;
use fitment::finding::{Band, Goal};
use fitment::remedy::{Conflict, Item, Job, Nearest, Plan, Sum, Target, WhyNot};
use fitment::truck::{Offer, Part, PartKind};
use serde_json::{Map, Value, json};

impl Asked<'_> {
    pub(super) fn to_json(&self, answers: &Answers) -> Result<String, Failure> {
        let Answers { found, plans, by_hand } = answers;
        let listed = found
            .ranked
            .iter()
            .zip(plans)
            .map(|(plan, listed)| {
                let mut value = self.plan(plan, listed)?;
                value["words"] = json!(found.words(plan, self.system()));
                Ok(value)
            })
            .collect::<Result<Vec<_>, Failure>>()?;
        let remainder: Map<String, Value> =
            found.remainder.iter().map(|(output, by)| (output.key().into(), json!(by))).collect();
        let shelf = self.build.truck.axle(self.end).map(|axle| axle.shelf.parts.as_slice());
        let by_hand = match by_hand {
            Some(Ok(why)) => self.why_not(why)?,
            Some(Err(why)) => json!({ "words": why.to_string() }),
            None => Value::Null,
        };
        let conflict =
            |one: &Conflict| json!({ "words": one.words(self.system()), "between": between(one) });
        let room = self.room.map(|aim| {
            let mut value = band(&aim.band);
            value["goal"] = json!(Goal::Clearance.key());
            value["weight"] = json!(aim.weight);
            value["must"] = json!(aim.must);
            value
        });
        Ok(pretty(&json!({
            "axle": self.args.axle.name(),
            "shelf": self.offers(shelf.unwrap_or_default())?,
            "targets": self.targets.iter().map(|target| self.target(target)).collect::<Vec<_>>(),
            "clearance_target": room,
            "combinations": found.combinations,
            "solved": found.solved,
            "judged": found.judged,
            "clear": found.clear,
            "torn": found.torn,
            "proven": found.proven,
            "cut": found.cut,
            "remainder": remainder,
            "plans": listed,
            "front": found.front.len(),
            "conflicts": found.conflicts.iter().map(conflict).collect::<Vec<_>>(),
            "for_more_work": found.for_more_work.iter().map(|o| o.key()).collect::<Vec<_>>(),
            "by_hand": by_hand,
        })))
    }

    /// What the shelf offers, with what each does, costs elsewhere and takes.
    fn offers(&self, offers: &[Offer]) -> Result<Value, Failure> {
        let parts: Vec<Part> = offers.iter().map(|offer| offer.part.clone()).collect();
        let mut list = self.parts(&parts)?;
        for (value, offer) in list.as_array_mut().into_iter().flatten().zip(offers) {
            *value = json!({
                "part": value.take(),
                "name": offer.name,
                "kind": kind(offer.part.kind()),
                "price": offer.price.as_ref().map(|price| price.value),
                "hours": offer.hours.as_ref().map(|hours| hours.value),
            });
        }
        Ok(list)
    }

    fn target(&self, target: &Target) -> Value {
        let mut value = band(&target.band);
        value["output"] = json!(target.output.key());
        value["weight"] = json!(target.weight);
        value["must"] = json!(target.must);
        value["stock"] = json!(self.stock.attitude.get(target.output));
        value
    }

    fn plan(&self, plan: &Plan, listed: &Listed) -> Result<Value, Failure> {
        let mut value = self.outcome(plan)?;
        value["odds"] = json!(listed.odds.as_ref().map(|odds| {
            let each: Map<String, Value> =
                odds.each.iter().map(|(o, p)| (o.key().to_owned(), json!(p))).collect();
            json!({
                "words": odds.words(),
                "musts": odds.musts,
                "all": odds.all,
                "each": each,
                "clearance": odds.clearance,
            })
        }));
        value["job"] = match &listed.job {
            Some(job) => self.job(job)?,
            None => Value::Null,
        };
        Ok(value)
    }

    /// What a combination does.
    fn outcome(&self, plan: &Plan) -> Result<Value, Failure> {
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
            "clearance": plan.clearance.as_ref().map(nearest),
            "work": { "points": plan.work.points, "words": plan.work.words() },
            "outputs": outputs,
        }))
    }

    fn job(&self, job: &Job) -> Result<Value, Failure> {
        let items: Vec<Value> = job.items.iter().map(item).collect();
        let tasks: Vec<Value> = job
            .tasks
            .iter()
            .map(|task| {
                json!({
                    "stage": task.stage.label(),
                    "words": task.words,
                    "caution": task.caution,
                })
            })
            .collect();
        let sum = |sum: &Sum| json!({ "value": sum.value, "sigma": sum.sigma, "entered": sum.entered, "missing": sum.missing });
        Ok(json!({
            "items": items,
            "off": self.parts(&job.off)?,
            "tasks": tasks,
            "price": sum(&job.totals.price),
            "hours": sum(&job.totals.hours),
            "work": { "points": job.totals.work.points, "words": job.totals.work.words() },
        }))
    }

    fn why_not(&self, why: &WhyNot) -> Result<Value, Failure> {
        let better = why.beaten_by.as_ref().map(|plan| self.outcome(plan)).transpose()?;
        let change = match &why.change {
            Some(change) => json!({
                "off": self.parts(change.off.as_slice())?,
                "on": self.parts(change.on.as_slice())?,
                "plan": self.outcome(&change.plan)?,
            }),
            None => Value::Null,
        };
        Ok(json!({
            "words": why.words(self.system()),
            "plan": self.outcome(&why.plan)?,
            "beaten_by": better,
            "change": change,
        }))
    }

    /// Parts as a build has them.
    fn parts(&self, parts: &[Part]) -> Result<Value, Failure> {
        let mut build = self.build.clone();
        if let Some(axle) = build.truck.axle_mut(self.end) {
            axle.planned.parts = parts.to_vec();
        }
        let text = document::to_json(&build)?;
        let build: Value = serde_json::from_str(&text).unwrap_or_default();
        let list = &build["truck"][self.args.axle.name()]["planned"]["parts"];
        Ok(if list.is_null() { json!([]) } else { list.clone() })
    }
}

/// A kind of part in words, with its limits.
fn kind(kind: PartKind) -> Value {
    let traits = kind.traits();
    let bound = traits.bound;
    json!({
        "label": traits.label,
        "changes": traits.changes,
        "touches": traits.touches,
        "needs": traits.needs.words(),
        "work": { "points": traits.work.points(), "words": traits.work.words() },
        "caution": traits.caution,
        "limits": { "of": bound.name, "unit": bound.unit, "min": bound.min, "max": bound.max, "usual": traits.credible },
    })
}

fn band(band: &Band) -> Value {
    let end = |v: f64| if v.is_finite() { json!(v) } else { Value::Null };
    json!({
        "low": end(band.low),
        "high": end(band.high),
        "slack": band.slack,
        "source": band.source.words(),
        "why": band.why,
    })
}

fn nearest(nearest: &Nearest) -> Value {
    json!({
        "clearance_mm": nearest.clearance_mm,
        "lower_mm": nearest.lower_mm,
        "sigma_mm": nearest.sigma_mm,
        "to": nearest.name,
        "side": nearest.side.word(),
        "severity": nearest.severity.word(),
        "must": nearest.must,
    })
}

fn item(item: &Item) -> Value {
    let lengths: Vec<Value> = item
        .lengths
        .iter()
        .map(|length| {
            json!({
                "side": length.side,
                "count": length.count,
                "eye_to_eye_mm": length.eye_to_eye_mm,
                "sigma_mm": length.sigma_mm,
                "change_mm": length.change_mm,
                "change_sigma_mm": length.change_sigma_mm,
            })
        })
        .collect();
    json!({
        "name": item.name,
        "words": item.words,
        "lengths": lengths,
        "work": item.work.words(),
        "price": item.price.as_ref().map(|price| price.value),
        "hours": item.hours.as_ref().map(|hours| hours.value),
    })
}

fn between(conflict: &Conflict) -> Value {
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
