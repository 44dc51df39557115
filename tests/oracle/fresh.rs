//! Asks SciPy afresh: what is stored must be what it says today, and the whole random family must
//! agree. `TAPEWRIGHT_SEED=7` asks about another family instead. Likewise coal for clearances.

use crate::{
    compare::{compare, elastic, sweeps},
    fixture::{Answer, Asked, Fixture, Position},
    monte_carlo::{Rubber, Trials},
    shrink::shrink,
    solid::{Agreement, Triples},
    tally::Tally,
};
use fitment::axle::{AxleModel, solve, solve_near};
use std::{
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::Instant,
};

/// Other versions of the linear algebra round otherwise: as a share, or in mm and degrees where
/// numbers are small.
const ROUNDING: f64 = 1e-7;
/// Poses the family must hold.
const POSES: usize = 2000;
/// Tires with an obstacle whose clearance is compared.
const TRIPLES: usize = 6000;
/// Disagreements that are shrunk; the rest are only counted.
const SHRUNK: usize = 2;

#[test]
fn the_whole_family_agrees_with_scipy() {
    let Some(python) = python() else { return };
    let start = Instant::now();
    let other = std::env::var("TAPEWRIGHT_SEED").ok();
    let mut arguments = vec!["make.py", "--family"];
    if let Some(seed) = &other {
        arguments.extend(["--seed", seed]);
    }
    let family = ask(&python, &arguments, None);
    println!(
        "seed {}: {} trucks, {} positions, SciPy took {:.0} s",
        family.seed,
        family.trucks.len(),
        family.positions(),
        start.elapsed().as_secs_f64()
    );
    if other.is_none() {
        let stored = Fixture::stored();
        assert_eq!((family.seed, &family.keys), (stored.seed, &stored.keys), "run make.py again");
        for (today, stored) in family.trucks.iter().zip(&stored.trucks) {
            same(today, stored);
        }
    }

    let mut tally = Tally::default();
    let mut speed = [Speed::default(), Speed::default()];
    let mut wrong = Vec::new();
    for asked in &family.trucks {
        for position in &asked.positions {
            let found = compare(asked, position, &family.keys);
            tally.add(asked, &found);
            speed[usize::from(elastic(asked))].add(asked, position);
            if !found.faults.is_empty() {
                wrong.push((alone(asked, position), found.faults));
            }
        }
    }
    let mut bent = Vec::new();
    for asked in &family.trucks {
        let found = sweeps(asked, &family.swept);
        bent.extend(found.faults.iter().map(|fault| format!("truck {}: {fault}", asked.number)));
    }
    let steps: usize = family.trucks.iter().map(|t| t.sweeps.len()).sum();
    println!("{steps} steps of sweeps");
    tally.print();
    speed[0].print("rigid");
    speed[1].print("elastic");
    tally.assert_covers(100, 13);
    assert!(tally.poses() >= POSES, "only {} poses", tally.poses());

    for (asked, faults) in wrong.iter().take(SHRUNK) {
        println!("truck {} disagrees:\n  {}", asked.number, faults.join("\n  "));
        let judge = |simpler: &[Asked]| {
            let text = serde_json::to_string(simpler).expect("trucks write");
            let answers = ask(&python, &["make.py", "--ask"], Some(&text));
            let judged = answers.trucks.into_iter().map(|asked| {
                let position = asked.positions.first().filter(|p| p.answer.is_some())?;
                Some(compare(&asked, position, &answers.keys).faults)
            });
            judged.collect()
        };
        println!("{}", shrink(asked, faults, judge).told());
    }
    for (asked, faults) in wrong.iter().skip(SHRUNK) {
        let at = &asked.positions[0];
        println!(
            "truck {} ({}, {:?}) {:?} at {:?}, steer {}: {}",
            asked.number,
            asked.name(),
            asked.end,
            at.state,
            at.travel_mm,
            at.steer_deg,
            faults[0]
        );
    }
    assert!(wrong.is_empty(), "seed {}: {} positions disagree", family.seed, wrong.len());
    assert!(bent.is_empty(), "seed {}:\n{}", family.seed, bent.join("\n"));
}

