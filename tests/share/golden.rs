//! Every file in `golden` was written once, by the version its folder is named for, and is never
//! edited: it must open, and link and JSON of one name must hold the same build.

use buildfile::{Build, json, link};
use fitment::truck::ThingKind;
use serde_json::Value;
use std::fs;
use std::path::PathBuf;
use tapewright_tests::samples::{
    afternoon, everything, four_links, leaves, weekend, without_typed,
};

fn folder(version: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden").join(version)
}

/// The names in a version's corpus, with the text of each one's JSON and link.
fn corpus(version: &str) -> Vec<(String, String, String)> {
    let mut names: Vec<String> = fs::read_dir(folder(version))
        .unwrap()
        .filter_map(|entry| {
            entry
                .unwrap()
                .file_name()
                .into_string()
                .unwrap()
                .strip_suffix(".json")
                .map(str::to_owned)
        })
        .collect();
    names.sort();
    let read = |name: &str, end: &str| {
        fs::read_to_string(folder(version).join(format!("{name}{end}"))).unwrap()
    };
    names.iter().map(|name| (name.clone(), read(name, ".json"), read(name, ".link"))).collect()
}

fn names(version: &str) -> Vec<String> {
    corpus(version).into_iter().map(|(name, ..)| name).collect()
}

#[test]
fn the_corpus_is_all_there() {
    let first = [
        "afternoon",
        "blank_four_link",
        "blank_radius_arms",
        "blank_three_link",
        "everything",
        "example",
    ];
    assert_eq!(names("v1"), first);
    let second = [
        "afternoon",
        "blank_four_link",
        "blank_leaf",
        "blank_radius_arms",
        "blank_three_link",
        "blank_triangulated",
        "everything",
        "example",
        "four_links",
        "leaves",
        "weekend",
    ];
    for version in ["v2", "v3", "v4"] {
        assert_eq!(names(version), second, "{version}");
    }
}

#[test]
fn every_file_and_link_opens_as_the_same_build() {
    for version in ["v1", "v2", "v3", "v4"] {
        for (name, text, code) in corpus(version) {
            let mark = version.replace('v', "\"version\": ");
            assert!(text.contains(&mark) && code.starts_with(&version.replace('v', "t")));
            let from_file =
                json::from_json(&text).unwrap_or_else(|e| panic!("{version} {name}.json: {e}"));
            let from_link =
                link::decode(&code).unwrap_or_else(|e| panic!("{version} {name}.link: {e}"));
            // As text, so that −0 and 0 are told apart too.
            let bare = without_typed(&from_file).unwrap();
            let found = json::to_json(&from_link).unwrap();
            assert_eq!(found, json::to_json(&bare).unwrap(), "{version} {name}");
            // What opens can be sent on.
            let again = link::decode(&link::encode(&from_file).unwrap()).unwrap();
            assert_eq!(json::to_json(&again).unwrap(), found, "{version} {name}");
        }
    }
}

/// A document of an earlier version says nothing of what came later, and stays as unknown: told in
/// the words of version 3 again, it is what it was.
#[test]
fn an_old_document_is_not_filled_up() {
    for version in ["v1", "v2", "v3"] {
        for (name, text, _) in corpus(version) {
            let now = json::to_json(&json::from_json(&text).unwrap()).unwrap();
            let mut now: Value = serde_json::from_str(&now).unwrap();
            in_words_of_version_3(&mut now);
            let mut then: Value = serde_json::from_str(&text).unwrap();
            then["version"] = 4.into();
            // Of a spacer on the shelf the thickness stays; how sure it was, only for the first.
            for end in ["front", "rear"] {
                let spacers = then.pointer_mut(&format!("/truck/{end}/shelf/spacers_mm"));
                let spacers = spacers.and_then(Value::as_array_mut);
                for spacer in spacers.into_iter().flatten().skip(1) {
                    if let Some(value) = spacer.get("value") {
                        *spacer = value.clone();
                    }
                }
            }
            assert_eq!(now, then, "{version} {name}");
        }
    }
}

/// Written back by hand, so that the step forward is not checked by itself.
fn in_words_of_version_3(document: &mut Value) {
    let fields = document.as_object_mut().unwrap();
    if let Some(mut targets) = fields.remove("targets") {
        for target in targets.as_array_mut().unwrap() {
            let target = target.as_object_mut().unwrap();
            let of = target.remove("of").unwrap();
            target.insert("output".into(), of);
            assert_eq!(target.remove("claim"), Some("wish".into()));
        }
        fields.insert("bands".into(), targets);
    }
    for end in ["front", "rear"] {
        let Some(axle) = document["truck"].get_mut(end) else { continue };
        for state in ["sitting", "planned"] {
            for part in axle[state]["parts"].as_array_mut().into_iter().flatten() {
                old_part(part);
            }
            if axle[state]["parts"].is_null() {
                axle[state].as_object_mut().unwrap().remove("parts");
            }
        }
        let Some(shelf) = axle.get_mut("shelf").and_then(Value::as_object_mut) else { continue };
        let [mut parts, mut spacers, mut wheels] = [const { Vec::new() }; 3];
        for mut offer in
            shelf.remove("parts").into_iter().flat_map(|it| it.as_array().cloned().unwrap())
        {
            let part = &mut offer["part"];
            if let Some(wheel) = part.get("wheel") {
                wheels.push(wheel["wheel"].clone());
            } else if let Some(step) = part.get("step") {
                assert_eq!(step["of"], "spacer");
                spacers.clone_from(step["choices_mm"].as_array().unwrap());
                spacers[0] = step["step_mm"].clone();
            } else {
                old_part(part);
                parts.push(part.clone());
            }
        }
        for (name, list) in [("parts", parts), ("spacers_mm", spacers), ("wheels", wheels)] {
            if !list.is_empty() {
                shelf.insert(name.into(), list.into());
            }
        }
    }
}

