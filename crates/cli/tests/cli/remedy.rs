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
    assert!(run.out.contains("likelihood") && run.out.contains("eye to eye"), "{}", run.out);
    let work = run.out.split_once("Plan 1: parts and cut list").unwrap().1;
    let stages =
        ["Measure first", "Fit and tack", "Cycle and check", "Tighten at ride height", "Alignment"];
    let at: Vec<_> = stages.iter().map(|stage| work.find(&format!("\n{stage}\n"))).collect();
    assert!(at.iter().all(Option::is_some) && at.is_sorted(), "{work}");
    assert!(work.contains("Caution: ") && work.contains("Price: "), "{work}");
    let without = tapewright(&["remedy", "-", "--plan", "0"], &example());
    assert!(!without.out.contains("cut list"), "{}", without.out);
}

#[test]
fn each_plan_says_how_the_work_goes_and_what_it_comes_to() {
    let found = remedy(&[], &example());
    for offer in found["shelf"].as_array().unwrap() {
        for words in ["label", "changes", "touches", "needs", "caution"] {
            assert!(offer["kind"][words].as_str().is_some_and(|it| !it.is_empty()), "{offer:#}");
        }
        assert!(offer["kind"]["limits"]["min"].is_number(), "{offer:#}");
    }
    for target in found["targets"].as_array().unwrap() {
        assert!(target["source"].as_str().is_some_and(|it| !it.is_empty()), "{target:#}");
    }
    assert_eq!(found["clearance_target"]["low"], 10.0);
    for plan in found["plans"].as_array().unwrap() {
        let job = &plan["job"];
        let items = job["items"].as_array().unwrap();
        assert_eq!(items.len(), plan["parts"].as_array().unwrap().len(), "{plan:#}");
        // The sum is of what was entered, and what was not is counted.
        let entered = |key: &str| items.iter().filter_map(|item| item[key].as_f64()).sum::<f64>();
        let missing = items.iter().filter(|item| item["price"].is_null()).count();
        assert_eq!(job["price"]["value"], entered("price"), "{job:#}");
        assert_eq!(job["hours"]["value"], entered("hours"), "{job:#}");
        assert_eq!(job["price"]["missing"], missing, "{job:#}");
        assert_eq!(job["tasks"].as_array().unwrap().is_empty(), items.is_empty(), "{job:#}");
        assert!(plan["clearance"]["to"].is_string(), "{plan:#}");
        assert!(plan["odds"]["words"].as_str().unwrap().contains("likelihood"));
    }
    // The bar of the best plan is as long as its ends are apart on the stock truck, and its change.
    let bar = found["plans"].as_array().unwrap().iter().find_map(|plan| {
        let lengths = plan["job"]["items"].as_array()?.iter().map(|item| &item["lengths"][0]);
        lengths
            .clone()
            .find(|length| {
                let apart = 830.0_f64.hypot(60.0);
                let change = length["change_mm"].as_f64().unwrap_or(f64::NAN);
                (length["eye_to_eye_mm"].as_f64().unwrap_or(f64::NAN) - apart - change).abs() < 1e-6
            })
            .cloned()
    });
    assert!(bar.is_some_and(|bar| bar["sigma_mm"].as_f64().unwrap() > 0.0));
    // What the build plans by itself is told why it is not the best.
    let why = &found["by_hand"];
    assert!(why["words"].as_str().unwrap().contains("helps most"), "{why:#}");
    let changed = ["off", "on"].map(|way| why["change"][way].as_array().unwrap().len());
    assert!(changed[0] + changed[1] > 0, "{why:#}");
}

#[test]
fn a_must_of_clearance_is_kept_or_the_list_says_that_none_keeps_it() {
    for (size, room, kept) in [("215/85R16", 1.0, true), ("315/75R16", 500.0, false)] {
        let build = edited(|build| {
            build["truck"]["front"]["planned"]["tire"]["size"] = json!(size);
            build["targets"] = json!([{
                "end": "front", "of": "tire_clearance_mm", "low": room, "claim": "must"
            }]);
        });
        let found = remedy(&[], &build);
        let (judged, clear) = (found["judged"].as_u64().unwrap(), found["clear"].as_u64().unwrap());
        assert!(judged > 0 && clear == if kept { judged } else { 0 }, "{judged} {clear}");
        for plan in found["plans"].as_array().unwrap() {
            assert_eq!(plan["musts_missed"], u64::from(!kept), "{plan:#}");
            assert_eq!(plan["clearance"]["must"], true, "{plan:#}");
        }
    }
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
