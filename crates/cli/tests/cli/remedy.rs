//! remedy: plans best first, as parts a build takes, with what fights.

use super::{example, tapewright};
use serde_json::{Value, json};

fn remedy(args: &[&str], build: &[u8]) -> Value {
    let args: Vec<&str> = ["remedy", "-", "--json"].iter().chain(args).copied().collect();
    let run = tapewright(&args, build);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
}

/// The example with something of its document changed.
fn edited(change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut build: Value = serde_json::from_slice(&example()).unwrap();
    change(&mut build);
    build.to_string().into_bytes()
}

#[test]
fn the_best_plan_put_into_the_build_does_what_was_said() {
    let found = remedy(&[], &example());
    assert_eq!(found["proven"], true);
    let plans = found["plans"].as_array().unwrap();
    assert!(plans.windows(2).all(|w| w[0]["score"].as_f64() <= w[1]["score"].as_f64()));
    let best = &plans[0];
    let odds = best["odds"]["all"].as_f64().unwrap();
    assert!((0.0..=1.0).contains(&odds), "{odds}");
    let fitted = best["fitted"].clone();
    let build = edited(|build| build["truck"]["front"]["planned"]["parts"] = fitted);
    let run = tapewright(&["solve", "-", "--json", "--state", "planned"], &build);
    assert_eq!(run.code, 0, "{}", run.err);
    let solved = run.json();
    for (key, value) in best["outputs"].as_object().unwrap() {
        let (want, got) = (value.as_f64().unwrap(), solved["front"][key].as_f64().unwrap());
        assert!((want - got).abs() < 1e-9 * want.abs().max(1.0), "{key}: {want} {got}");
    }
}

#[test]
fn in_words_each_plan_has_a_line_and_the_whole_a_caution() {
    let run = tapewright(&["remedy", "-"], &example());
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains("\n 1. ") && run.out.contains("qualified welder"), "{}", run.out);
    assert!(run.out.contains("% likely"), "{}", run.out);
}

#[test]
fn an_axle_that_is_not_there_or_cannot_stand_says_so() {
    let none = edited(|build| build["truck"]["rear"] = Value::Null);
    let run = tapewright(&["remedy", "-", "--axle", "rear"], &none);
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(run.err.contains("truck.rear"), "{}", run.err);
    // A bar of 125 mm cannot hang 300 mm further down.
    let high = edited(|build| {
        let front = &mut build["truck"]["front"];
        front["planned"]["lift_mm"]["value"] = json!(300.0);
        front["panhard"]["chassis"]["y_mm"]["value"] = json!(-360.0);
    });
    let run = tapewright(&["remedy", "-"], &high);
    assert_eq!(run.code, 3, "{} {}", run.out, run.err);
}
