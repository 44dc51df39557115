//! Runs the benchmarks and puts what they measured beside the budgets they must keep.

use std::io::{BufRead, BufReader};
use std::process::Stdio;

use anyhow::{Context, Result, ensure};

use crate::{house, sizes};

/// A budget: the benchmark's name, what it measures, the most it may take in seconds.
struct Budget {
    bench: &'static str,
    what: &'static str,
    most_s: f64,
}

/// Native budgets; the page's own are measured in the browser journeys.
const BUDGETS: [Budget; 2] = [
    Budget { bench: "pose_links", what: "one pose from a near start, rigid links", most_s: 1.5e-6 },
    Budget {
        bench: "pose_bushes",
        what: "one pose from a near start, with bushes",
        most_s: 10.0e-6,
    },
];

/// Runs `cargo bench` and prints budget against measured median.
///
/// # Errors
/// When a benchmark fails to build or run. A missed budget is printed, not an error: a laptop on
/// battery is no fault of the code.
pub fn run() -> Result<()> {
    let mut child =
        house::cargo(["bench", "--workspace", "--exclude", "tapewright-web", "--benches"])
            .stdout(Stdio::piped())
            .spawn()
            .context("could not start cargo bench")?;
    let mut medians = Vec::new();
    if let Some(output) = child.stdout.take() {
        for line in BufReader::new(output).lines() {
            let line = line?;
            println!("{line}");
            medians.extend(median(&line));
        }
    }
    ensure!(child.wait()?.success(), "a benchmark failed");
    println!("\nbudget against measured (median)");
    for budget in BUDGETS {
        match medians.iter().find(|(name, _)| name == budget.bench) {
            Some((_, seconds)) => {
                let word = if *seconds <= budget.most_s { "within" } else { "OVER" };
                println!(
                    "  {word:>6}  {:>9} of {:>9}  {}",
                    time(*seconds),
                    time(budget.most_s),
                    budget.what
                );
            }
            None => println!("  no benchmark named {} yet: {}", budget.bench, budget.what),
        }
    }
    match sizes::first_visit(&house::dist()) {
        Ok(sent) => {
            let word = if sent <= sizes::BUDGET { "within" } else { "OVER" };
            println!(
                "  {word:>6}  {sent:>7} B of {:>7} B  first visit, brotli, everything",
                sizes::BUDGET
            );
        }
        Err(_) => println!("  first visit: no page in dist/; run `cargo xtask build` first"),
    }
    Ok(())
}

/// Name and median of one line of divan's table, in seconds.
fn median(line: &str) -> Option<(String, f64)> {
    let plain = line.trim_start_matches(|c: char| c.is_whitespace() || "├╰─│".contains(c));
    let name = plain.split_whitespace().next()?;
    let cell = plain.split('│').nth(2)?.trim();
    let (number, unit) = cell.split_once(' ')?;
    let scale = match unit.trim() {
        "ns" => 1e-9,
        "µs" => 1e-6,
        "ms" => 1e-3,
        "s" => 1.0,
        _ => return None,
    };
    Some((name.to_owned(), number.parse::<f64>().ok()? * scale))
}

fn time(seconds: f64) -> String {
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
    fn a_line_of_the_table_is_read() {
        let check = |line: &str, want: Option<(&str, f64)>| {
            let got = median(line);
            let want = want.map(|(name, seconds)| (name.to_owned(), seconds));
            match (&got, &want) {
                (Some((a, x)), Some((b, y))) => {
                    assert!(a == b && (x - y).abs() < 1e-12, "{line}: {got:?}");
                }
                _ => assert_eq!(got, want, "{line}"),
            }
        };
        check(
            "├─ pose_links   1.201 µs      │ 9.1 µs       │ 1.25 µs       │ 1.3 µs        │ 100     │ 6400",
            Some(("pose_links", 1.25e-6)),
        );
        check(
            "╰─ map          12 ms         │ 14 ms        │ 13 ms         │ 13 ms         │ 100     │ 100",
            Some(("map", 0.013)),
        );
        check("pose            fastest       │ slowest      │ median        │ mean", None);
        check("Timer precision: 20 ns", None);
    }
}
