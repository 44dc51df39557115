//! `cargo xtask`: the command line.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result, bail};
use lexopt::prelude::{Long, Short, Value, ValueExt};
use xtask::bundle::{self, Bundler};
use xtask::server::{self, StaticServer};
use xtask::{bench, finish, house, suite};

const HELP: &str = "\
cargo xtask serve [--port N] [--no-build]  build the page and serve it, here and on the local network
cargo xtask build [--trunk]                build the page into dist/
cargo xtask test                           everything that must hold; sums up in one line
cargo xtask bench                          measure, beside the budgets
cargo xtask finish [FOLDER]                finish a staged page (Trunk's hook calls this)
";

/// Where the page is served when nobody says otherwise, and how many ports up to look.
const PORTS: std::ops::Range<u16> = 8080..8090;

fn main() -> ExitCode {
    match parse().and_then(run) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}

enum Task {
    Help,
    Serve { port: Option<u16>, build: bool },
    Build(Bundler),
    Test,
    Bench,
    Finish(PathBuf),
}

fn parse() -> Result<Task> {
    let mut args = lexopt::Parser::from_env();
    let mut words = Vec::new();
    let (mut port, mut build, mut bundler) = (None, true, Bundler::Own);
    while let Some(arg) = args.next()? {
        match arg {
            Short('h') | Long("help") => return Ok(Task::Help),
            Long("port") => port = Some(args.value()?.parse()?),
            Long("no-build") => build = false,
            Long("trunk") => bundler = Bundler::Trunk,
            Value(word) => words.push(word.string()?),
            Short(_) | Long(_) => return Err(arg.unexpected().into()),
        }
    }
    let mut words = words.iter().map(String::as_str);
    let task = match words.next() {
        None | Some("help") => Task::Help,
        Some("serve") => Task::Serve { port, build },
        Some("build") => Task::Build(bundler),
        Some("test") => Task::Test,
        Some("bench") => Task::Bench,
        Some("finish") => {
            let staged = words.next().map(PathBuf::from);
            let hook = || std::env::var_os("TRUNK_STAGING_DIR").map(PathBuf::from);
            Task::Finish(staged.or_else(hook).context("finish which folder? name it")?)
        }
        Some(other) => bail!("no command `{other}`\n{HELP}"),
    };
    match words.next() {
        Some(extra) => bail!("`{extra}` is one word too many\n{HELP}"),
        None => Ok(task),
    }
}

fn run(task: Task) -> Result<()> {
    match task {
        Task::Help => print!("{HELP}"),
        Task::Serve { port, build } => serve(port, build)?,
        Task::Build(bundler) => bundle::build(bundler)?,
        Task::Test => suite::run()?,
        Task::Bench => bench::run()?,
        Task::Finish(folder) => finish::finish(&folder)?,
    }
    Ok(())
}

fn serve(port: Option<u16>, build: bool) -> Result<()> {
    if build {
        bundle::build(Bundler::Own)?;
    } else if !house::dist().join("index.html").is_file() {
        bail!("there is no page in dist/ yet: leave out --no-build");
    }
    let listen =
        |port| StaticServer::start(&house::dist(), SocketAddr::from((Ipv4Addr::UNSPECIFIED, port)));
    let server = match port {
        Some(port) => listen(port)?,
        None => PORTS
            .into_iter()
            .find_map(|port| listen(port).ok())
            .context("ports 8080 to 8089 are all taken: choose one with --port")?,
    };
    let port = server.address().port();
    println!("here:              http://localhost:{port}/");
    if let Some(ip) = server::lan_address() {
        println!(
            "on this network:   http://{ip}:{port}/   (browsers keep an offline copy only over https or on localhost)"
        );
    }
    println!("stop with Ctrl-C");
    server.wait();
    Ok(())
}
