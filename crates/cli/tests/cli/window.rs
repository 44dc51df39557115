//! window: its ends are where the room asked for runs out.

use super::map::least;
use super::{example, tapewright};
use serde_json::{Value, json};

fn window(args: &[&str], build: &[u8]) -> Value {
    let args: Vec<&str> = ["window", "-", "--json"].iter().chain(args).copied().collect();
    let run = tapewright(&args, build);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
}

/// The example with its stock tires and wheels planned, no lift and no parts. Moving the planned
/// wheel leaves alone what travel is counted from, the stock one.
pub fn stock_planned() -> Value {
    let mut build: Value = serde_json::from_slice(&example()).unwrap();
    let front = &mut build["truck"]["front"];
    front["planned"] = front["stock"].clone();
    build
}

#[test]
fn each_end_has_just_the_room_asked_for() {
    let planned = stock_planned().to_string();
    let answer = window(&["--state", "planned", "--margin", "12"], planned.as_bytes());
    assert_eq!((&answer["clears"], &answer["margin_mm"]), (&true.into(), &12.0.into()));
    for end in ["inboard", "outboard"] {
        let offset = answer[end]["offset_mm"].as_f64().unwrap();
        assert!(answer[end]["limited_by"]["obstacle"].is_string(), "{answer}");
        assert!(answer[end]["sigma_mm"].as_f64().is_some_and(|sigma| sigma > 0.0), "{answer}");
        let mut build = stock_planned();
        build["truck"]["front"]["planned"]["wheel"]["offset_mm"] = offset.into();
        let room = least(&["--state", "planned"], build.to_string().as_bytes());
        // Certain to 0.9 mm, on the safe side.
        assert!((11.99..13.0).contains(&room), "{end} {offset}: {room}");
    }
}

/// More room asked for never widens the window.
#[test]
fn a_larger_margin_never_widens_it() {
    let ends = |margin: &str| {
        let answer = window(&["--state", "stock", "--margin", margin], &example());
        ["inboard", "outboard"].map(|end| answer[end]["offset_mm"].as_f64().unwrap())
    };
    let mut wider = ends("0");
    for margin in ["5", "10", "15"] {
        let [inboard, outboard] = ends(margin);
        assert!(inboard <= wider[0] + 1e-6 && outboard >= wider[1] - 1e-6, "{margin}");
        wider = [inboard, outboard];
    }
}

/// A spacer that clears by the list clears when it is bolted on, and the others do not.
#[test]
fn each_spacer_is_told_to_clear_or_not() {
    let mut build = stock_planned();
    build["truck"]["front"]["shelf"]["spacers_mm"] = json!([6.0, 25.4, 90.0, 150.0]);
    let args = ["--state", "planned", "--margin", "12"];
    let answer = window(&args, build.to_string().as_bytes());
    let spacers = answer["spacers"].as_array().unwrap();
    assert_eq!(spacers.len(), 4);
    let mut told = Vec::new();
    for spacer in spacers {
        build["truck"]["front"]["planned"]["spacer_mm"] = spacer["spacer_mm"].clone();
        let room = least(&["--state", "planned"], build.to_string().as_bytes());
        let clears = spacer["clears"].as_bool().unwrap();
        // What is not certain to clear, by 0.9 mm, is not said to.
        assert!(if clears { room >= 11.99 } else { room < 13.0 }, "{spacer}: {room}");
        told.push(clears);
    }
    assert!(told.contains(&true) && told.contains(&false), "{told:?}");
    build["truck"]["front"]["planned"]["spacer_mm"] = 0.0.into();
    build["truck"]["front"]["shelf"].as_object_mut().unwrap().remove("spacers_mm");
    let usual = window(&args, build.to_string().as_bytes());
    assert_eq!(usual["spacers"].as_array().unwrap().len(), 5);
}

#[test]
fn each_width_asked_for_has_its_window() {
    let build = stock_planned();
    let args = ["--state", "planned", "--width", "240", "--width", "265"];
    let answer = window(&args, build.to_string().as_bytes());
    let widths = answer["widths"].as_array().unwrap();
    assert_eq!(widths.len(), 2);
    let mut before = f64::INFINITY;
    for one in widths {
        let mut with = build.clone();
        with["truck"]["front"]["planned"]["tire"]["section_mm"] = one["width_mm"].clone();
        let alone = window(&["--state", "planned"], with.to_string().as_bytes());
        for end in ["inboard", "outboard"] {
            assert_eq!(one[end], alone[end], "{one}");
        }
        let ends = ["inboard", "outboard"].map(|end| one[end]["offset_mm"].as_f64().unwrap());
        // A wider tire has less of a window.
        assert!(ends[0] - ends[1] < before, "{one}");
        before = ends[0] - ends[1];
    }
    let run = tapewright(&["window", "-", "--width", "-5"], &example());
    assert_eq!(run.code, 2);
}

#[test]
fn where_nothing_clears_it_says_what_is_best() {
    let answer = window(&["--margin", "40"], &example());
    assert_eq!(answer["clears"], false);
    assert!(answer["clearance_mm"].as_f64().unwrap() < 40.0);
    assert!(answer["best"]["offset_mm"].is_number());
}

#[test]
fn people_get_words() {
    let run = tapewright(&["window", "-", "--state", "stock"], &example());
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    for words in ["front axle, stock", "10 mm to spare", "wheel's offset", "spacer", "lock to lock"]
    {
        assert!(run.out.contains(words), "{words}: {}", run.out);
    }
    let run = tapewright(&["window", "-", "--margin", "900"], &example());
    assert_eq!(run.code, 2);
}
