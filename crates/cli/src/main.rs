//! `tapewright`: the engine on files, for scripted sweeps, checking and bug reports.
//!
//! Exit codes: 0 done; 1 the output could not be written; 2 the input is bad, with the field's
//! path and what would fix it; 3 the position asked for does not exist.

#![forbid(unsafe_code)]

mod args;
mod commands;
mod failure;
mod input;

use args::{Args, Command};
use clap::Parser;
use failure::Failure;
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args = Args::parse();
    let json = args.command.json();
    match run(args.command) {
        Ok(text) => print(&text, 0),
        Err(failure) if json => print(&failure.to_json(), failure.exit_code()),
        Err(failure) => {
            // Nothing is left to do when even the error stream is gone.
            let _ = writeln!(std::io::stderr().lock(), "tapewright: {failure}");
            ExitCode::from(failure.exit_code())
        }
    }
}

fn run(command: Command) -> Result<String, Failure> {
    match command {
        Command::Solve(args) => commands::solve::run(&args),
        Command::Sweep(args) => commands::sweep::run(&args),
        Command::Map(args) => commands::map::run(&args),
        Command::Window(args) => commands::window::run(&args),
        Command::Largest(args) => commands::largest::run(&args),
        Command::Remedy(args) => commands::remedy::run(&args),
        Command::Feel(args) => commands::feel::run(&args),
        Command::Calibrate(args) => commands::calibrate::run(&args),
        Command::Link(args) => commands::link::link(&args),
        Command::Open(args) => commands::link::open(&args),
        Command::Check(args) => commands::check::run(&args),
        Command::Card(args) => commands::card::run(&args),
        Command::Schema => Ok(commands::document::schema()),
        Command::Example => commands::document::example(),
    }
}

/// Writes everything at once; a reader that went away (`| head`) is no failure.
fn print(text: &str, code: u8) -> ExitCode {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            let _ = writeln!(std::io::stderr().lock(), "tapewright: cannot write: {error}");
            ExitCode::from(1)
        }
        _ => ExitCode::from(code),
    }
}
