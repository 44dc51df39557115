//! solve: keys, states, travels, and what cannot be reached.

use super::{changed, example, tapewright};
use serde_json::Value;

fn solve(args: &[&str], build: &[u8]) -> Value {
    let args: Vec<&str> = ["solve", "-", "--json"].iter().chain(args).copied().collect();
    let run = tapewright(&args, build);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
}

fn number(answer: &Value, axle: &str, key: &str) -> f64 {
    answer[axle][key].as_f64().unwrap_or_else(|| panic!("{axle} {key}: {answer:#}"))
}

/// Keys that scripts rely on.
const KEYS: [&str; 9] = [
    "lateral_shift_mm",
    "axle_steer_deg",
    "roll_deg",
    "caster_deg",
    "pinion_deg",
    "panhard_deg",
    "roll_centre_height_mm",
    "wheelbase_change_left_mm",
    "wheelbase_change_right_mm",
];

#[test]
fn every_key_is_a_number_on_both_axles() {
    let answer = solve(&[], &example());
    assert_eq!(answer["state"], "sitting");
    for axle in ["front", "rear"] {
        for key in KEYS {
            number(&answer, axle, key);
            assert!(answer["uncertainty"][axle][key].as_f64().unwrap() >= 0.0, "{axle} {key}");
        }
    }
    for key in ["trail_left_mm", "trail_right_mm", "scrub_radius_left_mm", "scrub_radius_right_mm"]
    {
        number(&answer, "front", key);
        // An axle that does not steer has neither.
        assert_eq!(answer["rear"][key], Value::Null);
    }
}

#[test]
fn the_stock_truck_stands_as_it_was_measured() {
    let answer = solve(&["--state", "stock"], &example());
    // Panhard ends of the example, y and z: (-470, 90) and (360, 150).
    let panhard = (60.0_f64 / 830.0).atan().to_degrees();
    let want = [
        ("lateral_shift_mm", 0.0),
        ("panhard_deg", panhard),
        ("caster_deg", 3.5),
        ("pinion_deg", 3.0),
    ];
    for (key, value) in want {
        assert!((number(&answer, "front", key) - value).abs() < 1e-9, "{key}");
    }
    assert_eq!(answer["front"]["travel_left_mm"], 0.0);
}

#[test]
fn the_lift_pushes_the_axle_toward_the_panhards_chassis_end() {
    let answer = solve(&[], &example());
    // In front view the bar, 830 across and 60 up, keeps its length while its chassis end
    // rises by 75 mm with the frame, which draws the axle end across.
    let closed = 830.0 - (830.0_f64.powi(2) + 60.0_f64.powi(2) - 135.0_f64.powi(2)).sqrt();
    // The real bar turns with the axle a little, which the flat circle leaves out.
    assert!((number(&answer, "front", "lateral_shift_mm") - closed).abs() < 2.0, "{closed}");
    assert_eq!(answer["front"]["travel_left_mm"], -75.0);
    let lifted = number(&answer, "front", "caster_deg");
    let planned = number(&solve(&["--state", "planned"], &example()), "front", "caster_deg");
    // The planned caster bush turns the axle in its arms by its own angle.
    let build: Value = serde_json::from_slice(&example()).unwrap();
    let parts = build["truck"]["front"]["planned"]["parts"].as_array().unwrap();
    let bush = parts.iter().find_map(|part| part["caster_bush"]["angle_deg"].as_f64()).unwrap();
    assert!((planned - lifted - bush).abs() < 0.1, "{lifted} {planned} {bush}");
}

#[test]
fn travels_and_steer_are_taken() {
    let moved = solve(&["--left", "20", "--right", "-40", "--steer", "10"], &example());
    assert_eq!(moved["front"]["travel_left_mm"], 20.0);
    assert_eq!(moved["front"]["travel_right_mm"], -40.0);
    assert_eq!(moved["steer_deg"], 10.0);
    // Left wheel 60 mm higher than the right over a track near 1480 mm: near 2.4° of roll.
    let roll = number(&moved, "front", "roll_deg");
    assert!((2.0..2.7).contains(&roll), "{roll}");
    let half = solve(&["--left", "-75"], &example());
    assert_eq!(half["front"]["travel_right_mm"], -75.0);
    assert_eq!(half["front"], solve(&[], &example())["front"]);
}

