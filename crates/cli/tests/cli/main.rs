//! The binary as a script sees it: exit codes, output, errors.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod calibrate;
mod card;
mod documents;
mod feel;
mod largest;
mod map;
mod remedy;
mod solve;
mod sweep;
mod window;

use serde_json::Value;
use std::io::Write;
use std::process::{Command, Stdio};

/// What a run left behind.
struct Run {
    code: i32,
    out: String,
    err: String,
}

impl Run {
    fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e}: {:?}", self.out))
    }
}

/// Runs the binary with this on its standard input.
fn tapewright(args: &[&str], input: &[u8]) -> Run {
    let mut child = Command::new(env!("CARGO_BIN_EXE_tapewright"))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_vec();
    // The binary may stop reading early, which breaks the pipe: that is for it to decide.
    let feeder = std::thread::spawn(move || drop(stdin.write_all(&input)));
    let output = child.wait_with_output().unwrap();
    feeder.join().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Run { code: output.status.code().unwrap(), out: text(output.stdout), err: text(output.stderr) }
}

/// The example as it was when version 2 was frozen: its numbers never change.
fn example() -> Vec<u8> {
    include_bytes!("../../../../tests/golden/v2/example.json").to_vec()
}

/// The example with one text in it replaced.
fn changed(from: &str, to: &str) -> Vec<u8> {
    let text = String::from_utf8(example()).unwrap();
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1).into_bytes()
}
