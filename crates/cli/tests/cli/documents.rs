//! example, schema, link, open, check, and bad input to all of them.

use super::{changed, example, tapewright};
use serde_json::Value;

/// A document of an earlier version as it is written now: what it does not say stays unsaid.
fn as_written_today(file: &[u8]) -> String {
    let build = buildfile::json::from_json(file).expect("it opens");
    buildfile::json::to_json(&build).expect("it writes")
}

#[test]
fn the_example_is_a_build_without_problems() {
    let printed = tapewright(&["example"], b"").out.into_bytes();
    let run = tapewright(&["check", "-"], &printed);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert!(run.out.starts_with("No problems"), "{}", run.out);
    assert_eq!(
        tapewright(&["check", "-", "--json"], &example()).json()["problems"],
        [(); 0].into_iter().collect::<serde_json::Value>()
    );
}

#[test]
fn a_link_opens_as_the_same_build() {
    let link = tapewright(&["link", "-"], &example());
    assert_eq!(link.code, 0);
    assert!(link.out.starts_with("#t4.") && link.out.len() <= 300, "{}", link.out);
    for input in [link.out.trim(), link.out.trim().trim_start_matches('#')] {
        let open = tapewright(&["open", input], b"");
        assert_eq!((open.code, open.out), (0, as_written_today(&example())));
    }
    let piped = tapewright(&["open", "-"], link.out.as_bytes());
    assert_eq!(piped.out, as_written_today(&example()));
    let with_base =
        tapewright(&["link", "-", "--base", "https://example.org/app/#old", "--json"], &example());
    let whole = with_base.json()["link"].as_str().unwrap().to_owned();
    assert_eq!(whole, format!("https://example.org/app/{}", link.out.trim()));
    assert_eq!(with_base.json()["characters"], whole.len());
}

#[test]
fn a_spoiled_link_exits_2_and_says_what_to_do() {
    let link = tapewright(&["link", "-"], &example()).out;
    let link = link.trim();
    let table = [
        (link[..link.len() - 4].to_owned(), "cut short"),
        (link.replacen("t4.", "t9.", 1), "version 9"),
        ("https://example.org/".to_owned(), "no build in this link"),
        (format!("{link}AAAA"), "added behind"),
    ];
    for (text, words) in table {
        let run = tapewright(&["open", &text], b"");
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{text}");
        assert!(run.err.contains(words), "{words}: {}", run.err);
        let json = tapewright(&["open", &text, "--json"], b"");
        assert_eq!(json.code, 2);
        assert!(json.json()["error"].as_str().unwrap().contains(words));
    }
}

#[test]
fn the_schema_describes_the_document() {
    let schema = tapewright(&["schema"], b"").json();
    assert_eq!(schema["title"], "Tapewright build");
    let names: Vec<&str> =
        schema["properties"].as_object().unwrap().keys().map(String::as_str).collect();
    assert_eq!(names, ["format", "log", "name", "note", "targets", "truck", "units", "version"]);
    let of = |name: &str| &schema["$defs"][name];
    assert!(of("Axle")["properties"]["hub_face_width_mm"].is_object());
    // What an axle may leave out is known by name and never asked for.
    let required = of("Axle")["required"].as_array().unwrap();
    for name in ["panhard", "watts", "kingpin", "steering", "spring", "shock"] {
        assert!(of("Axle")["properties"][name].is_object(), "{name}");
        assert!(!required.contains(&name.into()), "{name}");
    }
    assert!(of("Truck")["properties"]["balance"].is_object());
    let layouts = of("Layout").to_string();
    for name in ["radius_arms", "three_link", "four_link", "leaf_springs"] {
        assert!(layouts.contains(name), "{name}");
    }
    let parts = of("Part").to_string();
    for name in ["bracket", "length", "turn", "step", "bend", "double_cardan", "wheel", "tire"] {
        assert!(parts.contains(name), "{name}");
    }
    assert!(of("Member").to_string().contains("drag_link"));
}

/// A file and a link of the first version: both open as today's form of the same build.
#[test]
fn what_was_saved_or_sent_before_opens() {
    let file = include_bytes!("../../../../tests/golden/v1/example.json");
    let link = include_bytes!("../../../../tests/golden/v1/example.link");
    let run = tapewright(&["check", "-"], file);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let opened = tapewright(&["open", "-"], link).out;
    assert_eq!(opened, as_written_today(file));
    let sent_on = tapewright(&["link", "-"], file).out;
    assert_eq!(tapewright(&["open", "-"], sent_on.as_bytes()).out, opened);
}

