//! Builds the page into `dist/`: compile, bind, optimise, copy what the page declares, finish.
//!
//! The default path needs nothing but the Rust toolchain (and npm for a smaller page). The Trunk
//! path reads the same `web/index.html` and calls the same finishing step from its hook.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail, ensure};
use wasm_bindgen_cli_support::Bindgen;

use crate::{finish, house, page, sizes, step, tools};

/// Which bundler builds the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bundler {
    /// The bindings generator as a library; nothing to install.
    Own,
    /// Trunk's command, installed when missing.
    Trunk,
}

/// Builds the page into `dist/` and prints what it weighs.
///
/// # Errors
/// When a tool fails, or the page breaks a rule of the finishing step.
pub fn build(bundler: Bundler) -> Result<()> {
    tools::ensure_wasm_target()?;
    match bundler {
        Bundler::Own => own()?,
        Bundler::Trunk => trunk()?,
    }
    eprint!("{}", sizes::table(&house::dist())?);
    Ok(())
}

fn own() -> Result<()> {
    compile("tapewright-web")?;
    // Not target/page: that is where cargo keeps the profile of that name.
    let stage = house::target().join("staged");
    let _ = fs::remove_dir_all(&stage);
    fs::create_dir_all(&stage)?;
    step::long("binding the app to the browser", "1 s", || bind(&stage))?;
    optimise(&stage.join(page::WASM))?;
    copy_assets(&stage)?;
    step::long("finishing the page: names, offline list, compressed copies", "5-15 s", || {
        finish::finish(&stage)
    })?;
    let dist = house::dist();
    if dist.exists() {
        fs::remove_dir_all(&dist).context("could not clear dist/")?;
    }
    copy_dir(&stage, &dist)
}

/// Compiles a package to WASM as the page is.
pub(crate) fn compile(package: &str) -> Result<()> {
    step::run(
        &format!("compiling {package} for the page"),
        "1-3 min cold, 30 s when only the app changed",
        house::cargo(["build", "--package", package])
            .args(["--target", tools::WASM, "--profile", "page", "--target-dir"])
            .arg(house::target())
            .env("CARGO_ENCODED_RUSTFLAGS", house::page_rustflags()),
    )
}

fn bind(stage: &Path) -> Result<()> {
    bindings("tapewright-web").web(true)?.generate(stage)
}

/// The bindings generator on what was compiled under that name.
pub(crate) fn bindings(name: &str) -> Bindgen {
    let wasm = house::target().join(tools::WASM).join("page").join(name).with_extension("wasm");
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(wasm)
        .typescript(false)
        .remove_name_section(true)
        .remove_producers_section(true);
    bindgen
}

/// How the wasm is optimised: for speed, since what is sent comes to the same, compressed, for speed and
/// for size. The least 1 KiB of memory is the end of the stack, far beyond what the page uses of it, so
/// an offset may be taken into a load. `web/index.html` says the same to Trunk.
const OPTIMISED: [&str; 2] = ["-O3", "--low-memory-unused"];

/// Makes the wasm smaller where a tool for it can be had; otherwise says why not, and goes on.
pub(crate) fn optimise(wasm: &Path) -> Result<()> {
    let smaller = wasm.with_extension("smaller");
    let attempt = |tool: &Path| {
        step::run(
            "making the wasm smaller",
            "40-90 s",
            std::process::Command::new(tool).args(OPTIMISED).arg(wasm).arg("-o").arg(&smaller),
        )
    };
    let outcome = tools::optimisers().and_then(|found| {
        let first = found.first().context("no wasm-opt found")?;
        attempt(first).or_else(|_| attempt(&tools::pinned_optimiser()?))
    });
    match outcome {
        Ok(()) => fs::rename(&smaller, wasm).context("could not keep the smaller wasm"),
        Err(why) => {
            let _ = fs::remove_file(&smaller);
            eprintln!(
                "note: the page works but is larger than it need be, because wasm-opt could not be had: {why:#}"
            );
            Ok(())
        }
    }
}

fn copy_assets(stage: &Path) -> Result<()> {
    let web = house::root().join("web");
    let html =
        fs::read_to_string(web.join("index.html")).context("could not read web/index.html")?;
    for asset in page::assets(&html)? {
        let from = web.join(&asset.href);
        let name = from.file_name().context("an asset has no name")?;
        let to = stage.join(name);
        match asset.rel.as_str() {
            "rust" => {}
            "css" | "copy-file" => {
                fs::copy(&from, &to)
                    .with_context(|| format!("could not copy web/{}", asset.href))?;
            }
            "copy-dir" => copy_dir(&from, &to)?,
            other => bail!(
                "index.html declares a data-trunk link of rel=\"{other}\"; the bundler knows rust, css, copy-file, copy-dir"
            ),
        }
    }
    fs::write(stage.join("index.html"), html).context("could not write index.html")
}

fn copy_dir(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from).with_context(|| format!("could not list {}", from.display()))? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy_dir(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

fn trunk() -> Result<()> {
    let mut path = tools::trunk_and_bindgen()?;
    let optimiser = tools::optimisers();
    let wasm_opt = optimiser.as_ref().is_ok_and(|found| !found.is_empty());
    if let Ok(found) = &optimiser {
        path.extend(found.iter().filter_map(|tool| tool.parent().map(Path::to_path_buf)));
    } else if let Err(why) = &optimiser {
        eprintln!(
            "note: the page is larger than it need be, because wasm-opt could not be had: {why:#}"
        );
    }
    path.extend(std::env::split_paths(&std::env::var_os("PATH").unwrap_or_default()));
    let mut command = std::process::Command::new("trunk");
    if let Some(found) = path.iter().map(|dir| dir.join("trunk")).find(|file| file.is_file()) {
        command = std::process::Command::new(found);
    }
    command
        .args(["build", "--skip-version-check"])
        .current_dir(house::root())
        .env("PATH", std::env::join_paths(path)?)
        .env("CARGO_ENCODED_RUSTFLAGS", house::page_rustflags())
        .env_remove("NO_COLOR");
    if !wasm_opt {
        command.env("TRUNK_SKIP_WASM_OPT", "true");
    }
    step::run("building the page with Trunk", "2-4 min cold", &mut command)?;
    ensure!(
        house::dist().join("sw.js").is_file(),
        "Trunk ended well but its hook did not finish the page"
    );
    Ok(())
}
