//! Tools that are not part of the Rust toolchain: found when a fitting one is there, installed into
//! the project's own folder when not. Every version that is installed is named here and only here.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::{house, step};

/// The platform of the page.
pub const WASM: &str = "wasm32-unknown-unknown";
/// Trunk, for those who prefer it; the default bundler does not need it.
pub const TRUNK: &str = "0.21.14";
/// Must equal the `wasm-bindgen` pin of `web/Cargo.toml`.
pub const WASM_BINDGEN: &str = "0.2.130";
/// Holds `wasm-opt`. Known to read what rustc 1.95 writes.
pub const BINARYEN: &str = "132.0.0";
/// Rules of accessibility, run inside the page by the browser journeys.
pub const AXE: &str = "4.14.1";
/// Older optimisers stop with "invalid code after misc prefix" on today's compiler output
/// (tried: 108 and 116). One in between that fails is passed over in favour of the pinned one.
const OLDEST_OPTIMISER: u32 = 118;

/// Adds the page's platform to the toolchain when it is missing.
///
/// # Errors
/// When it is missing and there is no rustup, or rustup fails.
pub fn ensure_wasm_target() -> Result<()> {
    let libdir = step::output_of(
        Command::new("rustc")
            .args(["--print", "target-libdir", "--target", WASM])
            .current_dir(house::root()),
    );
    if libdir.is_some_and(|dir| Path::new(&dir).is_dir()) {
        return Ok(());
    }
    let Ok(rustup) = which::which("rustup") else {
        bail!(
            "the Rust toolchain lacks {WASM} and rustup is not on PATH; install rustup, or that target by hand"
        );
    };
    step::run(
        "adding the wasm target to the toolchain",
        "10 s",
        Command::new(rustup).args(["target", "add", WASM]).current_dir(house::root()),
    )
}

/// Adds the formatter and the linter to the toolchain when they are missing.
///
/// # Errors
/// When one is missing and there is no rustup, or rustup fails.
pub fn ensure_components() -> Result<()> {
    let there = |name: &str| step::output_of(&mut house::cargo([name, "--version"])).is_some();
    if there("fmt") && there("clippy") {
        return Ok(());
    }
    let rustup =
        which::which("rustup").context("rustfmt or clippy is missing, and so is rustup")?;
    step::run(
        "adding rustfmt and clippy to the toolchain",
        "10 s",
        Command::new(rustup).args(["component", "add", "rustfmt", "clippy"]),
    )
}

/// The wasm optimisers to try, best first; an error says in one line why there is none.
///
/// # Errors
/// When none is on PATH and npm, which would bring one, is missing or fails.
pub fn optimisers() -> Result<Vec<PathBuf>> {
    let found = which::which("wasm-opt").ok().filter(|path| {
        let version = version_of(path).and_then(|text| text.split('.').next()?.parse().ok());
        version.is_some_and(|major: u32| major >= OLDEST_OPTIMISER)
    });
    if let Some(path) = found {
        return Ok(vec![path]);
    }
    pinned_optimiser().map(|path| vec![path])
}

/// The pinned optimiser, installed when needed.
///
/// # Errors
/// When npm is missing or fails.
pub fn pinned_optimiser() -> Result<PathBuf> {
    let package = npm_package("binaryen", BINARYEN)?;
    Ok(package.with_file_name(".bin").join(if cfg!(windows) { "wasm-opt.cmd" } else { "wasm-opt" }))
}

/// The text of the accessibility rules.
///
/// # Errors
/// When npm is missing or fails.
pub fn axe_source() -> Result<String> {
    let file = npm_package("axe-core", AXE)?.join("axe.min.js");
    std::fs::read_to_string(&file).with_context(|| format!("could not read {}", file.display()))
}

/// An npm package's folder under `.tools`, installed when needed.
///
/// # Errors
/// When npm is missing or fails.
pub fn npm_package(name: &str, version: &str) -> Result<PathBuf> {
    let prefix = house::local_tools().join(format!("{name}-{version}"));
    let package = prefix.join("node_modules").join(name);
    let complete = prefix.join("complete");
    if complete.is_file() {
        return Ok(package);
    }
    let npm = which::which("npm").context("npm is not on PATH")?;
    std::fs::create_dir_all(&prefix)?;
    step::run(
        &format!("installing {name} {version} into .tools"),
        "5-30 s",
        Command::new(npm)
            .args(["install", "--no-audit", "--no-fund", "--ignore-scripts", "--loglevel=error"])
            .arg("--prefix")
            .arg(&prefix)
            .arg(format!("{name}@{version}")),
    )?;
    std::fs::write(complete, "")?;
    Ok(package)
}

/// Trunk and the wasm-bindgen command, re-used or installed; returns the folders to put on PATH.
///
/// # Errors
/// When an install fails.
pub fn trunk_and_bindgen() -> Result<Vec<PathBuf>> {
    let trunk = cargo_tool("trunk", "trunk", TRUNK, &["--locked"], "6-7 min")?;
    // Without --locked: its lock file names a crate version the registry no longer has.
    let bindgen = cargo_tool("wasm-bindgen-cli", "wasm-bindgen", WASM_BINDGEN, &[], "2-3 min")?;
    Ok([trunk, bindgen].iter().filter_map(|tool| tool.parent().map(Path::to_path_buf)).collect())
}

/// A Python that can import SciPy: the project's own first, then the one on PATH.
pub fn python_with_scipy() -> Option<PathBuf> {
    let own = house::local_tools().join("venv").join("bin").join("python");
    let candidates = [Some(own), which::which("python3").ok()];
    candidates
        .into_iter()
        .flatten()
        .find(|python| step::output_of(Command::new(python).args(["-c", "import scipy"])).is_some())
}

/// The browser and its driver.
#[derive(Debug, Clone)]
pub struct Browser {
    /// `chromium`, `google-chrome` or `chrome`.
    pub program: PathBuf,
    /// `chromedriver` of the same version.
    pub driver: PathBuf,
}

/// The browser journeys' browser, when both halves are on PATH.
///
/// # Errors
/// Says in one line which half is missing.
pub fn browser() -> Result<Browser> {
    let driver = which::which("chromedriver").context("chromedriver is not on PATH")?;
    let program = ["chromium", "chromium-browser", "google-chrome", "chrome"]
        .into_iter()
        .find_map(|name| which::which(name).ok())
        .context("no Chromium on PATH")?;
    Ok(Browser { program, driver })
}

fn cargo_tool(
    package: &str,
    program: &str,
    version: &str,
    flags: &[&str],
    usual: &str,
) -> Result<PathBuf> {
    let own = house::local_tools()
        .join("bin")
        .join(program)
        .with_extension(std::env::consts::EXE_EXTENSION);
    let fits = |path: &PathBuf| version_of(path).as_deref() == Some(version);
    if let Some(path) = which::which(program).ok().into_iter().chain([own.clone()]).find(fits) {
        return Ok(path);
    }
    step::run(
        &format!("installing {package} {version} into .tools"),
        usual,
        house::cargo(["install", package, "--version", version])
            .args(flags)
            .arg("--root")
            .arg(house::local_tools()),
    )?;
    Ok(own)
}

/// The first word of `tool --version` that starts with a digit.
fn version_of(path: &Path) -> Option<String> {
    let text = step::output_of(Command::new(path).arg("--version"))?;
    let mut words = text.split_whitespace();
    words.find(|word| word.starts_with(|c: char| c.is_ascii_digit())).map(str::to_owned)
}