#[test]
fn stored_spread_is_what_numpy_says_today() {
    let Some(python) = python() else { return };
    let today = run(&python, &["uncertain.py", "--trials", "4000"], None);
    let today: Trials = serde_json::from_str(&today).expect("uncertain.py writes trials");
    let stored = Trials::stored();
    assert_eq!(today.axle, stored.axle, "another axle; run uncertain.py again");
    assert_eq!(today.drawn, 4000);
    for (key, sigma) in &stored.sigma {
        // 4000 trials settle a spread to 1.1 %, one standard deviation.
        let ratio = today.sigma[key] / sigma;
        assert!((ratio - 1.0).abs() < 0.05, "{key}: {ratio} of what is stored");
    }
}

#[test]
fn stored_spread_of_the_example_is_what_numpy_says_today() {
    let Some(python) = python() else { return };
    let today = run(&python, &["uncertain_rubber.py", "--trials", "2000"], None);
    let today: Rubber = serde_json::from_str(&today).expect("uncertain_rubber.py writes trials");
    let stored = Rubber::stored();
    assert_eq!(today.drawn, 2000);
    assert_eq!(today.sigma.len(), stored.sigma.len());
    for (key, sigma) in &stored.sigma {
        // 2000 trials settle a spread to 1.6 %, one standard deviation.
        let ratio = today.sigma[key] / sigma;
        assert!((ratio - 1.0).abs() < 0.07, "{key}: {ratio} of what is stored");
    }
}

#[test]
fn the_reference_agrees_with_itself() {
    let Some(python) = python() else { return };
    print!("{}", run(&python, &["selfcheck.py"], None));
}

/// What is stored must be the same trucks and answers.
fn same(today: &Asked, stored: &Asked) {
    let number = today.number;
    assert_eq!(number, stored.number);
    assert_eq!(today.truck, stored.truck, "truck {number}: another truck; run make.py again");
    assert_eq!(today.positions.len(), stored.positions.len());
    for (a, b) in today.positions.iter().zip(&stored.positions) {
        let name = format!("truck {number} at {:?}", a.travel_mm);
        assert_eq!((a.state, a.travel_mm), (b.state, b.travel_mm), "{name}");
        match (&a.answer, &b.answer) {
            (Some(Answer::Pose(a)), Some(Answer::Pose(b))) => {
                let numbers = a.shift_mm.iter().zip(&b.shift_mm);
                for (a, b) in
                    numbers.chain(a.outputs.iter().flatten().zip(b.outputs.iter().flatten()))
                {
                    let off = (a - b).abs() / b.abs().max(1.0);
                    assert!(off < ROUNDING, "{name}: {a} today, {b} stored");
                }
                let none = |o: &[Option<f64>]| o.iter().map(Option::is_none).collect::<Vec<_>>();
                assert_eq!(none(&a.outputs), none(&b.outputs), "{name}: other outputs");
            }
            (Some(Answer::Beyond(a)), Some(Answer::Beyond(b))) => {
                assert_eq!(a.why, b.why, "{name}");
                let off = (a.fraction - b.fraction).abs();
                assert!(off < 1e-5, "{name}: {a:?} today, {b:?} stored");
            }
            (a, b) => panic!("{name}: {a:?} today, {b:?} stored"),
        }
    }
}

/// The truck with one of its positions.
fn alone(asked: &Asked, position: &Position) -> Asked {
    Asked { positions: vec![position.clone()], ..asked.clone() }
}

/// How long a pose takes from a start near by, here and in SciPy.
#[derive(Debug, Default)]
struct Speed {
    poses: f64,
    engine_us: f64,
    scipy_us: f64,
}

