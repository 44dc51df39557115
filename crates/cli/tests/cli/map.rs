//! map: its shape, its filters, and what it says when there is nothing to map.

use super::{example, tapewright};
use serde_json::Value;

fn map(args: &[&str], build: &[u8]) -> Value {
    let args: Vec<&str> = ["map", "-", "--json"].iter().chain(args).copied().collect();
    let run = tapewright(&args, build);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
}

/// The least clearance anywhere, mm.
pub fn least(args: &[&str], build: &[u8]) -> f64 {
    map(args, build)["contacts"][0]["clearance_mm"].as_f64().unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

#[test]
fn every_map_is_a_full_table_and_the_contacts_are_its_least() {
    let answer = map(&[], &example());
    let mut least = f64::INFINITY;
    for map in list(&answer["maps"]) {
        let (rows, columns) = (list(&map["travel_mm"]).len(), list(&map["steer_deg"]).len());
        for table in ["clearance_mm", "obstacle"] {
            assert_eq!(list(&map[table]).len(), rows);
            assert!(list(&map[table]).iter().all(|row| list(row).len() == columns));
        }
        let cells = list(&map["clearance_mm"]).iter().flat_map(list).filter_map(Value::as_f64);
        least = cells.fold(least, f64::min);
    }
    let contacts = list(&answer["contacts"]);
    let first = contacts[0]["clearance_mm"].as_f64().unwrap();
    // Between the map's positions it can only be less; the map is certain to 0.1 mm.
    assert!(first <= least + 0.1 && least.is_finite(), "{first} {least}");
    let all: Vec<f64> = contacts.iter().map(|c| c["clearance_mm"].as_f64().unwrap()).collect();
    assert!(all.is_sorted(), "{all:?}");
    assert_eq!(answer["axle"], "front");
    assert!(answer["window"]["clears"].is_boolean());
}

#[test]
fn the_least_clearance_is_bracketed_to_a_millimetre() {
    let answer = map(&[], &example());
    for contact in list(&answer["contacts"]) {
        let number = |key: &str| contact[key].as_f64().unwrap();
        let (least, lower) = (number("clearance_mm"), number("lower_mm"));
        assert!(lower <= least && least - lower <= 1.0, "{contact}");
        assert_eq!(list(&contact["travels_mm"]).len(), 2);
        assert!(contact["name"].as_str().is_some_and(|name| !name.is_empty()), "{contact}");
    }
}

/// A stop set where the answer says leaves the room asked for; a degree less of it, too.
#[test]
fn the_stop_it_asks_for_is_enough() {
    let answer = map(&["--margin", "2"], &example());
    let stop = &answer["stops"]["steering"];
    assert_eq!(stop["answer"], "at", "{stop}");
    let lock = stop["lock_deg"].as_f64().unwrap();
    assert!((5.0..30.0).contains(&lock), "{lock}");
    let with = |lock: f64| {
        let mut build: Value = serde_json::from_slice(&example()).unwrap();
        build["version"] = 3.into();
        let front = &mut build["truck"]["front"];
        front["planned"] = front["sitting"].clone();
        front["planned"]["parts"] = serde_json::json!([
            { "steering_stop": { "lock_deg": lock, "range_deg": [0.0, 40.0] } }
        ]);
        let args = ["--state", "planned", "--margin", "2"];
        map(&args, build.to_string().as_bytes())
    };
    let within = with(lock - 0.01);
    assert!(within["contacts"][0]["clearance_mm"].as_f64().unwrap() >= 2.0, "{lock}");
    assert_eq!(within["stops"]["steering"]["answer"], "not_needed");
    let beyond = with(lock + 3.0);
    assert!(beyond["contacts"][0]["clearance_mm"].as_f64().unwrap() < 2.0, "{lock}");
}

/// The cut it draws, made all round at its deepest, leaves the room asked for at the arch.
#[test]
fn the_trim_line_is_enough_and_no_deeper_than_it_must_be() {
    let mut build: Value = serde_json::from_slice(&example()).unwrap();
    let front = &mut build["truck"]["front"];
    front["planned"] = front["sitting"].clone();
    let args = ["--state", "planned", "--margin", "5"];
    let trim = map(&args, build.to_string().as_bytes())["trim"].clone();
    let deepest = trim["deepest_mm"].as_f64().unwrap();
    let depths: Vec<f64> =
        list(&trim["sectors"]).iter().map(|it| it["depth_mm"].as_f64().unwrap()).collect();
    assert!(depths.iter().any(|it| *it <= 0.0), "all round: {depths:?}");
    assert!((2.0..30.0).contains(&deepest), "{deepest}");
    assert_eq!(list(&trim["points_mm"]).len(), 2 * depths.len());
    let arch = |depth: f64| {
        let mut build = build.clone();
        build["version"] = 3.into();
        build["truck"]["front"]["planned"]["parts"] =
            serde_json::json!([{ "arch_trim": { "depth_mm": depth } }]);
        let answer = map(&args, build.to_string().as_bytes());
        let of_arch = list(&answer["contacts"]).iter().filter(|it| it["obstacle"] == "arch");
        of_arch.map(|it| it["clearance_mm"].as_f64().unwrap()).fold(f64::INFINITY, f64::min)
    };
    assert!(arch(deepest) >= 4.99, "{deepest}");
    assert!(arch(deepest - 3.0) < 5.0, "{deepest}");
}

#[test]
fn what_goes_beside_is_told() {
    let answer = map(&["--state", "stock", "--margin", "30"], &example());
    let beside = &answer["beside"];
    // The mean of left and right: half the hub faces' width, the offset out of it and half the
    // section, less the lip; what the axle is off to one side falls out. The section is
    // 235 + 0.4·(177.8 − 0.7·235) mm (UN Regulation 30, 6.1.1.1).
    let section = 235.0 + 0.4 * (177.8 - 0.7 * 235.0);
    let want = 1480.0 / 2.0 - 31.0 + section / 2.0 - 840.0;
    let poke: Vec<f64> = list(&beside["poke_mm"]).iter().map(|it| it.as_f64().unwrap()).collect();
    assert!((f64::midpoint(poke[0], poke[1]) - want).abs() < 0.5, "{poke:?} {want}");
    let circle = |key: &str| beside[key].as_f64().unwrap();
    assert!(circle("stopped_circle_mm") > circle("turning_circle_mm"), "{beside}");
    // On this truck the arm is nearest at a lock.
    let of_arm = list(&answer["contacts"]).iter().filter(|it| it["obstacle"] == "arm");
    let least = of_arm.map(|it| it["clearance_mm"].as_f64().unwrap()).fold(f64::INFINITY, f64::min);
    let scuff = list(&beside["scuff"])[0]["clearance_mm"].as_f64().unwrap();
    assert!((scuff - least).abs() < 1.0, "{scuff} {least}");
}

#[test]
fn a_side_can_be_asked_for() {
    let answer = map(&["--side", "right", "--state", "stock"], &example());
    assert_eq!(answer["state"], "stock");
    for what in ["maps", "contacts"] {
        assert!(!list(&answer[what]).is_empty());
        assert!(list(&answer[what]).iter().all(|one| one["side"] == "right"), "{what}");
    }
}

#[test]
fn a_bigger_tire_clears_less() {
    let least = |state| {
        let answer = map(&["--state", state], &example());
        answer["contacts"][0]["clearance_mm"].as_f64().unwrap()
    };
    assert!(least("sitting") < least("stock"));
}

#[test]
fn nothing_to_clear_is_bad_input() {
    let mut build: Value = serde_json::from_slice(&example()).unwrap();
    build["truck"]["front"]["surroundings"] = Value::Object(serde_json::Map::new());
    let run = tapewright(&["map", "-", "--json"], build.to_string().as_bytes());
    assert_eq!(run.code, 2);
    assert_eq!(run.json()["problems"][0]["path"], "truck.front.surroundings");
    build["truck"].as_object_mut().unwrap().remove("rear");
    let run = tapewright(&["map", "-", "--axle", "rear", "--json"], build.to_string().as_bytes());
    assert_eq!((run.code, &run.json()["problems"][0]["path"]), (2, &"truck.rear".into()));
}

#[test]
fn people_get_a_table() {
    let run = tapewright(&["map", "-"], &example());
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    for words in [
        "front axle, sitting",
        "least clearance",
        "left",
        "arch",
        "offset",
        "steering stop",
        "stands out",
        "turning circle",
        "cut",
        "lock to lock",
    ] {
        assert!(run.out.contains(words), "{words}: {}", run.out);
    }
}
