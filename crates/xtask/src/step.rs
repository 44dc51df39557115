//! One long step at a time: says what it is, how long it usually takes, and how long it has taken.

use std::process::Command;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

/// How often a running step says it is still alive.
const HEARTBEAT: Duration = Duration::from_secs(20);

/// Does `work`, announcing it, and saying every few seconds that it still runs.
///
/// # Errors
/// What `work` returns.
pub fn long<T>(what: &str, usual: &str, work: impl FnOnce() -> Result<T>) -> Result<T> {
    eprintln!("==> {what} (usually {usual})");
    let started = Instant::now();
    let (done, waiting) = mpsc::channel::<()>();
    let result = thread::scope(|scope| {
        scope.spawn(move || {
            while waiting.recv_timeout(HEARTBEAT) == Err(RecvTimeoutError::Timeout) {
                let so_far = started.elapsed().as_secs();
                eprintln!("    ... {what}: {so_far} s so far (usually {usual})");
            }
        });
        let result = work();
        drop(done);
        result
    });
    let took = started.elapsed().as_secs_f64();
    let word = if result.is_ok() { "done" } else { "FAILED" };
    eprintln!("    {word}: {what}, {took:.1} s");
    result
}

/// Runs a command as a long step, its output passing through.
///
/// # Errors
/// When the program cannot be started, or ends with anything but success.
pub fn run(what: &str, usual: &str, command: &mut Command) -> Result<()> {
    long(what, usual, || quiet(command))
}

/// Runs a command without announcing it.
///
/// # Errors
/// When the program cannot be started, or ends with anything but success.
pub fn quiet(command: &mut Command) -> Result<()> {
    let program = command.get_program().to_string_lossy().into_owned();
    let status = command.status().with_context(|| format!("could not start `{program}`"))?;
    if !status.success() {
        bail!("`{program}` ended with {status}");
    }
    Ok(())
}

/// What a command prints, trimmed; `None` when it cannot be run or fails.
pub fn output_of(command: &mut Command) -> Option<String> {
    let output = command.output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}
