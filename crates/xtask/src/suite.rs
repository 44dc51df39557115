//! Everything that must hold before a change goes in, in one command and one summary line.

use std::process::Command;
use std::thread::{self, JoinHandle};
use std::time::Instant;

use anyhow::{Result, anyhow, bail};

use crate::bundle::{self, Bundler};
use crate::{house, sizes, step, tools};

/// Runs every check, goes on after a failure, and sums up.
///
/// # Errors
/// When any check failed, or any was skipped where skipping is not allowed.
pub fn run() -> Result<()> {
    let started = Instant::now();
    let mut tally = Tally::default();
    if let Err(why) = tools::ensure_components() {
        tally.fail("rustfmt and clippy", &format!("{why:#}"));
    }
    tally.command("format", "2 s", house::cargo(["fmt", "--all", "--check"]));
    // Linking the page is minutes of work for one core: it goes on beside the lints, which leave one idle
    // often. The targets are compiled in places of their own, so neither waits for the other.
    let build = thread::spawn(|| bundle::build(Bundler::Own));
    lints(&mut tally);
    native_tests(&mut tally);
    oracle(&mut tally);
    page(&mut tally, build);
    tally.sum_up(started)
}

fn lints(tally: &mut Tally) {
    let strict = ["--", "--deny", "warnings"];
    let everything =
        ["clippy", "--workspace", "--exclude", "tapewright-web", "--all-targets", "--all-features"];
    let web = ["clippy", "--package", "tapewright-web", "--target", tools::WASM];
    tally.command(
        "clippy, native",
        "1-3 min cold",
        house::cargo(everything.into_iter().chain(strict)),
    );
    tally.command(
        "clippy, the engine without its optional features",
        "10 s",
        house::cargo(["clippy", "--package", "fitment", "--all-targets"].into_iter().chain(strict)),
    );
    tally.check("clippy, the page", || {
        tools::ensure_wasm_target()?;
        let mut command = house::cargo(web.into_iter().chain(strict));
        step::run("clippy, the page", "1-2 min cold", &mut command)
    });
    let docs = ["doc", "--no-deps", "--package", "fitment", "--package", "buildfile"];
    let mut docs = house::cargo(docs);
    docs.env("RUSTDOCFLAGS", "--deny warnings");
    tally.command("documentation", "10 s", docs);
}

/// Random cases start here unless `TAPEWRIGHT_SEED` says otherwise, so that what fails once fails
/// again; `cargo test` by itself starts somewhere else each time.
const SEED: &str = "20261";

/// The page's plain parts are among the others, which take the same engine.
fn native_tests(tally: &mut Tally) {
    let seed = std::env::var("TAPEWRIGHT_SEED").unwrap_or_else(|_| SEED.to_owned());
    println!("random cases from seed {seed}");
    let mut tests = house::cargo(["test", "--workspace", "--no-fail-fast"]);
    tests.env("PROPTEST_RNG_SEED", &seed);
    tally.command("unit, property, published, golden and tidy tests", "5-9 min cold", tests);
}

/// The engine against an independent formulation in SciPy, and clearances against coal.
fn oracle(tally: &mut Tally) {
    let what = "oracle tests against SciPy and coal";
    // Seeds, the worst disagreements and the ratio of the two speeds are worth reading. Asked for in the
    // whole workspace, so that the crates it takes are the ones compiled for the other tests.
    let mut command =
        house::cargo(["test", "--workspace", "--test", "oracle", "--", "--nocapture"]);
    if let Some(python) = tools::python_with_scipy() {
        command.env("TAPEWRIGHT_PYTHON", python);
        tally.command(what, "3-5 min", command);
    } else {
        command.args(["--skip", "fresh::"]);
        tally.command("stored answers of SciPy and coal", "1 min cold", command);
        tally.skip(what, "no python3 with SciPy in .tools/venv or on PATH");
    }
}

fn page(tally: &mut Tally, build: JoinHandle<Result<()>>) {
    let built = tally.check("the page, as released", || {
        build.join().unwrap_or_else(|_| Err(anyhow!("building it broke off")))
    });
    let journeys = "browser journeys on the released page";
    if !built {
        tally.fail(journeys, "the page did not build");
        return;
    }
    tally.check("weight of a first visit", || sizes::no_heavier(&house::dist()));
    if let Err(why) = tools::browser() {
        tally.skip(journeys, &format!("{why:#}"));
        return;
    }
    // The driver's crates have features that change what ours do with a text's order, so the journeys
    // are compiled apart.
    let features = ["--features", "tapewright-tests/browser", "--test", "browser"];
    let apart = ["test", "--workspace", "--exclude", "tapewright-web"];
    tally.command(journeys, "5-10 min", house::cargo(apart.into_iter().chain(features)));
    if let Err(why) = tools::axe_source() {
        tally.skip("accessibility rules inside the journeys", &format!("{why:#}"));
    }
}

#[derive(Default)]
struct Tally {
    passed: usize,
    failed: Vec<String>,
    skipped: Vec<String>,
}

impl Tally {
    fn command(&mut self, what: &str, usual: &str, mut command: Command) {
        self.check(what, || step::run(what, usual, &mut command));
    }

    fn check(&mut self, what: &str, work: impl FnOnce() -> Result<()>) -> bool {
        match work() {
            Ok(()) => {
                self.passed += 1;
                true
            }
            Err(why) => {
                self.fail(what, &format!("{why:#}"));
                false
            }
        }
    }

    fn fail(&mut self, what: &str, why: &str) {
        eprintln!("    FAILED: {what}: {why}");
        self.failed.push(format!("{what}: {why}"));
    }

    fn skip(&mut self, what: &str, why: &str) {
        self.skipped.push(format!("{what}: {why}"));
    }

    fn sum_up(self, started: Instant) -> Result<()> {
        for skipped in &self.skipped {
            println!("skipped: {skipped}");
        }
        for failed in &self.failed {
            println!("failed: {failed}");
        }
        eprintln!("all checks took {} s", started.elapsed().as_secs());
        let (failed, skipped) = (self.failed.len(), self.skipped.len());
        println!("checks: {} passed, {failed} failed, {skipped} skipped", self.passed);
        if !self.failed.is_empty() {
            bail!("{} of the checks failed", self.failed.len());
        }
        if house::in_ci() && !self.skipped.is_empty() {
            return Err(anyhow!("nothing may be skipped here (CI is set)"));
        }
        Ok(())
    }
}