/// Rules between what holds, steers and springs an axle, at the command line.
#[test]
fn what_does_not_go_together_is_said_with_its_path() {
    let rule = |change: &dyn Fn(&mut Value)| {
        let mut build: Value = serde_json::from_slice(&example()).unwrap();
        change(&mut build["truck"]["front"]);
        let run = tapewright(&["check", "-", "--json"], build.to_string().as_bytes());
        assert_eq!((run.code, run.err.as_str()), (2, ""));
        let problem = run.json()["problems"][0].clone();
        (
            problem["path"].as_str().unwrap().to_owned(),
            problem["remedy"].as_str().unwrap().to_owned(),
        )
    };
    let without = |name: &'static str| {
        move |axle: &mut Value| {
            axle.as_object_mut().unwrap().remove(name);
        }
    };
    let (path, remedy) = rule(&without("panhard"));
    assert_eq!(path, "truck.front.panhard");
    assert!(remedy.contains("`watts`"), "{remedy}");
    let (path, remedy) = rule(&without("kingpin"));
    assert_eq!(path, "truck.front.steering");
    assert!(remedy.contains("`kingpin`"), "{remedy}");
    let (path, remedy) =
        rule(&|axle| axle["steering"]["drag_link"]["joins"] = "left_knuckle".into());
    assert_eq!(path, "truck.front.steering.drag_link.end.y_mm");
    assert!(remedy.contains("left knuckle"), "{remedy}");
}

#[test]
fn bad_input_exits_2_with_the_fields_path_and_a_remedy() {
    // (from, to, path, words of the remedy)
    let table = [
        ("\"hub_face_width_mm\"", "\"hub_width_mm\"", "truck.front.hub_width_mm", "spelling"),
        ("\"value\": -470.0", "\"value\": -47000.0", "truck.front.panhard.axle.y_mm", "negative"),
        (
            "\"value\": -470.0",
            "\"value\": \"far\"",
            "truck.front.panhard.axle.y_mm.value",
            "expected",
        ),
        (
            "\"size\": \"315/75R16\"",
            "\"size\": \"315\"",
            "truck.front.sitting.tire.size",
            "sidewall",
        ),
        ("\"hole\": ", "\"hole\": 7", "truck.front.planned.parts[0].bracket.hole", "0 to 2"),
    ];
    for (from, to, path, words) in table {
        let build = changed(from, to);
        for command in ["solve", "map", "link", "check"] {
            let text = tapewright(&[command, "-"], &build);
            assert_eq!((text.code, text.out.as_str()), (2, ""), "{command} {to}");
            assert!(text.err.contains(path) && text.err.contains(words), "{to}: {}", text.err);
            let run = tapewright(&[command, "-", "--json"], &build);
            assert_eq!((run.code, run.err.as_str()), (2, ""), "{command} {to}");
            let json = run.json();
            assert_eq!(json["problems"][0]["path"], path, "{command} {to}");
            let remedy = json["problems"][0]["remedy"].as_str().unwrap().to_owned();
            assert!(remedy.contains(words), "{remedy}");
        }
    }
}

#[test]
fn what_is_no_build_exits_2() {
    let mut long = example();
    long.resize(50_000_000, b' ');
    let table: [(&[u8], &str); 6] = [
        (b"", "not JSON"),
        (b"{\"format\": \"other\"}", "not a build"),
        (b"{\"a\": NaN}", "not JSON"),
        (b"{\"format\": \"tapewright-build\", \"version\": 9}", "version 9"),
        (b"\xff", "not text"),
        (&long, "a build has at most"),
    ];
    for (input, words) in table {
        let run = tapewright(&["solve", "-"], input);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{words}");
        assert!(run.err.contains(words), "{words}: {}", run.err);
    }
    let run = tapewright(&["solve", "no-such-file.json"], b"");
    assert_eq!(run.code, 2);
    assert!(run.err.contains("cannot read no-such-file.json"), "{}", run.err);
}

#[test]
fn wrong_arguments_exit_2_and_name_the_argument() {
    let table: [(&[&str], &str); 7] = [
        (&[], "Usage"),
        (&["dance"], "dance"),
        (&["solve"], "<BUILD>"),
        (&["solve", "-", "--state", "lifted"], "planned"),
        (&["solve", "-", "--left", "NaN"], "--left"),
        (&["solve", "-", "--right", "-5000"], "--right"),
        (&["solve", "-", "--steer", "inf"], "--steer"),
    ];
    for (args, words) in table {
        let run = tapewright(args, &example());
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{args:?}");
        assert!(run.err.contains(words), "{args:?}: {}", run.err);
    }
}
