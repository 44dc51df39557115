//! From a truck on which two engines disagree to the simplest one on which they still do.

use crate::fixture::Asked;
use buildfile::{Build, Units};
use fitment::truck::State;
use serde_json::Value;

/// Rounds of simplifying.
const ROUNDS: usize = 40;
/// Trucks judged at once.
const AT_ONCE: usize = 8;

/// The simplest that still disagrees.
pub struct Shrunk {
    asked: Asked,
    faults: Vec<String>,
    /// What was done to it.
    steps: Vec<String>,
}

/// Simplifies step by step, as long as `judge` finds the fault that was first. `judge` gives the
/// faults of each truck offered, or nothing where it cannot say.
pub fn shrink(
    asked: &Asked,
    faults: &[String],
    mut judge: impl FnMut(&[Asked]) -> Vec<Option<Vec<String>>>,
) -> Shrunk {
    let mut best = Shrunk { asked: asked.clone(), faults: faults.to_vec(), steps: Vec::new() };
    let subject = subject(&faults[0]);
    for _ in 0..ROUNDS {
        // A few at a time: the first that does is taken, and most of the rest need no answer.
        let found = simpler(&best.asked).chunks(AT_ONCE).find_map(|offered| {
            let trucks: Vec<_> = offered.iter().map(|(_, asked)| asked.clone()).collect();
            offered.iter().zip(judge(&trucks)).find_map(|((step, asked), faults)| {
                let faults = faults?;
                let same = faults.iter().any(|f| self::subject(f) == subject);
                same.then(|| (step.clone(), asked.clone(), faults))
            })
        });
        let Some((step, asked, faults)) = found else { break };
        best.steps.push(step);
        (best.asked, best.faults) = (asked, faults);
    }
    best
}

/// What a fault is about, without its numbers.
fn subject(fault: &str) -> String {
    let end = fault.find(|c: char| c == ':' || c.is_ascii_digit()).unwrap_or(fault.len());
    fault[..end].to_owned()
}

/// A change to the truck's own form and to its position.
type Change<'a> = &'a dyn Fn(&mut Value);

/// Every way to make it simpler, most telling first.
fn simpler(asked: &Asked) -> Vec<(String, Asked)> {
    let whole = serde_json::to_value(asked).expect("a truck writes");
    let mut offered: Vec<(String, Asked)> = Vec::new();
    let mut offer = |step: String, change: Change| {
        let mut value = whole.clone();
        change(&mut value);
        let Ok(mut changed) = serde_json::from_value::<Asked>(value.clone()) else { return };
        if value != whole {
            for position in &mut changed.positions {
                position.answer = None;
            }
            offered.push((step, changed));
        }
    };
    for name in ["steering", "spring", "shock", "balance"] {
        offer(format!("without {name}"), &|v| without(v, name));
    }
    for name in ["right", "lower_right", "upper_right"] {
        offer(format!("{name} mirrored"), &|v| without(v, name));
    }
    offer("no parts".into(), &|v| without(v, "parts"));
    for at in 0..6 {
        offer(format!("without part {at}"), &|v| {
            each(v, &mut |name, v| {
                if let (true, Some(parts)) = (name == "parts", v.as_array_mut())
                    && at < parts.len()
                {
                    parts.remove(at);
                }
            });
        });
    }
    offer("wheels straight".into(), &|v| v["positions"][0]["steer_deg"] = 0.0.into());
    let axle = if whole["end"] == "front" { "front" } else { "rear" };
    if asked.positions[0].state != State::Stock {
        offer("stock".into(), &|v| v["positions"][0]["state"] = "stock".into());
        offer("all states as planned".into(), &|v| {
            let stock = v["truck"][axle]["stock"].clone();
            let parts = v["truck"][axle]["planned"].get("parts").cloned();
            v["truck"][axle]["planned"] = stock;
            if let Some(parts) = parts {
                v["truck"][axle]["planned"]["parts"] = parts;
            }
        });
    }
    let [left, right] = asked.positions[0].travel_mm;
    let middle = f64::midpoint(left, right);
    let travels = [
        [0.0, 0.0],
        [middle, middle],
        [left - middle, right - middle],
        [left, 0.0],
        [0.0, right],
        [(left / 10.0).round() * 10.0, (right / 10.0).round() * 10.0],
        [left / 2.0, right / 2.0],
    ];
    for travel in travels {
        // Halving has an end.
        if left.hypot(right) > 1.0 {
            offer(format!("travel {travel:?}"), &|v| {
                v["positions"][0]["travel_mm"] = vec![travel[0], travel[1]].into();
            });
        }
    }
    for step in [50.0, 10.0, 1.0] {
        for name in ["x_mm", "y_mm", "z_mm"] {
            offer(format!("{name} rounded to {step}"), &|v| round(v, &[name], step));
        }
        let all = ["x_mm", "y_mm", "z_mm", "hub_face_width_mm", "wheelbase_mm"];
        offer(format!("points rounded to {step}"), &|v| round(v, &all, step));
    }
    for (step, names) in [
        (100.0, &["radial_n_per_mm", "axial_n_per_mm", "lateral_n_per_mm"][..]),
        (1.0, &["conical_nm_per_deg", "torsion_nm_per_deg", "vertical_n_per_mm"]),
        (1.0, &["twist_nm_per_deg", "clamped_mm", "caster_deg", "inclination_deg"]),
        (10.0, &["lift_mm", "lift_right_mm", "offset_mm", "hub_offset_mm", "hub_trail_mm"]),
        (1.0, &["change_mm", "angle_deg", "ratio", "steer_deg", "length_mm"]),
    ] {
        offer(format!("{} and others rounded", names[0]), &|v| round(v, names, step));
    }
    offered
}