#[test]
fn an_axle_that_is_not_there_is_null() {
    let build = std::str::from_utf8(&example()).unwrap().to_owned();
    let mut value: Value = serde_json::from_str(&build).unwrap();
    value["truck"].as_object_mut().unwrap().remove("rear");
    let bytes = value.to_string().into_bytes();
    assert_eq!(solve(&[], &bytes)["rear"], Value::Null);
    assert_eq!(solve(&["--axle", "front"], &example())["rear"], Value::Null);
    let run = tapewright(&["solve", "-", "--axle", "rear", "--json"], &bytes);
    assert_eq!(run.code, 2);
    assert_eq!(run.json()["problems"][0]["path"], "truck.rear");
}

#[test]
fn what_cannot_be_reached_exits_3_and_says_why() {
    let run =
        tapewright(&["solve", "-", "--left", "-900", "--right", "-900", "--json"], &example());
    assert_eq!((run.code, run.err.as_str()), (3, ""));
    let answer = run.json();
    assert!(answer["unreachable"].as_str().unwrap().contains("front axle"), "{answer:#}");
    assert!(answer["front"]["unreachable"].is_string());
    let text = tapewright(&["solve", "-", "--left", "-900", "--right", "-900"], &example());
    assert_eq!((text.code, text.out.as_str()), (3, ""));
    assert!(text.err.contains("unreachable"), "{}", text.err);
}

#[test]
fn an_arm_shorter_than_its_drop_is_bad_input() {
    // The chassis eye moved close to the axle: 300 mm level from the far bush, lifted by 400 mm.
    let near = String::from_utf8(changed("\"value\": -890.0", "\"value\": -215.0")).unwrap();
    let build = near.replacen("\"value\": 75.0", "\"value\": 400.0", 1);
    let run = tapewright(&["solve", "-", "--json"], build.as_bytes());
    assert_eq!(run.code, 2, "{}", run.out);
    let problem = &run.json()["problems"][0];
    assert_eq!(problem["path"], "truck.front.sitting.lift_mm");
    assert!(problem["remedy"].as_str().unwrap().contains("shorter than its drop"));
}

#[test]
fn people_get_a_table() {
    let run = tapewright(&["solve", "-"], &example());
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    for words in ["front axle, sitting: wheel travel -75.0 mm", "rear axle", "Panhard angle", "±"]
    {
        assert!(run.out.contains(words), "{words}: {}", run.out);
    }
    assert!(!run.out.contains("-0.00 "), "{}", run.out);
}

#[test]
fn bushes_locks_and_slopes_come_along() {
    let answer = solve(&["--slopes"], &example());
    let bushes = answer["front"]["bushes"].as_array().unwrap();
    assert_eq!(bushes.len(), 6, "three a radius arm");
    // An arm that nothing else holds is in balance.
    for side in ["left", "right"] {
        let up: f64 = bushes
            .iter()
            .filter(|bush| bush["side"] == side)
            .map(|bush| bush["force_n"][2].as_f64().unwrap())
            .sum();
        assert!(up.abs() < 1e-2, "{side} {up}");
    }
    assert_eq!(answer["rear"]["bushes"].as_array().unwrap().len(), 0);
    let turn = &answer["front"]["at_lock"]["left_turn"];
    let heads = |key: &str| turn[key].as_f64().unwrap();
    assert!(heads("steer_left_deg") > heads("steer_right_deg"), "the inner wheel turns further");
    assert_eq!(answer["rear"]["at_lock"], Value::Null);
    let slope = answer["front"]["slopes"]["panhard_deg"]["panhard.chassis.z_mm"].as_f64().unwrap();
    // Near cos²/span for a bar of 830 mm at 9°.
    assert!((0.06..0.075).contains(&slope), "{slope}");
    assert!(answer["roll_axis"]["inclination_deg"].is_f64());
}
