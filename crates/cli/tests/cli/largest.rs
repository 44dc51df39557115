//! largest: the tallest and the widest tire are those that just keep the room asked for.

use super::map::least;
use super::window::stock_planned;
use super::{example, tapewright};
use serde_json::{Value, json};

fn largest(args: &[&str], build: &[u8]) -> Value {
    let args: Vec<&str> = ["largest", "-", "--json"].iter().chain(args).copied().collect();
    let run = tapewright(&args, build);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
}

#[test]
fn the_largest_has_just_the_room_asked_for() {
    let planned = stock_planned().to_string();
    let answer = largest(&["--state", "planned", "--margin", "12"], planned.as_bytes());
    for (size, field) in [("diameter", "diameter_mm"), ("width", "section_mm")] {
        assert_eq!(answer[size]["answer"], "up_to", "{answer}");
        assert!(answer[size]["limited_by"]["obstacle"].is_string(), "{answer}");
        let found = answer[size]["mm"].as_f64().unwrap();
        let mut build = stock_planned();
        build["truck"]["front"]["planned"]["tire"][field] =
            json!({ "value": found, "origin": { "measured": "tape" } });
        let room = least(&["--state", "planned"], build.to_string().as_bytes());
        assert!((11.5..13.0).contains(&room), "{size} {found}: {room}");
    }
    let now = &answer["now"];
    assert!(now["diameter_mm"].as_f64().unwrap() < answer["diameter"]["mm"].as_f64().unwrap());
    assert!(now["width_mm"].as_f64().unwrap() < answer["width"]["mm"].as_f64().unwrap());
}

/// What only takes something out of the tire's way never makes the largest tire smaller.
#[test]
fn each_modification_is_told_with_what_it_is_worth() {
    let answer = largest(&["--state", "stock"], &example());
    let mm = |of: &Value, size: &str| of[size]["mm"].as_f64().unwrap();
    let mut kinds = Vec::new();
    for with in answer["with"].as_array().unwrap() {
        let kind = with["relief"].as_str().unwrap();
        kinds.push(kind.to_owned());
        assert!(with["by"].as_f64().unwrap() > 0.0 && with["unit"].is_string(), "{with}");
        for size in ["diameter", "width"] {
            let sigma = with[size]["sigma_mm"].as_f64();
            // What a larger tire would meet says how sure the size is.
            assert_eq!(sigma.is_some(), with[size]["limited_by"].is_object(), "{with}");
            assert!(sigma.is_none_or(|sigma| sigma > 0.0), "{with}");
        }
        if ["arch_trim", "bump_stop", "steering_stop"].contains(&kind) {
            for size in ["diameter", "width"] {
                // Certain to 0.9 mm of room each.
                assert!(mm(with, size) >= mm(&answer, size) - 2.0, "{with}");
            }
        }
    }
    assert_eq!(kinds, ["spacer", "bump_stop", "forward", "arch_trim", "steering_stop"]);
}

#[test]
fn where_nothing_clears_no_tire_is_named() {
    let answer = largest(&["--margin", "300"], &example());
    for size in ["diameter", "width"] {
        assert_eq!(answer[size], json!({ "answer": "never" }));
    }
}

#[test]
fn people_get_words() {
    let run = tapewright(&["largest", "-", "--state", "stock"], &example());
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    for words in [
        "front axle, stock",
        "tallest",
        "widest",
        "10 mm to spare",
        "arch trimmed",
        " ± ",
        "lock to lock",
    ] {
        assert!(run.out.contains(words), "{words}: {}", run.out);
    }
}
