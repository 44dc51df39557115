//! Where things are, and how cargo is called from here.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The workspace's top folder.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// The finished page: plain files for any static host.
pub fn dist() -> PathBuf {
    root().join("dist")
}

/// Tools installed for this project alone; delete it at any time.
pub fn local_tools() -> PathBuf {
    root().join(".tools")
}

/// Where cargo builds; named explicitly on every build whose output is read back.
pub fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root().join("target"), |dir| root().join(dir))
}

/// `cargo` of the toolchain that runs this, from the top folder.
pub fn cargo<'a>(args: impl IntoIterator<Item = &'a str>) -> Command {
    let program = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut command = Command::new(program);
    command.args(args).current_dir(root());
    command
}

/// True where a skipped check counts as a failure.
pub fn in_ci() -> bool {
    std::env::var("CI").is_ok_and(|value| !matches!(value.as_str(), "" | "0" | "false"))
}

/// Compiler flags of the page: no path of this machine in the wasm, so that two machines agree.
pub fn page_rustflags() -> String {
    let home = std::env::var("CARGO_HOME").ok().or_else(|| {
        let user = std::env::var("HOME").or_else(|_| std::env::var("USERPROFILE")).ok()?;
        Some(format!("{user}/.cargo"))
    });
    let mut flags = vec![format!("--remap-path-prefix={}=.", root().display())];
    if let Some(home) = home {
        flags.push(format!("--remap-path-prefix={home}=cargo"));
    }
    flags.join("\u{1f}")
}
