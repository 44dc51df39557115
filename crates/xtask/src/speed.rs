//! The engine in WASM beside the same engine on this machine: same workloads, same way of timing,
//! the WASM compiled, bound and optimised as the page's is.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, anyhow, ensure};

use crate::{bundle, house, step, tools};

/// The package of the workloads.
pub const PACKAGE: &str = "tapewright-speed";
/// The same as a library's name.
const LIBRARY: &str = "tapewright_speed";

/// The most WASM may take of what the machine itself takes.
const MOST_RATIO: f64 = 1.6;
/// What a workload may take in WASM, s.
const WASM_BUDGETS: [(&str, f64); 14] = [
    ("sweep/three_links", 0.010),
    ("sweep/radius_arms", 0.010),
    ("picture/coarse", 0.030),
    ("map/61x41x9", 0.150),
    ("search/million,links", 1.0),
    ("search/million,rubber", 1.0),
    ("search/first,rubber", 0.100),
    ("calibrate/example", 0.050),
    ("card/driveline", 0.002),
    ("step/example", 0.008),
    ("step/every_thing", 0.008),
    ("step/leaf_front", 0.008),
    ("step/leaf_rear", 0.008),
    ("step/arms_rear", 0.008),
];
/// Workloads that a time alone binds: those of the crates that the page wants small rather than fast, and
/// the longest step of what a person does not wait for.
const TIME_ALONE: [&str; 2] = ["card/", "step/"];
/// Each side is timed so often, in turn, and its best median counts: what else the machine does only
/// ever adds.
const ROUNDS: usize = 2;
/// How far the two may be apart in what a workload comes to, as a share: their sines and roots are
/// not of one library, and a sum of many outputs hides nothing of a wrong one.
const SAME: f64 = 1e-6;

/// Prints what each workload takes here and in WASM, and whether that keeps the budgets.
///
/// # Errors
/// When a build or a run fails, or the two do not come to the same.
pub fn run() -> Result<()> {
    let Ok(node) = which::which("node") else {
        println!("  the engine in WASM: not timed, node is not on PATH");
        return Ok(());
    };
    let module = in_wasm()?;
    let mut native_bench = house::cargo(["bench", "--package", PACKAGE, "--bench", "native"]);
    step::run("compiling the workloads", "1-2 min cold", native_bench.arg("--no-run"))?;
    let script = format!("console.log(require({:?}).table(''))", module.display().to_string());
    let (mut native, mut wasm) = (Vec::new(), Vec::new());
    step::long("timing the engine here and in WASM", "1 min", || {
        for _ in 0..ROUNDS {
            let mut here = house::cargo(["bench", "--quiet", "--package", PACKAGE]);
            keep_best(&mut native, &rows(&lines(here.args(["--bench", "native"]))?)?);
            keep_best(&mut wasm, &rows(&lines(Command::new(&node).args(["-e", &script]))?)?);
        }
        Ok(())
    })?;
    println!("\nthe engine on this machine and in WASM (medians)");
    for (here, there) in native.iter().zip(&wasm) {
        ensure!(
            here.name == there.name
                && (here.result - there.result).abs() <= SAME * here.result.abs(),
            "{} comes to {} here, {} to {} in WASM",
            here.name,
            here.result,
            there.name,
            there.result
        );
        println!("{}", verdict(here, there));
    }
    Ok(())
}

/// Compiles, binds and optimises the workloads; the module for node.
fn in_wasm() -> Result<PathBuf> {
    tools::ensure_wasm_target()?;
    bundle::compile(PACKAGE)?;
    let stage = house::target().join("speed");
    let _ = fs::remove_dir_all(&stage);
    fs::create_dir_all(&stage)?;
    bundle::bindings(LIBRARY).nodejs(true)?.generate(&stage)?;
    bundle::optimise(&stage.join(format!("{LIBRARY}_bg.wasm")))?;
    Ok(stage.join(LIBRARY).with_extension("js"))
}

/// What a command prints.
fn lines(command: &mut Command) -> Result<String> {
    step::output_of(command).with_context(|| {
        format!("`{}` did not time the engine", Path::new(command.get_program()).display())
    })
}

/// One workload, timed.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    name: String,
    seconds: f64,
    result: f64,
}

/// The table that the workloads' package prints.
fn rows(text: &str) -> Result<Vec<Row>> {
    let row = |line: &str| {
        let mut cells = line.split_whitespace();
        let name = cells.next()?.to_owned();
        let mut number = || cells.next()?.parse().ok();
        Some(Row { name, seconds: number()?, result: number()? })
    };
    text.lines()
        .map(|line| row(line).ok_or_else(|| anyhow!("no name and two numbers in `{line}`")))
        .collect()
}

fn keep_best(best: &mut Vec<Row>, new: &[Row]) {
    if best.is_empty() {
        best.extend_from_slice(new);
    }
    for (best, new) in best.iter_mut().zip(new) {
        best.seconds = best.seconds.min(new.seconds);
    }
}

/// One line: within or over, both times, their ratio.
fn verdict(here: &Row, there: &Row) -> String {
    let ratio = there.seconds / here.seconds;
    let most = WASM_BUDGETS.iter().find(|(name, _)| *name == here.name).map(|(_, most)| *most);
    let kept = (ratio <= MOST_RATIO || TIME_ALONE.iter().any(|start| here.name.starts_with(start)))
        && most.is_none_or(|most| there.seconds <= most);
    let most = most.map_or_else(String::new, |most| format!(" of {}", time(most)));
    format!(
        "  {:>6}  {:<20} here {:>9}, in WASM {:>9}{most}, {ratio:.2} of {MOST_RATIO} times",
        if kept { "within" } else { "OVER" },
        here.name,
        time(here.seconds),
        time(there.seconds),
    )
}

/// A time for people.
pub(crate) fn time(seconds: f64) -> String {
    if seconds < 1e-3 {
        format!("{:.2} µs", seconds * 1e6)
    } else {
        format!("{:.1} ms", seconds * 1e3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_read_and_the_best_of_two_is_kept() {
        let mut best = Vec::new();
        keep_best(&mut best, &rows("pose/a 2e-6 -1.5\nmap 0.1 7").unwrap());
        keep_best(&mut best, &rows("pose/a 1e-6 -1.5\nmap 0.2 7\n").unwrap());
        let row = |name: &str, seconds, result| Row { name: name.to_owned(), seconds, result };
        assert_eq!(best, [row("pose/a", 1e-6, -1.5), row("map", 0.1, 7.0)]);
        assert!(rows("pose/a 2e-6").is_err());
    }

    #[test]
    fn a_budget_is_kept_only_when_the_ratio_is_too() {
        let check = |name: &str, here, there, want: &str| {
            let row = |seconds| Row { name: name.to_owned(), seconds, result: 0.0 };
            let got = verdict(&row(here), &row(there));
            assert!(got.trim_start().starts_with(want), "{got}");
        };
        check("pose/three_links", 1e-6, 1.5e-6, "within");
        check("pose/three_links", 1e-6, 1.7e-6, "OVER");
        check("sweep/three_links", 8e-3, 9e-3, "within");
        check("sweep/three_links", 8e-3, 11e-3, "OVER");
        check("card/driveline", 1e-4, 1e-3, "within");
        check("card/driveline", 1e-3, 2.1e-3, "OVER");
    }
}