impl Speed {
    fn add(&mut self, asked: &Asked, position: &Position) {
        const REPEATS: u32 = 8;
        let Some(Answer::Pose(posed)) = &position.answer else { return };
        let Some(scipy_us) = posed.scipy_us else { return };
        let Ok(model) = AxleModel::of(&asked.truck, asked.end, position.state) else { return };
        let Ok(near) = solve(&model, position.travel_mm.map(|t| t + 3.0)) else { return };
        let start = Instant::now();
        for _ in 0..REPEATS {
            std::hint::black_box(solve_near(&model, position.travel_mm, &near)).ok();
        }
        self.engine_us += start.elapsed().as_secs_f64() * 1e6 / f64::from(REPEATS);
        self.scipy_us += scipy_us;
        self.poses += 1.0;
    }

    fn print(&self, what: &str) {
        let (engine, scipy) = (self.engine_us / self.poses, self.scipy_us / self.poses);
        println!(
            "{what}: {engine:.1} µs a pose from near by, SciPy {scipy:.0} µs: {:.0} times",
            scipy / engine
        );
    }
}

#[test]
fn clearances_agree_with_a_collision_library() {
    let Some(python) = python_with("coal") else { return };
    let start = Instant::now();
    let count = TRIPLES.to_string();
    let mut arguments = vec!["solid.py", "--count", &count];
    let other = std::env::var("TAPEWRIGHT_SEED").ok();
    if let Some(seed) = &other {
        arguments.extend(["--seed", seed]);
    }
    let today: Triples =
        serde_json::from_str(&run(&python, &arguments, None)).expect("solid.py writes triples");
    println!("seed {}: coal took {:.0} s", today.seed, start.elapsed().as_secs_f64());
    if other.is_none() {
        for (today, stored) in today.triples.iter().zip(&Triples::stored().triples) {
            match (today.gap, stored.gap) {
                (Some(a), Some(b)) => assert!((a - b).abs() < 1e-4, "{a} today, {stored:?}"),
                (a, b) => assert_eq!(a.is_none(), b.is_none(), "{a:?} today, {stored:?}"),
            }
        }
    }
    let agreement = Agreement::of(&today);
    agreement.print();
    agreement.assert(TRIPLES);
}

/// A Python that has SciPy.
fn python() -> Option<PathBuf> {
    python_with("scipy")
}

/// A Python that has a module: the one named, the project's own, or the machine's. Where there is
/// none, says so in one line; in CI that is a failure.
fn python_with(module: &str) -> Option<PathBuf> {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("../.tools/venv/bin/python");
    let found = std::env::var_os("TAPEWRIGHT_PYTHON")
        .map(PathBuf::from)
        .into_iter()
        .chain([own, PathBuf::from("python3")])
        .find(|p| {
            let import = format!("import {module}");
            Command::new(p).args(["-c", &import]).output().is_ok_and(|o| o.status.success())
        });
    if found.is_none() {
        let why = format!("no Python with {module} in .tools/venv or on PATH");
        assert!(std::env::var_os("CI").is_none(), "{why}: nothing may be skipped in CI");
        println!("skipped: {why}");
    }
    found
}

fn ask(python: &Path, arguments: &[&str], text: Option<&str>) -> Fixture {
    serde_json::from_str(&run(python, arguments, text)).expect("make.py writes a fixture")
}

/// What a script beside this file prints, given some text to read.
fn run(python: &Path, arguments: &[&str], text: Option<&str>) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("oracle");
    let mut child = Command::new(python)
        .args(["-B"])
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("Python starts");
    let mut input = child.stdin.take().expect("piped");
    // Read to its end before anything is answered, so the pipes cannot wait for each other.
    input.write_all(text.unwrap_or_default().as_bytes()).expect("Python reads");
    drop(input);
    let output = child.wait_with_output().expect("Python ends");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("JSON is UTF-8")
}
