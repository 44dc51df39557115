//! card: the list, text, JSON, units, and what is refused.

use super::{Run, tapewright};
use serde_json::Value;

fn card(args: &[&str]) -> Run {
    let args: Vec<&str> = ["card"].iter().chain(args).copied().collect();
    tapewright(&args, b"")
}

fn answer(args: &[&str]) -> Value {
    let args: Vec<&str> = args.iter().chain(&["--json"]).copied().collect();
    let run = card(&args);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
}

fn number(answer: &Value, key: &str) -> f64 {
    let lines = answer["answers"].as_array().unwrap();
    let line = lines.iter().find(|line| line["key"] == key);
    line.unwrap_or_else(|| panic!("{key}: {answer:#}"))["value"].as_f64().unwrap()
}

fn names() -> Vec<String> {
    let list = card(&["--json"]).json();
    let cards = list.as_array().unwrap().iter();
    cards.map(|card| card["card"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn without_a_name_every_card_is_listed() {
    let text = card(&[]);
    assert_eq!(text.code, 0);
    let names = names();
    assert!(names.len() >= 3);
    for name in names {
        assert!(text.out.lines().any(|line| line.starts_with(&name)), "{name}: {}", text.out);
    }
}

#[test]
fn every_card_answers_from_its_start_with_source_and_caution() {
    for name in names() {
        let found = answer(&[&name]);
        assert!(!found["cautions"].as_array().unwrap().is_empty(), "{name}");
        for line in found["answers"].as_array().unwrap() {
            let words = |key: &str| line[key].as_str().unwrap().to_owned();
            assert!(line["value"].is_number(), "{name}: {line:#}");
            assert!(!words("formula").is_empty() && !words("source").is_empty(), "{line:#}");
        }
        for units in [&[][..], &["--inch"]] {
            let args: Vec<&str> = [name.as_str()].iter().chain(units).copied().collect();
            let text = card(&args);
            assert_eq!(text.code, 0, "{name}");
            assert!(text.out.contains("source: ") && !text.out.contains("NaN"), "{}", text.out);
        }
    }
}

/// What a card's answers must never be shown without is there in either form.
#[test]
fn every_caution_is_said() {
    for card in checks::ALL.iter() {
        let (found, text) = (answer(&[card.slug]), self::card(&[card.slug]).out);
        for caution in &card.cautions {
            assert!(text.contains(caution), "{}: {caution}", card.slug);
            let said = found["cautions"].as_array().unwrap();
            assert!(said.iter().any(|said| said == caution), "{}: {caution}", card.slug);
        }
    }
}

#[test]
fn values_are_read_in_either_system() {
    // The low range and first gear are factors of the crawl ratio: 4.02 · 2.72 · 4.10 = 44.83.
    let crawl = number(&answer(&["gearing", "first=4.02", "low_range=2.72"]), "crawl");
    assert!((crawl - 44.831).abs() < 0.001, "{crawl}");
    // 62.137 mph is 100 km/h.
    let metric = number(&answer(&["gearing", "speed=100"]), "engine_speed");
    for inch in [&["gearing", "speed=62.1371mph"][..], &["gearing", "--inch", "speed=62.1371"]] {
        assert!((number(&answer(inch), "engine_speed") - metric).abs() < 0.01);
    }
}

#[test]
fn a_spread_is_carried_to_the_answer() {
    let found = answer(&["gearing", "axle_ratio=4.10 ± 0.05"]);
    let line = &found["answers"].as_array().unwrap().iter().find(|l| l["key"] == "crawl").unwrap();
    // 4.02 · 2.72 · 0.05
    assert!((line["sigma"].as_f64().unwrap() - 0.54672).abs() < 1e-6, "{line:#}");
    assert_eq!(line["driver"]["field"], "axle_ratio");
}

#[test]
fn what_does_not_read_is_refused_with_its_place() {
    for (args, path) in [
        (&["nothing"][..], "card"),
        (&["gearing", "color=red"], "gearing.color"),
        (&["gearing", "speed=fast"], "gearing.speed"),
        (&["gearing", "speed=5 psi"], "gearing.speed"),
        (&["gearing", "speed=5000"], "gearing.speed"),
        (&["gearing", "tire=big"], "gearing.tire"),
        (&["driveline", "shaft=square"], "driveline.shaft"),
    ] {
        let args: Vec<&str> = args.iter().chain(&["--json"]).copied().collect();
        let run = card(&args);
        assert_eq!(run.code, 2, "{args:?}");
        let error = run.json();
        assert_eq!(error["problems"][0]["path"], path, "{error:#}");
        assert_ne!(error["problems"][0]["remedy"], "", "{error:#}");
    }
    assert_eq!(card(&["gearing", "speed"]).code, 2);
}

#[test]
fn why_is_told_only_where_it_matters() {
    let why = "overheats and comes apart.\n";
    let stop = card(&["tire-load", "pressure=100", "axle_load=2000"]);
    assert!(stop.out.contains("stop and check: ") && stop.out.contains(why), "{}", stop.out);
    let fine = card(&["tire-load", "pressure=500", "axle_load=1200"]);
    assert!(
        !fine
            .out
            .contains(&format!("why: The tire carries more than its pressure allows: it {why}")),
        "{}",
        fine.out
    );
}
