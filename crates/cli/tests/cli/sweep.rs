//! sweep: points, columns, formats, and what makes no sweep.

use super::{example, tapewright};
use serde_json::Value;

fn sweep(args: &[&str]) -> Value {
    let args: Vec<&str> = ["sweep", "-", "--json"].iter().chain(args).copied().collect();
    let run = tapewright(&args, &example());
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?} {}", run.out);
    run.json()
}

#[test]
fn a_sweep_agrees_with_a_solve_at_its_points() {
    let found = sweep(&["--path", "heave", "--from", "-20", "--to", "20", "--step", "20"]);
    assert_eq!(found["path"], "heave");
    let points = found["points"].as_array().unwrap();
    let at: Vec<f64> = points.iter().map(|p| p["at_mm"].as_f64().unwrap()).collect();
    assert_eq!(at, [-20.0, 0.0, 20.0]);
    for point in points {
        // The example rides 75 mm below stock.
        let travel = (point["at_mm"].as_f64().unwrap() - 75.0).to_string();
        let run = tapewright(
            &["solve", "-", "--json", "--left", &travel, "--right", &travel],
            &example(),
        );
        let alone = &run.json()["front"];
        for key in ["lateral_shift_mm", "caster_deg", "panhard_deg", "instant_centre_x_mm"] {
            let (a, b) = (point[key].as_f64().unwrap(), alone[key].as_f64().unwrap());
            assert!((a - b).abs() < 1e-6 * (1.0 + b.abs()), "{key}: {a} {b}");
        }
    }
}

#[test]
fn every_path_has_its_points() {
    for path in ["heave", "roll", "left", "right", "steer"] {
        let found = sweep(&["--path", path, "--from", "0", "--to", "10", "--step", "5"]);
        assert_eq!(found["points"].as_array().unwrap().len(), 3, "{path}");
    }
    let steer = sweep(&["--path", "steer", "--from", "20", "--to", "20", "--step", "1"]);
    let circle = steer["points"][0]["turning_circle_mm"].as_f64().unwrap();
    // Outer radius near wheelbase over sine of a little under 20°.
    assert!((14_000.0..18_000.0).contains(&circle), "{circle}");
}

#[test]
fn points_beyond_reach_say_why_and_the_others_stand() {
    let found = sweep(&["--path", "heave", "--from", "0", "--to", "-900", "--step", "450"]);
    let points = found["points"].as_array().unwrap();
    assert!(points[0]["panhard_deg"].is_f64());
    assert!(points[2]["unreachable"].is_string(), "{points:?}");
}

#[test]
fn csv_has_one_row_a_point_and_the_columns_asked_for() {
    let args = "sweep - --path roll --from -10 --to 10 --step 10 --csv \
                --output roll_deg --output axle_steer_deg";
    let args: Vec<&str> = args.split_whitespace().collect();
    let run = tapewright(&args, &example());
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let rows: Vec<&str> = run.out.lines().collect();
    assert_eq!(rows[0], "at_mm,roll_deg,axle_steer_deg,unreachable");
    assert_eq!(rows.len(), 4);
    let number = |row: &str, at: usize| row.split(',').nth(at).unwrap().parse::<f64>().unwrap();
    // 10 mm up and 10 mm down over a track of 1418 mm.
    let want = (20.0_f64 / 1418.0).asin().to_degrees();
    assert!((number(rows[3], 1) - number(rows[2], 1) - want).abs() < 1e-3, "{}", run.out);
}

#[test]
fn people_get_a_table() {
    let args = "sweep - --path steer --from -30 --to 30 --step 10";
    let args: Vec<&str> = args.split_whitespace().collect();
    let run = tapewright(&args, &example());
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    for words in ["front axle, sitting", "Ackermann error", "at_deg", "before driving"] {
        assert!(run.out.contains(words), "{words}: {}", run.out);
    }
}

#[test]
fn what_makes_no_sweep_is_named() {
    for (args, words) in [
        ("--path heave --from 0 --to 10 --step 0", "step of 0"),
        ("--path heave --from 0 --to 5000 --step 10", "within ±1000"),
        ("--path heave --from 0 --to 10 --step 1 --output nothing", "no such output"),
        ("--path sideways --from 0 --to 10 --step 1", "sideways"),
    ] {
        let args: Vec<&str> = ["sweep", "-"].into_iter().chain(args.split_whitespace()).collect();
        let run = tapewright(&args, &example());
        assert_eq!(run.code, 2, "{args:?}");
        assert!(run.err.contains(words), "{args:?}: {}", run.err);
    }
}
