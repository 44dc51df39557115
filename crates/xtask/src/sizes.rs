//! What a first visit transfers, against its budget.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use anyhow::{Result, ensure};

use crate::finish;

/// First visit, everything, as served with brotli, bytes.
pub const BUDGET: u64 = 350_000;

/// Bytes a first visit transfers when the server sends the brotli copies.
///
/// # Errors
/// When the page is not there.
pub fn first_visit(dist: &Path) -> Result<u64> {
    Ok(rows(dist)?.iter().map(|row| row.sent).sum())
}

/// What the page weighed when it was last brought down, with 2 % for noise between machines. The
/// page is over its budget: between features this only ever goes down, until it meets [`BUDGET`].
/// Let up six times: from 432 000 for every axle layout, the steering and the curves, from 495 000
/// for the tire fit in full and the look-ups, from 650 000 for every kind of correction, the
/// driveline, targets and what the look-ups ask of a build, from 740 000 for the search in a worker,
/// plans with their order of work, measuring with its log and fit, and what is felt, and from 848 000 for
/// the ± of answers that bend, which weighs 18 kB, and from 866 000 for poses read off a grid, which take a
/// fifth off the tire fit's map.
pub const CEILING: u64 = 866_000;

/// Fails when the first visit is heavier than it has been, and says what is missing to its budget.
///
/// # Errors
/// When the page is not there, or has grown.
pub fn no_heavier(dist: &Path) -> Result<()> {
    let sent = first_visit(dist)?;
    eprintln!(
        "    first visit: {sent} bytes; budget {BUDGET}, {}",
        if sent <= BUDGET { "met" } else { "NOT met" }
    );
    ensure!(sent <= CEILING, "the page transfers {sent} bytes; it must not grow past {CEILING}");
    Ok(())
}

/// A table of every file: raw bytes, bytes sent.
///
/// # Errors
/// When the page is not there.
pub fn table(dist: &Path) -> Result<String> {
    let rows = rows(dist)?;
    let mut text = String::from("       raw      sent  file\n");
    for row in &rows {
        writeln!(text, "{:>10}{:>10}  {}", row.raw, row.sent, row.file)?;
    }
    let (raw, sent) = rows.iter().fold((0, 0), |(raw, sent), row| (raw + row.raw, sent + row.sent));
    writeln!(text, "{raw:>10}{sent:>10}  in all; budget {BUDGET} bytes sent")?;
    Ok(text)
}

struct Row {
    file: String,
    raw: u64,
    sent: u64,
}

fn rows(dist: &Path) -> Result<Vec<Row>> {
    let files = finish::files(dist)?;
    ensure!(!files.is_empty(), "{} is empty", dist.display());
    let packed = |file: &str| finish::has_extension(file, &["br", "gz"]);
    let size = |file: &str| fs::metadata(dist.join(file)).map(|data| data.len());
    files
        .into_iter()
        .filter(|file| !packed(file))
        .map(|file| {
            let raw = size(&file)?;
            let sent = size(&format!("{file}.br")).unwrap_or(raw).min(raw);
            Ok(Row { file, raw, sent })
        })
        .collect()
}
