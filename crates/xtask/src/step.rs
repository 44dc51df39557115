//! One long step at a time: says what it is, how long it usually takes, and how long it has taken.

use std::process::{Child, Command, ExitStatus};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

use crate::house;

/// How often a running step says it is still alive.
const HEARTBEAT: Duration = Duration::from_secs(20);
/// The longest any one command may take where nobody watches. Three times the slowest, cold.
const LONGEST: Duration = Duration::from_mins(25);
/// How often is looked whether it has ended.
const LOOK: Duration = Duration::from_millis(100);

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
/// When the program cannot be started, or ends with anything but success; with `CI=true` also when
/// it does not end, for there nobody is by to stop it.
pub fn quiet(command: &mut Command) -> Result<()> {
    let program = command.get_program().to_string_lossy().into_owned();
    let status = if house::in_ci() {
        within(command, LONGEST)
    } else {
        command.status().context("could not be started")
    }
    .with_context(|| format!("`{program}`"))?;
    if !status.success() {
        bail!("`{program}` ended with {status}");
    }
    Ok(())
}

/// How a command ends, if it does so in time; else it and all that it started is stopped.
fn within(command: &mut Command, most: Duration) -> Result<ExitStatus> {
    // A group of its own, so that what it starts goes with it.
    #[cfg(unix)]
    std::os::unix::process::CommandExt::process_group(command, 0);
    let mut child = command.spawn().context("could not be started")?;
    let started = Instant::now();
    while started.elapsed() < most {
        if let Some(status) = child.try_wait()? {
            return Ok(status);
        }
        thread::sleep(LOOK);
    }
    stop(&mut child)?;
    bail!(
        "did not end within {} s and was stopped; its last lines say where it was",
        most.as_secs()
    )
}

fn stop(child: &mut Child) -> Result<()> {
    if cfg!(unix) {
        Command::new("kill").args(["-KILL", "--", &format!("-{}", child.id())]).status()?;
    } else {
        child.kill()?;
    }
    child.wait()?;
    Ok(())
}

/// What a command prints, trimmed; `None` when it cannot be run or fails.
pub fn output_of(command: &mut Command) -> Option<String> {
    let output = command.output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    fn sh(script: &str) -> Command {
        let mut command = Command::new("sh");
        command.args(["-c", script]);
        command
    }

    #[test]
    fn what_ends_in_time_says_how() {
        let status = within(&mut sh("exit 3"), Duration::from_mins(1)).expect("it ended");
        assert_eq!(status.code(), Some(3));
    }

    #[test]
    fn what_does_not_end_is_stopped_with_all_that_it_started() {
        let started = Instant::now();
        let all = &mut sh("sleep 600 & sleep 600");
        let why = within(all, Duration::from_millis(300)).expect_err("it sleeps");
        assert!(started.elapsed() < Duration::from_mins(1), "{why}");
        assert!(why.to_string().contains("did not end"), "{why}");
    }
}
