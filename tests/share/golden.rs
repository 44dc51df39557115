//! Every file in `golden/v1` was written once by version 1 and is never edited: it must open, and
//! link and JSON of one name must hold the same build.

use buildfile::{Build, json, link};
use std::fs;
use std::path::PathBuf;
use tapewright_tests::samples::{afternoon, everything, without_typed};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden/v1")
}

/// The names in the corpus, with the text of each one's JSON and link.
fn corpus() -> Vec<(String, String, String)> {
    let mut names: Vec<String> = fs::read_dir(folder())
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
    let read =
        |name: &str, end: &str| fs::read_to_string(folder().join(format!("{name}{end}"))).unwrap();
    names.iter().map(|name| (name.clone(), read(name, ".json"), read(name, ".link"))).collect()
}

#[test]
fn the_corpus_is_all_there() {
    let names: Vec<String> = corpus().into_iter().map(|(name, ..)| name).collect();
    assert_eq!(
        names,
        [
            "afternoon",
            "blank_four_link",
            "blank_radius_arms",
            "blank_three_link",
            "everything",
            "example"
        ]
    );
}

#[test]
fn every_file_and_link_opens_as_the_same_build() {
    for (name, text, code) in corpus() {
        let from_file = json::from_json(&text).unwrap_or_else(|e| panic!("{name}.json: {e}"));
        let from_link = link::decode(&code).unwrap_or_else(|e| panic!("{name}.link: {e}"));
        // As text, so that −0 and 0 are told apart too.
        let bare = without_typed(&from_file).unwrap();
        assert_eq!(json::to_json(&from_link).unwrap(), json::to_json(&bare).unwrap(), "{name}");
    }
}

#[test]
fn the_files_hold_what_they_are_named_for() {
    for (name, text, _) in corpus() {
        let build = json::from_json(&text).unwrap();
        match name.as_str() {
            "example" => assert_eq!(build.name, "Orchard truck (example)"),
            "everything" => {
                for words in [
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
                ] {
                    assert!(text.contains(words), "{words}");
                }
            }
            "afternoon" => assert!(text.matches("\"tape\"").count() > 60),
            blank => assert!(!text.contains("measured"), "{blank}"),
        }
    }
}

#[test]
fn a_file_of_another_version_is_told_from_a_broken_one() {
    let (_, text, code) = corpus().pop().unwrap();
    let future = text.replacen("\"version\": 1", "\"version\": 2", 1);
    assert!(json::from_json(future).unwrap_err().to_string().contains("version 2"));
    let future = code.replacen("t1.", "t2.", 1);
    assert!(link::decode(&future).unwrap_err().to_string().contains("version 2"));
}

/// The budgets: a typical build 300 characters, a full one 700.
#[test]
fn links_keep_their_budgets() {
    let length = |build: &Build| link::encode(build).unwrap().len();
    let lengths = [
        ("example", length(&Build::example()), 300),
        ("every number of both axles measured", length(&afternoon()), 700),
        ("everything filled in, with a note", length(&everything()), 1200),
    ];
    for (name, length, most) in lengths {
        println!("{name}: {length} characters of {most}");
        assert!(length <= most, "{name}: {length} > {most}");
    }
}
