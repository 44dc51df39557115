//! A bounded while of mutation-driven fuzzing at each door, on every run of the tests.
//!
//! Inputs that go a way not seen before join the corpus, so that mutations build on each other.
//! The run is repeatable: it starts from `TAPEWRIGHT_FUZZ_SEED` (a fixed one by default) and lasts
//! `TAPEWRIGHT_FUZZ_SECONDS` (3 by default) per door. For a longer, coverage-guided run see
//! `tests/fuzz`.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod mutate;

use mutate::Mutator;
use std::collections::BTreeSet;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::time::{Duration, Instant};
use tapewright_tests::fuzz;
use tapewright_tests::samples::unwrap;

fn setting(name: &str, default: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(default)
}

/// The golden files that end so.
fn golden(end: &str) -> Vec<Vec<u8>> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden");
    let mut paths: Vec<PathBuf> = ["v1", "v2", "v3"]
        .into_iter()
        .flat_map(|version| fs::read_dir(folder.join(version)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(end))
        .collect();
    paths.sort();
    paths.iter().map(|path| fs::read(path).unwrap()).collect()
}

/// Runs one door; `words` are dropped into inputs, `least` is how many different ways a working
/// mutator must find.
fn run(
    name: &str,
    door: fn(&[u8]) -> String,
    mut corpus: Vec<Vec<u8>>,
    words: &[&str],
    least: usize,
) {
    let seed = setting("TAPEWRIGHT_FUZZ_SEED", 0x7a9e);
    let time = Duration::from_secs(setting("TAPEWRIGHT_FUZZ_SECONDS", 3));
    let mut mutator = Mutator::new(seed, words);
    let mut ways: BTreeSet<String> = BTreeSet::new();
    let start = Instant::now();
    let mut rounds = 0_u64;
    let mut queue = corpus.clone();
    while start.elapsed() < time {
        let input = queue.pop().unwrap_or_else(|| mutator.next(&corpus));
        let Ok(way) = catch_unwind(AssertUnwindSafe(|| door(&input))) else {
            let input = String::from_utf8_lossy(&input);
            panic!("{name} panicked; seed {seed}, round {rounds}, input {input:?}");
        };
        if ways.insert(way) && corpus.len() < 4096 {
            corpus.push(input);
        }
        rounds += 1;
    }
    println!("{name}: seed {seed}, {rounds} inputs, {} ways in {time:?}", ways.len());
    assert!(ways.len() >= least, "{name} went only these ways: {ways:?}");
}

#[test]
fn link_decoder() {
    let mut corpus = golden(".link");
    let bodies: Vec<Vec<u8>> = corpus
        .iter()
        .filter_map(|code| unwrap(std::str::from_utf8(code).unwrap().trim()))
        .collect();
    corpus.extend(bodies);
    let words =
        ["t1.", "#", "t2.", "t3.", "t4.", "t5.", "%23", "\u{fffd}", " ", "A", "____", "----"];
    run("link decoder", fuzz::link_decoder, corpus, &words, 5);
}

#[test]
fn card_link() {
    let corpus = checks::ALL
        .iter()
        .flat_map(|card| {
            let rest =
                format!("{}?{}=12%20mm", card.slug, card.fields.first().map_or("", |f| f.key));
            [rest.into_bytes(), buildfile::card::encode(card, &[]).into_bytes()]
        })
        .collect();
    let words = ["?", "&", "=", "%", "%C2%B1", "c1.", "speed=1e9", "tire=", "in", "psi", "."];
    run("card link", fuzz::card_link, corpus, &words, 20);
}

#[test]
fn json_document() {
    let words = [
        "NaN",
        "1e308",
        "-1",
        "0",
        "1e-320",
        "null",
        "[]",
        "{}",
        "\"",
        "true",
        "1e999",
        "-0.0",
        "\"format\"",
        "\"version\"",
        "99999999999999999999",
        "\\u0000",
        "\"right\":",
        "\"watts\":",
        "\"steering\":",
        "tie_rod",
        "across",
        ",",
        "]",
        "}",
    ];
    run("JSON", fuzz::json_document, golden(".json"), &words, 5);
}

#[test]
fn engine() {
    // One start for each build there is to pick, and one that clears tires too.
    let corpus = (0..fuzz::BUILDS).chain([132]).map(|pick| vec![pick, 0, 0, 14]).collect();
    run("engine", fuzz::engine, corpus, &[], 3);
}

#[test]
fn measurement() {
    let corpus = [
        "13 1/2\"",
        "3.5in",
        "1' 3 3/4\"",
        "89",
        "8.9 cm",
        "3°30'",
        "0,5",
        "½",
        "-2 mm",
        "3° 30' 15\"",
        "LT265/75R16 123/120Q",
        "35x12.50R17LT",
        "7.50-16",
        "235/85R16",
    ];
    let words = [
        "'",
        "\"",
        "°",
        "′",
        "″",
        "½",
        "/",
        " ",
        "-",
        "−",
        "+",
        ",",
        ".",
        "in",
        "mm",
        "cm",
        "ft",
        "deg",
        "1e9",
        "0",
        "00000000000000000000",
        "9999999999",
        "R",
        "x",
        "LT",
        "\u{a0}",
        "٣",
    ];
    let corpus = corpus.iter().map(|text| text.as_bytes().to_vec()).collect();
    run("measurements", fuzz::measurement, corpus, &words, 20);
}
