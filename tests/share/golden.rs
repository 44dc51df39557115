//! Every file in `golden` was written once, by the version its folder is named for, and is never
//! edited: it must open, and link and JSON of one name must hold the same build.

use buildfile::{Build, json, link};
use fitment::truck::ThingKind;
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
    for version in ["v2", "v3"] {
        assert_eq!(names(version), second, "{version}");
    }
}

#[test]
fn every_file_and_link_opens_as_the_same_build() {
    for version in ["v1", "v2", "v3"] {
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

/// A document of an earlier version says nothing of what came later, and stays as unknown.
#[test]
fn an_old_document_is_not_filled_up() {
    for version in ["v1", "v2"] {
        for (name, text, _) in corpus(version) {
            let now = json::to_json(&json::from_json(&text).unwrap()).unwrap();
            let mark = version.replace('v', "\"version\": ");
            assert_eq!(now, text.replacen(&mark, "\"version\": 3", 1), "{version} {name}");
        }
    }
}

#[test]
fn the_files_hold_what_they_are_named_for() {
    let common: &[&str] = &[
        "upper_link_length",
        "\"right\"",
        "\"lower_right\"",
        "\"entered\"",
        "-0.0",
        "\"bands\"",
        "\"wheels\"",
        "phone_level",
        "caliper",
        "plumb_line",
        "angle_gauge",
    ];
    let later: &[&str] = &[
        "\"balance\"",
        "\"watts\"",
        "\"chassis\",",
        "\"steering\"",
        "\"spring\"",
        "\"shock\"",
        "drag_link_length",
    ];
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
        "bump_stop\": {",
        "steering_stop",
        "\"outline\"",
        "\"inside_wheel\"",
        "\"bar\"",
        "\"box\"",
        "\"between\"",
        "\"knuckle\"",
        "\"plan\"",
    ];
    for version in ["v1", "v2", "v3"] {
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
                    if version != "v1" {
                        holds(later);
                    }
                    if version == "v3" {
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
    let (_, text, code) = corpus("v3").pop().unwrap();
    let future = text.replacen("\"version\": 3", "\"version\": 4", 1);
    assert!(json::from_json(future).unwrap_err().to_string().contains("version 4"));
    let future = code.replacen("t3.", "t4.", 1);
    assert!(link::decode(&future).unwrap_err().to_string().contains("version 4"));
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
