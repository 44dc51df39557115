//! A new version is put on the server while a person is working.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;
use xtask::{finish, house};

use crate::look::Look;
use crate::stage::{self, Profile, Tab, Tools};

/// The old version stays until the person agrees; half a release is never taken.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let site = tempfile::tempdir()?;
    copy_page(site.path())?;
    let server = stage::serve(site.path())?;
    let profile = Profile::fresh()?;
    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&stage::address(&server)).await?;
    tab.offline_ready().await?;

    // Half a release: the worker's list is new, the page it lists is not there yet.
    let page = fs::read_to_string(site.path().join("index.html"))?;
    let next = page.replace("<title>", "<title>Next ");
    let worker = fs::read_to_string(site.path().join("sw.js"))?;
    let (old, new) = (finish::sha256(page.as_bytes()), finish::sha256(next.as_bytes()));
    ensure!(worker.contains(&old), "sw.js does not list index.html by its digest");
    let newer =
        worker.replace(&old, &new).replacen("const VERSION = \"", "const VERSION = \"next", 1);
    fs::write(site.path().join("sw.js"), newer)?;
    tab.reload().await?;
    let failed = tab
        .promise(
            "navigator.serviceWorker.ready.then((r) => r.update()).then((r) => new Promise((done) => {\
               const w = r.installing; if (!w) done(r.waiting ? 'waiting' : 'none');\
               else w.onstatechange = () => done(w.state); }), () => 'refused')",
        )
        .await?;
    ensure!(
        failed != json!("waiting") && failed != json!("installed"),
        "half a release was stored: {failed}"
    );

    // The whole release: it waits, and a reload still shows the old version.
    fs::write(site.path().join("index.html"), next)?;
    tab.reload().await?;
    tab.until("the new version to wait", "document.documentElement.dataset.update === 'waiting'")
        .await?;
    tab.reload().await?;
    let title = tab.driver().title().await?;
    ensure!(!title.starts_with("Next"), "the new version took over unasked");

    tab.until("the page to know of it", "document.documentElement.dataset.update === 'waiting'")
        .await?;
    tab.script("window.dispatchEvent(new Event('tapewright:take-over'))").await?;
    tab.until("the new version to show", "document.title.startsWith('Next')").await?;
    tab.close().await
}

/// The released page without its compressed copies, so that it can be edited.
fn copy_page(to: &Path) -> Result<()> {
    let dist = house::dist();
    for file in finish::files(&dist)? {
        let extension = Path::new(&file).extension().unwrap_or_default();
        if extension == "br" || extension == "gz" {
            continue;
        }
        let target = to.join(&file);
        fs::create_dir_all(target.parent().context("a file has a folder")?)?;
        fs::copy(dist.join(&file), target)?;
    }
    Ok(())
}
