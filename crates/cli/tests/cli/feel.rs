//! feel: the causes a truck's own numbers speak for come first, each with how to confirm it.

use super::{example, tapewright};

#[test]
fn lists_what_can_be_felt_when_nothing_is_asked() {
    let run = tapewright(&["feel", "--json"], b"");
    let list = run.json();
    let keys: Vec<_> = list.as_array().unwrap().iter().map(|it| it["key"].as_str()).collect();
    assert!(keys.contains(&Some("wanders")) && keys.contains(&Some("shakes")), "{list}");
    let words = tapewright(&["feel"], b"").out;
    assert!(words.contains("Wanders on a straight road"), "{words}");
}

#[test]
fn a_lifted_truck_wanders_for_want_of_caster() {
    let run = tapewright(&["feel", "-", "wanders", "--json"], &example());
    let answer = run.json();
    let first = &answer["causes"][0];
    assert_eq!((run.code, first["standing"].as_str()), (0, Some("likely")), "{answer}");
    assert_eq!(first["seen"]["output"], "caster_deg", "{answer}");
    assert!(first["seen"]["value"].as_f64() < first["seen"]["low"].as_f64(), "{answer}");
    assert!(!first["helps"].as_array().unwrap().is_empty(), "{answer}");
    // The truck as it left the factory has no such cause.
    let stock = tapewright(&["feel", "-", "wanders", "--state", "stock", "--json"], &example());
    assert_ne!(stock.json()["causes"][0]["seen"]["output"], "caster_deg");
}

#[test]
fn says_what_geometry_cannot_see_and_when_to_stop_driving() {
    let run = tapewright(&["feel", "-", "shakes"], &example());
    assert_eq!(run.code, 0, "{}", run.err);
    for word in ["To confirm:", "Not seen by geometry: balance", "stop driving"] {
        assert!(run.out.contains(word), "{word}: {}", run.out);
    }
}

#[test]
fn rubbing_is_told_by_the_tire_fit() {
    let answer = tapewright(&["feel", "-", "rubs-turned", "--json"], &example()).json();
    let near = answer["causes"].as_array().unwrap();
    assert!(near.iter().all(|it| it["seen"]["clearance_mm"].is_number()), "{answer}");
    assert!(!near.is_empty() && answer["no_fit"].is_null(), "{answer}");
}

#[test]
fn an_unknown_symptom_is_refused_with_the_list() {
    let run = tapewright(&["feel", "-", "hums"], &example());
    assert_eq!(run.code, 2);
    assert!(run.err.contains("wanders"), "{}", run.err);
}