/// Removes every field of this name.
fn without(value: &mut Value, name: &str) {
    match value {
        Value::Object(fields) => {
            fields.remove(name);
            fields.values_mut().for_each(|v| without(v, name));
        }
        Value::Array(items) => items.iter_mut().for_each(|v| without(v, name)),
        _ => {}
    }
}

/// Visits every field by its name.
fn each(value: &mut Value, visit: &mut dyn FnMut(&str, &mut Value)) {
    match value {
        Value::Object(fields) => {
            for (name, v) in fields {
                visit(name, v);
                each(v, visit);
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|v| each(v, visit)),
        _ => {}
    }
}

/// Rounds every field of these names, written bare or with its origin.
fn round(value: &mut Value, names: &[&str], step: f64) {
    let rounded = |v: &mut Value| {
        if let Some(number) = v.as_f64() {
            *v = ((number / step).round() * step).into();
        }
    };
    each(value, &mut |name, v| {
        if names.contains(&name) {
            match v.get_mut("value") {
                Some(inner) => rounded(inner),
                None => rounded(v),
            }
        }
    });
}

impl Shrunk {
    /// The truck as a build file, with where it was asked about and what disagrees.
    pub fn told(&self) -> String {
        let at = &self.asked.positions[0];
        let build = Build {
            name: format!("Disagreement on truck {}", self.asked.number),
            note: self.faults.join("\n"),
            units: Units::Metric,
            truck: self.asked.truck.clone(),
            targets: Vec::new(),
            log: fitment::calibrate::Log::default(),
        };
        let text = buildfile::json::to_json(&build)
            .or_else(|_| serde_json::to_string_pretty(&self.asked.truck))
            .unwrap_or_default();
        format!(
            "simplest that still disagrees ({}): {:?} axle, {:?}, travel {:?}, steer {}\n  {}\n{text}",
            self.steps.join(", "),
            self.asked.end,
            at.state,
            at.travel_mm,
            at.steer_deg,
            self.faults.join("\n  "),
        )
    }
}

/// A made-up disagreement, on any truck with a bar whose left wheel is up, comes down to that.
#[test]
fn what_does_not_matter_is_shrunk_away() {
    let stored = crate::fixture::Fixture::stored();
    let matters = |asked: &Asked| {
        let axle = asked.truck.axle(asked.end).unwrap();
        axle.panhard.is_some() && asked.positions[0].travel_mm[0] > 20.0
    };
    let mut asked = stored
        .trucks
        .into_iter()
        .find(|t| t.kind == "radius_arms" && t.truck.axle(t.end).unwrap().steering.is_some())
        .expect("such a truck is stored");
    let raised = asked.positions.iter().position(|p| p.travel_mm[0] > 20.0);
    asked.positions = vec![asked.positions[raised.expect("a raised wheel")].clone()];
    let judge = |offered: &[Asked]| {
        let judged = offered.iter().map(|asked| {
            let faults = matters(asked).then(|| "made up: 1".to_owned());
            Some(faults.into_iter().collect())
        });
        judged.collect()
    };
    let shrunk = shrink(&asked, &["made up: 7".into()], judge);
    assert!(matters(&shrunk.asked));
    let axle = shrunk.asked.truck.axle(shrunk.asked.end).unwrap();
    assert!(axle.steering.is_none() && axle.shock.is_none() && axle.planned.parts.is_empty());
    let [left, right] = shrunk.asked.positions[0].travel_mm;
    assert!(left <= 45.0 && right.abs() <= 0.0, "{left} {right}");
    let bar = axle.panhard.as_ref().unwrap();
    assert!((bar.axle.y_mm.value % 50.0).abs() < 1e-9, "{:?}", bar.axle.y_mm);
    let told = shrunk.told();
    assert!(told.contains("\"panhard\"") && told.contains("made up"), "{told}");
}
