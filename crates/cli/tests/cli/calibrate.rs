//! calibrate: readings bring the fitted bar to what was read, a slip is told, bad files are refused by
//! name and remedy.

use super::{Run, example, tapewright};
use serde_json::{Value, json};

/// Runs on the example with this log.
fn calibrated(name: &str, log: &Value, more: &[&str]) -> Run {
    let file = format!("{}/{name}.json", env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(&file, log.to_string()).unwrap();
    let args: Vec<&str> = ["calibrate", "-", file.as_str()].iter().chain(more).copied().collect();
    tapewright(&args, &example())
}

/// Readings of a bar that is 10 mm longer than the example has it, as it sits.
fn log(length: f64) -> Value {
    let read = |what: &str, values: &[f64]| json!({ "what": what, "read": values });
    json!({ "version": 1, "sets": [{ "name": "before", "date": "a Sunday", "readings": [
        read("length panhard", &[length, length + 1.0, length - 1.0]),
        read("rise panhard", &[138.0, 136.5, 137.0]),
        read("angle panhard", &[9.4]),
        read("tape panhard_axle panhard_chassis", &[842.0]),
        read("arch left", &[635.0]),
        read("turned left 20", &[1.4]),
    ] }] })
}

#[test]
fn readings_move_the_hardpoints_and_make_them_surer() {
    let run = calibrated("moved", &log(842.0), &["--json"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
    let answer = run.json();
    let input = |path: &str| {
        let all = answer["inputs"].as_array().unwrap();
        all.iter().find(|it| it["path"] == path).unwrap_or_else(|| panic!("{path}")).clone()
    };
    let number = |value: &Value| value.as_f64().unwrap();
    let end = input("panhard.chassis.y_mm");
    assert!(number(&end["sigma"]) < number(&end["before_sigma"]), "{end}");
    assert!((number(&end["value"]) - number(&end["before"])).abs() > 3.0, "{end}");
    let readings = answer["readings"].as_array().unwrap();
    assert_eq!(readings.len(), 6);
    assert!(readings.iter().all(|it| it["doubt"] == "agrees"), "{readings:?}");
    assert!((number(&readings[0]["fitted"]) - 842.0).abs() < 3.0);
    assert!(number(&answer["answers"]["panhard_deg"]["sigma"]) > 0.0);
    assert!(answer["next"].as_array().unwrap().iter().all(|it| it["worth"].is_number()));
}

/// By hand: caster as in `fitment`'s `sweep.rs`, the exact form 6.00° and the one for small angles
/// (3.1177° + 1.0111°) / (2 sin 20°) = 6.04°; half of 130 less 118 mm; 501 less 512 mm.
#[test]
fn readings_of_a_set_come_to_what_a_hand_would_work_out() {
    let read = |what: &str, value: f64| json!({ "what": what, "read": [value] });
    let log = json!({ "version": 1, "sets": [{}, { "name": "after", "date": "a Monday", "readings": [
        read("turned left 20", 3.1177),
        read("turned left -20", -1.0111),
        read("inclination left", 9.0),
        read("frame", 1.5),
        read("rail left", 130.0),
        read("rail right", 118.0),
        read("arch left", 501.0),
        read("arch right", 512.0),
    ] }] });
    let run = calibrated("worked", &log, &["--json"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
    let answer = run.json();
    let set = &answer["sets"][1];
    assert_eq!((&set["name"], &set["state"]), (&json!("after"), &json!("sitting")));
    let worked = set["worked"].as_array().unwrap();
    let want = [
        ("Caster by sweep, left", 6.0, "°"),
        ("Caster against the frame, left", 7.5, "°"),
        ("Axle off center, to the left", 6.0, "mm"),
        ("Body higher on the left", -11.0, "mm"),
    ];
    assert_eq!(worked.len(), want.len(), "{worked:?}");
    for (it, (what, value, unit)) in worked.iter().zip(want) {
        assert_eq!((&it["what"], &it["unit"]), (&json!(what), &json!(unit)));
        assert!((it["value"].as_f64().unwrap() - value).abs() < 0.002, "{it}");
        assert!(it["sigma"].as_f64().unwrap() > 0.0, "{it}");
    }
    let text = calibrated("worked", &log, &[]).out;
    for words in ["What set 2, after, a Monday comes to", "small angles gives 6.04°", "7.50 ±"] {
        assert!(text.contains(words), "“{words}” is not in\n{text}");
    }
}

/// A bar that nobody changed reads in the second set what the first foretold, within its ±; an arch that came
/// down 45 mm, from 635 to 590, does not.
#[test]
fn what_was_read_is_set_beside_what_was_foretold() {
    let read = |what: &str, values: &[f64]| json!({ "what": what, "read": values });
    let mut log = log(842.0);
    log["sets"].as_array_mut().unwrap().push(json!({
        "name": "after alignment", "date": "a Friday", "note": "new bolts", "readings": [
            read("length panhard", &[843.0]),
            read("arch left", &[590.0]),
        ],
    }));
    let run = calibrated("foretold", &log, &["--json"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
    let answer = run.json();
    assert_eq!(answer["sets"][0]["foretold"], json!([]));
    let [bar, arch] = answer["sets"][1]["foretold"].as_array().unwrap().as_slice() else {
        panic!("{}", answer["sets"])
    };
    let off = |it: &Value| {
        let number = |key: &str| it[key].as_f64().unwrap();
        (number("read") - number("foretold")) / number("sigma")
    };
    assert!(off(bar).abs() < 2.0 && off(arch) < -5.0, "{bar} {arch}");
    let text = calibrated("foretold", &log, &[]).out;
    let line = |start: &str, end: &str| {
        text.lines().any(|line| line.trim().starts_with(start) && line.ends_with(end))
    };
    assert!(line("Panhard bar, eye to eye", "+1.0 mm"), "{text}");
    assert!(line("Panhard bar, eye to eye", " as foretold"), "{text}");
    assert!(line("Hub to arch, left", "NOT as foretold"), "{text}");
    assert!(text.contains("set 2, after alignment, a Friday: new bolts"), "{text}");
}

#[test]
fn inches_entered_as_millimeters_are_told() {
    let run = calibrated("slip", &log(33.15), &[]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let line = run.out.lines().find(|line| line.contains("Panhard bar, eye to eye")).unwrap();
    assert!(line.contains("LOOK AGAIN") && line.contains("inches were entered"), "{line}");
    assert!(run.out.contains("licensed"), "the caution is printed");
}

#[test]
fn a_build_carries_its_own_log() {
    let mut build: Value = serde_json::from_slice(&example()).unwrap();
    build["log"] = log(842.0)["sets"].clone();
    let own = tapewright(&["calibrate", "-", "--json"], build.to_string().as_bytes());
    assert_eq!((own.code, own.err.as_str()), (0, ""), "{}", own.out);
    assert_eq!(own.json(), calibrated("own", &log(842.0), &["--json"]).json());
    let none = tapewright(&["calibrate", "-", "--json"], &example()).json();
    assert_eq!(none["readings"], json!([]));
}

#[test]
fn bad_logs_are_refused_with_their_field() {
    for (name, log, part) in [
        ("version", json!({ "version": 2 }), "version"),
        ("unknown", json!({ "version": 1, "sets": [{ "reading": [] }] }), "reading"),
        (
            "empty",
            json!({ "version": 1, "sets": [{ "readings": [{ "what": "frame", "read": [] }] }] }),
            "sets[0].readings[0].read",
        ),
        (
            "kind",
            json!({ "version": 1, "sets": [{ "readings": [{ "what": "weight", "read": [1] }] }] }),
            "weight",
        ),
    ] {
        let run = calibrated(name, &log, &["--json"]);
        assert_eq!(run.code, 2, "{name}");
        assert!(run.json()["error"].as_str().unwrap().contains(part), "{name}: {}", run.out);
    }
    let none = tapewright(&["calibrate", "-", "no-such-file.json"], &example());
    assert!(none.code == 2 && none.err.contains("no-such-file.json"), "{}", none.err);
}