fn old_part(part: &mut Value) {
    let (form, body) = part.as_object().unwrap().iter().next().unwrap();
    let (form, mut body) = (form.clone(), body.clone());
    let mut word = |field: &str| {
        let taken = body.as_object_mut().unwrap().remove(field).unwrap();
        taken.as_str().unwrap().to_owned()
    };
    let tag = match form.as_str() {
        "bracket" => format!("{}_bracket", word("moves")),
        "length" => match word("of").as_str() {
            "bump_stop" => "bump_stop".to_owned(),
            of => format!("{of}_length"),
        },
        "turn" => word("by"),
        other => other.to_owned(),
    };
    *part = serde_json::json!({ tag: body });
}

#[test]
fn the_files_hold_what_they_are_named_for() {
    let common: &[&str] = &[
        "\"right\"",
        "\"lower_right\"",
        "\"entered\"",
        "-0.0",
        "phone_level",
        "caliper",
        "plumb_line",
        "angle_gauge",
    ];
    let later: &[&str] =
        &["\"balance\"", "\"watts\"", "\"chassis\",", "\"steering\"", "\"spring\"", "\"shock\""];
    // What version 4 says otherwise.
    let by_kind: &[&str] = &["upper_link_length", "\"bands\"", "\"wheels\""];
    let newest: &[&str] = &[
        "\"things\"",
        "\"packing_mm\"",
        "\"tread_mm\"",
        "\"crown_mm\"",
        "\"shoulder_mm\"",
        "\"shoulder_drop_mm\"",
        "\"inside_mm\"",
        "\"spoke_mm\"",
        "arch_trim",
        "steering_stop",
        "\"outline\"",
        "\"inside_wheel\"",
        "\"bar\"",
        "\"box\"",
        "\"between\"",
        "\"knuckle\"",
        "\"plan\"",
    ];
    let fourth: &[&str] = &[
        "\"moves\": \"panhard_axle\"",
        "\"of\": \"upper_link\"",
        "knuckle_flange",
        "\"of\": \"pitman\"",
        "\"bend\"",
        "double_cardan",
        "\"price\"",
        "\"hours\"",
        "\"driveline\"",
        "\"hose\"",
        "\"springing\"",
        "\"overhang\"",
        "\"weights\"",
        "\"belly\"",
        "\"gears\"",
        "\"weight\": 2.5",
        "\"claim\": \"must\"",
        "tire_clearance_mm",
    ];
    for version in ["v1", "v2", "v3", "v4"] {
        for (name, text, _) in corpus(version) {
            let build = json::from_json(&text).unwrap();
            let holds = |words: &[&str]| {
                for words in words {
                    assert!(text.contains(words), "{version} {name}: {words}");
                }
            };
            match name.as_str() {
                "example" => assert_eq!(build.name, "Orchard truck (example)"),
                "everything" => {
                    holds(common);
                    if version == "v4" {
                        holds(fourth);
                    } else {
                        holds(by_kind);
                    }
                    if version != "v1" {
                        holds(later);
                    }
                    if matches!(version, "v2" | "v3") {
                        holds(&["drag_link_length"]);
                    }
                    if version == "v3" {
                        holds(&["bump_stop\": {"]);
                    }
                    if matches!(version, "v3" | "v4") {
                        holds(newest);
                        let front = build.truck.front.as_ref().unwrap();
                        let there = |kind| front.surroundings.things.iter().any(|t| t.kind == kind);
                        assert!(ThingKind::ALL.into_iter().all(there));
                    }
                }
                "leaves" => holds(&["leaf_springs", "\"right\"", "tie_rod\"", "clamped_mm"]),
                "four_links" => holds(&["upper_right", "across", "left_knuckle"]),
                "afternoon" => assert!(text.matches("\"tape\"").count() > 60),
                "weekend" => assert!(text.matches("\"tape\"").count() > 170),
                blank => assert!(!text.contains("measured"), "{blank}"),
            }
        }
    }
}

#[test]
fn a_file_of_another_version_is_told_from_a_broken_one() {
    let (_, text, code) = corpus("v4").pop().unwrap();
    let future = text.replacen("\"version\": 4", "\"version\": 5", 1);
    assert!(json::from_json(future).unwrap_err().to_string().contains("version 5"));
    let future = code.replacen("t4.", "t5.", 1);
    assert!(link::decode(&future).unwrap_err().to_string().contains("version 5"));
}

/// The budgets: a typical build 300 characters, a full one 700.
#[test]
fn links_keep_their_budgets() {
    let length = |build: &Build| link::encode(build).unwrap().len();
    let lengths = [
        ("example", length(&Build::example()), 300),
        ("the example with every number measured", length(&afternoon()), 700),
        ("both axles lopsided, every number measured, shelves full", length(&weekend()), 700),
        ("leaf springs, no two alike", length(&leaves()), 300),
        ("four links, no two alike", length(&four_links()), 300),
        ("everything filled in awkwardly, with a note", length(&everything()), 1200),
    ];
    let samples: [fn() -> Build; 5] = [afternoon, weekend, leaves, four_links, everything];
    for sample in samples {
        let build = sample();
        assert_eq!(build.validate(), [], "{}", build.name);
    }
    for (name, length, most) in lengths {
        println!("{name}: {length} characters of {most}");
        assert!(length <= most, "{name}: {length} > {most}");
    }
}
