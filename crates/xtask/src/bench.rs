//! Runs the benchmarks and puts what they measured beside the budgets they must keep.

use std::io::{BufRead, BufReader};
use std::process::Stdio;

use anyhow::{Context, Result, ensure};

use crate::speed::{self, time};
use crate::{house, sizes};

/// A budget: the benchmark's name, what it measures, the most it may take in seconds.
struct Budget {
    bench: &'static str,
    what: &'static str,
    most_s: f64,
}

/// Budgets of what runs natively. The map's is the page's own, in WASM, and so is stricter there.
const BUDGETS: [Budget; 4] = [
    Budget {
        bench: "near_start/ThreeLink",
        what: "one pose from a near start, three rigid links and a bar",
        most_s: 1.5e-6,
    },
    Budget {
        bench: "near_start/RadiusArms",
        what: "one pose from a near start, arms on rubber bushes",
        most_s: 10.0e-6,
    },
    Budget {
        bench: "map/(61, 41, 9)",
        what: "clearance map, 61 x 41 x 9, six obstacles, certain to 1 mm",
        most_s: 0.150,
    },
    Budget {
        bench: "suggestions_for_the_example",
        what: "every combination of the shelf for the example",
        most_s: 1.0,
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
            .args(["--exclude", speed::PACKAGE])
            .stdout(Stdio::piped())
            .spawn()
            .context("could not start cargo bench")?;
    let mut medians = Vec::new();
    let mut group = String::new();
    if let Some(output) = child.stdout.take() {
        for line in BufReader::new(output).lines() {
            let line = line?;
            println!("{line}");
            medians.extend(median(&line, &mut group));
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
    speed::run()?;
    in_the_browser()?;
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

/// Budgets of the page itself, measured in the browser: name and most, ms.
const PAGE_BUDGETS: [(&str, f64); 4] = [
    ("slider_redraw/full speed", 8.0),
    ("slider_redraw/4 times slowed", 16.0),
    ("map_slide/full speed", 8.0),
    ("map_slide/4 times slowed", 16.0),
];

/// Runs the journeys that time a slider and a finger on the page in `dist/`.
fn in_the_browser() -> Result<()> {
    if !house::dist().join("sw.js").is_file() || crate::tools::browser().is_err() {
        println!(
            "  in the browser: needs a page in dist/ (`cargo xtask build`), Chromium and its driver"
        );
        return Ok(());
    }
    let output = house::cargo(["test", "--package", "tapewright-tests", "--features", "browser"])
        // One after the other: at once each reads twice what it is.
        .args(["--test", "browser", "--", "speed", "--nocapture", "--test-threads", "1"])
        .stderr(Stdio::inherit())
        .output()
        .context("could not start the browser journey")?;
    let text = String::from_utf8_lossy(&output.stdout);
    ensure!(output.status.success(), "the browser journey failed: {text}");
    for (name, most) in PAGE_BUDGETS {
        match text.lines().find_map(|line| page_median(line, name)) {
            Some(ms) => {
                let word = if ms <= most { "within" } else { "OVER" };
                println!(
                    "  {word:>6}  {ms:>6.1} ms of {most:>6.1} ms  {name}: move to new drawing and numbers"
                );
            }
            None => println!("  the browser said nothing of {name}"),
        }
    }
    Ok(())
}

/// The median in ms of a line the browser journey printed.
fn page_median(line: &str, name: &str) -> Option<f64> {
    let rest = line.split_once("measured: ")?.1.strip_prefix(name)?.strip_prefix(": median ")?;
    rest.split_once(" ms")?.0.parse().ok()
}

/// Name and median in seconds of one line of divan's table. A line with a name and no times opens
/// a group, and what stands indented below it is called `group/name`.
fn median(line: &str, group: &mut String) -> Option<(String, f64)> {
    let plain = line.trim_start_matches(|c: char| c.is_whitespace() || "├╰─│".contains(c));
    let nested = line.chars().count() - plain.chars().count() > 3;
    let mut cells = plain.split('│').map(str::trim);
    let (name, _) = cells.next().map(|cell| cell.split_once("  ").unwrap_or((cell, "")))?;
    let name = if nested { format!("{group}/{name}") } else { name.to_owned() };
    let seconds = cells.nth(1).and_then(seconds);
    if seconds.is_none() && !nested {
        group.clone_from(&name);
    }
    Some((name, seconds?))
}

/// A time as divan writes it: `1.25 µs`.
fn seconds(cell: &str) -> Option<f64> {
    let (number, unit) = cell.split_once(' ')?;
    let scale = match unit.trim() {
        "ns" => 1e-9,
        "µs" => 1e-6,
        "ms" => 1e-3,
        "s" => 1.0,
        _ => return None,
    };
    Some(number.parse::<f64>().ok()? * scale)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_browser_measured_is_read() {
        let line = "measured: slider_redraw/full speed: median 3.25 ms, 95th percentile 5.5 ms";
        assert_eq!(page_median(line, "slider_redraw/full speed"), Some(3.25));
        assert_eq!(page_median(line, "slider_redraw/4 times slowed"), None);
        assert_eq!(page_median("test speed ... ok", "slider_redraw/full speed"), None);
    }

    #[test]
    fn a_table_is_read_with_its_groups() {
        let table = "\
Timer precision: 20 ns
pose               fastest       │ slowest       │ median        │ mean          │ samples │ iters
├─ near_start                    │               │               │               │         │
│  ├─ RadiusArms   8.1 µs        │ 19 µs         │ 8.25 µs       │ 9 µs          │ 100     │ 6400
│  ╰─ ThreeLink    950.5 ns      │ 9.1 µs        │ 975.5 ns      │ 1.3 µs        │ 100     │ 6400
╰─ whole_answer                  │               │               │               │         │
   ╰─ (61, 41, 9)  12 ms         │ 14 ms         │ 13 ms         │ 13 ms         │ 100     │ 100
";
        let mut group = String::new();
        let got: Vec<_> = table.lines().filter_map(|line| median(line, &mut group)).collect();
        let want = [
            ("near_start/RadiusArms", 8.25e-6),
            ("near_start/ThreeLink", 975.5e-9),
            ("whole_answer/(61, 41, 9)", 13e-3),
        ];
        assert_eq!(got.len(), want.len(), "{got:?}");
        for ((name, seconds), (wanted, near)) in got.iter().zip(want) {
            assert!(name == wanted && (seconds - near).abs() < 1e-12, "{name} {seconds}");
        }
    }
}
