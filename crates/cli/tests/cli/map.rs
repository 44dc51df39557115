//! map: its shape, its filters, and what it says when there is nothing to map.

use super::{example, tapewright};
use serde_json::Value;

fn map(args: &[&str], build: &[u8]) -> Value {
    let args: Vec<&str> = ["map", "-", "--json"].iter().chain(args).copied().collect();
    let run = tapewright(&args, build);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
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
    for words in
        ["front axle, sitting", "least clearance", "left", "arch", "offset", "lock to lock"]
    {
        assert!(run.out.contains(words), "{words}: {}", run.out);
    }
}
